"""Taylor's law of tool life: worked values, limits, and what it refuses."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.tool_life import (
    LONGEST_LIFE_MIN,
    LifeLaw,
    edge_life_min,
    law_of_one_test,
    law_of_two_tests,
    life_left_by_speed,
    share_of_life,
    speed_for_life_m_min,
)

HSS_STEEL = LifeLaw(n=0.125, speed_at_1_min_m_min=70.0)
CARBIDE_STEEL = LifeLaw(n=0.25, speed_at_1_min_m_min=500.0)
EXTENDED = LifeLaw(n=0.13, speed_at_1_min_m_min=28.3728, feed_exponent=0.77, depth_exponent=0.37)


@pytest.mark.parametrize(
    ("law", "life", "expected"),
    [(HSS_STEEL, 15.0, 49.9), (HSS_STEEL, 60.0, 42.0), (CARBIDE_STEEL, 15.0, 254.0), (CARBIDE_STEEL, 60.0, 179.7)],
)
def test_worked_speeds(law: LifeLaw, life: float, expected: float) -> None:
    """Computed for this project from the usual constants; a guard against change, no evidence."""
    assert speed_for_life_m_min(life, law=law) == pytest.approx(expected, abs=0.5 if expected > 200 else 0.05)


@pytest.mark.parametrize(("n", "left"), [(0.125, 0.23), (0.25, 0.48)])
def test_a_fifth_too_fast_costs_most_of_the_life(n: float, left: float) -> None:
    """Computed for this project."""
    assert life_left_by_speed(1.2, n=n) == pytest.approx(left, abs=0.005)


@pytest.mark.parametrize(("longer", "share"), [(45.0, 0.80), (90.0, 0.70), (180.0, 0.61)])
def test_the_handbooks_speeds_for_longer_lives_are_one_law(longer: float, share: float) -> None:
    """Source: [MH31] p. 1105, example in hard steel with ceramic, opened: V45, V90, V180 as shares of V15, two digits.

    The law through V15 and V180 meets the two between to the printed digit.
    """
    law = law_of_two_tests((3466.0, 15.0), (2114.0, 180.0))
    assert 0.199 <= round(law.n, 3) <= 0.203
    assert speed_for_life_m_min(longer, law=law) / 3466.0 == pytest.approx(share, abs=0.005)


@given(
    speed=st.floats(5.0, 400.0),
    n=st.floats(0.08, 0.6),
    a=st.floats(0.0, 1.0),
    b=st.floats(0.0, 1.0),
    feed=st.floats(0.02, 0.5),
    depth=st.floats(0.05, 5.0),
    life=st.floats(0.6, 590.0),
)
def test_speed_for_a_life_and_the_life_at_that_speed_agree(
    speed: float, n: float, a: float, b: float, feed: float, depth: float, life: float
) -> None:
    law = LifeLaw(n=n, speed_at_1_min_m_min=speed, feed_exponent=a, depth_exponent=b)
    wanted = speed_for_life_m_min(life, law=law, feed_mm_rev=feed, depth_mm=depth)
    assert edge_life_min(wanted, law=law, feed_mm_rev=feed, depth_mm=depth) == pytest.approx(life, rel=1e-9)


@given(cut=st.floats(0.01, 100.0), speed=st.floats(1.0, 45.0))
def test_a_share_of_life_is_never_too_small(cut: float, speed: float) -> None:
    share = share_of_life(cut, cutting_speed_m_min=speed, law=HSS_STEEL)
    promised = (70.0 / speed) ** 8
    assert share >= cut / promised * (1 - 1e-12)
    assert share >= cut / LONGEST_LIFE_MIN


def test_shares_of_one_life_add_up_to_it() -> None:
    life = edge_life_min(45.0, law=HSS_STEEL)
    assert share_of_life(life, cutting_speed_m_min=45.0, law=HSS_STEEL) == pytest.approx(1.0)


def test_a_life_beyond_every_test_is_refused_and_counts_as_the_longest() -> None:
    with pytest.raises(OutOfRangeError, match=r"good for 0\.5 to 600 min; take it as lasting that long and no longer"):
        edge_life_min(20.0, law=HSS_STEEL)
    assert share_of_life(6.0, cutting_speed_m_min=20.0, law=HSS_STEEL) == 6.0 / LONGEST_LIFE_MIN


def test_a_life_below_every_test_is_refused_in_both() -> None:
    with pytest.raises(OutOfRangeError, match="choose a slower speed"):
        edge_life_min(80.0, law=HSS_STEEL)
    with pytest.raises(OutOfRangeError, match="choose a slower speed"):
        share_of_life(0.1, cutting_speed_m_min=80.0, law=HSS_STEEL)
    with pytest.raises(OutOfRangeError, match="wanted_life_min"):
        speed_for_life_m_min(LONGEST_LIFE_MIN * 1.001, law=HSS_STEEL)


@pytest.mark.parametrize(
    ("missing", "given_feed", "given_depth"), [("feed_mm_rev", None, 1.0), ("depth_mm", 0.1, None)]
)
def test_an_extended_law_asks_for_feed_and_depth(
    missing: str, given_feed: float | None, given_depth: float | None
) -> None:
    with pytest.raises(OutOfRangeError, match=f"{missing}: not given"):
        edge_life_min(30.0, law=EXTENDED, feed_mm_rev=given_feed, depth_mm=given_depth)


def test_a_law_without_feed_does_not_ask_for_it() -> None:
    assert edge_life_min(45.0, law=HSS_STEEL) == edge_life_min(45.0, law=HSS_STEEL, feed_mm_rev=0.2, depth_mm=1.0)


def test_the_reference_is_where_the_constant_holds() -> None:
    law = LifeLaw(
        n=0.125, speed_at_1_min_m_min=70.0, feed_exponent=0.42, reference_feed_mm_rev=0.3, reference_depth_mm=3.0
    )
    assert edge_life_min(45.0, law=law, feed_mm_rev=0.3) == pytest.approx(edge_life_min(45.0, law=HSS_STEEL))


@pytest.mark.parametrize("first", [(30.0, 20.0), (20.0, 10.0), (30.0, 10.0)])
def test_two_tests_that_make_no_law_are_refused(first: tuple[float, float]) -> None:
    with pytest.raises(OutOfRangeError, match="the faster wears the edge out sooner"):
        law_of_two_tests(first, (30.0, 20.0))


def test_two_tests_in_either_order_make_one_law() -> None:
    assert law_of_two_tests((25.0, 90.0), (35.0, 20.0)) == law_of_two_tests((35.0, 20.0), (25.0, 90.0))


def test_one_test_lies_on_its_law() -> None:
    law = law_of_one_test(30.0, lasted_min=20.0, n=0.125)
    assert edge_life_min(30.0, law=law) == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"n": 0.01}, "n"),
        ({"n": 1.1}, "n"),
        ({"speed_at_1_min_m_min": 0.0}, "speed_at_1_min"),
        ({"feed_exponent": -0.1}, "feed_exponent"),
        ({"depth_exponent": 2.1}, "depth_exponent"),
        ({"reference_feed_mm_rev": 0.0}, "reference_feed"),
        ({"reference_depth_mm": -1.0}, "reference_depth"),
    ],
)
def test_a_law_that_no_tool_has_is_refused(change: dict[str, float], named: str) -> None:
    with pytest.raises(OutOfRangeError, match=named):
        LifeLaw(**{"n": 0.2, "speed_at_1_min_m_min": 100.0, **change})
