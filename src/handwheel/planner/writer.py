"""Writes the acts of a sheet while keeping account of where every slide stands.

The writer follows the same machine as the person will: it knows the tool's place, what each collar shows and from which
side each screw was last turned, so that every expected size on the sheet is what the settings really give. It decides
nothing about the order; kinds of steps call its small vocabulary.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, inf, radians, sin
from typing import TypeVar, cast

from msgspec import Struct

from handwheel.data.hazards import HazardGate
from handwheel.data.materials import WorkHardening
from handwheel.domain import acts as a
from handwheel.domain.exact import Fraction
from handwheel.domain.findings import Finding, Reason
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.part import BORE, OUTSIDE, Aspect, Units
from handwheel.domain.said import said_short
from handwheel.domain.slides import Dial, Slide
from handwheel.domain.tools import Tool, ToolKind
from handwheel.geometry.tool_shapes import back_mm, stands_out_mm
from handwheel.planner.cut_case import Feed, Schedule
from handwheel.planner.dialing import (
    Scale,
    back_off_marks,
    cross_scale,
    least_back_off_marks,
    top_scale,
    turns_and_marks,
)
from handwheel.planner.feet import Foot
from handwheel.planner.job import Job
from handwheel.planner.quill import quill_scale
from handwheel.planner.told import Told
from handwheel.planner.travel import Travels
from handwheel.planner.trueing import trueing_words
from handwheel.planner.way import PARALLEL_SWING, Swing, Way, Zero

CLEAR_MM = 2.0
"""Distance by eye at which a tool stands clear of the work; common practice, no source."""
CHECK_TRAVEL_MM = 10
"""Least top-slide travel of the check move after swinging (practice case PC-21): whole turns, at least this."""
TINY_MM = 1e-9

_ActT = TypeVar("_ActT", bound=a.ActBase)

TOOLPOST_BACK = "the toolpost turns with the top slide: set it back, so that the tool points square as before"
KNOCK_OFF_MM = 2.0
"""How far before its end a cut by power is taken over by hand; common practice, no source."""
KNOB_LOW = "knob low before the start; then bring it up by the tachometer, before anything touches the work"
TURN_BY_HAND = (
    "first turn the chuck round once by hand; again, spindle at rest, when a tool first stands where its cut ends near "
    "the jaws: all clear"
)
_INSIDE = (ToolKind.BORING, ToolKind.EDGE_INSIDE, ToolKind.FORM_INSIDE)
PUT_THERE = (a.SettingKind.STOP, a.SettingKind.INDICATOR)
_CANONICAL = {Motion.IN: 1, Motion.OUT: -1, Motion.LEFT: 1, Motion.RIGHT: -1}


def exact(value_mm: float) -> Fraction:
    """A by-eye distance as a fraction, to the nanometre."""
    return Fraction(value_mm).limit_denominator(10**6)


class Run(Struct, frozen=True, kw_only=True):
    """How far a cut runs: to a place counted from the handle's zero, or (no place) a way by eye.

    ``depth_from_mm`` is the x of a kissed corner: then the depth below it is expected instead of a diameter.
    """

    way_mm: Fraction = Fraction(0)
    place_mm: Fraction | None = None
    depth_from_mm: float | None = None


def _short_turns(dial: Dial, wanted_mm: Fraction, at_most_mm: float) -> Fraction:
    """Part of a turn, in whole marks, that winds a way; less if there is no room for it. [turns]"""
    mark = dial.travel_per_mark_mm
    marks = -(-wanted_mm // mark)
    if marks * mark > at_most_mm:
        marks = exact(at_most_mm) // mark
    return Fraction(marks, dial.marks)


def gauge_use(surface: str, aspect: Aspect) -> GaugeUse:
    """What kind of gauge a dimension needs."""
    if aspect is Aspect.DEPTH:
        return GaugeUse.DEPTH
    if aspect is not Aspect.DIAMETER:
        return GaugeUse.LENGTH
    return GaugeUse.BORE if surface.startswith(BORE) else GaugeUse.OUTSIDE


def _by_belts(speed: SpindleSpeed, *, stepless: bool) -> bool:
    """Whether a hand may have to go to a belt or a back gear for a speed; a lever or a knob is outside the drive."""
    words = speed.position.lower()
    return "belt" in words or not (stepless or "lever" in words)


def knock_off(units: Units) -> str:
    """What to do before the end of a cut that runs by power."""
    before = said_short(KNOCK_OFF_MM, units)
    return f"knock the feed off {before} before the end and wind the rest by hand, without a pause"


class Writer:
    """The sheet so far and the machine behind it."""

    def __init__(self, job: Job, *, stays: frozenset[Handle] = frozenset()) -> None:
        """Start with the spindle at rest, the post empty and nothing held; what ``stays`` makes no room for a gauge."""
        self.job = job
        self.stays = stays
        self.drawn: Handle | None = None
        self.shop = job.shop
        self.lathe = job.shop.lathe
        self.acts: list[a.Act] = []
        self.reasons: list[Reason] = []
        self.findings: list[Finding] = []
        self.step = ""
        self.holding: Holding | None = None
        self.tool: Tool | None = None
        self.out_mm = 0.0  # how far it is clamped out, 0 for a tool that always stands out alike
        self.drill = ""
        self.swing = PARALLEL_SWING
        self.live = Zero.NONE
        self.z_mm, self.x_mm = 0.0, 0.0
        self.face_mm = 0.0
        self.by_eye: set[Handle] = set()
        self.standing_mm: dict[str, float] = {}
        self.feet: dict[str, list[Foot]] = {}
        self.dias_mm: dict[str, float] = {OUTSIDE: 0.0, BORE: 0.0}
        self.depth_place = Fraction(0)
        self.groove_wall_mm = 0.0
        self.pass_end_mm: float | None = None
        self.running = False
        self.rpm = 0.0
        self.speed_dia_mm = 0.0
        self.feed: tuple[Handle, Feed] | None = None
        self.locked: set[Handle] = set()
        self.told = Told()
        self.before_first_start: tuple[str, ...] = ()
        self.turned_by_hand: set[str] = set()
        self.edges_cut: dict[str, float] = {}
        self._place: dict[Handle, Fraction] = {}
        self._zeros: dict[Handle, str] = {}
        self._zero_count = 0
        self.travels = Travels()

    # the work --------------------------------------------------------------------------------------------------

    @property
    def outside_dia_mm(self) -> float:
        """Diameter of the outside as it now is. [mm]"""
        return self.dias_mm[OUTSIDE]

    @outside_dia_mm.setter
    def outside_dia_mm(self, dia_mm: float) -> None:
        self.dias_mm[OUTSIDE] = dia_mm

    @property
    def bore_dia_mm(self) -> float:
        """Diameter of the hole as it now is; 0 while there is none. [mm]"""
        return self.dias_mm[BORE]

    @bore_dia_mm.setter
    def bore_dia_mm(self, dia_mm: float) -> None:
        self.dias_mm[BORE] = dia_mm

    def stands_as(self, surface: str) -> str:
        """Cylinder that now stands where a cylinder of the part will be: itself, or what is to be cut away for it."""
        while surface not in self.dias_mm:
            ledge = self.job.ledge(surface)
            if ledge is None:
                break
            surface = ledge.deeper
        return surface

    def dia_mm(self, surface: str) -> float:
        """Diameter that now stands where a cylinder of the part will be. [mm]"""
        return self.dias_mm[self.stands_as(surface)]

    def side_dia_mm(self, side: Side, *, inner: bool) -> float:
        """Diameter that now meets the face of an end. [mm]"""
        return self.dia_mm(self.job.at_face(side, inner=inner)[0])

    def begins_mm(self, surface: str) -> float:
        """Depth behind the finished face, in this holding, at which a cylinder now begins. [mm]"""
        side = Side.FRONT if self.holding is None else self.holding.side
        ledge = self.job.ledge(surface)
        if ledge is not None:
            return ledge.before_mm
        stack = self.job.stack(side, inner=surface.startswith(BORE))
        return max((one.depth_mm for one in stack if one.surface in self.dias_mm), default=0.0)

    # acts ------------------------------------------------------------------------------------------------------

    def act(
        self,
        kind: type[_ActT],
        /,
        *,
        note: str = "",
        says: Sequence[str] = (),
        before: Sequence[str] = (),
        **fields: object,
    ) -> _ActT:
        """Append an act; before it stand the texts of ``before``, and cautions whose codes it ``says``: see `Told`."""
        cautions = (*before, *self.told.of_work(says, step=self.step), *self._of_metal(kind))
        made = kind(id=f"a{len(self.acts) + 1:03d}", step=self.step, cautions=cautions, note=note, **fields)
        self.acts.append(cast("a.Act", made))  # every kind of act is a member of the union
        self.travels.act(made, self.lathe)
        return made

    def confirm(self, gate: HazardGate) -> None:
        """Ask for a yes before a hazard of the metal; what the hazard is stands before it, in full."""
        hazards = [hazard for hazard in self.job.material.hazards if hazard.gate == gate.code]
        cautions = self.told.of_metal(hazards, step=self.step)
        self.act(a.HandStep, kind=a.HandKind.CONFIRM, text=gate.text, before=cautions)

    def _of_metal(self, kind: type[a.ActBase]) -> tuple[str, ...]:
        """What the metal asks of the hand that loads or cuts it."""
        metal = self.job.material
        if kind is a.LoadBar:
            return self.told.of_metal((hazard for hazard in metal.hazards if not hazard.gate), step=self.step)
        if not issubclass(kind, a.Cut | a.DrillHole | a.ReamHole):
            return ()
        hardens = () if metal.work_hardening is WorkHardening.NONE else ("work-hardens",)
        return (
            *self.told.of_work(hardens, step=self.step),
            *self.told.of_metal(metal.hazards, step=self.step, first_cut=True),
        )

    # spindle, tool, slides -------------------------------------------------------------------------------------

    def stop(self, *, note: str = "") -> None:
        """Stop the spindle if it runs."""
        if self.running:
            self.act(a.StopSpindle, note=note)
            self.running = False

    def stop_if_it_hardens(self) -> None:
        """Stop the spindle before the tool goes back along its cut: in such a metal no pass without depth."""
        if self.job.material.work_hardening is not WorkHardening.NONE:
            self.stop()

    def start(self) -> None:
        """Start the spindle if it stands."""
        if self.running:
            return
        held = "" if self.holding is None else self.holding.id
        if held in self.turned_by_hand:
            self.act(a.StartSpindle)
        else:
            self.act(a.StartSpindle, note=TURN_BY_HAND, says=("stand-clear", *self.before_first_start))
            self.turned_by_hand.add(held)
            self.before_first_start = ()
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
        clamped = None if self.tool is None else (self.tool.id, self.out_mm)
        if way.tool is not None and clamped != (way.tool.id, way.reach_mm if way.tool.reach_mm else 0.0):
            self.fit(way.tool, way.reach_mm)
        if way.swing is not None and way.swing != self.swing:
            self.swing_to(way.swing)

    def clear_post(self) -> None:
        """Free the slide that takes the toolpost clear of the work, before what it carries changes place."""
        self.stop()
        self.unlock(Handle.CROSS if Handle.QUILL in self.locked else Handle.CARRIAGE)

    def fit(self, tool: Tool, need_mm: float) -> None:
        """Clamp a tool; a blade or bar no further out than it needs."""
        self.clear_post()
        note = "no further out than this: stiffness falls with the cube of the reach" if tool.reach_mm else ""
        note = "; ".join(filter(None, (note, self._edge_advice(tool))))
        out = (need_mm or tool.reach_mm) if tool.reach_mm else stands_out_mm(tool)
        self.act(a.FitTool, tool=tool.id, stands_out_mm=out, note=note)
        self.tool, self.out_mm = tool, need_mm if tool.reach_mm else 0.0
        self.forget_zeros()

    def _edge_advice(self, tool: Tool) -> str:
        """What the metal asks of an edge, and whether this tool has more rake than it bears."""
        metal = self.job.material
        if metal.most_rake_deg is None or tool.rake_deg <= metal.most_rake_deg:
            return metal.edge_advice
        flat = f"this tool has {tool.rake_deg:g}° of rake: stone a narrow flat along the edge first"
        return f"{metal.edge_advice}; {flat}"

    def swing_to(self, swing: Swing) -> None:
        """Swing the top slide; a tool that it carries stands clear of the work meanwhile."""
        self.stop()
        if self.tool is not None:
            self.clear_post()
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
            note=f"{trueing_words(self.job, swing, travel_mm=check)}; {TOOLPOST_BACK}",
        )
        self.swing = swing
        self.forget_zeros()

    def forget_zeros(self) -> None:
        """All zeros of the toolpost's slides are gone."""
        self.live, self.drawn = Zero.NONE, None
        for handle in (Handle.CROSS, Handle.TOP, Handle.CARRIAGE):
            self._zeros.pop(handle, None)

    def forget_speed(self) -> None:
        """Speed and feed are whatever the hand last set: making a holding ready takes its own."""
        self.rpm, self.speed_dia_mm, self.feed = 0.0, 0.0, None

    def run_at(self, schedule: Schedule, *, cut_dia_mm: float, handle: Handle, power_note: str = "") -> None:
        """Speed and feed of a schedule, changed only if they differ; what to do at the end of a cut by power."""
        if schedule.speed.rpm != self.rpm or cut_dia_mm > self.speed_dia_mm + TINY_MM:
            self.stop()
            stepless = self._is_stepless(schedule.speed)
            self.act(
                a.SetSpeed,
                says=("isolate",) if _by_belts(schedule.speed, stepless=stepless) else (),
                note=KNOB_LOW if stepless else "",
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
                note=(power_note or knock_off(self.job.units)) if feed.kind is a.FeedKind.POWER else "",
            )
            self.feed = (handle, feed)

    def _is_stepless(self, speed: SpindleSpeed) -> bool:
        """Whether a knob sets it: then one position of the lathe's list has several speeds."""
        return len({one.rpm for one in self.lathe.speeds if one.position == speed.position}) > 1

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
            return self.job.carriage if self.swing.angle_deg else self.job.carriage_beside_top
        return quill_scale(self.slide(handle))

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
        self.travels.go(handle, _CANONICAL[motion] * way_mm, self.step)

    def approach(self, z_mm: float, x_mm: float, place: str) -> None:
        """Bring the tip near a place by eye, the work at rest; what was zeroed is no longer counted on.

        Last across where the tool comes down on an outside, or where a tailstock stands in front of the face; else last
        along the bed.
        """
        self.stop()
        self.unlock(Handle.CARRIAGE)
        self.unlock(Handle.CROSS)
        if self.travels.placed:
            self.travels.go(Handle.CROSS, exact(self.x_mm - x_mm), self.step)
            self.travels.go(Handle.CARRIAGE, exact(self.z_mm - z_mm), self.step)
        self.travels.placed = True
        inside = self.tool is not None and self.tool.kind in _INSIDE
        down = not inside and (z_mm <= self.face_mm or Handle.QUILL in self.locked)
        last = Motion.IN if down else Motion.LEFT
        self.act(a.Approach, z_mm=z_mm, x_radius_mm=x_mm, place=place, last=last)
        self.z_mm, self.x_mm = z_mm, x_mm
        self.by_eye.clear()
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
        note: str = "",
    ) -> None:
        """Touch a surface; the place of the tool's reference at contact is given by the caller's geometry."""
        self.unlock(handle)
        self.start()
        self.act(a.Touch, handle=handle, motion=motion, surface=surface, contact=contact, note=note)
        dz, dx = self.direction(handle, motion)
        way = (x_mm - self.x_mm) / dx if x_mm is not None else ((z_mm or 0.0) - self.z_mm) / dz
        self._place[handle] = self._place.get(handle, Fraction(0)) + _CANONICAL[motion] * exact(way)
        self.travels.go(handle, _CANONICAL[motion] * exact(way), self.step)
        if x_mm is not None:
            self.by_eye.discard(Handle.CROSS)
            self.z_mm += dz * way
            self.x_mm = x_mm
        else:
            self.by_eye -= {Handle.TOP, Handle.CARRIAGE}
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
            scale = self.scale(handle)
            if scale is not None and scale.kind in PUT_THERE and handle is not handles[0]:
                self.stop()  # it is clamped to the bed, with a hand near the chuck
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
        by_dial = scale.kind is a.SettingKind.MARKS
        if by_dial and slide.dial is not None:
            sign = _CANONICAL[slide.clockwise_moves]
            turns, marks = turns_and_marks(sign * place_mm / slide.dial.travel_per_mark_mm, slide.dial.marks)
        return a.Setting(
            handle=handle,
            kind=scale.kind,
            zero=self._zeros[handle],
            turns=turns,
            marks=marks,
            value_mm=Fraction(0) if by_dial else place_mm,
            band_mm=0.0 if by_dial else float(scale.step_mm) / 2.0,
            approach=slide.turn_for(motion),
            back_off_marks=self._back_off_marks(handle) if by_dial else 0,
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
        inward = Motion.IN if handle is Handle.CROSS else Motion.LEFT
        if way * _CANONICAL[motion] <= 0:  # past the setting first, then in again
            past = -_CANONICAL[motion] * self.back_off_mm(handle)
            self.travels.go(handle, way + past, self.step)
            self.travels.go(handle, -way - past, self.step)
        self.shift(handle, inward, way)
        self.by_eye.discard(handle)
        return self.act(a.Move, setting=self.setting(handle, place_mm, motion, self._expected(handle, depth_from_mm)))

    def back_off_mm(self, handle: Handle) -> Fraction:
        """How far a handle is wound past a setting before it comes in again. [mm]"""
        slide = self.slide(handle)
        return self._back_off_marks(handle) * slide.dial.travel_per_mark_mm if slide.dial else slide.slack_mm

    def _back_off_marks(self, handle: Handle) -> int:
        """Half a turn past a setting; in a hole no further than the back of the tool has room. [marks]"""
        slide = self.slide(handle)
        across = handle is Handle.CROSS or (handle is Handle.TOP and bool(self.swing.angle_deg))
        if slide.dial is None or self.tool is None or self.tool.kind not in _INSIDE or not across:
            return back_off_marks(slide)
        room = (self.bore_dia_mm + back_mm(self.tool)) / (self.direction(handle, Motion.LEFT)[1] or 1.0)
        whole = int(abs(room) / float(slide.dial.travel_per_mark_mm))
        return max(least_back_off_marks(slide), min(back_off_marks(slide), whole))

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
        says: Sequence[str] = (),
    ) -> a.Cut:
        """Feed a handle over a run."""
        self.unlock(handle)
        if handle is not Handle.CARRIAGE:
            self.lock(Handle.CARRIAGE)
        way_mm = run.way_mm if run.place_mm is None else abs(run.place_mm - self.place(handle))
        self.shift(handle, motion, way_mm)
        to = None
        self.by_eye.add(handle)
        if run.place_mm is not None:
            self.by_eye.discard(handle)
            to = self.setting(handle, run.place_mm, motion, self._expected(handle, run.depth_from_mm))
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
            says=says,
        )

    def retract(
        self, handle: Handle, motion: Motion, at_least_mm: float, *, at_most_mm: float = inf, note: str = ""
    ) -> None:
        """Wind away from the work: half turns of a dialled handle, whole ones if half a turn is no whole mark.

        Where that is further than ``at_most_mm`` (in a hole), whole marks.
        """
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
            if way > at_most_mm:
                turns = _short_turns(slide.dial, exact(at_least_mm) + slide.slack_mm, at_most_mm)
                way = turns * slide.dial.lead_mm
        elif way > at_most_mm:
            way = exact(at_most_mm)
        self.shift(handle, motion, way)
        last = self.acts[-1]
        if isinstance(last, a.Retract) and (last.handle, last.motion, last.turns) == (handle, motion, None):
            # one way by eye after another is one way, and its slack is taken up already
            self.acts.pop()
            self.shift(handle, motion.other, slide.slack_mm)
            way += exact(last.distance_mm) - slide.slack_mm
        self.act(a.Retract, handle=handle, motion=motion, distance_mm=float(way), turns=turns, note=note)
        self.by_eye.add(handle)

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
        """Set collar or readout from a measured diameter so that 0 is the step nearest to the target."""
        scale = self.scale(handle)
        if scale is None:
            return
        steps = round((measured_dia_mm - target_dia_mm) / scale.dia_per_step_mm)
        # one step of motion inward (cross-slide IN, or the top slide's IN side) lowers the diameter
        place = -steps * scale.step_mm * _CANONICAL[self._inward(handle)]
        self._zero_count += 1
        name = f"z{self._zero_count}"
        zero_dia_mm = measured_dia_mm - steps * scale.dia_per_step_mm
        if scale.kind is a.SettingKind.READOUT:
            self.act(
                a.SetReadout,
                handle=handle,
                zero=name,
                surface=surface,
                zero_dia_mm=zero_dia_mm,
                dia_per_step_mm=scale.dia_per_step_mm,
                expected_dia_mm=measured_dia_mm,
                value_mm=place,
            )
        elif scale.slide.dial is not None:
            self._turn_collar(
                scale,
                scale.slide.dial,
                name,
                surface,
                place_mm=place,
                zero_dia_mm=zero_dia_mm,
                now_dia_mm=measured_dia_mm,
            )
        self._zeros[handle] = name
        self._place[handle] = place

    def _turn_collar(
        self,
        scale: Scale,
        dial: Dial,
        name: str,
        surface: str,
        *,
        place_mm: Fraction,
        zero_dia_mm: float,
        now_dia_mm: float,
    ) -> None:
        """Collar to the marks at which a place then stands from 0."""
        sign = _CANONICAL[scale.slide.clockwise_moves]
        turns, marks = turns_and_marks(sign * place_mm / dial.travel_per_mark_mm, dial.marks)
        self.act(
            a.SetCollar,
            handle=scale.handle,
            zero=name,
            surface=surface,
            zero_dia_mm=zero_dia_mm,
            dia_per_mark_mm=scale.dia_per_mark_mm,
            expected_dia_mm=now_dia_mm,
            turns=turns,
            marks=marks,
            settable=dial.settable,
        )

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

    def hand(
        self,
        kind: a.HandKind,
        text: str,
        *,
        surface: str = "",
        removes_mm: float = 0.0,
        tool: str = "",
        says: Sequence[str] = (),
    ) -> None:
        """Something done by hand, the spindle at rest."""
        self.stop()
        self.act(a.HandStep, kind=kind, text=text, surface=surface, removes_mm=removes_mm, tool=tool, says=says)
