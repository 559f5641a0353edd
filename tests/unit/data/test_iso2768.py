"""General tolerances at the edges of the table."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.data.iso2768 import GeneralClass, GeneralKind, general_angle_tolerance_deg, general_tolerance_mm
from handwheel.domain.errors import DataTableError, OutOfRangeError

LINEAR, EDGE = GeneralKind.LINEAR, GeneralKind.EDGE


def test_the_first_range_includes_half_a_millimetre_and_the_others_exclude_their_lower_end() -> None:
    assert general_tolerance_mm(LINEAR, Fraction(1, 2), GeneralClass.MEDIUM) == Fraction("0.1")
    assert general_tolerance_mm(LINEAR, Fraction(6), GeneralClass.MEDIUM) == Fraction("0.1")
    assert general_tolerance_mm(LINEAR, Fraction("6.001"), GeneralClass.MEDIUM) == Fraction("0.2")


@pytest.mark.parametrize("kind", list(GeneralKind))
def test_below_half_a_millimetre_the_tolerance_belongs_beside_the_size(kind: GeneralKind) -> None:
    with pytest.raises(OutOfRangeError, match=r"got 0\.49 mm, ISO 2768-1 begins at 0\.5 mm; write the tolerance"):
        general_tolerance_mm(kind, Fraction("0.49"), GeneralClass.MEDIUM)


def test_what_the_standard_leaves_out_is_refused() -> None:
    with pytest.raises(DataTableError, match="2 mm, class v: ISO 2768-1 gives no linear tolerance there"):
        general_tolerance_mm(LINEAR, Fraction(2), GeneralClass.VERY_COARSE)
    with pytest.raises(DataTableError, match="3000 mm, class f"):
        general_tolerance_mm(LINEAR, Fraction(3000), GeneralClass.FINE)
    with pytest.raises(DataTableError, match="4001 mm, class m"):
        general_tolerance_mm(LINEAR, Fraction(4001), GeneralClass.MEDIUM)


def test_large_edges_have_no_upper_end() -> None:
    assert general_tolerance_mm(EDGE, Fraction(5000), GeneralClass.COARSE) == 2


def test_angles_need_a_side() -> None:
    with pytest.raises(OutOfRangeError, match="shorter_side_mm: got 0 mm, must be above 0"):
        general_angle_tolerance_deg(Fraction(0), GeneralClass.MEDIUM)


@pytest.mark.parametrize("kind", list(GeneralKind))
def test_tolerances_never_shrink_with_size_or_class(kind: GeneralKind) -> None:
    sizes = [Fraction(size) for size in (4, 6, 20, 100, 300)]
    table = [[general_tolerance_mm(kind, size, cls) for cls in GeneralClass] for size in sizes]
    for row in table:
        assert row == sorted(row)
    for column in zip(*table, strict=True):
        assert list(column) == sorted(column)
