"""Edges in words: sharp, broken by hand, bevelled, round; each is read for what it is and never for another."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import numpy as np
import pytest
import shapely

from handwheel.domain.contour import Point
from handwheel.domain.errors import InputError
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    Aspect,
    Part,
    turned_end_for_end,
)
from handwheel.domain.redrawn import with_bevel, without_edge
from handwheel.geometry.profile import part_outline
from handwheel.service.intake.part_file import read_part
from tests.intake_files import PART, problems_of, spoiled

NAME = "edges.toml"
ALL = 'all = "0.5 x 45"'
EDGES = (FRONT_OUTER_EDGE, FRONT_INNER_EDGE, BACK_OUTER_EDGE, BACK_INNER_EDGE)


def read(edges: str) -> Part:
    return read_part(spoiled(PART, (ALL, edges)), name=NAME)


def limits(part: Part, surface: str, aspect: Aspect) -> tuple[Fraction, Fraction]:
    feature = part.feature(surface, aspect)
    assert feature is not None
    return feature.size.lower, feature.size.upper


def test_an_edge_broken_by_hand_has_its_range_and_no_bevel_to_be_cut() -> None:
    part = read('all = "broken"\nback_inner = "broken 0.2 to 0.4 mm"')
    assert limits(part, FRONT_OUTER_EDGE, Aspect.BROKEN) == (Fraction("0.1"), Fraction("0.3"))
    assert limits(part, BACK_INNER_EDGE, Aspect.BROKEN) == (Fraction("0.2"), Fraction("0.4"))
    rules = [feature.size.rule for feature in part.sizes if feature.aspect is Aspect.BROKEN]
    assert sorted(rules) == ["common practice"] * 3 + ["written on the drawing"]
    assert all(part.surface(edge) is None for edge in EDGES)


def test_one_unit_behind_a_range_holds_for_both_ends_in_a_file_of_inches_too() -> None:
    inches = (("20 H8", "20 mm H8"), ("= 30", '= "30 mm"'), ("= 0.1", '= "0.1 mm"'), ("= 12", '= "12 mm"'))
    text = spoiled(PART, ('units = "mm"', 'units = "inch"'), *inches, (ALL, 'all = "broken 0.2 to 0.4 mm"'))
    assert limits(read_part(text, name=NAME), FRONT_OUTER_EDGE, Aspect.BROKEN) == (Fraction("0.2"), Fraction("0.4"))


def test_a_round_may_have_its_limits_behind_it() -> None:
    text = spoiled(PART, (f'general_class = "m"\n{ALL}', 'all = "R0.5 +0.2/-0"'))
    assert limits(read_part(text, name=NAME), FRONT_OUTER_EDGE, Aspect.RADIUS) == (Fraction("0.5"), Fraction("0.7"))


@pytest.mark.parametrize("text", ['"round 0.5"', '"R0.5"', '"r 0.5 mm"', "{ round = 0.5 }"])
def test_a_round_is_read_as_a_radius_and_never_as_a_bevel(text: str) -> None:
    """ISO 2768-1 m: ±0.2 from 0.5 up to 3 mm, for outside radii as for chamfers."""
    part = read(f'all = "sharp"\nfront_outer = {text}')
    assert limits(part, FRONT_OUTER_EDGE, Aspect.RADIUS) == (Fraction("0.3"), Fraction("0.7"))
    segment = part.surface(FRONT_OUTER_EDGE)
    assert segment is not None
    assert segment.centre == Point(-0.5, 14.5)
    assert part.feature(FRONT_OUTER_EDGE, Aspect.LEG_AXIAL) is None


def test_rounds_of_all_four_edges_are_arcs_that_bulge_out_of_the_metal() -> None:
    """Ring Ø 30 x Ø 20 x 12: the area lost at each corner is (1 - π/4) r²; turned end for end twice it is the same."""
    part = read('all = "round 0.5"')
    centres = [s.centre for s in (*part.outer.segments, *part.inner.segments) if s.centre is not None]
    bore, width = part.bore_radius_mm, part.width_mm
    assert np.array(centres) == pytest.approx(
        np.array([(-0.5, 14.5), (0.5 - width, 14.5), (-0.5, bore + 0.5), (0.5 - width, bore + 0.5)])
    )
    outline = shapely.polygons([tuple(point) for point in part_outline(part)])
    assert shapely.area(outline) == pytest.approx(width * (15.0 - bore) - 4.0 * (1.0 - pi / 4.0) * 0.25, abs=1e-3)
    assert turned_end_for_end(turned_end_for_end(part)) == part


def test_later_work_beside_a_round_may_take_a_little_and_no_more() -> None:
    """The corner that stays must be within a round of 0.3 mm: a polish of 0.01 goes, 0.8 for grinding does not."""
    outside = "[outside]\ndiameter = 30"
    polished = f'{outside}\nfinish = "polished"\nloss = "0.01 on the diameter"'
    rounded = (ALL, 'all = "round 0.5"')
    read_part(spoiled(PART, rounded, (outside, polished)), name=NAME)
    ground = f'{outside}\nallowance = "0.8 on the diameter"'
    with pytest.raises(InputError, match=r"0\.4 mm off a side beside it"):
        read_part(spoiled(PART, rounded, (outside, ground)), name=NAME)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ('"broken 0.3 to 0.1"', 'the first limit is above the second; write "0.1 to 0.3"'),
        ('"broken 0.2"', "two legs above 0 up to 0.5 mm, the smaller first"),
        ('"broken 0.1 to 3"', 'a wider one is cut: write "0.6 x 45"'),
        ('"broken 0 to 0.2"', "two legs above 0"),
        ('"broken 0.1 to 0.3 mil"', "a thousandth of an inch or a millimetre?"),
        ('"brokn"', '"broken", "broken 0.1 to 0.3", "round 0.5", or "sharp"'),
        ('"round 0.3"', "ISO 2768-1"),
        ('"round 1000"', "allowed a length from 0.01 to 100 mm"),
        ("{ round = 0.5, along = 1 }", "edges.all.along: found 1; allowed nothing beside round"),
        ("{ round = 0.5, finishing_change = 1 }", "edges.all.finishing_change: found a key unknown here"),
        ('"round' + " " * 900 + '0.5"', "edges.all: found "),
        ("[0.5]", "edges.all: found a list of 1; allowed"),
        ("0.5", "edges.all: found 0.5; allowed"),
    ],
)
def test_an_edge_that_cannot_be_understood_is_told(text: str, problem: str) -> None:
    found = "\n".join(problems_of(lambda: read(f"all = {text}")))
    assert problem in found, found


@pytest.mark.parametrize("edge", EDGES)
def test_a_bevel_in_place_of_a_round_is_the_bevel_that_the_file_would_have_given(edge: str) -> None:
    key = edge.removesuffix("-edge").replace("-", "_")
    others = 'all = "sharp"\n'
    drawn, wanted = read(f'{others}{key} = "round 0.5"'), read(f'{others}{key} = "0.5 x 45"')
    made = with_bevel(drawn, edge)
    assert (made.outer, made.inner) == (wanted.outer, wanted.inner)
    assert {(f.surface, f.aspect, f.size.lower) for f in made.sizes} == {
        (f.surface, f.aspect, f.size.lower) for f in wanted.sizes
    }
    assert without_edge(drawn, edge).sizes == read('all = "sharp"').sizes
    assert with_bevel(wanted, edge) == wanted


def test_edges_in_words_change_ends_with_the_part() -> None:
    turned = turned_end_for_end(read('all = "sharp"\nfront_outer = "broken"\nfront_inner = "round 0.5"'))
    assert turned.feature(BACK_OUTER_EDGE, Aspect.BROKEN) is not None
    assert turned.feature(BACK_INNER_EDGE, Aspect.RADIUS) is not None
