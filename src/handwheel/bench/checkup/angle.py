"""The top slide's scale by winding: from which side it counts, and how far its zero is out."""

from __future__ import annotations

from math import radians, sin, sqrt

from msgspec import Struct

from handwheel.bench.checkup import shared
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Instruction, KeyChange, Outcome, Trial, asks
from handwheel.domain.errors import InputError
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle
from handwheel.domain.shop import Shop
from handwheel.domain.slides import QUARTER_DEG
from handwheel.physics.few_readings import Component, Estimate, estimate
from handwheel.physics.top_slide_angle import (
    STEEPEST_DEG,
    fine_feed_ratio,
    winding_angle_deg,
    winding_angle_standard_deg,
)

WOUND_MM = 10.0
"""What is wound, unless the travel allows more; practice case PC-21. [mm]"""
ALONG, ACROSS = "along the axis", "across the axis"
NEAR_DEG = 3.0
"""A scale's zero is seldom out by more than this; beyond it something else was read; own judgement. [deg]"""


class _Reading(Struct, frozen=True, kw_only=True):
    """An angle that was found, and what the scale showed. [deg]"""

    angle: Estimate
    scale_deg: float


def _matters(shop: Shop) -> str:
    scale = shop.lathe.top.angle_scale
    if scale is None:
        return "The shop file has no scale for the top slide: it stays parallel. Winding tells how true that is."
    zero = ALONG if scale.zero_along_axis else ACROSS
    return (
        f"The shop file says that the scale shows 0 {zero}. If it is the other, a fine feed of 10 to 1 becomes a "
        "cut of nearly all that is wound. At 10 to 1 a degree more makes the cut a sixth too deep."
    )


def _settles(_: Shop) -> tuple[str, ...]:
    return ("lathe.top_slide.angle_scale.zero",)


def _instructions(shop: Shop) -> tuple[Instruction, ...]:
    dial = shop.lathe.top.dial
    by = f"{float(WOUND_MM / dial.travel_per_mark_mm):g} marks" if dial else "by a rule or caliper"
    far = shared.long(WOUND_MM, shop.units)
    return (
        shared.at_rest("Set the top slide to the figure that is to be tried, and lock it. Keep away from 45°."),
        shared.act("Stand an indicator square to the axis of the lathe, its tip against the side of the tool post."),
        shared.act("Wind the top slide until its slack is out. Set the indicator to 0."),
        shared.act(f"Wind on the same way, {far} of its own travel ({by}); less if the indicator has less."),
        shared.act("Note how far it went across: with a minus, if the slide is swung the other way than it should."),
        shared.act("Wind back past the slack, and do it again, three times."),
        shared.act("For the zero alone set the scale so that the slide is parallel, and enter what it then shows."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    wound = (
        Field(
            key="marks",
            says="marks wound, one way",
            kind=Kind.NUMBER,
            low=1.0,
            high=10_000.0,
            unit="marks",
            needed=False,
        )
        if shop.lathe.top.dial
        else None
    )
    return (
        Field(key="scale", says="figure that the scale showed", kind=Kind.NUMBER, low=0.0, high=90.0, unit="degrees"),
        *((wound,) if wound else ()),
        Field(key="wound", says="the same as travel, if it was measured", low=0.5, high=200.0, needed=False),
        Field(key="across", says="how far the tip went across, each time", low=-200.0, high=200.0, most=20),
        shared.gauge_field(shop, GaugeUse.RUNOUT, GaugeUse.DEPTH),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    if entry.has("marks") is entry.has("wound"):
        msg = "angle: enter marks, or wound where the slide has no dial; one of them, and not both"
        raise InputError((msg,))
    setting = shared.setting_of(shop.lathe.top)
    wound_mm = entry.one("marks") * setting.per_unit_mm if entry.has("marks") else entry.one("wound")
    standard_mm = sqrt(2.0) * setting.standard_mm if entry.has("marks") else 0.0
    if max(map(abs, entry.all("across"))) > wound_mm:
        msg = (
            f"angle: across {shared.long(max(map(abs, entry.all('across'))), shop.units)} is more than was wound, "
            f"{shared.long(wound_mm, shop.units)}; exchange them, or check the marks"
        )
        raise InputError((msg,))
    gauge = shop.gauge(entry.word("gauge"))
    if max(map(abs, entry.all("across"))) > gauge.high_mm:
        return asks(f"{gauge.name} does not go so far. Which gauge was it, or which figure?")
    across = shared.difference(shop, entry, ("across",), weights=(1.0,))
    if abs(across.value) > wound_mm * sin(radians(STEEPEST_DEG)):
        return asks(
            "The tip went across by nearly all that was wound: the slide stands within "
            f"{QUARTER_DEG - STEEPEST_DEG:g}° of "
            "square to the axis, where winding tells no angle. Did you mean to set it so? If the scale showed a small "
            "figure, it counts from across the axis. Try it at 30."
        )
    sines = [each / wound_mm for each in entry.all("across")]
    angle = swung_angle(
        across, wound_mm=wound_mm, setting_mm=standard_mm / sqrt(len(sines)), has_rate=entry.has("marks")
    )
    return _found(shop, entry, _Reading(angle=angle, scale_deg=entry.one("scale")))


def swung_angle(across: Estimate, *, wound_mm: float, setting_mm: float, has_rate: bool) -> Estimate:
    """Angle from the axis by how far the tip went across; the travel is doubted as far as its screw is. [deg]"""
    value = winding_angle_deg(across.value, wound_mm=wound_mm)
    of_reading = winding_angle_standard_deg(
        abs(value), wound_mm=wound_mm, across_standard_mm=min(across.standard, wound_mm), rate=0.0
    )
    of_travel = winding_angle_standard_deg(
        abs(value),
        wound_mm=wound_mm,
        across_standard_mm=min(setting_mm * abs(across.value) / wound_mm, wound_mm),
        rate=shared.LEAD_RATE if has_rate else 0.0,
    )
    return estimate(value, (Component(standard=of_reading, freedom=across.freedom), Component(standard=of_travel)))


def _found(shop: Shop, entry: Entry, read: _Reading) -> Outcome:
    out = {ALONG: read.angle.value - read.scale_deg, ACROSS: read.angle.value - (QUARTER_DEG - read.scale_deg)}
    stands = (
        f"The slide stands {read.angle.value:.2f}° from the axis of the lathe, give or take "
        f"{read.angle.half_width:.2g}°; {QUARTER_DEG - read.angle.value:.2f}° from across it."
    )
    said = [stands]
    if read.angle.value > 0:
        said.append(f"What it is wound goes {fine_feed_ratio(read.angle.value):.2f} to 1 into the depth of cut.")
    clear = NEAR_DEG + read.angle.half_width
    fits = [zero for zero, error in out.items() if abs(error) <= clear]
    if len(fits) != 1:
        either = "Does the scale count from along or across the axis? At 45° both are alike: try it at another figure."
        neither = (
            f"The scale showed {read.scale_deg:g}°, which is neither this nor what is left to 90°. Is the figure "
            "right, were the marks counted, was the slack out?"
        )
        return asks(either if fits else neither, verdicts=tuple(said))
    zero = fits[0]
    error = Estimate(value=out[zero], standard=read.angle.standard, freedom=read.angle.freedom)
    more = "more" if error.value >= 0.0 else "less"
    said.append(
        f"So the scale shows 0 {zero}. The slide is swung {abs(error.value):.2f}° {more} than it shows, give or take "
        f"{error.half_width:.2g}°."
    )
    if error.low <= 0.0 <= error.high:
        said.append("A true zero would fit these readings too.")
    return Outcome(
        verdicts=tuple(said),
        cannot_tell=(
            "whether the zero is out by as much at other figures: try two, far apart",
            "the lead of the top slide: it is believed, and at steep angles the result hangs on it",
        ),
        measured=(_measured(entry, error),),
        changes=_changes(shop, zero),
    )


def _changes(shop: Shop, zero: str) -> tuple[KeyChange, ...]:
    scale = shop.lathe.top.angle_scale
    if scale is None or scale.zero_along_axis is (zero == ALONG):
        return ()
    return (KeyChange(path="lathe.top_slide.angle_scale.zero", value=zero, why="winding told which way it counts"),)


def _measured(entry: Entry, error: Estimate) -> Measured:
    return Measured(
        quantity="angle error",
        value=error.value,
        spread=error.spread,
        unit="degrees",
        evidence=f"wound at {entry.one('scale'):g}, {shared.counted(entry, 'across')}",
        thing=Handle.TOP.value,
    )


TRIAL = Trial(
    key="angle",
    title="Scale of the top slide, by winding",
    gives="from which side the scale counts, and how far its zero is out",
    matters=_matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
