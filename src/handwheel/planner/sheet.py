"""From an order to a sheet of acts: loading, each step's acts, turning round, the last measuring."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from handwheel.domain import acts as a
from handwheel.domain.findings import Finding
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.matters import MISREAD_MM, SHARE_THAT_MATTERS
from handwheel.domain.motion import Handle
from handwheel.domain.part import BACK_FACE, BORE, OUTSIDE, Aspect
from handwheel.domain.plan import Sheet, StepTime
from handwheel.planner.broken_edge import break_words
from handwheel.planner.holdings import HeldSecond
from handwheel.planner.job import Job
from handwheel.planner.kinds.standing import gauge_depth_mm
from handwheel.planner.loading import load_bar
from handwheel.planner.loosen import loosened
from handwheel.planner.travel import TravelNeed
from handwheel.planner.way import Kind, Way
from handwheel.planner.writer import Writer

HEAT_SHARE = 0.3
"""Share of the cutting power that warms the work at low speed, upper end of 10 to 30 % (cutting-models section 10)."""

BAR_OUT = "Take what is left of the bar out of the lathe."
"""Before the other side is held: what held the bar has to hold, or make room for, something else."""


class Written(Struct, frozen=True, kw_only=True):
    """A sheet with its times and what the writing found."""

    sheet: Sheet
    times: tuple[StepTime, ...]
    findings: tuple[Finding, ...]
    too_long: tuple[TravelNeed, ...] = ()


def write_sheet(
    job: Job,
    ways: Sequence[Way],
    *,
    kinds: Mapping[str, Kind],
    seconds: Mapping[str, HeldSecond],
    spent_ms: Sequence[tuple[int, int]],
    stays: frozenset[Handle] = frozenset(),
) -> Written:
    """Write the acts of an order.

    ``seconds`` holds the second holdings by id; ``spent_ms`` what goes before each step (tool, zeros, regrip) and
    the step itself, as the search reckoned them. A slide that ``stays`` makes no room for a gauge.
    """
    w = Writer(job, stays=stays)
    times: list[StepTime] = []
    load_bar(w)
    cooled = False
    energy_j = 0.0
    for way, (before_ms, own_ms) in zip(ways, spent_ms, strict=True):
        if w.holding is None or way.holding.id != w.holding.id:
            if w.holding is not None and w.holding.id in seconds:
                _open(w, seconds[w.holding.id])
            _turn_round(w, seconds[way.holding.id])
        w.step = way.step.id
        kind = kinds[way.step.kind]
        if not cooled and way.step.stage.value == "finish" and _warm(job, energy_j):
            w.stop()
            w.act(
                a.Cool,
                seconds=job.shop.habits.cool_s,
                note="until it is comfortably cold to the hand: measure cold, then cut to size",
                says=("hot-work",),
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
    _finish(w, seconds)
    stages = {way.step.id: way.step.stage for way in ways}
    acts = loosened(w.acts, stages=stages, units=job.shop.units)
    sheet = Sheet(part=job.part, shop=job.shop.name, acts=acts)
    too_long = w.travels.too_long(job.shop.lathe)
    return Written(sheet=sheet, times=tuple(times), findings=tuple(w.findings), too_long=too_long)


def _warm(job: Job, energy_j: float) -> bool:
    """Whether roughing warms the work by more than matters: adiabatic upper bound on the metal outside the jaws."""
    density = job.material.range("density").least * 1e-3  # g/mm³
    mass_g = density * job.bar.section_mm2 * job.stick_out_mm
    rise_k = HEAT_SHARE * energy_j / (mass_g * job.material.range("specific_heat").least / 1000.0)
    grows = job.material.range("alpha").most * 1e-6 * 2.0 * job.bore_radius_mm * rise_k
    return grows > SHARE_THAT_MATTERS * float(min(job.bore_size.band, job.outside_size.band))


def _before(w: Writer, way: Way) -> None:
    """What goes before the cuts of a step: chips out of the hole, oil."""
    if not way.holding.turned:
        return
    ledge = w.job.ledge(way.step.surface)
    if way.step.kind == "bore" or (ledge is not None and ledge.inner):
        w.hand(a.HandKind.CLEAR_CHIPS, "Brush the chips out of the hole.", says=("chips-not-by-hand",))
    if way.tool is not None or way.drill is not None or way.reamer is not None:
        w.act(a.HandStep, kind=a.HandKind.LUBRICATE, text=w.job.material.lubricant_words)


def _turn_round(w: Writer, second: HeldSecond) -> None:
    job, holding = w.job, second.holding
    first = w.holding is None or w.holding.id == "bar"
    w.step = f"hold-{holding.id}"
    w.stop()
    if first:
        width, raw = job.size(BACK_FACE, Aspect.WIDTH), job.width_mm + w.face_mm
        w.hand(
            a.HandKind.DEBURR,
            "Slide the tailstock back; take the ring off the rod. Deburr the parted edge by hand, light strokes away "
            "from the fingers.",
            says=("burr-cuts",),
        )
        w.measure(
            BACK_FACE,
            Aspect.WIDTH,
            raw,
            stop_mm=(max(float(width.cut_lower), raw - MISREAD_MM), raw + MISREAD_MM),
            note="the raw width: what is over the finished width is what the back face still has to lose",
        )
    if holding.turned and not any(isinstance(act, a.Regrip) and act.holding.turned for act in w.acts):
        w.hand(a.HandKind.NOTE, BAR_OUT)
    w.hand(second.ready_kind, second.ready_text)
    w.act(a.Regrip, holding=holding, says=second.cautions)
    w.holding = holding
    w.forget_zeros()
    w.forget_speed()
    w.tool = w.tool if holding.turned else None
    if holding.turned:
        gauge = w.gauge(GaugeUse.RUNOUT, 0.0)
        w.act(
            a.Indicate,
            surface=second.indicate_surface,
            high_mm=max(holding.runout_mm, 0.01),
            gauge=gauge.id if gauge else "",
            note=second.indicate_note,
        )
    if second.by_tailstock:
        w.lock(Handle.QUILL)


def take_out(w: Writer, second: HeldSecond) -> None:
    """Open a holding and take the ring out of it."""
    w.unlock(Handle.QUILL)
    w.hand(a.HandKind.TAKE_OUT, second.open_text, says=second.open_cautions)
    if second.cool_s:
        w.act(
            a.Cool, seconds=second.cool_s, note="to room temperature, before anything is measured", says=("hot-work",)
        )


def _open(w: Writer, second: HeldSecond) -> None:
    """Take the ring out of one holding before another takes it; the burr goes first."""
    if not second.holding.turned:
        return
    w.stop()
    take_out(w, second)
    w.hand(a.HandKind.DEBURR, "Take the burr off with light strokes away from the fingers; wipe the ring clean.")


def _break_edges(w: Writer) -> None:
    """Edges that the drawing wants broken by hand, one act each, with the ring in the hand."""
    for feature in w.job.part.sizes:
        if feature.aspect is not Aspect.BROKEN:
            continue
        words = break_words(feature, w.job.shop.units)
        w.hand(a.HandKind.BREAK_EDGE, words, surface=feature.surface)


def _is_rubbed_later(job: Job) -> bool:
    """Whether a surface is finished by hand after turning, so that emery is about to be taken up."""
    return any(feature.size.finishing_change for feature in job.part.sizes)


def _finish(w: Writer, seconds: Mapping[str, HeldSecond]) -> None:
    job = w.job
    w.step = "inspect"
    w.stop()
    second = None if w.holding is None else seconds.get(w.holding.id)
    if second is not None and second.holding.turned:
        take_out(w, second)
    w.hand(
        a.HandKind.DEBURR,
        "Break every burr; wipe the ring clean; let it come to room temperature.",
        says=("burr-cuts", *(("emery",) if _is_rubbed_later(job) else ())),
    )
    _break_edges(w)
    values = {
        (BORE, Aspect.DIAMETER): w.bore_dia_mm,
        (OUTSIDE, Aspect.DIAMETER): w.outside_dia_mm,
        (BACK_FACE, Aspect.WIDTH): job.width_mm + w.face_mm,
        **{(ledge.surface, Aspect.DIAMETER): w.dia_mm(ledge.surface) for ledge in job.ledges},
        **{(ledge.shoulder, Aspect.DEPTH): gauge_depth_mm(w.feet[ledge.shoulder], ledge) for ledge in job.ledges},
    }
    for (surface, aspect), value in values.items():
        size = job.size(surface, aspect)
        limits = (float(size.cut_lower), float(size.cut_upper))
        w.measure(surface, aspect, value, stop_mm=limits, final=limits)
