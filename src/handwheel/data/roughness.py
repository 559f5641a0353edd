"""Roughness grades N1 to N12 and the mean roughness that each stands for."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from handwheel.data.loader import load_table
from handwheel.domain.exact import Fraction

if TYPE_CHECKING:
    from collections.abc import Mapping

_COLUMNS = ("grade", "ra_um", "standing", "source_key", "place")


@cache
def roughness_grades_um() -> Mapping[str, Fraction]:
    """Greatest mean roughness Ra by the name of its grade, finest first. [µm]

    References
    ----------
    [ISO1302], opened in a reproduction.

    Examples
    --------
    >>> float(roughness_grades_um()["N7"])
    1.6
    """
    return {row["grade"]: Fraction(row["ra_um"]) for row in load_table("roughness_grades.csv", _COLUMNS)}


def grade_of(ra_um: float) -> str:
    """Finest grade that a measured roughness still keeps, or nothing if it is rougher than all.

    Parameters
    ----------
    ra_um : float
        Mean roughness. [µm]

    Examples
    --------
    >>> grade_of(1.6), grade_of(7.4), grade_of(80.0)
    ('N7', 'N10', '')
    """
    return next((grade for grade, most in roughness_grades_um().items() if ra_um <= float(most)), "")


def ra_words(ra_um: float) -> str:
    """Say a mean roughness with the finest grade that it keeps.

    Parameters
    ----------
    ra_um : float
        Mean roughness. [µm]

    Examples
    --------
    >>> ra_words(1.6)
    'Ra 1.6 µm (N7)'
    """
    grade = grade_of(ra_um)
    return f"Ra {ra_um:g} µm ({grade})" if grade else f"Ra {ra_um:g} µm"
