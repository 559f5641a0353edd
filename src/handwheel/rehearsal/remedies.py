"""What could be done otherwise for one size, each as a scenario to be rehearsed on the same lathes."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.approach import FAR_CHANCE
from handwheel.bench.stops import Stop
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.part import Aspect
from handwheel.domain.shop import Shop
from handwheel.rehearsal.courses import Course
from handwheel.rehearsal.scenario import Scenario
from handwheel.rehearsal.world import gauge_spreads

FINER = 2
"""A gauge of a better class is taken to be so many times as sure, and to be read so many times as finely; ours."""
LONGER = 2.0
"""How many times as long to cool."""
OFTENER = 2.0
"""How many times as many readings."""
BOLDER = 0.05
"""Chance of passing the far limit that a bolder hand gives a cut; ours, no source."""

INDICATOR_STEP_MM = 0.01
"""Step of a usual dial indicator; common practice. [mm]"""
CHECK_TRAVEL_MM = 12.0
"""Way of a top slide over which a swing is checked, where no sheet says one: a few turns; common practice. [mm]"""


class Try(Struct, frozen=True, kw_only=True):
    """A scenario with its stable code and its words."""

    code: str
    words: str
    scenario: Scenario


def tries_for(planned: Scenario) -> tuple[Try, ...]:
    """Everything that could lower the risk of a size, as far as shop and sheet have room for it."""
    return tuple(
        one
        for of in (
            _other_gauges,
            _finer_gauge,
            _fine_feed,
            _angle,
            _one_more_cut,
            _bolder,
            _longer_cooling,
            _more_readings,
        )
        for one in of(planned)
    )


def with_gauge(planned: Scenario, gauge: Gauge) -> Scenario:
    """The same with another gauge for the last cuts, which has the luck of the one that it stands for."""
    course, beliefs = planned.course, planned.beliefs
    own = course.last.gauge
    if own is None:
        return planned
    shop = _with(beliefs.shop, gauge)
    known = replace(beliefs, shop=shop)
    world = replace(planned.world, gauges={**planned.world.gauges, gauge.id: gauge_spreads(gauge.id, known)})
    slots = {**planned.slots, gauge.id: own.id}
    return replace(planned, course=_read_with(course, gauge), world=world, beliefs=known, slots=slots)


def _with(shop: Shop, gauge: Gauge) -> Shop:
    """A shop with a gauge, in place of its own of that id."""
    others = tuple(one for one in shop.gauges if one.id != gauge.id)
    return replace(shop, gauges=(*others, gauge))


def _read_with(course: Course, gauge: Gauge) -> Course:
    """The course with its last stops, and all others that use the same gauge, read by another."""
    old = course.last.gauge
    last = {course.last.act} | ({course.advised.stop.act} if course.advised is not None else set())

    def read(stop: Stop) -> Stop:
        return replace(stop, gauge=gauge) if stop.act in last or stop.gauge == old else stop

    return replace(
        course,
        planned=tuple(replace(block, stop=read(block.stop)) for block in course.planned),
        advised=None if course.advised is None else replace(course.advised, stop=read(course.advised.stop)),
        last=read(course.last),
    )


def uses_of(course: Course) -> GaugeUse:
    """What a gauge must be able to measure for a size."""
    match course.feature.aspect:
        case Aspect.DEPTH:
            return GaugeUse.DEPTH
        case Aspect.WIDTH:
            return GaugeUse.LENGTH
        case _:
            return GaugeUse.BORE if course.last.grows else GaugeUse.OUTSIDE


def _other_gauges(planned: Scenario) -> Iterator[Try]:
    """Gauges of the shop that measure the same more surely."""
    course = planned.course
    own, size, use = course.last.gauge, course.last.expected_mm, uses_of(course)
    if own is None:
        return
    for gauge in planned.beliefs.shop.gauges:
        fits = use in gauge.uses and gauge.low_mm <= size <= gauge.high_mm
        if fits and gauge.id != own.id and gauge.uncertainty_mm < own.uncertainty_mm:
            yield Try(code="gauge", words=f"measure with the {gauge.name}", scenario=with_gauge(planned, gauge))


def _finer_gauge(planned: Scenario) -> Iterator[Try]:
    own = planned.course.last.gauge
    if own is None:
        return
    finer = replace(own, uncertainty_mm=own.uncertainty_mm / FINER, step_mm=own.step_mm / FINER)
    words = f"a gauge twice as sure (± {finer.uncertainty_mm:.4g} mm instead of ± {own.uncertainty_mm:.4g} mm)"
    yield Try(code="finer-gauge", words=words, scenario=with_gauge(planned, finer))


def _fine_feed(planned: Scenario) -> Iterator[Try]:
    """Only for a diameter whose last cuts the bench advises, on a lathe whose top slide can be swung."""
    course, top = planned.course, planned.beliefs.shop.lathe.top
    is_fine = course.scaled.scale is not None and course.scaled.scale.is_fine
    if is_fine or course.advised is None or course.feature.aspect is not Aspect.DIAMETER or top.dial is None:
        return
    words = "fine feed for the last cuts: the top slide swung to 1 in 10"
    checked_deg = degrees(_finest_indicator_mm(planned.beliefs.shop) / CHECK_TRAVEL_MM)
    yield Try(code="fine-feed", words=words, scenario=replace(planned, fine=True, angle_error_deg=checked_deg))


def _angle(planned: Scenario) -> Iterator[Try]:
    """The angle of a slide that a shop can only set by its scale, by an indicator over the way of the sheet's check."""
    course, scale = planned.course, planned.course.scaled.scale
    if not course.check_travel_mm or scale is None or not scale.angle_by_scale:
        return
    error_deg = degrees(INDICATOR_STEP_MM / course.check_travel_mm)
    words = (
        f"check the angle of the top slide by an indicator of {INDICATOR_STEP_MM:g} mm, to {error_deg:.2f}°, not by "
        "its scale alone"
    )
    yield Try(code="angle", words=words, scenario=replace(planned, angle_error_deg=error_deg))


def _finest_indicator_mm(shop: Shop) -> float:
    """Step of the finest indicator at hand; that of a usual one where there is none, for it is wanted then. [mm]"""
    steps = (float(one.step_mm) for one in shop.gauges if GaugeUse.RUNOUT in one.uses)
    return min(steps, default=INDICATOR_STEP_MM)


def _one_more_cut(planned: Scenario) -> Iterator[Try]:
    course, habits = planned.course, planned.beliefs.shop.habits
    if course.advised is None:
        return
    depth = min(course.last_cut_mm, max(habits.finish_cut_mm, course.last.least_cut_mm))
    words = f"one more last cut, measured before the next: leave {depth:.2f} mm more a side for it"
    if course.last.per_travel == 1:
        words = f"measure before the last cut: leave {depth:.2f} mm for it"
    yield Try(code="one-more-cut", words=words, scenario=replace(planned, leaves_more_mm=depth))


def _bolder(planned: Scenario) -> Iterator[Try]:
    """A greater risk of passing the far limit: where what is left cannot be cut any more, caution loses parts too."""
    if planned.course.advised is None:
        return
    words = (
        f"let a cut risk the far limit by {100.0 * BOLDER:g} % as the bench believes, not by {100.0 * FAR_CHANCE:g} %: "
        "metal left that cannot be cut is no good part either"
    )
    yield Try(code="bolder", words=words, scenario=replace(planned, far_chance=BOLDER))


def _longer_cooling(planned: Scenario) -> Iterator[Try]:
    yield Try(code="cooling", words="let it cool twice as long", scenario=replace(planned, cooling=LONGER))


def _more_readings(planned: Scenario) -> Iterator[Try]:
    yield Try(code="readings", words="twice as many readings", scenario=replace(planned, readings=OFTENER))
