"""Last cuts that bend: the best that keep it to a quarter of the tolerance, lighter ones, a finding, the check."""

from __future__ import annotations

from math import ceil

import pytest
from msgspec.structs import replace

from handwheel.check.finish import bending_load
from handwheel.check.machine import LastCut
from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.data.materials import Material, material
from handwheel.domain import acts as a
from handwheel.domain.chatter import ChatterHeard
from handwheel.domain.findings import Finding
from handwheel.domain.part import BORE
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner.attempt import attempt
from handwheel.planner.cut_case import Bending, CutCase, Schedule
from handwheel.planner.cut_limits import BENDING_WORDS
from handwheel.planner.holdings import HOLDING_MODELS
from handwheel.planner.kinds import KINDS
from handwheel.planner.passes import schedule
from tests.planner.jobs import LATHES, demo_part, demo_plan, demo_shop
from tests.planner.test_passes import HABITS, Candidate, boring, enumerate_all, force_n, last_cuts, lathe_of

INCH, METRIC = LATHES
STIFFNESS_N_UM = 6.0


def bent(what: str, name: str, tolerance_mm: float) -> CutCase:
    """Two last cuts on a diameter of that tolerance."""
    case = (
        last_cuts(name)
        if what == "outside"
        else replace(boring(name), total_mm=0.3, equal_passes=2, stiffness_n_um=9.0)
    )
    return replace(case, bending=Bending(tolerance_mm=tolerance_mm, stiffness_n_um=STIFFNESS_N_UM))


def moved_mm(case: CutCase, metal: Material, *, depth_mm: float, feed_mm_rev: float) -> float:
    """What one of the cuts bends the diameter by: the passive force is all of the cutting force on the nose alone."""
    force = force_n(
        metal.key,
        edge=case.tool.edge,
        process=case.process,
        angle_deg=case.tool.entering_deg,
        feed_mm_rev=feed_mm_rev,
        depth_mm=depth_mm,
    )
    ratio = 1.0 if depth_mm < 2.0 * case.tool.nose_radius_mm else 0.4
    return 2.0 * ratio * force / (1000.0 * STIFFNESS_N_UM)


@pytest.mark.parametrize("tolerance_mm", [0.5, 0.05, 0.02, 0.008])
@pytest.mark.parametrize("name", LATHES)
@pytest.mark.parametrize("what", ["outside", "bore"])
@pytest.mark.parametrize("key", ["cu_cw307g", "st11smnpb30"])
def test_the_schedule_is_the_best_of_a_naive_enumeration(what: str, name: str, key: str, tolerance_mm: float) -> None:
    case, metal = bent(what, name, tolerance_mm), material(key)

    def rank(one: Candidate) -> tuple[bool, int, int, float, float]:
        moved = moved_mm(case, metal, depth_mm=max(one.depths) * case.step_mm, feed_mm_rev=one.feed_mm_rev)
        over = max(0, ceil(10.0 * (moved / (0.25 * tolerance_mm) - 1.0) - 1e-9))
        return one.unusual, over, one.worth_ms, one.force_n, one.rpm

    found = schedule(case, material=metal, lathe=lathe_of(name), habits=HABITS)
    assert isinstance(found, Schedule)
    best = min(enumerate_all(case, metal, lathe_of(name)), key=rank)
    assert (found.speed.rpm, found.feed.high_mm_rev, found.depth_steps) == (best.rpm, best.feed_mm_rev, best.depths)
    share = next(load.share for load in found.loads if load.limit == BENDING_WORDS)
    moved = moved_mm(case, metal, depth_mm=max(found.depth_steps) * case.step_mm, feed_mm_rev=found.feed.high_mm_rev)
    assert share == pytest.approx(moved / (0.25 * tolerance_mm))


def test_a_narrower_tolerance_asks_for_a_finer_feed_and_is_what_binds() -> None:
    wide, narrow = (
        schedule(bent("outside", METRIC, band), material=material("cu_cw307g"), lathe=lathe_of(METRIC), habits=HABITS)
        for band in (0.5, 0.05)
    )
    assert isinstance(wide, Schedule)
    assert isinstance(narrow, Schedule)
    assert narrow.feed.high_mm_rev < wide.feed.high_mm_rev
    assert narrow.binds == BENDING_WORDS != wide.binds


def bends(plan: Plan) -> list[Finding]:
    """Findings that last cuts bend."""
    return [finding for finding in plan.findings if finding.code == "last-cuts-bend"]


def test_where_lighter_last_cuts_keep_the_limit_they_are_taken_and_the_reason_says_so() -> None:
    plan = demo_plan("bush", METRIC)
    cuts = [act.depth_mm for act in plan.sheet.acts if isinstance(act, a.Cut) and act.step == BORE]
    assert len(cuts) == 2
    assert cuts[0] == pytest.approx(cuts[1])
    assert cuts[0] < demo_shop(METRIC).habits.finish_cut_mm
    reason = next(one for one in plan.reasons if one.where == BORE and one.quantity == "depth of the two last cuts")
    assert "a quarter of the tolerance" in reason.relation
    assert bends(plan) == []


def test_where_nothing_keeps_it_the_plan_stands_and_a_finding_tells_how_far() -> None:
    found = bends(demo_plan("bush", INCH))
    assert [one.where for one in found] == [BORE]
    assert "0.0083 mm" in found[0].problem  # a quarter of H8 on 20 mm, 33 µm


def bore_case(shop: Shop) -> CutCase:
    """What the last cuts in the bore of the bush are asked in a shop."""
    made = attempt(demo_part("bush"), shop, KINDS, HOLDING_MODELS).made
    assert made is not None
    (case,) = (w.schedule.case for w in made.solved.ways if w.step.id == BORE and w.schedule is not None)
    assert case is not None
    return case


def test_what_was_heard_moves_the_limit_of_chatter_and_not_the_bending() -> None:
    shop = demo_shop(INCH)
    bar = next(tool for tool in shop.tools if tool.kind is ToolKind.BORING)
    quiet = ChatterHeard(tool=bar.id, metal=demo_part("bush").material, depth_mm=1.5, chattered=False)
    before, after = bore_case(shop), bore_case(replace(shop, chatter=(quiet,)))
    assert after.stiffness_n_um > before.stiffness_n_um
    assert before.bending is not None
    assert before.bending.stiffness_n_um == before.stiffness_n_um
    assert after.bending == before.bending


# the check ---------------------------------------------------------------------------------------------------------


def test_a_last_cut_that_no_reading_precedes_bends_away() -> None:
    plan, shop = demo_plan("bush", INCH), demo_shop(INCH)
    assert check_sheet(plan.sheet, shop).refusals == ()
    first, second = (i for i, act in enumerate(plan.sheet.acts) if isinstance(act, a.Cut) and act.step == BORE)
    readings = [i for i in range(first, second) if isinstance(plan.sheet.acts[i], a.Measure)]
    assert readings
    unread = tuple(act for i, act in enumerate(plan.sheet.acts) if i not in readings)
    codes = {refusal.code for refusal in check_sheet(replace(plan.sheet, acts=unread), shop).refusals}
    assert RefusalCode.BENDS_AWAY in codes


@pytest.mark.parametrize(
    ("read_n", "kept"), [(100.0, True), (0.0, False), (55.0, False), (145.0, False), (65.0, True), (135.0, True)]
)
def test_only_what_the_reading_has_not_taken_in_counts(*, read_n: float, kept: bool) -> None:
    """20 µm bend under 100 N, and a quarter of the tolerance is 8.25 µm: 41 N more or less."""
    last = LastCut(act="a1", feed_mm_rev=0.1, tool="bar", nose_mm=0.2, force_n=100.0, bends_mm=0.02, read_n=read_n)
    assert bending_load(last, 0.033).is_kept is kept
