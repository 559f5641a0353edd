"""Practice cases PC-05, PC-12 and PC-24 as far as the sheet answers them: slips of a turn, emery, warm work."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from handwheel.domain import acts as a
from handwheel.domain.part import Aspect
from handwheel.report.text_sheet import sheet_text
from handwheel.report.why.whys import step_whys
from tests.practice.conftest import Planned

TURNS_MM = {"thimble of 0.025 in": 0.635, "thimble of 0.5 mm": 0.5, "dial caliper of 0.100 in": 2.54}
"""One turn of the instrument (PC-05)."""
ABOUT_A_TURN = 0.1
"""A reading is about one turn out if it misses that by no more (PC-05)."""


@pytest.mark.parametrize("turn_mm", TURNS_MM.values(), ids=TURNS_MM)
def test_pc_05_a_reading_that_is_one_turn_out_is_never_inside_the_band_to_go_on(
    turn_mm: float, planned: Planned
) -> None:
    measured = [act for act in planned.plan.sheet.acts if isinstance(act, a.Measure)]
    assert len(measured) > 5
    for act in measured:
        for slip in ((1.0 - ABOUT_A_TURN) * turn_mm, (1.0 + ABOUT_A_TURN) * turn_mm):
            for reading in (act.expected_mm - slip, act.expected_mm + slip):
                assert not act.stop_low_mm <= reading <= act.stop_high_mm, act.id


def test_pc_05_every_reading_stands_beside_its_band_and_a_box_before_anything_is_cut_by_it(planned: Planned) -> None:
    text = sheet_text(planned.plan, planned.shop)
    wanted = sum(isinstance(act, a.Measure) for act in planned.plan.sheet.acts)
    assert len(re.findall(r"MEASURE", text)) >= wanted
    assert len(re.findall(r"stop if outside", text)) == wanted
    assert len(re.findall(r"reading \[_+\]", text)) >= wanted


def test_pc_05_no_reading_becomes_a_cut_by_itself(planned: Planned) -> None:
    """A collar is set from a reading only straight after the measuring whose band was to be kept."""
    for before, act in pairwise(planned.plan.sheet.acts):
        if isinstance(act, a.SetCollar | a.SetReadout):
            assert isinstance(before, a.Measure)
            assert before.surface == act.surface
            assert before.stop_low_mm < act.expected_dia_mm < before.stop_high_mm


def test_pc_12_what_is_taken_off_by_hand_is_measured_before_anything_rests_on_it(planned: Planned) -> None:
    """Emery or rubbing removes an unmeasured amount: the surface is measured again afterwards."""
    acts = planned.plan.sheet.acts
    for place, act in enumerate(acts):
        if isinstance(act, a.HandStep) and act.removes_mm > 0.0:
            later = [it for it in acts[place + 1 :] if isinstance(it, a.Measure) and it.surface == act.surface]
            assert later
            assert all(not isinstance(it, a.Cut) for it in acts[place + 1 : acts.index(later[0])])


def test_pc_24_work_that_roughing_warms_is_cold_before_it_is_measured_to_size(planned: Planned) -> None:
    acts = planned.plan.sheet.acts
    waits = [place for place, act in enumerate(acts) if isinstance(act, a.Cool)]
    finals = [place for place, act in enumerate(acts) if isinstance(act, a.Measure) and act.final]
    diameters = [place for place in finals if getattr(acts[place], "aspect", "") == Aspect.DIAMETER.value]
    assert diameters
    assert all(place < min(diameters) for place in waits[:1])
    assert all("cold" in acts[place].note or "room temperature" in acts[place].note for place in waits)


def test_pc_24_how_warm_the_work_may_be_is_a_tenth_of_the_tolerance_over_its_growth(planned: Planned) -> None:
    """Growth alpha D per °C; it matters from a tenth of the tolerance on (PC-24), and below that is said not to."""
    seen = 0
    for step in step_whys(planned.plan, planned.shop):
        for one in step.acts:
            act = one.item.act
            for reason in one.reasons:
                if not isinstance(act, a.Measure) or reason.quantity != "warmth":
                    continue
                growth = re.search(r"(?P<mm>[\d.]+) mm", reason.value)
                below = re.search(r"too small to matter below (?P<k>\d+) °C", reason.relation)
                assert growth
                assert below
                band_mm = act.upper_mm - act.lower_mm
                # printed to 0.01 µm and to 1 °C
                assert float(below["k"]) == pytest.approx(0.1 * band_mm / float(growth["mm"]), rel=0.1, abs=0.6)
                seen += 1
    assert seen > 2
