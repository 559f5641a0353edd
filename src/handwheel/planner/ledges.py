"""Ledges: the steps of a part's outside and hole as they are cut, each from the face of its own end.

A part speaks of steps, but so does a plan; here a step of the part is a ledge: a cylinder and the shoulder behind it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import inf

from msgspec import Struct

from handwheel.domain.holding import Side
from handwheel.domain.part import BORE, LEAST_LAND_MM, OUTSIDE, Aspect, Cylinder, Part, shoulder_name


class Ledge(Struct, frozen=True, kw_only=True):
    """One step of the outside or of the hole.

    Depths count from the finished face of its end, so that in the work frame of ``side`` a place is z = - depth.

    Parameters
    ----------
    surface, shoulder : str
        Names of its cylinder and of its shoulder.
    side : Side
        End that it is cut from.
    inner : bool
        Whether it is in the hole.
    radius_mm, depth_mm : float
        Radius of its cylinder and depth of its shoulder, as they are to be cut. [mm]
    before_mm : float
        Depth at which its cylinder begins: that of the shoulder before it, 0 at the face. [mm]
    length_mm : float
        Length of its cylinder as drawn, an edge at the face not counted. [mm]
    deeper : str
        Cylinder beyond its shoulder.
    deeper_radius_mm : float
        Radius of that. [mm]
    """

    surface: str
    shoulder: str
    side: Side
    inner: bool
    radius_mm: float
    depth_mm: float
    before_mm: float
    length_mm: float
    deeper: str
    deeper_radius_mm: float

    @property
    def of_main(self) -> bool:
        """Whether the cylinder beyond the shoulder is the outside or the bore itself."""
        return self.deeper in (OUTSIDE, BORE)


def ledges_of(part: Part) -> tuple[Ledge, ...]:
    """Ledges of a part, outside first, those of the front first, the deepest of each stack first."""
    return tuple(
        ledge
        for cylinders, main in ((part.outer_cylinders, OUTSIDE), (part.inner_cylinders, BORE))
        for side in Side
        for ledge in reversed(tuple(_stack(part, cylinders, main, side)))
    )


def most_corner_mm(part: Part) -> float:
    """Largest round that the drawing bears in its inside corners; ``inf`` if it has none. [mm]

    Something of every shoulder must be left, and of every step's cylinder enough to be measured.
    """
    most = (
        min(abs(ledge.deeper_radius_mm - ledge.radius_mm), ledge.length_mm - float(LEAST_LAND_MM))
        for ledge in ledges_of(part)
    )
    return min(most, default=inf)


def _stack(part: Part, cylinders: Sequence[Cylinder], main: str, side: Side) -> Iterator[Ledge]:
    """Ledges of one end, from its face inward."""
    inward = cylinders if side is Side.FRONT else tuple(reversed(cylinders))
    names = [cylinder.surface for cylinder in inward]
    before = 0.0
    for cylinder, deeper in pairwise(inward[: names.index(main) + 1] if main in names else ()):
        shoulder = shoulder_name(cylinder.surface)
        size = part.feature(shoulder, Aspect.DEPTH)
        if size is None:
            return
        depth = float(size.size.cut_target)
        yield Ledge(
            surface=cylinder.surface,
            shoulder=shoulder,
            side=side,
            inner=cylinder.inner,
            radius_mm=cylinder.radius_mm,
            depth_mm=depth,
            before_mm=before,
            length_mm=cylinder.length_mm,
            deeper=deeper.surface,
            deeper_radius_mm=deeper.radius_mm,
        )
        before = depth
