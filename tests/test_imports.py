"""Imports go one way: a room imports only rooms above it, and the pure rooms touch nothing outside."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

import pytest

from tests.import_rules import (
    EXCEPTIONS,
    IMPURE,
    LOOSE_MODULES,
    MAY_IMPORT,
    PURE_ROOMS,
    Source,
    imported_names,
    is_at_or_below,
    offences,
    sources,
)

PACKAGE_FOLDER = Path(__file__).resolve().parent.parent / "src" / "handwheel"


def test_no_module_breaks_the_order_of_rooms() -> None:
    found = [offence for source in sources(PACKAGE_FOLDER) for offence in offences(source)]
    assert not found, "\n" + "\n".join(map(str, found))


def test_the_package_was_found() -> None:
    """Otherwise the test above would pass on an empty list."""
    assert {"__init__.py", "domain/errors.py"} <= {source.path for source in sources(PACKAGE_FOLDER)}


def test_every_folder_of_the_package_is_a_room() -> None:
    """Also one that holds no Python file yet."""
    folders = {path.name for path in PACKAGE_FOLDER.iterdir() if path.is_dir()} - {"__pycache__"}
    assert folders <= set(MAY_IMPORT)


def test_a_room_may_import_only_rooms_listed_before_it() -> None:
    rooms = list(MAY_IMPORT)
    for position, room in enumerate(rooms):
        assert MAY_IMPORT[room] <= set(rooms[:position]), room


def test_every_exception_is_used_by_its_room() -> None:
    """An exception that nobody needs any more would hide the next offence."""
    for room, module in EXCEPTIONS:
        of_room = [source for source in sources(PACKAGE_FOLDER) if source.room == room]
        names = {name for source in of_room for _, name in imported_names(source)}
        assert not of_room or any(is_at_or_below(name, module) for name in names), (room, module)


@pytest.mark.parametrize(
    ("path", "line_of_code", "imported"),
    [
        (
            "domain/size.py",
            "from handwheel.physics.speed import spindle_speed_rpm",
            "handwheel.physics.speed",
        ),
        ("physics/force.py", "from handwheel.data import tables", "handwheel.data.tables"),
        ("data/loader.py", "import handwheel.geometry.region", "handwheel.geometry.region"),
        ("geometry/region.py", "import handwheel.planner", "handwheel.planner"),
        ("quality/decision.py", "from handwheel import geometry", "handwheel.geometry"),
        ("planner/order.py", "from handwheel.check.replay import replay", "handwheel.check.replay"),
        ("planner/order.py", "from ..sim import lathe", "handwheel.sim.lathe"),
        ("planner/passes/depth.py", "from ...sim import lathe", "handwheel.sim.lathe"),
        ("check/replay.py", "from handwheel.planner.dial import turns", "handwheel.planner.dial"),
        ("check/replay.py", "from handwheel import planner as p", "handwheel.planner"),
        ("check/replay.py", "from .. import planner", "handwheel.planner"),
        ("check/replay.py", "importlib.import_module('handwheel.planner')", "handwheel.planner"),
        ("check/replay.py", "__import__('handwheel.planner')", "handwheel.planner"),
        ("sim/lathe.py", "from handwheel.bench.belief import Belief", "handwheel.bench.belief"),
        ("bench/belief.py", "from handwheel.sim.lathe import truth", "handwheel.sim.lathe"),
        ("drawing/model.py", "from handwheel.report import sheet", "handwheel.report.sheet"),
        ("storage/journal.py", "from handwheel.service import save", "handwheel.service.save"),
        ("service/plan.py", "from handwheel.cli import main", "handwheel.cli.main"),
        ("cli/main.py", "from handwheel.planner import plan", "handwheel.planner.plan"),
        ("web/app.py", "from handwheel.storage import store", "handwheel.storage.store"),
        ("__main__.py", "from handwheel.service import plan", "handwheel.service.plan"),
        ("__init__.py", "from handwheel.domain.size import Size", "handwheel.domain.size"),
        ("planner/order.py", "import shapely", "shapely"),
        ("geometry/region.py", "import numpy as np", "numpy"),
        ("geometry/offset.py", "from shapely.geometry import Polygon", "shapely.geometry.Polygon"),
        ("check/replay.py", "import shapely.ops as ops", "shapely.ops"),
    ],
)
def test_a_forbidden_import_is_named_with_file_and_line(path: str, line_of_code: str, imported: str) -> None:
    source = Source(path, f"'''A module.'''\n\n{line_of_code}\n")
    found = [offence for offence in offences(source) if offence.imported.startswith(imported)]
    assert [(offence.path, offence.line) for offence in found] == [(path, 3)]
    assert str(found[0]).startswith(f"{path}:3: {imported}")


@pytest.mark.parametrize("room", sorted(PURE_ROOMS))
@pytest.mark.parametrize("module", sorted(IMPURE))
def test_a_pure_room_that_reaches_outside_is_named(room: str, module: str) -> None:
    source = Source(f"{room}/some.py", f"import {module}\n")
    assert bool(offences(source)) is ((room, module) not in EXCEPTIONS)


@pytest.mark.parametrize(
    ("path", "line_of_code"),
    [
        ("planner/order.py", "from os import path"),
        ("planner/order.py", "import os.path"),
        ("planner/order.py", "from urllib.request import urlopen"),
        ("planner/order.py", "text = open('shop.toml')"),
        ("data/loader.py", "import importlib"),
        ("data/loader.py", "from pathlib import Path"),
        ("physics/table.py", "from importlib.resources import files"),
    ],
)
def test_a_pure_room_cannot_reach_outside_by_another_spelling(path: str, line_of_code: str) -> None:
    assert [offence.line for offence in offences(Source(path, line_of_code))] == [1]


def test_an_import_inside_a_function_or_a_type_checking_block_counts() -> None:
    text = dedent("""\
        from typing import TYPE_CHECKING

        if TYPE_CHECKING:
            from handwheel.planner.plan import Plan

        def replay():
            import time
    """)
    assert [offence.line for offence in offences(Source("check/replay.py", text))] == [4, 7]


@pytest.mark.parametrize(
    ("path", "line_of_code"),
    [
        ("planner/order.py", "from handwheel.geometry.region import Region"),
        ("planner/order.py", "from handwheel.planner.passes import passes"),
        ("planner/order.py", "from handwheel import __version__"),
        ("planner/order.py", "from . import passes"),
        ("planner/order.py", "import timeit_like_name"),
        ("domain/act.py", "import msgspec"),
        ("geometry/region.py", "import math"),
        ("data/loader.py", "from pkgutil import get_data"),
        ("data/loader.py", "import pkgutil"),
        ("data/loader.py", "import csv"),
        ("storage/journal.py", "import sqlite3"),
        ("cli/main.py", "import click"),
        ("__main__.py", "from handwheel.cli.main import main"),
    ],
)
def test_a_permitted_import_is_not_reported(path: str, line_of_code: str) -> None:
    assert offences(Source(path, line_of_code)) == []


@pytest.mark.parametrize("path", ["helpers/text.py", "utils.py", "Planner/order.py"])
def test_a_module_outside_the_rooms_is_named(path: str) -> None:
    (offence,) = offences(Source(path, ""))
    assert "not a room of the design" in str(offence)


def test_a_wrong_tree_on_disk_is_reported(tmp_path: Path) -> None:
    (tmp_path / "check").mkdir()
    (tmp_path / "check" / "replay.py").write_text("from handwheel.planner import order\n", encoding="utf-8")
    (tmp_path / "__init__.py").write_text("", encoding="utf-8")
    found = [str(offence) for source in sources(tmp_path) for offence in offences(source)]
    assert found == ["check/replay.py:1: handwheel.planner.order: check may import data, domain, geometry, physics"]


def test_the_tables_speak_only_of_rooms_that_the_design_has() -> None:
    assert set(MAY_IMPORT) >= PURE_ROOMS
    assert {room for room, _ in EXCEPTIONS} <= PURE_ROOMS
    assert set().union(*LOOSE_MODULES.values()) <= set(MAY_IMPORT)
