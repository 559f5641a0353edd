"""Gauges: what they measure, over which range, how surely."""

from enum import Enum

from msgspec import Struct

from handwheel.domain.exact import Fraction


class GaugeUse(Enum):
    """What a gauge can measure."""

    OUTSIDE = "outside diameter"
    BORE = "bore"
    LENGTH = "length"
    DEPTH = "depth"
    RUNOUT = "runout"


class Gauge(Struct, frozen=True, kw_only=True):
    """A measuring instrument: range, step, and the half-width within which a reading is trusted. [mm]"""

    id: str
    name: str
    uses: tuple[GaugeUse, ...]
    low_mm: float
    high_mm: float
    step_mm: Fraction
    uncertainty_mm: float
