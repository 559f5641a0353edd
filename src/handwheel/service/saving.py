"""What can be saved, as somebody asks it: a surface and a size as typed, answered as text or JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from handwheel.bench.salvage.place import MEASURED, place_of
from handwheel.bench.salvage.ways import ways_out
from handwheel.domain.acts import Measure
from handwheel.domain.errors import ImpossiblePartError, InputError, OutOfRangeError
from handwheel.domain.part import Aspect
from handwheel.report import salvage_text as report
from handwheel.report.wording import printed_in
from handwheel.report.words import plain, surface_words
from handwheel.service.intake.lengths import length_mm
from handwheel.service.jobs import read_for
from handwheel.service.wording import wording_of

if TYPE_CHECKING:
    from pathlib import Path

    from handwheel.bench.salvage.place import Place
    from handwheel.bench.salvage.way import WayOut
    from handwheel.domain.part import Part, SizedFeature, Units
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.wording import Wording


class Missed(Struct, frozen=True, kw_only=True):
    """A size that has missed its limits, as somebody types it.

    Parameters
    ----------
    surface : str
        Surface, such as ``"bore"``, ``"outside"``, or ``"width"``; or surface and aspect, ``"bore diameter"``.
    size : str
        Size that is believed to be there, in the part's own unit if it names none.
    uncertainty : str or None
        How far off it may be to either side, about 95 %; without it what the gauge on the sheet is trusted to.
    """

    surface: str
    size: str
    uncertainty: str | None = None


def rescue_files(
    plan_path: Path,
    shop_path: Path,
    missed: Missed,
    *,
    as_json: bool = False,
    width: int = 80,
    show: str | None = None,
    words: str | None = None,
) -> str:
    """Say what can be saved of the part of a plan file; ``show`` and ``words`` are those of `wording_of`.

    Raises
    ------
    InputError
        If a file cannot be understood, the shop differs from the plan's, or surface or size are none.
    """
    plan, shop = read_for(plan_path, shop_path)
    if as_json:
        return rescue_json(plan, shop, missed)
    return rescue_text(plan, shop, missed, width=width, wording=wording_of(plan, shop, show=show, words=words))


def rescue_text(plan: Plan, shop: Shop, missed: Missed, *, width: int = 80, wording: Wording) -> str:
    """Return as text what the part can still become. Raises as `ways_of` does."""
    place, ways = ways_of(plan, shop, missed)
    units = plan.sheet.part.units
    with printed_in(wording):
        return report.ways_text(ways, head=_head(place), units=units, width=width)


def rescue_json(plan: Plan, shop: Shop, missed: Missed) -> str:
    """Return the same as JSON: lengths in mm, ways in the order in which to look at them. Raises as `ways_of` does."""
    place, ways = ways_of(plan, shop, missed)
    told = {
        "plan": plan.id,
        "surface": place.feature.surface,
        "aspect": place.feature.aspect.value,
        "size_mm": place.size_mm,
        "uncertainty_mm": place.uncertainty_mm,
        "limits_mm": [place.lower_mm, place.upper_mm],
        "side": place.side.name.lower(),
        "sure": place.is_sure,
        "ways": [_way_json(way) for way in ways],
    }
    return json.dumps(told, indent=2, ensure_ascii=False) + "\n"


def ways_of(plan: Plan, shop: Shop, missed: Missed) -> tuple[Place, tuple[WayOut, ...]]:
    """Where a size that was typed stands, and its ways out.

    Raises
    ------
    InputError
        If the part has no such size, or what was typed is no length or lies too far out to be believed.
    """
    part = plan.sheet.part
    feature = feature_named(part, missed.surface)
    size = _above_zero(missed.size, part.units, "size")
    uncertainty = (
        trusted_mm(plan, shop, feature)
        if missed.uncertainty is None
        else _above_zero(missed.uncertainty, part.units, "uncertainty")
    )
    try:
        place = place_of(part, shop, feature.surface, feature.aspect, size_mm=size, uncertainty_mm=uncertainty)
        return place, ways_out(part, shop, feature.surface, feature.aspect, size, uncertainty)
    except (OutOfRangeError, ImpossiblePartError) as error:
        raise InputError((str(error),)) from None


def feature_named(part: Part, name: str) -> SizedFeature:
    """Size that a name means: its surface, surface and aspect, or ``width``.

    Raises
    ------
    InputError
        If it is none, or several; the text names those there are.
    """
    said = " ".join(name.lower().split())
    sizes = [each for each in part.sizes if each.aspect in MEASURED]
    meant = [each for each in sizes if said in _names(each)]
    if len(meant) != 1:
        known = ", ".join(_names(each)[0] for each in sizes)
        raise InputError((f"surface {plain(name)!r}: the part has no such size; choose one of {known}",))
    return meant[0]


def _names(feature: SizedFeature) -> tuple[str, ...]:
    """What a size may be called, the shortest first."""
    names = (feature.surface, feature.id)
    return (Aspect.WIDTH.value, *names) if feature.aspect is Aspect.WIDTH else names


def trusted_mm(plan: Plan, shop: Shop, feature: SizedFeature) -> float:
    """How surely the gauge tells that the sheet measures a size with, the last of them. [mm]

    Raises
    ------
    InputError
        If the sheet measures it with none: then somebody has to say it.
    """
    gauges = [
        act.gauge
        for act in plan.sheet.acts
        if isinstance(act, Measure)
        and (act.surface, act.aspect) == (feature.surface, feature.aspect.value)
        and act.gauge
    ]
    if not gauges:
        msg = f"{feature.id}: the sheet names no gauge for it; say how far off the size may be, --uncertainty"
        raise InputError((msg,))
    return shop.gauge(gauges[-1]).uncertainty_mm


def _above_zero(written: str, units: Units, where: str) -> float:
    found = length_mm(written, unit=units, where=where)
    if found <= 0:
        raise InputError((f"{where}: found {plain(written)!r}; it must be above 0",))
    return float(found)


def _head(place: Place) -> str:
    sign = "Ø " if place.is_diameter else ""
    limits = place.said_limits(place.lower_mm, place.upper_mm)
    what = f"{surface_words(place.feature.surface).upper()}, {place.feature.aspect.value}"
    return (
        f"{what}: {sign}{place.said(place.size_mm)} ± {place.said(place.uncertainty_mm)}; limits at the lathe "
        f"{limits}; {place.side.value}"
    )


def _way_json(way: WayOut) -> dict[str, Any]:
    return {
        "code": way.code.value,
        "verdict": way.verdict.name.lower(),
        "words": way.words,
        "figures": [{"name": each.name, "value": each.value, "unit": each.unit} for each in way.figures],
        "needs": list(way.needs),
        "asks": list(way.asks),
        "off_mm": [way.off_low_mm, way.off_high_mm],
        "wall_mm": way.wall_mm,
        "cautions": list(way.cautions),
        "relation": way.relation,
        "standing": way.standing.value,
        "source_key": way.source_key,
    }
