"""General tolerances of ISO 2768-1, for sizes without a tolerance of their own."""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

from handwheel.data.loader import load_table
from handwheel.domain.errors import DataTableError, OutOfRangeError
from handwheel.domain.exact import Fraction

if TYPE_CHECKING:
    from collections.abc import Mapping

GENERAL_RULE = "ISO 2768-1"
"""In the rule of a size that had no limits of its own."""
_COLUMNS = (
    "quantity",
    "tolerance_class",
    "over_mm",
    "up_to_incl_mm",
    "tolerance",
    "unit",
    "standing",
    "source_key",
    "place",
)
_ARCMIN_PER_DEG = 60
_NO_UPPER_END = "none"
_LEAST_SIZE_MM = Fraction(1, 2)


class GeneralKind(Enum):
    """What a general tolerance is for: plain sizes, or outside radii and chamfer heights."""

    LINEAR = "linear"
    EDGE = "edge"


class GeneralClass(Enum):
    """Tolerance classes of ISO 2768-1."""

    FINE = "f"
    MEDIUM = "m"
    COARSE = "c"
    VERY_COARSE = "v"


def general_class_in_rule(rule: str) -> GeneralClass | None:
    """Class that the rule of a size names; nothing if the size has limits of its own.

    Examples
    --------
    >>> general_class_in_rule("ISO 2768-1 m"), general_class_in_rule("ISO 286-2 H8")
    (<GeneralClass.MEDIUM: 'm'>, None)
    """
    name, _, letter = rule.rpartition(" ")
    return GeneralClass(letter) if name == GENERAL_RULE else None


def general_tolerance_mm(kind: GeneralKind, nominal_mm: Fraction, tolerance_class: GeneralClass) -> Fraction:
    """Permitted deviation, to either side, of a size without a tolerance of its own.

    Parameters
    ----------
    kind : GeneralKind
        Plain size or edge.
    nominal_mm : Fraction
        Nominal size, from 0.5. [mm]
    tolerance_class : GeneralClass
        Class that the drawing names, such as medium for "ISO 2768-m".

    Returns
    -------
    Fraction
        Half width of the band, exact: the size may lie that much above or below. [mm]

    Raises
    ------
    OutOfRangeError
        If the size is below 0.5 mm: there the standard wants the tolerance beside the size.
    DataTableError
        If the standard gives no value for this class at this size.

    References
    ----------
    [ISO2768_1], opened in reproductions.

    Examples
    --------
    >>> float(general_tolerance_mm(GeneralKind.LINEAR, Fraction(22), GeneralClass.MEDIUM))
    0.2
    """
    if nominal_mm < _LEAST_SIZE_MM:
        msg = (
            f"nominal size: got {float(nominal_mm):g} mm, ISO 2768-1 begins at 0.5 mm; "
            "write the tolerance beside the size"
        )
        raise OutOfRangeError(msg)
    return _tolerance(kind.value, nominal_mm, tolerance_class)


def general_angle_tolerance_deg(shorter_side_mm: Fraction, tolerance_class: GeneralClass) -> Fraction:
    """Permitted deviation, to either side, of an angle without a tolerance of its own.

    Parameters
    ----------
    shorter_side_mm : Fraction
        Length of the shorter side of the angle. [mm]
    tolerance_class : GeneralClass
        Class that the drawing names.

    Returns
    -------
    Fraction
        Half width of the band, exact. [deg]

    Raises
    ------
    OutOfRangeError
        If the side is not above 0.

    References
    ----------
    [ISO2768_1], opened in reproductions; class v from memory.

    Examples
    --------
    >>> float(general_angle_tolerance_deg(Fraction(12), GeneralClass.MEDIUM))
    0.5
    """
    if shorter_side_mm <= 0:
        msg = f"shorter_side_mm: got {float(shorter_side_mm):g} mm, must be above 0; check sign and unit"
        raise OutOfRangeError(msg)
    return _tolerance("angle", shorter_side_mm, tolerance_class) / _ARCMIN_PER_DEG


def _tolerance(quantity: str, size_mm: Fraction, tolerance_class: GeneralClass) -> Fraction:
    for row in load_table("iso2768.csv", _COLUMNS):
        if row["quantity"] == quantity and row["tolerance_class"] == tolerance_class.value and _covers(row, size_mm):
            return Fraction(row["tolerance"])
    msg = (
        f"{float(size_mm):g} mm, class {tolerance_class.value}: ISO 2768-1 gives no {quantity} tolerance there; "
        "take another class or write the tolerance beside the size"
    )
    raise DataTableError(msg)


def _covers(row: Mapping[str, str], size_mm: Fraction) -> bool:
    over = Fraction(row["over_mm"])
    # the first range of sizes is "from 0.5 up to 3": it alone includes its lower end
    above = size_mm > over or size_mm == over == _LEAST_SIZE_MM
    return above and (row["up_to_incl_mm"] == _NO_UPPER_END or size_mm <= Fraction(row["up_to_incl_mm"]))
