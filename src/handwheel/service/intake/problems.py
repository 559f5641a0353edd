"""All problems of one file, gathered in the order they are met and raised together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import TypeVar

from handwheel.domain.errors import HandwheelError, InputError

MOST_PROBLEMS = 50
"""More than these are counted, not told: a reader mends the first ones and reads again."""

Made = TypeVar("Made")


class Problems:
    """What is wrong with one file; each problem says where, what was found, what is allowed, what to do.

    Parameters
    ----------
    file : str
        The file's name, for messages.
    find_lines : callable
        Tells the line of every key of the file; asked once, and only if there is a problem.
    """

    def __init__(self, file: str, *, find_lines: Callable[[], Mapping[str, int]] = dict) -> None:
        """Start with none."""
        self.file = file
        self._find_lines = find_lines
        self._found: list[str] = []

    @cached_property
    def _lines(self) -> Mapping[str, int]:
        return self._find_lines()

    def __len__(self) -> int:
        """How many there are so far."""
        return len(self._found)

    def add(self, key: str, *, found: str, allowed: str, do: str) -> None:
        """Note one problem in the usual form."""
        self.say(key, f"found {found}; allowed {allowed}; {do}")

    def say(self, key: str, sentence: str) -> None:
        """Note one problem whose sentence is already whole."""
        self._found.append(f"{self.where(key)}: {sentence}")

    def where(self, key: str) -> str:
        """File, line and key; of a key that is not there, the line of the table where it is missed."""
        line = self._lines.get(key) or self._lines.get(self._table_of(key))
        return f"{self.file}: line {line}: {key}" if line else f"{self.file}: {key}"

    def _table_of(self, key: str) -> str:
        """Innermost table or list of the file in which a key would stand."""
        outer = (known for known in self._lines if key.startswith((f"{known}.", f"{known}[")))
        return max(outer, key=len, default="")

    def take(self, error: InputError) -> None:
        """Note the problems of a smaller reader, which names file and key itself."""
        self._found.extend(error.problems)

    def build(self, key: str, make: Callable[[], Made]) -> Made | None:
        """Make something out of what was read; nothing if any of it was at fault.

        Readers hand on a stand-in after noting a problem. What the domain says about a thing with a stand-in in it
        would mislead, so its errors count only if all was read well.
        """
        before = len(self)
        try:
            made = make()
        except HandwheelError as error:
            if len(self) == before:
                self.say(key, str(error))
            return None
        return made if len(self) == before else None

    def settle(self, made: Made | None) -> Made:
        """Hand on what was made of the file, or raise `InputError` with every problem."""
        if made is not None and not self._found:
            return made
        told = list(dict.fromkeys(self._found))
        more = len(told) - MOST_PROBLEMS
        if more > 0:
            told[MOST_PROBLEMS:] = [f"{self.file}: and {more} problems more; mend these first, then read it again"]
        raise InputError(tuple(told))
