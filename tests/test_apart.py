"""The virtual lathes and the advice know nothing of each other, not even by way of a third room."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.import_rules import PACKAGE, Source, imported_names, sources

PACKAGE_FOLDER = Path(__file__).resolve().parent.parent / "src" / "handwheel"
APART = {
    "sim": frozenset({"bench", "planner", "rehearsal", "data", "check", "quality", "service"}),
    "bench": frozenset({"sim", "rehearsal"}),
}
"""Rooms that must not be reached from these, by however many steps."""


def dotted(source: Source) -> str:
    """Name by which a module is imported."""
    return ".".join((PACKAGE, *source.path.removesuffix(".py").removesuffix("/__init__").split("/")))


def imports(of: list[Source]) -> dict[str, set[str]]:
    """Which modules of the package each module imports itself."""
    names = {dotted(source) for source in of}
    return {
        dotted(source): {
            found
            for _, imported in imported_names(source)
            for found in (imported, imported.rpartition(".")[0])
            if found in names
        }
        for source in of
    }


def reached(start: str, graph: dict[str, set[str]]) -> set[str]:
    """All modules that are loaded with one."""
    seen: set[str] = set()
    waiting = [start]
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting.extend(graph[name])
    return seen


def strays(of: list[Source]) -> list[tuple[str, str]]:
    """Each module of a room that is to stay apart, with a module it reaches and must not."""
    graph = imports(of)
    room_of = {dotted(source): source.room for source in of}
    return sorted(
        (name, far)
        for name in graph
        for far in reached(name, graph)
        if room_of[far] in APART.get(room_of[name] or "", frozenset())
    )


def named_in_words(of: list[Source]) -> list[str]:
    """Modules of the advice in whose text the virtual lathes are named as a module, be it in a string."""
    return [source.path for source in of if source.room == "bench" and f"{PACKAGE}.sim" in source.text]


def test_truth_and_advice_do_not_reach_each_other() -> None:
    found = list(sources(PACKAGE_FOLDER))
    assert any(source.room == "sim" for source in found)
    assert strays(found) == []
    assert named_in_words(found) == []


@pytest.mark.parametrize(
    ("modules", "expected"),
    [
        (
            {"bench/advice.py": "from handwheel.sim import envelope"},
            [("handwheel.bench.advice", "handwheel.sim.envelope")],
        ),
        (
            {
                "bench/advice.py": "from handwheel.physics.mid import x",
                "physics/mid.py": "import handwheel.sim.envelope",
            },
            [("handwheel.bench.advice", "handwheel.sim.envelope")],
        ),
        (
            {
                "sim/machine.py": "def f():\n    from handwheel.domain.mid import x",
                "domain/mid.py": "from ..bench import advice",
            }
            | {"bench/advice.py": ""},
            [("handwheel.sim.machine", "handwheel.bench.advice")],
        ),
        ({"bench/advice.py": "from handwheel.physics.mid import x", "physics/mid.py": ""}, []),
    ],
)
def test_a_way_round_is_found(modules: dict[str, str], expected: list[tuple[str, str]]) -> None:
    of = [Source(path, text) for path, text in ({"sim/envelope.py": ""} | modules).items()]
    assert strays(of) == expected


def test_a_name_in_a_string_is_found() -> None:
    of = [Source("bench/advice.py", "load('handwheel.sim.envelope')"), Source("rehearsal/run.py", "'handwheel.sim'")]
    assert named_in_words(of) == ["bench/advice.py"]
