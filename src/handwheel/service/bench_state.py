"""What is told of a walk, for a screen or for a script: the next act, what is asked, what to know."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.acts import Indicate, Measure, SettingKind
from handwheel.domain.advice import AdviceBand
from handwheel.domain.events import EventId
from handwheel.domain.exact import Fraction
from handwheel.report.as_read import own_dial_line, without_boxes
from handwheel.report.layout import pack
from handwheel.report.pieces import Line
from handwheel.report.situation import setting_of
from handwheel.report.steps import NumberedAct, NumberedStep
from handwheel.report.walk_text import reading_text
from handwheel.report.wording import Wording, printed_in, worded
from handwheel.report.words import plain
from handwheel.service.bench_asks import (
    Ask,
    AskKind,
    advice_at,
    asks_at,
    is_answered,
    offsets,
    outside_at,
    raised_at,
)
from handwheel.service.bench_judges import Judges, Raised
from handwheel.service.bench_times import StepTaken, times_taken
from handwheel.service.bench_walk import Walk
from handwheel.service.codec import written_exactly

WIDEST = 200
"""Letters of a line of words in JSON; a longer one goes on in the next."""


class AskTold(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What is asked: ``reading`` in mm or ``dial`` in marks, of what, whether it must be told before the act is done.

    A reading is expected to be ``expected_mm``; outside ``stop_low_mm`` to ``stop_high_mm``: stop. A finished size lies
    within ``lower_mm`` to ``upper_mm``. So many ``readings`` are wanted, once the work has cooled for ``cool_s``.
    """

    what: AskKind
    of: str
    needed: bool
    answered: bool
    gauge: str = ""
    expected_mm: float | None = None
    stop_low_mm: float | None = None
    stop_high_mm: float | None = None
    lower_mm: float | None = None
    upper_mm: float | None = None
    readings: int = 1
    cool_s: float = 0.0


class ReadingTold(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A reading at this act, in mm and in words; ``counts`` unless it was asked back."""

    reading_mm: float
    text: str
    counts: bool
    gauge: str = ""


class QuestionTold(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Something that is open about readings: ``stands`` settles it, unless it ``needs_reading``; ``about`` which."""

    code: str
    text: str
    needs_reading: bool = False
    about: int | None = None


class State(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Where a walk stands: the next act, its words, what is asked, what the readings so far mean.

    ``mean_mm`` is the mean of the readings that count. ``questions`` are open about them, ``outside`` says that it
    must not go on like that, ``advice`` what to do; ``goes_on`` whether the walk may go on by it, ``anew`` whether it
    is to be read anew after it, ``row`` is the row of the stop's table. ``table`` are the rows as they are printed.
    """

    plan: str
    done: int
    of: int
    over: bool = False
    stopped: bool = False
    act: str = ""
    number: str = ""
    step: str = ""
    step_number: int = 0
    title: str = ""
    verb: str = ""
    text: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    cautions: tuple[str, ...] = ()
    note: str = ""
    asks: tuple[AskTold, ...] = ()
    readings: tuple[ReadingTold, ...] = ()
    mean_mm: float | None = None
    questions: tuple[QuestionTold, ...] = ()
    outside: tuple[str, ...] = ()
    advice: tuple[str, ...] = ()
    goes_on: bool = True
    anew: bool = False
    row: AdviceBand | None = None


class StepTold(Struct, frozen=True, kw_only=True):
    """A step in the list from which one can go on: its number, id and title, how many of its acts are done."""

    number: int
    id: str
    title: str
    done: int
    of: int


class Reply(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One line that comes back: what was wrong, or what is saved and told; then where the walk stands.

    ``saved`` names the event that is on the disk. ``why``, ``steps`` and ``times`` come when they were asked for.
    """

    error: tuple[str, ...] = ()
    told: tuple[str, ...] = ()
    saved: EventId | None = None
    why: str = ""
    steps: tuple[StepTold, ...] = ()
    times: tuple[StepTaken, ...] = ()
    state: State | None = None


def state_of(walk: Walk, judges: Judges, wording: Wording) -> State:
    """Tell where a walk stands."""
    with printed_in(wording):
        return _state(walk, judges)


def _state(walk: Walk, judges: Judges) -> State:
    item, step, text = walk.item, walk.step, walk.text
    now = State(
        plan=walk.plan.id,
        done=len(walk.done),
        of=len(walk.plan.sheet.acts),
        over=walk.over,
        stopped=walk.stopped is not None,
    )
    if item is None or step is None or text is None:
        return now
    lines = (*without_boxes(text).lines, *own_lines(walk), *text.after)
    advised = advice_at(walk, judges)
    table = () if text.table is None else (text.table.columns, *text.table.rows)
    return replace(
        now,
        act=item.act.id,
        number=item.number,
        step=step.id,
        step_number=step.number,
        title=plain(worded(step.title)),
        verb=worded(text.verb),
        text=tuple(packed for line in lines for packed in pack(map(str, line), width=WIDEST)),
        table=tuple(tuple(map(worded, row)) for row in table),
        cautions=_said(item.act.cautions),
        note=plain(worded(item.act.note)),
        asks=tuple(_ask_told(ask, item, walk) for ask in asks_at(walk)),
        readings=tuple(_readings(walk, item)),
        mean_mm=None if (size := walk.size_at(item.act.id)) is None else float(size),
        questions=tuple(_question_told(raised) for raised in raised_at(walk, judges)),
        outside=_said(outside_at(walk)),
        advice=_said(advised.words),
        goes_on=advised.goes_on,
        anew=advised.anew,
        row=advised.row,
    )


def _question_told(raised: Raised) -> QuestionTold:
    return QuestionTold(
        code=raised.code, text=plain(worded(raised.text)), needs_reading=raised.forbids, about=raised.reading
    )


def _said(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(plain(worded(text)) for text in texts)


def own_lines(walk: Walk) -> tuple[Line, ...]:
    """What a collar that cannot be set must show for the next act, if its offset is known."""
    item = walk.item
    setting = None if item is None else setting_of(item.act)
    if item is None or setting is None or setting.kind is not SettingKind.MARKS:
        return ()
    offset = offsets(walk).get(setting.zero)
    return () if offset is None else (own_dial_line(setting, offset, item.scene),)


def _ask_told(ask: Ask, item: NumberedAct, walk: Walk) -> AskTold:
    act, answered = item.act, is_answered(ask, walk)
    told = AskTold(what=ask.kind, of=worded(ask.of), needed=ask.needed, answered=answered, gauge=ask.gauge)
    if ask.kind is AskKind.READING and isinstance(act, Indicate):
        return replace(told, stop_low_mm=0.0, stop_high_mm=act.high_mm)
    if ask.kind is AskKind.DIAL or not isinstance(act, Measure):
        return told
    limits = (act.lower_mm, act.upper_mm) if act.final else (None, None)
    return replace(
        told,
        expected_mm=act.expected_mm,
        stop_low_mm=act.stop_low_mm,
        stop_high_mm=act.stop_high_mm,
        lower_mm=limits[0],
        upper_mm=limits[1],
        readings=1 if act.table is None else act.table.readings,
        cool_s=0.0 if act.table is None else act.table.cool_s,
    )


def _readings(walk: Walk, item: NumberedAct) -> Iterator[ReadingTold]:
    counted = walk.readings.get(item.act.id, ())
    for event in (*counted, *((walk.asked,) if walk.asked is not None else ())):
        value = Fraction(event.value or 0)
        said = worded(reading_text(item.act, value, item.scene.lengths))
        yield ReadingTold(reading_mm=float(value), text=said, counts=event is not walk.asked, gauge=event.gauge)


def steps_told(walk: Walk) -> tuple[StepTold, ...]:
    """Every step, with how much of it is done."""
    return tuple(_step_told(step, walk) for step in walk.laid.steps)


def _step_told(step: NumberedStep, walk: Walk) -> StepTold:
    done = sum(item.act.id in walk.done for item in step.acts)
    return StepTold(number=step.number, id=step.id, title=plain(worded(step.title)), done=done, of=len(step.acts))


def times_told(walk: Walk) -> tuple[StepTaken, ...]:
    """Time of each step so far."""
    return times_taken(walk.events)


def passed_over(walk: Walk) -> tuple[str, ...]:
    """Numbers of the acts before the next one that were not done by this record."""
    return tuple(item.number for item in walk.laid.planned[: walk.at] if item.act.id not in walk.done)


def reply_line(reply: Reply) -> str:
    """One line of JSON for a script."""
    return msgspec.json.encode(reply, enc_hook=written_exactly).decode() + "\n"
