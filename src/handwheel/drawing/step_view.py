"""A step as a picture: the half section, what is cut away in black, the tool, and what is left.

Cuts too thin to be seen are shown enlarged as well.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.domain.part import Part
from handwheel.drawing.feed_arrow import feed_arrow
from handwheel.drawing.frames import (
    FOOT_MM,
    HEAD_MM,
    PICTURE_WIDTH_MM,
    box_path,
    chuck_end,
    foot,
    head,
    paper_box,
    view,
)
from handwheel.drawing.model import Drawing, Hatch, Item, Line, Pen, Shade, Spot, ViewBox
from handwheel.drawing.placing import items_at
from handwheel.drawing.seen import BY_HAND, IN_THE_HAND, STANDPOINT
from handwheel.drawing.shapes import drawn
from handwheel.drawing.shots import Feed, Shot
from handwheel.drawing.words import StepName, Words
from handwheel.geometry import region as plane

STEP_HEIGHT_MM = 47.5
"""Height of a step's picture on paper, at most. [mm]"""
LINE_MM = 0.2
"""Between a frame and the edge of the paper, so that none of its line is cut off. [mm]"""
GAP_MM = 3.0
"""Between the two views of a step. [mm]"""

BEHIND_JAW_MM, BEFORE_FACE_MM, BESIDE_MM, OVER_AXIS_MM = 6.0, 8.0, 7.0, 2.0
"""What is shown beyond the work: of the jaws, in front of the face, outside, beyond the axis. [mm]"""
BEYOND_LEFT_MM = 1.5
"""The same where no tool is shown. [mm]"""

WORK = Hatch(angle_deg=45.0, spacing_mm=1.6)
BODY = Hatch(angle_deg=135.0, spacing_mm=2.6)
"""The work; what holds it, the other way and wider."""

THIN_MM = 1.2
"""A cut thinner than this on paper is shown enlarged too. [mm]"""
SEEN_MM = 2.0
"""Thickness that a cut is enlarged to at least. [mm]"""
ENLARGED = (5.0, 10.0, 20.0, 50.0, 100.0)
"""Enlargements; from memory of ISO 5455."""
DETAIL_MM = 30.0
"""Width of an enlarged view on paper. [mm]"""
BESIDE_SHARE = 6.0
"""A long cut ends so many parts of the enlarged view from its border."""
BLACK = "black is cut away"
HIGH_MM = STEP_HEIGHT_MM - HEAD_MM - FOOT_MM
"""Height of the views. [mm]"""


def step_picture(shot: Shot, name: StepName, *, window: ViewBox, part: Part, words: Words) -> Drawing:
    """Picture of a step, on paper as wide as every picture and as high as its views need, `STEP_HEIGHT_MM` at most.

    ``window`` is what of the machine is shown, from `window_of`: the same for all steps of one holding.
    """
    if not shot.cuts:
        main, second, below = _finished(shot), None, ("nothing is cut", "the work as it is now")
    else:
        main, second, caption = _cut_views(shot, window)
        below = ("" if shot.feed is None else feed_words(shot.feed, words), caption)
    top = FOOT_MM + max(drawing.paper_height_mm for drawing in (main, second) if drawing is not None)
    items = [
        *head(name, top + HEAD_MM),
        *(chuck_end(top) if is_at_the_chuck(shot) else ()),
        *items_at(main, Spot(0.0, top - main.paper_height_mm)),
        *foot(*below, standpoint=standpoint_of(shot)),
    ]
    if second is not None:
        place = Spot(PICTURE_WIDTH_MM - second.paper_width_mm - LINE_MM, top - second.paper_height_mm)
        items += items_at(second, place)
    return Drawing(
        title=f"Step {name.number}: {name.title}",
        description=_described(shot, part, words),
        box=paper_box(top + HEAD_MM),
        items=tuple(items),
    )


def window_of(shots: Sequence[Shot]) -> ViewBox:
    """What of the machine is shown in the steps of one holding: work out of the jaws, a bit of them, room for tools."""
    boxes = [plane.bounds_mm(shot.before) for shot in shots if not shot.before.is_empty]
    jaw = max((shot.holding.jaw_face_mm for shot in shots if shot.holding is not None and shot.bodies), default=None)
    low = min(box[0] for box in boxes) - BEYOND_LEFT_MM if jaw is None else jaw - BEHIND_JAW_MM
    outside = max(box[3] for box in boxes) + BESIDE_MM
    return ViewBox(
        left_mm=low, right_mm=max(box[2] for box in boxes) + BEFORE_FACE_MM, bottom_mm=-outside, top_mm=OVER_AXIS_MM
    )


def standpoint_of(shot: Shot) -> str:
    """From where the picture of a step is seen."""
    if not shot.cuts:
        return IN_THE_HAND
    return BY_HAND if shot.holding is not None and not shot.holding.turned else f"{BLACK}; {STANDPOINT}"


def is_at_the_chuck(shot: Shot) -> bool:
    """Whether the picture shows the work in the lathe, its chuck on the left."""
    return bool(shot.cuts) and (shot.holding is None or shot.holding.turned)


def feed_words(feed: Feed, words: Words) -> str:
    """Handle, sense of the hand, and where the tool goes, as the sheet says it."""
    return f"{words.handle(feed.handle)}, {words.hand(feed.turn, feed.motions)}"


def bodies_drawn(shot: Shot, window: ViewBox) -> Iterator[Item]:
    """What holds the work."""
    for body in shot.bodies:
        yield from drawn(body, window, fill=BODY, pen=Pen.THIN, layer="holding")


def axis(window: ViewBox) -> Line:
    """Centre line of the spindle."""
    return Line(start=Spot(window.left_mm, 0.0), end=Spot(window.right_mm, 0.0), pen=Pen.CENTRE, layer="axis")


def _finished(shot: Shot) -> Drawing:
    """View of the work alone, as large as it goes."""
    low, _, high, outside = plane.bounds_mm(shot.after)
    window = ViewBox(
        left_mm=low - BEYOND_LEFT_MM,
        right_mm=high + BEYOND_LEFT_MM,
        bottom_mm=-outside - BEYOND_LEFT_MM,
        top_mm=OVER_AXIS_MM,
    )
    scale = min(PICTURE_WIDTH_MM / window.width_mm, HIGH_MM / window.height_mm)
    work = drawn(shot.after, window, fill=WORK, pen=Pen.OUTLINE, layer="work")
    return view(window, scale, (*work, axis(window)))


def _cut_views(shot: Shot, window: ViewBox) -> tuple[Drawing, Drawing, str]:
    """View with the tool, second view, and what the second one shows."""
    after = ViewBox(
        left_mm=window.left_mm,
        right_mm=window.right_mm - BEFORE_FACE_MM + BEYOND_LEFT_MM,
        bottom_mm=window.bottom_mm + BESIDE_MM - BEYOND_LEFT_MM,
        top_mm=window.top_mm,
    )
    room = PICTURE_WIDTH_MM - GAP_MM
    scale = min(room / (window.width_mm + after.width_mm), HIGH_MM / window.height_mm)
    detail = _detail(shot, scale)
    if detail is None:
        main = view(window, scale, _cutting(shot, window, scale=scale))
        return main, view(after, scale, _left(shot, after)), "what is left"
    scale = min((room - DETAIL_MM) / window.width_mm, HIGH_MM / window.height_mm)
    main = view(window, scale, (*_cutting(shot, window, scale=scale), box_path(detail.box)))
    return main, detail, f"frame {detail.scale:g}:1"


def _detail(shot: Shot, scale: float) -> Drawing | None:
    """Enlarged view, if the cut is too thin to be seen at a scale."""
    thin = min(_thickness_mm(piece) for piece in plane.pieces(shot.removed))
    if thin * scale >= THIN_MM:
        return None
    times = next((times for times in ENLARGED if thin * times >= SEEN_MM), ENLARGED[-1])
    wide, high = DETAIL_MM / times, HIGH_MM / times
    low_z, low_x, high_z, high_x = plane.bounds_mm(shot.removed)
    # of a long cut the end towards the tailstock is shown, or that outside
    z = (low_z + high_z) / 2.0 if high_z - low_z < wide else high_z - wide / 2.0 + wide / BESIDE_SHARE
    x = (low_x + high_x) / 2.0 if high_x - low_x < high else high_x - high / 2.0 + high / BESIDE_SHARE
    frame = ViewBox(left_mm=z - wide / 2.0, right_mm=z + wide / 2.0, bottom_mm=-x - high / 2.0, top_mm=-x + high / 2.0)
    edge = drawn(shot.edge, frame, fill=None, pen=Pen.THIN, layer="tool")
    return view(frame, times, (*_kept(shot, frame), *_taken(shot, frame), *edge, box_path(frame)))


def _thickness_mm(piece: plane.Region) -> float:
    low_z, low_x, high_z, high_x = plane.bounds_mm(piece)
    return plane.area_mm2(piece) / max(high_z - low_z, high_x - low_x)


def _kept(shot: Shot, window: ViewBox) -> Iterator[Item]:
    """What stays, hatched."""
    yield from drawn(shot.after, window, fill=WORK, pen=Pen.OUTLINE, layer="work")


def _taken(shot: Shot, window: ViewBox) -> Iterator[Item]:
    """What goes, black; over the tool, which may fill it all, as a drill does."""
    yield from drawn(shot.removed, window, fill=Shade.BLACK, pen=None, layer="removed")


def _cutting(shot: Shot, window: ViewBox, *, scale: float) -> Iterator[Item]:
    """View with the tool where its way ends."""
    yield from bodies_drawn(shot, window)
    yield from _kept(shot, window)
    for region, pen in ((shot.holder, Pen.THIN), (shot.edge, Pen.OUTLINE)):
        yield from drawn(region, window, fill=Shade.WHITE, pen=pen, layer="tool")
    yield from _taken(shot, window)
    yield axis(window)
    if shot.feed is not None:
        yield from feed_arrow(shot, shot.feed, window, scale=scale)


def _left(shot: Shot, window: ViewBox) -> Iterator[Item]:
    """View of what is left, without the tool."""
    yield from bodies_drawn(shot, window)
    yield from drawn(shot.after, window, fill=WORK, pen=Pen.OUTLINE, layer="work")
    yield axis(window)


def _described(shot: Shot, part: Part, words: Words) -> str:
    first = f"Half section of {part.name}, {standpoint_of(shot)}."
    if not shot.cuts:
        return f"{first} Nothing is cut in this step."
    if shot.feed is None:
        return f"{first} {BLACK.capitalize()}, hatched stays."
    return f"{first} Hatched stays; the tool stands where its last cut ends; {feed_words(shot.feed, words)}."
