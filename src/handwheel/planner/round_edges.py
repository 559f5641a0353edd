"""Rounded edges: no tool of a shop file cuts one, so a part with a round is refused, and never bevelled unasked."""

from __future__ import annotations

from handwheel.domain.part import Aspect, Part
from handwheel.domain.remedies import BevelEdge, LeaveEdge
from handwheel.domain.said import said_short
from handwheel.planner.search import Shortfall
from handwheel.planner.way import NoWay


def round_remedies(part: Part) -> tuple[tuple[BevelEdge, LeaveEdge], ...]:
    """For each rounded edge what could be drawn in its place: a bevel of the like size, or nothing but the file."""
    return tuple(
        (BevelEdge(surface=f.surface, leg_mm=float(f.size.cut_target)), LeaveEdge(surface=f.surface))
        for f in part.sizes
        if f.aspect is Aspect.RADIUS
    )


def round_shortfall(part: Part) -> Shortfall | None:
    """Why a part with rounded edges cannot be planned; ``None`` if it has none."""
    remedies = round_remedies(part)
    if not remedies:
        return None
    troubles = tuple(
        NoWay(
            step=bevel.surface,
            code="round-edge",
            tried="every tool of the shop",
            why=f"a round of {said_short(bevel.leg_mm, part.units)} needs a form tool with a hollow radius, and no "
            "tool that a shop file can name is one",
            remedy=f"draw a bevel of {said_short(bevel.leg_mm, part.units)} at 45°, or leave the edge to the file "
            "when the part is off",
            remedies=(bevel, leave),
        )
        for bevel, leave in remedies
    )
    return Shortfall(lacking=tuple(trouble.step for trouble in troubles), troubles=troubles)
