"""Practice case PC-13: the bore first, the blade short, the parting last."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle
from handwheel.domain.part import BORE
from tests.demo_plans import acts_of, step_acts

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from tests.practice.conftest import Planned

PART_OFF = "part-off"
SLANT_AND_THROUGH_MM = 0.8
"""What parting goes beyond the wall: the blade's slant and a little into the bore."""


def printed_reach_mm(plan: Plan) -> float:
    """How far the sheet says that the blade may stand out."""
    (fit,) = [act for act in step_acts(plan, PART_OFF) if isinstance(act, a.FitTool)]
    found = re.search(r"no further than (\d+(?:\.\d+)?) mm", fit.note)
    assert found is not None
    return float(found.group(1))


def wall_mm(plan: Plan) -> float:
    part = plan.sheet.part
    return part.outside_radius_mm - part.bore_radius_mm


def test_pc_13_the_bore_is_finished_before_parting(planned: Planned) -> None:
    """PC-13: hence bore first, part last (computed there from the cube of the reach)."""
    order = [act.step for act in planned.plan.sheet.acts if isinstance(act, a.Cut)]
    assert max(i for i, step in enumerate(order) if step == BORE) < order.index(PART_OFF)


def test_pc_13_parting_is_the_last_cut_before_the_ring_is_held_again(planned: Planned) -> None:
    acts = planned.plan.sheet.acts
    parted = next(i for i, act in enumerate(acts) if isinstance(act, a.PartOff))
    held_again = next(i for i, act in enumerate(acts) if isinstance(act, a.Regrip))
    assert parted < held_again
    assert not [act for act in acts[parted:held_again] if isinstance(act, a.Cut | a.DrillHole)]
    *_, last_cut = [act for act in acts[:parted] if isinstance(act, a.Cut)]
    assert last_cut.step == PART_OFF


def test_pc_13_the_reach_of_the_blade_is_printed_and_is_the_wall_and_a_margin(planned: Planned) -> None:
    """PC-13: reach = (outside - bore) / 2 + margin; computed there 0.075 + 0.1 in for a wall of 0.075 in.

    The margin here is 1 mm beyond the cut; the sheet prints whole millimetres, so half of one may be rounded away.
    """
    reach, wall = printed_reach_mm(planned.plan), wall_mm(planned.plan)
    assert wall + 0.5 <= reach <= wall + SLANT_AND_THROUGH_MM + 1.5


def test_pc_13_the_printed_reach_is_enough_to_come_through(planned: Planned) -> None:
    (cut,) = [act for act in step_acts(planned.plan, PART_OFF) if isinstance(act, a.Cut)]
    assert cut.handle is Handle.CROSS
    assert cut.depth_mm > wall_mm(planned.plan), "the blade must come out into the bore"
    assert printed_reach_mm(planned.plan) >= cut.depth_mm + 0.5


def test_pc_13_a_solid_bar_would_have_needed_several_times_the_reach(planned: Planned) -> None:
    """PC-13, computed there: 1.25 in against 0.35 in is (1.25 / 0.35)^3, about 45 times the stiffness.

    Here the bar's own radius against the printed reach; the least of the four is the thick-walled bush.
    """
    assert pytest.approx(45, abs=1) == (1.25 / 0.35) ** 3
    solid = planned.plan.sheet.part.outside_radius_mm + 1.0
    assert (solid / printed_reach_mm(planned.plan)) ** 3 > 20.0


def test_pc_13_the_sheet_says_why_the_blade_is_short_and_that_parting_must_not_dwell(planned: Planned) -> None:
    (fit,) = [act for act in step_acts(planned.plan, PART_OFF) if isinstance(act, a.FitTool)]
    assert "cube of the reach" in fit.note
    (cut,) = [act for act in step_acts(planned.plan, PART_OFF) if isinstance(act, a.Cut)]
    assert "do not stop feeding" in cut.note


def test_pc_13_what_hangs_on_the_blade_is_caught_on_a_rod_set_with_the_spindle_stopped(planned: Planned) -> None:
    """Practice, no source: a hand never waits for the ring."""
    running = False
    for act in planned.plan.sheet.acts:
        if isinstance(act, a.StartSpindle):
            running = True
        if isinstance(act, a.StopSpindle):
            running = False
        if isinstance(act, a.HandStep) and act.kind is a.HandKind.CATCH_ROD:
            assert not running
    assert [act.kind for act in acts_of(planned.plan, a.HandStep)].count(a.HandKind.CATCH_ROD) == 1
