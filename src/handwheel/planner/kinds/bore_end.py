"""Where the passes of the bore really end, and whether an edge tool behind the ring has room in front of that."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import inf

from handwheel.domain.contour import Point
from handwheel.domain.motion import Handle
from handwheel.domain.part import BORE
from handwheel.domain.plan import Stage, Step
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said, said_short
from handwheel.domain.tools import PieceRole, Tool
from handwheel.geometry.tool_shapes import silhouette
from handwheel.planner import offers
from handwheel.planner.dialing import steps_at_most
from handwheel.planner.job import Job
from handwheel.planner.kinds.common import SHORT_OF_ROUGH_MM, along_drive, diameter_settings
from handwheel.planner.way import PARALLEL_SWING, NoWay, Swing

TINY_MM = 1e-6


def ends_of_bore_mm(job: Job) -> tuple[Point, ...]:
    """Rings of metal that stand at the end of the bore, where the passes leave them. [mm]

    A pass ends on a whole step of what tells its length and never beyond its end, the last cuts in front of that. Each
    point is the place of such a wall and its inner radius.
    """
    if job.sized_by_drill:
        return ()
    rough = Point(_stops_mm(job, job.bore_end_mm, PARALLEL_SWING), job.hole_radius_mm)
    if job.reaming is not None:
        return (rough,) if job.reaming.is_bored else ()
    stub = Step(id=BORE, kind="", surface=BORE, stage=Stage.FINISH, zones=())
    last = diameter_settings(job, stub, job.bore_size, inside=True)
    swing = PARALLEL_SWING if isinstance(last, NoWay) else last.swing
    return rough, Point(_stops_mm(job, job.bore_end_mm + SHORT_OF_ROUGH_MM, swing), job.rough_bore_mm)


def _stops_mm(job: Job, end_mm: float, swing: Swing) -> float:
    """Where a pass to a place stops, counted from the finished face. [mm]"""
    drive = along_drive(job, swing)
    scale = job.top if drive is not None and drive.handle is Handle.TOP else job.carriage
    return end_mm if scale is None else -steps_at_most(-end_mm, scale.length_per_step_mm) * scale.length_per_step_mm


def bore_end_trouble(job: Job, step: Step, tool: Tool, *, end: Point) -> NoWay | None:
    """Why a V cannot cut the far edge of the bore: at ``end`` of its way its left side would meet the end of the bore.

    Whether it does at the planned end of the bore, reach tells; here it is where the passes may stop short of that.
    """
    room = inf
    z_mm = end.z_mm - (job.length.length_per_step_mm / 2.0 if job.length is not None else 0.0)  # the nearest step
    for wall in ends_of_bore_mm(job):
        if end.radius_mm + highest_mm(tool, left_of_mm=wall.z_mm - z_mm) > wall.radius_mm + TINY_MM:
            room = min(room, z_mm - wall.z_mm)
    if room == inf:
        return None
    smaller = int(10.0 * room) / 10.0
    fitting = () if tool.silhouette or smaller <= 0 else (offers.like(tool, head_mm=smaller, width_mm=2.0 * smaller),)
    return NoWay(
        step=step.id,
        code="cuts-what-must-stay",
        tried=tool.name,
        why=f"the bore ends {said(room, job.units)} behind the point of the tool, and its left-hand side would "
        "cut into that",
        remedy=f"an edge tool with sides no more than {said_short(smaller, job.units)} high, or something finer "
        "to tell lengths by",
        remedies=tuple(AddToShop(thing=thing) for thing in fitting),
    )


def highest_mm(tool: Tool, *, left_of_mm: float) -> float:
    """How far out a tool comes, counted from its tip, at and left of a place counted from there; ``-inf`` if nothing.

    [mm]
    """
    return max(_heights_mm(tool, left_of_mm), default=-inf)


def _heights_mm(tool: Tool, left_of_mm: float) -> Iterator[float]:
    for piece in silhouette(tool):
        if piece.role is PieceRole.HOLDER:
            continue
        for a, b in pairwise((*piece.points, piece.points[0])):
            if a.z_mm <= left_of_mm:
                yield a.radius_mm
            if (a.z_mm - left_of_mm) * (b.z_mm - left_of_mm) < 0.0:
                yield a.radius_mm + (b.radius_mm - a.radius_mm) * (left_of_mm - a.z_mm) / (b.z_mm - a.z_mm)
