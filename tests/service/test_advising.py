"""A plan carries its advice tables: the same acts, the same id, kept in its JSON, made without numpy."""

from __future__ import annotations

import subprocess
import sys

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain.acts import Act, Measure
from handwheel.domain.plan import Plan
from handwheel.service.advising import advised
from handwheel.service.codec import plan_from_json, plan_to_json
from handwheel.service.jobs import plan_for
from tests.demo_plans import PAIRS, acts_of, demo_part, demo_plan, demo_shop


def bare(act: Act) -> Act:
    """An act without what is advised at it."""
    return replace(act, table=None) if isinstance(act, Measure) else act


def with_tables(part: str, lathe: str) -> Plan:
    return advised(demo_plan(part, lathe), demo_shop(lathe))


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_every_measuring_act_has_a_table_and_nothing_else_changes(part: str, lathe: str) -> None:
    plan, told = demo_plan(part, lathe), with_tables(part, lathe)
    assert told.id == plan.id
    assert all(act.table is not None and act.table.bands for act in acts_of(told, Measure))
    assert tuple(map(bare, told.sheet.acts)) == plan.sheet.acts
    assert replace(told, sheet=plan.sheet) == plan


def test_the_check_finds_the_same_with_tables_and_without() -> None:
    shop = demo_shop("inch-lathe")
    plan = demo_plan("band", "inch-lathe")
    assert check_sheet(with_tables("band", "inch-lathe").sheet, shop) == check_sheet(plan.sheet, shop)


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_tables_survive_the_json_of_a_plan(part: str, lathe: str) -> None:
    plan = with_tables(part, lathe)
    assert plan_from_json(plan_to_json(plan)) == plan


def test_a_plan_that_is_made_has_its_tables() -> None:
    plan, _, report = plan_for(demo_part("band"), demo_shop("metric-lathe"))
    assert report.ok
    assert plan == with_tables("band", "metric-lathe")


def test_tables_are_made_without_numpy() -> None:
    """It takes longer to load than all tables to make; nobody who plans a ring waits for it."""
    program = (
        "import sys; from handwheel.service.jobs import demo_job; "
        "plan = demo_job('band', 'inch-lathe')[0]; "
        "assert any(getattr(act, 'table', None) for act in plan.sheet.acts); "
        "sys.exit('numpy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", program], check=False)
    assert done.returncode == 0
