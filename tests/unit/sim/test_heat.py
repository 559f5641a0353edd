"""Warm work: what is read, what is cut, how it cools."""

from __future__ import annotations

from math import exp
from typing import Any

import numpy as np
import pytest

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.thermal import excess_temperature_k
from handwheel.sim.heat import cooled_mm
from handwheel.sim.spreads import Even, fixed
from tests.unit.sim.quiet import touched

WARM: dict[str, Any] = {"warm_dia_mm": fixed(0.020), "time_constant_s": fixed(100.0)}


def test_cooling_is_the_relation_of_the_physics_room() -> None:
    for time_s in (0.0, 30.0, 592.0):
        one = cooled_mm(np.array([24.0]), time_s=time_s, time_constant_s=np.array([296.0]))
        assert one == pytest.approx([excess_temperature_k(24.0, time_s=time_s, time_constant_s=296.0)])


@pytest.mark.parametrize("inside_share", [0.0, 1.0])
def test_warm_work_reads_large_and_cools_by_the_exponential(inside_share: float) -> None:
    """20 µm too much on the diameter, bore or outside; after one time constant 20/e."""
    machine = touched(inside_share=inside_share, **WARM)
    at = machine.everyone
    machine.cut(at, 10.0)
    assert machine.read(at) - machine.true_size_mm == pytest.approx([0.020])
    machine.wait(at, 100.0)
    assert machine.read(at) - machine.true_size_mm == pytest.approx([0.020 * exp(-1)])
    machine.wait(at, 50.0)
    assert machine.growth_mm == pytest.approx([0.020 * exp(-1.5)])
    assert machine.waited_s == pytest.approx([150.0])


def test_an_outside_cut_warm_ends_small_when_cold() -> None:
    """The first cut is made cold. The second finds the surface 10 µm further out, and the tip leaves it where it is."""
    machine = touched(inside_share=0.0, **WARM)
    machine.cut(machine.everyone, 10.0)
    machine.cut(machine.everyone, 20.0)
    assert machine.metal_left_mm == pytest.approx([0.6 - 0.010])
    assert machine.true_size_mm == pytest.approx([20.0 + 1.2 - 0.020])


def test_a_bore_cut_warm_ends_small_when_cold() -> None:
    machine = touched(inside_share=1.0, **WARM)
    machine.cut(machine.everyone, 10.0)
    machine.cut(machine.everyone, 20.0)
    assert machine.metal_left_mm == pytest.approx([0.6 + 0.010])
    assert machine.true_size_mm == pytest.approx([20.0 - 1.2 - 0.020])


def test_a_warm_surface_is_touched_where_it_is() -> None:
    """Touched warm and cut warm the depth comes out as set; what stands in the way has moved with the surface."""
    machine = touched(start_warm=fixed(1.0), **WARM)
    machine.cut(machine.everyone, 10.0)
    assert machine.metal_left_mm == pytest.approx([0.8])


def test_a_cut_in_air_warms_nothing() -> None:
    machine = touched(**WARM)
    machine.cut(machine.everyone, -5.0)
    assert machine.growth_mm == pytest.approx([0.0])


def test_a_cut_goes_its_share_of_the_way_to_steady_warmth() -> None:
    machine = touched(1000, **WARM, warm_share=Even(0.5, 1.0))
    machine.cut(machine.everyone, 10.0)
    assert machine.growth_mm.min() == pytest.approx(0.010, abs=1e-4)
    assert machine.growth_mm.max() == pytest.approx(0.020, abs=1e-4)
    for marks in (20.0, 30.0, 40.0):
        machine.cut(machine.everyone, marks)
    assert machine.growth_mm.max() <= 0.020


def test_a_negative_time_is_refused() -> None:
    machine = touched(**WARM)
    with pytest.raises(OutOfRangeError, match="seconds: got -1 s"):
        machine.wait(machine.everyone, -1.0)
