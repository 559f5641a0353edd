"""Whether an act is what its type says: right kinds of values, finite, of workshop size.

The structs of a sheet can be made with anything inside; the replay must never stumble over it.
"""

from __future__ import annotations

from enum import Enum
from fractions import Fraction
from functools import cache
from math import isfinite
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import msgspec

LARGEST = 1e6
"""Figures above this are no lengths, speeds or times of a workshop."""
LARGEST_DENOMINATOR = 10**9
"""No dial, scale or rule shows a finer fraction."""


def fault(value: object, expected: Any, where: str) -> str | None:  # noqa: ANN401  a type hint can be any form
    """Say what is wrong with a value, or ``None``.

    Parameters
    ----------
    value : object
        Value found.
    expected : type hint
        What it should be: a plain type, an enum, a struct (looked into), a tuple, a union.
    where : str
        Name for the message.

    Examples
    --------
    >>> fault(float("nan"), float, "stick_out_mm")
    'stick_out_mm: nan is no figure of a workshop; give a number below 1e+06'
    >>> fault((1.0, 2.0), tuple[float, ...], "sizes")
    """
    origin = get_origin(expected)
    if origin in (Union, UnionType):
        return _union_fault(value, get_args(expected), where)
    if origin is tuple:
        return _tuple_fault(value, get_args(expected), where)
    if expected in (float, int, Fraction):
        return _number_fault(value, expected, where)
    if not isinstance(value, expected):
        return f"{where}: {value!r:.60} is no {expected.__name__}; give one"
    if isinstance(value, Enum | str | bool) or value is None:
        return None
    return _fields_fault(value, where)


def _union_fault(value: object, choices: tuple[Any, ...], where: str) -> str | None:
    plain = [type(None) if choice is None else choice for choice in choices]
    for choice in plain:
        if isinstance(choice, type) and isinstance(value, choice):
            return fault(value, choice, where)
    problems = [fault(value, choice, where) for choice in plain]
    return None if None in problems else problems[0]


def _tuple_fault(value: object, items: tuple[Any, ...], where: str) -> str | None:
    if not isinstance(value, tuple):
        return f"{where}: {value!r:.60} is no list of values; give one"
    for index, item in enumerate(value):
        found = fault(item, items[0], f"{where}[{index}]")
        if found:
            return found
    return None


def _number_fault(value: object, expected: type, where: str) -> str | None:
    allowed = {float: (float, int), int: (int,), Fraction: (Fraction, int)}[expected]
    if isinstance(value, bool) or not isinstance(value, allowed):
        return f"{where}: {value!r:.60} is no number of the kind needed here; give one"
    if isinstance(value, float) and not isfinite(value):
        return f"{where}: {value} is no figure of a workshop; give a number below {LARGEST:g}"
    if isinstance(value, Fraction) and value.denominator > LARGEST_DENOMINATOR:
        return f"{where}: no dial or scale shows a fraction this fine; round it"
    if not -LARGEST <= value <= LARGEST:
        return f"{where}: the figure is too large for a workshop; give a number below {LARGEST:g}"
    return None


@cache
def _hints(kind: type) -> tuple[tuple[str, Any], ...]:
    hints = get_type_hints(kind)
    if issubclass(kind, msgspec.Struct):
        names = list(kind.__struct_fields__)
    else:
        names = [name for name in hints if name in getattr(kind, "_fields", ())]
    return tuple((name, hints[name]) for name in names)


def _fields_fault(value: object, where: str) -> str | None:
    kind: type = type(value)
    for name, hint in _hints(kind):
        found = fault(getattr(value, name), hint, f"{where}.{name}")
        if found:
            return found
    return None
