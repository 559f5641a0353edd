"""Practice cases PC-10 and PC-11: titanium that burns, and metals that harden where they are rubbed."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.motion import Edge
from handwheel.domain.part import BORE, OUTSIDE
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from tests.demo_plans import acts_of, demo_part, demo_plan, demo_shop, of_metal, step_acts

M_PER_FT = 0.3048
SHOPS = ("inch-lathe", "metric-lathe")
TURNED = (f"rough-{OUTSIDE}", OUTSIDE, "front-face", "back-face")
PASSES_ON_A_DIAMETER = (f"rough-{OUTSIDE}", OUTSIDE, f"rough-{BORE}", BORE)


def only_hss(shop: Shop) -> Shop:
    return replace(shop, tools=tuple(tool for tool in shop.tools if tool.edge is Edge.HSS))


@cache
def band_of(metal: str, shop_name: str) -> Plan:
    """The demo band in another metal, cut with high speed steel alone."""
    part, shop = of_metal(demo_part("band"), only_hss(demo_shop(shop_name)), metal)
    return make_plan(part, shop)


def speeds_by_step(plan: Plan) -> dict[str, a.SetSpeed]:
    """Speed in force at the end of each step (a step that sets none goes on with the last)."""
    now: a.SetSpeed | None = None
    found: dict[str, a.SetSpeed] = {}
    for act in plan.sheet.acts:
        if isinstance(act, a.SetSpeed):
            now = act
        if now is not None:
            found[act.step] = now
    return found


def feeds_by_step(plan: Plan) -> dict[str, a.SetFeed]:
    """Feed in force at the end of each step."""
    now: a.SetFeed | None = None
    found: dict[str, a.SetFeed] = {}
    for act in plan.sheet.acts:
        if isinstance(act, a.SetFeed):
            now = act
        if now is not None:
            found[act.step] = now
    return found


# PC-10 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_10_titanium_is_not_loaded_without_the_word_on_fire(shop_name: str) -> None:
    """PC-10: a burning chip is not for water; sand or a metal-fire extinguisher at hand before the first cut.

    Standing: opened fire notes, by the caution's own source.
    """
    plan = demo_plan("band", shop_name)
    cautioned = [act.id for act in plan.sheet.acts if any("can burn" in text for text in act.cautions)]
    first_touch = next(act.id for act in plan.sheet.acts if isinstance(act, a.Touch))
    assert cautioned
    assert min(cautioned) < first_touch
    text = " ".join(t for act in plan.sheet.acts for t in act.cautions if "can burn" in t)
    assert "never water" in text
    assert "sand" in text
    assert "Class D" in text


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_10_the_word_on_fire_stands_again_wherever_titanium_is_cut(shop_name: str) -> None:
    """PC-10, practice: sweep the chips away often; so it stands in every step that cuts, at its first cut."""
    plan = demo_plan("band", shop_name)
    cutting = {act.step for act in plan.sheet.acts if isinstance(act, a.Cut | a.DrillHole)}
    assert len(cutting) >= 12
    for step in sorted(cutting):
        acts = step_acts(plan, step)
        first_cut = next(i for i, act in enumerate(acts) if isinstance(act, a.Cut | a.DrillHole))
        said = [text for act in acts[: first_cut + 1] for text in act.cautions]
        assert any("burn" in text and "never water" in text for text in said), step


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_10_the_finding_and_the_printed_sheet_say_it_too(shop_name: str) -> None:
    plan = demo_plan("band", shop_name)
    (finding,) = [found for found in plan.findings if found.code == "fire-hazard"]
    assert "Class D" in finding.remedy
    text = sheet_text(plan, demo_shop(shop_name))
    assert "Titanium swarf can burn" in text
    assert text.index("Titanium swarf can burn") < text.index("Face the front")


def test_pc_10_bronze_gets_no_word_on_fire() -> None:
    """A caution that stands everywhere is read nowhere."""
    plan = demo_plan("bush", "inch-lathe")
    assert not [text for act in plan.sheet.acts for text in act.cautions if "burn" in text]
    assert not [found for found in plan.findings if found.code == "fire-hazard"]


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_10_the_alloy_is_turned_with_high_speed_steel_at_no_more_than_60_feet_a_minute(shop_name: str) -> None:
    """PC-10: HSS about 30 to 60 ft/min (from memory of Machinery's Handbook), 115 to 230 rev/min on one inch.

    The case takes the alloy when the grade is unknown. A lathe whose list has nothing between may run slower, never
    faster; drilling and parting run slower still (practice).
    """
    plan = band_of("ti_gr5", shop_name)
    speeds = speeds_by_step(plan)
    for step in TURNED:
        surface = speeds[step].rpm * 3.141592653589793 * speeds[step].cut_dia_mm / 1000.0 / M_PER_FT
        assert surface <= 60.0, step
    turned = min(speeds[step].cutting_speed_m_min for step in TURNED)
    assert speeds["part-off"].cutting_speed_m_min <= turned
    fastest_turned = max(speeds[step].cutting_speed_m_min for step in TURNED)
    assert fastest_turned / M_PER_FT >= 30.0


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_10_every_speed_is_one_of_the_lathe_and_keeps_the_table(shop_name: str) -> None:
    shop = demo_shop(shop_name)
    listed = {speed.rpm for speed in shop.lathe.speeds}
    for metal in ("ti_gr2", "ti_gr5"):
        plan = band_of(metal, shop_name)
        highest = material(metal).range("vc_hss_finish").most
        for act in acts_of(plan, a.SetSpeed):
            assert act.rpm in listed
            assert act.cutting_speed_m_min <= highest


def test_pc_10_a_lathe_whose_slowest_speed_is_too_fast_is_told_so() -> None:
    """PC-10: flag if the slowest listed speed is above the limit. 755 rev/min on Ø 25 mm is 59 m/min (computed)."""
    shop = only_hss(demo_shop("metric-lathe"))
    fast = replace(shop, lathe=replace(shop.lathe, speeds=tuple(s for s in shop.lathe.speeds if s.rpm >= 755)))
    part, fast = of_metal(demo_part("band"), fast, "ti_gr5")
    with pytest.raises(NoPlanError, match=r"the slowest speed, 755 rev/min, is 59 m/min, 195 ft/min on Ø 25\.0 mm"):
        make_plan(part, fast)


# PC-11 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shop_name", SHOPS)
@pytest.mark.parametrize("metal", ["ti_gr2", "ti_gr5", "ss304"])
def test_pc_11_no_pass_is_a_whisper(metal: str, shop_name: str) -> None:
    """PC-11: above a least chip, 0.1 to 0.15 mm deep and 0.05 to 0.06 mm/rev in 304 (practice); the table rules.

    Passes on a diameter and on a face; the chip of a blade or an edge tool is as wide as the tool makes it, so there
    the feed alone counts.
    """
    plan = band_of(metal, shop_name)
    deep, firm = material(metal).range("min_depth").least, material(metal).range("min_feed").least
    feeds = feeds_by_step(plan)
    seen = set()
    for act in acts_of(plan, a.Cut):
        assert feeds[act.step].low_mm_rev >= firm - 1e-9, act.step
        if act.step in (*PASSES_ON_A_DIAMETER, "front-face", "back-face"):
            assert act.depth_mm >= deep - 1e-9, act.step
            seen.add(act.step)
    assert set(PASSES_ON_A_DIAMETER) <= seen


@pytest.mark.parametrize("shop_name", SHOPS)
@pytest.mark.parametrize("metal", ["ti_gr2", "ss304"])
def test_pc_11_the_last_two_cuts_are_equal_and_none_goes_over_the_same_again(metal: str, shop_name: str) -> None:
    """PC-11: plan the last two cuts equal, so that the last is not a whisper; no pass without depth (practice)."""
    plan = band_of(metal, shop_name)
    for surface in (BORE, OUTSIDE):
        first, last = [act for act in step_acts(plan, surface) if isinstance(act, a.Cut)]
        assert first.depth_mm == pytest.approx(last.depth_mm, abs=1e-9)
    assert min(act.depth_mm for act in acts_of(plan, a.Cut)) > 0.0


@pytest.mark.parametrize(("metal", "hardens"), [("ti_gr2", True), ("ss304", True), ("st11smnpb30", False)])
def test_pc_11_a_metal_that_hardens_is_said_to_harden(metal: str, *, hardens: bool) -> None:
    """PC-11, practice: never dwell; to stop feeding, withdraw the tool."""
    plan = band_of(metal, "metric-lathe")
    found = [finding for finding in plan.findings if finding.code == "work-hardens"]
    assert bool(found) is hardens
    for finding in found:
        assert "no whisper cuts" in finding.remedy
        assert "to stop feeding, withdraw the tool" in finding.remedy
