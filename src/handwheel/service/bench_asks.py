"""What is asked at an act, and what keeps the walk from going on past it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import Enum

from msgspec import Struct

from handwheel.domain.acts import (
    Cut,
    DrillHole,
    Indicate,
    Measure,
    ReamHole,
    SetCollar,
    SetReadout,
    SettingKind,
    SetZero,
)
from handwheel.domain.events import Event, EventKind
from handwheel.domain.exact import Fraction
from handwheel.report.situation import dial_of
from handwheel.report.steps import NumberedAct
from handwheel.report.walk_text import outside_words
from handwheel.report.words import surface_words
from handwheel.service.bench_judges import NOTHING_ADVISED, Advised, Judges, Raised, StopRead, Taken
from handwheel.service.bench_times import seconds_between
from handwheel.service.bench_walk import Walk

OVER = "all acts are done; nothing is left to do"
STOPPED = "the job was stopped; go back takes that back"
ASKED_BACK = "this reading was asked back: say that it stands, or give another one"
ASKED_BEFORE = Raised(code="asked-before", text="this reading was asked back when it was given")
"""Stands for a question that nobody asks any more: the journal says that it was asked."""
ANEW_FIRST = "when that is done: anew, then read"
GO_ON = "if you know why it is so and it may go on: done because ..."


class AskKind(Enum):
    """What an answer is."""

    READING = "reading"
    """A size as read. [mm]"""
    DIAL = "dial"
    """What a collar shows that cannot be turned on its own. [marks]"""


class Ask(Struct, frozen=True, kw_only=True):
    """One thing that is asked at an act: what of, with which gauge, whether nothing goes on without it."""

    kind: AskKind
    of: str
    needed: bool
    gauge: str = ""


def asks_at(walk: Walk) -> tuple[Ask, ...]:
    """What is asked at the next act."""
    item = walk.item
    return () if item is None else tuple(_asks(item, walk))


def _asks(item: NumberedAct, walk: Walk) -> Iterator[Ask]:
    act = item.act
    if isinstance(act, Measure):
        what = f"{surface_words(act.surface)}, {act.aspect}"
        yield Ask(kind=AskKind.READING, of=what, needed=bool(act.gauge), gauge=act.gauge)
    elif isinstance(act, Indicate):
        what = f"{surface_words(act.surface)}, total reading"
        yield Ask(kind=AskKind.READING, of=what, needed=bool(act.gauge), gauge=act.gauge)
    elif isinstance(act, SetCollar | SetReadout):
        is_known = act.id in walk.set_from
        if not is_known:
            yield Ask(kind=AskKind.READING, of=f"{surface_words(act.surface)}, diameter", needed=True)
    if is_fixed_collar(item):
        yield Ask(kind=AskKind.DIAL, of="what the collar shows now", needed=True)


def is_fixed_collar(item: NumberedAct) -> bool:
    """Whether an act makes a zero on a collar that cannot be turned on its own, so that an offset is kept."""
    act = item.act
    if isinstance(act, SetCollar):
        return not act.settable
    if isinstance(act, SetZero) and act.kind is SettingKind.MARKS:
        return not dial_of(item.scene.shop, act.handle).settable
    return False


def offsets(walk: Walk) -> Mapping[str, Fraction]:
    """What is added to the DIAL of each zero on a collar that cannot be set, as far as it is known. [marks]"""
    found: dict[str, Fraction] = {}
    for item in walk.laid.acts:
        act, shown = item.act, walk.dials.get(item.act.id)
        if shown is not None and isinstance(act, SetCollar | SetZero):
            marks = act.marks if isinstance(act, SetCollar) else Fraction(0)
            found[act.zero] = (shown - marks) % dial_of(walk.shop, act.handle).marks
    return found


def is_answered(ask: Ask, walk: Walk) -> bool:
    """Whether what is asked at the next act was told."""
    told = walk.readings if ask.kind is AskKind.READING else walk.dials
    return walk.item_id in told


def open_asks(walk: Walk) -> tuple[Ask, ...]:
    """What is asked and was not told yet, what is needed first."""
    return tuple(sorted((ask for ask in asks_at(walk) if not is_answered(ask, walk)), key=lambda ask: not ask.needed))


def outside_at(walk: Walk) -> tuple[str, ...]:
    """Why the readings at the next act forbid to go on: their mean lies outside."""
    item, size = walk.item, walk.size_at(walk.item_id)
    if item is None or size is None or not isinstance(item.act, Measure | Indicate):
        return ()
    return outside_words(item.act, size, item.scene)


def kept_back(walk: Walk, judges: Judges, *, because: str = "") -> tuple[str, ...]:
    """Why the next act cannot count as done; nothing if it can.

    With a reason it may go on although a reading lies outside or something asked about it is open, but never without
    what the act needs to be told.
    """
    if walk.over:
        return (OVER,)
    if walk.stopped is not None:
        return (STOPPED,)
    missing = tuple(f"tell first: {_wanted(ask)}" for ask in open_asks(walk) if ask.needed)
    if missing and walk.asked is None:
        return missing
    said = advice_at(walk, judges)
    why_not = (
        *(raised.text for raised in raised_at(walk, judges)),
        *outside_at(walk),
        *(() if said.goes_on else said.words),
    )
    if walk.asked is not None:
        return (*why_not, ASKED_BACK)
    if why_not and not because.strip():
        return (*why_not, *((ANEW_FIRST,) if said.anew else ()), GO_ON)
    return ()


def _wanted(ask: Ask) -> str:
    return f"the {ask.kind.value}, {ask.of}" if ask.kind is AskKind.READING else ask.of


def raised_at(walk: Walk, judges: Judges) -> tuple[Raised, ...]:
    """What is open about the readings at the next act: about the one that was asked back, else those that count."""
    read = read_at(walk)
    if read is None:
        return ()
    raised = judges.questions(read)
    if walk.asked is None:
        return tuple(one for one in raised if one.token not in read.answered)
    return tuple(one for one in raised if one.reading == len(read.taken) - 1) or (ASKED_BEFORE,)


def advice_at(walk: Walk, judges: Judges) -> Advised:
    """What to do with the readings that count at the next act; nothing while there is none, or something is open."""
    read = read_at(walk)
    if read is None or walk.asked is not None or not isinstance(read.item.act, Measure) or raised_at(walk, judges):
        return NOTHING_ADVISED
    return judges.advice(read)


def read_at(walk: Walk, *, besides: Taken | None = None) -> StopRead | None:
    """The readings at the next act as their judges see them, one more at their end if so wanted; none without any."""
    item = walk.item
    if item is None:
        return None
    answered = walk.answered.get(item.act.id, ())
    settled = {token.partition(":")[2] for token in answered}
    events = (*walk.readings.get(item.act.id, ()), *((walk.asked,) if walk.asked is not None else ()))
    taken = tuple(
        Taken(
            value_mm=Fraction(event.value or 0),
            text=event.text,
            gauge=event.gauge,
            place=event.place,
            at=event.happened_at,
            temperature_c=event.temperature_c,
            confirmed=str(place) in settled or _stood_by(event, walk),
        )
        for place, event in enumerate(events if besides is None else walk.readings.get(item.act.id, ()))
    )
    every = taken if besides is None else (*taken, besides)
    if not every:
        return None
    return StopRead(
        plan=walk.plan,
        shop=walk.shop,
        item=item,
        taken=every,
        answered=answered,
        cooled_s=_cooled_s(walk, every[-1].at),
    )


def _cooled_s(walk: Walk, read_at: str) -> float | None:
    """Time from the last cut to a reading, by the journal. [s]"""
    cutting = {act.id for act in walk.plan.sheet.acts if isinstance(act, Cut | DrillHole | ReamHole)}
    made = (event for event in reversed(walk.trail) if event.kind is EventKind.DONE and event.act in cutting)
    last = next(made, None)
    return None if last is None else seconds_between(last.happened_at, read_at)


def _stood_by(event: Event, walk: Walk) -> bool:
    """Whether a reading was asked back, and then said to stand."""
    before = next((one for one in walk.events if one.id == event.corrects), None)
    return before is not None and before.kind is EventKind.ASKED and before.value == event.value
