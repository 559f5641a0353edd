"""A parting blade as a beam."""

from __future__ import annotations

from math import radians, tan

import pytest
from msgspec.structs import replace

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.blade import (
    Blade,
    blade_stable_width_mm,
    sideways_stiffness_n_um,
    sinking_mm,
    sinking_stiffness_n_um,
    wandering_mm,
)
from handwheel.physics.deflection import cantilever_deflection_mm
from handwheel.physics.stability import stable_width_mm

BLADE = Blade(width_mm=2.0, height_mm=10.0, reach_mm=12.0, slant_deg=6.0)


def test_twice_the_reach_is_an_eighth_of_the_stiffness_either_way() -> None:
    long = replace(BLADE, reach_mm=24.0)
    assert sinking_stiffness_n_um(BLADE) == pytest.approx(8.0 * sinking_stiffness_n_um(long))
    assert sideways_stiffness_n_um(BLADE) == pytest.approx(8.0 * sideways_stiffness_n_um(long))


def test_a_blade_is_softer_sideways_by_the_square_of_its_shape() -> None:
    assert sinking_stiffness_n_um(BLADE) / sideways_stiffness_n_um(BLADE) == pytest.approx((10.0 / 2.0) ** 2)


def test_sinking_is_the_cantilever_s() -> None:
    expected = cantilever_deflection_mm(439.0, length_mm=12.0, e_n_mm2=210e3, moment_mm4=2.0 * 10.0**3 / 12.0)
    assert sinking_mm(BLADE, force_n=439.0) == pytest.approx(expected)


def test_a_square_front_does_not_wander_and_a_slanted_one_by_the_tangent() -> None:
    assert wandering_mm(replace(BLADE, slant_deg=0.0), push_n=200.0) == 0.0
    expected = cantilever_deflection_mm(
        200.0 * tan(radians(6.0)), length_mm=12.0, e_n_mm2=210e3, moment_mm4=10.0 * 2.0**3 / 12.0
    )
    assert wandering_mm(BLADE, push_n=200.0) == pytest.approx(expected)


def test_what_a_blade_bears_is_that_of_machine_and_blade_in_series() -> None:
    stiff = 1.0 / (1.0 / 8.0 + 1.0 / sinking_stiffness_n_um(BLADE))
    expected = stable_width_mm(stiff, damping_ratio=0.02, kc_n_mm2=3000.0, direction_factor=0.5)
    found = blade_stable_width_mm(BLADE, machine_n_um=8.0, kc_n_mm2=3000.0, direction_factor=0.5)
    assert found == pytest.approx(expected)
    short = blade_stable_width_mm(replace(BLADE, reach_mm=6.0), machine_n_um=8.0, kc_n_mm2=3000.0, direction_factor=0.5)
    assert short > found


def test_a_blade_needs_section_and_reach() -> None:
    with pytest.raises(OutOfRangeError, match="reach_mm"):
        replace(BLADE, reach_mm=0.0)
    with pytest.raises(OutOfRangeError, match="slant_deg"):
        replace(BLADE, slant_deg=40.0)
    with pytest.raises(OutOfRangeError, match="force_n"):
        sinking_mm(BLADE, force_n=0.0)
    with pytest.raises(OutOfRangeError, match="push_n"):
        wandering_mm(BLADE, push_n=-1.0)
