"""What a person or a script can say at the lathe, and which event comes of it."""

from __future__ import annotations

from decimal import Decimal
from enum import Enum
from typing import Any

import msgspec
from msgspec import Struct

from handwheel.domain.acts import Cool, SetCollar, SetReadout, SetZero
from handwheel.domain.errors import InputError
from handwheel.domain.events import Event, EventId, EventKind
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.report.situation import dial_of
from handwheel.report.steps import NumberedAct
from handwheel.report.walk_text import cooled_words, reading_text
from handwheel.service.bench_asks import OVER, STOPPED, AskKind, asks_at, kept_back, raised_at, read_at
from handwheel.service.bench_judges import Judges, Taken
from handwheel.service.bench_lines import moment
from handwheel.service.bench_times import seconds_between
from handwheel.service.bench_walk import Walk
from handwheel.service.intake.lengths import is_moderate, length_mm, number_in

COLDEST_C, HOTTEST_C = -40.0, 400.0
"""Between these work may be that somebody measures; own choice. [°C]"""
LONGEST_TEXT = 2000
"""Letters of a remark or a reason."""
BACK_IS_PAPER = "that changes this record alone: the machine stands where it stands"
PASSED_OVER = (
    "what lies between counts neither as done nor as measured; only if it was done from the sheet, with every zero set"
)
DONE_ANEW = "from there on all counts as not done; every zero is set anew, every size measured anew"
READ_AGAIN = "that cannot be settled by a word: read again, or take the reading back"
SURE = "the same again, with the word sure"


class Do(Enum):
    """What can be done that needs no figure."""

    DONE = "done"
    BACK = "back"
    STANDS = "stands"
    ANEW = "anew"
    STOP = "stop"
    LEAVE = "leave"
    STATE = "state"
    WHY = "why"
    STEPS = "steps"
    TIMES = "times"


class Command(Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """One thing that is said; exactly one of ``do``, ``reading``, ``dial``, ``note`` and ``go``.

    Parameters
    ----------
    do : Do or None
        ``done``: the act is done. ``back``: take the last thing back. ``stands``: what was asked back is right.
        ``anew``: the work was cut again or has cooled, what was read here counts no more. ``stop``: give the job up.
        ``leave``: end for now. The others only tell.
    reading : number or text
        Size as read. A number is in millimetres; text may name its unit (``"0.7815 in"``), else it has the shop's.
    gauge : str
        Gauge that it was read with, by its id in the shop file; that of the act if it is left out.
    place : str
        Where it was read, along or round the work, in any words.
    temperature_c : number
        Temperature of the work at the reading. [°C]
    dial : number or text
        What a collar shows that cannot be set. [marks]
    note : str
        A remark.
    go : str
        Go on at another act: its number (``"6.17"``), or the number or id of a step.
    sure : bool
        With ``go``: that it is meant.
    because : str
        With ``done``: why it goes on although a reading lies outside; with ``stop``: why the job is given up.
    at : str
        When it happened, in UTC, such as ``"2026-11-30T16:03:30Z"``; now if it is left out.
    """

    do: Do | None = None
    reading: Any = None
    gauge: str = ""
    place: str = ""
    temperature_c: float | None = None
    dial: Any = None
    note: str = ""
    go: str = ""
    sure: bool = False
    because: str = ""
    at: str = ""


class Draft(Struct, frozen=True, kw_only=True):
    """An event that is to be, without who and when; ``told`` is what to say beside it."""

    kind: EventKind
    step: str = ""
    act: str = ""
    value: Fraction | None = None
    text: str = ""
    gauge: str = ""
    place: str = ""
    temperature_c: float | None = None
    corrects: EventId | None = None
    told: tuple[str, ...] = ()


_LINE = msgspec.json.Decoder(float_hook=Decimal)


def command_in(line: str) -> Command:
    """Read one line of JSON.

    Raises
    ------
    InputError
        If it is no JSON, no command, or says two things at once.

    Examples
    --------
    >>> command_in('{"reading": 19.81}').reading
    Decimal('19.81')
    """
    try:
        raw = _LINE.decode(line)
        found = msgspec.convert(raw, Command)
    except (msgspec.MsgspecError, RecursionError, UnicodeEncodeError) as error:
        raise InputError((f'line: {error}; write for instance {{"do": "done"}} or {{"reading": 19.81}}',)) from None
    said = [found.do is not None, found.reading is not None, found.dial is not None, bool(found.note), bool(found.go)]
    if sum(said) != 1:
        raise InputError(("line: say one thing: do, reading, dial, note or go",))
    if found.temperature_c is not None and not COLDEST_C <= found.temperature_c <= HOTTEST_C:
        problem = f"temperature_c: found {found.temperature_c:g}; allowed {COLDEST_C:g} to {HOTTEST_C:g} °C; check it"
        raise InputError((problem,))
    if max(map(len, (found.note, found.because, found.place))) > LONGEST_TEXT:
        raise InputError((f"line: a text has at most {LONGEST_TEXT} letters; write less",))
    if found.at and moment(found.at) is None:
        raise InputError((f'at: found "{found.at}"; allowed a time in UTC; write for instance "2026-11-30T16:03:30Z"',))
    return found


def drafted(walk: Walk, command: Command, judges: Judges, *, at: str) -> Draft | None:
    """Event that a command makes; none if it only asks.

    Parameters
    ----------
    walk : Walk
        Where the walk stands.
    command : Command
        What was said.
    judges : Judges
        Who asks before a reading counts.
    at : str
        When it happens, in UTC.

    Raises
    ------
    InputError
        If it cannot be done now; says why, and what can.
    """
    if command.reading is not None:
        return _reading(walk, command, judges, at)
    if command.do is Do.DONE:
        return _done(walk, command, judges, at)
    if command.do is Do.STANDS:
        return _stands(walk, judges)
    makers = (
        (bool(command.note), _noted),
        (bool(command.go), _gone),
        (command.dial is not None, _dial),
        (command.do is Do.BACK, _back),
        (command.do is Do.ANEW, _anew),
        (command.do is Do.STOP, _stopped),
        (command.do is Do.LEAVE, _left),
    )
    maker = next((maker for is_meant, maker in makers if is_meant), None)
    return None if maker is None else maker(walk, command)


def _noted(walk: Walk, command: Command) -> Draft:
    return _here(walk, EventKind.NOTE, text=command.note, told=("noted",))


def _stopped(walk: Walk, command: Command) -> Draft:
    _require_open(walk)
    return _here(walk, EventKind.STOPPED, text=command.because)


def _left(walk: Walk, command: Command) -> Draft:
    del command
    return _here(walk, EventKind.LEFT)


def _here(walk: Walk, kind: EventKind, **rest: Any) -> Draft:  # noqa: ANN401 - the fields of a draft
    item = walk.item
    step, act = (item.act.step, item.act.id) if item is not None else ("", "")
    return Draft(kind=kind, step=step, act=act, **rest)


def _require_open(walk: Walk) -> None:
    if walk.over:
        raise InputError((OVER,))
    if walk.stopped is not None:
        raise InputError((STOPPED,))


def _done(walk: Walk, command: Command, judges: Judges, at: str) -> Draft:
    why_not = kept_back(walk, judges, because=command.because)
    if why_not:
        raise InputError(why_not)
    item = walk.item
    told = cooled_words(waited_s(walk, at), item.act.seconds) if item is not None and isinstance(item.act, Cool) else ()
    return _here(walk, EventKind.DONE, text=command.because, told=told)


def waited_s(walk: Walk, at: str) -> float:
    """How long the walk has stood at its act by a time. [s]"""
    came = (event for event in reversed(walk.events) if event.kind in (EventKind.DONE, EventKind.WENT, EventKind.BACK))
    last = next(came, None)
    return 0.0 if last is None else seconds_between(last.happened_at, at) or 0.0


def _reading(walk: Walk, command: Command, judges: Judges, at: str) -> Draft:
    item = _asked_for(walk, AskKind.READING)
    value = size_read(command.reading, walk.shop.units)
    gauge = command.gauge or getattr(item.act, "gauge", "")
    _require_gauge(walk, gauge)
    text = str(command.reading)
    taken = Taken(
        value_mm=value, text=text, gauge=gauge, place=command.place, at=at, temperature_c=command.temperature_c
    )
    read = read_at(walk, besides=taken)
    last = 0 if read is None else len(read.taken) - 1
    asked = () if read is None else judges.questions(read)
    is_asked = any(one.reading == last for one in asked)
    return _here(
        walk,
        EventKind.ASKED if is_asked else EventKind.READING,
        value=value,
        text=text,
        gauge=gauge,
        place=command.place,
        temperature_c=command.temperature_c,
        corrects=walk.asked.id if walk.asked is not None else None,
        told=(f"read: {reading_text(item.act, value, item.scene.lengths)}",),
    )


def _asked_for(walk: Walk, kind: AskKind) -> NumberedAct:
    """The next act, if such an answer is asked for there."""
    _require_open(walk)
    item = walk.item
    if item is None or kind not in {ask.kind for ask in asks_at(walk)}:
        if kind is AskKind.READING and item is not None and isinstance(item.act, SetCollar | SetReadout):
            return item  # another size than that of the measurement before it
        what = "no reading is" if kind is AskKind.READING else "what a collar shows is not"
        raise InputError((f"act {item.number if item else ''}: {what} asked for here; done goes on",))
    return item


def size_read(written: object, units: Units) -> Fraction:
    """Size as read: a number in millimetres, text in the unit that it names, else in the shop's. [mm]

    Raises
    ------
    InputError
        If it is no length, can mean two, or is below 0.

    Examples
    --------
    >>> size_read(Decimal("19.81"), Units.INCH), size_read("0,5", Units.MM), size_read("1/2", Units.INCH)
    (Fraction(1981, 100), Fraction(1, 2), Fraction(127, 10))
    """
    value = length_mm(written, unit=units if isinstance(written, str) else Units.MM, where="reading")
    if value < 0:
        raise InputError((f"reading: found {written}; a size is not below 0; check the sign",))
    return value


def _require_gauge(walk: Walk, gauge: str) -> None:
    known = [one.id for one in walk.shop.gauges]
    if gauge and gauge not in known:
        raise InputError((f"gauge: {gauge!r} is not in this shop; give one of {', '.join(known)}",))


def _dial(walk: Walk, command: Command) -> Draft:
    item = _asked_for(walk, AskKind.DIAL)
    dial = dial_of(walk.shop, item.act.handle) if isinstance(item.act, SetCollar | SetZero) else None
    written = command.dial
    marks = number_in(written, where="dial") if isinstance(written, str) else exact_marks(written)
    if dial is not None and not 0 <= marks < dial.marks:
        raise InputError(
            (f"dial: found {written}; this dial shows 0 to {dial.marks}, that not included; read it again",)
        )
    return _here(walk, EventKind.DIAL, value=marks, text=str(written))


def exact_marks(written: object) -> Fraction:
    """Number of marks out of JSON; raises `InputError` if it is none."""
    if isinstance(written, bool) or not isinstance(written, int | Decimal) or not is_moderate(written):
        raise InputError((f"dial: found {written!r}; allowed a number of marks; write for instance 57",))
    return Fraction(written)


def _stands(walk: Walk, judges: Judges) -> Draft:
    """What was asked is settled: the reading that was asked back counts, or those that count stand."""
    _require_open(walk)
    raised = raised_at(walk, judges)
    if not raised:
        raise InputError(("nothing was asked back; give the reading, or go on with done",))
    forbidden = tuple(one.text for one in raised if one.forbids)
    if forbidden:
        raise InputError((*forbidden, READ_AGAIN))
    asked = walk.asked
    if asked is None:
        return _here(walk, EventKind.ANSWERED, text=" ".join(one.token for one in raised))
    return _here(
        walk,
        EventKind.READING,
        value=asked.value,
        text=asked.text,
        gauge=asked.gauge,
        place=asked.place,
        temperature_c=asked.temperature_c,
        corrects=asked.id,
    )


def _anew(walk: Walk, command: Command) -> Draft:
    del command
    item = _asked_for(walk, AskKind.READING)
    if not walk.readings.get(item.act.id) and walk.asked is None:
        raise InputError(("nothing was read here yet; give the reading",))
    return _here(walk, EventKind.ANEW, told=("what was read here before counts no more: read now",))


def _back(walk: Walk, command: Command) -> Draft:
    del command
    if not walk.trail:
        raise InputError(("nothing was done yet that could be taken back",))
    last = walk.trail[-1]
    told = (f"taken back: {told_of(walk, last)}", BACK_IS_PAPER)
    return Draft(kind=EventKind.BACK, step=last.step, act=last.act, corrects=last.id, told=told)


def told_of(walk: Walk, event: Event) -> str:
    """An event in words: its act by number, what it was.

    A reading comes with its figure as typed.
    """
    number = next((item.number for item in walk.laid.planned if item.act.id == event.act), "")
    rest = f" {event.text}" if event.text and event.kind is not EventKind.BEGUN else ""
    return f"{number} {event.kind.value}{rest}".strip()


def _gone(walk: Walk, command: Command) -> Draft:
    if walk.stopped is not None:
        raise InputError((STOPPED,))
    place = place_of(walk, command.go)
    target = walk.laid.planned[place]
    if place == walk.at:
        raise InputError((f"go: {target.number} is next already",))
    if not command.sure:
        ahead = place > walk.at
        raise InputError((f"go {target.number}: {PASSED_OVER if ahead else DONE_ANEW}; if it is meant: {SURE}",))
    return Draft(kind=EventKind.WENT, step=target.act.step, act=target.act.id)


def place_of(walk: Walk, target: str) -> int:
    """Place of an act by its number, or of the first act of a step by its number or id; `InputError` if none."""
    wanted = target.strip()
    for place, item in enumerate(walk.laid.planned):
        if wanted == item.number:
            return place
    for step in walk.laid.steps:
        if wanted in (str(step.number), step.id):
            return place_of(walk, step.acts[0].number)
    last = walk.laid.planned[-1].number
    raise InputError((f"go: {target!r} is no step or act; name one by its number, 1.1 to {last}, or see the steps",))
