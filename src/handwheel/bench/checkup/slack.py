"""Slack of a slide: how far its handle turns back before the slide moves."""

from __future__ import annotations

from math import sqrt

from handwheel.bench.checkup import shared
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Instruction, KeyChange, Outcome, Trial, asks
from handwheel.domain.errors import InputError
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle
from handwheel.domain.shop import Shop
from handwheel.physics.few_readings import Component, Estimate, estimate, mean_of, pooled_scatter, rounding

CLEARING = 1.5
"""How many times the slack is wound past before coming in again, at least; practice case PC-02, common practice."""
READ_TO_MARKS = 0.5
"""What a dial is read to between its marks, unless it is entered; own judgement. [marks]"""
FEWEST = 3
"""A screw is worn where it is used, so that slack is tried at three places at least; common practice, no source."""
UNEVEN = 2.0
"""Largest slack as a multiple of the least from which the screw counts as unevenly worn; own choice."""


def _matters(shop: Shop) -> str:
    said = [
        f"{slide_words(word)} {shared.long(float(shared.slide_named(shop, word).slack_mm), shop.units)}"
        for word in shared.SLIDES
    ]
    return (
        f"The shop file says {', '.join(said)}. A handle that is reversed and not wound past its slack leaves the "
        "slide short by all of it, on a diameter by twice as much."
    )


def _settles(_: Shop) -> tuple[str, ...]:
    return tuple(f"{path}.slack" for _, path in shared.SLIDES.values())


def _instructions(_: Shop) -> tuple[Instruction, ...]:
    return (
        shared.at_rest("Choose the slide. Snug its gib, as for cutting. Stand an indicator against it."),
        shared.act(
            "Wind it one way until the indicator moves, and on by half a turn. Set the collar to 0, or note it."
        ),
        shared.act("Wind back slowly, and stop as soon as the indicator moves. Count the marks between, with halves."),
        shared.act("Do it at three places of the travel or more, where you work most among them. Enter each."),
        shared.act(
            "A slide without a dial: enter lost=LENGTH instead, read off its readout, or the share of a turn that was "
            "lost times what a turn moves."
        ),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    return (
        Field(key="slide", says="which slide", kind=Kind.WORD, choices=tuple(shared.SLIDES)),
        Field(
            key="marks",
            says="marks wound back before it moved, at each place",
            kind=Kind.NUMBER,
            high=10_000.0,
            unit="marks",
            fewest=FEWEST,
            most=20,
            needed=False,
        ),
        Field(
            key="lost", says="the same as slide travel, without a dial", high=10.0, fewest=FEWEST, most=20, needed=False
        ),
        Field(
            key="read_to",
            says="what of a mark you read to",
            kind=Kind.NUMBER,
            low=0.05,
            high=1.0,
            unit="marks",
            needed=False,
            usual=READ_TO_MARKS,
        ),
        shared.gauge_field(shop, GaugeUse.RUNOUT),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    word = entry.word("slide")
    slide = shared.slide_named(shop, word)
    if entry.has("marks") is entry.has("lost"):
        msg = "slack: enter marks, or lost where the slide has no dial; one of them, and not both"
        raise InputError((msg,))
    if entry.has("marks") and slide.dial is None:
        msg = f"slack: marks: the {word} has no dial in the shop file; enter lost=LENGTH instead"
        raise InputError((msg,))
    mark_mm = float(slide.dial.travel_per_mark_mm) if slide.dial else 0.0
    lost_mm = [each * mark_mm for each in entry.all("marks")] if entry.has("marks") else list(entry.all("lost"))
    if slide.dial and max(lost_mm) >= float(slide.dial.lead_mm):
        return asks(
            f"{max(lost_mm) / mark_mm:g} marks are a whole turn or more of the {word}. Were whole turns counted?"
        )
    step_mm = float(shop.gauge(entry.word("gauge")).step_mm)
    read_mm = entry.one("read_to", READ_TO_MARKS) * mark_mm if entry.has("marks") else step_mm
    return _found(shop, entry, slack_estimate(lost_mm, read_mm=read_mm, indicator_step_mm=step_mm), max(lost_mm), word)


def slack_estimate(lost_mm: list[float], *, read_mm: float, indicator_step_mm: float) -> Estimate:
    """Mean slack over the places tried; start and end are each read to a step, and the indicator moves late. [mm]"""
    scatter, freedom = pooled_scatter([lost_mm])
    return estimate(
        mean_of(lost_mm),
        (
            Component(standard=scatter / sqrt(len(lost_mm)), freedom=freedom),
            Component(standard=sqrt(2.0) * rounding(read_mm).standard),
            rounding(indicator_step_mm),
        ),
    )


def _found(shop: Shop, entry: Entry, found: Estimate, most_mm: float, word: str) -> Outcome:
    key = "marks" if entry.has("marks") else "lost"
    places = len(entry.numbers[key])
    path = f"{shared.SLIDES[word][1]}.slack"
    return Outcome(
        verdicts=tuple(_verdicts(shop, entry, found, most_mm, word)),
        cannot_tell=(
            "where screw, nut, thrust bearing or gib share it, and what it is at places that were not tried",
            "what the slide does under the load of a cut: a loose gib shows only then",
        ),
        measured=(
            Measured(
                quantity="slack",
                value=found.value,
                spread=found.spread,
                unit="mm",
                evidence=f"reversed by the indicator at {places} places",
                thing=slide_words(word),
            ),
        ),
        changes=(
            KeyChange(
                path=path,
                value=shared.written_up(most_mm, shop.units),
                why="the largest that was found, for every approach must clear it",
            ),
        ),
    )


def slide_words(word: str) -> str:
    """Name of a slide as people say it.

    Examples
    --------
    >>> slide_words("cross_slide")
    'cross-slide'
    """
    return shared.SLIDES[word][0].value


def _verdicts(shop: Shop, entry: Entry, found: Estimate, most_mm: float, word: str) -> list[str]:
    units = shop.units
    slide = shared.slide_named(shop, word)
    said = [
        f"Slack of the {slide_words(word)}: {shared.give_or_take(found, units)}; at most {shared.long(most_mm, units)}."
    ]
    half_turn = ", better half a turn" if slide.travel_per_turn_mm / 2.0 >= CLEARING * most_mm else ""
    said.append(
        "Come to every number from one side. After backing off wind out past it by "
        f"{shared.long(CLEARING * most_mm, units)}"
        f" at least{half_turn}, then in again."
    )
    if slide.handle is Handle.CROSS:
        said.append(f"If that is forgotten the diameter may be out by {shared.long(2.0 * most_mm, units)}.")
    else:
        said.append(f"If that is forgotten the length may be out by {shared.long(most_mm, units)}.")
    before = float(slide.slack_mm)
    if most_mm > before:
        said.append(f"The shop file says {shared.long(before, units)}, which is too little: plans back off too short.")
    key = "marks" if entry.has("marks") else "lost"
    if max(entry.all(key)) > UNEVEN * min(entry.all(key)) and most_mm - found.value > found.standard:
        said.append("It differs much from place to place: a worn screw, or a gib that is loose. See to it first.")
    if more := shared.readings_wanted(found):
        said.append(more)
    return said


TRIAL = Trial(
    key="slack",
    title="Slack of a slide",
    gives="how far a handle turns back before its slide moves, for each slide",
    matters=_matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
