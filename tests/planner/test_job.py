"""What is settled before the search: allowances in whole steps, overruns, how far the bar stands out."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields, replace

from handwheel.domain.acts import SettingKind
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.motion import Handle
from handwheel.domain.part import BORE, OUTSIDE, Aspect
from handwheel.domain.slides import AidKind, LengthAid
from handwheel.domain.tools import ToolKind
from handwheel.geometry.region import area_mm2, polygon
from handwheel.geometry.tool_shapes import silhouette
from handwheel.planner.dialing import Scale
from handwheel.planner.job import Job, rect, whole_steps_mm
from tests.planner.jobs import (
    LATHES,
    RINGS,
    Ring,
    demo_part,
    demo_shop,
    job_of,
    variants_of,
    with_slides,
    with_tools,
    without_tools,
)


def scale_of(step_mm: Fraction) -> Scale:
    """Scale of a carriage by steps of some size."""
    made = demo_shop("metric-lathe").lathe.carriage
    return Scale(slide=made, kind=SettingKind.RULE, step_mm=step_mm, across=0.0, along=1.0)


@given(
    st.integers(0, 3000),
    st.integers(0, 30000),
    st.sampled_from([Fraction("0.0254"), Fraction(1, 50), Fraction(1, 10), Fraction(1, 2)]),
)
def test_an_allowance_is_rounded_up_to_a_whole_step_of_the_sum(length: int, beyond: int, step: Fraction) -> None:
    length_mm, beyond_mm = length / 1000, beyond / 1000
    found = whole_steps_mm(length_mm, scale_of(step), beyond_mm=beyond_mm)
    steps = (found + beyond_mm) / float(step)
    assert steps == pytest.approx(round(steps), abs=1e-6)
    assert length_mm - 1e-6 <= found < length_mm + float(step) + 1e-6


def test_without_a_scale_an_allowance_stays_as_it_is() -> None:
    assert whole_steps_mm(0.3, None, beyond_mm=7.0) == 0.3


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_the_blade_stands_at_a_whole_mark_of_the_top_slide(ring: str, lathe: str) -> None:
    job = job_of(demo_part(ring), demo_shop(lathe))
    made = demo_shop(lathe).lathe.top.dial
    assert made is not None
    marks = job.kerf_end_mm / float(made.travel_per_mark_mm)
    assert marks == pytest.approx(round(marks), abs=1e-6)
    habits = demo_shop(lathe).habits
    assert habits.back_allowance_mm <= job.back_allowance_mm + 1e-9
    assert job.back_allowance_mm < habits.back_allowance_mm + float(made.travel_per_mark_mm)
    assert job.raw_back_mm == pytest.approx(-(demo_part(ring).width_mm + job.back_allowance_mm))


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_each_thing_runs_past_the_one_that_opens_into_it(ring: str, lathe: str) -> None:
    """Parting opens into the bore, the boring tool stays off the bottom, the outside is turned past the blade."""
    job = job_of(demo_part(ring), demo_shop(lathe))
    assert job.drill_end_mm < job.bore_end_mm < job.kerf_end_mm < job.raw_back_mm < 0.0
    assert job.turn_end_mm <= job.kerf_end_mm - 1.0
    assert job.hole_radius_mm < job.bore_radius_mm - job.leave_mm
    assert job.leave_mm == 2.0 * job.finish_cut_mm
    twists = [drill for drill in job.drills if drill.kind is DrillKind.TWIST]
    assert job.hole_radius_mm == max(float(drill.dia_mm) for drill in twists) / 2
    assert replace(job, drills=()).hole_radius_mm == 0.0


def tool_left_mm(job: Job) -> list[float]:
    """How far left of the finished front face each blade and outside edge tool comes, in its working place."""
    left = []
    for tool in job.shop.tools:
        reach = min(p.z_mm for piece in silhouette(tool) for p in piece.points)
        if tool.kind in (ToolKind.PARTING, ToolKind.GROOVING):
            left.append(job.raw_back_mm - tool.width_mm + reach)
        elif tool.kind is ToolKind.EDGE_OUTSIDE:
            left.append(job.raw_back_mm - 0.15 + reach)
    return left


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_the_bar_stands_out_so_that_every_tool_clears_the_jaws_by_less_than_a_millimetre_too_much(
    ring: str, lathe: str
) -> None:
    job = job_of(demo_part(ring), demo_shop(lathe))
    nearest = min(*tool_left_mm(job), job.turn_end_mm) - job.jaw_face_mm
    assert job.stick_out_mm == ceil(job.stick_out_mm)
    assert job.shop.habits.clearance_mm - 1e-9 <= nearest < job.shop.habits.clearance_mm + 1.0
    assert job.jaw_face_mm == pytest.approx(job.face_stock_mm - job.stick_out_mm)


def test_a_far_edge_asks_for_room_behind_it_only_with_an_edge_tool() -> None:
    shop = with_tools(demo_shop("metric-lathe"), ToolKind.PARTING, width_mm=1.0)
    part = Ring(outside=21.0, edges=("back_outer",)).part
    with_tool = job_of(part, shop)
    without = job_of(part, without_tools(shop, ToolKind.EDGE_OUTSIDE))
    assert with_tool.turn_end_mm < without.turn_end_mm


def test_lengths_go_by_the_top_slide_and_without_its_dial_by_the_carriage() -> None:
    shop = demo_shop("metric-lathe")
    bare = with_slides(shop, top=replace(shop.lathe.top, dial=None))
    part = Ring().part
    found = [job_of(part, which).length for which in (shop, bare)]
    assert [scale.handle if scale else None for scale in found] == [Handle.TOP, Handle.CARRIAGE]
    blind = with_slides(bare, carriage=replace(shop.lathe.carriage, dial=None, aids=()))
    assert job_of(part, blind).length is None


@pytest.mark.parametrize("edges", [(), ("back_outer",)])
def test_an_indicator_that_ends_before_the_turning_does_tells_no_lengths(edges: tuple[str, ...]) -> None:
    """From a thick bar the flank of an edge tool at the far edge asks for turning far behind the ring."""
    shop = demo_shop("metric-lathe")
    part = Ring(outside=21.0, edges=edges).part
    reach = job_of(part, shop).length_reach_mm
    assert reach > -job_of(part, shop).turn_end_mm + job_of(part, shop).face_stock_mm
    for beyond, kind in ((0.01, SettingKind.INDICATOR), (-0.01, SettingKind.RULE)):
        aids = (
            LengthAid(kind=AidKind.INDICATOR, step_mm=Fraction(1, 100), range_mm=reach + beyond),
            LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=300.0),
        )
        carriage = replace(shop.lathe.carriage, dial=None, aids=aids)
        job = job_of(part, with_slides(shop, top=replace(shop.lathe.top, dial=None), carriage=carriage))
        assert job.length is job.carriage
        assert job.length is not None
        assert job.length.kind is kind


def test_a_grooving_tool_grooves_before_a_square_blade_and_a_slanted_one_never() -> None:
    shop = demo_shop("metric-lathe")
    square = with_tools(shop, ToolKind.PARTING, entering_deg=90.0)
    part = Ring().part
    tools = [
        job_of(part, which).groover
        for which in (square, without_tools(square, ToolKind.GROOVING), without_tools(shop, ToolKind.GROOVING))
    ]
    assert [tool.id if tool else None for tool in tools] == ["grooving-2", "parting-2.5", None]


def test_sizes_are_found_by_surface_and_aspect() -> None:
    job = job_of(Ring().part, demo_shop("metric-lathe"))
    assert job.bore_size is job.size(BORE, Aspect.DIAMETER)
    assert job.outside_size is job.size(OUTSIDE, Aspect.DIAMETER)
    with pytest.raises(KeyError, match="outside"):
        job.size(OUTSIDE, Aspect.LEG_AXIAL)


def all_but_the_ladder(job: Job) -> tuple[object, ...]:
    """What a job holds, without its drills and what all jobs of a part share."""
    apart = ("drills", "schedules", "bites")
    return tuple(getattr(job, field.name) for field in fields(job) if field.name not in apart)


def test_jobs_of_one_group_differ_in_the_ladder_alone() -> None:
    jobs = [job for job, _ in variants_of(Ring().part, demo_shop("metric-lathe"))]
    groups = {job.back_allowance_mm: all_but_the_ladder(job) for job in jobs}
    assert len(groups) == 2  # one for turned second holdings, one for the plate
    assert all(all_but_the_ladder(job) == groups[job.back_allowance_mm] for job in jobs)
    assert len({job.drills for job in jobs}) > 3


def test_a_rectangle_has_its_area() -> None:
    assert area_mm2(polygon(rect(-2.0, 1.0, 3.0, 5.0))) == pytest.approx(6.0)
