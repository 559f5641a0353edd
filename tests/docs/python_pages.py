"""The pages on the Python side: lists of names, with the places where the site puts their docstrings."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
from typing import TYPE_CHECKING

import handwheel
import handwheel.data
import handwheel.physics
from handwheel.service import public
from tests.docs.markdown import made_by, page, table

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import ModuleType

PLAIN = "On the site the whole docstrings follow; in plain files they stand in the modules themselves."
IN_ALL_OTHER = {"__version__": "Version of the package, as a text."}
"""Public names that are no function or class, with what they are."""


def modules(package: ModuleType) -> Iterator[ModuleType]:
    """Modules of a package, in the order of the alphabet."""
    for found in sorted(pkgutil.iter_modules(package.__path__), key=lambda each: each.name):
        yield importlib.import_module(f"{package.__name__}.{found.name}")


def first_line(thing: object) -> str:
    """First line of a docstring, without Sphinx's quotes."""
    return (inspect.getdoc(thing) or "").partition("\n")[0].replace("``", "`")


def public_names(module: ModuleType) -> list[str]:
    """Functions and classes that a module itself makes, in its own order, but for those with an underscore."""
    made = ast.parse(inspect.getsource(module)).body
    kinds = (ast.FunctionDef, ast.ClassDef)
    return [node.name for node in made if isinstance(node, kinds) and not node.name.startswith("_")]


def name_table(module: ModuleType, names: list[str]) -> str:
    """Table of names with what each gives."""
    return table(("name", "what it gives"), [(f"`{name}`", first_line(getattr(module, name))) for name in names])


def package_page(title: str, intro: str, package: ModuleType) -> str:
    """Page on all modules of a package."""
    blocks: list[str] = []
    for module in modules(package):
        names = public_names(module)
        if not names:
            continue
        blocks += [
            f"## {module.__name__}",
            name_table(module, names),
            f"::: {module.__name__}",
        ]
    return page(title, made_by("tests.docs.generated"), intro, PLAIN, *blocks)


def whole_docstring(name: str) -> str:
    """Block that the site's builder replaces by the docstring of a public name, under a heading."""
    thing = getattr(public, name)
    options = "    options:\n      show_root_heading: true\n      show_root_toc_entry: true"
    return f"::: {thing.__module__}.{name}\n{options}"


def api_page() -> str:
    """Page on the names of the package itself."""
    names = [name for name in handwheel.__all__ if name not in IN_ALL_OTHER]
    functions = [name for name in names if inspect.isfunction(getattr(public, name))]
    others = [name for name in names if name not in functions]
    rows = [(f"`{name}`", IN_ALL_OTHER.get(name) or first_line(getattr(public, name))) for name in handwheel.__all__]
    return page(
        "Python",
        made_by("tests.docs.generated"),
        "What a program may import from `handwheel`. Nothing else is promised to stay.",
        table(("name", "what it is"), rows),
        "All of it in one program:",
        f"```python\n{EXAMPLE}```",
        PLAIN,
        "## Functions",
        *(whole_docstring(name) for name in functions),
        "## Data and errors",
        *(whole_docstring(name) for name in others),
    )


EXAMPLE = """from pathlib import Path

from handwheel import check_plan, explain_text, make_plan, plan_json, read_part, read_shop, sheet_pdf, sheet_text
from handwheel.service.demo import demo_path

part = read_part(demo_path("bush"))
shop = read_shop(demo_path("inch-lathe"))
plan = make_plan(part, shop)  # refused, with what would help, if there is none: NoPlanError
print(sheet_text(plan, shop))
print(explain_text(plan, shop, of="6"))
Path("bush.json").write_text(plan_json(plan), encoding="utf-8")
Path("bush.pdf").write_bytes(sheet_pdf(plan, shop, paper="letter"))
assert check_plan(plan, shop).ok
"""


def pages() -> dict[str, str]:
    """The pages by their names."""
    return {
        "python.md": api_page(),
        "physics.md": package_page(
            "Physics",
            "One published relation, or a small family, a module. Each says its equation, units, range, source, "
            "and an example that runs as a test.",
            handwheel.physics,
        ),
        "tables.md": package_page(
            "Readers of the tables",
            "What the tables of facts are read with; [how well the numbers are known](data.md) has a page of its own.",
            handwheel.data,
        ),
    }
