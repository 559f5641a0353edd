"""Reasons for the numbers of a plan, and findings about it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, cos, radians

from handwheel.data.forces import force_models
from handwheel.data.least_cuts import least_depth_mm
from handwheel.data.materials import DrillPractice, WorkHardening
from handwheel.data.ranges import DataRange
from handwheel.data.speeds import CutKind, SpeedRange, cutting_speed
from handwheel.domain.acts import SettingKind
from handwheel.domain.findings import Finding, Reason, Severity
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.matters import SHARE_THAT_MATTERS
from handwheel.domain.motion import Edge
from handwheel.domain.part import Aspect, Part, Units
from handwheel.domain.plan import Stage
from handwheel.domain.said import said, said_cutting_speed, said_feed, said_short, said_short_range
from handwheel.domain.slides import Dial
from handwheel.physics.diameter_error import ERROR_SHARE
from handwheel.physics.drive import listed_power_w
from handwheel.physics.power import torque_at_speed_nm
from handwheel.physics.stability import DAMPED_BELOW_M_MIN
from handwheel.planner.bar_findings import bar_findings
from handwheel.planner.bent_findings import bent_findings
from handwheel.planner.cut_case import Schedule
from handwheel.planner.cut_limits import CHATTER, bending_share, limit_name
from handwheel.planner.dialing import Scale, engraving_is_diameter
from handwheel.planner.drive_findings import drive_findings
from handwheel.planner.finish_findings import finish_findings, finish_reasons
from handwheel.planner.fit_findings import fit_findings
from handwheel.planner.hazard_findings import hazard_findings, skin_findings
from handwheel.planner.job import Job
from handwheel.planner.kinds.bevel import PART_OFF
from handwheel.planner.neighbours import Beside
from handwheel.planner.ripple import ripple_findings
from handwheel.planner.song import song_findings
from handwheel.planner.swelling import swelling_findings
from handwheel.planner.taper_findings import taper_findings
from handwheel.planner.unknown_findings import unknown_findings
from handwheel.planner.way import Way
from handwheel.planner.worth import counts_words

_CUT_OF_KIND = {
    "drill": CutKind.DRILL,
    "ream": CutKind.REAM,
    "groove": CutKind.PART,
    "part": CutKind.PART,
    "edge": CutKind.PART,
}
LAST_CUTS = "last-cuts"
"""Where the rule for the two last cuts applies: at every surface that is finished, and at no one step."""
WORTH_SAYING = 0.01
"""Share of an edge below which its wear is not mentioned; own choice."""


def reasons_for(job: Job, ways: Sequence[Way]) -> tuple[Reason, ...]:
    """Why speed, feed, depth and allowances are what they are, step by step."""
    made = ((way, way.schedule) for way in ways if way.schedule)
    return (
        *_allowances(job),
        *_last_cuts(job, ways),
        *(reason for each in made for reason in _of_way(job, *each)),
        *_heard_reasons(job),
        *finish_reasons(job, ways),
    )


def _heard_reasons(job: Job) -> Iterable[Reason]:
    if not job.shop.chatter:
        return ()
    from handwheel.planner.heard import heard_reasons  # noqa: PLC0415  relations that few shops need

    return heard_reasons(job.shop)


def _allowances(job: Job) -> Iterable[Reason]:
    yield Reason(
        where=PART_OFF,
        quantity="back allowance",
        value=said(job.back_allowance_mm, job.units, places=3),
        relation="the shop's habit, rounded up so that width + allowance + blade is a whole number of marks",
        inputs=(
            f"width {said(job.width_mm, job.units, places=3)}",
            f"blade {said_short(job.blade.width_mm, job.units)}",
        ),
        source_key="COMMON",
        standing="common practice",
    )
    yield Reason(
        where="load",
        quantity="stick-out",
        value=said_short(job.stick_out_mm, job.units),
        relation="every tool stands clear of the jaws at the far end, up to whole millimetres",
        inputs=(
            f"clearance {said_short(job.shop.habits.clearance_mm, job.units)}",
            f"outside turned to {said(-job.turn_end_mm, job.units)} behind the face",
        ),
        source_key="COMMON",
        standing="computed",
    )


def _least_words(least: DataRange, units: Units) -> str:
    """The least cut of a metal, as its table has it."""
    return said_short_range(least.least, least.most, units)


def _last_cuts(job: Job, ways: Sequence[Way]) -> Iterable[Reason]:
    """Why the two equal last cuts are as deep as they are: by habit, by the metal, or by what the limits bear."""
    least, habit = job.material.range("min_depth"), job.shop.habits.finish_cut_mm
    relation = "the shop's habit"
    if job.finish_cut_mm > habit:
        relation = "1.25 times the least cut of the metal, which is more than the shop's habit of " + said_short(
            habit, job.units
        )
    yield Reason(
        where=LAST_CUTS,
        quantity="depth of the two last cuts",
        value=f"{said(job.finish_cut_mm, job.units, places=3)} each",
        relation=f"{relation}; two equal cuts, the first measured",
        inputs=(f"least cut {_least_words(least, job.units)}",),
        source_key=least.source_key,
        standing=least.standing.value,
    )
    for way in ways:
        cut = job.last_cut(way.step.surface)
        if not cut.lighter or way.step.stage is not Stage.FINISH or way.schedule is None or way.across is None:
            continue
        depth = way.schedule.depth_steps[-1] * way.across.radius_per_step_mm
        why = (
            "the most that bends no more than a quarter of the tolerance away, in whole steps, and no less than the "
            "metal's least cut"
            if cut.unbent
            else "the most that the limits bear, in whole steps, and no less than the metal's least cut; with the "
            "usual cuts there is no order at all"
        )
        yield Reason(
            where=way.step.id,
            quantity="depth of the two last cuts",
            value=f"{said(depth, job.units, places=3)} each",
            relation=f"lighter than the usual {said(job.finish_cut_mm, job.units, places=3)}: {why}",
            inputs=(
                f"least cut {said(least_depth_mm(job.material), job.units, places=3)}",
                f"the limits bear {said(cut.most_mm, job.units, places=3)}",
            ),
            source_key=least.source_key,
            standing=least.standing.value,
            binds=way.schedule.binds,
        )


def _speed_range(job: Job, way: Way) -> SpeedRange:
    edge = Edge.HSS if way.tool is None else way.tool.edge
    finish = way.step.stage.value == "finish"
    usual = CutKind.FINISH if finish else CutKind.ROUGH
    kind = CutKind.BORE if way.step.kind == "bore" else _CUT_OF_KIND.get(way.step.kind, usual)
    return cutting_speed(job.material, edge=edge, cut=kind)


def _span(low: float, high: float, *, form: str = ".0f") -> str:
    """Two ends as whole figures, or in another form; one if they print alike."""
    ends = (f"{low:{form}}", f"{high:{form}}")
    return ends[0] if ends[0] == ends[1] else " to ".join(ends)


def _table_words(speeds: SpeedRange) -> str:
    more = f" ({speeds.words})" if speeds.words else ""
    places = 0 if speeds.low_m_min.is_integer() and speeds.high_m_min.is_integer() else 1
    return f"table {said_cutting_speed(speeds.low_m_min, speeds.high_m_min, places=places)}{more}"


def _table_rpm(found: Schedule, cutting_speed_m_min: float) -> float:
    """Speed at which the diameter that is cut moves at a cutting speed of the table. [rev/min]"""
    return found.speed.rpm * cutting_speed_m_min / found.cutting_speed_m_min


def _how_far_off(found: Schedule, speeds: SpeedRange) -> str:
    """How far the speed taken lies below what the table's upper end would allow on the same diameter."""
    taken = found.speed.fastest_rpm
    allowed = _table_rpm(found, speeds.high_m_min)
    computed = f", worked out as {found.speed.low_rpm:g} to {taken:g}" if found.speed.is_computed else ""
    return (
        f"the table would allow {allowed:.0f} rev/min; this is {100.0 * (1.0 - taken / allowed):.0f} % slower{computed}"
    )


def _passes_words(found: Schedule) -> str:
    count = len(found.depth_steps)
    passes = "1 pass" if count == 1 else f"{count} passes"
    return f"{passes}, feed {said_feed(found.feed.low_mm_rev, found.feed.high_mm_rev)}"


def _edge_words(job: Job, found: Schedule) -> Iterable[str]:
    """How much of an edge the step uses up, and how many edges the batch needs, where that is worth saying."""
    if found.edges >= WORTH_SAYING:
        batch = job.part.quantity
        edges = ceil(batch * found.edges)
        many = "" if batch == 1 else f", {batch} parts {edges} edge{'s' * (edges > 1)}"
        yield f"uses up {100.0 * found.edges:.0f} % of an edge{many}"


def _of_way(job: Job, way: Way, found: Schedule) -> Iterable[Reason]:
    speeds = _speed_range(job, way)
    beside = Beside(found, material=job.material, lathe=job.shop.lathe, habits=job.shop.habits)
    yield Reason(
        where=way.step.id,
        quantity="spindle speed",
        value=f"{'about ' if found.speed.is_computed else ''}{found.speed.rpm:g} rev/min",
        relation="the speed of the lathe's list with the shortest step; n = 1000 v / (π d) must not exceed the table",
        inputs=(
            f"{said_cutting_speed(found.cutting_speed_m_min, places=1)} at the largest diameter cut",
            _table_words(speeds),
            _how_far_off(found, speeds),
            *_edge_words(job, found),
        ),
        source_key=speeds.source_key,
        standing=speeds.standing.value,
        low=_table_rpm(found, speeds.low_m_min),
        high=_table_rpm(found, speeds.high_m_min),
        unit="rev/min by the table",
        beside=beside.speeds(),
    )
    models = force_models(job.material)
    yield Reason(
        where=way.step.id,
        quantity="depth and feed",
        value=_passes_words(found),
        relation=f"{counts_words(job.shop.habits)} over all speeds, feeds and numbers of passes that keep every limit"
        + ("" if job.gentler is None else ", and the gentler cuts that were asked for"),
        inputs=(
            f"force {_span(found.force.low_n, found.force.high_n)} N",
            f"power {found.power_w:.0f} W",
            _torque_words(job, found),
            *(("force from the range of its group",) if any(model.from_group for model in models) else ()),
            *_damping_words(found),
            *_bending_words(job, found),
        ),
        source_key=models[0].source_key,
        standing=models[0].standing.value,
        binds=found.binds,
        low=found.force.low_n,
        high=found.force.high_n,
        unit="N of force",
        beside=beside.cuts(),
    )


def _torque_words(job: Job, found: Schedule) -> str:
    """Torque of a cut, of what the drive has: the belt's limit where it is known, else estimated from the power."""
    speed, asked = found.speed, f"torque {found.torque_nm:.1f} N·m"
    if speed.torque_limit_nm is not None:
        return f"{asked} of {speed.torque_limit_nm:g} at which the belt may slip"
    has = torque_at_speed_nm(listed_power_w(job.shop.lathe, speed), speed_rpm=speed.rpm)
    return f"{asked} of {has:.1f}, estimated from the power: no limit of the belt is entered"


def _damping_words(found: Schedule) -> Iterable[str]:
    """What the limit of chatter leaves out, where it is the one that binds."""
    if limit_name(found.binds) == CHATTER and found.cutting_speed_m_min < DAMPED_BELOW_M_MIN:
        yield f"below about {said_cutting_speed(DAMPED_BELOW_M_MIN)} the flank damps chatter, which is not reckoned"


def _bending_words(job: Job, found: Schedule) -> Iterable[str]:
    """What the last cuts bend, and how much of it they had better not pass that is."""
    share = bending_share(found)
    if share > 0.0 and found.case is not None and found.case.bending is not None:
        moved = share * ERROR_SHARE * found.case.bending.tolerance_mm
        yield (
            f"bends the diameter by up to {said(moved, job.units, places=4)}, {100.0 * share:.0f} % of a quarter of "
            "the tolerance (common practice); the reading between the two takes that in"
        )


def findings_for(job: Job, ways: Sequence[Way]) -> tuple[Finding, ...]:
    """What the user should know about this job in this shop."""
    return (
        *_dial_findings(job),
        *_speed_findings(ways),
        *drive_findings(job.shop.lathe, ways),
        *taper_findings(job, ways),
        *unknown_findings(job.material),
        *_metal_findings(job),
        *_fine_findings(job, ways),
        *_holding_findings(job, ways),
        *swelling_findings(job, ways),
        *bent_findings(job, ways),
        *ripple_findings(job, ways),
        *song_findings(job, ways),
        *bar_findings(job),
        *fit_findings(job),
        *finish_findings(job, ways),
    )


def turned_findings(*, drawn: Part, cut: Part) -> tuple[Finding, ...]:
    """What to know if the part is not cut as it is drawn, but turned end for end."""
    if cut == drawn:
        return ()
    return (
        Finding(
            code="turned-end-for-end",
            severity=Severity.NOTE,
            where="load",
            problem="the end that the drawing calls the back is cut first, on the bar: in all of this sheet it is the "
            "front, and the drawing's front is the back",
            remedy="turn the drawing round, and write front and back on it as the sheet has them",
            source_key="COMMON",
        ),
    )


def _dial_findings(job: Job) -> Iterable[Finding]:
    lathe = job.shop.lathe
    for slide, scale in ((lathe.cross, job.cross), (lathe.top, job.top), (lathe.carriage, job.carriage)):
        if scale is not None and scale.kind is SettingKind.READOUT:
            continue  # nothing on the sheet goes by its dial
        dial = slide.dial
        if dial is not None and not dial.engraving_agrees:
            yield Finding(
                code="engraving-differs",
                severity=Severity.WARNING,
                where=slide.handle.value,
                problem=_engraving_words(dial, job.units),
                remedy="the sheet counts marks by the screw; try it: touch, wind in 10 marks, cut, measure",
                source_key="COMMON",
            )
        if dial is not None and not dial.settable:
            yield Finding(
                code="collar-fixed",
                severity=Severity.NOTE,
                where=slide.handle.value,
                problem="its collar cannot be set to 0",
                remedy="write the reading into the offset box and add it to every figure counted from that zero",
                source_key="COMMON",
            )


def _speed_findings(ways: Sequence[Way]) -> Iterable[Finding]:
    """Say of speeds worked out from pulleys that they are only about right."""
    taken = {way.schedule.speed for way in ways if way.schedule is not None and way.schedule.speed.is_computed}
    if not taken:
        return
    speeds = sorted(taken, key=lambda speed: speed.rpm)
    yield Finding(
        code="speed-worked-out",
        severity=Severity.NOTE,
        where="spindle speed",
        problem="worked out from the pulleys, not measured: "
        + "; ".join(
            f"{speed.position}: about {speed.rpm:g} rev/min, {speed.low_rpm:g} to {speed.high_rpm:g}"
            for speed in speeds
        ),
        remedy="limits go by the fast end; measure each speed once with a counter or a tachometer and enter it",
        source_key="COMMON",
    )


def _engraving_words(dial: Dial, units: Units) -> str:
    meaning = "of diameter" if engraving_is_diameter(dial) else "of slide travel"
    return (
        f"one mark is engraved {said_short(dial.label_mm, units)} {meaning}, but the screw moves the slide "
        f"{said_short(dial.travel_per_mark_mm, units)}"
    )


def _metal_findings(job: Job) -> Iterable[Finding]:
    metal = job.material
    own = [model for model in force_models(metal) if not model.from_group and model.mc is not None]
    if not own:
        yield Finding(
            code="force-from-group",
            severity=Severity.NOTE,
            where=metal.name,
            problem="no force data of its own in the tables: the range of its group is used, the upper end "
            "for every limit",
            remedy="start with the plan as it is; a cut that labours or chatters is the better judge",
            source_key=force_models(metal)[0].source_key,
        )
    yield from hazard_findings(metal)
    if metal.work_hardening is not WorkHardening.NONE:
        yield Finding(
            code="work-hardens",
            severity=Severity.NOTE,
            where=metal.name,
            problem=f"it hardens where it is rubbed ({metal.work_hardening.value})",
            remedy="no whisper cuts, no pass without depth, no dwell: to stop feeding, withdraw the tool",
            source_key=metal.range("min_depth").source_key,
        )
    if job.part.skin_contact:
        yield from skin_findings(metal)
    opened = [d for d in job.drills if d.kind is DrillKind.TWIST]
    if metal.drill_practice is DrillPractice.SINGLE_DUBBED and any(d.dubbed for d in opened):
        yield Finding(
            code="dubbed-drill",
            severity=Severity.NOTE,
            where="drilling",
            problem=f"{metal.name} grabs sharp drill lips as soon as there is a hole",
            remedy="use the dubbed drill that the sheet names and no other; hold it back as it breaks through",
            source_key="COMMON",
        )
    if job.drills and job.drills[0].kind is DrillKind.TWIST:
        yield Finding(
            code="no-centre-drill",
            severity=Severity.WARNING,
            where="drilling",
            problem="the shop has no centre drill: nothing leads the drill of "
            f"Ø {said_short(job.drills[0].dia_mm, job.units)} as it starts, and it may wander",
            remedy="add a centre drill; or grip the drill short, face without a pip, and start with hardly any push "
            "until the whole point cuts and runs true",
            source_key="COMMON",
        )


def _fine_findings(job: Job, ways: Sequence[Way]) -> Iterable[Finding]:
    for way in ways:
        scale, swing = way.across, way.swing
        if scale is None or swing is None or way.schedule is None or way.step.stage.value != "finish":
            continue
        if not swing.angle_deg or job.shop.lathe.top.angle_scale is None:
            continue
        error = radians(float(job.shop.lathe.top.angle_scale.step_deg) / 2.0)
        last = way.schedule.depth_steps[-1] * float(scale.step_mm)
        spoiled = 2.0 * last * cos(radians(float(swing.angle_deg))) * error
        band = float(job.size(way.step.surface, Aspect.DIAMETER).band)
        yield Finding(
            code="fine-feed",
            severity=Severity.WARNING if spoiled > SHARE_THAT_MATTERS * band else Severity.NOTE,
            where=way.step.id,
            problem=f"the tolerance, {said(band, job.units, places=3)}, is finer than the cross-slide's "
            f"{_read_on(job.cross)}: the top slide swung to {float(swing.angle_deg):g}° sets it, one {_step_of(scale)} "
            f"{said(scale.dia_per_step_mm, job.units, places=4)} on the diameter; half a division of swing error would "
            f"spoil the last cut by {said(spoiled, job.units, places=3)}",
            remedy="set the angle by the check move with an indicator, not by the scale alone",
            source_key="COMMON",
        )


def _read_on(scale: Scale | None) -> str:
    return "readout" if scale is not None and scale.kind is SettingKind.READOUT else "dial"


def _step_of(scale: Scale) -> str:
    return "step" if scale.kind is SettingKind.READOUT else "mark"


def _holding_findings(job: Job, ways: Sequence[Way]) -> Iterable[Finding]:
    for holding in {way.holding.id: way.holding for way in ways}.values():
        if holding.lobes_mm <= 0:
            continue
        band = float(min(job.bore_size.band, job.outside_size.band))
        yield Finding(
            code="jaw-lobes",
            severity=Severity.NOTE,
            where=holding.id,
            problem=f"the grip leaves lobes of about {said(holding.lobes_mm, job.units, places=4)} on the radius in "
            "whatever is cut round meanwhile; bore and outside are finished before, so they only spring "
            f"(tolerance {said(band, job.units, places=3)})",
            remedy="grip no harder than the light cuts need; measure after release",
            source_key="ROARK",
        )
