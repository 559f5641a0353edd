"""Rounds that do not quite reach the face and the cylinder beside them."""

from __future__ import annotations

from math import cos, hypot, pi, sin

HAIR_MM = 0.004
"""What may stay beyond the smallest round: no radius gauge shows it; common practice, no source."""
_PLACES = 64
"""Places along the edge at which it is compared with the smallest round that is allowed."""


def least_radius_kept(radius_mm: float, least_mm: float, *, short_along_mm: float, short_across_mm: float) -> bool:
    """Whether a quarter circle that ends short of face and cylinder takes all that the smallest round allowed takes.

    Either may be short of it: a hollow set by whole marks never digs into face or cylinder, and later work there takes
    some off. What stays must lie within the round of the smallest radius that is tangent to both, but for a hair.

    Examples
    --------
    >>> least_radius_kept(0.5, 0.3, short_along_mm=0.02, short_across_mm=0.02)
    True
    >>> least_radius_kept(0.5, 0.45, short_along_mm=0.05, short_across_mm=0.05)
    False
    """
    centre_along, centre_across = radius_mm - short_along_mm, radius_mm - short_across_mm
    for step in range(_PLACES + 1):
        angle = pi / 2.0 * step / _PLACES
        along, across = least_mm * (1.0 - cos(angle)), least_mm * (1.0 - sin(angle))
        beside = hypot(max(0.0, centre_along - along), max(0.0, centre_across - across))
        if min(radius_mm - beside, along, across) > HAIR_MM:
            return False
    return True
