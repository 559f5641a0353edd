"""Ways out for a size that is lost or stuck, as text: what to look at first, what it asks, needs and costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.bench.salvage.way import Verdict, Way, WayOut
from handwheel.data.loader import COMMON_KEY
from handwheel.domain.said import said, said_range
from handwheel.report.layout import caution_lines, labelled, require_width, wrap

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from handwheel.domain.part import Units

LABEL_COLUMN = 11
PLACES = 3
STOP_FIRST = "Stop. Cut nothing more before you have chosen: most of these need the metal that is still there."
NOTHING_LOST = "The size is inside its limits: nothing has to be saved."
TITLES = {
    Way.MEASURE_AGAIN: "Measure again",
    Way.CUT_AGAIN: "One more cut",
    Way.LATER_WORK: "Leave less for later work",
    Way.LAP: "Take the last of it off in measured strokes",
    Way.REAM: "Ream it",
    Way.RING_SIZE: "Another ring size",
    Way.NEAREST_SIZES: "Nearest ring sizes",
    Way.COARSER_CLASS: "A coarser class",
    Way.OTHER_CLASS: "Another class",
    Way.OTHER_FIT: "Another fit",
    Way.GENERAL_CLASS: "A coarser general class",
    Way.MATE_TO_SUIT: "The mate made to suit",
    Way.ACCEPT: "Leave it as it is",
    Way.WALL_ALONE: "Judge it by its wall",
    Way.SHORTER: "A shorter part",
    Way.SHIM: "A shim",
    Way.FACE_BACK: "Take the face back",
    Way.SLEEVE: "A sleeve",
    Way.RING_ON: "A ring shrunk on",
    Way.NEW_ONE: "A new one",
}
"""What each way is called."""


def ways_text(ways: Iterable[WayOut], *, head: str, units: Units, width: int) -> str:
    """Lay out ways out under a head that says which size they are for, in lines of at most ``width`` columns."""
    require_width(width)
    lines = (*(f" {line}" for line in wrap(head, width=width - 1)), "", *ways_lines(ways, units=units, width=width))
    return "".join(f"{line.rstrip()}\n" for line in lines)


def ways_lines(ways: Iterable[WayOut], *, units: Units, width: int) -> Iterator[str]:
    """Lay out ways out: those that are open, in order, each with its cautions before it, then those that are not."""
    ways = tuple(ways)
    if not ways:
        yield from (f" {line}" for line in wrap(NOTHING_LOST, width=width - 1))
        return
    yield from caution_lines((STOP_FIRST,), width=width)
    opened = [way for way in ways if way.verdict is not Verdict.NOT]
    closed = [way for way in ways if way.verdict is Verdict.NOT]
    if opened:
        yield from ("", " WHAT IT CAN STILL BE")
    for number, way in enumerate(opened, start=1):
        yield ""
        yield from caution_lines(way.cautions, width=width)
        yield from _way_lines(number, way, units=units, width=width)
    if closed:
        yield from ("", " NOT THIS", "")
        for way in closed:
            yield from labelled("-", f"{TITLES[way.code]}: {way.words}", width=width, column=3)


def _way_lines(number: int, way: WayOut, *, units: Units, width: int) -> Iterator[str]:
    yield from labelled(f"{number}", f"{TITLES[way.code]} ({way.verdict.value})", width=width, column=4)
    told = (
        ("   here", (way.words,)),
        ("   costs", _costs(way, units)),
        ("   ask", way.asks),
        ("   needs", way.needs),
        ("   says", _says(way)),
    )
    for label, texts in told:
        for place, text in enumerate(texts):
            yield from labelled("" if place else label, text, width=width, column=LABEL_COLUMN)


def _costs(way: WayOut, units: Units) -> tuple[str, ...]:
    """Metal that comes off, and the wall that is left."""
    told = []
    if way.off_high_mm > 0.0:
        told.append(
            f"{said_range(way.off_low_mm, way.off_high_mm, units, places=PLACES)} of depth more off that surface"
        )
    if way.wall_mm is not None:
        told.append(f"wall then {said(way.wall_mm, units, places=PLACES)} at the thinnest")
    return ("; ".join(told) or "no metal",)


def _says(way: WayOut) -> tuple[str, ...]:
    """By what it was reckoned, and what stands behind it."""
    if not way.relation:
        return ()
    key = "" if way.source_key == COMMON_KEY else f"{way.source_key}, "
    return (f"{way.relation} [{key}{way.standing.value}]",)
