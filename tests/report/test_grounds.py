"""Figures in the words of hand steps and in notes: each has a rule of its own, and says on whose word."""

from __future__ import annotations

import pytest

from handwheel.data.hazards import gates_of
from handwheel.data.materials import material
from handwheel.domain.acts import HandKind, HandStep
from handwheel.domain.findings import Reason
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.why.grounds import HAND_GROUNDS, OTHERWISE
from handwheel.report.why.whys import ActWhy, step_whys
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.public import make_plan
from tests.demo_plans import demo_plan, demo_shop
from tests.planner.held import MEANS, shop_with
from tests.planner.jobs import Ring
from tests.planner.test_wishes import wished
from tests.proof.cases import Promise, case_of, numbers


def whys(plan: Plan, shop: Shop) -> list[ActWhy]:
    return [one for step in step_whys(plan, shop) for one in step.acts]


def hand_reasons(plan: Plan, shop: Shop, kind: HandKind) -> list[Reason]:
    acts = [one for one in whys(plan, shop) if isinstance(one.item.act, HandStep) and one.item.act.kind is kind]
    return [reason for one in acts for reason in one.reasons]


def without_ground(plan: Plan, shop: Shop) -> list[str]:
    return [
        f"{one.item.number}: {reason.value}"
        for one in whys(plan, shop)
        for reason in one.reasons
        if reason.quantity == OTHERWISE.quantity
    ]


@pytest.mark.parametrize("part", DEMO_PARTS)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_no_figure_of_a_demo_job_is_explained_in_general_words(part: str, lathe: str) -> None:
    assert without_ground(demo_plan(part, lathe), demo_shop(lathe)) == []


@pytest.mark.parametrize("number", numbers(6, 14, Promise.FEASIBLE))
def test_no_figure_of_a_drawn_job_is_explained_in_general_words(number: int) -> None:
    case = case_of(number)
    assert without_ground(make_plan(case.part, case.shop), case.shop) == []


@pytest.mark.parametrize("means", MEANS)
def test_no_figure_of_any_way_of_holding_is_explained_in_general_words(means: str) -> None:
    shop = shop_with("metric-lathe", MEANS[means])
    assert without_ground(make_plan(Ring().part, shop), shop) == []


def test_the_rule_of_thumb_of_soft_jaws_says_that_it_is_one() -> None:
    shop = shop_with("metric-lathe", MEANS["soft-jaws"])
    told = {reason.quantity: reason for reason in hand_reasons(make_plan(Ring().part, shop), shop, HandKind.BORE_JAWS)}
    assert told["bore of the jaws"].source_key == "GEOMETRY"
    assert told["its limits"].standing == "common practice"
    assert "0.05 mm (0.00197 in)" in told["its limits"].relation


def test_a_broken_edge_goes_by_the_part_file_and_by_the_eye() -> None:
    plan, shop = wished("metric-lathe"), demo_shop("metric-lathe")
    assert without_ground(plan, shop) == []
    told = {reason.quantity: reason.standing for reason in hand_reasons(plan, shop, HandKind.BREAK_EDGE)}
    assert told == {"legs": "as entered", "lines of the rule": "common practice", "share of a gap": "computed"}


def test_what_a_hazard_asks_for_has_the_source_of_the_hazard() -> None:
    plan, shop = demo_plan("band", "metric-lathe"), demo_shop("metric-lathe")
    (gate, *_) = gates_of(material(plan.sheet.part.material))
    told = hand_reasons(plan, shop, HandKind.CONFIRM)
    assert {(reason.source_key, reason.standing) for reason in told} == {(gate.source_key, gate.standing.value)}


def test_a_figure_without_a_ground_would_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """Else the tests above could not fail."""
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    fewer = {kind: grounds for kind, grounds in HAND_GROUNDS.items() if kind is not HandKind.CATCH_ROD}
    monkeypatch.setattr("handwheel.report.why.grounds.HAND_GROUNDS", fewer)
    assert len(without_ground(plan, shop)) == 1
