"""Errors: requests that make no sense, each said as where, which rule, what to do."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from handwheel.domain.refusal import Refusal


class HandwheelError(Exception):
    """Base of every error that a user can cause and mend."""


class OutOfRangeError(HandwheelError, ValueError):
    """A value lies outside the range in which a relation or a rule is valid."""


class ImpossiblePartError(HandwheelError, ValueError):
    """The sizes given cannot belong to one part."""


class ShopError(HandwheelError, ValueError):
    """The description of the lathe, its tools or its holdings contradicts itself."""


class InputError(HandwheelError, ValueError):
    """A file could not be understood; holds every problem found, not just the first."""

    def __init__(self, problems: tuple[str, ...]) -> None:
        """Keep the problems one by one; the text joins them, a line each."""
        super().__init__("\n".join(problems))
        self.problems = problems


class DataTableError(HandwheelError, LookupError):
    """A fact is not in the tables, or a table breaks its own rules."""


class UnknownFindingError(HandwheelError, ValueError):
    """A finding has a code, or a weight, that is not in the table of codes."""


class NoPlanError(HandwheelError):
    """No order of cuts reaches the part with this shop; says what would make it possible and what was tried."""

    def __init__(self, refusal: Refusal) -> None:
        """Keep the refusal; the text is its lines."""
        super().__init__("\n".join(refusal.lines))
        self.refusal = refusal


def require_positive(name: str, value: float, *, unit: str) -> None:
    """Raise `OutOfRangeError` unless ``value`` is finite and above zero.

    Parameters
    ----------
    name : str
        Name of the argument as the caller wrote it.
    value : float
        Value to be tested, in ``unit``.
    unit : str
        Unit for the message, such as ``"mm"``.

    Examples
    --------
    >>> require_positive("cut_dia_mm", 0.0, unit="mm")
    Traceback (most recent call last):
        ...
    handwheel.domain.errors.OutOfRangeError: cut_dia_mm: got 0 mm, must be above 0; check sign and unit
    """
    if not isfinite(value) or value <= 0:
        msg = f"{name}: got {value:g} {unit}, must be above 0; check sign and unit"
        raise OutOfRangeError(msg)


def require_within(name: str, value: float, *, low: float, high: float, unit: str) -> None:
    """Raise `OutOfRangeError` unless ``low <= value <= high`` (same unit throughout).

    Examples
    --------
    >>> require_within("angle_deg", 95.0, low=0.0, high=90.0, unit="deg")
    Traceback (most recent call last):
        ...
    handwheel.domain.errors.OutOfRangeError: angle_deg: got 95 deg, allowed 0 to 90 deg; check sign and unit
    """
    if not isfinite(value) or not low <= value <= high:
        msg = f"{name}: got {value:g} {unit}, allowed {low:g} to {high:g} {unit}; check sign and unit"
        raise OutOfRangeError(msg)
