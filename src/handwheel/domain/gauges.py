"""Gauges: what they measure, over which range, how surely, and of which kind they are."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from handwheel.domain.exact import Fraction
from handwheel.domain.size import MM_PER_INCH

FINEST_INCH_STEP_MM = MM_PER_INCH / 20000
"""Gauges in inches are read in whole halves of a tenth of a thou; no step in round millimetres is one. [mm]"""


class GaugeUse(Enum):
    """What a gauge can measure."""

    OUTSIDE = "outside diameter"
    BORE = "bore"
    LENGTH = "length"
    DEPTH = "depth"
    RUNOUT = "runout"


class GaugeKind(Enum):
    """How a gauge touches the work and how it is read; it settles which slips are likely."""

    MICROMETER = "micrometer"
    CALIPER = "caliper"
    DIAL_CALIPER = "dial caliper"
    THREE_POINT = "three-point gauge"
    BORE_GAUGE = "two-point bore gauge"
    TELESCOPING = "telescoping gauge"
    PLUG = "plug or ring gauge"
    DEPTH_GAUGE = "depth gauge"
    INDICATOR = "indicator"
    ELECTRONIC = "electronic micrometer"


KINDS_BY_WORD: tuple[tuple[str, GaugeKind], ...] = (
    ("telescop", GaugeKind.TELESCOPING),
    ("three-point", GaugeKind.THREE_POINT),
    ("three point", GaugeKind.THREE_POINT),
    ("3-point", GaugeKind.THREE_POINT),
    ("bore gauge", GaugeKind.BORE_GAUGE),
    ("bore gage", GaugeKind.BORE_GAUGE),
    ("plug", GaugeKind.PLUG),
    ("ring gauge", GaugeKind.PLUG),
    ("dial caliper", GaugeKind.DIAL_CALIPER),
    ("caliper", GaugeKind.CALIPER),
    ("calliper", GaugeKind.CALIPER),
    ("digital micrometer", GaugeKind.ELECTRONIC),
    ("electronic", GaugeKind.ELECTRONIC),
    ("micrometer", GaugeKind.MICROMETER),
    ("indicator", GaugeKind.INDICATOR),
    ("depth", GaugeKind.DEPTH_GAUGE),
)
"""Kind that a word in a gauge's name tells; the first that fits counts."""
KINDS_BY_USE = {
    GaugeUse.OUTSIDE: GaugeKind.MICROMETER,
    GaugeUse.BORE: GaugeKind.BORE_GAUGE,
    GaugeUse.LENGTH: GaugeKind.MICROMETER,
    GaugeUse.DEPTH: GaugeKind.DEPTH_GAUGE,
    GaugeUse.RUNOUT: GaugeKind.INDICATOR,
}
"""Kind where neither the shop file nor the name tells, by the one use of a gauge."""


class Gauge(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A measuring instrument: range, step, and the half-width within which a reading is trusted. [mm]

    ``kind`` is what the shop file says of it, `None` if nothing. ``flat_mm`` is the width of the flats on a caliper's
    inside jaws, 0 if nobody has said. [mm] Left unsaid, neither is part of what a plan is known by.
    """

    id: str
    name: str
    uses: tuple[GaugeUse, ...]
    low_mm: float
    high_mm: float
    step_mm: Fraction
    uncertainty_mm: float
    kind: GaugeKind | None = None
    flat_mm: float = 0.0

    @property
    def sort(self) -> GaugeKind:
        """Kind as the shop file says, else as the name tells, else as the uses suggest.

        Several uses without a word to go by are those of a caliper.
        """
        if self.kind is not None:
            return self.kind
        name = self.name.lower()
        by_use = KINDS_BY_USE[self.uses[0]] if len(self.uses) == 1 else GaugeKind.CALIPER
        return next((kind for word, kind in KINDS_BY_WORD if word in name), by_use)

    @property
    def in_inches(self) -> bool:
        """Whether its step is one of gauges in inches, such as 0.001 in."""
        return (self.step_mm / FINEST_INCH_STEP_MM).denominator == 1
