"""Walks through plans for tests: a clock that ticks, answers that fit, the lines of a whole job."""

from __future__ import annotations

from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import msgspec

from handwheel.report.wording import Wording
from handwheel.service.bench_asks import AskKind
from handwheel.service.bench_journal import Journal
from handwheel.service.bench_session import Session
from handwheel.service.bench_state import Reply, State
from tests.demo_plans import demo_plan, demo_shop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.service.bench_judges import Judges

BEGAN = datetime(2026, 11, 30, 8, 0, tzinfo=UTC)
TICK_S = 20
"""How much later each look at the clock is. [s]"""


class TickingClock:
    """Tells a time that is a little later each time."""

    def __init__(self, began: datetime = BEGAN) -> None:
        """Begin at a time."""
        self._now = began

    def __call__(self) -> datetime:
        """The time now."""
        self._now += timedelta(seconds=TICK_S)
        return self._now


@contextmanager
def sitting(path: Path, plan: Plan, shop: Shop, *, judges: Judges | None = None) -> Iterator[Session]:
    """One sitting at a plan, its journal at a path; begun."""
    with Journal(path, device="bench") as journal:
        session = Session(plan, shop, journal, clock=TickingClock(), wording=Wording(), judges=judges)
        session.begin()
        yield session


@contextmanager
def demo_sitting(path: Path, part: str = "bush", lathe: str = "metric-lathe") -> Iterator[Session]:
    """One sitting at a plan of the demo."""
    with sitting(path, demo_plan(part, lathe), demo_shop(lathe)) as session:
        yield session


def fitting_line(state: State) -> str:
    """Line that goes on: the reading that is expected where one is needed, else that it stands, or that it is done."""
    if state.questions and not any(question.needs_reading for question in state.questions):
        return '{"do": "stands"}'
    for ask in state.asks:
        if ask.what is AskKind.DIAL and not ask.answered:
            return '{"dial": 7}'
        wanted = ask.needed and sum(one.counts for one in state.readings) < ask.readings
        if ask.what is AskKind.READING and (state.questions or wanted):
            read = ask.expected_mm if ask.expected_mm is not None else (ask.stop_high_mm or 0.0) / 2
            return msgspec.json.encode({"reading": round(read, 3)}).decode()
    return '{"do": "done"}' if state.goes_on else '{"do": "done", "because": "as the trial has it"}'


def state_in(reply: Reply) -> State:
    """State of a reply that is no complaint."""
    assert reply.error == ()
    assert reply.state is not None
    return reply.state


def walk_on(session: Session, *, until: str = "", most: int = 100_000) -> State:
    """Go on with fitting answers to an act by its number, to the end, or for so many lines."""
    state = state_in(session.answer('{"do": "state"}'))
    for _ in range(most):
        if state.over or (until and state.number == until):
            break
        state = state_in(session.answer(fitting_line(state)))
    return state
