"""A plan survives its JSON exactly, and JSON that is no plan is refused with the path to the field."""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import jsonschema
import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.acts import Cut, FeedKind, Measure, Move, Setting, SettingKind
from handwheel.domain.errors import InputError
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.part import Units
from handwheel.domain.plan import Plan
from handwheel.service.codec import plan_from_json, plan_schema, plan_to_json
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.jobs import demo_job
from tests.factories import make_plan, with_acts

VALIDATOR = jsonschema.Draft202012Validator(plan_schema())


def edited(plan: Plan, *path: str | int, to: object) -> str:
    """JSON of a plan with one value replaced or added."""
    raw: Any = json.loads(plan_to_json(plan))
    place = raw
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = to
    return json.dumps(raw)


@pytest.mark.parametrize("units", list(Units))
def test_a_plan_with_every_kind_of_act_comes_back_exactly(units: Units) -> None:
    plan = make_plan(units)
    text = plan_to_json(plan)
    assert plan_from_json(text) == plan
    assert plan_to_json(plan_from_json(text)) == text


@pytest.mark.parametrize("part", DEMO_PARTS)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_the_demo_plans_come_back_exactly_and_keep_to_the_schema(part: str, lathe: str) -> None:
    plan, _, _ = demo_job(part, lathe)
    text = plan_to_json(plan)
    assert plan_from_json(text) == plan
    assert list(VALIDATOR.iter_errors(json.loads(text))) == []


numbers = st.floats(allow_nan=False, allow_infinity=False)
fractions = st.fractions(max_denominator=10**6)
texts = st.text(alphabet=st.characters(exclude_categories=["Cs"]), max_size=20)
settings = st.builds(
    Setting,
    handle=st.sampled_from(Handle),
    kind=st.sampled_from(SettingKind),
    zero=texts,
    turns=st.integers(-(10**6), 10**6),
    marks=fractions,
    value_mm=fractions,
    band_mm=numbers,
    approach=st.sampled_from(Turn),
    back_off_marks=st.integers(0, 1000),
    expected_mm=numbers,
)
moves = st.builds(Move, id=texts, step=texts, setting=settings, cautions=st.tuples(texts, texts), note=texts)
cuts = st.builds(
    Cut,
    id=texts,
    step=texts,
    handle=st.sampled_from(Handle),
    motion=st.sampled_from(Motion),
    to=st.none() | settings,
    length_mm=numbers,
    depth_mm=numbers,
    surface=texts,
    feed=st.sampled_from(FeedKind),
    seconds=numbers,
)


@given(acts=st.lists(moves | cuts, max_size=4).map(tuple))
def test_any_number_and_text_comes_back_exactly(acts: tuple[Move | Cut, ...]) -> None:
    plan = with_acts(make_plan(), acts)
    text = plan_to_json(plan)
    assert plan_from_json(text) == plan
    assert list(VALIDATOR.iter_errors(json.loads(text))) == []


def test_exact_numbers_are_written_as_two_whole_numbers() -> None:
    written = json.loads(plan_to_json(make_plan()))
    marks = [act["setting"]["marks"] for act in written["sheet"]["acts"] if act["act"] == "move"]
    assert "75/2" in marks
    assert "119/2" in marks
    assert all(isinstance(mark, str) and mark.count("/") == 1 for mark in marks)


def keys(thing: object) -> Iterator[str]:
    """Every key, in the order of the text."""
    if isinstance(thing, dict):
        for key, value in thing.items():
            yield key
            yield from keys(value)
    elif isinstance(thing, list):
        for one in thing:
            yield from keys(one)


def test_the_order_of_keys_is_that_of_the_types() -> None:
    written = json.loads(plan_to_json(make_plan()))
    assert list(written) == [
        field for field in Plan.__struct_fields__ if field != "believed"
    ]  # only where there is any
    assert list(keys(written)) == list(keys(json.loads(plan_to_json(make_plan()))))


def test_a_float_that_is_none_is_not_written() -> None:
    plan = make_plan()
    measure = next(act for act in plan.sheet.acts if isinstance(act, Measure))
    broken = msgspec.structs.replace(measure, expected_mm=float("nan"))
    with pytest.raises(InputError, match=r"\$\.sheet\.acts\[0\]\.expected_mm: Expected `float`, got `null`"):
        plan_to_json(with_acts(plan, (broken,)))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "plan.json: is not JSON"),
        ("{", "plan.json: is not JSON"),
        ("[1, 2]", "is JSON but no plan of handwheel"),
        ('{"schema": 1}', "is JSON but no plan of handwheel"),
        ("null", "is JSON but no plan of handwheel"),
        ("name = 'bush'", "plan.json: is not JSON"),
    ],
)
def test_what_is_no_plan_is_refused(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        plan_from_json(text)


@pytest.mark.parametrize(
    ("path", "to", "message"),
    [
        (("schema",), 2, r"mine: \$\.schema: found 2; this handwheel reads up to 1; update handwheel"),
        (("schema",), 0, r"\$\.schema: found 0; allowed: 1; plan again"),
        (("schema",), "1", r"\$\.schema: found '1'; allowed: 1"),
        (("schema",), True, r"\$\.schema: found True; allowed: 1"),
        (("sheet", "acts", 3, "rpm"), "fast", r"\$\.sheet\.acts\[3\]\.rpm: Expected `float`, got `str`"),
        (("sheet", "acts", 3, "rmp"), 540, r"\$\.sheet\.acts\[3\]\.rmp: no such field in a plan"),
        (("sheet", "acts", 0, "act"), "dance", r"\$\.sheet\.acts\[0\]\.act: Invalid value 'dance'"),
        (("sheet", "acts", 1, "angle_deg"), "45", r"\$\.sheet\.acts\[1\]\.angle_deg: found '45'; allowed: two whole"),
        (("sheet", "acts", 1, "angle_deg"), 45.5, r"angle_deg: found 45\.5; allowed: two whole numbers"),
        (("sheet", "acts", 1, "angle_deg"), "1/0", r"angle_deg: found '1/0'; allowed"),
        (("sheet", "acts", 1, "leftward"), "up", r"\$\.sheet\.acts\[1\]\.leftward: Invalid enum value 'up'"),
        (("sheet", "part", "quantity"), 0, r"\$\.sheet\.part: part 'Bush for the pump': quantity 0 must be at least 1"),
        (("colour",), "red", r"\$\.colour: no such field in a plan"),
    ],
)
def test_a_wrong_field_is_named_by_its_path(path: tuple[str | int, ...], to: object, message: str) -> None:
    with pytest.raises(InputError, match=message):
        plan_from_json(edited(make_plan(), *path, to=to), name="mine")


def test_a_missing_field_is_named() -> None:
    raw = json.loads(plan_to_json(make_plan()))
    del raw["sheet"]["acts"][3]["rpm"]
    with pytest.raises(InputError, match=r"\$\.sheet\.acts\[3\]: Object missing required field `rpm`"):
        plan_from_json(json.dumps(raw))


def test_the_schema_is_ours_and_names_no_host() -> None:
    schema = plan_schema()
    assert schema["$id"] == "urn:handwheel:plan:1"
    assert schema["version"] == 1
    jsonschema.Draft202012Validator.check_schema(schema)
    without_dialect = {key: value for key, value in schema.items() if key != "$schema"}
    assert "://" not in json.dumps(without_dialect)


@pytest.mark.parametrize(
    ("path", "to"),
    [
        (("schema",), 2),
        (("sheet", "acts", 3, "rpm"), "fast"),
        (("sheet", "acts", 3, "rmp"), 540),
        (("sheet", "acts", 1, "angle_deg"), "45"),
        (("sheet", "acts", 0, "act"), "dance"),
        (("colour",), "red"),
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(path: tuple[str | int, ...], to: object) -> None:
    assert list(VALIDATOR.iter_errors(json.loads(edited(make_plan(), *path, to=to)))) != []


def test_a_fraction_keeps_its_value_whatever_its_size() -> None:
    plan = make_plan()
    size = replace(plan.sheet.part.sizes[0].size, nominal=Fraction(10**30 + 1, 10**29))
    part = replace(plan.sheet.part, sizes=(replace(plan.sheet.part.sizes[0], size=size),))
    odd = replace(plan, sheet=replace(plan.sheet, part=part))
    assert plan_from_json(plan_to_json(odd)).sheet.part.sizes[0].size.nominal == Fraction(10**30 + 1, 10**29)
