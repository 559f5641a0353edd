"""Practice cases PC-15, PC-19 and PC-20: holding a ring for its second side, and what that does to it."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.part import BACK_FACE, BACK_OUTER_EDGE, BORE, OUTSIDE, Aspect
from handwheel.physics.ring import RingSection, ring_unit_mm, wide_jaw_coefficient
from handwheel.planner.holdings import HOLDING_MODELS, HeldSecond
from handwheel.planner.holdings.strength import ring_section
from handwheel.planner.planner import make_plan
from handwheel.planner.way import NoWay
from handwheel.report.text_sheet import sheet_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop
from tests.demo_plans import acts_of
from tests.planner.held import COVERING, MEANS, shop_with
from tests.planner.jobs import Ring, demo_shop, demo_text, how, job_of, lean_shop

if TYPE_CHECKING:
    from handwheel.domain.part import Part
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from tests.practice.conftest import Planned

INCH_MM = 25.4
PSI_N_MM2 = 0.0068947573
LBF_N = 4.4482216

# PC-15: a plain titanium band ---------------------------------------------------------------------------------------

BAND = """
kind = "plain-ring"
name = "band of practice case PC-15"
metal = "ti_gr2"
units = "inch"
worn_on_skin = true
[bore]
diameter = 0.850
plus_minus = 0.002
finishing_change = 0.002
[outside]
diameter = 1.000
plus_minus = 0.002
[width]
length = "3/16 in"
plus_minus = 0.004
[edges]
plus_minus = 0.006
front_outer = { along = 0.015, across = 0.015 }
front_inner = { along = 0.015, across = 0.015 }
back_outer = { along = 0.015, across = 0.015 }
back_inner = { along = 0.015, across = 0.015 }
"""
COLLETS = """
[[holding]]
id = "collets"
kind = "collet"
name = "set of four collets"
diameters = ["1/2 in", "3/4 in", "7/8 in", "1 in"]
closes = "0.15 mm"
grip = "4 mm"
runout = "0.02 mm"
ready_s = 300
max_rpm = 1500
force_n = 1200
body_diameter = "45 mm"
"""
EXPANDER = """
[[holding]]
id = "expander"
kind = "expanding-mandrel"
name = "expanding mandrel"
smallest = 0.8
largest = 0.95
grip = "12 mm"
runout = "0.02 mm"
ready_s = 200
max_rpm = 1200
pressure_n_mm2 = 8
"""
BAR = """
[[bar]]
id = "titanium-1-1/8in"
metal = "ti_gr2"
diameter = "1 1/8 in"
limits = ["-0.002", "0"]
length = "125 mm"
delivered_as = "as measured"
"""


@cache
def band() -> Part:
    return read_part(BAND, name="pc-15")


@cache
def makers_shop(*holdings: str) -> Shop:
    """The small inch lathe with a larger titanium bar, and no way of holding but these."""
    text = demo_text("inch-lathe")
    before, _, rest = text.partition("[[holding]]")
    habits = rest[rest.index("[habits]") :]
    return read_shop("\n".join((before, BAR, *holdings, habits)), name="pc-15")


@cache
def bands_plan() -> Plan:
    return make_plan(band(), makers_shop(COLLETS, EXPANDER))


def test_pc_15_the_size_of_the_band_is_twelve_and_a_quarter() -> None:
    """PC-15: size 12.25 has a bore of 0.850 in; the US scale is 0.458 + 0.032 S in (memory, as the case)."""
    feature = band().feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    assert (float(feature.size.nominal) / INCH_MM - 0.458) / 0.032 == pytest.approx(12.25)


def test_pc_15_polishing_is_allowed_for_in_the_bore() -> None:
    """PC-15: polishing takes 0.001 in a side, so the bore is cut to 0.848 in."""
    feature = band().feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    assert float(feature.size.cut_target) == pytest.approx(0.848 * INCH_MM)


def test_pc_15_wall_and_slenderness_are_those_of_the_case() -> None:
    """PC-15: wall 0.075 in, mean diameter over wall 12.3; as drawn, before 0.002 in of polish in the bore."""
    ring = ring_section(job_of(band(), makers_shop(COLLETS)))
    assert ring.wall_mm / INCH_MM == pytest.approx(0.075 + 0.001)
    as_drawn = replace(ring, bore_dia_mm=ring.bore_dia_mm + 0.002 * INCH_MM)
    assert as_drawn.wall_mm / INCH_MM == pytest.approx(0.075)
    assert 2.0 / as_drawn.wall_to_mean_radius == pytest.approx(12.3, abs=0.05)


def test_pc_15_the_band_is_planned_end_to_end_with_what_the_maker_owns() -> None:
    shop = makers_shop(COLLETS, EXPANDER)
    plan = bands_plan()
    second = {done.holding for done in how(plan).values()} - {"bar"}
    assert second
    assert second <= {"collets", "expander"}
    assert plan.proof.proven
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_pc_15_the_inch_collet_holds_the_finished_outside() -> None:
    """PC-15: the outside is 1.000 in because there is a 1 in collet; the sheet names it."""
    shop = makers_shop(COLLETS)
    plan = make_plan(band(), shop)
    assert how(plan)[BACK_FACE].holding == "collets"
    assert (how(plan)[OUTSIDE].holding, how(plan)[BORE].holding) == ("bar", "bar")
    (fit,) = [act for act in acts_of(plan, a.HandStep) if act.kind is a.HandKind.FIT_COLLET]
    assert "1.0000 in (25.40 mm) collet" in fit.text
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_pc_15_another_outside_asks_for_a_collet_that_there_is() -> None:
    """PC-15: a tool should ask which collets there are."""
    other = read_part(BAND.replace("diameter = 1.000", "diameter = 1.030"), name="pc-15")
    shop = lean_shop("inch-lathe")
    means = makers_shop(COLLETS).holdings[0]
    found = dict(HOLDING_MODELS)["collet"](job_of(other, replace(shop, bars=makers_shop(COLLETS).bars)), means)
    assert isinstance(found, NoWay)
    assert found.code == "no-collet-of-size"
    assert "make the ring Ø 1.0000 in (25.40 mm): there is a collet" in found.remedy


def test_pc_15_on_the_mandrel_the_ring_is_indicated_and_not_the_mandrel() -> None:
    """PC-15: it took a lot of fiddling to run true; indicate the ring.

    The edges of the second face were cut in the collet there: on the mandrel alone the ring would slip under them.
    """
    shop = makers_shop(EXPANDER)
    with pytest.raises(NoPlanError) as raised:
        make_plan(band(), shop)
    assert "holding-slips" in raised.value.refusal.codes
    edge = "{ along = 0.015, across = 0.015 }"
    plain = read_part(BAND.replace(f"back_inner = {edge}", 'back_inner = "sharp"'), name="pc-15")
    plan = make_plan(plain, shop)
    (act,) = acts_of(plan, a.Indicate)
    assert act.surface == OUTSIDE
    assert "indicate the ring, not the mandrel" in act.note
    assert "ring-swells" in {finding.code for finding in plan.findings}
    assert check_sheet(plan.sheet, shop).refusals == ()


# PC-19: a thin ring goes out of round -------------------------------------------------------------------------------


def thin_lobes_mm(ring: RingSection, *, force_n: float, e_n_mm2: float) -> float:
    """0.0302 W R³ / (E b t³ / 12): three line loads on a thin ring."""
    return wide_jaw_coefficient(3, half_width_deg=0.0) * ring_unit_mm(ring, force_n=force_n, e_n_mm2=e_n_mm2)


@pytest.mark.parametrize(("force_lbf", "lobes_in"), [(100.0, 0.0027), (20.0, 0.0005)])
def test_pc_19_lobes_of_the_titanium_band(force_lbf: float, lobes_in: float) -> None:
    """PC-19: R 0.4625, b 0.1875, t 0.075 in, E 16.5e6 psi; printed to 0.0001 in."""
    ring = RingSection(outside_dia_mm=1.000 * INCH_MM, bore_dia_mm=0.850 * INCH_MM, width_mm=0.1875 * INCH_MM)
    found = thin_lobes_mm(ring, force_n=force_lbf * LBF_N, e_n_mm2=16.5e6 * PSI_N_MM2)
    assert found / INCH_MM == pytest.approx(lobes_in, abs=0.00005)


def test_pc_19_lobes_of_the_steel_ring() -> None:
    """PC-19: steel Ø 22 / Ø 18 x 6 mm at 200 N: 0.0075 mm, E taken as 200 GPa; printed to 0.0001 mm."""
    ring = RingSection(outside_dia_mm=22.0, bore_dia_mm=18.0, width_mm=6.0)
    assert thin_lobes_mm(ring, force_n=200.0, e_n_mm2=200e3) == pytest.approx(0.0075, abs=0.00005)


def test_pc_19_bore_and_outside_are_finished_on_the_bar(planned: Planned) -> None:
    """PC-19: finish bore and outside while the ring is still part of the bar, if it is gripped by its outside later."""
    done = how(planned.plan)
    assert done[BORE].holding == "bar"
    gripped = {act.holding.gripped_surface for act in acts_of(planned.plan, a.Regrip)}
    assert done[OUTSIDE].holding == "bar" or OUTSIDE not in gripped


def test_pc_19_soft_jaws_are_bored_no_larger_than_the_ring() -> None:
    """PC-19: bored to the part, +0.00/-0.05 mm, because larger gives a grip on three lines."""
    job = job_of(Ring().part, lean_shop("metric-lathe"))
    found = dict(HOLDING_MODELS)["soft-jaws"](job, MEANS["soft-jaws"])
    assert isinstance(found, HeldSecond)
    assert "to Ø 23.00 mm (0.9055 in) +0.00/-0.05 mm" in found.ready_text
    assert "larger would grip on three lines only" in found.ready_text


def test_pc_19_the_plan_warns_of_lobes_with_a_number_and_measures_after_release() -> None:
    plan = make_plan(Ring().part, shop_with("metric-lathe", MEANS["soft-jaws"]))
    (warned,) = [finding for finding in plan.findings if finding.code == "jaw-lobes"]
    (regrip,) = acts_of(plan, a.Regrip)
    assert f"{regrip.holding.lobes_mm:.4f} mm" in warned.problem
    acts = plan.sheet.acts
    out = next(i for i, act in enumerate(acts) if isinstance(act, a.HandStep) and act.kind is a.HandKind.TAKE_OUT)
    last = [i for i, act in enumerate(acts) if isinstance(act, a.Measure) and act.final]
    assert min(i for i in last if acts[i].step == "inspect") > out
    assert "room temperature" in next(act.text for act in acts[out + 1 :] if isinstance(act, a.HandStep))


# PC-20: the second side on a glued arbor, a chamfer that chatters --------------------------------------------------


@cache
def glued() -> Plan:
    return make_plan(Ring().part, shop_with("metric-lathe", MEANS["glue-arbor"]))


def test_pc_20_the_ring_on_a_glued_arbor_is_planned_and_checked() -> None:
    shop = shop_with("metric-lathe", MEANS["glue-arbor"])
    assert how(glued())[BACK_FACE].holding == "my-glue-arbor"
    assert check_sheet(glued().sheet, shop).refusals == ()


@pytest.mark.parametrize(
    "words",
    [
        "to slide into the bore",
        "in the same setting",
        "Degrease arbor and ring",
        "aluminium for choice",
        "Light cuts",
        "no heat",
        "warm the arbor gently, to what the glue's maker states",
        "fumes",
    ],
)
def test_pc_20_the_sheet_says_how_to_glue_and_how_to_release(words: str) -> None:
    text = sheet_text(glued(), shop_with("metric-lathe", MEANS["glue-arbor"]))
    squeezed = " ".join(text.replace("!!", " ").split())
    assert words in squeezed


def test_pc_20_the_ring_is_cool_before_it_is_measured() -> None:
    acts = glued().sheet.acts
    out = next(i for i, act in enumerate(acts) if isinstance(act, a.HandStep) and act.kind is a.HandKind.TAKE_OUT)
    assert isinstance(acts[out + 1], a.Cool)
    assert not any(isinstance(act, a.Measure) for act in acts[out : out + 2])


@pytest.mark.parametrize("kind", list(MEANS))
def test_pc_20_every_way_of_holding_has_its_limits(kind: str) -> None:
    """PC-20: second-side options with limits: speed, runout, what it may carry, what it covers."""
    found = dict(HOLDING_MODELS)[kind](job_of(Ring().part, lean_shop("metric-lathe")), MEANS[kind])
    assert isinstance(found, HeldSecond)
    holding = found.holding
    assert 0.0 < holding.max_rpm <= 1500.0
    assert holding.runout_mm > 0.0
    assert (holding.grip_torque_nm > 0.0) is (kind != "stub-mandrel")
    assert (holding.cover_dia_mm > 0.0) is (kind in COVERING)


def test_pc_20_a_plan_keeps_within_what_the_grip_carries() -> None:
    """Torque of every cut in the second holding stays below what friction, or the glue, is counted on for."""
    plan = make_plan(
        Ring(edges=("front_outer", "back_outer"), across=0.3).part, shop_with("metric-lathe", MEANS["pot"])
    )
    (regrip,) = acts_of(plan, a.Regrip)
    second = [reason for reason in plan.reasons if reason.where in (BACK_FACE, BACK_OUTER_EDGE)]
    torques = [
        float(text.removeprefix("torque ").partition(" N·m")[0])
        for reason in second
        for text in reason.inputs
        if text.startswith("torque ")
    ]
    assert len(torques) == 2
    assert max(torques) <= regrip.holding.grip_torque_nm + 0.05


def test_pc_20_a_wide_edge_gets_its_remedies_against_chatter() -> None:
    """PC-20: a third of the speed, the point by the top slide, less overhang, firm feed."""
    plan = make_plan(Ring(edges=("front_outer",), along=1.5, across=1.5).part, demo_shop("metric-lathe"))
    found = [finding for finding in plan.findings if finding.code == "edge-may-ripple"]
    assert [finding.where for finding in found] == ["front-outer-edge"]
    for words in ("a third of the speed", "point of a tool swept by the top slide", "shorten", "feed firmly"):
        assert words in found[0].remedy
