"""What a tool sweeps: the area by a formula, the union of its legs, the choice of pieces."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, pi, sin

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from handwheel.domain.contour import Point
from handwheel.domain.motion import Edge
from handwheel.domain.tools import PieceRole, Tool, ToolKind, ToolPiece
from handwheel.geometry.region import area_mm2, bounds_mm, difference, moved, polygon, union
from handwheel.geometry.sweep import placed, swept, swept_parts
from handwheel.geometry.tool_shapes import silhouette

coordinate = st.floats(-8.0, 8.0)
clouds = st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=8)


def piece(cloud: list[tuple[float, float]], role: PieceRole = PieceRole.EDGE) -> ToolPiece | None:
    """Convex piece round some points, unless they are as good as in line."""
    whole = shapely.convex_hull(shapely.multipoints(cloud))
    if shapely.area(whole) < 0.5:
        return None
    corners = shapely.get_coordinates(whole)[:-1]
    return ToolPiece(role=role, points=tuple(Point(float(z), float(x)) for z, x in corners))


def box(role: PieceRole, z0: float, z1: float, x0: float, x1: float) -> ToolPiece:
    return ToolPiece(role=role, points=(Point(z0, x0), Point(z1, x0), Point(z1, x1), Point(z0, x1)))


def width_across_mm(shape: ToolPiece, turn: float) -> float:
    """Extent of a piece square to a direction. [mm]"""
    across = [-p.z_mm * sin(turn) + p.radius_mm * cos(turn) for p in shape.points]
    return max(across) - min(across)


@given(cloud=clouds, turn=st.floats(0.0, 2.0 * pi), length=st.floats(0.0, 50.0), at=st.tuples(coordinate, coordinate))
def test_a_convex_piece_sweeps_its_own_area_and_its_width_times_the_way(
    cloud: list[tuple[float, float]], turn: float, length: float, at: tuple[float, float]
) -> None:
    """Exact for convex shapes: A + w l, w the extent square to the way."""
    shape = piece(cloud)
    assume(shape is not None)
    assert shape is not None
    start = Point(*at)
    end = Point(start.z_mm + length * cos(turn), start.radius_mm + length * sin(turn))
    own = area_mm2(polygon(shape.points))
    found = area_mm2(swept([shape], [start, end]))
    assert found == pytest.approx(own + width_across_mm(shape, turn) * length, abs=1e-4, rel=1e-6)


def test_a_pass_along_a_bar_by_hand() -> None:
    """A 2 by 3 block goes 10 to the left: 2 x 3 + 3 x 10."""
    region = swept([box(PieceRole.EDGE, 0.0, 2.0, 0.0, 3.0)], [Point(5.0, 4.0), Point(-5.0, 4.0)])
    assert area_mm2(region) == pytest.approx(36.0)
    assert bounds_mm(region) == pytest.approx((-5.0, 4.0, 7.0, 7.0))


def test_two_legs_round_a_corner_share_the_block_at_the_corner() -> None:
    """In 10 and then along 10: 36 + 6 + 2 x 10 less the block at the corner that both legs hold: 36 + 26 - 6."""
    region = swept([box(PieceRole.EDGE, 0.0, 2.0, 0.0, 3.0)], [Point(5.0, 14.0), Point(5.0, 4.0), Point(-5.0, 4.0)])
    assert area_mm2(region) == pytest.approx(56.0)


@given(
    cloud=clouds,
    path=st.lists(st.tuples(coordinate, coordinate), min_size=2, max_size=5),
)
def test_a_path_sweeps_the_union_of_its_legs_and_covers_every_stop(
    cloud: list[tuple[float, float]], path: list[tuple[float, float]]
) -> None:
    shape = piece(cloud)
    assume(shape is not None)
    assert shape is not None
    stops = [Point(*at) for at in path]
    whole = swept([shape], stops)
    legs = [swept([shape], leg) for leg in pairwise(stops)]
    assert area_mm2(whole) == pytest.approx(area_mm2(union(legs)), abs=1e-4)
    for stop in stops:
        there = moved(polygon(shape.points), stop.z_mm, stop.radius_mm)
        assert area_mm2(difference(there, whole)) < 1e-4


def test_a_path_of_one_point_is_the_tool_standing_there() -> None:
    shape = box(PieceRole.EDGE, 0.0, 2.0, 0.0, 3.0)
    assert bounds_mm(swept([shape], [Point(1.0, 10.0)])) == pytest.approx((1.0, 10.0, 3.0, 13.0))
    assert placed(shape.points, Point(1.0, 10.0))[0] == (1.0, 10.0)


def test_only_the_pieces_of_the_roles_asked_for_are_swept() -> None:
    pieces = (box(PieceRole.EDGE, 0.0, 1.0, 0.0, 1.0), box(PieceRole.BODY, 0.0, 1.0, 1.0, 5.0))
    path = [Point(0.0, 0.0), Point(-2.0, 0.0)]
    assert area_mm2(swept(pieces, path, roles=frozenset({PieceRole.EDGE}))) == pytest.approx(3.0)
    assert area_mm2(swept(pieces, path)) == pytest.approx(15.0)
    assert len(swept_parts(pieces, path)) == 2
    assert len(swept_parts(pieces, [*path, Point(0.0, 0.0)])) == 4


@given(length=st.floats(1.0, 40.0), nose=st.floats(0.0, 0.8))
def test_a_turning_pass_takes_its_depth_and_no_more(length: float, nose: float) -> None:
    """The lowest x of the sweep is that of the reference: the diameter is what the collar says, whatever the nose."""
    tool = Tool(
        id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, entering_deg=93.0, nose_radius_mm=nose, shank_mm=10.0
    )
    path = [Point(2.0, 11.5), Point(2.0 - length, 11.5)]
    region = swept(silhouette(tool), path, roles=frozenset({PieceRole.EDGE}))
    low_z, low_x, _, _ = bounds_mm(region)
    assert low_x == pytest.approx(11.5, abs=1e-6)
    assert low_z == pytest.approx(2.0 - length, abs=1e-6)
    assert hypot(low_z - path[1].z_mm, low_x - path[1].radius_mm) < 1e-6
