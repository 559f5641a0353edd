"""Too little metal left for a cut: take it off in strokes that are measured, ream it, or cut it after all."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from handwheel.bench.asking.records import Figure
from handwheel.bench.salvage import cautions
from handwheel.bench.salvage.place import FLOAT_MM, Place, Side
from handwheel.bench.salvage.way import Verdict, Way, WayOut, limits_figures
from handwheel.data.least_cuts import least_depth_mm
from handwheel.data.reaming import Reaming, reaming_range
from handwheel.domain.errors import OutOfRangeError, require_positive
from handwheel.domain.part import BORE, Aspect

TRIAL_STROKES = 10
"""Strokes after which the loss is measured for the first time; common practice, no source."""
SHARE_AT_ONCE = 0.5
"""Share of what may still come off that is taken before the next reading; ours, no source."""


def little_left_ways(place: Place) -> Iterator[WayOut]:
    """Ways to take off the last of the metal; nothing where none is to come off."""
    if place.side is not Side.NEAR or place.part.thread is not None:
        return
    low, high = place.to_come_off_mm
    if high < low:
        yield _not_sure_enough(place)
        return
    yield from _cut(place)
    yield _lap(place) if low / place.per_side <= most_by_hand_mm(place) else _too_much_by_hand(place)
    if place.feature.surface == BORE and place.is_diameter:
        yield from _ream(place)


def strokes_to_go(off_most_mm: float, *, strokes: int, lost_mm: float, uncertainty_mm: float) -> int:
    """How many like strokes may follow before the next reading.

    Parameters
    ----------
    off_most_mm : float
        Most that may still come off, as read. [mm]
    strokes : int
        Strokes made between two readings.
    lost_mm : float
        What they changed the reading by. [mm]
    uncertainty_mm : float
        Half-width of the uncertainty of that change. [mm]

    Returns
    -------
    int
        Strokes, rounded down, that take no more than `SHARE_AT_ONCE` of it even if each takes as much as can be.

    Raises
    ------
    OutOfRangeError
        If a figure is not above 0: what nobody has measured is not reckoned with (practice case PC-12).

    Notes
    -----
    A stroke takes ``(lost + uncertainty) / strokes`` at most. Plain proportion; wear of the abrasive makes the next
    strokes take less, and fresh abrasive more: then measure anew.

    Examples
    --------
    >>> strokes_to_go(0.012, strokes=10, lost_mm=0.003, uncertainty_mm=0.002)
    12
    """
    require_positive("strokes", strokes, unit="strokes")
    require_positive("off_most_mm", off_most_mm, unit="mm")
    require_positive("lost_mm", lost_mm, unit="mm")
    require_positive("uncertainty_mm", uncertainty_mm, unit="mm")
    if lost_mm <= uncertainty_mm:
        msg = (
            f"lost_mm: got {lost_mm:g} mm, known to {uncertainty_mm:g} mm only: that is no measured loss; "
            "make as many strokes again and measure"
        )
        raise OutOfRangeError(msg)
    return floor(SHARE_AT_ONCE * off_most_mm * strokes / (lost_mm + uncertainty_mm) + FLOAT_MM)


def _not_sure_enough(place: Place) -> WayOut:
    return WayOut(
        code=Way.LAP,
        verdict=Verdict.NOT,
        words=f"the size is known to ± {place.said(place.uncertainty_mm)} only, and its "
        f"limits are {place.said(place.upper_mm - place.lower_mm)} apart; measure with a surer gauge first",
        relation="limits with the uncertainty kept from each",
    )


def most_by_hand_mm(place: Place) -> float:
    """Most that is taken off a side by hand: what the habits leave for rubbing, or what no edge of a tool cuts. [mm]"""
    return max(place.shop.habits.rub_allowance_mm, least_depth_mm(place.metal))


def _too_much_by_hand(place: Place) -> WayOut:
    low = place.to_come_off_mm[0] / place.per_side
    return WayOut(
        code=Way.LAP,
        verdict=Verdict.NOT,
        words=f"at least {place.said(low)} has to come off a side, and more than {place.said(most_by_hand_mm(place))} "
        "is no work for strokes: it is a cut",
        figures=(Figure(name="least off a side", value=low),),
        relation="what the habits leave for rubbing, or the least depth of the metal",
    )


def _lap(place: Place) -> WayOut:
    low, high = place.to_come_off_mm
    how = (
        "rub the face on fine wet paper over a plate"
        if place.feature.aspect is Aspect.WIDTH
        else "take it off with a lap, or with emery that no finger holds"
    )
    return WayOut(
        code=Way.LAP,
        verdict=Verdict.HOLDS,
        words=f"{how}: {place.said_range(low, high)} as read. Nobody knows what a stroke takes: make {TRIAL_STROKES}, "
        "clean, let it cool, measure; then reckon the next by what those took, half of the rest at most at once",
        figures=limits_figures(low, high, of="to come off, as read"),
        needs=(f"a gauge sure to ± {place.said(place.uncertainty_mm)} or better, read after every few strokes",),
        off_low_mm=low / place.per_side,
        off_high_mm=high / place.per_side,
        cautions=cautions.rubbing_flat(place.metal)
        if place.feature.aspect is Aspect.WIDTH
        else cautions.rubbing(place.metal),
        relation="limits with the uncertainty kept from each; what is lost is measured (practice case PC-12)",
    )


def _cut(place: Place) -> Iterator[WayOut]:
    """Another cut, where the least that this metal cuts goes into what may come off."""
    least = least_depth_mm(place.metal)
    low, high = (end / place.per_side for end in place.to_come_off_mm)
    if least <= 0.0:
        return
    if least > high:
        yield WayOut(
            code=Way.CUT_AGAIN,
            verdict=Verdict.NOT,
            words=f"{place.metal.name} wants {place.said(least)} of depth, and at most {place.said(high)} may "
            "come off a side; a thinner one rubs",
            figures=(Figure(name="least depth", value=least), Figure(name="most off a side", value=high)),
            relation="least depth of the metal",
        )
        return
    yield WayOut(
        code=Way.CUT_AGAIN,
        verdict=Verdict.ASK,
        words=f"a depth of {place.said_range(max(least, low), high)} lands inside: {place.metal.name} wants "
        f"{place.said(least)} at least",
        figures=(Figure(name="least depth", value=least), Figure(name="most off a side", value=high)),
        asks=("is the edge keen, and is there a feed fine enough to set that (top slide swung)?",),
        off_low_mm=max(least, low),
        off_high_mm=high,
        cautions=cautions.cutting(place.metal),
        relation="least depth of the metal",
    )


def _ream(place: Place) -> Iterator[WayOut]:
    """Reamers of the shop whose hole lies inside the limits and that find enough to cut."""
    for reamer in place.shop.reamers:
        lower, upper = float(reamer.hole_lower_mm), float(reamer.hole_upper_mm)
        if lower < place.lower_mm - FLOAT_MM or upper > place.upper_mm + FLOAT_MM:
            continue
        wants = reaming_range(Reaming.ALLOWANCE, reamer.kind)
        least = lower - place.size_mm - place.uncertainty_mm
        most = upper - place.size_mm + place.uncertainty_mm
        fits = wants.least <= least and most <= wants.most
        why = "" if fits else f", and it wants {place.said_range(wants.least, wants.most)}: it would rub or grab"
        yield WayOut(
            code=Way.REAM,
            verdict=Verdict.HOLDS if fits else Verdict.NOT,
            words=f"ream it with {reamer.id}, which makes {place.said_range(lower, upper)}: it finds "
            f"{place.said_range(least, most)} on the diameter{why}",
            figures=(*limits_figures(lower, upper, of="hole"), *limits_figures(least, most, of="to ream")),
            needs=(reamer.id, place.metal.lubricant_words) if fits else (),
            off_low_mm=least / place.per_side if fits else 0.0,
            off_high_mm=most / place.per_side if fits else 0.0,
            cautions=cautions.reaming() if fits else (),
            relation="allowance of the reamer",
            standing=wants.standing,
            source_key=wants.source_key,
        )
