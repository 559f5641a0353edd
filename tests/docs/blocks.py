"""The fenced blocks of the pages, run as a reader would: files, commands and programs, with what they print."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.cli.main import run

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

BLOCK = re.compile(
    r'(?ms)^(?:<!--[ ]*(?P<mark>[^\n]*?)[ ]*-->\n)?```(?P<language>\w*)(?:[ ]title="(?P<title>[^"\n]+)")?[ ]*\n'
    r"(?P<text>.*?)^```$"
)
"""A fenced block, with the remark on the line above it if there is one."""

NOT_RUN = "not run: "
SAID = "said"
EXIT = "exit "
ADD_TO = "add to "
"""Title of a block that is written behind what stands in a file already."""
PROGRAMS = ("handwheel", "python", "python3", "pip", "pytest")
FEWEST_WORDS_OF_A_REASON = 5


class BlockError(Exception):
    """A block of a page does not do what the page says."""


class Block(Struct, frozen=True, kw_only=True):
    """One fenced block: the remark above it, its language, its title, its text."""

    mark: str
    language: str
    title: str
    text: str

    @property
    def is_shell(self) -> bool:
        """Whether it holds commands, whatever it calls itself."""
        first = next(iter(self.text.split()), "")
        return self.language in {"sh", "bash", "console"} or (not self.language and first in PROGRAMS)


def blocks_of(text: str) -> Iterator[Block]:
    """Every fenced block of a page, in order."""
    for found in BLOCK.finditer(text):
        yield Block(**{name: found[name] or "" for name in ("mark", "language", "title", "text")})


def run_block(block: Block, *, folder: Path, output: str, read: Callable[[], str]) -> str:
    """Do what a block says in the folder, which is the current one; return the output that later blocks may quote.

    Raises
    ------
    BlockError
        If a command ends otherwise than the page says, or did not say what the page quotes.
    """
    if block.mark.startswith(NOT_RUN):
        if len(block.mark.removeprefix(NOT_RUN).split()) < FEWEST_WORDS_OF_A_REASON:
            msg = f"a block that is not run needs a reason: {block.mark!r}"
            raise BlockError(msg)
        return output
    if block.is_shell:
        wanted = int(block.mark.removeprefix(EXIT)) if block.mark.startswith(EXIT) else 0
        return "".join(run_line(line, folder=folder, wanted=wanted, read=read) for line in block.text.splitlines())
    if block.language == "toml":
        put_file(block, folder)
    elif block.language == "python":
        exec(compile(block.text, "a block of the page", "exec"), {"__name__": "page"})  # noqa: S102 - our own page
        return read()
    elif block.mark == SAID:
        compare(block.text, output)
    return output


def run_line(line: str, *, folder: Path, wanted: int, read: Callable[[], str]) -> str:
    """Run one line of a shell block; return what it printed."""
    words = shlex.split(line, comments=True)
    if not words:
        return ""
    target = None
    if ">" in words:
        target = folder / words[-1]
        words = words[: words.index(">")]
    if words[0] != "handwheel":
        msg = f"{line!r}: only commands of this program are run; mark the block with a reason"
        raise BlockError(msg)
    status = run(words[1:])
    printed = read()
    if status != wanted:
        msg = f"{line!r} ended with {status}, not {wanted}:\n{printed[-2000:]}"
        raise BlockError(msg)
    if target is not None:
        target.write_text(printed, encoding="utf-8")
    return printed


def put_file(block: Block, folder: Path) -> None:
    """Read a block of TOML; write it to the file that its title names, or behind what stands there."""
    tomllib.loads(block.text)
    if block.title.startswith(ADD_TO):
        path = folder / block.title.removeprefix(ADD_TO)
        path.write_text(f"{path.read_text(encoding='utf-8')}\n{block.text}", encoding="utf-8")
    elif block.title:
        (folder / block.title).write_text(block.text, encoding="utf-8")


def compare(quoted: str, output: str) -> None:
    """Refuse what is quoted if its lines do not stand in the output one after the other."""
    wanted = [line.rstrip() for line in quoted.strip("\n").splitlines()]
    there = [line.rstrip() for line in output.splitlines()]
    if not any(there[at : at + len(wanted)] == wanted for at in range(len(there))):
        missing = [line for line in wanted if line not in there]
        msg = f"these lines are quoted and were not said so: {missing or wanted}"
        raise BlockError(msg)
