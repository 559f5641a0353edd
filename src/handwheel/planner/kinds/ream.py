"""Reaming: a machine reamer in the tailstock brings the bore to size in one pass, in place of the two last cuts."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.drill_feeds import drill_feeds
from handwheel.data.forces import force_models
from handwheel.data.reaming import Reaming as ReamingTable
from handwheel.data.reaming import reaming_range
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain import acts as a
from handwheel.domain.errors import DataTableError
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.hole_tools import Reamer
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import BORE, FRONT_FACE
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.said import said, said_range, said_short
from handwheel.physics.drilling import worn_drill_torque_band_nm
from handwheel.physics.drive import listed_power_w
from handwheel.physics.force import ForceEstimate
from handwheel.physics.power import torque_at_speed_nm
from handwheel.physics.speed import cutting_speed_m_min, turning_time_s
from handwheel.planner.cut_case import Feed, Load, Schedule
from handwheel.planner.cut_limits import POWER, TORQUE
from handwheel.planner.job import Job, Reaming, rect
from handwheel.planner.kinds.common import gauge_trouble
from handwheel.planner.kinds.drill import (
    TAILSTOCK_UP,
    clear_toolpost,
    last_drill_step,
    measure_hole,
    quill_back,
    tailstock_away,
    with_pace,
)
from handwheel.planner.kinds.rounds import rough_before, rough_id, turned
from handwheel.planner.quill import quill_trouble
from handwheel.planner.way import Kind, NoWay, Way
from handwheel.planner.writer import Writer, exact

ENTER_MM = 0.01
"""How much larger than the small end of the lead the hole must be."""


class ReamCut(Struct, frozen=True, kw_only=True):
    """Speed, feed, time and torque of a reamer."""

    speed: SpindleSpeed
    low_mm_rev: float
    high_mm_rev: float
    seconds: float
    torque_nm: tuple[float, float]
    binds: str
    loads: tuple[Load, ...] = ()


def _steps(job: Job) -> Iterable[Step]:
    if job.reaming is None:
        return
    segment = job.part.surface(BORE)
    before = rough_id(BORE) if job.reaming.is_bored else last_drill_step(job)
    region = rect(job.ream_end_mm, job.face_stock_mm, 0.0, job.bore_radius_mm)
    yield Step(
        id=BORE,
        kind="ream",
        surface=BORE,
        stage=Stage.FINISH,
        zones=(Zone(id="bore-reamed", surface=BORE, region=region),),
        after=(before, *rough_before(job, Side.FRONT)),
        truth_group=segment.truth_group if segment else None,
    )


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if job.reaming is None or holding.side is not Side.FRONT:
        return
    reamer = job.reaming.reamer
    if (trouble := quill_trouble(job.shop, step)) is not None:
        yield trouble
        return
    if (trouble := gauge_trouble(job, step, job.bore_size, GaugeUse.BORE)) is not None:
        yield trouble
        return
    if (trouble := _unfit(job, step, job.reaming) or _unread(job, step, job.reaming)) is not None:
        yield trouble
        return
    cut = ream_cut(job, reamer, max_rpm=holding.max_rpm)
    if isinstance(cut, str):
        yield NoWay(
            step=step.id,
            code="reamer-not-driven",
            tried=f"{reamer.kind.value} {reamer.id}",
            why=cut,
            remedy="bore it, or a slower speed by back gear or another belt",
        )
        return
    habits = job.shop.habits
    yield Way(
        id=f"{step.id}/{holding.id}/{reamer.id}",
        step=step,
        holding=holding,
        reamer=reamer,
        schedule=_as_schedule(reamer, cut),
        cut_ms=round(1000 * (2.0 * cut.seconds + habits.handling_s)),
        extra_ms=round(1000 * (habits.touch_s + habits.measure_s)),
    )


def core_radius_mm(job: Job) -> float:
    """Radius of the hole that the reamer finds: drilled, or bored by whole steps of the dial."""
    radii = turned(job, BORE)
    return job.hole_radius_mm if radii is None else radii.rough_mm


def _unfit(job: Job, step: Step, reaming: Reaming) -> NoWay | None:
    """Why a reamer does not suit the hole before it or the depth, or ``None``."""
    reamer, core = reaming.reamer, 2.0 * core_radius_mm(job)
    tried = f"{reamer.kind.value} {reamer.id}"
    left, (least, most) = float(reamer.dia_mm) - core, reaming.allowance_mm
    if not least - 1e-6 <= left <= most + 1e-6:
        return NoWay(
            step=step.id,
            code="reaming-allowance",
            tried=tried,
            why=f"the hole before it, Ø {said(core, job.units, places=3)}, leaves "
            f"{said(left, job.units, places=3)}; it takes {said_range(least, most, job.units)}",
            remedy="a drill nearer to the reamer's size, or a finer dial on the cross-slide",
        )
    if core < reamer.lead_dia_mm + ENTER_MM:
        return NoWay(
            step=step.id,
            code="reamer-does-not-enter",
            tried=tried,
            why=f"the small end of its lead is Ø {said(reamer.lead_dia_mm, job.units)} and the hole Ø "
            f"{said(core, job.units)}",
            remedy="a reamer with a longer lead",
        )
    deep = job.face_stock_mm - job.ream_end_mm + reamer.lead_mm
    if reamer.flute_mm < deep:
        return NoWay(
            step=step.id,
            code="flutes-too-short",
            tried=tried,
            why=f"its flutes are {said_short(reamer.flute_mm, job.units)} long, and it goes "
            f"{said(deep, job.units, places=1)} in",
            remedy="a longer reamer, or bore the hole",
        )
    return None


def _unread(job: Job, step: Step, reaming: Reaming) -> NoWay | None:
    """Why nobody could tell whether boring has left the reamer its allowance, or ``None``."""
    core = 2.0 * core_radius_mm(job)
    gauges = (gauge for gauge in job.shop.gauges if GaugeUse.BORE in gauge.uses)
    if not reaming.is_bored or any(gauge.low_mm <= core <= gauge.high_mm for gauge in gauges):
        return None
    return NoWay(
        step=step.id,
        code="no-gauge-in-range",
        tried=f"{reaming.reamer.kind.value} {reaming.reamer.id}",
        why=f"no gauge of the shop measures the bore of {said(core, job.units)} that the reamer is to find",
        remedy="add the gauge that you will use to the shop file",
    )


def ream_cut(job: Job, reamer: Reamer, *, max_rpm: float) -> ReamCut | str:
    """How a reamer is run, or why it cannot be: half the speed of a drill, one to two times its feed."""
    dia, shop = float(reamer.dia_mm), job.shop
    try:
        speeds = cutting_speed(job.material, edge=Edge.HSS, cut=CutKind.REAM)
    except DataTableError as error:
        return str(error)
    share = reaming_range(ReamingTable.FEED_SHARE, reamer.kind)
    feeds = drill_feeds(dia, job.material)
    low, high = share.least * feeds[0], share.most * feeds[1]
    travel = shop.lathe.tailstock.quill.travel_per_turn_mm
    depth = -job.ream_end_mm + reamer.lead_mm
    usable = [
        speed
        for speed in shop.lathe.speeds
        if speed.fastest_rpm <= max_rpm and cutting_speed_m_min(speed.fastest_rpm, cut_dia_mm=dia) <= speeds.high_m_min
    ]
    for speed in sorted(usable, key=lambda speed: -speed.rpm):
        fastest = 60.0 * travel / (shop.habits.hand_pace_fast_s * speed.rpm) if travel > 0 else high
        slowest = 60.0 * travel / (shop.habits.hand_pace_slow_s * speed.rpm) if travel > 0 else low
        least, most = max(low, slowest), min(high, fastest)
        torque = _torque_nm(job, reamer, most)
        power = torque_at_speed_nm(listed_power_w(shop.lathe, speed), speed_rpm=speed.fastest_rpm)
        limits = [(power, POWER)]
        if speed.torque_limit_nm is not None:
            limits.append((speed.torque_limit_nm, f"{TORQUE} in {speed.position}"))
        if least > most or torque[1] > min(limits)[0]:
            continue
        seconds = turning_time_s(depth, feed_mm_rev=(least + most) / 2.0, speed_rpm=speed.rpm)
        return ReamCut(
            speed=speed,
            low_mm_rev=least,
            high_mm_rev=most,
            seconds=seconds,
            torque_nm=torque,
            binds="cutting speed",
            loads=tuple(Load(limit=words, share=torque[1] / limit) for limit, words in limits),
        )
    return (
        f"no speed of the list turns a reamer of Ø {said_short(dia, job.units)} slowly enough, and with a feed "
        "that a hand keeps even"
    )


def _torque_nm(job: Job, reamer: Reamer, feed_mm_rev: float) -> tuple[float, float]:
    """Least and greatest torque over the sources: that of a drill that opens the same hole. [N·m]"""
    constant = job.material.find("kd_drilling")
    return worn_drill_torque_band_nm(
        force_models(job.material),
        drill_dia_mm=float(reamer.dia_mm),
        feed_mm_rev=feed_mm_rev,
        hole_dia_mm=2.0 * core_radius_mm(job),
        work_constant=constant.most if constant else None,
    )


def _as_schedule(reamer: Reamer, cut: ReamCut) -> Schedule:
    dia = float(reamer.dia_mm)
    low, high = (2000.0 * torque / dia for torque in cut.torque_nm)
    return Schedule(
        depth_steps=(1,),
        speed=cut.speed,
        feed=Feed(kind=a.FeedKind.HAND, low_mm_rev=cut.low_mm_rev, high_mm_rev=cut.high_mm_rev),
        cutting_speed_m_min=cutting_speed_m_min(cut.speed.rpm, cut_dia_mm=dia),
        pass_s=cut.seconds,
        force=ForceEstimate(low_n=low, high_n=high, chip_thickness_mm=cut.low_mm_rev / 2.0, in_range=True),
        power_w=cut.torque_nm[1] * cut.speed.rpm * 0.10472,
        torque_nm=cut.torque_nm[1],
        binds=cut.binds,
        total_ms=round(1000 * cut.seconds),
        loads=cut.loads,
    )


def _write(w: Writer, way: Way) -> None:
    reamer, found = way.reamer, way.schedule
    if reamer is None or found is None:
        msg = f"way {way.id}: has no reamer or schedule"
        raise ValueError(msg)
    quill = w.slide(Handle.QUILL)
    w.stop()
    clear_toolpost(w)
    w.hand(
        a.HandKind.CLEAR_CHIPS,
        "Brush every chip out of the hole: a chip under a lip spoils the size.",
        says=("chips-not-by-hand",),
    )
    w.act(a.FitReamer, reamer=reamer.id, note=TAILSTOCK_UP)
    w.drill = reamer.id
    feed = with_pace(found.feed, quill.travel_per_turn_mm, found.speed.rpm)
    w.run_at(replace(found, feed=feed), cut_dia_mm=float(reamer.dia_mm), handle=Handle.QUILL)
    w.start()
    w.act(
        a.Touch,
        handle=Handle.QUILL,
        motion=Motion.LEFT,
        surface=FRONT_FACE,
        contact="lead of the reamer, at the rim of the hole,",
    )
    w.zero(Handle.QUILL, FRONT_FACE, 0.0)
    scale = w.scale(Handle.QUILL)
    if scale is None:
        return
    # the lead stands in the hole already when it touches the rim
    narrow, wide = reamer.lead_dia_mm / 2.0, reamer.hole_dia_mm / 2.0
    inside = reamer.lead_mm * (w.bore_dia_mm / 2.0 - narrow) / (wide - narrow)
    steps = -(-exact(-w.job.ream_end_mm + reamer.lead_mm - inside) // scale.step_mm)
    place = steps * scale.step_mm
    reached = float(place) + inside - reamer.lead_mm
    w.act(
        a.ReamHole,
        setting=w.setting(Handle.QUILL, place, Motion.LEFT, -reached),
        lead_mm=reamer.lead_mm,
        seconds=found.pass_s,
        note=quill_back(w),
        says=("reamer-backwards",),
    )
    tailstock_away(w, "reamer")
    w.bore_dia_mm = reamer.hole_dia_mm
    measure_hole(w)


KIND = Kind(name="ream", steps=_steps, ways=_ways, write=_write, title=lambda _: "Ream the bore")
