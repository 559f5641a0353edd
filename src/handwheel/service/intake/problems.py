"""All problems of one file, gathered in the order they are met and raised together."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from handwheel.domain.errors import HandwheelError, InputError

MOST_PROBLEMS = 50
"""More than these are counted, not told: a reader mends the first ones and reads again."""

Made = TypeVar("Made")


class Problems:
    """What is wrong with one file; each problem says where, what was found, what is allowed, what to do."""

    def __init__(self, file: str) -> None:
        """Start with none."""
        self.file = file
        self._found: list[str] = []

    def __len__(self) -> int:
        """How many there are so far."""
        return len(self._found)

    def add(self, key: str, *, found: str, allowed: str, do: str) -> None:
        """Note one problem in the usual form."""
        self.say(key, f"found {found}; allowed {allowed}; {do}")

    def say(self, key: str, sentence: str) -> None:
        """Note one problem whose sentence is already whole."""
        self._found.append(f"{self.file}: {key}: {sentence}")

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
