"""Whole kits of changes: what they hold, that every one of them can be taken, and that what is named is needed.

Sources beside the checks; where none is named, what is asserted is our own rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from msgspec.structs import replace

from handwheel.data.forces import force_models
from handwheel.data.materials import Material, WorkHardening, material, material_keys
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.bars import Bar
from handwheel.domain.chucks import Collet
from handwheel.domain.hole_tools import Reamer
from handwheel.domain.motion import Edge
from handwheel.domain.part import BORE, Aspect, Part, Units, shoulder_name
from handwheel.domain.redrawn import not_true, without_edge, without_step
from handwheel.domain.remedies import (
    AddToShop,
    AllowCorner,
    FitChuck,
    LeaveEdge,
    LeaveStep,
    LighterLastCuts,
    Remedy,
    UseLathe,
    UseMetal,
    with_remedy,
)
from handwheel.domain.remedy_words import remedy_words
from handwheel.domain.shop import Shop
from handwheel.planner.kit import kits
from handwheel.planner.known_metal import easy_metal, known_metal, use_metal
from handwheel.planner.remedying import MOST_TRIES, Trial, name_of, remedied
from handwheel.planner.search import Shortfall
from tests.planner.jobs import LATHES, Ring, demo_shop
from tests.proof.cases import case_of
from tests.shops import shop_of

SHOP = demo_shop(LATHES[1])
EDGED = Ring(edges=("front_outer", "front_inner", "back_outer", "back_inner"))


def taken(part: Part, shop: Shop, remedies: Sequence[Remedy]) -> tuple[Part, Shop]:
    for remedy in remedies:
        part, shop = with_remedy(part, shop, remedy)
    return part, shop


STEPPED = [2000033, 2000197, 2000069]
"""Free cases with steps outside, in the bore, at both ends."""


@pytest.mark.parametrize("number", STEPPED)
def test_every_kit_can_be_taken_whole(number: int) -> None:
    case = case_of(number)
    for kit in kits(case.part, case.shop):
        part, shop = taken(case.part, case.shop, kit)
        assert len(shop.tools) > len(case.shop.tools)
        assert all(remedy_words(remedy, case.shop, case.part.units) for remedy in kit)
        assert part.name == case.part.name


@pytest.mark.parametrize("number", STEPPED)
def test_a_drawing_without_its_edges_and_steps_is_a_plain_ring_of_the_same_size(number: int) -> None:
    part = case_of(number).part
    plain = part
    for remedy in kits(part, case_of(number).shop)[-1]:
        if isinstance(remedy, LeaveEdge | LeaveStep):
            plain, _ = with_remedy(plain, SHOP, remedy)
    assert len(plain.outer.segments) == len(plain.inner.segments) == 1
    assert plain.outside_radius_mm == pytest.approx(part.outside_radius_mm)
    assert plain.bore_radius_mm == pytest.approx(part.bore_radius_mm)
    assert plain.width_mm == pytest.approx(part.width_mm)
    assert {feature.aspect for feature in plain.sizes} == {Aspect.DIAMETER, Aspect.WIDTH}


def test_an_edge_beside_a_step_that_is_left_out_moves_with_the_cylinder() -> None:
    part = case_of(2000197).part  # a step of the bore at the back, chamfered
    step = next(c.surface for c in part.inner_cylinders if c.surface != BORE)
    edge = part.surface("back-inner-edge")
    assert edge is not None
    height = edge.start.radius_mm - edge.end.radius_mm
    without = without_step(part, step)
    moved = without.surface("back-inner-edge")
    assert moved is not None
    assert moved.start.radius_mm == pytest.approx(part.bore_radius_mm)
    assert moved.start.radius_mm - moved.end.radius_mm == pytest.approx(height)
    assert without.surface(step) is None
    assert without.surface(shoulder_name(step)) is None


def test_what_is_not_on_the_drawing_cannot_be_left_off() -> None:
    part = EDGED.part
    assert without_step(part, "outside-front-1") == part
    assert without_edge(Ring().part, "front-outer-edge") == Ring().part
    bound = Ring(true_to=True).part
    assert any(segment.truth_group for segment in bound.inner.segments)
    assert not any(segment.truth_group for s in [not_true(bound)] for segment in (*s.inner.segments, *s.outer.segments))


def test_a_known_metal_has_speeds_for_every_cut_and_hardens_no_more() -> None:
    """Standing of the speeds: those of the tables, `data/materials.csv`; gold has none there."""
    rank = [kind.value for kind in type(material("ss304").work_hardening)]
    for key in material_keys():
        other = material(known_metal(key))
        assert other.key != key
        assert all(cutting_speed(other, edge=Edge.HSS, cut=cut).high_m_min > 0 for cut in CutKind)
        assert rank.index(other.work_hardening.value) <= rank.index(material(key).work_hardening.value)
    assert material(known_metal("ss304")).iso513_group == material("ss304").iso513_group


def test_no_reamer_is_promised_finer_than_reamers_are() -> None:
    """H7 at 3 to 6 mm is 12 µm wide, at 18 to 30 mm 21 µm (ISO 286-2); a reamer makes about H7."""
    fine = Ring(bore=5.29, bore_pm=0.003, outside=12.0).part
    for kit in kits(fine, SHOP):
        reamer = next(r.thing for r in kit if isinstance(r, AddToShop) and isinstance(r.thing, Reamer))
        assert 0.012 <= float(reamer.hole_upper_mm - reamer.hole_lower_mm) <= 0.021


def test_the_easy_metal_is_stiffer_for_its_force_than_any_other_that_does_not_harden() -> None:
    easy = material(easy_metal("ti_gr5"))
    assert easy.work_hardening is WorkHardening.NONE
    assert easy_metal(easy.key) == easy.key
    for key in ("cu_cw614n", "al_6082", "st_c45", "pom"):
        other = material(key)
        assert ratio(easy) >= ratio(other)


def ratio(metal: Material) -> float:
    """Modulus over the largest power constant or specific force of the tables. [GPa mm2/N]"""
    return metal.range("e_modulus").least / max(model.kc_high_n_mm2 for model in force_models(metal))


def test_remedies_of_a_drawing_change_the_part_and_the_others_the_shop() -> None:
    part, shop = EDGED.part, SHOP
    assert with_remedy(part, shop, AllowCorner(radius_mm=0.7))[0].corner_radius_mm == 0.7
    assert with_remedy(part, shop, UseMetal(material="ss303"))[0].material == "ss303"
    assert with_remedy(part, shop, LighterLastCuts(finish_cut_mm=0.05))[1].habits.finish_cut_mm == 0.05
    lathe = replace(shop.lathe, name="another")
    assert with_remedy(part, shop, UseLathe(lathe=lathe)) == (part, replace(shop, lathe=lathe))


@pytest.mark.parametrize("metal", ["nb", "cu_cw614n", "st_c45"])
def test_the_chuck_of_every_kit_takes_its_bar(metal: str) -> None:
    """A bar of another metal has another size, so on a lathe with collets another collet."""
    shop = shop_of("collets-only")
    for kit in kits(replace(EDGED.part, material=metal), shop):
        _, other = taken(EDGED.part, shop, kit)
        bar = next(r.thing for r in kit if isinstance(r, AddToShop) and isinstance(r.thing, Bar))
        assert other.lathe.chuck.takes(float(bar.dia_lower_mm), float(bar.dia_upper_mm))


def test_another_chuck_is_told_by_the_collet_that_is_new_and_another_metal_by_its_name() -> None:
    shop = shop_of("collets-only")
    own = shop.lathe.chuck
    new = replace(own, collets=(*own.collets, Collet(dia_mm=Fraction(21), closes_mm=Fraction(1, 2))))
    assert remedy_words(FitChuck(chuck=new), shop, Units.MM) == "a collet for Ø 20.5 to 21 mm (0.8071 to 0.8268 in)"
    words = remedy_words(UseLathe(lathe=replace(shop.lathe, chuck=new)), shop, Units.MM)
    assert words.endswith(", a collet for Ø 20.5 to 21 mm (0.8071 to 0.8268 in)")
    assert "collet" not in remedy_words(UseLathe(lathe=shop.lathe), shop, Units.MM)
    assert "going" not in remedy_words(UseLathe(lathe=shop.lathe), shop, Units.MM)
    easy = use_metal(easy_metal("nb"))
    assert material(easy.material).name in remedy_words(easy, shop, Units.MM)


def test_another_lathe_goes_as_far_as_the_part_is_wide_and_says_so() -> None:
    """Parting wants the blade behind the part, and the quill takes the point of a drill through it."""
    part = Ring(width=90.0).part
    stout = next(remedy for remedy in kits(part, SHOP)[1] if isinstance(remedy, UseLathe))
    assert min(stout.lathe.top.travel_mm, stout.lathe.tailstock.quill.travel_mm) > 100.0
    assert "top slide going 150 mm" in remedy_words(stout, SHOP, Units.MM)


def test_of_a_kit_only_what_is_used_and_needed_is_named() -> None:
    """A made-up planner that needs a stout lathe and the turning tool of the kit, and uses a gauge without need."""
    part = Ring().part
    offered = kits(part, SHOP)
    things = {name_of(remedy.thing): remedy for remedy in offered[-1] if isinstance(remedy, AddToShop)}
    tool, gauge = "tool kit-turning", "gauge kit-gauge-bore-diameter"
    jobs: list[int] = []

    def retry(other: Part, shop: Shop, most_jobs: int) -> Trial:
        assert other.name == part.name
        jobs.append(most_jobs)
        found = shop.lathe.name == "another lathe" and any(t.id == "kit-turning" for t in shop.tools)
        return Trial(found=found, shortfalls=(), jobs=1, used=frozenset((tool, gauge)) if found else frozenset())

    lacking = (Shortfall(lacking=("bore",), troubles=()),)
    found = remedied(part, SHOP, lacking, retry=retry, kits=offered)
    assert set(found.needed) == {things[tool], *(r for r in offered[1] if isinstance(r, UseLathe))}
    assert found.tries == len(jobs) <= MOST_TRIES
