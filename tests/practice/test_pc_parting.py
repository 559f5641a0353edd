"""Practice case PC-13: the bore first, the blade short, the parting last."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle
from handwheel.domain.part import BORE
from handwheel.physics.deflection import cantilever_stiffness_n_mm
from handwheel.report.text_sheet import sheet_text
from tests.demo_plans import acts_of, step_acts

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from tests.practice.conftest import Planned

PART_OFF = "part-off"
SLANT_AND_THROUGH_MM = 0.8
"""What parting goes beyond the wall: the blade's slant and a little into the bore."""
LEAST_MARGIN_MM, MOST_MARGIN_MM = 1.0, 2.54
"""What the holder needs to stay clear; the case's own margin is 0.1 in."""


def reach_mm(plan: Plan) -> float:
    """How far the blade stands out."""
    (fit,) = [act for act in step_acts(plan, PART_OFF) if isinstance(act, a.FitTool)]
    return fit.stands_out_mm


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
    """PC-13: reach = (outside - bore) / 2 + margin; computed there 0.075 + 0.1 in for a wall of 0.075 in."""
    reach, wall = reach_mm(planned.plan), wall_mm(planned.plan)
    assert wall + LEAST_MARGIN_MM <= reach <= wall + SLANT_AND_THROUGH_MM + MOST_MARGIN_MM
    text = sheet_text(planned.plan, planned.shop)
    fitted = text[text.index("Part off into the bore") :]
    fitted = fitted[fitted.index(" fit ") :]
    shown = re.search(r"stands out ([\d.]+) mm", fitted)
    assert shown is not None
    assert float(shown[1]) == pytest.approx(reach, abs=0.051)


def test_pc_13_the_printed_reach_is_enough_to_come_through(planned: Planned) -> None:
    (cut,) = [act for act in step_acts(planned.plan, PART_OFF) if isinstance(act, a.Cut)]
    assert cut.handle is Handle.CROSS
    assert cut.to is not None
    beyond = planned.plan.sheet.part.bore_radius_mm - cut.to.expected_mm / 2.0
    assert 0.1 < beyond <= SLANT_AND_THROUGH_MM + 0.1, "the blade must come out into the bore"
    outside = planned.plan.sheet.part.outside_radius_mm
    assert reach_mm(planned.plan) >= outside - cut.to.expected_mm / 2.0 + LEAST_MARGIN_MM / 2.0


def test_pc_13_a_solid_bar_would_have_needed_several_times_the_reach(planned: Planned) -> None:
    """PC-13, computed there: 1.25 in against 0.35 in is (1.25 / 0.35)^3, about 45 times the stiffness.

    Here the bar's own radius against the reach; the least of the four is the thick-walled bush.
    """
    short, long = (cantilever_stiffness_n_mm(out * 25.4, e_n_mm2=210e3, moment_mm4=100.0) for out in (0.35, 1.25))
    assert short / long == pytest.approx(45, abs=1)
    reach = reach_mm(planned.plan)
    solid = planned.plan.sheet.part.outside_radius_mm + (reach - wall_mm(planned.plan))
    assert (solid / reach) ** 3 > 10.0


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
