"""Which relation reckons which effect, by the key that stands in the table of causes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.bench.diagnosis import chatter_effects, cut_effects, parting_effects, shape_effects, size_effects
from handwheel.bench.diagnosis.effect import Effect, EffectKind
from handwheel.domain.errors import DataTableError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from handwheel.bench.diagnosis.effect import Reckoned
    from handwheel.bench.diagnosis.evidence import Evidence
    from handwheel.bench.diagnosis.facts import JobFacts

EFFECTS: Mapping[str, Reckoned] = {
    reckoned.__name__: reckoned
    for reckoned in (
        shape_effects.slide_angle,
        shape_effects.carriage_feeds,
        shape_effects.work_bends,
        shape_effects.tool_springs,
        shape_effects.lobes,
        shape_effects.held_in_jaws,
        size_effects.growth,
        size_effects.slack_size,
        size_effects.half_mark,
        size_effects.gauge_spread,
        size_effects.tailstock_play,
        cut_effects.slow_speed,
        cut_effects.fast_speed,
        cut_effects.thin_chip,
        cut_effects.depth_floor,
        cut_effects.feed_marks,
        cut_effects.nose_cut,
        cut_effects.hand_feed,
        cut_effects.lubricant,
        cut_effects.alloy,
        chatter_effects.quiet_depth,
        chatter_effects.blade_sings,
        chatter_effects.wide_edge,
        chatter_effects.third_speed,
        chatter_effects.overhang,
        parting_effects.pip_height,
        parting_effects.tip_height,
        parting_effects.blade_sinks,
        parting_effects.blade_reach,
        parting_effects.slack_bite,
        parting_effects.parting_time,
    )
}
"""Every relation by its key."""


def reckon(key: str, facts: JobFacts, evidence: Evidence) -> Effect | None:
    """Effect of that key in this job; ``None`` if the cause has none, or something that it needs is not known.

    Where a relation does not hold so far, or the tables have no figure, the effect says so and weighs nothing.
    """
    if not key:
        return None
    try:
        return EFFECTS[key](facts, evidence)
    except (OutOfRangeError, DataTableError) as error:
        return Effect(kind=EffectKind.FIGURE, words=f"not reckoned: {error}", relation="none")
