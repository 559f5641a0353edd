"""Pictures in rows, numbered as they come: a whole job on one strip of paper."""

from __future__ import annotations

from collections.abc import Sequence

from handwheel.drawing.model import LARGE_LETTER_MM, SMALL_LETTER_MM, Drawing, Item, Line, Pen, Spot, Text, ViewBox
from handwheel.drawing.placing import items_at

COLUMNS = 2
GAP_MM = 10.0
"""Between two pictures of a row. [mm]"""
ROW_GAP_MM = 6.0
"""Between two rows, a line in its middle. [mm]"""
HEAD_MM = 12.0
"""Room for the title and what the pictures mean. [mm]"""
TOP_MM = 1.0
"""Between the paper's edge and the capitals of the title: small letters rise above them. [mm]"""
KEY = "Black is cut away, hatched stays. The tool stands where its last cut ends; the arrow is the way it is fed."


def strip(pictures: Sequence[Drawing], *, title: str) -> Drawing:
    """Join pictures into one drawing, in rows of two, each row as high as its highest picture.

    Raises
    ------
    ValueError
        If there is no picture.
    """
    if not pictures:
        msg = f"{title}: no picture to put on a strip"
        raise ValueError(msg)
    rows = [pictures[place : place + COLUMNS] for place in range(0, len(pictures), COLUMNS)]
    column = max(picture.paper_width_mm for picture in pictures)
    width = COLUMNS * column + (COLUMNS - 1) * GAP_MM
    heights = [max(picture.paper_height_mm for picture in row) for row in rows]
    height = HEAD_MM + sum(heights) + ROW_GAP_MM * len(rows)
    items: list[Item] = [
        Text(
            at=Spot(0.0, height - LARGE_LETTER_MM - TOP_MM),
            text=title,
            height_mm=LARGE_LETTER_MM,
            bold=True,
            layer="title",
        ),
        Text(at=Spot(0.0, height - HEAD_MM + 2.0), text=KEY, height_mm=SMALL_LETTER_MM, layer="words"),
    ]
    top = height - HEAD_MM
    for row, high in zip(rows, heights, strict=True):
        line = top - ROW_GAP_MM / 2.0
        items.append(Line(start=Spot(0.0, line), end=Spot(width, line), pen=Pen.THIN, layer="rows"))
        top -= ROW_GAP_MM
        for place, picture in enumerate(row):
            items += items_at(picture, Spot(place * (column + GAP_MM), top - picture.paper_height_mm))
        top -= high
    told = " ".join(f"{picture.title}." for picture in pictures)
    box = ViewBox(left_mm=0.0, bottom_mm=0.0, right_mm=width, top_mm=height)
    return Drawing(title=title, description=f"{KEY} {told}", box=box, items=tuple(items))
