"""A smaller part of the same kind: where only the wall matters, shorter, with a shim, its face taken back."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.bench.asking.records import Figure
from handwheel.bench.salvage import cautions
from handwheel.bench.salvage.place import Place
from handwheel.bench.salvage.tolerances import OWNER
from handwheel.bench.salvage.way import Verdict, Way, WayOut, limits_figures
from handwheel.data.least_cuts import least_depth_mm
from handwheel.domain.part import BACK_FACE, Aspect

LEAST_SHIM_MM = 0.02
"""Thinner foil is hard to come by and to lay flat; common practice, no source. [mm]"""


def wall_way(place: Place) -> WayOut:
    """Judge the part by its wall alone: what it has, and what the drawing allows it to have at least."""
    now = place.wall_mm(place.size_mm) - place.uncertainty_mm / place.per_side
    drawn = place.wall_mm(place.upper_mm if place.grows else place.lower_mm)
    less = drawn - now
    across = "outside" if place.grows else "bore"
    mend = (
        f"; leave the {across} {place.said(2.0 * less)} {'larger' if place.grows else 'smaller'}, if it is not cut yet"
    )
    return WayOut(
        code=Way.WALL_ALONE,
        verdict=Verdict.ASK,
        words=f"{place.said(now)} of wall is left at the thinnest, {place.said(less)} less than "
        f"the drawing allows{mend}",
        figures=(Figure(name="wall", value=now), Figure(name="least wall drawn", value=drawn)),
        asks=(f"is it the wall that counts, or the diameter? Does the {across} matter? Ask {OWNER}",),
        wall_mm=now,
        relation="half the difference of both diameters, each at the limit that makes it thin",
    )


def length_ways(place: Place) -> Iterator[WayOut]:
    """Ways out for a width that is too short, and a shoulder that is too deep."""
    if place.feature.aspect is Aspect.WIDTH:
        yield _shorter(place)
        yield _shim(place)
    elif place.feature.aspect is Aspect.DEPTH:
        yield _face_back(place)


def _shorter(place: Place) -> WayOut:
    low, high = place.size_mm - place.uncertainty_mm, place.size_mm + place.uncertainty_mm
    return WayOut(
        code=Way.SHORTER,
        verdict=Verdict.ASK,
        words=f"a shorter part of the same kind: {place.said_range(low, high)} long, edges as drawn",
        figures=limits_figures(low, high, of="length"),
        asks=(f"is there a use for one {place.said(place.beyond_mm)} shorter than the least? Ask {OWNER}",),
        relation="the size as measured",
    )


def _shim(place: Place) -> WayOut:
    """A shim that makes up the length; its own limits keep the uncertainty of the part."""
    low, high = place.to_come_off_mm
    low, high = -high, -low
    if high < low:
        return WayOut(
            code=Way.SHIM,
            verdict=Verdict.NOT,
            words=f"a shim: the length is known to ± {place.said(place.uncertainty_mm)} only, which leaves the shim no "
            "limits; measure it with a surer gauge first",
            relation="what is missing, the uncertainty kept from each limit",
        )
    thick_enough = high >= LEAST_SHIM_MM
    return WayOut(
        code=Way.SHIM,
        verdict=Verdict.ASK if thick_enough else Verdict.NOT,
        words=f"a shim or washer of {place.said_range(max(low, 0.0), high)} makes up the length"
        + ("" if thick_enough else f", which is thinner than foil is to be had ({place.said(LEAST_SHIM_MM)})"),
        figures=limits_figures(low, high, of="shim"),
        needs=("shim of that thickness, as large as the face; deburred",) if thick_enough else (),
        asks=(f"may a loose piece lie at that face, and which face? Ask {OWNER}",) if thick_enough else (),
        relation="what is missing, the uncertainty kept from each limit",
    )


def _face_back(place: Place) -> WayOut:
    """Take the face back that the depth counts from: the whole part gets shorter by as much."""
    low, high = place.to_come_off_mm
    low, high = -high, -low
    least = least_depth_mm(place.metal)
    width = place.part.feature(BACK_FACE, Aspect.WIDTH)
    spare = None if width is None else float(width.size.band)
    fits = high >= max(low, least) and (spare is None or max(low, least) <= spare)
    room = "" if spare is None else f"; the width may lose {place.said(spare)} if it stands at its upper limit now"
    return WayOut(
        code=Way.FACE_BACK,
        verdict=Verdict.ASK if fits else Verdict.NOT,
        words=f"take {place.said_range(max(low, least), max(high, low, least))} off the face that the depth counts from"
        f"{room}" + ("" if fits else "; that does not come out"),
        figures=limits_figures(low, high, of="off the face"),
        asks=("what does the width measure, and does the part still have its edges?",) if fits else (),
        off_low_mm=max(low, least) if fits else 0.0,
        off_high_mm=high if fits else 0.0,
        cautions=cautions.cutting(place.metal) if fits else (),
        relation="depth and width lose the same",
    )
