"""Remedies: the one change to shop or part that would make something possible, whole enough to be tried.

A remedy carries the whole thing it asks for (a tool with its reach, a bar with its diameter), so that the planner can
try it before it names it, and anyone can try it again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from handwheel.domain.motion import Handle
from handwheel.domain.part import Aspect, Part, SizedFeature
from handwheel.domain.shop import (
    Bar,
    Chuck,
    Drill,
    Gauge,
    HoldingMeans,
    Shop,
    Slide,
    SpindleSpeed,
    Tap,
    Tool,
)
from handwheel.domain.size import Size

Owned = Tool | Drill | Tap | Gauge | Bar | HoldingMeans | SpindleSpeed
"""Whatever a shop file lists that can be bought, made or borrowed, or a speed that a belt or back gear can give."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AddToShop:
    """Own (and enter in the shop file) one more thing."""

    thing: Owned


@dataclass(frozen=True, slots=True, kw_only=True)
class FitSlide:
    """Describe a slide more fully, or fit it with what it lacks: dial, readout, indicator, travel of a turn."""

    slide: Slide


@dataclass(frozen=True, slots=True, kw_only=True)
class AllowSize:
    """Accept other limits, or another size, for one dimension of the drawing."""

    surface: str
    aspect: Aspect
    size: Size


@dataclass(frozen=True, slots=True, kw_only=True)
class FitChuck:
    """Hold the bar in another chuck, or in other jaws of this one."""

    chuck: Chuck


@dataclass(frozen=True, slots=True, kw_only=True)
class FitDrillChuck:
    """Hold drills in a larger drill chuck, or in the taper of the tailstock itself. [mm]"""

    largest_dia_mm: float


Remedy = AddToShop | FitSlide | FitChuck | FitDrillChuck | AllowSize


def with_remedy(part: Part, shop: Shop, remedy: Remedy) -> tuple[Part, Shop]:
    """Part and shop as they are once the remedy has been taken.

    Raises
    ------
    ShopError
        If the shop already has something under that id.
    """
    match remedy:
        case AddToShop(thing=thing):
            return part, _owning(shop, thing)
        case FitSlide(slide=slide):
            return part, _fitted(shop, slide)
        case FitChuck(chuck=chuck):
            return part, replace(shop, lathe=replace(shop.lathe, chuck=chuck))
        case FitDrillChuck(largest_dia_mm=largest):
            tailstock = replace(shop.lathe.tailstock, chuck_high_dia_mm=largest)
            return part, replace(shop, lathe=replace(shop.lathe, tailstock=tailstock))
        case AllowSize():
            sizes = tuple(_allowed(feature, remedy) for feature in part.sizes)
            return replace(part, sizes=sizes), shop


_PLACES: dict[type, str] = {
    Tool: "tools",
    Drill: "drills",
    Tap: "taps",
    Gauge: "gauges",
    Bar: "bars",
    HoldingMeans: "holdings",
}
"""Field of the shop that lists things of a type."""


def _owning(shop: Shop, thing: Owned) -> Shop:
    if isinstance(thing, SpindleSpeed):
        return replace(shop, lathe=replace(shop.lathe, speeds=(*shop.lathe.speeds, thing)))
    place = _PLACES[type(thing)]
    changed: dict[str, Any] = {place: (*getattr(shop, place), thing)}
    return replace(shop, **changed)


def _fitted(shop: Shop, slide: Slide) -> Shop:
    lathe = shop.lathe
    match slide.handle:
        case Handle.CROSS:
            lathe = replace(lathe, cross=slide)
        case Handle.TOP:
            lathe = replace(lathe, top=slide)
        case Handle.CARRIAGE:
            lathe = replace(lathe, carriage=slide)
        case Handle.QUILL:
            lathe = replace(lathe, tailstock=replace(lathe.tailstock, quill=slide))
    return replace(shop, lathe=lathe)


def _allowed(feature: SizedFeature, remedy: AllowSize) -> SizedFeature:
    if (feature.surface, feature.aspect) != (remedy.surface, remedy.aspect):
        return feature
    return replace(feature, size=remedy.size)
