"""Bodies that hold the work, as they sweep round, in the work frame: chuck, jaws, collet, pot, mandrels."""

from __future__ import annotations

from handwheel.domain.chucks import Chuck
from handwheel.domain.contour import Point

Outline = tuple[Point, ...]

CHUCK_DEPTH_MM = 60.0
"""How far the chuck's body is drawn behind its jaws; enough to stop any tool."""
MANDREL_OUT_MM = 10.0
"""How far a mandrel's shoulder stands in front of the jaws that hold it."""
COLLET_NOSE_MM = 25.0
"""How far a collet's nose stands in front of what is as large as the chuck; common practice, no source."""
COLLET_WALL_MM = 2.0
"""Wall of a collet or nut round the work at least, however small the chuck is; common practice, no source."""
POT_PROUD_MM = 1.0
"""How far a pot's face stands in front of the jaws that close it."""
WASHER_AND_NUT_MM = 20.0
"""How far washer and nut stand in front of the ring, the nut drawn as large as the washer."""
DISC_MM = 6.0
"""Thickness of a plate that the tailstock presses on the ring."""
POINT_RADIUS_MM, POINT_LENGTH_MM = 5.0, 30.0
"""Slender part of a tailstock centre with a drawn-out point, between the plate and its body."""
QUILL_DEPTH_MM = 160.0
"""How far the tailstock is drawn behind the centre's point; enough to stop any tool."""


def _box(z0: float, z1: float, x0: float, x1: float) -> Outline:
    return (Point(z0, x0), Point(z1, x0), Point(z1, x1), Point(z0, x1))


def chuck_bodies(chuck: Chuck, *, jaw_face_mm: float, grip_radius_mm: float) -> tuple[Outline, ...]:
    """Hard jaws, or the nut of a collet chuck, that grip a bar from outside, and the chuck behind them.

    ``jaw_face_mm`` is the z of the front of the jaws. Turning jaws sweep a full ring. [mm]
    """
    back = jaw_face_mm - chuck.jaw_length_mm
    front = max(chuck.front_radius_mm(grip_radius_mm), grip_radius_mm + COLLET_WALL_MM)
    return (
        _box(back, jaw_face_mm, grip_radius_mm, front),
        _box(back - CHUCK_DEPTH_MM, back, 0.0, max(chuck.body_dia_mm / 2.0, front)),
    )


def soft_jaw_bodies(
    chuck: Chuck, *, jaw_face_mm: float, grip_radius_mm: float, grip_length_mm: float, seat_inner_radius_mm: float
) -> tuple[Outline, ...]:
    """Soft jaws bored to the outside of the ring, with a seat behind it that leaves the bore free. [mm]"""
    seat = jaw_face_mm - grip_length_mm
    back = jaw_face_mm - chuck.jaw_length_mm
    top = chuck.front_radius_mm(grip_radius_mm)
    return (
        _box(back, jaw_face_mm, grip_radius_mm, top),
        _box(min(back, seat - 1.0), seat, seat_inner_radius_mm, top),
        _box(back - CHUCK_DEPTH_MM, back, 0.0, max(chuck.body_dia_mm / 2.0, top)),
    )


def pot_bodies(
    chuck: Chuck,
    *,
    jaw_face_mm: float,
    grip_radius_mm: float,
    grip_length_mm: float,
    seat_inner_radius_mm: float,
    pot_radius_mm: float,
) -> tuple[Outline, ...]:
    """Split bush bored to the ring, with a seat, closed from outside by the chuck's jaws just behind its face. [mm]"""
    seat = jaw_face_mm - grip_length_mm
    back = min(jaw_face_mm - chuck.jaw_length_mm, seat - 1.0)
    return (
        _box(back, jaw_face_mm, grip_radius_mm, pot_radius_mm),
        _box(back, seat, seat_inner_radius_mm, pot_radius_mm),
        *chuck_bodies(chuck, jaw_face_mm=jaw_face_mm - POT_PROUD_MM, grip_radius_mm=pot_radius_mm),
    )


def collet_bodies(
    chuck: Chuck,
    *,
    jaw_face_mm: float,
    grip_radius_mm: float,
    grip_length_mm: float,
    seat_inner_radius_mm: float,
    nose_radius_mm: float,
) -> tuple[Outline, ...]:
    """Collet with a stop inside that the ring sits on; behind its nose all is as large as the chuck. [mm]"""
    seat = jaw_face_mm - grip_length_mm
    back = min(jaw_face_mm - COLLET_NOSE_MM, seat - 1.0)
    nose_radius_mm = max(nose_radius_mm, grip_radius_mm + COLLET_WALL_MM)
    return (
        _box(back, jaw_face_mm, grip_radius_mm, nose_radius_mm),
        _box(back, seat, seat_inner_radius_mm, nose_radius_mm),
        _box(back - CHUCK_DEPTH_MM, back, 0.0, max(chuck.body_dia_mm / 2.0, nose_radius_mm)),
    )


def mandrel_bodies(
    chuck: Chuck, *, nose_mm: float, shoulder_mm: float, spigot_radius_mm: float, shoulder_radius_mm: float
) -> tuple[Outline, ...]:
    """Stub mandrel: a spigot in the bore up to ``nose_mm``, a shoulder behind the ring, the chuck behind that. [mm]"""
    jaws = shoulder_mm - MANDREL_OUT_MM
    return (
        _box(jaws, nose_mm, 0.0, spigot_radius_mm),
        _box(jaws, shoulder_mm, 0.0, shoulder_radius_mm),
        *chuck_bodies(chuck, jaw_face_mm=jaws, grip_radius_mm=shoulder_radius_mm),
    )


def step_spigot_bodies(
    chuck: Chuck,
    *,
    nose_mm: float,
    front_mm: float,
    shoulder_mm: float,
    spigot_radius_mm: float,
    shoulder_radius_mm: float,
    washer_radius_mm: float,
) -> tuple[Outline, ...]:
    """Spigot in the bore up to ``nose_mm``, shoulder behind, washer and nut on the face at ``front_mm``. [mm]

    Past its nose, where the ring may be narrower than the spigot, only the screw goes on, and the washer hides that.
    """
    return (
        *mandrel_bodies(
            chuck,
            nose_mm=nose_mm,
            shoulder_mm=shoulder_mm,
            spigot_radius_mm=spigot_radius_mm,
            shoulder_radius_mm=shoulder_radius_mm,
        ),
        _box(front_mm, front_mm + WASHER_AND_NUT_MM, 0.0, washer_radius_mm),
    )


def plate_and_tailstock_bodies(
    chuck: Chuck,
    *,
    front_mm: float,
    plate_mm: float,
    plate_radius_mm: float,
    disc_radius_mm: float,
    centre_radius_mm: float,
) -> tuple[Outline, ...]:
    """Faced plate behind the ring at ``plate_mm``, a loose plate on its face at ``front_mm``, the centre. [mm]"""
    disc = front_mm + DISC_MM
    point = disc + POINT_LENGTH_MM
    return (
        _box(plate_mm - MANDREL_OUT_MM, plate_mm, 0.0, plate_radius_mm),
        *chuck_bodies(chuck, jaw_face_mm=plate_mm - MANDREL_OUT_MM, grip_radius_mm=plate_radius_mm),
        _box(front_mm, disc, 0.0, disc_radius_mm),
        _box(disc, point, 0.0, min(POINT_RADIUS_MM, disc_radius_mm)),
        _box(point, point + QUILL_DEPTH_MM, 0.0, centre_radius_mm),
    )
