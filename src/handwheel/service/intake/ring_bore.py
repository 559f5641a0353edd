"""The bore of a finger ring in a part file: a size in place of a diameter, and what the maker allows on it."""

from __future__ import annotations

from fractions import Fraction

from handwheel.data.ring_allowances import RingChoice
from handwheel.data.ring_scales import Girth, Measure, RingScale
from handwheel.domain.errors import InputError
from handwheel.domain.size import Size
from handwheel.service.intake.lengths import shown
from handwheel.service.intake.ring_choice import MakersChoice, read_makers_choice
from handwheel.service.intake.ring_sizes import RingAsked, read_ring_text
from handwheel.service.intake.sizes import BETWEEN, SizeForm, Tolerance, read_known_size, refuse_beside
from handwheel.service.intake.table import Table

RING_SIZE, MEASURED_BY = "ring_size", "measured_by"
FINEST_DIAMETER_MM = Fraction(1, 10_000)
"""To this the diameter of a size is rounded, for π has no end; finer than any gauge of a workshop can tell. [mm]"""


def read_ring_bore(table: Table, *, form: SizeForm, inherited: Tolerance) -> Size | None:
    """Read ``ring_size`` with its limits, ``wide_band``, ``eased_bore`` and ``measured_by``; notes problems."""
    refuse_beside(table, ("diameter", BETWEEN, "fit"), beside=f"{RING_SIZE}, which says the diameter")
    asked = _read_asked(table)
    scale = asked.size.scale if asked and asked.size else None
    choices = [_read_choice(table, choice, scale) for choice in RingChoice if table.has(choice.value)]
    by = f"measured by {table.text(MEASURED_BY)}" if table.has(MEASURED_BY) else ""
    nominal = None
    if asked is not None and None not in choices:
        made = [choice for choice in choices if choice is not None]
        nominal = finished_diameter_mm(asked.girth, made)
        words = (ring_words(asked), by, *(choice.words for choice in made))
    else:
        words = ()
    as_written = "; ".join(word for word in words if word)
    return read_known_size(table, RING_SIZE, nominal=nominal, as_written=as_written, form=form, inherited=inherited)


def finished_diameter_mm(girth: Girth, choices: list[MakersChoice]) -> Fraction:
    """Diameter of an inside with what the maker allows on it, to `FINEST_DIAMETER_MM`. [mm]

    Examples
    --------
    >>> finished_diameter_mm(Girth(measure=Measure.CIRCUMFERENCE, mm=Fraction(54)), [])
    Fraction(171887, 10000)
    """
    exact_mm = girth.diameter_mm + sum(choice.diameter_mm for choice in choices)
    return round(exact_mm / FINEST_DIAMETER_MM) * FINEST_DIAMETER_MM


def ring_words(asked: RingAsked) -> str:
    """What was understood: the size, its diameter, and by whose rule.

    Examples
    --------
    >>> ring_words(read_ring_text("us 7"))
    'ring size US 7, Ø 17.323 mm (inside diameter = 0.458 in + 0.032 in x size, opened)'
    """
    diameter = f"Ø {float(asked.girth.diameter_mm):.3f} mm"
    if asked.size is None:
        return f"{asked.written}, {diameter}"
    scale = asked.size.scale
    return f"ring size {asked.size.name}, {diameter} ({scale.rule}, {scale.standing.value})"


def _read_asked(table: Table) -> RingAsked | None:
    where = table.where(RING_SIZE)
    written = table.raw(RING_SIZE)
    try:
        asked = read_ring_text(written, where=where)
    except InputError as error:
        table.problems.take(error)
        return None
    if asked.size is None and asked.girth.measure is Measure.DIAMETER:
        do = f"write diameter = {shown(written)} in place of ring_size"
        table.fault(RING_SIZE, allowed="a ring size, or a circumference", do=do)
        return None
    return asked


def _read_choice(table: Table, choice: RingChoice, scale: RingScale | None) -> MakersChoice | None:
    where = table.where(choice.value)
    try:
        return read_makers_choice(table.raw(choice.value), choice=choice, scale=scale, unit=table.units, where=where)
    except InputError as error:
        table.problems.take(error)
        return None
