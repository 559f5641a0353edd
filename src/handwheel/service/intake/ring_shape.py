"""A plain ring out of its sizes: both contours at the cut targets, and every toleranced dimension."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from handwheel.domain.contour import Contour, Point, Segment
from handwheel.domain.errors import ImpossiblePartError
from handwheel.domain.part import (
    BACK_FACE,
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    Aspect,
    SizedFeature,
)
from handwheel.domain.size import Size

TRUTH_GROUP = "A"
"""Name of the one truth group that a plain ring can have: its bore and its outside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BrokenEdge:
    """An edge cut to a bevel: its leg along the axis and its leg across."""

    along: Size
    across: Size


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSurface:
    """Bore or outside: its diameter, the finish asked for, whether it must run true to the other."""

    diameter: Size
    finish_ra_um: float | None
    is_true_to_other: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainRing:
    """The sizes of a plain ring; an edge that is not in ``edges`` stays sharp."""

    bore: RoundSurface
    outside: RoundSurface
    width: Size
    edges: dict[str, BrokenEdge]

    @property
    def outer(self) -> Contour:
        """Outside with its edges, from the front face to the back face."""
        return self._contour(OUTSIDE, self.outside, ends=(FRONT_OUTER_EDGE, BACK_OUTER_EDGE), towards_face=-1)

    @property
    def inner(self) -> Contour:
        """Bore with its edges, from the front face to the back face; it opens towards the faces."""
        return self._contour(BORE, self.bore, ends=(FRONT_INNER_EDGE, BACK_INNER_EDGE), towards_face=1)

    @property
    def features(self) -> tuple[SizedFeature, ...]:
        """Every toleranced dimension: both diameters, the width, both legs of each broken edge."""
        return (
            SizedFeature(surface=BORE, aspect=Aspect.DIAMETER, size=self.bore.diameter),
            SizedFeature(surface=OUTSIDE, aspect=Aspect.DIAMETER, size=self.outside.diameter),
            SizedFeature(surface=BACK_FACE, aspect=Aspect.WIDTH, size=self.width),
            *(
                SizedFeature(surface=surface, aspect=aspect, size=size)
                for surface, edge in self.edges.items()
                for aspect, size in ((Aspect.LEG_AXIAL, edge.along), (Aspect.LEG_RADIAL, edge.across))
            ),
        )

    def _contour(self, surface: str, round_: RoundSurface, *, ends: tuple[str, str], towards_face: int) -> Contour:
        """Edge, cylinder, edge; ``towards_face`` is +1 where the radius grows from the cylinder to the face."""
        radius, width = round_.diameter.cut_target / 2, self.width.cut_target
        front, back = (self.edges.get(end) for end in ends)
        begin = -front.along.cut_target if front else Fraction(0)
        end = (back.along.cut_target if back else Fraction(0)) - width
        if begin <= end:
            msg = (
                f"surface {surface!r}: its edges leave nothing between them on a width of {float(width):g} mm; "
                "make them smaller or the part wider"
            )
            raise ImpossiblePartError(msg)
        segments = [
            Segment(
                id=surface,
                start=_point(begin, radius),
                end=_point(end, radius),
                finish_ra_um=round_.finish_ra_um,
                truth_group=self._truth_group,
            )
        ]
        if front:
            face = _point(Fraction(0), radius + towards_face * front.across.cut_target)
            segments.insert(0, Segment(id=ends[0], start=face, end=_point(begin, radius)))
        if back:
            face = _point(-width, radius + towards_face * back.across.cut_target)
            segments.append(Segment(id=ends[1], start=_point(end, radius), end=face))
        return Contour(segments=tuple(segments))

    @property
    def _truth_group(self) -> str | None:
        return TRUTH_GROUP if self.bore.is_true_to_other or self.outside.is_true_to_other else None


def _point(z_mm: Fraction, radius_mm: Fraction) -> Point:
    return Point(float(z_mm), float(radius_mm))
