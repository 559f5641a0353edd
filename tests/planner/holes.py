"""Shops with reamers, taps and bars of other shapes, and parts that need them, for the tests of holes and bars."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from msgspec.structs import replace

from handwheel.domain.bars import Bar, BarShape
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.hole_tools import Drill, DrillKind, Reamer, ReamerKind, Tap
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.thread import Thread
from handwheel.planner.planner import make_plan
from handwheel.service.intake.part_file import read_part
from tests.planner.jobs import demo_part, demo_shop

BORE_GAUGE = Gauge(
    id="bore-gauge",
    name="bore gauge",
    uses=(GaugeUse.BORE,),
    low_mm=5.0,
    high_mm=30.0,
    step_mm=Fraction(1, 500),
    uncertainty_mm=0.003,
)
REAMER_20 = Reamer(
    id="reamer-20",
    kind=ReamerKind.MACHINE,
    dia_mm=Fraction(20),
    hole_lower_mm=Fraction("20.002"),
    hole_upper_mm=Fraction("20.018"),
    flute_mm=90.0,
    lead_mm=2.0,
    lead_dia_mm=18.5,
)
BEFORE_REAMING = Drill(
    id="drill-19.8-dubbed", kind=DrillKind.TWIST, dia_mm=Fraction("19.8"), flute_mm=140.0, dubbed=True
)
M18 = Thread(major_mm=Fraction(18), pitch_mm=Fraction(3, 2))
TAP_M18 = Tap(id="tap-m18", thread=M18, lead_mm=6.0, length_mm=60.0)
CORE_DRILL = Drill(id="drill-16.5", kind=DrillKind.TWIST, dia_mm=Fraction("16.5"), flute_mm=120.0)


def nut(*, metal: str = "ti_gr2", thread: str = "M18x1.5", entry: str = "0.8 x 45") -> Part:
    """A ring with a thread in its bore."""
    text = f"""
kind = "plain-ring"
name = "nut"
metal = "{metal}"
units = "mm"
[bore]
thread = "{thread}"
[outside]
diameter = 23
plus_minus = 0.1
[width]
length = 12
plus_minus = 0.2
[edges]
plus_minus = 0.15
front_outer = "0.5 x 45"
back_outer = "0.5 x 45"
front_inner = "{entry}"
back_inner = "sharp"
"""
    return read_part(text, name="nut.toml")


def with_larger_drill_chuck(shop: Shop, dia_mm: float = 25.0) -> Shop:
    """Shop whose tailstock holds larger drills and reamers."""
    tailstock = replace(shop.lathe.tailstock, chuck_high_dia_mm=dia_mm)
    return replace(shop, lathe=replace(shop.lathe, tailstock=tailstock))


def with_reamer(name: str, reamer: Reamer = REAMER_20, *drills: Drill) -> Shop:
    """Demo shop that owns a reamer, and some more drills."""
    shop = with_larger_drill_chuck(demo_shop(name))
    return replace(shop, reamers=(reamer,), drills=(*shop.drills, *drills))


def with_tap(name: str, *taps: Tap) -> Shop:
    """Demo shop with taps, a core drill and a bore gauge."""
    shop = demo_shop(name)
    return replace(shop, taps=taps, drills=(*shop.drills, CORE_DRILL), gauges=(*shop.gauges, BORE_GAUGE))


def bar_like(part: Part, shape: BarShape, *, length_mm: float = 300.0) -> Bar:
    """Bar from which a demo part cleans up: a hexagon, or a tube that leaves the bore something."""
    dia = Fraction(round(2.0 * part.outside_radius_mm) + (4 if shape is BarShape.HEXAGON else 2))
    bore = Fraction(16) if shape is BarShape.TUBE else Fraction(0)
    off = Fraction(1, 5) if bore else Fraction(0)
    return Bar(
        id=shape.value,
        material=part.material,
        dia_mm=dia,
        dia_lower_mm=dia - Fraction(1, 10),
        dia_upper_mm=dia + Fraction(1, 10),
        length_mm=length_mm,
        tolerance_rule="as measured",
        shape=shape,
        bore_mm=bore,
        bore_lower_mm=bore - off,
        bore_upper_mm=bore + off,
    )


@dataclass(frozen=True, kw_only=True)
class Made:
    """A part, a shop, and the plan for it."""

    part: Part
    shop: Shop
    plan: Plan


@cache
def made(what: str, lathe: str) -> Made:
    """Plan of one of the cases of this module, made once."""
    part, shop = _cases(what, lathe)
    return Made(part=part, shop=shop, plan=make_plan(part, shop))


CASES = ("reamed after boring", "reamed after a drill", "tapped", "hexagon", "tube", "overhang", "blank")


def _cases(what: str, lathe: str) -> tuple[Part, Shop]:
    return _HOLES[what](lathe) if what in _HOLES else (demo_part("bush"), _shop_with_bar(what, lathe))


def _shop_with_bar(what: str, lathe: str) -> Shop:
    """Demo shop with the one bar of a case."""
    bush, shop = demo_part("bush"), demo_shop(lathe)
    if what == "blank":
        return replace(shop, lathe=replace(shop.lathe, spindle_bore_dia_mm=10.0))
    if what == "overhang":
        wide = replace(shop, lathe=replace(shop.lathe, spindle_bore_dia_mm=40.0))
        long = shop.lathe.spindle_length_mm + 150.0
        return replace(wide, bars=(bar_like(bush, BarShape.ROUND, length_mm=long),))
    return replace(shop, bars=(bar_like(bush, BarShape(what)),))


def without_truth(part: Part) -> Part:
    """The part without any demand that surfaces run true to each other."""
    outer = replace(part.outer, segments=tuple(replace(s, truth_group=None) for s in part.outer.segments))
    inner = replace(part.inner, segments=tuple(replace(s, truth_group=None) for s in part.inner.segments))
    return replace(part, outer=outer, inner=inner)


_HOLES: dict[str, Callable[[str], tuple[Part, Shop]]] = {
    "reamed after boring": lambda lathe: (demo_part("bush"), with_reamer(lathe)),
    "reamed after a drill": lambda lathe: (
        without_truth(demo_part("bush")),
        with_reamer(lathe, REAMER_20, BEFORE_REAMING),
    ),
    "tapped": lambda lathe: (nut(), with_tap(lathe, TAP_M18)),
}
