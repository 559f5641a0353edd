"""Jobs played on virtual lathes by the acts of a sheet, each told as it would be by the journal of its walk."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import sin, radians

import numpy as np
import numpy.typing as npt
from msgspec.structs import replace

from handwheel.bench.learning.worked import Worked
from handwheel.bench.stops import stops
from handwheel.bench.walk import walked
from handwheel.domain import acts as a
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.part import Aspect
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.as_read import SetBy, collar_as_read
from handwheel.report.steps import numbered_steps
from handwheel.sim.envelope import DEFAULT, Envelope
from handwheel.sim.lathes import Lathes, draw_lathes
from handwheel.sim.machine import Machine
from handwheel.sim.spreads import fixed

Floats = npt.NDArray[np.float64]
READINGS = 3


@dataclass
class Surface:
    """One diameter on many lathes: the machine, and where the handles stand, in marks into the metal from the touch."""

    machine: Machine
    fine: bool = False
    at: Floats = field(default_factory=lambda: np.zeros(0))
    zeros: dict[str, Floats] = field(default_factory=dict)
    readings: list[Floats] = field(default_factory=list)


def lathes_for(
    plan: Plan, shop: Shop, count: int, rng: np.random.Generator, base: Envelope = DEFAULT
) -> dict[str, Lathes]:
    """The truth of so many lathes for each diameter of a sheet: screws, gauge and warmth are one lathe's."""
    cuts, _ = walked(plan.sheet, shop)
    swung = [float(act.angle_deg) for act in plan.sheet.acts if isinstance(act, a.SwingSlide) and act.angle_deg]
    fine_deg = swung[0] if swung else 6.0
    found: dict[str, Lathes] = {}
    for stop in stops(plan.sheet, shop):
        if stop.aspect is not Aspect.DIAMETER or stop.in_hand or stop.surface in found:
            continue
        first = next(cut for cut in cuts if cut.act.surface == stop.surface)
        assert first.zero is not None
        away_mm = abs(stop.target_mm - first.zero.stands_for_mm) / 2.0
        cross, top = shop.lathe.cross.dial, shop.lathe.top.dial
        assert cross is not None
        assert top is not None
        envelope = replace(
            base,
            inside_share=float(stop.grows),
            target_dia_mm=fixed(stop.target_mm),
            to_remove_mm=fixed(away_mm),
            mark_mm=fixed(float(cross.travel_per_mark_mm)),
            top_mark_mm=fixed(float(top.travel_per_mark_mm)),
            marks_per_turn=fixed(float(cross.marks)),
            fine_ratio=sin(radians(fine_deg)),
            gauge_step_mm=float(stop.gauge.step_mm) if stop.gauge is not None else 0.0,
        )
        lathes = draw_lathes(count, envelope, rng)
        if found:
            one = next(iter(found.values()))
            lathes = replace(
                lathes,
                rate=one.rate,
                periodic_mm=one.periodic_mm,
                setting_sd_mm=one.setting_sd_mm,
                warm_dia_mm=one.warm_dia_mm,
                time_constant_s=one.time_constant_s,
            )
        found[stop.surface] = lathes
    return found


def play(
    plan: Plan, shop: Shop, truth: dict[str, Lathes], rng: np.random.Generator, *, until: str = ""
) -> tuple[dict[str, Machine], list[list[Worked]]]:
    """Work a sheet on many lathes, as it stands, collars set from the readings; up to an act if so wanted.

    Every cut warms the work on all surfaces, and it cools where the sheet waits.
    """
    acts = {item.act.id: item for step in numbered_steps(plan, shop) for item in step.acts}
    made = {cut.act.id: cut for cut in walked(plan.sheet, shop)[0]}
    count = next(iter(truth.values())).count
    surfaces = {name: Surface(Machine(lathes, rng), at=np.zeros(count)) for name, lathes in truth.items()}
    told: list[list[Worked]] = [[] for _ in range(count)]
    settings: dict[str, a.Setting] = {}
    touch: a.Touch | None = None
    swung = False
    for act in plan.sheet.acts:
        if act.id == until:
            break
        rows: list[Worked] = [Worked(act=act)] * count
        match act:
            case a.SwingSlide():
                swung = act.angle_deg > 0
                if swung:
                    for one in surfaces.values():
                        one.machine.swing(one.machine.everyone)
            case a.Touch():
                touch = act
            case a.SetZero() if act.surface in surfaces and touch is not None and touch.handle is act.handle:
                one = surfaces[act.surface]
                one.fine = act.handle is Handle.TOP
                if not one.fine or swung:
                    one.machine.touch(one.machine.everyone, fine=one.fine)
                    one.at = np.zeros(count)
                    one.zeros[act.zero] = np.zeros(count)
            case a.Move():
                settings[act.id] = act.setting
            case a.SetCollar() if act.surface in surfaces:
                one = surfaces[act.surface]
                mean = np.mean(one.readings, axis=0)
                zero = np.zeros(count)
                rows = []
                turn = next(
                    cut.scale.turn for cut in made.values() if cut.scale and cut.set_at and cut.set_at.zero == act.zero
                )
                for place in range(count):
                    set_to = collar_as_read(act, SetBy(reading_mm=Fraction(float(mean[place]))), acts[act.id].scene)
                    rows.append(Worked(act=set_to))
                    zero[place] = one.at[place] - into_marks(set_to.turns, set_to.marks, turn, shop, act.handle)
                one.zeros[act.zero] = zero
            case a.Cut():
                for name, one in surfaces.items():
                    cut = made[act.id]
                    if name == act.surface and cut.set_at is not None and cut.scale is not None:
                        setting = settings[cut.setting]
                        marks = into_marks(setting.turns, setting.marks, cut.scale.turn, shop, setting.handle)
                        one.at = one.zeros[setting.zero] + marks
                        one.machine.cut(one.machine.everyone, one.at, fine=one.fine)
                    else:
                        warm(one.machine)
            case a.DrillHole():
                for one in surfaces.values():
                    warm(one.machine)
            case a.Cool():
                for one in surfaces.values():
                    one.machine.wait(one.machine.everyone, act.seconds)
                rows = [Worked(act=act, seconds=act.seconds)] * count
            case a.Measure() if act.surface in surfaces and act.aspect == "diameter":
                one = surfaces[act.surface]
                one.readings = [one.machine.read(one.machine.everyone) for _ in range(READINGS)]
                rows = [
                    Worked(act=act, readings_mm=tuple(float(read[place]) for read in one.readings), gauge=act.gauge)
                    for place in range(count)
                ]
        for place, row in enumerate(rows):
            told[place].append(row)
    return {name: one.machine for name, one in surfaces.items()}, told


def into_marks(turns: int, marks: Fraction, turn: Turn, shop: Shop, handle: Handle) -> float:
    """Marks into the metal from the zero that a dial counts from."""
    dial = shop.lathe.slide(handle).dial
    assert dial is not None
    position = float(turns * dial.marks + marks)
    return position if turn is Turn.CLOCKWISE else -position


def warm(machine: Machine) -> None:
    """Cutting elsewhere on the work warms it as a cut here does."""
    growth = machine.lathes.warm_dia_mm * machine.lathes.envelope.warm_share.high
    machine._growth_mm = np.maximum(machine._growth_mm, growth)  # noqa: SLF001 - no act of the machine does it
