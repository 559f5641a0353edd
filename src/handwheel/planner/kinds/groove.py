"""The groove behind the ring: room for the edge tool that cuts the far outer edge before parting."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handwheel.data.speeds import CutKind
from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BACK_FACE, BACK_INNER_EDGE, BACK_OUTER_EDGE, OUTSIDE
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said
from handwheel.physics.force import Process
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase
from handwheel.planner.dialing import steps_at_least
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds.bevel import GROOVE, PART_OFF, can_be_far
from handwheel.planner.kinds.common import (
    across_drive,
    no_cross_scale,
    no_length_scale,
    planned,
    work_stiffness_n_um,
)
from handwheel.planner.kinds.legs import groove_depth_mm, web_mm, web_needed_mm
from handwheel.planner.kinds.touching import ensure_blade_zeros, home, to_left_of
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Run, Writer

SHANK_CLEAR_MM = 6.0
"""How far beyond its depth a groover stands out, if its own reach allows: its shank stays off the work and the jaws.

Common practice, no source.
"""


def _steps(job: Job) -> Iterable[Step]:
    if job.groover is None or job.part.surface(BACK_OUTER_EDGE) is None or not can_be_far(job, BACK_OUTER_EDGE):
        return
    region = rect(
        job.raw_back_mm - job.groover.width_mm,
        job.raw_back_mm,
        job.outside_radius_mm - groove_depth_mm(job),
        job.bar_radius_mm,
    )
    yield Step(
        id=GROOVE,
        kind="groove",
        surface=OUTSIDE,
        stage=Stage.WHOLE,
        zones=(Zone(id=GROOVE, surface=OUTSIDE, region=region),),
        after=(OUTSIDE,),
        optional=True,
    )


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    tool = job.groover
    if holding.side is not Side.FRONT or tool is None:
        return
    needed = web_needed_mm(job)
    alone = web_mm(job, inner_edge_too=False)
    if alone < needed:
        yield NoWay(
            step=step.id,
            code="knife-edge",
            remedies=tuple(AddToShop(thing=means) for means in offers.turned_holdings(job.part)),
            tried="groove behind the ring",
            why=f"it would leave {said(alone, job.units)} of wall; at least {said(needed, job.units)} must hold "
            "the ring",
            remedy="cut the back outer edge after turning the ring round",
        )
        return
    scale, depth_scale = job.length, job.cross
    if scale is None:
        yield no_length_scale(job, step, tool.name)
        return
    if depth_scale is None:
        yield no_cross_scale(job, step, tool.name)
        return
    depth = groove_depth_mm(job)
    case = CutCase(
        units=job.units,
        name="grooving",
        cut=CutKind.PART,
        process=Process.PARTING,
        tool=tool,
        drive=across_drive(job),
        total_mm=depth,
        step_mm=depth_scale.radius_per_step_mm,
        way_mm=depth + 1.0,
        large_dia_mm=2.0 * job.outside_radius_mm,
        max_rpm=holding.max_rpm,
        grip_torque_nm=holding.grip_torque_nm,
        stiffness_n_um=work_stiffness_n_um(job, holding, at_mm=job.raw_back_mm),
        width_mm=tool.width_mm,
    )
    found = planned(job, step, case)
    if isinstance(found, NoWay):
        yield found
        return
    z = job.raw_back_mm - tool.width_mm
    both = web_mm(job, inner_edge_too=True) < needed
    yield Way(
        id=f"{step.id}/{holding.id}/{tool.id}",
        step=step,
        holding=holding,
        tool=tool,
        swing=PARALLEL_SWING,
        path=(Point(z, job.outside_radius_mm + CLEAR_MM), Point(z, job.outside_radius_mm - depth)),
        never_after=(PART_OFF, BACK_INNER_EDGE) if both else (PART_OFF,),
        zeros_needed=Zero.ALONG | Zero.ACROSS,
        schedule=found,
        across=depth_scale,
        reach_mm=max(depth + 2.0, min(depth + SHANK_CLEAR_MM, tool.reach_mm)),
        cut_ms=found.total_ms,
    )


def plunge(
    w: Writer,
    way: Way,
    *,
    z_mm: float,
    depth_radius_mm: float,
    surface: str,
    note: str = "",
    says: Sequence[str] = (),
    power_note: str = "",
) -> None:
    """Blade over a place, then in to a radius by the cross-slide; what it ``says`` stands before that cut itself."""
    along, across, found, tool = w.job.length, way.across, way.schedule, way.tool
    if along is None or across is None or found is None or tool is None:
        msg = f"way {way.id}: has no scale, schedule or tool"
        raise ValueError(msg)
    w.run_at(found, cut_dia_mm=w.outside_dia_mm, handle=Handle.CROSS, power_note=power_note)
    ensure_blade_zeros(w, way, cut_z_mm=z_mm, drive=along.handle)
    if w.x_mm < w.outside_dia_mm / 2.0 + 0.5:
        w.retract(Handle.CROSS, Motion.OUT, w.outside_dia_mm / 2.0 + 0.5 - w.x_mm)
    to_left_of(w, along.handle, z_mm)
    deep = float(w.place(Handle.CROSS)) + w.x_mm - depth_radius_mm
    w.start()
    w.cut(
        Handle.CROSS,
        Motion.IN,
        surface=surface,
        depth_mm=tool.width_mm,
        schedule=found,
        run=Run(place_mm=steps_at_least(deep, float(across.step_mm)) * across.step_mm),
        note=note,
        says=says,
    )


def _write(w: Writer, way: Way) -> None:
    if way.tool is None:
        msg = f"way {way.id}: has no tool"
        raise ValueError(msg)
    w.prepare(way)
    plunge(
        w,
        way,
        z_mm=w.job.raw_back_mm - way.tool.width_mm,
        depth_radius_mm=w.outside_dia_mm / 2.0 - groove_depth_mm(w.job),
        surface=BACK_FACE,
        note="the left corner of the blade is set; the blade's width is in the sum",
    )
    w.groove_wall_mm = w.z_mm + way.tool.width_mm
    w.retract(Handle.CROSS, Motion.OUT, groove_depth_mm(w.job) + 1.0)
    along = w.job.length
    if along is not None:
        home(w, along.handle)


KIND = Kind(name="groove", steps=_steps, ways=_ways, write=_write, title=lambda _: "Groove behind the ring")
