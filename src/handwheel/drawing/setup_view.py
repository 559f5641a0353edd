"""How the work is held, as a picture: what grips it, how far it stands out, which faces are touched for a zero."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.domain.acts import LoadBar, Regrip
from handwheel.domain.motion import Handle
from handwheel.domain.part import Part
from handwheel.drawing.dimensioning import ARROW_MM, words_width_mm
from handwheel.drawing.frames import HEAD_MM, PICTURE_WIDTH_MM, chuck_end, foot, head, paper_box, view
from handwheel.drawing.letters import wrapped
from handwheel.drawing.model import (
    FULL_TURN_DEG,
    SMALL_LETTER_MM,
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
    Pen,
    Region,
    Shade,
    Spot,
    Text,
    ViewBox,
)
from handwheel.drawing.placing import items_at
from handwheel.drawing.seen import BY_HAND, STANDPOINT, seen
from handwheel.drawing.shapes import drawn
from handwheel.drawing.shots import Shot
from handwheel.drawing.step_view import BODY, WORK, axis
from handwheel.drawing.words import StepName, Words
from handwheel.geometry import region as plane
from handwheel.geometry.profile import part_outline

SETUP_HEIGHT_MM = 82.5
"""Height of a set-up picture on paper, at most. [mm]"""
MARKS_MM = 6.0
"""Room for the letters of touched faces between view and words. [mm]"""
BEHIND_MM = 12.0
"""How much of what holds the work is shown behind its front. [mm]"""
AROUND_MM = 4.0
"""Room round the work for what grips it. [mm]"""
SIZES_ABOVE_MM, SIZES_RIGHT_MM = 9.0, 11.0
"""Room on paper for the stick-out and for the gripped diameter. [mm]"""
OFF_MM = 6.0
"""Distance of a dimension line from the work on paper. [mm]"""
MARK_MM = 1.7
"""Radius of the circle round the letter of a touched face on paper. [mm]"""
MARKS_APART_MM, DOT_MM = 4.6, 0.5
"""Distance of two such circles; radius of the dot at the touched place, on paper. [mm]"""
LOWER_SHARE = 0.38
"""How far a small letter's base line lies below its middle, as a share of the height of capitals."""
LEGEND_LINE_MM = 2.8
FIRST_LETTER = "a"

Touched = tuple[str, Spot, tuple[Handle, ...]]
"""A surface, where it is touched in the picture, and the handles whose zero is set there."""


def setup_picture(shot: Shot, name: StepName, *, under: Sequence[Shot], words: Words, part: Part) -> Drawing:
    """Picture of a holding; ``shot`` is the step that grips, ``under`` all steps of that holding.

    Raises
    ------
    ValueError
        If the step grips nothing.
    """
    act = shot.gripped
    if act is None:
        msg = f"step {shot.step!r} grips nothing; ask for the picture of a step that loads or holds"
        raise ValueError(msg)
    window = _window(shot, act)
    touched = _touched(under)
    lines = tuple(_legend(act, touched, words))
    printed = tuple(p for line in lines for p in wrapped(line, height_mm=SMALL_LETTER_MM, width_mm=PICTURE_WIDTH_MM))
    legend_mm = (len(printed) + 1.5) * LEGEND_LINE_MM
    room = SETUP_HEIGHT_MM - HEAD_MM - legend_mm - MARKS_MM - SIZES_ABOVE_MM
    scale = min((PICTURE_WIDTH_MM - SIZES_RIGHT_MM) / window.width_mm, room / window.height_mm)
    held = (*_held(shot, window), *_within(act, part, window))
    main = view(window, scale, (*held, *_sizes(shot, act, words, scale), *_marks(touched, window, scale)))
    standpoint = STANDPOINT if act.holding.turned else BY_HAND
    top = legend_mm + MARKS_MM + main.paper_height_mm
    height = top + SIZES_ABOVE_MM + HEAD_MM
    items = (
        *head(name, height),
        *(chuck_end(top) if act.holding.turned else ()),
        *items_at(main, Spot(0.0, top - main.paper_height_mm)),
        *_printed(printed, legend_mm),
        *foot("", "", standpoint=standpoint),
    )
    told = f"{'. '.join(lines)}. {standpoint.capitalize()}."
    return Drawing(
        title=f"Set-up, step {name.number}: {name.title}", description=told, box=paper_box(height), items=items
    )


def _window(shot: Shot, act: LoadBar | Regrip) -> ViewBox:
    low, _, high, outside = plane.bounds_mm(shot.before)
    if shot.bodies:
        low = act.holding.jaw_face_mm - BEHIND_MM
    across = outside + AROUND_MM
    return ViewBox(left_mm=low, right_mm=high + AROUND_MM, bottom_mm=-across, top_mm=across)


def _held(shot: Shot, window: ViewBox) -> Iterator[Item]:
    """Both halves of the work and of what holds it."""
    for body in shot.bodies:
        for region in (body, plane.mirrored(body)):
            yield from drawn(region, window, fill=BODY, pen=Pen.THIN, layer="holding")
    for region in (shot.before, plane.mirrored(shot.before)):
        yield from drawn(region, window, fill=WORK, pen=Pen.OUTLINE, layer="work")
    yield axis(window)


def _sizes(shot: Shot, act: LoadBar | Regrip, words: Words, scale: float) -> Iterator[Item]:
    """Stick-out above the work; the gripped diameter to its right."""
    _, _, high, outside = plane.bounds_mm(shot.before)
    off = OFF_MM / scale
    held, radius = act.holding, act.holding.grip_dia_mm / 2.0
    if held.turned and high > held.jaw_face_mm:
        yield Dimension(
            kind=DimensionKind.LINEAR,
            first=Spot(held.jaw_face_mm, outside),
            second=Spot(high, outside),
            line_at=Spot(high, outside + off),
            text=DimensionText(main=words.length(high - held.jaw_face_mm)),
            height_mm=SMALL_LETTER_MM,
        )
    across = DimensionText(main=f"Ø {words.length(2.0 * radius)}")
    if held.turned and words_width_mm(across, SMALL_LETTER_MM) + 2.0 * ARROW_MM <= 2.0 * radius * scale:
        yield Dimension(
            kind=DimensionKind.DIAMETER,
            first=Spot(high, -radius),
            second=Spot(high, radius),
            line_at=Spot(high + off + AROUND_MM / 2.0, 0.0),
            angle_deg=90.0,
            text=across,
            height_mm=SMALL_LETTER_MM,
        )


def _touched(under: Sequence[Shot]) -> tuple[Touched, ...]:
    """Surfaces touched in a holding, each with its handles, in the order of first touching."""
    spots: dict[str, Spot] = {}
    handles: dict[str, list[Handle]] = {}
    for contact in (contact for shot in under for contact in shot.contacts):
        spots.setdefault(contact.surface, seen(contact.spot))
        known = handles.setdefault(contact.surface, [])
        if contact.handle not in known:
            known.append(contact.handle)
    return tuple((surface, spot, tuple(handles[surface])) for surface, spot in spots.items())


def _letter(place: int) -> str:
    return chr(ord(FIRST_LETTER) + place)


def _marks(touched: Sequence[Touched], window: ViewBox, scale: float) -> Iterator[Item]:
    """A letter in a circle below the view for each touched place, with a line to it, in their order along the axis."""
    radius, apart = MARK_MM / scale, MARKS_APART_MM / scale
    order = sorted(range(len(touched)), key=lambda place: touched[place][1])
    y = window.bottom_mm - radius
    free = window.left_mm + radius
    for rank, place in enumerate(order):
        spot = touched[place][1]
        behind = (len(order) - rank - 1) * apart
        x = max(free, min(spot.x_mm - behind / 2.0, window.right_mm))
        free = x + apart
        yield Line(start=spot, end=Spot(x, y + radius), pen=Pen.THIN, layer="touch")
        yield _dot(spot, scale)
        yield Arc(centre=Spot(x, y), radius_mm=radius, end_deg=FULL_TURN_DEG, pen=Pen.THIN, layer="touch")
        base = Spot(x, y - SMALL_LETTER_MM * LOWER_SHARE / scale)
        yield Text(
            at=base, text=_letter(place), height_mm=SMALL_LETTER_MM, anchor=Anchor.MIDDLE, bold=True, layer="touch"
        )


def _dot(spot: Spot, scale: float) -> Region:
    left, right = (Corner(spot.x_mm + sign * DOT_MM / scale, spot.y_mm, 1.0) for sign in (-1.0, 1.0))
    return Region(outlines=(Outline(corners=(left, right)),), fill=Shade.BLACK, layer="touch")


def _within(act: LoadBar | Regrip, part: Part, window: ViewBox) -> Iterator[Item]:
    """Outline of the finished part in the bar."""
    if isinstance(act, Regrip):
        return
    half = plane.polygon(part_outline(part))
    for region in (half, plane.mirrored(half)):
        yield from drawn(region, window, fill=None, pen=Pen.NEIGHBOUR, layer="finished")


def _legend(act: LoadBar | Regrip, touched: Sequence[Touched], words: Words) -> Iterator[str]:
    held = act.holding
    dia = f"Ø {words.length(held.grip_dia_mm)}"
    if isinstance(act, LoadBar):
        out, grip, off = (words.length(mm) for mm in (act.stick_out_mm, act.grip_length_mm, act.face_stock_mm))
        yield f"bar {dia}: stands out {out}, gripped {grip}; {off} are faced off"
    elif held.turned:
        on = words.surface(held.gripped_surface)
        grip = words.length(held.grip_length_mm)
        yield f"held on the {on} {dia}, gripped {grip}; {held.side.value} face to the tailstock"
    else:
        yield f"{held.side.value} face down on the paper"
    if touched:
        yield "touched for a zero: " + "; ".join(
            f"{_letter(place)} {words.surface(surface)} ({', '.join(map(words.handle, handles))})"
            for place, (surface, _, handles) in enumerate(touched)
        )


def _printed(lines: Sequence[str], legend_mm: float) -> Iterator[Item]:
    """Lines of words below the view, from the top of their room down."""
    for place, line in enumerate(lines):
        at = Spot(0.0, legend_mm - LEGEND_LINE_MM * (place + 1))
        yield Text(at=at, text=line, height_mm=SMALL_LETTER_MM, layer="words")
