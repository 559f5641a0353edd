"""The schemas of part and shop files agree with the readers: they know the same keys and refuse the same damage."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from msgspec.structs import fields

from handwheel.domain.errors import InputError
from handwheel.domain.habits import Habits
from handwheel.domain.part import Units
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake.lengths import length_mm
from handwheel.service.intake.part_file import part_in, read_part
from handwheel.service.intake.per_turn import travel_mm
from handwheel.service.intake.places import path_of, row_paths
from handwheel.service.intake.problems import Problems
from handwheel.service.intake.quantities import UNITS, read_quantity
from handwheel.service.intake.shop_file import read_shop, shop_in
from handwheel.service.intake.table import Table
from handwheel.service.intake.toml_text import parse_toml
from handwheel.service.rewriting import REMOVED, rewritten
from handwheel.service.schemas.build import (
    PART_SOURCES,
    REFUSED,
    SHOP_SOURCES,
    beside_sources,
    part_schema,
    part_trace,
    shop_schema,
    shop_trace,
    source_text,
    trace_of,
)
from handwheel.service.schemas.key_words import key_table, row_for
from handwheel.service.schemas.patterns import length_pattern, quantity_pattern, travel_pattern
from handwheel.service.schemas.trace import Trace
from handwheel.service.templates import TEMPLATES, template_text
from tests.intake_files import PART, problems_of
from tests.shops import PARTS, SHOPS, part_path, shop_path

INTAKE = Path(__file__).resolve().parents[2] / "src" / "handwheel" / "service" / "intake"
READ: dict[str, Callable[..., object]] = {"part": partial(read_part, load=beside_sources), "shop": read_shop}
READ_TABLE: dict[str, Callable[[Any], object]] = {"part": partial(part_in, load=beside_sources), "shop": shop_in}
SCHEMAS = {"part": part_schema(), "shop": shop_schema()}
VALIDATORS = {kind: Draft202012Validator(schema) for kind, schema in SCHEMAS.items()}
"""Made once: every file and every damage goes through the same two."""
TRACES = {"part": part_trace(), "shop": shop_trace()}
SOURCES = {"part": PART_SOURCES, "shop": SHOP_SOURCES}

FILES = {
    **{("part", name): demo_text(name) for name in DEMO_PARTS},
    **{("shop", name): demo_text(name) for name in DEMO_SHOPS},
    **{("part", f"tests, {name}"): part_path(name).read_text(encoding="utf-8") for name in PARTS},
    **{("shop", f"tests, {name}"): shop_path(name).read_text(encoding="utf-8") for name in SHOPS},
    **{(kind, name): source_text(name) for kind, names in SOURCES.items() for name in names},
    **{("shop", f"template, {name}"): template_text(name) for name in TEMPLATES},
    ("part", "small"): PART,
}
NOT_OF_THESE_FILES = {"ring_stick.py", "beliefs_file.py"}
"""Readers of other files."""
OF_A_KEY = {"text", "flag", "count", "number", "exact", "exact_mm", "mm", "rising_mm", "choice", "values", "table"}
OF_A_KEY |= {"tables", "table_if_any", "has", "raw", "read_size", "read_thread", "read_rpm", "_read_pulleys"}
OF_A_KEY |= {"read_amount"}
"""Functions of the readers whose written-out arguments name keys."""


def complaints(kind: str, text: str) -> list[str]:
    return [f"{error.json_path}: {error.message}" for error in VALIDATORS[kind].iter_errors(tomllib.loads(text))]


def is_read(kind: str, text: str) -> bool:
    try:
        READ[kind](text, name="file.toml")
    except InputError:
        return False
    return True


def keys_of(trace: Trace) -> set[str]:
    """Paths of all keys that were asked for."""
    return {f"{trail}.{key}".lstrip(".") for trail, here in trace.items() for key in here.always_asked()}


def keys_of_schema(schema: dict[str, Any], path: str = "") -> Iterator[str]:
    """Paths of all keys that a schema has."""
    for part in (schema, *schema.get("anyOf", [])):
        if "items" in part:
            yield from keys_of_schema(part["items"], f"{path}[]")
        for key, inner in part.get("properties", {}).items():
            yield f"{path}.{key}".lstrip(".")
            yield from keys_of_schema(inner, f"{path}.{key}".lstrip("."))


def constants_in(codes: list[str]) -> dict[str, str]:
    """Texts that have a name of their own in the code of the readers, such as ``LOSS = "loss"``."""
    found: dict[str, str] = {}
    for node in (node for code in codes for node in ast.parse(code).body):
        if isinstance(node, ast.Assign):
            target, value = node.targets[0], node.value
            names = target.elts if isinstance(target, ast.Tuple) else [target]
            values = value.elts if isinstance(value, ast.Tuple) else [value]
            found |= {
                name.id: one.value
                for name, one in zip(names, values, strict=False)
                if isinstance(name, ast.Name) and isinstance(one, ast.Constant) and isinstance(one.value, str)
            }
    return found


def named_in(code: str, constants: dict[str, str]) -> set[str]:
    """Keys that a reader names in its code."""
    found = set()
    for node in ast.walk(ast.parse(code)):
        called = getattr(node.func, "attr", getattr(node.func, "id", "")) if isinstance(node, ast.Call) else ""
        if isinstance(node, ast.Call) and called in OF_A_KEY:
            found |= {str(one.value) for one in node.args if isinstance(one, ast.Constant)}
            found |= {constants.get(one.id, "") for one in node.args if isinstance(one, ast.Name)}
    return {name for name in found if name.isidentifier() and name.islower()}


# -- the same keys --------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", SCHEMAS)
def test_a_schema_is_one_and_says_so(kind: str) -> None:
    Draft202012Validator.check_schema(SCHEMAS[kind])
    assert SCHEMAS[kind]["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("kind", SCHEMAS)
def test_the_schema_has_the_keys_that_the_reader_asks_for_and_no_others(kind: str) -> None:
    refused = {f"{place.partition(':')[2]}.{key}" for place, keys in REFUSED.items() for key in keys}
    assert set(keys_of_schema(SCHEMAS[kind])) == keys_of(TRACES[kind]) - refused


def test_every_key_that_a_reader_names_in_its_code_is_in_a_schema() -> None:
    """So a branch that no file of `SOURCES` enters shows up here."""
    codes = [path.read_text(encoding="utf-8") for path in INTAKE.glob("*.py") if path.name not in NOT_OF_THESE_FILES]
    constants = constants_in(codes)
    named = {key for code in codes for key in named_in(code, constants)}
    assert {"lead", "finishing_change", "countershaft_pulley", "clockwise", "between", "loss", "round"} <= named
    known = {key.rpartition(".")[2] for schema in SCHEMAS.values() for key in keys_of_schema(schema)}
    assert named - known == set()
    habits = {field.name.removesuffix("_mm") for field in fields(Habits)}
    assert habits == {key.partition(".")[2] for key in keys_of_schema(SCHEMAS["shop"]) if key.startswith("habits.")}


@pytest.mark.parametrize("file", FILES, ids=" ".join)
def test_reading_any_file_asks_for_no_key_that_the_schema_lacks(file: tuple[str, str]) -> None:
    kind, name = file
    trace: Trace = {}
    trace_of(FILES[file], READ_TABLE[kind], name=name, trace=trace)
    assert keys_of(trace) <= keys_of(TRACES[kind])


@pytest.mark.parametrize("kind", SCHEMAS)
def test_every_key_has_words_and_no_words_are_left_over(kind: str) -> None:
    used = {row_for(kind, path) for path in keys_of_schema(SCHEMAS[kind])}
    assert used == set(key_table(kind))
    for key, words in key_table(kind).items():
        assert words.says.endswith("."), key
        assert all(word == "" or word.endswith((".", "?")) for word in words), key


def test_a_key_tells_its_unit_its_range_its_words_and_examples() -> None:
    lathe = SCHEMAS["shop"]["properties"]["lathe"]["properties"]
    power = lathe["motor_power_w"]
    assert (power["type"], power["minimum"], power["maximum"]) == (["number", "string"], 10.0, 50_000.0)
    assert power["description"].endswith("[W]")
    assert power["examples"] == [1500]
    assert lathe["nose"]["enum"] == ["threaded", "camlock", "flanged"]
    lead = lathe["cross_slide"]["properties"]["dial"]["properties"]["lead"]
    assert "ten turns" in lead["description"]
    assert lead["description"].endswith("[file's units]")
    keys, names = SCHEMAS["part"]["properties"]["metal"]["anyOf"]
    assert keys["enum"][0] == "ss303"
    assert names["type"] == "string"


# -- the same damage ------------------------------------------------------------------------------------


@pytest.mark.parametrize("file", FILES, ids=" ".join)
def test_a_file_that_is_read_fits_its_schema(file: tuple[str, str]) -> None:
    kind, _ = file
    assert is_read(kind, FILES[file])
    assert complaints(kind, FILES[file]) == []


def places(values: dict[str, Any], path: str = "") -> Iterator[tuple[str, str]]:
    """Path of every value, and of one key beside it that nobody knows."""
    yield f"{path}.nobody_knows_this".lstrip("."), "key"
    for key, value in values.items():
        here = f"{path}.{key}".lstrip(".")
        if isinstance(value, dict):
            yield from places(value, here)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for number, row in enumerate(value, start=1):
                yield from places(row, f"{here}[no. {number}]")
        else:
            yield here, "value"


def unread(text: str, *, name: str) -> None:
    """Let any text pass: here the damage is the point."""
    del text, name


def damaged(text: str) -> Iterator[tuple[str, object, str]]:
    """Every key of a file taken out, or with a value of a wrong type; an unknown key in every table."""
    for path, what in places(tomllib.loads(text)):
        values: tuple[object, ...] = ("unknown",) if what == "key" else (REMOVED, True, [], "?!", -1_000_000_000)
        for value in values:
            yield path, value, rewritten(text, {path: value}, read=unread, name="file.toml")


WHOLE = {("part", name) for name in PART_SOURCES} | {("shop", "collet-chuck-shop")}


@pytest.mark.parametrize("file", sorted(WHOLE), ids=" ".join)
def test_whatever_the_schema_refuses_the_reader_refuses_and_a_wrong_key_or_type_is_refused_by_both(
    file: tuple[str, str],
) -> None:
    kind, _ = file
    seen = 0
    for path, value, text in damaged(FILES[file]):
        is_fitting, passes = not complaints(kind, text), is_read(kind, text)
        assert is_fitting or not passes, f"{path} = {value}: the schema is stricter than the reader"
        if value is not REMOVED:
            assert passes or not is_fitting, f"{path} = {value}: the schema lets pass what the reader refuses"
        seen += not passes
    assert seen > 20


def test_a_key_that_must_be_given_is_missed_by_both() -> None:
    text = FILES["shop", "every-key-shop"]
    for path in ("lathe.motor_power_w", "lathe.cross_slide.dial.lead", "lathe.chuck", "tool[no. 1].id", "units"):
        bare = rewritten(text, {path: REMOVED}, read=unread, name="shop.toml")
        assert complaints("shop", bare), path
        assert not is_read("shop", bare), path
    for path in ("bore", "bore.diameter", "edges.back_outer", "width.length", "kind"):
        bare = rewritten(FILES["part", "every-key-plain"], {path: REMOVED}, read=unread, name="part.toml")
        assert complaints("part", bare), path
        assert not is_read("part", bare), path


def test_keys_of_one_kind_are_refused_in_another_by_both() -> None:
    collets = {"holding[soft-jaws].diameters": [10, 12]}
    steps = {"outside_step": [{"from": "front", "diameter": 21, "plus_minus": 0.1, "depth": 3}]}
    bore = {"lathe.chuck.nut_length": 10}
    for kind, name, change in (
        ("shop", "metric-lathe", collets),
        ("part", "band", steps),
        ("shop", "inch-lathe", bore),
    ):
        text = rewritten(FILES[kind, name], change, read=unread, name="file.toml")
        assert complaints(kind, text), name
        assert not is_read(kind, text), name


@pytest.mark.parametrize("limits", ['limits = ["-0.1", "0"]', 'general_class = "m"', "plus_minus = 0.1"])
def test_a_hexagon_bar_may_have_its_limits_in_any_way_for_both(limits: str) -> None:
    """The schema once asked for plus_minus, for no other hexagon stood in its files."""
    bar = '[[bar]]\nid = "hex"\nmetal = "st_s235"\nshape = "hexagon"\ndiameter = 17\nlength = 300\n'
    text = f'{FILES["shop", "metric-lathe"]}\n{bar}delivered_as = "as measured"\n{limits}\n'
    assert complaints("shop", text) == []
    assert is_read("shop", text)


def test_a_strength_that_a_holding_needs_is_missed_by_both() -> None:
    text = FILES["shop", "every-key-shop"]
    for row, key in (("every-step-spigot", "force_n"), ("every-expanding-mandrel", "pressure_n_mm2")):
        bare = rewritten(text, {f"holding[{row}].{key}": REMOVED}, read=unread, name="shop.toml")
        assert any(key in complaint for complaint in complaints("shop", bare))
        assert not is_read("shop", bare)


def test_limits_for_all_edges_at_once_are_refused_not_passed_over() -> None:
    """They were read as known and then left unused."""
    text = FILES["part", "every-key-ring"].replace("[edges]\n", '[edges]\nlimits = ["-0.1", "0.1"]\n')
    assert complaints("part", text)
    with pytest.raises(InputError, match=r"edges.limits: .* no limits for all edges at once"):
        read_part(text, name="part.toml")


@pytest.mark.parametrize(
    ("path", "written"),
    [
        ("edges.all", "45\u00b0 x 0.5"),
        ("edges.all", "0.5 mm X 45 degrees"),
        ("edges.all", "\u00bd mm x 45"),
        ("edges.all", "broken"),
        ("edges.all", "broken 0.1 to 0.4 mm"),
        ("edges.all", "Round 0.5"),
        ("edges.all", "R0.5"),
        ("bore.diameter", "\u00d820 H8"),
        ("bore.finish_ra", "N7"),
        ("bore.finish_ra", "1.6 \u00b5m"),
        ("width.allowance", "0.2 to 0.4 mm on each face"),
        ("outside.allowance", "0.1 a side"),
        ("outside.between", ["29.9 mm", 30.1]),
    ],
)
def test_a_text_that_is_read_fits_the_schema_in_every_spelling(path: str, written: object) -> None:
    changes: dict[str, object] = {path: written}
    if path == "outside.between":
        changes |= {"outside.diameter": REMOVED, "outside.plus_minus": REMOVED}
    text = rewritten(PART, changes, read=unread, name="file.toml")
    assert is_read("part", text)
    assert complaints("part", text) == []


# -- quantities with their units, and limits in one way -------------------------------------------------


KNOWN_BY_NAME = frozenset({"metal"})
"""Keys whose text names something by any of its names: which names there are only the reader knows."""
SETTLES = frozenset({"units", "kind", "shape", "id"})
"""Keys that settle which others there are, or by which a row is named."""
Steps = tuple[str | int, ...]


def leaves(values: dict[str, Any], steps: Steps = (), path: str = "") -> Iterator[tuple[Steps, str]]:
    """Way to every value that is no table and no list of tables, and its path as messages name it."""
    for key, value in values.items():
        here = path_of(path, key)
        if isinstance(value, dict):
            yield from leaves(value, (*steps, key), here)
        elif is_rows(value):
            for place, (row, named) in enumerate(zip(value, row_paths(here, value), strict=True)):
                yield from leaves(row, (*steps, key, place), named)
        elif key not in SETTLES:
            yield (*steps, key), here


def with_all(values: dict[str, Any], new: object) -> dict[str, Any]:
    """The same with one value in place of every leaf."""
    found: dict[str, Any] = {}
    for key, value in values.items():
        if isinstance(value, dict):
            found[key] = with_all(value, new)
        elif is_rows(value):
            found[key] = [with_all(row, new) for row in value]
        else:
            found[key] = value if key in SETTLES else new
    return found


def is_rows(value: object) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], dict)


def paths_the_reader_refuses(values: dict[str, Any]) -> set[str]:
    """Paths of which the reader of shops complains, in what has been parsed."""
    problems = Problems("shop.toml")
    table = Table(values, problems=problems, units=Units(values["units"]))
    table.has("units")
    try:
        problems.settle(shop_in(table))
    except InputError as error:
        return {problem.split(": ")[1] for problem in error.problems}
    return set()


def ways_the_schema_refuses(values: dict[str, Any]) -> set[Steps]:
    return {tuple(error.absolute_path) for error in VALIDATORS["shop"].iter_errors(values)}


WHOLE_SHOP = parse_toml(source_text("every-key-shop"), name="shop.toml")


def test_the_large_shop_with_every_key_is_taken_by_both() -> None:
    assert paths_the_reader_refuses(WHOLE_SHOP) == set()
    assert ways_the_schema_refuses(WHOLE_SHOP) == set()


@pytest.mark.parametrize(
    "wrong",
    [True, [], {}, "?!", -1_000_000_000, "12 parsecs", "300 kg", "fast", "5.43 \u00b0C", "0.1 mm/tooth"],
    ids=repr,
)
def test_a_wrong_value_in_every_key_of_the_large_shop_is_refused_at_the_same_keys_by_both(
    wrong: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All keys at once, so that the file is read and judged once; free text alone takes some of these."""
    monkeypatch.setattr("handwheel.service.intake.problems.MOST_PROBLEMS", 10**6)
    spoilt = with_all(WHOLE_SHOP, wrong)
    read, judged = paths_the_reader_refuses(spoilt), ways_the_schema_refuses(spoilt)
    told = [(steps, path) for steps, path in leaves(WHOLE_SHOP) if steps[-1] not in KNOWN_BY_NAME]
    by_reader = {path for _, path in told if path in read}
    by_schema = {path for steps, path in told if steps in judged}
    assert by_reader == by_schema
    assert len(by_reader) > len(told) / 2


RIGHT = [
    ("lathe.motor_power_w", "1.5 kW"),
    ("lathe.motor_power_w", "1500 watts"),
    ("lathe.drive_efficiency", "75 %"),
    ("lathe.tool_stiffness_n_um", "8000 N/mm"),
    ("lathe.chuck.max_rpm", "2000 rpm"),
    ("lathe.chuck.max_rpm", "2000 REV/MIN"),
    ("lathe.chuck.max_rpm", "2000 1/min"),
    ("lathe.chuck.max_rpm", "2000 min\u207b\u00b9"),
    ("lathe.chuck.body_diameter", "4 in"),
    ("lathe.chuck.body_diameter", "4-1/2\u201d"),
    ("lathe.chuck.body_diameter", "4\u00bd''"),
    ("lathe.chuck.runout", "30 \u03bcm"),
    ("lathe.chuck.runout", "2 thou"),
    ("lathe.feed_along[no. 1].per_rev", "0.1 mm/rev"),
    ("lathe.feed_along[no. 1].per_rev", "0.004 in / rev"),
    ("lathe.feed_along[no. 1].per_rev", "4 Thou per turn"),
    ("lathe.feed_along[no. 1].per_rev", "0.004ipr"),
    ("lathe.cross_slide.dial.lead", "1/10 in per turn"),
    ("tool[no. 1].rake_deg", "29.5 degrees"),
    ("tool[no. 1].rake_deg", "-5\u00b043'"),
    ("tool[no. 1].rake_deg", "\u22125\u00b0 43\u2032 30\u2033"),
    ("tool[no. 1].rake_deg", "5 deg 43 min"),
    ("tool[no. 1].rake_deg", "\u00bd\u00b0"),
    ("tool[no. 1].nose_radius", "0,4 mm"),
    ("habits.measure_s", "1 1/2 min"),
]
WRONG = [
    ("lathe.motor_power_w", "2 hp"),
    ("lathe.motor_power_w", "1500"),
    ("lathe.chuck.max_rpm", "60 m/min"),
    ("lathe.chuck.max_rpm", "300 mm/rev"),
    ("lathe.chuck.runout", "2 mil"),
    ("lathe.chuck.runout", "2 tenths"),
    ("lathe.chuck.runout", "0.1 mm/rev"),
    ("lathe.feed_along[no. 1].per_rev", "30 m/min"),
    ("lathe.feed_along[no. 1].per_rev", "100 mm/min"),
    ("lathe.feed_along[no. 1].per_rev", "4 mil/rev"),
    ("tool[no. 1].rake_deg", "5\u00b043"),
    ("tool[no. 1].rake_deg", "43'"),
    ("tool[no. 1].rake_deg", "1:50"),
    ("tool[no. 1].rake_deg", "0.1 rad"),
    ("habits.measure_s", "5 mm"),
]


@pytest.mark.parametrize(("path", "written"), RIGHT)
def test_a_quantity_with_its_unit_is_taken_by_both(path: str, written: str) -> None:
    text = rewritten(FILES["shop", "metric-lathe"], {path: written}, read=read_shop, name="shop.toml")
    assert complaints("shop", text) == []


@pytest.mark.parametrize(("path", "written"), WRONG)
def test_a_quantity_in_a_wrong_or_unclear_unit_is_refused_by_both(path: str, written: str) -> None:
    text = rewritten(FILES["shop", "metric-lathe"], {path: written}, read=unread, name="shop.toml")
    assert not is_read("shop", text)
    assert complaints("shop", text)


@given(st.text("0123456789.,/ -+\u00bd\u2212\u201d'\"mcinthou\u00b5", max_size=14), st.sampled_from(list(Units)))
def test_the_pattern_of_a_length_takes_whatever_is_read_as_one(text: str, units: Units) -> None:
    if not problems_of(lambda: length_mm(text, unit=units, where="x")):
        assert re.search(length_pattern(), text)
    if not problems_of(lambda: travel_mm(text, unit=units, where="x")):
        assert re.search(travel_pattern(), text)


@given(
    st.text("0123456789.,/ -+\u00bd\u2212\u2032'\"rpmindegkWNs%\u00b0\u00b5", max_size=12),
    st.sampled_from(sorted(UNITS)),
)
def test_the_pattern_of_a_quantity_takes_whatever_is_read_as_one(text: str, unit: str) -> None:
    if not problems_of(lambda: read_quantity(text, unit=unit, where="x")):
        assert re.search(quantity_pattern(unit), text)


WAYS = {
    "plus_minus": 0.1,
    "limits": ["-0.1", "0.1"],
    "general_class": "m",
}


@pytest.mark.parametrize("one", WAYS)
@pytest.mark.parametrize("other", WAYS)
def test_limits_stand_in_one_way_only_for_both(one: str, other: str) -> None:
    changes: dict[str, object] = {f"outside.{way}": REMOVED for way in WAYS if f"{way} =" in outside_of(PART)}
    changes |= {f"outside.{way}": WAYS[way] for way in (one, other)}
    text = rewritten(PART, changes, read=unread, name="part.toml")
    assert is_read("part", text) == (one == other)
    assert (complaints("part", text) == []) == (one == other)


def outside_of(text: str) -> str:
    """What stands under ``[outside]``."""
    return text.partition("[outside]")[2].partition("\n[")[0]


@pytest.mark.parametrize("written", ["30 h9", "30 +0.1/-0", "30 \u00b1 0.1 mm", "29.9 to 30.1 mm", "\u00d830 mm h9"])
@pytest.mark.parametrize("way", WAYS)
def test_limits_in_the_text_of_a_size_have_none_beside_them_for_both(written: str, way: str) -> None:
    changes: dict[str, object] = {f"outside.{old}": REMOVED for old in WAYS if f"{old} =" in outside_of(PART)}
    alone = rewritten(PART, {**changes, "outside.diameter": written}, read=read_part, name="part.toml")
    assert complaints("part", alone) == []
    both = rewritten(alone, {f"outside.{way}": WAYS[way]}, read=unread, name="part.toml")
    assert not is_read("part", both)
    assert complaints("part", both)


@pytest.mark.parametrize("written", ["#7", "No. 7", "NUMBER 7", "letter F", "f", "27/64 in", "6.8 mm"])
def test_a_drill_that_is_read_fits_the_schema_however_it_is_named(written: str) -> None:
    text = rewritten(FILES["shop", "every-key-shop"], {"drill[drill-5].diameter": written}, read=unread, name="s.toml")
    assert is_read("shop", text)
    assert complaints("shop", text) == []
