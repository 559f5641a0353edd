"""What is known at a stop of a sheet before the gauge is read: the size as an approach, and the belief about it."""

from __future__ import annotations

from math import hypot, radians, sqrt, tan

from handwheel.bench import moves
from handwheel.bench.approach import Approach, Habit, Prior
from handwheel.bench.asking.records import bias_of_mm, spread_of_mm
from handwheel.bench.belief import Belief, beginning
from handwheel.bench.learning.believing import believed, has_learned
from handwheel.bench.stops import Stop
from handwheel.domain.beliefs import About, Beliefs, Quantity
from handwheel.domain.shop import Shop

WARM_RISE_K = Prior(value=20.0, spread=12.0)
"""How much warmer than the room a small ring is just after a cut; common practice, no source (PC-24 tells 30 to 40 K
as the worst). [K]"""
DEEPER = 1.25
"""A pass may be deeper than the sheet has it by this factor, and must be: what the last one sprang away comes on top of
what the dial goes on; common practice, no source."""
REMEMBERED = 4
"""Cuts that still tell how far the tip stands from the surface: of what one sprang away the next leaves a share."""
MOST_ROUGH_MM = 0.5
"""Depth of a cut where the sheet has none to go by; common practice, no source. [mm]"""


def approach_at(stop: Stop, shop: Shop, *, beliefs: Beliefs | None = None) -> Approach:
    """The size of a stop by the scale in use there, as its sheet, its shop and what was learned tell of it.

    Parameters
    ----------
    stop : Stop
        A measuring act in its place on the sheet.
    shop : Shop
        The shop.
    beliefs : Beliefs, optional
        What was learned at this lathe; without it, what is believed of any.

    Returns
    -------
    Approach
        Without a fine feed of its own: the sheet has chosen the scale. Where no scale is at hand the step is the
        gauge's own, and a cut is never advised (`handwheel.bench.judge`).
    """
    depth = stop.cuts[-1].depth_mm if stop.cuts else 0.0
    coming = max((cut.depth_mm for cut in stop.after.cuts), default=0.0)
    least = stop.least_depth_mm or stop.least_cut_mm
    most = max(depth, coming, least) or MOST_ROUGH_MM
    step = stop.scale.travel_per_step_mm if stop.scale is not None else _gauge_step_mm(stop) / stop.per_travel
    return Approach(
        inside=stop.grows,
        lower_mm=stop.lower_mm,
        upper_mm=stop.upper_mm,
        target_mm=stop.target_mm,
        per_travel=float(stop.per_travel),
        step_mm=step,
        least_cut_mm=least or step,
        last_cut_mm=coming or depth or least or step,
        most_cut_mm=DEEPER * most,
        habit=habit_at(stop, beliefs or Beliefs(shop=shop)),
        far_chance=shop.habits.far_chance,
    )


def habit_at(stop: Stop, beliefs: Beliefs) -> Habit:
    """What is believed of lathe, edge and gauge at a stop."""
    usual = Habit()
    metal = stop.material.key
    tool = "" if stop.tool is None else stop.tool.id
    scale, gauge = stop.scale, stop.gauge
    return Habit(
        spring=_prior(beliefs, Quantity.SPRING, tool, metal=metal, otherwise=usual.spring),
        wear=_prior(beliefs, Quantity.EDGE_WEAR, tool, metal=metal, otherwise=usual.wear),
        touch_mm=_prior(beliefs, Quantity.TOUCH_ERROR, tool, otherwise=Prior(value=0.0, spread=usual.touch_mm)).spread,
        rate=usual.rate if scale is None else _rate(beliefs, stop),
        ripple_mm=usual.ripple_mm * (1.0 if scale is None else scale.square),
        warm=_warm_mm(stop),
        gauge_bias_mm=usual.gauge_bias_mm if gauge is None else _bias_mm(beliefs, stop),
        gauge_spread_mm=usual.gauge_spread_mm if gauge is None else _spread_mm(beliefs, stop),
    )


def belief_at(stop: Stop, approach: Approach) -> Belief:
    """What is believed at a stop before the reading: by the sheet's own figures alone, as on paper.

    The handle stands where the last cut was set, which counts as 0; the tip stands as much deeper than the surface as
    it sprang away from it. What the size is the reading will tell.
    """
    depth = _last_depth_mm(stop, float(approach.habit.spring.value))
    kept = 1.0 - approach.habit.spring.value
    anywhere_mm = stop.stop_high_mm - stop.stop_low_mm + stop.upper_mm - stop.lower_mm
    left = float(approach.left_mm(stop.expected_mm))
    start = Prior(value=left + kept * depth, spread=anywhere_mm / approach.per_travel)
    belief = moves.touched(beginning(approach, left=start), approach, sure=True)
    if depth > 0.0:
        belief = moves.counted_from(moves.cut(belief, approach, depth), depth)
    return moves.waited(belief, approach, stop.cooled_s)


def _last_depth_mm(stop: Stop, spring: float) -> float:
    """Depth that the last cut had in truth: what the dial went on, and what the cuts before it sprang away. [mm]

    Only the middle of that: how uncertain it is a table cannot tell, which does not know the readings before.
    """
    sprung = 0.0
    for cut in stop.cuts[-REMEMBERED:-1]:
        sprung = spring * (cut.depth_mm + sprung)
    return stop.cuts[-1].depth_mm + sprung if stop.cuts else 0.0


def _rate(beliefs: Beliefs, stop: Stop) -> Prior:
    """How far off the travel of a scale may be: its screw and, of a swung slide, the angle too."""
    scale = stop.scale
    if scale is None:
        return Habit().rate
    screw = _prior(beliefs, Quantity.LEAD_ERROR, scale.handle.value, otherwise=Habit().rate)
    if not scale.is_fine:
        return screw
    checked = Prior(value=0.0, spread=scale.angle_error_deg / sqrt(3.0))  # anywhere within it, as likely here as there
    by_scale = scale.handle.value if scale.angle_by_scale else ""
    angle = _prior(beliefs, Quantity.ANGLE_ERROR, by_scale, otherwise=checked)
    for_one_deg = radians(1.0) / tan(radians(scale.angle_deg))
    spread = hypot(float(screw.spread), for_one_deg * float(angle.spread))
    return Prior(value=float(screw.value) + for_one_deg * float(angle.value), spread=spread)


def _warm_mm(stop: Stop) -> Prior:
    """How much too large the work reads just after a cut. [mm]"""
    low, high = stop.expansion_per_k
    for_one_k = (low + high) / 2.0 * stop.expected_mm
    return Prior(value=for_one_k * float(WARM_RISE_K.value), spread=for_one_k * float(WARM_RISE_K.spread))


def _bias_mm(beliefs: Beliefs, stop: Stop) -> float:
    gauge = stop.gauge
    if gauge is None:
        return float(Habit().gauge_bias_mm)
    about = About(thing=gauge.id)
    if not has_learned(beliefs, Quantity.GAUGE_BIAS, about):
        return bias_of_mm(gauge)
    value, spread = believed(beliefs, Quantity.GAUGE_BIAS, about)
    return hypot(value, spread)


def _spread_mm(beliefs: Beliefs, stop: Stop) -> float:
    """Standard deviation of one reading, never finer than its step allows. [mm]"""
    gauge = stop.gauge
    if gauge is None:
        return float(Habit().gauge_spread_mm)
    about = About(thing=gauge.id)
    own = (
        believed(beliefs, Quantity.GAUGE_SPREAD, about)[0]
        if has_learned(beliefs, Quantity.GAUGE_SPREAD, about)
        else spread_of_mm(gauge)
    )
    return max(own, _gauge_step_mm(stop) / sqrt(12.0))


def _gauge_step_mm(stop: Stop) -> float:
    return 0.01 if stop.gauge is None else float(stop.gauge.step_mm)


def _prior(beliefs: Beliefs, quantity: Quantity, thing: str, *, metal: str = "", otherwise: Prior) -> Prior:
    """What is believed of a thing; ``otherwise`` where no such thing is at hand."""
    if not thing:
        return otherwise
    value, spread = believed(beliefs, quantity, About(thing=thing, metal=metal))
    return Prior(value=value, spread=spread)
