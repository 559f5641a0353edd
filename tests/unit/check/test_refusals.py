"""Every refusal code is provoked by a smallest change of a sheet that passes, and a harmless neighbour passes."""

from __future__ import annotations

import pytest

from handwheel.check.replay import HANDLERS, check_sheet
from handwheel.check.report import RefusalCode
from handwheel.domain.acts import ActBase
from tests.unit.check.sheets import ring_acts, sheet_of, simple_shop
from tests.unit.check.trials import Trial
from tests.unit.check.trials_cuts import CUTS, END
from tests.unit.check.trials_dials import DIALS
from tests.unit.check.trials_setup import SETUP

TRIALS = (*SETUP, *DIALS, *CUTS, *END)


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


def test_the_tiny_job_holds_every_kind_of_act() -> None:
    assert {type(act) for act in ring_acts()} | {ActBase.__subclasses__()[0]} >= set(HANDLERS) - {None}


@pytest.mark.parametrize("case", TRIALS, ids=lambda case: case.name)
def test_what_a_machine_would_not_bear_is_refused(case: Trial) -> None:
    report = case.refused()
    assert case.code in {refusal.code for refusal in report.refusals}, [r.text for r in report.refusals]
    assert not report.ok


@pytest.mark.parametrize("case", TRIALS, ids=lambda case: case.name)
def test_the_harmless_neighbour_passes(case: Trial) -> None:
    assert [f"{refusal.act}: {refusal.text}" for refusal in case.passed().refusals] == []


def test_every_code_has_a_trial() -> None:
    assert {case.code for case in TRIALS} == set(RefusalCode)


def test_every_text_says_what_to_do() -> None:
    """A refusal names what is met, and after a colon, semicolon or comma the remedy: never a bare word."""
    texts = {refusal.text for case in TRIALS for refusal in case.refused().refusals}
    assert [text for text in texts if len(text.split()) < 6] == []
