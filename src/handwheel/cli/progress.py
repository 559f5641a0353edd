"""What is being done and for how long, on the error stream of a terminal, once it takes longer than a second."""

from __future__ import annotations

import os
import sys
from threading import Event, Thread
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    from types import TracebackType

QUIET_S = 1.0
"""Nothing is shown of what takes no longer. [s]"""
EVERY_S = 0.5
"""How often the line is written anew. [s]"""
WIDEST = 71
"""Letters of the line at most: one that the window breaks could not be taken back."""


class Progress:
    """Shows one line that is written over, and takes it away at the end; nothing where no person looks.

    Used as ``with Progress() as said:``; ``said("planning")`` names what is being done from then on.
    """

    def __init__(self, *, quiet_s: float | None = None, every_s: float = EVERY_S) -> None:
        """Stay quiet for so long, then write every so often."""
        self._quiet_s = QUIET_S if quiet_s is None else quiet_s
        self._every_s = every_s
        self._doing = ""
        self._over = Event()
        self._writer: Thread | None = None

    def __call__(self, doing: str) -> None:
        """Name what is being done."""
        self._doing = doing

    def __enter__(self) -> Self:
        """Begin to count."""
        if sys.stderr.isatty() and os.environ.get("TERM") != "dumb":
            self._writer = Thread(target=self._write, daemon=True)
            self._writer.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Take the line away, however it ended."""
        self._over.set()
        if self._writer is not None:
            self._writer.join()

    def _write(self) -> None:
        from time import monotonic

        began = monotonic()
        wait_s = self._quiet_s
        shown = 0
        while not self._over.wait(wait_s):
            line = f"{self._doing} ... {monotonic() - began:.0f} s"[:WIDEST]
            sys.stderr.write(f"\r{line:<{shown}}")
            sys.stderr.flush()
            shown, wait_s = len(line), self._every_s
        if shown:
            sys.stderr.write(f"\r{'':<{shown}}\r")
            sys.stderr.flush()
