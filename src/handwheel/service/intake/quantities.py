"""Speeds, angles, times and the like with their units, as people write them: 300 rpm, 45°, 5°43', 5 min, 1.5 kW."""

from __future__ import annotations

import re
from collections.abc import Mapping

from msgspec import Struct, field

from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.service.intake.lengths import LONGEST_TEXT, number_in, plain_signs, shown
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.places import quoted
from handwheel.service.intake.where import Named

_CUTTING_SPEED = (
    "that is how fast the metal runs past the tool, and hangs on the diameter; turns of the spindle are wanted. "
    'How many? Write them, such as "300 rev/min"'
)
_FEED = 'that is a feed; turns of the spindle are wanted. How many? Write them, such as "300 rev/min"'
_HORSEPOWER = "metric or mechanical horsepower? Write the watts that stand on the motor's plate"
_TAPER = "a taper, or a ratio? The angle itself is wanted: write it in degrees"
_RADIANS = "the angle is wanted in degrees: write it so"

_SHAPE = Pattern(r"(?P<sign>[+-]?)\s*(?P<number>[0-9.,][0-9.,/ ]*?)\s*(?P<unit>(?:/(?![0-9])|[^0-9.,/\s]).*)")

_PRIMES = str.maketrans({"\N{PRIME}": "'", "\N{RIGHT SINGLE QUOTATION MARK}": "'"})
_IN_MINUTES = Pattern(
    r"(?P<sign>[+-]?)\s*(?P<degrees>[0-9.,/ ]*[0-9])\s*(?:°|deg\.?|degrees?)"
    r"\s*(?P<minutes>[0-9.,]+)\s*(?:'|min\.?|minutes?)"
    r"(?:\s*(?P<seconds>[0-9.,]+)\s*(?:\"|sec\.?|seconds?))?",
    re.IGNORECASE,
)
_NO_MARK = Pattern(r"(?P<degrees>[+-]?\s*[0-9]+)\s*(?:°|deg\.?|degrees?)\s*(?P<minutes>[0-9.,]+)", re.IGNORECASE)
_MINUTES_ALONE = Pattern(r"(?P<minutes>[0-9.,]+)\s*(?:'|min\.?|minutes?)", re.IGNORECASE)
_SIXTY = 60
"""Minutes in a degree, seconds in a minute, by definition."""

_PER = Pattern(r"(?<=[0-9]) 1/(?=min$|s$)")
"""The one in ``300 1/min``, which belongs to the unit."""


class _Units(Struct, frozen=True):
    """Words for the unit of a key with how many of it each is, words that are asked about; capitals do not count."""

    known: Mapping[str, Fraction]
    asked: Mapping[str, str] = field(default_factory=dict)


def _same(*words: str, times: int | Fraction = 1) -> dict[str, Fraction]:
    return dict.fromkeys(words, Fraction(times))


UNITS: Mapping[str, _Units] = {
    "rev/min": _Units(
        _same("rpm", "r.p.m.", "rev/min", "revs/min", "r/min", "/min", "min-1", "min⁻¹", "turns/min")
        | _same("rev/s", "r/s", "/s", times=60),
        dict.fromkeys(("m/min", "m/s", "ft/min", "fpm", "sfm", "sfpm", "feet/min"), _CUTTING_SPEED)
        | dict.fromkeys(("mm/min", "in/min", "mm/rev", "in/rev"), _FEED),
    ),
    "degrees": _Units(_same("°", "deg", "deg.", "degree", "degrees"), {"rad": _RADIANS, "radians": _RADIANS}),
    "s": _Units(
        _same("s", "sec", "second", "seconds")
        | _same("min", "minute", "minutes", times=60)
        | _same("h", "hour", "hours", times=3600)
    ),
    "W": _Units(
        _same("W", "watt", "watts") | _same("kW", times=1000), dict.fromkeys(("hp", "bhp", "ps", "cv"), _HORSEPOWER)
    ),
    "N": _Units(_same("N", "newton") | _same("kN", times=1000)),
    "N m": _Units(_same("N m", "Nm", "N·m", "N*m")),
    "N/mm²": _Units(_same("N/mm²", "N/mm2", "N/mm^2", "MPa")),
    "N/µm": _Units(_same("N/µm", "N/um") | _same("N/mm", times=Fraction(1, 1000))),
    "µm": _Units(_same("µm", "um") | _same("mm", times=1000)),
    "of the motor's power": _Units(_same("%", times=Fraction(1, 100))),
}
"""Units of the numbers in our files, by the name that their readers give; factors are exact by definition."""


def read_quantity(written: str, *, unit: str, where: Named) -> Fraction:
    """Read a number with its unit, exactly, in the unit of its key.

    Parameters
    ----------
    written : str
        Text such as ``"300 rpm"``, ``"45°"``, ``"1,5 kW"``.
    unit : str
        Unit wanted, a key of `UNITS`.
    where : str or Where
        File and key, for the error.

    Raises
    ------
    InputError
        If it is none, or is of another kind: a cutting speed where turns of the spindle are wanted is asked back.

    Examples
    --------
    >>> read_quantity("1 1/2 min", unit="s", where="ready_s")
    Fraction(90, 1)
    """
    problem = f"{where}: found {shown(written)}"
    units = UNITS.get(unit, _Units({}))
    text = _PER.sub("/", " ".join(plain_signs(written).split()))
    parts = _SHAPE.fullmatch(text)
    named = parts["unit"].lower() if parts else ""
    factors = {word.lower(): factor for word, factor in units.known.items()}
    if unit == "degrees" and (angle := _in_minutes(text.translate(_PRIMES), problem=problem, where=where)) is not None:
        return angle
    if unit == "degrees" and named.startswith((":", "/")):
        raise InputError((f"{problem}; {_TAPER}",))
    if named in units.asked:
        raise InputError((f"{problem}; {units.asked[named]}",))
    if parts is None or named not in factors:
        known = f", or text with its unit ({quoted(units.known)})" if units.known else ""
        do = "write the number without quotes" if units.known else "check the figure; write it without quotes"
        raise InputError((f"{problem}; allowed a number of {unit}{known}; {do}",))
    value = number_in(parts["number"], where=where) * factors[named]
    return -value if parts["sign"] == "-" else value


def _in_minutes(text: str, *, problem: str, where: Named) -> Fraction | None:
    """Angle in degrees, minutes, maybe seconds, such as ``5°43'``; nothing if it is written another way. [degrees]"""
    if len(text) > LONGEST_TEXT:
        return None
    if alone := _MINUTES_ALONE.fullmatch(text):
        question = f'minutes of an angle? Write them behind the degrees: "0°{alone["minutes"]}\'"'
        raise InputError((f"{problem}; {question}",))
    if bare := _NO_MARK.fullmatch(text):
        degrees, minutes = bare["degrees"], bare["minutes"]
        question = f'{minutes} minutes, or a decimal point? Write "{degrees}°{minutes}\'" or "{degrees}.{minutes}°"'
        raise InputError((f"{problem}; {question}",))
    parts = _IN_MINUTES.fullmatch(text)
    if parts is None:
        return None
    written = (parts["degrees"], parts["minutes"], parts["seconds"] or "0")
    shares = [number_in(share, where=where) for share in written]
    if shares[0].denominator != 1 or (parts["seconds"] and shares[1].denominator != 1):
        do = "write whole degrees with minutes, or decimal degrees alone"
        raise InputError((f"{problem}; a share of a degree stands there twice; {do}",))
    if max(shares[1:]) >= _SIXTY:
        do = "write fewer, and the degrees before them"
        raise InputError((f"{problem}; there are {_SIXTY} minutes in a degree and {_SIXTY} seconds in a minute; {do}",))
    angle = shares[0] + shares[1] / _SIXTY + shares[2] / _SIXTY**2
    return -angle if parts["sign"] == "-" else angle
