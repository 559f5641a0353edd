"""The part that the sheet leaves against the part that was wanted: sizes, metal left over, gouges."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import cos, isfinite, pi, sin

from handwheel.check.report import CheckedSize, RefusalCode
from handwheel.check.rounds import Corner, beyond_zone, radii_mm
from handwheel.check.scene import Log
from handwheel.check.section import Section, section
from handwheel.check.solids import rest, shared
from handwheel.check.surfaces import corner_of, edge_ends, is_inner, neighbours, shoulder_faces_front
from handwheel.domain.contour import Point, Segment
from handwheel.domain.part import BACK_FACE, Aspect, Part, SizedFeature, is_shoulder
from handwheel.geometry.profile import flatten, part_outline
from handwheel.geometry.region import (
    TOUCH_AREA_MM2,
    Region,
    area_mm2,
    bounds_mm,
    hull,
    pieces,
    polygon,
    union,
)

UNSIZED_MM = 0.1
"""How far a surface without limits of its own may lie from the drawing (ISO2768, class m, up to 6 mm)."""
ON_SURFACE_MM = 5e-4
"""How near a corner of the outline must lie to a face or cylinder to count as its end."""
LIMIT_ROUNDING_MM = 1e-5
"""What the arithmetic may add to a size at its very limit."""
LEAST_MARGIN_MM = 0.05
"""How far from its ends a surface is measured at least."""
MOST_MARGIN_SHARE = 0.3
"""Greatest share of a surface's length that is left out at each end."""
DEPTH_SHARES = (0.7, 0.85)
"""A depth gauge rests on the outer part of a shoulder, away from the round in its corner: shares of its height."""
CORNER_HAIR_MM = 0.01
"""How much more than the allowed round a corner may keep: the round of a tool is drawn in chords."""
_CORNER_STEPS = 12


LEDGE_MM = 0.02
"""How far short of its shoulder the last pass on a step may end: a whole step of a length dial (common practice)."""


def cut_limits_mm(feature: SizedFeature) -> tuple[float, float]:
    """Limits of a size when the tool has done its work. [mm]"""
    return float(feature.size.cut_lower), float(feature.size.cut_upper)


def compare_part(part: Part, region: Region, log: Log) -> tuple[CheckedSize, ...]:
    """Sizes of the part cut (part frame); refuses those outside their limits, metal left over, and gouges."""
    work = section(region)
    cut = (feature for feature in part.sizes if feature.aspect is not Aspect.BROKEN)  # the hand does those
    sizes = tuple(checked for feature in cut if (checked := _checked(part, work, feature, log)) is not None)
    _compare_outline(part, region, log)
    _compare_corners(part, region, log)
    _compare_rounds(part, region, work, log)
    return sizes


def _checked(part: Part, work: Section, feature: SizedFeature, log: Log) -> CheckedSize | None:
    lower, upper = cut_limits_mm(feature)
    values = sizes_mm(part, work, feature)
    if values is None or not all(isfinite(value) for value in values):
        log.add("", RefusalCode.SIZE_NOT_FOUND, f"{feature.id}: the part that comes out has no such surface")
        return None
    middle = (lower + upper) / 2.0
    worst = max(values, key=lambda value: abs(value - middle))
    inside = all(lower - LIMIT_ROUNDING_MM <= value <= upper + LIMIT_ROUNDING_MM for value in values)
    if not inside:
        log.add(
            "",
            RefusalCode.SIZE_OUTSIDE_LIMITS,
            f"{feature.id}: the sheet cuts {worst:.4f} mm; the drawing allows {lower:.4f} to {upper:.4f} mm: "
            "plan the last "
            "cuts anew",
        )
    return CheckedSize(feature=feature.id, value_mm=worst, lower_mm=lower, upper_mm=upper, inside=inside)


def sizes_mm(part: Part, work: Section, feature: SizedFeature) -> tuple[float, ...] | None:
    """Smallest and largest value of a size over its surface; ``None`` if the work has no such surface. [mm]"""
    if feature.aspect is Aspect.WIDTH:
        return width_mm(part, work)
    segment = part.surface(feature.surface)
    if segment is None:
        return None
    if feature.aspect is Aspect.DIAMETER:
        return diameters_mm(part, work, segment)
    if feature.aspect is Aspect.DEPTH:
        return depths_mm(part, work, segment)
    if feature.aspect is Aspect.RADIUS:
        corner = _round_corner(part, work, feature)
        return None if corner is None else radii_mm(work, corner)
    leg = leg_mm(part, work, segment, feature.aspect)
    return None if leg is None else (leg,)


def diameters_mm(part: Part, work: Section, segment: Segment) -> tuple[float, ...] | None:
    """Smallest and largest diameter of a cylinder; of any other surface the diameter that a gauge meets. [mm]"""
    inner = is_inner(part, segment.id)
    low, high = sorted((segment.start.z_mm, segment.end.z_mm))
    before, after = _margins_mm(part, segment)
    found = (work.inner_radii_mm if inner else work.outer_radii_mm)(low + before, high - after)
    if found is None:
        return None
    if is_cylinder(segment):
        return 2.0 * found[0], 2.0 * found[1]
    return (2.0 * (found[0] if inner else found[1]),)


def is_cylinder(segment: Segment) -> bool:
    """Whether a surface has one diameter."""
    return segment.centre is None and abs(segment.start.radius_mm - segment.end.radius_mm) <= ON_SURFACE_MM


def _margins_mm(part: Part, segment: Segment) -> tuple[float, float]:
    """What to leave out at the low and the high end: edges may be longer than drawn, within their limits. [mm]"""
    ends = (segment.start, segment.end)
    beside = [(neighbour, corner_of(part, neighbour) in ends) for neighbour in neighbours(part, segment.id)]
    # the round that the tool's nose leaves in a corner is no part of the cylinder
    rounds = part.corner_radius_mm * sum(in_corner for _, in_corner in beside)
    most = MOST_MARGIN_SHARE * max(0.0, abs(segment.end.z_mm - segment.start.z_mm) - rounds)
    low_z = min(segment.start.z_mm, segment.end.z_mm)
    margins = [min(LEAST_MARGIN_MM, most), min(LEAST_MARGIN_MM, most)]
    for neighbour, in_corner in beside:
        margin = min(tolerance_mm(part, neighbour) + LEAST_MARGIN_MM, most)
        at_low = low_z >= max(neighbour.start.z_mm, neighbour.end.z_mm) - ON_SURFACE_MM
        margins[0 if at_low else 1] = margin + (part.corner_radius_mm if in_corner else 0.0)
    return margins[0], margins[1]


def width_mm(part: Part, work: Section) -> tuple[float, float] | None:
    """Smallest and largest distance between the faces, away from the edges. [mm]"""
    front, back = face_mm(part, work, front=True), face_mm(part, work, front=False)
    if front is None or back is None:
        return None
    return front[0] - back[1], front[1] - back[0]


def face_mm(part: Part, work: Section, *, front: bool) -> tuple[float, float] | None:
    """Lowest and highest z of a face, away from its edges; ``None`` if there is no metal on all of it. [mm]"""
    low = part.inner.segments[0].start if front else part.inner.segments[-1].end
    high = part.outer.segments[0].start if front else part.outer.segments[-1].end
    margin = min(UNSIZED_MM * 2.0, MOST_MARGIN_SHARE * (high.radius_mm - low.radius_mm))
    read = work.front_z_mm if front else work.back_z_mm
    return read(low.radius_mm + margin, high.radius_mm - margin)


def depths_mm(part: Part, work: Section, segment: Segment) -> tuple[float, float] | None:
    """Smallest and largest distance of a shoulder from the face of its end, where a depth gauge rests. [mm]

    On the work as it is being cut, that is what stands in the place of the shoulder.
    """
    corner = corner_of(part, segment)
    if corner is None:
        return None
    other = segment.end if corner == segment.start else segment.start
    height = other.radius_mm - corner.radius_mm
    low, high = sorted(corner.radius_mm + share * height for share in DEPTH_SHARES)
    front = shoulder_faces_front(part, segment)
    face = face_mm(part, work, front=front)
    found = (work.front_z_mm if front else work.back_z_mm)(low, high)
    if face is None or found is None:
        return None
    return (face[0] - found[1], face[1] - found[0]) if front else (found[0] - face[1], found[1] - face[0])


def leg_mm(part: Part, work: Section, segment: Segment, aspect: Aspect) -> float | None:
    """Leg of an edge, from the corner of face and cylinder as they were cut. [mm]

    0 where the corner is still sharp; ``None`` if the surface is no edge of a face.
    """
    ends = edge_ends(part, segment)
    if ends is None:
        return None
    on_face, other = ends
    inner = is_inner(part, segment.id)
    front = abs(on_face.z_mm) <= ON_SURFACE_MM
    face_z = work.high_z_mm if front else work.low_z_mm
    radius = _cylinder_radius_mm(part, work, segment, other)
    if radius is None:
        return None
    if aspect is Aspect.LEG_AXIAL:
        beyond = -1.0 if inner else 1.0
        return min((abs(z - face_z) for z, x in work.corners if beyond * (radius - x) <= ON_SURFACE_MM), default=None)
    near = [x for z, x in work.corners if abs(z - face_z) <= ON_SURFACE_MM]
    if not near:
        return None
    return min(near) - radius if inner else radius - max(near)


def _cylinder_radius_mm(part: Part, work: Section, segment: Segment, end: Point) -> float | None:
    """Radius next to an edge: of the cylinder as cut, or as drawn if it is none. [mm]"""
    for neighbour in neighbours(part, segment.id):
        if end not in (neighbour.start, neighbour.end) or not is_cylinder(neighbour):
            continue
        found = diameters_mm(part, work, neighbour)
        if found is None:
            return None
        return found[0] / 2.0 if is_inner(part, segment.id) else found[-1] / 2.0
    return end.radius_mm


def tolerance_mm(part: Part, segment: Segment) -> float:
    """How far a surface may lie from where it is drawn: the larger side of its limits, else the usual one. [mm]"""
    found = []
    width = part.feature(BACK_FACE, Aspect.WIDTH)
    features = [feature for feature in part.sizes if feature.surface == segment.id]
    if width is not None and is_shoulder(segment.id) and not shoulder_faces_front(part, segment):
        # its depth counts from the back face, which may lie off by itself
        moved = _larger_side(*cut_limits_mm(width), float(width.size.cut_target))
    else:
        moved = 0.0
    for feature in features:
        lower, upper = cut_limits_mm(feature)
        half = _larger_side(lower, upper, float(feature.size.cut_target))
        found.append(half / 2.0 if feature.aspect is Aspect.DIAMETER else half + moved)
    return max(found, default=UNSIZED_MM)


def _larger_side(lower: float, upper: float, target: float) -> float:
    return max(upper - target, target - lower)


def _compare_outline(part: Part, region: Region, log: Log) -> None:
    """Refuse metal beyond the drawn outline, and missing within it, outside a band of the local tolerance."""
    ideal = polygon(part_outline(part))
    band = union(_bands(part))
    for code, beyond, what, remedy in (
        (RefusalCode.LEFTOVER, rest(region, ideal), "too much", "something is still to be cut"),
        (RefusalCode.GOUGE, rest(ideal, region), "missing", "a cut goes too far"),
    ):
        for piece in pieces(rest(beyond, band)):
            if area_mm2(piece) <= TOUCH_AREA_MM2:
                continue
            low_z, low_x, high_z, high_x = bounds_mm(piece)
            log.add(
                "",
                code,
                f"{area_mm2(piece):.4f} mm² of the half section are {what}, z {low_z:.3f} to {high_z:.3f} mm, diameter "
                f"{2 * low_x:.3f} to {2 * high_x:.3f} mm: {remedy}",
            )


def _bands(part: Part) -> Iterator[Region]:
    """Strips along each surface, as thick as the surface may lie off; corners get a square, inside corners a round."""
    for contour in (part.outer, part.inner):
        for segment in contour.segments:
            if is_shoulder(segment.id):
                yield from _round_in_corner(part, segment)
            yield from _strip(flatten(segment), tolerance_mm(part, segment))
    width = part.feature(BACK_FACE, Aspect.WIDTH)
    lower, upper = (0.0, 0.0) if width is None else cut_limits_mm(width)
    back = UNSIZED_MM if width is None else _larger_side(lower, upper, float(width.size.cut_target))
    outer, inner = part.outer.segments, part.inner.segments
    yield from _strip((outer[0].start, inner[0].start), LIMIT_ROUNDING_MM * 300)
    yield from _strip((outer[-1].end, inner[-1].end), back)


def _strip(points: tuple[Point, ...], by_mm: float) -> Iterator[Region]:
    # a hair more than the tolerance, so that a size at its very limit leaves no sliver
    thick = by_mm + ON_SURFACE_MM
    corners = ((-thick, -thick), (-thick, thick), (thick, -thick), (thick, thick))
    for start, end in pairwise(points):
        yield hull([(p.z_mm + dz, p.radius_mm + dx) for p in (start, end) for dz, dx in corners])


def _round_in_corner(part: Part, segment: Segment) -> Iterator[Region]:
    """Metal that may stay in the corner of a shoulder: between it and the largest round that the drawing allows."""
    corner = corner_of(part, segment)
    radius = part.corner_radius_mm
    if corner is None or radius <= 0.0:
        return
    other = segment.end if corner == segment.start else segment.start
    out = 1.0 if other.radius_mm > corner.radius_mm else -1.0
    along = 1.0 if shoulder_faces_front(part, segment) else -1.0
    # the surfaces may lie off within their own limits, and the round lies with them
    cylinder = next(s for s in neighbours(part, segment.id) if corner in (s.start, s.end))
    off_z, off_x = tolerance_mm(part, segment), tolerance_mm(part, cylinder)
    low = (corner.z_mm - along * off_z, corner.radius_mm - out * off_x)
    small = radius - CORNER_HAIR_MM
    centre = (corner.z_mm + along * (radius + off_z), corner.radius_mm + out * (radius + off_x))
    angles = [pi + pi / 2.0 * step / _CORNER_STEPS for step in range(_CORNER_STEPS + 1)]
    arc = [(centre[0] + along * small * cos(a), centre[1] + out * small * sin(a)) for a in angles]
    yield polygon([low, (low[0], centre[1]), *arc, (centre[0], low[1])])


def _compare_corners(part: Part, region: Region, log: Log) -> None:
    """Refuse a round in the corner of a step that is larger than drawn, from where its two surfaces were really cut.

    The band of the outline cannot tell: a wide tolerance of the depth hides a round that is too large.
    """
    work = section(region)
    for segment in (*part.outer.segments, *part.inner.segments):
        air = _air_in_corner(part, work, segment) if is_shoulder(segment.id) else None
        if air is not None and area_mm2(shared(region, air)) > TOUCH_AREA_MM2:
            log.add(
                "",
                RefusalCode.LEFTOVER,
                f"{segment.id}: the round in its corner is larger than the {part.corner_radius_mm:.2f} mm of the "
                "drawing: cut it with a smaller nose",
            )


def _air_in_corner(part: Part, work: Section, segment: Segment) -> Region | None:
    """Quarter of a disc that must be free of metal beside a shoulder and its cylinder as cut, or ``None``."""
    corner = corner_of(part, segment)
    small = part.corner_radius_mm - CORNER_HAIR_MM
    if corner is None or small <= 0.0:
        return None
    other = segment.end if corner == segment.start else segment.start
    cylinder = next(s for s in neighbours(part, segment.id) if corner in (s.start, s.end))
    low, high = sorted(corner.radius_mm + share * (other.radius_mm - corner.radius_mm) for share in DEPTH_SHARES)
    front = shoulder_faces_front(part, segment)
    stands = (work.front_z_mm if front else work.back_z_mm)(low, high)
    dias = diameters_mm(part, work, cylinder)
    if stands is None or dias is None:
        return None
    out, along = (1.0 if other.radius_mm > corner.radius_mm else -1.0), (1.0 if front else -1.0)
    z = min(stands) if front else max(stands)
    foot = sorted((corner.radius_mm + out * part.corner_radius_mm, other.radius_mm - out * LEAST_MARGIN_MM))
    near = (work.front_z_mm if front else work.back_z_mm)(*foot)
    if near is not None:  # the last passes may end a hair short of the shoulder: the round then sits on that ledge
        z += along * min(LEDGE_MM, max(along * (end - z) for end in near))
    x = (min(dias) if out > 0.0 else max(dias)) / 2.0
    centre = (z + along * part.corner_radius_mm, x + out * part.corner_radius_mm)
    angles = [pi + pi / 2.0 * step / _CORNER_STEPS for step in range(_CORNER_STEPS + 1)]
    return polygon([centre, *((centre[0] + along * small * cos(a), centre[1] + out * small * sin(a)) for a in angles)])


def _compare_rounds(part: Part, region: Region, work: Section, log: Log) -> None:
    """Refuse a rounded edge that leaves the zone of its radius, from face and cylinder as they were cut."""
    for feature in part.sizes:
        corner = _round_corner(part, work, feature) if feature.aspect is Aspect.RADIUS else None
        if corner is None:
            continue
        lower, upper = cut_limits_mm(feature)
        left, gone = beyond_zone(region, corner, lower_mm=lower, upper_mm=upper)
        for code, beyond, what in (
            (RefusalCode.LEFTOVER, left, f"more of the corner stays than a round of {lower:.3f} mm leaves"),
            (RefusalCode.GOUGE, gone, f"more is gone beside it than a round of {upper:.3f} mm takes"),
        ):
            if area_mm2(beyond) > TOUCH_AREA_MM2:
                log.add("", code, f"{feature.surface}: {what}: set the form tool from face and cylinder anew")


def _round_corner(part: Part, work: Section, feature: SizedFeature) -> Corner | None:
    """Corner of face and cylinder as they were cut, where a rounded edge stands; ``None`` if either is missing."""
    segment = part.surface(feature.surface)
    ends = None if segment is None else edge_ends(part, segment)
    if segment is None or ends is None:
        return None
    on_face, other = ends
    front = on_face.z_mm > other.z_mm
    face = face_mm(part, work, front=front)
    radius = _cylinder_radius_mm(part, work, segment, other)
    beside = next((s for s in neighbours(part, segment.id) if other in (s.start, s.end)), None)
    if face is None or radius is None or beside is None:
        return None
    _, upper = cut_limits_mm(feature)
    faces = (part.outer.segments[0].start, part.inner.segments[0].start)
    if not front:
        faces = (part.outer.segments[-1].end, part.inner.segments[-1].end)
    # halfway to the edge beyond the face, and beyond the cylinder, begins what belongs to that
    flat = abs(faces[0].radius_mm - faces[1].radius_mm) / 2.0 + abs(on_face.radius_mm - other.radius_mm)
    land = abs(beside.start.z_mm - beside.end.z_mm) / 2.0 + abs(on_face.z_mm - other.z_mm)
    return Corner(
        at=Point(face[1] if front else face[0], radius),
        along=-1.0 if front else 1.0,
        across=1.0 if is_inner(part, segment.id) else -1.0,
        room=Point(min(upper, land), min(upper, flat)),
    )
