"""How long the command line takes to answer: its help, a ring size, a plan of each demo part as a whole.

Each figure is the median of several fresh processes, what is compared taken in turns, so that a busy machine slows
both alike. The first run of each counts nowhere: it reads the disk and writes bytecode, which an installed package has.
The look-up of a ring size is judged by ``import numpy``, a plan by ``import numpy, shapely``, one with papers by
``import numpy, shapely, typst``: what programs of this kind spend before they begin. Exits with 1 if a target is
missed.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.jobs import PLAN_FILE
from handwheel.service.papers import DESK_FILE, SHEET_FILE

RUNS = 9
TARGET_ADDED_S = 0.5
"""Waiting that a person at a keyboard does not yet notice as waiting; own judgement, no source."""
TARGET_SIZE_S = 0.150
"""A ring size is looked up with the customer waiting; the target of this command on a quiet machine. [s]"""
MOST_IMPORTS = 1.0
"""The same in imports of numpy, one of which takes 133 ms on a quiet machine: the stricter of the two there."""
MOST_LIBRARIES = 2.0
"""A cold plan (read, plan, check, print, write) in imports of numpy and shapely; with papers in those and of typst."""

BARE = ("-c", "pass")
HELP = ("-m", "handwheel", "--help")
RING_SIZE = ("-m", "handwheel", "size", "US", "7")
NUMPY = ("-c", "import numpy")
LIBRARIES = ("-c", "import numpy, shapely")
LIBRARIES_OF_PAPERS = ("-c", "import numpy, shapely, typst")
PAPERS = ("--pdf",)
MADE = (PLAN_FILE, SHEET_FILE, DESK_FILE)
PHASES = """
import sys, time
from pathlib import Path
marks = [("interpreter and time", time.process_time())]
def mark(name):
    marks.append((name, time.process_time()))
import handwheel.cli.main
mark("command line")
from handwheel.service import jobs
mark("modules of ours")
part = jobs.read_part_file(Path(sys.argv[1]))
shop = jobs.read_shop_file(Path(sys.argv[2]))
mark("read both files")
plan = jobs.make_plan(part, shop)
mark("plan")
jobs.check_sheet(plan.sheet, shop)
mark("check")
jobs.print_sheet(plan, shop)
mark("print")
jobs.write_plan(plan, Path(sys.argv[3]))
mark("write")
from handwheel.report.paper.content import lathe_sheet
from handwheel.report.paper.typesetting import Paper, Template, typeset
from handwheel.service import papers
papers.get_ready()
mark("papers: get ready")
pictures = papers.pictures_of(plan, shop)
mark("papers: pictures")
content = lathe_sheet(plan, shop, pictures)
mark("papers: words")
typeset(Template.SHEET, content, paper=Paper.A4)
mark("papers: sheet set")
papers.desk_pdf(plan, shop, paper=Paper.A4)
mark("papers: desk")
before = 0.0
for name, at in marks:
    print(name, at - before, sep="\\t")
    before = at
"""
"""What `handwheel plan --pdf` does, phase by phase, in processor time; a second process sets the papers, if it can."""


def child_environment() -> dict[str, str]:
    """Environment of a process as an installed program has it: it may keep bytecode."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def elapsed_s(arguments: Sequence[str], *, made: Iterable[Path] = ()) -> float:
    """Wall time of one fresh interpreter with these arguments; files that it makes are taken away first. [s]"""
    for file in made:
        file.unlink(missing_ok=True)
    start = time.perf_counter()
    subprocess.run(
        (sys.executable, *arguments),
        check=True,
        env=child_environment(),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    return time.perf_counter() - start


def medians_s(*commands: Sequence[str], made: Sequence[Path] = ()) -> list[float]:
    """Median wall time of each command over `RUNS` fresh interpreters, taken in turns. [s]"""
    for command in commands:
        elapsed_s(command)
    taken = [[elapsed_s(command, made=made) for command in commands] for _ in range(RUNS)]
    return [statistics.median(times) for times in zip(*taken, strict=True)]


def answers() -> Iterator[bool]:
    """Time of the help text and of a ring size; whether each target is met."""
    bare_s, help_s, size_s, numpy_s = medians_s(BARE, HELP, RING_SIZE, NUMPY)
    added_s = help_s - bare_s
    imports = size_s / numpy_s
    print(f"bare interpreter    {bare_s * 1e3:4.0f} ms, median of {RUNS}")
    print(f"import numpy        {numpy_s * 1e3:4.0f} ms, median of {RUNS}")
    print(f"handwheel --help    {help_s * 1e3:4.0f} ms, median of {RUNS}")
    print(f"added by handwheel  {added_s * 1e3:4.0f} ms, {verdict(added_s, TARGET_ADDED_S)} of {TARGET_ADDED_S} s")
    print(
        f"handwheel size US 7 {size_s * 1e3:4.0f} ms, {verdict(size_s, TARGET_SIZE_S)} of {TARGET_SIZE_S} s when quiet"
    )
    print(f"import numpy times  {imports:4.2f}, {verdict(imports, MOST_IMPORTS)} of {MOST_IMPORTS}")
    yield added_s <= TARGET_ADDED_S
    yield imports <= MOST_IMPORTS


def plans(folder: Path) -> Iterator[bool]:
    """Time of each demo plan in imports of libraries, without papers and with them; whether each target is met."""
    made = [folder / name for name in MADE]
    for part in DEMO_PARTS:
        for shop in DEMO_SHOPS:
            plan = plan_command(part, shop, folder)
            kinds = (("plan", LIBRARIES, plan), ("papers", LIBRARIES_OF_PAPERS, (*plan, *PAPERS)))
            for kind, imports, command in kinds:
                libraries_s, plan_s = medians_s(imports, command, made=made)
                ratio = plan_s / libraries_s
                print(
                    f"{kind} {part}, {shop}".ljust(28),
                    f"{plan_s * 1e3:4.0f} ms, {imports[-1]} {libraries_s * 1e3:4.0f} ms, times {ratio:4.2f},",
                    f"{verdict(ratio, MOST_LIBRARIES)} of {MOST_LIBRARIES}",
                    flush=True,
                )
                yield ratio <= MOST_LIBRARIES


def plan_command(part: str, shop: str, folder: Path) -> tuple[str, ...]:
    """Plan a demo part as a user does, with the files written beside the plan."""
    for name in (part, shop):
        (folder / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    files = (str(folder / f"{part}.toml"), "--shop", str(folder / f"{shop}.toml"))
    return ("-m", "handwheel", "plan", *files, "--out", str(folder), "--plain")


def print_phases(part: str, shop: str, folder: Path) -> None:
    """Print where the time of a plan goes: the median processor time of each phase."""
    command = (sys.executable, "-c", PHASES, *(str(folder / f"{name}.toml") for name in (part, shop)), str(folder))
    taken: dict[str, list[float]] = {}
    for _ in range(RUNS):
        done = subprocess.run(command, check=True, env=child_environment(), capture_output=True, text=True)
        for line in done.stdout.splitlines():
            name, seconds = line.split("\t")
            taken.setdefault(name, []).append(float(seconds))
    print(f"where it goes, {part}, {shop}, processor time:")
    for name, times in taken.items():
        print(f"  {name:<24}{statistics.median(times) * 1e3:5.1f} ms")


def main() -> int:
    """Print the times and what they come to; return 1 if a target is missed."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        met = [*answers(), *plans(folder)]
        print_phases(DEMO_PARTS[0], DEMO_SHOPS[0], folder)
    return 0 if all(met) else 1


def verdict(found: float, target: float) -> str:
    """Whether a figure is within its target."""
    return f"{'within' if found <= target else 'ABOVE'} the target"


if __name__ == "__main__":
    raise SystemExit(main())
