"""What a screw really moves for what its dial shows, and back."""

from __future__ import annotations

from math import tau

import numpy as np

from handwheel.sim.spreads import Floats

_ROUNDS = 6
"""Rounds of the inverse: each leaves at most a twentieth of the error, so that 1e-8 of a periodic error is left."""


def moved_mm(dial_mm: Floats, *, rate: Floats, periodic_mm: Floats, lead_mm: Floats, phase_rad: Floats) -> Floats:
    r"""Travel of a slide from its zero, by an untrue screw. Ours, no source, as the plainest that is not true.

    .. math:: x = d\,(1 + e) + A \left(\sin(\varphi + 2\pi d / P) - \sin\varphi\right)

    Parameters
    ----------
    dial_mm : array of n
        Travel by the dial, marks times mark, :math:`d`. [mm]
    rate : array of n
        Error of the scale, :math:`e`.
    periodic_mm : array of n
        Amplitude of what comes again with each turn, :math:`A`. [mm]
    lead_mm : array of n
        Travel of a turn, :math:`P`. [mm]
    phase_rad : array of n
        Where in its turn the screw stood at the zero, :math:`\varphi`. [rad]

    Returns
    -------
    array of n
        Travel :math:`x`. [mm]
    """
    wave = np.sin(phase_rad + tau * dial_mm / lead_mm) - np.sin(phase_rad)
    moved: Floats = dial_mm * (1.0 + rate) + periodic_mm * wave
    return moved


def shown_mm(travel_mm: Floats, *, rate: Floats, periodic_mm: Floats, lead_mm: Floats, phase_rad: Floats) -> Floats:
    """Travel by the dial at which a slide has moved so far; the inverse of `moved_mm`, with the same arguments. [mm]"""
    dial_mm: Floats = travel_mm / (1.0 + rate)
    for _ in range(_ROUNDS):
        found_mm = moved_mm(dial_mm, rate=rate, periodic_mm=periodic_mm, lead_mm=lead_mm, phase_rad=phase_rad)
        dial_mm = dial_mm + (travel_mm - found_mm) / (1.0 + rate)
    return dial_mm
