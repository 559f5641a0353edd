"""The same part on an easier drawing: an edge left out or plainer, a step left out, a surface rougher."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.contour import Contour, Point, Segment
from handwheel.domain.part import (
    BACK_FACE,
    FRONT_FACE,
    Aspect,
    Part,
    shoulder_name,
)


def without_edge(part: Part, surface: str) -> Part:
    """The part with a sharp corner in place of an edge, cut or rounded; unchanged if it has no such edge."""
    if part.surface(surface) is None:
        return replace(part, sizes=tuple(feature for feature in part.sizes if feature.surface != surface))
    return replace(
        part,
        outer=_sharp(part.outer, surface),
        inner=_sharp(part.inner, surface),
        sizes=tuple(feature for feature in part.sizes if feature.surface != surface),
    )


def with_bevel(part: Part, surface: str) -> Part:
    """The part with a bevel in place of a round, both legs as long as its radius; unchanged if it has no such round."""
    round_ = part.feature(surface, Aspect.RADIUS)
    if round_ is None:
        return part
    legs = tuple(replace(round_, aspect=leg) for leg in (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL))
    return replace(
        part,
        outer=_straightened(part.outer, surface),
        inner=_straightened(part.inner, surface),
        sizes=(*(feature for feature in part.sizes if feature != round_), *legs),
    )


def _straightened(contour: Contour, surface: str) -> Contour:
    """The contour with a line in place of the arc of that name."""
    return Contour(
        segments=tuple(
            replace(segment, centre=None, clockwise=False) if segment.id == surface else segment
            for segment in contour.segments
        )
    )


def without_step(part: Part, surface: str) -> Part:
    """The part with the cylinder behind a step's shoulder drawn out over it; unchanged if it has no such step."""
    shoulder = shoulder_name(surface)
    if part.surface(shoulder) is None:
        return part
    return replace(
        part,
        outer=_stepless(part.outer, surface, shoulder),
        inner=_stepless(part.inner, surface, shoulder),
        sizes=tuple(feature for feature in part.sizes if feature.surface not in (surface, shoulder)),
        presses=tuple(press for press in part.presses if press.surface != surface),
    )


def _stepless(contour: Contour, step: str, shoulder: str) -> Contour:
    """The contour without a step and its shoulder; an edge beside the step moves with the cylinder to the face."""
    ids = [segment.id for segment in contour.segments]
    if step not in ids:
        return contour
    if ids.index(step) > ids.index(shoulder):  # at the back: the same, read from the other end
        turned = _stepless(_backwards(contour), step, shoulder)
        return _backwards(turned)
    at = ids.index(step)
    before, gone, behind = contour.segments[:at], contour.segments[at], contour.segments[at + 2]
    rise = behind.start.radius_mm - gone.start.radius_mm
    moved = tuple(_across(segment, rise) for segment in before)
    drawn = replace(behind, start=Point(gone.start.z_mm, behind.start.radius_mm))
    return Contour(segments=(*moved, drawn, *contour.segments[at + 3 :]))


def _across(segment: Segment, rise_mm: float) -> Segment:
    def place(point: Point) -> Point:
        return Point(point.z_mm, point.radius_mm + rise_mm)

    centre = None if segment.centre is None else place(segment.centre)
    return replace(segment, start=place(segment.start), end=place(segment.end), centre=centre)


def _backwards(contour: Contour) -> Contour:
    """Segments in the other order, each the other way round; a contour only while it is taken apart."""
    return Contour(segments=tuple(replace(s, start=s.end, end=s.start) for s in reversed(contour.segments)))


def rougher(part: Part, surface: str, *, ra_um: float) -> Part:
    """The part with another mean roughness allowed on one surface, or on its faces; unchanged if it has none. [µm]"""
    if surface in (FRONT_FACE, BACK_FACE):
        return replace(part, face_ra_um=ra_um)
    outer, inner = (
        Contour(segments=tuple(replace(s, finish_ra_um=ra_um) if s.id == surface else s for s in contour.segments))
        for contour in (part.outer, part.inner)
    )
    return replace(part, outer=outer, inner=inner)


def not_true(part: Part) -> Part:
    """The part with no demand that its surfaces run true to each other."""
    outer, inner = (
        Contour(segments=tuple(replace(segment, truth_group=None) for segment in contour.segments))
        for contour in (part.outer, part.inner)
    )
    return replace(part, outer=outer, inner=inner)


def _sharp(contour: Contour, surface: str) -> Contour:
    """The contour with the cylinder beside an edge drawn out to the face; unchanged if the edge is not its own."""
    first, last = contour.segments[0], contour.segments[-1]
    if first.id == surface:
        beside, *rest = contour.segments[1:]
        start = Point(first.start.z_mm, beside.start.radius_mm)
        return Contour(segments=(replace(beside, start=start), *rest))
    if last.id == surface:
        *rest, beside = contour.segments[:-1]
        end = Point(last.end.z_mm, beside.end.radius_mm)
        return Contour(segments=(*rest, replace(beside, end=end)))
    return contour
