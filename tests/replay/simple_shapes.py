"""Shapes for the simple replay: convex outlines as two chains of points over z, and its own models of tools.

A tool is one convex outline in its own frame, a hollow one several side by side: the tip's reference at (0, 0), z to
the right, x outward. Only the cutting part is drawn, and it is drawn tall: the simple replay asks what is cut, not what
is struck.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin, tan

import numpy as np
import numpy.typing as npt

from handwheel.domain.hole_tools import Drill, Reamer
from handwheel.domain.tools import Hand, Tool, ToolKind

Floats = npt.NDArray[np.float64]
Place = tuple[float, float]

NOSE_STEP_DEG = 2.5
"""Chords of a nose: 0.4 mm radius strays 0.1 µm from the arc."""
TRAILING_DEG = 5.0
"""Any relief will do: nothing that is measured is cut by the trailing side."""
HOLLOW_STEP_DEG = 5.0
"""Strips of a hollow: over 0.5 mm radius their chords stray 0.5 µm from the arc."""
BLADE_MM = 30.0
DRILL_MM = 200.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A convex outline: its lower and its upper chain, each rising in z. [mm]"""

    low_z: Floats
    low_x: Floats
    high_z: Floats
    high_x: Floats

    @property
    def left(self) -> float:
        """Lowest z. [mm]"""
        return float(self.low_z[0])

    @property
    def right(self) -> float:
        """Highest z. [mm]"""
        return float(self.low_z[-1])

    @property
    def corners(self) -> Floats:
        """All z of corners. [mm]"""
        return np.concatenate((self.low_z, self.high_z))

    def low_at(self, z: Floats) -> Floats:
        """Lower x over z within the outline. [mm]"""
        return np.interp(z, self.low_z, self.low_x)

    def high_at(self, z: Floats) -> Floats:
        """Upper x over z within the outline. [mm]"""
        return np.interp(z, self.high_z, self.high_x)

    def points(self) -> list[Place]:
        """Corners of both chains."""
        return [*zip(self.low_z, self.low_x, strict=True), *zip(self.high_z, self.high_x, strict=True)]


def convex(points: Iterable[Place]) -> Outline:
    """Outline round some points (Andrew's monotone chain)."""
    ordered = sorted({(float(z), float(x)) for z, x in points})
    lower, upper = _chain(ordered, 1.0), _chain(ordered, -1.0)
    return Outline(
        low_z=np.array([p[0] for p in lower]),
        low_x=np.array([p[1] for p in lower]),
        high_z=np.array([p[0] for p in upper]),
        high_x=np.array([p[1] for p in upper]),
    )


def _chain(ordered: list[Place], side: float) -> list[Place]:
    """Lower (side 1) or upper (side -1) chain over sorted points, one x for each z."""
    best: dict[float, float] = {}
    for z, x in ordered:
        best[z] = min(best.get(z, side * x), side * x)
    chain: list[Place] = []
    for point in best.items():
        while len(chain) > 1 and _turns_right(chain[-2], chain[-1], point):
            chain.pop()
        chain.append(point)
    return [(z, side * x) for z, x in chain]


def _turns_right(first: Place, second: Place, third: Place) -> bool:
    ahead = (second[0] - first[0]) * (third[1] - first[1])
    return ahead - (second[1] - first[1]) * (third[0] - first[0]) <= 0.0


def swept(outline: Outline, start: Place, end: Place) -> Outline:
    """Outline of all that a shape covers while its reference goes straight from one place to another."""
    return convex((z + at[0], x + at[1]) for at in (start, end) for z, x in outline.points())


def turned_round(outline: Outline, width_mm: float) -> Outline:
    """Outline with z → -(z + width)."""
    return Outline(
        low_z=-(outline.low_z[::-1] + width_mm),
        low_x=outline.low_x[::-1],
        high_z=-(outline.high_z[::-1] + width_mm),
        high_x=outline.high_x[::-1],
    )


def _nosed(tool: Tool, height_mm: float) -> list[Place]:
    """Rounded tip, leading side at the entering angle, trailing side relieved; lowest z and lowest x are 0.

    An entering angle above 90° is drawn as 90°: the few degrees shape the shoulder in the waste, and nothing else.
    """
    radius, lead = tool.nose_radius_mm, min(0.0, tool.entering_deg - 90.0)
    first, last = 270.0 + TRAILING_DEG, 180.0 - lead
    angles = {first, last, 270.0, 225.0, 180.0, *np.arange(last, first, NOSE_STEP_DEG).tolist()}
    tip = [(radius + radius * cos(radians(a)), radius + radius * sin(radians(a))) for a in angles if last <= a <= first]
    lead_end = (height_mm * tan(radians(lead)), height_mm)
    trail_end = (height_mm, max(0.0, height_mm - radius) * tan(radians(TRAILING_DEG)))
    return [*tip, lead_end, trail_end, (height_mm, height_mm)]


def _upside_down(points: list[Place]) -> list[Place]:
    return [(z, -x) for z, x in points]


def _blade(tool: Tool) -> list[Place]:
    lag = tool.width_mm * tan(radians(max(0.0, 90.0 - tool.entering_deg)))
    return [(0.0, lag), (tool.width_mm, 0.0), (tool.width_mm, BLADE_MM), (0.0, BLADE_MM)]


def _vee(size_mm: float) -> list[Place]:
    return [(0.0, 0.0), (size_mm, size_mm), (-size_mm, size_mm)]


def _hollow(tool: Tool) -> list[Outline]:
    """Upright strips over a hollow quarter circle round (0, 0), and the lip beside it; turned over to point out."""
    radius, top = tool.hollow_radius_mm, tool.head_mm
    angles = np.radians(np.arange(0.0, 90.0 + HOLLOW_STEP_DEG / 2.0, HOLLOW_STEP_DEG))
    under = [(radius * float(sin(a)), radius * float(cos(a))) for a in angles[:-1]] + [(radius, 0.0)]
    bottom = [*under, (tool.width_mm, 0.0)]
    strips = [[first, second, (second[0], top), (first[0], top)] for first, second in pairwise(bottom)]
    across = -1.0 if tool.kind is ToolKind.FORM_INSIDE else 1.0
    along = -1.0 if tool.hand is Hand.LEFT else 1.0
    return [convex((along * z, across * x) for z, x in strip) for strip in strips]


def tool_outlines(tool: Tool) -> list[Outline]:
    """Cutting part of a toolpost tool, in convex pieces. [mm]"""
    if tool.kind in (ToolKind.FORM_OUTSIDE, ToolKind.FORM_INSIDE):
        return _hollow(tool)
    return [tool_outline(tool)]


def tool_outline(tool: Tool) -> Outline:
    """Cutting part of a toolpost tool that is convex. [mm]"""
    if tool.kind is ToolKind.TURNING:
        return convex(_nosed(tool, tool.shank_mm))
    if tool.kind is ToolKind.BORING:
        return convex(_upside_down(_nosed(tool, tool.head_mm)))
    if tool.kind is ToolKind.EDGE_OUTSIDE:
        return convex(_vee(tool.width_mm / 2.0))
    if tool.kind is ToolKind.EDGE_INSIDE:
        return convex(_upside_down(_vee(tool.head_mm)))
    return convex(_blade(tool))


def drill_outline(drill: Drill) -> Outline:
    """A drill with its tip at (0, 0). [mm]"""
    radius = float(drill.dia_mm) / 2.0
    point = point_mm(drill)
    return convex([(0.0, 0.0), (point, radius), (point, -radius), (DRILL_MM, radius), (DRILL_MM, -radius)])


def reamer_outline(reamer: Reamer) -> Outline:
    """A reamer with the end of its lead at (0, 0), as large as the middle of the hole that it makes. [mm]"""
    small, full = reamer.lead_dia_mm / 2.0, float(reamer.hole_lower_mm + reamer.hole_upper_mm) / 4.0
    lead = reamer.lead_mm
    return convex([(0.0, small), (0.0, -small), (lead, full), (lead, -full), (DRILL_MM, full), (DRILL_MM, -full)])


def point_mm(drill: Drill) -> float:
    """Length of a drill's cone. [mm]"""
    return float(drill.dia_mm) / 2.0 / tan(radians(drill.point_deg / 2.0))
