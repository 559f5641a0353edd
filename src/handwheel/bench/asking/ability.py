"""Whether a gauge can decide a tolerance, how many readings that takes, and what else could."""

from __future__ import annotations

from math import hypot

from msgspec import Struct

from handwheel.bench.asking.records import StopContext, bias_of_mm, spread_of_mm
from handwheel.data.gauge_kinds import GaugeFact, gauge_fact
from handwheel.domain.gauges import Gauge, GaugeKind, GaugeUse
from handwheel.physics.gauge_error import caliper_shortfall_mm
from handwheel.physics.mean_reading import SURE_ENOUGH, USUAL_READINGS, mean_uncertainty_mm, readings_needed

MOST_READINGS = 12
"""More readings than this nobody takes; then the gauge does not decide. Own choice."""
FEWEST = {GaugeKind.TELESCOPING: USUAL_READINGS}
"""Readings that a gauge needs however sure it is said to be; practice case PC-23."""


class Ability(Struct, frozen=True, kw_only=True):
    """What the readings of a gauge can tell of a size.

    ``uncertainty_mm`` is that of the mean so far, ``most_mm`` the most that the tolerance bears, both standard
    uncertainties; ``needed`` the readings that would do, `None` if none would. [mm]
    """

    uncertainty_mm: float
    most_mm: float
    bias_mm: float
    spread_mm: float
    needed: int | None

    @property
    def decides(self) -> bool:
        """Whether the mean so far decides the tolerance."""
        return self.uncertainty_mm <= self.most_mm


def ability(stop: StopContext, *, tolerance_mm: float, spread_mm: float, effective: float) -> Ability:
    """What the gauge of a stop can tell, from so many effective readings that scatter so much."""
    bias_mm = hypot(stop.gauge_bias_mm, max(flat_shortfalls_mm(stop.gauge, stop.use, stop.expected_mm)))
    return Ability(
        uncertainty_mm=mean_uncertainty_mm(spread_mm, effective=effective, bias_mm=bias_mm),
        most_mm=SURE_ENOUGH * tolerance_mm,
        bias_mm=bias_mm,
        spread_mm=spread_mm,
        needed=_needed(stop.gauge, tolerance_mm, spread_mm=spread_mm, bias_mm=bias_mm),
    )


def gauge_decides(gauge: Gauge, use: GaugeUse, *, size_mm: float, tolerance_mm: float) -> int | None:
    """How many readings of a gauge decide a tolerance, by its own uncertainty; `None` if it cannot.

    Parameters
    ----------
    gauge : Gauge
        Any gauge of the shop.
    use : GaugeUse
        What is measured.
    size_mm, tolerance_mm : float
        Size, and the width between its limits. [mm]

    Examples
    --------
    >>> from handwheel.domain.exact import Fraction
    >>> caliper = Gauge(
    ...     id="c",
    ...     name="caliper",
    ...     uses=(GaugeUse.OUTSIDE,),
    ...     low_mm=0.0,
    ...     high_mm=150.0,
    ...     step_mm=Fraction("0.02"),
    ...     uncertainty_mm=0.03,
    ... )
    >>> gauge_decides(caliper, GaugeUse.OUTSIDE, size_mm=22.0, tolerance_mm=0.1)
    3
    >>> gauge_decides(caliper, GaugeUse.OUTSIDE, size_mm=22.0, tolerance_mm=0.05) is None
    True
    """
    if use not in gauge.uses or not gauge.low_mm <= size_mm <= gauge.high_mm:
        return None
    bias_mm = hypot(bias_of_mm(gauge), max(flat_shortfalls_mm(gauge, use, size_mm)))
    return _needed(gauge, tolerance_mm, spread_mm=spread_of_mm(gauge), bias_mm=bias_mm)


def flat_shortfalls_mm(gauge: Gauge, use: GaugeUse, size_mm: float) -> tuple[float, float]:
    """By how little and by how much a gauge reads a bore small on the flats of its jaws; 0 if it has none. [mm]"""
    low_mm, high_mm = flats_mm(gauge) if use is GaugeUse.BORE else (0.0, 0.0)
    # flats wider than the bore do not go in, whatever is typed
    if high_mm >= size_mm:
        return (0.0, 0.0)
    return (caliper_shortfall_mm(size_mm, flat_mm=low_mm), caliper_shortfall_mm(size_mm, flat_mm=high_mm))


def flats_mm(gauge: Gauge) -> tuple[float, float]:
    """How wide the flats of a gauge's inside jaws are: as the shop says, else from where to where they usually are."""
    usual = gauge_fact(GaugeFact.FLAT, gauge.sort)
    if usual is None:
        return (0.0, 0.0)
    return (gauge.flat_mm, gauge.flat_mm) if gauge.flat_mm else (usual.least, usual.most)


def could_decide(stop: StopContext, *, tolerance_mm: float) -> str:
    """Which other gauge of the shop would decide, or what to have."""
    found = (
        (needed, gauge.uncertainty_mm, gauge.id, gauge.name)
        for gauge in stop.other_gauges
        if gauge.id != stop.gauge.id
        and (needed := gauge_decides(gauge, stop.use, size_mm=stop.expected_mm, tolerance_mm=tolerance_mm))
    )
    best = min(found, default=None)
    if best is not None:
        return best[-1]
    if stop.use is GaugeUse.BORE:
        return "a plug gauge turned or bought to that size, or a bore gauge set in a ring of known size"
    if stop.use is GaugeUse.OUTSIDE:
        return "a ring gauge of that size, or a finer micrometer set on a gauge block or a pin of known size"
    return "a finer gauge, set on a gauge block of about that length"


def _needed(gauge: Gauge, tolerance_mm: float, *, spread_mm: float, bias_mm: float) -> int | None:
    needed = readings_needed(tolerance_mm, spread_mm=spread_mm, bias_mm=bias_mm)
    if needed is None or needed > MOST_READINGS:
        return None
    return max(needed, FEWEST.get(gauge.sort, 1))
