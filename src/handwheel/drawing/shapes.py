"""Regions of the half section as outlines of a drawing, cut off at the edge of a window without a line along it."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.domain.contour import Point
from handwheel.drawing.model import Corner, Hatch, Item, Outline, Path, Pen, Region, Shade, Spot, ViewBox
from handwheel.drawing.seen import seen
from handwheel.geometry import region as plane

ON_BORDER_MM = 1e-6
"""How near the window's edge a line must lie to be the cut through something that goes on behind it. [mm]"""
AXIS_MM = 0.0
"""Where the axis lies in the picture. [mm]"""


def outlines_of(region: plane.Region) -> tuple[Outline, ...]:
    """Outlines of a region as it is seen, holes included, without arcs."""
    return tuple(
        Outline(corners=tuple(Corner(*seen(Point(float(z), float(x)))) for z, x in ring[:-1]))
        for ring in plane.rings(region)
    )


def in_window(region: plane.Region, window: ViewBox) -> plane.Region:
    """What of a region lies in a window of the picture."""
    corners = plane.rectangle(window.left_mm, window.right_mm, -window.top_mm, -window.bottom_mm)
    return plane.intersection(region, corners)


def drawn(
    region: plane.Region, window: ViewBox, *, fill: Hatch | Shade | None, pen: Pen | None, layer: str
) -> Iterator[Item]:
    """Fill and edges of what of a region lies in a window."""
    outlines = outlines_of(in_window(region, window))
    if not outlines:
        return
    if fill is not None:
        yield Region(outlines=outlines, fill=fill, layer=layer)
    if pen is not None:
        for outline in outlines:
            for chain in _edges(outline, window):
                yield Path(outline=chain, pen=pen, layer=layer)


def _edges(outline: Outline, window: ViewBox) -> Iterator[Outline]:
    """Runs of an outline that lie neither on the window's border nor on the axis, where the other half goes on."""
    legs = outline.legs
    kept = [not _on_border(first.spot, second.spot, window) for first, second in legs]
    if all(kept):
        yield outline
        return
    gap = kept.index(False)
    run: list[Corner] = []
    for place in range(gap + 1, gap + 1 + len(legs)):
        first, second = legs[place % len(legs)]
        if kept[place % len(legs)]:
            run = [*(run or [first]), second]
        elif run:
            yield Outline(corners=tuple(run), closed=False)
            run = []


def _on_border(first: Spot, second: Spot, window: ViewBox) -> bool:
    borders = ((window.left_mm, 0), (window.right_mm, 0), (window.bottom_mm, 1), (window.top_mm, 1), (AXIS_MM, 1))
    return any(abs(first[way] - at) < ON_BORDER_MM and abs(second[way] - at) < ON_BORDER_MM for at, way in borders)
