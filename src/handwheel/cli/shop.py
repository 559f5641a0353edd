"""The command ``shop``: starting files, questions on the terminal, changes with the comments kept."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

import click

from handwheel.cli.terminal import show, tell_written

if TYPE_CHECKING:
    from collections.abc import Iterable

    from handwheel.service.questions.interview import Interview

OK, INTERRUPTED = 0, 130
NARROW = 40
"""Longest line of a question: a phone held upright. [characters]"""
MOST_LEFT = 12
"""More values that are still to be checked are counted, not told."""

FILE = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.argument("file", required=False, type=FILE)
@click.option("--template", metavar="NAME", help="Write a starting file for this class of lathe.")
@click.option("--ask", is_flag=True, help="Ask about the lathe, one short question at a time.")
@click.option("--all", "again", is_flag=True, help="With --ask: ask again what was answered in a draft.")
@click.option("--set", "values", metavar="KEY=VALUE", multiple=True, help="Change a value; comments stay.")
def shop(file: Path | None, template: str | None, *, ask: bool, again: bool, values: tuple[str, ...]) -> int:
    """Start, fill in, change or look over a shop FILE (TOML).

    Without FILE: list the starting files, or print the one of --template. With FILE alone: say what is in it and what
    is still to be checked. --ask goes through the questions that decide, from --template or the file that is there; of
    a draft, through what is still open. A key is written as messages name it: lathe.motor_power_w,
    tool[boring-10].reach. No earlier file is lost: it is kept under another name.
    """
    if values and (ask or template):
        msg = "--set goes alone: it changes a file that is there"
        raise click.UsageError(msg)
    if again and not ask:
        msg = "--all goes with --ask"
        raise click.UsageError(msg)
    if (ask or values) and file is None:
        msg = "give the FILE to be written"
        raise click.UsageError(msg)
    if file is None and not template:
        from handwheel.service.templates import TEMPLATES

        show(_templates(TEMPLATES), plain=True)
        return OK
    from handwheel.service import shops

    if file is None:
        show(shops.template(template or ""), plain=True)
    elif ask:
        return _ask(shops.begin_questions(file, template=template or "", again=again), file)
    elif template:
        tell_written(shops.write_template(template, file))
    elif values:
        tell_written(shops.set_values(file, values))
    else:
        _look_over(file)
    return OK


def _templates(templates: dict[str, str]) -> str:
    listed = [line for name, words in templates.items() for line in (name, f"  {words}")]
    how = ("", "To write one:", "  handwheel shop FILE --template NAME", "To be asked:", "  handwheel shop FILE --ask")
    return "\n".join(("Starting files:", "", *listed, *how)) + "\n"


def _ask(now: Interview, file: Path) -> int:
    """Put the questions until all are answered; what was answered is kept if they are broken off."""
    from handwheel.service import shops
    from handwheel.service.questions.interview import answered, asks, standing

    _say(('Enter keeps what is in [ ].  "?" tells how to find out.  "back" goes back.  Ctrl-C stops and keeps it.',))
    if now.settled:
        _say((f"{len(now.settled)} are answered in this draft and not asked again; --ask --all asks all.",))
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")
    put: Interview | None = None
    try:
        part = ""
        while now.question is not None:
            if now is not put and not now.rows:  # not after an explanation, a refusal, or a line of a list
                part = _heading(now, part)
                _say(asks(now))
            put = now
            now, said = answered(now, _read_line(f"[{standing(now)}] > "))
            _say(said)
    except (KeyboardInterrupt, EOFError):
        _keep_draft(now, shops.draft_path(file))
        return INTERRUPTED
    tell_written(shops.write_shop(now, file))
    _look_over(file)
    return OK


def _heading(now: Interview, part: str) -> str:
    """Rule with the part of the shop and how far one is, where a new part begins; a thin line elsewhere."""
    question = now.question
    if question is None:
        return part
    place = f" {now.at + 1} of {len(now.questions)}"
    if question.part == part:
        show(f"{place.rjust(NARROW, '.')}\n", plain=True)
    else:
        show(f"\n{f'-- {question.part} '.ljust(NARROW - len(place), '-')}{place}\n", plain=True)
    return question.part


def _read_line(prompt: str) -> str:
    """Read one line that a person types, or a script sends; raises `EOFError` at the end of the input."""
    *before, last = wrap(prompt, NARROW, drop_whitespace=False) or [prompt]
    show("".join(f"{line}\n" for line in before) + last, plain=True)
    sys.stdout.flush()
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    if not sys.stdin.isatty():
        show("\n", plain=True)  # no person has pressed Enter on the screen
    return line


def _keep_draft(now: Interview, draft: Path) -> None:
    from handwheel.service import shops

    show("\n", plain=True)
    if not now.earlier or not now.text:
        _say(("Stopped. Nothing was answered yet, nothing is written.",))
        return
    written = shops.write_draft(now, draft)
    _say(("Stopped. What you answered is kept in",), (f"  {written.path}",))
    if written.kept is not None:
        _say(("An earlier draft is now",), (f"  {written.kept}",))
    _say(("To go on:",), (f"  handwheel shop {written.path} --ask",))


def _look_over(file: Path) -> None:
    from handwheel.service import shops

    look = shops.look_at(file)
    _say(("Reads without a problem:", *look.holds))
    if not look.left:
        _say(("Nothing in it is marked to be checked.",))
        return
    _say((f"{len(look.left)} values are still taken from the template; check them at the lathe:",))
    _say((), look.left[:MOST_LEFT])
    more = len(look.left) - MOST_LEFT
    if more > 0:
        _say((f"and {more} more, each marked in the file.",))


def _say(words: Iterable[str], whole: Iterable[str] = ()) -> None:
    """Print sentences wrapped for a narrow screen, then lines that must stay whole."""
    for sentence in words:
        show("".join(f"{line}\n" for line in wrap(sentence, NARROW, break_on_hyphens=False)), plain=True)
    show("".join(f"{line}\n" for line in whole), plain=True)
