"""Lands: the cylinders of a ring that can be held while its back is cut, and how far they may be covered.

Everything is in the work frame of the ring turned round: z = 0 is the finished back face, the front face looks to the
chuck at z = - width.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from handwheel.domain.holding import Side
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    Cylinder,
)
from handwheel.planner.job import Job
from handwheel.planner.kinds.legs import legs_mm
from handwheel.planner.kinds.rounds import turned

NOTICED_MM = 0.02
"""Jaws and mandrels are made to the ring as measured; the size on the sheet need not be closer than this (a radius)."""
ROOM_MM = 1.0
"""Room between a grip on the outside and whatever is still to be cut there; common practice, no source."""
SPIGOT_BACK_MM = 2.0
"""How far a spigot stays behind the face and the edges that are cut: the tip runs into the bore there."""
LEAST_BEARING_MM = 0.25
"""Narrowest ring of the front face that a seat or shoulder may bear on; common practice, no source."""
FOOT_MM = 0.5
"""Room between a grip and the shoulder of a step at the least: shoulders may lie off by their tolerance."""
SLIVER_MM = 1e-6
"""Two places that are no further apart are one, reckoned in two ways."""
SHOULDER_IN_MM = 1.0
"""How far a shoulder stays inside the outside, but never less than half the wall wide."""


class Land(Struct, frozen=True, kw_only=True):
    """A finished cylinder: its surface, radius, and the ends between which it can be gripped. [mm]"""

    surface: str
    radius_mm: float
    low_mm: float
    high_mm: float


class Grip(Struct, frozen=True, kw_only=True):
    """A land with the end of the grip towards the tailstock, and the length that really is gripped. [mm]"""

    land: Land
    end_mm: float
    length_mm: float


def lands(job: Job, *, inner: bool) -> tuple[Land, ...]:
    """Cylinders of the outside or of the hole that are finished before the ring is turned round, front face first.

    The edge at the front face belongs to the first: soft jaws and spigots pass over it.
    """
    later = {ledge.surface for ledge in job.stack(Side.BACK, inner=inner)}
    cylinders = job.part.inner_cylinders if inner else job.part.outer_cylinders
    kept = [cylinder for cylinder in cylinders if cylinder.surface not in later]
    return tuple(
        Land(
            surface=cylinder.surface,
            radius_mm=_stands_mm(job, cylinder),
            low_mm=-job.width_mm if i == 0 else -(cylinder.high_z_mm + job.width_mm),
            high_mm=0.0 if cylinder.surface in (OUTSIDE, BORE) else _foot_mm(job, cylinder),
        )
        for i, cylinder in enumerate(kept)
    )


def _stands_mm(job: Job, cylinder: Cylinder) -> float:
    """Radius at which a cylinder will stand: that of the drawing, unless coarse marks end further off than one notices.

    A reamer or a drill does not go by marks.
    """
    if cylinder.surface == BORE and (job.reaming is not None or job.sized_by_drill):
        return cylinder.radius_mm
    radii = turned(job, cylinder.surface)
    off = radii is not None and abs(radii.final_mm - cylinder.radius_mm) > NOTICED_MM
    return radii.final_mm if radii is not None and off else cylinder.radius_mm


def _foot_mm(job: Job, cylinder: Cylinder) -> float:
    """How far up a step of the front can be gripped: clear of the round in the corner of its shoulder."""
    return -(cylinder.low_z_mm + job.width_mm) - max(job.part.corner_radius_mm, FOOT_MM)


def wall_mm(job: Job, land: Land, *, inner: bool) -> tuple[float, float]:
    """Inner and outer radius of the thinnest wall along a land, all steps of the finished part counted. [mm]

    ``inner`` says whether it is a land of the hole. Steps of both ends are taken where they are: where a deep hole and
    a low shank lie at opposite ends there is no wall between the two.
    """
    end = land.low_mm + span_mm(job, land, inner=inner)
    both = (job.part.inner_cylinders, job.part.outer_cylinders)
    ends = {_back_z(job, z) for cylinders in both for one in cylinders for z in (one.low_z_mm, one.high_z_mm)}
    places = sorted({land.low_mm, end, *(z for z in ends if land.low_mm + SLIVER_MM < z < end - SLIVER_MM)})
    walls = [
        (_radius_at(job, both[0], (low + high) / 2.0), _radius_at(job, both[1], (low + high) / 2.0))
        for low, high in pairwise(places)
    ]
    return min(walls, key=lambda wall: (wall[1] - wall[0], -wall[1]))


def span_mm(job: Job, land: Land, *, inner: bool) -> float:
    """Length of a land on the finished part: steps of the back end go off it. [mm]"""
    back = max((ledge.depth_mm for ledge in job.stack(Side.BACK, inner=inner)), default=0.0)
    return min(land.high_mm, -back) - land.low_mm


def _radius_at(job: Job, cylinders: Sequence[Cylinder], z_mm: float) -> float:
    """Radius of the cylinder at a place, of the nearest one where an edge is. [mm]"""

    def away_mm(cylinder: Cylinder) -> float:
        return max(_back_z(job, cylinder.high_z_mm) - z_mm, z_mm - _back_z(job, cylinder.low_z_mm), 0.0)

    return min(cylinders, key=away_mm).radius_mm


def _back_z(job: Job, z_part_mm: float) -> float:
    """Place in the work frame of the ring turned round. [mm]"""
    return -(z_part_mm + job.width_mm)


def still_cut_mm(job: Job, *, inner: bool) -> float:
    """How far behind the back face the outside, or the hole, is still to be cut: edge and steps of that end. [mm]"""
    edge = BACK_INNER_EDGE if inner else BACK_OUTER_EDGE
    reach = legs_mm(job, edge)[0] if job.part.surface(edge) is not None else 0.0
    depths = (ledge.depth_mm for ledge in job.stack(Side.BACK, inner=inner))
    return max(reach, 0.0, *depths)


def longest_grip(job: Job, *, inner: bool, most_mm: float) -> Grip | None:
    """The longest grip on a land that leaves free what is still to be cut; ``None`` if there is no land.

    ``most_mm`` is how far along the ring the means reaches from its front face; ties go to the stiffer, larger land.
    """
    free = still_cut_mm(job, inner=inner) + (SPIGOT_BACK_MM if inner else ROOM_MM)
    found = [
        Grip(land=land, end_mm=end, length_mm=end - land.low_mm)
        for land in lands(job, inner=inner)
        for end in (min(land.high_mm, -free, most_mm - job.width_mm),)
    ]
    return max(found, key=lambda grip: (grip.length_mm, grip.land.radius_mm), default=None)


def front_radii_mm(job: Job) -> tuple[float, float]:
    """Inner and outer radius of the front face, on which the ring sits, edges not counted. [mm]"""
    return job.at_face(Side.FRONT, inner=True)[1], job.at_face(Side.FRONT, inner=False)[1]


def front_flat_mm(job: Job) -> tuple[float, float]:
    """Inner and outer radius of the flat of the front face, its edges taken off. [mm]"""
    inner, outer = front_radii_mm(job)
    legs = [
        legs_mm(job, edge)[1] if job.part.surface(edge) is not None else 0.0
        for edge in (FRONT_INNER_EDGE, FRONT_OUTER_EDGE)
    ]
    return inner + legs[0], outer - legs[1]


def back_radii_mm(job: Job) -> tuple[float, float]:
    """Inner and outer radius of the back face where nothing more is to be cut but its edges. [mm]"""
    return job.at_face(Side.BACK, inner=True)[1], job.at_face(Side.BACK, inner=False)[1]


def seat_radius_mm(job: Job, grip_radius_mm: float) -> float:
    """Inner radius of a seat behind the front face: half-way across what it bears on. [mm]"""
    inner, outer = front_radii_mm(job)
    return inner + 0.5 * (min(outer, grip_radius_mm) - inner)


def shoulder_radius_mm(job: Job) -> float:
    """Outer radius of a shoulder behind the front face: inside the outside, at least half-way across. [mm]"""
    inner, outer = front_radii_mm(job)
    return max(outer - SHOULDER_IN_MM, 0.5 * (inner + outer))
