"""Edges: bevels by the side of an edge tool or by sweeping the top slide, rounds by the hollow of a form tool."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import (
    BACK_FACE,
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    FRONT_FACE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
)
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.tools import FORM_TOOLS, Hand, ToolKind
from handwheel.planner.forms import radius_size
from handwheel.planner.job import POINT_GAP_MM, Job
from handwheel.planner.kinds.bevel import EDGES, Bevel, bevel, can_be_far, end_of, is_back, is_inside
from handwheel.planner.kinds.edge_form import form_ways, round_region, write_form
from handwheel.planner.kinds.edge_plunge import plunge_way, write_blind_plunge, write_plunge
from handwheel.planner.kinds.edge_sweep import sweep_way, write_sweep
from handwheel.planner.kinds.legs import far_legs_mm, legs_mm
from handwheel.planner.way import Kind, NoWay, Way
from handwheel.planner.writer import Writer


def _steps(job: Job) -> Iterable[Step]:
    for edge in EDGES:
        if job.part.surface(edge) is None:
            continue
        inside = is_inside(edge)
        land, radius = job.at_face(end_of(edge), inner=inside)
        sign = 1.0 if inside else -1.0
        far = can_be_far(job, edge)
        along, across = far_legs_mm(job, edge) if far else legs_mm(job, edge)
        face = (job.raw_back_mm if far else -job.width_mm) if is_back(edge) else 0.0
        towards = 1.0 if is_back(edge) else -1.0
        region: tuple[Point, ...]
        if radius_size(job, edge) is not None:
            finished = -job.width_mm if is_back(edge) else 0.0
            region = round_region(edge, face_mm=finished, radius_mm=across, corner=Point(face, radius))
        else:
            region = (Point(face, radius), Point(face + towards * along, radius), Point(face, radius + sign * across))
        zones: tuple[Zone, ...] = (Zone(id=edge, surface=edge, region=region),)
        if edge == BACK_INNER_EDGE and far and radius_size(job, edge) is None:
            zones = (*zones, Zone(id=f"{edge}-beyond", surface=edge, region=_beyond(job)))
        yield Step(
            id=edge,
            kind="edge",
            surface=edge,
            stage=Stage.WHOLE,
            zones=zones,
            after=(land, FRONT_FACE),
        )


def _beyond(job: Job) -> tuple[Point, ...]:
    """What the far side of an edge tool takes out of the waste when it cuts the far inner edge in the bore."""
    deep, gap = far_legs_mm(job, BACK_INNER_EDGE)[1], POINT_GAP_MM
    face, radius = job.raw_back_mm, job.bore_radius_mm
    return (
        Point(face, radius),
        Point(face, radius + deep),
        Point(face - gap, radius + deep + gap),
        Point(face - 2.0 * gap - deep, radius),
    )


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if not holding.turned:
        return
    shape = bevel(job, step.id, holding)
    if shape is None:
        return
    far = is_back(step.id) and holding.side is Side.FRONT
    after = (BACK_FACE,) if holding.side is Side.BACK else ()
    if radius_size(job, step.id) is not None:
        yield from form_ways(job, step, holding, shape, far=far, after=after)
        return
    for tool in job.shop.tools:
        if tool.kind is (ToolKind.EDGE_INSIDE if shape.inside else ToolKind.EDGE_OUTSIDE):
            yield plunge_way(job, step, holding, tool, shape, far=far, after=after)
        elif tool.hand is not Hand.RIGHT:
            continue
        elif tool.kind is (ToolKind.BORING if shape.inside else ToolKind.TURNING) and not far:
            yield sweep_way(job, step, holding, tool, shape, after=after)


def _write(w: Writer, way: Way) -> None:
    shape = bevel(w.job, way.step.id, way.holding)
    if shape is None or way.tool is None:
        msg = f"way {way.id}: has no bevel or tool"
        raise ValueError(msg)
    far = is_back(way.step.id) and way.holding.side is Side.FRONT
    w.prepare(way)
    dia = w.side_dia_mm(end_of(way.step.id), inner=shape.inside)
    w.edges_cut[way.step.id] = shape.across_mm
    actual = Bevel(
        corner=Point(shape.corner.z_mm if far else w.face_mm, dia / 2.0),
        along_mm=shape.along_mm,
        across_mm=shape.across_mm,
        inside=shape.inside,
    )
    if way.tool.kind in FORM_TOOLS:
        write_form(w, way, actual, far=far)
    elif far and shape.inside:
        write_blind_plunge(w, way, actual)
    elif way.tool.kind in (ToolKind.EDGE_INSIDE, ToolKind.EDGE_OUTSIDE):
        write_plunge(w, way, actual, far=far)
    else:
        write_sweep(w, way, actual)


_NAMES = {
    FRONT_OUTER_EDGE: "front outer edge",
    FRONT_INNER_EDGE: "front inner edge",
    BACK_OUTER_EDGE: "back outer edge",
    BACK_INNER_EDGE: "back inner edge",
}


def _title(way: Way) -> str:
    name = _NAMES.get(way.step.id, way.step.id)
    if way.tool is not None and way.tool.kind in FORM_TOOLS:
        return f"Round the {name} (form tool)"
    how = "top slide swept" if way.swing and way.swing.angle_deg else "side of the edge tool"
    return f"Bevel the {name} ({how})"


KIND = Kind(name="edge", steps=_steps, ways=_ways, write=_write, title=_title)
