"""A second process that makes ready for some work while this one goes on, where that is safe and of use."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import TracebackType
from typing import NoReturn, Self

ROOM_BYTES = 1 << 20
"""A text waits in the pipe, until it is taken, rather than its writer; what Linux grants without asking. [bytes]"""
_OUR_ENDS: set[int] = set()
"""Ends of pipes that this process holds, and that no later copy of it may hold open."""


class Beside:
    """Works on one text in a copy of this process; used as ``with Beside(...) as other:``, then asked, then answering.

    The copy can change nothing here. Where there is none (`may_copy`), or it comes to grief, the work is done here when
    the answer is wanted: its errors are then raised here, as if nobody else had tried.
    """

    def __init__(self, work: Callable[[bytes], bytes], *, ready: Callable[[], object]) -> None:
        """Keep the work on a text that is not empty, and what can be done for it before there is one."""
        self._work = work
        self._ready = ready
        self._text = b""
        self._child = self._asking = self._answering = -1

    def __enter__(self) -> Self:
        """Begin to make ready."""
        if may_copy():
            with suppress(OSError):  # no pipe or no process left: it goes without
                self._begin()
        return self

    def _begin(self) -> None:
        """Begin the copy."""
        asked, self._asking = os.pipe()
        with _closed_after(asked):
            self._answering, answer = os.pipe()
            with _closed_after(answer):
                _OUR_ENDS.update((self._asking, self._answering))
                self._child = os.fork()
                if self._child == 0:
                    for end in _OUR_ENDS:
                        os.close(end)
                    self._serve(asked, answer)
        _give_room(self._asking)

    def ask(self, text: bytes) -> None:
        """Give the text to work on; the answer is not waited for."""
        self._text = text
        if self._child < 0:
            return
        try:
            with open(self._asking, "wb", closefd=False) as pipe:
                pipe.write(text)
        except BrokenPipeError:
            pass  # it has come to grief, which its status tells
        self._close()

    def answer(self) -> bytes:
        """Wait for what has come of the text."""
        if self._child < 0:
            return self._work(self._text)
        with open(self._answering, "rb", closefd=False) as pipe:
            content = pipe.read()
        return content if self._ended() == 0 else self._work(self._text)

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End the copy, whatever it does, if nobody has waited for its answer."""
        if self._child >= 0:
            with suppress(ProcessLookupError):
                os.kill(self._child, signal.SIGKILL)
            self._ended()
        self._close()
        _OUR_ENDS.discard(self._answering)
        if self._answering >= 0:
            os.close(self._answering)
            self._answering = -1

    def _close(self) -> None:
        """Close the end by which the copy is asked: it then knows the whole text."""
        _OUR_ENDS.discard(self._asking)
        if self._asking >= 0:
            os.close(self._asking)
            self._asking = -1

    def _ended(self) -> int:
        child, self._child = self._child, -1
        return os.waitpid(child, 0)[1]

    def _serve(self, asked: int, answer: int) -> NoReturn:
        """Be the copy: work, and end whatever happens, for it must never go on as this process does."""
        try:
            self._ready()
            with open(asked, "rb") as question:
                text = question.read()
            if text:
                with open(answer, "wb") as pipe:
                    pipe.write(self._work(text))
        except BaseException:  # noqa: BLE001 - the process that waits does the work again, and tells what is wrong
            os._exit(1)
        os._exit(0)


@contextmanager
def _closed_after(end: int) -> Iterator[None]:
    """The other side's end of a pipe, which this process needs no longer than it takes to begin the copy."""
    try:
        yield
    finally:
        os.close(end)


def _give_room(pipe: int) -> None:
    if sys.platform == "linux":
        import fcntl

        with suppress(OSError):
            fcntl.fcntl(pipe, fcntl.F_SETPIPE_SZ, ROOM_BYTES)


def may_copy() -> bool:
    """Whether this process can be copied: by the system, with no thread that would be lost, onto a second processor.

    Not on macOS, whose own libraries do not bear it; nor where the typesetter has worked, for it leaves threads of its
    own behind, which Python does not count.
    """
    if sys.platform == "darwin" or not hasattr(os, "sched_getaffinity"):
        return False
    return threading.active_count() == 1 and "typst" not in sys.modules and len(os.sched_getaffinity(0)) > 1
