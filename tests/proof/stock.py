"""The shops from which drawn shops start, of the demo and of the tests, and what of them stays by chance."""

from __future__ import annotations

from functools import cache
from random import Random
from typing import TypeVar

from msgspec.structs import replace

from handwheel.domain.lathe import Lathe
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.service.demo import DEMO_SHOPS, demo_text
from handwheel.service.intake.shop_file import read_shop
from tests.proof import screws
from tests.shops import SHOPS, shop_of

Thing = TypeVar("Thing")
DEMO_SHARE = 0.4
OWN_SHARE = 0.6
"""How often a shop of the tests keeps its own slides; those of the demo shops are always drawn anew."""


@cache
def demo_shop(name: str) -> Shop:
    """Shop of the demo."""
    return read_shop(demo_text(name), name=name)


def base_shop(chance: Random) -> Shop:
    """One of the demo shops, or of the shops of the tests."""
    if chance.random() < DEMO_SHARE:
        return demo_shop(chance.choice(tuple(DEMO_SHOPS)))
    return shop_of(chance.choice(SHOPS))


def base_named(name: str) -> Shop:
    """The shop from which one of that name was drawn."""
    known = (*(demo_shop(key) for key in DEMO_SHOPS), *(shop_of(key) for key in SHOPS))
    return next(shop for shop in known if name.endswith(shop.name))


def kept(chance: Random, things: tuple[Thing, ...], *, all_of_them: float = 0.3) -> tuple[Thing, ...]:
    """What is left lying about: now and then all of it, else nothing."""
    return things if chance.random() < all_of_them else ()


def with_slides(chance: Random, shop: Shop) -> Lathe:
    """The shop's lathe with its own slides as far as they can be read, or with others."""
    lathe = shop.lathe
    own = shop.name not in {demo_shop(key).name for key in DEMO_SHOPS} and chance.random() < OWN_SHARE
    quill = lathe.tailstock.quill
    return replace(
        lathe,
        cross=_long(lathe.cross, 120.0) if own and _is_read(lathe.cross) else screws.cross_slide(chance, lathe.cross),
        top=_long(lathe.top, 60.0) if own and _is_read(lathe.top) else screws.top_slide(chance, lathe.top),
        carriage=lathe.carriage if own else screws.carriage(chance, lathe.carriage),
        tailstock=replace(
            lathe.tailstock,
            quill=_long(quill, 90.0) if own and _is_read(quill) else screws.quill(chance, quill),
        ),
        drive_efficiency=chance.uniform(0.55, 0.85),
    )


def _is_read(slide: Slide) -> bool:
    return screws.travel_per_step_mm(slide) > 0


def _long(slide: Slide, least_mm: float) -> Slide:
    """The slide, long enough for the rings that are drawn."""
    return replace(slide, travel_mm=max(slide.travel_mm, least_mm))
