"""Remedies: the one change to shop or part that would make something possible, whole enough to be tried.

A remedy carries the whole thing it asks for (a tool with its reach, a bar with its diameter), so that the planner can
try it before it names it, and anyone can try it again.
"""

from __future__ import annotations

from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.bars import Bar
from handwheel.domain.chucks import Chuck, HoldingMeans
from handwheel.domain.gauges import Gauge
from handwheel.domain.hole_tools import Drill, Reamer, Tap
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.motion import Handle
from handwheel.domain.part import Aspect, Part, SizedFeature
from handwheel.domain.redrawn import not_true, rougher, with_bevel, without_edge, without_step
from handwheel.domain.shop import Shop
from handwheel.domain.size import Size
from handwheel.domain.slides import Slide
from handwheel.domain.tools import Tool

Owned = Tool | Drill | Reamer | Tap | Gauge | Bar | HoldingMeans | SpindleSpeed
"""Whatever a shop file lists that can be bought, made or borrowed, or a speed that a belt or back gear can give."""


class AddToShop(Struct, frozen=True, kw_only=True):
    """Own (and enter in the shop file) one more thing."""

    thing: Owned


class FitSlide(Struct, frozen=True, kw_only=True):
    """Describe a slide more fully, or fit it with what it lacks: dial, readout, indicator, travel of a turn."""

    slide: Slide


class AllowSize(Struct, frozen=True, kw_only=True):
    """Accept other limits, or another size, for one dimension of the drawing."""

    surface: str
    aspect: Aspect
    size: Size


class AllowFinish(Struct, frozen=True, kw_only=True):
    """Accept a rougher surface; ``grade`` is its roughness grade, for people. [µm]"""

    surface: str
    ra_um: float
    grade: str = ""


class FitChuck(Struct, frozen=True, kw_only=True):
    """Hold the bar in another chuck, or in other jaws of this one."""

    chuck: Chuck


class FitDrillChuck(Struct, frozen=True, kw_only=True):
    """Hold drills in a larger drill chuck, or in the taper of the tailstock itself. [mm]"""

    largest_dia_mm: float


class LighterLastCuts(Struct, frozen=True, kw_only=True):
    """Take the two last cuts on a diameter lighter, as a habit of the shop file. [mm]"""

    finish_cut_mm: float


class AllowCorner(Struct, frozen=True, kw_only=True):
    """Accept a larger radius where a step meets its shoulder. [mm]"""

    radius_mm: float


class UseMetal(Struct, frozen=True, kw_only=True):
    """Make the part of another metal, told by its key in the tables; ``name`` is for people."""

    material: str
    name: str = ""


class UseLathe(Struct, frozen=True, kw_only=True):
    """Make the part on another lathe, with everything else that the shop has."""

    lathe: Lathe


class LeaveEdge(Struct, frozen=True, kw_only=True):
    """Leave an edge of the drawing uncut: it is broken by hand with a file when the part is done."""

    surface: str


class BevelEdge(Struct, frozen=True, kw_only=True):
    """Cut a bevel in place of a round, both legs as long as its radius. [mm]"""

    surface: str
    leg_mm: float


class LeaveStep(Struct, frozen=True, kw_only=True):
    """Leave a step of the drawing out: its cylinder is as large as the one behind its shoulder."""

    surface: str


class LeaveTruth(Struct, frozen=True, kw_only=True):
    """Ask no longer that surfaces run true to each other."""


ShopRemedy = AddToShop | FitSlide | FitChuck | FitDrillChuck | LighterLastCuts | UseLathe
DrawingRemedy = AllowSize | AllowFinish | AllowCorner | BevelEdge | LeaveEdge | LeaveStep | LeaveTruth | UseMetal
Remedy = ShopRemedy | DrawingRemedy


def with_remedy(part: Part, shop: Shop, remedy: Remedy) -> tuple[Part, Shop]:
    """Part and shop as they are once the remedy has been taken.

    Raises
    ------
    ShopError
        If the shop already has something under that id.
    """
    if isinstance(remedy, DrawingRemedy):
        return _drawn_otherwise(part, remedy), shop
    return part, _found_otherwise(shop, remedy)


def _drawn_otherwise(part: Part, remedy: DrawingRemedy) -> Part:
    match remedy:
        case AllowSize():
            return replace(part, sizes=tuple(_allowed(feature, remedy) for feature in part.sizes))
        case AllowFinish(surface=surface, ra_um=ra_um):
            return rougher(part, surface, ra_um=ra_um)
        case AllowCorner(radius_mm=radius):
            return replace(part, corner_radius_mm=radius)
        case BevelEdge() | LeaveEdge() | LeaveStep():
            return _plainer(part, remedy)
        case LeaveTruth():
            return not_true(part)
        case UseMetal(material=other):
            return replace(part, material=other)


def _plainer(part: Part, remedy: BevelEdge | LeaveEdge | LeaveStep) -> Part:
    match remedy:
        case BevelEdge(surface=surface):
            return with_bevel(part, surface)
        case LeaveEdge(surface=surface):
            return without_edge(part, surface)
        case LeaveStep(surface=surface):
            return without_step(part, surface)


def _found_otherwise(shop: Shop, remedy: ShopRemedy) -> Shop:
    match remedy:
        case AddToShop(thing=thing):
            return _owning(shop, thing)
        case FitSlide(slide=slide):
            return _fitted(shop, slide)
        case LighterLastCuts(finish_cut_mm=cut):
            return replace(shop, habits=replace(shop.habits, finish_cut_mm=cut))
        case UseLathe(lathe=lathe):
            return replace(shop, lathe=lathe, chatter=())  # what was heard, was heard on the old one
        case FitChuck() | FitDrillChuck():
            return replace(shop, lathe=_other_lathe(shop.lathe, remedy))


def _other_lathe(own: Lathe, remedy: FitChuck | FitDrillChuck) -> Lathe:
    match remedy:
        case FitChuck(chuck=chuck):
            return replace(own, chuck=chuck)
        case FitDrillChuck(largest_dia_mm=largest):
            return replace(own, tailstock=replace(own.tailstock, chuck_high_dia_mm=largest))


_PLACES: dict[type, str] = {
    Tool: "tools",
    Drill: "drills",
    Reamer: "reamers",
    Tap: "taps",
    Gauge: "gauges",
    Bar: "bars",
    HoldingMeans: "holdings",
}
"""Field of the shop that lists things of a type."""


def has_named(shop: Shop, thing: Owned) -> bool:
    """Whether the shop has a thing of that kind under that name; a speed has none."""
    if isinstance(thing, SpindleSpeed):
        return False
    return any(own.id == thing.id for own in getattr(shop, _PLACES[type(thing)]))


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
