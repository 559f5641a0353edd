"""Where a walk through a plan stands: worked out from the plan, the shop and the events alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from types import MappingProxyType
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.acts import Act, Measure, SetCollar, SetReadout
from handwheel.domain.errors import InputError
from handwheel.domain.events import Event, EventId, EventKind
from handwheel.domain.exact import Fraction
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.as_read import SetBy, as_read, text_as_read
from handwheel.report.head_text import SHOWN_OF_ID
from handwheel.report.pieces import ActText
from handwheel.report.steps import NumberedAct, NumberedStep, numbered_steps

OF_AN_ACT = frozenset(
    {EventKind.DONE, EventKind.READING, EventKind.ASKED, EventKind.ANSWERED, EventKind.ANEW, EventKind.DIAL}
)
"""Events that belong to the act at which the walk stands."""
CAN_GO_BACK = OF_AN_ACT | {EventKind.WENT, EventKind.STOPPED}
"""Events that can be taken back."""
REPLACED_BY = {EventKind.READING: {EventKind.READING, EventKind.ASKED}, EventKind.ASKED: {EventKind.ASKED}}
"""Which events one of a kind may stand in place of, besides a step back."""


OTHER_PLAN = "give the plan that the journal was begun with, or keep the journal under another name and begin anew"
OTHER_SHOP = "give that shop, or plan again for this one and begin anew"

Told = TypeVar("Told")


class Laid(Struct, frozen=True, kw_only=True):
    """The acts of a plan in order, as planned and as the readings make them; the steps of the latter."""

    steps: tuple[NumberedStep, ...]
    planned: tuple[NumberedAct, ...]
    acts: tuple[NumberedAct, ...]


class Walk(Struct, frozen=True, kw_only=True, dict=True):
    """State of a walk; see `walk_of`.

    Parameters
    ----------
    plan, shop : Plan, Shop
        What is made, and where.
    events : tuple of Event
        All that happened.
    trail : tuple of Event
        What counts of it and can be taken back, in its order.
    at : int
        Place of the next act; the number of acts when all are done.
    done : frozenset of str
        Ids of the acts that were done.
    readings : mapping
        Readings that count, by the id of their act.
    asked : Event or None
        Reading at this act that was asked back and not yet answered.
    answered : mapping
        What was asked about the readings of an act and is settled, by the id of the act.
    dials : mapping
        What collars show that cannot be set, by the id of the act. [marks]
    notes : tuple of Event
        Remarks.
    stopped : Event or None
        That the job was given up.
    """

    plan: Plan
    shop: Shop
    events: tuple[Event, ...]
    trail: tuple[Event, ...]
    at: int
    done: frozenset[str]
    readings: Mapping[str, tuple[Event, ...]]
    asked: Event | None
    answered: Mapping[str, tuple[str, ...]]
    dials: Mapping[str, Fraction]
    notes: tuple[Event, ...]
    stopped: Event | None

    @cached_property
    def laid(self) -> Laid:
        """Acts as planned and as read."""
        return laid_out(self.plan, self.shop, self.set_from)

    @cached_property
    def set_from(self) -> Mapping[str, SetBy]:
        """What each act is set from that is set from a reading, by its id, as far as it was read."""
        found = {}
        for act_id, measured in sources(self.plan.sheet.acts).items():
            own, size = self.size_at(act_id), self.size_at("" if measured is None else measured.id)
            if own is not None:
                found[act_id] = SetBy(reading_mm=own)
            elif size is not None and measured is not None:
                found[act_id] = SetBy(reading_mm=size, table=measured.table)
        return found

    @property
    def item(self) -> NumberedAct | None:
        """Next act; none when all are done."""
        return self.laid.acts[self.at] if self.at < len(self.laid.acts) else None

    @property
    def item_id(self) -> str:
        """Id of the next act; nothing when all are done."""
        acts = self.plan.sheet.acts
        return acts[self.at].id if self.at < len(acts) else ""

    @property
    def step(self) -> NumberedStep | None:
        """Step of the next act."""
        item = self.item
        return None if item is None else next(step for step in self.laid.steps if item in step.acts)

    @property
    def over(self) -> bool:
        """Whether all acts are done."""
        return self.at == len(self.plan.sheet.acts)

    @property
    def text(self) -> ActText | None:
        """Words for the next act."""
        item = self.item
        if item is None:
            return None
        by = self.set_from.get(item.act.id)
        return item.text if by is None else text_as_read(self.laid.planned[self.at], item, by)

    def size_at(self, act_id: str) -> Fraction | None:
        """Mean of the readings of an act that count. [mm]"""
        values = [event.value for event in self.readings.get(act_id, ()) if event.value is not None]
        return sum(values, Fraction(0)) / len(values) if values else None


def walk_of(plan: Plan, shop: Shop, events: Iterable[Event]) -> Walk:
    """Work out where a walk stands.

    Parameters
    ----------
    plan, shop : Plan, Shop
        What is made, and where.
    events : iterable of Event
        All that happened, in the order of the journal; none before the walk has begun.

    Raises
    ------
    InputError
        If an event belongs to another plan or shop, or cannot follow on those before it.
    """
    told = tuple(events)
    _require_same_job(plan, told)
    now = Walk(
        plan=plan,
        shop=shop,
        events=told,
        trail=(),
        at=0,
        done=frozenset(),
        readings=MappingProxyType({}),
        asked=None,
        answered=MappingProxyType({}),
        dials=MappingProxyType({}),
        notes=(),
        stopped=None,
    )
    for event in living(told):
        now = _after(now, event)
    return now


def walked_on(walk: Walk, event: Event) -> Walk:
    """The walk after one more event: what `walk_of` makes of them all, without going through the earlier ones again."""
    if event.corrects is not None:
        return walk_of(walk.plan, walk.shop, (*walk.events, event))
    return _after(replace(walk, events=(*walk.events, event)), event)


def living(events: tuple[Event, ...]) -> tuple[Event, ...]:
    """Events that count: none that another one stands in place of; that one stands where the first of them stood.

    Raises
    ------
    InputError
        If two events correct the same one, or one corrects what it cannot.
    """
    by_id = {event.id: event for event in events}
    gone: dict[EventId, EventKind] = {}
    for event in reversed(events):
        if event.corrects is None or gone.get(event.id) is EventKind.BACK:
            continue  # what was taken back has corrected nothing; what was replaced still stands for what it replaced
        wrong = by_id[event.corrects]
        if wrong.id in gone or not _can_correct(event, wrong):
            raise _strange(event, f"it corrects event {wrong.counter} of {wrong.device!r}, which cannot be or is done")
        gone[wrong.id] = event.kind
    places = {event.id: place for place, event in enumerate(events)}

    def first_place(event: Event) -> int:
        while event.corrects is not None and event.kind is not EventKind.BACK:
            event = by_id[event.corrects]
        return places[event.id]

    return tuple(sorted((event for event in events if event.id not in gone), key=first_place))


def _can_correct(event: Event, wrong: Event) -> bool:
    if event.kind is EventKind.BACK:
        return wrong.kind in CAN_GO_BACK
    return wrong.kind in REPLACED_BY.get(event.kind, ()) and wrong.act == event.act


def _require_same_job(plan: Plan, events: tuple[Event, ...]) -> None:
    for event in events:
        if event.plan != plan.id:
            other, this = event.plan[:SHOWN_OF_ID], plan.id[:SHOWN_OF_ID]
            raise _strange(event, f"it belongs to plan {other}, and this one is {this}; {OTHER_PLAN}")
        if event.kind is EventKind.BEGUN and event.text != plan.uses:
            raise _strange(event, f"it was begun with another shop; {OTHER_SHOP}")
    if events and events[0].kind is not EventKind.BEGUN:
        raise _strange(events[0], f"a journal begins with {EventKind.BEGUN.value!r}")


def _after(now: Walk, event: Event) -> Walk:
    """State after one more event that counts."""
    if event.kind in OF_AN_ACT:
        _require_next(now, event)
    if event.kind in CAN_GO_BACK:
        now = replace(now, trail=(*now.trail, event))
    change = CHANGES.get(event.kind)
    return now if change is None else change(now, event)


def _done(now: Walk, event: Event) -> Walk:
    return replace(now, at=now.at + 1, done=now.done | {event.act}, asked=None)


def _read(now: Walk, event: Event) -> Walk:
    return replace(now, readings=_with(now.readings, event.act, (*now.readings.get(event.act, ()), event)))


def _asked(now: Walk, event: Event) -> Walk:
    return replace(now, asked=event)


def _answered(now: Walk, event: Event) -> Walk:
    settled = (*now.answered.get(event.act, ()), *event.text.split())
    return replace(now, answered=_with(now.answered, event.act, settled))


def _anew(now: Walk, event: Event) -> Walk:
    here = frozenset({event.act})
    return replace(now, asked=None, readings=_without(now.readings, here), answered=_without(now.answered, here))


def _shown(now: Walk, event: Event) -> Walk:
    return replace(now, dials=_with(now.dials, event.act, Fraction(event.value or 0)))


def _noted(now: Walk, event: Event) -> Walk:
    return replace(now, notes=(*now.notes, event))


def _stopped(now: Walk, event: Event) -> Walk:
    return replace(now, stopped=event)


def _went(now: Walk, event: Event) -> Walk:
    """The walk at another act: what was told there and later does not count, for it is done anew."""
    acts = now.plan.sheet.acts
    place = next((place for place, act in enumerate(acts) if act.id == event.act), None)
    if place is None:
        raise _strange(event, f"the plan has no act {event.act!r}")
    again = frozenset(act.id for act in acts[place:])
    return replace(
        now,
        at=place,
        done=now.done - again,
        asked=None,
        readings=_without(now.readings, again),
        answered=_without(now.answered, again),
        dials=_without(now.dials, again),
    )


CHANGES: Mapping[EventKind, Callable[[Walk, Event], Walk]] = {
    EventKind.DONE: _done,
    EventKind.READING: _read,
    EventKind.ASKED: _asked,
    EventKind.ANSWERED: _answered,
    EventKind.ANEW: _anew,
    EventKind.DIAL: _shown,
    EventKind.NOTE: _noted,
    EventKind.STOPPED: _stopped,
    EventKind.WENT: _went,
}
"""What an event changes, by its kind; of the work nothing by the others."""


def _with(old: Mapping[str, Told], act: str, told: Told) -> Mapping[str, Told]:
    return MappingProxyType({**old, act: told})


def _without(old: Mapping[str, Told], acts: frozenset[str]) -> Mapping[str, Told]:
    return MappingProxyType({act: told for act, told in old.items() if act not in acts})


def _require_next(now: Walk, event: Event) -> None:
    if now.stopped is not None:
        raise _strange(event, "the job was stopped before it")
    if now.item_id != event.act:
        raise _strange(event, f"it belongs to act {event.act!r}, and {now.item_id or 'nothing'!r} is next")


def _strange(event: Event, why: str) -> InputError:
    return InputError((f"event {event.counter} of {event.device!r} ({event.kind.value}): {why}",))


class _Kept:
    """What was laid out last, as planned and as read: between two readings every state of a walk has the same acts."""

    planned: tuple[Plan, Shop, tuple[NumberedStep, ...]] | None = None
    last: tuple[tuple[NumberedStep, ...], Mapping[str, SetBy], Laid] | None = None


def laid_out(plan: Plan, shop: Shop, set_from: Mapping[str, SetBy]) -> Laid:
    """Lay out the acts of a plan, with collars and readouts set from the sizes that were read."""
    planned = _Kept.planned
    if planned is None or planned[0] is not plan or planned[1] is not shop:
        planned = _Kept.planned = (plan, shop, numbered_steps(plan, shop))
    last = _Kept.last
    if last is not None and last[0] is planned[2] and last[1] == set_from:
        return last[2]
    before = _in_order(planned[2])
    acts = tuple(as_read(item, set_from[item.act.id]) if item.act.id in set_from else item.act for item in before)
    steps = numbered_steps(replace(plan, sheet=replace(plan.sheet, acts=acts)), shop) if set_from else planned[2]
    laid = Laid(steps=steps, planned=before, acts=_in_order(steps))
    _Kept.last = (planned[2], dict(set_from), laid)
    return laid


def _in_order(steps: tuple[NumberedStep, ...]) -> tuple[NumberedAct, ...]:
    return tuple(item for step in steps for item in step.acts)


def sources(acts: tuple[Act, ...]) -> dict[str, Measure | None]:
    """Where each act that is set from a reading gets it, by its id: the stop whose table sets it, else the last before.

    Nothing stands for a collar whose surface was not measured before it.
    """
    measured: dict[str, Measure] = {}
    found: dict[str, Measure | None] = {}
    for act in acts:
        if isinstance(act, Measure):
            measured[act.surface] = act
            if act.table is not None and act.table.sets:
                found[act.table.sets] = act
        elif isinstance(act, SetCollar | SetReadout):
            found.setdefault(act.id, measured.get(act.surface))
    return found
