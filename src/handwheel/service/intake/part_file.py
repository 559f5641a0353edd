"""Part files: our TOML for one ring-like part, read into a `Part` standing at its cut targets."""

from __future__ import annotations

import re
from functools import partial
from pathlib import Path

from handwheel.data.iso2768 import GeneralKind
from handwheel.data.materials import material_keys
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    Part,
)
from handwheel.domain.size import SizeKind
from handwheel.service.intake.lengths import LONGEST_TEXT
from handwheel.service.intake.ring_shape import BrokenEdge, PlainRing, RoundSurface
from handwheel.service.intake.sizes import (
    GENERAL_CLASSES,
    Fit,
    SizeForm,
    Tolerance,
    has_two_ways,
    read_size,
    read_tolerance,
)
from handwheel.service.intake.table import Table
from handwheel.service.intake.text_file import read_text_file
from handwheel.service.intake.toml_text import open_table

MOST_PARTS = 10_000
"""Largest quantity; more is no work for one person and a hand lathe."""
SHARP = "sharp"
"""Word for an edge that is only deburred."""

_KINDS = {"plain-ring": "plain-ring"}
_EDGES = {
    "front_outer": FRONT_OUTER_EDGE,
    "front_inner": FRONT_INNER_EDGE,
    "back_outer": BACK_OUTER_EDGE,
    "back_inner": BACK_INNER_EDGE,
}
_EDGE_TEXT = re.compile(r"(?P<leg>.*\S)\s*[x×]\s*45\s*(?:°|deg)?")

_BORE = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.HOLE)
_OUTSIDE = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.SHAFT)
_WIDTH = SizeForm(kind=SizeKind.LENGTH)
_LEG = SizeForm(kind=SizeKind.LENGTH, general=GeneralKind.EDGE, low_mm=0.01, high_mm=100.0)


def read_part_file(path: Path) -> Part:
    """Read a part from a file on disk; raises `InputError` with all its problems."""
    return read_part(read_text_file(path), name=path.name)


def read_part(text: str, *, name: str) -> Part:
    """Read a part from the text of a part file.

    Parameters
    ----------
    text : str
        The file's content, in TOML.
    name : str
        The file's name, for messages.

    Returns
    -------
    Part
        Part whose contours stand at the cut targets (middle of the limits, before finishing). [mm]

    Raises
    ------
    InputError
        With every problem of the file: unknown, missing or wrong keys, values out of range, sizes that cannot be one
        part.
    """
    table = open_table(text, name=name)
    return table.problems.settle(_part(table))


def _part(table: Table) -> Part | None:
    table.choice("kind", _KINDS)
    ring = _read_ring(table)
    metals = {key: key for key in material_keys()}
    named = table.make(
        lambda: partial(
            Part,
            name=table.text("name"),
            material=table.choice("metal", metals),
            quantity=table.count("quantity", low=1, high=MOST_PARTS, default=1),
            units=table.units,
            skin_contact=table.flag("worn_on_skin", default=False),
        )
    )
    if ring is None or named is None:
        return None
    return table.make(lambda: named(outer=ring.outer, inner=ring.inner, sizes=ring.features))


def _read_ring(table: Table) -> PlainRing | None:
    general = Tolerance(general_class=table.choice("general_class", GENERAL_CLASSES, default=None))
    bore = _read_round(table, BORE, form=_BORE, other=OUTSIDE, inherited=general)
    outside = _read_round(table, OUTSIDE, form=_OUTSIDE, other=BORE, inherited=general)
    width_table = table.table("width")
    width = read_size(width_table, "length", form=_WIDTH, inherited=general)
    width_table.close()
    edges = _read_edges(table.table("edges"), inherited=general)
    if bore is None or outside is None or width is None:
        return None
    return PlainRing(bore=bore, outside=outside, width=width, edges=edges)


def _read_round(table: Table, surface: str, *, form: SizeForm, other: str, inherited: Tolerance) -> RoundSurface | None:
    """Read ``[bore]`` or ``[outside]``."""
    inner = table.table(surface)
    diameter = read_size(inner, "diameter", form=form, inherited=inherited)
    finish = inner.number("finish_ra", low=0.01, high=50.0, unit="µm") if inner.has("finish_ra") else None
    is_true = inner.choice("true_to", {other: True}, default=False)
    inner.close()
    if diameter is None:
        return None
    return RoundSurface(diameter=diameter, finish_ra_um=finish, is_true_to_other=is_true)


def _read_edges(table: Table, *, inherited: Tolerance) -> dict[str, BrokenEdge]:
    """Read ``[edges]``: each of the four by name, or by ``all`` where it is not named."""
    tolerance = read_tolerance(table, inherited=inherited)
    has_two_ways(table, "all")
    has_common = table.has("all")
    edges = {
        surface: _read_edge(table, name if table.has(name) or not has_common else "all", inherited=tolerance)
        for name, surface in _EDGES.items()
    }
    table.close()
    return {surface: edge for surface, edge in edges.items() if edge is not None}


def _read_edge(table: Table, name: str, *, inherited: Tolerance) -> BrokenEdge | None:
    """Read one edge: text for equal legs at 45 degrees, a table for two legs, or the word sharp."""
    written = table.raw(name)
    if isinstance(written, dict):
        return _read_two_legs(table.table(name), inherited=inherited)
    if written == SHARP:
        return None
    is_short = isinstance(written, str) and len(written) <= LONGEST_TEXT
    parts = _EDGE_TEXT.fullmatch(str(written)) if is_short else None
    if parts is None:
        allowed = f'"0.5 x 45", {{ along = 0.5, across = 0.5 }}, or "{SHARP}"'
        table.fault(name, allowed=allowed, do="write one of them; an angle other than 45 needs both legs")
        return None
    # The text stands for both legs; the length in it is read as if it were written under the same key.
    legs = Table({name: parts["leg"]}, problems=table.problems, units=table.units, path=table.path)
    leg = read_size(legs, name, form=_LEG, inherited=inherited)
    return BrokenEdge(along=leg, across=leg) if leg else None


def _read_two_legs(table: Table, *, inherited: Tolerance) -> BrokenEdge | None:
    along = read_size(table, "along", form=_LEG, inherited=inherited)
    across = read_size(table, "across", form=_LEG, inherited=inherited)
    table.close()
    return BrokenEdge(along=along, across=across) if along and across else None
