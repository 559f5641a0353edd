"""Every refusal code is provoked by a smallest change of a sheet that passes, and a harmless neighbour passes."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest

from handwheel.check.replay import HANDLERS, check_sheet
from handwheel.check.report import CheckReport, RefusalCode
from tests.unit.check.sheets import changed, place_of, reset, ring_acts, sheet_of, simple_shop
from tests.unit.check.test_readout import A as BY_READOUT
from tests.unit.check.trials import Trial
from tests.unit.check.trials_cuts import CUTS, END
from tests.unit.check.trials_dials import DIALS
from tests.unit.check.trials_holes import HOLES, REAMED
from tests.unit.check.trials_loads import LOADS
from tests.unit.check.trials_setup import SETUP

TRIALS = (*SETUP, *DIALS, *CUTS, *LOADS, *HOLES, *END)
BY_NAME = {case.name: case for case in TRIALS}


@cache
def refused(name: str) -> CheckReport:
    """Report on what a trial must not let pass; each is replayed once."""
    return BY_NAME[name].refused()


def test_trials_have_names_of_their_own() -> None:
    assert len(BY_NAME) == len(TRIALS)


def test_the_tiny_job_passes_and_cuts_the_part_as_drawn() -> None:
    report = check_sheet(sheet_of(ring_acts()), simple_shop())
    assert report.refusals == ()
    assert report.ok
    assert {size.feature: round(size.value_mm, 6) for size in report.sizes} == {
        "bore diameter": 12.0,
        "outside diameter": 18.0,
        "back-face width": 6.0,
        **{
            f"{edge} {leg}": 0.4
            for edge in ("front-outer-edge", "front-inner-edge", "back-outer-edge", "back-inner-edge")
            for leg in ("leg along the axis", "leg across the axis")
        },
    }


def test_the_tiny_job_reamed_and_by_readout_too_holds_every_kind_of_act() -> None:
    assert {type(act) for act in (*ring_acts(), *REAMED, *BY_READOUT)} == set(HANDLERS)


@pytest.mark.parametrize("name", BY_NAME)
def test_what_a_machine_would_not_bear_is_refused(name: str) -> None:
    report = refused(name)
    assert BY_NAME[name].code in {refusal.code for refusal in report.refusals}, [r.text for r in report.refusals]
    assert not report.ok


@pytest.mark.parametrize("case", TRIALS, ids=lambda case: case.name)
def test_the_harmless_neighbour_passes(case: Trial) -> None:
    assert [f"{refusal.act}: {refusal.text}" for refusal in case.passed().refusals] == []


def test_every_code_has_a_trial() -> None:
    assert {case.code for case in TRIALS} == set(RefusalCode)


def test_every_text_names_a_cause_and_what_to_do() -> None:
    texts = {refusal.text for name in BY_NAME for refusal in refused(name).refusals}
    assert [text for text in texts if not any(mark in text for mark in (":", ";", ","))] == []


def test_refusals_stand_in_the_order_of_the_acts() -> None:
    wrong = changed(changed(ring_acts(), "turn-2", depth_mm=0.1), "measure-bore", lower_mm=11.0)
    found = [refusal.act for refusal in check_sheet(sheet_of(wrong), simple_shop()).refusals]
    assert found == ["turn-2", "measure-bore"]


def test_what_follows_a_lost_footing_is_counted_and_no_size_is_claimed() -> None:
    acts = changed(ring_acts(), "fit-blade", tool="none")
    report = check_sheet(sheet_of(acts), simple_shop())
    rest = len(acts) - place_of(acts, "fit-blade") - 1
    assert [refusal.code for refusal in report.refusals] == [RefusalCode.UNKNOWN_TOOL, RefusalCode.REST_NOT_LOOKED_AT]
    assert report.refusals[1].act == "speed-part"
    assert f"the {rest} acts from here on" in report.refusals[1].text
    assert report.sizes == ()


def test_a_size_outside_its_limits_is_listed_with_its_value() -> None:
    wrong = changed(
        reset(ring_acts(), "to-turn-3", turns=-1, marks=Fraction(49), expected_mm=18.04), "turn-3", depth_mm=0.18
    )
    sizes = {size.feature: size for size in check_sheet(sheet_of(wrong), simple_shop()).sizes}
    outside = sizes["outside diameter"]
    assert not outside.inside
    assert outside.value_mm == pytest.approx(18.04, abs=1e-6)
    assert (outside.lower_mm, outside.upper_mm) == (17.97, 18.03)
    assert sizes["bore diameter"].inside
