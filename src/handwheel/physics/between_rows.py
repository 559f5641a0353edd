"""Tables of figures: what stands between two rows, read on a straight line, and never beyond the ends."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from handwheel.domain.errors import OutOfRangeError, require_within

if TYPE_CHECKING:
    from collections.abc import Sequence


def value_between_rows(at: float, points: Sequence[tuple[float, float]], *, name: str, unit: str) -> float:
    r"""Value of a printed table between its rows, on a straight line.

    .. math:: y = y_i + (y_{i+1} - y_i)\,\frac{x - x_i}{x_{i+1} - x_i}

    Parameters
    ----------
    at : float
        Where the table is read, :math:`x`, in ``unit``.
    points : sequence of (float, float)
        n points, (n, 2): place, rising, and value.
    name : str
        What is asked for, for the message.
    unit : str
        Unit of the place, for the message.

    Returns
    -------
    float
        Value at that place.

    Raises
    ------
    OutOfRangeError
        If the table is empty, or the place lies before its first row or beyond its last.

    References
    ----------
    Arithmetic.

    Examples
    --------
    >>> round(value_between_rows(0.175, ((0.15, 1.34), (0.18, 1.25), (0.20, 1.18)), name="feed", unit="mm/rev"), 3)
    1.265
    """
    if not points:
        msg = f"{name}: the table is empty; take it from the tables of the data"
        raise OutOfRangeError(msg)
    require_within(name, at, low=points[0][0], high=points[-1][0], unit=unit)
    for (start, low), (end, high) in pairwise(points):
        if at <= end:
            return low + (high - low) * (at - start) / (end - start)
    return points[-1][1]
