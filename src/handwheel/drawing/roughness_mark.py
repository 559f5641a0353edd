"""Marks of surface roughness: a tick with a long arm that touches the surface, the figure beside it.

The mark that asks for cut metal, from memory of ISO 21920-1 (before it ISO 1302).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from handwheel.domain.part import Part
from handwheel.drawing.model import SMALL_LETTER_MM, Item, Line, Spot, Text

SHORT_MM, LONG_MM = 2.5, 5.0
"""Height of the two arms on paper. [mm]"""
LEAN = 0.577
"""Lean of an arm as a share of its height: 60° from the surface."""
LEAST_MM = 3.0
"""A surface shorter than this on paper bears no mark; the notes say its roughness. [mm]"""
ALONG_SHARE = 0.3
"""Where on a surface the mark stands, as a share of its length from the back."""


def roughness_marks(part: Part, scale: float) -> Iterator[Item]:
    """A mark on each surface along the axis whose roughness is asked for; bores bear it on their lower wall."""
    for contour, sign in ((part.outer, 1.0), (part.inner, -1.0)):
        for segment in contour.segments:
            length = segment.start.z_mm - segment.end.z_mm
            if segment.finish_ra_um is None or length * scale < LEAST_MM:
                continue
            share = (segment.start.radius_mm - segment.end.radius_mm) / length
            z = segment.end.z_mm + ALONG_SHARE * length
            radius = segment.end.radius_mm + share * ALONG_SHARE * length
            yield from roughness_mark(Spot(z, sign * radius), f"Ra {segment.finish_ra_um:g}", scale)


def roughness_mark(tip: Spot, words: str, scale: float) -> Iterator[Item]:
    """Mark that touches a surface below it at a place."""

    def at(right_mm: float, up_mm: float) -> Spot:
        return Spot(tip.x_mm + right_mm / scale, tip.y_mm + up_mm / scale)

    short, long = (at(-LEAN * SHORT_MM, SHORT_MM), at(LEAN * LONG_MM, LONG_MM))
    across = at(LEAN * SHORT_MM, SHORT_MM)
    for start, end in (*pairwise((short, tip, long)), (short, across)):
        yield Line(start=start, end=end, layer="roughness")
    yield Text(
        at=at(LEAN * LONG_MM + 0.8, LONG_MM - SMALL_LETTER_MM), text=words, height_mm=SMALL_LETTER_MM, layer="roughness"
    )
