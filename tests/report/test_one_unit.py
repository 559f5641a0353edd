"""Texts in one unit: nothing is left of the other but what instruments show and what things are called by."""

from __future__ import annotations

import re

import pytest

from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from handwheel.domain.wording import UnitsShown
from handwheel.planner.alternatives import alternatives
from handwheel.report.comparison_text import comparison_text
from handwheel.report.text_sheet import sheet_text
from handwheel.report.why_text import why_text
from handwheel.report.wording import wording_for, wording_for_part
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.jobs import told_refusals
from tests.demo_plans import demo_part, demo_plan, demo_shop
from tests.factories import make_plan
from tests.one_unit import left_of_the_other
from tests.unit.check.test_refusals import BY_NAME, refused

ALONE = (UnitsShown.MM, UnitsShown.INCH)
JOBS = [(part, shop) for part in DEMO_PARTS for shop in DEMO_SHOPS]


@pytest.mark.parametrize("shown", ALONE)
@pytest.mark.parametrize(("part", "lathe"), JOBS)
def test_the_sheet_and_its_reasons_keep_to_one_unit(part: str, lathe: str, shown: UnitsShown) -> None:
    plan, shop = demo_plan(part, lathe), demo_shop(lathe)
    for told in (sheet_text, why_text):
        both = told(plan, shop, width=200)
        assert len(left_of_the_other(both, shown, plan.sheet.part, shop)) > 100  # else nothing was looked for
        text = told(plan, shop, width=200, wording=wording_for(plan, shop, shown=shown))
        assert left_of_the_other(text, shown, plan.sheet.part, shop) == []


@pytest.mark.parametrize("shown", ALONE)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_plans_side_by_side_keep_to_one_unit(lathe: str, shown: UnitsShown) -> None:
    part, shop = demo_part("band"), demo_shop(lathe)
    compared = alternatives(part, shop)
    wide = comparison_text(compared, width=200, wording=wording_for_part(part, shop, shown=shown))
    assert left_of_the_other(comparison_text(compared, width=200), shown, part, shop)
    assert left_of_the_other(wide, shown, part, shop) == []


@pytest.mark.parametrize("name", BY_NAME)
def test_what_the_check_refuses_is_told_in_inches_alone_if_so_wanted(name: str) -> None:
    case = BY_NAME[name]
    plan = make_plan()
    wrong = type(plan)(**{**{field: getattr(plan, field) for field in plan.__struct_fields__}, "sheet": case.wrong})
    inches = wording_for(wrong, case.wrong_shop, shown=UnitsShown.INCH)
    lines = told_refusals(refused(name), wrong, case.wrong_shop, inches)
    assert lines
    assert left_of_the_other("\n".join(lines), UnitsShown.INCH, case.wrong.part, case.wrong_shop) == []


def test_what_is_left_is_found() -> None:
    """The search of these tests finds what it is meant to find, and passes what is meant to be passed."""
    part, shop = demo_part("bush"), demo_shop("metric-lathe")

    def left(text: str, part: Part = part, shop: Shop = shop) -> list[str]:
        return left_of_the_other(text, UnitsShown.INCH, part, shop)

    assert left("it is 3 mm wide, 0.1 mm/rev, 30 m/min, 2 µm") == ["3 mm", "0.1 mm", "30 m/min", "2 µm"]
    assert left("INDICATOR 3.00 mm left of 0 ± 0.1 mm   0.1181 in; Ra 1.6 µm; Drill Ø 18 mm") == []
    assert re.search(r"\d+ mm", shop.tools[-1].name) is None or left(shop.tools[-1].name) == []
