"""Tapping the bore by hand: power off, spindle held, the tap guided by the tailstock's centre."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.domain import acts as a
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE, FRONT_INNER_EDGE
from handwheel.domain.plan import Stage, Step
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said, said_short
from handwheel.planner import offers
from handwheel.planner.job import Job
from handwheel.planner.kinds.drill import clear_toolpost
from handwheel.planner.way import Kind, NoWay, Way
from handwheel.planner.writer import Writer

TAP_STEP = "tap"
SECONDS_A_TURN = 6.0
"""Time of a turn of the tap, half a turn back each half turn included; common practice, no source."""
SET_UP_S = 120.0
"""Centre into the tailstock, spindle held, tap and wrench set; common practice, no source."""


def _steps(job: Job) -> Iterable[Step]:
    if job.part.thread is None:
        return
    edge = (FRONT_INNER_EDGE,) if job.part.surface(FRONT_INNER_EDGE) is not None else ()
    yield Step(id=TAP_STEP, kind="tap", surface=BORE, stage=Stage.WHOLE, zones=(), after=(BORE, *edge))


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    thread = job.part.thread
    if thread is None or holding.side is not Side.FRONT:
        return
    tap = job.tap
    if tap is None:
        yield NoWay(
            step=step.id,
            code="no-tap",
            tried="every tap of the shop",
            why=f"none cuts {thread.designation}",
            remedy=f"add a tap {thread.designation}",
            remedies=(AddToShop(thing=offers.tap(thread)),),
        )
        return
    if job.part.surface(FRONT_INNER_EDGE) is None:
        yield NoWay(
            step=step.id,
            code="no-thread-entry",
            tried=f"tap {tap.id}",
            why="the front inner edge is sharp: a tap does not start straight, and raises a burr over the face",
            remedy="give the front inner edge a bevel up to the thread's outside, "
            f"{said_short(thread.major_mm, job.units)}",
        )
        return
    deep = -job.kerf_end_mm + tap.lead_mm
    if tap.length_mm < deep:
        yield NoWay(
            step=step.id,
            code="tap-too-short",
            tried=f"tap {tap.id}",
            why=f"it cuts {said_short(tap.length_mm, job.units)} deep, and {said(deep, job.units, places=1)} are "
            "needed for its lead to come through",
            remedy="a longer tap, or tap the part after it is parted",
            remedies=(AddToShop(thing=offers.tap(thread, length_mm=deep)),),
        )
        return
    turns = deep / float(thread.pitch_mm)
    yield Way(
        id=f"{step.id}/{holding.id}/{tap.id}",
        step=step,
        holding=holding,
        cut_ms=round(1000 * (SECONDS_A_TURN * 2.0 * turns)),
        extra_ms=round(1000 * SET_UP_S),
    )


def _write(w: Writer, way: Way) -> None:
    tap, thread = w.job.tap, w.job.part.thread
    if tap is None or thread is None:
        msg = f"way {way.id}: has no tap or thread"
        raise ValueError(msg)
    w.stop()
    clear_toolpost(w)
    turns = (-w.job.kerf_end_mm + tap.lead_mm) / float(thread.pitch_mm)
    w.hand(
        a.HandKind.TAP,
        f"Tap {thread.designation}. On tap and hole: {w.job.material.lubricant_at_the_cut}. Tap on the centre of the "
        "tailstock, wrench or carrier against nothing that can swing; turn it in by hand and follow with the quill; "
        f"half a turn back after each half turn forward; about {turns:.0f} turns, until its lead is through; wind it "
        "out by hand.",
        surface=BORE,
        tool=tap.id,
        says=("tap-power-off",),
    )
    w.hand(
        a.HandKind.CLEAR_CHIPS,
        "Brush the chips out of the thread; try its screw in it before it is parted.",
        says=("chips-not-by-hand",),
    )


KIND = Kind(name="tap", steps=_steps, ways=_ways, write=_write, title=lambda _: "Tap the bore by hand")
