"""What the docstrings of the relations say must agree with their names and their code."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from typing import TYPE_CHECKING

import pytest

import handwheel.physics

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

UNITS_BY_ENDING = {
    "_n_mm2": "N/mm2",
    "_cm3_min": "cm3/min",
    "_g_cm3": "g/cm3",
    "_w_m2_k": "W/(m2 K)",
    "_j_kg_k": "J/(kg K)",
    "_per_k": "1/K",
    "_mm_rev": "mm/rev",
    "_m_min": "m/min",
    "_min": "min",
    "_n_mm": "N/mm",
    "_n_um": "N/µm",
    "_mm4": "mm4",
    "_mm2": "mm2",
    "_rpm": "rev/min",
    "_deg": "deg",
    "_rad": "rad",
    "_hz": "Hz",
    "_nm": "N m",
    "_um": "um",
    "_mm": "mm",
    "_kg": "kg",
    "_n": "N",
    "_w": "W",
    "_s": "s",
    "_c": "°C",
    "_k": "K",
}
"""Longest endings first, so that ``_n_mm2`` is not taken for ``_mm2``."""

SECTION = re.compile(r"^(\w+)\n-{3,}\n", re.MULTILINE)
UNIT = re.compile(r"\[([^\]]+)\]$")


def public_functions() -> Iterator[Callable[..., object]]:
    for found in pkgutil.iter_modules(handwheel.physics.__path__):
        module = importlib.import_module(f"handwheel.physics.{found.name}")
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):
                yield function


FUNCTIONS = list(public_functions())


def unit_of_name(name: str) -> str | None:
    return next((unit for ending, unit in UNITS_BY_ENDING.items() if name.endswith(ending)), None)


def sections(function: Callable[..., object]) -> dict[str, str]:
    parts = SECTION.split(inspect.getdoc(function) or "")
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def entries(section: str) -> dict[str, str]:
    found: dict[str, str] = {}
    head = ""
    for line in section.splitlines():
        if line and not line.startswith(" "):
            head = line.split(" : ")[0]
            found[head] = ""
        elif line.strip():
            found[head] = f"{found[head]} {line.strip()}".strip()
    return found


def said_unit(text: str) -> str | None:
    """Unit in brackets at the end of a description; ``[1]`` may be said of a plain number, or left out."""
    found = UNIT.search(text)
    unit = found[1].replace("²", "2") if found else None
    return None if unit == "1" else unit


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__name__)
def test_every_relation_says_what_a_stranger_needs(function: Callable[..., object]) -> None:
    found = sections(function)
    for section in ("Parameters", "Returns", "Raises", "References", "Examples"):
        assert found.get(section, "").strip(), f"{function.__name__} has no {section}"


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__name__)
def test_units_in_names_are_the_units_in_the_docstring(function: Callable[..., object]) -> None:
    parameters = {
        name: text for heads, text in entries(sections(function)["Parameters"]).items() for name in heads.split(", ")
    }
    assert list(parameters) == list(inspect.signature(function).parameters)
    for name, text in parameters.items():
        assert said_unit(text) == unit_of_name(name), f"{function.__name__}: {name}"


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__name__)
def test_unit_of_a_result_is_that_of_the_name(function: Callable[..., object]) -> None:
    for kind, text in entries(sections(function)["Returns"]).items():
        if kind == "float":
            assert said_unit(text) == unit_of_name(function.__name__), function.__name__


def test_the_reader_of_units_sees_a_wrong_one() -> None:
    assert unit_of_name("kc11_n_mm2") == "N/mm2"
    assert unit_of_name("mc") is None
    assert said_unit("Width of the blade, w. [mm]") == "mm"
    assert said_unit("Specific force. [N/mm²]") == "N/mm2"
    assert said_unit("Damping ratio. [1]") is said_unit("Damping ratio") is None
