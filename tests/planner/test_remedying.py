"""How remedies are tried: nearest first, alone before together, the unnecessary dropped, never without end.

A made-up planner stands in for the real one: it lacks steps until it is given what each of them asks for. No source is
needed: what is asserted is our own rule.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import pytest
from msgspec.structs import replace

from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.part import Part
from handwheel.domain.remedies import AddToShop, AllowSize, FitDrillChuck, FitSlide, Remedy
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner import offers
from handwheel.planner.remedying import MOST_TRIES, Remedied, Trial, effort, remedied
from handwheel.planner.search import Shortfall
from handwheel.planner.way import NoWay
from tests.planner.jobs import LATHES, Ring, demo_shop, tool_of_kind

SHOP = demo_shop(LATHES[1])
PART = Ring().part


def speed(rpm: float) -> AddToShop:
    return AddToShop(thing=SpindleSpeed(rpm=rpm, position="another belt"))


def blade(reach_mm: float) -> AddToShop:
    return AddToShop(thing=offers.like(tool_of_kind(SHOP, ToolKind.PARTING), reach_mm=reach_mm))


def lacking(asked: Mapping[str, Sequence[Remedy]]) -> tuple[Shortfall, ...]:
    troubles = tuple(
        NoWay(step=step, tried="all", why=f"{step} fails", code="made-up", remedies=tuple(remedies))
        for step, remedies in asked.items()
    )
    return (Shortfall(lacking=tuple(asked), troubles=troubles),)


def tried_with(
    asked: Mapping[str, Sequence[Remedy]],
    *,
    works: Callable[[Shop], bool],
    later: Mapping[str, Sequence[Remedy]] | None = None,
) -> tuple[Remedied, list[Shop]]:
    """What is found where there is a plan if ``works``, the shops tried; ``later`` is lacking after a first try."""
    shops: list[Shop] = []

    def retry(part: Part, shop: Shop, most_jobs: int) -> Trial:
        assert part == PART
        assert most_jobs > 0
        shops.append(shop)
        return Trial(found=works(shop), shortfalls=lacking(later or asked), jobs=1)

    return remedied(PART, SHOP, lacking(asked), retry=retry), shops


def has(shop: Shop, remedy: AddToShop) -> bool:
    return remedy.thing in (*shop.tools, *shop.lathe.speeds, *shop.drills)


def test_the_nearest_remedy_that_works_alone_is_taken() -> None:
    near, far = blade(20.0), blade(60.0)
    found, shops = tried_with({"part-off": (far, near)}, works=lambda shop: has(shop, near) or has(shop, far))
    assert found.needed == (near,)
    assert len(shops) == found.tries == 1


def test_a_remedy_for_all_that_is_lacking_goes_before_one_for_a_part_of_it() -> None:
    both, one = blade(60.0), blade(20.0)
    found, _ = tried_with({"groove": (both, one), "part-off": (both,)}, works=lambda shop: has(shop, both))
    assert (found.needed, found.untried, found.tries) == ((both,), (), 1)


def test_remedies_that_only_together_serve_are_found() -> None:
    first, second = blade(20.0), speed(30.0)
    found, _ = tried_with(
        {"part-off": (first,), "bore": (second,)}, works=lambda shop: has(shop, first) and has(shop, second)
    )
    assert set(found.needed) == {first, second}


def test_what_proves_unnecessary_is_dropped() -> None:
    first, second, idle = blade(20.0), speed(30.0), AddToShop(thing=offers.turning_tool())
    found, _ = tried_with(
        {"part-off": (first,), "bore": (second,), "turning": (idle,)},
        works=lambda shop: has(shop, first) and has(shop, second),
    )
    assert set(found.needed) == {first, second}


def test_what_is_asked_for_only_after_something_was_taken_is_taken_next() -> None:
    drill = offers.drill(SHOP.drills[-1].dia_mm, depth_mm=20.0, dubbed=False)
    large, pilot = AddToShop(thing=replace(drill, id="large")), AddToShop(thing=replace(drill, id="pilot"))
    other = AddToShop(thing=replace(drill, id="other"))
    found, _ = tried_with(
        {"drill": (large, other)},
        later={"drill": (other, pilot)},
        works=lambda shop: has(shop, large) and has(shop, pilot),
    )
    assert set(found.needed) == {large, pilot}


def test_the_number_of_tries_is_bounded_and_what_was_not_found_is_not_promised() -> None:
    many = {f"step-{i}": tuple(blade(20.0 + 10 * i + j) for j in range(5)) for i in range(6)}
    found, shops = tried_with(many, works=lambda _: False)
    assert found.needed == ()
    assert found.untried
    assert len(shops) == found.tries <= MOST_TRIES


def test_the_same_try_is_not_made_twice() -> None:
    _, shops = tried_with({"part-off": (blade(20.0),)}, works=lambda _: False)
    assert len(shops) == 1


def test_a_thing_that_the_shop_already_has_under_that_name_is_not_tried() -> None:
    own = AddToShop(thing=tool_of_kind(SHOP, ToolKind.PARTING))
    found, shops = tried_with({"part-off": (own,)}, works=lambda _: True)
    assert found.needed == ()
    assert shops == []


def test_nothing_offered_is_nothing_tried() -> None:
    found, shops = tried_with({"part-off": ()}, works=lambda _: True)
    assert found == Remedied(needed=(), untried=(), tries=0)
    assert shops == []


BORE_SIZE = PART.sizes[0]


def test_remedies_are_ranked_from_saying_more_to_another_drawing() -> None:
    """Our own order: tell, another belt, a tool like one there is, buy, hold otherwise, fit, other limits."""
    ladder: tuple[Remedy, ...] = (
        FitSlide(slide=offers.with_turn(SHOP.lathe.carriage)),
        speed(20.0),
        blade(20.0),
        AddToShop(thing=offers.bar(PART, least_dia_mm=30.0, units=SHOP.units)),
        AddToShop(thing=offers.flat_plate(PART)),
        FitSlide(slide=offers.with_indicator(SHOP.lathe.carriage, reach_mm=20.0)),
        FitDrillChuck(largest_dia_mm=20.0),
        AllowSize(surface=BORE_SIZE.surface, aspect=BORE_SIZE.aspect, size=offers.wider(BORE_SIZE.size, band_mm=1.0)),
    )
    efforts = [effort(remedy, PART, SHOP) for remedy in ladder]
    assert efforts == sorted(efforts)
    assert len(set(efforts)) == len(efforts)


@pytest.mark.parametrize("pair", [(blade(20.0), blade(30.0)), (speed(20.0), speed(30.0))])
def test_within_a_rank_the_smaller_change_and_the_slower_speed_come_first(pair: tuple[Remedy, Remedy]) -> None:
    near, far = pair
    assert effort(near, PART, SHOP) < effort(far, PART, SHOP)
