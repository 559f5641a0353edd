"""Facing: the front face on the bar, the back face once the ring is turned round (cut, or rubbed on a plate)."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.speeds import CutKind
from handwheel.domain import acts as a
from handwheel.domain.contour import Point
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BACK_FACE, FRONT_FACE, OUTSIDE, Aspect
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.remedies import AddToShop, AllowSize, FitSlide, Remedy
from handwheel.domain.said import said, said_range
from handwheel.domain.size import Size
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.force import Process
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds.common import across_drive, gauge_trouble, no_length_scale, planned, work_stiffness_n_um
from handwheel.planner.kinds.hands import hand_trouble
from handwheel.planner.kinds.rounds import rough_outside_mm
from handwheel.planner.kinds.touching import contact_words, face_band_mm, tip_mm
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Run, Writer, exact

INTO_BORE_MM = 1.0
"""How far into the bore the tip runs when the face of a ring is cut."""
PAST_CENTRE_MM = 0.1
"""How far past the centre the round of the tip goes, so that no pip stays; common practice, no source."""
RUB_RATE_MM_S = 0.0002
"""Metal taken off by rubbing a face on abrasive: about 0.01 mm in a minute; common practice, no source, try it."""


def _steps(job: Job) -> Iterable[Step]:
    yield Step(
        id=FRONT_FACE,
        kind="face",
        surface=FRONT_FACE,
        stage=Stage.WHOLE,
        zones=(
            Zone(id="front-stock", surface=FRONT_FACE, region=rect(0.0, job.face_stock_mm, 0.0, job.bar_radius_mm)),
        ),
    )


def _back_steps(job: Job) -> Iterable[Step]:
    region = rect(job.raw_back_mm, -job.width_mm, 0.0, job.bar_radius_mm)
    yield Step(
        id=BACK_FACE,
        kind="face-back",
        surface=BACK_FACE,
        stage=Stage.WHOLE,
        zones=(Zone(id="back-allowance", surface=BACK_FACE, region=region),),
        after=("part-off",),
    )


def _cut_ways(
    job: Job,
    step: Step,
    holding: Holding,
    *,
    stock_mm: float,
    rim_mm: float,
    to_mm: float | None,
    after: tuple[str, ...] = (),
) -> Iterable[Way | NoWay]:
    scale = job.length
    if scale is None:
        yield no_length_scale(job, step, "facing")
        return
    step_mm = scale.length_per_step_mm
    taken = max(1, round(stock_mm / step_mm)) * step_mm
    if (trouble := _width_trouble(job, step, off_mm=stock_mm - taken)) is not None:
        yield trouble
        return
    for tool in job.shop.tools:
        if tool.kind is not ToolKind.TURNING:
            continue
        if (trouble := hand_trouble(step, tool)) is not None:
            yield trouble
            continue
        end = -past_centre_mm(tool) if to_mm is None else to_mm
        case = CutCase(
            units=job.units,
            name=f"facing Ø {said(2 * rim_mm, job.units, places=1)}",
            cut=CutKind.ROUGH,
            process=Process.TURNING,
            tool=tool,
            drive=across_drive(job),
            total_mm=taken,
            step_mm=step_mm,
            way_mm=rim_mm + CLEAR_MM - end,
            large_dia_mm=2.0 * rim_mm,
            max_rpm=holding.max_rpm,
            grip_torque_nm=holding.grip_torque_nm,
            stiffness_n_um=work_stiffness_n_um(job, holding, at_mm=stock_mm),  # where the first pass is
            roughness_um=job.part.face_ra_um or 0.0,
        )
        found = planned(job, step, case)
        if isinstance(found, NoWay):
            yield found
            continue
        yield Way(
            id=f"{step.id}/{holding.id}/{tool.id}{'/after-' if after else ''}{'-'.join(after)}",
            step=step,
            holding=holding,
            tool=tool,
            swing=PARALLEL_SWING,
            path=(Point(0.0, rim_mm + CLEAR_MM), Point(0.0, end)),
            after=after,
            zeros_left=Zero.ALONG,
            schedule=found,
            across=scale,
            cut_ms=found.total_ms,
            extra_ms=round(job.shop.habits.touch_s * 1000),
        )


def _width_trouble(job: Job, step: Step, *, off_mm: float) -> NoWay | None:
    """Why the nearest whole step does not bring the back face inside the limits of the width, or ``None``."""
    size = job.size(BACK_FACE, Aspect.WIDTH)
    made = job.width_mm + off_mm
    if step.surface == FRONT_FACE or float(size.cut_lower) <= made <= float(size.cut_upper):
        return None
    return NoWay(
        step=step.id,
        code="width-finer-than-scale",
        remedies=_width_remedies(job, size, off_mm=abs(made - float(size.cut_target))),
        tried="facing to width",
        why=f"the nearest whole step along the bed makes {said(made, job.units, places=3)}; the width must be "
        f"{said_range(size.cut_lower, size.cut_upper, job.units, places=3)}",
        remedy="widen the limits, rub the face on a flat plate, or fit a dial or readout with finer steps",
    )


def _width_remedies(job: Job, size: Size, *, off_mm: float) -> tuple[Remedy, ...]:
    """What would bring the width inside its limits: finer steps along the bed, a plate to rub on, wider limits."""
    finer = offers.with_readout(job.shop.lathe.top, step_mm=float(size.band))
    return (
        AddToShop(thing=offers.flat_plate(job.part)),
        *(() if finer is None else (FitSlide(slide=finer),)),
        AllowSize(surface=BACK_FACE, aspect=Aspect.WIDTH, size=offers.wider(size, band_mm=2.0 * off_mm)),
    )


def past_centre_mm(tool: Tool) -> float:
    """How far past the centre line a tool has to go for its rounded tip to leave no pip."""
    return tool.nose_radius_mm + PAST_CENTRE_MM


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if holding.side is Side.FRONT:
        hollow = job.bar_bore_radius_mm - INTO_BORE_MM if job.bar_bore_radius_mm else None
        yield from _cut_ways(job, step, holding, stock_mm=job.face_stock_mm, rim_mm=job.bar_radius_mm, to_mm=hollow)


def _back_ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if holding.side is not Side.BACK:
        return
    raw = job.width_mm + job.back_allowance_mm
    trouble = gauge_trouble(job, step, job.size(BACK_FACE, Aspect.WIDTH), GaugeUse.LENGTH, on_the_way_mm=raw)
    if trouble is not None:
        yield trouble
        return
    if not holding.turned:
        yield Way(
            id=f"{step.id}/{holding.id}",
            step=step,
            holding=holding,
            cut_ms=round(1000.0 * job.back_allowance_mm / RUB_RATE_MM_S),
            extra_ms=round(2000 * job.shop.habits.measure_s),
        )
        return
    for rim_mm, after in _back_rims_mm(job, holding):
        yield from _cut_ways(
            job,
            step,
            holding,
            stock_mm=job.back_allowance_mm,
            rim_mm=rim_mm,
            to_mm=job.bore_radius_mm - INTO_BORE_MM,
            after=after,
        )


def _back_rims_mm(job: Job, holding: Holding) -> Iterable[tuple[float, tuple[str, ...]]]:
    """Radii that the back face may have, each with the steps before: a holding may leave the outside for later."""
    if not holding.leaves_outside:
        yield job.outside_radius_mm, ()
        return
    yield job.outside_radius_mm, (OUTSIDE,)
    yield rough_outside_mm(job), ()


def _write(w: Writer, way: Way) -> None:
    if not way.holding.turned:
        _write_rubbing(w)
        return
    found, scale, tool = way.schedule, way.across, way.tool
    if found is None or scale is None or tool is None:
        msg = f"way {way.id}: has no schedule, scale or tool"
        raise ValueError(msg)
    w.prepare(way)
    front = way.holding.side is Side.FRONT
    surface = FRONT_FACE if front else BACK_FACE
    rim = w.job.bar_radius_mm if front else w.outside_dia_mm / 2.0
    solid = front and not w.job.bar_bore_radius_mm
    inner = w.job.bar_bore_radius_mm if front else w.bore_dia_mm / 2.0
    w.run_at(found, cut_dia_mm=2.0 * rim, handle=Handle.CROSS)
    flat = face_band_mm(w, way.holding)
    touch_at = max((flat[0] + flat[1]) / 2.0, flat[1] - 2.0) - tip_mm(tool)
    w.approach(w.face_mm + CLEAR_MM, touch_at, "in front of the face, near its rim")
    along = scale.handle
    if along is not Handle.CARRIAGE:
        w.lock(Handle.CARRIAGE)
    w.touch(along, Motion.LEFT, surface, contact_words(tool, w.job.units, along=True), z_mm=w.face_mm)
    w.zero(along, surface, w.face_mm, note="" if front else _as_measured(w))
    w.retract(Handle.CROSS, Motion.OUT, rim + CLEAR_MM - w.x_mm)
    steps_done = 0
    end = -past_centre_mm(tool) if solid else inner - INTO_BORE_MM
    for i, steps in enumerate(found.depth_steps):
        steps_done += steps
        w.move_to(along, steps_done * scale.step_mm, Motion.LEFT)
        w.start()
        w.cut(
            Handle.CROSS,
            Motion.IN,
            surface=surface,
            depth_mm=steps * scale.length_per_step_mm,
            schedule=found,
            run=Run(way_mm=exact(w.x_mm - end)),
            note="to the centre, until no pip stays" if solid else "until the tip is inside the bore",
        )
        if i < len(found.depth_steps) - 1:
            w.retract(along, Motion.RIGHT, 0.5)
        else:
            w.stop_if_it_hardens()
        w.retract(Handle.CROSS, Motion.OUT, rim + CLEAR_MM - w.x_mm)
    w.face_mm = w.z_mm
    told = w.scale(Handle.CARRIAGE) is not None
    both = (along, Handle.CARRIAGE) if told and along is not Handle.CARRIAGE else (along,)
    w.zero_along(surface, w.z_mm, both)


def _as_measured(w: Writer) -> str:
    """What to do if the raw ring is not as wide as foreseen: the settings count from the raw face that is touched."""
    units = w.job.units
    return (
        f"if the raw width was not {said(w.job.width_mm + w.face_mm, units)}, go further or less far by the "
        f"difference: what counts is the width, {said(w.job.width_mm, units)}"
    )


def _write_rubbing(w: Writer) -> None:
    take, width, units = w.face_mm, w.job.width_mm, w.job.units
    w.hand(
        a.HandKind.RUB_FACE,
        "Lay wet abrasive paper on the flat plate; rub the parted face in figures of eight, a quarter turn "
        "of the ring "
        f"now and then, until the width is {said(width, units)}, about {said(take, units)} less; measure it at four "
        "places every minute.",
        surface=BACK_FACE,
        removes_mm=take,
        says=("wet-rubbing",),
    )
    w.face_mm = 0.0


def _title(way: Way) -> str:
    if way.step.surface == FRONT_FACE:
        return "Face the front"
    return "Face the back to width" if way.holding.turned else "Rub the back face to width"


KIND = Kind(name="face", steps=_steps, ways=_ways, write=_write, title=_title)
BACK_KIND = Kind(name="face-back", steps=_back_steps, ways=_back_ways, write=_write, title=_title)
