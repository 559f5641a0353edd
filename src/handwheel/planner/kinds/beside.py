"""Room beside a washer or plate that covers a face: how far a tool can go back before it sweeps an edge there."""

from __future__ import annotations

from math import inf, radians, sin

from handwheel.domain.holding import Holding
from handwheel.domain.slides import Slide
from handwheel.planner.writer import CLEAR_MM

COVER_CLEAR_MM = 0.2
"""Room between a tool and a washer or plate beside which an edge is cut; common practice, no source."""
BESIDE_BACK_MM = 0.6
"""How far a tool goes back beside a washer or plate where there is room for it; common practice, no source."""
LEAST_BACK_MM = 0.15
"""How far it must come off the face at least, once the slack is taken up; common practice, no source."""
MARK_ROOM_MM = 0.05
"""Stands for a mark of a slide that has no dial."""


def is_beside_cover(holding: Holding, *, inside: bool) -> bool:
    """Whether something presses on the face beside an edge: the edges of the bore lie under it."""
    return holding.cover_dia_mm > 0 and not inside


def beside_cover_mm(holding: Holding, radius_mm: float, *, inside: bool) -> float:
    """Room across between a radius and what covers the face; no bound where the face is free. [mm]"""
    return radius_mm - holding.cover_dia_mm / 2.0 if is_beside_cover(holding, inside=inside) else inf


def most_back_mm(holding: Holding, start_mm: float, angle_deg: float, top: Slide, *, inside: bool) -> float:
    """How far the swung top slide may draw a tip back before the tip meets what covers the face; ``inf`` if nothing.

    On its way back the tip goes towards the centre line with the sine of the angle. ``start_mm`` is the radius of the
    tip's lowest spot at the depth of the edge, when it is level with the face. No further than anywhere else.
    """
    room = beside_cover_mm(holding, start_mm, inside=inside)
    if room == inf:
        return inf
    return min(CLEAR_MM + float(top.slack_mm), (room - COVER_CLEAR_MM) / sin(radians(angle_deg)))


def needs_back_mm(top: Slide) -> float:
    """How far the top slide must be wound back at least for its tool to come off the face: past its slack. [mm]"""
    mark = float(top.dial.travel_per_mark_mm) if top.dial else MARK_ROOM_MM
    return float(top.slack_mm) + max(LEAST_BACK_MM, mark)
