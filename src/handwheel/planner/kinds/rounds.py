"""Cylinders as they come about: from which radius, in how many steps of which dial, to where along the bed."""

from __future__ import annotations

from math import floor
from typing import cast

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.least_cuts import least_last_cut_mm
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Side, to_work_z
from handwheel.domain.motion import Handle
from handwheel.domain.part import BACK_FACE, BORE, FRONT_FACE, OUTSIDE, Aspect
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.remedies import AddToShop, AllowCorner, AllowSize, FitSlide, LighterLastCuts, Remedy
from handwheel.domain.said import said, said_short
from handwheel.domain.size import Size
from handwheel.domain.tools import Hand, Tool
from handwheel.planner import offers
from handwheel.planner.cut_case import FeedDrive
from handwheel.planner.dialing import Scale, steps_at_least
from handwheel.planner.job import Job, Reaming, rect
from handwheel.planner.kinds.common import (
    DiameterSetting,
    along_drive,
    diameter_settings,
    gauge_trouble,
    last_cuts_miss,
    no_cross_scale,
    no_length_scale,
    shared_steps,
)
from handwheel.planner.ledges import Ledge
from handwheel.planner.way import PARALLEL_SWING, NoWay, Swing

SHOULDER_LEAVE_MM = 0.2
"""Least that roughing leaves in front of a shoulder, to be faced off; common practice, no source."""
DEPTH_SHARE = 0.5
"""A step of a scale may be this share of a depth's tolerance: then some step of it lands well inside the limits."""
SWUNG_STEP_MM = 0.05
"""Coarsest step of the carriage's scale for last cuts by the swung top slide: that shifts the tool along the bed, so
they end on no step of the roughing's, and may end only so far off the shoulder; common practice, no source."""
LAST_CUT_SHARE, LAST_CUT_STEP_MM = 0.35, 0.01
"""What each of two last cuts may take of a low step, and the steps in which that is offered; common practice."""
LAND_SHARE = 0.3
"""Least share of a pass along a step that must be straight, beyond the round of the tip, for its diameter to be read;
common practice, no source."""
SQUARE_DEG = 90.0
"""Least entering angle of a tool that leaves a square shoulder."""
CORNER_TOLERANCE_MM = 1e-9


def rough_id(surface: str) -> str:
    """Id of the step that roughs a cylinder."""
    return f"rough-{surface}"


def round_size(job: Job, surface: str) -> Size:
    """Diameter of a cylinder."""
    return job.size(surface, Aspect.DIAMETER)


def last_gauge_trouble(job: Job, step: Step, use: GaugeUse) -> NoWay | None:
    """Why no gauge of the shop can lead the two last cuts on a diameter: it is measured between them and after."""
    radii = turned(job, step.surface)
    between = None if radii is None else radii.rough_mm + radii.final_mm
    return gauge_trouble(job, step, round_size(job, step.surface), use, on_the_way_mm=between)


def rough_before(job: Job, side: Side) -> tuple[str, ...]:
    """Roughing that comes before any last cut on a diameter in the holdings of one side."""
    ledges = tuple(rough_id(ledge.surface) for ledge in job.ledges if ledge.side is side)
    return (rough_id(OUTSIDE), rough_id(BORE), *ledges) if side is Side.FRONT else ledges


class Turned(Struct, frozen=True, kw_only=True):
    """Radii of a cylinder through its two stages, as whole steps of the dials give them. [mm]

    ``before_mm`` stands before roughing, ``rough_mm`` after it, ``final_mm`` after the two last cuts; the steps are
    those of the cross-slide and of the scale that sets the size.
    """

    before_mm: float
    rough_mm: float
    final_mm: float
    rough_steps: int
    last_steps: int


def turned(job: Job, surface: str) -> Turned | None:
    """Radii of a cylinder through its stages; ``None`` if the cross-slide has no scale. Worked out once for a job."""
    key = ("turned", surface)
    if key not in job.memo:
        job.memo[key] = _turned(job, surface)
    return cast("Turned | None", job.memo[key])


def _turned(job: Job, surface: str) -> Turned | None:
    ledge = job.ledge(surface)
    inner = surface == BORE if ledge is None else ledge.inner
    before = _before_mm(job, surface, ledge)
    if job.cross is None or before is None:
        return None
    if surface == BORE and job.reaming is not None:
        return _turned_for_reaming(job.reaming, job.cross, before_mm=before)
    size = round_size(job, surface)
    stub = Step(id=surface, kind="", surface=surface, stage=Stage.FINISH, zones=())
    last = diameter_settings(job, stub, size, inside=inner)
    sign = 1.0 if inner else -1.0
    main = job.bore_radius_mm if inner else job.outside_radius_mm
    goal = main if ledge is None else ledge.radius_mm
    cut = job.last_cut(surface)
    rough, both = shared_steps(cut, job.cross, last, total_mm=sign * (goal - before), band_mm=float(size.band))
    rough_mm = before + sign * rough * job.cross.radius_per_step_mm
    step = job.cross.radius_per_step_mm if isinstance(last, NoWay) else last.scale.radius_per_step_mm
    return Turned(
        before_mm=before, rough_mm=rough_mm, final_mm=rough_mm + sign * both * step, rough_steps=rough, last_steps=both
    )


def _turned_for_reaming(reaming: Reaming, cross: Scale, *, before_mm: float) -> Turned:
    """Radii of a bore that is roughed to what a reamer may be left, and reamed."""
    steps = round((reaming.core_dia_mm / 2.0 - before_mm) / cross.radius_per_step_mm) if reaming.is_bored else 0
    return Turned(
        before_mm=before_mm,
        rough_mm=before_mm + steps * cross.radius_per_step_mm,
        final_mm=reaming.reamer.hole_dia_mm / 2.0,
        rough_steps=steps,
        last_steps=0,
    )


def rough_outside_mm(job: Job) -> float:
    """Radius of the outside while its last cuts are still to come. [mm]"""
    radii = turned(job, OUTSIDE)
    return job.outside_radius_mm + job.leaves_mm(OUTSIDE) if radii is None else radii.rough_mm


def _before_mm(job: Job, surface: str, ledge: Ledge | None) -> float | None:
    """Radius that stands before a cylinder is roughed: the bar, the hole, or the cylinder beyond its shoulder."""
    if ledge is None:
        return job.hole_radius_mm if surface == BORE else job.bar_radius_mm
    deeper = turned(job, ledge.deeper)
    if deeper is None:
        return None
    # on the second side the outside and the bore stand finished, what is cut there does not
    return deeper.final_mm if ledge.side is Side.BACK and ledge.of_main else deeper.rough_mm


class Along(Struct, frozen=True, kw_only=True):
    """How far along the bed a ledge is cut: fed by what, to which places in the work frame of its side. [mm]"""

    drive: FeedDrive
    scale: Scale
    shoulder_mm: float
    rough_mm: float


def shoulder_leave_mm(job: Job, scale: Scale) -> float:
    """What roughing leaves in front of a shoulder: whole steps of the scale that faces it. [mm]"""
    wanted = max(SHOULDER_LEAVE_MM, least_last_cut_mm(job.material))
    return steps_at_least(wanted, scale.length_per_step_mm) * scale.length_per_step_mm


def ledge_along(job: Job, ledge: Ledge) -> Along | NoWay:
    """Coarsest drive whose scale can set the depth of a shoulder: the usual one, else the top slide by hand."""
    key = ("along", ledge.surface)
    if key not in job.memo:
        job.memo[key] = _along(job, ledge)
    return cast("Along | NoWay", job.memo[key])


def _along(job: Job, ledge: Ledge) -> Along | NoWay:
    size = job.size(ledge.shoulder, Aspect.DEPTH)
    scales = [(drive, scale) for drive in _drives(job) if (scale := _scale_of(job, drive)) is not None]
    for drive, scale in scales:
        step = scale.length_per_step_mm
        depth = round(ledge.depth_mm / step) * step
        inside = float(size.cut_lower) <= depth <= float(size.cut_upper)
        if inside and step <= DEPTH_SHARE * float(size.band) + CORNER_TOLERANCE_MM:
            leave = shoulder_leave_mm(job, scale)
            return Along(drive=drive, scale=scale, shoulder_mm=-depth, rough_mm=leave - depth)
    stub = Step(id=ledge.shoulder, kind="", surface=ledge.shoulder, stage=Stage.WHOLE, zones=())
    if not scales:
        return no_length_scale(job, stub, "setting the depth of the shoulder")
    finest = min(scale.length_per_step_mm for _, scale in scales)
    wide = offers.wider(size, band_mm=finest / DEPTH_SHARE)
    return NoWay(
        step=ledge.shoulder,
        tried="setting the depth of the shoulder",
        why=f"its tolerance is {said(size.band, job.units, places=3)} wide and the finest step along the bed is "
        f"{said(finest, job.units, places=3)}",
        remedy="widen the limits of the depth, or fit the top slide or carriage with finer steps",
        code="depth-finer-than-scale",
        remedies=(
            *_finer_top(job, float(size.band)),
            AllowSize(surface=ledge.shoulder, aspect=Aspect.DEPTH, size=wide),
        ),
    )


def _finer_top(job: Job, band_mm: float) -> tuple[Remedy, ...]:
    finer = offers.with_readout(job.shop.lathe.top, step_mm=DEPTH_SHARE * band_mm)
    return () if finer is None else (FitSlide(slide=finer),)


def _drives(job: Job) -> tuple[FeedDrive, ...]:
    usual = along_drive(job, PARALLEL_SWING)
    top = FeedDrive(slide=job.shop.lathe.top)
    return tuple(drive for drive in (usual, top) if drive is not None)


def _scale_of(job: Job, drive: FeedDrive) -> Scale | None:
    return job.top if drive.handle is Handle.TOP else job.carriage


def last_drive(job: Job, along: Along, swing: Swing) -> FeedDrive | None:
    """What feeds the last cuts of a ledge: the same as before, unless the top slide is swung and cannot."""
    if swing == PARALLEL_SWING:
        return along.drive
    drive = along_drive(job, swing) if along.drive.handle is Handle.TOP else along.drive
    is_told = job.carriage is not None and job.carriage.length_per_step_mm <= SWUNG_STEP_MM
    return drive if is_told else None


def zone(job: Job, ledge: Ledge, name: str, *, depth_mm: float, radius_mm: float) -> Zone:
    """All metal of the bar in front of a depth and beyond a radius, on the side of a ledge."""
    if ledge.side is Side.FRONT:
        low, high = -depth_mm, job.face_stock_mm
    else:
        low, high = job.raw_back_mm, to_work_z(-depth_mm, side=Side.BACK, width_mm=job.width_mm)
    inside, beyond = (0.0, radius_mm) if ledge.inner else (radius_mm, job.bar_radius_mm)
    return Zone(id=name, surface=ledge.surface, region=rect(low, high, inside, beyond))


def rough_radius_mm(job: Job, ledge: Ledge) -> float:
    """Radius that roughing a ledge leaves, the share of the two last cuts aside. [mm]"""
    leave = job.leaves_mm(ledge.surface)
    return ledge.radius_mm + (-leave if ledge.inner else leave)


def rough_step(job: Job, ledge: Ledge, *, kind: str) -> Step:
    """Roughing a ledge short of its shoulder: the deepest of a stack first."""
    after = (FRONT_FACE,) if ledge.side is Side.FRONT else (BACK_FACE,)
    before = ledge.deeper if ledge.side is Side.BACK and ledge.of_main else rough_id(ledge.deeper)
    along = ledge_along(job, ledge)
    depth = ledge.depth_mm if isinstance(along, NoWay) else -along.rough_mm
    name = rough_id(ledge.surface)
    return Step(
        id=name,
        kind=kind,
        surface=ledge.surface,
        stage=Stage.ROUGH,
        zones=(zone(job, ledge, name, depth_mm=depth, radius_mm=rough_radius_mm(job, ledge)),),
        leaves_mm=job.leaves_mm(ledge.surface),
        after=(*after, before),
    )


def finish_step(job: Job, ledge: Ledge, *, kind: str) -> Step:
    """The two last cuts on a ledge, up to its shoulder: after the shoulder and after the cylinder beyond it."""
    segment = job.part.surface(ledge.surface)
    along = ledge_along(job, ledge)
    depth = ledge.depth_mm if isinstance(along, NoWay) else -along.shoulder_mm
    return Step(
        id=ledge.surface,
        kind=kind,
        surface=ledge.surface,
        stage=Stage.FINISH,
        zones=(zone(job, ledge, f"{ledge.surface}-finish", depth_mm=depth, radius_mm=ledge.radius_mm),),
        after=(ledge.shoulder, ledge.deeper, *rough_before(job, ledge.side)),
        truth_group=segment.truth_group if segment else None,
    )


def most_nose_mm(length_mm: float) -> float:
    """Largest nose of which a pass up to a shoulder, so long, leaves a diameter that a gauge can read. [mm]"""
    return (1.0 - LAND_SHARE) * length_mm + CORNER_TOLERANCE_MM


def square_trouble(job: Job, step: Step, tool: Tool) -> NoWay | None:
    """Why a tool cannot leave a square shoulder, no more round in its corner than is allowed, and a land to measure."""
    corner, ledge = job.part.corner_radius_mm, job.ledge(step.surface)
    most = corner if ledge is None else min(corner, floor(100.0 * most_nose_mm(ledge.length_mm)) / 100.0)
    if tool.entering_deg < SQUARE_DEG:
        why, code = (
            f"it enters at {tool.entering_deg:g}° and leaves a slope and no square shoulder",
            "shoulder-not-square",
        )
        remedy = "a right-hand tool that enters at 90° or a little more"
    elif tool.hand is not Hand.RIGHT:
        why, code = f"it is a {tool.hand.value}-hand tool and cannot cut towards the headstock", "wrong-hand"
        remedy = "a right-hand tool"
    elif tool.nose_radius_mm > corner + CORNER_TOLERANCE_MM:
        why = (
            f"its nose of {said_short(tool.nose_radius_mm, job.units)} is larger than the "
            f"{said_short(corner, job.units)} allowed in the corner"
        )
        smaller = (
            f"a tool with a nose of {said_short(corner, job.units)} or less, or "
            if corner >= offers.LEAST_NOSE_MM
            else ""
        )
        code, remedy = "nose-too-round", f"{smaller}allow a larger corner radius"
    elif ledge is not None and tool.nose_radius_mm > most + CORNER_TOLERANCE_MM:
        why = (
            f"its nose of {said_short(tool.nose_radius_mm, job.units)} leaves too little straight of a step "
            f"{said(ledge.length_mm, job.units)} long"
        )
        code, remedy = "nose-too-round", f"a tool with a nose of {said_short(most, job.units)} or less"
    else:
        return None
    fitting = replace(
        tool,
        id=f"{tool.id}-square",
        name=f"{tool.name}, square, nose {min(tool.nose_radius_mm, most):g} mm",
        hand=Hand.RIGHT,
        entering_deg=max(tool.entering_deg, SQUARE_DEG),
        nose_radius_mm=min(tool.nose_radius_mm, most),
        silhouette=(),
    )
    sharp_enough = most >= offers.LEAST_NOSE_MM
    remedies: tuple[Remedy, ...] = (AddToShop(thing=fitting),) if sharp_enough else _as_round_as(job, tool)
    return NoWay(step=step.id, tried=tool.name, why=why, remedy=remedy, code=code, remedies=remedies)


def _lighter_last_cuts(job: Job, ledge: Ledge) -> tuple[Remedy, ...]:
    """Last cuts that leave something to rough of a low step, if the metal bears cuts so light."""
    height_mm = abs(ledge.radius_mm - ledge.deeper_radius_mm)
    cut_mm = floor(LAST_CUT_SHARE * height_mm / LAST_CUT_STEP_MM) * LAST_CUT_STEP_MM
    borne = cut_mm > 0 and cut_mm >= least_last_cut_mm(job.material)
    return (LighterLastCuts(finish_cut_mm=round(cut_mm, 3)),) if borne else ()


def _as_round_as(job: Job, tool: Tool) -> tuple[Remedy, ...]:
    """A corner as round as the nose of a tool, or as the drawing bears, where no tool is sharp enough for its own."""
    corner = offers.corner_mm(job.part, max(offers.LEAST_NOSE_MM, tool.nose_radius_mm))
    return (AllowCorner(radius_mm=corner),) if corner >= offers.LEAST_NOSE_MM else ()


class Cutting(Struct, frozen=True, kw_only=True):
    """The passes of one stage of a cylinder, as a way needs them.

    ``steps`` of ``setting`` are taken from ``from_mm`` to ``to_mm`` (radii of path and zone), ``end_mm`` is where the
    passes end (work frame), ``largest_mm`` the largest radius that is cut. [mm]
    """

    setting: DiameterSetting
    drive: FeedDrive
    steps: int
    from_mm: float
    to_mm: float
    end_mm: float
    largest_mm: float


def ledge_cutting(job: Job, step: Step, ledge: Ledge) -> Cutting | NoWay:
    """Passes on a ledge in one of its stages, or why there can be none."""
    finish = step.stage is Stage.FINISH
    _, setting = settings_for(job, step, inside=ledge.inner)
    along, radii = ledge_along(job, ledge), turned(job, step.surface)
    if isinstance(setting, NoWay):
        return setting
    if isinstance(along, NoWay):
        return along
    if radii is None:
        return no_cross_scale(job, step, "setting the diameter")
    drive = last_drive(job, along, setting.swing)
    if drive is None:
        return NoWay(
            step=step.id,
            tried="feeding along to the shoulder",
            why="the top slide is swung for the diameter, and nothing tells to "
            f"{said_short(SWUNG_STEP_MM, job.units)} how far the carriage goes",
            remedy="fit the carriage with an indicator and enter it in the shop file, or widen the tolerance",
            code="no-length-scale",
            remedies=(FitSlide(slide=offers.with_indicator(job.shop.lathe.carriage, reach_mm=job.length_reach_mm)),),
        )
    if radii.rough_steps < 1 or _within_deeper(job, ledge, radii):
        return NoWay(
            step=step.id,
            tried="roughing the step",
            why=f"it is {said(abs(ledge.radius_mm - ledge.deeper_radius_mm), job.units)} high and the two last "
            f"cuts take {said(job.leaves_mm(ledge.surface), job.units)}",
            remedy="make the step higher, or the two last cuts shallower in the habits of the shop file",
            code="step-too-low",
            remedies=_lighter_last_cuts(job, ledge),
        )
    rough = rough_radius_mm(job, ledge)
    return Cutting(
        setting=setting,
        drive=drive,
        steps=radii.last_steps if finish else radii.rough_steps,
        from_mm=rough if finish else radii.before_mm,
        to_mm=ledge.radius_mm if finish else rough,
        end_mm=along.shoulder_mm if finish else along.rough_mm,
        largest_mm=_largest_mm(ledge, radii, finish=finish),
    )


def _within_deeper(job: Job, ledge: Ledge, radii: Turned) -> bool:
    """Whether the last cuts on the cylinder beyond the shoulder, which run over the step, take what it was left for."""
    deeper = turned(job, ledge.deeper)
    sign = 1.0 if ledge.inner else -1.0
    return deeper is not None and sign * (deeper.final_mm - radii.rough_mm) > CORNER_TOLERANCE_MM


def _largest_mm(ledge: Ledge, radii: Turned, *, finish: bool) -> float:
    """Largest radius that is cut in a stage of a ledge."""
    if ledge.inner:
        return radii.final_mm if finish else radii.rough_mm
    return radii.rough_mm if finish else radii.before_mm


def settings_for(job: Job, step: Step, *, inside: bool) -> tuple[DiameterSetting | NoWay, DiameterSetting | NoWay]:
    """How the diameter of a step's surface is set in its last cuts, and in the cuts of this very step."""
    last = _landing(job, step, diameter_settings(job, step, round_size(job, step.surface), inside=inside))
    if step.stage is Stage.FINISH or job.cross is None:
        return last, last
    # roughing goes by the cross-slide whatever the last cuts need
    return last, DiameterSetting(scale=job.cross, swing=PARALLEL_SWING)


def _landing(job: Job, step: Step, last: DiameterSetting | NoWay) -> DiameterSetting | NoWay:
    """The setting of the last cuts, if two equal ones of whole steps end inside the limits."""
    radii, size = turned(job, step.surface), round_size(job, step.surface)
    if isinstance(last, NoWay) or radii is None:
        return last
    off = abs(2.0 * radii.final_mm - float(size.cut_target))
    if off <= float(size.band) / 2.0 + CORNER_TOLERANCE_MM:
        return last
    return last_cuts_miss(job, step, size, off_mm=off, step_mm=last.scale.dia_per_step_mm)
