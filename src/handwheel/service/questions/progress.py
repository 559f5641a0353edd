"""How far the questions about a shop have come: what was answered, noted in remarks at the end of a draft."""

from __future__ import annotations

import re
from collections.abc import Iterable

HEAD = "# Answered so far; --ask goes on with the rest, --ask --all goes through all again:"
_LINE = "#   "
_NOTED = re.compile(rf"\n*{re.escape(HEAD)}\n(?P<paths>(?:{_LINE}[^\n]*(?:\n|\Z))*)\Z")


def with_progress(text: str, answered: Iterable[str]) -> str:
    r"""Text of a draft with the paths of what was answered at its end.

    Examples
    --------
    >>> print(with_progress('units = "mm"\n', ["lathe.nose"]), end="")
    units = "mm"
    <BLANKLINE>
    # Answered so far; --ask goes on with the rest, --ask --all goes through all again:
    #   lathe.nose
    """
    noted = "".join(f"{_LINE}{path}\n" for path in sorted(answered))
    return f"{text.rstrip(chr(10))}\n\n{HEAD}\n{noted}" if noted else text


def without_progress(text: str) -> tuple[str, frozenset[str]]:
    r"""Text of a draft as it was before, and the paths that are noted at its end; none if it is no draft.

    Examples
    --------
    >>> without_progress(with_progress('units = "mm"\n', ["lathe.nose"]))
    ('units = "mm"\n', frozenset({'lathe.nose'}))
    """
    found = _NOTED.search(text)
    if found is None:
        return text, frozenset()
    paths = frozenset(line.removeprefix(_LINE).strip() for line in found["paths"].splitlines())
    return f"{text[: found.start()]}\n", paths
