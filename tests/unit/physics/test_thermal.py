"""Heat and size."""

from __future__ import annotations

from math import e, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.thermal import (
    cooling_time_constant_s,
    excess_temperature_k,
    size_at_reference_mm,
    size_change_mm,
    temperature_rise_k,
)


def test_worked_ring_of_304() -> None:
    """Computed for this project: 20/16 x 6 mm, 5.36 g; 56.8 W for 11.3 s, a tenth into the ring. Rounded as noted."""
    rise = temperature_rise_k(56.8, time_s=11.3, heat_share=0.1, mass_kg=5.36e-3, specific_heat_j_kg_k=500.0)
    assert rise == pytest.approx(24, abs=0.5)
    assert 1000 * size_change_mm(20.0, alpha_per_k=16e-6, difference_k=rise) == pytest.approx(7.7, abs=0.05)
    in_air = cooling_time_constant_s(5.36e-3, specific_heat_j_kg_k=500.0, surface_mm2=904.8)
    turning = cooling_time_constant_s(5.36e-3, specific_heat_j_kg_k=500.0, surface_mm2=904.8, film_w_m2_k=25.0)
    assert (in_air, turning) == pytest.approx((296, 118), abs=0.6)


@pytest.mark.parametrize(("alpha", "um"), [(16e-6, 3.2), (23.4e-6, 4.7), (8.6e-6, 1.7), (110e-6, 22.0)])
def test_worked_growth_of_20_mm_by_10_k(alpha: float, um: float) -> None:
    """Computed for this project: stainless, aluminium, titanium, acetal; rounded to 0.1 um."""
    assert 1000 * size_change_mm(20.0, alpha_per_k=alpha, difference_k=10.0) == pytest.approx(um, abs=0.06)


@given(st.floats(1.0, 100.0), st.floats(5e-6, 120e-6), st.floats(-20.0, 100.0))
def test_a_warm_reading_goes_back_to_its_size(size: float, alpha: float, temperature: float) -> None:
    """To first order: the standard's form neglects the square of the expansion."""
    warm = size + size_change_mm(size, alpha_per_k=alpha, difference_k=temperature - 20.0)
    back = size_at_reference_mm(warm, alpha_per_k=alpha, temperature_c=temperature)
    assert back == pytest.approx(size, rel=1.1 * (alpha * (temperature - 20.0)) ** 2 + 1e-12)


def test_cooling_by_time_constants() -> None:
    assert excess_temperature_k(24.0, time_s=0.0, time_constant_s=300.0) == 24.0
    assert excess_temperature_k(24.0, time_s=300.0, time_constant_s=300.0) == pytest.approx(24.0 / e)
    with pytest.raises(OutOfRangeError, match="time_s: got -1 s, must be 0 or more"):
        excess_temperature_k(24.0, time_s=-1.0, time_constant_s=300.0)


def test_heat_share_is_a_share() -> None:
    for share in (0.0, 1.01):
        with pytest.raises(OutOfRangeError, match="heat_share"):
            temperature_rise_k(50.0, time_s=10.0, heat_share=share, mass_kg=0.005, specific_heat_j_kg_k=500.0)


def test_temperatures_have_limits() -> None:
    with pytest.raises(OutOfRangeError, match="difference_k"):
        size_change_mm(20.0, alpha_per_k=16e-6, difference_k=inf)
    with pytest.raises(OutOfRangeError, match="temperature_c: got 201"):
        size_at_reference_mm(20.0, alpha_per_k=16e-6, temperature_c=201.0)
    with pytest.raises(OutOfRangeError, match="surface_mm2"):
        cooling_time_constant_s(0.005, specific_heat_j_kg_k=500.0, surface_mm2=0.0)
