"""What tells how deep the tailstock's quill stands, and how far a turn of its wheel moves it."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle
from handwheel.domain.plan import Step
from handwheel.domain.remedies import FitSlide
from handwheel.domain.shop import Shop
from handwheel.domain.slides import AidKind, LengthAid, Slide
from handwheel.planner.dialing import Scale, carriage_scale
from handwheel.planner.way import NoWay

RULE_STEP_MM = Fraction(1)
"""Graduation of a quill's barrel, or of a rule laid against it; common practice, no source."""
USUAL_TURN_MM = 2.0
"""Travel of a small quill in one turn of its wheel; common practice, no source: measure it."""


def quill_scale(slide: Slide) -> Scale | None:
    """What the quill is set by: dial, readout, indicator or the graduation on its barrel; ``None`` if nothing."""
    return carriage_scale(slide, reach_mm=0.0)


def quill_trouble(shop: Shop, step: Step) -> NoWay | None:
    """Why no hole can be drilled to a depth, or at a known feed, with this tailstock, or ``None``."""
    quill = shop.lathe.slide(Handle.QUILL)
    if quill_scale(quill) is None:
        rule = LengthAid(kind=AidKind.RULE, step_mm=RULE_STEP_MM, range_mm=quill.travel_mm)
        return NoWay(
            step=step.id,
            code="quill-depth-unknown",
            tried="drilling from the tailstock",
            why="nothing tells how deep the quill stands: it has no dial, no graduation and no rule",
            remedy="lay a rule against the quill, or mark its barrel, and add it to the shop file",
            remedies=(FitSlide(slide=replace(quill, aids=(*quill.aids, rule))),),
        )
    if quill.travel_per_turn_mm <= 0:
        return NoWay(
            step=step.id,
            code="quill-turn-unknown",
            tried="drilling from the tailstock",
            why="nobody has measured how far one turn of the tailstock's wheel moves the quill, so no feed can be told",
            remedy="wind the quill ten turns, measure, and enter the tenth part as per_turn",
            remedies=(FitSlide(slide=replace(quill, turn_mm=USUAL_TURN_MM)),),
        )
    return None
