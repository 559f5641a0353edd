"""A travel in one turn as people write it (0.1 mm/rev, 4 thou/rev), read exactly: a feed, or a lead."""

from __future__ import annotations

import re

from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import LONGEST_TEXT, length_mm, shown
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.where import Named

PER_TURN = ("/rev", "/rev.", "/r", "/turn", "per rev", "per turn", "per revolution", "a turn")
"""Words behind a length that say that it is moved in one turn."""
INCHES_PER_TURN = "ipr"
"""Inches per revolution in one word."""

_BEHIND = Pattern(rf"(?P<length>.*?\S)\s*(?:{'|'.join(map(re.escape, PER_TURN))})", re.IGNORECASE)
_SLASH = Pattern(r"\s*/\s*(?=[A-Za-z])")
_INCHES = Pattern(rf"(?P<number>.*?[0-9.])\s*{INCHES_PER_TURN}", re.IGNORECASE)
_A_MINUTE = Pattern(r".*(?:mm|in|inch|inches|thou|\")/min\.?|.*\bipm", re.IGNORECASE)
_CUTTING_SPEED = Pattern(r".*(?:[0-9 ]m|ft|feet)/(?:min|s)\.?|.*\b(?:sfm|sfpm|fpm)", re.IGNORECASE)
_WANTED = 'travel in one turn is wanted. How much? Write it, such as "0.1 mm/rev"'
_QUESTIONS = (
    (_A_MINUTE, f"that is travel in a minute, and hangs on the speed; {_WANTED}"),
    (_CUTTING_SPEED, f"that is a cutting speed; {_WANTED}"),
)
"""What a text may be that is no travel in a turn, and what to ask then."""


def travel_mm(written: object, *, unit: Units, where: Named) -> Fraction:
    """Read a travel in one turn exactly. [mm/rev]

    Parameters
    ----------
    written : object
        Text such as ``"0.1 mm/rev"``, ``"0.004 in/rev"``, ``"4 thou per turn"``, ``"0.004 ipr"``; or a length as
        `length_mm` reads it, for the key says that it is for one turn.
    unit : Units
        Unit of a length that names none.
    where : str
        File and key, for the error.

    Raises
    ------
    InputError
        If it is none, or is of another kind (travel in a minute, a cutting speed), which is asked back.

    Examples
    --------
    >>> travel_mm("4 thou/rev", unit=Units.MM, where="per_rev")
    Fraction(127, 1250)
    >>> travel_mm("100 mm/min", unit=Units.MM, where="per_rev")
    Traceback (most recent call last):
        ...
    handwheel.domain.errors.InputError: per_rev: found "100 mm/min"; that is travel in a minute, and hangs on the \
speed; travel in one turn is wanted. How much? Write it, such as "0.1 mm/rev"
    """
    if not isinstance(written, str) or len(written) > LONGEST_TEXT:
        return length_mm(written, unit=unit, where=where)
    text = _SLASH.sub("/", " ".join(written.split()))
    if inches := _INCHES.fullmatch(text):
        return _part_of(f"{inches['number']} in", written, unit=unit, where=where)
    if behind := _BEHIND.fullmatch(text):
        return _part_of(behind["length"], written, unit=unit, where=where)
    for pattern, question in _QUESTIONS:
        if pattern.fullmatch(text):
            raise InputError((f"{where}: found {shown(written)}; {question}",))
    return length_mm(written, unit=unit, where=where)


def _part_of(length: str, written: str, *, unit: Units, where: Named) -> Fraction:
    """Read the length out of a longer text, which a problem with it then shows whole. [mm]"""
    try:
        return length_mm(length, unit=unit, where=where)
    except InputError as error:
        raise InputError(tuple(told.replace(shown(length), shown(written), 1) for told in error.problems)) from None
