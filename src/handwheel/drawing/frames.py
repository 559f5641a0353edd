"""What all pictures of the machine share: their width, title above, words below, a frame round an enlarged view."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from handwheel.drawing.dimensioning import ARROW_MM, arrowhead
from handwheel.drawing.letters import wrapped
from handwheel.drawing.model import (
    LETTER_MM,
    SMALL_LETTER_MM,
    Anchor,
    Corner,
    Drawing,
    Item,
    Outline,
    Path,
    Pen,
    Spot,
    Text,
    ViewBox,
)
from handwheel.drawing.seen import STANDPOINT
from handwheel.drawing.words import StepName

PICTURE_WIDTH_MM = 80.0
"""Width of a picture on paper: two stand side by side on a sheet of A4. [mm]"""
HEAD_MM, FOOT_MM = 10.5, 7.0
"""Room for the title and for which end is the chuck, and for the words below. [mm]"""
ENDS_MM = 2.8
"""Of the head, the room for which end is the chuck. [mm]"""
CHUCK = "chuck"
OVER_VIEW_MM = 0.5
"""Between a view and the word that says which end of it is the chuck. [mm]"""
TITLE = "title"
"""Layer of the title."""
LEFTWARD_DEG = 180.0
LINE_SHARE = 1.5
"""Distance of lines of words as a share of the height of their letters."""
HEAD_LINES = 2
TOP_MM = 0.5
"""Between the paper's edge and the title. [mm]"""
UP_MM, LOW_MM = 3.9, 0.6
"""Base lines of the two lines of words below a picture. [mm]"""


def paper_box(height_mm: float, width_mm: float = PICTURE_WIDTH_MM) -> ViewBox:
    """Paper of a picture, its lower left corner at (0, 0). [mm]"""
    return ViewBox(left_mm=0.0, bottom_mm=0.0, right_mm=width_mm, top_mm=height_mm)


def view(box: ViewBox, scale: float, items: Iterable[Item]) -> Drawing:
    """One of the views that a picture is put together from; it bears no title of its own."""
    return Drawing(title="", description="", box=box, scale=scale, items=tuple(items))


def box_path(box: ViewBox) -> Path:
    """Narrow frame round a view."""
    corners = (
        Corner(box.left_mm, box.bottom_mm),
        Corner(box.right_mm, box.bottom_mm),
        Corner(box.right_mm, box.top_mm),
        Corner(box.left_mm, box.top_mm),
    )
    return Path(outline=Outline(corners=corners), pen=Pen.THIN, layer="frame")


def head(name: StepName, height_mm: float) -> Iterator[Item]:
    """Number and title, on two lines if need be, in smaller letters if they must."""
    words = f"{name.number}  {name.title}"
    letters = next(
        (
            letters
            for letters in (LETTER_MM, SMALL_LETTER_MM)
            if len(wrapped(words, height_mm=letters, width_mm=PICTURE_WIDTH_MM, bold=True)) <= HEAD_LINES
        ),
        SMALL_LETTER_MM,
    )
    lines = wrapped(words, height_mm=letters, width_mm=PICTURE_WIDTH_MM, bold=True)[:HEAD_LINES]
    for place, line in enumerate(lines):
        at = Spot(0.0, height_mm - letters * (1.0 + LINE_SHARE * place) - TOP_MM)
        yield Text(at=at, text=line, height_mm=letters, bold=True, layer=TITLE)


def chuck_end(top_mm: float) -> Iterator[Item]:
    """Arrow and word above the left end of a view, whose upper edge is so high on paper: there is the chuck. [mm]"""
    base = top_mm + OVER_VIEW_MM
    yield arrowhead(Spot(0.0, base + SMALL_LETTER_MM / 2.0), LEFTWARD_DEG, half_mm=SMALL_LETTER_MM / 2.0, layer="words")
    at = Spot(ARROW_MM + OVER_VIEW_MM, base)
    yield Text(at=at, text=CHUCK, height_mm=SMALL_LETTER_MM, bold=True, layer="words")


def without_title(drawing: Drawing) -> Drawing:
    """Return a picture for a page that says its number and title itself."""
    box = replace(drawing.box, top_mm=drawing.box.top_mm - HEAD_MM + ENDS_MM)
    return replace(drawing, box=box, items=tuple(item for item in drawing.items if item.layer != TITLE))


def foot(left: str, right: str, *, standpoint: str = STANDPOINT) -> Iterator[Item]:
    """Words below a picture, and from where it is seen."""
    if left:
        yield Text(at=Spot(0.0, UP_MM), text=left, height_mm=SMALL_LETTER_MM, layer="words")
    if right:
        at = Spot(PICTURE_WIDTH_MM, UP_MM)
        yield Text(at=at, text=right, height_mm=SMALL_LETTER_MM, anchor=Anchor.END, layer="words")
    yield Text(at=Spot(0.0, LOW_MM), text=standpoint, height_mm=SMALL_LETTER_MM, layer="words")
