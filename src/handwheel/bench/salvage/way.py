"""One way out for a part whose size is lost or stuck: what it becomes, what it needs, what it costs."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from handwheel.bench.asking.records import Figure
from handwheel.data.loader import COMMON_KEY, Standing


class Way(Enum):
    """Ways out, in the order in which to look at them: what takes no metal first, a new part last."""

    MEASURE_AGAIN = "measure-again"
    CUT_AGAIN = "cut-again"
    LATER_WORK = "later-work"
    LAP = "lap"
    REAM = "ream"
    RING_SIZE = "ring-size"
    NEAREST_SIZES = "nearest-sizes"
    COARSER_CLASS = "coarser-class"
    OTHER_CLASS = "other-class"
    OTHER_FIT = "other-fit"
    GENERAL_CLASS = "general-class"
    MATE_TO_SUIT = "mate-to-suit"
    ACCEPT = "accept"
    WALL_ALONE = "wall-alone"
    SHORTER = "shorter"
    SHIM = "shim"
    FACE_BACK = "face-back"
    SLEEVE = "sleeve"
    RING_ON = "ring-on"
    NEW_ONE = "new-one"


class Verdict(Enum):
    """What can be said of a way out from here."""

    HOLDS = "the numbers hold"
    """By the numbers it comes out, the uncertainty of the size allowed for."""
    ASK = "ask first"
    """Somebody has to say something that stands in no file."""
    NOT = "not this"
    """It was reckoned, and it does not come out."""


class WayOut(Struct, frozen=True, kw_only=True):
    """What the part can still become.

    Parameters
    ----------
    code : Way
        Which way.
    verdict : Verdict
        What can be said of it from here.
    words : str
        What the part becomes, with its numbers; or why it does not.
    figures : tuple of Figure
        The same numbers, by name.
    needs : tuple of str
        What must be at hand.
    asks : tuple of str
        What has to be asked before anything is done: whoever owns the drawing, wears the ring or has the mate says.
    off_low_mm, off_high_mm : float
        Metal that still comes off the surface, from the least to the most: off one side of a diameter, or of a length.
    wall_mm : float or None
        Least wall that is then left; ``None`` where it does not change.
    cautions : tuple of str
        What to mind before a hand moves.
    relation, standing, source_key : str, Standing, str
        By what it was reckoned, and what stands behind the weakest thing in it.
    """

    code: Way
    verdict: Verdict
    words: str
    figures: tuple[Figure, ...] = ()
    needs: tuple[str, ...] = ()
    asks: tuple[str, ...] = ()
    off_low_mm: float = 0.0
    off_high_mm: float = 0.0
    wall_mm: float | None = None
    cautions: tuple[str, ...] = ()
    relation: str = ""
    standing: Standing = Standing.COMMON_PRACTICE
    source_key: str = COMMON_KEY

    def figure(self, name: str) -> float:
        """Number of that name; raises `KeyError` if there is none."""
        return {each.name: each.value for each in self.figures}[name]


def limits_figures(lower: float, upper: float, *, of: str = "limits") -> tuple[Figure, Figure]:
    """Both ends of a range as figures. [mm]"""
    return Figure(name=f"{of} lower", value=float(lower)), Figure(name=f"{of} upper", value=float(upper))
