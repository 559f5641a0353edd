"""Parting off on a lathe of the shop, as a table of its speeds and of feeds that a hand keeps."""

from __future__ import annotations

from math import atan, degrees

from handwheel.data.chatter_factor import chatter_factor
from handwheel.data.forces import force_models
from handwheel.data.heard import has_heard
from handwheel.data.materials import Material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.chatter import Learner
from handwheel.domain.motion import Edge
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool
from handwheel.geometry.tool_shapes import blade_slant_mm
from handwheel.physics.blade import USUAL_HEIGHT_MM, Blade
from handwheel.physics.force import HSS_SPEED_FACTOR, WEAR_FACTOR, ForceFactors
from handwheel.physics.parting_map import PartingMap, PartingSetup, parting_map
from handwheel.physics.quiet_cut import DIRECTION_FACTOR

FEEDS_MM_REV = (0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.10, 0.12)
"""Feeds that are judged: from what a hand can hardly keep to the coarsest of a usual table. [mm/rev]"""


def parting_choice(
    shop: Shop, material: Material, blade: Tool, *, outer_dia_mm: float, end_dia_mm: float, reach_mm: float
) -> PartingMap:
    """Judge every speed of the shop's lathe with every feed, for one blade and metal.

    Parameters
    ----------
    shop : Shop
        The shop: its lathe's speeds, power and stiffness.
    material : Material
        What is parted.
    blade : Tool
        Parting blade; its height is taken as `USUAL_HEIGHT_MM`.
    outer_dia_mm, end_dia_mm : float
        From where to where the blade goes; 0 for a solid bar. [mm]
    reach_mm : float
        How far the blade stands out of its holder for this. [mm]

    Raises
    ------
    DataTableError
        If the tables lack the metal's force, feed, or cutting speed.
    """
    lathe, habits = shop.lathe, shop.habits
    by_hand = 60.0 * lathe.cross.travel_per_turn_mm / habits.hand_pace_fast_s if not lathe.feeds_across else 0.0
    setup = PartingSetup(
        outer_dia_mm=outer_dia_mm,
        end_dia_mm=end_dia_mm,
        blade=Blade(
            width_mm=blade.width_mm,
            height_mm=USUAL_HEIGHT_MM,
            reach_mm=reach_mm,
            slant_deg=degrees(atan(blade_slant_mm(blade) / blade.width_mm)),
        ),
        opinions=force_models(material),
        push_ratio=material.range("kf_ratio").most,
        least_feed_mm_rev=material.range("min_feed").most,
        most_feed_mm_rev=material.range("feed_finish").most,
        most_speed_m_min=cutting_speed(material, edge=blade.edge, cut=CutKind.PART).high_m_min,
        power_w=lathe.motor_power_w * lathe.drive_efficiency,
        machine_n_um=lathe.tool_stiffness_n_um,
        direction_factor=DIRECTION_FACTOR,
        heard_factor=chatter_factor(shop, Learner.PARTING) if has_heard(shop, Learner.PARTING) else 0.0,
        hand_mm_min=by_hand,
        factors=ForceFactors(speed=HSS_SPEED_FACTOR if blade.edge is Edge.HSS else 1.0, wear=WEAR_FACTOR),
    )
    return parting_map(setup, speeds=lathe.speeds, feeds=FEEDS_MM_REV)
