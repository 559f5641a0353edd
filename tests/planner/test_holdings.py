"""Second holdings: what each grips, where it stands, what it costs, and when it cannot hold."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from handwheel.data.rings import thick_ring_table
from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Side
from handwheel.domain.part import BORE, OUTSIDE
from handwheel.geometry.region import area_mm2, bounds_mm, intersection, polygon, rectangle
from handwheel.physics.ring import RingSection, jaw_lobes_mm
from handwheel.planner.holdings import (
    HOLDING_MODELS,
    LEAST_GRIP_MM,
    SPIGOT_BACK_MM,
    HeldSecond,
    bar_holding,
    flat_plate,
    lobes_mm,
    second_holdings,
    soft_jaws,
    stub_mandrel,
)
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay
from tests.planner.jobs import LATHES, Ring, demo_part, demo_shop, job_of

METRIC = "metric-lathe"
SHOP = demo_shop(METRIC)
JOB = job_of(Ring().part, SHOP)


def means(kind: str) -> HoldingMeans:
    """The demo shop's first means of a kind."""
    return next(found for found in SHOP.holdings if found.kind == kind)


JAWS = replace(means("soft-jaws"), force_n=500.0, wrap_deg=100.0)
STUB, PLATE = means("stub-mandrel"), means("flat-plate")


def held(found: HeldSecond | NoWay) -> HeldSecond:
    """A holding that must be possible."""
    assert isinstance(found, HeldSecond)
    return found


def refused(found: HeldSecond | NoWay) -> NoWay:
    """A refusal that must have come."""
    assert isinstance(found, NoWay)
    return found


def ring_job(ring: Ring) -> Job:
    """Job of a ring on the metric lathe."""
    return job_of(ring.part, SHOP)


# lobes -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("outside", "bore", "width", "force_n"),
    [(23.0, 18.5, 6.0, 500.0), (22.0, 18.0, 6.0, 200.0), (24.0, 17.0, 18.0, 400.0)],
)
def test_pc_19_lobes_are_those_of_the_published_formula(
    outside: float, bore: float, width: float, force_n: float
) -> None:
    """Practice case PC-19: 0.0302 W R³ / (E b t³ / 12) for three line loads on a thin ring.

    Titanium's E is a range in the tables, its lower end rules: 105 GPa. A thick ring goes further, wide jaws
    less; both together stay within a third of the formula.
    """
    job = job_of(Ring(outside=outside, bore=bore, width=width).part, demo_shop("inch-lathe"))
    radius, wall = (outside + bore) / 4.0, (outside - bore) / 2.0
    e_n_mm2 = job.material.range("e_modulus").least * 1000.0
    assert e_n_mm2 == 105_000.0 < job.material.range("e_modulus").most * 1000.0
    thin = 0.0302 * force_n * radius**3 / (e_n_mm2 * width * wall**3 / 12.0)
    point = lobes_mm(job, replace(JAWS, force_n=force_n, wrap_deg=0.0))
    wide = lobes_mm(job, replace(JAWS, force_n=force_n, wrap_deg=100.0))
    ring = RingSection(outside_dia_mm=outside, bore_dia_mm=bore, width_mm=width)
    exact = jaw_lobes_mm(ring, jaws=3, force_n=force_n, e_n_mm2=105_000.0, thick_table=thick_ring_table())
    assert point == pytest.approx(exact)
    assert thin <= point <= 4.0 / 3.0 * thin
    assert 0.0 < wide < 0.5 * point  # jaws that wrap nearly all round press nearly evenly
    assert lobes_mm(job, replace(JAWS, force_n=2 * force_n, wrap_deg=0.0)) == pytest.approx(2 * point)


def test_without_force_there_are_no_lobes() -> None:
    assert lobes_mm(JOB, replace(JAWS, force_n=0.0)) == 0.0


def test_a_thick_ring_hardly_springs() -> None:
    """Beyond the table of thick rings the thinnest ring in it stands for it: no more than that one."""
    thick, table_end = (lobes_mm(ring_job(Ring(bore=bore)), JAWS) for bore in (10.0, 13.8))
    assert 0.0 < thick <= table_end < 0.001


def test_jaws_are_refused_by_the_tighter_tolerance() -> None:
    tight = refused(soft_jaws(ring_job(Ring(bore_pm=0.06, outside_pm=0.005)), replace(JAWS, wrap_deg=0.0)))
    assert "500 N a jaw would leave lobes of" in tight.why
    assert "the tolerance is 0.010 mm (0.0004 in)" in tight.why
    gentle = held(soft_jaws(ring_job(Ring(bore_pm=0.06, outside_pm=0.005)), replace(JAWS, wrap_deg=0.0, force_n=20.0)))
    assert 0.0 < gentle.holding.lobes_mm <= 0.25 * 0.010


# places ------------------------------------------------------------------------------------------------------------


def test_the_bar_is_held_behind_what_is_cut() -> None:
    bar = bar_holding(JOB)
    assert (bar.id, bar.side, bar.gripped_surface, bar.turned) == ("bar", Side.FRONT, "bar", True)
    assert bar.grip_dia_mm == 2.0 * JOB.bar_radius_mm
    assert bar.jaw_face_mm == JOB.face_stock_mm - JOB.stick_out_mm
    assert max(bounds_mm(polygon(outline))[2] for outline in bar.blocked) == pytest.approx(bar.jaw_face_mm)


def test_soft_jaws_hold_the_outside_and_leave_the_back_free() -> None:
    second = held(soft_jaws(JOB, JAWS))
    holding = second.holding
    assert (holding.side, holding.gripped_surface) == (Side.BACK, OUTSIDE)
    assert holding.grip_length_mm == 4.0
    assert holding.jaw_face_mm == pytest.approx(-2.0)
    assert holding.max_rpm == 1500.0
    assert (second.ready_kind, second.indicate_surface) == (HandKind.BORE_JAWS, BORE)
    assert "4.0 mm (0.16 in) deep" in second.ready_text


def test_a_far_edge_shortens_the_grip_so_that_it_can_be_reached() -> None:
    """A ring of 6 mm, an edge of 1.5 and a millimetre of room leave 3.5 mm to hold."""
    job = job_of(Ring(edges=("back_outer",), along=1.5, across=0.5).part, SHOP)
    assert held(soft_jaws(job, JAWS)).holding.grip_length_mm == pytest.approx(3.5)


def test_a_stub_fills_the_bore_short_of_its_edge() -> None:
    plain, edged = (job_of(Ring(edges=edges).part, SHOP) for edges in ((), ("back_inner",)))
    holdings = [held(stub_mandrel(job, STUB)).holding for job in (plain, edged)]
    assert [holding.grip_length_mm for holding in holdings] == pytest.approx(
        [6.0 - SPIGOT_BACK_MM, 6.0 - SPIGOT_BACK_MM - 0.5]
    )
    assert {holding.gripped_surface for holding in holdings} == {BORE}
    assert {holding.grip_dia_mm for holding in holdings} == {18.5}
    # its body: the spigot fills the bore, the shoulder stays a millimetre inside the outside
    ring = rectangle(-6.0, 0.0, 9.25, 11.5)
    bodies = [polygon(outline) for outline in holdings[0].blocked]
    assert all(area_mm2(intersection(ring, body)) < 1e-6 for body in bodies)
    shoulder = [bounds_mm(body) for body in bodies if abs(bounds_mm(body)[2] + 6.0) < 1e-9]
    assert shoulder
    assert max(bounds[3] for bounds in shoulder) == pytest.approx(10.5)


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("kind", [soft_jaws, stub_mandrel])
def test_no_holding_stands_in_the_ring_it_holds(lathe: str, kind: object) -> None:
    model = soft_jaws if kind is soft_jaws else stub_mandrel
    shop = demo_shop(lathe)
    job = job_of(demo_part("band"), shop)
    name = "soft-jaws" if kind is soft_jaws else "stub-mandrel"
    found = held(model(job, next(found for found in shop.holdings if found.kind == name)))
    ring = rectangle(-job.width_mm, 0.0, job.bore_radius_mm, job.outside_radius_mm)
    assert all(area_mm2(intersection(ring, polygon(outline))) < 1e-6 for outline in found.holding.blocked)


def test_a_plate_holds_nothing_and_turns_nothing() -> None:
    second = held(flat_plate(JOB, PLATE))
    assert (second.holding.turned, second.holding.max_rpm, second.holding.blocked) == (False, 0.0, ())
    assert second.cost_ms == 1000 * (60 + 120)  # made ready, turned round; nothing to indicate


def test_the_cost_is_making_ready_regripping_and_indicating() -> None:
    habits = SHOP.habits
    for found, own in ((soft_jaws(JOB, JAWS), JAWS), (stub_mandrel(JOB, STUB), STUB)):
        assert held(found).cost_ms == round(1000 * (own.ready_s + habits.regrip_s + habits.indicate_s))


def test_the_slower_of_holding_and_chuck_sets_the_speed() -> None:
    slow = replace(SHOP, lathe=replace(SHOP.lathe, chuck=replace(SHOP.lathe.chuck, max_rpm=700.0)))
    job = job_of(Ring().part, slow)
    assert {held(model(job, own)).holding.max_rpm for model, own in ((soft_jaws, JAWS), (stub_mandrel, STUB))} == {
        700.0
    }


# refusals ----------------------------------------------------------------------------------------------------------


def test_what_does_not_take_the_size_is_refused_with_the_range() -> None:
    jaws = refused(soft_jaws(JOB, replace(JAWS, high_dia_mm=22.99)))
    assert jaws.why == "they take Ø 10 to 22.99 mm (0.3937 to 0.9051 in) and the ring has 23.00 mm (0.9055 in)"
    stub = refused(stub_mandrel(JOB, replace(STUB, low_dia_mm=18.6)))
    assert stub.why == "it takes bores of 18.6 to 60 mm (0.7323 to 2.3622 in) and the ring has 18.50 mm (0.7283 in)"
    for model, own in ((soft_jaws, replace(JAWS, high_dia_mm=23.0)), (stub_mandrel, replace(STUB, low_dia_mm=18.5))):
        held(model(JOB, own))


@pytest.mark.parametrize(("width", "allowed"), [(12.0, True), (12.1, False)])
def test_jaws_hold_at_least_a_third_of_the_width(width: float, *, allowed: bool) -> None:
    found = soft_jaws(ring_job(Ring(width=width)), JAWS)
    assert isinstance(found, HeldSecond) is allowed
    if not allowed:
        assert refused(found).why == "they grip only 4.0 mm (0.16 in) of a ring 12.1 mm (0.48 in) wide"


def test_a_narrow_ring_leaves_too_little_to_hold() -> None:
    """Two millimetres at least: of the outside less a millimetre of room, of the bore less the spigot's setback."""
    for model, own, room_mm in ((soft_jaws, JAWS, 1.0), (stub_mandrel, STUB, SPIGOT_BACK_MM)):
        just, short = (ring_job(Ring(width=round(LEAST_GRIP_MM + room_mm + off, 3))) for off in (0.1, -0.1))
        assert held(model(just, own)).holding.grip_length_mm == pytest.approx(LEAST_GRIP_MM + 0.1)
        assert "1.9" in refused(model(short, own)).why


def test_every_means_is_either_held_or_refused() -> None:
    odd = replace(STUB, id="odd", kind="magnet")
    wide = replace(JAWS, id="wide", low_dia_mm=50.0)
    found, why = second_holdings(JOB, (JAWS, STUB, PLATE, odd, wide), HOLDING_MODELS)
    assert [second.holding.id for second in found] == ["soft-jaws", "stub-mandrel", "flat-plate"]
    assert [no.step for no in why] == ["odd", "wide"]
    assert why[0].why == "no holding model is called 'magnet'"
    assert why[0].remedy == f"known kinds: {', '.join(kind for kind, _ in HOLDING_MODELS)}"
