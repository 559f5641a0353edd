"""What goes to the screen: in colour only where there is one, in letters that its encoding has."""

from __future__ import annotations

import codecs
import io
import os
import shutil
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from handwheel.service.files import Written

SIGNS = {"Ø": "dia", "±": "+-", "°": " deg", "×": "x", "µ": "u"}
"""What stands for a sign of the sheet where the encoding lacks it: a lost Ø could turn a diameter into anything."""

PLAIN_SIGNS = "handwheel-plain-signs"

TERMINAL_WIDTH = 80
"""Columns of a terminal that says nothing else, and the most that are used: longer lines are hard to read."""
NARROWEST_WIDTH = 72
"""Columns that a sheet needs: its settings stand on one line."""

STYLES = (
    (r"(?m)^!!.*$", "bold red"),
    (r"(?m)^ STEP .*$", "bold"),
    (r"\b(DIAL|STOP|RULE|READOUT|INDICATOR|SCALE) \S+", "bold cyan"),
    (r"(?m)^ {0,2}\d+\.\d+ MEASURE .*$", "bold yellow"),
    (r"\[_+\]", "yellow"),
)
"""Patterns of the sheet's text and how a terminal shows them; the words stay the same."""


def spell_out(error: UnicodeError) -> tuple[str, int]:
    """Codec error handler: put words for the signs that an encoding lacks, a question mark for any other letter."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lost = error.object[error.start : error.end]
    return "".join(SIGNS.get(letter, "?") for letter in lost), error.end


def make_output_safe() -> None:
    """Let no letter stop the output: an encoding without a sign gets a word for it instead of an error."""
    codecs.register_error(PLAIN_SIGNS, spell_out)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=PLAIN_SIGNS)


def sheet_columns() -> int:
    """Columns to print a sheet in: 80, fewer on a terminal that has fewer, but never less than a sheet needs.

    That a terminal is narrower still is told beside the output: its lines will be broken by the terminal.
    """
    if sys.stdout.isatty() and (found := shutil.get_terminal_size().columns) < NARROWEST_WIDTH:
        tell(f"this window has {found} columns and a sheet needs {NARROWEST_WIDTH}: make it wider, or use --pdf")
    return columns(least=NARROWEST_WIDTH, most=TERMINAL_WIDTH)


def wants_colour(*, plain: bool) -> bool:
    """Whether to use colour: on a terminal that has it, unless the user said no (``--plain``, NO_COLOR)."""
    refused = plain or bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not refused


def columns(*, least: int, most: int) -> int:
    """Columns to print in: what the terminal has, between two bounds; the most where there is no terminal."""
    if not sys.stdout.isatty():
        return most
    return min(most, max(least, shutil.get_terminal_size().columns))


def show(text: str, *, plain: bool) -> None:
    """Print a text of the sheet."""
    if not wants_colour(plain=plain):
        sys.stdout.write(text)
        return
    from rich.console import Console
    from rich.text import Text

    styled = Text(text)
    for pattern, style in STYLES:
        styled.highlight_regex(pattern, style)
    Console(highlight=False, soft_wrap=True).print(styled, end="")


def show_table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]], *, plain: bool) -> None:
    """Print a small table in letters that every terminal has."""
    from rich.box import ASCII2
    from rich.console import Console
    from rich.table import Table

    table = Table(*head, box=ASCII2)
    for row in rows:
        table.add_row(*row)
    colour = wants_colour(plain=plain)
    console = Console(
        width=None if colour else TERMINAL_WIDTH, no_color=not colour, force_terminal=colour, highlight=False
    )
    console.print(table)


def tell(text: str) -> None:
    """Say something beside the output proper, so that a pipe gets only the output."""
    sys.stderr.write(f"{text}\n")


def tell_written(file: Written) -> None:
    """Say on the error stream which file is on the disk, and where an earlier one of other content is kept."""
    tell(f"written: {file.path}")
    if file.kept is not None:
        tell(f"the earlier {file.path.name} is kept as {file.kept}")


def complain(problems: Iterable[str]) -> None:
    """Say what went wrong, one line for each problem."""
    for problem in problems:
        tell(f"handwheel: {problem}")
