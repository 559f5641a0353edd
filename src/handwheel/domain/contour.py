"""Contours of a turned part: connected lines and arcs in the half plane (z, r)."""

from math import hypot, isclose
from typing import NamedTuple

from msgspec import Struct

from handwheel.domain.errors import ImpossiblePartError

JOIN_TOLERANCE_MM = 1e-6


class Point(NamedTuple):
    """A place in the half section: z along the axis, r from it. [mm]"""

    z_mm: float
    radius_mm: float


class Segment(Struct, frozen=True, kw_only=True):
    """One line or circular arc of a contour; ``id`` names the surface it turns into.

    Parameters
    ----------
    id : str
        Name of the surface, unique within a part.
    start, end : Point
        Ends, in the order of the contour. [mm]
    centre : Point or None
        Centre of an arc; ``None`` for a line. [mm]
    clockwise : bool
        Sense of an arc seen with z to the right and r upward.
    finish_ra_um : float or None
        Average roughness asked for. [µm]
    truth_group : str or None
        Surfaces that share a group must run true to each other.
    """

    id: str
    start: Point
    end: Point
    centre: Point | None = None
    clockwise: bool = False
    finish_ra_um: float | None = None
    truth_group: str | None = None

    def __post_init__(self) -> None:
        """Refuse segments without length, below the axis, or with two radii."""
        if hypot(self.end.z_mm - self.start.z_mm, self.end.radius_mm - self.start.radius_mm) <= JOIN_TOLERANCE_MM:
            msg = f"surface {self.id!r}: starts and ends at the same place; give it a length or leave it out"
            raise ImpossiblePartError(msg)
        if min(self.start.radius_mm, self.end.radius_mm) < 0:
            msg = f"surface {self.id!r}: a radius is below 0; check that sizes are diameters"
            raise ImpossiblePartError(msg)
        if self.centre is not None:
            first = hypot(self.start.z_mm - self.centre.z_mm, self.start.radius_mm - self.centre.radius_mm)
            last = hypot(self.end.z_mm - self.centre.z_mm, self.end.radius_mm - self.centre.radius_mm)
            if not isclose(first, last, abs_tol=JOIN_TOLERANCE_MM):
                msg = f"surface {self.id!r}: arc radius is {first:g} mm at its start and {last:g} mm at its end"
                raise ImpossiblePartError(msg)


class Contour(Struct, frozen=True, kw_only=True):
    """Segments from the finished front face (z = 0) to the back face, each starting where the last ended."""

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        """Refuse gaps and surfaces named twice."""
        if not self.segments:
            msg = "contour: has no segments; give at least one surface"
            raise ImpossiblePartError(msg)
        for before, after in zip(self.segments, self.segments[1:], strict=False):
            gap = hypot(before.end.z_mm - after.start.z_mm, before.end.radius_mm - after.start.radius_mm)
            if gap > JOIN_TOLERANCE_MM:
                msg = f"contour: {gap:g} mm of gap between {before.id!r} and {after.id!r}; they must join"
                raise ImpossiblePartError(msg)
        ids = [segment.id for segment in self.segments]
        if len(set(ids)) != len(ids):
            msg = f"contour: a surface is named twice among {', '.join(ids)}"
            raise ImpossiblePartError(msg)

    def segment(self, surface: str) -> Segment:
        """Return the segment of that name; raises `KeyError` if there is none."""
        for segment in self.segments:
            if segment.id == surface:
                return segment
        raise KeyError(surface)


def rounded(surface: str, start: Point, end: Point, *, clockwise: bool) -> Segment:
    """Quarter circle between the ends of an edge, tangent to its face and its cylinder.

    Contours run from the front face to the back face, so the edges of an outside turn anticlockwise (seen with z to the
    right and r upward), those of a hole clockwise.

    Examples
    --------
    >>> rounded("e", Point(0.0, 9.5), Point(-0.5, 10.0), clockwise=False).centre
    Point(z_mm=-0.5, radius_mm=9.5)
    """
    from_face = (end.radius_mm > start.radius_mm) is not clockwise
    centre = Point(end.z_mm, start.radius_mm) if from_face else Point(start.z_mm, end.radius_mm)
    return Segment(id=surface, start=start, end=end, centre=centre, clockwise=clockwise)
