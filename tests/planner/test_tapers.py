"""Drills that may turn the taper in the quill: their torque against what their push has seated."""

from __future__ import annotations

import re
from math import atan, cos, sin

import pytest

from handwheel.domain.findings import Finding, Severity
from tests.demo_plans import demo_plan
from tests.planner.provoking import METRIC, with_taper

FIGURES = re.compile(r"asks up to ([0-9.]+) N·m; .* hold ([0-9.]+) N·m if it is oily, ([0-9.]+) N·m dry")
TENTHS = 0.051
"""Figures of a finding are told to a tenth. [N m]"""


def slips(dia_mm: float) -> dict[str, Finding]:
    """Findings of the bush by the step of the drill."""
    return {one.where: one for one in with_taper(dia_mm).findings if one.code == "taper-may-slip"}


def figures(finding: Finding) -> tuple[float, float, float]:
    """Torque asked, held oily, held dry. [N m]"""
    found = FIGURES.search(finding.problem)
    assert found is not None
    asked, oily, dry = (float(one) for one in found.groups())
    return asked, oily, dry


def test_a_small_taper_slips_a_stout_one_holds_and_none_is_spoken_of_where_none_is_known() -> None:
    assert set(slips(10.0)) == {"drill-2-drill-14", "drill-3-drill-18-dubbed"}
    assert slips(18.0) == {}
    assert [one for one in demo_plan("bush", METRIC).findings if one.code == "taper-may-slip"] == []


def test_a_warning_is_what_slips_dry_too_a_note_what_slips_if_it_is_oily() -> None:
    for finding in slips(10.0).values():
        asked, oily, dry = figures(finding)
        assert asked > oily
        assert finding.severity is (Severity.WARNING if asked > dry else Severity.NOTE)


def test_dry_and_oily_come_of_one_push_on_the_cone() -> None:
    """μ / (sin α + μ cos α), with 1 in 20 on the diameter: 0.667 oily, 0.857 dry."""
    alpha = atan(1.0 / 40.0)
    ratio = [friction / (sin(alpha) + friction * cos(alpha)) for friction in (0.05, 0.15)]
    _, oily, dry = figures(slips(10.0)["drill-2-drill-14"])
    assert dry == pytest.approx(oily * ratio[1] / ratio[0], abs=2.0 * TENTHS)


def test_what_a_larger_push_has_seated_holds_for_the_drill_that_opens_the_hole() -> None:
    found = slips(10.0)
    solid, opening = (figures(found[step]) for step in ("drill-2-drill-14", "drill-3-drill-18-dubbed"))
    assert opening[1:] == solid[1:]
    assert opening[0] < solid[0]


def test_a_taper_holds_in_proportion_to_its_diameter() -> None:
    small, larger = (figures(slips(dia)["drill-2-drill-14"]) for dia in (5.0, 10.0))
    assert larger[1] == pytest.approx(2.0 * small[1], abs=3.0 * TENTHS)
