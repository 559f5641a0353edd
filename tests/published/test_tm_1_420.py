"""Reaming in the lathe.

Source: War Department Technical Manual TM 1-420, Lathes, 29 November 1940, par. 37, opened in a library's reproduction:
machine reamers run at about half the speed of drilling; the hole is left 0.005 or 0.010 in below the finished size.
"""

from __future__ import annotations

from math import pi

import pytest

from handwheel.data.loader import Standing
from handwheel.data.materials import materials
from handwheel.data.reaming import Reaming, reaming_range
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain import acts as a
from handwheel.domain.errors import DataTableError
from handwheel.domain.hole_tools import ReamerKind
from handwheel.domain.motion import Edge
from tests.demo_plans import acts_of
from tests.planner.holes import REAMER_20, made
from tests.planner.jobs import LATHES

INCH_MM = 25.4


def test_the_allowance_is_that_of_the_manual() -> None:
    """TM 1-420 par. 37 a (2): within 0.005 or 0.010 in of the finished size."""
    found = reaming_range(Reaming.ALLOWANCE, ReamerKind.MACHINE)
    assert (found.least, found.most) == pytest.approx((0.005 * INCH_MM, 0.010 * INCH_MM))
    assert found.standing is Standing.OPENED


def test_a_hand_reamer_has_no_speed() -> None:
    with pytest.raises(DataTableError, match="turned by hand"):
        reaming_range(Reaming.SPEED_SHARE, ReamerKind.HAND)


def test_reaming_runs_at_half_the_speed_of_drilling_in_every_metal_that_has_one() -> None:
    """TM 1-420 par. 37 a (1)."""
    compared = 0
    for metal in materials():
        try:
            drill = cutting_speed(metal, edge=Edge.HSS, cut=CutKind.DRILL)
        except DataTableError:
            continue
        ream = cutting_speed(metal, edge=Edge.HSS, cut=CutKind.REAM)
        assert ream.high_m_min == pytest.approx(drill.high_m_min / 2.0)
        assert ream.source_key == "TM_1_420"
        compared += 1
    assert compared > 20


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("what", ["reamed after boring", "reamed after a drill"])
def test_a_planned_reamer_finds_the_manuals_allowance_at_no_more_than_half_the_speed(what: str, lathe: str) -> None:
    """TM 1-420 par. 37 a (1) and (2), read off the acts of the sheet."""
    it = made(what, lathe)
    acts = it.plan.sheet.acts
    at = acts.index(acts_of(it.plan, a.ReamHole)[0])
    speed = next(act for act in reversed(acts[:at]) if isinstance(act, a.SetSpeed))
    metal = next(metal for metal in materials() if metal.key == it.part.material)
    limit = cutting_speed(metal, edge=Edge.HSS, cut=CutKind.DRILL).high_m_min / 2.0
    assert pi * float(REAMER_20.dia_mm) * speed.rpm / 1000.0 <= limit * 1.001
    if what == "reamed after a drill":
        drill = it.shop.drill(next(act.drill for act in reversed(acts[:at]) if isinstance(act, a.FitDrill)))
        left = float(REAMER_20.dia_mm - drill.dia_mm)
    else:
        bored = next(act for act in reversed(acts[:at]) if isinstance(act, a.Measure) and act.surface == "bore")
        left = float(REAMER_20.dia_mm) - bored.expected_mm
    assert 0.005 * INCH_MM - 1e-6 <= left <= 0.010 * INCH_MM + 1e-6
