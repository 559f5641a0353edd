"""What holds the work, as it sweeps round: where jaws, seats, spigots and shoulders stand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.geometry.bodies import (
    CHUCK_DEPTH_MM,
    COLLET_NOSE_MM,
    POT_PROUD_MM,
    WASHER_AND_NUT_MM,
    chuck_bodies,
    collet_bodies,
    mandrel_bodies,
    plate_and_tailstock_bodies,
    pot_bodies,
    soft_jaw_bodies,
    step_spigot_bodies,
)
from handwheel.geometry.region import Region, area_mm2, bites, bounds_mm, polygon, rectangle, union
from tests.demo_plans import demo_shop

CHUCK = demo_shop("metric-lathe").lathe.chuck
"""Jaws 30 mm long and 38 mm high on a body of 160 mm."""


def test_hard_jaws_stand_on_the_bar_and_end_at_their_face() -> None:
    """30 by 38 mm in front of the chuck, from the radius of the bar outward; the chuck 60 mm deep behind them."""
    jaws, body = (polygon(outline) for outline in chuck_bodies(CHUCK, jaw_face_mm=-20.0, grip_radius_mm=12.5))
    assert bounds_mm(jaws) == pytest.approx((-50.0, 12.5, -20.0, 50.5))
    assert bounds_mm(body) == pytest.approx((-50.0 - CHUCK_DEPTH_MM, 0.0, -50.0, 80.0))


def test_jaws_that_reach_beyond_the_chuck_s_body_count_to_their_ends() -> None:
    small = replace(CHUCK, body_dia_mm=60.0)
    _, body = chuck_bodies(small, jaw_face_mm=0.0, grip_radius_mm=12.5)
    assert max(p.radius_mm for p in body) == 12.5 + 38.0


@given(face=st.floats(-60.0, 0.0), radius=st.floats(2.0, 40.0))
def test_a_bar_in_the_jaws_is_touched_and_not_cut_by_them(face: float, radius: float) -> None:
    bar = rectangle(face - CHUCK.jaw_length_mm, 10.0, 0.0, radius)
    for outline in chuck_bodies(CHUCK, jaw_face_mm=face, grip_radius_mm=radius):
        assert not bites(polygon(outline), bar)


@given(width=st.floats(4.0, 20.0), share=st.floats(0.3, 0.8), bore=st.floats(4.0, 20.0), wall=st.floats(0.8, 6.0))
def test_a_ring_sits_in_soft_jaws_on_its_outside_and_on_their_seat(
    width: float, share: float, bore: float, wall: float
) -> None:
    """Work frame: finished face at z 0, seat behind the ring at -width; a seat that leaves the bore free."""
    ring = rectangle(-width, 0.0, bore, bore + wall)
    grip = share * width
    bodies = soft_jaw_bodies(
        CHUCK,
        jaw_face_mm=-(width - grip),
        grip_radius_mm=bore + wall,
        grip_length_mm=grip,
        seat_inner_radius_mm=bore + wall / 2.0,
    )
    shapes = [polygon(outline) for outline in bodies]
    assert not any(bites(shape, ring) for shape in shapes)
    beside, behind = sleeve_outside(ring), rectangle(-width - 0.5, -width, bore + wall / 2.0, bore + wall)
    assert bites(shapes[0], beside), "the jaw stands against the outside"
    assert bites(shapes[1], behind), "the seat stands against the back"
    through_the_bore = rectangle(-width - 5.0, 0.0, 0.0, bore)
    assert not bites(shapes[1], through_the_bore)
    assert max(bounds_mm(shape)[2] for shape in shapes) == pytest.approx(-(width - grip))


def sleeve_outside(ring: Region) -> Region:
    """A sleeve just outside a ring of the same length."""
    low_z, _, high_z, high_x = bounds_mm(ring)
    return rectangle(low_z, high_z, high_x, high_x + 0.5)


@given(width=st.floats(4.0, 20.0), bore=st.floats(4.0, 20.0), wall=st.floats(1.0, 6.0), back=st.floats(0.3, 2.0))
def test_a_ring_on_a_stub_sits_on_the_spigot_and_against_the_shoulder(
    width: float, bore: float, wall: float, back: float
) -> None:
    """The spigot ends short of the face by ``back``; the shoulder stands behind the ring and below its outside."""
    ring = rectangle(-width, 0.0, bore, bore + wall)
    bodies = mandrel_bodies(
        CHUCK,
        nose_mm=-back,
        shoulder_mm=-width,
        spigot_radius_mm=bore,
        shoulder_radius_mm=bore + wall - 0.3,
    )
    shapes = [polygon(outline) for outline in bodies]
    assert not any(bites(shape, ring) for shape in shapes)
    assert bounds_mm(shapes[0])[2:] == pytest.approx((-back, bore))
    assert bounds_mm(shapes[1])[2:] == pytest.approx((-width, bore + wall - 0.3))
    assert not any(bites(shape, rectangle(-back + 0.01, 5.0, 0.0, bore + wall + 10.0)) for shape in shapes)
    assert area_mm2(union(shapes)) > area_mm2(ring)


def test_a_collet_is_as_small_as_its_nose_and_then_as_large_as_the_chuck() -> None:
    """Nose of Ø 45, ring of Ø 23 gripped over 4 mm: nothing beyond 22.5 mm radius for the 25 mm of the nose."""
    bodies = collet_bodies(
        CHUCK,
        jaw_face_mm=-2.0,
        grip_radius_mm=11.5,
        grip_length_mm=4.0,
        seat_inner_radius_mm=10.0,
        nose_radius_mm=22.5,
    )
    nose, seat, behind = (bounds_mm(polygon(outline)) for outline in bodies)
    assert nose == pytest.approx((-2.0 - COLLET_NOSE_MM, 11.5, -2.0, 22.5))
    assert seat == pytest.approx((-2.0 - COLLET_NOSE_MM, 10.0, -6.0, 22.5))
    assert behind[2:] == pytest.approx((-2.0 - COLLET_NOSE_MM, 80.0))


def test_a_pot_stands_a_little_in_front_of_the_jaws_that_close_it() -> None:
    bodies = pot_bodies(
        CHUCK,
        jaw_face_mm=-2.0,
        grip_radius_mm=11.5,
        grip_length_mm=4.0,
        seat_inner_radius_mm=10.0,
        pot_radius_mm=19.5,
    )
    wall, seat, jaws, _ = (bounds_mm(polygon(outline)) for outline in bodies)
    assert wall[1:] == pytest.approx((11.5, -2.0, 19.5))
    assert seat[1:] == pytest.approx((10.0, -6.0, 19.5))
    assert jaws[1:] == pytest.approx((19.5, -2.0 - POT_PROUD_MM, 19.5 + 38.0))


def test_washer_and_nut_stand_in_front_of_the_ring_and_close_the_bore() -> None:
    bodies = [
        polygon(outline)
        for outline in step_spigot_bodies(
            CHUCK,
            nose_mm=-1.0,
            front_mm=0.0,
            shoulder_mm=-6.0,
            spigot_radius_mm=9.25,
            shoulder_radius_mm=10.5,
            washer_radius_mm=10.2,
        )
    ]
    ring = rectangle(-6.0, 0.0, 9.25, 11.5)
    assert not any(bites(body, ring) for body in bodies)
    assert bounds_mm(bodies[-1]) == pytest.approx((0.0, 0.0, WASHER_AND_NUT_MM, 10.2))
    assert any(bites(body, rectangle(-6.0, 0.0, 0.0, 9.2)) for body in bodies)
    # past the nose of the spigot the ring may be narrower than it
    assert not any(bites(body, rectangle(-1.0, 0.0, 8.0, 11.5)) for body in bodies)


def test_plate_and_centre_leave_the_bore_open_but_hide_it_from_the_tailstock() -> None:
    bodies = [
        polygon(outline)
        for outline in plate_and_tailstock_bodies(
            CHUCK, front_mm=0.0, plate_mm=-6.0, plate_radius_mm=10.5, disc_radius_mm=10.2, centre_radius_mm=15.0
        )
    ]
    assert not any(bites(body, rectangle(-6.0, 0.0, 0.0, 30.0)) for body in bodies)
    assert any(bites(body, rectangle(0.0, 100.0, 0.0, 1.0)) for body in bodies)
    assert max(bounds_mm(body)[3] for body in bodies if bounds_mm(body)[0] >= 0.0) == 15.0
