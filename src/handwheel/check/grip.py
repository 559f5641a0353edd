"""What a second holding carries before the ring slips, reckoned anew from shop and replayed ring."""

from __future__ import annotations

from collections.abc import Callable

from handwheel.check.holding_bodies import Held, cover_radius_mm
from handwheel.check.section import DUST_MM
from handwheel.physics.grip import (
    LEAST_BOND_N_MM2,
    PLATE_FACES,
    SEGMENTS,
    SPIGOT_FACES,
    bond_torque_nm,
    faces_torque_nm,
    jaws_torque_nm,
    mandrel_torque_nm,
)


def grip_torque_nm(held: Held) -> float:
    """Torque at which a ring may begin to slip in a holding, low end; 0 where no figure tells it. [N m]

    A stub mandrel's is not known: nobody can tell how tight the ring was wrung. Nor is it where the shop does not say
    how hard its means presses, or where the printed holding makes no sense.
    """
    found = _TORQUES.get(held.holding.kind)
    sound = held.holding.grip_dia_mm > DUST_MM and held.holding.grip_length_mm > DUST_MM
    return found(held) if found is not None and sound else 0.0


def _jaws(held: Held) -> float:
    return jaws_torque_nm(held.means.force_n, jaws=held.chuck.jaws, radius_mm=held.radius_mm)


def _collet(held: Held) -> float:
    return jaws_torque_nm(held.means.force_n, jaws=SEGMENTS, radius_mm=held.radius_mm)


def _mandrel(held: Held) -> float:
    holding = held.holding
    return mandrel_torque_nm(held.means.pressure_n_mm2, dia_mm=holding.grip_dia_mm, length_mm=holding.grip_length_mm)


def _bond(held: Held) -> float:
    strength = held.means.bond_n_mm2 or LEAST_BOND_N_MM2
    return bond_torque_nm(strength, radius_mm=held.radius_mm, length_mm=held.holding.grip_length_mm)


def _plate(held: Held) -> float:
    """Driven by the plate at the headstock, from the hole of the ring to the edge of the plate."""
    return _faces(held, PLATE_FACES, hole_end_mm=held.ring.low_z_mm, outer_mm=held.seat_mm)


def _spigot(held: Held) -> float:
    """Driven by shoulder and washer, reckoned on what the washer covers: it is the smaller of the two."""
    return _faces(held, SPIGOT_FACES, hole_end_mm=held.ring.high_z_mm, outer_mm=cover_radius_mm(held.holding))


def _faces(held: Held, faces: int, *, hole_end_mm: float, outer_mm: float) -> float:
    hole = held.ring.inner_radii_mm(hole_end_mm, hole_end_mm)
    if hole is None or outer_mm <= 0:
        return 0.0
    return faces_torque_nm(held.means.force_n, faces=faces, inner_mm=min(hole[1], outer_mm), outer_mm=outer_mm)


_TORQUES: dict[str, Callable[[Held], float]] = {
    "soft-jaws": _jaws,
    "pot": _jaws,
    "collet": _collet,
    "expanding-mandrel": _mandrel,
    "glue-arbor": _bond,
    "plate-and-tailstock": _plate,
    "step-spigot": _spigot,
}
