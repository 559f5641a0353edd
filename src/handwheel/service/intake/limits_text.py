"""A size with its limits in one text, as a drawing has it: 17.20 mm +0.03/-0, 17.20 ± 0.03, 17.17 to 17.23 mm."""

from __future__ import annotations

import re

from msgspec import Struct

from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import (
    LONGEST_TEXT,
    is_mixed_fraction,
    is_same_unit,
    is_unit,
    length_mm,
    plain_signs,
    shown,
    unit_in,
)
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.where import Named

_NUMBER = r"(?:[0-9]+[ ]*/[ ]*[0-9]+|[0-9]+[.,]?[0-9]*|[.,][0-9]+)"
_UNIT = r"[ ]*[a-zµ\"']*"
_ZERO = r"0+(?:[.,]0+)?"
_SIZE = r"(?P<size>.*[0-9a-zµ\"'])"
_FIRST = rf"(?:[ ]*(?P<first>[+-][ ]*{_NUMBER}{_UNIT})|[ ]+(?P<first_zero>{_ZERO}{_UNIT}))"
_SECOND = rf"(?:[ ]*/?[ ]*(?P<second>[+-][ ]*{_NUMBER}{_UNIT})|(?:[ ]*/[ ]*|[ ]+)(?P<second_zero>{_ZERO}{_UNIT}))"
_SIGNS = ("±", "+", "-", "/", "..", "…", " to ")
"""Limits, and what looks like them, have one of these; most sizes have none."""
_PLUS_MINUS = Pattern(rf"{_SIZE}[ ]*(?:±|\+[ ]*/[ ]*-|\+-)[ ]*(?P<both>{_NUMBER}{_UNIT})", re.IGNORECASE)
_DEVIATIONS = Pattern(rf"{_SIZE.replace('.*', '.*?')}{_FIRST}{_SECOND}", re.IGNORECASE)
_RANGE = Pattern(rf"{_SIZE}[ ]*(?:[ ]to[ ]|\.\.\.?|…)[ ]*(?P<other>[0-9.,].*)", re.IGNORECASE)
_FIT = Pattern(r".*[0-9\"a-z][ ]*(?<![A-Za-z])[A-Za-z]{1,2}[0-9]{1,2}")
_ONE_ONLY = Pattern(
    rf"(?P<size>[0-9.,][0-9.,/ -]*{_UNIT})[ ]*(?P<sign>[+-])[ ]*(?P<one>{_NUMBER}{_UNIT})", re.IGNORECASE
)
_STACKED = Pattern(
    r"(?P<one>[0-9]*[.,][0-9]+|[0-9]+[.,]?[0-9]*)[ ]*/[ ]*(?P<other>[0-9]*[.,][0-9]+)(?P<unit>[ ]*[a-z\"']*)",
    re.IGNORECASE,
)
_WHOLE = Pattern(r"[0-9]+")
_FRACTION_BELOW = Pattern(rf"-[ ]*[0-9]+[ ]*/[ ]*[0-9]+{_UNIT}", re.IGNORECASE)


class SizeText(Struct, frozen=True, kw_only=True):
    """A size and its limits as one text says them: the text of the size, its limits as deviations. [mm]"""

    size: str
    nominal: Fraction
    lower: Fraction
    upper: Fraction


class _Question(Exception):  # noqa: N818 - not an error of its own: it carries the rest of the sentence up
    """What is unclear, as ``question? what to write``."""


def read_size_text(written: str, *, unit: Units, where: Named) -> SizeText | None:
    """Read a size with the limits that stand behind it, exactly; nothing if no limits do.

    A deviation that names no unit has that of its size. Two limits name no size, so their middle is taken for it.

    Parameters
    ----------
    written : str
        Text such as ``"17.20 mm +0.03/-0"``, ``"17.20 ± 0.03"``, ``"17.17 to 17.23 mm"``.
    unit : Units
        Unit of a text that names none.
    where : str or Where
        File and key, for the error.

    Raises
    ------
    InputError
        If it can mean two things, such as ``"17.17 - 17.23"``; the text asks. If a length in it is none.

    Examples
    --------
    >>> read = read_size_text("0.677 in +0.001/-0.000", unit=Units.MM, where="bore")
    >>> read.nominal, read.lower, read.upper
    (Fraction(85979, 5000), Fraction(0, 1), Fraction(127, 5000))
    """
    if len(written) > LONGEST_TEXT:
        return None
    text = " ".join(plain_signs(written).replace("(", " ").replace(")", " ").split())
    try:
        return _read(text, unit, where)
    except _Question as question:
        msg = f"{where}: found {shown(written)}; {question}"
        raise InputError((msg,)) from None


def ends_mm(written: str, *, unit: Units, where: Named) -> tuple[Fraction, Fraction]:
    """Lower and upper limit of a text such as ``"0.2 to 0.4 mm"``; of one length without limits, that length twice.

    Units are taken as by `read_size_text`, which also says what is asked back. [mm]

    Raises
    ------
    InputError
        If the text is no length and no two limits, or can mean two things.

    Examples
    --------
    >>> [float(end) for end in ends_mm("0.2 to 0.4 mm", unit=Units.INCH, where="allowance")]
    [0.2, 0.4]
    """
    stated = read_size_text(written, unit=unit, where=where)
    if stated is None:
        length = length_mm(written, unit=unit, where=where)
        return length, length
    return stated.nominal + stated.lower, stated.nominal + stated.upper


def _read(text: str, unit: Units, where: Named) -> SizeText | None:
    lower = text.lower()
    if not any(sign in lower for sign in _SIGNS):
        return None
    if parts := _PLUS_MINUS.fullmatch(text):
        size, both = _in_one_unit(parts["size"].strip(), (parts["both"],), unit)
        nominal = _size_mm(size, unit, where)
        deviation = length_mm(both, unit=unit, where=where)
        return SizeText(size=size, nominal=nominal, lower=-deviation, upper=deviation)
    if (parts := _DEVIATIONS.fullmatch(text)) and not is_mixed_fraction(text):
        return _read_deviations(parts, unit, where)
    if parts := _RANGE.fullmatch(text):
        return _read_range(parts["size"].strip(), parts["other"], unit, where)
    _ask_back(text, unit)
    return None


def split_limits(text: str) -> tuple[str, tuple[str, str]] | None:
    """Part a text into its size and the two deviations behind it, none of them read; nothing if there are none.

    Examples
    --------
    >>> split_limits("US 7 ± 0.02 mm"), split_limits("US 7 +0.05/-0"), split_limits("US 7")
    (('US 7', ('-0.02 mm', '+0.02 mm')), ('US 7', ('+0.05', '-0')), None)
    """
    if parts := _PLUS_MINUS.fullmatch(text):
        return parts["size"].strip(), (f"-{parts['both'].strip()}", f"+{parts['both'].strip()}")
    parts = _DEVIATIONS.fullmatch(text)
    return None if parts is None else (parts["size"].strip(), _deviations_in(parts))


def _deviations_in(parts: re.Match[str]) -> tuple[str, str]:
    first, second = ((parts[name] or parts[f"{name}_zero"]).strip() for name in ("first", "second"))
    return first, second


def _size_mm(size: str, unit: Units, where: Named) -> Fraction:
    """Length of the size alone; a fit beside limits would say them twice. [mm]"""
    if _FIT.fullmatch(size):
        reason = f'"{size}" is a fit and says its limits already; delete the fit, or what stands behind it'
        raise _Question(reason)
    return length_mm(size, unit=unit, where=where)


def _read_deviations(parts: re.Match[str], unit: Units, where: Named) -> SizeText:
    written = _deviations_in(parts)
    size = parts["size"].strip()
    if _WHOLE.fullmatch(size) and _FRACTION_BELOW.fullmatch(written[0]):
        one = f"{size}{written[0]}".replace(" ", "")
        reason = (
            f'is {one} the size, or {size} and how far it may go below? Write its unit behind the size: "{size} in"'
        )
        raise _Question(reason)
    size, *deviations = _in_one_unit(size, written, unit)
    nominal = _size_mm(size, unit, where)
    lower, upper = sorted(length_mm(deviation, unit=unit, where=where) for deviation in deviations)
    return SizeText(size=size, nominal=nominal, lower=lower, upper=upper)


def _read_range(one: str, other: str, unit: Units, where: Named) -> SizeText:
    """Read the two limits themselves; the first may leave its unit to the second, as people write it."""
    other, one = _in_one_unit(other, (one,), unit)
    lower, upper = (length_mm(end, unit=unit, where=where) for end in (one, other))
    if lower > upper:
        reason = f'the first limit is above the second; write "{other} to {one}", or check the figures'
        raise _Question(reason)
    middle = (lower + upper) / 2
    return SizeText(size=f"{one} to {other}", nominal=middle, lower=lower - middle, upper=upper - middle)


def _in_one_unit(size: str, others: tuple[str, ...], unit: Units) -> tuple[str, ...]:
    """Put the unit of the size behind what names none; ask where a unit that stands elsewhere could be meant for it."""
    own = unit_in(size)
    foreign = [other for other in others if unit_in(other) and not is_nought(other)]
    if not own and any(not is_same_unit(unit_in(other), unit) for other in foreign):
        named = unit_in(foreign[-1])
        reason = f'of which unit is {size}? Write "{size} {_word(unit)}" or "{size} {named}", and the limits behind it'
        raise _Question(reason)
    bare = [other for other in others if not unit_in(other) and not is_nought(other)]
    if own and bare and any(not is_same_unit(unit_in(other), own) for other in foreign):
        reason = f'of which unit is {bare[0]}? Write "{bare[0]} {own}" or "{bare[0]} {unit_in(foreign[-1])}"'
        raise _Question(reason)
    return (size, *(other if unit_in(other) or not own else f"{other} {own}" for other in others))


def is_nought(deviation: str) -> bool:
    """Whether the text of a deviation is nothing, of whatever unit."""
    return not re.search(r"[1-9]", deviation)


def _word(unit: Units) -> str:
    return "mm" if unit is Units.MM else "in"


def _ask_back(text: str, unit: Units) -> None:
    """Ask where one limit is missing, or where two limits look like a difference or a fraction."""
    if is_mixed_fraction(text):
        return
    if (parts := _STACKED.fullmatch(text)) and ("." in text or "," in text):
        low, high = sorted((parts["one"], parts["other"]), key=lambda end: _mm_or_nought(end, unit))
        reason = f'two limits, or a fraction? Write "{low} to {high}{parts["unit"]}"'
        raise _Question(reason)
    parts = _ONE_ONLY.fullmatch(text)
    if parts is None or not (is_unit(unit_in(parts["size"])) or not unit_in(parts["size"])):
        return
    raise _Question(_about_one_limit(parts["size"].strip(), parts["sign"], parts["one"].strip(), unit))


def _about_one_limit(size: str, sign: str, one: str, unit: Units) -> str:
    """Ask for the limit that is missing; a large difference may be two limits with a dash between them."""
    other = "+" if sign == "-" else "-"
    stated = f'"{size} {sign}{one}/{other}0"'
    if sign == "-" and _mm_or_nought(one, unit) > _mm_or_nought(size, unit) / 2:
        low, high = sorted((size, one), key=lambda end: _mm_or_nought(end, unit))
        return f'two limits with a dash? Write "{low} to {high}"'
    return f'what is the other limit? Write {stated}, or "{size} ± {one}"'


def _mm_or_nought(written: str, unit: Units) -> Fraction:
    """Length for a comparison in a question; nought if the text is none. [mm]"""
    try:
        return length_mm(written, unit=unit)
    except InputError:
        return Fraction(0)
