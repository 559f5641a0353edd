"""How a message about a value of a file begins: with file, line and key, looked up only if there is a message."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias


class Where:
    """The beginning of a message, found when the message is written.

    Examples
    --------
    >>> f"{Where(lambda: 'part.toml: line 3: bore')}: found nothing"
    'part.toml: line 3: bore: found nothing'
    """

    def __init__(self, find: Callable[[], str]) -> None:
        """Keep how it is found."""
        self._find = find

    def __str__(self) -> str:
        """Find it."""
        return self._find()


Named: TypeAlias = str | Where
"""What a reader puts before its messages."""
