"""The command ``bench``: a job act by act at the lathe, for a person or for a script."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, NamedTuple

import click

from handwheel.cli.beliefs import with_beliefs
from handwheel.cli.completion import PLAN_FILE, TOML_FILE
from handwheel.cli.options import Wanted, with_wishes
from handwheel.cli.terminal import (
    REASON_STYLES,
    SHEET_STYLES,
    TERMINAL_WIDTH,
    columns,
    complain,
    sheet_columns,
    show,
    tell_written,
)
from handwheel.domain.errors import HandwheelError, InputError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from handwheel.service.bench_learning import JobLessons
    from handwheel.service.bench_session import Session
    from handwheel.service.bench_state import Reply

OK, INTERRUPTED = 0, 130
NARROWEST = 40
"""Columns of a phone held upright."""
STANDS, AGAIN = "stands", "state"
HELP_COLUMN = 21
YES = ("y", "yes")
KEEP_IT = "Keep it as evidence in the beliefs file? yes, or Enter for no > "
NOT_KEPT = "Nothing was kept. The same command with --keep does it later."
NOTHING_NEW = "Nothing new to keep."
KEYS = "Enter: done   a number: the reading   b: back   why   ?: all words   q: leave (saved)"


@click.command(short_help="Walk through a PLAN at the lathe, act by act.")
@click.argument("plan_file", metavar="PLAN", type=PLAN_FILE)
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) that the plan was made for.")
@click.option("--piece", metavar="N", type=click.IntRange(1), default=1, help="Which piece of a batch, from 1.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line in, one a line out.")
@click.option("--status", is_flag=True, help="Only tell where the job stands.")
@click.option("--learned", is_flag=True, help="Only tell what the job taught about this lathe so far.")
@click.option("--keep", is_flag=True, help="Keep what the finished job taught, as evidence in the beliefs file.")
@with_beliefs
@click.option(
    "--device", metavar="NAME", default="bench", show_default=True, help="Name of what records, in the journal."
)
@with_wishes
def bench(  # noqa: PLR0913 - an argument for each option, as click hands them over
    wanted: Wanted,
    plan_file: Path,
    shop: Path,
    *,
    piece: int,
    as_json: bool,
    status: bool,
    learned: bool,
    keep: bool,
    beliefs: Path | None,
    device: str,
) -> int:
    """Walk through a PLAN at the lathe: one act at a time, each kept in a journal.

    PLAN is a plan.json. The journal stands beside it (plan.bench.jsonl); every act that counts as done is on the disk.
    The same command goes on where the journal ends. Readings are asked for where the sheet measures, collars are set
    from what was read. At the end it tells what the job taught about this lathe; nothing of it is kept unless you say
    so. Local rules, the makers' manuals and trained supervision come first.
    """
    from handwheel.service import bench_session

    if status:
        return _tell_status(plan_file, shop, wanted, piece=piece, as_json=as_json)
    job = _Job(plan_file, shop, piece, beliefs, wanted)
    if learned or keep:
        return _tell_learned(job, keep=keep, as_json=as_json)
    with bench_session.open_session(
        plan_file, shop, piece=piece, device=device, show=wanted.show, words=wanted.words
    ) as session:
        if isinstance(sys.stdin, io.TextIOWrapper):
            sys.stdin.reconfigure(errors="replace")
        if as_json:
            return _by_lines(session)
        exit_status = _Talk(session, plain=wanted.plain).run()
        is_over = session.walk.over or session.walk.stopped is not None
    if is_over and exit_status == OK:
        _offer(job)
    return exit_status


def _by_lines(session: Session) -> int:
    """Answer each line of the input by a line."""
    _put(session.begin())
    for line in sys.stdin:
        if not line.strip():
            continue
        _put(session.answer(line))
        if session.left:
            return OK
    _leave(session)
    return OK


def _put(reply: Reply) -> None:
    from handwheel.service.bench_state import reply_line

    show(reply_line(reply), plain=True)
    sys.stdout.flush()


def _leave(session: Session) -> None:
    """Write down that the lathe was left, where nobody said so."""
    from handwheel.service.bench_commands import Command, Do

    if not session.left:
        session.say(Command(do=Do.LEAVE))


class _Talk:
    """The talk with a person: shows an act, takes a line, until it is left or done."""

    def __init__(self, session: Session, *, plain: bool) -> None:
        self._session = session
        self._plain = plain
        self._step = ""

    def run(self) -> int:
        session = self._session
        self._open(session.begin())
        try:
            self._show_act()
            while not session.left and not session.walk.over:
                self._take(_read_line(self._prompt()))
        except (KeyboardInterrupt, EOFError) as end:
            _leave(session)
            _say(("", *self._goodbye()))
            return INTERRUPTED if isinstance(end, KeyboardInterrupt) else OK
        _say(self._goodbye())
        return OK

    def _open(self, reply: Reply) -> None:
        from handwheel.service.bench_screen import opening_of

        session = self._session
        self._show(opening_of(session.walk, session.wording, width=_width()))
        _say((*reply.told, f"journal: {session.path}", "", *_folded((KEYS,))))

    def _take(self, line: str) -> None:
        """Do what was typed; what cannot be done is said, and the act stays."""
        from handwheel.service.bench_typed import typed

        session = self._session
        if line.strip() in ("?", "help"):
            self._show(_help())
            return
        try:
            command = typed(line, session.walk)
            at = session.walk.item_id
            reply = session.say(command)
        except InputError as error:
            _say(_folded(error.problems))
            return
        except HandwheelError as error:
            complain((str(error),))
            return
        is_reading = command.reading is not None or (command.do is not None and command.do.value == STANDS)
        self._tell(reply, has_read=is_reading)
        if session.left:
            return
        if session.walk.item_id != at or (command.do is not None and command.do.value == AGAIN):
            self._show_act()

    def _tell(self, reply: Reply, *, has_read: bool) -> None:
        """Say what came of it: what was read, asked back, is outside, is advised; a list if one was asked for."""
        from handwheel.service.bench_screen import readings_text, steps_text, times_text

        state = reply.state
        if reply.why:
            self._show(self._session.why(width=sheet_columns()), styles=REASON_STYLES)
        if reply.steps:
            self._show(steps_text(reply.steps))
        if reply.times:
            self._show(times_text(reply.times))
        if state is None or reply.saved is None:
            return
        read = readings_text(self._session.walk, state, self._session.wording)
        _say(_folded((*reply.told, *(read if has_read else ()))))

    def _show_act(self) -> None:
        from handwheel.service.bench_screen import screen_of

        walk = self._session.walk
        if walk.step is None:
            return
        is_new, self._step = walk.step.id != self._step, walk.step.id
        self._show(screen_of(walk, self._session.wording, width=_width(), with_head=is_new), styles=SHEET_STYLES)

    def _prompt(self) -> str:
        from handwheel.service.bench_screen import prompt_of

        return prompt_of(self._session.walk, self._session.wording)

    def _goodbye(self) -> tuple[str, ...]:
        walk = self._session.walk
        if walk.over:
            return (f"All acts are done; the record is {self._session.path}",)
        return ("Left. Saved; the same command goes on.",)

    def _show(self, text: str, *, styles: tuple[tuple[str, str], ...] = SHEET_STYLES) -> None:
        show(text, plain=self._plain, styles=styles, whole_from=NARROWEST)


def _tell_status(plan_file: Path, shop: Path, wanted: Wanted, *, piece: int, as_json: bool) -> int:
    from handwheel.service.bench_screen import status_text
    from handwheel.service.bench_session import status

    walk, reply = status(plan_file, shop, piece=piece, show=wanted.show, words=wanted.words)
    if as_json:
        _put(reply)
    else:
        show(status_text(walk, reply), plain=True)
    return OK


class _Job(NamedTuple):
    """Which job it is, and where what it taught would be kept."""

    plan_file: Path
    shop: Path
    piece: int
    beliefs: Path | None
    wanted: Wanted


def _tell_learned(job: _Job, *, keep: bool, as_json: bool) -> int:
    """Tell what a job taught, and keep it if that is wanted."""
    from handwheel.service.bench_learning import keep_lessons, lessons_of
    from handwheel.service.bench_lessons import lessons_json

    found = lessons_of(job.plan_file, job.shop, piece=job.piece, given=job.beliefs)
    written = keep_lessons(job.shop, found, given=job.beliefs) if keep else None
    if as_json:
        show(lessons_json(found), plain=True)
    else:
        _tell_lessons(job, found)
        if keep and written is None:
            _say((NOTHING_NEW,))
    if written is not None:
        tell_written(written)
    return OK


def _tell_lessons(job: _Job, found: JobLessons) -> None:
    from handwheel.service.bench_lessons import lessons_text

    _say(_indented(lessons_text(found, show=job.wanted.show, words=job.wanted.words).splitlines()))


def _offer(job: _Job) -> None:
    """At the end of a job: tell what it taught, and keep it if the answer is yes."""
    from handwheel.service.bench_learning import keep_lessons, lessons_of

    found = lessons_of(job.plan_file, job.shop, piece=job.piece, given=job.beliefs)
    _say(("",))
    _tell_lessons(job, found)
    if not found.fresh:
        return
    try:
        answer = _read_line(KEEP_IT)
    except (EOFError, KeyboardInterrupt):
        answer = ""
        _say(("",))
    if answer.strip().casefold() not in YES:
        _say(_folded((NOT_KEPT,)))
        return
    written = keep_lessons(job.shop, found, given=job.beliefs)
    if written is not None:
        tell_written(written)


def _indented(lines: Iterable[str]) -> tuple[str, ...]:
    """Lines folded to the screen, each further one as far in as its first."""
    folded: list[str] = []
    for line in lines:
        space = " " * (len(line) - len(line.lstrip()))
        folded += wrap(line, _width(), subsequent_indent=space + "  ", break_on_hyphens=False) or [""]
    return tuple(folded)


def _width() -> int:
    return columns(least=NARROWEST, most=TERMINAL_WIDTH)


def _help() -> str:
    from handwheel.service.bench_typed import HELP

    lines = []
    for typed, does in HELP:
        first, *more = wrap(does, _width() - HELP_COLUMN)
        lines += [f" {typed:<{HELP_COLUMN - 1}}{first}", *(" " * HELP_COLUMN + line for line in more)]
    return "\n".join(lines) + "\n"


def _read_line(prompt: str) -> str:
    """Read one line that a person types, or a script sends; raises `EOFError` at the end of the input."""
    show(prompt, plain=True)
    sys.stdout.flush()
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    if not sys.stdin.isatty():
        show("\n", plain=True)  # no person has pressed Enter on the screen
    return line.rstrip("\n")


def _folded(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(line for text in texts for line in wrap(text, _width(), break_on_hyphens=False))


def _say(lines: Iterable[str]) -> None:
    show("".join(f"{line}\n" for line in lines), plain=True)
