"""Limits of the minor diameter of metric nut threads: the hole that a tap must find."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from handwheel.data.loader import Standing, load_table
from handwheel.domain.errors import DataTableError
from handwheel.domain.exact import Fraction

if TYPE_CHECKING:
    from collections.abc import Mapping

    from handwheel.domain.thread import Thread

_COLUMNS = ("pitch_mm", "td1_6h_um", "standing", "source_key", "place")
_UM_PER_MM = 1000


def minor_limits_mm(thread: Thread) -> tuple[Fraction, Fraction]:
    """Limits of the minor diameter of a nut thread in tolerance class 6H.

    Parameters
    ----------
    thread : Thread
        Metric thread.

    Returns
    -------
    tuple of Fraction
        Smallest and largest minor diameter: D - 1.0825 P and that plus the tolerance of grade 6. [mm]

    Raises
    ------
    DataTableError
        If the table has no tolerance for that pitch.

    References
    ----------
    [ISO68_1] for the basic diameter, from memory; [ASME_B1_13M] for the tolerance of pitches 0.5, 0.75 and 1 to
    2 mm, opened; [ISO965_1] for the others, from memory.

    Examples
    --------
    >>> from handwheel.domain.thread import parse_thread
    >>> [float(limit) for limit in minor_limits_mm(parse_thread("M12x1.5"))]
    [10.3762023, 10.6762023]
    """
    tolerance = _tolerances().get(thread.pitch_mm)
    if tolerance is None:
        known = ", ".join(f"{float(pitch):g}" for pitch in thread_pitches_mm())
        msg = f"{thread.designation}: the tables have no nut thread of this pitch; they have {known} mm"
        raise DataTableError(msg)
    return thread.minor_mm, thread.minor_mm + tolerance


def minor_standing(thread: Thread) -> Standing:
    """How well the tolerance of that pitch is known; raises `DataTableError` as `minor_limits_mm` does."""
    minor_limits_mm(thread)
    rows = load_table("thread_minor.csv", _COLUMNS)
    return next(Standing(row["standing"]) for row in rows if Fraction(row["pitch_mm"]) == thread.pitch_mm)


def thread_pitches_mm() -> tuple[Fraction, ...]:
    """Pitches that the table knows. [mm]"""
    return tuple(_tolerances())


@cache
def _tolerances() -> Mapping[Fraction, Fraction]:
    return {
        Fraction(row["pitch_mm"]): Fraction(row["td1_6h_um"]) / _UM_PER_MM
        for row in load_table("thread_minor.csv", _COLUMNS)
    }
