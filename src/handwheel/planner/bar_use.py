"""What becomes of a bar: how it is loaded, how many parts it gives, how much of it turns to chips."""

from __future__ import annotations

from math import floor, pi
from typing import cast

from msgspec import Struct

from handwheel.data.materials import Material
from handwheel.domain.acts import TailSupport
from handwheel.domain.bars import Bar
from handwheel.domain.contour import Contour
from handwheel.domain.part import Part
from handwheel.physics.deflection import second_moment_mm4
from handwheel.physics.whirl import SAFE_SHARE, whirl_speed_rpm
from handwheel.planner.job import Job

OVERHANG_DIAS = 5.0
"""An unsupported bar may stand out behind the spindle by this many of its diameters; common practice, no source."""
TENS_RPM = 10.0
"""A limit from whirling is rounded down to this: it is known no better."""
SAW_MM = 2.0
"""What a saw cut takes off a bar, with squaring the end; common practice, no source."""


class Loading(Struct, frozen=True, kw_only=True):
    """How a bar goes into the lathe: where its far end is, the piece that is loaded, how fast it may turn. [mm]

    ``max_rpm`` is the limit that the chuck sets, or an overhang that would whirl above it.
    """

    tail: TailSupport
    length_mm: float
    overhang_mm: float
    max_rpm: float


def loading(job: Job) -> Loading:
    """Load a bar whole if its end stays inside the spindle or only just comes out; else cut it to what goes in."""
    if "loading" not in job.memo:
        job.memo["loading"] = _loading(job)
    return cast("Loading", job.memo["loading"])


def _loading(job: Job) -> Loading:
    lathe, bar = job.shop.lathe, job.bar
    most = lathe.chuck.max_rpm
    if bar.largest_dia_mm > lathe.spindle_bore_dia_mm:
        blank = job.stick_out_mm + lathe.chuck.jaw_length_mm
        return Loading(tail=TailSupport.BLANK, length_mm=blank, overhang_mm=0.0, max_rpm=most)
    overhang = bar.length_mm - job.stick_out_mm - lathe.spindle_length_mm
    if overhang <= 0:
        return Loading(tail=TailSupport.INSIDE_SPINDLE, length_mm=bar.length_mm, overhang_mm=0.0, max_rpm=most)
    whirl = bar_whirl_rpm(bar, job.material, free_mm=bar.length_mm - job.stick_out_mm - lathe.chuck.jaw_length_mm)
    safe = TENS_RPM * floor(SAFE_SHARE * whirl / TENS_RPM)
    slowest = min(speed.rpm for speed in lathe.speeds)
    if overhang <= OVERHANG_DIAS * float(bar.dia_mm) and safe >= slowest:
        return Loading(
            tail=TailSupport.OVERHANGS, length_mm=bar.length_mm, overhang_mm=overhang, max_rpm=min(most, safe)
        )
    inside = float(int(job.stick_out_mm + lathe.spindle_length_mm))
    return Loading(tail=TailSupport.INSIDE_SPINDLE, length_mm=inside, overhang_mm=0.0, max_rpm=most)


def bar_whirl_rpm(bar: Bar, metal: Material, *, free_mm: float) -> float:
    """Whirling speed of a bar behind its grip; a hexagon as the round bar inside its flats. [rev/min]"""
    dia, bore = float(bar.dia_mm), float(bar.bore_mm)
    return whirl_speed_rpm(
        free_mm,
        e_n_mm2=metal.range("e_modulus").least * 1000.0,
        moment_mm4=second_moment_mm4(dia, bore_dia_mm=bore),
        section_mm2=bar.section_mm2,
        density_g_cm3=metal.range("density").most,
    )


# how many -----------------------------------------------------------------------------------------------------------


def parts_from_length(length_mm: float, *, kept_mm: float, first_facing_mm: float, each_mm: float) -> int:
    r"""How many parts a gripped length of bar gives, each of them parted off.

    .. math:: n = \lfloor (L - g - f) / (w + b + s) \rfloor

    Parameters
    ----------
    length_mm : float
        Length of the bar, L. [mm]
    kept_mm : float
        What stays in the chuck and in front of its jaws behind the last slot, g. [mm]
    first_facing_mm : float
        What the first facing takes, f. [mm]
    each_mm : float
        Width of a part, of the blade, and of what its second side loses: w + b + s. [mm]

    References
    ----------
    Practice case PC-27.

    Examples
    --------
    PC-27: 48 in of bar, 1.5 in grip, 0.02 in facing, ring 0.250, blade 0.100, second facing 0.015 in:

    >>> parts_from_length(48 * 25.4, kept_mm=1.5 * 25.4, first_facing_mm=0.02 * 25.4, each_mm=0.365 * 25.4)
    127
    """
    return max(0, floor((length_mm - kept_mm - first_facing_mm) / each_mm + 1e-9))


class BarYield(Struct, frozen=True, kw_only=True):
    """What one bar of the rack gives: parts, from how many pieces, and the share of its length that is in no part."""

    parts: int
    pieces: int
    lost_share: float


def each_mm(job: Job) -> float:
    """Length of bar that each part takes: its width, the blade, what facing takes from either side of it. [mm]

    The sheet faces the bar anew for every part, not for the first alone.
    """
    return job.face_stock_mm + job.width_mm + job.blade.width_mm + job.back_allowance_mm


def kept_mm(job: Job) -> float:
    """Length that stays: in the jaws, and in front of them behind the last parting slot. [mm]"""
    return job.kerf_end_mm - job.jaw_face_mm + job.shop.lathe.chuck.jaw_length_mm


def bar_yield(job: Job) -> BarYield:
    """How many parts the whole bar gives, cut up as it has to be."""
    found, whole = loading(job), job.bar.length_mm
    piece = min(found.length_mm, whole)
    count, rest = divmod(whole + SAW_MM, piece + SAW_MM)
    lengths = [piece] * int(count) + ([rest - SAW_MM] if rest > SAW_MM else [])
    if found.tail is TailSupport.BLANK:
        counts = [int(length >= piece) for length in lengths]
    else:
        counts = [_from_piece(job, length) for length in lengths]
    parts = sum(counts)
    return BarYield(parts=parts, pieces=sum(1 for n in counts if n), lost_share=1.0 - parts * job.width_mm / whole)


def _from_piece(job: Job, length_mm: float) -> int:
    return parts_from_length(length_mm, kept_mm=kept_mm(job), first_facing_mm=0.0, each_mm=each_mm(job))


# chips --------------------------------------------------------------------------------------------------------------


def part_volume_mm3(part: Part) -> float:
    """Volume of the finished part; arcs count as straight. [mm³]"""
    return _turned_volume_mm3(part.outer) - _turned_volume_mm3(part.inner)


def _turned_volume_mm3(contour: Contour) -> float:
    """Volume between a contour and the axis: frustums. [mm³]"""
    return sum(
        pi
        / 3.0
        * (segment.start.z_mm - segment.end.z_mm)
        * (segment.start.radius_mm**2 + segment.start.radius_mm * segment.end.radius_mm + segment.end.radius_mm**2)
        for segment in contour.segments
    )


def chip_share(part: Part, *, section_mm2: float, taken_mm: float) -> float:
    """Share of the bar used for a part that does not end up in it."""
    return 1.0 - part_volume_mm3(part) / (section_mm2 * taken_mm)
