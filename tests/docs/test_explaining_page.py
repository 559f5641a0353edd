"""The page on reasons: its example is what the program says, and its tables name every key of the JSON."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

from handwheel.domain.findings import Reason
from handwheel.report.why.look import Word
from handwheel.service.explaining import explain_json, explain_text
from tests.demo_plans import demo_plan, demo_shop

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "explaining.md").read_text(encoding="utf-8")
PLAN, SHOP = demo_plan("bush", "inch-lathe"), demo_shop("inch-lathe")


def keys(thing: object) -> Iterator[str]:
    """Every key of what was read from JSON."""
    if isinstance(thing, dict):
        for key, value in thing.items():
            yield key
            yield from keys(value)
    elif isinstance(thing, list):
        for value in thing:
            yield from keys(value)


def test_the_example_is_what_the_program_says() -> None:
    (example,) = (block for block in re.findall(r"(?ms)^```\n(.*?)^```", PAGE) if "6.20 set" in block)
    assert example in explain_text(PLAN, SHOP, of="6.20")


def test_every_key_of_the_json_stands_on_the_page_and_no_other() -> None:
    told = set(keys(json.loads(explain_json(PLAN, SHOP))))
    assert set(Reason.__struct_fields__) < told
    _, _, tables = PAGE.partition("## As JSON")
    rows = "".join(line for line in tables.splitlines() if line.startswith("| `"))
    named = set(re.findall(r"`([a-z_]+)`", rows)) - {"null", "mm"}
    assert named == told


def test_every_word_on_which_a_number_stands_is_explained() -> None:
    for key, standing in (word.value for word in Word):
        assert f"| `{key}`, {standing} |" in PAGE


def test_one_act_has_nothing_of_the_whole_job() -> None:
    told = json.loads(explain_json(PLAN, SHOP, of="6.20"))
    assert told["reasons"] == []
    assert [step["number"] for step in told["steps"]] == [6]
    assert [act["number"] for act in told["steps"][0]["acts"]] == ["6.20"]
