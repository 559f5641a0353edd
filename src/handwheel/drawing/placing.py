"""Moves what is drawn to another place at another size, so that drawings can stand side by side on one paper."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from handwheel.drawing.model import (
    Arc,
    Arrow,
    Corner,
    Dimension,
    Drawing,
    Item,
    Leader,
    Line,
    Outline,
    Path,
    Region,
    Spot,
    Text,
    ViewBox,
)

Place = Callable[[Spot], Spot]


def on_paper(drawing: Drawing) -> Drawing:
    """Return the same drawing with places in mm of paper, its lower left corner at (0, 0), at a scale of 1."""
    if drawing.scale == 1.0 and (drawing.box.left_mm, drawing.box.bottom_mm) == (0.0, 0.0):
        return drawing
    return replace(
        drawing,
        box=ViewBox(left_mm=0.0, bottom_mm=0.0, right_mm=drawing.paper_width_mm, top_mm=drawing.paper_height_mm),
        items=items_at(drawing, Spot(0.0, 0.0)),
        scale=1.0,
    )


def items_at(drawing: Drawing, corner: Spot, *, scale: float = 1.0) -> tuple[Item, ...]:
    """Items of a drawing as part of another of some scale, the lower left corner of its box at a place there. [mm]"""
    scale, box = drawing.scale / scale, drawing.box

    def place(spot: Spot) -> Spot:
        return Spot(corner.x_mm + (spot.x_mm - box.left_mm) * scale, corner.y_mm + (spot.y_mm - box.bottom_mm) * scale)

    return tuple(placed(item, place, scale) for item in drawing.items)


def placed(item: Item, place: Place, scale: float) -> Item:
    """Return an item with its places moved; ``scale`` is that of lengths."""
    match item:
        case Line() | Arrow():
            return replace(item, start=place(item.start), end=place(item.end))
        case Arc():
            return replace(item, centre=place(item.centre), radius_mm=item.radius_mm * scale)
        case Path() | Region():
            return _outlined(item, place)
        case Text():
            return replace(item, at=place(item.at))
        case Leader():
            return replace(item, tip=place(item.tip), elbow=place(item.elbow))
        case Dimension():
            return replace(
                item,
                first=place(item.first),
                second=place(item.second),
                line_at=place(item.line_at),
                apex=None if item.apex is None else place(item.apex),
            )


def _outlined(item: Path | Region, place: Place) -> Path | Region:
    if isinstance(item, Path):
        return replace(item, outline=_outline(item.outline, place))
    return replace(item, outlines=tuple(_outline(outline, place) for outline in item.outlines))


def _outline(outline: Outline, place: Place) -> Outline:
    corners = tuple(Corner(*place(corner.spot), corner.bulge) for corner in outline.corners)
    return Outline(corners=corners, closed=outline.closed)
