"""Last cuts that are lighter than the shop's habit, on surfaces whose limits bear no more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handwheel.data.least_cuts import least_depth_mm
from handwheel.data.materials import Material
from handwheel.domain.part import Part
from handwheel.planner.cut_limits import TINY_MM, bending_share
from handwheel.planner.job import LastCut
from handwheel.planner.way import NoWay, Way

LighterCuts = tuple[tuple[str, LastCut], ...]
"""Surfaces with the depth of their last cuts."""


def lighter_cuts(part: Part, metal: Material, troubles: Iterable[NoWay], *, straight: bool = False) -> LighterCuts:
    """Last cuts that were refused as too deep, each as deep as some tool, speed and feed would bear it.

    Not where that is less than the metal's least cut. Only troubles of last cuts count: their steps bear the names of
    the cylinders. ``straight``: no deeper than bending keeps to its share of the tolerance, where that is deep enough.
    """
    cylinders = {cylinder.surface for cylinder in (*part.outer_cylinders, *part.inner_cylinders)}
    bears: dict[str, float] = {}
    unbent: dict[str, float] = {}
    for trouble in troubles:
        if trouble.step in cylinders and trouble.bears_mm > 0:
            bears[trouble.step] = max(trouble.bears_mm, bears.get(trouble.step, 0.0))
            unbent[trouble.step] = max(trouble.straight_mm, unbent.get(trouble.step, 0.0))
    least = least_depth_mm(metal)
    if straight:
        bears |= {surface: most for surface, most in unbent.items() if most >= max(least, TINY_MM)}
    return tuple(
        (surface, LastCut(least_mm=least, most_mm=most, lighter=True))
        for surface, most in sorted(bears.items())
        if most >= least
    )


def straighter_cuts(ways: Iterable[Way], metal: Material) -> LighterCuts:
    """Last cuts for the surfaces whose last cuts bend too far: as deep as at their feed they would just not.

    Not where that is less than the metal's least cut.
    """
    least = least_depth_mm(metal)
    found = []
    for way in ways:
        share = 0.0 if way.schedule is None else bending_share(way.schedule)
        if share <= 1.0 or way.schedule is None or way.schedule.case is None:
            continue
        most = max(way.schedule.depth_steps) * way.schedule.case.step_mm / share
        if most >= max(least, TINY_MM):
            cut = LastCut(least_mm=least, most_mm=most, lighter=True, unbent=True)
            found.append((way.step.surface, cut))
    return tuple(sorted(found, key=lambda one: one[0]))


def bent(ways: Sequence[Way]) -> tuple[int, float]:
    """How many last cuts bend too far, and the greatest share of its limit that one takes up: the less the better."""
    shares = [bending_share(way.schedule) for way in ways if way.schedule is not None]
    return sum(share > 1.0 for share in shares), max(shares, default=0.0)
