"""Runout of the spindle, or of a bar in the chuck, by an indicator and by hand."""

from __future__ import annotations

from handwheel.bench.checkup import shared
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Instruction, KeyChange, Outcome, Trial, asks
from handwheel.domain.errors import InputError
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.shop import Shop
from handwheel.physics.few_readings import Estimate, estimate, mean_of, reading_doubt
from handwheel.physics.runout import eccentricity_mm

SPINDLE, BAR = "spindle", "bar"
RANGE_MM = 10.0
"""Furthest that an indicator is read from its zero. [mm]"""


def _matters(shop: Shop) -> str:
    runout = shared.long(shop.lathe.chuck.runout_mm, shop.units)
    return (
        f"The shop file says that a bar in the chuck runs out by {runout} in all. Half of that is what the wall of a "
        "ring may differ by once it was gripped anew."
    )


def _settles(_: Shop) -> tuple[str, ...]:
    return ("lathe.chuck.runout",)


def _instructions(_: Shop) -> tuple[Instruction, ...]:
    return (
        shared.at_rest(
            "Stand the indicator square to the nose or taper of the spindle (on=spindle), or grip a ground bar and "
            "stand it on that, close to the jaws (on=bar)."
        ),
        shared.act("Take the key out of the chuck again. Turn the spindle by hand, slowly, one whole turn."),
        shared.act("Note the lowest and the highest reading of the turn, below zero with a minus."),
        shared.act("Do it three times. For the chuck, open and grip the bar anew each time, in other places."),
        shared.act("Keep fingers out of the jaws while you turn; never under power with an indicator on it."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    return (
        Field(key="on", says="what the indicator stood on", kind=Kind.WORD, choices=(SPINDLE, BAR)),
        Field(key="low", says="lowest reading of each turn", low=-RANGE_MM, high=RANGE_MM, most=20),
        Field(
            key="high", says="highest reading of each turn, in the same order", low=-RANGE_MM, high=RANGE_MM, most=20
        ),
        shared.gauge_field(shop, GaugeUse.RUNOUT),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    lows, highs = entry.all("low"), entry.all("high")
    if len(lows) != len(highs):
        msg = f"runout: found {len(lows)} low and {len(highs)} high; enter one of each for every turn"
        raise InputError((msg,))
    for low, high in zip(lows, highs, strict=True):
        if high < low:
            msg = f"runout: high {high:g} mm is below low {low:g} mm; exchange them, or check the signs"
            raise InputError((msg,))
    gauge = shop.gauge(entry.word("gauge"))
    totals = [2.0 * eccentricity_mm(low, high_mm=high) for low, high in zip(lows, highs, strict=True)]
    if max(totals) > gauge.high_mm:
        return asks(
            f"{shared.long(max(totals), shop.units)} in one turn is more than {gauge.name} has. Did its hand go "
            "round more "
            "than once, or pass zero? Set it to the middle of its range and try again."
        )
    found = total_reading(totals, step_mm=float(gauge.step_mm), half_width_mm=gauge.uncertainty_mm)
    return _found(shop, entry, found, max(totals))


def total_reading(totals_mm: list[float], *, step_mm: float, half_width_mm: float) -> Estimate:
    """Mean total reading over some turns; low and high are each read to a step. [mm]"""
    doubt = reading_doubt([totals_mm], weights=(1.0,), step=step_mm, half_width=half_width_mm)
    *scatter, rounded = doubt
    return estimate(mean_of(totals_mm), (*scatter, rounded, rounded))


def _found(shop: Shop, entry: Entry, found: Estimate, most_mm: float) -> Outcome:
    on_bar = entry.word("on") == BAR
    what = "the bar in the chuck" if on_bar else "the spindle"
    half = found.times(0.5)
    most = shared.long(most_mm, shop.units)
    said = [
        f"Total reading of {what}: {shared.give_or_take(found, shop.units)}; at most {most}.",
        f"So it stands off the axis by half of that, {shared.long(half.value, shop.units)}.",
    ]
    if found.low <= 0.0:
        said.append("That is no more than the indicator can show: it may run true.")
    if more := shared.readings_wanted(found):
        said.append(more)
    change = KeyChange(
        path="lathe.chuck.runout",
        value=shared.written_up(most_mm, shop.units),
        why="the largest total reading that was found",
    )
    return Outcome(
        verdicts=tuple(said),
        cannot_tell=(
            "an axis that is off from a surface that is not round in itself",
            "play of the bearings under a cut: push and pull by hand, and see what the indicator gives back",
        ),
        measured=(
            Measured(
                quantity="runout" if on_bar else "spindle runout",
                value=found.value,
                spread=found.spread,
                unit="mm",
                evidence=f"indicator, {len(entry.numbers['low'])} turns by hand",
                thing="chuck" if on_bar else "spindle",
            ),
        ),
        changes=(change,) if on_bar else (),
    )


TRIAL = Trial(
    key="runout",
    title="Runout of spindle and chuck",
    gives="the total reading in a turn, and how far off the axis that is",
    matters=_matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
