"""What a machinist stops at on a sheet: cautions at the cut itself, a clear tailstock, speeds that still hold."""

from __future__ import annotations

from itertools import pairwise

import pytest

from handwheel.data.cautions import work_caution
from handwheel.domain import acts as a
from handwheel.domain.bars import BarShape
from handwheel.domain.findings import Severity
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.motion import Handle
from handwheel.domain.part import BACK_FACE, OUTSIDE
from handwheel.domain.plan import Plan
from handwheel.planner.kinds.drill import TAILSTOCK_UP
from handwheel.planner.planner import make_plan
from handwheel.planner.writer import TOOLPOST_BACK
from tests.demo_plans import PAIRS, acts_of, demo_plan, demo_shop
from tests.planner.held import MEANS, shop_with
from tests.planner.holes import made
from tests.planner.test_ways_of_holding import plan_in
from tests.shops import part_of, shop_of

METRIC = "metric-lathe"
PARTING = work_caution("parting").text


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_the_parting_caution_stands_at_the_parting_cut_and_nowhere_else(part: str, shop: str) -> None:
    """Cautions stand where the hand is about to move (common practice, no source)."""
    acts = demo_plan(part, shop).sheet.acts
    warned = [(act, after) for act, after in pairwise(acts) if PARTING in act.cautions]
    assert len(warned) == 1
    cut, parted = warned[0]
    assert isinstance(cut, a.Cut)
    assert isinstance(parted, a.PartOff)


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_the_tailstock_is_brought_up_before_a_hole_and_out_of_the_way_after_it(part: str, shop: str) -> None:
    """Common practice, no source: a drill left in front of the work is what the carriage runs into."""
    plan = demo_plan(part, shop)
    assert {act.note for act in acts_of(plan, a.FitDrill)} == {TAILSTOCK_UP}
    stops = [after for act, after in pairwise(plan.sheet.acts) if isinstance(act, a.DrillHole)]
    assert all("slide the tailstock away" in act.note for act in stops)


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_a_drill_that_opens_a_hole_touches_with_its_cone_at_the_rim(part: str, shop: str) -> None:
    """Geometry: the point of such a drill stands in the hole before anything touches."""
    touches = [act.contact for act in acts_of(demo_plan(part, shop), a.Touch) if act.handle is Handle.QUILL]
    assert touches[0] == "point of the drill"
    assert set(touches[1:]) == {"cone of the drill, at the rim of the hole,"}


def test_the_time_of_a_drill_covers_the_way_that_it_is_fed() -> None:
    """Time is way over feed times speed (reference turning-time relation of the worked examples), point included."""
    shop, plan = demo_shop(METRIC), demo_plan("bush", METRIC)
    rpm, feed, hole, seen = 0.0, None, 0.0, 0
    drill = shop.drills[0]
    for act in plan.sheet.acts:
        match act:
            case a.SetSpeed():
                rpm = act.rpm
            case a.SetFeed():
                feed = act
            case a.FitDrill():
                drill = shop.drill(act.drill)
            case a.DrillHole() if feed is not None:
                way = act.point_mm * (1.0 - hole / float(drill.dia_mm)) - act.setting.expected_mm
                mean = (feed.low_mm_rev + feed.high_mm_rev) / 2.0
                # the depth is rounded up to a whole mark of the quill, and the estimate is made before that
                assert act.seconds == pytest.approx(60.0 * way / (mean * rpm), rel=0.03)
                hole, seen = float(drill.dia_mm) if drill.kind is DrillKind.TWIST else hole, seen + 1
            case _:
                pass
    assert seen == 3


def test_swinging_the_top_slide_says_to_set_the_toolpost_back() -> None:
    """Geometry: the post is clamped on the slide, and the tool turns with it."""
    notes = {act.note for act in acts_of(demo_plan("bush", METRIC), a.SwingSlide)}
    assert notes
    assert all(note.endswith(TOOLPOST_BACK) for note in notes)


@pytest.mark.parametrize("kind", list(MEANS))
def test_speed_and_feed_are_set_anew_after_a_holding_is_made_ready(kind: str) -> None:
    """Common practice, no source: turning a stub or boring jaws takes speeds and feeds of its own."""
    acts = plan_in(kind, METRIC).sheet.acts
    last = max(i for i, act in enumerate(acts) if isinstance(act, a.Regrip))
    after = acts[last:]
    first_cut = next(i for i, act in enumerate(after) if isinstance(act, a.Cut))
    assert any(isinstance(act, a.SetSpeed) for act in after[:first_cut])
    assert any(isinstance(act, a.SetFeed) for act in after[:first_cut])


def bar_taken_out(plan: Plan) -> list[int]:
    """Places of the acts that take what is left of the bar out."""
    kinds = (a.HandKind.NOTE,)
    acts = plan.sheet.acts
    return [
        i for i, act in enumerate(acts) if isinstance(act, a.HandStep) and act.kind in kinds and "bar out" in act.text
    ]


@pytest.mark.parametrize("kind", list(MEANS))
def test_the_bar_leaves_the_lathe_once_before_a_ring_is_held(kind: str) -> None:
    """Plain sense, no source: chuck and spindle are needed for the ring."""
    plan = plan_in(kind, METRIC)
    acts = plan.sheet.acts
    parted = next(i for i, act in enumerate(acts) if isinstance(act, a.PartOff))
    held = next(i for i, act in enumerate(acts) if isinstance(act, a.Regrip) and act.holding.turned)
    (out,) = bar_taken_out(plan)
    assert parted < out < held


def test_a_ring_that_is_only_rubbed_leaves_the_bar_where_it_is() -> None:
    """Plain sense, no source."""
    assert bar_taken_out(demo_plan("bush", METRIC)) == []


def test_facing_the_back_goes_by_the_measured_width() -> None:
    """Common practice, no source: the raw face is where the blade left it, not where the plan put it."""
    acts = plan_in("stub-mandrel", METRIC).sheet.acts
    zeros = [act for act in acts if isinstance(act, a.SetZero) and act.surface == BACK_FACE]
    (raw,) = (act for act in zeros if act.stands_for_mm > 0.01)
    assert "6.30 mm" in raw.note
    assert "6.00 mm" in raw.note


def test_a_shop_without_a_centre_drill_is_told_that_the_first_drill_may_wander() -> None:
    """Common practice, no source. With a centre drill, or a tube that needs no first drill, nothing is said."""
    bare = make_plan(part_of("stainless-bush"), shop_of("three-drills"))
    told = [finding for finding in bare.findings if finding.code == "no-centre-drill"]
    assert [finding.severity for finding in told] == [Severity.WARNING]
    for plan in (demo_plan("bush", METRIC), made("tube", METRIC).plan):
        assert "no-centre-drill" not in {finding.code for finding in plan.findings}


def test_a_hexagon_is_measured_over_its_turned_corners() -> None:
    """Geometry: over the flats the gauge would read the bar, not the cut. A round bar says nothing of it."""
    case = made("hexagon", METRIC)
    flats = float(case.plan.sheet.part.outside_radius_mm) * 2.0 + 4.0
    assert {bar.shape for bar in case.shop.bars} == {BarShape.HEXAGON}
    measured = [act for act in acts_of(case.plan, a.Measure) if act.surface == OUTSIDE]
    assert [bool(act.note) for act in measured] == [act.expected_mm > flats for act in measured]
    assert any(act.note for act in measured)
    round_bar = [act for act in acts_of(demo_plan("bush", METRIC), a.Measure) if act.surface == OUTSIDE]
    assert not any(act.note for act in round_bar)


def test_the_shop_of_every_holding_owns_that_holding() -> None:
    """The cases above are about the means that they name."""
    for kind, means in MEANS.items():
        assert means in shop_with(METRIC, means).holdings
        assert means.kind == kind
