"""Fits as the trade names them: the classes of hole and shaft each stands for, what that leaves between them."""

from __future__ import annotations

from enum import Enum
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.iso286 import iso286_deviations
from handwheel.data.loader import Standing, load_table
from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.exact import Fraction

if TYPE_CHECKING:
    from collections.abc import Mapping

_COLUMNS = ("name", "hole_class", "shaft_class", "character", "says", "standing", "source_key", "place")
_UM_PER_MM = 1000

CLOSING_LOW, CLOSING_HIGH = Fraction(7, 10), Fraction(1)
"""Share of the interference by which the bore of a thin bush in a stout housing closes (practice case PC-25)."""


class FitCharacter(Enum):
    """What is left between the two parts: always room, always too little, or either."""

    CLEARANCE = "clearance"
    TRANSITION = "transition"
    INTERFERENCE = "interference"


class NamedFit(Struct, frozen=True, kw_only=True):
    """A fit on the hole basis under its trade name, with what stands behind it."""

    name: str
    hole_class: str
    shaft_class: str
    character: FitCharacter
    says: str
    standing: Standing
    source_key: str
    place: str

    @property
    def pair(self) -> str:
        """Both classes, the hole's first.

        Examples
        --------
        >>> named_fits()["running"].pair
        'H8/f7'
        """
        return f"{self.hole_class}/{self.shaft_class}"

    @property
    def rule(self) -> str:
        """Rule of a size whose limits come from this fit.

        Examples
        --------
        >>> named_fits()["running"].rule
        'fit running H8/f7'
        """
        return f"fit {self.name} {self.pair}"

    def mate_class(self, *, of_hole: bool) -> str:
        """Class of what a hole (or else a shaft) of this fit goes together with."""
        return self.shaft_class if of_hole else self.hole_class


@cache
def named_fits() -> Mapping[str, NamedFit]:
    """Every fit by its name, from loose to tight.

    Examples
    --------
    >>> ", ".join(named_fits())
    'running, close running, sliding, locating, push, tight push, press'
    """
    return {
        row["name"]: NamedFit(
            name=row["name"],
            hole_class=row["hole_class"],
            shaft_class=row["shaft_class"],
            character=FitCharacter(row["character"]),
            says=row["says"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )
        for row in load_table("fits.csv", _COLUMNS)
    }


def fit_in_rule(rule: str) -> NamedFit | None:
    """Fit that the rule of a size names; nothing if its limits come from elsewhere.

    Examples
    --------
    >>> fit_in_rule("fit tight push H7/n6").shaft_class, fit_in_rule("ISO 286-2 H8")
    ('n6', None)
    """
    return next((fit for fit in named_fits().values() if fit.rule == rule), None)


def fit_clearance_mm(nominal_mm: Fraction, fit: NamedFit) -> tuple[Fraction, Fraction]:
    """Least and most that a hole of a fit is larger than its shaft; negative where the shaft is the larger.

    Parameters
    ----------
    nominal_mm : Fraction
        Diameter that both share, above 0 up to 250. [mm]
    fit : NamedFit
        A row of the table.

    Returns
    -------
    tuple of Fraction
        Least and most clearance on the diameter, exact. [mm]

    Raises
    ------
    OutOfRangeError, DataTableError
        As `iso286_deviations`.

    References
    ----------
    [ISO286_1] for the limits; [BS4500] for the pairs.

    Examples
    --------
    >>> [float(each) for each in fit_clearance_mm(Fraction(12), named_fits()["running"])]
    [0.016, 0.061]
    """
    hole_lower, hole_upper = iso286_deviations(nominal_mm, fit.hole_class)
    shaft_lower, shaft_upper = iso286_deviations(nominal_mm, fit.shaft_class)
    return hole_lower - shaft_upper, hole_upper - shaft_lower


def limits_to_mate_mm(
    clearance_mm: tuple[Fraction, Fraction], mate_mm: tuple[Fraction, Fraction], *, is_hole: bool
) -> tuple[Fraction, Fraction]:
    """Limits that keep a clearance with whatever size the mate has within its own.

    Parameters
    ----------
    clearance_mm : tuple of Fraction
        Least and most clearance, negative for interference. [mm]
    mate_mm : tuple of Fraction
        Least and greatest size of the mate; equal if it was measured. [mm]
    is_hole : bool
        Whether the limits wanted are those of the hole; else of the shaft.

    Returns
    -------
    tuple of Fraction
        Lower and upper limit, exact. [mm]

    Raises
    ------
    OutOfRangeError
        If the mate may vary by more than the clearance may.

    Notes
    -----
    Hole minus shaft lies in the range for every pair, so ``lower = greatest shaft + least clearance`` and ``upper =
    least shaft + most clearance`` for a hole; for a shaft the like, from the hole. Exact arithmetic, no source needed.
    With a mate of the fit's own class these are the limits of the fit's own class.

    Examples
    --------
    >>> sliding = fit_clearance_mm(Fraction(12), named_fits()["sliding"])
    >>> from handwheel.data.iso286 import iso286_limits
    >>> shaft = iso286_limits(Fraction(12), "h6")
    >>> [float(limit) for limit in limits_to_mate_mm(sliding, shaft, is_hole=True)]
    [12.006, 12.024]
    """
    least, most = clearance_mm
    low, high = mate_mm
    lower, upper = (high + least, low + most) if is_hole else (high - most, low - least)
    if lower >= upper:
        msg = (
            f"the mate may vary by {_um(high - low)} µm and the clearance of the fit by {_um(most - least)} µm: "
            "nothing is left for this part; measure the mate, or take a looser fit"
        )
        raise OutOfRangeError(msg)
    return lower, upper


def _um(length_mm: Fraction) -> str:
    return f"{float(length_mm * _UM_PER_MM):g}"
