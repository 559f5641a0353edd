"""A plan's papers set by a process beside this one, which is ready for the plan before it is made."""

from __future__ import annotations

import os
import pickle
import sys
from contextlib import suppress
from threading import active_count
from typing import TYPE_CHECKING, NoReturn, Self

if TYPE_CHECKING:
    from types import TracebackType

    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.wording import Wording

ROOM_BYTES = 1 << 20
"""A plan waits in the pipe, until it is taken, rather than its maker; what Linux grants without asking. [bytes]"""

Made = dict[str, bytes]
"""Papers by the names of their files."""


def can_work_beside() -> bool:
    """Whether a second process is safe here, and of use: it is a copy of this one, but of its one thread alone.

    So there must be no other thread, nor a typesetter that has worked here, for it leaves threads of its own behind.
    """
    return (
        sys.platform == "linux"
        and active_count() == 1
        and "typst" not in sys.modules
        and len(os.sched_getaffinity(0)) > 1
    )


class PapersBeside:
    """The papers that are wanted, set in a second process as soon as there is a plan.

    Used as ``with PapersBeside(paper="a4", reasons=False) as papers:``; the second process ends with the block. Where
    there is none, or it fails, nothing is made, and whoever wants the papers sets them here.

    Attributes
    ----------
    paper : str or None
        A value of `handwheel.report.paper.typesetting.Paper`, or nothing for no papers.
    reasons : bool
        Whether the reason for each number stands at the end of the sheet, in small print.
    process : int
        Number of the second process, 0 if there is none.
    """

    def __init__(self, *, paper: str | None, reasons: bool) -> None:
        """Begin nothing yet."""
        self.paper = paper
        self.reasons = reasons
        self.process = 0
        self._handed_over = False
        self._asked = -1
        self._told = -1

    def __enter__(self) -> Self:
        """Begin the second process, if it is of use."""
        if self.paper is not None and can_work_beside():
            with suppress(OSError):  # no process or pipe left: it goes without
                self._begin()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End the second process, whatever it does."""
        if self.process:
            from signal import SIGKILL

            for end in (self._asked, self._told):
                with suppress(OSError):
                    os.close(end)
            with suppress(OSError):
                os.kill(self.process, SIGKILL)
                os.waitpid(self.process, 0)
            self.process = 0

    def hand_over(self, plan: Plan, shop: Shop, wording: Wording) -> None:
        """Have the papers of a plan set, worded so."""
        if self.process:
            with suppress(OSError), os.fdopen(os.dup(self._asked), "wb") as pipe:
                pickle.dump((plan, shop, self.paper, self.reasons, wording), pipe, pickle.HIGHEST_PROTOCOL)
                self._handed_over = True

    def made(self) -> Made | None:
        """The papers, as soon as they are set; nothing if nobody has set them: then they are to be set here.

        That is done too where the second process met an error: so it is met again here, and told as any other.
        """
        if not self._handed_over:
            return None
        try:
            with os.fdopen(os.dup(self._told), "rb") as pipe:
                made: Made = pickle.load(pipe)  # noqa: S301 - from our own process
        except (EOFError, OSError, pickle.UnpicklingError):  # it ended before it was done
            return None
        return made

    def _begin(self) -> None:
        asked, self._asked = os.pipe()
        self._told, told = os.pipe()
        self.process = os.fork()
        if self.process == 0:
            os.close(self._asked)
            os.close(self._told)
            _work(asked, told)
        os.close(asked)
        os.close(told)
        with suppress(OSError):
            _give_room(self._asked)


def _give_room(pipe: int) -> None:
    if sys.platform == "linux":
        import fcntl

        fcntl.fcntl(pipe, fcntl.F_SETPIPE_SZ, ROOM_BYTES)


def _work(asked: int, told: int) -> NoReturn:
    """Get ready, wait for a plan, set its papers, tell them, and end without a word, whatever happens."""
    try:
        from handwheel.report.paper.typesetting import Paper
        from handwheel.service import papers

        papers.get_ready()
        with os.fdopen(asked, "rb") as pipe:
            plan, shop, paper, reasons, wording = pickle.load(pipe)  # noqa: S301 - from our own process
        made = papers.papers_of(plan, shop, paper=Paper(paper), reasons=reasons, wording=wording)
        with os.fdopen(told, "wb") as pipe:
            pickle.dump(made, pipe, pickle.HIGHEST_PROTOCOL)
    finally:
        os._exit(0)  # nothing of the first process is tidied up here: not its buffers, not its files
