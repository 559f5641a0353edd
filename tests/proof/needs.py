"""What a cut asks of a lathe, by the tables and the published relations alone: speed, feed, power, stiffness.

The generator's own rules, kept simple; nothing of the planner is in them. A feed is chosen near the least one that the
metal bears, for a cut that is possible at all is possible there.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from handwheel.data.forces import force_models
from handwheel.data.materials import Material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.motion import Edge
from handwheel.physics.force import HSS_SPEED_FACTOR, WEAR_FACTOR, ForceFactors, Process, force_band
from handwheel.physics.min_chip import least_chip_mm
from handwheel.physics.roughness import feed_for_mean_roughness_mm_rev
from handwheel.physics.stability import stable_width_mm

USUAL_RA_UM = 3.2
"""Mean roughness of a turned surface when none is asked: from memory of the ASME B46.1 chart, as the planner's."""
THIN_CHIP = 2.0
"""A mean chip this many times the least chip does not rub (cutting-models section 5)."""
DIRECTION_FACTOR = 0.5
"""Directional factor of the chatter limit (decision 0007)."""
MARGIN = 1.15
"""Room left above what a relation asks for, so that rounding to what can be set does not decide."""


@dataclass(frozen=True, kw_only=True)
class CutNeed:
    """One cut that a ring cannot be made without.

    ``chip_mm`` is the width of the chip: of a blade or an edge, or the depth of the shallowest pass. ``lead_mm`` is
    the travel of a turn of the handle that feeds it by hand; ``nose_mm`` 0 where the tool settles the width.
    """

    name: str
    cut: CutKind
    process: Process
    edge: Edge
    dia_mm: float
    chip_mm: float
    lead_mm: float
    pace_factor: float = 1.0
    nose_mm: float = 0.0
    edge_radius_um: float = 8.0
    entering_deg: float = 90.0
    finish: bool = True

    def most_rpm(self, metal: Material) -> float:
        """Fastest speed that the tables allow. [rev/min]"""
        return 1000.0 * cutting_speed(metal, edge=self.edge, cut=self.cut).high_m_min / (pi * self.dia_mm)

    def feeds_mm_rev(self, metal: Material) -> tuple[float, float]:
        """Least and greatest feed: the metal's, the chip's, the roughness'. [mm/rev]"""
        least = metal.range("min_feed").most
        most = metal.range("feed_finish" if self.finish else "feed_rough").most
        if self.nose_mm > 0:
            if self.finish:
                ideal = feed_for_mean_roughness_mm_rev(USUAL_RA_UM, nose_radius_mm=self.nose_mm)
                most = max(least, min(most, ideal, self.nose_mm))
            # on a rounded nose the chip is thinner than the feed by about the root of depth over diameter of the nose
            thin = min(1.0, sqrt(self.chip_mm / (2.0 * self.nose_mm)))
            least = max(least, MARGIN * THIN_CHIP * least_chip_mm(self.edge_radius_um) / thin)
        return least, most

    def force_n(self, metal: Material, feed_mm_rev: float, *, worn: bool = True) -> float:
        """Cutting force, upper end of the opinions. [N]"""
        factors = ForceFactors(
            speed=HSS_SPEED_FACTOR if self.edge is Edge.HSS else 1.0,
            process=self.process.factor,
            wear=WEAR_FACTOR,
        )
        return force_band(
            force_models(metal),
            depth_mm=self.chip_mm,
            feed_mm_rev=feed_mm_rev,
            entering_angle_deg=min(95.0, self.entering_deg) if self.nose_mm > 0 else 90.0,
            factors=factors if worn else None,
        ).ruling_n

    def hand_feeds_mm_rev(
        self, metal: Material, rpm: float, *, fast_s: float, slow_s: float
    ) -> tuple[float, float] | None:
        """Band of feeds that a hand can keep on the handle at a speed, if it is wide enough to aim at. [mm/rev]"""
        least, most = self.feeds_mm_rev(metal)
        turn = 60.0 * self.lead_mm / (rpm * self.pace_factor)
        # the slow end of a hand's band is about 0.6 of its fast end, and must still be kept
        low, high = max(least, 0.02, turn / (0.6 * slow_s)), min(most, turn / fast_s)
        return (low, high) if high - low >= HAND_ROOM_MM_REV else None

    def power_w(self, metal: Material, feed_mm_rev: float, rpm: float) -> float:
        """Power at the spindle. [W]"""
        return self.force_n(metal, feed_mm_rev) * pi * self.dia_mm * rpm / 60000.0

    def stiffness_n_um(self, metal: Material, feed_mm_rev: float, *, damping: float) -> float:
        """Stiffness that a chip as wide as this needs lest it chatter. [N/µm]"""
        specific = self.force_n(metal, feed_mm_rev, worn=False) / (self.chip_mm * feed_mm_rev)
        per_n_um = stable_width_mm(1.0, damping_ratio=damping, kc_n_mm2=specific, direction_factor=DIRECTION_FACTOR)
        return self.chip_mm / per_n_um


HAND_ROOM_MM_REV = 0.02
"""Least width of a band of hand feeds: a hundredth either way of a feed in whole hundredths."""
