"""What a walked job taught: read off its journal, and kept as evidence if so wanted."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, log10
from pathlib import Path

from msgspec import UNSET, Struct
from msgspec.structs import replace

from handwheel.bench.learning.believing import grouped
from handwheel.bench.learning.following import Surprise
from handwheel.bench.learning.from_job import taught_by_job
from handwheel.bench.learning.matters import Effect, effect_of
from handwheel.bench.learning.pieces import Piece
from handwheel.bench.learning.worked import Worked
from handwheel.domain.acts import Measure
from handwheel.domain.beliefs import DAY_LETTERS, Beliefs, Evidence, Noted, Quantity
from handwheel.domain.errors import InputError
from handwheel.domain.events import Event, EventId, EventKind
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.head_text import SHOWN_OF_ID
from handwheel.report.steps import NumberedAct
from handwheel.service.beliefs import note_evidence
from handwheel.service.believing import beliefs_path, read_learned, today
from handwheel.service.bench_journal import FIRST_PIECE, journal_path, read_journal
from handwheel.service.bench_lines import moment
from handwheel.service.bench_session import read_job
from handwheel.service.bench_times import seconds_between
from handwheel.service.bench_walk import Walk, living, walk_of, walked_on
from handwheel.service.files import Written
from handwheel.service.intake.shop_file import read_shop_file

NEW_EDGE = "edge changed"
"""A remark that says just this tells that another edge was put into the tool in the post."""
SENSIBLE_DIGITS = 3
"""Digits of a figure that are kept below the first one of its spread."""
LONGEST_WHAT = 200
"""Evidence names the steps that it comes of one by one up to so many letters."""
MINUTE_LETTERS = len("2026-11-30T08:00")
NOT_OVER = "the job is not over: finish it, or stop it, then keep what it taught; nothing was written"
SAME_TIME = frozenset({EventKind.READING, EventKind.ASKED, EventKind.ANSWERED, EventKind.DIAL, EventKind.NOTE})
"""Between two acts that are done, these belong to the second of them, and its time is whole."""


class Lesson(Struct, frozen=True, kw_only=True):
    """One piece that a job taught, as evidence; ``kept`` if it stands in the beliefs file already.

    ``withdrawn`` says that it stands there and no longer counts. Of one that is kept nothing is said of what it would
    change, for it has.
    """

    piece: Piece
    noted: Noted
    kept: bool
    withdrawn: bool
    effect: Effect | None


class JobLessons(Struct, frozen=True, kw_only=True):
    """All that a job taught, and what is to be asked about it; ``over`` once it is finished or stopped."""

    plan: str
    over: bool
    lessons: tuple[Lesson, ...]
    surprises: tuple[Surprise, ...]
    senseless: tuple[Piece, ...]
    numbers: dict[str, str]
    shop: Shop

    @property
    def fresh(self) -> tuple[Lesson, ...]:
        """Those that are not kept yet."""
        return tuple(lesson for lesson in self.lessons if not lesson.kept)


def worked_of(plan: Plan, shop: Shop, events: tuple[Event, ...]) -> tuple[Worked, ...]:
    """What was done and read, by the events of a journal that count.

    Acts come as the readings made them. Readings at an act that is not done yet count too.

    Raises
    ------
    InputError
        If the journal belongs to another plan or shop, or an event cannot follow on those before it.
    """
    return tuple(_worked(plan, shop, events))


def _worked(plan: Plan, shop: Shop, events: tuple[Event, ...]) -> Iterator[Worked]:
    counting = living(events)
    seconds = _seconds(events)
    walk = walk_of(plan, shop, ())
    lost = fresh_edge = False
    for event in counting:
        item = walk.item
        if event.kind in (EventKind.DONE, EventKind.ANEW) and item is not None:
            again = event.kind is EventKind.ANEW
            time = None if again else seconds.get(event.id)
            yield _one(walk, item, seconds=time, again=again, lost=lost, fresh_edge=fresh_edge)
            lost = fresh_edge = False
        elif event.kind is EventKind.WENT:
            lost = True
        elif event.kind is EventKind.NOTE and event.text.strip().casefold() == NEW_EDGE:
            fresh_edge = True
        walk = walked_on(walk, replace(event, corrects=None))
    if walk.item is not None and walk.readings.get(walk.item_id):
        yield _one(walk, walk.item, seconds=None, again=False, lost=lost, fresh_edge=fresh_edge)


def _one(walk: Walk, item: NumberedAct, *, seconds: float | None, again: bool, lost: bool, fresh_edge: bool) -> Worked:
    read = walk.readings.get(item.act.id, ()) if isinstance(item.act, Measure) else ()
    gauges = {event.gauge for event in read}
    return Worked(
        act=item.act,
        readings_mm=tuple(float(event.value) for event in read if event.value is not None),
        gauge=gauges.pop() if len(gauges) == 1 else "",
        seconds=seconds,
        again=again,
        lost=lost,
        fresh_edge=fresh_edge,
    )


def _seconds(events: tuple[Event, ...]) -> dict[EventId, float]:
    """Time of each act that is done since the one before, where nothing else than readings lies between. [s]"""
    found: dict[EventId, float] = {}
    before, whole = "", False
    for event in events:
        if event.kind in SAME_TIME:
            continue
        between = seconds_between(before, event.happened_at) if before and whole else None
        if event.kind is EventKind.DONE and between is not None:
            found[event.id] = between
        whole = event.kind in (EventKind.DONE, EventKind.BEGUN)
        before = event.happened_at
    return found


def lessons_of(
    plan_path: Path, shop_path: Path, *, piece: int = FIRST_PIECE, given: Path | None = None, day: str | None = None
) -> JobLessons:
    """What the job of a plan taught so far, by its journal.

    Parameters
    ----------
    plan_path, shop_path : Path
        The plan, and the shop file that it was made for.
    piece : int
        Which piece of a batch.
    given : Path, optional
        The beliefs file, if it is not the one beside the shop file.
    day : str, optional
        Today; by the clock if it is not given.

    Raises
    ------
    InputError
        If a file cannot be understood, or there is no journal.
    FailedCheckError
        If the check refuses the sheet.
    """
    plan, shop = read_job(plan_path, shop_path)
    path = journal_path(plan_path, piece)
    events = read_journal(path).events
    if not events:
        raise InputError((f"{path.name}: there is no journal, so nothing was learned; walk through the job first",))
    walk = walk_of(plan, shop, events)
    worked = worked_of(plan, shop, events)
    now = day or today()
    beliefs = read_learned(read_shop_file(shop_path), beliefs_path(shop_path, given), day=now)
    job = job_words(plan, events, piece)
    others = _without(beliefs, job)
    taught = taught_by_job(plan.sheet, shop, others, worked, factors=lead_factors(plan))
    date = _date(events, now)
    return JobLessons(
        plan=plan.id,
        over=walk.over or walk.stopped is not None,
        lessons=tuple(_lesson(beliefs, one, job, date=date, today=now) for one in taught.pieces),
        surprises=taught.surprises,
        senseless=taught.senseless,
        numbers={item.act.id: item.number for item in walk.laid.planned},
        shop=shop,
    )


def job_words(plan: Plan, events: tuple[Event, ...], piece: int) -> str:
    """What names a job in its evidence, always the same: its plan, its piece, when its journal began."""
    which = "" if piece == FIRST_PIECE else f" piece {piece}"
    return f"plan {plan.id[:SHOWN_OF_ID]}{which}, begun {events[0].happened_at}"


def lead_factors(plan: Plan) -> dict[str, float]:
    """By what a plan has multiplied the lead of a slide, by the name of its handle."""
    if plan.believed is UNSET:
        return {}
    leads = (change for change in plan.believed.changes if change.quantity is Quantity.LEAD_ERROR)
    return {change.thing: float(change.now) for change in leads}


def _without(beliefs: Beliefs, job: str) -> Beliefs:
    """What was believed without what this job has told already."""
    others = tuple(noted for noted in beliefs.learned.noted if not noted.evidence.what.startswith(f"{job},"))
    return replace(beliefs, learned=replace(beliefs.learned, noted=others))


def _date(events: tuple[Event, ...], now: str) -> str:
    """Day and minute of the last event by this computer's clock, and no later than today."""
    last = moment(events[-1].happened_at)
    local = now if last is None else last.astimezone().isoformat()[:MINUTE_LETTERS]
    return min(local, now) if local[:DAY_LETTERS] > now[:DAY_LETTERS] else local


def _lesson(beliefs: Beliefs, piece: Piece, job: str, *, date: str, today: str) -> Lesson:
    steps = ", ".join(piece.steps)
    what = f"{job}, {steps}"
    noted = Noted(
        quantity=piece.quantity,
        about=piece.about,
        evidence=Evidence(
            date=date,
            what=what if len(what) <= LONGEST_WHAT else f"{job}, {len(piece.steps)} steps",
            value=rounded_to(piece.value, piece.spread),
            spread=rounded_to(piece.spread, piece.spread),
        ),
    )
    kept = next((one.evidence for one in beliefs.learned.noted if _is_same(one, noted, job)), None)
    return Lesson(
        piece=piece,
        noted=noted,
        kept=kept is not None,
        withdrawn=kept is not None and kept.withdrawn,
        effect=effect_of(beliefs, noted, today=today) if kept is None else None,
    )


def rounded_to(figure: float, spread: float) -> float:
    """A figure with no more digits than its spread gives sense to: to a thousandth of it at least.

    Examples
    --------
    >>> rounded_to(0.017056978986029665, 0.1062485924432871), rounded_to(41.23456, 0.7236)
    (0.0171, 41.2346)
    """
    return round(figure, SENSIBLE_DIGITS - floor(log10(spread)))


def _is_same(one: Noted, other: Noted, job: str) -> bool:
    """Whether two pieces are of one quantity of one thing, and of this job."""
    same = one.quantity is other.quantity and grouped(one.about) == grouped(other.about)
    return same and one.evidence.what.startswith(f"{job},")


def keep_lessons(shop_path: Path, job: JobLessons, *, given: Path | None = None) -> Written | None:
    """Add what a job taught to the beliefs file, what stands there already left out; nothing new writes nothing.

    Raises
    ------
    InputError
        If the job is not over, or the file will not do.
    NotWrittenError
        If it is not on the disk.
    """
    if not job.over:
        raise InputError((NOT_OVER,))
    fresh = [lesson.noted for lesson in job.fresh]
    return note_evidence(shop_path, fresh, given=given) if fresh else None
