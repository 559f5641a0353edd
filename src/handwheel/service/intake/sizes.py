"""One size with its limits: a fit (20 H8), limits written out, two whole sizes, plus and minus, a general class."""

from __future__ import annotations

import re
from enum import Enum

from msgspec import Struct

from handwheel.data.iso286 import FIT_RULE, iso286_deviations
from handwheel.data.iso2768 import GENERAL_RULE, GeneralClass, GeneralKind, general_tolerance_mm
from handwheel.domain.errors import DataTableError, InputError, OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH, Size, SizeKind
from handwheel.service.intake.finishing import (
    ALLOWANCE,
    FINISHING_CHANGE,
    LOSS,
    Finishing,
    Places,
    read_finishing,
)
from handwheel.service.intake.lengths import LONGEST_TEXT, shown, shown_in_mm
from handwheel.service.intake.limits_text import read_size_text
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.table import Table, by_value

GENERAL_CLASSES = by_value(GeneralClass)
WRITTEN = "written on the drawing"
"""Rule of limits that the maker states; the others name their standard."""
LEAST_PLUS_MINUS_MM = 0.0001
"""Narrower than any gauge of a workshop can tell. [mm]"""
BETWEEN = "between"
FIT, RING_SIZE = "fit", "ring_size"
"""Keys that say the diameter in another way; only a file that has one loads what reads it."""

_BEHIND = "the limits behind the size"
_FIT = Pattern(r"(?P<length>.*[0-9\"a-z])\s*(?<![A-Za-z])(?P<fit>[A-Za-z]{1,2}[0-9]{1,2})", re.DOTALL)
_SIGNED = Pattern(r"\s*(?P<sign>[Øø⌀]|dia\.?(?=[ 0-9])|[Rr](?=\s*[0-9.,]))\s*(?P<rest>.*)", re.DOTALL)
_WAYS = (
    'a fit such as "20 H8", limits behind it such as "20 +0.03/-0", limits = [lower, upper], plus_minus, general_class'
)
WAYS_BESIDE = ("limits", "plus_minus", "general_class")
"""Keys that state the limits of a size beside it."""


class Fit(Enum):
    """Which letters of ISO 286 a surface takes."""

    HOLE = "hole"
    SHAFT = "shaft"
    NONE = "neither hole nor shaft"


class Tolerance(Struct, frozen=True, kw_only=True):
    """What holds where a size says nothing of its own. [mm]"""

    plus_minus: Fraction | None = None
    general_class: GeneralClass | None = None


class SizeForm(Struct, frozen=True, kw_only=True):
    """What kind of size a key holds, between which lengths it may lie [mm], whether finishing may change it.

    ``places`` says where later work may take metal off, and which way the size then goes; without it a file can state
    a bare change alone. ``may_be_between`` says whether two whole sizes may stand in its place: not where a table
    holds more than one size.
    """

    kind: SizeKind
    general: GeneralKind = GeneralKind.LINEAR
    fit: Fit = Fit.NONE
    low_mm: float = 0.1
    high_mm: float = 1000.0
    can_be_finished: bool = True
    places: Places | None = None
    may_be_between: bool = False


class Limits(Struct, frozen=True, kw_only=True):
    """Deviations from the nominal size and the word they stand on. [mm]"""

    lower: Fraction
    upper: Fraction
    rule: str
    written: str = ""


class _Given(Struct, frozen=True, kw_only=True):
    """What the file says of a size under its own key: the size, its words, its fit or limits if it has any. [mm]

    ``ways`` names, for messages, how that states limits.
    """

    nominal: Fraction | None
    as_written: str
    fit: str = ""
    limits: Limits | None = None
    ways: tuple[str, ...] = ()


def read_tolerance(table: Table, *, inherited: Tolerance) -> Tolerance:
    """Read the tolerance of a table: its own keys, else what it inherits."""
    general_class = table.choice("general_class", GENERAL_CLASSES, default=None)
    if table.has("plus_minus"):
        return Tolerance(plus_minus=table.exact_mm("plus_minus", low=LEAST_PLUS_MINUS_MM, high=100.0))
    return Tolerance(general_class=general_class) if general_class else inherited


def has_two_ways(table: Table, name: str, *, own: tuple[str, ...] = ()) -> bool:
    """Whether a table states limits in more than one way, ``own`` at the size itself; noted at the key ``name``."""
    ways = (*(way for way in WAYS_BESIDE if table.has(way)), *own)
    if len(ways) > 1:
        found, do = " and ".join(ways), "delete the others"
        table.fault(name, found=found, allowed="one way to state the limits", do=do)
    return len(ways) > 1


def refuse_beside(table: Table, others: tuple[str, ...], *, beside: str) -> None:
    """Note every key that would say a second time what ``beside`` says already; that is worded for the message."""
    for other in others:
        if table.has(other):
            table.fault(other, allowed=f"nothing beside {beside}", do="delete one of them")


def read_size(table: Table, name: str, *, form: SizeForm, inherited: Tolerance) -> Size | None:
    """Read the size under one key, its limits and what finishing does to it from the keys beside it; notes problems."""
    tolerance = read_tolerance(table, inherited=inherited)
    if form.may_be_between and table.has(BETWEEN):
        return _sized(table, BETWEEN, _read_between(table, name, form=form), form=form, tolerance=tolerance)
    return _sized(table, name, _read_given(table, name, form=form), form=form, tolerance=tolerance)


def read_known_size(
    table: Table,
    name: str,
    *,
    nominal: Fraction | None,
    as_written: str,
    form: SizeForm,
    inherited: Tolerance,
    fit: str = "",
    limits: Limits | None = None,
) -> Size | None:
    """Read limits and finishing change of a size that the key ``name`` states in another way than as a length. [mm]

    ``fit`` or ``limits`` are those that stand behind it in its text, and then no others may stand beside it.
    """
    tolerance = read_tolerance(table, inherited=inherited)
    ways = (_fit_words(fit),) if fit else (_BEHIND,) if limits else ()
    if nominal is not None and limits is not None:
        found = shown(table.raw(name))
        nominal = nominal if _are_deviations(table, name, limits, below=nominal / 2, found=found) else None
    given = _Given(nominal=nominal, as_written=as_written, fit=fit, limits=limits, ways=ways)
    return _sized(table, name, given, form=form, tolerance=tolerance)


def read_fitted_size(
    table: Table, name: str, *, nominal: Fraction, as_written: str, fit: str, limits: Limits, form: SizeForm
) -> Size | None:
    """Read what finishing does to a size whose limits follow from a fit that the key ``name`` asks for. [mm]"""
    given = _Given(nominal=nominal, as_written=as_written, limits=limits, ways=(_fit_words(fit),))
    return _sized(table, name, given, form=form, tolerance=Tolerance())


def _sized(table: Table, name: str, given: _Given, *, form: SizeForm, tolerance: Tolerance) -> Size | None:
    """Put limits to a size."""
    nominal = given.nominal
    finishing = read_finishing(table, places=form.places, can_be_finished=form.can_be_finished)
    limits = _read_limits(table, nominal=nominal)
    if nominal is None or has_two_ways(table, name, own=given.ways):
        return None
    if given.limits is not None:
        limits = given.limits
    elif given.fit:
        limits = _by_fit(table, name, nominal=nominal, fit=given.fit, form=form)
    elif not table.has("limits"):
        limits = _by_tolerance(table, name, nominal=nominal, form=form, tolerance=tolerance)
    if limits is None:
        return None
    size = table.problems.build(table.key(name), lambda: _size(given.as_written, nominal, limits, form, finishing))
    if size is not None and size.cut_lower <= 0:
        key = next((key for key in (FINISHING_CHANGE, ALLOWANCE, LOSS) if table.has(key)), name)
        table.fault(key, allowed="less than the size itself", do="check the figure and its sign")
    return size


def _size(as_written: str, nominal: Fraction, limits: Limits, form: SizeForm, finishing: Finishing) -> Size:
    size = Size(
        nominal=nominal,
        lower=nominal + limits.lower,
        upper=nominal + limits.upper,
        kind=form.kind,
        as_written=f"{as_written}{limits.written}",
        rule=limits.rule,
    )
    return finishing.before(size)


def _fit_words(fit: str) -> str:
    return f"the fit {fit}"


def _read_given(table: Table, name: str, *, form: SizeForm) -> _Given:
    """Read what stands under the key of a size: a length, with a fit or with limits behind it."""
    written = table.raw(name)
    as_written = plain_text(written)
    try:
        text = _without_sign(table, name, written, form=form)
        stated = read_size_text(text, unit=table.units, where=table.where(name)) if isinstance(text, str) else None
    except InputError as error:
        table.problems.take(error)
        return _Given(nominal=None, as_written=as_written)
    if stated is None:
        length, fit = split_fit(text)
        nominal = _read_nominal(table, name, length, form=form)
        return _Given(nominal=nominal, as_written=as_written, fit=fit, ways=(_fit_words(fit),) if fit else ())
    limits = Limits(lower=stated.lower, upper=stated.upper, rule=WRITTEN)
    is_sound = _is_within(table, name, stated.nominal, shown(written), form=form) and _are_deviations(
        table, name, limits, below=stated.nominal, found=shown(written)
    )
    nominal = stated.nominal if is_sound else None
    return _Given(nominal=nominal, as_written=as_written, limits=limits, ways=(_BEHIND,))


def _without_sign(table: Table, name: str, written: object, *, form: SizeForm) -> object:
    """Leave out the sign of a diameter where one is wanted; ask about a radius."""
    signed = _SIGNED.fullmatch(written) if isinstance(written, str) and len(written) <= LONGEST_TEXT else None
    if signed is None or form.kind is not SizeKind.DIAMETER:
        return written
    if signed["sign"].upper() == "R":
        question = "is it a radius? A diameter is wanted here: write it, twice as much"
        raise InputError((f"{table.where(name)}: found {shown(written)}; {question}",))
    return signed["rest"]


def _read_between(table: Table, name: str, *, form: SizeForm) -> _Given:
    """Read the limits of a size as two whole sizes; the size itself is then their middle."""
    allowed, example = "two whole sizes, the lower first", f'write for instance {BETWEEN} = ["19.98", "20.02"]'
    ways = (name, BETWEEN) if table.has(name) else (BETWEEN,)
    pair = table.values(BETWEEN, do=example)
    unread = _Given(nominal=None, as_written="", ways=ways)
    if has_two_ways(table, BETWEEN, own=ways):
        return unread
    if len(pair) != len(("lower", "upper")):
        table.fault(BETWEEN, allowed=allowed, do=example)
        return unread
    lower, upper = (_read_end(table, written, form=form) for written in pair)
    if lower is None or upper is None:
        return unread
    if lower >= upper:
        found = " and ".join(shown(written) for written in pair)
        table.fault(BETWEEN, found=found, allowed=allowed, do="exchange them, or check the figures")
        return unread
    half = (upper - lower) / 2
    return _Given(
        nominal=lower + half,
        as_written=f"{plain_text(pair[0])} to {plain_text(pair[1])}",
        limits=Limits(lower=-half, upper=half, rule=WRITTEN),
        ways=ways,
    )


def _read_end(table: Table, written: object, *, form: SizeForm) -> Fraction | None:
    """Read one of two whole sizes. [mm]"""
    try:
        return _read_nominal(table, BETWEEN, _without_sign(table, BETWEEN, written, form=form), form=form)
    except InputError as error:
        table.problems.take(error)
        return None


def split_fit(written: object) -> tuple[object, str]:
    """Length and fit of a text such as ``20 H8``; the fit is empty if there is none."""
    if isinstance(written, str) and len(written) <= LONGEST_TEXT and (parts := _FIT.fullmatch(written.strip())):
        return parts["length"], parts["fit"]
    return written, ""


def _read_nominal(table: Table, name: str, written: object, *, form: SizeForm) -> Fraction | None:
    """Read the size itself, within what its kind allows."""
    if written is None:
        table.fault(name, allowed=f"a length, with {_WAYS}", do=f"write {name} = ... and its tolerance")
        return None
    nominal = table.read_length(name, written)
    if nominal is None or not _is_within(table, name, nominal, shown_in_mm(written, nominal), form=form):
        return None
    return nominal


def _is_within(table: Table, name: str, nominal: Fraction, found: str, *, form: SizeForm) -> bool:
    """Whether a size lies within what its kind allows; noted if not."""
    is_within = form.low_mm <= nominal <= form.high_mm
    if not is_within:
        allowed = f"a length from {form.low_mm:g} to {form.high_mm:g} mm"
        table.fault(name, found=found, allowed=allowed, do="check the figure and its unit")
    return is_within


def _read_limits(table: Table, *, nominal: Fraction | None) -> Limits | None:
    """Read limits written out as deviations; whole sizes in their place would be a costly misreading."""
    if not table.has("limits"):
        return None
    allowed, example = "two deviations from the size, the lower first", 'write for instance limits = ["0", "+0.033"]'
    pair = table.values("limits", do=example)
    if len(pair) != len(("lower", "upper")):
        table.fault("limits", allowed=allowed, do=example)
        return None
    lower, upper = (table.read_length("limits", written) for written in pair)
    if lower is None or upper is None or nominal is None:
        return None
    found = " and ".join(shown(written) for written in pair)
    if lower > upper:
        table.fault("limits", found=found, allowed=allowed, do="exchange them, or check the signs")
        return None
    limits = Limits(lower=lower, upper=upper, rule=WRITTEN, written=f" {plain_text(pair[0])}/{plain_text(pair[1])}")
    return limits if _are_deviations(table, "limits", limits, below=nominal / 2, found=found) else None


def _are_deviations(table: Table, name: str, limits: Limits, *, below: Fraction, found: str) -> bool:
    """Whether limits are distances from a size, not sizes themselves; noted if not. [mm]"""
    are_small = max(abs(limits.lower), abs(limits.upper)) < below
    if not are_small:
        do = "write how far each limit is from the size, not the size itself"
        table.fault(name, found=found, allowed="two deviations from the size, the lower first", do=do)
    return are_small


def _by_fit(table: Table, name: str, *, nominal: Fraction, fit: str, form: SizeForm) -> Limits | None:
    """Limits of ISO 286-2, where capital letters are holes and small ones shafts."""
    allowed, is_right = {
        Fit.HOLE: ("a fit for holes, in capital letters, such as H8", fit[0].isupper()),
        Fit.SHAFT: ("a fit for shafts, in small letters, such as h11", fit[0].islower()),
        Fit.NONE: ("limits, plus_minus or general_class: this is no hole and no shaft", False),
    }[form.fit]
    if not is_right:
        table.fault(name, allowed=allowed, do="check the letter and its case")
        return None
    try:
        lower, upper = iso286_deviations(nominal, fit)
    except (DataTableError, OutOfRangeError) as error:
        do = "or write limits = [lower, upper] in place of the fit"
        table.fault(name, allowed=f"a fit that the table of ISO 286 holds ({error})", do=do)
        return None
    return Limits(lower=lower, upper=upper, rule=f"{FIT_RULE}{fit}")


def _by_tolerance(table: Table, name: str, *, nominal: Fraction, form: SizeForm, tolerance: Tolerance) -> Limits | None:
    """Limits to either side of the size, by plus and minus or by the general class that holds here."""
    if tolerance.plus_minus is not None:
        return _by_plus_minus(table, name, nominal=nominal, plus_minus=tolerance.plus_minus)
    if tolerance.general_class is not None:
        return _by_class(table, name, nominal=nominal, form=form, general_class=tolerance.general_class)
    table.fault(name, allowed=f"a size with its tolerance: {_WAYS}", do="write one of them")
    return None


def _by_plus_minus(table: Table, name: str, *, nominal: Fraction, plus_minus: Fraction) -> Limits | None:
    if plus_minus >= nominal:
        found = f"plus and minus {float(plus_minus):g} mm on {float(nominal):g} mm"
        table.fault(name, found=found, allowed="less than the size itself", do="check both figures and their units")
        return None
    written = table.raw("plus_minus")
    text = _in_units(plus_minus, table.units) if written is None else plain_text(written)
    return Limits(lower=-plus_minus, upper=plus_minus, rule=WRITTEN, written=f" ± {text}")


def _in_units(length_mm: Fraction, units: Units) -> str:
    """Length that stands elsewhere in the file, in the unit of its bare figures: rounded for reading alone. [mm]"""
    if units is Units.INCH:
        return f"{float(length_mm / MM_PER_INCH):g} in"
    return f"{float(length_mm):g} mm"


def _by_class(
    table: Table, name: str, *, nominal: Fraction, form: SizeForm, general_class: GeneralClass
) -> Limits | None:
    """Limits of ISO 2768-1, where it gives any for this size."""
    letter = general_class.value
    try:
        tolerance = general_tolerance_mm(form.general, nominal, general_class)
    except (DataTableError, OutOfRangeError) as error:
        found = f"{shown(table.raw(name))} with general class {letter}"
        table.fault(
            name, found=found, allowed=f"what ISO 2768-1 covers ({error})", do="write plus_minus = ... beside it"
        )
        return None
    return Limits(lower=-tolerance, upper=tolerance, rule=f"{GENERAL_RULE} {letter}")


def plain_text(written: object) -> str:
    """Text or number as typed, without quotes."""
    return shown(written).strip('"')
