"""Regular expressions that are compiled when they are first used: a file uses few of the many forms we read."""

from __future__ import annotations

import re
from functools import cached_property


class Pattern:
    """A regular expression and its flags, with the ways of asking that the readers use.

    Examples
    --------
    >>> Pattern(r"[0-9]+").fullmatch("12")[0]
    '12'
    """

    def __init__(self, text: str, flags: re.RegexFlag = re.NOFLAG) -> None:
        """Keep both; nothing is compiled yet."""
        self._text = text
        self._flags = flags

    @cached_property
    def _compiled(self) -> re.Pattern[str]:
        return re.compile(self._text, self._flags)

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """Match of the whole text."""
        return self._compiled.fullmatch(text)

    def match(self, text: str, start: int = 0) -> re.Match[str] | None:
        """Match that begins at ``start``."""
        return self._compiled.match(text, start)

    def sub(self, by: str, text: str) -> str:
        """Text with every match replaced."""
        return self._compiled.sub(by, text)

    def search(self, text: str) -> re.Match[str] | None:
        """First match anywhere."""
        return self._compiled.search(text)
