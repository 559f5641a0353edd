"""What the Tab key offers, asked the way a shell asks."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from handwheel.cli.completion import SHELLS, VARIABLE
from handwheel.cli.main import run
from handwheel.service.codec import plan_to_json
from handwheel.service.demo import demo_text
from tests.demo_plans import demo_plan


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Folder with files of several kinds, and folders."""
    for name in ("bush.toml", "inch-lathe.toml"):
        (tmp_path / name).write_text(demo_text(name.removesuffix(".toml")), encoding="utf-8")
    (tmp_path / "notes.txt").touch()
    (tmp_path / "older").mkdir()
    (tmp_path / "plan.json").write_text(plan_to_json(demo_plan("bush", "inch-lathe")), encoding="utf-8")
    return tmp_path


def offered(folder: Path, line: str) -> list[str]:
    """Values that a shell would offer at the end of a line."""
    words = line.split(" ")
    asked = {VARIABLE: "bash_complete", "COMP_WORDS": line, "COMP_CWORD": str(len(words) - 1)}
    done = subprocess.run(
        (sys.executable, "-m", "handwheel"),
        cwd=folder,
        env={**os.environ, **asked},
        capture_output=True,
        check=True,
        text=True,
    )
    return [answer.partition(",")[2] for answer in done.stdout.splitlines() if answer]


@pytest.mark.parametrize(
    ("line", "values"),
    [
        ("handwheel pl", ["plan"]),
        ("handwheel plan ", ["bush.toml", "inch-lathe.toml", "older/"]),
        ("handwheel plan bush.toml --shop in", ["inch-lathe.toml"]),
        ("handwheel plan bush.toml --words a", ["american"]),
        ("handwheel check ", ["plan.json", "older/"]),
        ("handwheel draw pl", ["plan.json"]),
        ("handwheel explain plan.json 1", ["1", "10", "11", "12", "13", "14", "15", "16", "17"]),
        ("handwheel explain none.json ", []),
        ("handwheel metal ti_", ["ti_gr2", "ti_gr5"]),
    ],
)
def test_tab_offers_what_can_come_next(folder: Path, line: str, values: list[str]) -> None:
    assert offered(folder, line) == values


def test_where_no_such_file_lies_the_shell_offers_its_own(folder: Path) -> None:
    assert offered(folder / "older", "handwheel plan x") == ["x"]


@pytest.mark.parametrize("shell", SHELLS)
def test_the_script_for_a_shell_is_printed(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["completion", shell]) == 0
    script = capsys.readouterr().out
    assert f"{VARIABLE}={shell}_complete" in script
    assert "handwheel" in script


def test_bash_reads_the_script(folder: Path) -> None:
    bash = shutil.which("bash")
    if bash is None:
        pytest.skip("this machine has no bash")
    script = f"""eval "$({sys.executable} -m handwheel completion bash)" && complete -p handwheel"""
    done = subprocess.run((bash, "-c", script), cwd=folder, capture_output=True, check=False, text=True)
    assert done.returncode == 0, done.stderr
    assert "-F _handwheel_completion" in done.stdout


def test_a_shell_that_is_none_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["completion", "dos"]) == 2
    assert "'fish'" in capsys.readouterr().err
