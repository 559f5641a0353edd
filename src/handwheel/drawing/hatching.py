"""Lines of a hatch, cut off exactly where the region ends, so that every renderer shows them alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, cos, floor, radians, sin

from handwheel.drawing.model import Hatch, Line, Outline, Pen, Spot, flattened

CHORD_ERROR_MM = 0.02
"""How far a chord may stray from an arc on paper: far below the width of a line. [mm]"""
SHORTEST_MM = 1e-6
SQUARE_DEG = 90.0


def hatch_lines(outlines: Sequence[Outline], hatch: Hatch) -> tuple[Line, ...]:
    """Lines of a hatch inside an odd number of outlines, all in mm of paper.

    The lines count from the paper's corner, so that neighbours hatched alike run on into each other.
    """
    rings = [flattened(outline, chord_error_mm=CHORD_ERROR_MM) for outline in outlines]
    angles = (hatch.angle_deg, hatch.angle_deg + SQUARE_DEG) if hatch.crossed else (hatch.angle_deg,)
    return tuple(line for angle in angles for line in _parallels(rings, angle, hatch.spacing_mm))


def _parallels(rings: Sequence[Sequence[Spot]], angle_deg: float, spacing_mm: float) -> Iterator[Line]:
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    turned = [[Spot(p.x_mm * c + p.y_mm * s, -p.x_mm * s + p.y_mm * c) for p in ring] for ring in rings]
    heights = [spot.y_mm for ring in turned for spot in ring]
    if not heights:
        return
    for number in range(ceil(min(heights) / spacing_mm), floor(max(heights) / spacing_mm) + 1):
        y = number * spacing_mm
        hits = sorted(_hits(turned, y))
        for start, end in zip(hits[::2], hits[1::2], strict=False):
            if end - start > SHORTEST_MM:
                yield Line(
                    start=Spot(start * c - y * s, start * s + y * c),
                    end=Spot(end * c - y * s, end * s + y * c),
                    pen=Pen.THIN,
                )


def _hits(rings: Sequence[Sequence[Spot]], y: float) -> Iterator[float]:
    """Where a level line crosses the outlines; an end that lies on it counts as above."""
    for ring in rings:
        for first, second in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (first.y_mm < y) != (second.y_mm < y):
                share = (y - first.y_mm) / (second.y_mm - first.y_mm)
                yield first.x_mm + share * (second.x_mm - first.x_mm)
