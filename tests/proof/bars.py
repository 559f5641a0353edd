"""Bars drawn around a ring: round, now and then a hexagon or a tube."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from msgspec.structs import replace

from handwheel.domain.bars import Bar, BarShape
from handwheel.domain.chucks import Collet
from handwheel.domain.lathe import Lathe
from tests.proof.bores import Bored
from tests.proof.rings import TUBE_BELOW_MM, Wish

HEXAGON_JAWS = (3, 6)
"""Jaws of a chuck that grips a hexagon on its flats."""
TUBE_LIMIT_MM = Fraction(1, 10)


def drawn_bar(chance: Random, it: Wish, lathe: Lathe) -> Bar:
    """A bar with metal to clean up, long enough for ring, slot and grip."""
    least = it.draft.outside + 4.0 * it.cut + 2.0 * max(0.35, it.floor + it.step)
    dia = Fraction(int((least + chance.uniform(0.5, 7.0)) * 2) + 1, 2)
    under = Fraction(chance.randint(0, 20), 100)
    length = it.draft.width + it.hole.past + 45.0 + lathe.chuck.jaw_length_mm
    bar = Bar(
        id="drawn-bar",
        material=it.metal.key,
        dia_mm=dia,
        dia_lower_mm=dia - min(under, Fraction(1, 5)),
        dia_upper_mm=dia + Fraction(chance.randint(0, 10), 100),
        length_mm=round(length + chance.uniform(0.0, 250.0), 1),
        tolerance_rule="as measured",
    )
    thrown = chance.random()
    if thrown < 0.1 and lathe.chuck.jaws in HEXAGON_JAWS:
        return replace(bar, shape=BarShape.HEXAGON)
    if thrown > 0.9 and it.hole.by is Bored.BORED:
        hole = Fraction(it.last_drill) - TUBE_BELOW_MM
        return replace(
            bar,
            shape=BarShape.TUBE,
            bore_mm=hole,
            bore_lower_mm=hole - TUBE_LIMIT_MM,
            bore_upper_mm=hole + TUBE_LIMIT_MM,
        )
    return bar


def with_chuck(lathe: Lathe, bar: Bar, *, max_rpm: float) -> Lathe:
    """The lathe with a chuck that takes the bar: its jaws open far enough, or a collet closes on it."""
    chuck = replace(
        lathe.chuck,
        grip_low_dia_mm=min(lathe.chuck.grip_low_dia_mm, float(bar.dia_lower_mm) - 1.0),
        grip_high_dia_mm=max(lathe.chuck.grip_high_dia_mm, float(bar.dia_upper_mm) + 1.0),
        max_rpm=max_rpm,
    )
    if chuck.collets:
        more = Collet(dia_mm=bar.dia_upper_mm, closes_mm=bar.dia_upper_mm - bar.dia_lower_mm)
        chuck = replace(chuck, collets=(*chuck.collets, more))
    return replace(lathe, chuck=chuck)
