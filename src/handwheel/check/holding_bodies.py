"""Bodies of a second holding, worked out anew from the shop, the ring and the numbers of the holding."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from handwheel.check.holding_rules import HOLDING_RULES, By, HoldingRule
from handwheel.check.section import Section
from handwheel.domain.chucks import Chuck, HoldingMeans
from handwheel.domain.holding import Holding
from handwheel.geometry.bodies import (
    Outline,
    collet_bodies,
    mandrel_bodies,
    plate_and_tailstock_bodies,
    pot_bodies,
    soft_jaw_bodies,
    step_spigot_bodies,
)

POT_WALL_MM = 8.0
"""Wall of a pot whose outside diameter the shop does not state."""
CENTRE_RADIUS_MM = 15.0
"""Radius of the body of a tailstock centre that the shop does not describe."""


class Held(Struct, frozen=True, kw_only=True):
    """A ring in a holding of some kind: what the bodies are worked out from."""

    chuck: Chuck
    holding: Holding
    means: HoldingMeans
    ring: Section

    @property
    def radius_mm(self) -> float:
        """Radius gripped. [mm]"""
        return self.holding.grip_dia_mm / 2.0

    @property
    def seat_mm(self) -> float:
        """Radius at which seat or shoulder ends. [mm]"""
        return seat_radius_mm(self.holding, self.means, HOLDING_RULES[self.holding.kind], self.ring)

    @property
    def nose_mm(self) -> float:
        """Z at which a spigot ends. [mm]"""
        return self.holding.jaw_face_mm + self.holding.grip_length_mm


def seat_radius_mm(holding: Holding, means: HoldingMeans, rule: HoldingRule, ring: Section) -> float:
    """Radius at which the seat (inward) or the shoulder (outward) behind the ring ends.

    The holding's own figure, else the step of the means from the gripped surface, else half-way across the wall. [mm]
    """
    if holding.seat_dia_mm > 0:
        return holding.seat_dia_mm / 2.0
    radius = holding.grip_dia_mm / 2.0
    if rule.by is By.OUTSIDE:
        return max(radius - means.step_mm if means.step_mm > 0 else (radius + ring.box[1]) / 2.0, 0.0)
    return radius + means.step_mm if means.step_mm > 0 else (radius + ring.box[3]) / 2.0


def cover_radius_mm(holding: Holding) -> float:
    """Radius of what presses on the face. [mm]"""
    return holding.cover_dia_mm / 2.0


def holding_bodies(held: Held) -> tuple[Outline, ...]:
    """What of a holding stands in the way, one side of the axis."""
    found = _BODIES.get(held.holding.kind)
    return () if found is None else found(held)


def _soft_jaws(held: Held) -> tuple[Outline, ...]:
    return soft_jaw_bodies(
        held.chuck,
        jaw_face_mm=held.holding.jaw_face_mm,
        grip_radius_mm=held.radius_mm,
        grip_length_mm=held.holding.grip_length_mm,
        seat_inner_radius_mm=held.seat_mm,
    )


def _pot(held: Held) -> tuple[Outline, ...]:
    return pot_bodies(
        held.chuck,
        jaw_face_mm=held.holding.jaw_face_mm,
        grip_radius_mm=held.radius_mm,
        grip_length_mm=held.holding.grip_length_mm,
        seat_inner_radius_mm=held.seat_mm,
        pot_radius_mm=held.means.body_dia_mm / 2.0 or held.radius_mm + POT_WALL_MM,
    )


def _collet(held: Held) -> tuple[Outline, ...]:
    nose = (held.means.body_dia_mm or held.chuck.body_dia_mm) / 2.0
    return collet_bodies(
        held.chuck,
        jaw_face_mm=held.holding.jaw_face_mm,
        grip_radius_mm=held.radius_mm,
        grip_length_mm=held.holding.grip_length_mm,
        seat_inner_radius_mm=held.seat_mm,
        nose_radius_mm=max(nose, held.radius_mm),
    )


def _mandrel(held: Held) -> tuple[Outline, ...]:
    return mandrel_bodies(
        held.chuck,
        nose_mm=held.nose_mm,
        shoulder_mm=held.holding.jaw_face_mm,
        spigot_radius_mm=held.radius_mm,
        shoulder_radius_mm=held.seat_mm,
    )


def _step_spigot(held: Held) -> tuple[Outline, ...]:
    return step_spigot_bodies(
        held.chuck,
        nose_mm=held.nose_mm,
        front_mm=held.ring.high_z_mm,
        shoulder_mm=held.holding.jaw_face_mm,
        spigot_radius_mm=held.radius_mm,
        shoulder_radius_mm=held.seat_mm,
        washer_radius_mm=cover_radius_mm(held.holding),
    )


def _plate_and_tailstock(held: Held) -> tuple[Outline, ...]:
    return plate_and_tailstock_bodies(
        held.chuck,
        front_mm=held.ring.high_z_mm,
        plate_mm=held.holding.jaw_face_mm,
        plate_radius_mm=held.seat_mm,
        disc_radius_mm=cover_radius_mm(held.holding),
        centre_radius_mm=held.means.body_dia_mm / 2.0 or CENTRE_RADIUS_MM,
    )


_BODIES: dict[str, Callable[[Held], tuple[Outline, ...]]] = {
    "soft-jaws": _soft_jaws,
    "pot": _pot,
    "collet": _collet,
    "stub-mandrel": _mandrel,
    "expanding-mandrel": _mandrel,
    "glue-arbor": _mandrel,
    "step-spigot": _step_spigot,
    "plate-and-tailstock": _plate_and_tailstock,
}
