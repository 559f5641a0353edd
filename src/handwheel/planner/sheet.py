"""From an order to a sheet of acts: loading, each step's acts, turning round, the last measuring."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from handwheel.domain import acts as a
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.part import BACK_FACE, BORE, OUTSIDE, Aspect
from handwheel.domain.plan import Sheet, StepTime
from handwheel.domain.shop import GaugeUse, Nose
from handwheel.planner.holdings import HeldSecond, bar_holding
from handwheel.planner.job import Job
from handwheel.planner.kinds.diameter import STOP_BAND_MM
from handwheel.planner.way import PARALLEL_SWING, Kind, Way
from handwheel.planner.writer import Writer

HEAT_SHARE = 0.3
"""Share of the cutting power that warms the work at low speed, upper end of 10 to 30 % (cutting-models section 10)."""
HEAT_MATTERS = 0.1
"""Warmth is mentioned when its error exceeds this share of the tolerance (practice case PC-24)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A sheet with its times and what the writing found."""

    sheet: Sheet
    times: tuple[StepTime, ...]
    findings: tuple[Finding, ...]


def write_sheet(
    job: Job,
    ways: Sequence[Way],
    *,
    kinds: Mapping[str, Kind],
    seconds: Mapping[str, HeldSecond],
    spent_ms: Sequence[tuple[int, int]],
) -> Written:
    """Write the acts of an order.

    ``seconds`` holds the second holdings by id; ``spent_ms`` what goes before each step (tool, zeros, regrip) and
    the step itself, as the search reckoned them.
    """
    w = Writer(job)
    times: list[StepTime] = []
    _load(w)
    cooled = False
    energy_j = 0.0
    for way, (before_ms, own_ms) in zip(ways, spent_ms, strict=True):
        if w.holding is None or way.holding.id != w.holding.id:
            _turn_round(w, seconds[way.holding.id])
        w.step = way.step.id
        kind = kinds[way.step.kind]
        if not cooled and way.step.stage.value == "finish" and _warm(job, energy_j):
            w.stop()
            w.act(
                a.Cool,
                seconds=job.shop.habits.cool_s,
                note="until it is comfortably cold to the hand: measure cold, then cut to size",
            )
            cooled = True
        _before(w, way)
        kind.write(w, way)
        if way.schedule is not None:
            energy_j += way.schedule.power_w * way.schedule.pass_s * len(way.schedule.depth_steps)
        times.append(
            StepTime(
                step=way.step.id,
                title=kind.title(way),
                setup_ms=before_ms,
                cutting_ms=own_ms - way.extra_ms,
                measuring_ms=way.extra_ms,
            )
        )
    _finish(w)
    sheet = Sheet(part=job.part, shop=job.shop.name, acts=tuple(w.acts))
    return Written(sheet=sheet, times=tuple(times), findings=tuple(w.findings))


def _warm(job: Job, energy_j: float) -> bool:
    """Whether roughing warms the work by more than matters: adiabatic upper bound on the metal outside the jaws."""
    density = job.material.range("density").least * 1e-3  # g/mm³
    mass_g = density * 3.1416 * job.bar_radius_mm**2 * job.stick_out_mm
    rise_k = HEAT_SHARE * energy_j / (mass_g * job.material.range("specific_heat").least / 1000.0)
    grows = job.material.range("alpha").most * 1e-6 * 2.0 * job.bore_radius_mm * rise_k
    return grows > HEAT_MATTERS * float(min(job.bore_size.band, job.outside_size.band))


def _load(w: Writer) -> None:
    job, lathe = w.job, w.lathe
    w.step = "load"
    holding = bar_holding(job)
    grip = lathe.chuck.jaw_length_mm
    inside = float(job.bar.dia_upper_mm) <= lathe.spindle_bore_dia_mm
    reach = lathe.spindle_length_mm
    if inside and job.bar.length_mm <= job.stick_out_mm + reach:
        tail, length = a.TailSupport.INSIDE_SPINDLE, job.bar.length_mm
    elif inside:
        tail, length = a.TailSupport.INSIDE_SPINDLE, float(int(job.stick_out_mm + reach))
        w.findings.append(
            Finding(
                code="bar-cut",
                severity=Severity.WARNING,
                where="load",
                problem=f"the bar, {job.bar.length_mm:.0f} mm, would stand out behind the spindle and whip",
                remedy=f"cut it to at most {length:.0f} mm, or support it along its whole length behind the spindle",
                source_key="COMMON",
            )
        )
    else:
        tail, length = a.TailSupport.BLANK, job.stick_out_mm + grip
        w.hand(
            a.HandKind.NOTE,
            f"Saw a blank of {length:.0f} mm from the bar: it does not pass through the spindle (Ø "
            f"{lathe.spindle_bore_dia_mm:.1f} mm).",
        )
    if lathe.nose is Nose.THREADED:
        w.caution("Threaded spindle nose: never run it backwards, the chuck can unscrew. Screw the chuck home first.")
    w.caution("Take the key out of the chuck before anything else.")
    for caution in job.material.hazards:
        w.caution(caution.text)
    w.act(
        a.LoadBar,
        bar=job.bar.id,
        holding=holding,
        stick_out_mm=job.stick_out_mm,
        grip_length_mm=grip,
        bar_length_mm=length,
        face_stock_mm=job.face_stock_mm,
        tail=tail,
    )
    w.holding = holding
    w.face_mm = job.face_stock_mm
    w.outside_dia_mm = 2.0 * job.bar_radius_mm
    w.swing = type(PARALLEL_SWING)(Fraction(-1), PARALLEL_SWING.leftward)  # nobody knows how it stands
    w.swing_to(PARALLEL_SWING)


def _before(w: Writer, way: Way) -> None:
    """What goes before the cuts of a step: chips out of the hole, oil."""
    if not way.holding.turned:
        return
    if way.step.surface == BORE and way.step.kind == "bore":
        w.hand(a.HandKind.CLEAR_CHIPS, "Brush the chips out of the hole, never with fingers.")
    if way.tool is not None or way.drill is not None:
        w.act(
            a.HandStep,
            kind=a.HandKind.LUBRICATE,
            text=f"{w.job.material.lubricant[:1].upper()}{w.job.material.lubricant[1:]}.",
        )


def _turn_round(w: Writer, second: HeldSecond) -> None:
    job, holding = w.job, second.holding
    first = w.holding is None or w.holding.id == "bar"
    w.step = f"hold-{holding.id}"
    w.stop()
    if first:
        width, raw = job.size(BACK_FACE, Aspect.WIDTH), job.width_mm + w.face_mm
        w.hand(
            a.HandKind.DEBURR,
            "Take the ring off the rod. Deburr the parted edge by hand, light strokes away from the fingers.",
        )
        w.measure(
            BACK_FACE,
            Aspect.WIDTH,
            raw,
            stop_mm=(max(float(width.cut_lower), raw - STOP_BAND_MM), raw + STOP_BAND_MM),
            note="the raw width: what is over the finished width is what the back face still has to lose",
        )
    w.hand(second.ready_kind, second.ready_text)
    w.act(a.Regrip, holding=holding)
    w.holding = holding
    w.forget_zeros()
    w.tool = w.tool if holding.turned else None
    if holding.turned:
        gauge = w.gauge(GaugeUse.RUNOUT, 0.0)
        w.act(
            a.Indicate,
            surface=second.indicate_surface,
            high_mm=max(holding.runout_mm, 0.01),
            gauge=gauge.id if gauge else "",
            note="turn the chuck by hand"
            + ("" if second.indicate_surface == BORE else "; tap the ring home on the shoulder"),
        )


def _finish(w: Writer) -> None:
    job = w.job
    w.step = "inspect"
    w.stop()
    if w.holding is not None and w.holding.turned:
        w.hand(a.HandKind.TAKE_OUT, "Open the holding and take the ring out.")
    w.hand(a.HandKind.DEBURR, "Break every burr; wipe the ring clean; let it come to room temperature.")
    values = {
        (BORE, Aspect.DIAMETER): w.bore_dia_mm,
        (OUTSIDE, Aspect.DIAMETER): w.outside_dia_mm,
        (BACK_FACE, Aspect.WIDTH): job.width_mm + w.face_mm,
    }
    for (surface, aspect), value in values.items():
        size = job.size(surface, aspect)
        limits = (float(size.cut_lower), float(size.cut_upper))
        w.measure(surface, aspect, value, stop_mm=limits, final=limits)
