"""A plan's papers set by a process beside this one, which is ready for the plan before it is made."""

from __future__ import annotations

import pickle
from contextlib import ExitStack
from typing import TYPE_CHECKING, Self

from handwheel.service.beside import Beside

if TYPE_CHECKING:
    from types import TracebackType

    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.wording import Wording

Made = dict[str, bytes]
"""Papers by the names of their files."""


class PapersBeside:
    """The papers that are wanted, set in a second process as soon as there is a plan; see `Beside`.

    Used as ``with PapersBeside(paper="a4", reasons=False) as papers:``, then handed a plan, then asked for what was
    made. Where no second process can be, or it fails, the papers are set here when they are asked for, and errors are
    raised here.
    """

    def __init__(self, *, paper: str | None, reasons: bool) -> None:
        """Begin nothing yet; ``paper`` is a value of `handwheel.report.paper.typesetting.Paper`, or none is wanted."""
        self.paper = paper
        self._reasons = reasons
        self._open = ExitStack()
        self._other: Beside | None = None

    def __enter__(self) -> Self:
        """Begin to make ready, if any papers are wanted."""
        if self.paper is not None:
            self._other = self._open.enter_context(Beside(_set, ready=_get_ready))
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End the second process, whatever it does."""
        self._open.close()

    def hand_over(self, plan: Plan, shop: Shop, wording: Wording) -> None:
        """Have the papers of a plan set, worded so."""
        if self._other is not None:
            asked = (plan, shop, self.paper, self._reasons, wording)
            self._other.ask(pickle.dumps(asked, pickle.HIGHEST_PROTOCOL))

    def made(self) -> Made:
        """The papers of the plan that was handed over, as soon as they are set; none if none are wanted.

        Raises
        ------
        TypesettingError
            As `handwheel.service.papers.papers_of` does.
        """
        if self._other is None:
            return {}
        made: Made = pickle.loads(self._other.answer())  # noqa: S301 - from our own process
        return made


def _get_ready() -> None:
    from handwheel.service import papers

    papers.get_ready()


def _set(asked: bytes) -> bytes:
    from handwheel.report.paper.typesetting import Paper
    from handwheel.service import papers

    plan, shop, paper, reasons, wording = pickle.loads(asked)  # noqa: S301 - from our own process
    made = papers.papers_of(plan, shop, paper=Paper(paper), reasons=reasons, wording=wording)
    return pickle.dumps(made, pickle.HIGHEST_PROTOCOL)
