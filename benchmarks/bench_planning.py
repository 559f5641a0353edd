"""How long planning takes: one part, a thousand different parts, and the cold command.

``--quick`` plans fewer parts and repeats less, for continuous integration. Exits with 1 if a target is missed, if a
part that should be feasible has no plan, or if the command is not there. Times depend on the machine, so the plan of
one part is also given as a multiple of a reference operation measured in the same run: 1,000 polygon differences.
Times in this process are processor time; those of fresh processes are on the wall.
"""

from __future__ import annotations

import argparse
import importlib.util
import random
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from functools import partial
from math import cos, pi, sin
from pathlib import Path
from typing import TYPE_CHECKING

import shapely

from handwheel.domain.errors import NoPlanError
from handwheel.planner.planner import make_plan
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from handwheel.domain.part import Part
    from handwheel.domain.shop import Shop

TARGET_ONE_MS = 100.0
"""Planning again after a changed size should feel instant; own judgement, no source."""
TARGET_GROWTH = 1.2
"""Ten times as many parts may take at most this many times ten times as long: nothing piles up between plans."""
TARGET_COLD_ADDED_S = 1.0
"""What the whole command may add to loading the numeric libraries; own judgement, no source."""
SEED = 20240229
LEAST_WIDTH_MM = 5.0
"""What is narrower may, with the walls drawn here, be sprung too far by the jaws and be too short for a mandrel."""
REFERENCE_DIFFERENCES = 1000
LIBRARIES = ("-c", "import numpy, shapely")

PART = """\
kind = "plain-ring"
name = "ring {number}"
metal = "{metal}"
units = "mm"
[bore]
diameter = {bore}
{bore_limits}
[outside]
diameter = {outside}
plus_minus = 0.1
[width]
length = {width}
plus_minus = 0.1
[edges]
plus_minus = 0.15
front_outer = {{ along = {edge}, across = {edge} }}
front_inner = {{ along = {edge}, across = {edge} }}
back_outer = {{ along = {edge}, across = {edge} }}
back_inner = {{ along = {edge}, across = {edge} }}
"""


@dataclass(frozen=True)
class Recipe:
    """What parts are drawn from: metal, limits of the bore, the shop, the least bore that it can make."""

    metal: str
    bore_limits: str
    shop: str
    least_bore_mm: float


BAND, BUSH = "plus_minus = 0.06", 'plus_minus = 0.0165\ntrue_to = "outside"'
"""Bore limits of the two demo parts: set by the cross-slide, and by the swung top slide."""
RECIPES = (
    Recipe("ti_gr2", BAND, "inch-lathe", 16.0),
    Recipe("cu_cw307g", BUSH, "inch-lathe", 16.0),
    # Its boring bar of 12 mm with a head of 2 needs a hole that only the drill of 16 makes; in bronze, where only
    # dubbed lips may open a hole, the one of 18.
    Recipe("ti_gr2", BAND, "metric-lathe", 17.1),
    Recipe("cu_cw307g", BUSH, "metric-lathe", 19.1),
)


@dataclass(frozen=True)
class Effort:
    """How much is run."""

    repeats: int
    parts: int
    processes: int


FULL = Effort(repeats=20, parts=1000, processes=9)
QUICK = Effort(repeats=5, parts=200, processes=3)


@dataclass(frozen=True)
class Row:
    """One line of the result: what, how much, against which target, whether it is met (nothing: no target)."""

    what: str
    found: str
    target: str = ""
    met: bool | None = None

    @property
    def verdict(self) -> str:
        """Word that stands at the end of the line."""
        return {None: "", True: "met", False: "MISSED"}[self.met]


def busy_s(work: Callable[[], object]) -> float:
    """Processor time of one call: what other programs do meanwhile does not count. [s]"""
    start = time.process_time()
    work()
    return time.process_time() - start


def wall_s(work: Callable[[], object]) -> float:
    """Time on the wall of one call, for what runs in another process. [s]"""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def demo_job(part: str, shop: str) -> tuple[Part, Shop]:
    """Demo part and shop."""
    return read_part(demo_text(part), name=part), read_shop(demo_text(shop), name=shop)


# one part ------------------------------------------------------------------------------------------------------------


def reference_work() -> Callable[[], None]:
    """Return what takes a notched disc out of another, a thousand times; the polygons are fixed."""

    def disc(z: float, teeth: int) -> object:
        turns = [2.0 * pi * i / (2 * teeth) for i in range(2 * teeth)]
        return shapely.polygons([(z + (10.0 + i % 2) * cos(t), (10.0 + i % 2) * sin(t)) for i, t in enumerate(turns)])

    first, second = disc(0.0, 24), disc(4.0, 31)

    def work() -> None:
        for _ in range(REFERENCE_DIFFERENCES):
            shapely.difference(first, second)

    return work


def one_part_rows(effort: Effort) -> Iterator[Row]:
    """Median time of planning each demo part in each demo shop, beside the reference operation."""
    jobs = {(part, shop): demo_job(part, shop) for part in DEMO_PARTS for shop in DEMO_SHOPS}
    reference = reference_work()
    reference()
    taken: dict[tuple[str, str], list[float]] = {name: [] for name in jobs}
    reference_s: list[float] = []
    for job in jobs.values():
        make_plan(*job)
    for _ in range(effort.repeats):
        reference_s.append(busy_s(reference))
        for name, job in jobs.items():
            taken[name].append(busy_s(partial(make_plan, *job)))
    unit_s = statistics.median(reference_s)
    yield Row(f"reference: {REFERENCE_DIFFERENCES} polygon differences", f"{unit_s * 1e3:.1f} ms")
    for (part, shop), times in taken.items():
        median_s = statistics.median(times)
        yield Row(
            f"plan {part}, {shop}",
            f"{median_s * 1e3:.1f} ms = {median_s / unit_s:.2f} references",
            f"at most {TARGET_ONE_MS:.0f} ms",
            median_s * 1e3 <= TARGET_ONE_MS,
        )


# many parts ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Order:
    """One part to be planned and the shop it is for."""

    part: Part
    shop: Shop


def spread(chance: random.Random, count: int, low: float, high: float) -> list[float]:
    """Sizes in random order, one from each of ``count`` equal shares of a range: few cover it as evenly as many."""
    sizes = [low + (high - low) * (i + chance.random()) / count for i in range(count)]
    chance.shuffle(sizes)
    return sizes


def different_orders(count: int, *, seed: int) -> tuple[Order, ...]:
    """Seeded variations of the demo parts, as many of each recipe, of sizes that its shop can make and measure."""
    chance = random.Random(seed)  # noqa: S311 - sizes of test parts, no secret
    shops = {name: read_shop(demo_text(name), name=name) for name in DEMO_SHOPS}
    each = count // len(RECIPES)
    found: list[Order] = []
    for recipe in RECIPES:
        ranges = ((recipe.least_bore_mm, 19.5), (22.0, 23.8), (LEAST_WIDTH_MM, 10.0), (0.3, 0.6))
        for sizes in zip(*(spread(chance, each, low, high) for low, high in ranges), strict=True):
            bore, outside, width, edge = (round(size, 3) for size in sizes)
            text = PART.format(
                metal=recipe.metal,
                bore_limits=recipe.bore_limits,
                number=len(found),
                bore=bore,
                outside=outside,
                width=width,
                edge=edge,
            )
            found.append(Order(read_part(text, name=f"ring {len(found)}"), shops[recipe.shop]))
    return tuple(found)


@dataclass(frozen=True)
class Run:
    """How a run over many parts went."""

    seconds: float
    failures: tuple[str, ...]
    plans: frozenset[str]


def plan_all(orders: Sequence[Order]) -> Run:
    """Plan every part; one without a plan is counted, not passed over."""
    failures: list[str] = []
    plans: set[str] = set()

    def work() -> None:
        for order in orders:
            try:
                plans.add(make_plan(order.part, order.shop).id)
            except NoPlanError as error:
                failures.append(" ".join(str(error).split())[:200])

    return Run(busy_s(work), tuple(failures), frozenset(plans))


def many_parts_rows(effort: Effort) -> Iterator[Row]:
    """Time of many different parts against ten times that of a tenth of them."""
    few_count = effort.parts // 10
    few_orders, many_orders = (different_orders(count, seed=SEED + count) for count in (few_count, effort.parts))
    few, many = plan_all(few_orders), plan_all(many_orders)
    failures, plans = (*few.failures, *many.failures), few.plans | many.plans
    growth = many.seconds / (10.0 * few.seconds)
    yield Row(f"{few_count} different parts", f"{few.seconds:.1f} s")
    yield Row(
        f"{effort.parts} different parts",
        f"{many.seconds:.1f} s = {growth:.2f} x 10 x {few_count} parts",
        f"at most {TARGET_GROWTH:g}",
        growth <= TARGET_GROWTH,
    )
    tried = len(few_orders) + len(many_orders)
    yield Row("parts without a plan", f"{len(failures)} of {tried}", "none", not failures)
    expected = tried - len(failures)
    yield Row("different plans", f"{len(plans)} of {expected} made", "all", len(plans) == expected)
    for failure in failures[:5]:
        yield Row(f"  {failure}", "")


# cold command --------------------------------------------------------------------------------------------------------


def fresh_s(arguments: tuple[str, ...], *, count: int) -> float:
    """Median wall time of fresh interpreters with these arguments. [s]"""

    def run() -> None:
        subprocess.run((sys.executable, *arguments), check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    run()  # the first read of the disk does not count
    return statistics.median(wall_s(run) for _ in range(count))


def cold_rows(effort: Effort) -> Iterator[Row]:
    """Time of the whole command (plan, check, print, write) in a fresh process, over loading its libraries."""
    if importlib.util.find_spec("handwheel.cli.main") is None:
        yield Row("handwheel plan, cold", "not there yet: the command line has no module", "", met=False)
        return
    with tempfile.TemporaryDirectory() as folder:
        part, shop = Path(folder, "bush.toml"), Path(folder, "inch-lathe.toml")
        for path in (part, shop):
            path.write_text(demo_text(path.stem), encoding="utf-8")
        command = ("-m", "handwheel", "plan", str(part), "--shop", str(shop), "--out", folder, "--plain")
        libraries_s = fresh_s(LIBRARIES, count=effort.processes)
        try:
            command_s = fresh_s(command, count=effort.processes)
        except subprocess.CalledProcessError as error:
            yield Row("handwheel plan, cold", f"failed with exit status {error.returncode}", "", met=False)
            return
    added_s = command_s - libraries_s
    yield Row("python, import numpy, shapely", f"{libraries_s * 1e3:.0f} ms")
    yield Row(
        "handwheel plan, cold",
        f"{command_s * 1e3:.0f} ms, {added_s * 1e3:.0f} ms more",
        f"at most {TARGET_COLD_ADDED_S * 1e3:.0f} ms more",
        added_s <= TARGET_COLD_ADDED_S,
    )


# table ---------------------------------------------------------------------------------------------------------------


def main(arguments: Sequence[str] | None = None) -> int:
    """Run all three, print a table; return 1 if a target is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer parts and repeats")
    effort = QUICK if parser.parse_args(arguments).quick else FULL
    print(f"planning: medians of {effort.repeats} (fresh processes: {effort.processes})", flush=True)
    missed = False
    for rows in (one_part_rows, many_parts_rows, cold_rows):
        for row in rows(effort):
            print(f"{row.what:<40} {row.found:<44} {row.target:<22} {row.verdict}".rstrip(), flush=True)
            missed = missed or row.met is False
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main())
