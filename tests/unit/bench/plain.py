"""A judge that believes every reading and the dial: the nearest count, as the rule at the collar has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.bench.runs import BandAct
from handwheel.bench.tables import nearest_step
from handwheel.domain.advice import Do

if TYPE_CHECKING:
    from handwheel.bench.runs import Judge
    from handwheel.bench.stops import Stop


def plain_judge(stop: Stop) -> Judge:
    """Judge of a stop's readings."""

    def left_mm(reading_mm: float, size_mm: float) -> float:
        """Way from a reading to a size, as travel; above 0 while there is metal to take."""
        return (size_mm - reading_mm if stop.grows else reading_mm - size_mm) / stop.per_travel

    def at(reading_mm: float) -> BandAct:
        if stop.lower_mm <= reading_mm <= stop.upper_mm and (stop.final or not stop.after.cuts):
            return BandAct(do=Do.GOOD if stop.final else Do.GO_ON)
        if stop.final and left_mm(reading_mm, stop.target_mm) < 0:
            return BandAct(do=Do.STOP_LOST)
        if stop.scale is None:
            return BandAct(do=Do.STOP_ASK)
        per_mark, step = stop.scale.travel_per_mark_mm, stop.scale.marks_per_step
        left = left_mm(reading_mm, stop.target_mm)
        if stop.final:
            return BandAct(do=Do.CUT_AGAIN, marks=nearest_step(left / per_mark, step), left_mm=left)
        collar = stop.after.collar
        if collar is not None:
            left = left_mm(reading_mm, collar.zero_dia_mm)
        elif stop.ready:
            return BandAct(do=Do.GO_ON)
        return BandAct(do=Do.SET, marks=nearest_step(left / per_mark, step), left_mm=left)

    return at
