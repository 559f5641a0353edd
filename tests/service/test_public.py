"""The public names of the package: which there are, how they are called; the lines in README run."""

from __future__ import annotations

import inspect
import re
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace

import handwheel
from handwheel.check.replay import check_sheet
from handwheel.service import public
from handwheel.service.demo import demo_path, demo_text
from handwheel.service.jobs import demo_job, print_sheet

ROOT = Path(__file__).resolve().parents[2]

WORDING = "show: 'str | None' = None, words: 'str | None' = None"
SIGNATURES = {
    "approach_size": "(approach: 'Approach', *, start_mm: 'float', start_spread_mm: 'float', "
    "at_the_lathe: 'Callable[[Advice], Sequence[float]]') -> 'Reached'",
    "check_plan": "(plan: 'Plan', shop: 'Shop') -> 'CheckReport'",
    "compare_plans": "(part: 'Part', shop: 'Shop', *, said: 'Said | None' = None) -> 'Comparison'",
    "comparison_text": f"(comparison: 'Comparison', *, width: 'int' = 80, {WORDING}) -> 'str'",
    "desk_pdf": f"(plan: 'Plan', shop: 'Shop', *, paper: 'str' = 'a4', {WORDING}) -> 'bytes'",
    "diagnose_text": "(plan: 'Plan', shop: 'Shop', *, step: 'str', symptom: 'str', evidence: 'Sequence[str]' = (), "
    f"width: 'int' = 80, {WORDING}) -> 'str'",
    "explain_text": f"(plan: 'Plan', shop: 'Shop', *, of: 'str' = '', width: 'int' = 80, {WORDING}) -> 'str'",
    "make_plan": "(part: 'Part', shop: 'Shop') -> 'Plan'",
    "plan_json": "(plan: 'Plan') -> 'str'",
    "read_part": "(path: 'str | PathLike[str]') -> 'Part'",
    "read_plan": "(path: 'str | PathLike[str]') -> 'Plan'",
    "read_shop": "(path: 'str | PathLike[str]') -> 'Shop'",
    "rescue_text": "(plan: 'Plan', shop: 'Shop', *, surface: 'str', size: 'str', uncertainty: 'str | None' = None, "
    f"width: 'int' = 80, {WORDING}) -> 'str'",
    "rehearsal_text": f"(rehearsal: 'Rehearsal', plan: 'Plan', shop: 'Shop', *, width: 'int' = 80, {WORDING}) -> 'str'",
    "rehearse_plan": "(plan: 'Plan', shop: 'Shop', *, lathes: 'int' = 10000, seed: 'int' = 0, "
    "good: 'int | None' = None, executor: 'Executor | None' = None) -> 'Rehearsal'",
    "sheet_pdf": f"(plan: 'Plan', shop: 'Shop', *, paper: 'str' = 'a4', reasons: 'bool' = False, {WORDING}) -> 'bytes'",
    "show_plan": f"(plan: 'Plan', shop: 'Shop', *, {WORDING}) -> 'PlanView'",
    "sheet_text": f"(plan: 'Plan', shop: 'Shop', *, width: 'int' = 80, {WORDING}) -> 'str'",
}
"""Programs of other people call these: a change here belongs in the changelog."""
TYPES = {
    *("Advice", "Approach", "CheckReport", "Comparison", "Next", "Part", "Plan", "PlanView", "Reached", "Rehearsal"),
    "Shop",
}
ERRORS = {"FailedCheckError", "HandwheelError", "InputError", "NoPlanError"}


def python_lines(page: str) -> list[str]:
    """Blocks of Python in a page."""
    return re.findall(r"(?ms)^```python\n(.*?)^```", (ROOT / page).read_text(encoding="utf-8"))


def test_the_public_names_are_these_and_no_others() -> None:
    assert set(handwheel.__all__) == {*SIGNATURES, *TYPES, *ERRORS, "__version__"}
    assert set(public.__all__) == set(handwheel.__all__) - {"__version__"}
    assert set(handwheel.__all__) <= set(dir(handwheel))


@pytest.mark.parametrize("name", sorted(SIGNATURES))
def test_a_public_function_is_called_as_before(name: str) -> None:
    function = getattr(handwheel, name)
    assert str(inspect.signature(function)) == SIGNATURES[name]


@pytest.mark.parametrize("name", sorted(SIGNATURES))
def test_a_public_function_says_what_it_takes_gives_and_raises_with_an_example(name: str) -> None:
    function = getattr(handwheel, name)
    text = inspect.getdoc(function) or ""
    for part in ("Parameters\n---", "Returns\n---", "Examples\n---"):
        assert part in text, part
    for parameter in inspect.signature(function).parameters:
        assert re.search(rf"(?m)^{parameter} : ", text), parameter
    assert "Raises\n---" in text or name == "sheet_text"  # a sheet of a plan is always text


@pytest.mark.parametrize("name", sorted(ERRORS))
def test_every_error_is_of_the_one_family(name: str) -> None:
    assert issubclass(getattr(handwheel, name), handwheel.HandwheelError)


def test_an_unknown_name_is_an_attribute_error() -> None:
    unknown = "make_tea"
    with pytest.raises(AttributeError, match="no attribute 'make_tea'"):
        getattr(handwheel, unknown)


def test_importing_the_package_loads_nothing_of_it_until_it_is_used() -> None:
    code = (
        "import sys, handwheel; "
        "loaded = [name for name in sys.modules if name.startswith('handwheel.') or name == 'numpy']; "
        "print(loaded); handwheel.make_plan; print('handwheel.planner' in sys.modules)"
    )
    said = subprocess.run((sys.executable, "-c", code), capture_output=True, text=True, check=True).stdout
    assert said.split() == ["[]", "True"]


def test_a_plan_that_fails_its_check_is_not_handed_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The check is given a sheet that ends halfway, as if the planner had forgotten it."""
    plan, shop, _ = demo_job("bush", "inch-lathe")
    short = replace(plan, sheet=replace(plan.sheet, acts=plan.sheet.acts[:20]))
    report = check_sheet(short.sheet, shop)
    assert not report.ok
    monkeypatch.setattr(public, "plan_for", lambda _part, _shop: (short, shop, report))
    with pytest.raises(handwheel.FailedCheckError, match="fault of handwheel"):
        handwheel.make_plan(handwheel.read_part(demo_path("bush")), shop)


def test_a_plan_is_refused_for_another_shop() -> None:
    plan, _, _ = demo_job("bush", "inch-lathe")
    other = handwheel.read_shop(demo_path("metric-lathe"))
    with pytest.raises(handwheel.InputError, match="this shop"):
        handwheel.check_plan(plan, other)


def test_a_plan_written_is_read_as_the_same(tmp_path: Path) -> None:
    plan, shop, _ = demo_job("bush", "inch-lathe")
    (tmp_path / "plan.json").write_text(handwheel.plan_json(plan), encoding="utf-8")
    again = handwheel.read_plan(str(tmp_path / "plan.json"))
    assert again == plan
    assert handwheel.check_plan(again, shop).ok


def test_the_lines_of_the_readme_print_the_sheet(tmp_path: Path) -> None:
    """Five lines, run as they stand, in a folder with the demo files."""
    (lines,) = python_lines("README.md")
    assert len([line for line in lines.splitlines() if line.strip()]) == 5
    for name in ("bush", "inch-lathe"):
        (tmp_path / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    done = subprocess.run((sys.executable, "-c", lines), cwd=tmp_path, capture_output=True, check=True)
    plan, shop, _ = demo_job("bush", "inch-lathe")
    assert done.stdout.decode().replace("\r\n", "\n").rstrip("\n") == print_sheet(plan, shop).rstrip("\n")
