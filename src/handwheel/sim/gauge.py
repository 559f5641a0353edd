"""Readings: true size, growth, form, the gauge's own error, slips of a whole turn, rounding."""

from __future__ import annotations

from math import inf, sqrt

import numpy as np

from handwheel.sim.envelope import Envelope
from handwheel.sim.spreads import Floats

TWO_POINTS = 2
PERIOD_OF_FORM = {2: 2, 3: 3}
"""Waves round the work that a gauge with so many contacts sees: two the ovality, three the three lobes [GEOMETRY]."""


def scatter(count: int, *, dof: float, rng: np.random.Generator) -> Floats:
    """Departures of unit standard deviation: normal, or by Student's t scaled to the same.

    Parameters
    ----------
    count : int
        How many, n.
    dof : float
        Degrees of freedom, above 2; infinite for normal.
    rng : numpy.random.Generator
        Source of chance.

    Returns
    -------
    array of n
        Departures.
    """
    if dof == inf:
        return rng.standard_normal(count)
    return rng.standard_t(dof, count) * sqrt((dof - 2.0) / dof)


def slips_mm(count: int, *, envelope: Envelope, rng: np.random.Generator) -> Floats:
    """Slips of a whole turn of the thimble: 0 for most readings, else too much or too little. [mm]"""
    lot = rng.random(count)
    half = envelope.misread_chance / 2.0
    return envelope.misread_mm * ((lot < half).astype(np.float64) - (lot >= 1.0 - half))


def seen_form_mm(*, oval_dia_mm: Floats, lobes_dia_mm: Floats, points: int, rng: np.random.Generator) -> Floats:
    """What form adds to a reading at a place round the work that nobody chose. [mm]"""
    seen_mm = oval_dia_mm if points == TWO_POINTS else lobes_dia_mm
    if not seen_mm.any():
        return seen_mm
    form: Floats = seen_mm * np.cos(PERIOD_OF_FORM[points] * rng.uniform(0.0, 2.0 * np.pi, len(seen_mm)))
    return form


def rounded_mm(reading_mm: Floats, *, step_mm: Floats | float) -> Floats:
    """Reading to the nearest step of its gauge; as it is if the step is 0. [mm]"""
    steps = np.asarray(step_mm)
    whole = np.where(steps > 0.0, steps, 1.0)
    rounded: Floats = np.where(steps > 0.0, np.rint(reading_mm / whole) * whole, reading_mm)
    return rounded
