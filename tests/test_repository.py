"""The repository as a stranger gets it: pins, README, paths, docstrings, the wheel."""

from __future__ import annotations

import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

import dev
from tests.repository_rules import (
    docstring_fault,
    is_called,
    machine_path_lines,
    missing_pins,
    readme_faults,
    tasks_named,
    unexplained_exceptions,
    unpinned_lines,
)

ROOT = Path(__file__).resolve().parent.parent
COMMANDS = ("python3 dev.py demo", "python3 dev.py test")
CODE = [
    *(path for folder in ("src", "tests", "benchmarks", "site") for path in (ROOT / folder).rglob("*.py")),
    ROOT / "dev.py",
]
TEXT_SUFFIXES = {".py", ".md", ".toml", ".csv", ".txt", ".svg", ".typ", ".html", ".css", ".js"}


def read(path: Path | str) -> str:
    return (ROOT / path).read_text(encoding="utf-8")


def texts() -> list[Path]:
    """Every text file that a release holds."""
    folders = ("src", "docs", "tests", "benchmarks", "site", ".ci")
    inside = [path for folder in folders for path in (ROOT / folder).rglob("*") if path.is_file()]
    beside = [path for path in ROOT.iterdir() if path.is_file()]
    return [path for path in (*inside, *beside) if path.suffix in TEXT_SUFFIXES or path.parent.name == ".ci"]


def as_names(paths: list[Path]) -> list[str]:
    return [path.relative_to(ROOT).as_posix() for path in paths]


def is_left_behind_by_a_tool(name: str) -> bool:
    return any(part == "__pycache__" or part.startswith(".") for part in name.split("/"))


def test_every_line_of_the_constraints_is_an_exact_pin() -> None:
    assert unpinned_lines(read("constraints.txt")) == []


def test_no_pin_or_lock_file_names_a_host() -> None:
    locks = [*ROOT.glob("*.lock"), *ROOT.glob("*constraints*.txt"), *ROOT.glob("requirements*.txt")]
    assert ROOT / "constraints.txt" in locks
    assert [path.name for path in locks if "://" in read(path)] == []


def test_every_requirement_is_pinned() -> None:
    project = tomllib.loads(read("pyproject.toml"))["project"]
    requirements = [
        *project["dependencies"],
        *(each for extra in project["optional-dependencies"].values() for each in extra),
    ]
    assert missing_pins(read("constraints.txt"), requirements) == set()


def test_the_readme_opens_with_the_job_and_the_two_commands() -> None:
    assert readme_faults(read("README.md"), commands=COMMANDS) == []


def test_every_task_that_the_documents_name_exists() -> None:
    documents = [ROOT / "README.md", *(ROOT / "docs").rglob("*.md")]
    named = {task for path in documents for task in tasks_named(read(path))}
    assert {"demo", "test"} <= named <= set(dev.TASKS)


def test_a_task_is_found_wherever_it_is_named() -> None:
    assert tasks_named("`python dev.py bench startup`, then\npython3 dev.py deploy") == {"bench", "deploy"}


def test_continuous_integration_runs_the_test_command_of_the_readme() -> None:
    assert is_called(read(".ci/run"), "python3 dev.py test")


def test_no_file_names_a_folder_of_one_machine() -> None:
    found = {name: machine_path_lines(read(name)) for name in as_names(texts())}
    assert {name: lines for name, lines in found.items() if lines} == {}


def test_the_index_of_the_documents_lists_every_decision() -> None:
    index = read("docs/index.md")
    decisions = sorted((ROOT / "docs" / "decisions").glob("*.md"))
    assert decisions
    assert [path.name for path in decisions if f"(decisions/{path.name})" not in index] == []


@pytest.mark.parametrize("name", as_names(CODE))
def test_a_module_says_in_its_first_line_what_it_is_for(name: str) -> None:
    assert docstring_fault(read(name)) is None


@pytest.mark.parametrize("name", as_names(CODE))
def test_a_check_is_switched_off_only_with_a_reason(name: str) -> None:
    assert unexplained_exceptions(read(name)) == []


def test_the_wheel_holds_every_file_of_the_package(tmp_path: Path) -> None:
    """A table or a demo file left out would show only on somebody else's machine."""
    build = (sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(tmp_path))
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    source = ROOT / "src"
    there = {path.relative_to(source).as_posix() for path in source.rglob("*") if path.is_file()}
    assert packed == {name for name in there if not is_left_behind_by_a_tool(name)}


@pytest.mark.parametrize(
    "line",
    [
        "shapely @ https://example.invalid/shapely.whl",
        "--index-url https://example.invalid/simple",
        "-e .",
        "./wheels/shapely.whl",
        "shapely>=2.0",
        "shapely",
        "",
        "# shapely==2.0",
        "shapely==2.1 --hash=sha256:00",
    ],
)
def test_a_line_that_is_no_pin_is_reported(line: str) -> None:
    assert unpinned_lines(f"click==8.1.7\n{line}\n") == [line]


@pytest.mark.parametrize(
    "line",
    [
        "click==8.1.7",
        "jsonschema-specifications==2025.9.1",
        "numpy==2.4.6 ; python_full_version < '3.12'",
        "colorama==0.4.6 ; sys_platform == 'win32'",
    ],
)
def test_a_pin_is_not_reported(line: str) -> None:
    assert unpinned_lines(line) == []


def test_a_requirement_without_a_pin_is_named() -> None:
    assert missing_pins("click==8.1.7\ncoverage==7.6", ["coverage[toml]>=7.6", "click>=8", "rich>=13"]) == {"rich"}


@pytest.mark.parametrize("folder", ["work", "root", "tmp", "home", "opt", "Users"])
def test_a_path_of_one_machine_is_reported(folder: str) -> None:
    assert machine_path_lines(f"first line\nread '/{folder}/me/shop.toml' and\n") == [2]


@pytest.mark.parametrize("text", ["docs/work/order.md", "rough/finish", "a bar/work/holding drawing", "m/min"])
def test_other_slashes_are_not_reported(text: str) -> None:
    assert machine_path_lines(text) == []


@pytest.mark.parametrize(
    ("code", "fault"),
    [
        ("x = 1\n", "has no docstring"),
        ("# A comment.\n", "has no docstring"),
        ('"""No full stop"""\n', "not one sentence"),
        ('"""A sentence that runs on\nover two lines."""\n', "not one sentence"),
        ('"""One sentence.\nAnd another at once."""\n', "not set off"),
        (f'"""{"long " * 30}."""\n', "not one sentence"),
    ],
)
def test_a_poor_module_docstring_is_reported(code: str, fault: str) -> None:
    assert fault in (docstring_fault(code) or "")


@pytest.mark.parametrize("code", ['"""One sentence."""\n', '"""One sentence.\n\nMore about it.\n"""\n'])
def test_a_good_module_docstring_is_not_reported(code: str) -> None:
    assert docstring_fault(code) is None


@pytest.mark.parametrize(
    "comment",
    ["noqa", "noqa: S603", "noqa: S603, T201", "type: ignore", "type: ignore[misc]", "noqa: S603 - ok"],
)
def test_an_exception_without_reason_is_reported(comment: str) -> None:
    assert unexplained_exceptions(f"x = 1\ny = 2  # {comment}\n") == [2]


@pytest.mark.parametrize(
    "comment",
    [
        "noqa: S603 - the arguments are our own",
        "type: ignore[misc]  # the library has no types",
        "an ordinary remark",
    ],
)
def test_an_exception_with_its_reason_is_not_reported(comment: str) -> None:
    assert unexplained_exceptions(f"x = 1  # {comment}\n") == []


JOB = "word " * 40
BLOCK = "```\npython3 dev.py demo\npython3 dev.py test\n```\n"


@pytest.mark.parametrize(
    ("readme", "fault"),
    [
        (f"{JOB}\n\n{JOB}\n\n{BLOCK}", "title"),
        (f"# handwheel\n\nA tool.\n\n{BLOCK}", "state the job"),
        (f"# handwheel\n\n## Install\n\n{JOB}\n\n{BLOCK}", "state the job"),
        (f"# handwheel\n\n{JOB}\n\n```\npython3 dev.py demo\n```\n", "lacks: python3 dev.py test"),
        (f"# handwheel\n\n{JOB}\n\npython3 dev.py demo, python3 dev.py test\n", "lacks: python3 dev.py demo"),
    ],
)
def test_a_readme_that_hides_the_job_or_the_commands_is_reported(readme: str, fault: str) -> None:
    assert any(fault in found for found in readme_faults(readme, commands=COMMANDS))


def test_a_readme_with_job_and_commands_is_not_reported() -> None:
    assert readme_faults(f"# handwheel\n\n{JOB}\n\n{BLOCK}", commands=COMMANDS) == []


@pytest.mark.parametrize(
    ("script", "called"),
    [
        ("python3 dev.py test || status=1\n", True),
        ("python3 dev.py test\n", True),
        ("python3 dev.py test -k fast\n", False),
        ("# python3 dev.py test\n", False),
        ("echo python3 dev.py test\n", False),
    ],
)
def test_a_script_counts_only_if_it_runs_the_whole_command(script: str, *, called: bool) -> None:
    assert is_called(script, "python3 dev.py test") is called
