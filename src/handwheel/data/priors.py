"""What is believed of each learned quantity before anything was learned, with what an event takes away from it."""

from __future__ import annotations

from enum import Enum
from functools import cache
from math import inf
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import load_table
from handwheel.domain.beliefs import EventKind, Quantity
from handwheel.domain.exact import Fraction

if TYPE_CHECKING:
    from collections.abc import Mapping

_PRIOR_COLUMNS = (
    "quantity",
    "counts",
    "low",
    "high",
    "unit",
    "job_scatter",
    "apart",
    "drift_year",
    "least",
    "most",
    "standing",
    "source_key",
    "place",
)
_FADING_COLUMNS = ("event", "quantity", "spread_added", "standing", "source_key", "place")
_ENDS_APART = 4
"""The two ends of a range stand two standard uncertainties to either side of its middle: 95 of 100 lie between."""


class Counts(Enum):
    """How the figures of a row are meant."""

    AS_IT_IS = "as it is"
    TIMES = "times the shop's"
    ADDED = "added to the shop's"


class PriorRow(Struct, frozen=True, kw_only=True):
    """One row of the table: where a quantity lies before anything was learned, and how it scatters and drifts.

    Parameters
    ----------
    counts : Counts
        Whether the figures stand alone, are shares of the shop's figure, or come on top of it. Spreads are shares of
        the shop's figure too where ``counts`` is ``TIMES``.
    middle, spread : float
        Middle and standard uncertainty for one job; ``spread`` is infinite if nothing is known.
    job_scatter : float
        Standard deviation from job to job; known only as a convention.
    apart : float
        Standard deviation between a thing and one of its like; of another metal too.
    drift_year : float
        Standard deviation that a year adds.
    least, most : float
        Ends beyond which an entry is a slip, in ``unit``.
    """

    counts: Counts
    middle: float
    spread: float
    unit: str
    job_scatter: float
    apart: float
    drift_year: float
    least: float
    most: float
    standing: str
    source_key: str
    place: str


@cache
def prior_rows() -> Mapping[Quantity, PriorRow]:
    """Rows by quantity.

    Examples
    --------
    >>> row = prior_rows()[Quantity.DRILL_OVERSIZE]
    >>> row.middle, round(row.spread, 4), row.unit, row.standing
    (0.15, 0.075, 'mm', 'common practice')
    """
    rows = load_table("belief_priors.csv", _PRIOR_COLUMNS, may_be_blank=("low", "high"))
    return {Quantity(row["quantity"]): _prior_row(row) for row in rows}


def _prior_row(row: Mapping[str, str]) -> PriorRow:
    known = bool(row["low"] and row["high"])
    low, high = (Fraction(row["low"]), Fraction(row["high"])) if known else (Fraction(0), Fraction(0))
    return PriorRow(
        counts=Counts(row["counts"]),
        middle=float((low + high) / 2),
        spread=float((high - low) / _ENDS_APART) if known else inf,
        unit=row["unit"],
        job_scatter=float(row["job_scatter"]),
        apart=float(row["apart"]),
        drift_year=float(row["drift_year"]),
        least=float(row["least"]),
        most=float(row["most"]),
        standing=row["standing"],
        source_key=row["source_key"],
        place=row["place"],
    )


@cache
def fading() -> Mapping[tuple[EventKind, Quantity], float]:
    """Spread that an event adds to all that was learned before it, as a share of the spread of the prior.

    Where there is no prior the scatter from job to job stands in its place.

    Examples
    --------
    >>> fading()[EventKind.EDGE_CHANGED, Quantity.SPRING]
    0.5
    >>> (EventKind.EDGE_CHANGED, Quantity.SLACK) in fading()
    False
    """
    return {
        (EventKind(row["event"]), Quantity(row["quantity"])): float(row["spread_added"])
        for row in load_table("belief_fading.csv", _FADING_COLUMNS)
    }
