"""In a metal that hardens the tool is not drawn back along its cut while the work turns.

Source: PC-11 and the tables' notes on metals that harden: an edge that slides without cutting hardens the metal.
"""

from __future__ import annotations

import pytest

from handwheel.data.materials import WorkHardening, material
from handwheel.domain import acts as a
from handwheel.planner.planner import make_plan
from tests.demo_plans import demo_part, demo_shop, of_metal

METALS = ("ss303", "ti_gr2", "cu_cw614n")


CLEAR_MM = 1.0
"""So far a tool may leave a shoulder, or the end of its pass, before it is clear of what it cut."""
PLUNGES = ("edge", "groove", "part-off")
"""Steps in which a tool goes back the way it plunged, and slides on nothing."""


def drawn_back(acts: tuple[a.Act, ...]) -> list[bool]:
    """For each cut after which the tool goes back along it at its depth: whether the work still turns."""
    turns: list[bool] = []
    for cut, *after in zip(acts, acts[1:], acts[2:], strict=False):
        if not isinstance(cut, a.Cut) or any(word in cut.step for word in PLUNGES):
            continue
        stopped = isinstance(after[0], a.StopSpindle)
        back = after[1] if stopped else after[0]
        if isinstance(back, a.Retract) and back.handle is cut.handle and back.distance_mm > CLEAR_MM:
            turns.append(not stopped)
    return turns


@pytest.mark.parametrize("key", METALS)
def test_a_tool_at_its_depth_is_drawn_out_of_a_hardening_metal_with_the_spindle_stopped(key: str) -> None:
    part, shop = of_metal(demo_part("bush"), demo_shop("metric-lathe"), key)
    turning = drawn_back(make_plan(part, shop).sheet.acts)
    hardens = material(key).work_hardening is not WorkHardening.NONE
    assert turning
    assert all(turning) is not hardens
    assert any(turning) is not hardens
