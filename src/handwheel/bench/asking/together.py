"""The readings of one stop beside each other: one apart, too few, too far apart, a gauge that cannot decide."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import sqrt
from statistics import fmean, median, stdev

from msgspec import Struct

from handwheel.bench.asking.ability import Ability, ability, could_decide
from handwheel.bench.asking.records import Decides, Figure, Question, StopContext, TypedReading
from handwheel.bench.asking.slips import FAR_SIGMAS, PLACES
from handwheel.domain.gauges import GaugeKind, GaugeUse
from handwheel.domain.said import said
from handwheel.physics.gauge_error import chord_offset_mm, chord_shortfall_mm, tilt_deg, tilt_excess_mm
from handwheel.physics.mean_reading import SPREAD_SHARE, USUAL_READINGS, effective_readings, left_of_tolerance_mm

FEWEST_DIRECTIONS = 2
"""A telescoping gauge in one direction shows neither oval nor lobe; practice case PC-23."""
FINE_PLACES = 4
SHOWN_TILT_DEG, SHOWN_OFFSET_MM = 3.0, 1.0
"""Tilt and miss that practice case PC-23 reckons with. [deg], [mm]"""
ROCKED = (GaugeKind.TELESCOPING, GaugeKind.BORE_GAUGE)
"""Gauges that the hand rocks to find the diameter."""


class Together(Struct, frozen=True, kw_only=True):
    """Mean, distance from smallest to largest, spread of one and effective number of the readings that may count."""

    mean_mm: float
    range_mm: float
    spread_mm: float
    effective: float
    count: int


def together(stop: StopContext, readings: tuple[TypedReading, ...]) -> Together:
    """Readings in one: the spread is the larger of what they show and what the gauge is known for.

    Readings in one place and direction count as a part of one each; where neither was typed each counts whole.
    """
    values = [reading.read_mm for reading in readings]
    counts = Counter(
        (reading.place, reading.direction) if reading.place or reading.direction else (index,)
        for index, reading in enumerate(readings)
    )
    shown_mm = stdev(values) if len(values) > 1 else 0.0
    return Together(
        mean_mm=fmean(values),
        range_mm=max(values) - min(values),
        spread_mm=max(shown_mm, stop.gauge_spread_mm),
        effective=effective_readings(tuple(counts.values())),
        count=len(values),
    )


def outlier(stop: StopContext, usable: tuple[int, ...]) -> tuple[Question, ...]:
    """Ask about a reading that lies further from the others than they scatter; three are needed to tell which."""
    if len(usable) < USUAL_READINGS:
        return ()
    values = {index: stop.readings[index].read_mm for index in usable}
    middle_mm = median(values.values())
    index = max(values, key=lambda each: abs(values[each] - middle_mm))
    others = [value for each, value in values.items() if each != index]
    off_mm = values[index] - fmean(others)
    sd_mm = max(stop.gauge_spread_mm, stdev(others)) * sqrt(1.0 + 1.0 / len(others))
    if stop.readings[index].confirmed or abs(off_mm) <= FAR_SIGMAS * sd_mm:
        return ()
    which = "larger" if off_mm > 0 else "smaller"
    return (
        Question(
            code="outlier",
            saw=f"reading {index + 1}, {said(values[index], stop.units, places=PLACES)}, is "
            f"{said(abs(off_mm), stop.units, places=PLACES)} {which} than the others' mean",
            perhaps=f"a slip, or the work is not alike there (oval, taper){_gauge_slip(stop, off_mm)}",
            ask="Read there again. If it stays, it is the work: leave it in, and say where it was.",
            reading=index,
            figures=(Figure(name="off", value=off_mm), Figure(name="others_sd", value=sd_mm)),
        ),
    )


def judged(stop: StopContext, usable: tuple[int, ...]) -> tuple[Question, ...]:
    """Ask for more readings, or for another gauge, where the mean does not decide the tolerance.

    Up to three readings are held to practice case PC-23: no further apart than a third of the tolerance. From the
    fourth on the distance says little, for it grows with every reading, and the mean's own uncertainty decides.
    """
    if not stop.is_close or stop.tolerance_mm is None or not usable:
        return ()
    readings = tuple(stop.readings[index] for index in usable)
    seen = together(stop, readings)
    able = ability(stop, tolerance_mm=stop.tolerance_mm, spread_mm=seen.spread_mm, effective=seen.effective)
    left_out = _without(stop, usable)
    apart = seen.range_mm > SPREAD_SHARE * stop.tolerance_mm
    by_gauge = ability(stop, tolerance_mm=stop.tolerance_mm, spread_mm=stop.gauge_spread_mm, effective=seen.effective)
    if by_gauge.needed is None:
        return (_cannot_decide(stop, by_gauge, stop.tolerance_mm),)
    if apart and (seen.count <= USUAL_READINGS or not able.decides):
        return (_apart(stop, seen, able, stop.tolerance_mm, left_out=left_out),)
    return tuple(_too_few(stop, readings, seen, able, fewest=by_gauge.needed, left_out=left_out))


def _without(stop: StopContext, usable: tuple[int, ...]) -> str:
    """Which readings do not count while they are in question, with a blank before it; nothing if all count.

    Examples
    --------
    With the first of three in question: ``" (without reading 1)"``.
    """
    out = [str(index + 1) for index in range(len(stop.readings)) if index not in usable]
    if not out:
        return ""
    return f" (without reading{'s' if len(out) > 1 else ''} {', '.join(out)})"


def _apart(stop: StopContext, seen: Together, able: Ability, tolerance_mm: float, *, left_out: str) -> Question:
    enough = (
        f"about {able.needed} in all{left_out}" if able.needed else "and with another gauge if they stay like these"
    )
    left = "last cut" if stop.decides is Decides.LAST_CUTS else "verdict"
    return Question(
        code="spread-wide",
        saw=f"{seen.count} readings{left_out} lie {said(seen.range_mm, stop.units, places=PLACES)} apart, more than a "
        f"third of the tolerance; their mean {said(seen.mean_mm, stop.units, places=PLACES)} is known to "
        f"{_known(stop, able.uncertainty_mm)}",
        perhaps=f"the hand, dirt, or work that is oval, lobed or tapered{_gauge_slip(stop, seen.range_mm)}",
        ask=f"No {left} on these. Clean, and read again, {enough}: what counts then is how well the mean is known, "
        f"at most {said(able.most_mm, stop.units, places=FINE_PLACES)}.",
        figures=(*_figures(seen, able), Figure(name="tolerance", value=tolerance_mm)),
    )


def _too_few(
    stop: StopContext, readings: tuple[TypedReading, ...], seen: Together, able: Ability, *, fewest: int, left_out: str
) -> Iterator[Question]:
    hand_held = stop.gauge.sort is GaugeKind.TELESCOPING
    directions = {reading.direction for reading in readings if reading.direction}
    one_way = hand_held and len(directions) < FEWEST_DIRECTIONS
    if able.decides and seen.count >= fewest and not one_way:
        return
    # what two or three readings show of their spread is itself uncertain: one goes on step by step
    by_spread = min(able.needed or USUAL_READINGS, max(USUAL_READINGS, seen.count + 1))
    more = max(fewest, by_spread, seen.count + 1 if one_way or not able.decides else 1)
    ways = " in two directions, and say which" if hand_held else ", each in a place of its own"
    perhaps = f"the tolerance bears {said(able.most_mm, stop.units, places=FINE_PLACES)}"
    yield Question(
        code="more-readings",
        saw=f"{_count_words(seen.count)}{left_out} with {stop.gauge.name}; the mean is known to "
        f"{_known(stop, able.uncertainty_mm)}",
        perhaps=f"{perhaps}{_rocking(stop)}",
        ask=f"Take {more} in all{left_out}{ways}.",
        figures=(*_figures(seen, able), Figure(name="wanted", value=float(more), unit="1")),
    )


def _cannot_decide(stop: StopContext, able: Ability, tolerance_mm: float) -> Question:
    left_mm = left_of_tolerance_mm(tolerance_mm, uncertainty_mm=able.uncertainty_mm)
    left = (
        f"only {said(left_mm, stop.units, places=PLACES)} of it would prove" if left_mm > 0 else "nothing would prove"
    )
    return Question(
        code="gauge-cannot-decide",
        saw=f"{stop.gauge.name} knows the size to {_known(stop, able.uncertainty_mm)} and the "
        f"tolerance is {said(tolerance_mm, stop.units, places=PLACES)}: {left} the size good",
        perhaps="more readings help little: what they all share stays"
        if able.bias_mm > able.most_mm
        else "it would take more readings than anybody takes",
        ask=f"Use {could_decide(stop, tolerance_mm=tolerance_mm)}; or accept that this size is not proven.",
        figures=(
            Figure(name="uncertainty", value=able.uncertainty_mm),
            Figure(name="most", value=able.most_mm),
            Figure(name="left", value=left_mm),
        ),
    )


def _figures(seen: Together, able: Ability) -> tuple[Figure, ...]:
    return (
        Figure(name="mean", value=seen.mean_mm),
        Figure(name="apart", value=seen.range_mm),
        Figure(name="uncertainty", value=able.uncertainty_mm),
        Figure(name="most", value=able.most_mm),
        Figure(name="effective", value=seen.effective, unit="1"),
    )


def _known(stop: StopContext, uncertainty_mm: float) -> str:
    return f"{said(uncertainty_mm, stop.units, places=FINE_PLACES)} (one standard uncertainty)"


def _count_words(count: int) -> str:
    return "one reading" if count == 1 else f"{count} readings"


def _gauge_slip(stop: StopContext, off_mm: float) -> str:
    """Tilt or miss of a gauge rocked by hand that would do what is seen, as words to add."""
    if stop.use is not GaugeUse.BORE or stop.gauge.sort not in ROCKED or abs(off_mm) > stop.expected_mm / 10.0:
        return ""
    tilt = tilt_deg(stop.expected_mm, excess_mm=abs(off_mm))
    miss_mm = chord_offset_mm(stop.expected_mm, shortfall_mm=abs(off_mm))
    return (
        f"; a gauge tilted by {tilt:.1f}° reads that much large, one {said(miss_mm, stop.units)} beside the diameter "
        "that much small"
    )


def _rocking(stop: StopContext) -> str:
    if stop.use is not GaugeUse.BORE or stop.gauge.sort is not GaugeKind.TELESCOPING:
        return ""
    if stop.expected_mm < 2.0 * SHOWN_OFFSET_MM:
        return ""
    tilted = said(tilt_excess_mm(stop.expected_mm, tilt_deg=SHOWN_TILT_DEG), stop.units, places=PLACES)
    missed = said(chord_shortfall_mm(stop.expected_mm, offset_mm=SHOWN_OFFSET_MM), stop.units, places=PLACES)
    return (
        f"; tilted by {SHOWN_TILT_DEG:g}° it reads {tilted} large, {said(SHOWN_OFFSET_MM, stop.units)} beside the "
        f"diameter {missed} small: rock to the least along the axis, to the most across"
    )
