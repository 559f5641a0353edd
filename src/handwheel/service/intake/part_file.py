"""Part files: our TOML for one ring-like part, plain or stepped, read into a `Part` standing at its cut targets."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

from handwheel.data.iso2768 import GeneralKind
from handwheel.data.threads import minor_limits_mm
from handwheel.data.unknown_metals import metal_words
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    USUAL_CORNER_RADIUS_MM,
    Part,
)
from handwheel.domain.size import Size, SizeKind
from handwheel.service.intake.lengths import LONGEST_TEXT
from handwheel.service.intake.ring_bore import RING_SIZE, read_ring_bore
from handwheel.service.intake.ring_shape import BrokenEdge, End, RingShape, RingStep, RoundSurface
from handwheel.service.intake.sizes import (
    GENERAL_CLASSES,
    Fit,
    SizeForm,
    Tolerance,
    has_two_ways,
    read_size,
    read_tolerance,
)
from handwheel.service.intake.table import Table, by_value, present
from handwheel.service.intake.text_file import read_text_file
from handwheel.service.intake.threads import read_thread
from handwheel.service.intake.toml_text import open_table

MOST_PARTS = 10_000
"""Largest quantity; more is no work for one person and a hand lathe."""
SHARP = "sharp"
"""Word for an edge that is only deburred."""

MOST_CORNER_RADIUS_MM = 5.0
"""Larger is no corner but a shape of its own. [mm]"""

THREAD, PRESSED = "thread", "pressed_into"
PLAIN, STEPPED = "plain-ring", "stepped-ring"
_KINDS = {kind: kind for kind in (PLAIN, STEPPED)}
_MAINS = {BORE: BORE, OUTSIDE: OUTSIDE}
_EDGES = {
    "front_outer": FRONT_OUTER_EDGE,
    "front_inner": FRONT_INNER_EDGE,
    "back_outer": BACK_OUTER_EDGE,
    "back_inner": BACK_INNER_EDGE,
}
_EDGE_TEXT = re.compile(
    r"(?P<leg>.*\S)\s*[xX×]\s*45\s*(?:°|deg\.?|degrees?)?|45\s*(?:°|deg\.?|degrees?)\s*[xX×]\s*(?P<after>.*\S)"
)

_BORE = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.HOLE)
_OUTSIDE = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.SHAFT)
_WIDTH = SizeForm(kind=SizeKind.LENGTH)
_DEPTH = SizeForm(kind=SizeKind.LENGTH)
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
    return table.problems.settle(part_in(table))


def part_in(table: Table) -> Part | None:
    """Read a part from the outermost table of its file; notes problems."""
    is_stepped = table.choice("kind", _KINDS) == STEPPED
    ring = _read_ring(table, is_stepped=is_stepped)
    named = table.make(
        lambda: partial(
            Part,
            name=table.text("name"),
            material=table.choice("metal", metal_words()),
            quantity=table.count("quantity", low=1, high=MOST_PARTS, default=1),
            units=table.units,
            skin_contact=table.flag("worn_on_skin", default=_is_finger_ring(table)),
            corner_radius_mm=_read_corner(table) if is_stepped else USUAL_CORNER_RADIUS_MM,
        )
    )
    if ring is None or named is None:
        return None
    return table.make(lambda: _put_together(named, ring()))


def _is_finger_ring(table: Table) -> bool:
    """Whether the bore is stated as a ring size: such a part is worn, unless the file says that it is not."""
    bore = table.raw(BORE)
    return isinstance(bore, dict) and RING_SIZE in bore


def _put_together(named: Callable[..., Part], ring: RingShape) -> Part:
    return named(
        outer=ring.outer,
        inner=ring.inner,
        sizes=ring.features,
        thread=ring.bore.thread,
        pressed_into_mm=ring.outside.pressed_into_mm,
    )


def _read_corner(table: Table) -> float:
    return table.mm("corner_radius", high=MOST_CORNER_RADIUS_MM, default=USUAL_CORNER_RADIUS_MM)


def _read_ring(table: Table, *, is_stepped: bool) -> Callable[[], RingShape] | None:
    """Sizes of the ring, to be put together once all of the file is read; nothing if one is missing."""
    general = Tolerance(general_class=table.choice("general_class", GENERAL_CLASSES, default=None))
    bore = _read_round(table, BORE, form=_BORE, other=OUTSIDE, inherited=general)
    outside = _read_round(table, OUTSIDE, form=_OUTSIDE, other=BORE, inherited=general)
    width_table = table.table("width")
    width = read_size(width_table, "length", form=_WIDTH, inherited=general)
    width_table.close()
    edges = _read_edges(table.table("edges"), inherited=general)
    outside_steps = _read_steps(table, "outside_step", form=_OUTSIDE, inherited=general) if is_stepped else ()
    bore_steps = _read_steps(table, "bore_step", form=_BORE, inherited=general) if is_stepped else ()
    corner_radius_mm = _read_corner(table) if is_stepped else 0.0
    if is_stepped and not table.has("outside_step") and not table.has("bore_step"):
        do = f'add [[outside_step]] or [[bore_step]] with its keys, or write kind = "{PLAIN}"'
        table.fault("outside_step", allowed="at least one step of the outside or the bore", do=do)
    if bore is None or outside is None or width is None:
        return None
    return partial(
        RingShape,
        bore=bore,
        outside=outside,
        width=width,
        edges=edges,
        outside_steps=outside_steps,
        bore_steps=bore_steps,
        corner_radius_mm=corner_radius_mm,
    )


def _read_round(table: Table, surface: str, *, form: SizeForm, other: str, inherited: Tolerance) -> RoundSurface | None:
    """Read ``[bore]`` or ``[outside]``."""
    inner = table.table(surface)
    if surface == BORE and inner.has(THREAD):
        made = _read_threaded(inner, others={other: other})
    elif surface == BORE and inner.has(RING_SIZE):
        made = _read_cylinder(inner, form=form, others={other: other}, inherited=inherited, read=read_ring_bore)
    else:
        made = _read_cylinder(inner, form=form, others={other: other}, inherited=inherited)
    if surface == OUTSIDE and inner.has(PRESSED):
        hole_mm = inner.mm(PRESSED, low=1.0, high=1000.0)
        made = None if made is None else replace(made, pressed_into_mm=hole_mm)
    inner.close()
    return made


def _read_threaded(table: Table, *, others: Mapping[str, str | None]) -> RoundSurface | None:
    """Read a bore that will be tapped: its thread stands for the diameter, with the limits of the minor diameter."""
    thread = read_thread(table, THREAD)
    for name in ("diameter", "limits", "plus_minus", "general_class"):
        if table.has(name):
            table.fault(name, allowed="nothing beside a thread, whose standard says the limits", do="delete it")
    true_to = table.choice("true_to", others, default=None)
    if thread is None:
        return None
    lower, upper = minor_limits_mm(thread)
    size = Size(
        nominal=lower,
        lower=lower,
        upper=upper,
        kind=SizeKind.DIAMETER,
        as_written=thread.designation,
        rule="ISO 965-1 6H, minor diameter",
    )
    return RoundSurface(diameter=size, finish_ra_um=None, true_to=true_to, thread=thread)


def _read_diameter(table: Table, *, form: SizeForm, inherited: Tolerance) -> Size | None:
    return read_size(table, "diameter", form=form, inherited=inherited)


def _read_cylinder(
    table: Table,
    *,
    form: SizeForm,
    others: Mapping[str, str | None],
    inherited: Tolerance,
    read: Callable[..., Size | None] = _read_diameter,
) -> RoundSurface | None:
    diameter = read(table, form=form, inherited=inherited)
    finish = table.number("finish_ra", low=0.01, high=50.0, unit="µm") if table.has("finish_ra") else None
    true_to = table.choice("true_to", others, default=None)
    return None if diameter is None else RoundSurface(diameter=diameter, finish_ra_um=finish, true_to=true_to)


def _read_steps(table: Table, name: str, *, form: SizeForm, inherited: Tolerance) -> tuple[RingStep, ...]:
    """Read ``[[outside_step]]`` or ``[[bore_step]]``: those of one end in their order from its face inward."""
    return present(_read_step(row, form=form, inherited=inherited) for row in table.tables(name))


def _read_step(table: Table, *, form: SizeForm, inherited: Tolerance) -> RingStep | None:
    end = table.choice("from", by_value(End))
    made = _read_cylinder(table, form=form, others=_MAINS, inherited=inherited)
    depth = _read_depth(table, inherited=inherited)
    table.close()
    return RingStep(end=end, round=made, depth=depth) if made and depth else None


def _read_depth(table: Table, *, inherited: Tolerance) -> Size | None:
    """Read the depth of a step: a length, or a table with a length and its own tolerance."""
    written = table.raw("depth")
    if isinstance(written, dict):
        own = table.table("depth")
        depth = read_size(own, "length", form=_DEPTH, inherited=inherited)
        own.close()
        return depth
    # tolerances beside it are those of the diameter, so the depth is read as if it stood alone
    given = {} if written is None else {"depth": written}
    alone = Table(given, problems=table.problems, units=table.units, path=table.path)
    return read_size(alone, "depth", form=_DEPTH, inherited=inherited)


def _read_edges(table: Table, *, inherited: Tolerance) -> dict[str, BrokenEdge]:
    """Read ``[edges]``: each of the four by name, or by ``all`` where it is not named."""
    tolerance = read_tolerance(table, inherited=inherited)
    if table.has("limits"):
        do = "write plus_minus for all edges, or limits in the table of one edge"
        table.fault("limits", allowed="no limits for all edges at once", do=do)
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
        table.fault(name, allowed=allowed, do=_about_edge(str(written) if is_short else ""))
        return None
    # The text stands for both legs; the length in it is read as if it were written under the same key.
    legs = Table({name: parts["leg"] or parts["after"]}, problems=table.problems, units=table.units, path=table.path)
    leg = read_size(legs, name, form=_LEG, inherited=inherited)
    return BrokenEdge(along=leg, across=leg) if leg else None


_EDGE_QUESTIONS = (
    (r"R\s*[0-9.,].*", "is it a radius? Edges are straight here: write the legs"),
    (r"C?\s*(?P<leg>[0-9.,][^xX×°]*)", 'the legs of 45 degrees? Then write "{leg} x 45"'),
    (r".*[xX×]\s*[0-9.,]+\s*(?:°|deg\.?|degrees?)", "an angle other than 45 needs both legs: write along and across"),
    (
        r"(?P<leg>[^xX×]*\S)\s*[xX×]\s*(?P<other>[^xX×]*)",
        "two legs? Then write which is along the axis: {{ along = ..., across = ... }}",
    ),
)


def _about_edge(written: str) -> str:
    """Say what to write in place of a text that is no edge; a question where it shows what may be meant."""
    for pattern, question in _EDGE_QUESTIONS:
        if found := re.fullmatch(pattern, written.strip(), re.IGNORECASE):
            return question.format(**found.groupdict())
    return "write one of them; an angle other than 45 needs both legs"


def _read_two_legs(table: Table, *, inherited: Tolerance) -> BrokenEdge | None:
    along = read_size(table, "along", form=_LEG, inherited=inherited)
    across = read_size(table, "across", form=_LEG, inherited=inherited)
    table.close()
    return BrokenEdge(along=along, across=across) if along and across else None
