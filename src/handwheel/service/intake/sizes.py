"""One size with its limits: a fit (20 H8), limits written out, plus and minus, or a general class."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from handwheel.data.iso286 import iso286_deviations
from handwheel.data.iso2768 import GeneralClass, GeneralKind, general_tolerance_mm
from handwheel.domain.errors import DataTableError, OutOfRangeError
from handwheel.domain.size import Size, SizeKind
from handwheel.service.intake.finishing import (
    ALLOWANCE,
    FINISHING_CHANGE,
    LOSS,
    Finishing,
    Places,
    read_finishing,
)
from handwheel.service.intake.lengths import LONGEST_TEXT, shown, shown_in_mm
from handwheel.service.intake.table import Table, by_value

GENERAL_CLASSES = by_value(GeneralClass)
WRITTEN = "written on the drawing"
"""Rule of limits that the maker states; the others name their standard."""
LEAST_PLUS_MINUS_MM = 0.0001
"""Narrower than any gauge of a workshop can tell. [mm]"""
BETWEEN = "between"

_FIT = re.compile(r"(?P<length>.*[0-9\"a-z])\s*(?<![A-Za-z])(?P<fit>[A-Za-z]{1,2}[0-9]{1,2})", re.DOTALL)
_WAYS = 'a fit such as "20 H8", limits = [lower, upper], plus_minus, or general_class'
_WAYS_BESIDE = ("limits", "plus_minus", "general_class")


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
    """What kind of size a key holds, between which lengths it may lie [mm], whether finishing may change it.

    ``places`` says where later work may take metal off, and which way the size then goes; without it a file can state
    a bare change alone.
    """

    kind: SizeKind
    general: GeneralKind = GeneralKind.LINEAR
    fit: Fit = Fit.NONE
    low_mm: float = 0.1
    high_mm: float = 1000.0
    can_be_finished: bool = True
    places: Places | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Deviations from the nominal size and the word they stand on. [mm]"""

    lower: Fraction
    upper: Fraction
    rule: str
    written: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Given:
    """What the file says of a size beside its limits: the size itself, its words, its fit if it has one. [mm]"""

    nominal: Fraction | None
    as_written: str
    fit: str = ""
    limits: Limits | None = None


def read_tolerance(table: Table, *, inherited: Tolerance) -> Tolerance:
    """Read the tolerance of a table: its own keys, else what it inherits."""
    general_class = table.choice("general_class", GENERAL_CLASSES, default=None)
    if table.has("plus_minus"):
        return Tolerance(plus_minus=table.exact_mm("plus_minus", low=LEAST_PLUS_MINUS_MM, high=100.0))
    return Tolerance(general_class=general_class) if general_class else inherited


def has_two_ways(table: Table, name: str, *, fit: str = "") -> bool:
    """Whether a table states limits in more than one way; noted at the key ``name``."""
    ways = [way for way in _WAYS_BESIDE if table.has(way)]
    if fit:
        ways.append(f"the fit {fit}")
    if len(ways) > 1:
        found, do = " and ".join(ways), "delete the others"
        table.fault(name, found=found, allowed="one way to state the limits", do=do)
    return len(ways) > 1


def read_size(table: Table, name: str, *, form: SizeForm, inherited: Tolerance) -> Size | None:
    """Read the size under one key, its limits and finishing change from the keys beside it; notes problems."""
    tolerance = read_tolerance(table, inherited=inherited)
    if table.has(BETWEEN):
        given = _read_between(table, name, form=form)
        return None if given is None else _sized(table, BETWEEN, given, form=form, tolerance=tolerance)
    written = table.raw(name)
    length, fit = split_fit(written)
    nominal = _read_nominal(table, name, length, form=form)
    given = _Given(nominal=nominal, as_written=plain_text(written), fit=fit)
    return _sized(table, name, given, form=form, tolerance=tolerance)


def read_known_size(
    table: Table, name: str, *, nominal: Fraction | None, as_written: str, form: SizeForm, inherited: Tolerance
) -> Size | None:
    """Read limits and finishing change of a size that the key ``name`` states in another way than as a length. [mm]"""
    tolerance = read_tolerance(table, inherited=inherited)
    given = _Given(nominal=nominal, as_written=as_written)
    return _sized(table, name, given, form=form, tolerance=tolerance)


def read_fitted_size(
    table: Table, name: str, *, nominal: Fraction, as_written: str, fit: str, limits: Limits, form: SizeForm
) -> Size | None:
    """Read what finishing does to a size whose limits follow from a fit that the key ``name`` asks for. [mm]"""
    given = _Given(nominal=nominal, as_written=as_written, fit=fit, limits=limits)
    return _sized(table, name, given, form=form, tolerance=Tolerance())


def _sized(table: Table, name: str, given: _Given, *, form: SizeForm, tolerance: Tolerance) -> Size | None:
    """Put limits to a size."""
    nominal = given.nominal
    finishing = read_finishing(table, places=form.places, can_be_finished=form.can_be_finished)
    limits = _read_limits(table, nominal=nominal)
    if nominal is None or has_two_ways(table, name, fit=given.fit):
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


def _read_between(table: Table, name: str, *, form: SizeForm) -> _Given | None:
    """Read the limits of a size as two whole sizes; the size itself is then their middle."""
    allowed, example = "two whole sizes, the lower first", f'write for instance {BETWEEN} = ["19.98", "20.02"]'
    ways = [name, *(way for way in _WAYS_BESIDE if table.has(way))] if table.has(name) else []
    ways = ways or [way for way in _WAYS_BESIDE if table.has(way)]
    pair = table.values(BETWEEN, do=example)
    if ways:
        table.fault(BETWEEN, found=f"{BETWEEN} and {' and '.join(ways)}", allowed="one way", do="delete the others")
        return None
    if len(pair) != len(("lower", "upper")):
        table.fault(BETWEEN, allowed=allowed, do=example)
        return None
    lower, upper = (_read_nominal(table, BETWEEN, written, form=form) for written in pair)
    if lower is None or upper is None:
        return None
    if lower >= upper:
        found = " and ".join(shown(written) for written in pair)
        table.fault(BETWEEN, found=found, allowed=allowed, do="exchange them, or check the figures")
        return None
    half = (upper - lower) / 2
    return _Given(
        nominal=lower + half,
        as_written=f"{plain_text(pair[0])} to {plain_text(pair[1])}",
        limits=Limits(lower=-half, upper=half, rule=WRITTEN),
    )


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
    if nominal is not None and not form.low_mm <= nominal <= form.high_mm:
        found, allowed = shown_in_mm(written, nominal), f"a length from {form.low_mm:g} to {form.high_mm:g} mm"
        table.fault(name, found=found, allowed=allowed, do="check the figure and its unit")
        return None
    return nominal


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
    if max(abs(lower), abs(upper)) >= nominal / 2:
        do = "write how far each limit is from the size, not the size itself"
        table.fault("limits", found=found, allowed=allowed, do=do)
        return None
    return Limits(lower=lower, upper=upper, rule=WRITTEN, written=f" {plain_text(pair[0])}/{plain_text(pair[1])}")


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
    return Limits(lower=lower, upper=upper, rule=f"ISO 286-2 {fit}")


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
    text = f"{float(plus_minus):g} mm" if written is None else plain_text(written)
    return Limits(lower=-plus_minus, upper=plus_minus, rule=WRITTEN, written=f" ± {text}")


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
    return Limits(lower=-tolerance, upper=tolerance, rule=f"ISO 2768-1 {letter}")


def plain_text(written: object) -> str:
    """Text or number as typed, without quotes."""
    return shown(written).strip('"')
