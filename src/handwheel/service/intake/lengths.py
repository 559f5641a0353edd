"""Lengths as people write them in a workshop, read exactly into fractions of a millimetre.

A length is read only if it can mean one thing. What can mean two ("5 mil", "1,234") is an error that asks.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from numbers import Rational

from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.where import Named

LONGEST_TEXT = 40
"""Longest text that is still looked at as one length. [characters]"""
SMALLEST_EXPONENT, LARGEST_EXPONENT = -12, 9
"""Powers of ten between which a number is read; beyond, its exact fraction could fill the memory."""

_TOO_LARGE = 10 ** (LARGEST_EXPONENT + 1)

LENGTH_UNITS: Mapping[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "µm": Fraction(1, 1000),
    "um": Fraction(1, 1000),
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "thou": MM_PER_INCH / 1000,
}
"""Words for a unit of length with how many millimetres each is; capitals do not count."""
_BARE = {Units.MM: Fraction(1), Units.INCH: MM_PER_INCH}
_KNOWN_UNITS = 'mm, cm, m, µm, in, " or thou'
_VAGUE_UNITS = {
    "mil": 'a thousandth of an inch or a millimetre? Write "{n} thou" or "{n} mm"',
    "mils": 'thousandths of an inch or millimetres? Write "{n} thou" or "{n} mm"',
    "tenth": 'of a thousandth of an inch or of a millimetre? Write it in "in" or "mm"',
    "tenths": 'of a thousandth of an inch or of a millimetre? Write it in "in" or "mm"',
}
_LOOKALIKES = str.maketrans(
    {
        "\N{MINUS SIGN}": "-",
        "\N{EN DASH}": "-",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{FRACTION SLASH}": "/",
        "\N{NO-BREAK SPACE}": " ",
        "\N{NARROW NO-BREAK SPACE}": " ",
        "\N{GREEK SMALL LETTER MU}": "µ",
        # The set fractions are spread out by hand: compatibility normalisation would read 1½ as 11/2.
        "\N{VULGAR FRACTION ONE HALF}": " 1/2",
        "\N{VULGAR FRACTION ONE QUARTER}": " 1/4",
        "\N{VULGAR FRACTION THREE QUARTERS}": " 3/4",
        "\N{VULGAR FRACTION ONE EIGHTH}": " 1/8",
        "\N{VULGAR FRACTION THREE EIGHTHS}": " 3/8",
        "\N{VULGAR FRACTION FIVE EIGHTHS}": " 5/8",
        "\N{VULGAR FRACTION SEVEN EIGHTHS}": " 7/8",
    }
)

_SHAPE = Pattern(r"(?P<sign>[+-]?)\s*(?P<number>[0-9.,/][0-9.,/ -]*?)\s*(?P<unit>[a-zµ\"']*)", re.IGNORECASE)
_UNIT_SIGNS = "abcdefghijklmnopqrstuvwxyzµ\"'"
_DECIMAL = Pattern(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")
_FRACTION = Pattern(r"(?:(?P<whole>[0-9]+)(?: +| *- *))?(?P<top>[0-9]+) */ *(?P<bottom>[0-9]+)")
_DOTTED_FRACTION = Pattern(r"([0-9]+)[.,]([0-9]+/[0-9]+)")
_MAYBE_THOUSANDS = Pattern(r"[1-9][0-9]{0,2},[0-9]{3}")


class _Unreadable(Exception):  # noqa: N818 - not an error of its own: it carries the rest of the sentence up
    """Why a text is not a length, as ``rule; what to do``."""


def length_mm(written: object, *, unit: Units, where: Named = "length") -> Fraction:
    """Read one length exactly, as a workshop writes it. [mm]

    Parameters
    ----------
    written : object
        Text such as ``"20"``, ``"0,5 mm"``, ``"1 1/4 in"``, ``'1-1/4"'``, ``"5 thou"``, or a whole number, decimal or
        fraction. A leading sign is allowed. Floats are refused: 0.1 is none exactly.
    unit : Units
        Unit of a number that names none.
    where : str or Where
        File and key, for the error.

    Returns
    -------
    Fraction
        The length, exact, sign kept. [mm]

    Raises
    ------
    InputError
        If the text is no length, or can mean two; the text asks for the missing word.

    Examples
    --------
    >>> length_mm("2 1/2 in", unit=Units.MM)
    Fraction(127, 2)
    >>> length_mm("0,5 mm", unit=Units.INCH)
    Fraction(1, 2)
    >>> length_mm("3/16", unit=Units.MM, where="bore")
    Traceback (most recent call last):
        ...
    handwheel.domain.errors.InputError: bore: found "3/16"; a fraction of what? Write "3/16 in" or "3/16 mm"
    """
    try:
        if isinstance(written, str):
            return _from_text(written, unit)
        return exact_number(written) * _BARE[unit]
    except _Unreadable as reason:
        msg = f"{where}: found {shown(written)}; {reason}"
        raise InputError((msg,)) from None


def number_in(written: str, *, where: Named = "number") -> Fraction:
    """Read one decimal or (mixed) fraction without unit or sign, exactly.

    Raises
    ------
    InputError
        If the text is no number, or can mean two; the text asks.

    Examples
    --------
    >>> number_in("7 1/4"), number_in("7,25"), number_in("7¼")
    (Fraction(29, 4), Fraction(29, 4), Fraction(29, 4))
    """
    try:
        return _number(plain_signs(_short(written)).strip())
    except _Unreadable as reason:
        msg = f"{where}: found {shown(written)}; {reason}"
        raise InputError((msg,)) from None


def plain_signs(written: str) -> str:
    """Put plain signs for those that word processors make of them, and spread out fractions: ``7½`` is ``7 1/2``."""
    return written.translate(_LOOKALIKES).replace("''", '"')


def unit_in(written: str) -> str:
    """Unit that the text of a length names, in small letters; empty if it names none.

    Examples
    --------
    >>> unit_in("1/2 in"), unit_in('0.5"'), unit_in("0.03")
    ('in', '"', '')
    """
    text = plain_signs(written).strip().lower()
    return text[len(text.rstrip(_UNIT_SIGNS)) :]


def is_unit(named: str) -> bool:
    """Whether a word is a unit of length that is known here."""
    return named in LENGTH_UNITS


def is_same_unit(named: str, other: str | Units) -> bool:
    """Whether two words stand for one unit, or a word for the unit that a file states."""
    scale = _BARE[other] if isinstance(other, Units) else LENGTH_UNITS.get(other)
    return scale is not None and LENGTH_UNITS.get(named) == scale


def is_mixed_fraction(written: str) -> bool:
    """Whether a text may be one mixed fraction, such as ``1-1/4 in``."""
    shape = _SHAPE.fullmatch(plain_signs(written).strip())
    return shape is not None and _FRACTION.fullmatch(shape["number"].strip()) is not None


def exact_number(written: object) -> Fraction:
    """Whole number, decimal or fraction as an exact fraction; anything else is refused."""
    if isinstance(written, bool) or not isinstance(written, Decimal | Rational):
        reason = f'allowed a number, or text with a unit ({_KNOWN_UNITS}); write for instance "12.5 mm"'
        raise _Unreadable(reason)
    if isinstance(written, Decimal) and not written.is_finite():
        reason = "this is no number; write the length in digits"
        raise _Unreadable(reason)
    if not is_moderate(written):
        reason = "no length in a workshop has that many digits; check the decimal point"
        raise _Unreadable(reason)
    return Fraction(written)


def is_moderate(number: Decimal | Rational | int) -> bool:
    """Whether a number is finite and of so few digits that its exact fraction is harmless.

    Examples
    --------
    >>> is_moderate(Decimal("0.033")), is_moderate(Decimal("1e-999999999")), is_moderate(Decimal("nan"))
    (True, False, False)
    """
    if not isinstance(number, Decimal):
        return bool(-_TOO_LARGE < number < _TOO_LARGE)
    exponent = number.as_tuple().exponent
    return isinstance(exponent, int) and exponent >= SMALLEST_EXPONENT and number.adjusted() <= LARGEST_EXPONENT


def _from_text(written: str, unit: Units) -> Fraction:
    text = plain_signs(_short(written)).strip()
    shape = _SHAPE.fullmatch(text)
    if shape is None:
        reason = f'allowed a number and a unit ({_KNOWN_UNITS}); write for instance "12.5 mm" or "1 1/4 in"'
        raise _Unreadable(reason)
    number, named = shape["number"].strip(), shape["unit"].lower()
    value = _number(number) * _scale(named, number=number, unit=unit)
    return -value if shape["sign"] == "-" else value


def _short(written: str) -> str:
    """Text that is short enough to be looked at as one length or number."""
    if len(written) > LONGEST_TEXT:
        reason = f"a length has at most {LONGEST_TEXT} characters; write the length alone"
        raise _Unreadable(reason)
    return written


def _scale(named: str, *, number: str, unit: Units) -> Fraction:
    """Millimetres in the unit that was named."""
    if named in _VAGUE_UNITS:
        raise _Unreadable(_VAGUE_UNITS[named].format(n=number))
    if not named and "/" in number and unit is Units.MM:
        reason = f'a fraction of what? Write "{number} in" or "{number} mm"'
        raise _Unreadable(reason)
    if not named:
        return _BARE[unit]
    if named not in LENGTH_UNITS:
        reason = f'"{named}" is no unit that is known here; write one of {_KNOWN_UNITS}'
        raise _Unreadable(reason)
    return LENGTH_UNITS[named]


def _number(text: str) -> Fraction:
    """Read a decimal or a (mixed) fraction."""
    if _MAYBE_THOUSANDS.fullmatch(text) or ("." in text and "," in text) or text.count(",") > 1:
        one, other = text.replace(",", ""), text.replace(".", "").replace(",", ".")
        reason = f'does the comma part thousands, or is it a decimal comma? Write "{one}" or "{other}"'
        raise _Unreadable(reason)
    if dotted := _DOTTED_FRACTION.fullmatch(text):
        reason = f'a whole number and a fraction, or a slip? Write "{dotted[1]} {dotted[2]}", or one decimal number'
        raise _Unreadable(reason)
    if _DECIMAL.fullmatch(text):
        return Fraction(text.replace(",", "."))
    return _mixed_fraction(text)


def _mixed_fraction(text: str) -> Fraction:
    """Read ``3/16``, ``1 1/4`` or ``1-1/4``."""
    parts = _FRACTION.fullmatch(text)
    if parts is None:
        reason = 'allowed one decimal number or one fraction; write for instance "12.5", "3/16" or "1 1/4"'
        raise _Unreadable(reason)
    top, bottom = int(parts["top"]), int(parts["bottom"])
    if bottom == 0:
        reason = "nothing can be divided by 0; check the fraction"
        raise _Unreadable(reason)
    if parts["whole"] is not None and top >= bottom:
        reason = f"the fraction {top}/{bottom} after a whole number must be below 1; check it"
        raise _Unreadable(reason)
    return int(parts["whole"] or 0) + Fraction(top, bottom)


def shown_in_mm(written: object, read_mm: Fraction) -> str:
    """Say a length as it was written, with what it means in mm unless that is the same.

    Examples
    --------
    >>> shown_in_mm("2 in", Fraction("50.8")), shown_in_mm(20, Fraction(20))
    ('"2 in", which is 50.8 mm', '20')
    """
    meaning = f"{float(read_mm):g}"
    return shown(written) if shown(written) == meaning else f"{shown(written)}, which is {meaning} mm"


def shown(value: object, *, most: int = LONGEST_TEXT) -> str:
    """Text of a value for a message, cut short; a table or list is named, not unrolled.

    Examples
    --------
    >>> shown("20 H8"), shown(Decimal("0.1")), shown({"a": 1}), shown(False)
    ('"20 H8"', '0.1', 'a table', 'false')
    """
    if isinstance(value, str):
        text = '"' + "".join(sign if sign.isprintable() else " " for sign in value[: most + 1]) + '"'
    elif isinstance(value, bool):
        text = "true" if value else "false"
    elif isinstance(value, dict):
        text = "a table"
    elif isinstance(value, list):
        text = f"a list of {len(value)}"
    elif isinstance(value, int) and abs(value) >= 10**most:
        text = f"a whole number of more than {most} digits"
    else:
        text = str(value)
    return text if len(text) <= most + 2 else f"{text[:most]}..."
