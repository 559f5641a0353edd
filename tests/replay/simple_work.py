"""The work in the simple replay: a bar, what was taken off it, and the radii left at any z.

At each z the metal is one stretch of radius, from ``inner`` to ``outer``. What a cut covers is taken off its inside or
its outside, in the order of the acts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.replay.simple_shapes import Floats, Outline, Place, swept, turned_round

STEP_MM = 0.005
BESIDE_MM = 1e-9
"""How close beside a corner the radii are read, so that a step in them is seen from both sides."""
OVERLAP_MM = 1e-8
"""Overlap in radius from which the tool touches."""
MARCH_MM = 0.2
FAR_MM = 40.0
"""A touch further off than this is none."""
SLIVER_MM = 1e-6


class ReplayError(Exception):
    """The sheet asks for something that cannot be done: a zero that is not there, nothing to touch, a wall uncut."""


class BeyondSimpleError(Exception):
    """The work is no longer what the simple replay can describe; that says nothing about the sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """Radii left, sampled: metal at z from ``inner`` to ``outer`` where ``outer`` > ``inner``. [mm]"""

    z: Floats
    inner: Floats
    outer: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """Metal between two faces, with all that was cut from it, in the order of the cuts. [mm]"""

    low_z: float
    high_z: float
    radius: float
    taken: tuple[Outline, ...] = ()

    def without(self, outline: Outline) -> Work:
        """What is left after a cut."""
        return replace(self, taken=(*self.taken, outline))

    def radii(self, z: Floats) -> tuple[Floats, Floats]:
        """Inner and outer radius at each z (rising); no metal where the outer is not the larger. [mm]

        Raises
        ------
        BeyondSimpleError
            If a cut goes through the middle of a wall: then one stretch of radius says no longer what is left.
        """
        inner = np.zeros_like(z)
        outer = np.where((z > self.low_z) & (z < self.high_z), self.radius, 0.0)
        for cut in self.taken:
            first, last = np.searchsorted(z, cut.left, "right"), np.searchsorted(z, cut.right, "left")
            if first < last:
                _take(cut, z[first:last], inner[first:last], outer[first:last])
        return inner, outer

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
        inner, outer = self.radii(z)
        return Profile(z=z, inner=inner, outer=outer)

    def turned(self, width_mm: float) -> Work:
        """The work end for end: z → -(z + width)."""
        return Work(
            low_z=-(self.high_z + width_mm),
            high_z=-(self.low_z + width_mm),
            radius=self.radius,
            taken=tuple(turned_round(cut, width_mm) for cut in self.taken),
        )

    def metal_at(self, z: float) -> tuple[float, float] | None:
        """Inner and outer radius at one z, or ``None`` if there is no metal. [mm]"""
        inner, outer = self.radii(np.array([z]))
        return (float(inner[0]), float(outer[0])) if outer[0] > inner[0] + SLIVER_MM else None

    def end_mm(self, radius_mm: float, *, left: bool) -> float:
        """Z of the leftmost or rightmost metal at a radius, to a nanometre. [mm]"""
        profile = self.profile(self.low_z - 1.0, self.high_z + 1.0)
        solid = (profile.inner < radius_mm) & (radius_mm < profile.outer)
        if not solid.any():
            message = f"no metal at radius {radius_mm:.3f} mm"
            raise ReplayError(message)
        index = int(np.argmax(solid)) if left else len(solid) - 1 - int(np.argmax(solid[::-1]))
        within, without = float(profile.z[index]), float(profile.z[index - 1 if left else index + 1])
        while abs(within - without) > BESIDE_MM:
            middle = (within + without) / 2.0
            metal = self.metal_at(middle)
            if metal is not None and metal[0] < radius_mm < metal[1]:
                within = middle
            else:
                without = middle
        return within


def highest_mm(work: Work) -> float:
    """Z of the rightmost metal at any radius, to a nanometre: on that it rests when it lies on a plate. [mm]"""
    profile = work.profile(work.low_z - 1.0, work.high_z + 1.0)
    solid = profile.outer > profile.inner + SLIVER_MM
    if not solid.any():
        message = "no metal is left"
        raise ReplayError(message)
    index = len(solid) - 1 - int(np.argmax(solid[::-1]))
    within, without = float(profile.z[index]), float(profile.z[index + 1])
    while abs(within - without) > BESIDE_MM:
        middle = (within + without) / 2.0
        within, without = (within, middle) if work.metal_at(middle) is None else (middle, without)
    return within


def _take(cut: Outline, z: Floats, inner: Floats, outer: Floats) -> None:
    """Take a cut off the radii, in place."""
    low, high = cut.low_at(z), cut.high_at(z)
    from_outside, from_inside = high >= outer - SLIVER_MM, low <= inner + SLIVER_MM
    meets = (low < outer - SLIVER_MM) & (high > inner + SLIVER_MM) & (high > low)
    if (meets & ~from_outside & ~from_inside).any():
        message = "a cut in the middle of the wall; the simple replay knows rings only"
        raise BeyondSimpleError(message)
    np.minimum(outer, low, out=outer, where=from_outside)
    np.maximum(inner, high, out=inner, where=from_inside)


def overlaps(tool: Outline, at: Place, profile: Profile, *, deeper_than_mm: float = OVERLAP_MM) -> bool:
    """Whether the tool, its reference at a place, is in the metal, measured across the axis."""
    corners = tool.corners + at[0]
    z = np.concatenate((profile.z, corners))
    inner = np.concatenate((profile.inner, np.interp(corners, profile.z, profile.inner)))
    outer = np.concatenate((profile.outer, np.interp(corners, profile.z, profile.outer)))
    local = z - at[0]
    hit = (local > tool.left) & (local < tool.right) & (outer > inner)
    low = np.maximum(tool.low_at(local) + at[1], inner)
    high = np.minimum(tool.high_at(local) + at[1], outer)
    return bool(np.any(hit & (high - low > deeper_than_mm)))


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
        raise ReplayError(message)
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
            raise ReplayError(message)
    while far - near > BESIDE_MM:
        middle = (near + far) / 2.0
        near, far = (near, middle) if inside(middle) else (middle, far)
    return near


def cut_off_left(work: Work, at_z: float) -> Work:
    """What hangs on to the right of a z where the wall is cut through.

    Raises
    ------
    ReplayError
        If there is still metal just left of it.
    """
    if work.metal_at(at_z - 1e-6) is not None:
        message = f"the wall is not cut through at z {at_z:.3f} mm"
        raise ReplayError(message)
    return replace(work, low_z=at_z)
