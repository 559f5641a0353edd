"""The check's own dial arithmetic: published cases, and every position against plain integers."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.check.dial import (
    dial_travel_mm,
    diameter_change_mm,
    figures_diameter_change_mm,
    setting_fault,
    setting_travel_mm,
)
from handwheel.check.report import RefusalCode
from handwheel.domain.acts import Setting, SettingKind
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.slides import AidKind, Dial, LengthAid, Reads, Slide

INCH = Fraction(254, 10)
PC_03 = Dial(lead_mm=Fraction(1), marks=20, label_mm=Fraction(1, 20))


def slide(dial: Dial | None = PC_03, *, clockwise: Motion = Motion.LEFT, **more: object) -> Slide:
    handle = Handle.CROSS if clockwise.across else Handle.TOP
    made = Slide(handle=handle, clockwise_moves=clockwise, slack_mm=Fraction(1, 10), travel_mm=50.0, dial=dial)
    return made if not more else Slide(**{**{name: getattr(made, name) for name in made.__struct_fields__}, **more})


def marks(turns: int, count: Fraction | int, handle: Handle = Handle.TOP) -> Setting:
    return Setting(handle=handle, kind=SettingKind.MARKS, zero="z", turns=turns, marks=Fraction(count))


def by(kind: SettingKind, value: Fraction) -> Setting:
    return Setting(handle=Handle.TOP, kind=kind, zero="z", value_mm=value)


def test_an_inch_on_a_metric_screw_is_twenty_five_turns_and_eight_marks() -> None:
    """Source: PC-03: 1 mm screw, 20 divisions; 25.4 mm = 25 turns + 8 marks, where a table said 20 turns + 8."""
    assert dial_travel_mm(PC_03, turns=25, marks=Fraction(8)) == INCH
    assert INCH - dial_travel_mm(PC_03, turns=20, marks=Fraction(8)) == 5


@pytest.mark.parametrize(
    ("label_in", "reads", "figure_fell"), [("1/1000", Reads.TRAVEL, 2), ("2/1000", Reads.DIAMETER, 1)]
)
def test_work_loses_twice_the_travel_whatever_the_dial_reads(label_in: str, reads: Reads, figure_fell: int) -> None:
    """Source: PC-01: tool moved 0.001 in, readout 0.001 (radius) or 0.002 (diameter), work 0.002 in smaller."""
    mark = Fraction(1, 1000) * INCH
    dial = Dial(lead_mm=mark * 100, marks=100, label_mm=Fraction(label_in) * INCH, reads=reads)
    travel = dial_travel_mm(dial, turns=0, marks=Fraction(1))
    assert travel == mark
    assert diameter_change_mm(travel) == Fraction(2, 1000) * INCH
    assert figures_diameter_change_mm(dial, Fraction(1)) == diameter_change_mm(travel)
    # trial of PC-01: ten marks in, and the diameter fell by 20 or by 10 figures
    assert diameter_change_mm(travel * 10) / dial.label_mm == 10 * figure_fell


def test_slack_taken_for_travel_is_doubled_on_the_diameter() -> None:
    """Source: PC-02: 0.020 in of slack on the radius is 0.040 in on the diameter."""
    assert diameter_change_mm(Fraction(20, 1000) * INCH) == Fraction(40, 1000) * INCH


@given(
    thousandths=st.integers(1, 20_000),
    count=st.integers(1, 500),
    turns=st.integers(-50, 50),
    data=st.data(),
)
def test_every_position_agrees_with_whole_numbers(
    thousandths: int, count: int, turns: int, data: st.DataObject
) -> None:
    """In units of (0.001 mm / marks) all is whole: travel = thousandths * (turns * count + shown)."""
    shown = data.draw(st.integers(0, count - 1))
    dial = Dial(lead_mm=Fraction(thousandths, 1000), marks=count, label_mm=Fraction(1, 100))
    travel = dial_travel_mm(dial, turns=turns, marks=Fraction(shown))
    whole = thousandths * (turns * count + shown)
    assert travel.numerator * 1000 * count == whole * travel.denominator
    # and back, by integer division alone
    position, rest = divmod(travel.numerator * 1000 * count, travel.denominator * thousandths)
    assert rest == 0
    assert divmod(position, count) == (turns, shown)


@pytest.mark.parametrize("count", [-1, 20, 21])
def test_marks_that_the_dial_does_not_show_are_refused(count: int) -> None:
    found = setting_fault(slide(), marks(0, count))
    assert found is not None
    assert found[0] is RefusalCode.MARKS_NOT_ON_DIAL


@pytest.mark.parametrize("count", [0, 19])
def test_first_and_last_mark_can_be_set(count: int) -> None:
    assert setting_fault(slide(), marks(-3, count)) is None


def test_half_marks_need_a_dial_that_allows_them() -> None:
    halves = Dial(lead_mm=Fraction(1), marks=20, label_mm=Fraction(1, 20), halves=True)
    assert setting_fault(slide(halves), marks(0, Fraction(7, 2))) is None
    for dial, count in ((PC_03, Fraction(7, 2)), (halves, Fraction(7, 3))):
        found = setting_fault(slide(dial), marks(0, count))
        assert found is not None
        assert found[0] is RefusalCode.MARKS_NOT_WHOLE


def test_a_slide_without_a_dial_shows_no_marks() -> None:
    found = setting_fault(slide(None), marks(0, 1))
    assert found is not None
    assert found[0] is RefusalCode.NOT_SETTABLE
    with pytest.raises(ValueError, match="has no dial"):
        setting_travel_mm(slide(None), marks(0, 1))


RULE = LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=100.0)


@pytest.mark.parametrize(
    ("kind", "value", "code"),
    [
        (SettingKind.RULE, Fraction(7, 2), None),
        (SettingKind.RULE, Fraction(-7, 2), None),
        (SettingKind.RULE, Fraction(100), None),
        (SettingKind.RULE, Fraction(201, 2), RefusalCode.AID_CANNOT),
        (SettingKind.RULE, Fraction(7, 4), RefusalCode.AID_CANNOT),
        (SettingKind.STOP, Fraction(7, 2), RefusalCode.NOT_SETTABLE),
        (SettingKind.READOUT, Fraction(1, 200), None),
        (SettingKind.READOUT, Fraction(1, 300), RefusalCode.AID_CANNOT),
    ],
)
def test_aids_and_readouts_are_set_in_their_own_steps(
    kind: SettingKind, value: Fraction, code: RefusalCode | None
) -> None:
    found = setting_fault(slide(aids=(RULE,), readout_step_mm=Fraction(1, 200)), by(kind, value))
    assert (None if found is None else found[0]) is code


@pytest.mark.parametrize(
    ("clockwise", "expected"), [(Motion.LEFT, 3), (Motion.RIGHT, -3), (Motion.IN, 3), (Motion.OUT, -3)]
)
def test_aids_count_to_the_left_and_inward(clockwise: Motion, expected: int) -> None:
    assert setting_travel_mm(slide(clockwise=clockwise), by(SettingKind.READOUT, Fraction(3))) == expected
