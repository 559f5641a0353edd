"""dev.py decides rightly what to install and what to run; installing itself is left to a real run."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import dev

ROOT = Path(dev.__file__).resolve().parent


@pytest.fixture
def environment(tmp_path: Path) -> dev.Environment:
    """Environment of a small tree in which everything was installed."""
    (tmp_path / "pyproject.toml").write_text("[project]\n", encoding="utf-8")
    (tmp_path / "constraints.txt").write_text("click==8.1.7\n", encoding="utf-8")
    made = dev.Environment(tmp_path)
    made.python.parent.mkdir(parents=True)
    made.python.touch()
    made.record(needs_dev=True)
    return made


def test_a_finished_environment_is_ready_for_every_task(environment: dev.Environment) -> None:
    assert environment.is_ready(needs_dev=True)
    assert environment.is_ready(needs_dev=False)


def test_an_environment_for_the_demo_is_not_ready_for_the_tests(environment: dev.Environment) -> None:
    environment.record(needs_dev=False)
    assert environment.is_ready(needs_dev=False)
    assert not environment.is_ready(needs_dev=True)


@pytest.mark.parametrize("name", ["pyproject.toml", "constraints.txt"])
def test_a_changed_requirement_calls_for_a_new_install(environment: dev.Environment, name: str) -> None:
    with (environment.root / name).open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    assert not environment.is_ready(needs_dev=False)


def test_an_interrupted_install_is_not_ready(environment: dev.Environment) -> None:
    environment.note.unlink()
    assert not environment.is_ready(needs_dev=False)


def test_an_environment_without_its_interpreter_is_not_ready(environment: dev.Environment) -> None:
    environment.python.unlink()
    assert not environment.is_ready(needs_dev=False)


def test_a_copied_environment_is_not_ready(environment: dev.Environment, tmp_path: Path) -> None:
    """It would go on running the source of the tree it was copied from."""
    copy = dev.Environment(tmp_path / "copy")
    copy.root.mkdir()
    for name in ("pyproject.toml", "constraints.txt"):
        (copy.root / name).write_bytes((environment.root / name).read_bytes())
    assert copy.fingerprint() != environment.fingerprint()


def test_a_missing_module_is_explained() -> None:
    with pytest.raises(dev.DevError, match=r"no no_such_module module.*\n.*apt install python3-venv"):
        dev.require_modules(("sys", "no_such_module"))


@pytest.mark.parametrize("task", ["test", "check"])
def test_arguments_after_the_task_go_to_pytest(task: str) -> None:
    tests = dev.TASKS[task].steps(("-k", "dial"))[-1]
    assert tests.arguments[:2] == ("-m", "pytest")
    assert tests.arguments[-2:] == ("-k", "dial")


def test_check_holds_the_tests_to_the_coverage_floor() -> None:
    steps = dev.TASKS["check"].steps(())
    assert [step.name for step in steps] == ["format", "rules", "types", "documents", "tests"]
    assert f"--cov-fail-under={dev.COVERAGE_FLOOR_PERCENT}" in steps[-1].arguments


def test_the_demo_needs_no_development_tools() -> None:
    assert not dev.TASKS["demo"].needs_dev
    assert dev.TASKS["demo"].steps(())[0].arguments == ("-m", "handwheel", "demo", "--out", "demo-out")


def test_bench_runs_every_script_or_the_one_named() -> None:
    scripts = sorted(str(path) for path in ROOT.glob("benchmarks/bench_*.py"))
    assert [step.arguments for step in dev.bench_steps(())] == [(script,) for script in scripts]
    assert [step.name for step in dev.bench_steps(("startup",))] == ["startup"]


def test_a_step_finds_the_benchmarks_and_the_tests_by_name(
    environment: dev.Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    given: list[dict[str, str]] = []

    def run(_command: object, *, env: dict[str, str], **_rest: object) -> subprocess.CompletedProcess[bytes]:
        given.append(env)
        return subprocess.CompletedProcess((), 0)

    monkeypatch.setenv("PYTHONPATH", "elsewhere")
    monkeypatch.setattr(subprocess, "run", run)
    assert dev.run_steps((dev.Step("passes", ("bench_passes.py",)),), environment) == 0
    assert given[0]["PYTHONPATH"].split(os.pathsep) == [str(environment.root), "elsewhere"]


def test_bench_names_the_benchmarks_there_are() -> None:
    with pytest.raises(dev.DevError, match=r"no benchmark turbo; choose from: .*startup"):
        dev.bench_steps(("turbo",))


@pytest.mark.parametrize("task", ["lint", "format"])
def test_a_task_without_arguments_refuses_them(task: str) -> None:
    with pytest.raises(dev.DevError, match="takes no arguments, got: src"):
        dev.TASKS[task].steps(("src",))


@pytest.mark.parametrize("arguments", [(), ("deploy",)])
def test_an_unknown_task_lists_the_known_ones(arguments: tuple[str, ...], capfd: pytest.CaptureFixture[str]) -> None:
    assert dev.main(arguments) == 2
    listed = capfd.readouterr().err
    assert all(f"  {name} " in listed for name in dev.TASKS)


def test_every_step_runs_and_the_first_failure_decides(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    environment = dev.Environment(tmp_path)
    environment.python.parent.mkdir(parents=True)
    environment.python.symlink_to(sys.executable)
    steps = [dev.Step(f"exit {code}", ("-c", f"raise SystemExit({code})")) for code in (0, 5, 1)]
    assert dev.run_steps(steps, environment) == 5
    assert capfd.readouterr().out.splitlines() == ["exit 0: ok", "exit 5: FAILED", "exit 1: FAILED"]
