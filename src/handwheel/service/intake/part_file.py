"""Part files: our TOML for one ring-like part, plain or stepped, read into a `Part` standing at its cut targets."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.domain.exact import Fraction
from handwheel.domain.part import BORE, OUTSIDE, USUAL_CORNER_RADIUS_MM, Part
from handwheel.domain.size import Size, SizeKind
from handwheel.service.intake.allowances import with_allowances
from handwheel.service.intake.edges import read_edges
from handwheel.service.intake.finishing import ALLOWANCE, FROM_TRIAL, LOSS, Amount, Places, read_amount, read_finish_ra
from handwheel.service.intake.metals import read_metal
from handwheel.service.intake.pressed import FINISHED, Rounds, settle_pressed
from handwheel.service.intake.ring_shape import End, RingShape, RingStep, RoundSurface
from handwheel.service.intake.sizes import (
    BETWEEN,
    FIT,
    GENERAL_CLASSES,
    RING_SIZE,
    WAYS_BESIDE,
    Fit,
    SizeForm,
    Tolerance,
    read_size,
    refuse_beside,
)
from handwheel.service.intake.table import Table, by_value, present
from handwheel.service.intake.text_file import Load, read_beside, read_text_file
from handwheel.service.intake.toml_text import open_table

if TYPE_CHECKING:
    from handwheel.service.intake.trials import Trials

MOST_PARTS = 10_000
"""Largest quantity; more is no work for one person and a hand lathe."""
MOST_CORNER_RADIUS_MM = 5.0
"""Larger is no corner but a shape of its own. [mm]"""

THREAD, PRESSED = "thread", "pressed_into"
PLAIN, STEPPED = "plain-ring", "stepped-ring"
_KINDS = {kind: kind for kind in (PLAIN, STEPPED)}
_MAINS = {BORE: BORE, OUTSIDE: OUTSIDE}
_BORE = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.HOLE, places=Places.HOLE, may_be_between=True)
_OUTSIDE = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.SHAFT, places=Places.SHAFT, may_be_between=True)
_WIDTH = SizeForm(kind=SizeKind.LENGTH, places=Places.WIDTH, may_be_between=True)
_DEPTH = SizeForm(kind=SizeKind.LENGTH, may_be_between=True)


def read_part_file(path: Path, *, trials: Trials | None = None) -> Part:
    """Read a part from a file on disk, with the stick that it names; raises `InputError` with all its problems."""
    return read_part(read_text_file(path), name=path.name, load=lambda named: read_beside(path, named), trials=trials)


def read_part(text: str, *, name: str, load: Load | None = None, trials: Trials | None = None) -> Part:
    """Read a part from the text of a part file.

    Parameters
    ----------
    text : str
        The file's content, in TOML.
    name : str
        The file's name, for messages.
    load : callable, optional
        Fetches the text of a file that stands beside it, by its name; without it the part can name none.
    trials : callable, optional
        Tells what a finish takes off a metal by the shop's own trials; without it no loss is ``"from trial"``.

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
    table = open_table(text, name=name, filled=_with_trials(trials) if trials and FROM_TRIAL in text else None)
    return table.problems.settle(part_in(table, load=load))


def _with_trials(trials: Trials) -> Callable[[dict[str, object]], dict[str, object]]:
    from handwheel.service.intake.trials import with_trials

    return partial(with_trials, trials=trials)


def part_in(table: Table, *, load: Load | None = None) -> Part | None:
    """Read a part from the outermost table of its file; notes problems."""
    is_stepped = table.choice("kind", _KINDS) == STEPPED
    metal = read_metal(table, "metal")
    ring = _read_ring(table, metal, is_stepped=is_stepped, load=load)
    named = table.make(
        lambda: partial(
            Part,
            name=table.text("name"),
            material=metal,
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
        presses=ring.presses,
        face_ra_um=ring.face_ra_um,
    )


def _read_corner(table: Table) -> float:
    return table.mm("corner_radius", high=MOST_CORNER_RADIUS_MM, default=USUAL_CORNER_RADIUS_MM)


def _read_ring(table: Table, metal: str, *, is_stepped: bool, load: Load | None) -> Callable[[], RingShape] | None:
    """Sizes of the ring, to be put together once all of the file is read; nothing if one is missing."""
    general = Tolerance(general_class=table.choice("general_class", GENERAL_CLASSES, default=None))
    bore_table, outside_table = table.table(BORE), table.table(OUTSIDE)
    bore = _read_bore(bore_table, inherited=general, load=load)
    outside = _read_outside(outside_table, inherited=general)
    outside_table.close()
    width_table = table.table("width")
    width = read_size(width_table, "length", form=_WIDTH, inherited=general)
    off_width = _read_later(width_table, places=Places.WIDTH)
    face_ra_um = read_finish_ra(width_table)
    width_table.close()
    edges = read_edges(table.table("edges"), inherited=general)
    outside_steps = _read_steps(table, "outside_step", form=_OUTSIDE, inherited=general) if is_stepped else ()
    bore_steps = _read_steps(table, "bore_step", form=_BORE, inherited=general) if is_stepped else ()
    corner_radius_mm = _read_corner(table) if is_stepped else 0.0
    if is_stepped and not table.has("outside_step") and not table.has("bore_step"):
        do = f'add [[outside_step]] or [[bore_step]] with its keys, or write kind = "{PLAIN}"'
        table.fault("outside_step", allowed="at least one step of the outside or the bore", do=do)
    if bore is None or outside is None or width is None:
        bore_table.has(FINISHED)  # what it means is settled when bore, outside and width are known
        bore_table.close()
        return None
    if bore.diameter.nominal >= outside.diameter.nominal:
        bore_table.has(FINISHED)
        _refuse_no_wall(bore_table, bore.diameter, outside.diameter)
        bore_table.close()
        return None
    settled = settle_pressed(
        bore_table,
        Rounds(
            outside=outside,
            bore=bore,
            outside_steps=outside_steps,
            bore_steps=bore_steps,
            width=width,
            metal=material(metal),
        ),
    )
    bore_table.close()
    drawn = partial(
        RingShape,
        bore=settled.bore,
        outside=outside,
        width=width,
        edges=edges.bevels,
        other_edges=edges.others,
        outside_steps=outside_steps,
        bore_steps=settled.bore_steps,
        corner_radius_mm=corner_radius_mm,
        presses=settled.presses,
        face_ra_um=face_ra_um,
    )
    return lambda: with_allowances(drawn(), off_width)


def _refuse_no_wall(bore: Table, inside: Size, outside: Size) -> None:
    """Note that the bore is not smaller than the outside, at the key that says the bore."""
    key = next((key for key in (THREAD, RING_SIZE, FIT, BETWEEN) if bore.has(key)), "diameter")
    found = f"{float(inside.nominal):g} mm, and the outside is {float(outside.nominal):g} mm"
    bore.fault(
        key, found=found, allowed="a bore smaller than the outside", do="check both, and that both are diameters"
    )


def _read_bore(table: Table, *, inherited: Tolerance, load: Load | None) -> RoundSurface | None:
    """Read ``[bore]``, but for when it gets its size: `settle_pressed` reads that."""
    others = {OUTSIDE: OUTSIDE}
    if table.has(THREAD):
        return _read_threaded(table, others=others)
    if not table.has(RING_SIZE):
        return _read_cylinder(table, form=_BORE, others=others, inherited=inherited)
    from handwheel.service.intake.ring_bore import read_ring_bore

    read = partial(read_ring_bore, load=load)
    return _read_cylinder(table, form=_BORE, others=others, inherited=inherited, read=read)


def _read_outside(table: Table, *, inherited: Tolerance) -> RoundSurface | None:
    """Read ``[outside]``, and the hole that it is pressed into."""
    made = _read_cylinder(table, form=_OUTSIDE, others={BORE: BORE}, inherited=inherited)
    if not table.has(PRESSED):
        return made
    hole = table.exact_mm(PRESSED, low=1.0, high=1000.0)
    if made is not None and made.pressed_to is not None:
        table.fault(PRESSED, allowed="nothing beside a press fit, which says the hole", do="delete one of them")
    return None if made is None else replace(made, pressed_to=(hole, hole))


def _read_threaded(table: Table, *, others: Mapping[str, str | None]) -> RoundSurface | None:
    """Read a bore that will be tapped: its thread stands for the diameter, with the limits of the minor diameter."""
    from handwheel.data.threads import minor_limits_mm
    from handwheel.service.intake.threads import read_thread

    thread = read_thread(table, THREAD)
    ways = ("diameter", BETWEEN, FIT, RING_SIZE, *WAYS_BESIDE)
    refuse_beside(table, ways, beside="a thread, whose standard says the limits")
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
    pressed_to = None
    if table.has(FIT) and read is _read_diameter:
        from handwheel.service.intake.fit_wish import read_fit_wish

        wished = read_fit_wish(table, form=form)
        diameter, pressed_to = (None, None) if wished is None else (wished.size, wished.pressed_to)
    else:
        diameter = read(table, form=form, inherited=inherited)
    finish = read_finish_ra(table)
    allowance = None if form.places is None else read_amount(table, ALLOWANCE, places=form.places)
    loss = None if form.places is None else read_amount(table, LOSS, places=form.places)
    true_to = table.choice("true_to", others, default=None)
    if diameter is None:
        return None
    return RoundSurface(
        diameter=diameter,
        finish_ra_um=finish,
        true_to=true_to,
        pressed_to=pressed_to,
        allowance_side=Fraction(0) if allowance is None else allowance.a_side,
        loss_side=Fraction(0) if loss is None else loss.a_side,
    )


def _read_later(table: Table, *, places: Places) -> tuple[Amount, ...]:
    """Read all that later work takes off a surface."""
    return present(read_amount(table, key, places=places) for key in (ALLOWANCE, LOSS))


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
