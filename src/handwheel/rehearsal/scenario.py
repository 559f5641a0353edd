"""One size on one lot of virtual lathes: the sheet's own cuts first, the bench's advice from then on."""

from __future__ import annotations

from math import asin, hypot, radians, sqrt, tan

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench import moves
from handwheel.bench.advice import LEAST_READINGS, Next
from handwheel.bench.approach import Approach, Prior
from handwheel.bench.at_stop import approach_at
from handwheel.bench.belief import Belief, Unknown, beginning, transformed
from handwheel.bench.learning.believing import believed
from handwheel.domain.beliefs import About, Beliefs, Quantity
from handwheel.domain.gauges import Gauge
from handwheel.domain.motion import Handle
from handwheel.rehearsal.courses import Block, Course
from handwheel.rehearsal.lots import Places, as_arrays, put, step_mm, taken
from handwheel.rehearsal.player import Ways, measure, work
from handwheel.rehearsal.truths import FINE_ANGLE, Read, Streams, Swing, gauge_truth, lathes_for, swing_of
from handwheel.rehearsal.world import World
from handwheel.sim.machine import Machine
from handwheel.sim.spreads import Bell

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
USUAL_ANGLE_ERROR_DEG = 0.3
"""Half-width of the error of an angle set by its scale, where the sheet swings none; as in the usual envelope. [deg]"""
SHOULDER_SD_MM = 0.02
"""How evenly turning up to a shoulder stops short of it: by a stop, or by eye at the dial; ours, no source. [mm]"""
BLANK_LENGTH_SD_MM = 0.05
"""How well the width of a parted ring is known before it is read; ours, no source. [mm]"""
SURE_MM = 1e-4
"""Uncertainty of what is touched where it stands, before the touch; nothing that matters. [mm]"""


class Scenario(Struct, frozen=True, kw_only=True):
    """A size to be rehearsed: its course, the lathes, what the shop believes, and what is done otherwise than planned.

    Parameters
    ----------
    course, world, beliefs
        The size, the bounds of the lathes, what the operator goes by.
    slots : dict
        Gauge of the sheet in whose place another is used, by the id of that other one.
    fine : bool
        Whether the top slide is swung for fine feed where the sheet swings none.
    angle_error_deg : float
        Half-width of the error of the angle of a swung slide, where it is set more surely than the sheet has it; 0 if
        it is not. [deg]
    cooling, readings : float
        How many times as long to wait, and as often to read.
    far_chance : float
        Chance of passing the far limit that a cut may have by belief; 0 for the shop's own figure.
    leaves_more_mm : float
        What is left over for one more cut. [mm of travel]
    """

    course: Course
    world: World
    beliefs: Beliefs
    slots: dict[str, str] = {}
    fine: bool = False
    angle_error_deg: float = 0.0
    cooling: float = 1.0
    readings: float = 1.0
    far_chance: float = 0.0
    leaves_more_mm: float = 0.0


class Made(Struct, frozen=True, kw_only=True, eq=False):
    """What came of a size on each lathe of a chunk.

    ``passed`` says that the bench held it for good; ``cuts``, ``stops`` and ``waited_s`` are what it took. [s]
    """

    good: Flags
    spoiled: Flags
    passed: Flags
    cuts: npt.NDArray[np.int64]
    stops: npt.NDArray[np.int64]
    waited_s: Floats


def rehearse_size(scenario: Scenario, count: int, seed: np.random.SeedSequence) -> Made:
    """Make a size on a chunk of lathes; seed and count settle the lathes, whatever the size and the scenario."""
    return _Rehearsed(scenario, count, Streams(seed)).made()


class _Rehearsed:
    """A course under way on all lathes of a chunk."""

    def __init__(self, scenario: Scenario, count: int, streams: Streams) -> None:
        course = scenario.course
        self._scenario, self._course, self._streams, self._count = scenario, course, streams, count
        self._swing = _swing(scenario)
        lathes = lathes_for(course, scenario.world, streams, count, swing=self._swing)
        self._rng = streams.of(f"acts of {course.key}")
        self._machine = Machine(lathes, self._rng)
        self._approach = _approach(scenario, self._swing)
        self._gauges: dict[str, Read] = {}
        self._held = np.full(count, -1, dtype=np.int64)
        self._everyone = self._machine.everyone
        self._belief = as_arrays(beginning(self._approach, left=self._start()), count)
        self._has_read = self._is_swung = False
        self._travel_mm = self._counted_mm = np.zeros(count)
        self._counted_left_mm = np.full(count, course.zero_left_mm)
        self._nominal_left_mm = course.zero_left_mm

    def made(self) -> Made:
        """Play the course to its end."""
        for block in self._course.planned:
            self._play(block)
        advised = self._course.advised
        passed = np.ones(self._count, dtype=np.bool_)
        if advised is not None:
            self._begin(advised)
            ways = Ways(
                cooling=self._scenario.cooling, readings=self._scenario.readings, before_reading=self._take_nearest
            )
            self._switch(advised.stop.gauge, self._everyone)
            played = work(self._machine, self._approach, self._belief, ways=ways)
            passed = played.ended == Next.GOOD
        machine = self._machine
        return Made(
            good=machine.is_good,
            spoiled=machine.is_spoiled,
            passed=passed,
            cuts=machine.cuts,
            stops=machine.stops,
            waited_s=machine.waited_s,
        )

    def _start(self) -> Prior:
        """Metal left at the start as the operator takes it."""
        course = self._course
        spread = self._scenario.world.start_mm[course.key]
        middle, sd = (spread.mean, spread.sd) if isinstance(spread, Bell) else (0.0, 0.0)
        if self._is_shoulder:
            return Prior(value=course.zero_left_mm, spread=SURE_MM)
        if course.advised is None:
            sd = max(sd, BLANK_LENGTH_SD_MM)
        per = float(course.last.per_travel)
        outward = -1.0 if course.last.grows else 1.0
        return Prior(value=course.zero_left_mm + outward * middle / per, spread=sd / per)

    @property
    def _is_shoulder(self) -> bool:
        """Whether the first zero is a face, and turning takes most of what lies between it and the shoulder."""
        course = self._course
        return course.last.per_travel == 1 and course.zero_left_mm > course.most_cut_mm

    def _play(self, block: Block) -> None:
        """Do what the sheet has up to a stop, and read there."""
        self._begin(block)
        floor = self._course.planned[-1].left_mm[-1:] or (0.0,)
        more = self._scenario.leaves_more_mm
        for place, left in enumerate(block.left_mm):
            wanted = max(left, floor[0] + more) if more else left
            before = block.left_mm[place - 1] if place else self._nominal_left_mm
            if wanted < before:
                self._cut(wanted)
            self._nominal_left_mm = wanted
        if block.stop.gauge is not None and (block.stop.ready or not block.left_mm):
            self._switch(block.stop.gauge, self._everyone)
            wanted_readings = np.full(self._count, np.ceil(LEAST_READINGS * self._scenario.readings))
            measure(self._machine, self._everyone, wanted_readings, self._approach, self._belief)
            self._count_from_here(np.asarray(self._belief.left_mm).copy())
            self._has_read = True

    def _begin(self, block: Block) -> None:
        """Warm and cool as the sheet has it, then swing and touch as it says."""
        machine, at = self._machine, self._everyone
        if block.warmed:
            machine.warm(at)
        if block.cooled_s:
            self._wait(block.cooled_s * self._scenario.cooling)
        if not block.touches:
            return
        if block.fine and not self._is_swung:
            machine.swing(at)
            self._belief = as_arrays(moves.swung(self._belief, self._approach), self._count)
            self._is_swung = True
        machine.touch(at, fine=block.fine)
        self._belief = as_arrays(moves.touched(self._belief, self._approach), self._count)
        self._travel_mm = self._counted_mm = np.zeros(self._count)
        if self._is_shoulder and not self._has_read:
            self._turn_up_to_shoulder(block)

    def _turn_up_to_shoulder(self, block: Block) -> None:
        """Most of the metal goes by other cuts; the zero on the face stays."""
        left = block.left_mm[-1] + self._course.last_cut_mm
        scatter = SHOULDER_SD_MM * self._rng.standard_normal(self._count)
        self._machine.leave(self._everyone, left + scatter)
        mean, covariance = transformed(
            self._belief.mean,
            self._belief.covariance,
            changed=Unknown.LEFT,
            gains={},
            value=np.full(self._count, left),
            added=np.full(self._count, SHOULDER_SD_MM**2),
        )
        self._belief = as_arrays(replace(self._belief, mean=mean, covariance=covariance), self._count)

    def _wait(self, seconds: float) -> None:
        self._machine.wait(self._everyone, seconds)
        self._belief = as_arrays(moves.waited(self._belief, self._approach, seconds), self._count)

    def _cut(self, left_mm: float) -> None:
        """Cut as the sheet counts: on by what is meant to go, from the zero or from the collar set by a reading."""
        step = step_mm(self._approach, self._belief)
        steps = np.round((self._counted_mm + self._counted_left_mm - left_mm) / step)
        self._machine.cut(self._everyone, steps, fine=np.asarray(self._belief.fine))
        self._belief = as_arrays(moves.cut(self._belief, self._approach, steps * step), self._count)
        self._travel_mm = steps * step

    def _count_from_here(self, left_mm: Floats) -> None:
        """Travel from now on is counted from where the handle stands, with so much metal taken to be left."""
        self._counted_mm, self._counted_left_mm = self._travel_mm, left_mm

    def _take_nearest(self, at: Places, belief: Belief) -> None:
        """Before a reading among the last cuts: the gauge of the stop of the sheet that is nearest to the size."""
        advised, last = self._course.advised, self._course.last
        if advised is None or advised.stop.gauge is None or last.gauge is None or advised.stop.gauge == last.gauge:
            return
        sizes = np.asarray(self._approach.reading_mm(taken(belief, at).left_mm))
        nearer = np.abs(sizes - last.expected_mm) < np.abs(sizes - advised.stop.expected_mm)
        self._belief = belief
        for gauge, which in ((advised.stop.gauge, ~nearer), (last.gauge, nearer)):
            self._switch(gauge, at[which])

    def _switch(self, gauge: Gauge | None, at: Places) -> None:
        """Take another gauge in hand, of whose bias nothing is known yet."""
        if gauge is None:
            return
        number = self._number_of(gauge)
        at = at[self._held[at] != number]
        if not len(at):
            return
        self._held[at] = number
        found = self._gauges[gauge.id]
        self._machine.take_gauge(at, bias_mm=found.bias_mm[at], spread_mm=found.spread_mm[at], step_mm=found.step_mm)
        stop = replace(self._course.scaled, gauge=gauge)
        habit = approach_at(stop, self._scenario.beliefs.shop, beliefs=self._scenario.beliefs).habit
        part = taken(self._belief, at)
        mean, covariance = transformed(
            part.mean,
            part.covariance,
            changed=Unknown.BIAS,
            gains={},
            value=np.zeros(len(at)),
            added=np.full(len(at), habit.gauge_bias_mm**2),
        )
        known = habit.spread_known
        put(
            self._belief,
            at,
            replace(
                part,
                mean=mean,
                covariance=covariance,
                spread_sum=np.full(len(at), known * habit.gauge_spread_mm**2),
                spread_freedom=np.full(len(at), known),
            ),
        )

    def _number_of(self, gauge: Gauge) -> int:
        """Place of a gauge among those used; it is drawn when it is first taken in hand."""
        if gauge.id not in self._gauges:
            self._gauges[gauge.id] = gauge_truth(
                self._count,
                self._scenario.world,
                self._streams,
                gauge=gauge.id,
                slot=self._scenario.slots.get(gauge.id, gauge.id),
                step_mm=float(gauge.step_mm),
            )
        return list(self._gauges).index(gauge.id)


def _swing(scenario: Scenario) -> Swing | None:
    """How the top slide is swung for the last cuts, be it by the sheet or by the scenario."""
    planned, surer = swing_of(scenario.course.scaled), scenario.angle_error_deg
    if planned is not None:
        return replace(planned, error_deg=surer, by_scale=False) if surer else planned
    if not scenario.fine:
        return None
    mark_mm = scenario.world.slides[Handle.TOP].mark_mm
    error = surer or USUAL_ANGLE_ERROR_DEG
    return Swing(ratio=FINE_ANGLE, error_deg=error, mark_mm=mark_mm, by_scale=not surer)


def _approach(scenario: Scenario, swing: Swing | None) -> Approach:
    """What the operator knows of the size: the usual scale and, where the top slide is swung, the fine one too."""
    course, beliefs = scenario.course, scenario.beliefs
    stop = course.scaled
    # a pass may be as deep as the sheet's own deepest on this surface, not only as the last ones
    found = replace(approach_at(stop, beliefs.shop, beliefs=beliefs), most_cut_mm=course.most_cut_mm)
    if scenario.far_chance:
        found = replace(found, far_chance=scenario.far_chance)
    if swing is None:
        return found
    habit, step_mm = found.habit, found.step_mm
    if stop.scale is not None and stop.scale.is_fine:
        # the stop knows the scale in use alone, which is the fine one: the usual one cuts before it
        rate = believed(beliefs, Quantity.LEAD_ERROR, About(thing=Handle.CROSS.value))
        habit = replace(habit, rate=Prior(value=rate[0], spread=rate[1]), fine_rate=habit.rate)
        step_mm = scenario.world.slides[Handle.CROSS].mark_mm
    if scenario.angle_error_deg:
        habit = replace(habit, fine_rate=_surer_rate(scenario, swing))
    return replace(
        found,
        step_mm=step_mm,
        fine_step_mm=swing.ratio * swing.mark_mm,
        fine_ratio=swing.ratio,
        habit=habit,
    )


def _surer_rate(scenario: Scenario, swing: Swing) -> Prior:
    """Error of the fine scale where its angle is known better: that of the screw, and what the angle leaves."""
    screw = believed(scenario.beliefs, Quantity.LEAD_ERROR, About(thing=Handle.TOP.value))
    angle = radians(swing.error_deg) / sqrt(3.0) / tan(asin(swing.ratio))  # an even error of that half-width
    return Prior(value=screw[0], spread=hypot(screw[1], angle))
