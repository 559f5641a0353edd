"""Volumes of lines and arcs against triangle meshes and solids of school geometry; chords of flattened arcs."""

from __future__ import annotations

from itertools import pairwise
from math import asin, cos, hypot, isclose, pi, sin, sqrt

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.contour import Contour, Point, Segment
from handwheel.domain.part import Part
from handwheel.geometry.profile import arc_angles_rad, contour_volume_mm3, flatten, part_outline, part_volume_mm3
from handwheel.geometry.region import area_mm2, polygon, volume_mm3
from tests.demo_plans import demo_part

FACETS = 90
FACET_FACTOR = FACETS * sin(2.0 * pi / FACETS) / (2.0 * pi)
"""Share of a circle's area that its inscribed polygon has: every slice of the mesh is such a polygon, so its volume is
exactly this share of the solid's."""
CHORD_MM = 1e-3


def line(name: str, *ends: tuple[float, float]) -> Segment:
    start, end = ends
    return Segment(id=name, start=Point(*start), end=Point(*end))


def chain(*points: tuple[float, float]) -> Contour:
    """Straight contour through some points."""
    return Contour(segments=tuple(line(f"s{i}", *ends) for i, ends in enumerate(pairwise(points))))


def arc(name: str, start: tuple[float, float], end: tuple[float, float], *, rise_mm: float) -> Segment:
    """Arc from right to left over two points of equal radius; it rises above them, or dips if the rise is negative."""
    half = (start[0] - end[0]) / 2.0
    radius = (half * half + rise_mm * rise_mm) / (2.0 * abs(rise_mm))
    centre_r = start[1] + rise_mm - radius if rise_mm > 0 else start[1] + rise_mm + radius
    return Segment(
        id=name,
        start=Point(*start),
        end=Point(*end),
        centre=Point((start[0] + end[0]) / 2.0, centre_r),
        clockwise=rise_mm < 0,
    )


def ring(outer: Contour, inner: Contour) -> Part:
    return Part(name="ring", material="cu_cw307g", outer=outer, inner=inner, sizes=())


def mesh_volume_mm3(outline: tuple[Point, ...]) -> float:
    """Volume of the outline turned round the axis, from a closed mesh of triangles. [mm³]"""
    closed = np.array([(p.radius_mm, p.z_mm) for p in (*outline, outline[0])])
    mesh = trimesh.creation.revolve(closed, sections=FACETS)
    assert mesh.is_watertight
    return abs(float(mesh.volume)) / FACET_FACTOR


# solids of school geometry -------------------------------------------------------------------------------------------


def test_a_cylinder_a_cone_and_a_sphere_have_the_volumes_of_school_geometry() -> None:
    """The formulas r² h pi, a third of it, and 4/3 r³ pi are exact, so to rounding."""
    assert contour_volume_mm3(chain((0.0, 5.0), (-8.0, 5.0))) == pytest.approx(pi * 25.0 * 8.0, rel=1e-12)
    assert contour_volume_mm3(chain((0.0, 0.0), (-8.0, 5.0))) == pytest.approx(pi * 25.0 * 8.0 / 3.0, rel=1e-12)
    sphere = arc("ball", (3.0, 0.0), (-3.0, 0.0), rise_mm=3.0)
    assert contour_volume_mm3(Contour(segments=(sphere,))) == pytest.approx(4.0 / 3.0 * pi * 27.0, rel=1e-12)


def test_a_half_torus_by_pappus() -> None:
    """Area of the half disc times the way of its centroid, 4 r / (3 pi) above its base: exact."""
    dome = Contour(segments=(arc("dome", (0.0, 10.0), (-4.0, 10.0), rise_mm=2.0),))
    below = pi * 100.0 * 4.0
    half_disc, centroid = pi * 4.0 / 2.0, 10.0 + 4.0 * 2.0 / (3.0 * pi)
    assert contour_volume_mm3(dome) - below == pytest.approx(2.0 * pi * centroid * half_disc, rel=1e-9)
    groove = Contour(segments=(arc("groove", (0.0, 10.0), (-4.0, 10.0), rise_mm=-2.0),))
    centroid = 10.0 - 4.0 * 2.0 / (3.0 * pi)
    assert below - contour_volume_mm3(groove) == pytest.approx(2.0 * pi * centroid * half_disc, rel=1e-9)


@given(
    bore=st.floats(4.0, 30.0),
    wall=st.floats(0.5, 10.0),
    width=st.floats(1.0, 40.0),
    edge=st.floats(0.05, 0.24),
)
def test_a_bevelled_ring_loses_four_bevels_of_pappus(bore: float, wall: float, width: float, edge: float) -> None:
    """Each bevel is a right triangle of legs c whose centroid lies c/3 off the corner: exact."""
    c = edge * min(wall, width)
    low, high = bore / 2.0, bore / 2.0 + wall
    outer = chain((0.0, high - c), (-c, high), (c - width, high), (-width, high - c))
    inner = chain((0.0, low + c), (-c, low), (c - width, low), (-width, low + c))
    whole = pi * (high * high - low * low) * width
    lost = 2.0 * (2.0 * pi * (high - c / 3.0) + 2.0 * pi * (low + c / 3.0)) * c * c / 2.0
    assert part_volume_mm3(ring(outer, inner)) == pytest.approx(whole - lost, rel=1e-9)


# meshes --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["bush", "band"])
def test_the_demo_parts_have_the_volume_of_their_mesh(name: str) -> None:
    part = demo_part(name)
    assert part_volume_mm3(part) == pytest.approx(mesh_volume_mm3(part_outline(part)), rel=1e-9)


@given(
    bore=st.floats(4.0, 30.0),
    wall=st.floats(1.0, 10.0),
    width=st.floats(2.0, 30.0),
    taper=st.floats(0.0, 0.45),
)
def test_straight_rings_have_the_volume_of_their_mesh(bore: float, wall: float, width: float, taper: float) -> None:
    low, high = bore / 2.0, bore / 2.0 + wall
    outer = chain((0.0, high - taper * wall), (-0.3 * width, high), (-width, high))
    inner = chain((0.0, low), (-0.6 * width, low), (-width, low + taper * wall))
    part = ring(outer, inner)
    assert part_volume_mm3(part) == pytest.approx(mesh_volume_mm3(part_outline(part)), rel=1e-9)


def chorded(segment: Segment, count: int) -> tuple[Point, ...]:
    """Arc as a number of equal chords, without its end."""
    assert segment.centre is not None
    radius, first, last = arc_angles_rad(segment)
    turns = [first + (last - first) * i / count for i in range(count)]
    centre = segment.centre
    return tuple(Point(centre.z_mm + radius * cos(t), centre.radius_mm + radius * sin(t)) for t in turns)


@given(
    bore=st.floats(8.0, 30.0),
    wall=st.floats(1.0, 6.0),
    width=st.floats(2.0, 12.0),
    rise=st.floats(0.05, 0.95),
    dip=st.floats(0.05, 0.9),
)
def test_a_domed_ring_with_an_eased_bore_has_the_volume_to_which_its_meshes_converge(
    bore: float, wall: float, width: float, rise: float, dip: float
) -> None:
    """The error of chords falls with their number squared, so two meshes tell the limit (Richardson), to 1e-6."""
    low, high = bore / 2.0, bore / 2.0 + wall
    dome = arc("outside", (0.0, high), (-width, high), rise_mm=rise * width / 2.0)
    eased = arc("bore", (0.0, low), (-width, low), rise_mm=-dip * min(low, width) / 2.0)
    part = ring(Contour(segments=(dome,)), Contour(segments=(eased,)))

    def meshed(count: int) -> float:
        outer = (*chorded(dome, count), dome.end)
        inner = (*chorded(eased, count), eased.end)
        return mesh_volume_mm3((*outer, *reversed(inner)))

    coarse, fine = meshed(24), meshed(48)
    assert part_volume_mm3(part) == pytest.approx(fine + (fine - coarse) / 3.0, rel=1e-6)
    assert abs(part_volume_mm3(part) - fine) < abs(part_volume_mm3(part) - coarse)


def test_the_outline_of_a_part_encloses_the_area_and_by_pappus_the_volume() -> None:
    part = demo_part("bush")
    region = polygon(part_outline(part))
    wall = part.outside_radius_mm - part.bore_radius_mm
    assert area_mm2(region) == pytest.approx(wall * part.width_mm - 4.0 * 0.5 * 0.5 / 2.0, rel=1e-12)
    assert volume_mm3(region) == pytest.approx(part_volume_mm3(part), rel=1e-12)


# flattening ----------------------------------------------------------------------------------------------------------


@given(
    width=st.floats(0.2, 60.0),
    rise=st.floats(0.01, 1.0),
    chord=st.floats(1e-5, 0.05),
    dips=st.booleans(),
)
def test_chords_stray_from_their_arc_no_further_than_asked(
    width: float, rise: float, chord: float, *, dips: bool
) -> None:
    """The sagitta of a chord of length s on radius r is r - sqrt(r² - s²/4): exact."""
    height = rise * width / 2.0
    segment = arc("arc", (0.0, 70.0), (-width, 70.0), rise_mm=-height if dips else height)
    points = flatten(segment, chord_error_mm=chord)
    assert segment.centre is not None
    centre = segment.centre
    radius = hypot(segment.start.z_mm - centre.z_mm, segment.start.radius_mm - centre.radius_mm)
    assert points[0] == segment.start
    assert points[-1] == segment.end
    for before, after in pairwise(points):
        assert isclose(hypot(after.z_mm - centre.z_mm, after.radius_mm - centre.radius_mm), radius, rel_tol=1e-9)
        half = hypot(after.z_mm - before.z_mm, after.radius_mm - before.radius_mm) / 2.0
        assert radius - sqrt(max(0.0, radius * radius - half * half)) <= chord + 1e-12
    heights = [p.radius_mm for p in points[1:-1]]
    assert all(height < 70.0 for height in heights) if dips else all(height > 70.0 for height in heights)


def test_chords_are_not_needlessly_fine() -> None:
    """With two chords fewer the error would be above what was asked."""
    segment = arc("arc", (0.0, 10.0), (-8.0, 10.0), rise_mm=2.0)
    count = len(flatten(segment, chord_error_mm=CHORD_MM)) - 1
    half = asin(8.0 / 2.0 / 5.0)  # radius (16 + 4) / 4 = 5
    assert 5.0 * (1.0 - cos(half / (count - 2))) > CHORD_MM


def test_a_line_is_its_two_ends() -> None:
    segment = line("line", (0.0, 10.0), (-5.0, 10.0))
    assert flatten(segment) == (Point(0.0, 10.0), Point(-5.0, 10.0))


def test_a_line_has_no_angles() -> None:
    with pytest.raises(ValueError, match="surface 'line' is a line, not an arc"):
        arc_angles_rad(line("line", (0.0, 10.0), (-5.0, 10.0)))


@pytest.mark.parametrize(("rise", "turn"), [(3.0, pi), (-3.0, -pi)])
def test_the_sense_of_an_arc_decides_which_way_round_it_goes(rise: float, turn: float) -> None:
    radius, first, last = arc_angles_rad(arc("half", (3.0, 10.0), (-3.0, 10.0), rise_mm=rise))
    assert radius == pytest.approx(3.0)
    assert last - first == pytest.approx(turn)
