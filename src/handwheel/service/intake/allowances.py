"""What later work on one surface asks of its neighbours: longer legs of the edges, deeper steps behind a face."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.errors import ImpossiblePartError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    Aspect,
    SizedFeature,
)
from handwheel.geometry.rounds import least_radius_kept
from handwheel.service.intake.edges import grown
from handwheel.service.intake.finishing import Amount, Place, losing_more
from handwheel.service.intake.ring_shape import End, RingShape, RingStep, RoundSurface

_BESIDE = {
    FRONT_OUTER_EDGE: (OUTSIDE, End.FRONT),
    FRONT_INNER_EDGE: (BORE, End.FRONT),
    BACK_OUTER_EDGE: (OUTSIDE, End.BACK),
    BACK_INNER_EDGE: (BORE, End.BACK),
}
"""Cylinder and face beside each edge."""
_FACES = {End.FRONT: Place.FRONT, End.BACK: Place.BACK}


def with_allowances(ring: RingShape, off_width: tuple[Amount, ...]) -> RingShape:
    """The ring with edges and steps cut so that they come out as drawn once later work has taken its metal."""
    off_face = {
        end: sum((amount.off_face(place) for amount in off_width), Fraction(0)) for end, place in _FACES.items()
    }
    edges = {
        surface: grown(edge, axial=off_face[end], radial=_at_face(ring, cylinder, end).later_side)
        for surface, edge in ring.edges.items()
        for cylinder, end in (_BESIDE[surface],)
    }
    for feature in ring.other_edges:
        if feature.aspect is Aspect.RADIUS:
            cylinder, end = _BESIDE[feature.surface]
            _require_round(feature, along=off_face[end], across=_at_face(ring, cylinder, end).later_side)
    return replace(
        ring,
        edges=edges,
        outside_steps=tuple(_deeper(step, off_face[step.end]) for step in ring.outside_steps),
        bore_steps=tuple(_deeper(step, off_face[step.end]) for step in ring.bore_steps),
    )


def _require_round(feature: SizedFeature, *, along: Fraction, across: Fraction) -> None:
    """Refuse a round beside which later work takes so much that more of the corner stays than its limits allow. [mm]"""
    target, lower = (float(radius) for radius in (feature.size.cut_target, feature.size.cut_lower))
    if not least_radius_kept(target, lower, short_along_mm=float(along), short_across_mm=float(across)):
        msg = (
            f"surface {feature.surface!r}: it is rounded, and later work takes {float(along):g} mm off its face and "
            f"{float(across):g} mm off a side beside it: what is left of the round would be too small; leave the edge "
            "sharp and round it after that work, or draw a bevel, which is cut larger by as much"
        )
        raise ImpossiblePartError(msg)


def _at_face(ring: RingShape, surface: str, end: End) -> RoundSurface:
    """Cylinder that meets the face of an end: the first step there, or the bore or outside itself."""
    steps = ring.steps(surface, end)
    if steps:
        return steps[0].round
    return ring.outside if surface == OUTSIDE else ring.bore


def _deeper(step: RingStep, off_face: Fraction) -> RingStep:
    if not off_face:
        return step
    return replace(step, depth=losing_more(step.depth, -off_face, "later work on the face makes it shallower"))
