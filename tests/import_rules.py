"""Who may import whom: the order of the rooms as a table, read off the syntax tree.

The rooms and their order stand in docs/index.md. A module is read, never imported, so an import inside a
function, under ``TYPE_CHECKING`` or through ``importlib`` counts like any other.
"""

from __future__ import annotations

import ast
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

PACKAGE = "handwheel"

MAY_IMPORT: dict[str, frozenset[str]] = {
    "domain": frozenset(),
    "physics": frozenset({"domain"}),
    # What a shop has heard is a fact of its own, read by the relations that judge it (decision 0018).
    "data": frozenset({"domain", "physics"}),
    "geometry": frozenset({"domain"}),
    "quality": frozenset({"domain", "physics"}),
    "planner": frozenset({"domain", "physics", "data", "geometry", "quality"}),
    # Never the planner: a check that shares its code would share its mistakes.
    "check": frozenset({"domain", "physics", "data", "geometry"}),
    # The hidden truth of the virtual lathe must not leak into the advice, nor the advice into the truth.
    "sim": frozenset({"domain", "physics"}),
    "bench": frozenset({"domain", "physics", "data", "quality"}),
    "rehearsal": frozenset({"domain", "physics", "data", "geometry", "quality", "planner", "check", "sim", "bench"}),
    "drawing": frozenset({"domain", "physics", "data", "geometry", "quality", "planner", "check"}),
    "report": frozenset(
        {
            "domain",
            "physics",
            "data",
            "geometry",
            "quality",
            "planner",
            "check",
            "bench",
            "rehearsal",
            "drawing",
        }
    ),
    "storage": frozenset({"domain"}),
    "service": frozenset(
        {
            "domain",
            "physics",
            "data",
            "geometry",
            "quality",
            "planner",
            "check",
            "sim",
            "bench",
            "rehearsal",
            "drawing",
            "report",
            "storage",
        }
    ),
    "cli": frozenset({"domain", "service"}),
    "web": frozenset({"domain", "service"}),
}
"""Each room, in the order of the design, with the other rooms it may import."""

LOOSE_MODULES: dict[str, frozenset[str]] = {
    # Hands on the public names of the service, when they are first asked for.
    "__init__.py": frozenset({"service"}),
    "__main__.py": frozenset({"cli"}),
}
"""Modules that stand beside the rooms."""

PURE_ROOMS = frozenset(
    {"domain", "physics", "data", "geometry", "quality", "planner", "check", "sim", "bench", "rehearsal"}
)
"""Rooms whose results depend on their arguments alone."""

IMPURE = frozenset(
    {
        "asyncio",
        "click",
        "csv",
        "datetime",
        "glob",
        "http",
        "importlib",
        "io",
        "multiprocessing",
        "os",
        "pathlib",
        "pkgutil",
        "random",
        "rich",
        "secrets",
        "shutil",
        "socket",
        "sqlite3",
        "ssl",
        "subprocess",
        "tempfile",
        "threading",
        "time",
        "urllib",
        "uuid",
    }
)
"""Modules that reach for files, the network, a database, the clock, chance, or the screen."""

EXCEPTIONS: dict[tuple[str, str], str] = {
    ("data", "csv"): "the loader reads the tables that ship inside the package",
    ("data", "pkgutil"): "the loader reads the tables that ship inside the package",
    ("sim", "numpy"): "many lathes run at once; no plan on its way loads this room",
    ("rehearsal", "numpy"): "thousands of lathes run at once; no plan on its way loads this room",
    ("bench", "numpy"): "the same logic serves many lathes; one lathe alone never loads it (decision 0020)",
}
"""(room, module and what is below it): why this room may import it all the same."""

SLOW_LIBRARIES = frozenset({"numpy", "shapely"})
"""Libraries that a plan does without; loading them takes longer than planning a ring (decision 0015)."""


@dataclass(frozen=True, order=True)
class Offence:
    """An import that the rules forbid, with the place a person has to look at."""

    path: str
    line: int
    imported: str
    rule: str

    def __str__(self) -> str:
        """Show it in the form editors jump to."""
        return f"{self.path}:{self.line}: {self.imported}: {self.rule}"


@dataclass(frozen=True)
class Source:
    """A module's text and its path below the package, such as ``planner/order.py``."""

    path: str
    text: str

    @property
    def room(self) -> str | None:
        """Folder just below the package; nothing for a module beside the rooms."""
        parts = PurePosixPath(self.path).parts
        return parts[0] if len(parts) > 1 else None


def offences(source: Source) -> list[Offence]:
    """All imports of one module that break a rule, in the order of its lines."""
    allowed = MAY_IMPORT.get(source.room) if source.room else LOOSE_MODULES.get(source.path)
    if allowed is None:
        return [Offence(source.path, 1, source.path, "not a room of the design; add it to the table or move it")]
    found = [
        Offence(source.path, line, name, rule)
        for line, name in imported_names(source)
        for rule in broken_rules(source, name, allowed)
    ]
    return sorted({*found, *opened_files(source)})


def broken_rules(source: Source, name: str, allowed: frozenset[str]) -> Iterator[str]:
    """Say every rule that importing ``name`` breaks in this module."""
    top, _, below = name.partition(".")
    room = below.partition(".")[0]
    if top == PACKAGE and room in MAY_IMPORT and room != source.room and room not in allowed:
        yield f"{source.room or source.path} may import {', '.join(sorted(allowed)) or 'no other room'}"
    if source.room in PURE_ROOMS and top in IMPURE and not is_excepted(source.room, name):
        yield f"{source.room} is pure: files, clock, chance and screen come in as arguments"
    if top in SLOW_LIBRARIES and not is_excepted(source.room, name):
        yield f"{top} serves tests and benchmarks, and rooms with a written exception"


def is_excepted(room: str | None, name: str) -> bool:
    """Whether a written exception covers this import."""
    return any(room == where and is_at_or_below(name, what) for where, what in EXCEPTIONS)


def is_at_or_below(name: str, ancestor: str) -> bool:
    """Whether a dotted name is ``ancestor`` or lies under it."""
    return name == ancestor or name.startswith(f"{ancestor}.")


def opened_files(source: Source) -> Iterator[Offence]:
    """Report the built-in ``open`` in a pure room: it needs no import."""
    if source.room not in PURE_ROOMS:
        return
    for node in ast.walk(ast.parse(source.text)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "open":
            yield Offence(source.path, node.lineno, "open()", f"{source.room} is pure: it opens no file")


def imported_names(source: Source) -> Iterator[tuple[int, str]]:
    """Each import as (line, absolute dotted name); ``from a import b`` gives ``a.b``."""
    for node in ast.walk(ast.parse(source.text)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = absolute_base(source.path, node)
            yield from ((node.lineno, f"{base}.{alias.name}") for alias in node.names)
        elif isinstance(node, ast.Call):
            yield from dynamic_import(node)


def absolute_base(path: str, node: ast.ImportFrom) -> str:
    """Dotted name of the module that a ``from`` import starts at, with leading dots resolved."""
    if not node.level:
        return node.module or ""
    here = (PACKAGE, *PurePosixPath(path).parent.parts)
    base = here[: len(here) - node.level + 1]
    return ".".join((*base, node.module) if node.module else base)


def dynamic_import(node: ast.Call) -> Iterator[tuple[int, str]]:
    """Import by a call with the name written out."""
    called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    if called in {"import_module", "__import__"} and node.args and isinstance(node.args[0], ast.Constant):
        yield node.lineno, str(node.args[0].value)


def sources(package_folder: Path) -> Iterable[Source]:
    """Every module of the package, in the order of their paths."""
    for path in sorted(package_folder.rglob("*.py")):
        yield Source(path.relative_to(package_folder).as_posix(), path.read_text(encoding="utf-8"))
