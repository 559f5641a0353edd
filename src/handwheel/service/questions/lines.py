"""One line a person types, as rows of a list of the shop file: speeds, feeds, drills, bars."""

from __future__ import annotations

import re

from handwheel.domain.errors import InputError
from handwheel.service.intake.lengths import shown
from handwheel.service.rewriting import written_value

Row = dict[str, object]

USUAL_PLUS_MINUS = "0.1 mm"
"""Taken for a bar whose limits nobody measured; own judgement, so it is marked to be checked."""

_LENGTH = r"[0-9][0-9.,/ ]*(?:mm|in|inch|thou|\")?"
_SPEED = re.compile(r"(?P<rpm>[0-9.]+)\s+(?P<position>\S.*)")
_TRAVEL = rf"{_LENGTH}(?:\s*(?:/|per )\s*(?:rev|turn)(?![a-z]))?"
_FEED = re.compile(rf"(?P<per_rev>{_TRAVEL})\s+(?P<position>(?!(?:mm|in|inch|thou)(?:/|$))[^0-9\s].*)")
_DRILL = re.compile(
    rf"(?P<diameter>{_LENGTH}|(?:#|no\.?|number)\s*[0-9]+|(?:letter\s+)?[A-Za-z])(?P<dubbed>\s+dubbed)?",
    re.IGNORECASE,
)
_BAR = re.compile(
    rf"(?P<metal>[A-Za-z][\w ]*?)[\s,]+(?P<diameter>{_LENGTH})\s*[x×]\s*(?P<length>{_LENGTH})", re.IGNORECASE
)


def speed_row(line: str) -> tuple[Row, ...]:
    """Read a speed: turns a minute, then what the hand sets.

    Examples
    --------
    >>> speed_row("120 low belt, large step")
    ({'rpm': 120, 'position': 'low belt, large step'},)
    """
    found = _match(_SPEED, line, "turns a minute, a space, what the hand sets")
    return ({"rpm": written_value(found["rpm"]), "position": found["position"].strip()},)


def feed_row(line: str) -> tuple[Row, ...]:
    """Read a feed: travel in a turn of the spindle, then what the hand sets.

    Examples
    --------
    >>> feed_row("0.05 mm knob 2, along")
    ({'per_rev': '0.05 mm', 'position': 'knob 2, along'},)
    >>> feed_row("4 thou/rev knob 2, along")
    ({'per_rev': '4 thou/rev', 'position': 'knob 2, along'},)
    """
    found = _match(_FEED, line, "travel in one turn, a space, what the hand sets")
    return ({"per_rev": _length(found["per_rev"]), "position": found["position"].strip()},)


def drill_row(line: str) -> tuple[Row, ...]:
    """Read sizes of twist drills, parted by semicolons; one with flats on its lips is "dubbed".

    Examples
    --------
    >>> drill_row("6 mm; 1/2 in dubbed")
    ({'id': 'drill-6', 'diameter': '6 mm'}, {'id': 'drill-1/2in-dubbed', 'diameter': '1/2 in', 'dubbed': True})
    >>> drill_row("#7")
    ({'id': 'drill-#7', 'diameter': '#7'},)
    """
    rows = []
    for piece in (piece.strip() for piece in line.split(";") if piece.strip()):
        found = _match(_DRILL, piece, "diameters parted by semicolons")
        dubbed: Row = {"dubbed": True} if found["dubbed"] else {}
        name = f"drill-{_short(found['diameter'])}{'-dubbed' if dubbed else ''}"
        rows.append({"id": name, "diameter": _length(found["diameter"]), **dubbed})
    return tuple(rows)


def bar_row(line: str) -> tuple[Row, ...]:
    """Read a bar: metal, diameter, length; its limits are `USUAL_PLUS_MINUS` until they are measured.

    Examples
    --------
    >>> [row] = bar_row("unknown steel 1 in x 300 mm")
    >>> row["metal"], row["diameter"], row["length"], row["plus_minus"]
    ('unknown steel', '1 in', '300 mm', '0.1 mm')
    """
    found = _match(_BAR, line, "metal, diameter x length")
    metal = found["metal"].strip()
    return (
        {
            "id": f"{metal.replace(' ', '-')}-{_short(found['diameter'])}",
            "metal": metal,
            "diameter": _length(found["diameter"]),
            "plus_minus": USUAL_PLUS_MINUS,
            "length": _length(found["length"]),
            "delivered_as": "as measured",
        },
    )


def _match(pattern: re.Pattern[str], line: str, allowed: str) -> re.Match[str]:
    found = pattern.fullmatch(line.strip())
    if found is None:
        raise InputError((f"found {shown(line.strip())}; allowed {allowed}",))
    return found


def _length(written: str) -> object:
    return written_value(written)


def _short(diameter: str) -> str:
    """Diameter as part of an id."""
    return "".join(diameter.split()).removesuffix("mm")
