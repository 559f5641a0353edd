"""The check and the simple replay, written apart, find the same part at the end of the same acts.

They share the types of the sheet and nothing else: a slip in one's dials, tools or sweeps shows as a difference.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from handwheel.check.replay import check_sheet
from handwheel.domain.motion import Handle
from handwheel.domain.part import Aspect
from tests.replay.sheets import ALL_JOBS, DEMOS, job
from tests.replay.simple_replay import replay

SIZE_MM = 1e-3
"""Diameters, width and what a setting gives: a micrometre, far below a mark."""
LEG_MM = 5e-3
"""Legs of edges: where a rounded tip meets a corner, the check's chords of 15° stray from the arc by
r (1 - cos 7.5°) = 3.4 µm at 0.4 mm, and the simple replay reads the edge at two places."""
FORBIDDEN = ("handwheel.geometry", "handwheel.check", "handwheel.planner")


@pytest.mark.parametrize("name", ALL_JOBS)
def test_both_replays_find_the_same_sizes(name: str) -> None:
    it = job(name)
    ring = replay(it.sheet, it.shop).ring()
    checked = {size.feature: size for size in check_sheet(it.sheet, it.shop).sizes}
    assert set(checked) == {feature.id for feature in it.sheet.part.sizes}
    for feature in it.sheet.part.sizes:
        smallest, largest = ring.values_mm(feature)
        tolerance = LEG_MM if feature.aspect in (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL) else SIZE_MM
        value = checked[feature.id].value_mm
        assert min(abs(value - smallest), abs(value - largest)) <= tolerance, feature.id


@pytest.mark.parametrize("name", ALL_JOBS)
def test_the_simple_replay_finds_every_size_within_its_limits(name: str) -> None:
    it = job(name)
    ring = replay(it.sheet, it.shop).ring()
    for feature in it.sheet.part.sizes:
        smallest, largest = ring.values_mm(feature)
        assert float(feature.size.cut_lower) - 1e-6 <= smallest, feature.id
        assert largest <= float(feature.size.cut_upper) + 1e-6, feature.id


@pytest.mark.parametrize("name", ALL_JOBS)
@pytest.mark.parametrize("handle", [Handle.CROSS, Handle.TOP, Handle.CARRIAGE, Handle.QUILL])
def test_every_setting_gives_what_is_printed_beside_it(name: str, handle: Handle) -> None:
    it = job(name)
    settings = [item for item in replay(it.sheet, it.shop).expected if item.handle is handle]
    wrong = [item for item in settings if abs(item.said_mm - item.true_mm) > SIZE_MM]
    assert wrong == []
    # a demo that never used the cross-slide or the quill would prove nothing of them
    assert settings or handle not in (Handle.CROSS, Handle.QUILL)


def test_demo_sheets_set_every_handle() -> None:
    used = {item.handle for name in DEMOS for item in replay(job(name).sheet, job(name).shop).expected}
    assert used == set(Handle)


@pytest.mark.parametrize("name", ["simple_replay", "simple_shapes", "simple_work"])
def test_the_simple_replay_imports_nothing_of_what_it_is_held_against(name: str) -> None:
    tree = ast.parse((Path(__file__).parent / f"{name}.py").read_text(encoding="utf-8"))
    imported = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            imported |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add(node.module or "")
            imported |= {f"{node.module}.{alias.name}" for alias in node.names}
    assert imported
    ours = {module for module in imported if module.startswith(("handwheel", "tests"))}
    assert not [module for module in imported if module.startswith(FORBIDDEN)]
    assert {".".join(module.split(".")[:2]) for module in ours} <= {"handwheel.domain", "tests.replay"}
    assert not [module for module in ours if module.startswith("tests.") and ".simple_" not in module]


@pytest.mark.parametrize("name", ALL_JOBS)
def test_the_check_passes_every_job_dials_with_halves_included(name: str) -> None:
    found = job(name)
    assert check_sheet(found.sheet, found.shop).refusals == ()
