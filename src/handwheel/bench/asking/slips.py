"""Slips of who reads and types: a turn, a unit, a decimal point, two digits, a frame, a radius."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from handwheel.bench.asking.records import Figure, Question, StopContext, TypedReading
from handwheel.data.gauge_kinds import GaugeFact, gauge_fact
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import Gauge, GaugeKind
from handwheel.domain.said import said
from handwheel.domain.size import MM_PER_INCH

TURN_SHARE = 0.1
"""How near to a whole turn a reading must be out; practice case PC-05."""
LEAST_TURN_SIGMAS = 2.0
"""A turn within so many standard uncertainties of what is expected is no turn to speak of; own choice."""
FAR_SIGMAS = 3.0
"""Further out than so many standard uncertainties chance does not take a reading once in 300; common practice."""
FINE_STEP_MM = Fraction(1, 50)
"""From this step on a metric dial caliper turns once in 2 mm, below in 1 mm; common practice. [mm]"""
POINT_FACTORS = (Fraction(10), Fraction(1, 10), Fraction(100), Fraction(1, 100), Fraction(1000), Fraction(1, 1000))
FRAME_STEP_MM = {False: Fraction(25), True: MM_PER_INCH}
"""Steps in which micrometers grow, metric and in inches; common practice. [mm]"""
FRAMED = (GaugeKind.MICROMETER, GaugeKind.ELECTRONIC, GaugeKind.TELESCOPING)
"""Gauges read on a micrometer whose frame does not begin at 0."""
PLACES = 3
_INCH = float(MM_PER_INCH)


def gauge_turn_mm(gauge: Gauge) -> float:
    """What one turn of a gauge is worth; 0 if it has none that can be miscounted. [mm]

    Examples
    --------
    >>> from handwheel.domain.gauges import GaugeUse
    >>> thou = Gauge(
    ...     id="m",
    ...     name="micrometer",
    ...     uses=(GaugeUse.OUTSIDE,),
    ...     low_mm=0.0,
    ...     high_mm=25.4,
    ...     step_mm=Fraction("0.0254"),
    ...     uncertainty_mm=0.008,
    ... )
    >>> gauge_turn_mm(thou)
    0.635
    """
    if gauge.in_inches:
        found = gauge_fact(GaugeFact.TURN_INCH, gauge.sort)
        return 0.0 if found is None else found.least * _INCH
    found = gauge_fact(GaugeFact.TURN_METRIC, gauge.sort)
    if found is None:
        return 0.0
    return found.least if gauge.step_mm < FINE_STEP_MM else found.most


def slips(stop: StopContext, index: int) -> tuple[Question, ...]:
    """What to ask about one reading by itself; nothing if it is as expected.

    Whoever stands by a reading is asked no more about it, but for one that the gauge cannot show.
    """
    reading = stop.readings[index]
    beyond = _beyond_gauge(stop, index)
    if reading.confirmed:
        return beyond
    turns = (*_gauge_turn(stop, index), *_handle_turns(stop, index))
    if not _is_far(stop, reading.read_mm):
        return (*beyond, *turns)
    mistyped = tuple(_mistyped(stop, index))
    far = () if turns or mistyped or beyond else (_far(stop, index),)
    return (*beyond, *mistyped, *turns, *far)


def _is_far(stop: StopContext, value_mm: float) -> bool:
    return abs(value_mm - stop.expected_mm) > FAR_SIGMAS * stop.reading_sd_mm


def _beyond_gauge(stop: StopContext, index: int) -> tuple[Question, ...]:
    read_mm, gauge = stop.readings[index].read_mm, stop.gauge
    over_mm = float(gauge.step_mm)
    if gauge.low_mm - over_mm <= read_mm <= gauge.high_mm + over_mm:
        return ()
    ends = f"{said(gauge.low_mm, stop.units)} to {said(gauge.high_mm, stop.units)}"
    return (
        Question(
            code="beyond-gauge",
            saw=f"{_named(stop, index)}; {gauge.name} shows {ends}",
            perhaps="another gauge was used, or the figure was typed in the wrong unit",
            ask="Say which gauge it was, or type the reading again.",
            reading=index,
            figures=(Figure(name="read", value=read_mm),),
        ),
    )


def _gauge_turn(stop: StopContext, index: int) -> Iterator[Question]:
    turn_mm = gauge_turn_mm(stop.gauge)
    if not _is_a_turn(stop, index, turn_mm):
        return
    off_mm = stop.readings[index].read_mm - stop.expected_mm
    yield Question(
        code="gauge-turn-out",
        saw=f"{_departure(stop, index)}; one turn of the gauge is {said(turn_mm, stop.units, places=PLACES)}",
        perhaps="the gauge was read one turn out",
        ask="Check the count of turns with a second instrument before this counts.",
        reading=index,
        offered_mm=stop.readings[index].read_mm - (turn_mm if off_mm > 0 else -turn_mm),
        figures=(Figure(name="off", value=off_mm), Figure(name="turn", value=turn_mm)),
    )


def _handle_turns(stop: StopContext, index: int) -> Iterator[Question]:
    off_mm = stop.readings[index].read_mm - stop.expected_mm
    for turn in stop.handle_turns:
        if not _is_a_turn(stop, index, turn.reading_mm):
            continue
        yield Question(
            code="handle-turn-out",
            saw=f"{_departure(stop, index)}; one turn of the {turn.name} changes it by "
            f"{said(turn.reading_mm, stop.units, places=PLACES)}",
            perhaps=f"the {turn.name} stands one turn from where it should, and the reading is right",
            ask="Measure again with a second instrument. If it stays, set the zero anew from this reading; cut nothing "
            "on the old one.",
            reading=index,
            figures=(Figure(name="off", value=off_mm), Figure(name="turn", value=turn.reading_mm)),
        )


def _is_a_turn(stop: StopContext, index: int, turn_mm: float) -> bool:
    off_mm = abs(stop.readings[index].read_mm - stop.expected_mm)
    far = off_mm > LEAST_TURN_SIGMAS * stop.reading_sd_mm
    return turn_mm > 0.0 and far and abs(off_mm - turn_mm) <= TURN_SHARE * turn_mm


def _mistyped(stop: StopContext, index: int) -> Iterator[Question]:
    reading = stop.readings[index]
    for code, perhaps, value_mm in _readings_meant(stop, reading):
        if _is_far(stop, value_mm):
            continue
        yield Question(
            code=code,
            saw=_departure(stop, index),
            perhaps=f"{perhaps}: {said(value_mm, stop.units, places=PLACES)}",
            ask="Look at the gauge and type the reading again, with its unit.",
            reading=index,
            offered_mm=value_mm,
            figures=(Figure(name="read", value=reading.read_mm), Figure(name="meant", value=value_mm)),
        )


def _readings_meant(stop: StopContext, reading: TypedReading) -> Iterator[tuple[str, str, float]]:
    """Each slip of the hand that writes: its code, what was meant, and the reading that would be. [mm]"""
    read_mm = reading.read_mm
    yield "wrong-unit", "inches were meant", read_mm * _INCH
    yield "wrong-unit", "millimetres were meant", read_mm / _INCH
    for factor in POINT_FACTORS:
        yield "point-slip", "the decimal point slipped", float(Fraction(read_mm) * factor)
    for value_mm in _swapped(reading):
        yield "digits-swapped", "two digits were exchanged", value_mm
    frame_mm = _frame_mm(stop)
    if frame_mm:
        yield "frame-left-out", f"the {said(frame_mm, stop.units)} of the frame were left out", read_mm + frame_mm
    yield "radius-typed", "a radius was typed for a diameter", 2.0 * read_mm
    yield "radius-typed", "the figure was doubled", read_mm / 2.0


def _swapped(reading: TypedReading) -> Iterator[float]:
    """Readings with two neighbouring digits exchanged, the point staying where it is. [mm]"""
    text = reading.typed
    found = [at for at, sign in enumerate(text) if sign.isdigit()]
    value = _number(text)
    if value is None or not value:
        return
    scale = reading.read_mm / value
    for one, other in pairwise(found):
        if text[one] == text[other]:
            continue
        signs = list(text)
        signs[one], signs[other] = signs[other], signs[one]
        swapped = _number("".join(signs))
        if swapped is not None:
            yield swapped * scale


def _number(text: str) -> float | None:
    """Number at the start of what was typed, decimal comma or point; nothing if it is written otherwise."""
    word = text.strip().split(" ")[0].rstrip('"').removesuffix("mm").removesuffix("in").replace(",", ".")
    try:
        return float(word)
    except ValueError:
        return None


def _frame_mm(stop: StopContext) -> float:
    if stop.gauge.sort not in FRAMED:
        return 0.0
    if stop.gauge.sort is not GaugeKind.TELESCOPING:
        return stop.gauge.low_mm
    step_mm = float(FRAME_STEP_MM[stop.gauge.in_inches])
    return stop.expected_mm // step_mm * step_mm


def _far(stop: StopContext, index: int) -> Question:
    off_mm = stop.readings[index].read_mm - stop.expected_mm
    sigmas = abs(off_mm) / stop.reading_sd_mm
    return Question(
        code="far-from-expected",
        saw=f"{_departure(stop, index)}, {sigmas:.1f} times the uncertainty of both",
        perhaps="a wrong surface, a chip or a burr under the gauge, a slide that slipped, a tool that moved or chipped",
        ask="Clean the work and measure again. If it stays, look for the cause before you cut.",
        reading=index,
        figures=(Figure(name="off", value=off_mm), Figure(name="sigmas", value=sigmas, unit="1")),
    )


def _named(stop: StopContext, index: int) -> str:
    reading = stop.readings[index]
    typed = f" (typed {reading.typed})" if reading.typed else ""
    return f"read {said(reading.read_mm, stop.units, places=PLACES)}{typed}"


def _departure(stop: StopContext, index: int) -> str:
    off_mm = stop.readings[index].read_mm - stop.expected_mm
    which = "larger" if off_mm > 0 else "smaller"
    return f"{_named(stop, index)}, {said(abs(off_mm), stop.units, places=PLACES)} {which} than expected"
