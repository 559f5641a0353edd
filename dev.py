#!/usr/bin/env python3
"""Make the environment if needed, then run one task of this repository.

Needs only Python 3.11 or newer, on Linux, macOS or Windows. ``python dev.py`` alone lists the tasks.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

COVERAGE_FLOOR_PERCENT = 90
"""Least share of lines and branches of the pure rooms that ``check`` accepts; raised, never lowered."""

OLDEST_PYTHON = (3, 11)
DEMO_FOLDER = "demo-out"

VENV_MISSING = """\
This Python has no {module} module, so it cannot make a virtual environment.
On Debian or Ubuntu: sudo apt install python3-venv
Elsewhere: install Python 3.11 or newer complete with venv and ensurepip. Then run the same command again."""
VENV_FAILED = """\
Python could not make the virtual environment in {folder}; its own message stands above.
On Debian or Ubuntu it is usually mended by: sudo apt install python3-venv
If {folder} is a half-made environment, move it away. Then run the same command again."""
VENV_BROKEN = """\
{folder} is there, but its installer (pip) does not work, and making it anew over the old one did not help.
Move {folder} away, then run the same command again."""
INSTALL_FAILED = """\
The packages could not be installed; the installer's own message stands above.
The first run needs the network; later runs do not, unless pyproject.toml or constraints.txt changed.
Nothing is half done that a second run would not mend: run the same command again."""


class DevError(Exception):
    """The task cannot start; the text says why and what to do."""


@dataclass(frozen=True)
class Step:
    """One program to run: a name for the report, and what follows ``python`` on its command line."""

    name: str
    arguments: tuple[str, ...]


@dataclass(frozen=True)
class Task:
    """What one word after ``dev.py`` does."""

    help: str
    steps: Callable[[Sequence[str]], tuple[Step, ...]]
    needs_dev: bool = True


@dataclass(frozen=True)
class Environment:
    """The virtual environment ``.venv`` beside this file, and the note of what was installed there."""

    root: Path

    @property
    def folder(self) -> Path:
        """Where the environment stands."""
        return self.root / ".venv"

    @property
    def python(self) -> Path:
        """Its interpreter; Windows keeps it elsewhere."""
        return self.folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

    @property
    def note(self) -> Path:
        """File that says what was installed; written last, so an interrupted install leaves none."""
        return self.folder / "handwheel-installed.txt"

    def fingerprint(self) -> str:
        """Hash of all that decides what gets installed.

        The folder is part of it: a copied tree would otherwise go on running the original's source.
        """
        digest = hashlib.sha256(str(self.root).encode())
        for name in ("pyproject.toml", "constraints.txt"):
            digest.update(b"\0" + (self.root / name).read_bytes())
        return digest.hexdigest()

    def is_ready(self, *, needs_dev: bool) -> bool:
        """Whether the right packages are there; the tools for development include all that a user needs."""
        if not (self.python.exists() and self.note.exists()):
            return False
        fingerprint, _, level = self.note.read_text(encoding="utf-8").strip().partition(" ")
        return fingerprint == self.fingerprint() and (level == "dev" or not needs_dev)

    def record(self, *, needs_dev: bool) -> None:
        """Note that the packages are installed."""
        level = "dev" if needs_dev else "run"
        self.note.write_text(f"{self.fingerprint()} {level}\n", encoding="utf-8")


def require_modules(names: Sequence[str]) -> None:
    """Raise `DevError` if this Python lacks a module that a virtual environment needs."""
    for name in names:
        if importlib.util.find_spec(name) is None:
            raise DevError(VENV_MISSING.format(module=name))


def succeeds(arguments: Sequence[str], *, root: Path) -> bool:
    """Run a program where its output can be seen; say whether it succeeded."""
    return subprocess.run(arguments, cwd=root, check=False).returncode == 0


def make_environment(environment: Environment) -> None:
    """Make ``.venv``, or complete one that was interrupted; nothing in it is deleted."""
    require_modules(("venv", "ensurepip"))
    print(f"Making {environment.folder} ...", flush=True)
    if not succeeds((sys.executable, "-m", "venv", str(environment.folder)), root=environment.root):
        raise DevError(VENV_FAILED.format(folder=environment.folder))


def install_packages(environment: Environment, *, needs_dev: bool) -> None:
    """Install this tree (editable) and the pinned versions of what it needs."""
    print("Installing pinned packages; this takes a minute or two, once ...", flush=True)
    pip = (str(environment.python), "-m", "pip", "--disable-pip-version-check", "install", "--quiet")
    target = ".[dev,docs]" if needs_dev else "."
    if not succeeds((*pip, "--constraint", "constraints.txt", "--editable", target), root=environment.root):
        raise DevError(INSTALL_FAILED)


def has_pip(environment: Environment) -> bool:
    """Whether the environment's interpreter runs and can install packages."""
    if not environment.python.exists():
        return False
    probe = (str(environment.python), "-c", "import pip")
    return subprocess.run(probe, capture_output=True, check=False).returncode == 0


def prepare(environment: Environment, *, needs_dev: bool) -> None:
    """Bring the environment up to date; does nothing, and fast, if it already is."""
    if environment.is_ready(needs_dev=needs_dev):
        return
    if not has_pip(environment):
        make_environment(environment)
    if not has_pip(environment):
        raise DevError(VENV_BROKEN.format(folder=environment.folder))
    install_packages(environment, needs_dev=needs_dev)
    environment.record(needs_dev=needs_dev)


def demo_steps(extra: Sequence[str]) -> tuple[Step, ...]:
    """Plan the built-in demo part on the built-in demo lathe."""
    return (Step("demo", ("-m", "handwheel", "demo", "--out", DEMO_FOLDER, *extra)),)


def test_steps(extra: Sequence[str]) -> tuple[Step, ...]:
    """Run tests and doctests on all cores; ``extra`` goes to pytest."""
    return (Step("tests", ("-m", "pytest", "-n", "auto", "--dist", "worksteal", *extra)),)


def lint_steps(extra: Sequence[str]) -> tuple[Step, ...]:
    """Check form, rules and types of the whole tree."""
    refuse_extra(extra)
    return (
        Step("format", ("-m", "ruff", "format", "--check", ".")),
        Step("rules", ("-m", "ruff", "check", ".")),
        Step("types", ("-m", "mypy")),
    )


def docs_steps(extra: Sequence[str]) -> tuple[Step, ...]:
    """Build the documents as a site into ``build/site``; a warning is an error (mkdocs.yml says so)."""
    refuse_extra(extra)
    return (Step("documents", ("-m", "mkdocs", "build", "--quiet")),)


def check_steps(extra: Sequence[str]) -> tuple[Step, ...]:
    """Lint, build the documents, then test with the coverage floor; ``extra`` goes to pytest."""
    coverage = ("--cov", "--cov-report=term", f"--cov-fail-under={COVERAGE_FLOOR_PERCENT}")
    (tests,) = test_steps((*coverage, *extra))
    return (*lint_steps(()), *docs_steps(()), tests)


def bench_steps(extra: Sequence[str]) -> tuple[Step, ...]:
    """Run the benchmarks named (``startup`` for benchmarks/bench_startup.py), or all of them."""
    found = {path.stem.removeprefix("bench_"): path for path in Path(__file__).parent.glob("benchmarks/bench_*.py")}
    if not found:
        msg = "bench: there is no benchmarks/bench_*.py to run; is this a complete copy of the repository?"
        raise DevError(msg)
    unknown = sorted(set(extra) - set(found))
    if unknown:
        msg = f"bench: there is no benchmark {', '.join(unknown)}; choose from: {', '.join(sorted(found))}"
        raise DevError(msg)
    names = extra or sorted(found)
    return tuple(Step(name, (str(found[name]),)) for name in names)


def format_steps(extra: Sequence[str]) -> tuple[Step, ...]:
    """Put imports in order, then format every file in place."""
    refuse_extra(extra)
    return (
        Step("imports", ("-m", "ruff", "check", "--select", "I", "--fix", ".")),
        Step("format", ("-m", "ruff", "format", ".")),
    )


def refuse_extra(extra: Sequence[str]) -> None:
    """Raise `DevError` if a task without arguments was given some."""
    if extra:
        msg = f"this task takes no arguments, got: {' '.join(extra)}; leave them out"
        raise DevError(msg)


TASKS = {
    "demo": Task(f"plan the built-in demo part; writes {DEMO_FOLDER}/", demo_steps, needs_dev=False),
    "test": Task("run tests and doctests in parallel; arguments go to pytest", test_steps),
    "lint": Task("check format, rules and types", lint_steps),
    "docs": Task("build the documents as a site into build/site", docs_steps),
    "check": Task("lint, documents, then tests with coverage of the pure rooms", check_steps),
    "bench": Task("run the benchmarks, or those named", bench_steps),
    "format": Task("order imports and format every file", format_steps),
}


def usage() -> str:
    """List the tasks, one a line."""
    lines = [f"  {name:<8}{task.help}" for name, task in TASKS.items()]
    return "\n".join(("usage: python dev.py TASK [ARGUMENT ...]", "", *lines))


def run_steps(steps: Sequence[Step], environment: Environment) -> int:
    """Run every step, even after a failure; return the first exit code that is not 0."""
    # Windows would otherwise encode the sheet's signs by its code page.
    # The other silences an advertisement of the site's builder, which is no warning about these documents.
    # Benchmarks read what the tests have, by the folder's name; a script finds no more than its own folder.
    path = os.pathsep.join(filter(None, (str(environment.root), os.environ.get("PYTHONPATH", ""))))
    child = {**os.environ, "PYTHONPATH": path, "PYTHONUTF8": "1", "NO_MKDOCS_2_WARNING": "1"}
    codes = []
    for step in steps:
        command = (str(environment.python), *step.arguments)
        codes.append(subprocess.run(command, cwd=environment.root, env=child, check=False).returncode)
    if len(steps) > 1:
        for step, code in zip(steps, codes, strict=True):
            print(f"{step.name}: {'ok' if code == 0 else 'FAILED'}")
    return next((code for code in codes if code), 0)


def main(arguments: Sequence[str]) -> int:
    """Run the task named first; return the exit code."""
    if sys.version_info < OLDEST_PYTHON:
        print("handwheel needs Python 3.11 or newer; run this file with that one.", file=sys.stderr)
        return 2
    if not arguments or arguments[0] not in TASKS:
        asked_for_help = bool(arguments) and arguments[0] in {"-h", "--help", "help"}
        print(usage(), file=sys.stdout if asked_for_help else sys.stderr)
        return 0 if asked_for_help else 2
    task = TASKS[arguments[0]]
    environment = Environment(Path(__file__).resolve().parent)
    try:
        steps = task.steps(arguments[1:])
        prepare(environment, needs_dev=task.needs_dev)
        return run_steps(steps, environment)
    except DevError as error:
        print(f"dev.py: {error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("dev.py: stopped", file=sys.stderr)
        return 130


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
