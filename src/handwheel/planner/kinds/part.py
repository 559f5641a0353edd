"""Parting off into the finished bore."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from handwheel.data.speeds import CutKind
from handwheel.domain import acts as a
from handwheel.domain.contour import Point
from handwheel.domain.holding import FACE_COVERED, HELD_BY_BORE, Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BACK_FACE, BACK_OUTER_EDGE, BORE, OUTSIDE
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said, said_at_most, said_short
from handwheel.domain.tools import Tool
from handwheel.geometry.tool_shapes import blade_slant_mm
from handwheel.physics.force import Process
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase
from handwheel.planner.dialing import Scale
from handwheel.planner.feeds import pass_time_s
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds.bevel import GROOVE, PART_OFF, can_be_far
from handwheel.planner.kinds.common import (
    across_drive,
    no_cross_scale,
    no_length_scale,
    planned,
    work_stiffness_n_um,
)
from handwheel.planner.kinds.groove import plunge
from handwheel.planner.kinds.legs import groove_depth_mm
from handwheel.planner.kinds.rounds import rough_outside_mm
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Writer

THROUGH_MM = 0.3
"""How far the blade goes on into the bore, so that it is through all round."""
REACH_MARGIN_MM = 2.0
USUAL_SLANT_MM = 0.3
THROUGH = "part into the bore; do not stop feeding before it is through"
BY_POWER = "parting: let the feed run until the ring is off, and knock it off only then"
WHOLE_MM = 3.0
"""A rod of this size or more is given in whole millimetres. [mm]"""
ROD_GAP_MM = 1.0
"""How much thinner than the bore the catching rod is at least; common practice, no source."""


def _end_radius_mm(job: Job) -> float:
    return job.bore_radius_mm - blade_slant_mm(job.blade) - THROUGH_MM


def reach_needed_mm(wall_mm: float, blade: Tool | None) -> float:
    """How far a blade must reach to part through a wall into the bore; the slant of an unknown blade is allowed for."""
    slant = USUAL_SLANT_MM if blade is None else blade_slant_mm(blade)
    return wall_mm + slant + THROUGH_MM + REACH_MARGIN_MM


def _steps(job: Job) -> Iterable[Step]:
    region = rect(job.kerf_end_mm, job.raw_back_mm, 0.0, job.bar_radius_mm)
    yield Step(
        id=PART_OFF,
        kind="part",
        surface=BACK_FACE,
        stage=Stage.WHOLE,
        zones=(Zone(id="kerf", surface=BACK_FACE, region=region),),
        after=(BORE,),
    )


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if holding.side is not Side.FRONT:
        return
    tool, scale, across = job.blade, job.length, job.cross
    need = reach_needed_mm(job.outside_radius_mm - job.bore_radius_mm, tool)
    if tool.reach_mm < need:
        yield NoWay(
            step=step.id,
            code="blade-too-short",
            remedies=(AddToShop(thing=offers.like(tool, reach_mm=ceil(need))),),
            tried=tool.name,
            why=f"it reaches {said_short(tool.reach_mm, job.units)} and {said(need, job.units, places=1)} are "
            "needed from the outside into the bore",
            remedy=f"a blade that reaches {said_short(ceil(need), job.units)}, or a larger bore",
        )
        return
    if scale is None:
        yield no_length_scale(job, step, tool.name)
        return
    if across is None:
        yield no_cross_scale(job, step, tool.name)
        return
    for rim_mm, after in _rims_mm(job):
        yield _way(job, step, holding, rim_mm=rim_mm, scale=across, need_mm=need, after=after)


def _rims_mm(job: Job) -> Iterable[tuple[float, tuple[str, ...]]]:
    """Radii of the outside that the blade may meet, each with the steps before: the last cuts may come later."""
    yield job.outside_radius_mm, (OUTSIDE,) if job.part.surface(OUTSIDE) else ()
    if _outside_later(job):
        yield rough_outside_mm(job), ()


def _way(
    job: Job, step: Step, holding: Holding, *, rim_mm: float, scale: Scale, need_mm: float, after: tuple[str, ...]
) -> Way | NoWay:
    tool, end = job.blade, _end_radius_mm(job)
    case = CutCase(
        units=job.units,
        name="parting off",
        cut=CutKind.PART,
        process=Process.PARTING,
        tool=tool,
        drive=across_drive(job),
        total_mm=rim_mm - end,
        step_mm=scale.radius_per_step_mm,
        way_mm=rim_mm - end + 1.0,
        large_dia_mm=2.0 * rim_mm,
        max_rpm=holding.max_rpm,
        grip_torque_nm=holding.grip_torque_nm,
        stiffness_n_um=work_stiffness_n_um(job, holding, at_mm=job.raw_back_mm),
        width_mm=tool.width_mm,
    )
    found = planned(job, step, case)
    if isinstance(found, NoWay):
        return found
    saved = (
        round(1000 * pass_time_s(case, feed=found.feed, speed=found.speed) * groove_depth_mm(job) / case.way_mm)
        if job.groover and job.part.surface(BACK_OUTER_EDGE) and can_be_far(job, BACK_OUTER_EDGE)
        else 0
    )
    z = job.kerf_end_mm
    return Way(
        id=f"{step.id}/{holding.id}/{tool.id}{'' if after else '/rough'}",
        step=step,
        holding=holding,
        tool=tool,
        swing=PARALLEL_SWING,
        path=(Point(z, rim_mm + CLEAR_MM), Point(z, end)),
        after=after,
        zeros_needed=Zero.ALONG | Zero.ACROSS,
        schedule=found,
        across=scale,
        reach_mm=need_mm,
        cut_ms=found.total_ms,
        shorter=((GROOVE, saved),) if saved else (),
    )


def _outside_later(job: Job) -> bool:
    """Whether the outside may be finished after parting: only then may the blade meet a rough outside."""
    return any(means.kind in (*HELD_BY_BORE, *FACE_COVERED) for means in job.shop.holdings)


def _write(w: Writer, way: Way) -> None:
    job = w.job
    w.prepare(way)
    w.stop()
    w.hand(
        a.HandKind.CATCH_ROD,
        f"Clamp a smooth rod in the tailstock chuck, no thicker than Ø {_rod_words(w)}, and run it into the bore "
        "without touching: the ring will hang on it. Let it stand out so far that the tailstock stays clear of "
        "carriage and toolpost.",
    )
    plunge(
        w,
        way,
        z_mm=job.kerf_end_mm,
        depth_radius_mm=w.bore_dia_mm / 2.0 - blade_slant_mm(job.blade) - THROUGH_MM,
        surface=BACK_FACE,
        note=THROUGH,
        says=("parting",),
        power_note=BY_POWER,
    )
    w.act(a.PartOff)
    w.face_mm = -(job.width_mm + (w.z_mm + job.blade.width_mm))
    w.retract(Handle.CROSS, Motion.OUT, w.outside_dia_mm / 2.0 + 1.0 - w.x_mm)
    w.stop()


def rod_dia_mm(bore_dia_mm: float, *, chuck_dia_mm: float) -> float:
    """Thickest catching rod: clear of the bore all round, and no thicker than the drill chuck takes. [mm]

    Examples
    --------
    >>> rod_dia_mm(11.1, chuck_dia_mm=13.0), rod_dia_mm(20.0, chuck_dia_mm=13.0), rod_dia_mm(1.6, chuck_dia_mm=13.0)
    (10.1, 13.0, 0.8)
    """
    return min(max(bore_dia_mm - ROD_GAP_MM, bore_dia_mm / 2.0), chuck_dia_mm)


def _rod_words(w: Writer) -> str:
    rod = rod_dia_mm(w.bore_dia_mm, chuck_dia_mm=w.lathe.tailstock.chuck_high_dia_mm)
    return said_at_most(rod, w.job.units, places=0 if rod >= WHOLE_MM else 1)


KIND = Kind(name="part", steps=_steps, ways=_ways, write=_write, title=lambda _: "Part off into the bore")
