"""The bore of a finger ring in a part file: a size in place of a diameter, and what the maker allows on it."""

from __future__ import annotations

from functools import partial

from msgspec.structs import replace

from handwheel.data.ring_allowances import RingChoice
from handwheel.data.ring_scales import RING_WORDS, Girth, Measure, RingScale, ring_scale
from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.ring_stick import RingStick
from handwheel.domain.size import Size
from handwheel.service.intake.lengths import shown
from handwheel.service.intake.ring_choice import MakersChoice, read_makers_choice
from handwheel.service.intake.ring_limits import RingWithLimits, read_with_limits
from handwheel.service.intake.ring_sizes import RingAsked, read_ring_text
from handwheel.service.intake.ring_stick import read_stick, reading_on
from handwheel.service.intake.sizes import (
    BETWEEN,
    RING_SIZE,
    WRITTEN,
    Limits,
    SizeForm,
    Tolerance,
    read_known_size,
    refuse_beside,
)
from handwheel.service.intake.table import Table
from handwheel.service.intake.text_file import Load
from handwheel.service.intake.where import Named

MEASURED_BY, STICK = "measured_by", "stick"
STICK_ENDING = ".toml"
NARROWER_THAN_READ = "the limits are narrower than the stick can be read: measure the ring that fits"
FINEST_DIAMETER_MM = Fraction(1, 10_000)
"""To this the diameter of a size is rounded, for π has no end; finer than any gauge of a workshop can tell. [mm]"""


def read_ring_bore(table: Table, *, form: SizeForm, inherited: Tolerance, load: Load | None = None) -> Size | None:
    """Read ``ring_size`` with its limits, ``stick``, ``wide_band``, ``eased_bore`` and ``measured_by``; notes problems.

    ``load`` fetches the text of a stick file by its name; without it no stick can be named.
    """
    refuse_beside(table, ("diameter", BETWEEN, "fit"), beside=f"{RING_SIZE}, which says the diameter")
    stick = _read_stick(table, load)
    given = None if table.has(STICK) and stick is None else _read_given(table, stick)
    scale = _scale_of(given.asked, stick) if given else None
    choices = [_read_choice(table, choice, scale) for choice in RingChoice if table.has(choice.value)]
    by = f"measured by {table.text(MEASURED_BY)}" if table.has(MEASURED_BY) else ""
    if given is None or None in choices:
        return read_known_size(table, RING_SIZE, nominal=None, as_written="", form=form, inherited=inherited)
    made = [choice for choice in choices if choice is not None]
    what = ring_words(given.asked) if stick is None else stick_words(given.asked, stick)
    words = (what, by, *(choice.words for choice in made), given.behind)
    size = read_known_size(
        table,
        RING_SIZE,
        nominal=finished_diameter_mm(given.asked.girth, made),
        as_written="; ".join(word for word in words if word),
        form=form,
        inherited=inherited,
        fit=given.fit,
        limits=_limits_of(given),
    )
    return size if stick is None or size is None else _with_doubt(size, given.asked, stick)


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
    return f"{RING_WORDS}{asked.size.name}, {diameter} ({scale.rule}, {scale.standing.value})"


def stick_words(asked: RingAsked, stick: RingStick) -> str:
    """What was understood of a size that was read off a measured stick: the diameter there, and how far it may be out.

    A stick that says one size may be another (practice case PC-18), so its marks count as measured, not as engraved.
    """
    reading = stick.at_diameter(asked.girth.diameter_mm)
    spread = f"spread ± {float(reading.spread_mm):.3f} mm"
    return f"{asked.written} as read on {stick.name} ({spread}), Ø {float(reading.diameter_mm):.3f} mm"


def _with_doubt(size: Size, asked: RingAsked, stick: RingStick) -> Size:
    """A size that says so where its limits are narrower than the stick can be read (practice case PC-18)."""
    spread_mm = stick.at_diameter(asked.girth.diameter_mm).spread_mm
    if (size.upper - size.lower) / 2 >= spread_mm:
        return size
    return replace(size, as_written=f"{size.as_written}; {NARROWER_THAN_READ}")


def _limits_of(given: RingWithLimits) -> Limits | None:
    if given.lower is None or given.upper is None:
        return None
    lower, upper = (round(end / FINEST_DIAMETER_MM) * FINEST_DIAMETER_MM for end in (given.lower, given.upper))
    return Limits(lower=lower, upper=upper, rule=WRITTEN)


def _scale_of(asked: RingAsked, stick: RingStick | None) -> RingScale | None:
    """Scale in which a size was stated: that which it names, or that of the stick."""
    if stick is not None:
        return ring_scale(stick.scale_key)
    return asked.size.scale if asked.size else None


def _read_stick(table: Table, load: Load | None) -> RingStick | None:
    """Read the stick that a part file names, if it names one; notes problems."""
    if not table.has(STICK):
        return None
    before = len(table.problems)
    name = table.text(STICK)
    if len(table.problems) > before:
        return None
    if not name.endswith(STICK_ENDING):
        table.fault(
            STICK, allowed=f"the name of a {STICK_ENDING} file", do='write for instance stick = "my-stick.toml"'
        )
        return None
    if load is None:
        do = "read the part from a file on disk, or write the diameter"
        table.fault(STICK, allowed="a stick only where files can be read", do=do)
        return None
    try:
        return read_stick(load(name), name=name)
    except InputError as error:
        for problem in error.problems:
            table.problems.say(table.key(STICK), problem)
        return None


def _read_given(table: Table, stick: RingStick | None) -> RingWithLimits | None:
    """Read the size and what stands behind it; a stick makes it a reading."""
    where = table.where(RING_SIZE)
    written = table.raw(RING_SIZE)
    try:
        given = read_with_limits(
            written,
            read_size=partial(_size_alone, stick=stick, where=where),
            scale_of=partial(_scale_of, stick=stick),
            unit=table.units,
            where=where,
        )
    except InputError as error:
        table.problems.take(error)
        return None
    asked = given.asked
    if stick is None and asked.size is None and asked.girth.measure is Measure.DIAMETER:
        do = f"write diameter = {shown(written)} in place of ring_size"
        table.fault(RING_SIZE, allowed="a ring size, or a circumference", do=do)
        return None
    return given


def _size_alone(written: object, *, stick: RingStick | None, where: Named) -> RingAsked:
    """Read a size by the rule of its scale, or off a stick; one that names its scale beside a stick is asked back."""
    if stick is None:
        return read_ring_text(written, where=where)
    try:
        reading = reading_on(stick, written)
    except InputError as error:
        raise InputError((f"{where}: found {shown(written)}; {error.problems[0]}",)) from None
    if reading is not None:
        return RingAsked(written=f"{written}", girth=Girth(measure=Measure.DIAMETER, mm=reading.diameter_mm))
    scale = ring_scale(stick.scale_key)
    question = (
        f"beside a stick stands what was read off it, without a scale: a size of {scale.name} between its marks. By "
        f'the rule of a scale? Then delete the key "{STICK}"'
    )
    raise InputError((f"{where}: found {shown(written)}; {question}",))


def _read_choice(table: Table, choice: RingChoice, scale: RingScale | None) -> MakersChoice | None:
    where = table.where(choice.value)
    try:
        return read_makers_choice(table.raw(choice.value), choice=choice, scale=scale, unit=table.units, where=where)
    except InputError as error:
        table.problems.take(error)
        return None
