"""A stop for each code of a question, that provokes it."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from handwheel.bench.asking.records import HandleTurn, StopContext, TypedReading
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.part import Units

MICROMETER = Gauge(
    id="m25",
    name="micrometer",
    uses=(GaugeUse.OUTSIDE,),
    low_mm=0.0,
    high_mm=25.0,
    step_mm=Fraction("0.01"),
    uncertainty_mm=0.005,
)
LARGER_MICROMETER = replace(MICROMETER, id="m50", low_mm=25.0, high_mm=50.0)
BORE_GAUGE = replace(MICROMETER, id="bg", name="bore gauge", uses=(GaugeUse.BORE,), high_mm=25.0)
CALIPER = Gauge(
    id="c",
    name="caliper",
    uses=(GaugeUse.OUTSIDE, GaugeUse.BORE),
    low_mm=0.0,
    high_mm=150.0,
    step_mm=Fraction("0.02"),
    uncertainty_mm=0.03,
)


def reading(value_mm: float, typed: str = "") -> TypedReading:
    return TypedReading(read_mm=value_mm, typed=typed)


PLAIN = StopContext(
    readings=(reading(17.98, "17.98"),),
    gauge=MICROMETER,
    use=GaugeUse.OUTSIDE,
    expected_mm=17.985,
    expected_sd_mm=0.01,
    tolerance_mm=0.05,
)
"""As expected, with a gauge that decides: nothing to ask."""


def with_readings(*values_mm: float) -> StopContext:
    return replace(PLAIN, readings=tuple(reading(value) for value in values_mm))


def typed(value_mm: float, text: str) -> StopContext:
    return replace(PLAIN, readings=(reading(value_mm, text),))


PROVOKED: dict[str, StopContext] = {
    "beyond-gauge": replace(typed(17.98, "17.98"), gauge=LARGER_MICROMETER),
    "caliper-flats": replace(PLAIN, gauge=CALIPER, use=GaugeUse.BORE, tolerance_mm=0.2),
    "digits-swapped": typed(17.89, "17.89"),
    "far-from-expected": typed(18.05, "18.05"),
    "frame-left-out": replace(
        typed(5.98, "5.98"), gauge=replace(LARGER_MICROMETER, low_mm=25.0), expected_mm=30.985, expected_sd_mm=0.01
    ),
    "gauge-cannot-decide": replace(PLAIN, gauge=CALIPER),
    "gauge-turn-out": typed(18.48, "18.48"),
    "handle-turn-out": replace(typed(15.98, "15.98"), handle_turns=(HandleTurn(name="cross-slide", reading_mm=2.0),)),
    "lobes-unseen": replace(PLAIN, lobes=3, lobes_mm=0.0075),
    "more-readings": replace(PLAIN, tolerance_mm=0.02),
    "outlier": replace(with_readings(17.98, 17.981, 17.995), expected_sd_mm=0.05),
    "point-slip": typed(1.798, "1.798"),
    "radius-typed": typed(8.99, "8.99"),
    "spread-wide": with_readings(17.97, 17.98, 17.99),
    "still-warm": replace(PLAIN, warm_mm=0.006),
    "warm-reading": replace(PLAIN, alpha_per_k=23.5e-6, temperature_c=35.0),
    "wrong-unit": replace(typed(17.98 / 25.4, "0.7079"), units=Units.MM),
}
