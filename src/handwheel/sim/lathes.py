"""The hidden truth of many lathes, drawn from an envelope, beside what their operators know."""

from __future__ import annotations

from math import tau

import numpy as np
from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError
from handwheel.sim.envelope import AnySpread, Envelope
from handwheel.sim.spreads import Flags, Floats

CROSS, TOP = 0, 1
"""Rows of what each handle has: the cross-slide, and the top slide when it is swung for fine feed."""
HANDLES = 2


class Known(Struct, frozen=True, kw_only=True, eq=False):
    """What an operator knows: the drawing, the engraving on the dials, the gauge's step. Arrays of n lathes.

    Travel is slide travel (radius), sizes are diameters. ``fine_mark_mm`` is what the tip goes in for one mark of the
    top slide swung to the nominal angle; ``start_dia_mm`` is the nominal diameter of the blank. [mm]
    """

    inside: Flags
    target_dia_mm: Floats
    lower_dia_mm: Floats
    upper_dia_mm: Floats
    start_dia_mm: Floats
    mark_mm: Floats
    fine_mark_mm: Floats
    marks_per_turn: Floats
    gauge_step_mm: float


class Lathes(Struct, frozen=True, kw_only=True, eq=False):
    """The truth of n lathes: arrays of length n, of shape (2, n) where cross-slide and top slide differ.

    Names and units are those of `Envelope`. ``metal_mm`` is the true metal to remove on the radius at the start;
    ``outward`` is 1 for an outside and -1 for a bore; ``setting_sd_mm`` is on the slide's own travel; ``rate`` holds
    the ring's error too. ``per_travel`` is how much a reading changes for 1 mm of travel: 2 for a diameter; 1 for a
    length, which then stands wherever a diameter is spoken of.
    """

    envelope: Envelope
    known: Known
    outward: Floats
    metal_mm: Floats
    mark_mm: Floats
    lead_mm: Floats
    rate: Floats
    periodic_mm: Floats
    phase_rad: Floats
    slack_mm: Floats
    setting_sd_mm: Floats
    spring_share: Floats
    spring_scatter: Floats
    least_chip_mm: Floats
    wear_mm: Floats
    drift_mm: Floats
    warm_dia_mm: Floats
    start_warm: Floats
    time_constant_s: Floats
    gauge_bias_mm: Floats
    gauge_spread_mm: Floats
    oval_dia_mm: Floats
    lobes_dia_mm: Floats
    per_travel: float = 2.0

    @property
    def count(self) -> int:
        """How many lathes."""
        return len(self.metal_mm)


def draw_lathes(count: int, envelope: Envelope, rng: np.random.Generator) -> Lathes:
    """Draw lathes, each with its gauge and one size to make.

    Parameters
    ----------
    count : int
        How many, n.
    envelope : Envelope
        Between which bounds.
    rng : numpy.random.Generator
        Source of chance; the same state gives the same lathes.

    Returns
    -------
    Lathes
        The hidden truth and, in ``known``, what the operators know.

    Raises
    ------
    OutOfRangeError
        If the count is below 1.

    Examples
    --------
    >>> from handwheel.sim.envelope import DEFAULT
    >>> lathes = draw_lathes(3, DEFAULT, np.random.default_rng(1))
    >>> lathes.count, lathes.rate.shape
    (3, (2, 3))
    """
    if count < 1:
        msg = f"count: got {count} lathes, must be 1 or more"
        raise OutOfRangeError(msg)

    def once(spread: AnySpread) -> Floats:
        return spread.draw(count, rng)

    def both(spread: AnySpread) -> Floats:
        return np.stack([once(spread) for _ in range(HANDLES)])

    inside = rng.random(count) < envelope.inside_share
    outward = np.where(inside, -1.0, 1.0)
    target_dia_mm, tolerance_mm = once(envelope.target_dia_mm), once(envelope.tolerance_mm)
    nominal_mm, blank_dia_mm = once(envelope.to_remove_mm), once(envelope.blank_dia_mm)
    mark_mm = once(envelope.mark_mm)
    top_mark_mm = mark_mm if envelope.top_mark_mm is None else once(envelope.top_mark_mm)
    marks_mm = np.stack([mark_mm, top_mark_mm])
    marks_per_turn = once(envelope.marks_per_turn)
    known = Known(
        inside=inside,
        target_dia_mm=target_dia_mm,
        lower_dia_mm=target_dia_mm - tolerance_mm,
        upper_dia_mm=target_dia_mm + tolerance_mm,
        start_dia_mm=target_dia_mm + 2.0 * outward * nominal_mm,
        mark_mm=mark_mm,
        fine_mark_mm=top_mark_mm * envelope.fine_ratio,
        marks_per_turn=marks_per_turn,
        gauge_step_mm=envelope.gauge_step_mm,
    )
    return Lathes(
        envelope=envelope,
        known=known,
        outward=outward,
        metal_mm=nominal_mm + outward * blank_dia_mm / 2.0,
        mark_mm=marks_mm,
        lead_mm=marks_mm * marks_per_turn,
        rate=both(envelope.rate) + once(envelope.ring),
        periodic_mm=both(envelope.periodic_mm),
        phase_rad=rng.uniform(0.0, tau, (HANDLES, count)),
        slack_mm=both(envelope.slack_mm),
        setting_sd_mm=once(envelope.setting_share) * marks_mm / 2.0,
        spring_share=once(envelope.spring_share),
        spring_scatter=once(envelope.spring_scatter),
        least_chip_mm=once(envelope.least_chip_mm),
        wear_mm=once(envelope.wear_mm),
        drift_mm=once(envelope.drift_mm),
        warm_dia_mm=once(envelope.warm_dia_mm),
        start_warm=once(envelope.start_warm),
        time_constant_s=once(envelope.time_constant_s),
        gauge_bias_mm=once(envelope.gauge_bias_mm),
        gauge_spread_mm=once(envelope.gauge_spread_mm),
        oval_dia_mm=once(envelope.oval_dia_mm),
        lobes_dia_mm=once(envelope.lobes_dia_mm),
    )
