"""Fractions: both kinds are the same numbers, and a plan does not depend on which of them there is."""

from __future__ import annotations

import fractions
import subprocess
import sys
from collections.abc import Callable
from decimal import Decimal
from math import ceil, floor, trunc
from operator import add, eq, floordiv, lt, mod, mul, sub, truediv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.check.wellformed import fault
from handwheel.domain.exact import Fraction
from handwheel.report.numbers import rounded
from handwheel.service.codec import written_exactly
from handwheel.service.demo import demo_text

numbers = st.fractions(max_denominator=10**7)
Figure = fractions.Fraction

PLANNED = """
import sys
if "without" in sys.argv:
    sys.modules["quicktions"] = None
import fractions
from handwheel.domain.exact import Fraction
assert (Fraction is fractions.Fraction) == ("without" in sys.argv)
from handwheel import check_plan, make_plan, plan_json, read_part, read_shop, sheet_text
part, shop = read_part(sys.argv[1]), read_shop(sys.argv[2])
plan = make_plan(part, shop)
assert check_plan(plan, shop).ok
print(plan_json(plan), sheet_text(plan, shop))
"""


def of_ours(value: Figure) -> Fraction:
    return Fraction(value.numerator, value.denominator)


def test_the_compiled_kind_is_the_one_in_use() -> None:
    """It is required by the package; without this every comparison below would be one of a kind with itself."""
    assert Fraction.__module__ == "quicktions"


@given(one=numbers, other=numbers)
@pytest.mark.parametrize("does", [add, sub, mul, truediv, floordiv, mod, eq, lt])
def test_what_is_done_with_either_kind_or_both_gives_the_same(
    does: Callable[[object, object], object], one: Figure, other: Figure
) -> None:
    if other == 0 and does in (truediv, floordiv, mod):
        return
    expected = does(one, other)
    assert does(of_ours(one), of_ours(other)) == expected
    assert does(of_ours(one), other) == expected
    assert does(one, of_ours(other)) == expected


@given(value=numbers)
@pytest.mark.parametrize("does", [hash, float, int, round, floor, ceil, trunc, abs, str, repr, bool])
def test_a_fraction_of_either_kind_is_the_same_number(does: Callable[[object], object], value: Figure) -> None:
    assert does(of_ours(value)) == does(value)


@given(value=numbers, whole=st.integers(-(10**6), 10**6), places=st.integers(0, 9))
def test_either_kind_meets_whole_numbers_and_is_rounded_alike(value: Figure, whole: int, places: int) -> None:
    ours = of_ours(value)
    assert (ours + whole, whole - ours, ours * whole) == (value + whole, whole - value, value * whole)
    assert (divmod(ours, 7), ours**2, min(ours, whole)) == (divmod(value, 7), value**2, min(value, whole))
    assert round(ours, places) == round(value, places)
    assert ours.limit_denominator(10**3) == value.limit_denominator(10**3)


@given(value=st.floats(-1e9, 1e9))
def test_either_kind_reads_floats_decimals_and_texts_exactly(value: float) -> None:
    assert Fraction(value) == Figure(value)
    assert Fraction(Decimal(repr(value))) == Figure(Decimal(repr(value)))
    assert Fraction(repr(value)) == Figure(repr(value))


@pytest.mark.parametrize("kind", [Fraction, Figure])
def test_a_fraction_of_either_kind_is_taken_by_those_who_ask_for_one(kind: type[Fraction]) -> None:
    """Who makes acts in Python may hold either."""
    third = kind(1, 3)
    assert fault(third, Fraction, "at") is None
    assert fault(third, Fraction | None, "at") is None
    assert fault(kind(1, 10**10), Fraction, "at") is not None
    assert written_exactly(third) == "1/3"
    assert rounded(third, places=3) == "0.333"


def test_a_plan_is_the_same_to_the_last_letter_with_the_standard_library_alone(tmp_path: Path) -> None:
    names = []
    for name in ("bush", "inch-lathe"):
        (tmp_path / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
        names.append(str(tmp_path / f"{name}.toml"))
    told = [
        subprocess.run((sys.executable, "-c", PLANNED, *names, word), check=True, capture_output=True, text=True).stdout
        for word in ("with", "without")
    ]
    assert told[0] == told[1]
    assert "DIAL" in told[0]
