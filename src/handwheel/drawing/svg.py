"""Writes a drawing as SVG in mm of paper, that needs nothing from outside and runs no script."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from handwheel.drawing.dimensioning import plain_items
from handwheel.drawing.hatching import hatch_lines
from handwheel.drawing.letters import font_size_mm
from handwheel.drawing.model import (
    FULL_TURN_DEG,
    Anchor,
    Arc,
    Arrow,
    Corner,
    Dimension,
    Drawing,
    Hatch,
    Item,
    Leader,
    Line,
    Outline,
    Path,
    Pen,
    Region,
    Shade,
    Spot,
    Text,
    radius_mm,
)
from handwheel.drawing.placing import on_paper

FONTS = ("Source Sans Pro", "Source Sans 3", "Lato", "Roboto", "DejaVu Sans", "Helvetica", "Arial", "sans-serif")
"""Families tried in turn: first that of the printed sheet, then other open ones."""
PLACES = 3
"""Decimals of a millimetre on paper."""
HALO_MM = 0.7
"""White round letters, so that no line runs through them. [mm]"""
HALF_TURN_BULGE = 1.0
"""An arc that bulges more turns by more than half a circle."""


def svg_text(drawing: Drawing, *, prefix: str, fonts: tuple[str, ...] = FONTS, lettered: bool = True) -> str:
    """Return a drawing as SVG.

    Parameters
    ----------
    drawing : Drawing
        What is drawn.
    prefix : str
        Stands before every id, so that several drawings can stand on one page.
    fonts : tuple of str
        Families of letters, tried in turn.
    lettered : bool
        Whether letters are in it; without them it is for who sets `letters_of` above it.
    """
    paper = on_paper(drawing)
    width, height = _number(drawing.paper_width_mm), _number(drawing.paper_height_mm)
    title, told = f"{prefix}-title", f"{prefix}-desc"
    families = ", ".join(f"'{name}'" if " " in name else name for name in fonts)
    root = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" style="background:white" role="img" '
        f'aria-labelledby="{_safe(title)} {_safe(told)}">'
    )
    group = (
        f'<g id="{_safe(prefix)}-drawing" fill="none" stroke="black" stroke-linecap="butt" stroke-linejoin="round" '
        f'font-family="{_safe(families)}">'
    )
    told_first = (
        f'<title id="{_safe(title)}">{_safe(drawing.title)}</title>',
        f'<desc id="{_safe(told)}">{_safe(drawing.description)}</desc>',
    )
    sheet = _Paper(drawing.paper_height_mm)
    items = (item for item in _simple(paper.items) if lettered or not isinstance(item, Text))
    drawn = (line for item in items for line in _item(item, sheet))
    return "\n".join((root, *told_first, group, *drawn, "</g>", "</svg>", ""))


def as_lettered(text: str) -> str:
    """Letters as they are set: with the longer sign for less, where they are typed with a hyphen.

    Examples
    --------
    >>> as_lettered("-0.05, M6-6H")
    '−0.05, M6-6H'
    """
    return _LESS.sub(MINUS, text)


def letters_of(drawing: Drawing) -> tuple[Text, ...]:
    """Texts of a drawing, those of its dimensions too, in mm of paper, y upward, in the order in which they cover."""
    return tuple(item for item in _simple(on_paper(drawing).items) if isinstance(item, Text))


_Simple = Line | Arc | Path | Region | Text


def _simple(items: Iterable[Item]) -> Iterator[_Simple]:
    """Items on paper, with those put for dimensions, leaders and arrows that they are drawn of."""
    for item in items:
        if isinstance(item, Dimension | Leader | Arrow):
            yield from plain_items(item)
        else:
            yield item


_ESCAPED = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;"})
MINUS = "\N{MINUS SIGN}"
_LESS = re.compile(r"(?<![\w)])-(?=\d)")
"""A hyphen before a figure that stands for less; letters are typed with it, and set with the longer sign."""
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def _safe(text: str) -> str:
    """Text as it may stand in XML: signs escaped, letters that XML does not allow left out."""
    return _NOT_XML.sub("", text).translate(_ESCAPED)


class _Paper:
    """Turns places on paper, counted upward, into those of SVG, counted downward."""

    def __init__(self, height_mm: float) -> None:
        self._height_mm = height_mm

    def xy(self, spot: Spot) -> tuple[str, str]:
        return _number(spot.x_mm), _number(self._height_mm - spot.y_mm)

    def pair(self, spot: Spot | Corner) -> str:
        return f"{_number(spot[0])} {_number(self._height_mm - spot[1])}"


def _number(value: float) -> str:
    text = f"{value:.{PLACES}f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def _item(item: _Simple, paper: _Paper) -> Iterator[str]:
    match item:
        case Line():
            way = f"M{paper.pair(item.start)} L{paper.pair(item.end)}"
            yield f'<path d="{way}"{_stroke(item.pen)}{_layer(item.layer)}/>'
        case Arc():
            yield _arc(item, paper)
        case Path():
            yield f'<path d="{_outline(item.outline, paper)}"{_stroke(item.pen)}{_layer(item.layer)}/>'
        case Region():
            yield from _region(item, paper)
        case Text():
            yield _text(item, paper)


def _layer(layer: str) -> str:
    return f' class="{_safe(layer)}"' if layer else ""


def _stroke(pen: Pen) -> str:
    dashes = " ".join(_number(length) for length in pen.dashes_mm)
    return f' stroke-width="{_number(pen.width_mm)}"' + (f' stroke-dasharray="{dashes}"' if dashes else "")


def _arc(item: Arc, paper: _Paper) -> str:
    tail = f"{_stroke(item.pen)}{_layer(item.layer)}/>"
    radius = _number(item.radius_mm)
    if item.is_circle:
        x, y = paper.xy(item.centre)
        return f'<circle cx="{x}" cy="{y}" r="{radius}"{tail}'
    large = int((item.end_deg - item.start_deg) % FULL_TURN_DEG > FULL_TURN_DEG / 2.0)
    start, end = item.at(item.start_deg), item.at(item.end_deg)
    return f'<path d="M{paper.pair(start)} A{radius} {radius} 0 {large} 0 {paper.pair(end)}"{tail}'


def _outline(outline: Outline, paper: _Paper) -> str:
    corners = outline.corners
    if not any(bulge for _, _, bulge in corners):
        ends = (*corners, corners[0]) if outline.closed else corners
        return f"M{' L'.join(map(paper.pair, ends))}{' Z' if outline.closed else ''}"
    pieces = [f"M{paper.pair(outline.corners[0])}"]
    for first, second in outline.legs:
        if first.bulge == 0:
            pieces.append(f"L{paper.pair(second)}")
            continue
        radius = _number(radius_mm(first, second))
        large, anticlockwise = int(abs(first.bulge) > HALF_TURN_BULGE), first.bulge > 0
        # y points down on this paper: what turns anticlockwise in the model has sweep flag 0
        pieces.append(f"A{radius} {radius} 0 {large} {int(not anticlockwise)} {paper.pair(second)}")
    if outline.closed:
        pieces.append("Z")
    return " ".join(pieces)


def _region(item: Region, paper: _Paper) -> Iterator[str]:
    layer = _layer(item.layer)
    if isinstance(item.fill, Shade):
        way = _outlines(item, paper)
        yield f'<path d="{way}" fill="{item.fill.value}" fill-rule="evenodd" stroke="none"{layer}/>'
    if isinstance(item.fill, Hatch):
        lines = hatch_lines(item.outlines, item.fill)
        if lines:
            hatch = " ".join(f"M{paper.pair(line.start)} L{paper.pair(line.end)}" for line in lines)
            kind = f"{item.layer} hatch".strip()
            yield f'<path d="{hatch}"{_stroke(Pen.THIN)}{_layer(kind)}/>'
    if item.pen is not None:
        yield f'<path d="{_outlines(item, paper)}"{_stroke(item.pen)}{layer}/>'


def _outlines(item: Region, paper: _Paper) -> str:
    return " ".join(_outline(outline, paper) for outline in item.outlines)


def _text(item: Text, paper: _Paper) -> str:
    x, y = paper.xy(item.at)
    turn = f' transform="rotate({_number(-item.angle_deg)} {x} {y})"' if item.angle_deg else ""
    anchor = f' text-anchor="{item.anchor.value}"' if item.anchor is not Anchor.START else ""
    weight = ' font-weight="bold"' if item.bold else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{_number(font_size_mm(item.height_mm))}"{anchor}{weight}{turn} fill="black" '
        f'stroke="white" stroke-width="{_number(HALO_MM)}" paint-order="stroke"{_layer(item.layer)}>'
        f"{_safe(as_lettered(item.text))}</text>"
    )
