"""Beliefs laid over the shop: the figures that the planner takes in place of those of the shop file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from math import ceil, hypot

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.learning.believing import (
    SURE_SPREADS,
    beliefs_version,
    believed,
    has_learned,
    is_sure,
    learned_beliefs,
)
from handwheel.bench.learning.priors import CHUCK
from handwheel.domain.beliefs import About, BeliefChange, Beliefs, Believed, Quantity
from handwheel.domain.exact import Fraction
from handwheel.domain.lathe import Lathe
from handwheel.domain.matters import SHARE_THAT_MATTERS
from handwheel.domain.motion import Handle
from handwheel.domain.part import Part
from handwheel.domain.said import DUST
from handwheel.domain.shop import Shop
from handwheel.domain.size import SizeKind
from handwheel.domain.slides import Slide

FACTOR_STEP = Fraction(1, 10_000)
"""A factor on a lead is rounded to this: 1 µm in 10 mm of travel, finer than anybody learns it; own choice."""
TIME_STEP_S, SPEED_STEP_RPM = Fraction(1), Fraction(1)
"""What believed times and speeds are rounded to."""
LEFT_FOR_DRILLS_MM = Fraction(15, 100)
"""What the planner leaves for any drill to cut larger than itself: the usual most, at 10 mm in steel, common practice.
[mm]"""
SLACK_STEP_MM, FINE_STEP_MM = Fraction(1, 100), Fraction(1, 1000)
"""What a slack, and what a trust, runout or play is rounded up to. [mm]"""
TAKEN, SAME, UNSURE, TOO_SMALL = (
    "taken",
    "agrees with the shop file",
    "not taken: less than twice as far from nought as it may be off",
    "not taken: too small to matter",
)
"""What becomes of a belief."""


class Verdict(Struct, frozen=True, kw_only=True):
    """What becomes of one belief in a plan: taken with its change, or why not."""

    quantity: Quantity
    about: About
    words: str
    change: BeliefChange | None = None


def shop_with_beliefs(beliefs: Beliefs, part: Part | None = None) -> tuple[Shop, Believed | None]:
    """The shop as it is believed to be, and what that changes; nothing learned changes nothing.

    Parameters
    ----------
    beliefs : Beliefs
        The shop as its file has it, what was learned at it, and the day.
    part : Part, optional
        What will be made: an error of a screw that is too small to matter for its sizes is not taken. Without a part
        every sure one is.

    Returns
    -------
    tuple of Shop and Believed
        The shop for the planner, and what to keep with the plan; ``None`` if no figure changes.
    """
    changes = tuple(verdict.change for verdict in verdicts(beliefs, part) if verdict.change is not None)
    if not changes:
        return beliefs.shop, None
    said = Believed(version=beliefs_version(beliefs.learned), date=beliefs.today, changes=changes)
    return shop_with_changes(beliefs.shop, changes), said


def shop_with_changes(shop: Shop, changes: Iterable[BeliefChange]) -> Shop:
    """The shop of a file with the figures that a plan took from beliefs; a thing that it lost changes nothing."""
    for change in changes:
        shop = _APPLY[change.quantity](shop, change)
    return shop


def verdicts(beliefs: Beliefs, part: Part | None = None) -> tuple[Verdict, ...]:
    """What becomes of each belief with evidence that the planner could use, in the order of quantities."""
    found: list[Verdict] = []
    for each in learned_beliefs(beliefs):
        judge = _JUDGES.get(each.quantity)
        if judge is None or not each.counting:
            continue
        words, change = judge(beliefs, each.about, part)
        found.append(Verdict(quantity=each.quantity, about=each.about, words=words, change=change))
    return tuple(found)


Judged = tuple[str, BeliefChange | None]
"""What becomes of a belief, and its change if it is taken."""


def _judge_time(beliefs: Beliefs, about: About, part: Part | None) -> Judged:
    """A time that was learned is taken in whole seconds."""
    del part
    was = _exact(getattr(beliefs.shop.habits, about.thing))
    value, _ = believed(beliefs, Quantity.TIME, about)
    return _taken(beliefs, Quantity.TIME, about, was, round(Fraction(value) / TIME_STEP_S) * TIME_STEP_S)


def _judge_speed(beliefs: Beliefs, about: About, part: Part | None) -> Judged:
    """A speed that was measured overrides what a plate or pulleys promise, in whole turns a minute."""
    del part
    was = next(_exact(speed.rpm) for speed in beliefs.shop.lathe.speeds if speed.position == about.thing)
    value, _ = believed(beliefs, Quantity.SPINDLE_SPEED, about)
    now = max(round(Fraction(value) / SPEED_STEP_RPM) * SPEED_STEP_RPM, SPEED_STEP_RPM)
    return _taken(beliefs, Quantity.SPINDLE_SPEED, about, was, now)


def _judge_slack(beliefs: Beliefs, about: About, part: Part | None) -> Judged:
    """So much slack as it may be: who backs off by less than the slack backs off by nothing."""
    del part
    was = _slide(beliefs.shop.lathe, about.thing).slack_mm
    now = _up(*believed(beliefs, Quantity.SLACK, about), SLACK_STEP_MM)
    return _taken(beliefs, Quantity.SLACK, about, was, now)


def _judge_runout(beliefs: Beliefs, about: About, part: Part | None) -> Judged:
    """So much runout as it may be."""
    del part
    was = _exact(
        beliefs.shop.lathe.chuck.runout_mm if about.thing == CHUCK else beliefs.shop.holding(about.thing).runout_mm
    )
    now = _up(*believed(beliefs, Quantity.RUNOUT, about), FINE_STEP_MM)
    return _taken(beliefs, Quantity.RUNOUT, about, was, now)


def _judge_gauge(beliefs: Beliefs, about: About, part: Part | None) -> Judged:
    """A gauge is trusted within its bias, which nobody takes off on paper, and twice what else it may be off."""
    del part
    was = _exact(beliefs.shop.gauge(about.thing).uncertainty_mm)
    bias, unsure = believed(beliefs, Quantity.GAUGE_BIAS, about)
    scatter, _ = believed(beliefs, Quantity.GAUGE_SPREAD, about)
    trust = _up(abs(bias), hypot(unsure, max(scatter, 0.0)), FINE_STEP_MM)
    return _taken(beliefs, Quantity.GAUGE_SPREAD, about, was, trust)


def _judge_gauge_bias(beliefs: Beliefs, about: About, part: Part | None) -> Judged:
    """As `_judge_gauge`, which says it once where both were learned."""
    if has_learned(beliefs, Quantity.GAUGE_SPREAD, about):
        return "in the trust in the gauge, with its spread", None
    return _judge_gauge(beliefs, about, part)


def _judge_drill(beliefs: Beliefs, about: About, part: Part | None) -> Judged:
    """What a drill may cut beyond what is left for any drill: the play of the tailstock bears it, which is the lathe's.

    The widest of the drills rules, and says so alone.
    """
    del part
    over = {of: believed(beliefs, Quantity.DRILL_OVERSIZE, of) for of in _drills(beliefs)}
    if max(over, key=lambda of: (_up(*over[of], FINE_STEP_MM), of)) != about:
        return "another drill cuts larger, and rules", None
    was = _exact(beliefs.shop.lathe.tailstock.play_mm)
    more = (_up(*over[about], FINE_STEP_MM) - LEFT_FOR_DRILLS_MM) / 2
    if over[about][0] <= LEFT_FOR_DRILLS_MM or more <= was:
        return "within what is left for any drill", None
    return _taken(beliefs, Quantity.DRILL_OVERSIZE, about, was, more)


def _drills(beliefs: Beliefs) -> tuple[About, ...]:
    return tuple(
        each.about for each in learned_beliefs(beliefs) if each.quantity is Quantity.DRILL_OVERSIZE and each.counting
    )


def _judge_lead(beliefs: Beliefs, about: About, part: Part | None) -> Judged:
    """An error of a screw is taken where it is sure and matters: exactly, as a factor on the lead."""
    slide = _slide(beliefs.shop.lathe, about.thing)
    value, spread = believed(beliefs, Quantity.LEAD_ERROR, about)
    if slide.dial is None:
        return "not taken: the slide has no dial", None
    if not is_sure(value, spread):
        return UNSURE, None
    if part is not None and not _lead_matters(beliefs.shop, part, slide, value):
        return TOO_SMALL, None
    now = 1 + round(Fraction(value) / FACTOR_STEP) * FACTOR_STEP
    return _taken(beliefs, Quantity.LEAD_ERROR, about, Fraction(1), now)


def _lead_matters(shop: Shop, part: Part, slide: Slide, error: float) -> bool:
    """Whether a share of the travel that a dial may count without a measurement between is more than hardly anything.

    Across the bed that is from bar or drill to size, and counts twice on a diameter; along it the width.
    """
    across = slide.handle is Handle.CROSS
    kind = SizeKind.DIAMETER if across else SizeKind.LENGTH
    bands = [float(feature.size.band) for feature in part.sizes if feature.size.kind is kind]
    missed_mm = 2.0 * _infeed_mm(shop, part) * abs(error) if across else part.width_mm * abs(error)
    return bool(bands) and missed_mm > SHARE_THAT_MATTERS * min(bands)


def _infeed_mm(shop: Shop, part: Part) -> float:
    """Most that the cross-slide may have to wind in for this part: from the widest bar, or the widest drill. [mm]"""
    bars = [float(bar.dia_upper_mm) / 2.0 for bar in shop.bars if bar.material == part.material]
    holes = [float(drill.dia_mm) / 2.0 for drill in shop.drills if float(drill.dia_mm) / 2.0 < part.bore_radius_mm]
    outside = max(bars, default=part.outside_radius_mm) - part.outside_radius_mm
    return max(outside, part.bore_radius_mm - max(holes, default=0.0), shop.habits.finish_cut_mm)


def _taken(beliefs: Beliefs, quantity: Quantity, about: About, was: Fraction, now: Fraction) -> Judged:
    """A figure in the place of another, unless they are one."""
    if now == was:
        return SAME, None
    value, spread = believed(beliefs, quantity, about)
    change = BeliefChange(quantity=quantity, thing=about.thing, was=was, now=now, value=value, spread=spread)
    return TAKEN, change


def _up(value: float, spread: float, step: Fraction) -> Fraction:
    """A value as large as it may be, rounded up; never below nought."""
    return max(ceil(Fraction(value + SURE_SPREADS * spread) / step - DUST) * step, Fraction(0))


def _exact(figure: float) -> Fraction:
    """The decimal that a figure of a file was written as."""
    return Fraction(repr(float(figure)))


def _slide(lathe: Lathe, name: str) -> Slide:
    return next(lathe.slide(handle) for handle in Handle if handle.value == name)


_JUDGES: Mapping[Quantity, Callable[[Beliefs, About, Part | None], Judged]] = {
    Quantity.TIME: _judge_time,
    Quantity.SPINDLE_SPEED: _judge_speed,
    Quantity.SLACK: _judge_slack,
    Quantity.RUNOUT: _judge_runout,
    Quantity.GAUGE_SPREAD: _judge_gauge,
    Quantity.GAUGE_BIAS: _judge_gauge_bias,
    Quantity.DRILL_OVERSIZE: _judge_drill,
    Quantity.LEAD_ERROR: _judge_lead,
}
"""Beliefs that the planner uses; the others are for the bench."""


def _put_time(shop: Shop, change: BeliefChange) -> Shop:
    return replace(shop, habits=replace(shop.habits, **{change.thing: float(change.now)}))


def _put_speed(shop: Shop, change: BeliefChange) -> Shop:
    measured = tuple(
        replace(speed, rpm=float(change.now), measured=True, low_rpm=0.0, high_rpm=0.0)
        if speed.position == change.thing
        else speed
        for speed in shop.lathe.speeds
    )
    return replace(shop, lathe=replace(shop.lathe, speeds=measured))


def _put_slack(shop: Shop, change: BeliefChange) -> Shop:
    return _with_slide(shop, change.thing, lambda slide: replace(slide, slack_mm=change.now))


def _put_lead(shop: Shop, change: BeliefChange) -> Shop:
    def screwed(slide: Slide) -> Slide:
        dial = slide.dial
        return slide if dial is None else replace(slide, dial=replace(dial, lead_mm=dial.lead_mm * change.now))

    return _with_slide(shop, change.thing, screwed)


def _with_slide(shop: Shop, name: str, changed: Callable[[Slide], Slide]) -> Shop:
    lathe = shop.lathe
    tailstock = lathe.tailstock
    if tailstock.quill.handle.value == name:
        return replace(shop, lathe=replace(lathe, tailstock=replace(tailstock, quill=changed(tailstock.quill))))
    return replace(
        shop,
        lathe=replace(
            lathe,
            **{
                key: changed(slide)
                for key, slide in (("cross", lathe.cross), ("top", lathe.top), ("carriage", lathe.carriage))
                if slide.handle.value == name
            },
        ),
    )


def _put_trust(shop: Shop, change: BeliefChange) -> Shop:
    trusted = float(change.now)
    gauges = (replace(gauge, uncertainty_mm=trusted) if gauge.id == change.thing else gauge for gauge in shop.gauges)
    return replace(shop, gauges=tuple(gauges))


def _put_runout(shop: Shop, change: BeliefChange) -> Shop:
    runs = float(change.now)
    if change.thing == CHUCK:
        return replace(shop, lathe=replace(shop.lathe, chuck=replace(shop.lathe.chuck, runout_mm=runs)))
    holdings = (replace(held, runout_mm=runs) if held.id == change.thing else held for held in shop.holdings)
    return replace(shop, holdings=tuple(holdings))


def _put_play(shop: Shop, change: BeliefChange) -> Shop:
    tailstock = replace(shop.lathe.tailstock, play_mm=float(change.now))
    return replace(shop, lathe=replace(shop.lathe, tailstock=tailstock))


_APPLY: Mapping[Quantity, Callable[[Shop, BeliefChange], Shop]] = {
    Quantity.TIME: _put_time,
    Quantity.SPINDLE_SPEED: _put_speed,
    Quantity.SLACK: _put_slack,
    Quantity.RUNOUT: _put_runout,
    Quantity.GAUGE_SPREAD: _put_trust,
    Quantity.DRILL_OVERSIZE: _put_play,
    Quantity.LEAD_ERROR: _put_lead,
}
