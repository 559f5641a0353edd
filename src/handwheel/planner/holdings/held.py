"""What a holding model answers with, and what it is."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

OPEN_TEXT = "Open the holding and take the ring out."


class HeldSecond(Struct, frozen=True, kw_only=True):
    """A holding for the second side, with its cost and the words for making it ready.

    Parameters
    ----------
    holding, means
        How the ring is held, by what.
    ready_kind, ready_text
        The hand step that makes it ready, and its words.
    indicate_surface, indicate_note : str
        What the indicator is put to, and how.
    cost_ms : int
        Making ready, gripping, indicating. [ms]
    after : tuple of str
        Steps that must be done before the ring can be held so: what is gripped must be finished.
    cautions : tuple of str
        Codes of what is said before the ring is gripped (`handwheel.data.cautions`).
    open_text : str
        How the ring comes out again.
    open_cautions : tuple of str
        Codes of what is said before that.
    cool_s : float
        How long the ring must cool once it is out. [s]
    by_tailstock : bool
        Whether the tailstock presses on the ring, its quill locked.
    """

    holding: Holding
    means: HoldingMeans
    ready_kind: HandKind
    ready_text: str
    indicate_surface: str
    cost_ms: int
    indicate_note: str = "turn the chuck by hand; tap the ring home on the shoulder"
    after: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    open_text: str = OPEN_TEXT
    open_cautions: tuple[str, ...] = ()
    cool_s: float = 0.0
    by_tailstock: bool = False


HoldingModel = Callable[[Job, HoldingMeans], HeldSecond | NoWay]
"""What a model is: from a job and the shop's means to a holding, or why it cannot hold."""


def cost_ms(job: Job, means: HoldingMeans, *, turned: bool) -> int:
    """What it takes to make the means ready, to grip, and, if the lathe turns it, to indicate. [ms]"""
    habits = job.shop.habits
    return round(1000 * (means.ready_s + habits.regrip_s + (habits.indicate_s if turned else 0.0)))


def takes(means: HoldingMeans, dia_mm: float) -> bool:
    """Whether a diameter lies within what the means takes."""
    return means.low_dia_mm <= dia_mm <= means.high_dia_mm
