"""Last cuts that are lighter than the shop's habit, on surfaces whose limits bear no more."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.materials import Material
from handwheel.domain.part import Part
from handwheel.planner.cut_limits import least_depth_mm
from handwheel.planner.job import LastCut
from handwheel.planner.way import NoWay

LighterCuts = tuple[tuple[str, LastCut], ...]
"""Surfaces with the depth of their last cuts."""


def lighter_cuts(part: Part, metal: Material, troubles: Iterable[NoWay]) -> LighterCuts:
    """Last cuts that were refused as too deep, each as deep as some tool, speed and feed would bear it.

    Not where that is less than the metal's least cut. Only troubles of last cuts count: their steps bear the names of
    the cylinders.
    """
    cylinders = {cylinder.surface for cylinder in (*part.outer_cylinders, *part.inner_cylinders)}
    bears: dict[str, float] = {}
    for trouble in troubles:
        if trouble.step in cylinders and trouble.bears_mm > 0:
            bears[trouble.step] = max(trouble.bears_mm, bears.get(trouble.step, 0.0))
    least = least_depth_mm(metal)
    return tuple(
        (surface, LastCut(least_mm=least, most_mm=most, lighter=True))
        for surface, most in sorted(bears.items())
        if most >= least
    )
