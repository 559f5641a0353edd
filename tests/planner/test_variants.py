"""Bars, blades and ladders of drills: which are tried, and that no cheaper ladder was overlooked."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import combinations

import pytest
from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.part import Units
from handwheel.domain.said import said_short
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner.kinds.drill import DrillCut, drill_cut, ladders
from handwheel.planner.variants import bars_that_clean_up, blades_for, finish_cut_mm, least_bar_dia_mm, variants
from tests.planner.jobs import LATHES, Ring, demo_shop, plus_tools, tool_of_kind, without_tools

METRIC = "metric-lathe"
SHOP = demo_shop(METRIC)
PART = Ring().part
TITANIUM = material("ti_gr2")
BLADE = tool_of_kind(SHOP, ToolKind.PARTING)


def with_bars(*dias: str, material_key: str = "ti_gr2") -> Shop:
    """Shop whose bars have these diameters, exactly."""
    bars = tuple(
        replace(SHOP.bars[0], id=f"bar-{dia}", material=material_key, dia_mm=d, dia_lower_mm=d, dia_upper_mm=d)
        for dia in dias
        for d in (Fraction(dia),)
    )
    return replace(SHOP, bars=bars)


def test_bars_that_clean_up_come_smallest_first() -> None:
    least = least_bar_dia_mm(PART, SHOP, TITANIUM)
    assert least == pytest.approx(23.0 + 4 * finish_cut_mm(SHOP, TITANIUM) + 0.6)
    shop = with_bars("40", "24", "26", "25")
    assert [bar.id for bar in bars_that_clean_up(PART, shop, TITANIUM)] == ["bar-25", "bar-26", "bar-40"]


def test_a_bar_counts_by_its_lower_limit() -> None:
    """Delivered from 24.0 to 25.0 mm it may not clean up, though its name says 25."""
    shop = with_bars("25")
    slack = replace(shop, bars=tuple(replace(bar, dia_lower_mm=Fraction(24)) for bar in shop.bars))
    assert bars_that_clean_up(PART, shop, TITANIUM)
    assert not bars_that_clean_up(PART, slack, TITANIUM)


def test_a_bar_of_another_metal_does_not_count() -> None:
    assert not bars_that_clean_up(PART, with_bars("40", material_key="ti_gr5"), TITANIUM)


def test_the_last_cuts_are_never_shallower_than_the_metal_bears() -> None:
    """The habit rules in free-cutting steel; in 304 its least cut of up to 0.15 mm and a quarter."""
    shy = replace(SHOP, habits=replace(SHOP.habits, finish_cut_mm=0.01))
    for key in ("ss304", "ti_gr2", "st11smnpb30"):
        metal = material(key)
        assert finish_cut_mm(shy, metal) == pytest.approx(1.25 * metal.range("min_depth").most)
        assert finish_cut_mm(replace(SHOP, habits=replace(SHOP.habits, finish_cut_mm=0.5)), metal) == 0.5


def test_blades_that_reach_come_the_narrowest_first_else_the_longest_alone() -> None:
    blade = tool_of_kind(SHOP, ToolKind.PARTING)
    bare = without_tools(SHOP, ToolKind.PARTING)
    narrow = replace(blade, id="narrow", width_mm=1.6, reach_mm=5.0)
    short = replace(blade, id="short", width_mm=1.2, reach_mm=4.0)
    stub = replace(blade, id="stub", width_mm=1.0, reach_mm=3.0)
    found = [blades_for(PART, plus_tools(bare, *tools)) for tools in ((blade, narrow, short), (stub, short), ())]
    # wall 2.25, the slant, 0.3 into the bore and two millimetres more
    assert [[tool.id for tool in tools] for tools in found] == [["narrow", blade.id], ["short"], []]


def test_without_a_holding_there_is_no_variant() -> None:
    assert not list(variants(PART, replace(SHOP, holdings=()), TITANIUM, SHOP.bars[0], BLADE))


def test_second_holdings_are_grouped_by_the_allowance_they_need() -> None:
    groups = list(variants(PART, SHOP, TITANIUM, SHOP.bars[0], BLADE))
    assert [{means.kind for means in group.means} for group in groups] == [
        {"soft-jaws", "stub-mandrel"},
        {"flat-plate"},
    ]
    turned, rubbed = (group.jobs[0].back_allowance_mm for group in groups)
    assert turned >= SHOP.habits.back_allowance_mm > rubbed >= SHOP.habits.rub_allowance_mm


# ladders -----------------------------------------------------------------------------------------------------------

HOLES = {
    "titanium": ("ti_gr2", 17.5, 13.0),
    "bronze, which grabs": ("cu_cw307g", 19.0, 25.0),
    "free-cutting steel": ("st11smnpb30", 17.5, 13.0),
    "stainless": ("ss304", 16.5, 20.0),
    "a small hole": ("ti_gr2", 9.2, 13.0),
}


def all_ladders(shop: Shop, *, key: str, below_mm: float, depth_mm: float) -> Iterator[tuple[float, tuple[str, ...]]]:
    """Every set of drills taken in the order of their size that is allowed, with its time in seconds."""
    drills = sorted((d for d in shop.drills if d.kind is DrillKind.TWIST), key=lambda d: d.dia_mm)
    fit = [
        d
        for d in drills
        if float(d.dia_mm) <= min(below_mm, shop.lathe.tailstock.chuck_high_dia_mm)
        and d.flute_mm >= depth_mm + max(3.0, 0.3 * float(d.dia_mm))
    ]

    @cache
    def cut(drill: Drill, hole_mm: float) -> DrillCut | str:
        return drill_cut(
            drill, hole_dia_mm=hole_mm, depth_mm=depth_mm, material=material(key), shop=shop, max_rpm=3000.0
        )

    change_s = shop.habits.drill_change_s + shop.habits.touch_s
    for count in range(1, len(fit) + 1):
        for chain in combinations(fit, count):
            total_s, hole_mm = 0.0, 0.0
            for drill in chain:
                grabs = bool(hole_mm) and key.startswith("cu_") and not drill.dubbed
                if grabs or float(drill.dia_mm) <= hole_mm:
                    break
                found = cut(drill, hole_mm)
                if isinstance(found, str):
                    break
                pecks = max(1.0, depth_mm / float(drill.dia_mm))
                total_s += change_s + found.seconds + shop.habits.handling_s * pecks
                hole_mm = float(drill.dia_mm)
            else:
                yield total_s, tuple(drill.id for drill in chain)


@pytest.mark.parametrize("push_n", [900.0, 2500.0, 6000.0])
@pytest.mark.parametrize("hole", HOLES)
@pytest.mark.parametrize("lathe", LATHES)
def test_no_cheaper_ladder_ends_in_the_same_drill(lathe: str, hole: str, push_n: float) -> None:
    key, below_mm, depth_mm = HOLES[hole]
    shop = demo_shop(lathe)
    shop = replace(shop, habits=replace(shop.habits, quill_push_n=push_n))
    best: dict[str, float] = {}
    every: dict[tuple[str, ...], float] = {}
    for total_s, chain in all_ladders(shop, key=key, below_mm=below_mm, depth_mm=depth_mm):
        best[chain[-1]] = min(total_s, best.get(chain[-1], total_s))
        every[chain] = total_s
    found = ladders(shop, material=material(key), hole_below_dia_mm=below_mm, depth_mm=depth_mm, max_rpm=3000.0)
    chains = [tuple(d.id for d in chain if d.kind is DrillKind.TWIST) for chain in found.chains]
    assert {chain[-1] for chain in chains} == set(best)
    for chain in chains:
        assert every[chain] == pytest.approx(best[chain[-1]])
    sizes = [chain[-1].dia_mm for chain in found.chains]
    assert sizes == sorted(sizes, reverse=True)
    # every drill larger than the ladders give is refused in words, and no other
    largest = max((chain[-1].dia_mm for chain in found.chains), default=0)
    larger = {d.dia_mm for d in shop.drills if d.kind is DrillKind.TWIST and d.dia_mm > largest}
    assert {trouble.tried for trouble in found.refused} == {f"drill Ø {said_short(dia, Units.MM)}" for dia in larger}


def test_a_weak_hand_drills_in_more_stages() -> None:
    counts = []
    for push_n in (900.0, 1500.0, 6000.0):
        shop = replace(SHOP, habits=replace(SHOP.habits, quill_push_n=push_n))
        found = ladders(shop, material=TITANIUM, hole_below_dia_mm=17.2, depth_mm=13.0, max_rpm=3000.0)
        counts.append(next((len(chain) for chain in found.chains if chain[-1].dia_mm == 17), 0))
    assert counts[0] == 0 or counts[0] >= counts[1]
    assert counts[1] > counts[2] > 0


def test_in_bronze_no_sharp_drill_opens_a_hole() -> None:
    """Practice: brass and bronze grab; one drill with dubbed lips, then bore."""
    bronze = material("cu_cw307g")
    found = ladders(SHOP, material=bronze, hole_below_dia_mm=19.2, depth_mm=25.0, max_rpm=3000.0)
    opened = [drill for chain in found.chains for drill in [d for d in chain if d.kind is DrillKind.TWIST][1:]]
    assert opened
    assert all(drill.dubbed for drill in opened)


def test_what_does_not_fit_the_chuck_or_the_depth_is_refused() -> None:
    tight = replace(SHOP, lathe=replace(SHOP.lathe, tailstock=replace(SHOP.lathe.tailstock, chuck_high_dia_mm=4.0)))
    found = ladders(tight, material=TITANIUM, hole_below_dia_mm=17.2, depth_mm=13.0, max_rpm=3000.0)
    assert not found.chains
    assert "the drill chuck takes Ø 4 mm (0.1575 in)" in {no.why for no in found.refused}
    deep = ladders(SHOP, material=TITANIUM, hole_below_dia_mm=17.2, depth_mm=500.0, max_rpm=3000.0)
    assert not deep.chains
    assert any("flutes are" in no.why for no in deep.refused)
