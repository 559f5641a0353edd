"""Spring by repeating a pass without depth, in metals that do not harden where they are rubbed."""

from __future__ import annotations

from math import sqrt

from handwheel.bench.checkup import shared, spring
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.trial import Instruction, Outcome, Trial, asks
from handwheel.domain.errors import InputError
from handwheel.domain.shop import Shop
from handwheel.physics.few_readings import Component, Estimate, estimate
from handwheel.physics.spring_share import MOST_SHARE, repeat_pass_share

FEWEST_CUTS = 3
"""Equal cuts after which what is left hardly changes any more: by the third power of the share."""


def _settles(_: Shop) -> tuple[str, ...]:
    return ()


def _instructions(_: Shop) -> tuple[Instruction, ...]:
    return (
        shared.ready(
            "Brass, aluminium or free-cutting steel alone; never a metal that hardens where it is rubbed (stainless "
            "steel, titanium, nickel). A sharp tool, a bar as you would hold it for a ring."
        ),
        shared.running(f"Take {FEWEST_CUTS} cuts of the same depth, each over the same length, by the same feed."),
        shared.stopped("Measure the diameter, three times: before. Leave the cross-slide where it is."),
        shared.running("Take the same pass again without any further depth."),
        shared.stopped("Measure at the same place, three times: after."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    return (
        spring.depth_field(shop, "depth", "depth of each cut"),
        Field(
            key="cuts",
            says="how many cuts of that depth",
            kind=Kind.NUMBER,
            low=FEWEST_CUTS,
            high=50.0,
            unit="cuts",
            needed=False,
            usual=float(FEWEST_CUTS),
        ),
        shared.readings_field("before", "diameter after the last of them"),
        shared.readings_field("after", "diameter after the repeat"),
        *spring.fields(shop),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    spring.require_soft(entry, trial=TRIAL.key)
    if odd := shared.out_of_gauge(shop, entry, ("before", "after")):
        return asks(*odd)
    depth = spring.depth_mm(shop.lathe.cross, entry, "depth")
    change = shared.difference(shop, entry, ("before", "after"), weights=(1.0, -1.0))
    if change.high < 0:
        msg = f"spring-repeat: the diameter grew by {shared.long(-change.value, shop.units)}; a pass cannot add metal"
        raise InputError((f"{msg}; exchange before and after, or check the readings",))
    taken = change.times(0.5)
    cuts = round(entry.one("cuts", FEWEST_CUTS))
    if taken.value > MOST_SHARE * (1.0 - MOST_SHARE**cuts) * depth:
        return asks(
            f"The repeat took {shared.long(taken.value, shop.units)} off the radius, more than half of a cut. Was "
            "the slide "
            "wound in between, or is something loose? See to gibs, tool post and chuck, and try again."
        )
    return _found(shop, entry, share_of(taken, depth_mm=depth, cuts=cuts, setting_mm=_setting_mm(shop)), taken, depth)


def _setting_mm(shop: Shop) -> float:
    return sqrt(2.0) * shared.setting_of(shop.lathe.cross).standard_mm


def share_of(taken: Estimate, *, depth_mm: float, cuts: int, setting_mm: float) -> Estimate:
    """Share sprung away; the depth of the last cut is doubted as its two settings are."""
    share = repeat_pass_share(max(taken.value, 0.0), depth_mm=depth_mm, cuts=cuts)
    slope = 1.0 / (1.0 - (cuts + 1) * share**cuts)  # of the share over the ratio, from its own equation
    reading = slope * taken.standard / depth_mm
    return estimate(
        share,
        (
            Component(standard=reading, freedom=taken.freedom),
            Component(standard=slope * share * setting_mm / depth_mm),
        ),
    )


def _found(shop: Shop, entry: Entry, found: Estimate, taken: Estimate, depth: float) -> Outcome:
    said = spring.verdicts(found, depth, shop)
    open_too: tuple[str, ...] = ()
    if spring.rubs(taken.value):
        said.append(
            f"The repeat took {shared.long(max(taken.value, 0.0), shop.units)}, so little that the edge may have "
            "rubbed: the "
            "true share may be larger. Take deeper cuts."
        )
        open_too = ("the share itself, beyond that it is not less: the edge may have rubbed",)
    how = f"repeat after {round(entry.one('cuts', FEWEST_CUTS))} cuts, {shared.counted(entry, 'before', 'after')}"
    measured = () if open_too else (spring.measured(found, entry, how),)
    return Outcome(verdicts=tuple(said), cannot_tell=(*open_too, *spring.LEFT_OPEN), measured=measured)


TRIAL = Trial(
    key="spring-repeat",
    title="Spring, by a repeat without depth",
    gives="the share of a cut that springs away, in metals that bear a repeat",
    matters=spring.matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
