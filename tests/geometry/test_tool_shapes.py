"""Silhouettes of tools: reference corners, convex pieces, a nose that runs into its edges without a kink."""

from __future__ import annotations

from math import hypot, isclose, pi, radians, tan
from typing import TYPE_CHECKING

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.contour import Point
from handwheel.domain.motion import Edge
from handwheel.domain.tools import Hand, PieceRole, Tool, ToolKind, ToolPiece
from handwheel.geometry.tool_shapes import CHORD_MM, TRAILING_DEG, blade_slant_mm, chord_error_mm, silhouette
from handwheel.geometry.tool_sound import is_convex as piece_is_convex
from handwheel.geometry.tool_sound import shape_trouble
from tests.demo_plans import demo_shop

if TYPE_CHECKING:
    from collections.abc import Sequence

DEMO_TOOLS = [
    pytest.param(tool, id=f"{shop}-{tool.id}")
    for shop in ("inch-lathe", "metric-lathe")
    for tool in demo_shop(shop).tools
]
BLADES = (ToolKind.PARTING, ToolKind.GROOVING)
POINTING_OUT = (ToolKind.BORING, ToolKind.EDGE_INSIDE)
FORMS = (ToolKind.FORM_OUTSIDE, ToolKind.FORM_INSIDE)
EXACT_MM = 1e-12


def tool_of(
    kind: ToolKind,
    *,
    nose_radius_mm: float = 0.0,
    entering_deg: float = 90.0,
    width_mm: float = 0.0,
    reach_mm: float = 0.0,
    bar_dia_mm: float = 0.0,
    head_mm: float = 0.0,
    shank_mm: float = 10.0,
    hollow_radius_mm: float = 0.0,
    hand: Hand = Hand.RIGHT,
) -> Tool:
    return Tool(
        id="tool",
        name="tool",
        kind=kind,
        edge=Edge.HSS,
        nose_radius_mm=nose_radius_mm,
        entering_deg=entering_deg,
        width_mm=width_mm,
        reach_mm=reach_mm,
        bar_dia_mm=bar_dia_mm,
        head_mm=head_mm,
        shank_mm=shank_mm,
        hollow_radius_mm=hollow_radius_mm,
        hand=hand,
    )


noses = st.one_of(st.just(0.0), st.floats(0.05, 1.2))
leads = st.floats(90.0, 135.0)
leans = st.floats(45.0, 135.0)
"""Every entering angle that a shop file allows."""
turning = st.builds(
    lambda nose, entering, shank: tool_of(ToolKind.TURNING, nose_radius_mm=nose, entering_deg=entering, shank_mm=shank),
    noses,
    leads,
    st.floats(6.0, 25.0),
)
boring = st.builds(
    lambda nose, entering, bar, head: tool_of(
        ToolKind.BORING,
        nose_radius_mm=min(nose, head / 4.0),
        entering_deg=entering,
        bar_dia_mm=bar,
        head_mm=head,
        reach_mm=4.0 * bar,
    ),
    noses,
    leads,
    st.floats(4.0, 25.0),
    st.floats(1.0, 5.0),
)
blades = st.builds(
    lambda kind, width, entering, reach: tool_of(kind, width_mm=width, entering_deg=entering, reach_mm=reach),
    st.sampled_from(BLADES),
    st.floats(0.8, 4.0),
    st.floats(45.0, 90.0),
    st.floats(6.0, 40.0),
)
vees = st.builds(
    lambda kind, width, bar: tool_of(kind, width_mm=width, head_mm=width / 2.0, bar_dia_mm=bar, reach_mm=5.0 * bar),
    st.sampled_from((ToolKind.EDGE_OUTSIDE, ToolKind.EDGE_INSIDE)),
    st.floats(2.0, 12.0),
    st.floats(6.0, 16.0),
)
any_tool = st.one_of(turning, boring, blades, vees)


def edge_of(tool: Tool) -> ToolPiece:
    (edge,) = [piece for piece in silhouette(tool) if piece.role is PieceRole.EDGE]
    return edge


def is_convex(points: Sequence[Point]) -> bool:
    """Whether the outline turns one way only and goes round once."""
    region = shapely.polygons([tuple(p) for p in points])
    whole = shapely.convex_hull(region)
    return bool(shapely.is_valid(region)) and isclose(shapely.area(region), shapely.area(whole), rel_tol=1e-9)


# reference -----------------------------------------------------------------------------------------------------------


def meets_its_reference(tool: Tool) -> bool:
    """Turning, parting, grooving: lowest z and lowest x at 0; boring: lowest z, highest x; a V: its point."""
    edge = edge_of(tool).points
    low_z = min(p.z_mm for p in edge)
    low_x, high_x = min(p.radius_mm for p in edge), max(p.radius_mm for p in edge)
    if tool.kind in (ToolKind.EDGE_OUTSIDE, ToolKind.EDGE_INSIDE):
        tip_x = high_x if tool.kind is ToolKind.EDGE_INSIDE else low_x
        return Point(0.0, 0.0) in edge and tip_x == 0.0
    tip_x = high_x if tool.kind is ToolKind.BORING else low_x
    return abs(low_z) <= EXACT_MM and abs(tip_x) <= EXACT_MM


@pytest.mark.parametrize("tool", DEMO_TOOLS)
def test_the_reference_of_every_demo_tool_is_at_0(tool: Tool) -> None:
    assert meets_its_reference(tool)


@given(any_tool)
def test_the_reference_of_any_tool_is_at_0(tool: Tool) -> None:
    assert meets_its_reference(tool)


@given(any_tool)
def test_nothing_of_a_tool_stands_beyond_its_tip(tool: Tool) -> None:
    """The edge reaches furthest into the metal; only the block of an inside tool is wider, and it stays outside."""
    sign = -1.0 if tool.kind in POINTING_OUT else 1.0
    for piece in silhouette(tool):
        if piece.role is PieceRole.HOLDER and tool.kind in POINTING_OUT:
            assert min(p.z_mm for p in piece.points) == tool.reach_mm
            continue
        depth = min(sign * p.radius_mm for p in piece.points)
        assert depth >= -EXACT_MM
        if piece.role is not PieceRole.EDGE:
            assert depth > 0.1


# pieces --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("tool", DEMO_TOOLS)
def test_every_piece_of_every_demo_tool_is_convex(tool: Tool) -> None:
    for piece in silhouette(tool):
        assert is_convex(piece.points)


@given(any_tool)
def test_every_piece_of_any_tool_is_convex(tool: Tool) -> None:
    for piece in silhouette(tool):
        assert is_convex(piece.points)


@given(any_tool)
def test_the_pieces_of_a_tool_hang_together(tool: Tool) -> None:
    """No gap between edge, body and holder through which a wall could pass unseen."""
    shapes = [shapely.polygons([tuple(p) for p in piece.points]) for piece in silhouette(tool)]
    whole = shapely.union_all([shapely.buffer(shape, 1e-6) for shape in shapes])
    assert shapely.get_num_geometries(whole) == 1
    assert [piece.role for piece in silhouette(tool)].count(PieceRole.HOLDER) == 1


def test_a_measured_outline_takes_the_place_of_the_built_one() -> None:
    own = (ToolPiece(role=PieceRole.EDGE, points=(Point(0.0, 0.0), Point(3.0, 0.5), Point(3.0, 9.0), Point(0.0, 9.0))),)
    measured = Tool(id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, silhouette=own)
    assert silhouette(measured) is own


# nose ----------------------------------------------------------------------------------------------------------------


def nose_points(tool: Tool) -> list[Point]:
    """Points of the edge piece that lie on the nose's circle, from the trailing to the leading edge."""
    sign = -1.0 if tool.kind is ToolKind.BORING else 1.0
    r = tool.nose_radius_mm
    upright = [Point(p.z_mm, sign * p.radius_mm) for p in edge_of(tool).points]
    return [p for p in upright if isclose(hypot(p.z_mm - r, p.radius_mm - r), r, rel_tol=1e-9)]


@given(st.one_of(turning, boring).filter(lambda tool: tool.nose_radius_mm > 0))
def test_the_nose_is_a_circle_that_touches_both_lines_of_the_reference(tool: Tool) -> None:
    """Centre one radius in from either: so a touch on a face or on a diameter is a touch of the reference."""
    nose = nose_points(tool)
    assert len(nose) >= 8
    assert min(p.z_mm for p in nose) == pytest.approx(0.0, abs=EXACT_MM)
    assert min(p.radius_mm for p in nose) == pytest.approx(0.0, abs=EXACT_MM)


@given(st.one_of(turning, boring).filter(lambda tool: tool.nose_radius_mm > 0))
def test_both_edges_run_into_the_nose_without_a_kink(tool: Tool) -> None:
    """A tangent is square to the radius where it meets the circle."""
    sign = -1.0 if tool.kind is ToolKind.BORING else 1.0
    r = tool.nose_radius_mm
    upright = [Point(p.z_mm, sign * p.radius_mm) for p in edge_of(tool).points]
    nose = nose_points(tool)
    behind, above = upright[-1], upright[len(nose)]
    for end, along in ((nose[0], behind), (nose[-1], above)):
        square = (along.z_mm - end.z_mm) * (end.z_mm - r) + (along.radius_mm - end.radius_mm) * (end.radius_mm - r)
        assert square == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("entering_deg", "lead_deg"), [(90.0, 0.0), (93.0, 3.0), (95.0, 5.0)])
def test_the_leading_edge_leans_by_the_entering_angle_and_the_trailing_edge_by_its_relief(
    entering_deg: float, lead_deg: float
) -> None:
    """93 degrees against the bed leaves 3 degrees between edge and shoulder (definition of the entering angle)."""
    tool = tool_of(ToolKind.TURNING, entering_deg=entering_deg, shank_mm=10.0)
    edge = edge_of(tool).points
    above = next(p for p in edge if p.radius_mm == 10.0 and p.z_mm < 10.0)
    behind = next(p for p in edge if p.z_mm == 10.0 and p.radius_mm < 10.0)
    assert above.z_mm / above.radius_mm == pytest.approx(tan(radians(lead_deg)), abs=1e-12)
    assert behind.radius_mm / behind.z_mm == pytest.approx(tan(radians(TRAILING_DEG)))


# blades and edge tools -----------------------------------------------------------------------------------------------


def test_the_left_corner_of_a_slanted_blade_lags_by_its_width_times_the_slant() -> None:
    """5 degrees over 2.5 mm: 0.2187 mm (computed here)."""
    blade = tool_of(ToolKind.PARTING, width_mm=2.5, entering_deg=85.0, reach_mm=18.0)
    assert blade_slant_mm(blade) == pytest.approx(0.2187, abs=0.00005)
    left, right = edge_of(blade).points[:2]
    assert left == Point(0.0, blade_slant_mm(blade))
    assert right == Point(2.5, 0.0)


@given(st.floats(0.8, 4.0))
def test_a_blade_ground_square_has_two_corners_at_the_same_depth(width_mm: float) -> None:
    blade = tool_of(ToolKind.GROOVING, width_mm=width_mm, entering_deg=90.0, reach_mm=8.0)
    assert blade_slant_mm(blade) == 0.0
    assert {p for p in edge_of(blade).points if p.radius_mm == 0.0} == {Point(0.0, 0.0), Point(width_mm, 0.0)}


@given(blades)
def test_a_blade_is_nowhere_wider_than_its_edge_until_its_holder(tool: Tool) -> None:
    """Or it would jam in its own slot."""
    for piece in silhouette(tool):
        if piece.role is PieceRole.BODY:
            assert min(p.z_mm for p in piece.points) > 0.0
            assert max(p.z_mm for p in piece.points) < tool.width_mm
            assert max(p.radius_mm for p in piece.points) == tool.reach_mm


@given(vees)
def test_the_sides_of_an_edge_tool_lie_at_45_degrees_to_either_hand(tool: Tool) -> None:
    edge = edge_of(tool).points
    sides = [p for p in edge if p != Point(0.0, 0.0)]
    assert sorted(p.z_mm / abs(p.radius_mm) for p in sides) == pytest.approx([-1.0, 1.0])


# every angle, either hand ---------------------------------------------------------------------------------------------

leaning = st.builds(
    lambda kind, nose, entering, size: tool_of(
        kind,
        nose_radius_mm=min(nose, size / 15.0),  # rounder ones do not go on so low a head, which is refused
        entering_deg=entering,
        shank_mm=size,
        bar_dia_mm=size,
        head_mm=size / 4.0,
        reach_mm=5.0 * size,
    ),
    st.sampled_from((ToolKind.TURNING, ToolKind.BORING)),
    noses,
    leans,
    st.floats(6.0, 25.0),
)
neutral = st.builds(
    lambda nose, entering, shank: tool_of(
        ToolKind.TURNING, nose_radius_mm=nose, entering_deg=entering, shank_mm=shank, hand=Hand.NEUTRAL
    ),
    noses,
    st.floats(50.0, 80.0),
    st.floats(10.0, 25.0),
)


@given(st.one_of(leaning, neutral, blades))
def test_at_every_entering_angle_of_45_to_135_degrees_the_pieces_are_convex_and_hang_together(tool: Tool) -> None:
    assert shape_trouble(tool) is None
    shapes = [shapely.polygons([tuple(p) for p in piece.points]) for piece in silhouette(tool)]
    assert all(is_convex(piece.points) for piece in silhouette(tool))
    assert shapely.get_num_geometries(shapely.union_all([shapely.buffer(shape, 1e-6) for shape in shapes])) == 1


@given(st.one_of(turning, boring, neutral))
def test_chords_of_a_rounded_tip_lie_less_than_a_thousandth_inside_its_circle(tool: Tool) -> None:
    """Sagitta r (1 - cos(half the angle of a chord)); geometry."""
    assert chord_error_mm(tool.nose_radius_mm) <= CHORD_MM * 1.0001


@given(turning)
def test_a_left_hand_turning_tool_is_the_mirror_image(tool: Tool) -> None:
    left = replace(tool, hand=Hand.LEFT)
    for right, other in zip(silhouette(tool), silhouette(left), strict=True):
        assert [Point(-p.z_mm, p.radius_mm) for p in right.points] == list(other.points)
    assert max(p.z_mm for p in edge_of(left).points) == pytest.approx(0.0, abs=EXACT_MM)


@given(boring)
def test_a_left_hand_boring_tool_cuts_on_its_way_out_with_its_bar_still_to_the_right(tool: Tool) -> None:
    left = replace(tool, hand=Hand.LEFT)
    edge = edge_of(left).points
    assert max(p.z_mm for p in edge) == pytest.approx(0.0, abs=EXACT_MM)
    body = next(piece for piece in silhouette(left) if piece.role is PieceRole.BODY)
    assert max(p.z_mm for p in body.points) == tool.reach_mm


@given(neutral)
def test_a_neutral_tool_is_its_own_mirror_image(tool: Tool) -> None:
    """About the middle of its nose, which lies a nose radius to the right of the reference."""
    r = tool.nose_radius_mm
    for piece in silhouette(tool):
        here = shapely.polygons([(p.z_mm - r, p.radius_mm) for p in piece.points])
        there = shapely.polygons([(r - p.z_mm, p.radius_mm) for p in piece.points])
        assert shapely.area(shapely.symmetric_difference(here, there)) == pytest.approx(0.0, abs=1e-9)


forms = st.builds(
    lambda kind, radius, lip, hand: tool_of(
        kind,
        width_mm=radius + lip,
        head_mm=radius + 2.0 * lip,
        bar_dia_mm=8.0,
        reach_mm=30.0,
        hollow_radius_mm=radius,
        hand=hand,
    ),
    st.sampled_from(FORMS),
    st.floats(0.2, 3.0),
    st.floats(0.3, 3.0),
    st.sampled_from((Hand.RIGHT, Hand.LEFT)),
)


@given(forms)
def test_a_form_tool_is_a_rectangle_less_a_quarter_circle_in_convex_pieces(tool: Tool) -> None:
    """Area w h - π r²/4, of which chords take less than a thousandth of a millimetre times the arc."""
    assert shape_trouble(tool) is None
    edges = [piece for piece in silhouette(tool) if piece.role is PieceRole.EDGE]
    assert all(piece_is_convex(piece) for piece in edges)
    whole = shapely.union_all([shapely.polygons([tuple(p) for p in piece.points]) for piece in edges])
    radius = tool.hollow_radius_mm
    exact = tool.width_mm * tool.head_mm - pi * radius**2 / 4.0
    assert shapely.area(whole) == pytest.approx(exact, abs=CHORD_MM * pi / 2.0 * radius)
    assert shapely.area(whole) >= exact - 1e-9


@given(forms)
def test_both_lips_of_a_form_tool_touch_the_lines_through_its_reference(tool: Tool) -> None:
    """So that what they touch is where the round will be tangent: the hollow begins exactly there."""
    points = [p for piece in silhouette(tool) if piece.role is PieceRole.EDGE for p in piece.points]
    z = 1.0 if tool.hand is Hand.RIGHT else -1.0
    x = 1.0 if tool.kind is ToolKind.FORM_OUTSIDE else -1.0
    assert min(z * p.z_mm for p in points) == 0.0
    assert min(x * p.radius_mm for p in points) == 0.0
    radius = tool.hollow_radius_mm
    assert {Point(z * radius, 0.0), Point(0.0, x * radius)} <= {Point(p.z_mm + 0.0, p.radius_mm + 0.0) for p in points}
    assert min(hypot(p.z_mm, p.radius_mm) for p in points) == pytest.approx(radius, abs=1e-9)


@given(forms)
def test_no_body_of_a_form_tool_stands_before_its_lips(tool: Tool) -> None:
    z = 1.0 if tool.hand is Hand.RIGHT else -1.0
    x = 1.0 if tool.kind is ToolKind.FORM_OUTSIDE else -1.0
    bodies = [p for piece in silhouette(tool) if piece.role is PieceRole.BODY for p in piece.points]
    assert min(x * p.radius_mm for p in bodies) == tool.head_mm
    if tool.kind is ToolKind.FORM_OUTSIDE or tool.hand is Hand.RIGHT:
        assert min(z * p.z_mm for p in bodies) == 0.0


@pytest.mark.parametrize(
    ("tool", "words"),
    [
        (tool_of(ToolKind.TURNING, entering_deg=40.0), "allowed 45 to 135"),
        (tool_of(ToolKind.TURNING, hand=Hand.NEUTRAL), "below 90"),
        (tool_of(ToolKind.TURNING, nose_radius_mm=6.0, shank_mm=10.0), "nose radius of 6 mm"),
        (tool_of(ToolKind.BORING, nose_radius_mm=1.5, head_mm=2.0, bar_dia_mm=8.0, reach_mm=40.0), "on a head"),
        (tool_of(ToolKind.BORING, head_mm=2.0, bar_dia_mm=8.0, reach_mm=3.0), "its own head"),
        (tool_of(ToolKind.BORING, head_mm=2.0, bar_dia_mm=8.0), "needs reach"),
        (tool_of(ToolKind.PARTING, width_mm=2.0, reach_mm=20.0, entering_deg=95.0), "left corner back"),
        (tool_of(ToolKind.PARTING, width_mm=2.0, reach_mm=20.0, entering_deg=85.0, hand=Hand.LEFT), "grind it square"),
        (tool_of(ToolKind.PARTING, width_mm=4.0, reach_mm=2.0, entering_deg=60.0), "slanted edge takes"),
        (tool_of(ToolKind.GROOVING, width_mm=0.1, reach_mm=2.0), "no body left"),
        (tool_of(ToolKind.GROOVING), "needs width and reach"),
        (tool_of(ToolKind.EDGE_INSIDE, head_mm=3.0, bar_dia_mm=8.0, reach_mm=2.0), "its own head"),
        (tool_of(ToolKind.FORM_OUTSIDE, width_mm=2.0, head_mm=4.0), "needs hollow_radius"),
        (tool_of(ToolKind.FORM_OUTSIDE, width_mm=1.0, head_mm=4.0, hollow_radius_mm=1.0), "a lip of 0.00 mm"),
        (
            tool_of(ToolKind.FORM_OUTSIDE, width_mm=2.0, head_mm=4.0, hollow_radius_mm=1.0, hand=Hand.NEUTRAL),
            "its hand is right or left",
        ),
        (
            tool_of(
                ToolKind.FORM_INSIDE, width_mm=2.0, head_mm=2.0, hollow_radius_mm=1.0, bar_dia_mm=8.0, reach_mm=1.5
            ),
            "less than its own width",
        ),
    ],
)
def test_numbers_that_cannot_be_one_tool_are_named_with_what_to_do(tool: Tool, words: str) -> None:
    assert words in (shape_trouble(tool) or "")


@pytest.mark.parametrize(
    ("points", "convex"),
    [
        (((0.0, 0.0), (4.0, 1.0), (4.0, 8.0), (0.0, 8.0)), True),
        (((0.0, 0.0), (4.0, 8.0), (4.0, 0.0), (0.0, 8.0)), False),
        (((0.0, 0.0), (4.0, 0.0), (2.0, 1.0), (0.0, 8.0)), False),
        (((0.0, 0.0), (1.0, 1.0), (2.0, 2.0)), False),
        (((0.0, 0.0), (1.0, 1.0), (0.0, 0.0)), False),
    ],
    ids=["whole", "crossed", "hollow", "without area", "two points"],
)
def test_a_measured_outline_must_bulge_everywhere(points: tuple[tuple[float, float], ...], *, convex: bool) -> None:
    piece = ToolPiece(role=PieceRole.EDGE, points=tuple(Point(*p) for p in points))
    assert piece_is_convex(piece) is convex
    measured = Tool(id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, silhouette=(piece,))
    assert (shape_trouble(measured) is None) is convex


def test_a_measured_outline_needs_an_edge() -> None:
    points = (Point(0.0, 0.0), Point(4.0, 1.0), Point(4.0, 8.0))
    piece = ToolPiece(role=PieceRole.BODY, points=points)
    measured = Tool(id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, silhouette=(piece,))
    assert "no piece of its outline is its edge" in (shape_trouble(measured) or "")


def test_a_silhouette_is_built_once() -> None:
    tool = tool_of(ToolKind.TURNING, nose_radius_mm=0.4, entering_deg=95.0)
    assert silhouette(tool) is silhouette(replace(tool))
