"""Whatever stands in a sheet, the check answers with refusals and never falls over."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import inf, nan
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.domain.acts import Act, Setting
from handwheel.domain.contour import Contour, Point, Segment
from handwheel.domain.holding import Holding
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.part import Part
from handwheel.domain.plan import Sheet
from tests.unit.check.sheets import changed, in_soft_jaws, ring_acts, ring_part, sheet_of, simple_shop

ACTS = ring_acts()
SHOP = simple_shop()

senseless: st.SearchStrategy[object] = st.sampled_from(
    [nan, inf, -inf, 1e308, -1e5, 0.0, 10**400, -1, None, "", "front-face", "raw", True, (), object()]
) | st.sampled_from([Fraction(1, 10**12), Fraction(10**9), Fraction(1, 3), *Handle, *Motion, *Turn])
plausible = st.floats(-60.0, 60.0) | st.integers(-60, 60) | st.fractions(-60, 60, max_denominator=64)


def refield(draw: Callable[[st.SearchStrategy[Any]], Any], thing: msgspec.Struct) -> msgspec.Struct:
    """Return a struct with one field, or one of a field's own, set to some value."""
    name = draw(st.sampled_from(thing.__struct_fields__))
    inner = getattr(thing, name)
    deeper = isinstance(inner, Setting | Holding)
    value = refield(draw, inner) if deeper and draw(st.booleans()) else draw(senseless | plausible)
    return replace(thing, **{name: value})


@st.composite
def hostile_sheets(draw: Callable[[st.SearchStrategy[Any]], Any]) -> Sheet:
    """The tiny job with acts lost, doubled, exchanged, and fields set to anything."""
    acts: list[Any] = list(ACTS)
    for _ in range(draw(st.integers(1, 4))):
        where = draw(st.integers(0, len(acts) - 1))
        other = draw(st.integers(0, len(acts) - 1))
        match draw(st.sampled_from(["lose", "double", "exchange", "refield", "refield", "refield"])):
            case "lose":
                del acts[where : where + draw(st.integers(1, 5))]
            case "double":
                acts.insert(where, acts[other])
            case "exchange":
                acts[where], acts[other] = acts[other], acts[where]
            case _:
                acts[where] = refield(draw, acts[where])
        if not acts:
            break
    return sheet_of(tuple(acts))


@settings(max_examples=250, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(hostile_sheets())
def test_no_sheet_makes_the_check_fall_over(sheet: Sheet) -> None:
    report = check_sheet(sheet, SHOP)
    assert report.ok is (len(report.refusals) == 0)
    assert all(refusal.text for refusal in report.refusals)
    # a part inside all limits without a refusal, or a refusal: never silence about a bad part
    assert not report.ok or all(size.inside for size in report.sizes)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(st.lists(st.sampled_from(ACTS), max_size=40))
def test_acts_in_any_order_are_answered(acts: list[Act]) -> None:
    assert not check_sheet(sheet_of(tuple(acts)), SHOP).ok


@pytest.mark.parametrize("stranger", [None, 7, "cut", object(), Point(0.0, 0.0)])
def test_what_is_no_act_is_refused_and_passed_over(stranger: object) -> None:
    acts: tuple[Any, ...] = (*ACTS, stranger)
    assert [refusal.code for refusal in check_sheet(sheet_of(acts), SHOP).refusals] == [RefusalCode.UNKNOWN_ACT]


def test_acts_that_are_no_list_are_refused() -> None:
    acts: Any = "load the bar"
    assert [refusal.code for refusal in check_sheet(sheet_of(acts), SHOP).refusals] == [RefusalCode.MALFORMED]


def test_a_part_whose_outline_crosses_itself_is_refused() -> None:
    part = ring_part()
    bulge = (
        Segment(id="front-inner-edge", start=Point(0.0, 6.4), end=Point(-0.4, 6.0)),
        Segment(id="bore", start=Point(-0.4, 6.0), end=Point(-3.0, 10.0)),
        Segment(id="back-inner-edge", start=Point(-3.0, 10.0), end=Point(-6.0, 6.4)),
    )
    crossed = replace(part, inner=Contour(segments=bulge))
    assert [refusal.code for refusal in check_sheet(sheet_of(ACTS, crossed), SHOP).refusals] == [RefusalCode.MALFORMED]


def test_a_part_with_a_place_that_is_no_number_is_refused() -> None:
    part = ring_part()
    first = part.outer.segments[1]
    segments = (part.outer.segments[0], first, replace(part.outer.segments[2], end=Point(nan, 8.6)))
    with_nan: Part = replace(part, outer=Contour(segments=segments))
    report = check_sheet(sheet_of(ACTS, with_nan), SHOP)
    assert [refusal.code for refusal in report.refusals] == [RefusalCode.MALFORMED]
    assert "nan" in report.refusals[0].text


def test_a_blocked_outline_that_crosses_itself_is_refused() -> None:
    bow_tie = (Point(0.0, 0.0), Point(1.0, 1.0), Point(1.0, 0.0), Point(0.0, 1.0))
    for outline in (bow_tie, bow_tie[:2]):
        acts = changed(ACTS, "regrip", holding=in_soft_jaws(blocked=(outline,)))
        codes = [refusal.code for refusal in check_sheet(sheet_of(acts), SHOP).refusals]
        assert codes == [RefusalCode.MALFORMED, RefusalCode.REST_NOT_LOOKED_AT]
