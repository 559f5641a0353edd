"""What several trials share: gauges and their doubt, slides by name, setting a mark, cautions, lengths in words."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from msgspec import Struct

from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.trial import Instruction
from handwheel.data.cautions import work_cautions
from handwheel.domain.errors import ShopError
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.motion import Handle
from handwheel.domain.part import Units
from handwheel.domain.said import said
from handwheel.domain.shop import Shop
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Slide
from handwheel.domain.tools import ToolKind
from handwheel.physics.few_readings import Component, Estimate, estimate, mean_of, reading_doubt, rounding

SETTING_MARKS = 0.2
"""Standard deviation with which a hand sets one mark to its line, coarse but usual; own judgement. [marks]"""
LEAD_RATE = 0.004
"""Standard deviation of the lead of a screw that nobody has tried, as a share of it; own judgement."""
WIDE = 2.5
"""Student's factor from which more readings are advised; many readings have 1.96; own choice."""
MATTERS_MM = 0.0005
"""What is smaller than this on a ring is not worth a word; own choice. [mm]"""

SLIDES = {
    "cross_slide": (Handle.CROSS, "lathe.cross_slide"),
    "top_slide": (Handle.TOP, "lathe.top_slide"),
    "carriage": (Handle.CARRIAGE, "lathe.carriage"),
    "quill": (Handle.QUILL, "lathe.tailstock.quill"),
}
"""Slides by the word that a shop file has for them, with the handle and the path of the file."""


class Setting(Struct, frozen=True, kw_only=True):
    """How a slide is set: travel of one unit of its dial or readout, and how surely that is set. [mm]"""

    per_unit_mm: float
    standard_mm: float


def slide_named(shop: Shop, word: str) -> Slide:
    """Slide of a shop by the word of its file."""
    return shop.lathe.slide(SLIDES[word][0])


def setting_of(slide: Slide) -> Setting:
    """How a slide is set: in marks of its dial, else in millimetres of its readout or of what measures it."""
    if slide.dial is not None:
        mark = float(slide.dial.travel_per_mark_mm)
        return Setting(per_unit_mm=mark, standard_mm=SETTING_MARKS * mark)
    step = float(slide.readout_step_mm or 0)
    return Setting(per_unit_mm=1.0, standard_mm=rounding(step).standard)


def caution(code: str) -> str:
    """Text of a caution that stands at the acts of every job."""
    return work_cautions()[code].text


def at_rest(says: str) -> Instruction:
    """First act of a trial without cutting: the spindle cannot start, somebody who was trained is near."""
    return Instruction(says=says, caution=f"{caution('local-rules')} Motor off at the isolator. {caution('chuck-key')}")


def ready(says: str) -> Instruction:
    """First act of a trial that cuts: somebody who was trained is near."""
    return Instruction(says=says, caution=caution("local-rules"))


def running(says: str) -> Instruction:
    """Act with a turning spindle."""
    return Instruction(
        says=says, caution=f"{caution('eyes-and-clothes')} {caution('chuck-key')} {caution('stand-clear')}"
    )


def stopped(says: str) -> Instruction:
    """Act with a gauge or a hand at the work."""
    return Instruction(says=says, caution=caution("hands-clear"))


def act(says: str) -> Instruction:
    """Act without a caution of its own."""
    return Instruction(says=says)


def gauges_for(shop: Shop, *uses: GaugeUse) -> tuple[Gauge, ...]:
    """Gauges of a shop that can measure one of these."""
    return tuple(gauge for gauge in shop.gauges if any(use in gauge.uses for use in uses))


def gauge_field(shop: Shop, *uses: GaugeUse) -> Field:
    """Which gauge was read, by its id in the shop file; raises `ShopError` if there is none."""
    wanted = " or ".join(use.value for use in uses)
    ids = tuple(gauge.id for gauge in gauges_for(shop, *uses))
    return owned_field(shop, "gauge", "id of the gauge that was read", ids, lacking=f"gauge that measures {wanted}")


def tool_field(shop: Shop, *kinds: ToolKind) -> Field:
    """Which tool cut, by its id in the shop file; raises `ShopError` if there is none."""
    ids = tuple(tool.id for tool in shop.tools if tool.kind in kinds)
    return owned_field(shop, "tool", "id of the tool", ids, lacking=f"tool for {' or '.join(k.value for k in kinds)}")


def owned_field(shop: Shop, key: str, says: str, names: tuple[str, ...], *, lacking: str) -> Field:
    """One of the things that a shop has; raises `ShopError` if it has none, for no trial can be made without."""
    if not names:
        msg = f"shop {shop.name!r}: has no {lacking}, which this trial needs; add one to the shop file"
        raise ShopError(msg)
    return Field(key=key, says=says, kind=Kind.WORD, choices=names)


def readings_field(key: str, says: str, *, fewest: int = 1, most: int = 20, high: float = 500.0) -> Field:
    """Readings of one length, some times over."""
    return Field(key=key, says=says, low=0.0, high=high, fewest=fewest, most=most)


def difference(
    shop: Shop, entry: Entry, keys: Sequence[str], *, weights: Sequence[float], beside: Sequence[Component] = ()
) -> Estimate:
    """Weighted sum of the means of what was read with the gauge that was entered, and its doubt. [mm]"""
    gauge = shop.gauge(entry.word("gauge"))
    groups = [entry.all(key) for key in keys]
    value = sum(weight * mean_of(group) for weight, group in zip(weights, groups, strict=True))
    doubt = reading_doubt(groups, weights=weights, step=float(gauge.step_mm), half_width=gauge.uncertainty_mm)
    return estimate(value, (*doubt, *beside))


def out_of_gauge(shop: Shop, entry: Entry, keys: Sequence[str]) -> tuple[str, ...]:
    """Questions about readings that the gauge cannot have shown."""
    gauge = shop.gauge(entry.word("gauge"))
    return tuple(
        f"{key}: {long(one, shop.units)} lies outside {gauge.name}; which gauge was it, or which figure?"
        for key in keys
        for one in entry.all(key)
        if not gauge.low_mm - 1e-9 <= one <= gauge.high_mm + 1e-9
    )


def counted(entry: Entry, *keys: str) -> str:
    """How many readings an outcome rests on, for the evidence."""
    number = sum(len(entry.numbers[key]) for key in keys)
    return f"{number} reading{'s' if number != 1 else ''}"


def long(value_mm: float, units: Units) -> str:
    """Length in both units, to a micrometre."""
    return said(value_mm, units, places=3)


def give_or_take(found: Estimate, units: Units) -> str:
    """Length with half of its interval."""
    return f"{long(found.value, units)}, give or take {long(found.half_width, units)}"


def percent(share: float) -> str:
    """Share in per cent, without its sign.

    Examples
    --------
    >>> percent(-0.0164), percent(0.104)
    ('1.6 %', '10 %')
    """
    return f"{100.0 * abs(share):.2g} %"


def written_up(length_mm: float, units: Units) -> str:
    """Length as a shop file has it, rounded up to a micrometre or a tenth of a thou."""
    if units is Units.INCH:
        return f"{ceil(length_mm / float(MM_PER_INCH) * 1e4 - 1e-6) / 1e4:.4f} in"
    return f"{ceil(length_mm * 1e3 - 1e-6) / 1e3:.3f} mm"


def readings_wanted(found: Estimate) -> str:
    """Advice where few readings make an interval wide; empty where they do not."""
    is_wide = found.half_width > WIDE * found.standard
    return "More readings would narrow it a good deal." if is_wide else ""
