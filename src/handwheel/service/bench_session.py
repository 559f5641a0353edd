"""A walk through a job with its journal: what is said becomes an event on the disk, then a new state."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from handwheel.domain.errors import HandwheelError, InputError
from handwheel.domain.events import Event, EventId, EventKind
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.wording import Wording
from handwheel.service.bench_commands import Command, Do, Draft, command_in, drafted
from handwheel.service.bench_journal import FIRST_PIECE, Journal, journal_path, read_journal
from handwheel.service.bench_judges import Judges, judges_for
from handwheel.service.bench_lines import written_moment
from handwheel.service.bench_state import Reply, passed_over, state_of, steps_told, times_told
from handwheel.service.bench_walk import Walk, walk_of, walked_on
from handwheel.service.jobs import FailedCheckError, check_job, refusal_lines, stop_lines
from handwheel.service.wording import wording_of

Clock = Callable[[], datetime]
"""Tells the time, in UTC."""
BENCH = "bench"
"""Device of events, where none is named."""
TORN = "the last line of the journal was broken off ({count} bytes) and is no event: what it was to say was not saved"
PASSED = "not done by this record: {numbers}"


def now_utc() -> datetime:
    """The time."""
    return datetime.now(UTC)


class Session:
    """One sitting at the lathe; made by `open_session`."""

    def __init__(
        self,
        plan: Plan,
        shop: Shop,
        journal: Journal,
        *,
        clock: Clock,
        wording: Wording,
        judges: Judges | None = None,
    ) -> None:
        """Go on where the journal ends; raises `InputError` if that belongs to another job."""
        self.wording = wording
        self._journal = journal
        self._clock = clock
        self._judges = judges_for(plan, shop) if judges is None else judges
        self.walk = _walk_in(plan, shop, journal.events, journal.path)
        self.left = False
        """Whether it was left: nothing is taken after that."""

    @property
    def path(self) -> Path:
        """Where the journal stands."""
        return self._journal.path

    def begin(self) -> Reply:
        """Write down that the walk begins, or goes on; tell what is to be known of its journal.

        Raises
        ------
        NotWrittenError
            If it is not on the disk.
        """
        torn = len(self._journal.torn)
        told = (TORN.format(count=torn),) if torn else ()
        walk = self.walk
        if walk.events:
            item = walk.item
            at = ("", "") if item is None else (item.act.step, item.act.id)
            saved = self._save(Draft(kind=EventKind.RESUMED, step=at[0], act=at[1]), "")
        else:
            saved = self._save(Draft(kind=EventKind.BEGUN, text=walk.plan.uses), "")
        return self._reply(saved=saved, told=told)

    def say(self, command: Command) -> Reply:
        """Do what is said; it is on the disk when this returns.

        Raises
        ------
        InputError
            If it cannot be done now: what was wrong, and what can be done.
        NotWrittenError
            If it is not on the disk: it does not count then.
        """
        if self.left:
            raise InputError(("the lathe was left: start again to go on",))
        at = command.at or self._now()
        try:
            draft = drafted(self.walk, command, self._judges, at=at)
        except InputError as error:
            raise InputError(self._worded(error.problems)) from None
        if draft is None:
            return self._told(command)
        saved = self._save(draft, at)
        self.left = draft.kind is EventKind.LEFT
        return self._reply(saved=saved, told=self._worded((*draft.told, *self._at_the_end(draft))))

    def answer(self, line: str) -> Reply:
        """Do what a line of JSON says; an error comes back in the reply, and nothing changes then."""
        try:
            return self.say(command_in(line))
        except InputError as error:
            return self._reply(error=error.problems)
        except HandwheelError as error:
            return self._reply(error=(str(error),))

    def why(self, *, width: int) -> str:
        """Reasons for the numbers of the next act; raises `InputError` if all are done."""
        from handwheel.report.why.whys import step_whys
        from handwheel.service.explaining import explain_text

        item = self.walk.item
        if item is None:
            raise InputError(("all acts are done; handwheel explain tells the reasons of any of them",))
        whys = (one for step in step_whys(self.walk.plan, self.walk.shop) for one in step.acts)
        if not any(one.reasons for one in whys if one.item.act.id == item.act.id):
            raise InputError((f"act {item.number} has no number of its own that needs a reason",))
        return explain_text(self.walk.plan, self.walk.shop, of=item.number, width=width, wording=self.wording)

    def _told(self, command: Command) -> Reply:
        """Answer a question that changes nothing."""
        match command.do:
            case Do.WHY:
                return self._reply(why=self.why(width=80))
            case Do.STEPS:
                return self._reply(steps=steps_told(self.walk))
            case Do.TIMES:
                return self._reply(times=times_told(self.walk))
            case _:
                return self._reply()

    def _reply(self, **given: object) -> Reply:
        return Reply(state=state_of(self.walk, self._judges, self.wording), **given)  # type: ignore[arg-type]  # the keys are ours

    def _save(self, draft: Draft, happened_at: str) -> EventId:
        now = self._now()
        event = Event(
            device="",
            counter=0,
            base=0,
            plan=self.walk.plan.id,
            kind=draft.kind,
            happened_at=happened_at or now,
            recorded_at=now,
            step=draft.step,
            act=draft.act,
            value=draft.value,
            text=draft.text,
            gauge=draft.gauge,
            place=draft.place,
            temperature_c=draft.temperature_c,
            corrects=draft.corrects,
        )
        known = len(self._journal.events)
        saved = self._journal.append(event)
        for one in self._journal.events[known:]:  # two, where a torn line was closed off first
            self.walk = walked_on(self.walk, one)
        return saved.id

    def _at_the_end(self, draft: Draft) -> tuple[str, ...]:
        if draft.kind is not EventKind.DONE or not self.walk.over:
            return ()
        numbers = passed_over(self.walk)
        return (PASSED.format(numbers=", ".join(numbers)),) if numbers else ()

    def _worded(self, texts: Iterable[str]) -> tuple[str, ...]:
        return tuple(self.wording.of(text) for text in texts)

    def _now(self) -> str:
        return written_moment(self._clock())


def _walk_in(plan: Plan, shop: Shop, events: tuple[Event, ...], path: Path) -> Walk:
    """Where a walk stands by a journal, which is named if its events do not belong here."""
    try:
        return walk_of(plan, shop, events)
    except InputError as error:
        raise InputError(tuple(f"{path.name}: {problem}" for problem in error.problems)) from None


def read_job(plan_path: Path, shop_path: Path) -> tuple[Plan, Shop]:
    """Read a plan and its shop, and replay the sheet: only one that passes is walked through.

    Raises
    ------
    InputError
        If a file cannot be understood, the shop differs from the plan's, or a finding forbids the job.
    FailedCheckError
        If the check refuses the sheet.
    """
    plan, shop, report = check_job(plan_path, shop_path)
    if not report.ok:
        msg = f"{plan_path.name}: the sheet does not pass the check: {'; '.join(refusal_lines(report, plan.sheet))}"
        raise FailedCheckError(msg)
    stops = stop_lines(plan)
    if stops:
        raise InputError(tuple(f"{plan_path.name}: {line}" for line in stops))
    return plan, shop


@contextmanager
def open_session(
    plan_path: Path,
    shop_path: Path,
    *,
    piece: int = FIRST_PIECE,
    device: str = BENCH,
    clock: Clock = now_utc,
    show: str | None = None,
    words: str | None = None,
) -> Iterator[Session]:
    """Open the journal of a plan and go on where it ends.

    Parameters
    ----------
    plan_path, shop_path : Path
        The plan (``plan.json``) and the shop file that it was made for.
    piece : int
        Which piece of a batch; each has a journal of its own.
    device : str
        What records, in each event.
    clock : callable
        Tells the time, in UTC.
    show, words : str or None
        Unit and words, as of `handwheel.service.wording.wording_of`.

    Raises
    ------
    InputError
        If a file cannot be understood, the journal belongs to another plan or shop, or another process has it open.
    FailedCheckError
        If the check refuses the sheet.
    NotWrittenError
        If the journal cannot be written.
    """
    plan, shop = read_job(plan_path, shop_path)
    wording = wording_of(plan, shop, show=show, words=words)
    with Journal(journal_path(plan_path, piece), device=device) as journal:
        yield Session(plan, shop, journal, clock=clock, wording=wording)


def status(
    plan_path: Path, shop_path: Path, *, piece: int = FIRST_PIECE, show: str | None = None, words: str | None = None
) -> tuple[Walk, Reply]:
    """Where a walk stands, read without changing anything; raises `InputError` as `open_session` does."""
    plan, shop = read_job(plan_path, shop_path)
    found = read_journal(journal_path(plan_path, piece))
    walk = _walk_in(plan, shop, found.events, journal_path(plan_path, piece))
    told = (TORN.format(count=len(found.torn)),) if found.torn else ()
    wording = wording_of(plan, shop, show=show, words=words)
    state = state_of(walk, judges_for(plan, shop), wording)
    return walk, Reply(told=told, steps=steps_told(walk), times=times_told(walk), state=state)
