"""A plan in a notebook: valid HTML with pictures and a table, in which no name can do anything."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import pytest
from msgspec.structs import replace

from handwheel import show_plan
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.notebook import HEAD
from handwheel.report.steps import numbered_steps
from tests.demo_plans import demo_plan, demo_shop

HOSTILE = """</td><script>alert(1)</script><img src=x onerror='alert(2)'> & "q" \x1b[31m\x00]]>"""
VOID = {"br", "hr", "img", "meta", "link", "input"}


class Reader(HTMLParser):
    """Reads HTML: tags that are open, every element, every attribute, all text."""

    def __init__(self) -> None:
        """Begin with nothing open."""
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an empty element."""
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag: str) -> None:
        """See that what is closed was opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note text."""
        self.text.append(data)


def read(html: str) -> Reader:
    """Read a whole piece of HTML."""
    reader = Reader()
    reader.feed(html)
    reader.close()
    assert reader.open == []
    return reader


@pytest.fixture(scope="module")
def made() -> tuple[Plan, Shop]:
    """A plan with its shop."""
    return demo_plan("band", "inch-lathe"), demo_shop("inch-lathe")


def test_it_is_html_and_xml_with_two_pictures_and_a_row_for_each_step(made: tuple[Plan, Shop]) -> None:
    html = show_plan(*made)._repr_html_()
    root = ET.fromstring(html)  # noqa: S314 - it is our own text
    pictures = [one for one in root.iter() if one.tag.endswith("}svg")]
    (table,) = [it for it in root.iter("table") if [th.text or "" for th in it.iter("th")] == list(HEAD)]
    steps = numbered_steps(*made)
    assert len(pictures) == 2
    assert read(html).tags.count("svg") == 2
    rows = [[td.text or "" for td in row.iter("td")] for row in table.iter("tr")][1:]
    assert [row[:2] for row in rows] == [[str(step.number), step.title] for step in steps]
    assert [bool(row[4]) for row in rows] == [step.time is not None for step in steps]
    assert any(row[4] for row in rows)
    ids = [one.get("id") for one in root.iter() if one.get("id")]
    assert len(ids) == len(set(ids))


def test_cautions_and_what_to_know_are_told(made: tuple[Plan, Shop]) -> None:
    plan, _ = made
    text = " ".join(read(show_plan(*made).html).text)
    assert "trained supervision come first" in text
    assert all(finding.problem in text for finding in plan.findings)


def test_no_name_can_do_anything(made: tuple[Plan, Shop]) -> None:
    plan, shop = made
    part = replace(plan.sheet.part, name=HOSTILE)
    tools = tuple(replace(tool, name=f"{tool.name} {HOSTILE}") for tool in shop.tools)
    lathe = replace(shop.lathe, name=HOSTILE)
    named = replace(plan, sheet=replace(plan.sheet, part=part)), replace(shop, tools=tools, lathe=lathe, name=HOSTILE)
    shown = show_plan(*named)
    reader = read(shown.html)
    ET.fromstring(shown.html)  # noqa: S314 - it is our own text
    assert not {"script", "img", "iframe", "object"} & set(reader.tags)
    assert not [name for name, _ in reader.attributes if name.startswith("on") or name in ("href", "src")]
    assert "<script>alert(1)</script>" in "".join(reader.text)  # as letters
    assert "\x1b" not in shown.html + shown.text
    assert "\x00" not in shown.html + shown.text


def test_unit_and_words_can_be_chosen(made: tuple[Plan, Shop]) -> None:
    html = show_plan(*made, show="mm", words="american").html
    text = " ".join(" ".join(read(html).text).split())
    assert "compound" in text
    assert not re.search(r"top slide|swarf(?<!mostly-swarf)|anticlockwise", text)
    assert not re.search(r"\d mm \(", text)
    assert "25.40 mm, piece" in text


def test_a_prompt_without_pictures_shows_the_steps(made: tuple[Plan, Shop]) -> None:
    shown = repr(show_plan(*made))
    assert max(map(len, shown.splitlines())) <= 80
    assert len(shown.splitlines()) == 2 + len(numbered_steps(*made))
