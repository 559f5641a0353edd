"""Edges of a part: which are alike and bear one letter, where they lie, each kind enlarged with its legs."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from handwheel.domain.contour import Point, Segment
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    Aspect,
    Part,
    SizedFeature,
)
from handwheel.drawing.frames import box_path, view
from handwheel.drawing.model import (
    Dimension,
    DimensionKind,
    Drawing,
    Hatch,
    Item,
    Pen,
    Spot,
    Text,
    ViewBox,
)
from handwheel.drawing.shapes import drawn
from handwheel.drawing.size_text import plain_text, size_text
from handwheel.geometry import region as plane
from handwheel.geometry.profile import part_outline

EDGE_ASPECTS = (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL, Aspect.RADIUS, Aspect.BROKEN)
ENLARGED = (2.0, 5.0, 10.0, 20.0, 50.0)
"""Enlargements; from memory of ISO 5455."""
LEG_MM = 4.0
"""A leg is enlarged to at least this on paper. [mm]"""
DETAIL_WIDTH_MM, DETAIL_HEIGHT_MM = 52.0, 44.0
"""Enlarged view of an edge on paper. [mm]"""
DETAIL_HEAD_MM = 5.0
LINE_OFF_MM = 8.0
"""Distance of a dimension line from the edge on paper. [mm]"""
SECTION = Hatch(angle_deg=45.0, spacing_mm=1.6)
TITLE_OFF_MM = 1.2
"""Height of the title of a view above its frame on paper. [mm]"""
INTO_METAL_SHARE = 0.1
"""The view's middle lies in the metal by this share of its size: beside that the words of the legs stand."""


class Edge(Struct, frozen=True, kw_only=True):
    """One edge: what is said of it, the corner it lies at, its segment if it has one, whether outside, at the front."""

    surface: str
    features: tuple[SizedFeature, ...]
    segment: Segment | None
    corner: Point
    outer: bool
    front: bool

    def kind(self, part: Part) -> tuple[str, ...]:
        """What must be the same in edges that bear one letter."""
        return tuple(f"{feature.aspect.value} {plain_text(feature, units=part.units)}" for feature in self.features)

    def words(self, part: Part) -> str:
        """What is said of the edge, in a row."""
        return ", ".join(
            f"{plain_text(feature, units=part.units)} {_ALONG[feature.aspect]}" for feature in self.features
        )


_ALONG = {
    Aspect.LEG_AXIAL: "along the axis",
    Aspect.LEG_RADIAL: "across it",
    Aspect.RADIUS: "round",
    Aspect.BROKEN: "broken by hand",
}


def edges_of(part: Part) -> tuple[tuple[Edge, ...], ...]:
    """Edges that sizes speak of, those alike together, in the order of the sizes."""
    found: dict[tuple[str, ...], list[Edge]] = {}
    for surface in dict.fromkeys(f.surface for f in part.sizes if f.aspect in EDGE_ASPECTS):
        edge = _edge(part, surface)
        if edge is not None:
            found.setdefault(edge.kind(part), []).append(edge)
    return tuple(tuple(group) for group in found.values())


def _edge(part: Part, surface: str) -> Edge | None:
    features = tuple(f for f in part.sizes if f.surface == surface and f.aspect in EDGE_ASPECTS)
    segment = part.surface(surface)
    if segment is not None:
        outer = segment in part.outer.segments
        front = (segment.end.radius_mm > segment.start.radius_mm) == outer
        middle = Point(
            (segment.start.z_mm + segment.end.z_mm) / 2.0, (segment.start.radius_mm + segment.end.radius_mm) / 2.0
        )
        return Edge(surface=surface, features=features, segment=segment, corner=middle, outer=outer, front=front)
    ends = {
        FRONT_OUTER_EDGE: (part.outer.segments[0].start, True, True),
        FRONT_INNER_EDGE: (part.inner.segments[0].start, False, True),
        BACK_OUTER_EDGE: (part.outer.segments[-1].end, True, False),
        BACK_INNER_EDGE: (part.inner.segments[-1].end, False, False),
    }
    if surface not in ends:
        return None
    corner, outer, front = ends[surface]
    return Edge(surface=surface, features=features, segment=None, corner=corner, outer=outer, front=front)


def edge_detail(part: Part, edge: Edge, *, letter: str) -> Drawing | None:
    """Enlarged view of an edge with its legs; nothing for an edge that has none in the contour."""
    segment = edge.segment
    if segment is None:
        return None
    legs = (abs(segment.end.z_mm - segment.start.z_mm), abs(segment.end.radius_mm - segment.start.radius_mm))
    least = min(leg for leg in legs if leg > 0)
    times = next((times for times in ENLARGED if least * times >= LEG_MM), ENLARGED[-1])
    wide, high = DETAIL_WIDTH_MM / times, DETAIL_HEIGHT_MM / times
    inward_z, inward_r = (-1.0 if edge.front else 1.0), (-1.0 if edge.outer else 1.0)
    middle = Point(
        edge.corner.z_mm + inward_z * INTO_METAL_SHARE * wide,
        edge.corner.radius_mm + inward_r * INTO_METAL_SHARE * high,
    )
    frame = ViewBox(
        left_mm=middle.z_mm - wide / 2.0,
        right_mm=middle.z_mm + wide / 2.0,
        bottom_mm=middle.radius_mm - high / 2.0,
        top_mm=middle.radius_mm + high / 2.0,
    )
    metal = plane.mirrored(plane.polygon(part_outline(part)))
    items = (
        *drawn(metal, frame, fill=SECTION, pen=Pen.OUTLINE, layer="part"),
        box_path(frame),
        *_legs(part, edge, segment, off_mm=LINE_OFF_MM / times),
        Text(at=Spot(frame.left_mm, frame.top_mm + TITLE_OFF_MM / times), text=f"{letter}  {times:g}:1", bold=True),
    )
    taller = ViewBox(
        left_mm=frame.left_mm,
        right_mm=frame.right_mm,
        bottom_mm=frame.bottom_mm,
        top_mm=frame.top_mm + DETAIL_HEAD_MM / times,
    )
    return view(taller, times, items)


def _legs(part: Part, edge: Edge, segment: Segment, *, off_mm: float) -> Iterator[Item]:
    """Dimensions of both legs, outside the metal, their words running away from it."""
    # the end on the face, and the end on the cylinder
    face, round_ = (segment.start, segment.end) if edge.front else (segment.end, segment.start)
    across = off_mm if edge.outer else -off_mm
    along = off_mm if edge.front else -off_mm
    for feature in edge.features:
        text = size_text(feature, units=part.units)
        if feature.aspect is Aspect.LEG_AXIAL:
            yield Dimension(
                kind=DimensionKind.LINEAR,
                first=Spot(face.z_mm, face.radius_mm),
                second=Spot(round_.z_mm, round_.radius_mm),
                line_at=Spot(face.z_mm, round_.radius_mm + across),
                text=text,
            )
        elif feature.aspect is Aspect.LEG_RADIAL:
            yield Dimension(
                kind=DimensionKind.LINEAR,
                first=Spot(round_.z_mm, round_.radius_mm),
                second=Spot(face.z_mm, face.radius_mm),
                line_at=Spot(face.z_mm + along, face.radius_mm),
                angle_deg=90.0,
                text=text,
            )
