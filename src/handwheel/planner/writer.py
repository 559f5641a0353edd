"""Writes the acts of a sheet while keeping account of where every slide stands.

The writer follows the same machine as the person will: it knows the tool's place, what each collar shows and from which
side each screw was last turned, so that every expected size on the sheet is what the settings really give. It decides
nothing about the order; kinds of steps call its small vocabulary.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import cos, radians, sin
from typing import TypeVar, cast

from handwheel.data.materials import CautionKind
from handwheel.domain import acts as a
from handwheel.domain.findings import Finding, Reason
from handwheel.domain.holding import Holding
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.part import BORE, Aspect
from handwheel.domain.shop import Gauge, GaugeUse, Slide, Tool
from handwheel.geometry.tool_shapes import STANDS_OUT_MM
from handwheel.planner.dialing import (
    Scale,
    back_off_marks,
    cross_scale,
    top_scale,
    turns_and_marks,
)
from handwheel.planner.job import Job
from handwheel.planner.passes import Feed, Schedule
from handwheel.planner.way import PARALLEL_SWING, Swing, Way, Zero

CLEAR_MM = 2.0
"""Distance by eye at which a tool stands clear of the work; common practice, no source."""
CHECK_TRAVEL_MM = 10
"""Least top-slide travel of the check move after swinging (practice case PC-21): whole turns, at least this."""
TINY_MM = 1e-9

_ActT = TypeVar("_ActT", bound=a.ActBase)

KNOCK_OFF = "knock the feed off just before a mark and wind the rest by hand, without a pause"
_CANONICAL = {Motion.IN: 1, Motion.OUT: -1, Motion.LEFT: 1, Motion.RIGHT: -1}


def exact(value_mm: float) -> Fraction:
    """A by-eye distance as a fraction, to the nanometre."""
    return Fraction(value_mm).limit_denominator(10**6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """How far a cut runs: to a place counted from the handle's zero, or (no place) a way by eye.

    ``depth_from_mm`` is the x of a kissed corner: then the depth below it is expected instead of a diameter.
    """

    way_mm: Fraction = Fraction(0)
    place_mm: Fraction | None = None
    depth_from_mm: float | None = None


def gauge_use(surface: str, aspect: Aspect) -> GaugeUse:
    """What kind of gauge a dimension needs."""
    if aspect is not Aspect.DIAMETER:
        return GaugeUse.LENGTH
    return GaugeUse.BORE if surface == BORE else GaugeUse.OUTSIDE


class Writer:
    """The sheet so far and the machine behind it."""

    def __init__(self, job: Job) -> None:
        """Start with the spindle at rest, the post empty and nothing held."""
        self.job = job
        self.shop = job.shop
        self.lathe = job.shop.lathe
        self.acts: list[a.Act] = []
        self.reasons: list[Reason] = []
        self.findings: list[Finding] = []
        self.step = ""
        self.holding: Holding | None = None
        self.tool: Tool | None = None
        self.drill = ""
        self.swing = PARALLEL_SWING
        self.live = Zero.NONE
        self.z_mm, self.x_mm = 0.0, 0.0
        self.face_mm = 0.0
        self.outside_dia_mm = 0.0
        self.bore_dia_mm = 0.0
        self.depth_place = Fraction(0)
        self.groove_wall_mm = 0.0
        self.pass_end_mm: float | None = None
        self.running = False
        self.rpm = 0.0
        self.speed_dia_mm = 0.0
        self.feed: tuple[Handle, Feed] | None = None
        self.locked: set[Handle] = set()
        self.cautions: list[str] = []
        self.hazards_said: set[str] = set()
        self.edges_cut: dict[str, float] = {}
        self._place: dict[Handle, Fraction] = {}
        self._zeros: dict[Handle, str] = {}
        self._zero_count = 0

    # acts ------------------------------------------------------------------------------------------------------

    def act(self, kind: type[_ActT], /, *, note: str = "", **fields: object) -> _ActT:
        """Append an act; pending cautions stand before it."""
        made = kind(id=f"a{len(self.acts) + 1:03d}", step=self.step, cautions=tuple(self.cautions), note=note, **fields)
        self.cautions = []
        self.acts.append(cast("a.Act", made))  # every kind of act is a member of the union
        return made

    def caution(self, text: str) -> None:
        """Put a caution before the next act, once in a step."""
        said = {text for act in self.acts if act.step == self.step for text in act.cautions}
        if text not in said and text not in self.cautions:
            self.cautions.append(text)

    # spindle, tool, slides -------------------------------------------------------------------------------------

    def stop(self) -> None:
        """Stop the spindle if it runs."""
        if self.running:
            self.act(a.StopSpindle)
            self.running = False

    def start(self) -> None:
        """Start the spindle if it stands."""
        if not self.running:
            self.act(a.StartSpindle)
            self.running = True

    def lock(self, handle: Handle) -> None:
        """Lock a slide if it is free."""
        if handle not in self.locked:
            self.act(a.Lock, handle=handle)
            self.locked.add(handle)

    def unlock(self, handle: Handle) -> None:
        """Free a slide if it is locked."""
        if handle in self.locked:
            self.act(a.Unlock, handle=handle)
            self.locked.discard(handle)

    def prepare(self, way: Way) -> None:
        """Tool and angle of a way, with what they cost in zeros."""
        if way.tool is not None and (self.tool is None or self.tool.id != way.tool.id):
            self.fit(way.tool, way.reach_mm)
        if way.swing is not None and way.swing != self.swing:
            self.swing_to(way.swing)

    def fit(self, tool: Tool, need_mm: float) -> None:
        """Clamp a tool; a blade or bar no further out than it needs."""
        self.stop()
        note = "no further out than this: stiffness falls with the cube of the reach" if tool.reach_mm else ""
        out = (need_mm or tool.reach_mm) if tool.reach_mm else STANDS_OUT_MM
        self.act(a.FitTool, tool=tool.id, stands_out_mm=out, note=note)
        self.tool = tool
        self.forget_zeros()

    def swing_to(self, swing: Swing) -> None:
        """Swing the top slide."""
        self.stop()
        scale = self.lathe.top.angle_scale
        along = scale is None or scale.zero_along_axis
        angle = radians(float(swing.angle_deg))
        lead = self.lathe.top.travel_per_turn_mm
        check = lead * -(-CHECK_TRAVEL_MM // lead) if lead else float(CHECK_TRAVEL_MM)
        self.act(
            a.SwingSlide,
            angle_deg=swing.angle_deg,
            leftward=swing.leftward,
            scale_deg=swing.angle_deg if along else 90 - swing.angle_deg,
            error_deg=float(scale.step_deg) / 2.0 if scale else 1.0,
            check_travel_mm=check,
            check_across_mm=check * sin(angle),
        )
        self.swing = swing
        self.forget_zeros()

    def forget_zeros(self) -> None:
        """All zeros of the toolpost's slides are gone."""
        self.live = Zero.NONE
        for handle in (Handle.CROSS, Handle.TOP, Handle.CARRIAGE):
            self._zeros.pop(handle, None)

    def run_at(self, schedule: Schedule, *, cut_dia_mm: float, handle: Handle) -> None:
        """Speed and feed of a schedule, changed only if they differ."""
        if schedule.speed.rpm != self.rpm or cut_dia_mm > self.speed_dia_mm + TINY_MM:
            self.stop()
            self.act(
                a.SetSpeed,
                rpm=schedule.speed.rpm,
                position=schedule.speed.position,
                cut_dia_mm=cut_dia_mm,
                cutting_speed_m_min=schedule.speed.rpm * cut_dia_mm * 3.141592653589793 / 1000.0,
            )
            self.rpm, self.speed_dia_mm = schedule.speed.rpm, cut_dia_mm
        if self.feed != (handle, schedule.feed):
            feed = schedule.feed
            self.act(
                a.SetFeed,
                kind=feed.kind,
                handle=handle,
                low_mm_rev=feed.low_mm_rev,
                high_mm_rev=feed.high_mm_rev,
                position=feed.position,
                pace_fast_s=feed.pace_fast_s,
                pace_slow_s=feed.pace_slow_s,
                note=KNOCK_OFF if feed.kind is a.FeedKind.POWER else "",
            )
            self.feed = (handle, feed)

    # places ----------------------------------------------------------------------------------------------------

    def slide(self, handle: Handle) -> Slide:
        """Slide of a handle."""
        return self.lathe.slide(handle)

    def scale(self, handle: Handle) -> Scale | None:
        """What the handle is set by, at the present angle of the top slide."""
        if handle is Handle.CROSS:
            return cross_scale(self.lathe.cross)
        if handle is Handle.TOP:
            return top_scale(self.lathe.top, self.swing.angle_deg)
        if handle is Handle.CARRIAGE:
            return self.job.carriage
        return Scale(
            slide=self.slide(handle),
            kind=a.SettingKind.MARKS,
            step_mm=self._quill_step_mm(),
            across=0.0,
            along=1.0,
        )

    def _quill_step_mm(self) -> Fraction:
        dial = self.lathe.tailstock.quill.dial
        return dial.travel_per_mark_mm if dial is not None else Fraction(1)

    def direction(self, handle: Handle, motion: Motion) -> tuple[float, float]:
        """Unit vector (dz, dx) of the tool's motion."""
        if handle is Handle.CROSS:
            return (0.0, -1.0) if motion is Motion.IN else (0.0, 1.0)
        sign = 1.0 if motion is Motion.LEFT else -1.0
        if handle is Handle.TOP and self.swing.angle_deg:
            angle = radians(float(self.swing.angle_deg))
            out = sin(angle) if self.swing.leftward is Motion.OUT else -sin(angle)
            return -sign * cos(angle), sign * out
        return -sign, 0.0

    def shift(self, handle: Handle, motion: Motion, way_mm: Fraction) -> None:
        """Account for a slide's move."""
        dz, dx = self.direction(handle, motion)
        self.z_mm += dz * float(way_mm)
        self.x_mm += dx * float(way_mm)
        self._place[handle] = self._place.get(handle, Fraction(0)) + _CANONICAL[motion] * way_mm

    def approach(self, z_mm: float, x_mm: float, place: str) -> None:
        """Bring the tip near a place by eye; the carriage moves, so what was zeroed is no longer counted on."""
        self.unlock(Handle.CARRIAGE)
        self.unlock(Handle.CROSS)
        self.act(a.Approach, z_mm=z_mm, x_radius_mm=x_mm, place=place)
        self.z_mm, self.x_mm = z_mm, x_mm
        self.forget_zeros()

    def touch(
        self,
        handle: Handle,
        motion: Motion,
        surface: str,
        contact: str,
        *,
        z_mm: float | None = None,
        x_mm: float | None = None,
    ) -> None:
        """Touch a surface; the place of the tool's reference at contact is given by the caller's geometry."""
        self.unlock(handle)
        self.start()
        self.act(a.Touch, handle=handle, motion=motion, surface=surface, contact=contact)
        dz, dx = self.direction(handle, motion)
        way = (x_mm - self.x_mm) / dx if x_mm is not None else ((z_mm or 0.0) - self.z_mm) / dz
        self._place[handle] = self._place.get(handle, Fraction(0)) + _CANONICAL[motion] * exact(way)
        if x_mm is not None:
            self.z_mm += dz * way
            self.x_mm = x_mm
        else:
            self.x_mm += dx * way
            self.z_mm = z_mm or 0.0

    def zero(self, handle: Handle, surface: str, stands_for_mm: float, *, note: str = "") -> None:
        """Set a handle's collar (or indicator, rule) to 0 here."""
        scale = self.scale(handle)
        if scale is None:
            return
        self._zero_count += 1
        name = f"z{self._zero_count}"
        self.act(
            a.SetZero,
            handle=handle,
            zero=name,
            kind=scale.kind,
            surface=surface,
            stands_for_mm=stands_for_mm,
            note=note,
        )
        self._zeros[handle] = name
        self._place[handle] = Fraction(0)

    def zero_along(self, surface: str, stands_for_mm: float, handles: tuple[Handle, ...]) -> None:
        """Zero handles that tell lengths, the tool standing on a face and each screw bearing from a known side."""
        for handle in handles:
            self.zero(handle, surface, stands_for_mm)
        self.live |= Zero.ALONG

    def counts(self, handle: Handle) -> bool:
        """Whether a handle has a live zero."""
        return handle in self._zeros

    def place(self, handle: Handle) -> Fraction:
        """Slide travel from the handle's zero, inward or to the left positive. [mm]"""
        return self._place[handle]

    def setting(self, handle: Handle, place_mm: Fraction, motion: Motion, expected_mm: float) -> a.Setting:
        """Setting for a place counted from the handle's live zero, approached in a motion."""
        scale = self.scale(handle)
        if scale is None or handle not in self._zeros:
            msg = f"{handle.value}: has no zero to count from"
            raise ValueError(msg)
        slide = scale.slide
        turns, marks = 0, Fraction(0)
        if slide.dial is not None:
            sign = _CANONICAL[slide.clockwise_moves]
            turns, marks = turns_and_marks(sign * place_mm / slide.dial.travel_per_mark_mm, slide.dial.marks)
        return a.Setting(
            handle=handle,
            kind=scale.kind,
            zero=self._zeros[handle],
            turns=turns,
            marks=marks,
            value_mm=Fraction(0) if slide.dial is not None else place_mm,
            band_mm=0.0 if slide.dial is not None else float(scale.step_mm) / 2.0,
            approach=slide.turn_for(motion),
            back_off_marks=back_off_marks(slide),
            expected_mm=expected_mm,
        )

    def move_to(
        self, handle: Handle, place_mm: Fraction, motion: Motion, *, depth_from_mm: float | None = None
    ) -> a.Move:
        """Wind to a place, coming in by ``motion``; the expected size follows from where the tool then is.

        ``depth_from_mm`` is the x of a kissed corner: then the depth below it is expected instead of a diameter.
        """
        self.unlock(handle)
        way = place_mm - self.place(handle)
        self.shift(handle, Motion.IN if handle is Handle.CROSS else Motion.LEFT, way)
        return self.act(a.Move, setting=self.setting(handle, place_mm, motion, self._expected(handle, depth_from_mm)))

    def _expected(self, handle: Handle, depth_from_mm: float | None) -> float:
        if depth_from_mm is not None:
            return abs(self.x_mm - depth_from_mm)
        if handle is Handle.CROSS or (handle is Handle.TOP and self.swing.angle_deg):
            return 2.0 * self.x_mm
        return self.z_mm

    def cut(
        self,
        handle: Handle,
        motion: Motion,
        *,
        surface: str,
        depth_mm: float,
        schedule: Schedule,
        run: Run,
        note: str = "",
    ) -> a.Cut:
        """Feed a handle over a run."""
        self.unlock(handle)
        if handle is not Handle.CARRIAGE:
            self.lock(Handle.CARRIAGE)
        way_mm = run.way_mm if run.place_mm is None else abs(run.place_mm - self.place(handle))
        self.shift(handle, motion, way_mm)
        to = None
        if run.place_mm is not None:
            to = self.setting(handle, run.place_mm, motion, self._expected(handle, run.depth_from_mm))
        self.hazards()
        rate = schedule.feed.mean_mm_rev * schedule.speed.rpm / 60.0
        return self.act(
            a.Cut,
            handle=handle,
            motion=motion,
            to=to,
            length_mm=float(way_mm),
            depth_mm=depth_mm,
            surface=surface,
            feed=schedule.feed.kind,
            seconds=float(way_mm) / rate,
            note=note,
        )

    def hazards(self) -> None:
        """Caution of a hazardous metal before metal is cut: whole the first time, in short at each later step."""
        metal = self.job.material
        if not self.hazards_said:
            for caution in metal.hazards:
                self.caution(caution.text)
            self.hazards_said = {self.step}
        elif self.step not in self.hazards_said and metal.has_hazard(CautionKind.FIRE):
            self.caution("Swarf of this metal burns: clear it as you go. Sand or Class D powder at hand, never water.")
            self.hazards_said.add(self.step)

    def retract(self, handle: Handle, motion: Motion, at_least_mm: float) -> None:
        """Wind away from the work: half turns of a dialled handle, whole ones if half a turn is no whole mark."""
        self.unlock(handle)
        slide = self.slide(handle)
        turns: Fraction | None = None
        way = exact(at_least_mm) + slide.slack_mm  # the first of it only takes up the slack
        if slide.dial is not None and handle is not Handle.CARRIAGE:
            part = self.shop.habits.whole_turns_back
            if (slide.dial.marks * part) % slide.dial.step:
                part = Fraction(1)
            turns = -(-way // (slide.dial.lead_mm * part)) * part
            way = turns * slide.dial.lead_mm
        self.shift(handle, motion, way)
        last = self.acts[-1]
        if isinstance(last, a.Retract) and (last.handle, last.motion, last.turns) == (handle, motion, None):
            # one way by eye after another is one way, and its slack is taken up already
            self.acts.pop()
            self.shift(handle, motion.other, slide.slack_mm)
            way += exact(last.distance_mm) - slide.slack_mm
        self.act(a.Retract, handle=handle, motion=motion, distance_mm=float(way), turns=turns)

    # measuring -------------------------------------------------------------------------------------------------

    def gauge(self, use: GaugeUse, size_mm: float) -> Gauge | None:
        """Finest gauge that can measure this."""
        fit = [g for g in self.shop.gauges if use in g.uses and g.low_mm <= size_mm <= g.high_mm]
        return min(fit, key=lambda g: (g.uncertainty_mm, g.id), default=None)

    def measure(
        self,
        surface: str,
        aspect: Aspect,
        expected_mm: float,
        *,
        stop_mm: tuple[float, float],
        mark_worth_mm: float = 0.0,
        final: tuple[float, float] | None = None,
        note: str = "",
    ) -> None:
        """Stop and measure."""
        self.stop()
        gauge = self.gauge(gauge_use(surface, aspect), expected_mm)
        self.act(
            a.Measure,
            surface=surface,
            aspect=aspect.value,
            gauge=gauge.id if gauge else "",
            expected_mm=expected_mm,
            stop_low_mm=stop_mm[0],
            stop_high_mm=stop_mm[1],
            mark_worth_mm=mark_worth_mm,
            final=final is not None,
            lower_mm=final[0] if final else 0.0,
            upper_mm=final[1] if final else 0.0,
            note=note,
        )

    def set_collar(self, handle: Handle, surface: str, *, measured_dia_mm: float, target_dia_mm: float) -> None:
        """Set a collar from a measured diameter so that 0 is the whole mark nearest to the target."""
        scale = self.scale(handle)
        if scale is None or scale.slide.dial is None:
            return
        per_step = scale.dia_per_step_mm
        steps = round((measured_dia_mm - target_dia_mm) / per_step)
        # one step of motion inward (cross-slide IN, or the top slide's IN side) lowers the diameter
        inward = self._inward(handle)
        place = -steps * scale.step_mm * _CANONICAL[inward]
        sign = _CANONICAL[scale.slide.clockwise_moves]
        turns, marks = turns_and_marks(sign * place / scale.slide.dial.travel_per_mark_mm, scale.slide.dial.marks)
        self._zero_count += 1
        name = f"z{self._zero_count}"
        self.act(
            a.SetCollar,
            handle=handle,
            zero=name,
            surface=surface,
            zero_dia_mm=measured_dia_mm - steps * per_step,
            dia_per_mark_mm=per_step / float(scale.slide.dial.step),
            expected_dia_mm=measured_dia_mm,
            turns=turns,
            marks=marks,
            settable=scale.slide.dial.settable,
        )
        self._zeros[handle] = name
        self._place[handle] = place

    def _inward(self, handle: Handle) -> Motion:
        """Motion of a handle that takes the tool towards the centre line."""
        if handle is Handle.CROSS:
            return Motion.IN
        return Motion.LEFT if self.swing.leftward is Motion.IN else Motion.RIGHT

    def outward(self, handle: Handle) -> Motion:
        """Motion of a handle that takes the tool away from the centre line."""
        return self._inward(handle).other

    def turn_of(self, handle: Handle, motion: Motion) -> Turn:
        """How the hand turns for a motion."""
        return self.slide(handle).turn_for(motion)

    def hand(self, kind: a.HandKind, text: str, *, surface: str = "", removes_mm: float = 0.0) -> None:
        """Something done by hand, the spindle at rest."""
        self.stop()
        self.act(a.HandStep, kind=kind, text=text, surface=surface, removes_mm=removes_mm)
