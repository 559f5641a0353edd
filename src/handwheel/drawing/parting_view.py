"""The trade-off of parting off as a table of speeds and feeds: what is passed where, and which point is best."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.domain.lathe import SpindleSpeed
from handwheel.drawing.letters import wrapped
from handwheel.drawing.model import (
    LARGE_LETTER_MM,
    SMALL_LETTER_MM,
    Anchor,
    Arrow,
    Corner,
    Drawing,
    Hatch,
    Item,
    Line,
    Outline,
    Path,
    Pen,
    Region,
    Spot,
    Text,
    ViewBox,
)
from handwheel.physics.parting_map import PartingLimit, PartingMap, PartingPoint
from handwheel.physics.speed import cutting_speed_m_min
from handwheel.physics.stability import DAMPED_BELOW_M_MIN

CELL_WIDTH_MM, CELL_HEIGHT_MM = 17.0, 7.0
LEFT_MM, RIGHT_MM = 16.0, 34.0
"""Room beside the table: for the feeds, and for what timid means. [mm]"""
HEAD_MM, FOOT_MM = 17.0, 10.0
"""Room above and below the table: for the title, and for the speeds. [mm]"""
KEY_ROW_MM = 6.0
INSET_MM = 0.8
"""How far the frame of the best point stands inside its cell. [mm]"""
BOOK_FEED_MM_REV = 0.05
"""Feed for parting in any metal, 0.002 in: a lathe manual of the US War Department, paragraph on parting (opened)."""
NEAR = 1e-9
BY_POWER_ALONE = "; estimated by power alone, for no belt was measured"

HATCHES: dict[PartingLimit, tuple[str, Hatch]] = {
    PartingLimit.STALL: ("stalls", Hatch(angle_deg=45.0, spacing_mm=1.3, crossed=True)),
    PartingLimit.SINGS: ("sings", Hatch(angle_deg=45.0, spacing_mm=1.5)),
    PartingLimit.WANDERS: ("bends", Hatch(angle_deg=135.0, spacing_mm=1.5)),
    PartingLimit.SINKS: ("sinks", Hatch(angle_deg=0.0, spacing_mm=1.5, crossed=True)),
    PartingLimit.RUBS: ("rubs", Hatch(angle_deg=0.0, spacing_mm=1.3)),
    PartingLimit.COARSE: ("coarse", Hatch(angle_deg=90.0, spacing_mm=1.0)),
    PartingLimit.FAST: ("fast", Hatch(angle_deg=90.0, spacing_mm=2.0)),
    PartingLimit.HAND: ("by hand", Hatch(angle_deg=120.0, spacing_mm=2.5)),
}
"""Word and hatch of each limit: black on white, told apart without colour."""


def parting_view(found: PartingMap, *, title: str, subtitle: str, hardens: bool) -> Drawing:
    """Draw every speed and feed as a cell: hatched by the limit that is passed, else with its time.

    Parameters
    ----------
    found : PartingMap
        What was judged.
    title : str
        What is parted.
    subtitle : str
        From where to where, with which blade, on which lathe.
    hardens : bool
        Whether the metal hardens where it is rubbed, which makes a timid feed the fault.
    """
    speeds, feeds = _speeds(found), _feeds(found)
    key = _key(found)
    bottom = FOOT_MM + KEY_ROW_MM * len(key)
    width = LEFT_MM + CELL_WIDTH_MM * len(speeds) + RIGHT_MM
    top = bottom + CELL_HEIGHT_MM * len(feeds)
    place = _Place(bottom)
    items: list[Item] = [
        Text(at=Spot(0.0, top + HEAD_MM - LARGE_LETTER_MM - 1.0), text=title, height_mm=LARGE_LETTER_MM, bold=True),
        _small(0.0, top + HEAD_MM - LARGE_LETTER_MM - 5.5, subtitle),
        _small(0.0, top + 2.0, "feed, mm/rev"),
    ]
    for point in found.points:
        items += _cell(point, place, column=speeds.index(point.speed), row=feeds.index(point.feed_mm_rev))
    items += _feed_words(feeds, place)
    items += _speed_words(found, speeds, place)
    items += _least_feed(found, feeds, speeds, place, hardens=hardens)
    if found.best is not None:
        items += _best(found.best, place, speeds.index(found.best.speed), feeds.index(found.best.feed_mm_rev))
    for row, (hatch, words) in enumerate(key):
        items += _key_row(bottom - FOOT_MM - KEY_ROW_MM * (row + 1), hatch, words)
    box = ViewBox(left_mm=-1.0, bottom_mm=-1.0, right_mm=width, top_mm=top + HEAD_MM)
    return Drawing(title=title, description=_told(found, hardens=hardens), box=box, items=tuple(items))


class _Place:
    """Where a cell stands."""

    def __init__(self, bottom_mm: float) -> None:
        self.bottom_mm = bottom_mm

    def corner(self, column: int, row: int) -> Spot:
        return Spot(LEFT_MM + CELL_WIDTH_MM * column, self.bottom_mm + CELL_HEIGHT_MM * row)

    def middle(self, column: int, row: int) -> Spot:
        corner = self.corner(column, row)
        return Spot(corner.x_mm + CELL_WIDTH_MM / 2.0, corner.y_mm + (CELL_HEIGHT_MM - SMALL_LETTER_MM) / 2.0)


def _speeds(found: PartingMap) -> list[SpindleSpeed]:
    return list(dict.fromkeys(point.speed for point in found.points))


def _feeds(found: PartingMap) -> list[float]:
    return sorted({point.feed_mm_rev for point in found.points})


def _small(
    x_mm: float, y_mm: float, text: str, anchor: Anchor = Anchor.START, *, bold: bool = False, layer: str = "words"
) -> Text:
    return Text(at=Spot(x_mm, y_mm), text=text, height_mm=SMALL_LETTER_MM, anchor=anchor, bold=bold, layer=layer)


def _rectangle(at: Spot, width_mm: float, height_mm: float) -> Outline:
    x, y = at
    return Outline(
        corners=(
            Corner(x, y),
            Corner(x + width_mm, y),
            Corner(x + width_mm, y + height_mm),
            Corner(x, y + height_mm),
        )
    )


def _cell(point: PartingPoint, place: _Place, *, column: int, row: int) -> Iterator[Item]:
    outline = _rectangle(place.corner(column, row), CELL_WIDTH_MM, CELL_HEIGHT_MM)
    passed = point.passed
    yield Region(outlines=(outline,), fill=None if passed is None else HATCHES[passed][1], pen=Pen.THIN, layer="cells")
    if PartingLimit.RUBS in point.all_passed and passed is not PartingLimit.RUBS:
        # the rows of timid feeds show from side to side, whatever else is passed there
        yield Region(outlines=(outline,), fill=HATCHES[PartingLimit.RUBS][1], layer="cells")
    words = HATCHES[passed][0] if passed is not None else _time_words(point)
    middle = place.middle(column, row)
    yield _small(middle.x_mm, middle.y_mm, words, Anchor.MIDDLE, layer="cells")


def _time_words(point: PartingPoint) -> str:
    return f"{point.time_s:.0f} s{' ~' if point.may_sing else ''}"


def _best(point: PartingPoint, place: _Place, column: int, row: int) -> Iterator[Item]:
    corner = place.corner(column, row)
    inner = Spot(corner.x_mm + INSET_MM, corner.y_mm + INSET_MM)
    outline = _rectangle(inner, CELL_WIDTH_MM - 2.0 * INSET_MM, CELL_HEIGHT_MM - 2.0 * INSET_MM)
    middle = place.middle(column, row)
    yield Path(outline=outline, pen=Pen.OUTLINE, layer="best")
    yield _small(middle.x_mm, middle.y_mm, _time_words(point), Anchor.MIDDLE, bold=True)


def _feed_words(feeds: Sequence[float], place: _Place) -> Iterator[Item]:
    for row, feed in enumerate(feeds):
        book = "book " if abs(feed - BOOK_FEED_MM_REV) < NEAR else ""
        yield _small(LEFT_MM - 1.5, place.middle(0, row).y_mm, f"{book}{feed:.2f}", Anchor.END)


def _speed_words(found: PartingMap, speeds: Sequence[SpindleSpeed], place: _Place) -> Iterator[Item]:
    for column, speed in enumerate(speeds):
        middle = place.middle(column, 0).x_mm
        surface = cutting_speed_m_min(speed.rpm, cut_dia_mm=found.setup.outer_dia_mm)
        yield _small(middle, place.bottom_mm - 3.5, f"{speed.rpm:g}", Anchor.MIDDLE)
        yield _small(middle, place.bottom_mm - 7.0, f"{surface:.0f}", Anchor.MIDDLE)
    yield _small(LEFT_MM - 1.5, place.bottom_mm - 3.5, "rev/min", Anchor.END)
    yield _small(LEFT_MM - 1.5, place.bottom_mm - 7.0, "m/min", Anchor.END)


def _least_feed(
    found: PartingMap, feeds: Sequence[float], speeds: Sequence[SpindleSpeed], place: _Place, *, hardens: bool
) -> Iterator[Item]:
    """Line of the metal's least feed across the table, and what lies below it."""
    least = found.setup.least_feed_mm_rev
    below = sum(1 for feed in feeds if feed < least - NEAR)
    start, end = place.corner(0, below), place.corner(len(speeds), below)
    beyond = Spot(end.x_mm + RIGHT_MM, end.y_mm)
    yield Line(start=start, end=beyond, pen=Pen.OUTLINE, layer="least")
    yield _small(end.x_mm + 2.0, end.y_mm + 1.2, f"least feed {least:.2f}")
    if below:
        words = "timid: the edge rubs, the metal hardens, the next turn is worse" if hardens else "timid: the edge rubs"
        x = end.x_mm + 4.0
        yield Arrow(start=Spot(x, end.y_mm - 1.0), end=Spot(x, place.bottom_mm + 0.5))
        for line, text in enumerate(wrapped(words, height_mm=SMALL_LETTER_MM, width_mm=RIGHT_MM - 8.0)):
            yield _small(x + 3.0, end.y_mm - 4.0 - 3.2 * line, text, bold=hardens)


def _key(found: PartingMap) -> list[tuple[Hatch | None, str]]:
    """What the signs of this picture mean, each once."""
    passed = {point.passed for point in found.points}
    estimated = any(point.speed.torque_limit_nm is None for point in found.points)
    beside = {PartingLimit.STALL: BY_POWER_ALONE if estimated else ""}
    key: list[tuple[Hatch | None, str]] = [
        (hatch, f"{word}: {limit.value}{beside.get(limit, '')}")
        for limit, (word, hatch) in HATCHES.items()
        if limit in passed
    ]
    if found.best is not None:
        key.append((None, _choice_words(found.best)))
    if any(point.may_sing and point.passed is None for point in found.points):
        key.append((None, f"~: quiet only as far as its flank damps it, below about {DAMPED_BELOW_M_MIN:g} m/min"))
    return key


def _choice_words(best: PartingPoint) -> str:
    limit, share = best.tightest
    return (
        f"chosen, in the frame: {best.speed.rpm:g} rev/min, {best.feed_mm_rev:g} mm/rev; nearest its limit "
        f"({share:.0%}): {limit.value}".replace("%", " %")
    )


def _key_row(y_mm: float, hatch: Hatch | None, words: str) -> Iterator[Item]:
    if hatch is not None:
        outline = _rectangle(Spot(0.0, y_mm), 9.0, KEY_ROW_MM - 1.5)
        yield Region(outlines=(outline,), fill=hatch, pen=Pen.THIN, layer="key")
    yield _small(11.0, y_mm + 1.3, words)


def _told(found: PartingMap, *, hardens: bool) -> str:
    """What the picture shows, for who cannot see it."""
    counted = {limit: sum(1 for point in found.points if point.passed is limit) for limit in PartingLimit}
    passed = ", ".join(f"{HATCHES[limit][0]} {count}" for limit, count in counted.items() if count)
    kept = sum(1 for point in found.points if point.passed is None)
    chosen = "No point keeps every limit." if found.best is None else f"{_choice_words(found.best)}.".capitalize()
    timid = " Below the least feed the metal hardens: timid is the fault." if hardens else ""
    pairs = f"{len(found.points)} pairs of speed and feed; {kept} keep every limit; of the others: {passed}."
    return f"{pairs} {chosen}{timid}"
