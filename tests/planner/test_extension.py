"""A kind of step and a way of holding that only these tests know go through the planner untouched."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from msgspec.structs import replace

from handwheel.data.speeds import CutKind
from handwheel.domain import acts as a
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.contour import Point
from handwheel.domain.errors import NoPlanError
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BACK_FACE, BACK_OUTER_EDGE, OUTSIDE, Part
from handwheel.domain.plan import Plan, Stage, Step, Zone
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.geometry.bodies import soft_jaw_bodies
from handwheel.physics.force import Process
from handwheel.planner.cut_case import CutCase
from handwheel.planner.holdings import HOLDING_MODELS, HeldSecond, HoldingModel
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds import KINDS
from handwheel.planner.kinds.bevel import PART_OFF
from handwheel.planner.kinds.common import across_drive, planned, work_stiffness_n_um
from handwheel.planner.kinds.groove import plunge
from handwheel.planner.planner import make_plan
from handwheel.planner.posing import pose
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Writer
from tests.planner.jobs import LATHES, Ring, how, lean_shop, only_holdings, step_ids, variants_of, without_tools
from tests.planner.naive_order import least_ms

OIL_GROOVE = "oil-groove"
OIL_DEPTH_MM = 0.4
OIL_PLACE_MM = -3.0
"""Z of the left wall of the oil groove."""

# a kind of step: a shallow oil groove round the outside ------------------------------------------------------------


def _oil_steps(job: Job) -> Iterable[Step]:
    tool = next((tool for tool in job.shop.tools if tool.kind is ToolKind.GROOVING), None)
    width = tool.width_mm if tool else 2.0
    bottom = job.outside_radius_mm - OIL_DEPTH_MM
    yield Step(
        id=OIL_GROOVE,
        kind="oil groove",
        surface=OUTSIDE,
        stage=Stage.WHOLE,
        zones=(
            Zone(
                id=OIL_GROOVE,
                surface=OUTSIDE,
                region=rect(OIL_PLACE_MM, OIL_PLACE_MM + width, bottom, job.bar_radius_mm),
            ),
        ),
        after=(OUTSIDE,),
    )


def _oil_ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if holding.side is not Side.FRONT or job.cross is None:
        return
    for tool in job.shop.tools:
        if tool.kind is not ToolKind.GROOVING:
            continue
        case = CutCase(
            name="oil groove",
            cut=CutKind.PART,
            process=Process.PARTING,
            tool=tool,
            drive=across_drive(job),
            total_mm=OIL_DEPTH_MM,
            step_mm=job.cross.radius_per_step_mm,
            way_mm=OIL_DEPTH_MM + CLEAR_MM,
            large_dia_mm=2.0 * job.outside_radius_mm,
            max_rpm=holding.max_rpm,
            stiffness_n_um=work_stiffness_n_um(job, holding, at_mm=OIL_PLACE_MM),
            width_mm=tool.width_mm,
        )
        found = planned(job, step, case)
        if isinstance(found, NoWay):
            yield found
            continue
        bottom = job.outside_radius_mm - OIL_DEPTH_MM
        yield Way(
            id=f"{step.id}/{holding.id}/{tool.id}",
            step=step,
            holding=holding,
            tool=tool,
            swing=PARALLEL_SWING,
            path=(Point(OIL_PLACE_MM, job.outside_radius_mm + CLEAR_MM), Point(OIL_PLACE_MM, bottom)),
            zeros_needed=Zero.ALONG | Zero.ACROSS,
            schedule=found,
            across=job.cross,
            reach_mm=OIL_DEPTH_MM + CLEAR_MM,
            cut_ms=found.total_ms,
        )


def _write_oil(w: Writer, way: Way) -> None:
    w.prepare(way)
    plunge(w, way, z_mm=OIL_PLACE_MM, depth_radius_mm=w.outside_dia_mm / 2.0 - OIL_DEPTH_MM, surface=OIL_GROOVE)


OIL_KIND = Kind(
    name="oil groove", steps=_oil_steps, ways=_oil_ways, write=_write_oil, title=lambda _: "Turn the oil groove"
)

# a way of holding: a pot with a thread ring, which grips endwise and leaves no lobes -------------------------------

POT = HoldingMeans(
    id="pot-30",
    kind="screw-pot",
    name="pot with a clamping ring",
    low_dia_mm=10.0,
    high_dia_mm=30.0,
    grip_mm=3.0,
    runout_mm=0.01,
    ready_s=30.0,
    max_rpm=800.0,
)


def pot(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """A pot bored to the outside of the ring."""
    dia = 2.0 * job.outside_radius_mm
    if not means.low_dia_mm <= dia <= means.high_dia_mm:
        return NoWay(step=means.id, tried=means.name, why=f"the ring has Ø {dia:.2f} mm")
    jaw_face = -(job.width_mm - means.grip_mm)
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=OUTSIDE,
        grip_dia_mm=dia,
        jaw_face_mm=jaw_face,
        grip_length_mm=means.grip_mm,
        blocked=soft_jaw_bodies(
            job.shop.lathe.chuck,
            jaw_face_mm=jaw_face,
            grip_radius_mm=job.outside_radius_mm,
            grip_length_mm=means.grip_mm,
            seat_inner_radius_mm=job.bore_radius_mm + 1.0,
        ),
        runout_mm=means.runout_mm,
        max_rpm=means.max_rpm,
    )
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=a.HandKind.NOTE,
        ready_text="Screw the pot on the spindle nose and lay the ring in it.",
        indicate_surface=OUTSIDE,
        cost_ms=round(1000 * means.ready_s),
    )


MORE_KINDS = (*KINDS, OIL_KIND)
MORE_MODELS: tuple[tuple[str, HoldingModel], ...] = (*HOLDING_MODELS, ("screw-pot", pot))


def with_pot(shop: Shop) -> Shop:
    """Shop that owns a pot besides its soft jaws."""
    jaws = only_holdings(shop, "soft-jaws")
    return replace(jaws, holdings=(*jaws.holdings, POT))


def least_of_variants_ms(part: Part, shop: Shop, kinds: tuple[Kind, ...]) -> int:
    """Cost of the cheapest order of all variants, by brute force."""
    posed = [pose(job, means, kinds=kinds, models=MORE_MODELS) for job, means in variants_of(part, shop)]
    return min(cost for item in posed if (cost := least_ms(item.problem)) is not None)


def regripped(plan: Plan) -> list[Holding]:
    """Holdings to which the plan goes over."""
    return [act.holding for act in plan.sheet.acts if isinstance(act, a.Regrip)]


@pytest.mark.parametrize("lathe", LATHES)
def test_a_new_kind_of_step_is_planned_written_and_proven(lathe: str) -> None:
    part, shop = Ring().part, only_holdings(lean_shop(lathe), "soft-jaws")
    plain, plan = make_plan(part, shop), make_plan(part, shop, kinds=MORE_KINDS)
    assert OIL_GROOVE not in step_ids(plain)
    assert step_ids(plan).index(OUTSIDE) < step_ids(plan).index(OIL_GROOVE) < step_ids(plan).index(PART_OFF)
    assert how(plan)[OIL_GROOVE].tool == "grooving-2"
    cut = next(act for act in plan.sheet.acts if isinstance(act, a.Cut) and act.step == OIL_GROOVE)
    assert cut.surface == OIL_GROOVE
    assert cut.to is not None
    assert cut.to.expected_mm == pytest.approx(23.0 - 2 * OIL_DEPTH_MM, abs=0.06)  # a mark of the inch lathe
    assert "Turn the oil groove" in [time.title for time in plan.times]
    assert plan.proof.proven
    assert plan.proof.cost_ms == least_of_variants_ms(part, shop, MORE_KINDS)


def test_a_new_kind_without_a_tool_is_refused() -> None:
    shop = without_tools(lean_shop("metric-lathe"), ToolKind.GROOVING)
    assert OUTSIDE in step_ids(make_plan(Ring().part, shop))
    with pytest.raises(NoPlanError):
        make_plan(Ring().part, shop, kinds=MORE_KINDS)


@pytest.mark.parametrize("lathe", LATHES)
def test_a_new_way_of_holding_is_taken_where_it_is_cheaper(lathe: str) -> None:
    part, shop = Ring().part, with_pot(lean_shop(lathe))
    plan = make_plan(part, shop, models=MORE_MODELS)
    assert [(holding.id, holding.kind) for holding in regripped(plan)] == [("pot-30", "screw-pot")]
    assert how(plan)[BACK_FACE].holding == "pot-30"
    assert "Screw the pot on the spindle nose and lay the ring in it." in [
        act.text for act in plan.sheet.acts if isinstance(act, a.HandStep)
    ]
    speeds = {act.rpm for act in plan.sheet.acts if act.step == BACK_FACE and isinstance(act, a.SetSpeed)}
    assert all(rpm <= POT.max_rpm for rpm in speeds)
    assert plan.proof.cost_ms == least_of_variants_ms(part, shop, KINDS)


def test_a_new_way_of_holding_is_left_where_it_does_not_fit() -> None:
    shop = with_pot(lean_shop("metric-lathe"))
    small = replace(shop, holdings=(*shop.holdings[:-1], replace(POT, high_dia_mm=20.0)))
    plan = make_plan(Ring().part, small, models=MORE_MODELS)
    assert [holding.kind for holding in regripped(plan)] == ["soft-jaws"]


def test_an_unknown_way_of_holding_is_named_with_the_known_ones() -> None:
    shop = replace(lean_shop("metric-lathe"), holdings=(POT,))
    with pytest.raises(NoPlanError, match="no holding model is called 'screw-pot'") as raised:
        make_plan(Ring().part, shop)
    assert "known kinds: soft-jaws, pot, collet, stub-mandrel" in str(raised.value)
    assert make_plan(Ring().part, shop, models=MORE_MODELS).proof.proven


def test_both_together_share_one_fitting_of_the_grooving_tool() -> None:
    part, shop = Ring(edges=("front_outer", "back_outer")).part, with_pot(lean_shop("inch-lathe"))
    plan = make_plan(part, shop, kinds=MORE_KINDS, models=MORE_MODELS)
    done = how(plan)
    assert (done[OIL_GROOVE].holding, done[BACK_OUTER_EDGE].holding, done[BACK_FACE].holding) == (
        "bar",
        "bar",
        "pot-30",
    )
    # one fitting of the grooving tool serves both grooves, in either order
    fits = [act.tool for act in plan.sheet.acts if isinstance(act, a.FitTool)]
    assert fits.count("grooving-2") == 1
    assert plan.proof.cost_ms == least_of_variants_ms(part, shop, MORE_KINDS)
