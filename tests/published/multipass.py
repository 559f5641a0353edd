"""The statement of the literature on multi-pass turning, and a single cut with two objectives, as known here.

Constants of the first from memory of Chen & Tsai 1996 and Shin & Joo 1992, whose tables were not opened; a solution
remembered from that literature is an exact vertex of the limits with these constants. Those of the second were read in
a public restatement of Quiza Sardinas et al. 2006, not in the paper.
"""

from __future__ import annotations

from math import pi
from typing import Any

from handwheel.planner.optimum.economy import Economy
from handwheel.planner.optimum.laws import Limit, PowerLaw
from handwheel.planner.optimum.multipass import Multipass
from handwheel.planner.optimum.single import SingleCut

DIA_MM, LENGTH_MM = 50.0, 300.0
NOSE_MM = 1.2
DRIVE = 6120.0 * 0.85
"""From kgf m/min to kW, with the efficiency of the drive."""

LIFE = PowerLaw(coefficient=6e11, speed=-5.0, feed=-1.75, depth=-0.75)
FORCE = PowerLaw(coefficient=108.0, feed=0.75, depth=0.95)
POWER = PowerLaw(coefficient=108.0 / DRIVE, speed=1.0, feed=0.75, depth=0.95)
STABILITY = PowerLaw(coefficient=1.0, speed=2.0, feed=1.0, depth=-1.0)
TEMPERATURE = PowerLaw(coefficient=132.0, speed=0.4, feed=0.2, depth=0.105)
ROUGHNESS_UM = PowerLaw(coefficient=1000.0 / (8.0 * NOSE_MM), feed=2.0)

BOTH = (
    Limit(name="force", law=FORCE, bound=200.0),
    Limit(name="power", law=POWER, bound=5.0),
    Limit(name="stability", law=STABILITY, bound=140.0, most=False),
    Limit(name="temperature", law=TEMPERATURE, bound=1000.0),
)
PRICES = Economy(minute_cost=0.5, edge_cost=2.5, change_min=1.5, load_min=0.75, pass_min=7e-4 * LENGTH_MM + 0.3)


def turning(**changed: object) -> Multipass:
    """The statement, with some of it changed."""
    given: dict[str, Any] = {
        "path": pi * DIA_MM * LENGTH_MM / 1000.0,
        "economy": PRICES,
        "life": LIFE,
        "lives": (25.0, 45.0),
        "speeds": (50.0, 500.0),
        "feeds": (0.1, 0.9),
        "depths": (1.0, 3.0),
        "rough": BOTH,
        "finish": (*BOTH, Limit(name="roughness", law=ROUGHNESS_UM, bound=10.0)),
        "speed_ratio": 1.0,
        "feed_ratio": 2.5,
        "depth_ratio": 1.0,
    }
    return Multipass(**(given | changed))


def steel_with_carbide(economy: Economy, *, efficiency: float) -> SingleCut:
    """The single cut in steel with carbide: 219 912 mm³ away; 0.7976 or 1.0 for the efficiency."""
    force = PowerLaw(coefficient=6.56e3, speed=-0.286, feed=0.917, depth=1.10)
    power = PowerLaw(coefficient=6.56e3 / 60000.0, speed=1.0 - 0.286, feed=0.917, depth=1.10)
    return SingleCut(
        volume_cm3=219.912,
        economy=economy,
        life=PowerLaw(coefficient=5.48e9, speed=-3.46, feed=-0.696, depth=-0.460),
        speeds=(250.0, 400.0),
        feeds=(0.15, 0.55),
        depths=(0.5, 6.0),
        limits=(
            Limit(name="power", law=power, bound=10.0 * efficiency),
            Limit(name="force", law=force, bound=5000.0),
            Limit(name="roughness", law=PowerLaw(coefficient=125.0 / 0.8, feed=2.0), bound=50.0),
        ),
    )


SHORTEST_TIME = Economy(minute_cost=1.0, edge_cost=0.0, change_min=0.2, load_min=0.20)
"""Minutes: of the cut, of loading, and of changing edges."""
LEAST_WEAR = Economy(minute_cost=0.0, edge_cost=100.0, change_min=0.0)
"""Share of an edge's life that is used up. [%]"""
