"""What is done after turning: losses and allowances with their signs, never assumed; limits as two whole sizes."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.part import (
    BACK_FACE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    Aspect,
    Part,
    shoulder_name,
)
from handwheel.domain.size import Size
from handwheel.service.intake.part_file import read_part
from tests.intake_files import PART, problems_of, spoiled

NAME = "finish.toml"
BORE_SIZE = 'diameter = "20 H8"'
OUTSIDE_SIZE = "diameter = 30\nplus_minus = 0.1"
WIDTH_SIZE = 'length = 12\nlimits = ["-0.1", "0.2"]'
STEP = "diameter = 26\nplus_minus = 0.05\ndepth = { length = 4, plus_minus = 0.1 }"
POLISHED = '\nfinish = "polished"\nloss = "{} on the diameter"'


def read(*changes: tuple[str, str]) -> Part:
    return read_part(spoiled(PART, *changes), name=NAME)


def size_of(part: Part, surface: str, aspect: Aspect = Aspect.DIAMETER) -> Size:
    feature = part.feature(surface, aspect)
    assert feature is not None
    return feature.size


def cut(size: Size) -> tuple[Fraction, Fraction]:
    return size.cut_lower, size.cut_upper


def f(text: str) -> Fraction:
    return Fraction(text)


def test_a_polished_bore_is_turned_smaller_and_a_polished_outside_larger() -> None:
    """0.01 on the diameter: 20 H8 is bored to 19.990 to 20.023, 30 ± 0.1 turned to 29.91 to 30.11."""
    part = read(
        (BORE_SIZE, BORE_SIZE + POLISHED.format("0.01")), (OUTSIDE_SIZE, OUTSIDE_SIZE + POLISHED.format("0.01"))
    )
    bore, outside = size_of(part, BORE), size_of(part, OUTSIDE)
    assert cut(bore) == (f("19.990"), f("20.023"))
    assert cut(outside) == (f("29.91"), f("30.11"))
    assert bore.finished_limits == (f("20"), f("20.033"))
    assert "polished, which takes 0.01 on the diameter, as the maker says" in bore.later[0].words


@given(loss=st.decimals("0.001", "0.5", places=3), surface=st.sampled_from([BORE, OUTSIDE]), a_side=st.booleans())
def test_a_loss_moves_both_limits_by_itself_and_by_twice_itself_if_said_of_a_side(
    loss: Decimal, surface: str, *, a_side: bool
) -> None:
    old = BORE_SIZE if surface == BORE else OUTSIDE_SIZE
    where = "a side" if a_side else "on the diameter"
    plain = size_of(read(), surface)
    lost = size_of(read((old, f'{old}\nfinish = "lapped"\nloss = "{loss} {where}"')), surface)
    moved = Fraction(loss) * (2 if a_side else 1) * (-1 if surface == BORE else 1)
    assert cut(lost) == (plain.cut_lower + moved, plain.cut_upper + moved)
    assert lost.finished_limits == (plain.lower, plain.upper)


def test_the_roughness_beside_a_later_finish_is_not_asked_of_turning() -> None:
    part = read((BORE_SIZE, BORE_SIZE + POLISHED.format("0.01") + "\nfinish_ra = 0.2"))
    bore = part.surface(BORE)
    assert bore is not None
    assert bore.finish_ra_um is None
    assert "polished to Ra 0.2 µm (N4)" in size_of(part, BORE).later[0].words
    as_turned = read((BORE_SIZE, BORE_SIZE + '\nfinish = "as turned"\nfinish_ra = "N7"')).surface(BORE)
    assert as_turned is not None
    assert as_turned.finish_ra_um == pytest.approx(1.6)


def test_an_allowance_leaves_metal_and_lengthens_the_legs_beside_it() -> None:
    """0.3 on the diameter takes 0.15 off a side: legs of 0.5 at 45° are cut 0.65, so that 0.5 is left of them."""
    part = read((OUTSIDE_SIZE, f'{OUTSIDE_SIZE}\nallowance = "0.3 on the diameter"'))
    assert cut(size_of(part, OUTSIDE)) == (f("30.2"), f("30.4"))
    for leg in (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL):
        assert size_of(part, FRONT_OUTER_EDGE, leg).cut_target == f("0.65")
        assert size_of(part, FRONT_OUTER_EDGE, leg).finished_limits == (f("0.3"), f("0.7"))
        assert size_of(part, FRONT_INNER_EDGE, leg).cut_target == f("0.5")
    assert part.outside_radius_mm == pytest.approx(15.15)


def test_a_loss_lengthens_the_legs_beside_it_as_an_allowance_does() -> None:
    """0.1 off a side and 0.2 off the front face, on legs of 0.5: 0.8 front outside, 0.7 inside, 0.6 behind."""
    ground = 'finish = "ground"\nloss = "{}"'
    part = read(
        (OUTSIDE_SIZE, f"{OUTSIDE_SIZE}\n{ground.format('0.1 a side')}"),
        (WIDTH_SIZE, f"{WIDTH_SIZE}\n{ground.format('0.2 on the front face')}"),
    )
    targets = [
        size_of(part, edge, Aspect.LEG_AXIAL).cut_target
        for edge in (FRONT_OUTER_EDGE, FRONT_INNER_EDGE, BACK_OUTER_EDGE)
    ]
    assert targets == [f("0.8"), f("0.7"), f("0.6")]


def test_unlike_legs_grow_in_one_proportion() -> None:
    """A bevel 1 along and 0.5 across, 0.1 off a side: the flat stays, so 1.2 along and 0.6 across."""
    part = read(
        (OUTSIDE_SIZE, f'{OUTSIDE_SIZE}\nallowance = "0.1 a side"'),
        ('all = "0.5 x 45"', 'all = "sharp"\nfront_outer = { along = 1, across = 0.5 }'),
    )
    assert size_of(part, FRONT_OUTER_EDGE, Aspect.LEG_AXIAL).cut_target == f("1.2")
    assert size_of(part, FRONT_OUTER_EDGE, Aspect.LEG_RADIAL).cut_target == f("0.6")


@pytest.mark.parametrize(
    ("place", "wider", "front_leg", "back_leg"),
    [
        ("on the front face", "0.2", "0.7", "0.5"),
        ("on the back face", "0.2", "0.5", "0.7"),
        ("on each face", "0.4", "0.7", "0.7"),
    ],
)
def test_an_allowance_on_a_face_widens_the_part_and_the_edges_of_that_face(
    place: str, wider: str, front_leg: str, back_leg: str
) -> None:
    part = read((WIDTH_SIZE, f'{WIDTH_SIZE}\nallowance = "0.2 {place}"'))
    assert size_of(part, BACK_FACE, Aspect.WIDTH).cut_target == f("12.05") + f(wider)
    assert size_of(part, FRONT_OUTER_EDGE, Aspect.LEG_AXIAL).cut_target == f(front_leg)
    assert size_of(part, BACK_OUTER_EDGE, Aspect.LEG_RADIAL).cut_target == f(back_leg)


def test_a_step_behind_a_face_that_is_ground_is_cut_deeper() -> None:
    text = PART.replace("plain-ring", "stepped-ring") + (
        f'\n[[outside_step]]\nfrom = "front"\n{STEP}\n[[outside_step]]\nfrom = "back"\n{STEP}\n'
    )
    part = read_part(spoiled(text, (WIDTH_SIZE, f'{WIDTH_SIZE}\nallowance = "0.2 on the front face"')), name=NAME)
    front, back = (size_of(part, shoulder_name(f"outside-{end}-1"), Aspect.DEPTH) for end in ("front", "back"))
    assert (front.cut_target, back.cut_target) == (f("4.2"), f("4"))


def test_a_range_that_is_left_sets_the_limits_for_the_lathe() -> None:
    """20 H8, middle 20.0165: 0.2 to 0.4 left is 19.6165 to 19.8165; the finished limits are kept in words."""
    bore = size_of(read((BORE_SIZE, f'{BORE_SIZE}\nallowance = "0.2 to 0.4 on the diameter"')), BORE)
    assert cut(bore) == (f("19.6165"), f("19.8165"))
    assert bore.finished_limits == (f("20"), f("20.033"))
    with_unit = f'{OUTSIDE_SIZE}\nallowance = "0.2 to 0.4 mm on the diameter"'
    outside = size_of(read((OUTSIDE_SIZE, with_unit)), OUTSIDE)
    assert cut(outside) == (f("30.2"), f("30.4"))


def test_one_unit_behind_a_range_holds_for_both_ends_in_a_file_of_inches_too() -> None:
    """0.2 to 0.4 mm left on 30 ± 0.1 mm."""
    inches = ((BORE_SIZE, 'diameter = "20 mm H8"'), ("length = 12", 'length = "12 mm"'), ("0.5 x", "0.5 mm x"))
    others = (('"-0.1", "0.2"', '"-0.1 mm", "0.2 mm"'), ('units = "mm"', 'units = "inch"'))
    size = 'diameter = "30 mm"\nplus_minus = "0.1 mm"\nallowance = "0.2 to 0.4 mm on the diameter"'
    assert cut(size_of(read(*inches, *others, (OUTSIDE_SIZE, size)), OUTSIDE)) == (f("30.2"), f("30.4"))


def test_an_allowance_and_a_loss_add_up_the_allowance_going_first() -> None:
    both = 'allowance = "0.3 on the diameter"' + POLISHED.format("0.02")
    outside = size_of(read((OUTSIDE_SIZE, f"{OUTSIDE_SIZE}\n{both}")), OUTSIDE)
    assert cut(outside) == (f("30.22"), f("30.42"))
    assert [(work.lower, work.upper) for work in outside.later] == [(f("29.92"), f("30.12")), (f("29.9"), f("30.1"))]


@pytest.mark.parametrize(
    ("old", "more", "problem"),
    [
        (OUTSIDE_SIZE, "allowance = 0.3", 'where does it go? Write allowance = "0.3 on the diameter"'),
        (
            OUTSIDE_SIZE,
            'allowance = "0.3"',
            'outside.allowance: found "0.3"; allowed "0.3 on the diameter", "0.3 on each',
        ),
        (OUTSIDE_SIZE, 'allowance = "0.3 on the front face"', "say where on this outside it goes"),
        (WIDTH_SIZE, 'allowance = "0.3 on the diameter"', "say where on this width it goes"),
        (OUTSIDE_SIZE, 'allowance = "-0.3 on the diameter"', "metal taken off has no sign"),
        (OUTSIDE_SIZE, 'allowance = "0 on the diameter"', "an amount above 0"),
        (OUTSIDE_SIZE, 'allowance = "9 on the diameter"', "above 0 up to 5 mm in all"),
        (OUTSIDE_SIZE, 'allowance = "3 a side"', "above 0 up to 5 mm in all"),
        (OUTSIDE_SIZE, 'allowance = "0.4 to 0.2 on the diameter"', "the first limit is above the second"),
        (OUTSIDE_SIZE, 'allowance = "5 mil on the diameter"', "a thousandth of an inch or a millimetre?"),
        (OUTSIDE_SIZE, f'allowance = "{"1" * 300} on the diameter"', "outside.allowance: found "),
        (OUTSIDE_SIZE, 'finish = "polished"', "how much does it take off, by your own trial?"),
        (OUTSIDE_SIZE, 'finish = "polished"', "no figure is assumed"),
        (OUTSIDE_SIZE, 'loss = "0.01 on the diameter"', 'what takes it off? Write finish = "polished"'),
        (OUTSIDE_SIZE, 'finish = "shiny"', 'outside.finish: found "shiny"; allowed "as turned", "polished"'),
        (OUTSIDE_SIZE, 'finish = "honed"\nloss = "0.01 to 0.02 a side"', "outside.loss: found "),
        (
            OUTSIDE_SIZE,
            'finish = "honed"\nloss = "0.01 a side"\nfinishing_change = 0.1',
            "found finishing_change and loss; allowed one way to say it",
        ),
        (OUTSIDE_SIZE, 'finish_ra = "N13"', "or a grade from N1 to N12"),
        (OUTSIDE_SIZE, 'finish_ra = "1.6"', "without quotes"),
        ('all = "0.5 x 45"', 'loss = "0.1 a side"', "edges.loss: found a key unknown here"),
    ],
)
def test_what_is_left_open_is_asked_back(old: str, more: str, problem: str) -> None:
    found = "\n".join(problems_of(lambda: read((old, f"{old}\n{more}"))))
    assert problem in found, found


def test_limits_may_be_written_as_two_whole_sizes() -> None:
    part = read((OUTSIDE_SIZE, 'between = ["29.98", 30.02]'), (WIDTH_SIZE, "between = [11.9, 12.2]"))
    outside, width = size_of(part, OUTSIDE), size_of(part, BACK_FACE, Aspect.WIDTH)
    assert (outside.lower, outside.upper, outside.rule) == (f("29.98"), f("30.02"), "written on the drawing")
    assert (width.lower, width.upper, width.as_written) == (f("11.9"), f("12.2"), "11.9 to 12.2")


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("between = [30.02, 29.98]", "two whole sizes, the lower first; exchange them"),
        ("between = [30]", "found a list of 1; allowed two whole sizes"),
        ("between = 30", "allowed a list"),
        ("between = [29.98, 30.02]\ndiameter = 30", "found diameter and between; allowed one way"),
        ("between = [29.98, 30.02]\nplus_minus = 0.1", "found plus_minus and between; allowed one way"),
        ('between = ["x", 30]', 'found "x"'),
        ("between = [-1, 30]", "allowed a length from 0.1 to 1000 mm"),
    ],
)
def test_two_whole_sizes_that_cannot_be_limits_are_told(text: str, problem: str) -> None:
    assert problem in "\n".join(problems_of(lambda: read((OUTSIDE_SIZE, text))))
