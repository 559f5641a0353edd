"""Drills as they are sold: by number, letter, fraction of an inch or millimetre; centre drills by their tips."""

from __future__ import annotations

import re
from enum import Enum
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing, load_table
from handwheel.domain.exact import Fraction
from handwheel.domain.size import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Mapping

_COLUMNS = ("series", "name", "dia_in", "dia_mm", "standing", "source_key", "place")
_CENTRE_COLUMNS = (
    "type",
    "pilot_dia_mm",
    "shank_dia_mm",
    "overall_mm",
    "pilot_length_low_mm",
    "pilot_length_high_mm",
    "protect_dia_mm",
    "radius_low_mm",
    "radius_high_mm",
    "cone_deg",
    "preference",
    "standing",
    "source_key",
    "place",
)
_CENTRE_BLANK = ("pilot_length_low_mm", "protect_dia_mm", "radius_low_mm", "radius_high_mm", "cone_deg")
_NUMBER = r"(?:#|no\.?|number)\s*(?P<number>[0-9]{1,3})"
_LETTER = r"(?:letter\s+)?(?P<letter>[a-z])"


class DrillSeries(Enum):
    """List that a size of drills stands in."""

    NUMBER = "number"
    LETTER = "letter"
    FRACTION = "fractional inch"
    METRIC = "metric"


class DrillSize(Struct, frozen=True, kw_only=True):
    """Size of drills with its name in its series, such as ``#7`` or ``27/64``. [mm]"""

    series: DrillSeries
    name: str
    dia_mm: Fraction
    standing: Standing
    source_key: str


@cache
def drill_sizes() -> tuple[DrillSize, ...]:
    """Every size of the four series, each in the order of its list.

    References
    ----------
    [DRILL_CHARTS] for 46 numbers and letters, opened; [ASME_B94_11M] for the others, from memory; [BS328] for the rule
    of the metric series, opened; fractions by the definition of the [INCH].

    Examples
    --------
    >>> len(drill_sizes())
    429
    """
    return tuple(
        DrillSize(
            series=DrillSeries(row["series"]),
            name=row["name"],
            dia_mm=Fraction(row["dia_mm"]) if row["dia_mm"] else Fraction(row["dia_in"]) * MM_PER_INCH,
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
        )
        for row in load_table("drill_sizes.csv", _COLUMNS, ("dia_in", "dia_mm"))
    )


def names_a_drill(written: str) -> bool:
    """Whether a text has the form of a drill's number or letter, whether or not there is such a drill.

    Examples
    --------
    >>> [names_a_drill(text) for text in ("#7", "no. 81", "letter F", "f", "7", "27/64 in")]
    [True, True, True, True, False, False]
    """
    return _name_in(written) != ""


def drill_named(written: str) -> DrillSize | None:
    """Drill of that number or letter, however it is written; ``None`` if there is none.

    Examples
    --------
    >>> drill_named("#7").dia_mm == drill_named("No. 7").dia_mm == Fraction("0.2010") * MM_PER_INCH
    True
    >>> drill_named("letter F").name, drill_named("#81")
    ('F', None)
    """
    return _by_name().get(_name_in(written))


def series_mm(series: DrillSeries) -> tuple[Fraction, ...]:
    """Diameters of a series, rising. [mm]

    Examples
    --------
    >>> [float(dia) for dia in series_mm(DrillSeries.METRIC)[-3:]]
    [24.5, 24.75, 25.0]
    """
    return tuple(sorted(size.dia_mm for size in drill_sizes() if size.series is series))


@cache
def centre_pilots_mm() -> tuple[Fraction, ...]:
    """Diameters of the tips of centre drills of type A in the preferred series, rising. [mm]

    References
    ----------
    [ISO866], from memory; types B and R of the table, which have the same tips, are of [ISO2540] and [ISO2541].

    Examples
    --------
    >>> [float(dia) for dia in centre_pilots_mm()][:4]
    [1.0, 1.6, 2.0, 2.5]
    """
    rows = load_table("centre_drill_sizes.csv", _CENTRE_COLUMNS, _CENTRE_BLANK)
    plain = (row for row in rows if row["type"] == "A" and row["preference"] == "preferred")
    return tuple(sorted(Fraction(row["pilot_dia_mm"]) for row in plain))


@cache
def _by_name() -> Mapping[str, DrillSize]:
    named = (DrillSeries.NUMBER, DrillSeries.LETTER)
    return {size.name: size for size in drill_sizes() if size.series in named}


def _name_in(written: str) -> str:
    """Name as the table has it: ``#7`` or ``F``; empty if the text has another form."""
    text = written.strip()
    if found := re.fullmatch(_NUMBER, text, re.IGNORECASE):
        return f"#{int(found['number'])}"
    found = re.fullmatch(_LETTER, text, re.IGNORECASE)
    return found["letter"].upper() if found else ""
