"""Exact area and volume of half sections bounded by lines and arcs."""

from __future__ import annotations

from math import atan2, cos, pi, sin

from handwheel.domain.contour import Contour, Point, Segment
from handwheel.domain.part import Part


def arc_angles_rad(segment: Segment) -> tuple[float, float, float]:
    """Radius [mm], start angle and end angle [rad] of an arc, the end turned so that the sense comes out right.

    Raises
    ------
    ValueError
        If the segment is a line.
    """
    if segment.centre is None:
        msg = f"surface {segment.id!r} is a line, not an arc"
        raise ValueError(msg)
    centre = segment.centre
    first = atan2(segment.start.radius_mm - centre.radius_mm, segment.start.z_mm - centre.z_mm)
    last = atan2(segment.end.radius_mm - centre.radius_mm, segment.end.z_mm - centre.z_mm)
    if segment.clockwise and last >= first:
        last -= 2 * pi
    if not segment.clockwise and last <= first:
        last += 2 * pi
    dz, dr = segment.start.z_mm - centre.z_mm, segment.start.radius_mm - centre.radius_mm
    return (dz * dz + dr * dr) ** 0.5, first, last


def _disc_integral(segment: Segment) -> float:
    """Signed integral of r² dz along a segment. [mm³]"""
    z0, r0 = segment.start
    z1, r1 = segment.end
    if segment.centre is None:
        return (z1 - z0) * (r0 * r0 + r0 * r1 + r1 * r1) / 3.0
    radius, first, last = arc_angles_rad(segment)
    rc = segment.centre.radius_mm

    def primitive(t: float) -> float:
        # integral of (rc + ρ sin t)² (-ρ sin t) dt, term by term
        sin_1 = -cos(t)
        sin_2 = t / 2.0 - sin(2.0 * t) / 4.0
        sin_3 = -cos(t) + cos(t) ** 3 / 3.0
        return -radius * (rc * rc * sin_1 + 2.0 * rc * radius * sin_2 + radius * radius * sin_3)

    return primitive(last) - primitive(first)


def contour_volume_mm3(contour: Contour) -> float:
    """Volume enclosed when the contour turns round the axis, between its end planes. [mm³]

    By Pappus' theorem in the form V = π ∫ r² dz, in closed form for lines and arcs, hence exact to rounding for any
    contour that does not run back on itself in z beyond what cancels.
    """
    return pi * abs(sum(_disc_integral(segment) for segment in contour.segments))


def part_volume_mm3(part: Part) -> float:
    """Volume of the finished part, exact. [mm³]"""
    return contour_volume_mm3(part.outer) - contour_volume_mm3(part.inner)


def flatten(segment: Segment, *, chord_error_mm: float = 1e-4) -> tuple[Point, ...]:
    """Points along a segment (start and end included) whose chords stray at most ``chord_error_mm`` from an arc."""
    if segment.centre is None:
        return (segment.start, segment.end)
    radius, first, last = arc_angles_rad(segment)
    # sagitta of a chord over angle a is ρ a²/8
    count = max(1, int(abs(last - first) / (8.0 * chord_error_mm / radius) ** 0.5) + 1)
    inner = tuple(
        Point(
            segment.centre.z_mm + radius * cos(first + (last - first) * i / count),
            segment.centre.radius_mm + radius * sin(first + (last - first) * i / count),
        )
        for i in range(1, count)
    )
    return (segment.start, *inner, segment.end)


def part_outline(part: Part) -> tuple[Point, ...]:
    """Closed outline of the half section, faces included, arcs as fine chords. [mm]"""
    outer = [point for segment in part.outer.segments for point in flatten(segment)[:-1]]
    outer.append(part.outer.segments[-1].end)
    inner = [point for segment in part.inner.segments for point in flatten(segment)[:-1]]
    inner.append(part.inner.segments[-1].end)
    return (*outer, *reversed(inner))
