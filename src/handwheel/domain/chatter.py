"""A cut that somebody heard at this lathe: how deep, in which metal, and whether it chattered."""

from enum import Enum

from msgspec import Struct

from handwheel.domain.errors import ShopError, require_positive
from handwheel.domain.tools import Tool, ToolKind


class Learner(Enum):
    """What learns from what was heard, each from its own tools alone."""

    TURNING = "turning and facing"
    BORING = "boring"
    PARTING = "parting and grooving"


_LEARNER = {
    ToolKind.BORING: Learner.BORING,
    ToolKind.PARTING: Learner.PARTING,
    ToolKind.GROOVING: Learner.PARTING,
}


def learner_of(tool: Tool) -> Learner:
    """What learns from a cut with a tool."""
    return _LEARNER.get(tool.kind, Learner.TURNING)


class ChatterHeard(Struct, frozen=True, kw_only=True):
    """One observation, by which the shop's own limits replace a guess.

    Parameters
    ----------
    tool : str
        Id of the tool of the shop: one for turning and facing, a boring bar, or a blade.
    metal : str
        Key of the metal that was cut.
    depth_mm : float
        Depth of the cut on the radius; of a blade the width of its chip. [mm]
    chattered : bool
        Whether it chattered; if not, the cut was quiet.
    feed_mm_rev : float
        Feed of the cut; the default is a usual one, for the limit hardly hangs on it (common practice, no source).
    stick_out_mm : float
        How far the work stood out of the chuck, of a boring bar or blade how far it stood out of its holder; 0 if
        nobody noted it: the work then counts as stiff, bar or blade as what proves least. [mm]
    dia_mm : float
        Diameter of the work behind the cut, 0 if nobody noted it. [mm]
    """

    tool: str
    metal: str
    depth_mm: float
    chattered: bool
    feed_mm_rev: float = 0.1
    stick_out_mm: float = 0.0
    dia_mm: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a cut that is none, and half of what says how stiff the work was."""
        require_positive("depth", self.depth_mm, unit="mm")
        require_positive("feed", self.feed_mm_rev, unit="mm/rev")
        if self.dia_mm > 0 and self.stick_out_mm <= 0:
            msg = (
                f"chatter heard with {self.tool!r}: the diameter of the work is given and not how far it stood out of "
                "the chuck; give both or neither"
            )
            raise ShopError(msg)
