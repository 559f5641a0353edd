"""Virtual lathes worked along a sheet, stop by stop, by whoever says what a reading asks for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from fractions import Fraction

import numpy as np
from msgspec import Struct

from handwheel.bench.judge import bench_at, judge_of
from handwheel.bench.stops import Stop
from handwheel.bench.tables import advised, marks_at, shown_mm, span_of
from handwheel.domain.acts import Measure, SetCollar, SetReadout
from handwheel.domain.advice import Do
from handwheel.domain.beliefs import Beliefs
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.rehearsal.courses import Block, Course, courses_of, gauges_of
from handwheel.rehearsal.scenario import SHOULDER_SD_MM
from handwheel.rehearsal.truths import Streams, gauge_truth, lathes_for, swing_of
from handwheel.rehearsal.world import World, world_of
from handwheel.service.advising import advised as with_tables
from handwheel.sim.machine import Machine
from handwheel.sim.spreads import Flags, Floats, Ints

MOST_VISITS = 12
"""Readings at one stop after which whoever works gives up."""


class Told(Struct, frozen=True):
    """What to do at a reading; ``marks`` are exact, ``seconds`` of waiting. [marks, s]"""

    do: Do
    marks: Fraction | None = None
    seconds: float = 0.0


NO_ROW = Told(Do.STOP_ASK)
Teller = Callable[[float], Told]
"""What to do at the mean of the readings. [mm]"""


class Telling(Struct, frozen=True):
    """How long to cool before the readings of a stop, how many to take, and what their mean asks for. [s]"""

    cool_s: float
    readings: int
    tell: Teller


def by_table(act: Measure, stop: Stop) -> Telling:
    """Who reads the printed table alone: its rows, its rule, how long to cool, how often to read."""
    table = act.table
    assert table is not None
    step = Fraction(1) if stop.scale is None else stop.scale.marks_per_step

    def tell(reading_mm: float) -> Told:
        row = advised(table, reading_mm)
        if row is None:
            return NO_ROW
        return Told(row.do, marks_at(row, shown_mm(reading_mm, table.step_mm), step=step), row.seconds)

    return Telling(table.cool_s, table.readings, tell)


def by_logic(act: Measure, stop: Stop, shop: Shop) -> Telling:
    """Who asks the judge for each mean, taken to the gauge's step, inside what the sheet does not stop at."""
    del act
    bench = bench_at(stop, shop)
    judge = judge_of(bench)
    assert stop.gauge is not None
    step_mm, (first, last) = float(stop.gauge.step_mm), span_of(stop)

    def tell(reading_mm: float) -> Told:
        if not first <= round(reading_mm / step_mm) <= last:
            return NO_ROW
        act = judge(shown_mm(reading_mm, step_mm))
        return Told(act.do, act.marks, act.seconds)

    return Telling(bench.cool_s, bench.readings, tell)


class Played(Struct, frozen=True, eq=False):
    """What was done on each lathe, in order, and what came of it. [mm]"""

    acts: list[list[tuple[str, Told]]]
    true_mm: Floats
    good: Flags
    spoiled: Flags

    def ends(self) -> Counter[Do]:
        """What was told last, on how many lathes."""
        return Counter(done[-1][1].do for done in self.acts if done)


class Player:
    """One size of a sheet on a lot of lathes, worked as by who has the sheet and a telling for each stop."""

    def __init__(
        self, course: Course, world: World, shop: Shop, plan: Plan, *, lathes: int, seed: int, logic: bool
    ) -> None:
        streams = Streams(np.random.SeedSequence(seed))
        self._course, self._world, self._streams, self._shop, self._count = course, world, streams, shop, lathes
        self._measures = {act.id: act for act in plan.sheet.acts if isinstance(act, Measure)}
        self._collars = {act.id: act for act in plan.sheet.acts if isinstance(act, SetCollar | SetReadout)}
        self._logic = logic
        truth = lathes_for(course, world, streams, lathes, swing=swing_of(course.scaled))
        self._rng = streams.of(f"acts of {course.key}")
        self._machine = Machine(truth, self._rng)
        self._at: Ints = self._machine.everyone
        self._acts: list[list[tuple[str, Told]]] = [[] for _ in range(lathes)]
        self._steps = np.zeros(lathes)  # where the handle stands, from the zero that was touched
        self._zero_steps = np.zeros(lathes)  # where the zero lies that the sheet counts from, from the touched one
        self._zero_left_mm = np.full(lathes, course.zero_left_mm)  # what the sheet means that zero to leave
        self._nominal_left_mm = course.zero_left_mm
        self._first_steps = np.full(lathes, np.nan)  # what a table has told for a cut from a zero still to be touched
        self._is_swung = self._has_read = False
        self._gauge = ""

    def played(self) -> Played:
        """Work every block of the course; lathes that are told to stop, or that are good, are left as they are."""
        for block in self._course.by_sheet:
            if not len(self._at):
                break
            self._cut_block(block)
            if block.stop.gauge is not None:
                self._read_block(block)
        machine = self._machine
        return Played(self._acts, machine.true_size_mm, machine.is_good, machine.is_spoiled)

    def _cut_block(self, block: Block) -> None:
        machine, at, stop = self._machine, self._at, block.stop
        if block.warmed:
            machine.warm(at)
        if block.cooled_s:
            machine.wait(at, block.cooled_s)
        if block.touches:
            if block.fine and not self._is_swung:
                machine.swing(at)
                self._is_swung = True
            machine.touch(at, fine=block.fine)
            self._steps[at] = self._zero_steps[at] = 0.0
            self._zero_left_mm[at] = self._nominal_left_mm  # the sheet takes the surface for what it should be
            if self._is_shoulder and not self._has_read:
                left = block.left_mm[-1] + self._course.last_cut_mm
                machine.leave(at, left + SHOULDER_SD_MM * self._rng.standard_normal(self._count)[at])
        step_mm = 1.0 if stop.scale is None else stop.scale.travel_per_step_mm
        for left in block.left_mm:
            wanted = self._zero_steps[at] + np.round((self._zero_left_mm[at] - left) / step_mm)
            told = self._first_steps[at]
            self._steps[at] = np.where(np.isnan(told), wanted, told)
            self._first_steps[at] = np.nan
            machine.cut(at, self._steps[at], fine=block.fine)
            self._nominal_left_mm = left

    def _read_block(self, block: Block) -> None:
        stop = block.stop
        act = self._measures[stop.act]
        telling = by_logic(act, stop, self._shop) if self._logic else by_table(act, stop)
        self._take_gauge(stop)
        self._has_read = True
        waiting = self._at
        going: list[int] = []
        for _ in range(MOST_VISITS):
            if not len(waiting):
                break
            if telling.cool_s:
                self._machine.wait(waiting, telling.cool_s)
            waiting = self._visit(block, telling, waiting, going)
        self._at = np.array(sorted(going), dtype=np.intp)

    def _visit(self, block: Block, telling: Telling, at: Ints, going: list[int]) -> Ints:
        """Read some lathes and do what they are told; those that are to be read again at this stop."""
        stop = block.stop
        means = np.mean([self._machine.read(at) for _ in range(telling.readings)], axis=0)
        told = [telling.tell(float(mean)) for mean in means]
        per_step = Fraction(1) if stop.scale is None else stop.scale.marks_per_step
        again: list[int] = []
        cuts: list[int] = []
        cools: dict[float, list[int]] = {}
        for place, one in zip(map(int, at), told, strict=True):
            self._acts[place].append((stop.act, one))
            match one.do:
                case Do.SET:
                    self._set(block, place, float((one.marks or 0) / per_step))
                    going.append(place)
                case Do.GO_ON:
                    going.append(place)
                case Do.CUT_AGAIN:
                    self._steps[place] += float((one.marks or 0) / per_step)
                    cuts.append(place)
                    again.append(place)
                case Do.COOL:
                    cools.setdefault(one.seconds, []).append(place)
                    again.append(place)
                case Do.READ_AGAIN:
                    again.append(place)
                case _:
                    continue
        if cuts:
            some = np.array(cuts, dtype=np.intp)
            self._machine.cut(some, self._steps[some], fine=block.fine)
        for seconds in sorted(cools):
            self._machine.wait(np.array(cools[seconds], dtype=np.intp), seconds)
        return np.array(again, dtype=np.intp)

    def _set(self, block: Block, place: int, steps: float) -> None:
        """Set a collar so many steps short of its zero where the handle stands, or keep a figure for the next touch."""
        collar = block.stop.after.collar
        if collar is None:
            self._first_steps[place] = steps
            return
        stop = block.stop
        sign = -1.0 if stop.grows else 1.0
        self._zero_steps[place] = self._steps[place] + steps
        self._zero_left_mm[place] = sign * (self._collars[collar.id].zero_dia_mm - stop.target_mm) / stop.per_travel

    @property
    def _is_shoulder(self) -> bool:
        course = self._course
        return course.last.per_travel == 1 and course.zero_left_mm > course.most_cut_mm

    def _take_gauge(self, stop: Stop) -> None:
        gauge = stop.gauge
        assert gauge is not None
        if gauge.id == self._gauge:
            return
        self._gauge = gauge.id
        found = gauge_truth(
            self._count,
            self._world,
            self._streams,
            gauge=gauge.id,
            slot=gauge.id,
            step_mm=float(gauge.step_mm),
        )
        at = self._at
        self._machine.take_gauge(at, bias_mm=found.bias_mm[at], spread_mm=found.spread_mm[at], step_mm=found.step_mm)


def courses_and_world(plan: Plan, shop: Shop) -> tuple[tuple[Course, ...], World]:
    """Sizes of a plan that the virtual lathes can make, and the lathes like its shop's."""
    courses, _ = courses_of(plan.sheet, shop)
    return courses, world_of(courses, plan.sheet.part, Beliefs(shop=shop), gauges=gauges_of(courses))


def both_ways(plan: Plan, shop: Shop, *, lathes: int, seed: int) -> dict[str, tuple[Played, Played]]:
    """Each size of a plan on the same lathes: from the tables alone, and by the judge."""
    told = with_tables(plan, shop)
    courses, world = courses_and_world(told, shop)

    def played(course: Course, *, logic: bool) -> Played:
        return Player(course, world, shop, told, lathes=lathes, seed=seed, logic=logic).played()

    return {course.key: (played(course, logic=False), played(course, logic=True)) for course in courses}
