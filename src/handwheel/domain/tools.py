"""Tools of the toolpost: their kind, measures and silhouette."""

from msgspec import Struct

from handwheel.domain.choice import Choice
from handwheel.domain.contour import Point
from handwheel.domain.motion import Edge


class ToolKind(Choice):
    """What a tool is ground for; it settles which cuts may be tried with it."""

    TURNING = "turning and facing"
    BORING = "boring"
    PARTING = "parting"
    GROOVING = "grooving"
    EDGE_OUTSIDE = "edge tool, pointing in"
    EDGE_INSIDE = "edge tool, pointing out"
    FORM_OUTSIDE = "form tool, pointing in"
    FORM_INSIDE = "form tool, pointing out"


FORM_TOOLS = (ToolKind.FORM_OUTSIDE, ToolKind.FORM_INSIDE)
"""Kinds with a hollow that rounds an edge."""


class Hand(Choice):
    """Way a tool cuts along the bed: a right-hand tool cuts towards the headstock."""

    RIGHT = "right"
    LEFT = "left"
    NEUTRAL = "neutral"


class PieceRole(Choice):
    """What a piece of a tool's silhouette is: only the edge may meet the metal."""

    EDGE = "edge"
    BODY = "body"
    HOLDER = "holder"


class ToolPiece(Struct, frozen=True, kw_only=True):
    """A convex piece of a silhouette, in the tool's frame: its tip at (0, 0), z to the right, x outward. [mm]"""

    role: PieceRole
    points: tuple[Point, ...]


class Tool(Struct, frozen=True, kw_only=True):
    """A toolpost tool. Lengths in mm; what a kind does not have stays 0.

    Parameters
    ----------
    nose_radius_mm : float
        Rounding of the tip.
    edge_radius_um : float
        Sharpness of the edge. [µm]
    entering_deg : float
        Entering angle κ of the leading edge when cutting along the bed.
    width_mm : float
        Width of a blade, or of the cutting part of an edge tool measured across its V, or of the ground end of a form
        tool along the bed, its hollow included.
    reach_mm : float
        How far a blade or boring bar stands out of its holder.
    bar_dia_mm, head_mm : float
        Boring bar: its diameter, and how far the tip stands proud of it. ``head_mm`` of a form tool is the height of
        its ground end, its hollow included.
    hollow_radius_mm : float
        Form tool: radius of the hollow quarter circle that rounds an edge.
    shank_mm : float
        Width of the shank or holder along the bed.
    rake_deg : float
        Rake angle γ.
    silhouette : tuple of ToolPiece
        Measured outline in convex pieces; empty to have it built from the numbers above.
    """

    id: str
    name: str
    kind: ToolKind
    edge: Edge
    hand: Hand = Hand.RIGHT
    nose_radius_mm: float = 0.0
    edge_radius_um: float = 8.0
    entering_deg: float = 90.0
    width_mm: float = 0.0
    reach_mm: float = 0.0
    bar_dia_mm: float = 0.0
    head_mm: float = 0.0
    shank_mm: float = 10.0
    rake_deg: float = 0.0
    hollow_radius_mm: float = 0.0
    silhouette: tuple[ToolPiece, ...] = ()
