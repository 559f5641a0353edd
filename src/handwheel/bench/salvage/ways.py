"""What can be saved: every way out for a size that is lost or stuck, in the order in which to look at them."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.bench.asking.ability import gauge_decides
from handwheel.bench.asking.records import Figure
from handwheel.bench.salvage import cautions
from handwheel.bench.salvage.anew import new_one_way
from handwheel.bench.salvage.joined import ring_on_way, sleeve_way
from handwheel.bench.salvage.little_left import little_left_ways
from handwheel.bench.salvage.mates import mate_ways
from handwheel.bench.salvage.other_parts import length_ways, wall_way
from handwheel.bench.salvage.place import Place, Side, place_of
from handwheel.bench.salvage.ring_sizes import ring_ways
from handwheel.bench.salvage.tolerances import OWNER, accept_way, tolerance_ways
from handwheel.bench.salvage.way import Verdict, Way, WayOut, limits_figures
from handwheel.domain.errors import DataTableError, OutOfRangeError
from handwheel.domain.part import Aspect, Part
from handwheel.domain.shop import Shop


def ways_out(
    part: Part, shop: Shop, surface: str, aspect: Aspect, size_mm: float, uncertainty_mm: float
) -> tuple[WayOut, ...]:
    """What a part can still become when a size of it has gone too far, or cannot be cut any more.

    Parameters
    ----------
    part, shop : Part, Shop
        The part as it was wanted, and what is at hand.
    surface : str
        Surface whose size it is, such as ``"bore"``.
    aspect : Aspect
        Diameter, width or depth.
    size_mm : float
        Size that is believed to be there at 20 °C, as a gauge reads it. [mm]
    uncertainty_mm : float
        Half-width within which the true size lies, two standard uncertainties. [mm]

    Returns
    -------
    tuple of WayOut
        What takes no metal first, a new part last; after these, with the reason, what does not come out. Nothing if
        the size is inside its limits for sure.

    Raises
    ------
    OutOfRangeError
        If size or uncertainty is not above 0, the aspect is none of these, or the size lies so far out that it can
        only be a slip.
    ImpossiblePartError
        If the part has no such size.

    Notes
    -----
    What is believed of a size being approached gives both: ``approach.reading_mm(belief.left_mm)``, and twice
    ``approach.per_travel * belief.left_spread_mm``.

    Nothing is decided here: whoever owns the drawing, has the mate or wears the ring is asked. Limits count as kept
    only with the uncertainty to spare [ISO14253_1].
    """
    place = place_of(part, shop, surface, aspect, size_mm=size_mm, uncertainty_mm=uncertainty_mm)
    if place.side is Side.INSIDE and place.is_sure:
        return ()
    order = list(Way)
    found = list(_ways(place))
    return tuple(sorted(found, key=lambda way: (way.verdict is Verdict.NOT, order.index(way.code))))


def _ways(place: Place) -> Iterator[WayOut]:
    if not place.is_sure:
        yield _measure_again(place)
    if place.side is Side.INSIDE:
        return
    yield from little_left_ways(place)
    yield from _later_work(place)
    yield from ring_ways(place)
    yield from tolerance_ways(place)
    yield from mate_ways(place)
    yield accept_way(place)
    if place.side is Side.FAR:
        yield from _with_metal(place)
    yield new_one_way(place)


def _with_metal(place: Place) -> Iterator[WayOut]:
    """Ways that change the part, once its own metal is gone."""
    if not place.is_diameter:
        yield from length_ways(place)
        return
    yield wall_way(place)
    if place.part.thread is not None and place.grows:
        yield _thread_alone(place)
    else:
        yield _joined(place)


def _joined(place: Place) -> WayOut:
    """A sleeve in a bore, a ring on an outside; where a table ends there is no word on it."""
    try:
        return sleeve_way(place) if place.grows else ring_on_way(place)
    except (DataTableError, OutOfRangeError) as error:
        code = Way.SLEEVE if place.grows else Way.RING_ON
        return WayOut(code=code, verdict=Verdict.NOT, words=f"it cannot be reckoned: {error}")


def _measure_again(place: Place) -> WayOut:
    """The uncertainty does not tell on which side of a limit it stands: what could tell."""
    band = place.upper_mm - place.lower_mm
    sure = [
        (count, gauge.uncertainty_mm, gauge.name)
        for gauge in place.shop.gauges
        if (count := gauge_decides(gauge, place.use, size_mm=place.size_mm, tolerance_mm=band)) is not None
    ]
    best = min(sure, key=lambda each: each[1], default=None)
    by = "no gauge of the shop decides it; borrow a surer one" if best is None else f"{_readings(best[0])} of {best[2]}"
    low, high = place.size_mm - place.uncertainty_mm, place.size_mm + place.uncertainty_mm
    return WayOut(
        code=Way.MEASURE_AGAIN,
        verdict=Verdict.ASK,
        words=f"cold and clean, before anything else: {place.said_range(low, high)} may be either side "
        f"of the limits, {place.said_limits(place.lower_mm, place.upper_mm)}; {by}",
        figures=(
            *limits_figures(low, high, of="size as it is"),
            *(() if best is None else (Figure(name="readings", value=float(best[0]), unit="1"),)),
        ),
        needs=() if best is None else (best[2],),
        cautions=(cautions.stopped(),),
        relation="the uncertainty reaches over a limit [ISO14253_1]",
    )


def _readings(count: int) -> str:
    return "one reading" if count == 1 else f"{count} readings"


def _later_work(place: Place) -> Iterator[WayOut]:
    """Less left for later work, where the drawing has more to come off: the finished limits are not passed yet."""
    if place.side is not Side.FAR or (not place.size.later and not place.size.finishing_change):
        return
    lower, upper = (float(limit) for limit in place.size.finished_limits)
    near, far = (lower, upper) if place.grows else (upper, lower)
    sign = 1.0 if place.grows else -1.0
    least = sign * (near - place.size_mm) + place.uncertainty_mm
    most = sign * (far - place.size_mm) - place.uncertainty_mm
    if most < max(least, 0.0):
        return
    what = "; ".join(each.words for each in place.size.later) or "finishing"
    yield WayOut(
        code=Way.LATER_WORK,
        verdict=Verdict.ASK,
        words=f"less is left for later work ({what}): {place.said_range(max(least, 0.0), most)} as read",
        figures=limits_figures(max(least, 0.0), most, of="left, as read"),
        asks=(f"is that enough for it to clean up? Ask whoever does it, and {OWNER}",),
        relation="limits once all later work is done, the uncertainty kept from each",
    )


def _thread_alone(place: Place) -> WayOut:
    return WayOut(
        code=Way.SLEEVE,
        verdict=Verdict.NOT,
        words="a sleeve for a tapped bore is not reckoned here: its wall must hold the thread; a thread insert, by its "
        "maker's sheet, may do",
        wall_mm=place.wall_mm(place.size_mm),
    )
