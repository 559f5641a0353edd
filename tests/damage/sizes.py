"""A second reading of sizes with limits; the standards come from the tables, which have their own tests."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from handwheel.data.iso286 import iso286_deviations
from handwheel.data.iso2768 import GeneralClass, GeneralKind, general_tolerance_mm
from handwheel.domain.errors import DataTableError, OutOfRangeError
from tests.damage.values import MustRefuseError, leave_unjudged, length, refuse

FIT = re.compile(r"(.*[0-9\" ]|.*[0-9] ?(?:mm|in))([A-Za-z]{1,2}[0-9]{1,2})")
BESIDE = {"limits", "plus_minus", "general_class", "finishing_change"}


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRead:
    """Size, limits as they must be on the finished part, change by finishing. [mm]"""

    nominal: Fraction
    lower: Fraction
    upper: Fraction
    change: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Inherited:
    """Tolerance that holds where a size has none of its own, and the units of the file."""

    inch: bool
    general_class: object = None
    plus_minus: Fraction | None = None


def inherit(values: dict[str, object], outer: Inherited) -> Inherited:
    """Tolerance of a table: its own, else that of the table about it."""
    if "plus_minus" in values:
        return Inherited(inch=outer.inch, plus_minus=length(values["plus_minus"], inch=outer.inch))
    if "general_class" in values:
        return Inherited(inch=outer.inch, general_class=values["general_class"])
    return outer


def size(values: dict[str, object], key: str, outer: Inherited, kind: GeneralKind = GeneralKind.LINEAR) -> SizeRead:
    """Size under a key, its limits from beside it, from its fit or from what it inherits; or two whole sizes."""
    if "between" in values:
        return _between(values, key, outer)
    if key not in values:
        refuse(f"{key} is missing")
    ways = {"limits", "plus_minus", "general_class"} & set(values)
    written, fit = values[key], ""
    if isinstance(written, str) and (parts := FIT.fullmatch(written.strip())):
        written, fit = parts[1].strip(), parts[2]
    if len(ways) + bool(fit) > 1:
        refuse("limits in two ways")
    nominal = length(written, inch=outer.inch)
    lower, upper = _deviations(values, nominal, fit, inherit(values, outer), kind)
    change = length(values.get("finishing_change", 0), inch=outer.inch)
    return SizeRead(nominal=nominal, lower=nominal + lower, upper=nominal + upper, change=change)


def _deviations(
    values: dict[str, object], nominal: Fraction, fit: str, outer: Inherited, kind: GeneralKind
) -> tuple[Fraction, Fraction]:
    try:
        if fit:
            return iso286_deviations(nominal, fit)
        if "limits" in values:
            return _pair(values["limits"], inch=outer.inch)
        if outer.plus_minus is not None:
            return -outer.plus_minus, outer.plus_minus
        if outer.general_class is not None:
            half = general_tolerance_mm(kind, nominal, GeneralClass(outer.general_class))
            return -half, half
    except (DataTableError, OutOfRangeError, ValueError) as error:
        raise MustRefuseError(str(error)) from error
    return refuse("no limits")


def _between(values: dict[str, object], key: str, outer: Inherited) -> SizeRead:
    if {key, "limits", "plus_minus", "general_class"} & set(values):
        refuse("limits in two ways")
    lower, upper = _pair(values["between"], inch=outer.inch)
    change = length(values.get("finishing_change", 0), inch=outer.inch)
    return SizeRead(nominal=(lower + upper) / 2, lower=lower, upper=upper, change=change)


def _pair(written: object, *, inch: bool) -> tuple[Fraction, Fraction]:
    if not isinstance(written, list) or len(written) != len(("lower", "upper")):
        refuse(str(written))
    lower, upper = (length(end, inch=inch) for end in written)
    if lower > upper:
        refuse("limits exchanged")
    return lower, upper


def leg(written: object, outer: Inherited) -> tuple[SizeRead, SizeRead] | None:
    """Both legs of an edge, along and across; nothing for a sharp one."""
    if written == "sharp":
        return None
    if isinstance(written, dict) and "round" in written:
        leave_unjudged("a round")
    if isinstance(written, dict):
        if unknown := set(written) - BESIDE - {"along", "across"}:
            refuse(f"unknown: {sorted(unknown)}")
        return size(written, "along", outer, GeneralKind.EDGE), size(written, "across", outer, GeneralKind.EDGE)
    if not isinstance(written, str):
        refuse(str(written))
    parts = re.fullmatch(r"(.*[^ ]) *x *45 *(?:°|deg)?", written)
    if parts is None:
        leave_unjudged(written)
    one = size({"leg": parts[1]}, "leg", outer, GeneralKind.EDGE)
    return one, one
