"""Practice cases of bars and fits: PC-25, a press fit closes the bore; PC-27, parts from a bar."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.domain.bars import Bar
from handwheel.domain.errors import InputError
from handwheel.domain.part import BACK_OUTER_EDGE, BORE, FRONT_OUTER_EDGE, OUTSIDE, Part, PressedBore, PressFit
from handwheel.planner.bar_use import bar_yield, each_mm, kept_mm, parts_from_length
from handwheel.planner.closing import lame_share
from handwheel.planner.fit_findings import fit_findings
from handwheel.planner.planner import make_plan
from handwheel.service.intake.part_file import read_part
from tests.planner.jobs import demo_part, demo_shop, job_of

INCH_MM = 25.4


def pressed(
    hole_mm: float,
    *,
    outside: str = "16.02\nplus_minus = 0.01",
    bore: str = "10 H7",
    edge: str = "0.5 x 45",
    more: str = 'finished = "as bored"',
    wish: str = "",
    fit: str = "",
) -> Part:
    """A bush to be pressed into a hole; ``more`` says what becomes of its bore, ``wish`` stands for its outside."""
    hole = f'fit = "{fit}"' if fit else f'diameter = "{bore}"'
    said = wish or f"diameter = {outside}\npressed_into = {hole_mm}"
    text = f"""
kind = "plain-ring"
name = "press-in bush"
metal = "cu_cw307g"
units = "mm"
[bore]
{hole}
{more}
[outside]
{said}
[width]
length = 12
plus_minus = 0.1
[edges]
plus_minus = 0.15
all = "{edge}"
"""
    return read_part(text, name="bush.toml")


def before_pressing(bore: str) -> Part:
    """The same bush with its bore finished before it is pressed in."""
    return pressed(16.00, bore=bore, more='finished = "before pressing"')


def found_for(part: Part) -> dict[str, str]:
    """Findings about the press fit, by code: the problem and the remedy."""
    job = replace(job_of(demo_part("bush"), demo_shop("metric-lathe")), part=part)
    return {finding.code: f"{finding.problem} | {finding.remedy}" for finding in fit_findings(job)}


# PC-25 --------------------------------------------------------------------------------------------------------------


def test_pc_25_the_bore_closes_by_70_to_100_percent_of_the_interference() -> None:
    """PC-25: interference 0.010 to 0.030 mm on a hole of 16.000: the bore loses 0.007 to 0.030 mm (arithmetic here)."""
    text = found_for(pressed(16.00))["bore-closes"]
    assert "0.010 to 0.030 mm (0.0004 to 0.0012 in) of interference" in text
    assert "closes by about 0.007 to 0.030 mm (0.0003 to 0.0012 in)" in text
    assert "70 to 100 %" in text


def test_pc_25_says_what_to_do_and_that_a_close_fit_before_pressing_is_usually_scrap() -> None:
    text = found_for(pressed(16.00))["bore-closes"]
    assert "usually scrap" in text
    assert "bore or ream it to size after pressing" in text
    assert "larger now by what it will lose" in text
    assert "chamfered end first" in text
    assert "burrs" in text


def test_pc_25_a_wide_bore_is_not_called_scrap() -> None:
    text = found_for(pressed(16.00, bore="10 H12"))["bore-closes"]
    assert "scrap" not in text


def test_pc_25_the_hand_rule_of_a_0_400_hole_is_half_a_thou() -> None:
    """PC-25: a 0.400 in hole takes a bush of 0.4005 in; by the rule 0.0005 in is lost at most."""
    hole = 0.400 * INCH_MM
    part = pressed(hole, outside=f"{0.4005 * INCH_MM:.4f}\nplus_minus = 0.001", bore="6 H7")
    assert (
        f"{0.0005 * INCH_MM - 0.001:.3f} to {0.0005 * INCH_MM + 0.001:.3f} mm (0.0005 to 0.0005 in) of interference"
        in found_for(part)["bore-closes"]
    )


def test_pc_25_the_thick_cylinder_share_lies_in_the_range_of_practice_for_a_thin_bush_in_a_stout_housing() -> None:
    """PC-25: the formula gives the exact share; for a thin bronze bush in a stout steel housing it is 70 to 100 %."""
    bronze = material("cu_cw307g")
    thin = lame_share(bronze, bore_dia_mm=13.0, hole_dia_mm=16.0)
    assert 0.7 <= thin <= 1.0
    assert lame_share(bronze, bore_dia_mm=4.0, hole_dia_mm=16.0) < thin


def test_pc_25_a_part_without_a_broken_outer_edge_has_no_lead_in() -> None:
    part = pressed(16.00, edge="sharp")
    assert part.surface(FRONT_OUTER_EDGE) is None
    assert part.surface(BACK_OUTER_EDGE) is None
    assert "no-lead-in" in found_for(part)
    assert "no-lead-in" not in found_for(pressed(16.00))


def test_pc_25_a_hole_that_the_outside_may_not_fill_is_said() -> None:
    assert "no-interference" in found_for(pressed(16.02))
    assert "no-interference" not in found_for(pressed(16.00))


def test_pc_25_a_part_that_is_not_pressed_in_has_none_of_these_findings() -> None:
    assert found_for(demo_part("bush")) == {}


def test_pc_25_the_findings_stand_on_the_plan() -> None:
    hole = Fraction("27.80")
    press = PressFit(surface=OUTSIDE, mate_lower=hole, mate_upper=hole, bore=PressedBore.AS_BORED)
    bush = replace(demo_part("bush"), presses=(press,))
    codes = {finding.code for finding in make_plan(bush, demo_shop("metric-lathe")).findings}
    assert "bore-closes" in codes


def test_pc_25_the_bore_may_be_made_larger_now_by_what_it_will_lose() -> None:
    """PC-25: "make the bore larger by that amount": 10 H11 (0 to 90 µm), interference 10 to 30 µm, loss 7 to 30 µm."""
    part = before_pressing("10 H11")
    size = next(feature.size for feature in part.sizes if feature.surface == BORE)
    assert (size.lower, size.upper) == (Fraction("10.030"), Fraction("10.097"))
    text = found_for(part)["bore-closes"]
    assert "the sheet makes it larger by what it will lose" in text
    assert "scrap" not in text


def test_pc_25_an_h7_that_is_finished_before_pressing_is_refused_as_scrap() -> None:
    """PC-25: 10 H7 has 15 µm; that the bore closes by 7 to 30 µm nobody can tell closer."""
    with pytest.raises(InputError, match=r"bore are 0.015 mm \(0.0006 in\) apart.*0.007 to 0.030 mm.*usually scrap"):
        before_pressing("10 H7")


def test_pc_25_a_bore_finished_after_assembly_is_left_its_allowance() -> None:
    part = pressed(16.00, bore="10 H7", more='finished = "after pressing"\nallowance = "0.2 to 0.4 on the diameter"')
    size = next(feature.size for feature in part.sizes if feature.surface == BORE)
    assert (size.cut_lower, size.cut_upper) == (Fraction("9.6075"), Fraction("9.8075"))
    text = found_for(part)["bore-closes"]
    assert "that much more than the allowance is then left to bore or ream" in text
    assert "scrap" not in text


def test_a_part_that_is_pressed_on_a_shaft_grows_outside_by_what_thick_cylinders_say() -> None:
    """By hand: ring 10 to 16 mm of the bush's bronze on solid steel, 24 µm; p = (Δ/d) / (sum of both gives)."""
    part = pressed(16.0, wish="diameter = 16\nplus_minus = 0.1", more="", fit="press on 10 mm shaft")
    job = job_of(demo_part("bush"), demo_shop("metric-lathe"))
    modulus, poisson = 1000.0 * job.material.range("e_modulus").least, job.material.find("poisson")
    nu = 0.33 if poisson is None else poisson.most
    shaft, outside, most = 10.024, 16.0, 0.024
    ratio = (outside**2 + shaft**2) / (outside**2 - shaft**2)
    pressure = most / shaft / ((ratio + nu) / modulus + (1 - 0.3) / 210_000.0)
    grows = 2 * pressure * shaft**2 * outside / (modulus * (outside**2 - shaft**2))
    text = found_for(part)["outside-grows"]
    assert f"the outside grows by up to {grows:.3f} mm ({grows / INCH_MM:.4f} in)" in text
    assert 0.010 < grows < 0.024


def test_pc_25_the_outside_is_given_from_hole_and_interference() -> None:
    """PC-25: "give OD from hole + interference": H7/p6 at 16 mm is 0 to 29 µm, onto a hole of 16.005."""
    part = pressed(16.005, wish='fit = "press into 16 mm measured 16.005"')
    size = next(feature.size for feature in part.sizes if feature.surface == OUTSIDE)
    assert (size.lower, size.upper) == (Fraction("16.005"), Fraction("16.034"))


FLANGED = """
kind = "stepped-ring"
name = "flanged bush"
metal = "cu_cw307g"
units = "inch"
[bore]
diameter = "10 mm H11"
finished = "as bored"
[outside]
diameter = "30 mm"
plus_minus = "0.1 mm"
[[outside_step]]
from = "front"
fit = "press into 26 mm H7"
depth = { length = "8 mm", plus_minus = "0.1 mm" }
[[bore_step]]
from = "back"
diameter = "20 mm"
plus_minus = "0.1 mm"
depth = { length = "3 mm", plus_minus = "0.1 mm" }
[width]
length = "12 mm"
plus_minus = "0.1 mm"
[edges]
plus_minus = "0.1 mm"
all = "0.02 x 45"
"""


def test_pc_25_a_bush_with_steps_closes_by_the_wall_of_each_and_not_under_its_flange() -> None:
    part = read_part(FLANGED, name="flanged.toml")
    job = replace(job_of(demo_part("bush"), demo_shop("metric-lathe")), part=part)
    told = {finding.where: finding.problem for finding in fit_findings(job) if finding.code == "bore-closes"}
    assert set(told) == {BORE}
    text = told[BORE]
    assert "0.0000 to 0.0014 in (0.001 to 0.035 mm) of interference" in text
    assert "where the outside over it is not in the hole it does not close" in text
    assert "bore-back-1 lies under what is not in the hole, and does not close" in text
    assert "thick cylinders in a stout steel housing and in one that does not give" in text


# PC-27 --------------------------------------------------------------------------------------------------------------


def test_pc_27_a_48_inch_bar_gives_127_rings_and_not_192() -> None:
    """PC-27: 48 in bar, 1.5 grip, 0.02 facing, ring 0.250, blade 0.100, second facing 0.015 in."""
    found = parts_from_length(
        48 * INCH_MM,
        kept_mm=1.5 * INCH_MM,
        first_facing_mm=0.02 * INCH_MM,
        each_mm=(0.250 + 0.100 + 0.015) * INCH_MM,
    )
    assert found == 127
    assert parts_from_length(48.0, kept_mm=0.0, first_facing_mm=0.0, each_mm=0.250) == 192


def test_pc_27_a_third_of_the_length_is_blade_facing_and_grip() -> None:
    """PC-27: 34 % of the length is blade, facing and grip; printed to 1 %, hence half of one."""
    rings = parts_from_length(48.0, kept_mm=1.5, first_facing_mm=0.02, each_mm=0.365)
    assert 100.0 * (1.0 - rings * 0.250 / 48.0) == pytest.approx(34, abs=0.5)


def test_pc_27_the_yield_of_a_planned_bar_is_counted_the_same_way() -> None:
    """PC-27's terms, each read off the job: grip and what stands before it, facing, width, blade, second side.

    Every sheet faces the bar, as the acts of the plan show, so that the facing is lost with each part.
    """
    job = job_of(demo_part("bush"), replace(demo_shop("metric-lathe"), bars=(_bar(400.0),)))
    taken = job.face_stock_mm + job.width_mm + job.blade.width_mm + job.back_allowance_mm
    assert each_mm(job) == pytest.approx(taken)
    found = bar_yield(job)
    assert found.parts == int((400.0 - kept_mm(job)) / taken)
    assert found.lost_share == pytest.approx(1.0 - found.parts * job.width_mm / 400.0)
    assert kept_mm(job) >= job.shop.lathe.chuck.jaw_length_mm


@pytest.mark.parametrize("parts", [2, 5])
def test_pc_27_what_the_sheet_needs_for_so_many_parts_in_a_row_is_what_is_counted(parts: int) -> None:
    """Played by hand: jaws and stick-out for the last part, and facing, part, second side and slot for those before."""
    job = job_of(demo_part("bush"), demo_shop("metric-lathe"))
    jaws = job.shop.lathe.chuck.jaw_length_mm
    slot_to_slot = job.face_stock_mm - job.kerf_end_mm
    need = (parts - 1) * slot_to_slot + job.stick_out_mm + jaws
    for short_mm, made in ((-0.01, parts), (0.01, parts - 1)):
        shop = replace(job.shop, bars=(_bar(need - short_mm),))
        assert bar_yield(job_of(demo_part("bush"), shop)).parts == made


def test_pc_27_one_part_less_when_the_bar_is_shorter_by_a_hair() -> None:
    whole = {"kept_mm": 30.0, "first_facing_mm": 1.0, "each_mm": 20.0}
    assert parts_from_length(131.0, **whole) == 5
    assert parts_from_length(130.999, **whole) == 4
    assert parts_from_length(10.0, **whole) == 0


def _bar(length_mm: float) -> Bar:
    dia = Fraction(30)
    return Bar(
        id="bar-30",
        material=demo_part("bush").material,
        dia_mm=dia,
        dia_lower_mm=dia,
        dia_upper_mm=dia,
        length_mm=length_mm,
        tolerance_rule="as measured",
    )
