"""The check and the simple replay, written apart, find the same part at the end of the same acts.

They share the types of the sheet and nothing else: a slip in one's dials, tools or sweeps shows as a difference.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from handwheel.check.replay import check_sheet
from handwheel.domain.motion import Handle
from handwheel.planner.planner import make_plan
from tests.replay.sheets import ALL_JOBS, DEMOS, job
from tests.replay.simple_replay import replay
from tests.shops import PARTS, part_of, shop_of

SIZE_MM = 1e-4
"""Any size, and what a setting gives: a tenth of a micrometre, far below a mark. The check draws the round of a tip in
chords that stray from the arc by 1 µm at most, but the sizes of the rings here lie on surfaces that a straight pass of
the tip's lowest point leaves, or on corners that a V leaves."""
FORBIDDEN = ("handwheel.geometry", "handwheel.check", "handwheel.planner")


@pytest.mark.parametrize("name", ALL_JOBS)
def test_both_replays_find_the_same_sizes(name: str) -> None:
    it = job(name)
    ring = replay(it.sheet, it.shop).ring()
    checked = {size.feature: size for size in check_sheet(it.sheet, it.shop).sizes}
    assert set(checked) == {feature.id for feature in it.sheet.part.sizes}
    for feature in it.sheet.part.sizes:
        smallest, largest = ring.values_mm(feature)
        value = checked[feature.id].value_mm
        assert min(abs(value - smallest), abs(value - largest)) <= SIZE_MM, feature.id


@pytest.mark.parametrize("part", PARTS)
def test_both_replays_read_a_quill_by_the_graduation_on_its_barrel(part: str) -> None:
    """A loose tailstock without a dial: its holes go by whole millimetres of the barrel."""
    shop = shop_of("loose-tailstock")
    sheet = make_plan(part_of(part), shop).sheet
    ran = replay(sheet, shop)
    holes = [item for item in ran.expected if item.handle is Handle.QUILL]
    assert holes
    assert all(abs(item.said_mm - item.true_mm) <= SIZE_MM for item in ran.expected)
    checked = {size.feature: size.value_mm for size in check_sheet(sheet, shop).sizes}
    for feature in sheet.part.sizes:
        assert min(abs(checked[feature.id] - value) for value in ran.ring().values_mm(feature)) <= SIZE_MM, feature.id


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
