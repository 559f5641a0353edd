"""Pieces that a job teaches, kind by kind: cuts again, drills, rubbing, times, a lead known already."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

import numpy as np
import pytest
from msgspec.structs import replace

from handwheel.bench.learning.believing import believed
from handwheel.bench.learning.chain import Normal, combined
from handwheel.bench.learning.from_job import taught_by_job
from handwheel.bench.learning.matters import effect_of
from handwheel.bench.learning.pieces import Piece, evidence_in
from handwheel.bench.learning.scatter import scatters
from handwheel.bench.learning.tracks import Lost, Passed, Waited, tracks_of
from handwheel.bench.learning.worked import Worked
from handwheel.domain import acts as a
from handwheel.domain.advice import AdviceBand, AdviceTable, Do
from handwheel.domain.beliefs import About, Beliefs, Evidence, Learned, Noted, Quantity
from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import BORE
from handwheel.sim.envelope import DEFAULT
from tests.bench.lathe_jobs import Jobs, lathes_for
from tests.demo_plans import demo_plan, demo_shop

PLAN, SHOP = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
SHEET = PLAN.sheet
NOTHING = Beliefs(shop=SHOP)
FIRST = next(act for act in SHEET.acts if isinstance(act, a.Measure) and act.surface == BORE)
METAL = SHEET.part.material


def taught(worked: list[Worked], beliefs: Beliefs = NOTHING) -> dict[Quantity, list[Piece]]:
    found: dict[Quantity, list[Piece]] = {}
    for piece in taught_by_job(SHEET, SHOP, beliefs, worked).pieces:
        found.setdefault(piece.quantity, []).append(piece)
    return found


def read(act: a.Measure, *sizes: float) -> Worked:
    return Worked(act=act, readings_mm=sizes, gauge=act.gauge)


@pytest.mark.parametrize(("middle", "spread"), [(0.1, 0.02), (-0.3, 0.5), (0.135, 0.1)])
def test_what_is_divided_out_is_what_was_multiplied_in(middle: float, spread: float) -> None:
    prior, data = Normal(middle=0.135, variance=0.0033), Normal(middle=middle, variance=spread**2)
    told = evidence_in(prior, combined(prior, data))
    if 1.0 / (1.0 + prior.variance / data.variance) > 0.9:
        assert told is None
    else:
        assert told is not None
        assert (told.middle, told.spread) == pytest.approx((middle, spread))


def test_what_nobody_knew_before_is_the_data_alone() -> None:
    data = Normal(middle=0.01, variance=1e-6)
    assert evidence_in(Normal(middle=0.0, variance=inf), data) == data


def drilled() -> tuple[a.FitDrill, a.DrillHole]:
    fits = [act for act in SHEET.acts if isinstance(act, a.FitDrill)]
    holes = [act for act in SHEET.acts if isinstance(act, a.DrillHole)]
    return fits[-1], holes[-1]


def test_a_bore_measured_straight_after_drilling_tells_of_the_drill() -> None:
    fit, hole = drilled()
    (piece,) = taught([Worked(act=fit), Worked(act=hole), read(FIRST, 18.07, 18.08)])[Quantity.DRILL_OVERSIZE]
    assert piece.about == About(thing="drill-18-dubbed", metal=METAL)
    assert piece.value == pytest.approx(0.075)
    assert 0.0 < piece.spread < 0.01


def test_a_bore_that_was_cut_after_drilling_does_not() -> None:
    fit, hole = drilled()
    cut = next(act for act in SHEET.acts if isinstance(act, a.Cut) and act.surface == BORE)
    job = [Worked(act=fit), Worked(act=hole), Worked(act=cut), read(FIRST, 18.4)]
    assert Quantity.DRILL_OVERSIZE not in taught(job)
    lost = [Worked(act=fit), Worked(act=hole), replace(read(FIRST, 18.07), lost=True)]
    assert Quantity.DRILL_OVERSIZE not in taught(lost)


def test_rubbing_between_two_measurements_tells_what_it_takes_off_one_face() -> None:
    rub = next(act for act in SHEET.acts if isinstance(act, a.HandStep) and act.removes_mm)
    width = next(act for act in SHEET.acts if isinstance(act, a.Measure) and act.surface == rub.surface)
    (piece,) = taught([read(width, 18.06), Worked(act=rub), read(width, 18.0)])[Quantity.POLISH_LOSS]
    assert piece.value == pytest.approx(0.06)
    assert Quantity.POLISH_LOSS not in taught([read(width, 18.06), Worked(act=rub)])


def timed(seconds: Sequence[float | None]) -> list[Worked]:
    touch = next(act for act in SHEET.acts if isinstance(act, a.Touch))
    return [Worked(act=touch, seconds=one) for one in seconds]


def test_times_are_the_middle_of_their_kind_and_no_break_moves_them() -> None:
    steady = [50.0, 44.0, 47.0, 52.0, 46.0]
    (piece,) = taught(timed(steady))[Quantity.TIME]
    assert (piece.about.thing, piece.value, piece.counted) == ("touch_s", 47.0, 5)
    (broken,) = taught(timed([*steady, 3600.0, 900.0, None, 0.4]))[Quantity.TIME]
    assert (broken.value, broken.counted) == (47.0, 5)


def test_two_times_tell_nothing() -> None:
    assert Quantity.TIME not in taught(timed([50.0, 44.0, 3600.0]))


def test_readings_that_are_no_sizes_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="must be 0 or more; take it back"):
        Worked(act=FIRST, readings_mm=(-1.0,))
    with pytest.raises(OutOfRangeError, match="leave out what is not known"):
        Worked(act=FIRST, seconds=float("nan"))


def one_job() -> list[Worked]:
    rng = np.random.default_rng(4)
    truth = lathes_for(PLAN, SHOP, 1, rng, replace(DEFAULT, misread_chance=0.0))
    return Jobs(PLAN, SHOP, truth, rng).work().told[0]


def moves_after(row: AdviceBand) -> list[object]:
    """Moves on the bore behind the first stop on it, where a row of its table says to do something and read anew."""
    job = one_job()
    place = next(at for at, one in enumerate(job) if one.act == FIRST)
    table = AdviceTable(bands=(row,), step_mm=0.005)
    again = replace(job[place], act=replace(FIRST, table=table), again=True)
    found = [*job[:place], again, *job[place:]]
    (track,) = [one for one in tracks_of(SHEET, SHOP, NOTHING, found, scatters(NOTHING, found)) if one.surface == BORE]
    first = next(at for at, move in enumerate(track.moves) if move == track.reads[0])
    return [track.moves[first - 1], track.moves[first + 1]]


def test_what_was_cut_again_counts_by_the_marks_of_the_table() -> None:
    row = AdviceBand(low_mm=17.0, high_mm=20.0, do=Do.CUT_AGAIN, marks=Fraction(3))
    before, after = moves_after(row)
    assert isinstance(before, Passed)
    assert isinstance(after, Passed)
    assert after.travel_mm - before.travel_mm == pytest.approx(3 * 0.02)


def test_cooling_by_the_table_counts_and_what_no_row_says_is_lost() -> None:
    _, after = moves_after(AdviceBand(low_mm=17.0, high_mm=20.0, do=Do.COOL, seconds=120.0))
    assert after == Waited(seconds=120.0)
    _, unsaid = moves_after(AdviceBand(low_mm=17.0, high_mm=20.0, do=Do.SET, marks=Fraction(3)))
    assert isinstance(unsaid, Lost)


def noted(quantity: Quantity, about: About, value: float, spread: float) -> Noted:
    evidence = Evidence(date="2026-11-30", what="trial", value=value, spread=spread)
    return Noted(quantity=quantity, about=about, evidence=evidence)


def with_noted(*pieces: Noted) -> Beliefs:
    return Beliefs(shop=SHOP, learned=Learned(noted=pieces), today="2026-11-30")


def test_a_lead_that_the_plan_has_put_right_is_not_put_right_twice() -> None:
    """The sheet counts by the mended lead, so cuts fall out as from a true screw that nobody doubts."""
    cross = About(thing="cross-slide")
    wrong, true = (
        with_noted(noted(Quantity.LEAD_ERROR, cross, 0.016, 1e-4)),
        with_noted(noted(Quantity.LEAD_ERROR, cross, 0.0, 1e-4)),
    )
    factor = 1.0 + believed(wrong, Quantity.LEAD_ERROR, cross)[0]
    job = one_job()

    def springs(beliefs: Beliefs, factors: dict[str, float]) -> list[float]:
        pieces = taught_by_job(SHEET, SHOP, beliefs, job, factors=factors).pieces
        return [piece.value for piece in pieces if piece.quantity is Quantity.SPRING]

    mended = springs(wrong, {"cross-slide": factor})
    assert mended == pytest.approx(springs(true, {}), abs=1e-3)
    assert mended != pytest.approx(springs(wrong, {}), abs=1e-3)


def test_what_changes_the_next_plan_is_told_from_what_is_too_small_to_matter() -> None:
    slow = effect_of(NOTHING, noted(Quantity.TIME, About(thing="touch_s"), 60.0, 2.0), today="2026-11-30")
    same = effect_of(NOTHING, noted(Quantity.TIME, About(thing="touch_s"), 30.0, 20.0), today="2026-11-30")
    assert slow.changes_plan
    assert slow.matters
    assert slow.now is not None
    assert not same.matters
    tool = About(thing="boring-12", metal=METAL)
    vague = effect_of(NOTHING, noted(Quantity.SPRING, tool, 0.13, 0.3), today="2026-11-30")
    sharp = effect_of(NOTHING, noted(Quantity.SPRING, tool, 0.05, 0.03), today="2026-11-30")
    assert not vague.matters
    assert sharp.matters
    assert not sharp.changes_plan
