"""Limits looked up anew: just inside and just outside, with the row that they come from."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from handwheel.check.limits import (
    CutFacts,
    cut_kind,
    least_depth_fault,
    least_feed_fault,
    metal_speed_fault,
    pace_fault,
    pace_feed_fault,
)
from handwheel.check.report import RefusalCode
from handwheel.data.materials import material
from handwheel.data.speeds import CutKind
from handwheel.domain.acts import FeedKind
from handwheel.domain.habits import Habits
from handwheel.domain.motion import Edge
from handwheel.domain.tools import ToolKind
from handwheel.physics.speed import spindle_speed_rpm
from tests.unit.check.sheets import CARRIAGE, CARRIAGE_SLIDE, CROSS, CROSS_SLIDE, by_hand, power

TURNED = CutFacts(kind=ToolKind.TURNING, edge=Edge.HSS, is_edge=False, depth_mm=0.5, largest_dia_mm=20.0)
FINE = power("f", CROSS, 0.1, "B")
COARSE = power("f", CROSS, 0.2, "C")


@pytest.mark.parametrize(
    ("metal", "edge", "cut", "high_m_min"),
    [
        # MaterialTable rows vc_hss_rough and vc_hss_finish, upper ends
        ("st_c45", Edge.HSS, CutKind.DRILL, 30.0),
        ("ss304", Edge.HSS, CutKind.ROUGH, 12.0),
        ("ss304", Edge.HSS, CutKind.FINISH, 24.0),
        # boring at most 0.90, parting at most 0.70 of rough turning (common practice)
        ("ss304", Edge.HSS, CutKind.BORE, 10.8),
        ("ss304", Edge.HSS, CutKind.PART, 8.4),
        ("ss304", Edge.CARBIDE, CutKind.ROUGH, 61.0),
    ],
)
def test_speeds_end_at_the_upper_end_of_their_row(metal: str, edge: Edge, cut: CutKind, high_m_min: float) -> None:
    limit = spindle_speed_rpm(high_m_min, cut_dia_mm=20.0)
    for share, refused in ((1.0, False), (1.02, True)):
        found = metal_speed_fault(material(metal), edge=edge, cut=cut, speed_rpm=limit * share, cut_dia_mm=20.0)
        assert (found is not None) is refused
        assert found is None or found[0] is RefusalCode.SPEED_ABOVE_METAL


def test_a_point_on_the_axis_has_no_surface_speed() -> None:
    assert metal_speed_fault(material("ss304"), edge=Edge.HSS, cut=CutKind.ROUGH, speed_rpm=5e3, cut_dia_mm=0.0) is None


@pytest.mark.parametrize(
    ("facts", "feed", "kind"),
    [
        (TURNED, FINE, CutKind.FINISH),
        (TURNED, COARSE, CutKind.ROUGH),
        (TURNED, None, CutKind.ROUGH),
        (replace(TURNED, depth_mm=1.1), FINE, CutKind.ROUGH),
        (replace(TURNED, kind=ToolKind.BORING), FINE, CutKind.BORE),
        (replace(TURNED, kind=ToolKind.PARTING), FINE, CutKind.PART),
        (replace(TURNED, kind=ToolKind.GROOVING), FINE, CutKind.PART),
        (replace(TURNED, kind=ToolKind.EDGE_OUTSIDE), FINE, CutKind.FINISH),
    ],
)
def test_the_row_follows_from_tool_depth_and_feed(facts: CutFacts, feed: object, kind: CutKind) -> None:
    assert cut_kind(facts, feed) is kind  # type: ignore[arg-type]  # a feed or none


def test_feeds_below_the_least_are_refused_in_metals_that_harden_only() -> None:
    """Rows min_feed: 0.06 mm/rev for 304, 0.03 for C45, which does not harden."""
    assert least_feed_fault(material("ss304"), power("f", CROSS, 0.06, "B")) is None
    found = least_feed_fault(material("ss304"), power("f", CROSS, 0.059, "B"))
    assert found is not None
    assert found[0] is RefusalCode.FEED_TOO_FINE
    assert least_feed_fault(material("st_c45"), power("f", CROSS, 0.01, "B")) is None


@pytest.mark.parametrize(
    ("metal", "facts", "refused"),
    [
        ("ss304", replace(TURNED, depth_mm=0.15), False),
        ("ss304", replace(TURNED, depth_mm=0.14), True),
        ("ss304", replace(TURNED, depth_mm=0.14, is_edge=True), False),
        ("ss304", replace(TURNED, depth_mm=0.14, kind=ToolKind.PARTING), False),
        ("st_c45", replace(TURNED, depth_mm=0.05), False),
        ("st_c45", replace(TURNED, depth_mm=0.04), True),
    ],
)
def test_whispers_of_cuts_are_refused(metal: str, facts: CutFacts, refused: bool) -> None:  # noqa: FBT001  a column of the table
    """Row min_depth of 304: 0.15 mm; of C45: 0.05 mm."""
    found = least_depth_fault(material(metal), facts)
    assert (found is not None) is refused


def test_the_larger_wheel_of_the_carriage_turns_more_slowly() -> None:
    habits = Habits(hand_pace_fast_s=3.0, hand_pace_slow_s=30.0, carriage_wheel_factor=2.5)
    assert pace_fault(habits, by_hand("f", CROSS, 400, fast=3.0, slow=30.0)) is None
    assert pace_fault(habits, by_hand("f", CROSS, 400, fast=2.9, slow=30.0)) is not None
    assert pace_fault(habits, by_hand("f", CROSS, 400, fast=3.0, slow=31.0)) is not None
    assert pace_fault(habits, by_hand("f", CARRIAGE, 400, lead=20.0, fast=7.5, slow=75.0)) is None
    assert pace_fault(habits, by_hand("f", CARRIAGE, 400, lead=20.0, fast=7.0, slow=75.0)) is not None


def test_a_pace_gives_its_feed_at_one_speed_only() -> None:
    """Lead 1 mm, a turn in 3 to 6 s at 400 rev/min: 1/20 to 1/40 mm/rev."""
    feed = by_hand("f", CROSS, 400)
    assert (feed.high_mm_rev, feed.low_mm_rev) == (0.05, 0.025)
    assert pace_feed_fault(CROSS_SLIDE, feed, speed_rpm=400.0) is None
    assert pace_feed_fault(CROSS_SLIDE, feed, speed_rpm=430.0) is None
    assert pace_feed_fault(CROSS_SLIDE, feed, speed_rpm=500.0) is not None
    assert pace_feed_fault(replace(CARRIAGE_SLIDE, dial=None), feed, speed_rpm=500.0) is None
    assert pace_feed_fault(CROSS_SLIDE, power("f", CROSS, 0.1, "B"), speed_rpm=500.0) is None
    assert FINE.kind is FeedKind.POWER
