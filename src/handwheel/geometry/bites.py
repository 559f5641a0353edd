"""Which sweeps of tools bite which regions, each pair worked out once.

Variants of one job differ in a drill or a holding: most of their tools run where they ran before, past the same metal.
Regions are told by their places in a list, sets of them are bit masks, as those of the steps are in the search.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from handwheel.domain.contour import Point
from handwheel.domain.tools import Tool
from handwheel.geometry.region import Box, Region, bites, box_round, boxes_bite, turned_round
from handwheel.geometry.sweep import swept_parts
from handwheel.geometry.tool_shapes import silhouette


class Sweep(NamedTuple):
    """A tool run along a path; in the part frame, if the width of a ring held by its front is given. [mm]"""

    tool: Tool
    path: tuple[Point, ...]
    turned_width_mm: float | None = None

    def parts(self) -> tuple[Region, ...]:
        """Convex regions that together are what the tool sweeps."""
        found = swept_parts(silhouette(self.tool), self.path)
        return tuple(
            found if (width := self.turned_width_mm) is None else (turned_round(part, width) for part in found)
        )


class KnownBites:
    """Answers so far, for each sweep and each region, known by its exact outline."""

    def __init__(self) -> None:
        """Know nothing yet."""
        self._known: dict[Sweep, tuple[tuple[Region, ...], Box, dict[Region, bool]]] = {}

    def bitten(self, sweeps: Sequence[Sweep], regions: Sequence[Region], asked: Sequence[int]) -> list[int]:
        """Which of some regions each sweep overlaps by more than a touch, as a mask for each sweep.

        ``asked`` holds for each sweep the mask of the regions that are looked at; of the others the answer is no.
        """
        return [self._row(sweep, regions, mask) for sweep, mask in zip(sweeps, asked, strict=True)]

    def _row(self, sweep: Sweep, regions: Sequence[Region], asked: int) -> int:
        if sweep not in self._known:
            parts = sweep.parts()
            self._known[sweep] = (parts, box_round(part.box for part in parts), {})
        parts, box, answers = self._known[sweep]
        found = 0
        for place in places(asked):
            region = regions[place]
            if not boxes_bite(box, region.box):
                continue
            answer = answers.get(region)
            if answer is None:
                answer = answers[region] = any(bites(part, region) for part in parts)
            found |= answer << place
        return found


def places(mask: int) -> Iterator[int]:
    """Places of the bits of a mask, the lowest first.

    Examples
    --------
    >>> list(places(0b1010))
    [1, 3]
    """
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest
