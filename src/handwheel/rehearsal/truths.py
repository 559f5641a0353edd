"""Virtual lathes like a shop's: one truth each, shared by all sizes of the part that is made on it."""

from __future__ import annotations

from hashlib import sha256
from math import tau

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.stops import Stop
from handwheel.domain.motion import Handle
from handwheel.rehearsal.courses import Course, usual_handle
from handwheel.rehearsal.world import World
from handwheel.sim.envelope import DEFAULT, AnySpread, Envelope
from handwheel.sim.lathes import Known, Lathes
from handwheel.sim.spreads import Bell, Even

Floats = npt.NDArray[np.float64]
FINE_ANGLE = 0.1
"""Sine of the angle at which a slide is swung for fine feed where the sheet swings none: 1 in 10; common practice."""
NO_SWING = Even(0.0, 0.0)


class Streams:
    """Independent streams of chance by name, the same for the same seed whoever works and in whichever order."""

    def __init__(self, seed: np.random.SeedSequence) -> None:
        """Take the seed of a chunk of lathes."""
        self._seed = seed

    def of(self, name: str) -> np.random.Generator:
        """A fresh generator that depends on seed and name alone."""
        number = int.from_bytes(sha256(name.encode()).digest()[:8], "big")
        return np.random.default_rng(
            np.random.SeedSequence(entropy=self._seed.entropy, spawn_key=(*self._seed.spawn_key, number))
        )


class Swing(Struct, frozen=True, kw_only=True):
    """How the top slide is swung: sine of the angle, half-width of its error, travel of the slide's step. [deg, mm]

    ``by_scale`` says that the angle is set by the slide's own scale, whose error may have been learned.
    """

    ratio: float
    error_deg: float
    mark_mm: float
    by_scale: bool = True

    def spread_of_angle(self, world: World) -> Even | Bell:
        """How far off the angle is: as was learned where it is set by its scale, else evenly within its error. [deg]"""
        if self.by_scale and world.angle_deg is not None:
            return world.angle_deg
        return Even(-self.error_deg, self.error_deg)


class Read(Struct, frozen=True, kw_only=True, eq=False):
    """A gauge in the hands of many: bias and spread of each, and its step. [mm]"""

    bias_mm: Floats
    spread_mm: Floats
    step_mm: float


def gauge_truth(count: int, world: World, streams: Streams, *, gauge: str, slot: str, step_mm: float) -> Read:
    """A gauge as each operator has it; ``slot`` is the gauge of the sheet that it stands for, whose luck it shares."""
    bias, spread = world.gauges[gauge]
    return Read(
        bias_mm=bias.draw(count, streams.of(f"bias of {slot}")),
        spread_mm=spread.draw(count, streams.of(f"spread of {slot}")),
        step_mm=step_mm,
    )


def lathes_for(course: Course, world: World, streams: Streams, count: int, *, swing: Swing | None) -> Lathes:
    """The lathes of a chunk with one of the part's sizes to make; what is theirs is the same for every size."""
    stop, handle = course.last, usual_handle(course.last)

    def drawn(name: str, spread: AnySpread) -> Floats:
        return spread.draw(count, streams.of(name))

    rows = (handle, Handle.TOP)
    marks_mm = [world.slides[handle].mark_mm, world.slides[Handle.TOP].mark_mm if swing is None else swing.mark_mm]
    mark_mm = np.stack([np.full(count, mark) for mark in marks_mm])
    ring = drawn("ring", world.slides[handle].ring)
    tool = stop.tool.id if stop.tool is not None else ""
    envelope = _envelope(course, world, tool, swing)
    outward = np.full(count, -1.0 if stop.grows else 1.0)
    start = drawn(f"start of {course.key}", world.start_mm[course.key])
    known = _known(course, count, mark_mm, ratio=envelope.fine_ratio)
    per_travel = float(stop.per_travel)
    return Lathes(
        envelope=envelope,
        known=known,
        outward=outward,
        metal_mm=np.full(count, course.zero_left_mm) + outward * _before_cuts(course, start) / per_travel,
        mark_mm=mark_mm,
        lead_mm=np.stack([np.full(count, world.slides[one].lead_mm) for one in rows]),
        rate=np.stack([drawn(f"rate of {one.value}", world.slides[one].rate) + ring for one in rows]),
        periodic_mm=np.stack([drawn(f"ripple of {one.value}", DEFAULT.periodic_mm) for one in rows]),
        phase_rad=np.stack([drawn(f"phase of {one.value}", Even(0.0, tau)) for one in rows]),
        slack_mm=np.stack([np.full(count, world.slides[one].slack_mm) for one in rows]),
        setting_sd_mm=drawn("setting", DEFAULT.setting_share) * mark_mm / 2.0,
        # one stream for all tools: what is soft is mostly the lathe
        spring_share=drawn("spring", world.spring.get(tool, DEFAULT.spring_share)),
        spring_scatter=drawn(f"scatter with {tool}", DEFAULT.spring_scatter),
        least_chip_mm=drawn(f"least chip of {tool}", DEFAULT.least_chip_mm),
        wear_mm=drawn(f"wear of {tool}", world.wear_mm.get(tool, DEFAULT.wear_mm)),
        drift_mm=np.zeros(count),
        warm_dia_mm=drawn("warmth", world.warm_mm[course.key]),
        start_warm=np.zeros(count),
        time_constant_s=drawn("cooling", DEFAULT.time_constant_s),
        gauge_bias_mm=np.zeros(count),
        gauge_spread_mm=np.zeros(count),
        oval_dia_mm=np.zeros(count),
        lobes_dia_mm=np.zeros(count),
        per_travel=per_travel,
    )


def swing_of(stop: Stop) -> Swing | None:
    """How the sheet swings the slide for the cuts before a stop; ``None`` if it does not."""
    scale = stop.scale
    if scale is None or not scale.is_fine:
        return None
    return Swing(
        ratio=scale.square, error_deg=scale.angle_error_deg, mark_mm=float(scale.step_mm), by_scale=scale.angle_by_scale
    )


def _before_cuts(course: Course, start_mm: Floats) -> Floats:
    """What the size differs at the start: nothing for a shoulder, whose zero is the face and not its own surface."""
    touched_elsewhere = course.zero_left_mm > course.most_cut_mm and course.last.per_travel == 1
    return np.zeros_like(start_mm) if touched_elsewhere else start_mm


def _envelope(course: Course, world: World, tool: str, swing: Swing | None) -> Envelope:
    error = NO_SWING if swing is None else swing.spread_of_angle(world)
    return replace(
        DEFAULT,
        touch_sd_mm=world.touch_sd_mm.get(tool, DEFAULT.touch_sd_mm),
        fine_ratio=FINE_ANGLE if swing is None else swing.ratio,
        angle_error_deg=error,
        force_depth_mm=course.last_cut_mm,
    )


def _known(course: Course, count: int, mark_mm: Floats, *, ratio: float) -> Known:
    stop = course.last
    whole = np.ones(count)
    return Known(
        inside=np.full(count, stop.grows),
        target_dia_mm=stop.target_mm * whole,
        lower_dia_mm=stop.lower_mm * whole,
        upper_dia_mm=stop.upper_mm * whole,
        start_dia_mm=course.start_mm * whole,
        mark_mm=mark_mm[0],
        fine_mark_mm=mark_mm[1] * ratio,
        marks_per_turn=whole,
        gauge_step_mm=0.0,
    )
