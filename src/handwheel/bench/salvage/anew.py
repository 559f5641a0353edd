"""A new part: from what is left of the bar."""

from __future__ import annotations

from handwheel.bench.asking.records import Figure
from handwheel.bench.salvage.place import Place
from handwheel.bench.salvage.way import Verdict, Way, WayOut
from handwheel.domain.bars import Bar
from handwheel.domain.tools import ToolKind


def new_one_way(place: Place) -> WayOut:
    """Make it again, if a bar of the metal is thick and long enough; what is left of it has to be measured."""
    takes = length_for_one_mm(place)
    needed = 2.0 * place.part.outside_radius_mm
    bars = [bar for bar in place.shop.bars if bar.material == place.part.material and _is_large_enough(bar, place)]
    if not bars:
        return WayOut(
            code=Way.NEW_ONE,
            verdict=Verdict.NOT,
            words=f"the shop file has no bar of {place.metal.name} of Ø {place.said(needed)} or more, "
            f"{place.said(takes)} long; this part may make a smaller one",
            figures=(Figure(name="takes", value=takes),),
            relation="width, blade and facing of one part",
        )
    told = "; ".join(f"{bar.id} (Ø {place.said(float(bar.dia_mm))})" for bar in bars)
    return WayOut(
        code=Way.NEW_ONE,
        verdict=Verdict.ASK,
        words=f"each takes {place.said(takes)} of the bar and what the chuck must grip; bars for it: {told}",
        figures=(Figure(name="takes", value=takes), Figure(name="bars", value=float(len(bars)), unit="1")),
        needs=("what made this one miss, mended: handwheel diagnose names what to check first",),
        asks=("how much is left of that bar? Measure it; the plan tells how many parts it gives",),
        relation="width, blade and facing of one part (practice case PC-27)",
    )


def length_for_one_mm(place: Place) -> float:
    """Length of bar that one more part uses up: its width, both facings and the thinnest blade of the shop. [mm]"""
    habits = place.shop.habits
    blades = [tool.width_mm for tool in place.shop.tools if tool.kind is ToolKind.PARTING and tool.width_mm > 0.0]
    return place.part.width_mm + habits.face_stock_mm + habits.back_allowance_mm + min(blades, default=0.0)


def _is_large_enough(bar: Bar, place: Place) -> bool:
    fits_hole = not bar.bore_mm or float(bar.bore_upper_mm) <= 2.0 * place.part.bore_radius_mm
    is_thick = float(bar.dia_lower_mm) >= 2.0 * place.part.outside_radius_mm
    return is_thick and fits_hole and bar.length_mm >= length_for_one_mm(place)
