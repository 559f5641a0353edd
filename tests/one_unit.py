"""What a text in one unit still says in the other."""

from __future__ import annotations

import re

from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from handwheel.domain.wording import UnitsShown
from handwheel.report.wording import names_with_lengths
from handwheel.report.words import plain

INSTRUMENT = re.compile(
    r"(?:DIAL|STOP|RULE|READOUT|INDICATOR|SCALE) [\d./ -]+(?:mm|in)(?: (?:left|right) of 0| plus| minus)?"
    r"(?: ± [\d.]+ (?:mm|in))?"
)
"""What a hand sets keeps the unit of its instrument."""
CALLED = re.compile(r"[Dd]rill Ø (?:\d+ )?[\d./]+ (?:mm|in)|Ra [\d.]+ µm|tapping drill [\d.]+ mm")
"""A drill in the title of its step, a roughness."""
OTHER = {
    UnitsShown.INCH: re.compile(r"(?<![\w.])[\d.]+ (?:mm|µm|m/min)(?!\w)"),
    UnitsShown.MM: re.compile(
        r"(?<![\w.])[\d./]+ (?:in|ft/min)(?=$|[\s.,;:)/])(?! (?:one|the|a|his|its|back|which)\b)"
    ),
}


def left_of_the_other(text: str, shown: UnitsShown, part: Part, shop: Shop) -> list[str]:
    """Lengths, feeds and cutting speeds in the unit that is not shown, names and instruments left out of account."""
    flat = " ".join(text.split())
    names = {*map(plain, _names(shop)), *map(plain, names_with_lengths(shop))}
    written = {plain(feature.size.as_written) for feature in part.sizes}
    for name in sorted(names | written, key=len, reverse=True):
        flat = flat.replace(" ".join(name.split()), " ")
    return OTHER[shown].findall(CALLED.sub(" ", INSTRUMENT.sub(" ", flat)))


def _names(shop: Shop) -> set[str]:
    things = (*shop.tools, *shop.drills, *shop.reamers, *shop.taps, *shop.gauges, *shop.bars, *shop.holdings)
    return {thing.name for thing in things if hasattr(thing, "name")} | {shop.lathe.chuck.name, shop.lathe.name}
