"""Comparing as a service: every sheet checked, JSON that says what the accounts say, one plan taken."""

from __future__ import annotations

import json

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import CheckReport
from handwheel.domain.comparing import Asked
from handwheel.domain.errors import NoPlanError
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.planner.alternatives import alternatives
from handwheel.service import comparing
from handwheel.service.advising import advised
from handwheel.service.comparing import compare_plans, comparison_json, take_plan
from handwheel.service.jobs import FailedCheckError
from tests.demo_plans import demo_part, demo_plan, demo_shop

PART, SHOP = "bush", "metric-lathe"


def check_without(acts: int, monkeypatch: pytest.MonkeyPatch, *, of: str) -> None:
    """Let the check see a sheet that ends so many acts early, for the plan of that option alone."""
    whole = alternatives(demo_part(PART), demo_shop(SHOP))
    (its,) = (option.plan for option in whole.options if option.asked.value == of)
    assert its is not None

    def short(sheet: Sheet, shop: Shop) -> CheckReport:
        return check_sheet(replace(sheet, acts=sheet.acts[:-acts]) if sheet == its.sheet else sheet, shop)

    monkeypatch.setattr(comparing, "check_sheet", short)


def test_a_plan_beside_the_best_that_fails_its_check_is_not_given(monkeypatch: pytest.MonkeyPatch) -> None:
    check_without(150, monkeypatch, of="gentler")
    found = compare_plans(demo_part(PART), demo_shop(SHOP))
    gentler = found.options[3]
    assert (gentler.asked, gentler.plan, gentler.account) == (Asked.GENTLER, None, None)
    assert "fault of handwheel" in gentler.reason
    assert found.best.plan == advised(demo_plan(PART, SHOP), demo_shop(SHOP))


def test_if_the_best_plan_fails_its_check_nothing_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    check_without(150, monkeypatch, of="best plan")
    with pytest.raises(FailedCheckError, match="fault of handwheel"):
        compare_plans(demo_part(PART), demo_shop(SHOP))


def test_the_json_says_what_the_accounts_say() -> None:
    found = compare_plans(demo_part(PART), demo_shop(SHOP))
    told = json.loads(comparison_json(found))
    assert (told["schema"], told["part"], told["shop"]) == (1, found.part, found.shop)
    assert [option["number"] for option in told["options"]] == [1, 2, 3, 4]
    for option, written in zip(found.options, told["options"], strict=True):
        assert written["asked"] == option.asked.value
        assert written["reason"] == option.reason
        assert written["plan"] == (None if option.plan is None else option.plan.id)
        if option.account is None:
            assert written["account"] is None
            continue
        assert written["account"]["cutting_ms"] == option.account.cutting_ms
        assert [cut["force_n"] for cut in written["account"]["forces"]] == [c.force_n for c in option.account.forces]
        assert [load["share"] for load in written["account"]["loads"]] == [e.share for e in option.account.loads]


@pytest.mark.parametrize("number", [1, 3, 4])
def test_the_plan_that_is_taken_is_the_one_that_was_compared(number: int) -> None:
    plan = take_plan(demo_part(PART), demo_shop(SHOP), number)
    assert plan == compare_plans(demo_part(PART), demo_shop(SHOP)).options[number - 1].plan
    assert check_sheet(plan.sheet, demo_shop(SHOP)).ok


def test_a_plan_that_there_is_not_cannot_be_taken_and_the_reason_is_told() -> None:
    with pytest.raises(NoPlanError, match=r"no plan 2 \(another bar; bar bronze-30 left out\)") as refused:
        take_plan(demo_part(PART), demo_shop(SHOP), 2)
    assert "[no-bar-of-the-metal]" in str(refused.value)
