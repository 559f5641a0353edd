"""Whether an act is what its type says: right kinds of values, finite, of workshop size.

The structs of a sheet can be made with anything inside; the replay must never stumble over it.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from functools import cache, partial
from math import isfinite
from numbers import Rational
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import msgspec

from handwheel.domain.exact import Fraction

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
    found = _looker(expected)(value)
    return None if found is None else f"{where}{found}"


def learn(kind: type) -> None:
    """Read what a record of a kind may hold, and what that may hold, as the first look at one would."""
    for _, look in _fields(kind):
        if isinstance(look, partial) and look.func is _struct_fault:
            learn(look.args[0])


Looker = Callable[[object], str | None]
"""Looks at a value; what it finds wrong begins with the rest of the way to it, such as ``.at[2]: nan is ...``."""


@cache
def _looker(expected: Any) -> Looker:  # noqa: ANN401  a type hint can be any form
    """Make what looks at values of a kind: the hint is read once, the values of a sheet are many."""
    origin = get_origin(expected)
    if origin in (Union, UnionType):
        return partial(_union_fault, _choices(expected))
    if origin is tuple:
        return partial(_tuple_fault, _looker(get_args(expected)[0]))
    if expected in _NUMBERS:
        return partial(_number_fault, _NUMBERS[expected])
    if issubclass(expected, Enum | str | bool) or expected is type(None):
        return partial(_plain_fault, expected)
    return partial(_struct_fault, expected)


_NUMBERS: dict[object, tuple[type, ...]] = {float: (float, int), int: (int,), Fraction: (Fraction, Rational)}
"""What may stand where a number is expected."""


def _choices(union: Any) -> tuple[tuple[Any, Looker], ...]:  # noqa: ANN401  a type hint can be any form
    kinds: list[Any] = [type(None) if choice is None else choice for choice in get_args(union)]
    return tuple((_NUMBERS.get(kind) or get_origin(kind) or kind, _looker(kind)) for kind in kinds)


def _union_fault(choices: tuple[tuple[Any, Looker], ...], value: object) -> str | None:
    for kind, look in choices:
        if isinstance(value, kind):
            return look(value)
    problems = [look(value) for _, look in choices]
    return None if None in problems else problems[0]


def _tuple_fault(look: Looker, value: object) -> str | None:
    if not isinstance(value, tuple):
        return f": {value!r:.60} is no list of values; give one"
    for index, item in enumerate(value):
        found = look(item)
        if found:
            return f"[{index}]{found}"
    return None


def _number_fault(allowed: tuple[type, ...], value: object) -> str | None:
    if isinstance(value, bool) or not isinstance(value, allowed):
        return f": {value!r:.60} is no number of the kind needed here; give one"
    if isinstance(value, float) and not isfinite(value):
        return f": {value} is no figure of a workshop; give a number below {LARGEST:g}"
    if isinstance(value, Rational):
        over, under = int(value.numerator), int(value.denominator)
        if under > LARGEST_DENOMINATOR:
            return ": no dial or scale shows a fraction this fine; round it"
        is_small = abs(over) <= LARGEST * under
    else:
        is_small = -LARGEST <= value <= LARGEST  # type: ignore[operator]  # one of the numbers allowed
    if not is_small:
        return f": the figure is too large for a workshop; give a number below {LARGEST:g}"
    return None


def _plain_fault(kind: type, value: object) -> str | None:
    return None if isinstance(value, kind) else f": {value!r:.60} is no {kind.__name__}; give one"


def _struct_fault(kind: type, value: object) -> str | None:
    if not isinstance(value, kind):
        return f": {value!r:.60} is no {kind.__name__}; give one"
    own: type = type(value)
    for name, look in _fields(own):
        found = look(getattr(value, name))
        if found:
            return f".{name}{found}"
    return None


@cache
def _fields(kind: type) -> tuple[tuple[str, Looker], ...]:
    hints = get_type_hints(kind)
    if issubclass(kind, msgspec.Struct):
        names = list(kind.__struct_fields__)
    else:
        names = [name for name in hints if name in getattr(kind, "_fields", ())]
    return tuple((name, _looker(hints[name])) for name in names)
