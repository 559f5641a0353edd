"""Each way of holding alone in a shop: a part that needs it is planned and checked, wrong holdings are refused."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import msgspec
import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.domain import acts as a
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.errors import NoPlanError
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BACK_FACE, BACK_OUTER_EDGE, BORE, OUTSIDE
from handwheel.domain.plan import Plan, Sheet
from handwheel.domain.remedies import AddToShop, with_remedy
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.geometry.region import area_mm2, intersection, polygon, rectangle
from handwheel.physics.lame import Cylinder, outside_growth_dia_mm
from handwheel.planner.holdings import HOLDING_MODELS, HeldSecond, lobes_mm, second_holdings
from handwheel.planner.job import Job
from handwheel.planner.planner import make_plan
from handwheel.planner.way import NoWay
from handwheel.report.text_sheet import sheet_text
from handwheel.service.intake.part_file import read_part
from tests.agree import disagreements
from tests.planner.held import COVERING, MEANS, means_of, shop_with
from tests.planner.jobs import LATHES, Ring, how, job_of, lean_shop, with_tools

METRIC = "metric-lathe"
BEVELLED = Ring(edges=("front_outer", "back_outer"), along=0.5, across=0.3)
"""A ring whose back edge can only be swept once it is turned round: its legs differ, and its front is no better."""
MODELS = dict(HOLDING_MODELS)
AROUND = ("soft-jaws", "pot", "collet")
ON_BORE = ("stub-mandrel", "expanding-mandrel", "step-spigot", "glue-arbor")


@cache
def plan_in(kind: str, lathe: str) -> Plan:
    """Plan of the bevelled ring where nothing but this holds it."""
    return make_plan(BEVELLED.part, shop_with(lathe, MEANS[kind]))


def model(kind: str, job: Job, means: HoldingMeans | None = None) -> HeldSecond | NoWay:
    return MODELS[kind](job, means or MEANS[kind])


def held(kind: str, job: Job, means: HoldingMeans | None = None) -> HeldSecond:
    found = model(kind, job, means)
    assert isinstance(found, HeldSecond)
    return found


def refused(kind: str, job: Job, means: HoldingMeans | None = None) -> NoWay:
    found = model(kind, job, means)
    assert isinstance(found, NoWay)
    return found


def job_in(ring: Ring, lathe: str = METRIC) -> Job:
    return job_of(ring.part, lean_shop(lathe))


JOB = job_in(BEVELLED)


# whole plans -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("kind", list(MEANS))
def test_a_part_that_needs_it_is_planned_and_passes_the_check(kind: str, lathe: str) -> None:
    plan, shop = plan_in(kind, lathe), shop_with(lathe, MEANS[kind])
    done = how(plan)
    assert done[BACK_OUTER_EDGE].holding == MEANS[kind].id
    assert done[BACK_FACE].holding == ("flat-plate" if kind in COVERING else MEANS[kind].id)
    assert plan.proof.proven
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("kind", list(MEANS))
def test_its_sheet_can_be_read_back(kind: str) -> None:
    shop = shop_with(METRIC, MEANS[kind])
    text = sheet_text(plan_in(kind, METRIC), shop)
    assert disagreements(text, plan_in(kind, METRIC), shop) == []
    assert MEANS[kind].name in text


@pytest.mark.parametrize("kind", list(MEANS))
def test_it_is_made_ready_before_and_indicated_after(kind: str) -> None:
    acts = plan_in(kind, METRIC).sheet.acts
    at = next(i for i, act in enumerate(acts) if isinstance(act, a.Regrip) and act.holding.kind == kind)
    before, after = acts[at - 1], acts[at + 1]
    assert isinstance(before, a.HandStep)
    assert before.text == held(kind, JOB).ready_text
    assert isinstance(after, a.Indicate)


def test_from_one_holding_to_another_the_ring_is_taken_out_and_deburred() -> None:
    """Weak jaws face the ring; only the spigot bears the edge."""
    weak = replace(MEANS["soft-jaws"], force_n=300.0)
    shop = shop_with(METRIC, weak, MEANS["step-spigot"])
    shop = replace(shop, holdings=tuple(item for item in shop.holdings if item.kind != "flat-plate"))
    plan = make_plan(BEVELLED.part, shop)
    done = how(plan)
    assert (done[BACK_FACE].holding, done[BACK_OUTER_EDGE].holding) == (weak.id, "my-step-spigot")
    hands = [act.kind for act in plan.sheet.acts if isinstance(act, a.HandStep)]
    between = hands[hands.index(a.HandKind.BORE_JAWS) + 1 : hands.index(a.HandKind.TURN_SPIGOT)]
    assert between[-2:] == [a.HandKind.TAKE_OUT, a.HandKind.DEBURR]
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_the_quill_is_locked_while_the_tailstock_holds_the_ring() -> None:
    acts = plan_in("plate-and-tailstock", METRIC).sheet.acts
    names = [type(act).__name__ + getattr(getattr(act, "handle", None), "name", "") for act in acts]
    assert names.index("LockQUILL") > names.index("Regrip")
    assert names.index("UnlockQUILL") > names.index("LockQUILL")


# stepped parts -----------------------------------------------------------------------------------------------------

STEPPED = """kind = "stepped-ring"
name = "stepped bush"
metal = "ti_gr2"
units = "mm"
[bore]
diameter = 14
plus_minus = 0.06
[outside]
diameter = 23
plus_minus = 0.1
[width]
length = 12
plus_minus = 0.1
{steps}
[edges]
plus_minus = 0.15
front_outer = {{ along = 0.5, across = 0.3 }}
front_inner = "sharp"
back_outer = {{ along = 0.5, across = 0.3 }}
back_inner = "sharp"
"""


def step_of(where: str, end: str, dia: float, depth: float) -> str:
    return (
        f'[[{where}_step]]\nfrom = "{end}"\ndiameter = {dia}\nplus_minus = 0.1\n'
        f"depth = {{ length = {depth}, plus_minus = 0.15 }}\n"
    )


FLANGED = STEPPED.format(steps=step_of("outside", "front", 19.4, 6.0))
BOTH_ENDS = STEPPED.format(steps=step_of("outside", "front", 19.4, 4.0) + step_of("outside", "back", 18.4, 3.5))
SUNK = STEPPED.format(steps=step_of("bore", "front", 17.0, 4.0) + step_of("bore", "back", 17.0, 4.0))


@pytest.mark.parametrize(
    ("text", "kind", "gripped"),
    [
        *((FLANGED, kind, "outside-front-1") for kind in AROUND),
        *((FLANGED, kind, BORE) for kind in ON_BORE),
        (FLANGED, "plate-and-tailstock", "faces"),
        *((BOTH_ENDS, kind, BORE) for kind in ON_BORE),
        *((SUNK, kind, OUTSIDE) for kind in AROUND),
        *((SUNK, kind, "bore-front-1") for kind in ON_BORE if kind not in COVERING),
    ],
)
def test_a_stepped_part_is_held_by_the_longest_land_that_is_done(text: str, kind: str, gripped: str) -> None:
    """A flange is gripped by its neck, up to the shoulder; a bush with a sunk bore by what leaves the back free."""
    means = replace(MEANS[kind], grip_mm=8.0, sizes_mm=(18.4, 19.4, 23.0))
    shop = with_tools(shop_with(METRIC, means), ToolKind.BORING, bar_dia_mm=8.0, head_mm=1.0, reach_mm=45.0)
    plan = make_plan(read_part(text, name="stepped bush"), shop)
    last = [act.holding for act in plan.sheet.acts if isinstance(act, a.Regrip)][-1]
    assert (last.kind, last.gripped_surface) == (kind, gripped)
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_a_neck_springs_by_itself_and_not_as_thick_as_the_flange_beside_it() -> None:
    """Gripped on a neck of Ø 19.4 x 6 mm with a bore of 14: lobes are those of that ring, more than of the whole part.

    The published coefficient of three lines, 0.0302 (practice case PC-19), thick rings a little more.
    """
    job = job_of(read_part(FLANGED, name="stepped bush"), lean_shop(METRIC))
    jaws = replace(MEANS["soft-jaws"], grip_mm=8.0, force_n=300.0, wrap_deg=0.0)
    found = held("soft-jaws", job, jaws).holding
    radius, wall = (19.4 + 14.0) / 4.0, (19.4 - 14.0) / 2.0
    thin = 0.0302 * 300.0 * radius**3 / (105_000.0 * 6.0 * wall**3 / 12.0)
    assert thin <= found.lobes_mm <= 1.4 * thin
    assert found.lobes_mm > 2.0 * lobes_mm(job, jaws)


# wrong sheets ------------------------------------------------------------------------------------------------------


def with_holding(kind: str, change: Callable[[Holding], Holding]) -> Sheet:
    """The sheet of a kind with its holding changed."""
    sheet = plan_in(kind, METRIC).sheet
    acts = tuple(
        msgspec.structs.replace(act, holding=change(act.holding))
        if isinstance(act, a.Regrip) and act.holding.kind == kind
        else act
        for act in sheet.acts
    )
    return replace(sheet, acts=acts)


def codes(sheet: Sheet, shop: Shop) -> set[RefusalCode]:
    return {refusal.code for refusal in check_sheet(sheet, shop).refusals}


WRONG: dict[str, Callable[[Holding], Holding]] = {
    "shoulder or jaws half a millimetre forward": lambda h: replace(h, jaw_face_mm=h.jaw_face_mm + 0.5),
    "another diameter": lambda h: replace(h, grip_dia_mm=h.grip_dia_mm + 0.5),
    "nothing gripped": lambda h: replace(h, grip_length_mm=0.0),
    "a seat that misses the face": lambda h: replace(h, seat_dia_mm=40.0),
    "another kind": lambda h: replace(h, kind="stub-mandrel" if h.kind != "stub-mandrel" else "soft-jaws"),
}


@pytest.mark.parametrize("what", list(WRONG))
@pytest.mark.parametrize("kind", [*AROUND, *ON_BORE])
def test_a_holding_that_does_not_fit_is_refused(kind: str, what: str) -> None:
    shop = shop_with(METRIC, MEANS[kind])
    assert RefusalCode.HOLDING_DOES_NOT_FIT in codes(with_holding(kind, WRONG[what]), shop)


@pytest.mark.parametrize("what", ["shoulder or jaws half a millimetre forward", "a seat that misses the face"])
def test_plates_that_do_not_sit_are_refused(what: str) -> None:
    shop = shop_with(METRIC, MEANS["plate-and-tailstock"])
    assert RefusalCode.HOLDING_DOES_NOT_FIT in codes(with_holding("plate-and-tailstock", WRONG[what]), shop)


@pytest.mark.parametrize("kind", COVERING)
@pytest.mark.parametrize("cover_mm", [0.0, 18.0, 24.0])
def test_a_washer_that_falls_through_or_stands_out_is_refused(kind: str, cover_mm: float) -> None:
    """The bore has Ø 18.5, the outside 23 mm: the washer lies between."""
    shop = shop_with(METRIC, MEANS[kind])
    wrong = with_holding(kind, lambda h: replace(h, cover_dia_mm=cover_mm))
    assert RefusalCode.HOLDING_DOES_NOT_FIT in codes(wrong, shop)


@pytest.mark.parametrize("kind", COVERING)
def test_a_washer_in_the_way_of_the_tool_is_struck(kind: str) -> None:
    """Ø 22.4 leaves the edge itself free, but not the way of the tip to it."""
    shop = shop_with(METRIC, MEANS[kind])
    wrong = with_holding(kind, lambda h: replace(h, cover_dia_mm=22.4))
    assert RefusalCode.STRIKES_HOLDING in codes(wrong, shop)


@pytest.mark.parametrize("kind", list(MEANS))
def test_a_holding_that_the_shop_has_not_is_refused(kind: str) -> None:
    shop = replace(shop_with(METRIC, MEANS[kind]), holdings=())
    assert RefusalCode.UNKNOWN_HOLDING in codes(plan_in(kind, METRIC).sheet, shop)


@pytest.mark.parametrize("kind", list(MEANS))
def test_a_holding_that_was_not_made_ready_is_refused(kind: str) -> None:
    sheet = plan_in(kind, METRIC).sheet
    text = held(kind, JOB).ready_text
    idle = tuple(act for act in sheet.acts if not (isinstance(act, a.HandStep) and act.text == text))
    assert len(idle) == len(sheet.acts) - 1
    assert RefusalCode.HOLDING_NOT_READY in codes(replace(sheet, acts=idle), shop_with(METRIC, MEANS[kind]))


def test_a_free_quill_under_the_ring_is_refused() -> None:
    sheet = plan_in("plate-and-tailstock", METRIC).sheet
    free = tuple(act for act in sheet.acts if not (isinstance(act, a.Lock) and act.handle.name == "QUILL"))
    shop = shop_with(METRIC, MEANS["plate-and-tailstock"])
    assert codes(replace(sheet, acts=free), shop) == {RefusalCode.QUILL_NOT_LOCKED}


def test_a_set_without_the_collet_is_refused() -> None:
    """Practice case PC-15: a tool should ask which collets there are."""
    other = replace(MEANS["collet"], sizes_mm=(20.0, 25.4))
    assert codes(plan_in("collet", METRIC).sheet, shop_with(METRIC, other)) == {RefusalCode.HOLDING_DOES_NOT_FIT}


@pytest.mark.parametrize("kind", AROUND)
def test_a_grip_longer_than_the_means_reaches_is_refused(kind: str) -> None:
    short = replace(MEANS[kind], grip_mm=3.0)
    assert RefusalCode.HOLDING_DOES_NOT_FIT in codes(plan_in(kind, METRIC).sheet, shop_with(METRIC, short))


# models ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", list(MEANS))
@pytest.mark.parametrize("ring", [BEVELLED, Ring(), Ring(bore=12.0, outside=23.0, width=9.0)])
def test_no_holding_stands_in_the_ring_it_holds(kind: str, ring: Ring) -> None:
    job = job_in(ring)
    found = held(kind, job).holding
    body = rectangle(-job.width_mm, 0.0, job.bore_radius_mm, job.outside_radius_mm)
    assert found.side is Side.BACK
    assert all(area_mm2(intersection(body, polygon(outline))) < 1e-6 for outline in found.blocked)


@pytest.mark.parametrize("kind", list(MEANS))
def test_what_is_gripped_must_be_finished_before(kind: str) -> None:
    found = held(kind, JOB)
    gripped = OUTSIDE if kind in AROUND else BORE
    assert gripped in found.after
    assert (BACK_FACE in found.after) is (kind in COVERING)
    assert found.holding.leaves_outside is (kind not in AROUND)


@pytest.mark.parametrize("kind", list(MEANS))
def test_the_slower_of_holding_and_chuck_sets_the_speed(kind: str) -> None:
    """A collet takes the chuck's place, so that the chuck's limit does not count there."""
    shop = lean_shop(METRIC)
    slow = replace(shop, lathe=replace(shop.lathe, chuck=replace(shop.lathe.chuck, max_rpm=700.0)))
    found = held(kind, job_of(BEVELLED.part, slow)).holding
    assert found.max_rpm == (1000.0 if kind == "collet" else 700.0)


def test_even_pressure_leaves_less_than_three_narrow_jaws() -> None:
    """Ring-clamping section 2: 59 degrees either side of each of three jaws leave 0.000512 of 0.030195."""
    lines = held("soft-jaws", JOB, replace(MEANS["soft-jaws"], wrap_deg=0.0, force_n=300.0)).holding.lobes_mm
    for kind in ("pot", "collet"):
        even = held(kind, JOB, replace(MEANS[kind], force_n=300.0)).holding.lobes_mm
        assert even / lines == pytest.approx(0.000512 / 0.030195, rel=0.01)


def test_a_spigot_clamps_endwise_and_leaves_no_lobes() -> None:
    """Design page: endwise clamp; nothing presses on the ring across its axis."""
    for kind in ("step-spigot", "plate-and-tailstock", "glue-arbor"):
        assert held(kind, JOB).holding.lobes_mm == 0.0


def test_the_growth_on_an_expanding_mandrel_is_lames() -> None:
    """Ring-clamping section 6: 2 p c² a / (E (a² - c²)), here on the diameter, with the lowest E of titanium."""
    found = held("expanding-mandrel", JOB, replace(MEANS["expanding-mandrel"], pressure_n_mm2=5.0)).holding
    bore, outside = 9.25, 11.5
    growth = 2.0 * 2.0 * 5.0 * bore**2 * outside / (105_000.0 * (outside**2 - bore**2))
    assert found.growth_dia_mm == pytest.approx(growth, rel=1e-6)
    tube = Cylinder(inner_dia_mm=18.5, outer_dia_mm=23.0, e_n_mm2=105_000.0, poisson=0.3)
    assert outside_growth_dia_mm(tube, pressure_n_mm2=5.0) == pytest.approx(growth, rel=1e-6)


def test_grips_carry_what_friction_at_its_low_end_allows() -> None:
    """Statics with friction 0.10, the lower row of ring-clamping section 7. [N m]

    Jaws: 3 x 1300 N x 0.10 x 11.5 mm. Mandrel: 0.10 x p x 2 pi c² b (section 6), b = 4 mm of bore gripped.
    Spigot: two faces, 3000 N, at the middle of Ø 18.5 and its washer. Plate: one face, 4000 N, to Ø 21.
    """
    torques = {kind: held(kind, JOB).holding.grip_torque_nm for kind in MEANS}
    for kind in AROUND:
        assert torques[kind] == pytest.approx(3 * 1300 * 0.10 * 11.5e-3)
    assert torques["expanding-mandrel"] == pytest.approx(0.10 * 20.0 * 2.0 * 3.14159265 * 9.25**2 * 4.0 / 1000.0)
    washer = held("step-spigot", JOB).holding.cover_dia_mm / 2.0
    assert torques["step-spigot"] == pytest.approx(2 * 0.10 * 3000 * 0.5 * (9.25 + washer) / 1000.0)
    assert torques["plate-and-tailstock"] == pytest.approx(0.10 * 4000 * 0.5 * (9.25 + 10.5) / 1000.0)
    assert torques["glue-arbor"] == pytest.approx(0.25 * 10.0 * 2.0 * 3.14159265 * 9.25**2 * 4.0 / 1000.0)
    assert torques["stub-mandrel"] == 0.0  # nobody can reckon a wringing fit


def test_jaws_grip_the_longest_land_that_leaves_the_back_free() -> None:
    """A ring of 6 mm with 0.5 mm of edge and a millimetre of room: 4 mm is all that the means reaches."""
    for kind in AROUND:
        found = held(kind, JOB).holding
        assert (found.gripped_surface, found.grip_length_mm, found.jaw_face_mm) == (OUTSIDE, 4.0, -2.0)
        deep = held(kind, JOB, replace(MEANS[kind], grip_mm=50.0)).holding
        assert deep.jaw_face_mm == pytest.approx(-1.5)


# refusals and their remedies ---------------------------------------------------------------------------------------


def remedied(trouble: NoWay) -> None:
    """Each remedy that is of the same kind as what was refused gives a holding, and one of them a plan."""
    assert trouble.remedies
    whole = [remedy for remedy in trouble.remedies if isinstance(remedy, AddToShop)]
    assert len(whole) == len(trouble.remedies)
    first = whole[0].thing
    assert isinstance(first, HoldingMeans)
    part, shop = with_remedy(BEVELLED.part, replace(lean_shop(METRIC), holdings=()), whole[0])
    found, why = second_holdings(
        job_of(part, replace(shop, holdings=lean_shop(METRIC).holdings)), (first,), HOLDING_MODELS
    )
    assert found, why


@pytest.mark.parametrize("kind", [kind for kind in MEANS if kind != "collet"])
def test_a_size_that_it_does_not_take_is_refused(kind: str) -> None:
    small = replace(MEANS[kind], high_dia_mm=10.0)
    trouble = refused(kind, JOB, small)
    assert trouble.code == "holding-takes-not-the-size"
    assert "10" in trouble.why
    remedied(trouble)


def test_a_set_without_a_collet_of_the_size_is_refused() -> None:
    trouble = refused("collet", JOB, replace(MEANS["collet"], sizes_mm=(20.0, 25.4)))
    assert trouble.code == "no-collet-of-size"
    assert "it has 20 mm (0.7874 in), 25.4 mm (1 in)" in trouble.why
    assert "or make the ring Ø 25.40 mm (1.0000 in)" in trouble.remedy
    remedied(trouble)


@pytest.mark.parametrize("kind", AROUND)
def test_lobes_beyond_their_share_are_refused(kind: str) -> None:
    """A quarter of the tolerance of 120 µm; three narrow jaws at 2000 N leave several times as much."""
    hard = replace(MEANS[kind], force_n=2000.0, wrap_deg=1.0)
    trouble = refused(kind, JOB, hard)
    assert trouble.code == "lobes-exceed-tolerance"
    remedied(trouble)


def test_a_mandrel_that_swells_the_ring_is_refused() -> None:
    trouble = refused("expanding-mandrel", JOB, replace(MEANS["expanding-mandrel"], pressure_n_mm2=100.0))
    assert trouble.code == "mandrel-swells-ring"
    remedied(trouble)


@pytest.mark.parametrize("kind", ["soft-jaws", "pot", "collet", "expanding-mandrel"])
def test_too_short_a_grip_is_refused(kind: str) -> None:
    trouble = refused(kind, JOB, replace(MEANS[kind], grip_mm=1.0))
    assert trouble.code == "grip-too-short"
    remedied(trouble)


@pytest.mark.parametrize("kind", COVERING)
def test_a_wall_too_thin_for_a_washer_is_refused(kind: str) -> None:
    job = job_in(Ring(outside=20.6))
    assert refused(kind, job).code == "no-room-on-face"


@pytest.mark.parametrize("kind", ["step-spigot", "plate-and-tailstock", "expanding-mandrel"])
def test_what_nobody_has_told_the_strength_of_holds_nothing(kind: str) -> None:
    limp = replace(MEANS[kind], force_n=0.0, pressure_n_mm2=0.0)
    assert refused(kind, JOB, limp).code == "holding-undescribed"


def test_a_chuck_without_jaws_closes_neither_jaws_nor_pot() -> None:
    shop = lean_shop(METRIC)
    bare = replace(shop, lathe=replace(shop.lathe, chuck=replace(shop.lathe.chuck, jaws=0)))
    for kind in ("soft-jaws", "pot"):
        assert refused(kind, job_of(BEVELLED.part, bare)).code == "chuck-has-no-jaws"


WEAK = {
    "soft-jaws": replace(MEANS["soft-jaws"], force_n=300.0),
    "pot": replace(MEANS["pot"], force_n=300.0),
    "collet": replace(MEANS["collet"], force_n=300.0),
    "expanding-mandrel": replace(MEANS["expanding-mandrel"], pressure_n_mm2=5.0),
    "step-spigot": replace(MEANS["step-spigot"], force_n=300.0),
    "plate-and-tailstock": replace(MEANS["plate-and-tailstock"], force_n=500.0),
    "glue-arbor": replace(MEANS["glue-arbor"], bond_n_mm2=1.0),
}


@pytest.mark.parametrize("kind", list(WEAK))
def test_a_ring_that_would_slip_is_not_cut_and_a_firmer_grip_serves(kind: str) -> None:
    """The edge in titanium takes some 3 N·m; the refusal names a means that bears it, and with it there is a plan."""
    shop = shop_with(METRIC, WEAK[kind])
    with pytest.raises(NoPlanError) as raised:
        make_plan(BEVELLED.part, shop)
    refusal = raised.value.refusal
    assert "holding-slips" in refusal.codes
    assert refusal.remedies
    part, better = BEVELLED.part, shop
    for remedy in refusal.remedies:
        part, better = with_remedy(part, better, remedy)
    plan = make_plan(part, better)
    assert check_sheet(plan.sheet, better).refusals == ()


def test_the_grip_is_named_where_it_binds() -> None:
    """Weak jaws: facing goes on in thinner cuts, and the plan says what keeps them thin."""
    weak = replace(MEANS["soft-jaws"], force_n=300.0)
    plan, firm = (make_plan(Ring().part, shop_with(METRIC, means)) for means in (weak, MEANS["soft-jaws"]))
    binds = {reason.binds for reason in plan.reasons if reason.where == BACK_FACE} - {""}
    assert binds == {"the grip of the holding, 1 N·m"}
    assert plan.proof.cost_ms > firm.proof.cost_ms


def test_every_model_is_registered_under_its_kind() -> None:
    assert set(MEANS) | {"flat-plate"} == set(MODELS)
    assert refused("soft-jaws", JOB, means_of("soft-jaws", grip_mm=0.5)).code == "grip-too-short"
