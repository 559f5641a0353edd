"""The act that measures: what a gauge would read on the work as it has been cut."""

from __future__ import annotations

from math import nan, radians, sin

from msgspec.structs import replace

from handwheel.check.acts_collar import MEASURED_TOLERANCE_MM
from handwheel.check.acts_spindle import must_stand
from handwheel.check.compare import cut_limits_mm, depths_mm, leg_mm, width_mm
from handwheel.check.machine import Machine
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.section import Section, section
from handwheel.check.solids import leg_hull
from handwheel.check.surfaces import corner_of, is_inner, is_known, neighbours
from handwheel.domain.acts import Measure
from handwheel.domain.contour import Segment
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.holding import Side
from handwheel.domain.motion import Handle
from handwheel.domain.part import Aspect, Part
from handwheel.domain.slides import Dial, Slide
from handwheel.geometry.region import Region, distance_mm, turned_round

_JUDGED = (Aspect.DIAMETER, Aspect.DEPTH, Aspect.WIDTH)
"""What an instrument of the shop decides; legs of edges are looked at beside a rule."""
CLEAR_MM = 1.0
"""Room that a gauge needs between tool and work."""
RIDGE_MM = 0.05
"""How much shallower than printed a shoulder may stand in places: beside the corner of a low step an edge that leans
away from it leaves a ridge of some hundredths. Where it is deepest it must stand as printed."""
DEEPEST_MM = 0.005
"""How far it may lie from that: on a step hardly higher than its last cuts the round of the tip that faced it begins
where the gauge rests."""
MOST_CORNER_SHARE = 0.6
"""The round in a corner is kept clear of, as far as this share of a short step."""
LIMIT_TOLERANCE_MM = 1e-3
"""How far printed limits may lie from those of the drawing."""
WORTH_TOLERANCE_MM = 1e-6
"""How far the printed worth of a mark may lie from the screw's."""


def measure(scene: Scene, act: Measure) -> Machine:
    """Measure one dimension."""
    must_stand(scene, f"measuring {act.surface}")
    machine = scene.machine
    aspect = next((aspect for aspect in Aspect if aspect.value == act.aspect), None)
    if aspect is None or not is_known(scene.case.part, act.surface):
        scene.refuse(
            RefusalCode.UNKNOWN_SURFACE,
            f"{act.surface!r} {act.aspect!r}: the part has no such dimension; name one it has",
        )
        return machine
    if machine.work is None:
        scene.refuse(RefusalCode.NOT_HELD, f"measuring {act.surface} and there is no work yet; load a bar first")
        return machine
    _check_room(scene, act, aspect)
    _check_burr(scene, aspect)
    _check_gauge(scene, act, aspect)
    _check_reading(scene, act, aspect)
    _check_limits(scene, act, aspect)
    _check_worth(scene, act, aspect)
    judged = {**machine.judged_at, (act.surface, act.aspect): machine.step} if act.final else machine.judged_at
    return replace(machine, measured_at={**machine.measured_at, act.surface: machine.step}, judged_at=judged)


def unjudged(part: Part, machine: Machine) -> tuple[str, ...]:
    """Diameters, depths and width that no measuring has judged as finished since their surface was cut last."""
    cut, judged = machine.cut_at, machine.judged_at
    sizes = (size for size in part.sizes if size.aspect in _JUDGED)
    return tuple(
        size.id for size in sizes if judged.get((size.surface, size.aspect.value), -1) <= cut.get(size.surface, -1)
    )


def part_frame(machine: Machine, width_mm: float) -> Region:
    """Half section of the work in the part's frame; there must be work."""
    if machine.work is None:
        msg = "there is no work"
        raise ValueError(msg)
    region = machine.work.region
    return region if machine.side is Side.FRONT else turned_round(region, width_mm)


def _check_room(scene: Scene, act: Measure, aspect: Aspect) -> None:
    machine = scene.machine
    if machine.work is None or machine.fitted is None or machine.place is None or not machine.in_machine:
        return
    at = machine.place
    box = machine.fitted.shape.box
    in_front = box[0] + at.z_mm >= machine.work.box[2] + CLEAR_MM
    inside = aspect is Aspect.DIAMETER and is_inner(scene.case.part, act.surface)
    if in_front or (not inside and _distance_mm(machine) >= CLEAR_MM):
        return
    scene.refuse(
        RefusalCode.TOOL_IN_THE_WAY,
        f"measuring {act.surface}: {machine.fitted.tool.name} stands in the way of gauge and hand; draw it clear "
        f"{'in front of the hole' if inside else f'by more than {CLEAR_MM:g} mm'} first",
    )


def _distance_mm(machine: Machine) -> float:
    if machine.work is None or machine.fitted is None or machine.place is None:
        return nan
    at = machine.place
    return min(distance_mm(leg_hull(piece, at, at), machine.work.region) for piece in machine.fitted.shape.pieces)


def _check_burr(scene: Scene, aspect: Aspect) -> None:
    machine = scene.machine
    if aspect is not Aspect.WIDTH:
        return
    if machine.in_machine:
        scene.refuse(
            RefusalCode.WIDTH_NOT_REACHABLE,
            "measuring the width of a ring that is held: the far face cannot be reached; take it out and clean "
            "it first",
        )
    if machine.burr:
        scene.refuse(RefusalCode.BURR, "measuring a width over a burr: take the burr off first")


def _check_gauge(scene: Scene, act: Measure, aspect: Aspect) -> None:
    gauge: Gauge | None = next((gauge for gauge in scene.case.shop.gauges if gauge.id == act.gauge), None)
    if gauge is None:
        scene.refuse(RefusalCode.UNKNOWN_GAUGE, f"gauge {act.gauge!r}: the shop has none; choose one it has")
        return
    use = GaugeUse.DEPTH if aspect is Aspect.DEPTH else GaugeUse.LENGTH
    if aspect is Aspect.DIAMETER:
        use = GaugeUse.BORE if is_inner(scene.case.part, act.surface) else GaugeUse.OUTSIDE
    if use not in gauge.uses or not gauge.low_mm <= act.expected_mm <= gauge.high_mm:
        scene.refuse(
            RefusalCode.GAUGE_CANNOT,
            f"{gauge.name} ({gauge.low_mm:g} to {gauge.high_mm:g} mm, "
            f"{', '.join(item.value for item in gauge.uses)}) does "
            f"not measure a {use.value} of {act.expected_mm:.3f} mm; choose another gauge",
        )


def _check_reading(scene: Scene, act: Measure, aspect: Aspect) -> None:
    readings = _readings_mm(scene, act, aspect)
    if readings is None:
        scene.refuse(
            RefusalCode.MEASURE_DISAGREES,
            f"measuring {act.surface}: there is no such surface on the work yet; cut it first",
        )
        return
    worst = max(readings, key=lambda reading: abs(reading - act.expected_mm))
    if aspect is Aspect.DEPTH and act.expected_mm - readings[0] <= RIDGE_MM:
        worst = readings[1]
    allowed_mm = DEEPEST_MM if aspect is Aspect.DEPTH else MEASURED_TOLERANCE_MM
    if abs(worst - act.expected_mm) > allowed_mm:
        halved = aspect is Aspect.DIAMETER and abs(worst - 2.0 * act.expected_mm) <= MEASURED_TOLERANCE_MM
        scene.refuse(
            RefusalCode.RADIUS_FOR_DIAMETER if halved else RefusalCode.MEASURE_DISAGREES,
            f"measuring {act.surface}: it is {worst:.3f} mm, and the sheet expects {act.expected_mm:.3f} mm"
            f"{'; that is the radius' if halved else ': correct the reading, or the cuts before it'}",
        )
    if not act.stop_low_mm - LIMIT_TOLERANCE_MM <= act.expected_mm <= act.stop_high_mm + LIMIT_TOLERANCE_MM:
        scene.refuse(
            RefusalCode.LIMITS_DISAGREE,
            f"measuring {act.surface}: {act.expected_mm:.3f} mm is expected and lies outside {act.stop_low_mm:.3f} to "
            f"{act.stop_high_mm:.3f} mm, where the sheet says stop: widen the band",
        )


def _readings_mm(scene: Scene, act: Measure, aspect: Aspect) -> tuple[float, float] | None:
    part = scene.case.part
    work = section(part_frame(scene.machine, part.width_mm))
    if aspect is Aspect.WIDTH:
        # flat measuring faces rest on what stands highest
        width = width_mm(part, work)
        return None if width is None else (width[1], width[1])
    segment = part.surface(act.surface)
    if segment is None:
        return None
    if aspect is Aspect.DIAMETER:
        return _diameters_mm(scene, work, segment)
    if aspect is Aspect.DEPTH:
        return depths_mm(part, work, segment)
    leg = leg_mm(part, work, segment, aspect)
    return None if leg is None else (leg, leg)


def _diameters_mm(scene: Scene, work: Section, segment: Segment) -> tuple[float, float] | None:
    """Diameters where a person measures: mid-length of what the last cut there made, else of the surface. [mm]"""
    low, high = sorted((segment.start.z_mm, segment.end.z_mm))
    span = scene.machine.cut_spans_mm.get(segment.id)
    if span is not None and max(low, span[0]) < min(high, span[1]):
        low, high = max(low, span[0]), min(high, span[1])
    low, high = _beside_corners(scene.case.part, segment, low, high)
    quarter = (high - low) / 4.0
    inner = is_inner(scene.case.part, segment.id)
    find = work.inner_radii_mm if inner else work.outer_radii_mm
    found = find(low + quarter, high - quarter)
    return None if found is None else (2.0 * found[0], 2.0 * found[1])


def _beside_corners(part: Part, segment: Segment, low: float, high: float) -> tuple[float, float]:
    """Range of z without the round in the corner of a step, where no measuring face goes. [mm]"""
    least = min(segment.start.z_mm, segment.end.z_mm)
    for neighbour in neighbours(part, segment.id):
        corner = corner_of(part, neighbour)
        if corner not in (segment.start, segment.end):
            continue
        room = min(part.corner_radius_mm, MOST_CORNER_SHARE * (high - low))
        low, high = (low + room, high) if corner.z_mm <= least else (low, high - room)
    return low, high


def _check_limits(scene: Scene, act: Measure, aspect: Aspect) -> None:
    if not act.final:
        return
    feature = scene.case.part.feature(act.surface, aspect)
    if feature is None:
        scene.refuse(RefusalCode.UNKNOWN_SURFACE, f"{act.surface} {act.aspect}: the drawing states no such size")
        return
    lower, upper = cut_limits_mm(feature)
    if max(abs(lower - act.lower_mm), abs(upper - act.upper_mm)) > LIMIT_TOLERANCE_MM:
        scene.refuse(
            RefusalCode.LIMITS_DISAGREE,
            f"{feature.id}: the drawing allows {lower:.3f} to {upper:.3f} mm before finishing, and the sheet says "
            f"{act.lower_mm:.3f} to {act.upper_mm:.3f} mm",
        )
    if not lower - 1e-4 <= act.expected_mm <= upper + 1e-4:
        scene.refuse(
            RefusalCode.LIMITS_DISAGREE,
            f"{feature.id}: {act.expected_mm:.3f} mm is expected as the finished size and lies outside {lower:.3f} to "
            f"{upper:.3f} mm: plan the last cuts anew",
        )


def _check_worth(scene: Scene, act: Measure, aspect: Aspect) -> None:
    """A printed worth of one mark must be that of a handle which changes this dimension."""
    if act.mark_worth_mm == 0:
        return
    worths = [
        worth for handle in (Handle.CROSS, Handle.TOP, Handle.CARRIAGE) for worth in _worths(scene, handle, aspect)
    ]
    if any(abs(act.mark_worth_mm - worth) <= WORTH_TOLERANCE_MM for worth in worths):
        return
    factor_two = any(
        abs(act.mark_worth_mm * share - worth) <= WORTH_TOLERANCE_MM for worth in worths for share in (2.0, 0.5)
    )
    told = "no handle that does has marks or a readout; print no worth"
    if worths:
        told = f"marks (or steps of a readout) are worth {', '.join(f'{worth:.5f} mm' for worth in worths)} here"
    scene.refuse(
        RefusalCode.RADIUS_FOR_DIAMETER if factor_two else RefusalCode.EXPECTED_NOT_MET,
        f"measuring {act.surface}: no mark of this lathe changes it by {act.mark_worth_mm:.5f} mm; {told}",
    )


def _worths(scene: Scene, handle: Handle, aspect: Aspect) -> tuple[float, ...]:
    marks = _marks_mm(scene.slide(handle))
    across = handle is Handle.CROSS
    if aspect is Aspect.DIAMETER:
        swing = sin(radians(float(scene.machine.swing_deg))) if handle is Handle.TOP else 0.0
        share = 1.0 if across else swing
        return tuple(2.0 * mark * share for mark in marks) if share else ()
    if aspect is Aspect.LEG_RADIAL:
        return marks
    return () if across and aspect is Aspect.WIDTH else marks


def _marks_mm(slide: Slide) -> tuple[float, ...]:
    """Travel of one mark of a slide's dial and of one step of its readout, as far as it has them. [mm]"""
    dial: Dial | None = slide.dial
    by_dial = () if dial is None else (float(dial.lead_mm) / dial.marks,)
    return by_dial if slide.readout_step_mm is None else (*by_dial, float(slide.readout_step_mm))
