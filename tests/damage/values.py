"""A second reading of lengths and numbers, small and of its own: it shares nothing with the intake.

It reads fewer spellings. What it cannot judge it says so (`UnjudgedError`); what no reader may accept it calls wrong
(`MustRefuseError`), such as ``5 mil`` or a key that nobody knows.
"""

from __future__ import annotations

import csv
import re
from decimal import Decimal
from fractions import Fraction
from importlib.resources import files
from typing import NoReturn

INCH = Fraction(127, 5)
MM: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "µm": Fraction(1, 1000),
    "um": Fraction(1, 1000),
    "in": INCH,
    "inch": INCH,
    "inches": INCH,
    '"': INCH,
    "thou": INCH / 1000,
}
"""Millimetres in a unit; the inch by the agreement of 1959."""
DECIMAL = re.compile(r"([+-]?) ?([0-9]+)(?:([.,])([0-9]+))? ?([a-zµ\"]*)")
FRACTION = re.compile(r"([+-]?) ?(?:([0-9]+)(?: |-))?([0-9]+)/([0-9]+) ?([a-zµ\"]*)")
HUGE_EXPONENT = 12
METALS = frozenset(
    row["key"]
    for row in csv.DictReader(files("handwheel.data").joinpath("material_names.csv").read_text("utf-8").splitlines())
)
"""Keys of the metals, out of the table itself."""


class UnjudgedError(Exception):
    """The spelling is not known here; nothing can be said."""


class MustRefuseError(Exception):
    """No reader may accept this."""


def refuse(why: str) -> NoReturn:
    """Say that no reader may accept this."""
    raise MustRefuseError(why)


def leave_unjudged(why: str) -> NoReturn:
    """Say that this reader cannot judge it."""
    raise UnjudgedError(why)


def number(written: object) -> Fraction:
    """Plain number of the file, exact."""
    if isinstance(written, str):
        leave_unjudged(written)  # a number with its unit in words
    if isinstance(written, bool) or not isinstance(written, int | Decimal):
        refuse(str(written))
    if isinstance(written, Decimal) and (not written.is_finite() or abs(written.adjusted()) > HUGE_EXPONENT):
        refuse(str(written))
    return Fraction(written)


def length(written: object, *, inch: bool) -> Fraction:
    """Length in millimetres, exact; a bare number is in the units of the file."""
    if not isinstance(written, str):
        return number(written) * (INCH if inch else 1)
    text = " ".join(written.lower().split())
    if parts := DECIMAL.fullmatch(text):
        sign, whole, point, digits, unit = parts.groups()
        if point == "," and len(digits) == len("000") and whole[0] != "0" and len(whole) <= len("000"):
            refuse(text)  # thousands, or a decimal comma?
        value = Fraction(f"{whole}.{digits or 0}")
    elif parts := FRACTION.fullmatch(text):
        sign, whole, top, bottom, unit = parts.groups()
        if int(bottom) == 0 or (whole and int(top) >= int(bottom)) or (not unit and not inch):
            refuse(text)
        value = int(whole or 0) + Fraction(int(top), int(bottom))
    elif re.fullmatch(r"[0-9]+[.,][0-9]+/[0-9]+.*|.*\bmils?", text):
        refuse(text)
    else:
        leave_unjudged(text)
    if unit and unit not in MM:
        refuse(text)
    scale = MM[unit] if unit else INCH if inch else Fraction(1)
    return (-value if sign == "-" else value) * scale


def whole_number(written: object) -> int:
    """Whole number without quotes."""
    if isinstance(written, bool) or not isinstance(written, int):
        refuse(str(written))
    return written


def flag(written: object) -> bool:
    """Either of true and false."""
    if not isinstance(written, bool):
        refuse(str(written))
    return written


def words(written: object) -> str:
    """Text of one line."""
    if not isinstance(written, str) or not written.strip():
        refuse(str(written))
    return written.strip()


def metal(written: object) -> str:
    """Key of a metal, as the table of metals lists them; what other names mean is not judged here."""
    word = words(written)
    if word not in METALS:
        leave_unjudged(f"a metal by another name: {word}")
    return word


def table(written: object, known: set[str]) -> dict[str, object]:
    """Table all of whose keys are known."""
    if not isinstance(written, dict):
        refuse(str(written))
    if unknown := set(written) - known:
        refuse(f"unknown: {sorted(unknown)}")
    return written


def rows(written: object, known: set[str]) -> list[dict[str, object]]:
    """List of tables."""
    if not isinstance(written, list):
        refuse(str(written))
    return [table(row, known) for row in written]
