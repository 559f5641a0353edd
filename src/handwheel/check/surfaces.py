"""Names of surfaces: what a name means, and where on the finished part it lies."""

from __future__ import annotations

from handwheel.domain.contour import Point, Segment
from handwheel.domain.part import BACK_FACE, FRONT_FACE, Part, is_shoulder

EDGE_SUFFIX = "-edge"
_ON_FACE_MM = 1e-6


def is_edge(surface: str) -> bool:
    """Whether a name is that of an edge."""
    return surface.endswith(EDGE_SUFFIX)


def is_face(surface: str) -> bool:
    """Whether a name is that of one of the two faces."""
    return surface in (FRONT_FACE, BACK_FACE)


def is_inner(part: Part, surface: str) -> bool:
    """Whether a surface belongs to the hole."""
    return any(segment.id == surface for segment in part.inner.segments)


def is_known(part: Part, surface: str) -> bool:
    """Whether the part has such a surface."""
    return is_face(surface) or part.surface(surface) is not None


def neighbours(part: Part, surface: str) -> tuple[Segment, ...]:
    """Segments before and after one in its contour."""
    for contour in (part.outer, part.inner):
        for index, segment in enumerate(contour.segments):
            if segment.id == surface:
                return contour.segments[max(index - 1, 0) : index] + contour.segments[index + 1 : index + 2]
    return ()


def shoulder_faces_front(part: Part, segment: Segment) -> bool:
    """Whether a shoulder looks to the front: there the metal lies behind it, seen from the front face."""
    rises = segment.end.radius_mm > segment.start.radius_mm
    return rises is not is_inner(part, segment.id)


def corner_of(part: Part, segment: Segment) -> Point | None:
    """Inside corner of a shoulder, where it meets its step's cylinder; ``None`` if the surface is no shoulder. [mm]"""
    if not is_shoulder(segment.id):
        return None
    # seen from the front a contour comes to a shoulder that looks to the front by its corner, to any other leaves by it
    return segment.start if shoulder_faces_front(part, segment) else segment.end


def edge_ends(part: Part, segment: Segment) -> tuple[Point, Point] | None:
    """End of an edge on a face, and its end on the cylinder; ``None`` if it does not start at a face."""
    for on_face, other in ((segment.start, segment.end), (segment.end, segment.start)):
        if min(abs(on_face.z_mm), abs(on_face.z_mm + part.width_mm)) <= _ON_FACE_MM:
            return on_face, other
    return None


def edge_corner(part: Part, surface: str) -> Point | None:
    """Sharp corner that an edge takes off, part frame; ``None`` if the part has no such edge. [mm]"""
    segment = part.surface(surface)
    ends = None if segment is None else edge_ends(part, segment)
    return None if ends is None else Point(ends[0].z_mm, ends[1].radius_mm)
