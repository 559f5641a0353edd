"""Which sweeps of tools bite which regions, each pair worked out once.

Variants of one job differ in a drill or a holding: most of their tools run where they ran before, past the same metal.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from handwheel.domain.contour import Point
from handwheel.domain.shop import Tool
from handwheel.geometry.region import Region, as_bytes, groups_that_bite, turned_round_all
from handwheel.geometry.sweep import swept_parts
from handwheel.geometry.tool_shapes import silhouette

FIRST_ROOM = 64
"""Rows and columns that the table of answers begins with."""
_UNKNOWN, _CLEAR, _BITES = -1, 0, 1


class Sweep(NamedTuple):
    """A tool run along a path; in the part frame, if the width of a ring held by its front is given. [mm]"""

    tool: Tool
    path: tuple[Point, ...]
    turned_width_mm: float | None = None

    def parts(self) -> tuple[Region, ...]:
        """Convex regions that together are what the tool sweeps."""
        found = swept_parts(silhouette(self.tool), self.path)
        return tuple(found if self.turned_width_mm is None else turned_round_all(found, self.turned_width_mm))


class KnownBites:
    """Answers so far: a row for each sweep, a column for each region, known by its exact outline."""

    def __init__(self) -> None:
        self._rows: dict[Sweep, int] = {}
        self._parts: list[tuple[Region, ...]] = []
        self._columns: dict[bytes, int] = {}
        self._regions: list[Region] = []
        self._answers = np.full((FIRST_ROOM, FIRST_ROOM), _UNKNOWN, dtype=np.int8)

    def bitten(
        self, sweeps: Sequence[Sweep], regions: Sequence[Region], asked: npt.NDArray[np.bool_]
    ) -> npt.NDArray[np.bool_]:
        """Whether each of n sweeps overlaps each of m regions by more than a touch, shape (n, m).

        Only pairs ``asked`` for, shape (n, m), are looked at; of the others the answer is no.
        """
        if not sweeps or not regions:
            return np.zeros((len(sweeps), len(regions)), dtype=bool)
        rows = np.array([self._row(sweep) for sweep in sweeps])
        columns = np.array([self._column(*pair) for pair in zip(as_bytes(regions), regions, strict=True)])
        self._make_room()
        place = np.ix_(rows, columns)
        lacking_rows, lacking_columns = np.nonzero(asked & (self._answers[place] == _UNKNOWN))
        if len(lacking_rows):
            self._work_out(rows[lacking_rows], columns[lacking_columns])
        found: npt.NDArray[np.bool_] = asked & (self._answers[place] == _BITES)
        return found

    def _row(self, sweep: Sweep) -> int:
        row = self._rows.setdefault(sweep, len(self._rows))
        if row == len(self._parts):
            self._parts.append(sweep.parts())
        return row

    def _column(self, outline: bytes, region: Region) -> int:
        column = self._columns.setdefault(outline, len(self._columns))
        if column == len(self._regions):
            self._regions.append(region)
        return column

    def _make_room(self) -> None:
        """Enlarge the table, where a row or column has no place in it, to twice what is needed."""
        (rows, columns), known = self._answers.shape, self._answers
        need = (len(self._parts), len(self._regions))
        if need[0] <= rows and need[1] <= columns:
            return
        self._answers = np.full((max(rows, 2 * need[0]), max(columns, 2 * need[1])), _UNKNOWN, dtype=np.int8)
        self._answers[:rows, :columns] = known

    def _work_out(self, rows: npt.NDArray[np.int_], columns: npt.NDArray[np.int_]) -> None:
        """Fill in the answers of some pairs: n rows with as many columns, a pair more than once if need be."""
        own_rows, r = np.unique(rows, return_inverse=True)
        own_columns, c = np.unique(columns, return_inverse=True)
        asked = np.zeros((len(own_rows), len(own_columns)), dtype=bool)
        asked[r, c] = True
        found = groups_that_bite([self._parts[i] for i in own_rows], [self._regions[i] for i in own_columns], asked)
        self._answers[rows, columns] = np.where(found[r, c], _BITES, _CLEAR)
