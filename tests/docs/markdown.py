"""Small pieces of Markdown for the pages that are made by a program."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

FENCE = re.compile(r"(?ms)^```(\w*)[^\n]*\n(.*?)^```$")
"""A fenced block: its language and its text."""
COMMENT = re.compile(r"(?s)<!--.*?-->")
LINK = re.compile(r"\]\(([^)\s]+)\)")


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Table with a head; a bar within a cell is escaped."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(cell.replace('|', chr(92) + '|') or '-' for cell in line)} |" for line in lines)


def page(title: str, *blocks: str) -> str:
    """Whole page: title and blocks with an empty line between."""
    return "\n\n".join((f"# {title}", *blocks)) + "\n"


def made_by(module: str) -> str:
    """Remark at the top of a page that says how it is made; readers do not see it."""
    return f"<!-- made by `python -m {module}`; a test compares. Change the program, not this page. -->"


def without_code(text: str) -> str:
    """Text of a page without its fenced blocks and remarks."""
    return COMMENT.sub("", FENCE.sub("", text))


def anchors(text: str) -> set[str]:
    """Names by which the sections of a page are linked, as the common readers of Markdown make them."""
    heads = re.findall(r"(?m)^#{1,6} (.+)$", without_code(text))
    plain = (re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", head).strip().lower() for head in heads)
    return {re.sub(r"[^\w\- ]", "", head).replace(" ", "-") for head in plain}
