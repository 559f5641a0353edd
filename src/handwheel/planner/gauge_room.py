"""Room for a gauge: how far the tool is drawn off before measuring, by which handle, how long that takes."""

from __future__ import annotations

from types import MappingProxyType

from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle
from handwheel.planner.job import Job

ROOM_MM = MappingProxyType({GaugeUse.BORE: 120.0, GaugeUse.DEPTH: 120.0, GaugeUse.OUTSIDE: 40.0})
"""Room between tool and face that a gauge and the hand at it need; common practice, no source.

A bore gauge (three-point, telescoping) goes in along the axis, 100 to 130 mm long; a depth gauge stands across the face
with its thimble or beam along the axis, as long; the frame of a micrometer goes over the outside beside the toolpost.
"""
TURN_S = 1.0
"""Time of one turn of a handle that is wound in free air; common practice, no source."""
PUSHED_MM_S = 20.0
"""How fast a carriage goes by hand whose travel for one turn is not known; common practice, no source."""


def room_handle(job: Job, drive: Handle, use: GaugeUse) -> Handle | None:
    """Handle that makes the room while ``drive`` feeds along, if its travel allows; ``None`` if none may go."""
    if drive is Handle.CARRIAGE or job.carriage_comes_back:
        return Handle.CARRIAGE
    needed_mm = ROOM_MM[use] + job.length_reach_mm
    return Handle.TOP if job.shop.lathe.top.travel_mm >= needed_mm else None


def measuring_ms(job: Job, drive: Handle, use: GaugeUse, *, measured: int) -> int:
    """Time of measuring a diameter so many times, of room for it, and of setting the collar once. [ms]"""
    habits = job.shop.habits
    return round(1000 * (measured * habits.measure_s + habits.collar_s + room_s(job, drive, use, measured=measured)))


def room_s(job: Job, drive: Handle, use: GaugeUse, *, measured: int) -> float:
    """Time of making room and winding back, as often as is measured; a datum for the carriage is set once. [s]"""
    handle = room_handle(job, drive, use)
    if handle is None:
        return 0.0
    per_turn = job.shop.lathe.slide(handle).travel_per_turn_mm
    rate = per_turn / TURN_S if per_turn > 0 else PUSHED_MM_S
    datum = job.shop.habits.collar_s if handle is not drive else 0.0
    return 2.0 * measured * ROOM_MM[use] / rate + datum
