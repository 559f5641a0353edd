"""What is asked about a shop: single values, lists entered line by line, and whether a thing is there at all."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from enum import Enum
from typing import Any

from msgspec import Struct

from handwheel.service.questions.lines import Row, bar_row, drill_row, feed_row, speed_row
from handwheel.service.rewriting import row_path, value_at

Values = Mapping[str, Any]


class Form(Enum):
    """How a question is answered."""

    VALUE = "one value"
    LIST = "one line for each, an empty line at the end"
    HAVE = "yes or no"


class Listed(Struct, frozen=True, kw_only=True):
    """A list that is entered line by line: how it is asked for, the reader of a line, an example of one."""

    part: str
    path: str
    asks: str
    read_line: Callable[[str], tuple[Row, ...]]
    example: str


class Question(Struct, frozen=True, kw_only=True):
    """One question: the part of the shop it belongs to, the path of what it settles, its form.

    ``key`` is the path as the tables of keys have it, without ids.
    """

    part: str
    path: str
    key: str
    form: Form = Form.VALUE
    listed: Listed | None = None


LATHE = ("name", "nose", "spindle_bore", "spindle_length", "motor_power_w")
SLIDES = {
    "cross-slide": "lathe.cross_slide",
    "top slide": "lathe.top_slide",
    "carriage": "lathe.carriage",
    "tailstock quill": "lathe.tailstock.quill",
}
OF_A_SLIDE = (
    "clockwise",
    "dial.lead",
    "dial.marks",
    "dial.reads",
    "dial.engraved",
    "dial.settable",
    "per_turn",
    "slack",
)
"""Asked of each slide, where its file has the key; the engraving last of what it is compared with."""
CHUCK = ("jaws", "max_rpm", "body_diameter", "jaw_length", "grip_smallest", "grip_largest", "runout")
OF_A_TOOL = {
    "turning and facing": ("nose_radius",),
    "boring": ("bar_diameter", "reach"),
    "parting": ("width", "reach"),
    "grooving": ("width", "reach"),
    "edge tool, pointing in": ("width",),
    "edge tool, pointing out": ("bar_diameter", "reach"),
}
"""What decides of each kind of tool; the rest is for the file."""
LISTS = (
    Listed(
        part="speeds",
        path="lathe.speed",
        asks="Speeds of the spindle: turns a minute, and what the hand sets.",
        read_line=speed_row,
        example="120 low belt, large step",
    ),
    Listed(
        part="feeds along",
        path="lathe.feed_along",
        asks="Feeds of the gearbox along the bed: travel in a turn, and what the hand sets.",
        read_line=feed_row,
        example="0.05 mm knob 2, along",
    ),
    Listed(
        part="feeds across",
        path="lathe.feed_across",
        asks="Feeds of the gearbox across the bed: travel in a turn, and what the hand sets.",
        read_line=feed_row,
        example="0.025 mm knob 2, across",
    ),
)
DRILLS = Listed(
    part="drills",
    path="drill",
    asks="Twist drills that you have: diameters, or numbers and letters.",
    read_line=drill_row,
    example="6 mm; 1/2 in; #7; 18 mm dubbed",
)
BARS = Listed(
    part="bars",
    path="bar",
    asks="Bars that you have: metal, diameter x length.",
    read_line=bar_row,
    example="cu_cw614n 20 mm x 300 mm",
)


def questions_about(values: Values, *, from_template: bool) -> tuple[Question, ...]:
    """Questions about a shop file, in their order.

    Parameters
    ----------
    values : mapping
        The file, parsed: only what it has is asked about.
    from_template : bool
        Whether it is a starting file, in which every length names its unit, so that the file's units are free.
    """
    asked = [*_lathe(values, from_template=from_template), *_slides(values), *_things(values)]
    return tuple(asked)


def _lathe(values: Values, *, from_template: bool) -> Iterator[Question]:
    if from_template:
        yield Question(part="units", path="units", key="units")
    for key in LATHE:
        yield Question(part="lathe", path=f"lathe.{key}", key=f"lathe.{key}")
    yield from (_list(listed) for listed in LISTS if value_at(values, listed.path))
    chuck = "lathe.chuck"
    yield from (
        Question(part="chuck", path=f"{chuck}.{key}", key=f"{chuck}.{key}") for key in CHUCK if value_at(values, chuck)
    )


def _slides(values: Values) -> Iterator[Question]:
    for part, path in SLIDES.items():
        for key in OF_A_SLIDE:
            if value_at(values, f"{path}.{key}") is not None:
                yield Question(part=part, path=f"{path}.{key}", key=f"{path}.{key}")
    path = "lathe.tailstock.drill_chuck_largest"
    yield Question(part="tailstock", path=path, key=path)


def _things(values: Values) -> Iterator[Question]:
    for row, path in _rows(values, "tool"):
        yield Question(part="tools", path=path, key="tool", form=Form.HAVE)
        for key in OF_A_TOOL.get(row.get("kind", ""), ()):
            if key in row:
                yield Question(part="tools", path=f"{path}.{key}", key=f"tool[].{key}")
    yield _list(DRILLS)
    for _, path in _rows(values, "gauge"):
        yield Question(part="gauges", path=path, key="gauge", form=Form.HAVE)
    yield _list(BARS)
    for _, path in _rows(values, "holding"):
        yield Question(part="holdings", path=path, key="holding", form=Form.HAVE)


def _list(listed: Listed) -> Question:
    return Question(part=listed.part, path=listed.path, key=listed.path, form=Form.LIST, listed=listed)


def _rows(values: Values, key: str) -> Iterator[tuple[Mapping[str, Any], str]]:
    for place, row in enumerate(values.get(key, ()), start=1):
        yield row, row_path(key, row, place)
