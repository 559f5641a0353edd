"""Cells of the half section and what a sweep may meet: the ring, the jaws, the far wall of the bore."""

from __future__ import annotations

from itertools import combinations

import pytest
from msgspec.structs import replace

from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding
from handwheel.domain.part import BORE, FRONT_FACE, OUTSIDE
from handwheel.domain.plan import Step
from handwheel.domain.tools import Tool, ToolKind
from handwheel.geometry.bites import KnownBites
from handwheel.geometry.region import area_mm2, intersection, polygon
from handwheel.planner.holdings import HOLDING_MODELS, bar_holding, flat_plate
from handwheel.planner.job import Job
from handwheel.planner.kinds import KINDS
from handwheel.planner.kinds.bevel import PART_OFF
from handwheel.planner.kinds.bore import ROUGH_BORE
from handwheel.planner.kinds.turn import ROUGH_OUTSIDE
from handwheel.planner.posing import pose
from handwheel.planner.reach import Cells, Reached, cells_of, reachable
from handwheel.planner.way import NoWay, Way
from tests.planner.jobs import (
    LATHES,
    RINGS,
    Ring,
    demo_part,
    demo_shop,
    job_of,
    lean_shop,
    only_holdings,
    posed_first,
    tool_of_kind,
    variants_of,
    with_tools,
)
from tests.planner.naive_order import steps_in

METRIC = "metric-lathe"


def steps_of(job: Job) -> tuple[Step, ...]:
    """All steps of a job."""
    return tuple(step for kind in KINDS for step in kind.steps(job))


JOB = job_of(Ring().part, demo_shop(METRIC))
STEPS = steps_of(JOB)
CELLS = cells_of(JOB, STEPS)
IDS = [step.id for step in STEPS]


def way(step: str, tool: Tool | None, *path: Point, job: Job = JOB, holding: Holding | None = None) -> Way:
    """Way of a step along a path."""
    made = next(s for s in STEPS if s.id == step)
    return Way(id="tried", step=made, holding=holding or bar_holding(job), tool=tool, path=path)


def tried(made: Way, *, job: Job = JOB, cells: Cells = CELLS) -> Reached | NoWay:
    """What reach says of one way."""
    found, refused = reachable(job, cells, STEPS, [made])
    assert len(found) + len(refused) == 1
    return found[0] if found else refused[0]


def needs(made: Way, *, job: Job = JOB, cells: Cells = CELLS) -> set[frozenset[str]]:
    """Groups of steps of which one each must be done before a way is clear."""
    found = tried(made, job=job, cells=cells)
    assert isinstance(found, Reached)
    return {frozenset(IDS[step] for step in steps_in(mask)) for mask in found.clear}


def refusal(made: Way, *, job: Job = JOB) -> str:
    """Why a way can never be taken."""
    found = tried(made, job=job)
    assert isinstance(found, NoWay)
    assert found.remedy
    return found.why


BLADE = tool_of_kind(demo_shop(METRIC), ToolKind.PARTING)
TURNER = next(tool for tool in demo_shop(METRIC).tools if tool.id == "right-hand-hss")
BORER = tool_of_kind(demo_shop(METRIC), ToolKind.BORING)


# cells -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_the_cells_are_the_bars_section_cut_up(ring: str, lathe: str) -> None:
    job = job_of(demo_part(ring), demo_shop(lathe))
    cells = cells_of(job, steps_of(job))
    low = min(job.jaw_face_mm, job.drill_end_mm - 20.0)
    assert sum(area_mm2(cell) for cell in cells.regions) == pytest.approx(
        (job.face_stock_mm - low) * job.bar_radius_mm, abs=1e-3
    )
    assert [area_mm2(cell) for cell in cells.far] == pytest.approx([area_mm2(cell) for cell in cells.regions])
    pairs = combinations(cells.regions, 2)
    assert sum(area_mm2(intersection(*pair)) for pair in pairs) == pytest.approx(0.0, abs=1e-3)  # none lies on another


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_each_cell_lies_wholly_in_or_out_of_each_zone(ring: str, lathe: str) -> None:
    job = job_of(demo_part(ring), demo_shop(lathe))
    steps = steps_of(job)
    cells = cells_of(job, steps)
    for i, step in enumerate(steps):
        zones = [polygon(zone.region) for zone in step.zones]
        for cell, removers in zip(cells.regions, cells.removers, strict=True):
            part = max(area_mm2(intersection(cell, zone)) for zone in zones)
            assert part == pytest.approx(area_mm2(cell) if removers >> i & 1 else 0.0, abs=2e-4)


def test_what_no_step_removes_on_the_ring_is_the_finished_ring() -> None:
    """Section of the plain ring: wall times width."""
    kept = [
        area_mm2(cell)
        for place, (cell, removers) in enumerate(zip(CELLS.regions, CELLS.removers, strict=True))
        if CELLS.on_ring >> place & 1 and not removers
    ]
    assert sum(kept) == pytest.approx((11.5 - 9.25) * 6.0, abs=1e-3)


def test_a_cell_of_an_edge_is_taken_by_its_edge_alone() -> None:
    job = job_of(Ring(edges=("front_outer",)).part, demo_shop(METRIC))
    steps = steps_of(job)
    cells = cells_of(job, steps)
    edge = 1 << [step.id for step in steps].index("front-outer-edge")
    areas = [area_mm2(c) for c, mask in zip(cells.regions, cells.removers, strict=True) if mask == edge]
    assert sum(areas) == pytest.approx(0.5 * 0.5 * 0.5, abs=1e-3)


# sweeps ------------------------------------------------------------------------------------------------------------


def test_a_blade_through_the_ring_is_refused_and_behind_it_is_not() -> None:
    end = JOB.bore_radius_mm - 1.0
    through = (Point(-4.0, JOB.outside_radius_mm + 2.0), Point(-4.0, end))
    assert "cut into the finished part" in refusal(way(PART_OFF, BLADE, *through))
    behind = (Point(JOB.kerf_end_mm, JOB.outside_radius_mm + 2.0), Point(JOB.kerf_end_mm, end))
    assert isinstance(tried(way(PART_OFF, BLADE, *behind)), Reached)


def test_a_tenth_of_a_millimetre_into_the_ring_is_seen_and_beside_it_is_not() -> None:
    for off_mm, allowed in ((0.05, True), (-0.05, False)):
        z = off_mm  # the left side of a square tool at the front face
        made = way(FRONT_FACE, replace(TURNER, nose_radius_mm=0.0), Point(z, 14.0), Point(z, 10.0))
        found = tried(made)
        assert isinstance(found, Reached) is allowed


def test_facing_before_roughing_meets_nothing_that_has_to_go_first() -> None:
    assert needs(way(FRONT_FACE, TURNER, Point(0.0, 14.5), Point(0.0, -0.3))) == set()


def test_finishing_the_outside_asks_for_the_front_face_to_be_gone_or_cut_along() -> None:
    """Its path runs through the stock in front of the face, which its own zone covers: nothing else is met."""
    r = JOB.outside_radius_mm
    path = (Point(2.0, r + 1.0), Point(2.0, r), Point(JOB.turn_end_mm, r), Point(JOB.turn_end_mm, r + 1.0))
    assert needs(way(OUTSIDE, TURNER, *path)) == set()
    # roughing to the finished size would bite what only finishing takes, and that comes later
    assert "no step removes" in refusal(way(ROUGH_OUTSIDE, TURNER, *path))


def test_boring_needs_the_drilled_hole() -> None:
    """The bar's back sweeps the far half of the hole: the last drill must have been there."""
    hole, end, r = JOB.hole_radius_mm, JOB.bore_end_mm, JOB.bore_radius_mm - JOB.leave_mm
    path = (Point(2.0, hole - 0.5), Point(end, hole - 0.5), Point(end, r), Point(2.0, r))
    asked = needs(way(ROUGH_BORE, BORER, *path))
    last = IDS[max(i for i, step in enumerate(STEPS) if step.kind == "drill")]
    assert asked
    assert all(last in group for group in asked)


def test_a_bar_too_thick_for_the_hole_strikes_the_far_wall() -> None:
    """A bar of 20 mm in a hole of 18 cannot even stand in the middle of it."""
    end, r = JOB.bore_end_mm, JOB.bore_radius_mm
    path = (Point(2.0, r - 1.0), Point(end, r - 1.0), Point(end, r), Point(2.0, r))
    assert isinstance(tried(way(BORE, BORER, *path)), Reached)
    thick = replace(BORER, bar_dia_mm=20.0)
    assert "too thick for the hole" in refusal(way(BORE, thick, *path))


@pytest.mark.parametrize("bar_dia_mm", [11.0, 12.0, 13.0, 14.0, 15.0, 16.0, 17.0])
def test_the_thickest_bar_that_passes_is_the_one_that_fits(bar_dia_mm: float) -> None:
    """Head 2 mm and bar stand across the hole from the tip: the back must stay off the far wall of the rough hole.

    The tip enters half a millimetre inside the drilled hole of 17 mm, so head and bar may take 16.5 mm (and no tool
    reaches across the axis by more than its own thickness less that).
    """
    shop = with_tools(demo_shop(METRIC), ToolKind.BORING, bar_dia_mm=bar_dia_mm)
    shop = replace(shop, drills=tuple(drill for drill in shop.drills if drill.dia_mm in (10, 17)))
    posed = posed_first(Ring().part, shop)
    assert (ROUGH_BORE in posed.lacking) is (2.0 + bar_dia_mm > 17.0 - 0.5)


def test_a_tool_run_into_the_jaws_is_refused() -> None:
    z = JOB.jaw_face_mm - 2.0
    path = (Point(0.0, 13.0), Point(z, 13.0))
    assert "strike what holds the work" in refusal(way(ROUGH_OUTSIDE, TURNER, *path))


def test_a_way_without_a_tool_sweeps_nothing() -> None:
    assert needs(way(FRONT_FACE, None)) == set()


def test_of_a_parted_ring_the_rest_of_the_bar_is_forgotten() -> None:
    """What stayed in the chuck is no obstacle once the ring is turned round, the ring still is."""
    back = next(step for step in STEPS if step.id == "back-face")
    shop = only_holdings(demo_shop(METRIC), "soft-jaws", "flat-plate")
    plate = flat_plate(JOB, next(means for means in shop.holdings if means.kind == "flat-plate"))
    assert not isinstance(plate, NoWay)
    turned = replace(plate.holding, turned=True)
    # work frame of the back: the parted face stands at + allowance, the finished one at 0
    for z, allowed in ((0.0, True), (-1.0, False)):
        made = Way(
            id="tried",
            step=back,
            holding=turned,
            tool=TURNER,
            path=(Point(z, JOB.outside_radius_mm + 2.0), Point(z, JOB.bore_radius_mm - 1.0)),
        )
        assert isinstance(tried(made), Reached) is allowed


@pytest.mark.parametrize("lathe", LATHES)
def test_what_other_variants_have_worked_out_changes_nothing(lathe: str) -> None:
    """Each variant after the others, with what they left, and the same one alone."""
    jobs = variants_of(demo_part("bush"), lean_shop(lathe))
    assert len(jobs) > 3
    assert len({id(job.bites) for job, _ in jobs}) == 1
    for job, means in jobs:
        after_others = pose(job, means, kinds=KINDS, models=HOLDING_MODELS)
        alone = pose(replace(job, bites=KnownBites()), means, kinds=KINDS, models=HOLDING_MODELS)
        assert {o.id: o.clear for o in after_others.problem.options} == {o.id: o.clear for o in alone.problem.options}
        assert after_others.refused == alone.refused
