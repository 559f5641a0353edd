"""Part files of stepped rings: what is read is what is written, and stacks that cannot be cut are refused."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.domain.part import Aspect, Part, cylinders_of, turned_end_for_end
from handwheel.planner.ledges import ledges_of
from handwheel.service.intake.part_file import read_part
from tests.intake_files import problems_of, spoiled
from tests.stepped import NAMED

NAME = "flange.toml"
TEXT = """\
kind = "stepped-ring"
name = "flange"
metal = "st_c45"
units = "mm"
general_class = "m"
corner_radius = 0.4

[bore]
diameter = "20 H8"

[outside]
diameter = "40 h11"

[width]
length = 20

[[outside_step]]
from = "front"
diameter = "30 h9"
depth = 5
finish_ra = 1.6
true_to = "bore"

[[outside_step]]
from = "front"
diameter = 35
plus_minus = 0.1
depth = { length = 12, plus_minus = 0.05 }

[[bore_step]]
from = "back"
diameter = "26 H9"
depth = 4

[edges]
all = "0.5 x 45"
"""


def read(*changes: tuple[str, str]) -> Part:
    return read_part(spoiled(TEXT, *changes), name=NAME)


def limits(part: Part, surface: str, aspect: Aspect) -> tuple[Fraction, Fraction]:
    feature = part.feature(surface, aspect)
    assert feature is not None
    return feature.size.lower, feature.size.upper


def test_steps_are_cylinders_between_shoulders_from_the_front_face_to_the_back_face() -> None:
    outer = [(one.surface, one.high_z_mm, one.low_z_mm) for one in cylinders_of(read().outer, inner=False)]
    assert outer == [
        ("outside-front-1", -0.5, -5.0),
        ("outside-front-2", -5.0, -12.0),
        ("outside", -12.0, -19.5),
    ]
    inner = [(one.surface, one.high_z_mm, one.low_z_mm) for one in cylinders_of(read().inner, inner=True)]
    assert inner == [("bore", -0.5, -16.0), ("bore-back-1", -16.0, -19.5)]


def test_an_edge_stands_on_whatever_cylinder_meets_the_face() -> None:
    edge = read().surface("front-outer-edge")
    assert edge is not None
    # ISO 286-2: 30 h9 is 0/-0.052, so its cut target is 29.974
    assert edge.end.radius_mm == pytest.approx(29.974 / 2)
    edge = read().surface("back-inner-edge")
    assert edge is not None
    # ISO 286-2: 26 H9 is +0.052/0, so its cut target is 26.026
    assert edge.start.radius_mm == pytest.approx(26.026 / 2)


def test_a_depth_has_its_own_tolerance_or_the_general_one_never_that_of_the_diameter() -> None:
    part = read()
    # ISO 2768-1, class m: up to 6 mm ±0.1
    assert limits(part, "outside-front-1-shoulder", Aspect.DEPTH) == (Fraction("4.9"), Fraction("5.1"))
    assert limits(part, "outside-front-2-shoulder", Aspect.DEPTH) == (Fraction("11.95"), Fraction("12.05"))
    assert limits(part, "outside-front-2", Aspect.DIAMETER) == (Fraction("34.9"), Fraction("35.1"))


def test_what_must_run_true_and_what_it_follows_are_one_group() -> None:
    part = read()
    groups = {name: getattr(part.surface(name), "truth_group", None) for name in ("outside-front-1", "bore", "outside")}
    assert groups == {"outside-front-1": "A", "bore": "A", "outside": None}


def test_finish_and_corner_radius_are_kept() -> None:
    step = read().surface("outside-front-1")
    assert step is not None
    assert step.finish_ra_um == 1.6
    assert read().corner_radius_mm == 0.4
    assert read(("corner_radius = 0.4\n", "")).corner_radius_mm == 0.5


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ((('diameter = "30 h9"', 'diameter = "36 h9"'),), "diameters must rise from the face inward"),
        ((("diameter = 35", "diameter = 41"),), "diameters must rise from the face inward, to that of the outside"),
        ((('"26 H9"', '"19 H9"'),), "diameters must fall from the face inward, to that of the bore"),
        ((("length = 12", "length = 4"),), "is not more than that of the step before it, 5 mm"),
        ((("length = 12", "length = 21"),), "nothing is left of the outside between them"),
        ((("diameter = 35\nplus", "diameter = 39.5\nplus"),), "less than the radius allowed in its corner, 0.4 mm"),
        ((("depth = 4\n", "depth = 1.3\n"),), "at least 0.5 mm must be left to be measured"),
        ((('from = "back"', 'from = "left"'),), 'bore_step[no. 1].from: found "left"; allowed "front", "back"'),
        ((('from = "back"\n', ""),), "bore_step[no. 1].from: found nothing"),
        ((("depth = 4\n", ""),), "bore_step[no. 1].depth: found nothing; allowed a length"),
        ((("depth = 4\n", 'depth = "4 H8"\n'),), "this is no hole and no shaft"),
        ((('true_to = "bore"', 'true_to = "back"'),), 'allowed "bore", "outside"'),
        (
            (("length = 12, plus", "length = 12, deep = 1, plus"),),
            "outside_step[no. 2].depth.deep: found a key unknown",
        ),
        ((("corner_radius = 0.4", "corner_radius = -1"),), "corner_radius"),
        ((("corner_radius = 0.4", "corner_radius = 6"),), "corner_radius"),
        ((("stepped-ring", "plain-ring"),), "outside_step: found a key unknown here"),
        ((("[[outside_step]]", "[[outside_stp]]"),), 'rename it to "outside_step" or delete it'),
    ],
)
def test_a_stack_that_cannot_be_cut_is_refused_with_what_to_do(changes: tuple[tuple[str, str], ...], said: str) -> None:
    found = problems_of(lambda: read(*changes))
    assert any(said in problem for problem in found), found
    assert all(problem.startswith(f"{NAME}: ") for problem in found)


def test_a_stepped_ring_without_a_step_is_a_plain_ring_and_told_so() -> None:
    text = TEXT[: TEXT.index("[[outside_step]]")] + TEXT[TEXT.index("[edges]") :]
    (found,) = problems_of(lambda: read_part(text, name=NAME))
    assert 'write kind = "plain-ring"' in found


def test_a_counterbore_that_comes_through_to_the_outside_is_refused() -> None:
    deep = (('"26 H9"', "33\nplus_minus = 0.1\n"), ("depth = 4\n", "depth = 15.5\n"))
    found = problems_of(lambda: read(*deep))
    assert any("no wall is left between bore-back-1 (Ø 33 mm) and outside-front-1" in problem for problem in found), (
        found
    )


def test_a_step_that_meets_the_steps_of_the_other_end_is_refused() -> None:
    more = '[[outside_step]]\nfrom = "back"\ndiameter = 38\nplus_minus = 0.1\ndepth = 9\n\n[edges]'
    found = problems_of(lambda: read(("[edges]", more)))
    assert any("reach 12 mm from the front and 9 mm from the back" in problem for problem in found)


# turned round ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMED)
def test_turned_end_for_end_front_and_back_change_places_in_names_and_in_z(name: str) -> None:
    part = NAMED[name].part
    turned = turned_end_for_end(part)
    swapped = {"front": "back", "back": "front"}
    for one in (*part.outer_cylinders, *part.inner_cylinders):
        surface = "-".join(swapped.get(word, word) for word in one.surface.split("-"))
        other = next(c for c in (*turned.outer_cylinders, *turned.inner_cylinders) if c.surface == surface)
        assert other.radius_mm == one.radius_mm
        assert other.high_z_mm == pytest.approx(-(one.low_z_mm + part.width_mm))
        assert other.length_mm == pytest.approx(one.length_mm)
    assert turned.width_mm == pytest.approx(part.width_mm)
    assert {f.size for f in turned.sizes} == {f.size for f in part.sizes}


# ledges ------------------------------------------------------------------------------------------------------------


def test_ledges_come_deepest_first_and_know_what_lies_beyond_their_shoulder() -> None:
    found = [(one.surface, one.side.value, one.depth_mm, one.before_mm, one.deeper) for one in ledges_of(read())]
    assert found == [
        ("outside-front-2", "front", 12.0, 5.0, "outside"),
        ("outside-front-1", "front", 5.0, 0.0, "outside-front-2"),
        ("bore-back-1", "back", 4.0, 0.0, "bore"),
    ]
