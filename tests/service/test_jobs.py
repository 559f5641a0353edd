"""What a user can do, from files to outcome: plan, check, demo."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import msgspec
import pytest
from msgspec.structs import replace

from handwheel.check.report import CheckReport, Refusal, RefusalCode
from handwheel.domain.acts import FitTool, Move, SetSpeed, SettingKind
from handwheel.domain.errors import InputError
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.plan import Plan
from handwheel.service.codec import plan_to_json
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.jobs import (
    MOST_REFUSALS,
    check_job,
    demo_job,
    demo_jobs,
    plan_job,
    print_sheet,
    refusal_lines,
    stop_lines,
    write_demo,
    write_plan,
)
from tests.factories import make_plan, with_acts

BUSH, INCH = "bush", "inch-lathe"


@pytest.fixture
def files(tmp_path: Path) -> Path:
    """Folder with the demo files as a user would have them."""
    for name in (*DEMO_PARTS, *DEMO_SHOPS):
        (tmp_path / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    return tmp_path


def written(plan: Plan, folder: Path) -> Path:
    return write_plan(plan, folder).path


def test_planning_from_files_gives_what_planning_the_demo_gives(files: Path) -> None:
    assert plan_job(files / "bush.toml", files / "inch-lathe.toml") == demo_job(BUSH, INCH)


def test_the_same_input_gives_the_same_text() -> None:
    first, second = demo_job(BUSH, INCH), demo_job(BUSH, INCH)
    assert plan_to_json(first[0]) == plan_to_json(second[0])
    assert print_sheet(first[0], first[1]) == print_sheet(second[0], second[1])


def test_problems_of_both_files_are_told_at_once(files: Path) -> None:
    (files / "bush.toml").write_text("nonsense = 1\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        plan_job(files / "bush.toml", files / "no-such-shop.toml")
    told = "\n".join(caught.value.problems)
    assert "bush.toml" in told
    assert "no-such-shop.toml: cannot be opened" in told


def test_all_demo_plans_pass_their_check() -> None:
    jobs = list(demo_jobs())
    assert len(jobs) == len(DEMO_PARTS) * len(DEMO_SHOPS)
    assert {job.name: refusal_lines(job.report, job.plan.sheet) for job in jobs if not job.report.ok} == {}
    assert all(size.inside for job in jobs for size in job.report.sizes)


def test_the_demo_sheets_fit_the_page() -> None:
    for job in demo_jobs():
        assert max(map(len, print_sheet(job.plan, job.shop).splitlines())) <= 80


def test_the_demo_is_written_with_the_files_it_was_made_from(tmp_path: Path) -> None:
    jobs = tuple(demo_jobs())
    write_demo(jobs, tmp_path)
    there = sorted(path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*") if path.is_file())
    wanted = [f"{name}.toml" for name in (*DEMO_PARTS, *DEMO_SHOPS)]
    wanted += [
        f"{part}-{lathe}/{file}" for part in DEMO_PARTS for lathe in DEMO_SHOPS for file in ("plan.json", "sheet.txt")
    ]
    assert there == sorted(wanted)
    plan, _, report = check_job(tmp_path / "bush-inch-lathe" / "plan.json", tmp_path / "inch-lathe.toml")
    assert (plan, report) == (jobs[0].plan, jobs[0].report)


def test_a_shop_that_only_gained_something_is_still_the_plans_shop(files: Path) -> None:
    plan, _, _ = demo_job(BUSH, INCH)
    shop = files / "inch-lathe.toml"
    more = demo_text(INCH).replace('id = "right-hand"', 'id = "right-hand-two"', 1)
    tool = more[more.index('[[tool]]\nid = "right-hand-two"') :].partition("\n\n")[0]
    shop.write_text(f"{demo_text(INCH)}\n{tool}\n", encoding="utf-8")
    assert check_job(written(plan, files), shop)[0] == plan


def test_a_shop_whose_dial_changed_is_refused(files: Path) -> None:
    plan, _, _ = demo_job(BUSH, INCH)
    shop = files / "inch-lathe.toml"
    shop.write_text(demo_text(INCH).replace("rpm = 170", "rpm = 175"), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        check_job(written(plan, files), shop)
    first, *instances = caught.value.problems
    assert first.startswith("inch-lathe.toml: is not as it was when the plan was made; one of these differs: lathe, ")
    assert any("170" in instance for instance in instances)


def test_a_shop_that_lost_a_tool_is_refused_by_the_tools_name(files: Path) -> None:
    plan, _, _ = demo_job(BUSH, INCH)
    used = next(act.tool for act in plan.sheet.acts if isinstance(act, FitTool))
    shop = files / "inch-lathe.toml"
    shop.write_text(demo_text(INCH).replace(f'id = "{used}"', 'id = "another"'), encoding="utf-8")
    with pytest.raises(InputError, match=f"the plan uses '{used}', which this shop does not have"):
        check_job(written(plan, files), shop)


def test_the_other_demo_lathe_is_refused(files: Path) -> None:
    plan, _, _ = demo_job(BUSH, INCH)
    with pytest.raises(InputError, match=r"metric-lathe\.toml: "):
        check_job(written(plan, files), files / "metric-lathe.toml")


def test_a_dial_figure_altered_in_the_file_is_found_by_the_check(files: Path) -> None:
    """The hash of the shop says nothing about the acts; the replay does."""
    plan, _, _ = demo_job(BUSH, INCH)
    path = written(with_one_mark_more(plan), files)
    _, _, report = check_job(path, files / "inch-lathe.toml")
    assert not report.ok


def with_one_mark_more(plan: Plan) -> Plan:
    """The plan with the first setting of a dial one mark further."""
    acts = list(plan.sheet.acts)
    place, act = next(
        (place, act)
        for place, act in enumerate(acts)
        if isinstance(act, Move) and act.setting.kind is SettingKind.MARKS and act.setting.marks < 90
    )
    acts[place] = msgspec.structs.replace(act, setting=replace(act.setting, marks=act.setting.marks + Fraction(1)))
    return with_acts(plan, tuple(acts))


def test_a_speed_that_the_lathe_has_not_is_found_by_the_check(files: Path) -> None:
    plan, _, _ = demo_job(BUSH, INCH)
    acts = tuple(
        msgspec.structs.replace(act, rpm=act.rpm + 1) if isinstance(act, SetSpeed) else act for act in plan.sheet.acts
    )
    _, _, report = check_job(written(with_acts(plan, acts), files), files / "inch-lathe.toml")
    assert any("speed-not-listed" in line for line in refusal_lines(report, plan.sheet))


def refusal(act: str) -> Refusal:
    return Refusal(act=act, code=RefusalCode.RUBS, text="it rubs – badly")


def test_a_refusal_is_told_by_the_number_on_the_printed_sheet() -> None:
    plan = make_plan()
    act = next(act for act in plan.sheet.acts if act.step == "rough" and isinstance(act, Move))
    report = CheckReport(refusals=(refusal(act.id), refusal("")), sizes=())
    assert refusal_lines(report, plan.sheet) == (
        "act 2.9: it rubs - badly [rubs]",
        "at the end: it rubs - badly [rubs]",
    )


def test_a_flood_of_refusals_is_counted_not_told() -> None:
    lines = refusal_lines(CheckReport(refusals=(refusal("a001"),) * 50, sizes=()), make_plan().sheet)
    assert len(lines) == MOST_REFUSALS + 1
    assert lines[-1] == "and 30 more; mend the first ones first"


def test_findings_that_forbid_the_job_are_told_apart() -> None:
    stop = Finding(
        code="unknown-metal",
        severity=Severity.STOP,
        where="back",
        problem="No grip.",
        remedy="Bore jaws.",
        source_key="COMMON",
    )
    plan = make_plan()
    assert stop_lines(plan) == ()
    assert stop_lines(replace(plan, findings=(*plan.findings, stop))) == ("STOP, do not cut: No grip. Bore jaws.",)
