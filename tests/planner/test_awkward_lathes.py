"""Small things that a lathe lacks: each is refused by name, and what is offered gives a plan that passes."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain.bars import Bar
from handwheel.domain.chucks import Chuck, Collet
from handwheel.domain.errors import NoPlanError
from handwheel.domain.motion import Handle
from handwheel.domain.remedies import FitChuck, with_remedy
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.domain.tools import ToolKind
from handwheel.planner.dialing import back_off_marks, least_back_off_marks
from handwheel.planner.gripping import collet_for
from handwheel.planner.kinds.vee import NEAREST_UP_MM, VEE_UP_MM, vee_side_mm, vee_up_mm
from handwheel.planner.planner import make_plan
from handwheel.planner.quill import quill_scale
from tests.shops import part_of, shop_of

if TYPE_CHECKING:
    from collections.abc import Callable

PART = "steel-spacer"


def with_quill(shop: Shop, **changes: object) -> Shop:
    """The shop with its quill described otherwise."""
    tailstock = shop.lathe.tailstock
    quill = replace(tailstock.quill, **changes)
    return replace(shop, lathe=replace(shop.lathe, tailstock=replace(tailstock, quill=quill)))


def blind_quill(shop: Shop) -> Shop:
    return with_quill(shop, dial=None, aids=(), turn_mm=2.0)


def uncounted_quill(shop: Shop) -> Shop:
    return with_quill(shop, dial=None, aids=shop_of("loose-tailstock").lathe.tailstock.quill.aids, turn_mm=0.0)


def small_vees(shop: Shop) -> Shop:
    tools = tuple(
        replace(t, width_mm=1.2, head_mm=0.6) if t.kind in (ToolKind.EDGE_OUTSIDE, ToolKind.EDGE_INSIDE) else t
        for t in shop.tools
    )
    # without a scale the top slide cannot sweep the edges instead
    top = replace(shop.lathe.top, angle_scale=None)
    return replace(shop, tools=tools, lathe=replace(shop.lathe, top=top))


def low_heads(shop: Shop) -> Shop:
    """A shop without an edge tool for the bore, whose boring bars have heads lower than the corner to be swept."""
    rest = tuple(t for t in shop.tools if t.kind is not ToolKind.EDGE_INSIDE)
    return replace(shop, tools=tuple(replace(t, head_mm=0.2) if t.kind is ToolKind.BORING else t for t in rest))


def sloppy_cross(shop: Shop) -> Shop:
    """A cross-slide with so much slack that no bar of the shop can take it up in the hole of the spacer."""
    thick = tuple(t for t in shop.tools if t.id != "boring-7")
    cross = replace(shop.lathe.cross, slack_mm=Fraction(3, 2))
    return replace(shop, tools=thick, lathe=replace(shop.lathe, cross=cross))


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (blind_quill, "quill-depth-unknown"),
        (uncounted_quill, "quill-turn-unknown"),
        (small_vees, "edge-tool-too-small"),
        (low_heads, "edge-tool-too-small"),
        (sloppy_cross, "slack-leaves-no-room"),
    ],
)
def test_what_is_lacking_is_named_and_what_is_offered_works(change: Callable[[Shop], Shop], code: str) -> None:
    part, shop = part_of(PART), change(shop_of("no-power-feed"))
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    refusal = caught.value.refusal
    assert code in refusal.codes
    trouble = next(trouble for trouble in refusal.troubles if trouble.code == code)
    assert trouble.remedy
    assert refusal.remedies
    for remedy in refusal.remedies:
        part, shop = with_remedy(part, shop, remedy)
    assert check_sheet(make_plan(part, shop).sheet, shop).refusals == ()


def test_a_quill_is_read_by_the_finest_thing_it_has() -> None:
    dialled, ruled = shop_of("no-power-feed").lathe.tailstock.quill, shop_of("loose-tailstock").lathe.tailstock.quill
    assert quill_scale(dialled) is not None
    found = quill_scale(ruled)
    assert found is not None
    assert (found.step_mm, found.along, found.across) == (Fraction(1), 1.0, 0.0)
    assert quill_scale(replace(ruled, aids=())) is None


def test_the_least_way_back_is_one_and_a_half_times_the_slack_and_more_than_it() -> None:
    """PC-02: at least 1.5 times the slack, better half a turn (common practice)."""
    for name in ("huge-slack", "large-old", "tiny", "no-power-feed"):
        slide: Slide = shop_of(name).lathe.slide(Handle.CROSS)
        assert slide.dial is not None
        slack = slide.slack_mm / slide.dial.travel_per_mark_mm
        least = least_back_off_marks(slide)
        assert least >= slack * Fraction(3, 2)
        assert least > slack
        assert least == max(ceil(slack * Fraction(3, 2)), int(slack) + 1)
        assert back_off_marks(slide) == max(least, ceil(Fraction(slide.dial.marks, 2)))


def test_a_small_edge_tool_comes_nearer_to_its_corner() -> None:
    tool = next(t for t in shop_of("tiny").tools if t.kind is ToolKind.EDGE_INSIDE)
    assert vee_side_mm(tool) == tool.head_mm
    assert vee_up_mm(tool, leg_mm=0.1) == VEE_UP_MM
    assert NEAREST_UP_MM < vee_up_mm(tool, leg_mm=0.55) < VEE_UP_MM
    outside = next(t for t in shop_of("tiny").tools if t.kind is ToolKind.EDGE_OUTSIDE)
    assert vee_side_mm(outside) == outside.width_mm / 2.0


def collets(*sizes: int) -> Chuck:
    chuck = shop_of("collets-only").lathe.chuck
    return replace(chuck, collets=tuple(Collet(dia_mm=Fraction(s), closes_mm=Fraction(1, 2)) for s in sizes))


def bar_of(lower: str, upper: str) -> Bar:
    some = shop_of("collets-only").bars[0]
    return replace(some, dia_mm=Fraction(upper), dia_lower_mm=Fraction(lower), dia_upper_mm=Fraction(upper))


@pytest.mark.parametrize(
    ("lower", "upper", "size"), [("15.9", "16", 16), ("15.5", "16", 16), ("15.4", "16", None), ("15.9", "16.1", None)]
)
def test_a_collet_is_chosen_that_takes_the_bar_over_its_whole_tolerance(
    lower: str, upper: str, size: int | None
) -> None:
    found = collet_for(collets(16, 18), bar_of(lower, upper))
    assert (found.dia_mm if found else None) == size


def test_the_collet_that_is_offered_fits_the_bar() -> None:
    with pytest.raises(NoPlanError) as caught:
        make_plan(part_of("titanium-band"), shop_of("collets-only"))
    (remedy,) = caught.value.refusal.remedies
    assert isinstance(remedy, FitChuck)
    bar = shop_of("collets-only").bar("titanium-25")
    assert remedy.chuck.takes(float(bar.dia_lower_mm), float(bar.dia_upper_mm))
    assert not shop_of("collets-only").lathe.chuck.takes(float(bar.dia_lower_mm), float(bar.dia_upper_mm))


def test_a_chuck_with_jaws_has_no_collet() -> None:
    shop = shop_of("no-power-feed")
    assert collet_for(shop.lathe.chuck, shop.bars[0]) is None
