"""How long each step took at the lathe, from the times of the events, for learning."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from msgspec import Struct

from handwheel.domain.events import Event, EventKind
from handwheel.service.bench_lines import moment

NOT_LEARNT = frozenset({EventKind.BACK, EventKind.WENT, EventKind.STOPPED, EventKind.TORN})
"""A step in which one of these happened took a time that says nothing of the next time."""


class StepTaken(Struct, frozen=True, kw_only=True):
    """Time at the lathe that a step took [s]; ``whole``: nothing of it is unknown, done twice or passed over."""

    step: str
    seconds: float
    whole: bool


def seconds_between(earlier: str, later: str) -> float | None:
    """Time between two times of events, or nothing if one is none or they run backwards. [s]

    Examples
    --------
    >>> seconds_between("2026-11-30T16:00:00Z", "2026-11-30T16:01:30.5Z")
    90.5
    """
    begin, end = moment(earlier), moment(later)
    if begin is None or end is None or end < begin:
        return None
    return (end - begin).total_seconds()


def times_taken(events: Iterable[Event]) -> tuple[StepTaken, ...]:
    """Time of each step, in the order in which they were first worked at.

    What lies between leaving and going on does not count. Where the lathe was left without a word (the computer went
    off), it is not known how long was worked, and the step is not whole.
    """
    told = tuple(events)
    seconds: dict[str, float] = {}
    spoilt: set[str] = set()
    for before, event in pairwise(told):
        if not event.step:
            continue
        seconds.setdefault(event.step, 0.0)
        if event.kind in NOT_LEARNT:
            spoilt.add(event.step)
        if event.kind is EventKind.RESUMED:
            if before.kind is not EventKind.LEFT:
                spoilt.add(event.step)
            continue
        between = seconds_between(before.happened_at, event.happened_at)
        if between is None:
            spoilt.add(event.step)
        else:
            seconds[event.step] += between
    return tuple(StepTaken(step=step, seconds=s, whole=step not in spoilt) for step, s in seconds.items())
