"""Dimensions, leaders and arrows as plain lines, filled arrowheads and texts, all in mm of paper.

Habits of ISO 129-1 from memory: narrow lines, filled arrowheads, the figure above its line, read from below or from the
right; where there is no room between the extension lines, arrows and figure stand outside.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, cos, degrees, hypot, radians, sin

from handwheel.drawing.letters import text_width_mm
from handwheel.drawing.model import (
    Anchor,
    Arc,
    Arrow,
    Corner,
    Dimension,
    DimensionKind,
    DimensionText,
    Leader,
    Line,
    Outline,
    Region,
    Shade,
    Spot,
    Text,
)

ARROW_MM, ARROW_HALF_MM = 2.5, 0.4
"""Length of an arrowhead and half its width on paper. [mm]"""
PAST_MM = 1.5
"""How far an extension line runs on behind its dimension line. [mm]"""
OFF_MM = 0.8
"""Gap between what is measured and its extension line. [mm]"""
ABOVE_MM = 0.8
"""Gap between a line and the letters on it. [mm]"""
TAIL_MM = 5.0
"""Length of a dimension line outside, behind an arrowhead that points inward. [mm]"""
DEVIATION_SHARE = 0.7
"""Height of deviations as a share of that of the size."""
STACK_SHARE = 1.35
"""Distance of two stacked lines of letters as a share of their height."""
SPACE_SHARE = 0.5
"""Space between a size and its deviations as a share of the height of letters."""
READ_FROM_RIGHT_DEG = 90.0
MOTION_HALF_MM, MOTION_HEAD_MM, MOTION_HEAD_HALF_MM = 0.5, 3.0, 1.6
"""Half the shaft, length and half the width of the head of a bold arrow. [mm]"""

Plain = Line | Arc | Region | Text


def plain_items(item: Dimension | Leader | Arrow) -> tuple[Plain, ...]:
    """Lines, heads and texts of a dimension, leader or arrow given in mm of paper."""
    if isinstance(item, Leader):
        return tuple(_leader(item))
    if isinstance(item, Arrow):
        return (_bold(item),)
    return tuple(_MAKERS[item.kind](item))


def _moved(spot: Spot, angle_deg: float, by_mm: float) -> Spot:
    return Spot(spot.x_mm + by_mm * cos(radians(angle_deg)), spot.y_mm + by_mm * sin(radians(angle_deg)))


def arrowhead(tip: Spot, angle_deg: float, *, half_mm: float = ARROW_HALF_MM, layer: str = "") -> Region:
    """Filled head with its tip at a place, pointing in a direction, so wide to either side. [mm, deg]"""
    foot = _moved(tip, angle_deg, -ARROW_MM)
    sides = (_moved(foot, angle_deg + sign * READ_FROM_RIGHT_DEG, half_mm) for sign in (1.0, -1.0))
    corners = tuple(Corner(*spot) for spot in (tip, *sides))
    return Region(outlines=(Outline(corners=corners),), fill=Shade.BLACK, layer=layer)


def _bold(item: Arrow) -> Region:
    angle = degrees(atan2(item.end.y_mm - item.start.y_mm, item.end.x_mm - item.start.x_mm))
    foot = _moved(item.end, angle, -MOTION_HEAD_MM)
    left, right = angle + READ_FROM_RIGHT_DEG, angle - READ_FROM_RIGHT_DEG
    spots = (
        item.end,
        _moved(foot, left, MOTION_HEAD_HALF_MM),
        _moved(foot, left, MOTION_HALF_MM),
        _moved(item.start, left, MOTION_HALF_MM),
        _moved(item.start, right, MOTION_HALF_MM),
        _moved(foot, right, MOTION_HALF_MM),
        _moved(foot, right, MOTION_HEAD_HALF_MM),
    )
    return Region(
        outlines=(Outline(corners=tuple(Corner(*spot) for spot in spots)),), fill=Shade.BLACK, layer=item.layer
    )


def words_width_mm(text: DimensionText, height_mm: float) -> float:
    """Width of the words of a dimension on paper. [mm]"""
    stack = max(text_width_mm(words, height_mm=_stack_height(text, height_mm)) for words in (text.upper, text.lower))
    space = SPACE_SHARE * height_mm if stack and text.main else 0.0
    return text_width_mm(text.main, height_mm=height_mm) + space + stack


def words_height_mm(text: DimensionText, height_mm: float) -> float:
    """Height of the words of a dimension on paper. [mm]"""
    small = _stack_height(text, height_mm)
    return small * (1.0 + STACK_SHARE) if text.upper or text.lower else height_mm


def _stack_height(text: DimensionText, height_mm: float) -> float:
    return height_mm if text.limits else height_mm * DEVIATION_SHARE


def _words(item: Dimension, middle: Spot, angle_deg: float) -> Iterator[Text]:
    """Words of a dimension above a place on its line, centred on it.

    Size and deviations meet at one place, where the one ends and the others begin: so they join in any letters.
    """
    text, height = item.text, item.height_mm
    total, small = words_height_mm(text, height), _stack_height(text, height)
    alone = not (text.upper or text.lower)
    main_mm = text_width_mm(text.main, height_mm=height)
    joint = main_mm - words_width_mm(text, height) / 2.0
    behind = joint + (SPACE_SHARE * height if text.main else 0.0)
    up = angle_deg + READ_FROM_RIGHT_DEG

    def line(words: str, along_mm: float, above_mm: float, high_mm: float, anchor: Anchor) -> Text:
        at = _moved(_moved(middle, angle_deg, along_mm), up, ABOVE_MM + above_mm)
        return Text(at=at, text=words, height_mm=high_mm, anchor=anchor, angle_deg=angle_deg, layer=item.layer)

    if text.main and alone:
        yield line(text.main, 0.0, 0.0, height, Anchor.MIDDLE)
    elif text.main:
        yield line(text.main, joint, (total - height) / 2.0, height, Anchor.END)
    if text.upper:
        yield line(text.upper, behind, small * STACK_SHARE, small, Anchor.START)
    if text.lower:
        yield line(text.lower, behind, 0.0, small, Anchor.START)


def _readable(angle_deg: float) -> float:
    """The same direction or its opposite, so that letters along it read from below or from the right. [deg]"""
    turned = (angle_deg + READ_FROM_RIGHT_DEG) % (2.0 * READ_FROM_RIGHT_DEG) - READ_FROM_RIGHT_DEG
    return READ_FROM_RIGHT_DEG if turned == -READ_FROM_RIGHT_DEG else turned


def _linear(item: Dimension) -> Iterator[Plain]:
    angle = item.angle_deg
    first, second = (_foot(spot, item.line_at, angle) for spot in (item.first, item.second))
    for spot, foot in ((item.first, first), (item.second, second)):
        yield from _extension(spot, foot, layer=item.layer)
    ahead = degrees(atan2(second.y_mm - first.y_mm, second.x_mm - first.x_mm))
    length = hypot(second.x_mm - first.x_mm, second.y_mm - first.y_mm)
    width = words_width_mm(item.text, item.height_mm)
    inside = length >= 2.0 * ARROW_MM + ABOVE_MM
    yield arrowhead(first, ahead + (180.0 if inside else 0.0), layer=item.layer)
    yield arrowhead(second, ahead + (0.0 if inside else 180.0), layer=item.layer)
    fits = width <= (length - 2.0 * ABOVE_MM if inside else length - ABOVE_MM)
    begin = first if inside else _moved(first, ahead, -TAIL_MM)
    end = second
    if not fits:
        end = _moved(second, ahead, ARROW_MM + width + ABOVE_MM)
    elif not inside:
        end = _moved(second, ahead, TAIL_MM)
    yield Line(start=begin, end=end, layer=item.layer)
    middle = Spot((first.x_mm + second.x_mm) / 2.0, (first.y_mm + second.y_mm) / 2.0)
    yield from _words(item, middle if fits else _moved(second, ahead, ARROW_MM + width / 2.0), _readable(angle))


def _foot(spot: Spot, line_at: Spot, angle_deg: float) -> Spot:
    """Where a place is projected onto the dimension line."""
    across = angle_deg + READ_FROM_RIGHT_DEG
    way = (line_at.x_mm - spot.x_mm) * cos(radians(across)) + (line_at.y_mm - spot.y_mm) * sin(radians(across))
    return _moved(spot, across, way)


def _extension(spot: Spot, foot: Spot, *, layer: str) -> Iterator[Line]:
    way = hypot(foot.x_mm - spot.x_mm, foot.y_mm - spot.y_mm)
    if way <= OFF_MM:
        return
    angle = degrees(atan2(foot.y_mm - spot.y_mm, foot.x_mm - spot.x_mm))
    yield Line(start=_moved(spot, angle, OFF_MM), end=_moved(foot, angle, PAST_MM), layer=layer)


def _radius(item: Dimension) -> Iterator[Plain]:
    """Arrow from the words to the arc, on the line from its centre."""
    inward = degrees(atan2(item.second.y_mm - item.line_at.y_mm, item.second.x_mm - item.line_at.x_mm))
    yield arrowhead(item.second, inward, layer=item.layer)
    yield Line(start=item.line_at, end=item.second, layer=item.layer)
    width = words_width_mm(item.text, item.height_mm)
    sign = 1.0 if item.line_at.x_mm >= item.second.x_mm else -1.0
    end = _moved(item.line_at, 0.0, sign * width)
    yield Line(start=item.line_at, end=end, layer=item.layer)
    yield from _words(item, Spot((item.line_at.x_mm + end.x_mm) / 2.0, item.line_at.y_mm), 0.0)


def _angle(item: Dimension) -> Iterator[Plain]:
    """Arc round the corner with the words outside its middle."""
    apex = item.apex or item.first
    radius = hypot(item.line_at.x_mm - apex.x_mm, item.line_at.y_mm - apex.y_mm)
    first = degrees(atan2(item.first.y_mm - apex.y_mm, item.first.x_mm - apex.x_mm))
    last = first + item.measured
    arc = Arc(centre=apex, radius_mm=radius, start_deg=first, end_deg=last, layer=item.layer)
    for spot, angle in ((item.first, first), (item.second, last)):
        yield from _extension(spot, arc.at(angle), layer=item.layer)
    yield arc
    yield arrowhead(arc.at(first), first - READ_FROM_RIGHT_DEG, layer=item.layer)
    yield arrowhead(arc.at(last), last + READ_FROM_RIGHT_DEG, layer=item.layer)
    half = words_width_mm(item.text, item.height_mm) / 2.0
    middle = (first + last) / 2.0
    yield from _words(item, _moved(arc.at(middle), middle, half + ABOVE_MM), 0.0)


def _leader(item: Leader) -> Iterator[Plain]:
    ahead = degrees(atan2(item.tip.y_mm - item.elbow.y_mm, item.tip.x_mm - item.elbow.x_mm))
    rightward = item.elbow.x_mm >= item.tip.x_mm
    width = text_width_mm(item.text, height_mm=item.height_mm)
    shelf = _moved(item.elbow, 0.0, width if rightward else -width)
    yield arrowhead(item.tip, ahead, layer=item.layer)
    yield Line(start=item.elbow, end=item.tip, layer=item.layer)
    yield Line(start=item.elbow, end=shelf, layer=item.layer)
    at = Spot(min(item.elbow.x_mm, shelf.x_mm), item.elbow.y_mm + ABOVE_MM)
    yield Text(at=at, text=item.text, height_mm=item.height_mm, anchor=Anchor.START, layer=item.layer)


_MAKERS = {
    DimensionKind.LINEAR: _linear,
    DimensionKind.DIAMETER: _linear,
    DimensionKind.RADIUS: _radius,
    DimensionKind.ANGLE: _angle,
}
