"""Spring by one deep cut after light ones, which serves in every metal."""

from __future__ import annotations

from math import hypot, sqrt

from handwheel.bench.checkup import shared, spring
from handwheel.bench.checkup.entry import Entry, Field
from handwheel.bench.checkup.trial import Instruction, Outcome, Trial, asks
from handwheel.domain.errors import InputError
from handwheel.domain.shop import Shop
from handwheel.physics.few_readings import Component, Estimate, estimate
from handwheel.physics.spring_share import MOST_SHARE, two_depths_share

LIGHT_CUTS = 4
"""Light cuts before the first reading, so that each then takes what it is set to; own choice."""


def _settles(_: Shop) -> tuple[str, ...]:
    return ()


def _instructions(_: Shop) -> tuple[Instruction, ...]:
    return (
        shared.ready(
            "Any metal, a sharp tool, a bar as you would hold it for a ring. No cut below the least chip of the metal. "
            "Make the trial cut first: an error of the lead looks like spring."
        ),
        shared.running(f"Take {LIGHT_CUTS} light cuts of the same depth, over the same length, by the same feed."),
        shared.stopped("Measure the diameter, three times: before."),
        shared.running("Take one deep cut, three times as deep or more, if lathe and tool bear it."),
        shared.stopped("Let it cool. Measure at the same place, three times: after."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    return (
        spring.depth_field(shop, "light", "depth of each light cut"),
        spring.depth_field(shop, "deep", "depth of the deep cut"),
        shared.readings_field("before", "diameter after the light cuts"),
        shared.readings_field("after", "diameter after the deep cut"),
        *spring.fields(shop),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    if odd := shared.out_of_gauge(shop, entry, ("before", "after")):
        return asks(*odd)
    light, deep = (spring.depth_mm(shop.lathe.cross, entry, key) for key in ("light", "deep"))
    if deep <= light:
        msg = (
            f"spring-depths: deep {shared.long(deep, shop.units)} is no deeper than light; exchange them, or cut deeper"
        )
        raise InputError((msg,))
    setting_mm = sqrt(2.0) * shared.setting_of(shop.lathe.cross).standard_mm
    taken = shared.difference(shop, entry, ("before", "after"), weights=(1.0, -1.0)).times(0.5)
    if taken.value <= 0:
        msg = "spring-depths: the diameter grew or stayed; a deep cut makes it smaller"
        raise InputError((f"{msg}; exchange before and after, or check the readings",))
    found = _doubted(taken, deep=deep, light=light, setting_mm=setting_mm)
    if found.low > MOST_SHARE:
        return asks(
            f"The deep cut took {shared.long(taken.value, shop.units)}, less than half of it. Is something loose?"
        )
    if found.high < 0:
        return asks(
            f"The deep cut took {shared.long(taken.value, shop.units)} of {shared.long(deep, shop.units)}: more "
            "than it was set "
            "to. Does the dial read diameter, or is the lead out? Make the trial cut first."
        )
    return _found(shop, entry, found, deep)


def _doubted(taken: Estimate, *, deep: float, light: float, setting_mm: float) -> Estimate:
    """Share, not yet held to what is possible: depth set, depth taken and lead are doubted."""
    value = two_depths_share(taken.value, deep_mm=deep, light_mm=light)
    of_reading = taken.standard / (deep - light)
    set_too_far = (
        1.0 - min(max(value, 0.0), MOST_SHARE)
    ) * setting_mm  # of what is set too deep a share springs away too
    beforehand = hypot(set_too_far, shared.LEAD_RATE * taken.value) / (deep - light)
    return estimate(value, (Component(standard=of_reading, freedom=taken.freedom), Component(standard=beforehand)))


def _found(shop: Shop, entry: Entry, found: Estimate, deep: float) -> Outcome:
    said = spring.verdicts(
        Estimate(value=max(found.value, 0.0), standard=found.standard, freedom=found.freedom), deep, shop
    )
    how = f"one deep cut after {LIGHT_CUTS} light ones, {shared.counted(entry, 'before', 'after')}"
    return Outcome(
        verdicts=tuple(said),
        cannot_tell=("an error of the lead, which looks like spring", *spring.LEFT_OPEN),
        measured=(spring.measured(found, entry, how),),
    )


TRIAL = Trial(
    key="spring-depths",
    title="Spring, by one deep cut after light ones",
    gives="the share of a cut that springs away, in any metal",
    matters=spring.matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
