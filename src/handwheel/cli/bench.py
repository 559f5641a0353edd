"""The command ``bench``: a job act by act at the lathe, for a person or for a script."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

import click

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
)
from handwheel.domain.errors import HandwheelError, InputError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from handwheel.service.bench_session import Session
    from handwheel.service.bench_state import Reply

OK, INTERRUPTED = 0, 130
NARROWEST = 40
"""Columns of a phone held upright."""
STANDS, AGAIN = "stands", "state"
HELP_COLUMN = 21
KEYS = "Enter: done   a number: the reading   b: back   why   ?: all words   q: leave (saved)"


@click.command(short_help="Walk through a PLAN at the lathe, act by act.")
@click.argument("plan_file", metavar="PLAN", type=PLAN_FILE)
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) that the plan was made for.")
@click.option("--piece", metavar="N", type=click.IntRange(1), default=1, help="Which piece of a batch, from 1.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line in, one a line out.")
@click.option("--status", is_flag=True, help="Only tell where the job stands.")
@click.option(
    "--device", metavar="NAME", default="bench", show_default=True, help="Name of what records, in the journal."
)
@with_wishes
def bench(wanted: Wanted, plan_file: Path, shop: Path, *, piece: int, as_json: bool, status: bool, device: str) -> int:
    """Walk through a PLAN at the lathe: one act at a time, each kept in a journal.

    PLAN is a plan.json. The journal stands beside it (plan.bench.jsonl); every act that counts as done is on the disk.
    The same command goes on where the journal ends. Readings are asked for where the sheet measures, collars are set
    from what was read. Local rules, the makers' manuals and trained supervision come first.
    """
    from handwheel.service import bench_session

    if status:
        return _tell_status(plan_file, shop, wanted, piece=piece, as_json=as_json)
    with bench_session.open_session(
        plan_file, shop, piece=piece, device=device, show=wanted.show, words=wanted.words
    ) as session:
        if isinstance(sys.stdin, io.TextIOWrapper):
            sys.stdin.reconfigure(errors="replace")
        return _by_lines(session) if as_json else _Talk(session, plain=wanted.plain).run()


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
