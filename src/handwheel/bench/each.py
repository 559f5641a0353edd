"""One number or one for each of many lathes: the few functions that must know which.

Arithmetic, powers and comparisons serve floats and numpy arrays alike. What does not stands here, so that the logic of
the bench is written once. Numpy is loaded by whoever brings arrays, never by a single lathe (decision 0020).
"""

from __future__ import annotations

from math import e, floor, log
from types import ModuleType
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

Each: TypeAlias = "float | npt.NDArray[np.float64]"
"""A number, or one for each of many lathes."""
Truth: TypeAlias = "bool | npt.NDArray[np.bool_]"
"""Whether something holds, or for which of many lathes it does."""


def _arrays() -> ModuleType:
    """The library of whoever brings arrays, who has loaded it; one lathe never does."""
    import numpy as np  # noqa: PLC0415 - loading it takes longer than planning a ring (decision 0015)

    return np


def is_one(value: object) -> bool:
    """Whether a value is a plain number, or one truth, and not an array of them."""
    return not getattr(value, "shape", ())


def chosen(condition: Truth, yes: Each, no: Each) -> Each:
    """``yes`` where the condition holds, else ``no``.

    Examples
    --------
    >>> chosen(2 > 1, 5.0, 7.0)
    5.0
    """
    if is_one(condition):
        return yes if condition else no
    picked: Each = _arrays().where(condition, yes, no)
    return picked


def anywhere(condition: Truth) -> bool:
    """Whether a condition holds for the one lathe, or for any of many.

    Examples
    --------
    >>> anywhere(True)
    True
    """
    if is_one(condition):
        return bool(condition)
    return bool(_arrays().any(condition))


def not_(one: Truth) -> Truth:
    """Whether it does not hold.

    Examples
    --------
    >>> not_(False)
    True
    """
    return one ^ True


def least(one: Each, other: Each) -> Each:
    """The smaller of two.

    Examples
    --------
    >>> least(2.0, 1.0)
    1.0
    """
    if is_one(one) and is_one(other):
        return min(other, one)

    smaller: Each = _arrays().minimum(one, other)
    return smaller


def most(one: Each, other: Each) -> Each:
    """The greater of two."""
    if is_one(one) and is_one(other):
        return max(other, one)

    greater: Each = _arrays().maximum(one, other)
    return greater


def root(value: Each) -> Each:
    """Square root; 0 for what rounding has brought below 0."""
    positive: Each = most(value, 0.0)
    return positive**0.5


def size_of(value: Each) -> Each:
    """The value without its sign."""
    return most(value, -value)


def below(value: Each) -> Each:
    """The whole number at or below a value, as a float."""
    if is_one(value):
        return float(floor(value))
    whole: Each = _arrays().floor(value)
    return whole


def nearest(value: Each) -> Each:
    """The whole number nearest to a value, as a float; halves upwards."""
    return below(value + 0.5)


_ERROR_TERMS = (0.254829592, -0.284496736, 1.421413741, -1.453152027, 1.061405429)
_ERROR_RATE = 0.3275911
"""Coefficients of Abramowitz and Stegun, 7.1.26, from memory; held against the library's own in a test."""


def share_below(z: Each) -> Each:
    """Share of a normal distribution below ``z`` standard deviations from its middle, within 1e-7.

    Examples
    --------
    >>> round(share_below(1.6449), 4)
    0.95
    """
    x = size_of(z) / 2.0**0.5
    t = 1.0 / (1.0 + _ERROR_RATE * x)
    sum_: Each = 0.0
    for term in reversed(_ERROR_TERMS):
        sum_ = (sum_ + term) * t
    beyond = 0.5 * sum_ * e ** (-x * x)
    return chosen(z > 0.0, 1.0 - beyond, beyond)


def natural_log(value: Each) -> Each:
    """Natural logarithm of what is above 0."""
    if is_one(value):
        return log(float(value))
    logs: Each = _arrays().log(value)
    return logs
