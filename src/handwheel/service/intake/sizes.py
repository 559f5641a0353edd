"""One size with its limits: a fit (20 H8), limits written out, plus and minus, or a general class."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from handwheel.data.iso286 import iso286_deviations
from handwheel.data.iso2768 import GeneralClass, GeneralKind, general_tolerance_mm
from handwheel.domain.errors import DataTableError, InputError, OutOfRangeError
from handwheel.domain.size import Size, SizeKind
from handwheel.service.intake.lengths import LONGEST_TEXT, shown, shown_in_mm
from handwheel.service.intake.limits_text import read_size_text
from handwheel.service.intake.table import Table, by_value

GENERAL_CLASSES = by_value(GeneralClass)
WRITTEN = "written on the drawing"
"""Rule of limits that the maker states; the others name their standard."""
LEAST_PLUS_MINUS_MM = 0.0001
"""Narrower than any gauge of a workshop can tell. [mm]"""
LARGEST_FINISHING_CHANGE_MM = 5.0
"""More than this is no finishing. [mm]"""

_FIT = re.compile(r"(?P<length>.*[0-9\"a-z])\s*(?<![A-Za-z])(?P<fit>[A-Za-z]{1,2}[0-9]{1,2})", re.DOTALL)
_SIGNED = re.compile(r"\s*(?P<sign>[Øø⌀]|dia\.?(?=[ 0-9])|[Rr](?=\s*[0-9.,]))\s*(?P<rest>.*)", re.DOTALL)
_WAYS = (
    'a fit such as "20 H8", limits behind it such as "20 +0.03/-0", limits = [lower, upper], plus_minus, general_class'
)


class Fit(Enum):
    """Which letters of ISO 286 a surface takes."""

    HOLE = "hole"
    SHAFT = "shaft"
    NONE = "neither hole nor shaft"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """What holds where a size says nothing of its own. [mm]"""

    plus_minus: Fraction | None = None
    general_class: GeneralClass | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeForm:
    """What kind of size a key holds, between which lengths it may lie [mm], whether finishing may change it."""

    kind: SizeKind
    general: GeneralKind = GeneralKind.LINEAR
    fit: Fit = Fit.NONE
    low_mm: float = 0.1
    high_mm: float = 1000.0
    can_be_finished: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class _Limits:
    """Deviations from the nominal size and the word they stand on. [mm]"""

    lower: Fraction
    upper: Fraction
    rule: str
    written: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Given:
    """What the file says of a size under its own key: the size, its words, its fit or limits if it has any. [mm]"""

    nominal: Fraction | None
    as_written: str
    fit: str = ""
    limits: _Limits | None = None


def read_tolerance(table: Table, *, inherited: Tolerance) -> Tolerance:
    """Read the tolerance of a table: its own keys, else what it inherits."""
    general_class = table.choice("general_class", GENERAL_CLASSES, default=None)
    if table.has("plus_minus"):
        return Tolerance(plus_minus=table.exact_mm("plus_minus", low=LEAST_PLUS_MINUS_MM, high=100.0))
    return Tolerance(general_class=general_class) if general_class else inherited


def has_two_ways(table: Table, name: str, *, also: str = "") -> bool:
    """Whether a table states limits in more than one way, ``also`` one of them; noted at the key ``name``."""
    ways = [way for way in ("limits", "plus_minus", "general_class") if table.has(way)]
    if also:
        ways.append(also)
    if len(ways) > 1:
        found, do = " and ".join(ways), "delete the others"
        table.fault(name, found=found, allowed="one way to state the limits", do=do)
    return len(ways) > 1


def read_size(table: Table, name: str, *, form: SizeForm, inherited: Tolerance) -> Size | None:
    """Read the size under one key, its limits and finishing change from the keys beside it; notes problems."""
    tolerance = read_tolerance(table, inherited=inherited)
    finishing_change = _read_finishing_change(table) if form.can_be_finished else Fraction(0)
    given = _read_given(table, name, form=form)
    return _sized(table, name, given, form=form, tolerance=tolerance, finishing_change=finishing_change)


def read_known_size(
    table: Table, name: str, *, nominal: Fraction | None, as_written: str, form: SizeForm, inherited: Tolerance
) -> Size | None:
    """Read limits and finishing change of a size that the key ``name`` states in another way than as a length. [mm]"""
    tolerance = read_tolerance(table, inherited=inherited)
    finishing_change = _read_finishing_change(table) if form.can_be_finished else Fraction(0)
    given = _Given(nominal=nominal, as_written=as_written)
    return _sized(table, name, given, form=form, tolerance=tolerance, finishing_change=finishing_change)


def _sized(
    table: Table, name: str, given: _Given, *, form: SizeForm, tolerance: Tolerance, finishing_change: Fraction
) -> Size | None:
    """Put limits to a size."""
    nominal = given.nominal
    limits = _read_limits(table, nominal=nominal)
    if nominal is None or has_two_ways(table, name, also=_own_way(given)):
        return None
    if given.limits:
        limits = given.limits
    elif given.fit:
        limits = _by_fit(table, name, nominal=nominal, fit=given.fit, form=form)
    elif not table.has("limits"):
        limits = _by_tolerance(table, name, nominal=nominal, form=form, tolerance=tolerance)
    if limits is None:
        return None
    size = table.problems.build(
        table.key(name), lambda: _size(given.as_written, nominal, limits, form, finishing_change)
    )
    if size is not None and size.cut_lower <= 0:
        table.fault("finishing_change", allowed="less than the size itself", do="check the figure and its sign")
    return size


def _own_way(given: _Given) -> str:
    """What states limits under the key of the size itself."""
    return f"the fit {given.fit}" if given.fit else "the limits behind the size" if given.limits else ""


def _read_given(table: Table, name: str, *, form: SizeForm) -> _Given:
    """Read what stands under the key of a size: a length, with a fit or with limits behind it."""
    written = table.raw(name)
    try:
        text = _without_sign(table, name, written, form=form)
        stated = read_size_text(text, unit=table.units, where=table.where(name)) if isinstance(text, str) else None
    except InputError as error:
        table.problems.take(error)
        return _Given(nominal=None, as_written=_plain(written))
    if stated is None:
        length, fit = _split_fit(text)
        nominal = _read_nominal(table, name, length, form=form)
        return _Given(nominal=nominal, as_written=_plain(written), fit=fit)
    limits = _Limits(lower=stated.lower, upper=stated.upper, rule=WRITTEN)
    is_sound = _is_within(table, name, stated.nominal, shown(written), form=form) and _are_deviations(
        table, name, limits, below=stated.nominal, found=shown(written)
    )
    return _Given(nominal=stated.nominal if is_sound else None, as_written=_plain(written), limits=limits)


def _without_sign(table: Table, name: str, written: object, *, form: SizeForm) -> object:
    """Leave out the sign of a diameter where one is wanted; ask about a radius."""
    signed = _SIGNED.fullmatch(written) if isinstance(written, str) and len(written) <= LONGEST_TEXT else None
    if signed is None or form.kind is not SizeKind.DIAMETER:
        return written
    if signed["sign"].upper() == "R":
        question = "is it a radius? A diameter is wanted here: write it, twice as much"
        raise InputError((f"{table.where(name)}: found {shown(written)}; {question}",))
    return signed["rest"]


def _read_finishing_change(table: Table) -> Fraction:
    """Read by how much finishing after turning changes the size: a polished bore grows, an outside shrinks. [mm]"""
    largest = LARGEST_FINISHING_CHANGE_MM
    return table.exact_mm("finishing_change", low=-largest, high=largest, default=Fraction(0))


def _size(as_written: str, nominal: Fraction, limits: _Limits, form: SizeForm, finishing_change: Fraction) -> Size:
    return Size(
        nominal=nominal,
        lower=nominal + limits.lower,
        upper=nominal + limits.upper,
        kind=form.kind,
        as_written=f"{as_written}{limits.written}",
        rule=limits.rule,
        finishing_change=finishing_change,
    )


def _split_fit(written: object) -> tuple[object, str]:
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


def _read_limits(table: Table, *, nominal: Fraction | None) -> _Limits | None:
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
    limits = _Limits(lower=lower, upper=upper, rule=WRITTEN, written=f" {_plain(pair[0])}/{_plain(pair[1])}")
    return limits if _are_deviations(table, "limits", limits, below=nominal / 2, found=found) else None


def _are_deviations(table: Table, name: str, limits: _Limits, *, below: Fraction, found: str) -> bool:
    """Whether limits are distances from a size, not sizes themselves; noted if not. [mm]"""
    are_small = max(abs(limits.lower), abs(limits.upper)) < below
    if not are_small:
        do = "write how far each limit is from the size, not the size itself"
        table.fault(name, found=found, allowed="two deviations from the size, the lower first", do=do)
    return are_small


def _by_fit(table: Table, name: str, *, nominal: Fraction, fit: str, form: SizeForm) -> _Limits | None:
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
    return _Limits(lower=lower, upper=upper, rule=f"ISO 286-2 {fit}")


def _by_tolerance(
    table: Table, name: str, *, nominal: Fraction, form: SizeForm, tolerance: Tolerance
) -> _Limits | None:
    """Limits to either side of the size, by plus and minus or by the general class that holds here."""
    if tolerance.plus_minus is not None:
        return _by_plus_minus(table, name, nominal=nominal, plus_minus=tolerance.plus_minus)
    if tolerance.general_class is not None:
        return _by_class(table, name, nominal=nominal, form=form, general_class=tolerance.general_class)
    table.fault(name, allowed=f"a size with its tolerance: {_WAYS}", do="write one of them")
    return None


def _by_plus_minus(table: Table, name: str, *, nominal: Fraction, plus_minus: Fraction) -> _Limits | None:
    if plus_minus >= nominal:
        found = f"plus and minus {float(plus_minus):g} mm on {float(nominal):g} mm"
        table.fault(name, found=found, allowed="less than the size itself", do="check both figures and their units")
        return None
    written = table.raw("plus_minus")
    text = f"{float(plus_minus):g} mm" if written is None else _plain(written)
    return _Limits(lower=-plus_minus, upper=plus_minus, rule=WRITTEN, written=f" ± {text}")


def _by_class(
    table: Table, name: str, *, nominal: Fraction, form: SizeForm, general_class: GeneralClass
) -> _Limits | None:
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
    return _Limits(lower=-tolerance, upper=tolerance, rule=f"ISO 2768-1 {letter}")


def _plain(written: object) -> str:
    """Text or number as typed, without quotes."""
    return shown(written).strip('"')
