"""The four edges of a part file: sharp, broken by hand, bevelled or round; any other text is asked back."""

from __future__ import annotations

import re

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.iso2768 import GeneralKind
from handwheel.domain.exact import Fraction
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    Aspect,
    SizedFeature,
)
from handwheel.domain.size import Size, SizeKind
from handwheel.service.intake.finishing import losing_more
from handwheel.service.intake.lengths import LONGEST_TEXT
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.ring_shape import BrokenEdge
from handwheel.service.intake.sizes import (
    WRITTEN,
    SizeForm,
    Tolerance,
    has_two_ways,
    read_size,
    read_tolerance,
    refuse_beside,
)
from handwheel.service.intake.table import Table

SHARP, BROKEN, ROUND = "sharp", "broken", "round"
"""Words for an edge that is only deburred, for one broken by hand, and for one with a radius."""
BROKEN_MM = (Fraction(1, 10), Fraction(3, 10))
"""Legs of an edge that is broken by hand where nobody says more; common practice, no source. [mm]"""
MOST_BROKEN_MM = Fraction(1, 2)
"""A wider bevel is a chamfer, and is cut; common practice, no source. [mm]"""

_EDGES = {
    "front_outer": FRONT_OUTER_EDGE,
    "front_inner": FRONT_INNER_EDGE,
    "back_outer": BACK_OUTER_EDGE,
    "back_inner": BACK_INNER_EDGE,
}
_BEVEL = Pattern(
    r"(?P<leg>.*\S)\s*[xX×]\s*45\s*(?:°|deg\.?|degrees?)?|45\s*(?:°|deg\.?|degrees?)\s*[xX×]\s*(?P<after>.*\S)"
)
_ROUND = Pattern(r"(?:round|r)\s*(?P<radius>[0-9.,].*)", re.IGNORECASE)
_HAND = Pattern(r"broken(?:\s+(?P<legs>[0-9.,].*))?")
_QUESTIONS = (
    (r"C?\s*(?P<leg>[0-9.,][^xX×°]*)", 'the legs of 45 degrees? Then write "{leg} x 45"'),
    (r".*[xX×]\s*[0-9.,]+\s*(?:°|deg\.?|degrees?)", "an angle other than 45 needs both legs: write along and across"),
    (
        r"(?P<leg>[^xX×]*\S)\s*[xX×]\s*(?P<other>[^xX×]*)",
        "two legs? Then write which is along the axis: {{ along = ..., across = ... }}",
    ),
)
"""What a text may mean that is no edge, and what to ask then."""
_ALLOWED = (
    f'"0.5 x 45", {{ along = 0.5, across = 0.5 }}, "{BROKEN}", "{BROKEN} 0.1 to 0.3", "{ROUND} 0.5", or "{SHARP}"'
)
_LEG = SizeForm(kind=SizeKind.LENGTH, general=GeneralKind.EDGE, low_mm=0.01, high_mm=100.0)
_RADIUS = replace(_LEG, can_be_finished=False)


class Edges(Struct, frozen=True, kw_only=True):
    """Edges of a part: bevels that are cut, by surface, and sizes of those broken by hand or rounded."""

    bevels: dict[str, BrokenEdge]
    others: tuple[SizedFeature, ...]


def read_edges(table: Table, *, inherited: Tolerance) -> Edges:
    """Read ``[edges]``: each of the four by name, or by ``all`` where it is not named."""
    tolerance = read_tolerance(table, inherited=inherited)
    if table.has("limits"):
        do = "write plus_minus for all edges, or limits in the table of one edge"
        table.fault("limits", allowed="no limits for all edges at once", do=do)
    has_two_ways(table, "all")
    has_common = table.has("all")
    read = {
        surface: _read_edge(table, name if table.has(name) or not has_common else "all", inherited=tolerance)
        for name, surface in _EDGES.items()
    }
    table.close()
    return Edges(
        bevels={surface: edge for surface, edge in read.items() if isinstance(edge, BrokenEdge)},
        others=tuple(
            SizedFeature(surface=surface, aspect=edge[0], size=edge[1])
            for surface, edge in read.items()
            if isinstance(edge, tuple)
        ),
    )


def grown(edge: BrokenEdge, *, axial: Fraction, radial: Fraction) -> BrokenEdge:
    """A bevel cut so much larger that its legs come out as drawn once its face and its cylinder have lost metal. [mm]

    The flat of the bevel stays where it is. A face that loses ``axial`` takes that off the leg along the axis, and in
    proportion off the other; a cylinder that loses ``radial`` likewise. So both legs are cut larger in one proportion.

    Examples
    --------
    >>> def leg(mm):
    ...     size = Fraction(mm)
    ...     kind = SizeKind.LENGTH
    ...     return Size(nominal=size, lower=size, upper=size, kind=kind, as_written=mm, rule="example")
    >>> cut = grown(BrokenEdge(along=leg("1"), across=leg("0.5")), axial=Fraction(0), radial=Fraction("0.1"))
    >>> float(cut.along.cut_target), float(cut.across.cut_target)
    (1.2, 0.6)
    """
    more = axial / edge.along.cut_target + radial / edge.across.cut_target
    return edge if not more else BrokenEdge(along=_larger(edge.along, more), across=_larger(edge.across, more))


def _larger(leg: Size, more: Fraction) -> Size:
    return losing_more(leg, -leg.cut_target * more, "later work on the surfaces beside it shortens it")


def _read_edge(table: Table, name: str, *, inherited: Tolerance) -> BrokenEdge | tuple[Aspect, Size] | None:
    """Read one edge; nothing for one that stays sharp, or that cannot be understood."""
    written = table.raw(name)
    if isinstance(written, dict):
        return _read_table(table.table(name), inherited=inherited)
    if written == SHARP:
        return None
    text = written.strip() if isinstance(written, str) and len(written) <= LONGEST_TEXT else ""
    if parts := _HAND.fullmatch(text):
        return _read_broken(table, name, parts)
    if parts := _ROUND.fullmatch(text):
        radius = read_size(_alone(table, name, parts["radius"]), name, form=_RADIUS, inherited=inherited)
        return None if radius is None else (Aspect.RADIUS, radius)
    if parts := _BEVEL.fullmatch(text):
        # the text stands for both legs
        leg = read_size(_alone(table, name, parts["leg"] or parts["after"]), name, form=_LEG, inherited=inherited)
        return BrokenEdge(along=leg, across=leg) if leg else None
    table.fault(name, allowed=_ALLOWED, do=_about(text))
    return None


def _about(text: str) -> str:
    """Say what to write in place of a text that is no edge; a question where it shows what may be meant."""
    for pattern, question in _QUESTIONS:
        if found := re.fullmatch(pattern, text, re.IGNORECASE):
            return question.format(**found.groupdict())
    return "write one of them; an angle other than 45 needs both legs"


def _alone(table: Table, name: str, written: str) -> Table:
    """A length out of a longer text, to be read as if it stood alone under the same key."""
    return Table({name: written}, problems=table.problems, units=table.units, path=table.path)


def _read_table(table: Table, *, inherited: Tolerance) -> BrokenEdge | tuple[Aspect, Size] | None:
    """Read an edge that is a table: a round with its radius, or a bevel with two legs."""
    if not table.has(ROUND):
        return _read_two_legs(table, inherited=inherited)
    refuse_beside(table, ("along", "across"), beside=f"{ROUND}: an edge is round or bevelled")
    radius = read_size(table, ROUND, form=_RADIUS, inherited=inherited)
    table.close()
    return None if radius is None else (Aspect.RADIUS, radius)


def _read_two_legs(table: Table, *, inherited: Tolerance) -> BrokenEdge | None:
    along = read_size(table, "along", form=_LEG, inherited=inherited)
    across = read_size(table, "across", form=_LEG, inherited=inherited)
    table.close()
    return BrokenEdge(along=along, across=across) if along and across else None


def _read_broken(table: Table, name: str, parts: re.Match[str]) -> tuple[Aspect, Size] | None:
    """Read an edge that is broken by hand: by the usual range, or by its own."""
    ends = BROKEN_MM if parts["legs"] is None else table.read_ends(name, parts["legs"])
    if ends is None:
        return None
    low, high = ends
    if not 0 < low < high <= MOST_BROKEN_MM:
        allowed = f"two legs above 0 up to {float(MOST_BROKEN_MM):g} mm, the smaller first"
        table.fault(name, allowed=allowed, do='check them; a wider one is cut: write "0.6 x 45"')
        return None
    rule = "common practice" if parts["legs"] is None else WRITTEN
    return Aspect.BROKEN, Size(
        nominal=(low + high) / 2, lower=low, upper=high, kind=SizeKind.LENGTH, as_written=parts[0], rule=rule
    )
