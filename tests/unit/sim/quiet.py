"""An envelope in which nothing is left to chance, so that one phenomenon at a time can be let in."""

from __future__ import annotations

from typing import Any

import numpy as np
from msgspec.structs import replace

from handwheel.sim.envelope import Envelope
from handwheel.sim.lathes import draw_lathes
from handwheel.sim.machine import Machine
from handwheel.sim.spreads import Even, fixed

QUIET = Envelope(
    inside_share=0.0,
    target_dia_mm=fixed(20.0),
    to_remove_mm=fixed(1.0),
    blank_dia_mm=fixed(0.0),
    mark_mm=fixed(0.02),
    marks_per_turn=fixed(50),
    rate=fixed(0.0),
    ring=fixed(0.0),
    periodic_mm=fixed(0.0),
    slack_mm=fixed(0.0),
    setting_share=fixed(0.0),
    touch_sd_mm=0.0,
    angle_error_deg=Even(0.0, 0.0),
    spring_share=fixed(0.0),
    spring_scatter=fixed(0.0),
    least_chip_mm=fixed(0.0),
    rub_take=Even(0.0, 0.0),
    wear_mm=fixed(0.0),
    built_up_sd_mm=0.0,
    warm_dia_mm=fixed(0.0),
    warm_share=Even(1.0, 1.0),
    time_constant_s=fixed(100.0),
    gauge_bias_mm=fixed(0.0),
    gauge_spread_mm=fixed(0.0),
    gauge_step_mm=0.0,
    misread_chance=0.0,
)
"""A perfect lathe: 1 mm to go outside on the radius, marks of 0.02 mm, lead 1 mm."""


def touched(count: int = 1, *, seed: int = 1, **changes: Any) -> Machine:  # noqa: ANN401  any field of the envelope
    """That many lathes, perfect but for the changes, with their zero at the surface."""
    rng = np.random.default_rng(seed)
    machine = Machine(draw_lathes(count, replace(QUIET, **changes), rng), rng)
    machine.touch(machine.everyone)
    return machine
