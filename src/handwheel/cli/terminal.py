"""What goes to the screen: in colour only where there is one, in letters that its encoding has."""

from __future__ import annotations

import codecs
import io
import os
import re
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from handwheel.service.files import Written

SIGNS = {"Ø": "dia", "±": "+-", "°": " deg", "×": "x", "µ": "u"}
"""What stands for a sign of the sheet where the encoding lacks it: a lost Ø could turn a diameter into anything."""

PLAIN_SIGNS = "handwheel-plain-signs"

BESIDE_FIGURE = r"(?<=[\dØ±+]) (?=\S)|(?<=[A-Z]{3}) (?=\d)"
HANGING = r"!! | +(?:[^ ]+(?: [^ ]+){0,2} {2,})?"
"""What stands before the text of a line: a margin, a label, a number with its verb."""
CAUTION, CAUTION_GOES_ON = "!! ", "!!    "
"""Margin of a caution, and of its further lines."""
GLUE = "\N{NULL}"
"""Stands for a blank at which no line ends."""

TERMINAL_WIDTH = 80
"""Columns of a terminal that says nothing else, and the most that are used: longer lines are hard to read."""
NARROWEST_WIDTH = 72
"""Columns that every text can do with; a setting of the sheet stands on one line."""

NARROWEST_TOLD = 40
"""Columns that a list of what would help can do with."""

Styles = tuple[tuple[str, str], ...]
"""Patterns of a text and how a terminal shows them; the words stay the same, and say everything without it."""

_CAUTION = (r"(?m)^!!.*$", "bold red")
_HEADING = (r"(?m)^ ?[A-Z][A-Z]+(?: [A-Z][A-Z]+| THE)*(?=$|:|,| \(| {2,}).*$", "bold")

SHEET_STYLES: Styles = (
    (r"(?m)^[=-]{40,}$", "dim"),
    _HEADING,
    (r"(?m)^ STEP .*$", "bold"),
    (r"(?m)^ {2}PASSES .*$", "bold"),
    (r"(?m)^ STOP {2,}.*$", "bold red"),
    (r"(?m)^ WARNING\b", "bold yellow"),
    (r"(?m)^ {0,3}\d+\.\d+ MEASURE .*$", "bold"),
    (r"\b(?:DIAL|STOP|RULE|READOUT|INDICATOR|SCALE) \d[\d.]*(?: \d+/\d+)?(?:°| mm\b| in\b)?", "bold reverse"),
    (r"(?m)^ +\d+\.\d+ {2,}[a-z][a-z -]*? {2,}\d+ .*$", "bold"),
    _CAUTION,
)
"""The sheet: what the hand sets stands out by itself, without any colour."""

REASON_STYLES: Styles = (
    _HEADING,
    (r"(?m)^ STEP .*$", "bold"),
    (r"(?m)^ {0,3}\d+\.\d+ \w+ .*$", "bold"),
    (r"(?m)^ {5}(?! )[^=\n]+ = ", "cyan"),
)

BOOK_STYLES: Styles = (
    (r"\A.*", "bold"),
    (r"(?m)^ ?[A-Z]{4,}(?: [A-Z]+)*(?=$|:|,| ).*$", "bold"),
    (r"(?m)^ ?[A-Z]{3,}(?:[ -][A-Z]+)+$", "bold"),
    (r"(?m)^ [a-z]\w*(?: \w+)* {2,}(?=\S)", "cyan"),
    (r"\[(?:[^\]\n ]| (?! ))*\]?", "dim"),
    (r"(?m)(?<= {2})(?:[^\[\]\n ]| (?! ))*\]", "dim"),
    _CAUTION,
)
"""What is looked up: metals and ring sizes. A source in brackets may go on in the next line of its own column alone."""


COMPARISON_STYLES: Styles = (
    (r"(?m)^[=-]{40,}$", "dim"),
    (r"(?m)^ +\d [A-Z][A-Z]+.*$", "bold"),
    _HEADING,
    (r"(?m)^ {3}NONE: .*$", "bold yellow"),
    (r"(?m)^ {3}(?:caution )?(?:comes|goes|tools more|tools fewer): ", "cyan"),
)
"""Plans side by side."""


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
    """Columns to lay out a sheet in: 80, fewer in a window that has fewer, but never less than a sheet needs."""
    return columns(least=NARROWEST_WIDTH, most=TERMINAL_WIDTH)


def columns(*, least: int, most: int) -> int:
    """Columns to print in: what the window has, between two bounds; the most where there is no terminal."""
    return max(least, min(most, _window())) if sys.stdout.isatty() else most


def _window() -> int:
    """Columns of the window; what is no terminal has as many as are wanted."""
    return _window_columns() if sys.stdout.isatty() else TERMINAL_WIDTH


def _window_columns() -> int:
    import shutil

    return shutil.get_terminal_size().columns


def told_columns() -> int:
    """Columns for what is told beside the output proper: what its window has, within bounds."""
    if not sys.stderr.isatty():
        return TERMINAL_WIDTH
    return max(NARROWEST_TOLD, min(TERMINAL_WIDTH, _window_columns()))


def folded(text: str, *, width: int) -> str:
    """Break lines that are longer than a narrow window, between words and never beside a figure.

    The window itself would break them anywhere, and 31.75 would be 31.7 and 5.

    Examples
    --------
    >>> print(folded("              Ø 31.75 mm (1.2500 in) behind the face", width=40))
                  Ø 31.75 mm (1.2500 in)
                  behind the face
    """
    return "\n".join(_folded_line(line, width) for line in text.split("\n"))


def _folded_line(line: str, width: int) -> str:
    if len(line) <= width:
        return line
    from textwrap import wrap

    if not line.strip("=-"):
        return line[:width]
    hang = re.match(HANGING, line)
    column = len(hang[0]) if hang and len(hang[0]) <= width // 2 else 1
    before, rest = (line[:column], line[column:]) if hang else ("", line)
    under = CAUTION_GOES_ON if before == CAUTION else " " * column
    glued = re.sub(BESIDE_FIGURE, GLUE, rest)
    lines = wrap(glued, width, initial_indent=before, subsequent_indent=under, break_on_hyphens=False)
    return "\n".join(lines).replace(GLUE, " ")


def wants_colour(*, plain: bool) -> bool:
    """Whether to use colour: on a terminal that has it, unless the user said no (``--plain``, NO_COLOR)."""
    refused = plain or bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not refused


def show(text: str, *, plain: bool, styles: Styles = (), whole_from: int = NARROWEST_WIDTH) -> None:
    """Print a text, with styles where the terminal has them.

    In a window too narrow for it its lines are broken, and that is told, for columns no longer stand under each other;
    they are whole from ``whole_from`` columns on, or, of a text that is not laid out by the window, from its longest.
    """
    wide = _window()
    longest = max(map(len, text.split("\n")))
    if styles and sys.stdout.isatty() and longest > wide:
        text = folded(text, width=wide)
        whole = whole_from if wide < whole_from else longest
        tell(f"this window has {wide} columns: lines are broken; from {whole} on they are whole")
    if not wants_colour(plain=plain):
        sys.stdout.write(text)
        return
    from rich.console import Console
    from rich.text import Text

    styled = Text(text)
    for pattern, style in styles:
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
    """Say something beside the output proper, so that a pipe gets only the output; a window breaks it between words."""
    if sys.stderr.isatty():
        text = folded(text, width=_window_columns())
    sys.stderr.write(f"{text}\n")


def tell_written(file: Written) -> None:
    """Say on the error stream which file is on the disk, and where an earlier one of other content is kept.

    A path is never broken: it is there to be copied.
    """
    sys.stderr.write(f"written: {file.path}\n")
    if file.kept is not None:
        sys.stderr.write(f"the earlier {file.path.name} is kept as {file.kept}\n")


def complain(problems: Iterable[str]) -> None:
    """Say what went wrong, one line for each problem."""
    for problem in problems:
        tell(f"handwheel: {problem}")
