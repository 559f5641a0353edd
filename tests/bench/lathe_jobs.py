"""Jobs played on virtual lathes by the acts of a sheet, each told as it would be by the journal of its walk."""

from __future__ import annotations

from math import radians, sin
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from msgspec.structs import replace

from handwheel.bench.learning.worked import Worked
from handwheel.bench.stops import Stop, stops
from handwheel.bench.walk import walked
from handwheel.domain import acts as a
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.part import Aspect
from handwheel.report.as_read import SetBy, as_read
from handwheel.report.steps import numbered_steps
from handwheel.service.bench_walk import sources
from handwheel.sim.envelope import DEFAULT, Envelope
from handwheel.sim.lathes import Lathes, draw_lathes
from handwheel.sim.machine import Machine
from handwheel.sim.spreads import Even, fixed

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop

Floats = npt.NDArray[np.float64]
Truth = dict[str, Lathes]
"""Of each diameter of a sheet the truth of the lathes that make it."""
READINGS = 3
"""Readings at each stop."""
FINEST_DEG = 10.0
"""A top slide swung by more is not swung for fine feed, but for an edge. [deg]"""


def fine_deg(plan: Plan) -> float:
    """Angle at which the top slide is swung for fine feed; that of 1 in 10 if it is not. [deg]"""
    swung = (float(act.angle_deg) for act in plan.sheet.acts if isinstance(act, a.SwingSlide))
    return next((angle for angle in swung if 0.0 < angle <= FINEST_DEG), 5.74)


def measured_in_the_lathe(plan: Plan, shop: Shop) -> dict[str, Stop]:
    """First stop of each diameter that is measured in the lathe."""
    found: dict[str, Stop] = {}
    for stop in stops(plan.sheet, shop):
        if stop.aspect is Aspect.DIAMETER and not stop.in_hand:
            found.setdefault(stop.surface, stop)
    return found


def lathes_for(plan: Plan, shop: Shop, count: int, rng: np.random.Generator, base: Envelope = DEFAULT) -> Truth:
    """The truth of so many lathes for each diameter of a sheet: screws and warmth are the same for all of one lathe.

    A slide that was swung by more than its own scale is as far off as the check of it bears.
    """
    cuts, _ = walked(plan.sheet, shop)
    cross, top = shop.lathe.cross.dial, shop.lathe.top.dial
    assert cross is not None
    assert top is not None
    found: Truth = {}
    for surface, stop in measured_in_the_lathe(plan, shop).items():
        zero = next(cut.zero for cut in cuts if cut.act.surface == surface)
        assert zero is not None
        assert stop.gauge is not None
        checked = [
            cut.scale.angle_error_deg
            for cut in cuts
            if cut.scale is not None and cut.scale.is_fine and not cut.scale.angle_by_scale
        ]
        envelope = replace(
            base,
            angle_error_deg=Even(-checked[0], checked[0]) if checked else base.angle_error_deg,
            inside_share=float(stop.grows),
            target_dia_mm=fixed(stop.target_mm),
            to_remove_mm=fixed(abs(stop.target_mm - zero.stands_for_mm) / 2.0),
            mark_mm=fixed(float(cross.travel_per_mark_mm)),
            top_mark_mm=fixed(float(top.travel_per_mark_mm)),
            marks_per_turn=fixed(float(cross.marks)),
            fine_ratio=sin(radians(fine_deg(plan))),
            gauge_step_mm=float(stop.gauge.step_mm),
        )
        lathes = draw_lathes(count, envelope, rng)
        shared = ("rate", "periodic_mm", "setting_sd_mm", "warm_dia_mm", "time_constant_s")
        first = next(iter(found.values()), lathes)
        found[surface] = replace(lathes, **{name: getattr(first, name) for name in shared})
    return found


class Surface:
    """One diameter on many lathes: where the handles stand, in marks into the metal from the touch."""

    def __init__(self, lathes: Lathes, rng: np.random.Generator) -> None:
        """Put the blanks in."""
        self.machine = Machine(lathes, rng)
        self.fine = False
        self.at: Floats = np.zeros(lathes.count)
        self.zeros: dict[str, Floats] = {}
        self.readings: list[Floats] = []

    def touch(self, zero: str, *, fine: bool) -> None:
        """Touch, and put the scale to 0."""
        self.fine = fine
        self.machine.touch(self.machine.everyone, fine=fine)
        self.at = np.zeros_like(self.at)
        self.zeros[zero] = self.at

    def warm(self) -> None:
        """Cutting elsewhere on the work warms it as a cut here does."""
        self.machine.warm(self.machine.everyone)


class Jobs:
    """Many lathes worked by one sheet as it stands, collars set from the readings.

    ``told`` is for each lathe what its journal tells. Every cut warms the work everywhere; it cools where the sheet
    waits.
    """

    def __init__(self, plan: Plan, shop: Shop, truth: Truth, rng: np.random.Generator) -> None:
        """Put the blanks in."""
        self.surfaces = {name: Surface(lathes, rng) for name, lathes in truth.items()}
        self.count = next(iter(truth.values())).count
        self.told: list[list[Worked]] = [[] for _ in range(self.count)]
        self._plan, self._shop = plan, shop
        self._items = {item.act.id: item for step in numbered_steps(plan, shop) for item in step.acts}
        self._made = {cut.act.id: cut for cut in walked(plan.sheet, shop)[0]}
        self._turns = {
            cut.set_at.zero: cut.scale.turn for cut in self._made.values() if cut.scale is not None and cut.set_at
        }
        self._set_from = sources(plan.sheet.acts)
        self._settings: dict[str, list[a.Setting]] = {}
        self._touch: a.Touch | None = None
        self._swung = False

    def work(self, *, until: str = "") -> Jobs:
        """Do all acts, or those before one."""
        for act in self._plan.sheet.acts:
            if act.id == until:
                break
            for told, row in zip(self.told, self._rows(act), strict=True):
                told.append(row)
        return self

    def _rows(self, act: a.Act) -> list[Worked]:
        match act:
            case a.SwingSlide():
                self._swing(act)
            case a.Touch():
                self._touch = act
            case a.SetZero():
                self._zero(act)
            case a.Move() | a.SetCollar():
                return self._set(act)
            case a.Cut() | a.DrillHole():
                self._cut(act)
            case a.Cool():
                for one in self.surfaces.values():
                    one.machine.wait(one.machine.everyone, act.seconds)
                return [Worked(act=act, seconds=act.seconds)] * self.count
            case a.Measure() if act.aspect == Aspect.DIAMETER.value and act.surface in self.surfaces:
                return self._read(act)
        return [Worked(act=act)] * self.count

    def _swing(self, act: a.SwingSlide) -> None:
        self._swung = 0.0 < float(act.angle_deg) <= FINEST_DEG
        if self._swung:
            for one in self.surfaces.values():
                one.machine.swing(one.machine.everyone)

    def _zero(self, act: a.SetZero) -> None:
        touched = self._touch is not None and self._touch.handle is act.handle
        fine = act.handle is Handle.TOP
        if act.surface in self.surfaces and touched and (self._swung or not fine):
            self.surfaces[act.surface].touch(act.zero, fine=fine)

    def _set(self, act: a.Move | a.SetCollar) -> list[Worked]:
        """A setting or a collar on each lathe, as what was read there makes it."""
        measured, item = self._set_from.get(act.id), self._items[act.id]
        rows = [Worked(act=act)] * self.count
        if measured is not None and measured.surface in self.surfaces and self.surfaces[measured.surface].readings:
            sizes = np.mean(self.surfaces[measured.surface].readings, axis=0)
            by = (SetBy(reading_mm=Fraction(float(size)), table=measured.table) for size in sizes)
            rows = [Worked(act=as_read(item, one)) for one in by]
        if isinstance(act, a.Move):
            self._settings[act.id] = [row.act.setting for row in rows if isinstance(row.act, a.Move)]
        elif act.surface in self.surfaces:
            collars = (row.act for row in rows if isinstance(row.act, a.SetCollar))
            shown = [self._marks(act.zero, act.handle, set_to.turns, set_to.marks) for set_to in collars]
            self.surfaces[act.surface].zeros[act.zero] = self.surfaces[act.surface].at - np.array(shown)
        return rows

    def _cut(self, act: a.Cut | a.DrillHole) -> None:
        cut = self._made.get(act.id)
        for name, one in self.surfaces.items():
            if cut is None or name != cut.act.surface or cut.set_at is None:
                one.warm()
                continue
            settings, zero = self._settings[cut.setting], cut.set_at.zero
            marks = [self._marks(zero, to.handle, to.turns, to.marks) for to in settings]
            one.at = one.zeros[zero] + np.array(marks)
            one.machine.cut(one.machine.everyone, one.at, fine=one.fine)

    def _read(self, act: a.Measure) -> list[Worked]:
        one = self.surfaces[act.surface]
        one.readings = [one.machine.read(one.machine.everyone) for _ in range(READINGS)]
        return [
            Worked(act=act, readings_mm=tuple(float(read[place]) for read in one.readings), gauge=act.gauge)
            for place in range(self.count)
        ]

    def _marks(self, zero: str, handle: Handle, turns: int, marks: Fraction) -> float:
        """Marks into the metal from the zero that a dial counts from."""
        dial = self._shop.lathe.slide(handle).dial
        assert dial is not None
        position = float(turns * dial.marks + marks)
        return position if self._turns[zero] is Turn.CLOCKWISE else -position
