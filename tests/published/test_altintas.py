"""Altintas, Manufacturing Automation, p. 131: two oriented modes, and what speeds they bear.

The inputs were read in a teaching repository that cites the page. The book gives its answer as a plot of lobes; the
numbers here were computed for this project, the limits at a speed a second time by a method that shares no formula:
the rightmost eigenvalue of the delay equation. So it is the agreement of two methods that is evidence.
"""

from __future__ import annotations

from math import atan, atan2, cos, pi, radians

import numpy as np
import pytest

from handwheel.physics.stability import Mode, limit_at_any_speed, limit_at_speed, oriented_response, stable_width_mm

KF = 1000.0
"""Force for each area in the direction of chip thickness. [N/mm²]"""
STRAIGHT = Mode(stiffness_n_um=226.0, damping_ratio=0.012, frequency_hz=250.0)
FIRST = Mode(stiffness_n_um=226.0, damping_ratio=0.012, frequency_hz=250.0, angle_deg=30.0)
SECOND = Mode(stiffness_n_um=213.0, damping_ratio=0.010, frequency_hz=150.0, angle_deg=-45.0)
BOTH = (FIRST, SECOND)
NODES = 81


@pytest.mark.parametrize(
    ("modes", "width_mm", "chatter_hz"),
    [
        ((STRAIGHT,), 5.489088, 252.9822),
        ((FIRST,), 7.318784, 252.9822),
        ((SECOND,), 8.605200, 151.4926),
        (BOTH, 7.184977, 252.9802),
    ],
    ids=["first mode straight in", "first mode at 30°", "second mode at -45°", "both modes"],
)
def test_limit_at_any_speed(modes: tuple[Mode, ...], width_mm: float, chatter_hz: float) -> None:
    """Computed for this project; to the digits it is printed with."""
    found = limit_at_any_speed(modes, kf_n_mm2=KF)
    assert found.width_mm == pytest.approx(width_mm, abs=0.5e-6)
    assert found.chatter_hz == pytest.approx(chatter_hz, abs=0.5e-4)
    assert found.bound_mm <= found.width_mm
    assert found.bound_mm == pytest.approx(found.width_mm, rel=1.01e-6)


@pytest.mark.parametrize("mode", [STRAIGHT, FIRST, SECOND])
def test_one_mode_has_a_closed_form(mode: Mode) -> None:
    closed = stable_width_mm(
        mode.stiffness_n_um,
        damping_ratio=mode.damping_ratio,
        kc_n_mm2=KF,
        direction_factor=cos(radians(mode.angle_deg)) ** 2,
    )
    assert limit_at_any_speed((mode,), kf_n_mm2=KF).width_mm == pytest.approx(closed, rel=1e-12)


LOBES = [
    (2000.0, 8.667, 255.42, 8.443, 255.36),
    (3000.0, 34.584, 276.86, 32.287, 276.76),
    (4000.0, 7.492, 252.40, 7.376, 252.36),
    (5000.0, 57.497, 293.63, 9.927, 151.11),
    (6000.0, 13.113, 259.71, 12.578, 259.58),
    (8000.0, 10.882, 251.15, 10.785, 251.12),
    (10000.0, 16.554, 262.65, 15.434, 150.55),
    (12000.0, 72.216, 303.88, 9.476, 151.58),
    (14000.0, 149.119, 352.54, 12.866, 153.23),
]
"""Speed, limit and frequency of the first mode, of both; computed for this project on a grid of frequencies.

Its last digits carry that grid: at 8000 and 10000 rev/min they lie 0.02 and 0.04 % above the eigenvalues' figures.
"""


@pytest.mark.parametrize(("speed", "first_mm", "first_hz", "both_mm", "both_hz"), LOBES)
def test_limit_at_a_speed(speed: float, first_mm: float, first_hz: float, both_mm: float, both_hz: float) -> None:
    first = limit_at_speed((FIRST,), kf_n_mm2=KF, speed_rpm=speed)
    both = limit_at_speed(BOTH, kf_n_mm2=KF, speed_rpm=speed)
    assert first.width_mm == pytest.approx(first_mm, rel=4e-4)
    assert first.chatter_hz == pytest.approx(first_hz, abs=0.011)
    assert both.width_mm == pytest.approx(both_mm, rel=4e-4)
    assert both.chatter_hz == pytest.approx(both_hz, abs=0.011)


@pytest.mark.parametrize(
    ("modes", "speed", "width_mm"),
    [
        ((FIRST,), 4000.0, 7.492),
        ((FIRST,), 6000.0, 13.113),
        ((FIRST,), 8000.0, 10.881),
        ((FIRST,), 10000.0, 16.554),
        (BOTH, 4000.0, 7.375),
        (BOTH, 6000.0, 12.578),
        (BOTH, 8000.0, 10.783),
        (BOTH, 10000.0, 15.428),
        (BOTH, 14000.0, 12.867),
    ],
)
def test_limit_at_a_speed_is_that_of_the_eigenvalues_on_record(
    modes: tuple[Mode, ...], speed: float, width_mm: float
) -> None:
    """Second method, computed for this project; to the digits it is printed with."""
    assert limit_at_speed(modes, kf_n_mm2=KF, speed_rpm=speed).width_mm == pytest.approx(width_mm, abs=0.6e-3)


@pytest.mark.parametrize(("modes", "speed"), [((FIRST,), 4000.0), ((FIRST,), 6000.0), (BOTH, 8000.0), (BOTH, 10000.0)])
def test_eigenvalues_change_sign_at_the_limit(modes: tuple[Mode, ...], speed: float) -> None:
    """A swing dies away just below the limit and grows just above it; nowhere below does it grow."""
    limit = limit_at_speed(modes, kf_n_mm2=KF, speed_rpm=speed).width_mm
    assert (
        rightmost(modes, speed_rpm=speed, width_mm=0.999 * limit)
        < 0
        < rightmost(modes, speed_rpm=speed, width_mm=1.001 * limit)
    )
    assert all(rightmost(modes, speed_rpm=speed, width_mm=share * limit) < 0 for share in (0.25, 0.5, 0.75))


@pytest.mark.parametrize("speed", [4300.0, 5200.0, 7000.0])
def test_below_the_limit_for_any_speed_no_eigenvalue_grows(speed: float) -> None:
    quiet = limit_at_any_speed(BOTH, kf_n_mm2=KF).width_mm
    assert rightmost(BOTH, speed_rpm=speed, width_mm=0.999 * quiet) < 0


@pytest.mark.parametrize(("speed", "width_mm"), [(12000.0, 9.476), (14000.0, 12.866)])
def test_an_angle_that_forgets_its_quarter_would_lose_the_fastest_lobe(speed: float, width_mm: float) -> None:
    """The trap: atan in place of atan2 adds a whole wave to the lag; what is lobe 0 then has no number.

    The least limit over all frequencies stays right with either, so only limits at a speed can tell.
    """
    found = limit_at_speed(BOTH, kf_n_mm2=KF, speed_rpm=speed)
    response = oriented_response(found.chatter_hz, BOTH)
    in_a_turn = found.chatter_hz * 60.0 / speed
    right, wrong = (
        in_a_turn - (3.0 * pi + 2.0 * psi) / (2.0 * pi)
        for psi in (atan2(response.imag, response.real), atan(response.imag / response.real))
    )
    assert right == pytest.approx(0.0, abs=1e-9)
    assert wrong == pytest.approx(-1.0, abs=1e-9)
    assert found.lobe == 0
    assert found.width_mm == pytest.approx(width_mm, rel=4e-4)


def rightmost(modes: tuple[Mode, ...], *, speed_rpm: float, width_mm: float) -> float:
    """Greatest growth of a swing that is cut and cut again a turn later, by Chebyshev collocation. [1/s]

    State of each mode: place q and its speed; force on the chip Kf a (y(t - T) - y(t)), y = sum of cos θ q.
    """
    turn_s = 60.0 / speed_rpm
    size = 2 * len(modes)
    now, then = np.zeros((size, size)), np.zeros((size, size))
    turns = np.array([cos(radians(mode.angle_deg)) for mode in modes])
    for place, mode in enumerate(modes):
        omega, mass_n = 2.0 * pi * mode.frequency_hz, mode.stiffness_n_um * 1000.0
        gain = omega**2 / mass_n * KF * width_mm * turns[place]
        now[2 * place, 2 * place + 1] = 1.0
        now[2 * place + 1, 2 * place] = -(omega**2)
        now[2 * place + 1, 2 * place + 1] = -2.0 * mode.damping_ratio * omega
        now[2 * place + 1, 0::2] -= gain * turns
        then[2 * place + 1, 0::2] += gain * turns
    slope = chebyshev_slope(NODES - 1) * 2.0 / turn_s
    whole = np.kron(slope, np.eye(size))
    whole[:size, :] = 0.0
    whole[:size, :size] = now
    whole[:size, -size:] = then
    return float(np.linalg.eigvals(whole).real.max())


def chebyshev_slope(count: int) -> np.ndarray:
    """Matrix that takes values at the points cos(π i / n), from 1 to -1, to the slopes there."""
    place = np.cos(pi * np.arange(count + 1) / count)
    weight = np.ones(count + 1)
    weight[0] = weight[-1] = 2.0
    weight *= (-1.0) ** np.arange(count + 1)
    apart = place[:, None] - place[None, :] + np.eye(count + 1)
    slope = np.outer(weight, 1.0 / weight) / apart
    return np.asarray(slope - np.diag(slope.sum(axis=1)))


def test_the_matrix_of_slopes_knows_a_power() -> None:
    place = np.cos(pi * np.arange(9) / 8)
    assert chebyshev_slope(8) @ place**5 == pytest.approx(5.0 * place**4, abs=1e-12)
