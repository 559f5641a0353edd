"""The work in the simple replay: a bar, what was taken off it, and the radii left at any z.

At each z the metal is some stretches of radius, each from ``inner`` to ``outer``. What a cut covers is taken off them
in the order of the acts: off the inside or the outside of a stretch, or out of its middle, which leaves two.

Metal that a cut has set free stays where it was, since the simple replay knows no weight and no chuck: it can be
touched and cut. But a ring may not come out in pieces: see `in_one_piece`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from tests.replay.simple_shapes import Floats, Outline, Place, swept, turned_round

Flags = npt.NDArray[np.bool_]

STEP_MM = 0.005
BESIDE_MM = 1e-9
"""How close beside a corner the radii are read, so that a step in them is seen from both sides."""
OVERLAP_MM = 1e-8
"""Overlap in radius from which the tool touches."""
MARCH_MM = 0.2
FAR_MM = 40.0
"""A touch further off than this is none."""
SLIVER_MM = 1e-6
LEAST_PIECE_MM2 = 1e-3
"""Metal that hangs on to nothing is a piece from this area of the half section on; less is swarf. Our choice."""

Row = tuple[Floats, Floats]
"""Inner and outer radius over z of one stretch; no metal where the outer is not the larger. [mm]"""


class ReplayError(Exception):
    """The sheet asks for something that cannot be done: a zero that is not there, nothing to touch, a wall uncut."""


class NothingTouchedError(ReplayError):
    """The tool goes its way and meets no metal."""


class Profile(Struct, frozen=True, kw_only=True):
    """Radii left, sampled: each of k rows has metal at z from ``inner`` to ``outer`` where ``outer`` > ``inner``. [mm]

    ``z`` rises, shape (n,); ``inner`` and ``outer`` are (k, n). Rows do not overlap, and come in no order. A row steps
    beside corners of the work alone, so that elsewhere it may be read straight between two samples.
    """

    z: Floats
    inner: Floats
    outer: Floats

    @property
    def solid(self) -> Flags:
        """Where each row has metal, shape (k, n)."""
        return self.outer > self.inner

    @property
    def outside(self) -> Floats:
        """Outermost radius at each z, 0 where there is no metal. [mm]"""
        found: Floats = np.where(self.solid, self.outer, 0.0).max(axis=0)
        return found

    @property
    def bore(self) -> Floats:
        """Innermost radius at each z, infinite where there is no metal. [mm]"""
        found: Floats = np.where(self.solid, self.inner, np.inf).min(axis=0)
        return found


class Work(Struct, frozen=True, kw_only=True):
    """Metal between two faces, with all that was cut from it, in the order of the cuts. [mm]"""

    low_z: float
    high_z: float
    radius: float
    taken: tuple[Outline, ...] = ()

    def without(self, outline: Outline) -> Work:
        """What is left after a cut."""
        return replace(self, taken=(*self.taken, outline))

    def rows(self, z: Floats) -> list[Row]:
        """Stretches of metal at each z (rising, shape (n,)), one at least. [mm]"""
        rows = [(np.zeros_like(z), np.where((z > self.low_z) & (z < self.high_z), self.radius, 0.0))]
        for cut in self.taken:
            first, last = np.searchsorted(z, cut.left, "right"), np.searchsorted(z, cut.right, "left")
            if first < last:
                _take(cut, z[first:last], rows, slice(first, last))
        return rows

    def corners(self) -> Floats:
        """Every z at which the radii can step or bend. [mm]"""
        return np.concatenate([np.array([self.low_z, self.high_z]), *(cut.corners for cut in self.taken)])

    def profile(self, low_z: float, high_z: float, *, also: Floats | None = None, step_mm: float = STEP_MM) -> Profile:
        """Radii over a range of z: in even steps, and close beside every corner."""
        count = max(2, int((high_z - low_z) / step_mm) + 1)
        corners = self.corners()
        wanted = [np.linspace(low_z, high_z, count), corners - BESIDE_MM, corners + BESIDE_MM]
        if also is not None:
            wanted += [also - BESIDE_MM, also, also + BESIDE_MM]
        z = np.unique(np.concatenate(wanted))
        z = z[(z >= low_z) & (z <= high_z)]
        rows = self.rows(z)
        return Profile(z=z, inner=np.stack([row[0] for row in rows]), outer=np.stack([row[1] for row in rows]))

    def turned(self, width_mm: float) -> Work:
        """The work end for end: z → -(z + width)."""
        return Work(
            low_z=-(self.high_z + width_mm),
            high_z=-(self.low_z + width_mm),
            radius=self.radius,
            taken=tuple(turned_round(cut, width_mm) for cut in self.taken),
        )

    def metal_at(self, z: float) -> tuple[Place, ...]:
        """Inner and outer radius of each stretch of metal at one z, from the axis out. [mm]"""
        found = [(float(inner[0]), float(outer[0])) for inner, outer in self.rows(np.array([z]))]
        return tuple(sorted((inner, outer) for inner, outer in found if outer > inner + SLIVER_MM))

    def end_mm(self, radius_mm: float, *, left: bool) -> float:
        """Z of the leftmost or rightmost metal at a radius, to a nanometre. [mm]"""
        profile = self.profile(self.low_z - 1.0, self.high_z + 1.0)
        solid = np.any((profile.inner < radius_mm) & (radius_mm < profile.outer), axis=0)
        if not solid.any():
            message = f"no metal at radius {radius_mm:.3f} mm"
            raise ReplayError(message)
        index = int(np.argmax(solid)) if left else len(solid) - 1 - int(np.argmax(solid[::-1]))
        within, without = float(profile.z[index]), float(profile.z[index - 1 if left else index + 1])
        while abs(within - without) > BESIDE_MM:
            middle = (within + without) / 2.0
            if any(inner < radius_mm < outer for inner, outer in self.metal_at(middle)):
                within = middle
            else:
                without = middle
        return within


def highest_mm(work: Work) -> float:
    """Z of the rightmost metal at any radius, to a nanometre: on that it rests when it lies on a plate. [mm]"""
    profile = work.profile(work.low_z - 1.0, work.high_z + 1.0)
    solid = np.any(profile.outer > profile.inner + SLIVER_MM, axis=0)
    if not solid.any():
        message = "no metal is left"
        raise ReplayError(message)
    index = len(solid) - 1 - int(np.argmax(solid[::-1]))
    within, without = float(profile.z[index]), float(profile.z[index + 1])
    while abs(within - without) > BESIDE_MM:
        middle = (within + without) / 2.0
        within, without = (middle, without) if work.metal_at(middle) else (within, middle)
    return within


def _take(cut: Outline, z: Floats, rows: list[Row], span: slice) -> None:
    """Take a cut off all rows over its own span of z, in place; what it leaves above a middle gets a row of its own."""
    low, high = cut.low_at(z), cut.high_at(z)
    for row in tuple(rows):
        inner, outer = row[0][span], row[1][span]
        below, above = low > inner + SLIVER_MM, high < outer - SLIVER_MM
        if (below & above & (high > low)).any():
            upper_inner, upper_outer = _free_row(rows, span)
            upper_inner[span] = np.maximum(high, np.where(above, inner, outer))
            upper_outer[span] = outer
            np.minimum(low, np.where(below, outer, inner), out=outer)
        else:
            np.minimum(outer, low, out=outer, where=~above)
            np.maximum(inner, high, out=inner, where=~below)


def _free_row(rows: list[Row], span: slice) -> Row:
    """A row without metal over a span of z: one of those there are, or a new one, which joins them."""
    for row in rows:
        if not (row[1][span] > row[0][span]).any():
            return row
    rows.append((np.zeros_like(rows[0][0]), np.zeros_like(rows[0][0])))
    return rows[-1]


def overlaps(tool: Outline, at: Place, profile: Profile, *, deeper_than_mm: float = OVERLAP_MM) -> bool:
    """Whether the tool, its reference at a place, is in the metal, measured across the axis."""
    corners = tool.corners + at[0]
    local = np.concatenate((profile.z, corners)) - at[0]
    within = (local > tool.left) & (local < tool.right)
    low, high = tool.low_at(local) + at[1], tool.high_at(local) + at[1]
    for row_inner, row_outer in zip(profile.inner, profile.outer, strict=True):
        inner = np.concatenate((row_inner, np.interp(corners, profile.z, row_inner)))
        outer = np.concatenate((row_outer, np.interp(corners, profile.z, row_outer)))
        shared = np.minimum(high, outer) - np.maximum(low, inner)
        if np.any(within & (outer > inner) & (shared > deeper_than_mm)):
            return True
    return False


def way_to_contact_mm(work: Work, tool: Outline, start: Place, ahead: Place) -> float:
    """How far the tool goes in a direction until it touches. [mm]

    Raises
    ------
    ReplayError
        If it is in the metal already or meets none within `FAR_MM`.
    """
    reach = swept(tool, start, (start[0] + FAR_MM * ahead[0], start[1] + FAR_MM * ahead[1]))
    low, high = max(reach.left, work.low_z - 0.1), min(reach.right, work.high_z + 0.1)
    if high <= low:
        message = "the tool passes the end of the work without touching it"
        raise NothingTouchedError(message)
    profile = work.profile(low, high, also=tool.corners + start[0])

    def inside(way: float) -> bool:
        return overlaps(tool, (start[0] + way * ahead[0], start[1] + way * ahead[1]), profile)

    if inside(0.0):
        message = "the tool stands in the metal before it touches"
        raise ReplayError(message)
    near, far = 0.0, MARCH_MM
    while not inside(far):
        near, far = far, far + MARCH_MM
        if far > FAR_MM:
            message = f"nothing to touch within {FAR_MM:g} mm"
            raise NothingTouchedError(message)
    while far - near > BESIDE_MM:
        middle = (near + far) / 2.0
        near, far = (near, middle) if inside(middle) else (middle, far)
    return near


def first_contact_mm(work: Work, tool: Sequence[Outline], start: Place, ahead: Place) -> float:
    """How far a tool in pieces goes in a direction until one of them touches. [mm]

    Raises
    ------
    ReplayError
        If one is in the metal already, or none meets any.
    """
    found, passed = [], NothingTouchedError("the tool has no pieces")
    for piece in tool:
        try:
            found.append(way_to_contact_mm(work, piece, start, ahead))
        except NothingTouchedError as error:
            passed = error
    if not found:
        raise passed
    return min(found)


def cut_off_left(work: Work, at_z: float) -> Work:
    """What hangs on to the right of a z where the wall is cut through.

    Raises
    ------
    ReplayError
        If there is still metal, at any radius, just left of it; or if what is right of it does not hang together.
    """
    if work.metal_at(at_z - 1e-6):
        message = f"the wall is not cut through at z {at_z:.3f} mm"
        raise ReplayError(message)
    return in_one_piece(replace(work, low_z=at_z))


def in_one_piece(work: Work) -> Work:
    """The work, if all of it hangs together.

    Raises
    ------
    ReplayError
        If it is in more than one piece: a loose ring or sliver would fly off, and no sheet may leave one.
    """
    areas = [area for area in areas_mm2(work.profile(work.low_z, work.high_z)) if area > LEAST_PIECE_MM2]
    if len(areas) > 1:
        message = f"{len(areas)} pieces that do not hang together, of {', '.join(f'{area:.3f}' for area in areas)} mm²"
        raise ReplayError(message)
    return work


def areas_mm2(profile: Profile) -> list[float]:
    """Areas in the half section of all that hangs together, the largest first; next to nothing included. [mm²]

    A row is followed from sample to sample for as long as it goes on; such runs hang together where one shares radii
    with another at the next sample.
    """
    z, inner, outer = profile.z, profile.inner, profile.outer
    solid = outer > inner + SLIVER_MM
    if not solid.any():
        return []
    goes_on = np.zeros_like(solid)
    goes_on[:, 1:] = solid[:, 1:] & _shared(solid, inner, outer, range(len(inner)), range(len(inner)))
    run = np.cumsum(solid & ~goes_on).reshape(solid.shape) - 1
    piece = list(range(int(run.max()) + 1))
    for one, other in permutations(range(len(inner)), 2):
        meets = _shared(solid, inner, outer, [one], [other])[0]
        for first, second in np.unique(np.stack((run[one, :-1][meets], run[other, 1:][meets])), axis=1).T:
            old, new = piece[first], piece[second]
            piece = [new if number == old else number for number in piece]
    widths = (np.diff(z, prepend=z[0]) + np.diff(z, append=z[-1])) / 2.0
    areas = np.bincount(run[solid], weights=(widths * (outer - inner))[solid], minlength=len(piece))
    return sorted((float(areas[np.array(piece) == number].sum()) for number in set(piece)), reverse=True)


def _shared(solid: Flags, inner: Floats, outer: Floats, ones: Sequence[int], others: Sequence[int]) -> Flags:
    """Where rows share radii with other rows at the next sample, shape (rows, n - 1)."""
    top = np.minimum(outer[ones, :-1], outer[others, 1:])
    bottom = np.maximum(inner[ones, :-1], inner[others, 1:])
    return solid[ones, :-1] & solid[others, 1:] & (top > bottom + SLIVER_MM)
