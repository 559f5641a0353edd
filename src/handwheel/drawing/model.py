"""A drawing: lines, arcs, regions, texts and dimensions on paper; it knows nothing of what is drawn.

Places are in the model space of what is drawn, x to the right and y upward. [mm] What exists on paper alone (letters,
pens, spacing of a hatch, arrowheads) is measured there. [mm] `Drawing.scale` joins the two.
"""

from __future__ import annotations

from enum import Enum
from math import atan, atan2, cos, degrees, hypot, pi, radians, sin, tan
from typing import NamedTuple

from msgspec import Struct

from handwheel.domain.errors import require_positive


class Spot(NamedTuple):
    """A place in model space. [mm]"""

    x_mm: float
    y_mm: float


class LineKind(Enum):
    """Kinds of line, by their habitual use in technical drawings."""

    CONTINUOUS = "continuous"
    DASHED = "dashed"
    CHAIN = "long-dashed dotted"
    DOUBLE_CHAIN = "long-dashed double-dotted"


class Pen(Enum):
    """Width and kind of a line: wide for what is seen, narrow for all that explains it."""

    OUTLINE = ("wide", LineKind.CONTINUOUS)
    THIN = ("narrow", LineKind.CONTINUOUS)
    HIDDEN = ("narrow", LineKind.DASHED)
    CENTRE = ("narrow", LineKind.CHAIN)
    NEIGHBOUR = ("narrow", LineKind.DOUBLE_CHAIN)

    @property
    def is_wide(self) -> bool:
        """Whether it is of the wide sort."""
        return bool(self.value[0] == "wide")

    @property
    def kind(self) -> LineKind:
        """Kind of line."""
        return LineKind(self.value[1])

    @property
    def width_mm(self) -> float:
        """Width on paper. [mm]"""
        return WIDE_MM if self.is_wide else NARROW_MM

    @property
    def dashes_mm(self) -> tuple[float, ...]:
        """Lengths of dash and gap in turn, on paper; empty for a continuous line. [mm]"""
        return tuple(share * self.width_mm for share in DASHES[self.kind])


WIDE_MM, NARROW_MM = 0.5, 0.25
"""Line group 0,5, the two widths as two to one; from memory of ISO 128-24. [mm]"""
DASH, LONG_DASH, GAP, DOT = 12.0, 24.0, 3.0, 0.5
"""Lengths of the elements of lines, in line widths; from memory of ISO 128-20."""
DASHES: dict[LineKind, tuple[float, ...]] = {
    LineKind.CONTINUOUS: (),
    LineKind.DASHED: (DASH, GAP),
    LineKind.CHAIN: (LONG_DASH, GAP, DOT, GAP),
    LineKind.DOUBLE_CHAIN: (LONG_DASH, GAP, DOT, GAP, DOT, GAP),
}
"""Dash and gap in turn, in line widths."""

LETTER_MM, SMALL_LETTER_MM, LARGE_LETTER_MM = 2.5, 1.8, 3.5
"""Heights of capital letters; steps of the series from memory of ISO 3098-1. [mm]"""


class Shade(Enum):
    """A region filled evenly: black stays black on any printer, white covers what lies below."""

    BLACK = "black"
    WHITE = "white"


class Hatch(Struct, frozen=True, kw_only=True):
    """Parallel narrow lines: angle from the x axis, distance between them on paper; ``crossed`` also across."""

    angle_deg: float = 45.0
    spacing_mm: float = 1.5
    crossed: bool = False

    def __post_init__(self) -> None:
        """Refuse lines without distance."""
        require_positive("spacing_mm", self.spacing_mm, unit="mm")


class Corner(NamedTuple):
    """Corner of an outline, and how the way to the next corner bulges.

    ``bulge`` is the tangent of a quarter of the arc's angle, positive if it turns anticlockwise, 0 for a straight line.
    """

    x_mm: float
    y_mm: float
    bulge: float = 0.0

    @property
    def spot(self) -> Spot:
        """Its place. [mm]"""
        return Spot(self.x_mm, self.y_mm)


class Outline(Struct, frozen=True, kw_only=True):
    """Lines and arcs from corner to corner; a closed one goes back from its last corner to its first."""

    corners: tuple[Corner, ...]
    closed: bool = True

    @property
    def legs(self) -> tuple[tuple[Corner, Corner], ...]:
        """Pairs of corners that a line or arc joins, in order."""
        ends = (*self.corners[1:], self.corners[0]) if self.closed else self.corners[1:]
        return tuple(zip(self.corners, ends, strict=False))

    @property
    def area_mm2(self) -> float:
        """Area inside a closed outline, exact, positive if it runs anticlockwise. [mm²]"""
        return sum(
            (first.x_mm * second.y_mm - second.x_mm * first.y_mm) / 2.0 + _cap_mm2(first, second)
            for first, second in self.legs
        )


def _cap_mm2(first: Corner, second: Corner) -> float:
    """Area between an arc and its chord, positive if the arc bulges to the right of the way. [mm²]"""
    if first.bulge == 0:
        return 0.0
    angle = 4.0 * atan(first.bulge)
    radius = radius_mm(first, second)
    return radius * radius * (angle - sin(angle)) / 2.0


def radius_mm(first: Corner, second: Corner) -> float:
    """Radius of the arc between two corners, the first of which bulges. [mm]"""
    chord = hypot(second.x_mm - first.x_mm, second.y_mm - first.y_mm)
    return chord * (1.0 + first.bulge**2) / (4.0 * abs(first.bulge))


def centre_of(first: Corner, second: Corner) -> Spot:
    """Centre of the arc between two corners, the first of which bulges. [mm]"""
    share = (1.0 - first.bulge**2) / (4.0 * first.bulge)
    dx, dy = second.x_mm - first.x_mm, second.y_mm - first.y_mm
    return Spot((first.x_mm + second.x_mm) / 2.0 - share * dy, (first.y_mm + second.y_mm) / 2.0 + share * dx)


def bulge_of(start: Spot, end: Spot, centre: Spot, *, clockwise: bool) -> float:
    """Bulge of an arc from one place to another round a centre.

    Examples
    --------
    >>> round(bulge_of(Spot(1.0, 0.0), Spot(0.0, 1.0), Spot(0.0, 0.0), clockwise=False), 4)
    0.4142
    """
    first = atan2(start.y_mm - centre.y_mm, start.x_mm - centre.x_mm)
    last = atan2(end.y_mm - centre.y_mm, end.x_mm - centre.x_mm)
    turned = (first - last if clockwise else last - first) % (2.0 * pi)
    return tan(turned / 4.0) * (-1.0 if clockwise else 1.0)


def flattened(outline: Outline, *, chord_error_mm: float) -> tuple[Spot, ...]:
    """Corners of an outline with arcs as chords that stray at most so far; the first is not repeated. [mm]"""
    found: list[Spot] = []
    for first, second in outline.legs:
        found.append(first.spot)
        if first.bulge == 0:
            continue
        centre, radius, angle = centre_of(first, second), radius_mm(first, second), 4.0 * atan(first.bulge)
        begin = atan2(first.y_mm - centre.y_mm, first.x_mm - centre.x_mm)
        # sagitta of a chord over angle a is r a²/8
        count = max(1, int(abs(angle) / (8.0 * chord_error_mm / radius) ** 0.5) + 1)
        found += [
            Spot(
                centre.x_mm + radius * cos(begin + angle * i / count),
                centre.y_mm + radius * sin(begin + angle * i / count),
            )
            for i in range(1, count)
        ]
    return tuple(found) if outline.closed else (*found, outline.corners[-1].spot)


class Line(Struct, frozen=True, kw_only=True):
    """A straight line."""

    start: Spot
    end: Spot
    pen: Pen = Pen.THIN
    layer: str = ""


class Arc(Struct, frozen=True, kw_only=True):
    """Part of a circle, anticlockwise from one angle to the other; 0 to 360 for all of it. [mm, deg]"""

    centre: Spot
    radius_mm: float
    start_deg: float = 0.0
    end_deg: float = 360.0
    pen: Pen = Pen.THIN
    layer: str = ""

    @property
    def is_circle(self) -> bool:
        """Whether it goes all the way round."""
        return abs(self.end_deg - self.start_deg) >= FULL_TURN_DEG

    def at(self, angle_deg: float) -> Spot:
        """Place on the circle at an angle. [mm]"""
        angle = radians(angle_deg)
        return Spot(self.centre.x_mm + self.radius_mm * cos(angle), self.centre.y_mm + self.radius_mm * sin(angle))


FULL_TURN_DEG = 360.0


class Path(Struct, frozen=True, kw_only=True):
    """Lines and arcs that follow each other."""

    outline: Outline
    pen: Pen = Pen.OUTLINE
    layer: str = ""


class Region(Struct, frozen=True, kw_only=True):
    """What lies inside an odd number of closed outlines: filled, and drawn round if there is a pen."""

    outlines: tuple[Outline, ...]
    fill: Hatch | Shade | None = None
    pen: Pen | None = None
    layer: str = ""

    @property
    def area_mm2(self) -> float:
        """Area, where no two outlines cross: the first less the holes in it. [mm²]"""
        return sum(outline.area_mm2 for outline in self.outlines)


class Anchor(Enum):
    """Which end of a text stands at its place."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Text(Struct, frozen=True, kw_only=True):
    """One line of letters; ``height_mm`` is that of a capital on paper, the place is on its base line. [mm, deg]"""

    at: Spot
    text: str
    height_mm: float = LETTER_MM
    anchor: Anchor = Anchor.START
    angle_deg: float = 0.0
    bold: bool = False
    layer: str = ""


class DimensionKind(Enum):
    """What a dimension measures."""

    LINEAR = "linear"
    DIAMETER = "diameter"
    RADIUS = "radius"
    ANGLE = "angle"


class DimensionText(Struct, frozen=True, kw_only=True):
    """Words of a dimension: the size, then one figure above another: its deviations, or its limits as large.

    With limits ``main`` is what stands before them, such as ``"Ø"``.
    """

    main: str
    upper: str = ""
    lower: str = ""
    limits: bool = False

    @property
    def spoken(self) -> str:
        """All of it in a row."""
        return " ".join(piece for piece in (self.main, self.upper, self.lower) if piece)


class Dimension(Struct, frozen=True, kw_only=True):
    """A size with its lines and arrows.

    Parameters
    ----------
    kind : DimensionKind
        LINEAR and DIAMETER (seen from the side) measure between two places along ``angle_deg``; RADIUS from the centre
        ``first`` to ``second`` on the arc; ANGLE round the corner ``apex``, from ``first`` anticlockwise to ``second``.
    first, second : Spot
        What is measured. [mm]
    line_at : Spot
        Place that the dimension line (or arc) passes through; of RADIUS the end of the line that bears the text. [mm]
    text : DimensionText
        What is written.
    angle_deg : float
        Direction that is measured: 0 along x, 90 along y. [deg]
    apex : Spot or None
        Corner of an angle. [mm]
    height_mm : float
        Height of letters on paper. [mm]
    """

    kind: DimensionKind
    first: Spot
    second: Spot
    line_at: Spot
    text: DimensionText
    angle_deg: float = 0.0
    apex: Spot | None = None
    height_mm: float = LETTER_MM
    layer: str = "dimensions"

    @property
    def measured(self) -> float:
        """What the places measure. [mm; deg for an angle]"""
        if self.kind is DimensionKind.ANGLE and self.apex is not None:
            first, second = (
                degrees(atan2(spot.y_mm - self.apex.y_mm, spot.x_mm - self.apex.x_mm))
                for spot in (self.first, self.second)
            )
            return (second - first) % FULL_TURN_DEG
        dx, dy = self.second.x_mm - self.first.x_mm, self.second.y_mm - self.first.y_mm
        if self.kind is DimensionKind.RADIUS:
            return hypot(dx, dy)
        angle = radians(self.angle_deg)
        return abs(dx * cos(angle) + dy * sin(angle))


class Leader(Struct, frozen=True, kw_only=True):
    """An arrow from a text to what it speaks of; the text stands beside ``elbow``, away from the tip. [mm]"""

    tip: Spot
    elbow: Spot
    text: str
    height_mm: float = LETTER_MM
    layer: str = "dimensions"


class Arrow(Struct, frozen=True, kw_only=True):
    """A bold arrow that shows which way something moves. [mm]"""

    start: Spot
    end: Spot
    layer: str = "motion"


Item = Line | Arc | Path | Region | Text | Dimension | Leader | Arrow


class ViewBox(Struct, frozen=True, kw_only=True):
    """What of model space is shown. [mm]"""

    left_mm: float
    bottom_mm: float
    right_mm: float
    top_mm: float

    def __post_init__(self) -> None:
        """Refuse a box without room."""
        require_positive("width of the view box", self.width_mm, unit="mm")
        require_positive("height of the view box", self.height_mm, unit="mm")

    @property
    def width_mm(self) -> float:
        """From left to right. [mm]"""
        return self.right_mm - self.left_mm

    @property
    def height_mm(self) -> float:
        """From bottom to top. [mm]"""
        return self.top_mm - self.bottom_mm


class Drawing(Struct, frozen=True, kw_only=True):
    """What is drawn, in the order in which it covers, with its title and a description for who cannot see it.

    ``scale`` is paper per model: 2 draws twice as large as life.
    """

    title: str
    description: str
    box: ViewBox
    items: tuple[Item, ...]
    scale: float = 1.0

    def __post_init__(self) -> None:
        """Refuse a drawing without size."""
        require_positive("scale", self.scale, unit="paper per model")

    @property
    def paper_width_mm(self) -> float:
        """Width on paper. [mm]"""
        return self.box.width_mm * self.scale

    @property
    def paper_height_mm(self) -> float:
        """Height on paper. [mm]"""
        return self.box.height_mm * self.scale
