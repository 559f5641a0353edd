"""Beliefs in closed form agree with the posterior worked out by brute force, and fade and return as they must."""

from __future__ import annotations

from functools import cache
from math import inf, sqrt

import numpy as np
import pytest
from msgspec.structs import replace

from handwheel.bench.learning.believing import (
    belief,
    beliefs_version,
    believed,
    grouped,
    has_learned,
    learned_beliefs,
    strangers,
)
from handwheel.bench.learning.chain import NOTHING_KNOWN, Jump, Normal, combined, learned_today
from handwheel.bench.learning.priors import differences, prior_of, require_about, require_sensible, scatter_of
from handwheel.data.priors import fading, prior_rows
from handwheel.domain.beliefs import (
    EVENT_SUBJECT,
    SUBJECT_OF,
    About,
    Beliefs,
    Event,
    EventKind,
    Evidence,
    Learned,
    Noted,
    Quantity,
)
from handwheel.domain.errors import OutOfRangeError, ShopError
from handwheel.domain.shop import Shop
from handwheel.service.demo import demo_text
from handwheel.service.intake.shop_file import read_shop

TODAY = "2026-11-30"
BORING = About(thing="right-hand-hss", metal="ti_gr2")


@cache
def shop() -> Shop:
    return read_shop(demo_text("metric-lathe"), name="metric-lathe.toml")


def piece(value: float, spread: float, date: str = TODAY, *, withdrawn: bool = False) -> Evidence:
    return Evidence(date=date, what=f"plan of {date}", value=value, spread=spread, withdrawn=withdrawn)


def noted(value: float, spread: float, date: str = TODAY, about: About = BORING) -> Noted:
    return Noted(quantity=Quantity.SPRING, about=about, evidence=piece(value, spread, date))


def learned(*rows: Noted, events: tuple[Event, ...] = ()) -> Beliefs:
    return Beliefs(shop=shop(), learned=Learned(noted=rows, events=events), today=TODAY)


def dense(
    prior: tuple[float, float], seen: list[tuple[float, float]], between: list[float], job: float
) -> tuple[float, float]:
    """Posterior of the state today by linear algebra on all states at once.

    States are today's, then those of the pieces from the latest to the earliest, each the one before plus a wander
    of variance ``between``.
    """
    n = len(seen) + 1
    precision, weighted = np.zeros((n, n)), np.zeros(n)
    precision[0, 0] += 1.0 / prior[1] ** 2
    weighted[0] += prior[0] / prior[1] ** 2
    for at, ((value, spread), wander) in enumerate(zip(seen, between, strict=True), start=1):
        tie = np.zeros(n)
        tie[at - 1], tie[at] = 1.0, -1.0
        precision += np.outer(tie, tie) / wander
        precision[at, at] += 1.0 / (spread**2 + job**2)
        weighted[at] += value / (spread**2 + job**2)
    covariance = np.linalg.inv(precision)
    return float((covariance @ weighted)[0]), sqrt(covariance[0, 0])


def test_one_job_agrees_with_the_posterior_summed_over_a_grid() -> None:
    """Prior and one piece of today, integrated numerically over the long-run value and the scatter of two jobs."""
    prior, scatter = prior_of(shop(), Quantity.SPRING, BORING), scatter_of(shop(), Quantity.SPRING, BORING)
    long_run = np.linspace(-0.4, 0.7, 5501)
    at = sqrt(prior.spread**2 - scatter.job**2)
    weight = np.exp(-(((long_run - prior.value) / at) ** 2) / 2)
    this_job = np.linspace(-0.4, 0.7, 1101)[:, None]
    likely = np.exp(-(((this_job - long_run) / scatter.job) ** 2) / 2) * np.exp(-(((0.06 - this_job) / 0.01) ** 2) / 2)
    weight = weight * likely.sum(axis=0)
    weight /= weight.sum()
    mean = float((weight * long_run).sum())
    variance = float((weight * (long_run - mean) ** 2).sum()) + scatter.job**2
    assert believed(learned(noted(0.06, 0.01)), Quantity.SPRING, BORING) == pytest.approx(
        (mean, sqrt(variance)), rel=1e-5
    )


@pytest.mark.parametrize("seed", range(5))
def test_many_jobs_with_events_agree_with_all_states_at_once(seed: int) -> None:
    chance = np.random.default_rng(seed)
    days = ["2025-02-01", "2025-07-15", "2026-01-10", "2026-06-30", "2026-11-01"]
    rows = [noted(float(chance.normal(0.1, 0.05)), float(chance.uniform(0.005, 0.05)), day) for day in days]
    sharpened = [
        Event(date=day, kind=EventKind.EDGE_CHANGED, about="right-hand-hss") for day in ("2025-09-01", "2026-07-01")
    ]
    prior, scatter = prior_of(shop(), Quantity.SPRING, BORING), scatter_of(shop(), Quantity.SPRING, BORING)
    jump = (0.5 * prior.spread) ** 2
    year = scatter.year**2 / 365.25
    gaps = [year * 29, year * 124 + jump, year * 171, year * 179 + jump, year * 164]  # counted on a calendar
    seen = [(row.evidence.value, row.evidence.spread) for row in reversed(rows)]
    at = sqrt(prior.spread**2 - scatter.job**2)
    mean, spread = dense((prior.value, at), seen, gaps, scatter.job)
    chance.shuffle(rows)
    found = believed(learned(*rows, events=tuple(sharpened)), Quantity.SPRING, BORING)
    assert found == pytest.approx((mean, sqrt(spread**2 + scatter.job**2)), rel=1e-9)


def test_a_like_tool_tells_less_than_the_tool_itself_and_however_often_no_more_than_their_difference() -> None:
    other = About(thing="right-hand-carbide", metal="ti_gr2")
    own = believed(learned(noted(0.05, 0.005)), Quantity.SPRING, BORING)
    once = believed(learned(noted(0.05, 0.005, about=other)), Quantity.SPRING, BORING)
    often = believed(learned(*[noted(0.05, 0.005, about=other)] * 400), Quantity.SPRING, BORING)
    assert own[1] < once[1] < prior_of(shop(), Quantity.SPRING, BORING).spread
    scatter = scatter_of(shop(), Quantity.SPRING, BORING)
    assert often[1] > scatter.apart * 0.8
    assert belief(learned(noted(0.05, 0.005, about=other)), Quantity.SPRING, BORING).related == 1


def test_two_metals_of_one_family_count_together() -> None:
    one, other = About(thing="right-hand-hss", metal="cu_cw614n"), About(thing="right-hand-hss", metal="cu_cw508l")
    assert grouped(one) == grouped(other)
    found = belief(learned(noted(0.05, 0.005, about=one), noted(0.06, 0.005, about=other)), Quantity.SPRING, one)
    assert len(found.evidence) == 2
    assert found.related == 0


def test_nothing_learned_leaves_the_prior() -> None:
    prior = prior_of(shop(), Quantity.SPRING, BORING)
    found = belief(Beliefs(shop=shop()), Quantity.SPRING, BORING)
    assert (found.value, found.spread) == pytest.approx((prior.value, prior.spread))
    assert found.evidence == ()
    assert not has_learned(Beliefs(shop=shop()), Quantity.SPRING, BORING)


def test_an_edge_changed_fades_what_was_learned_before_and_not_after() -> None:
    changed = (Event(date="2026-10-01", kind=EventKind.EDGE_CHANGED, about="right-hand-hss"),)
    before, after = noted(0.05, 0.01, "2026-09-01"), noted(0.05, 0.01, "2026-10-02")
    for row, fades in ((before, True), (after, False)):
        plain, faded = (believed(learned(row, events=events), Quantity.SPRING, BORING) for events in ((), changed))
        assert (faded[1] > plain[1]) is fades
        assert (faded == plain) is not fades


def test_on_the_day_itself_evidence_counts_as_before_unless_times_say_otherwise() -> None:
    at_noon = (Event(date="2026-10-01T12:00", kind=EventKind.EDGE_CHANGED, about="right-hand-hss"),)
    spreads = {
        date: believed(learned(noted(0.05, 0.01, date), events=at_noon), Quantity.SPRING, BORING)[1]
        for date in ("2026-10-01", "2026-10-01T11:59", "2026-10-01T12:01")
    }
    assert spreads["2026-10-01"] == spreads["2026-10-01T11:59"] > spreads["2026-10-01T12:01"]


def test_an_event_of_another_thing_or_kind_fades_nothing() -> None:
    row = noted(0.05, 0.01, "2026-09-01")
    for event in (
        Event(date="2026-10-01", kind=EventKind.EDGE_CHANGED, about="blade-2"),
        Event(date="2026-10-01", kind=EventKind.GIB_ADJUSTED, about="cross-slide"),
    ):
        assert believed(learned(row, events=(event,)), Quantity.SPRING, BORING) == believed(
            learned(row), Quantity.SPRING, BORING
        )


def test_evidence_ages() -> None:
    new, old = (
        believed(learned(noted(0.05, 0.01, date)), Quantity.SPRING, BORING)[1] for date in (TODAY, "2016-11-30")
    )
    assert old > new


def test_withdrawn_evidence_is_shown_and_does_not_count() -> None:
    row = noted(0.05, 0.01)
    gone = replace(row, evidence=replace(row.evidence, withdrawn=True))
    found = belief(learned(gone), Quantity.SPRING, BORING)
    assert (found.value, found.spread) == believed(Beliefs(shop=shop()), Quantity.SPRING, BORING)
    assert len(found.evidence) == 1
    assert found.counting == ()
    assert beliefs_version(learned(gone).learned) == beliefs_version(Learned())
    assert beliefs_version(learned(row).learned) != beliefs_version(Learned())


def test_what_nobody_knows_beforehand_needs_a_trial() -> None:
    about = About(thing="polished", metal="steel_1018")
    with pytest.raises(OutOfRangeError, match="polish loss of polished in steel_1018: got no trial"):
        believed(Beliefs(shop=shop()), Quantity.POLISH_LOSS, about)
    tried = Noted(quantity=Quantity.POLISH_LOSS, about=about, evidence=piece(0.008, 0.001))
    value, spread = believed(learned(tried), Quantity.POLISH_LOSS, about)
    assert value == pytest.approx(0.008)
    assert spread == pytest.approx(sqrt(0.001**2 + 2 * 0.002**2))


def test_a_time_that_the_shop_puts_at_nought_is_learned_from_evidence_alone() -> None:
    idle = replace(shop(), habits=replace(shop().habits, cool_s=0.0))
    row = Noted(quantity=Quantity.TIME, about=About(thing="cool_s"), evidence=piece(240.0, 20.0))
    found = Beliefs(shop=idle, learned=Learned(noted=(row,)), today=TODAY)
    assert believed(found, Quantity.TIME, About(thing="cool_s")) == pytest.approx((240.0, 20.0))


def test_things_that_the_shop_lost_wait_and_are_named() -> None:
    row = noted(0.05, 0.01, about=About(thing="sold", metal="ti_gr2"))
    assert strangers(learned(row)) == ("tool 'sold'",)
    assert learned_beliefs(learned(row)) == ()
    assert believed(learned(row), Quantity.SPRING, BORING) == believed(Beliefs(shop=shop()), Quantity.SPRING, BORING)


def test_what_cannot_be_is_refused_with_what_would_do() -> None:
    with pytest.raises(ShopError, match="'nothing' is no tool of shop"):
        require_about(shop(), Quantity.SPRING, About(thing="nothing"))
    with pytest.raises(ShopError, match="no metal changes it"):
        require_about(shop(), Quantity.SLACK, About(thing="cross-slide", metal="ti_gr2"))
    for value in (float("nan"), 3.0):
        with pytest.raises(OutOfRangeError, match="spring share: got"):
            require_sensible(Quantity.SPRING, value)


@pytest.mark.parametrize(
    ("value", "spread", "date"),
    [
        (float("nan"), 0.1, TODAY),
        (0.1, 0.0, TODAY),
        (0.1, -1.0, TODAY),
        (0.1, inf, TODAY),
        (0.1, 0.1, "2026-02-29"),
        (0.1, 0.1, "30.11.2026"),
    ],
)
def test_hostile_evidence_is_refused(value: float, spread: float, date: str) -> None:
    with pytest.raises(OutOfRangeError, match="got"):
        Evidence(date=date, what="a plan", value=value, spread=spread)


def test_what_lies_ahead_of_today_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="later than today"):
        learned(noted(0.05, 0.01, "2026-12-01"))
    with pytest.raises(OutOfRangeError, match="later than today"):
        learned(events=(Event(date="2027-01-01", kind=EventKind.EDGE_CHANGED, about="right-hand-hss"),))


def test_two_beliefs_that_know_nothing_know_nothing_together() -> None:
    assert combined(NOTHING_KNOWN, NOTHING_KNOWN).variance == inf
    sure = Normal(middle=1.0, variance=0.0)
    assert combined(sure, Normal(middle=2.0, variance=1.0)) == sure
    assert learned_today([], [Jump(date=TODAY, variance=1.0)], today=TODAY, job_variance=0, drift_variance_year=0) == (
        NOTHING_KNOWN
    )


def test_every_quantity_has_a_row_whose_figures_make_sense() -> None:
    rows = prior_rows()
    assert set(rows) == set(Quantity)
    for quantity, row in rows.items():
        assert row.job_scatter < row.spread, quantity
        assert row.least < row.most, quantity


def test_every_event_fades_something_of_its_own_subject_alone() -> None:
    assert {event for event, _ in fading()} == set(EventKind)
    for (event, quantity), added in fading().items():
        assert EVENT_SUBJECT[event] is SUBJECT_OF[quantity]
        assert added > 0.0


def test_a_thing_of_another_kind_tells_nothing() -> None:
    other = next(tool.id for tool in shop().tools if tool.kind is not shop().tool("right-hand-hss").kind)
    assert differences(shop(), Quantity.SPRING, BORING, About(thing=other, metal="ti_gr2")) is None
    assert differences(shop(), Quantity.SLACK, About(thing="cross-slide"), About(thing="top slide")) is None
