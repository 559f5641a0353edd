"""What the check knows of each kind of holding: by what it grips, and what must be made ready."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from handwheel.domain.acts import HandKind
from handwheel.domain.holding import Holding


class By(Enum):
    """What of the ring is gripped."""

    OUTSIDE = "outside"
    HOLE = "hole"
    FACES = "faces"
    NOTHING = "nothing"


class HoldingRule(Struct, frozen=True, kw_only=True):
    """One kind of holding: by what it grips, the hand step before it, whether something presses on the face."""

    by: By
    ready: HandKind | None = None
    covers_face: bool = False


HOLDING_RULES = {
    "soft-jaws": HoldingRule(by=By.OUTSIDE, ready=HandKind.BORE_JAWS),
    "pot": HoldingRule(by=By.OUTSIDE, ready=HandKind.BORE_POT),
    "collet": HoldingRule(by=By.OUTSIDE, ready=HandKind.FIT_COLLET),
    "stub-mandrel": HoldingRule(by=By.HOLE, ready=HandKind.TURN_MANDREL),
    "expanding-mandrel": HoldingRule(by=By.HOLE, ready=HandKind.FIT_MANDREL),
    "glue-arbor": HoldingRule(by=By.HOLE, ready=HandKind.TURN_ARBOR),
    "step-spigot": HoldingRule(by=By.HOLE, ready=HandKind.TURN_SPIGOT, covers_face=True),
    "plate-and-tailstock": HoldingRule(by=By.FACES, ready=HandKind.FACE_PLATE, covers_face=True),
    "flat-plate": HoldingRule(by=By.NOTHING),
}
BY_TAILSTOCK = "plate-and-tailstock"


def presses(holding: Holding | None) -> bool:
    """Whether the tailstock presses on the ring in this holding."""
    return holding is not None and holding.kind == BY_TAILSTOCK
