"""Whether a ring fits what is to hold it: made ready, range, seat, grip, what presses on the face."""

from __future__ import annotations

from handwheel.check.holding_bodies import cover_radius_mm, seat_radius_mm
from handwheel.check.holding_rules import HOLDING_RULES, By, HoldingRule
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.section import Section
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding

AGREE_MM = 0.01
"""How far two figures of one place on the sheet may differ."""
SEAT_MM = 0.1
"""How far the gripped diameter may lie from the ring's own: soft jaws and mandrels are cut to measure."""
BEARS_MM = 0.2
"""Narrowest ring of face that a seat, shoulder or washer must bear on."""
COLLET_OPENS_MM = 0.02
"""How far above its own size a collet still takes a ring."""


def check_fit(scene: Scene, holding: Holding, means: HoldingMeans, ring: Section) -> None:
    """Refuse a holding that is not what the shop has, was not made ready, or does not fit the ring."""
    rule = HOLDING_RULES[holding.kind]
    if holding.kind != means.kind:
        _misfit(scene, f"{means.name} is a {means.kind}, not a {holding.kind}; name the right one")
    if holding.turned is (rule.by is By.NOTHING):
        _misfit(scene, f"a {holding.kind} {'turns' if not holding.turned else 'does not turn'} the ring; correct it")
    if not holding.turned:
        return
    _check_ready(scene, holding, rule)
    _check_range(scene, holding, means, rule, ring)
    if rule.by is By.OUTSIDE:
        seat = holding.jaw_face_mm - holding.grip_length_mm
        _check_seat(scene, holding, ring.outer_dia_mm(seat, holding.jaw_face_mm), ring.low_z_mm, seat)
    elif rule.by is By.HOLE:
        hole = ring.inner_dia_mm(holding.jaw_face_mm, holding.jaw_face_mm + holding.grip_length_mm)
        _check_seat(scene, holding, hole, ring.low_z_mm, holding.jaw_face_mm)
    else:
        _check_end(scene, ring.low_z_mm, holding.jaw_face_mm)
    _check_bearing(scene, holding, means, rule, ring)


def _misfit(scene: Scene, text: str) -> None:
    scene.refuse(RefusalCode.HOLDING_DOES_NOT_FIT, text)


def _check_ready(scene: Scene, holding: Holding, rule: HoldingRule) -> None:
    if rule.ready is not None and scene.machine.ready is not rule.ready:
        scene.refuse(
            RefusalCode.HOLDING_NOT_READY,
            f"gripping in {holding.id!r} before it was made ready for this ring ({rule.ready.value}); do that first",
        )


def _check_range(scene: Scene, holding: Holding, means: HoldingMeans, rule: HoldingRule, ring: Section) -> None:
    dia = 2.0 * ring.box[3] if rule.by is By.FACES else holding.grip_dia_mm
    if means.kind == "collet":
        if not any(size - means.closes_mm <= dia <= size + COLLET_OPENS_MM for size in means.sizes_mm):
            sizes = ", ".join(f"{size:g} mm" for size in means.sizes_mm)
            _misfit(scene, f"no collet of {means.name} closes on {dia:g} mm: it has {sizes}; take another holding")
    elif not means.low_dia_mm <= dia <= means.high_dia_mm:
        _misfit(scene, f"{means.name} takes {means.low_dia_mm:g} to {means.high_dia_mm:g} mm, not {dia:g} mm")
    reaches = rule.by is By.OUTSIDE or means.kind == "expanding-mandrel"
    if reaches and holding.grip_length_mm > means.grip_mm + AGREE_MM:
        _misfit(
            scene,
            f"{means.name} reaches {means.grip_mm:g} mm along the ring, not {holding.grip_length_mm:g} mm; grip less",
        )


def _check_end(scene: Scene, ring_end_mm: float, seat_mm: float) -> None:
    if not abs(ring_end_mm - seat_mm) <= AGREE_MM:
        _misfit(
            scene,
            f"the ring ends at z {ring_end_mm:.3f} mm and its seat is at z {seat_mm:.3f} mm: it does not sit there; "
            "correct the jaw face or the grip",
        )


def _check_seat(scene: Scene, holding: Holding, ring_dia_mm: float, ring_end_mm: float, seat_mm: float) -> None:
    _check_end(scene, ring_end_mm, seat_mm)
    if not abs(ring_dia_mm - holding.grip_dia_mm) <= SEAT_MM or holding.grip_length_mm <= 0:
        _misfit(
            scene,
            f"gripped on {holding.grip_dia_mm:.3f} mm over {holding.grip_length_mm:g} mm, where the ring has "
            f"{ring_dia_mm:.3f} mm: bore the jaws or turn the mandrel to the ring",
        )


def _check_bearing(scene: Scene, holding: Holding, means: HoldingMeans, rule: HoldingRule, ring: Section) -> None:
    """Refuse a seat or washer that misses the face it should bear on, or stands out over the ring."""
    seat = seat_radius_mm(holding, means, rule, ring)
    behind = _face_mm(ring, ring.low_z_mm)
    if behind is not None:
        bears = behind[1] - seat if rule.by is By.OUTSIDE else min(seat, behind[1]) - behind[0]
        over = rule.by is not By.OUTSIDE and seat > ring.box[3] + AGREE_MM
        if bears < BEARS_MM or over:
            _misfit(
                scene,
                f"the seat or shoulder behind the ring has {2 * seat:.2f} mm diameter and the face there runs from "
                f"{2 * behind[0]:.2f} to {2 * behind[1]:.2f} mm: it must bear on it and not stand out over it",
            )
    if not rule.covers_face:
        return
    cover, front = cover_radius_mm(holding), _face_mm(ring, ring.high_z_mm)
    if front is not None and not front[0] + BEARS_MM <= cover <= front[1] + AGREE_MM:
        _misfit(
            scene,
            f"the washer or plate on the face has {2 * cover:.2f} mm diameter and the face runs from "
            f"{2 * front[0]:.2f} to {2 * front[1]:.2f} mm: it must press on it and not stand out over it",
        )


def _face_mm(ring: Section, z_mm: float) -> tuple[float, float] | None:
    """Inner and outer radius of the ring close to one of its ends. [mm]"""
    inward = AGREE_MM if z_mm < (ring.low_z_mm + ring.high_z_mm) / 2.0 else -AGREE_MM
    inner, outer = ring.inner_radii_mm(*_span(z_mm, inward)), ring.outer_radii_mm(*_span(z_mm, inward))
    return None if inner is None or outer is None else (inner[1], outer[0])


def _span(z_mm: float, inward_mm: float) -> tuple[float, float]:
    return (z_mm, z_mm + inward_mm) if inward_mm > 0 else (z_mm + inward_mm, z_mm)
