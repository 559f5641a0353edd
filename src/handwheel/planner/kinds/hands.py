"""Which way a tool can cut: what is cut towards the headstock, or across a face, wants a right-hand tool."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.plan import Step
from handwheel.domain.remedies import AddToShop
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.planner.way import NoWay

RIGHT_ENTERING_DEG = 93.0
"""Entering angle of the tool that is offered: clear of a square shoulder; common practice, no source."""
_NAMES = {ToolKind.TURNING: "right-hand turning and facing tool", ToolKind.BORING: "right-hand boring bar"}


def hand_trouble(step: Step, tool: Tool) -> NoWay | None:
    """Why a turning or boring tool cannot cut towards the headstock up to a face, or ``None``.

    A left-hand tool has its edge on the other side. A neutral one could turn along an open cylinder, but its slopes
    would meet the face before its tip does, so it neither faces nor touches for a length.
    """
    if tool.kind not in _NAMES or tool.hand is Hand.RIGHT:
        return None
    why = {
        Hand.LEFT: "it is a left-hand tool: its edge cuts away from the headstock, and the chuck is on the other side",
        Hand.NEUTRAL: "it is a neutral tool: it slopes to both sides, so it can neither face nor leave a square end",
    }[tool.hand]
    fitting = right_hand(tool)
    return NoWay(
        step=step.id,
        tried=tool.name,
        code="wrong-hand",
        why=why,
        remedy=f"a {fitting.name}",
        remedies=(AddToShop(thing=fitting),),
    )


def right_hand(tool: Tool) -> Tool:
    """The tool with its edge on the side that cuts towards the headstock, under a name of its own."""
    return replace(
        tool,
        id=f"{tool.id}-right",
        name=_NAMES[tool.kind],
        hand=Hand.RIGHT,
        entering_deg=max(tool.entering_deg, RIGHT_ENTERING_DEG),
        silhouette=(),
    )
