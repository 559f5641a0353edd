"""Limits of tolerance classes such as H8 or g6, exact, from the tables of ISO 286-1."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import load_table
from handwheel.domain.errors import DataTableError, OutOfRangeError
from handwheel.domain.exact import Fraction

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

FIT_RULE = "ISO 286-2 "
"""Before the letters of a class, in the rule of a size whose limits come from it."""
_GRADES = range(4, 15)
_GRADE_COLUMNS = (
    "over_mm",
    "up_to_incl_mm",
    *(f"it{grade}_um" for grade in _GRADES),
    "standing",
    "source_key",
    "place",
)
_DEVIATION_COLUMNS = (
    "kind",
    "letter",
    "over_mm",
    "up_to_incl_mm",
    "grade_low",
    "grade_high",
    "limit",
    "deviation_um",
    "standing",
    "source_key",
    "place",
)
_UM_PER_MM = 1000
_SMALL_SIZE_MM = 1
_COARSEST_GRADE_OF_SMALL_SIZES = 13
_COARSEST_N_OF_SMALL_SIZES = 8


class _ToleranceClass(Struct, frozen=True, kw_only=True):
    letter: str
    grade: int

    @property
    def text(self) -> str:
        return f"{self.letter}{self.grade}"


def iso286_deviations(nominal_mm: Fraction, tolerance_class: str) -> tuple[Fraction, Fraction]:
    """Distances of both limits from the nominal size.

    Parameters
    ----------
    nominal_mm : Fraction
        Nominal diameter or width, above 0 up to 250. [mm]
    tolerance_class : str
        Letter and grade: F G H JS K N P for a hole, f g h js k n p for a shaft, grades 4 to 14.

    Returns
    -------
    tuple of Fraction
        Lower and upper deviation, exact, mm; negative below the nominal size.

    Raises
    ------
    OutOfRangeError
        If the size is outside the table, or the standard does not use the class at this size.
    DataTableError
        If the table has no such letter or grade.

    Notes
    -----
    A range includes its upper end and excludes its lower one: 30 mm belongs to 18 to 30.

    References
    ----------
    [ISO286_1]: standard tolerances opened in a reproduction; deviations from memory, checked row by row.

    Examples
    --------
    >>> lower, upper = iso286_deviations(Fraction(20), "H8")
    >>> float(lower), float(upper)
    (0.0, 0.033)
    """
    wanted = _parse(tolerance_class)
    _refuse_unused(nominal_mm, wanted)
    width = _tolerance_um(nominal_mm, wanted.grade)
    limit, deviation = _deviation_um(nominal_mm, wanted)
    lower = {"upper": deviation - width, "lower": deviation, "middle": -width / 2}[limit]
    return lower / _UM_PER_MM, (lower + width) / _UM_PER_MM


def iso286_limits(nominal_mm: Fraction, tolerance_class: str) -> tuple[Fraction, Fraction]:
    """Least and greatest size of a tolerance class, such as 20 to 20.033 mm for 20 H8.

    Parameters
    ----------
    nominal_mm : Fraction
        Nominal diameter or width, above 0 up to 250. [mm]
    tolerance_class : str
        Letter and grade, as in `iso286_deviations`.

    Returns
    -------
    tuple of Fraction
        Lower and upper limit of size, exact, mm.

    Raises
    ------
    OutOfRangeError, DataTableError
        As `iso286_deviations`.

    References
    ----------
    [ISO286_1]

    Examples
    --------
    >>> [float(limit) for limit in iso286_limits(Fraction(20), "g6")]
    [19.98, 19.993]
    """
    lower, upper = iso286_deviations(nominal_mm, tolerance_class)
    return nominal_mm + lower, nominal_mm + upper


def iso286_letters() -> tuple[str, ...]:
    """Letters the table knows, holes in capitals first.

    Examples
    --------
    >>> " ".join(iso286_letters())
    'F G H JS K N P f g h js k n p'
    """
    return tuple(sorted({letter for letter, _grade in _deviation_rows()}))


def class_in_rule(rule: str) -> tuple[str, int] | None:
    """Letter and grade that the rule of a size names; nothing if its limits come from elsewhere.

    Examples
    --------
    >>> class_in_rule("ISO 286-2 H8"), class_in_rule("written on the drawing")
    (('H', 8), None)
    """
    if not rule.startswith(FIT_RULE):
        return None
    wanted = _parse(rule.removeprefix(FIT_RULE))
    return wanted.letter, wanted.grade


def iso286_grades() -> range:
    """Grades the table knows, the finest first.

    Examples
    --------
    >>> min(iso286_grades()), max(iso286_grades())
    (4, 14)
    """
    return _GRADES


def _parse(tolerance_class: str) -> _ToleranceClass:
    letter = tolerance_class.rstrip("0123456789")
    grade = tolerance_class[len(letter) :]
    if letter not in iso286_letters() or not grade or int(grade) not in _GRADES:
        msg = (
            f"tolerance class {tolerance_class!r}: not in the table; write one letter of "
            f"{' '.join(iso286_letters())} (capitals for holes) and a grade of 4 to 14, such as H8"
        )
        raise DataTableError(msg)
    return _ToleranceClass(letter=letter, grade=int(grade))


def _refuse_unused(nominal_mm: Fraction, wanted: _ToleranceClass) -> None:
    if nominal_mm > _SMALL_SIZE_MM:
        return
    coarse_n = wanted.letter == "N" and wanted.grade > _COARSEST_N_OF_SMALL_SIZES
    if wanted.grade > _COARSEST_GRADE_OF_SMALL_SIZES or coarse_n:
        msg = (
            f"{float(nominal_mm):g} mm {wanted.text}: the standard does not use this class up to 1 mm; take a finer one"
        )
        raise OutOfRangeError(msg)


def _tolerance_um(nominal_mm: Fraction, grade: int) -> Fraction:
    row = _row_of(nominal_mm, load_table("iso286_it.csv", _GRADE_COLUMNS))
    if row is None:
        msg = f"nominal size: got {float(nominal_mm):g} mm, the table of ISO 286 covers above 0 to 250 mm; write limits"
        raise OutOfRangeError(msg)
    return Fraction(row[f"it{grade}_um"])


def _deviation_um(nominal_mm: Fraction, wanted: _ToleranceClass) -> tuple[str, Fraction]:
    row = _row_of(nominal_mm, _deviation_rows().get((wanted.letter, wanted.grade), ()))
    if row is None:
        msg = (
            f"{float(nominal_mm):g} mm {wanted.text}: the standard tables no deviation for it; "
            "take another grade or write the limits"
        )
        raise DataTableError(msg)
    return row["limit"], Fraction(row["deviation_um"])


def _row_of(nominal_mm: Fraction, rows: Iterable[Mapping[str, str]]) -> Mapping[str, str] | None:
    return next((row for row in rows if Fraction(row["over_mm"]) < nominal_mm <= Fraction(row["up_to_incl_mm"])), None)


@cache
def _deviation_rows() -> Mapping[tuple[str, int], tuple[Mapping[str, str], ...]]:
    found: dict[tuple[str, int], list[Mapping[str, str]]] = {}
    for row in load_table("iso286_deviations.csv", _DEVIATION_COLUMNS):
        for grade in range(int(row["grade_low"]), int(row["grade_high"]) + 1):
            found.setdefault((row["letter"], grade), []).append(row)
    return {key: tuple(rows) for key, rows in found.items()}
