"""Small part and shop files for the tests, and ways to spoil them."""

from __future__ import annotations

import re
from collections.abc import Callable

from handwheel.domain.errors import InputError

PART = """\
kind = "plain-ring"
name = "spacer"
metal = "st_c45"
units = "mm"

[bore]
diameter = "20 H8"

[outside]
diameter = 30
plus_minus = 0.1

[width]
length = 12
limits = ["-0.1", "0.2"]

[edges]
general_class = "m"
all = "0.5 x 45"
"""


def spoiled(text: str, *changes: tuple[str, str]) -> str:
    """Text with passages exchanged; each must be there, so that no test passes for want of its spoiling."""
    for old, new in changes:
        if old not in text:
            msg = f"{old!r} is not in the text to be spoiled"
            raise LookupError(msg)
        text = text.replace(old, new)
    return text


def problems_of(read: Callable[[], object]) -> tuple[str, ...]:
    """Problems that reading notes; none if it succeeds."""
    try:
        read()
    except InputError as error:
        return error.problems
    return ()


def without_line(problem: str) -> str:
    """Problem without the line that it names."""
    return re.sub(r"^(?P<file>[^:]+): line \d+: ", r"\g<file>: ", problem)
