"""Every code of a finding, in every weight that it may have, provoked by a real part in a real shop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

import pytest

from handwheel.data.loader import source
from handwheel.domain.errors import InputError, UnknownFindingError
from handwheel.domain.finding_codes import FINDING_CODES
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.part import BACK_FACE, BORE, OUTSIDE
from handwheel.domain.plan import Plan
from handwheel.planner.kinds.bevel import PART_OFF
from handwheel.planner.planner import make_plan
from handwheel.service.codec import plan_from_json, plan_to_json
from tests.demo_plans import demo_plan, demo_shop
from tests.planner.holes import made
from tests.planner.provoking import (
    INCH,
    METRIC,
    expanded,
    in_metal,
    learned_at,
    many_bushes,
    narrow_outside,
    on_belts,
    pressed,
    rough,
    rubbed,
    singing,
    swung,
    unbroken,
    wide_bore,
    wide_outside,
    with_odd_cross_slide,
    with_taper,
    without_centre_drill,
    worn_band,
)
from tests.planner.test_stepped_parts import plan_of as stepped_plan
from tests.planner.test_wishes import bush
from tests.shops import part_of, shop_of

STOP, WARNING, NOTE = Severity.STOP, Severity.WARNING, Severity.NOTE


@dataclass(frozen=True, slots=True, kw_only=True)
class Provoked:
    """A plan in which a finding must stand, with its weight and its place."""

    code: str
    severity: Severity
    where: str
    plan: Callable[[], Plan]

    @property
    def name(self) -> str:
        """For the report of the tests."""
        return f"{self.code}: {self.severity.value}"


def _case(code: str, severity: Severity, where: str, plan: Callable[[], Plan]) -> Provoked:
    return Provoked(code=code, severity=severity, where=where, plan=cache(plan))


CASES = (
    _case("bar-cut", WARNING, "load", lambda: make_plan(part_of("stainless-bush"), shop_of("short-spindle"))),
    _case("bar-overhangs", WARNING, "load", lambda: made("overhang", METRIC).plan),
    _case("bar-too-short-for-quantity", WARNING, "load", many_bushes),
    _case("beliefs-used", NOTE, "load", learned_at),
    _case("blade-may-sing", NOTE, PART_OFF, singing),
    _case("bore-closes", WARNING, BORE, lambda: pressed(OUTSIDE, "27.80")),
    _case("bore-closes", NOTE, BORE, lambda: pressed(OUTSIDE, "27.80", part=wide_bore())),
    _case("collar-fixed", NOTE, "cross-slide", lambda: with_odd_cross_slide(settable=False, share=1)),
    _case("dubbed-drill", NOTE, "drilling", lambda: demo_plan("bush", METRIC)),
    _case("edge-may-ripple", NOTE, "front-outer-edge", lambda: demo_plan("band", METRIC)),
    _case("engraving-differs", WARNING, "cross-slide", lambda: with_odd_cross_slide(settable=True, share=2)),
    _case("fine-feed", WARNING, BORE, lambda: swung(0.01)),
    _case("fine-feed", NOTE, BORE, lambda: swung(0.01, scale_step=Fraction(1, 12))),
    _case("finish-by-rubbing", NOTE, BACK_FACE, rubbed),
    _case("finish-finer-than-turned", WARNING, OUTSIDE, lambda: rough("0.3", feed_mm_rev=0.05)),
    _case("finish-not-met", WARNING, OUTSIDE, lambda: rough("0.05")),
    _case("fire-hazard", WARNING, "Titanium grade 2", lambda: demo_plan("band", METRIC)),
    _case("force-from-group", NOTE, "PTFE", lambda: in_metal("ptfe")),
    _case(
        "full-power-assumed",
        NOTE,
        "spindle speed",
        lambda: make_plan(part_of("brass-bush"), shop_of("variable-speed")),
    ),
    _case("health-hazard", WARNING, "PTFE", lambda: in_metal("ptfe")),
    _case("interrupted-cut", NOTE, "rough-outside", lambda: made("hexagon", METRIC).plan),
    _case("jaw-lobes", NOTE, "soft-jaws", lambda: demo_plan("band", METRIC)),
    _case(
        "mate-assumed",
        WARNING,
        BORE,
        lambda: make_plan(bush(('diameter = "20 H8"', 'fit = "running on 20 mm shaft"')), demo_shop(METRIC)),
    ),
    _case("last-cuts-bend", NOTE, BORE, lambda: demo_plan("bush", INCH)),
    _case("mostly-swarf", NOTE, "load", lambda: demo_plan("band", METRIC)),
    _case("no-centre-drill", WARNING, "drilling", without_centre_drill),
    _case("no-interference", WARNING, OUTSIDE, lambda: pressed(OUTSIDE, "28.10")),
    _case("no-lead-in", WARNING, OUTSIDE, lambda: pressed(OUTSIDE, "27.80", part=unbroken())),
    _case("outside-grows", WARNING, OUTSIDE, lambda: pressed(BORE, "20.06", part=narrow_outside())),
    _case("outside-grows", NOTE, OUTSIDE, lambda: pressed(BORE, "20.06", part=wide_outside())),
    _case("ring-swells", NOTE, "my-expanding-mandrel", expanded),
    _case("skin-contact", WARNING, "Leaded free-cutting steel", lambda: in_metal("st11smnpb30", worn=True)),
    _case("skin-contact", NOTE, "Titanium grade 2", worn_band),
    _case("speed-worked-out", NOTE, "spindle speed", on_belts),
    _case("taper-may-slip", WARNING, "drill-2-drill-14", lambda: with_taper(10.0)),
    _case("taper-may-slip", NOTE, "drill-3-drill-18-dubbed", lambda: with_taper(10.0)),
    _case("turned-end-for-end", NOTE, "load", lambda: stepped_plan("far side", METRIC)),
    _case("unknown-metal", STOP, "Unknown bronze", lambda: in_metal("unknown_bronze", lathe=INCH)),
    _case("unknown-metal", WARNING, "Unknown steel", lambda: in_metal("unknown_steel")),
    _case("work-hardens", NOTE, "Titanium grade 2", lambda: demo_plan("band", METRIC)),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_real_job_provokes_it_with_its_weight_its_place_and_what_to_do(case: Provoked) -> None:
    found = [finding for finding in case.plan().findings if finding.code == case.code]
    (one,) = [each for each in found if (each.severity, each.where) == (case.severity, case.where)][:1]
    assert len(one.problem.split()) > 1
    assert one.remedy
    assert source(one.source_key).key == one.source_key


def test_no_code_and_no_weight_of_a_code_is_left_without_a_job_that_provokes_it() -> None:
    provoked = {(case.code, case.severity) for case in CASES}
    assert provoked == {(code, weight) for code, known in FINDING_CODES.items() for weight in known.severities}


def test_a_finding_takes_no_code_and_no_weight_that_is_not_in_the_table() -> None:
    def finding(code: str, severity: Severity) -> Finding:
        return Finding(code=code, severity=severity, where="here", problem="p", remedy="r", source_key="COMMON")

    assert finding("bar-cut", WARNING).code == "bar-cut"
    with pytest.raises(UnknownFindingError, match="finding 'bar-cuts': no such code"):
        finding("bar-cuts", WARNING)
    with pytest.raises(UnknownFindingError, match="finding 'bar-cut': weighs stop, must weigh warning"):
        finding("bar-cut", STOP)


def test_a_metal_with_nothing_to_fear_on_the_skin_gets_a_note_that_asks_for_nothing() -> None:
    """A metal "free of nickel" was a warning, with a test to be made of it."""
    (good,) = [finding for finding in worn_band().findings if finding.code == "skin-contact"]
    assert (good.severity, good.problem) == (NOTE, "Free of nickel.")
    assert "test" not in good.remedy
    assert "no medical advice" in good.remedy
    (bad,) = [finding for finding in in_metal("st11smnpb30", worn=True).findings if finding.code == "skin-contact"]
    assert bad.severity is WARNING
    assert "no medical advice" in bad.remedy


def test_a_plan_file_with_a_code_that_nobody_can_look_up_is_refused_with_its_place() -> None:
    text = plan_to_json(demo_plan("band", METRIC))
    assert plan_from_json(text).findings == demo_plan("band", METRIC).findings
    with pytest.raises(InputError, match=r"findings\[0\]: finding 'fire-hazards': no such code"):
        plan_from_json(text.replace('"fire-hazard"', '"fire-hazards"'))
