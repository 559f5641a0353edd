"""Approaches and beliefs drawn at random, each the same for the same number."""

from __future__ import annotations

import numpy as np

from handwheel.bench.approach import Approach, Habit, Prior
from handwheel.bench.belief import UNKNOWNS, Belief

SPREADS = (0.008, 0.012, 0.005, 0.03, 0.002, 0.004, 0.001, 0.0004)
"""Standard uncertainties of the unknowns in the midst of a job, in their order."""


def approach_drawn(number: int) -> Approach:
    """A bore or an outside, a diameter or a length, by some dial, with some habit."""
    rng = np.random.default_rng([number, 1])
    target_mm, tolerance_mm = rng.uniform(17.0, 30.0), rng.uniform(0.01, 0.1)
    mark_mm = rng.choice([0.01, 0.02, 0.0254, 0.05])
    least_mm = rng.uniform(0.01, 0.06)
    return Approach(
        inside=bool(rng.random() < 0.5),
        lower_mm=float(target_mm - tolerance_mm),
        upper_mm=float(target_mm + tolerance_mm),
        target_mm=float(target_mm),
        step_mm=float(mark_mm),
        fine_step_mm=float(mark_mm / 10.0) if rng.random() < 0.7 else 0.0,
        least_cut_mm=float(least_mm),
        last_cut_mm=float(least_mm * rng.uniform(1.1, 2.5)),
        most_cut_mm=float(rng.uniform(0.2, 0.8)),
        per_travel=float(rng.choice([1.0, 2.0])),
        habit=Habit(
            spring=Prior(value=float(rng.uniform(0.02, 0.25)), spread=0.05),
            warm=Prior(value=float(rng.uniform(0.0, 0.02)), spread=0.005),
            gauge_spread_mm=float(rng.uniform(0.003, 0.02)),
        ),
    )


def belief_drawn(number: int) -> Belief:
    """A belief in the midst of a job on the approach of that number: anything may hang together with anything."""
    rng = np.random.default_rng([number, 2])
    size = len(UNKNOWNS)
    left_mm = rng.uniform(-0.12, 0.6)
    mean = (left_mm, left_mm + rng.uniform(-0.1, 0.1), 0.003, 0.12, 0.0005, rng.uniform(0.0, 0.01), 0.0, 0.0005)
    mixed = rng.normal(size=(size, 2 * size))
    together = mixed @ mixed.T
    scale = np.array(SPREADS) / np.sqrt(np.diag(together))
    covariance = scale[:, None] * together * scale[None, :]
    has_cut, has_read = rng.random(2) < 0.6
    return Belief(
        mean=tuple(float(one) for one in mean),
        covariance=tuple(tuple(float(one) for one in row) for row in covariance),
        fine=bool(rng.random() < 0.5) and bool(approach_drawn(number).fine_step_mm),
        last_depth_mm=float(rng.uniform(0.05, 0.15)) if has_cut else 0.0,
        readings=float(rng.integers(1, 7)) if has_read else 0.0,
        spread_sum=float(8.0 * rng.uniform(0.004, 0.01) ** 2),
        spread_freedom=8.0,
    )
