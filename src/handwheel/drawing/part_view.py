"""The finished part as a drawing: full section, all sizes with their limits, edges enlarged, notes below.

Habits of ISO 128 and ISO 129-1, from memory. The front face, which looks to the tailstock, is on the right.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from handwheel.domain.contour import Contour, Segment
from handwheel.domain.part import Aspect, Part, SizedFeature
from handwheel.drawing.dimensioning import ARROW_MM, words_width_mm
from handwheel.drawing.letters import text_width_mm, wrapped
from handwheel.drawing.model import (
    FULL_TURN_DEG,
    LARGE_LETTER_MM,
    LETTER_MM,
    Anchor,
    Arc,
    Corner,
    Dimension,
    DimensionKind,
    DimensionText,
    Drawing,
    Item,
    Line,
    Outline,
    Path,
    Pen,
    Region,
    Spot,
    Text,
    ViewBox,
    bulge_of,
)
from handwheel.drawing.part_edges import SECTION, Edge, edge_detail, edges_of
from handwheel.drawing.part_notes import part_notes
from handwheel.drawing.placing import items_at
from handwheel.drawing.roughness_mark import roughness_marks
from handwheel.drawing.size_text import size_text
from handwheel.drawing.words import Words

SCALES = (10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1)
"""Scales of a drawing; from memory of ISO 5455."""
VIEW_WIDTH_MM, VIEW_HEIGHT_MM = 70.0, 95.0
"""Room for the section itself on paper. [mm]"""
PAPER_WIDTH_MM = 180.0
"""Width of the drawing on paper, at least: what is left of A4 between its margins. [mm]"""
FIRST_MM, NEXT_MM = 10.0, 9.0
"""Distance of the first dimension line from the part, and of each from the one before it. [mm]"""
BORDER_MM, COLUMN_MM = 8.0, 8.0
"""Room beyond the outermost dimension lines; between section and enlarged views. [mm]"""
CENTRE_OVER_MM = 4.0
"""How far a centre line runs beyond the part on paper. [mm]"""
RING_MM, LETTER_OFF_MM = 2.4, 1.2
"""Radius of the circle round an edge, on paper, at least; distance of its letter from that. [mm]"""
NOTE_LINE_MM = 4.6
"""Distance of the lines of notes on paper. [mm]"""
REFERENCE_MM = 10.0
"""Length of the line that tells whether a print or a file is true to scale. [mm]"""
BETWEEN_MM = 5.0
"""Words stand between the arrows of a diameter if that much is left beside them on paper. [mm]"""
REFERENCE_WORDS = f"this line is {REFERENCE_MM:g} mm of the part"
REFERENCE_LINES = 2
"""It is as high as so many lines of notes."""
REFERENCE_OFF_MM = 2.2
"""Its words stand so far above it on paper, clear of its ends. [mm]"""
THROUGH_SHARE = 0.2
"""What ends about as far from both faces, to this share of the width, goes right through."""
WIDE_SHARE = 2.0
"""The circle round an edge is so many legs wide."""


class _Sizes(Struct, frozen=True, kw_only=True):
    """Diameters read on the left and on the right, lengths read below and above."""

    left: tuple[SizedFeature, ...]
    right: tuple[SizedFeature, ...]
    below: tuple[SizedFeature, ...]
    above: tuple[SizedFeature, ...]


def part_drawing(part: Part, *, words: Words, enlarged: bool = True) -> Drawing:
    """Drawing of a part at a scale of the usual series; places are in mm of the part, z to the right.

    Without ``enlarged`` views nothing is drawn larger than it is, as a file for other programs wants it.
    """
    scale = scale_for(part)
    sizes = _sorted(part)
    groups = edges_of(part)
    margins = _margins(part, sizes, scale)
    items: list[Item] = [*_section(part), *_centre_line(part, scale), *_thread(part), *_all_sizes(part, sizes, scale)]
    items += (*_edge_marks(groups, scale), *roughness_marks(part, scale))
    right, low = margins.right_mm, margins.bottom_mm
    if enlarged:
        details = tuple(_details(part, groups))
        at = Spot(right + COLUMN_MM / scale, margins.top_mm)
        columns, low_details, right_details = _stacked(details, at, scale)
        items += columns
        right, low = max(right, right_details), min(low, low_details)
    width = max(PAPER_WIDTH_MM / scale, right - margins.left_mm)
    notes = tuple(
        line
        for note in part_notes(part, groups, words=words, scale=scale)
        for line in wrapped(note, height_mm=LETTER_MM, width_mm=width * scale)
    )
    rows = len(notes) + (1 if _leave_room(notes[-REFERENCE_LINES:], width * scale) else REFERENCE_LINES)
    bottom = low - (rows * NOTE_LINE_MM + LARGE_LETTER_MM - NOTE_LINE_MM) / scale
    items += _notes(notes, Spot(margins.left_mm, low), scale)
    items += _reference(Spot(margins.left_mm + width, bottom + 1.0 / scale), scale)
    return Drawing(
        title=f"{part.name}: drawing of the part",
        description=f"Full section of {part.name}, front face on the right. {' '.join(notes[1:])}.",
        box=ViewBox(left_mm=margins.left_mm, right_mm=margins.left_mm + width, bottom_mm=bottom, top_mm=margins.top_mm),
        items=tuple(items),
        scale=scale,
    )


def scale_for(part: Part) -> float:
    """Largest scale of the series at which the part has room."""
    fits = (
        scale
        for scale in SCALES
        if part.width_mm * scale <= VIEW_WIDTH_MM and 2.0 * part.outside_radius_mm * scale <= VIEW_HEIGHT_MM
    )
    return next(fits, SCALES[-1])


def section_outline(part: Part, *, upper: bool) -> Outline:
    """Half of the section above or below the axis, its arcs exact. [mm]"""
    corners = (*_corners(part.outer), *_backward(part.inner))
    if upper:
        return Outline(corners=corners)
    return Outline(corners=tuple(Corner(c.x_mm, -c.y_mm, -c.bulge) for c in corners))


def _corners(contour: Contour) -> Iterator[Corner]:
    for segment in contour.segments:
        yield Corner(*segment.start, _bulge(segment))
    yield Corner(*contour.segments[-1].end)


def _backward(contour: Contour) -> Iterator[Corner]:
    for segment in reversed(contour.segments):
        yield Corner(*segment.end, -_bulge(segment))
    yield Corner(*contour.segments[0].start)


def _bulge(segment: Segment) -> float:
    if segment.centre is None:
        return 0.0
    start, end, centre = (Spot(*point) for point in (segment.start, segment.end, segment.centre))
    return bulge_of(start, end, centre, clockwise=segment.clockwise)


def _section(part: Part) -> Iterator[Item]:
    """Both halves of the section, and the edges of the hole that are seen behind it."""
    for upper in (True, False):
        yield Region(outlines=(section_outline(part, upper=upper),), fill=SECTION, pen=Pen.OUTLINE, layer="part")
    for segment in part.inner.segments:
        yield _seen_edge(segment.start.z_mm, segment.start.radius_mm)
    last = part.inner.segments[-1].end
    yield _seen_edge(last.z_mm, last.radius_mm)


def _seen_edge(z_mm: float, radius_mm: float) -> Line:
    return Line(start=Spot(z_mm, -radius_mm), end=Spot(z_mm, radius_mm), pen=Pen.OUTLINE, layer="part")


def _centre_line(part: Part, scale: float) -> Iterator[Item]:
    over = CENTRE_OVER_MM / scale
    yield Line(start=Spot(-part.width_mm - over, 0.0), end=Spot(over, 0.0), pen=Pen.CENTRE, layer="centre")


def _thread(part: Part) -> Iterator[Item]:
    """Root of a thread in the bore: a narrow line on either side."""
    if part.thread is None:
        return
    radius = float(part.thread.major_mm) / 2.0
    for sign in (1.0, -1.0):
        yield Line(start=Spot(-part.width_mm, sign * radius), end=Spot(0.0, sign * radius), layer="part")


def _sorted(part: Part) -> _Sizes:
    """Which size is read on which side, the smallest next to the part."""
    left: list[SizedFeature] = []
    right: list[SizedFeature] = []
    below: list[SizedFeature] = []
    above: list[SizedFeature] = []
    for feature in part.sizes:
        if feature.aspect is Aspect.DIAMETER:
            (right if _is_read_right(part, feature) else left).append(feature)
        elif feature.aspect is Aspect.WIDTH:
            below.append(feature)
        elif feature.aspect is Aspect.DEPTH:
            inner = part.surface(feature.surface) in part.inner.segments
            (above if inner else below).append(feature)
    return _Sizes(left=_rising(left), right=_rising(right), below=_rising(below), above=_rising(above))


def _rising(features: Iterable[SizedFeature]) -> tuple[SizedFeature, ...]:
    return tuple(sorted(features, key=lambda feature: (feature.size.nominal, feature.id)))


def _is_read_right(part: Part, feature: SizedFeature) -> bool:
    """A diameter is read on the side of the face it is nearer to; what goes right through, bores on the right."""
    segment = part.surface(feature.surface)
    if segment is None:
        return True
    to_front, to_back = -segment.start.z_mm, part.width_mm + segment.end.z_mm
    if abs(to_front - to_back) <= THROUGH_SHARE * part.width_mm:
        return segment in part.inner.segments
    return to_front < to_back


def _margins(part: Part, sizes: _Sizes, scale: float) -> ViewBox:
    """Section with the room that its dimensions take. [mm]"""

    def room(features: Sequence[SizedFeature]) -> float:
        return (FIRST_MM + NEXT_MM * max(0, len(features) - 1) + BORDER_MM) / scale

    return ViewBox(
        left_mm=-part.width_mm - room(sizes.left),
        right_mm=room(sizes.right),
        bottom_mm=-part.outside_radius_mm - room(sizes.below),
        top_mm=max(part.outside_radius_mm + room(sizes.above), _words_top_mm(part, sizes, scale)),
    )


def _words_top_mm(part: Part, sizes: _Sizes, scale: float) -> float:
    """Where the highest words of diameters end that have no room between their arrows. [mm]"""
    tops = [0.0]
    for feature in (*sizes.left, *sizes.right):
        segment = part.surface(feature.surface)
        if segment is not None:
            dia = 2.0 * max(segment.start.radius_mm, segment.end.radius_mm)
            width = words_width_mm(_words_of(part, feature), LETTER_MM)
            if width > dia * scale - BETWEEN_MM:
                tops.append(dia / 2.0 + (width + 2.0 * ARROW_MM) / scale)
    return max(tops)


def _all_sizes(part: Part, sizes: _Sizes, scale: float) -> Iterator[Item]:
    for features, face, sign in ((sizes.left, -part.width_mm, -1.0), (sizes.right, 0.0, 1.0)):
        for place, feature in enumerate(features):
            yield from _diameter(part, feature, face + sign * (FIRST_MM + NEXT_MM * place) / scale, right=sign > 0)
    for features, sign in ((sizes.below, -1.0), (sizes.above, 1.0)):
        for place, feature in enumerate(features):
            across = sign * (part.outside_radius_mm + (FIRST_MM + NEXT_MM * place) / scale)
            yield from _length(part, feature, across)


def _diameter(part: Part, feature: SizedFeature, line_z: float, *, right: bool) -> Iterator[Item]:
    segment = part.surface(feature.surface)
    if segment is None:
        return
    end = segment.start if right else segment.end
    yield Dimension(
        kind=DimensionKind.DIAMETER,
        first=Spot(end.z_mm, -end.radius_mm),
        second=Spot(end.z_mm, end.radius_mm),
        line_at=Spot(line_z, 0.0),
        angle_deg=90.0,
        text=_words_of(part, feature),
    )


def _words_of(part: Part, feature: SizedFeature) -> DimensionText:
    """Words of a diameter: a tapped bore is named by its thread."""
    if part.thread is not None and part.surface(feature.surface) in part.inner.segments:
        return DimensionText(main=part.thread.designation)
    return size_text(feature, units=part.units)


def _length(part: Part, feature: SizedFeature, line_r: float) -> Iterator[Item]:
    """Width, or depth of a shoulder from the face of its end."""
    sign = 1.0 if line_r > 0 else -1.0
    if feature.aspect is Aspect.WIDTH:
        low, high = -part.width_mm, 0.0
        ends = (part.outer.segments[-1].end.radius_mm, part.outer.segments[0].start.radius_mm)
    else:
        segment = part.surface(feature.surface)
        if segment is None:
            return
        z, radius = segment.start.z_mm, max(segment.start.radius_mm, segment.end.radius_mm)
        contour = part.inner if segment in part.inner.segments else part.outer
        front = abs(float(feature.size.cut_target) + z) <= abs(float(feature.size.cut_target) - part.width_mm - z)
        low, high = (z, 0.0) if front else (-part.width_mm, z)
        face = (contour.segments[0].start if front else contour.segments[-1].end).radius_mm
        ends = (radius, face) if front else (face, radius)
    yield Dimension(
        kind=DimensionKind.LINEAR,
        first=Spot(low, sign * ends[0]),
        second=Spot(high, sign * ends[1]),
        line_at=Spot(low, line_r),
        text=size_text(feature, units=part.units),
    )


def letter_of(place: int) -> str:
    """Letter of the edges that are alike."""
    return chr(ord("A") + place)


def _edge_marks(groups: Sequence[Sequence[Edge]], scale: float) -> Iterator[Item]:
    """A circle with its letter round each edge, of an outer one above the axis, of an inner one below it."""
    for place, group in enumerate(groups):
        for edge in group:
            leg = 0.0
            if edge.segment is not None:
                leg = abs(edge.segment.end.z_mm - edge.segment.start.z_mm)
            radius = max(RING_MM / scale, WIDE_SHARE * leg / 2.0)
            sign = 1.0 if edge.outer else -1.0
            centre = Spot(edge.corner.z_mm, sign * edge.corner.radius_mm)
            yield Arc(centre=centre, radius_mm=radius, end_deg=FULL_TURN_DEG, layer="edges")
            way = 1.0 if edge.front else -1.0
            # letters of outer edges stand above the metal, those of inner edges above it as well: in the hole
            at = Spot(centre.x_mm + way * radius, centre.y_mm + radius + LETTER_OFF_MM / scale)
            anchor = Anchor.START if edge.front else Anchor.END
            yield Text(at=at, text=letter_of(place), anchor=anchor, bold=True, layer="edges")


def _details(part: Part, groups: Sequence[Sequence[Edge]]) -> Iterator[Drawing]:
    for place, group in enumerate(groups):
        drawing = edge_detail(part, group[0], letter=letter_of(place))
        if drawing is not None:
            yield drawing


def _stacked(details: Sequence[Drawing], corner: Spot, scale: float) -> tuple[list[Item], float, float]:
    """Enlarged views below each other from an upper left corner; lowest and rightmost place that they take. [mm]"""
    items: list[Item] = []
    top, right = corner.y_mm, corner.x_mm
    for detail in details:
        low = top - detail.paper_height_mm / scale
        items += items_at(detail, Spot(corner.x_mm, low), scale=scale)
        top, right = low - COLUMN_MM / 2.0 / scale, max(right, corner.x_mm + detail.paper_width_mm / scale)
    return items, top, right


def _notes(notes: Sequence[str], corner: Spot, scale: float) -> Iterator[Item]:
    """Name in large letters, then the other notes, down from an upper left corner."""
    y = corner.y_mm - LARGE_LETTER_MM / scale
    yield Text(at=Spot(corner.x_mm, y), text=notes[0], height_mm=LARGE_LETTER_MM, bold=True, layer="notes")
    for note in notes[1:]:
        y -= NOTE_LINE_MM / scale
        yield Text(at=Spot(corner.x_mm, y), text=note, height_mm=LETTER_MM, layer="notes")


def _leave_room(notes: Sequence[str], width_mm: float) -> bool:
    """Whether the line of a known length and its words have room to the right of the last notes. [mm of paper]"""
    longest = max(text_width_mm(note, height_mm=LETTER_MM) for note in notes)
    return longest + COLUMN_MM + text_width_mm(REFERENCE_WORDS, height_mm=LETTER_MM) <= width_mm


def _reference(corner: Spot, scale: float) -> Iterator[Item]:
    """Line of a known length of the part, to be measured on paper or in a file. [mm]"""
    start = Spot(corner.x_mm - REFERENCE_MM, corner.y_mm)
    half = 1.0 / scale
    yield Path(
        outline=Outline(
            corners=(
                Corner(start.x_mm, start.y_mm + half),
                Corner(start.x_mm, start.y_mm),
                Corner(corner.x_mm, corner.y_mm),
                Corner(corner.x_mm, corner.y_mm + half),
            ),
            closed=False,
        ),
        pen=Pen.THIN,
        layer="reference",
    )
    yield Text(
        at=Spot(corner.x_mm, corner.y_mm + REFERENCE_OFF_MM / scale),
        text=REFERENCE_WORDS,
        anchor=Anchor.END,
        height_mm=LETTER_MM,
        layer="reference",
    )
