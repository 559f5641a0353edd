"""Bodies that hold the work, as they sweep round: chuck and jaws, soft jaws, stub mandrel. Work frame, x >= 0."""

from __future__ import annotations

from handwheel.domain.contour import Point
from handwheel.domain.shop import Chuck

Outline = tuple[Point, ...]

CHUCK_DEPTH_MM = 60.0
"""How far the chuck's body is drawn behind its jaws; enough to stop any tool."""


def _box(z0: float, z1: float, x0: float, x1: float) -> Outline:
    return (Point(z0, x0), Point(z1, x0), Point(z1, x1), Point(z0, x1))


def chuck_bodies(chuck: Chuck, *, jaw_face_mm: float, grip_radius_mm: float) -> tuple[Outline, ...]:
    """Hard jaws that grip a bar from outside, and the chuck behind them.

    ``jaw_face_mm`` is the z of the front of the jaws. Turning jaws sweep a full ring. [mm]
    """
    back = jaw_face_mm - chuck.jaw_length_mm
    return (
        _box(back, jaw_face_mm, grip_radius_mm, grip_radius_mm + chuck.jaw_height_mm),
        _box(back - CHUCK_DEPTH_MM, back, 0.0, max(chuck.body_dia_mm / 2.0, grip_radius_mm + chuck.jaw_height_mm)),
    )


def soft_jaw_bodies(
    chuck: Chuck, *, jaw_face_mm: float, grip_radius_mm: float, grip_length_mm: float, seat_inner_radius_mm: float
) -> tuple[Outline, ...]:
    """Soft jaws bored to the outside of the ring, with a seat behind it that leaves the bore free. [mm]"""
    seat = jaw_face_mm - grip_length_mm
    back = jaw_face_mm - chuck.jaw_length_mm
    top = grip_radius_mm + chuck.jaw_height_mm
    return (
        _box(back, jaw_face_mm, grip_radius_mm, top),
        _box(min(back, seat - 1.0), seat, seat_inner_radius_mm, top),
        _box(back - CHUCK_DEPTH_MM, back, 0.0, max(chuck.body_dia_mm / 2.0, top)),
    )


def mandrel_bodies(
    chuck: Chuck, *, nose_mm: float, shoulder_mm: float, spigot_radius_mm: float, shoulder_radius_mm: float
) -> tuple[Outline, ...]:
    """Stub mandrel: a spigot in the bore up to ``nose_mm``, a shoulder behind the ring, the chuck behind that. [mm]"""
    jaws = shoulder_mm - 10.0
    return (
        _box(jaws, nose_mm, 0.0, spigot_radius_mm),
        _box(jaws, shoulder_mm, 0.0, shoulder_radius_mm),
        *chuck_bodies(chuck, jaw_face_mm=jaws, grip_radius_mm=shoulder_radius_mm),
    )
