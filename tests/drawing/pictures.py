"""Drawings of the demo plans, each made once, and small readers of drawings."""

from __future__ import annotations

from functools import cache
from itertools import combinations
from math import cos, radians, sin
from typing import TYPE_CHECKING, NamedTuple

from handwheel.drawing.dimensioning import plain_items
from handwheel.drawing.letters import text_width_mm
from handwheel.drawing.model import Anchor, Arrow, Dimension, Drawing, Leader, Text
from handwheel.drawing.placing import on_paper
from handwheel.drawing.shots import Shot, shots
from handwheel.service.drawings import PlanDrawings, drawings_of
from tests.demo_plans import demo_plan, demo_shop

if TYPE_CHECKING:
    from collections.abc import Iterator


class Box(NamedTuple):
    """Room that letters take on paper, and the letters. [mm]"""

    left_mm: float
    bottom_mm: float
    right_mm: float
    top_mm: float
    words: str


@cache
def demo_drawings(part: str, lathe: str) -> PlanDrawings:
    return drawings_of(demo_plan(part, lathe), demo_shop(lathe))


@cache
def demo_shots(part: str, lathe: str) -> tuple[Shot, ...]:
    return shots(demo_plan(part, lathe).sheet, demo_shop(lathe))


def texts_of(drawing: Drawing) -> Iterator[Text]:
    """Every line of letters, those of dimensions and leaders too, in mm of paper."""
    for item in on_paper(drawing).items:
        if isinstance(item, Text):
            yield item
        elif isinstance(item, Dimension | Leader | Arrow):
            yield from (plain for plain in plain_items(item) if isinstance(plain, Text))


def room_of(text: Text) -> Box:
    """Box round a line of letters, as wide as its letters are estimated."""
    width = text_width_mm(text.text, height_mm=text.height_mm, bold=text.bold)
    before = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2.0, Anchor.END: width}[text.anchor]
    c, s = cos(radians(text.angle_deg)), sin(radians(text.angle_deg))
    corners = [
        (text.at.x_mm + along * c - up * s, text.at.y_mm + along * s + up * c)
        for along in (-before, width - before)
        for up in (0.0, text.height_mm)
    ]
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return Box(min(xs), min(ys), max(xs), max(ys), text.text)


def collisions(drawing: Drawing) -> list[tuple[str, str]]:
    """Pairs of lines of letters that share room."""
    rooms = [room_of(text) for text in texts_of(drawing)]
    slack = 0.05
    return [
        (one.words, other.words)
        for one, other in combinations(rooms, 2)
        if one.left_mm < other.right_mm - slack
        and other.left_mm < one.right_mm - slack
        and one.bottom_mm < other.top_mm - slack
        and other.bottom_mm < one.top_mm - slack
    ]


def outside_paper(drawing: Drawing) -> list[str]:
    """Lines of letters that run over the paper's edge."""
    slack = 0.05
    return [
        room.words
        for room in map(room_of, texts_of(drawing))
        if room.left_mm < -slack
        or room.bottom_mm < -slack
        or room.right_mm > drawing.paper_width_mm + slack
        or room.top_mm > drawing.paper_height_mm + slack
    ]
