"""Feeds by hand that drills bear, by their diameter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.domain.hole_tools import Drill, DrillKind

if TYPE_CHECKING:
    from handwheel.data.materials import Material

FEEDS_MM_REV = ((3.0, 0.025, 0.08), (6.0, 0.05, 0.15), (13.0, 0.10, 0.25), (25.0, 0.18, 0.38))
"""Up to which diameter [mm], feed low and high [mm/rev], for HSS drills; from memory of Machinery's Handbook."""
CENTRE_FEED = (0.01, 0.02)
"""Feed of a centre drill as a share of its pilot diameter; common practice, no source."""


def feed_band(drill: Drill, material: Material) -> tuple[float, float]:
    """Hand feed of a drill, never below the metal's least feed. [mm/rev]"""
    dia = float(drill.dia_mm)
    if drill.kind is DrillKind.CENTRE:
        return CENTRE_FEED[0] * dia, CENTRE_FEED[1] * dia
    return drill_feeds(dia, material)


def drill_feeds(dia_mm: float, material: Material) -> tuple[float, float]:
    """Feeds of a twist drill of some diameter, never below the metal's least feed. [mm/rev]

    Examples
    --------
    >>> from handwheel.data.materials import material
    >>> drill_feeds(8.0, material("st_c45"))
    (0.1, 0.25)
    """
    low, high = next(((lo, hi) for top, lo, hi in FEEDS_MM_REV if dia_mm <= top), FEEDS_MM_REV[-1][1:])
    return max(low, material.range("min_feed").most), high
