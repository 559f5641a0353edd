"""Reads a printed sheet back into records, knowing nothing of the code that printed it.

Each act becomes a record of fields; what cannot be read raises `SheetTextError`. Where the sheet says a thing twice
(millimetres and inches; what the dial shows and how far it is from 0) both are read and must agree. A sheet may
show one unit alone: then every length must be in that one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from enum import Enum
from fractions import Fraction
from itertools import takewhile
from typing import TypeVar

from msgspec import Struct, field
from msgspec.structs import replace

ACT_LINE = re.compile(r"^ {0,2}(\d+\.\d+) ([A-Za-z]+) +(.*)$")
LEGEND_LINE = re.compile(r"^ {4}([a-h]) ([a-z]+) +(.*)$")
CONTINUED = re.compile(r"^ {14} {0,4}(\S.*)$")
PASSES_LINE = re.compile(r"^ {2}PASSES (\S+) to (\S+): a to ([a-h]) for each of the (\d+) lines of the table$")
ROW_LINE = re.compile(r"^ +(\d+\.\d+)  (cross-slide|top slide|carriage|quill)  (.*)$")
STEP_LINE = re.compile(r"^ STEP (\d+) of (\d+) {3}(.*?)(?: +about (.*))?$")

EXACT = r"-?\d+(?: \d+/\d+|/\d+|\.\d+)?"
NUMBER = r"-?\d+(?:\.\d+)?"
LENGTH = rf"({NUMBER}) (mm|in)(?: \(({NUMBER}) (mm|in)\))?"
HANDLE = r"(cross-slide|top slide|carriage|quill)"
HAND = r"(clockwise|anticlockwise) \(([a-z ]+)\)"
BOX = r"\[_+\]"
FROM_TABLE = re.compile(r" take the figure from the table of (\d+\.\d+)(?= )")
SET_FROM_READINGS = ("collar", "readout", "set")
INCH_TO_MM = Fraction(254, 10)
FACTORS = {"mm": Fraction(1), "in": INCH_TO_MM, "inches": INCH_TO_MM}


Value = TypeVar("Value")
DUST = Fraction(1, 10**7)
"""Binary floats miss a decimal by less than this. [mm]"""


class SheetTextError(ValueError):
    """The text is not a sheet, or says two things that do not agree."""


class Rounding(Enum):
    """Which way a printed figure was rounded."""

    NEAREST = "nearest"
    UP = "up"
    DOWN = "down"


class Figure(Struct, frozen=True):
    """A rounded figure: its value and the step of its last decimal."""

    value: Fraction
    step: Fraction
    rounding: Rounding = Rounding.NEAREST

    def agrees_with(self, exact: float | Fraction) -> bool:
        """Whether the exact figure rounds to this one."""
        over = self.value - Fraction(exact)
        match self.rounding:
            case Rounding.NEAREST:
                return abs(over) <= self.step / 2 + DUST
            case Rounding.UP:
                return -DUST <= over < self.step - DUST
            case Rounding.DOWN:
                return -DUST <= -over < self.step - DUST


class Printed(Struct, frozen=True):
    """One quantity as printed, perhaps in two units; every figure of it must be right.

    ``units`` names the unit or units of what a sheet may print in one or in both, and is empty for all else.
    """

    figures: tuple[Figure, ...]
    units: str = ""

    def agrees_with(self, exact: float | Fraction) -> bool:
        """Whether the exact figure rounds to each of the figures."""
        return all(one.agrees_with(exact) for one in self.figures)

    def negative(self) -> Printed:
        """Return the same on the other side of 0."""
        return replace(self, figures=tuple(replace(one, value=-one.value) for one in self.figures))


class Record(Struct):
    """One act as read: its number, kind and fields, the cautions before it, its note."""

    number: str
    verb: str
    fields: dict[str, object]
    cautions: tuple[str, ...] = ()
    note: str = ""


class Raw(Struct):
    """Lines of one act, joined, before its fields are read."""

    number: str
    verb: str
    body: str
    cautions: tuple[str, ...] = ()


class Heading(Struct):
    """Head of a step: number, how many steps, title, and what is in force: tools, speeds, feeds."""

    number: int
    of: int
    title: str
    minutes: str
    tools: list[str] = field(default_factory=list)
    speeds: list[tuple[Fraction, str]] = field(default_factory=list)
    feeds: list[dict[str, object]] = field(default_factory=list)
    overshoot: dict[str, tuple[str, int]] = field(default_factory=dict)


class SheetText(Struct):
    """Everything read from one sheet."""

    records: list[Record] = field(default_factory=list)
    headings: list[Heading] = field(default_factory=list)


BOTH = "both"


def recover(text: str, shown: str = BOTH) -> SheetText:
    """Read a whole sheet, which shows lengths in both units, or in ``"mm"`` or ``"in"`` alone."""
    found = SheetText()
    found.records += [record_of(raw) for raw in raw_acts(text, found)]
    return all_shown(found, shown)


def all_shown(found: SheetText, shown: str) -> SheetText:
    """Refuse a sheet on which a length is shown in other units than these; hands back the sheet."""
    for record in found.records:
        for one in _printed_in(record.fields):
            _require(one.units in ("", shown), f"{record.number}: a length in {one.units}, not in {shown}")
    for heading in found.headings:
        for one in _printed_in(heading.feeds):
            _require(one.units in ("", shown), f"step {heading.number}: a feed in {one.units}, not in {shown}")
    return found


def _printed_in(value: object) -> Iterator[Printed]:
    """Every printed quantity of some fields."""
    if isinstance(value, Printed):
        yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _printed_in(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _printed_in(inner)


def record_of(raw: Raw) -> Record:
    """Read the fields of one act."""
    body, _, note = raw.body.partition(" note: ")
    fields: dict[str, object] = {}
    if raw.verb in SET_FROM_READINGS:
        told = FROM_TABLE.search(body)
        body, fields["table_at"] = FROM_TABLE.sub("", body, count=1), told[1] if told else ""
    fields |= fields_of(raw.verb, body)
    return Record(number=raw.number, verb=raw.verb, fields=fields, cautions=raw.cautions, note=note)


def raw_acts(text: str, found: SheetText) -> Iterator[Raw]:
    """Gather the lines of each act; tables of passes are expanded."""
    lines = text.splitlines()
    cautions: list[str] = []
    place = 0
    while place < len(lines):
        line = lines[place]
        if line.startswith("!! "):
            _add_caution(cautions, line)
        elif STEP_LINE.match(line):
            heading, place = _heading(lines, place)
            found.headings.append(heading)
            cautions.clear()
            continue
        elif PASSES_LINE.match(line):
            block, place = _passes_block(lines, place)
            yield from block
            continue
        elif found.headings and ACT_LINE.match(line):
            match = _match(ACT_LINE, line)
            body, place = _body(match[3], lines, place + 1)
            yield Raw(match[1], match[2], body, tuple(cautions))
            cautions.clear()
            continue
        place += 1


def _heading(lines: list[str], place: int) -> tuple[Heading, int]:
    match = _match(STEP_LINE, lines[place])
    heading = Heading(int(match[1]), int(match[2]), match[3].strip(), match[4] or "")
    told: list[tuple[str, str]] = []
    place += 1
    while not lines[place].startswith("----"):
        label, text = lines[place][:11].strip(), lines[place][11:]
        if label:
            told.append((told[-1][0] if label == "then" else label, text))
        else:
            told[-1] = (told[-1][0], f"{told[-1][1]} {text}")
        place += 1
    for label, text in told:
        set_in_force(heading, label, text)
    return heading, place


def set_in_force(heading: Heading, label: str, text: str) -> None:
    """Read one line of the head of a step."""
    _one_of(IN_FORCE, label)(heading, text)


def _overshot(heading: Heading, text: str) -> None:
    match = _full(rf"{HANDLE}: (clockwise|anticlockwise) (\d+) marks? or more, then {HAND}", text)
    _require(match[2] != match[4], f"{text!r}: back and forth the same way")
    heading.overshoot[match[1]] = (match[2], int(match[3]))


IN_FORCE: dict[str, Callable[[Heading, str], None]] = {
    "tool": lambda heading, text: heading.tools.append(text),
    "speed": lambda heading, text: heading.speeds.append(
        (exact(text.removeprefix("about ").partition(" rev/min")[0]), text.partition(" rev/min")[2].removeprefix(": "))
    ),
    "feed": lambda heading, text: heading.feeds.append(_feed(text.replace("; ", " ", 1))),
    "overshot?": _overshot,
}


def _add_caution(cautions: list[str], line: str) -> None:
    if line.startswith("!!    "):
        cautions[-1] += " " + line[6:]
    else:
        cautions.append(line[3:])


def _body(first: str, lines: list[str], place: int) -> tuple[str, int]:
    pieces = [first]
    while place < len(lines) and (match := CONTINUED.match(lines[place])):
        pieces.append(match[1])
        place += 1
    return " ".join(" ".join(pieces).split()), place


def _passes_block(lines: list[str], place: int) -> tuple[list[Raw], int]:
    head = _match(PASSES_LINE, lines[place])
    place += 1
    legend: list[Raw] = []
    cautions: list[str] = []
    while not lines[place].lstrip().startswith("handle "):
        if lines[place].startswith("!! "):
            _add_caution(cautions, lines[place])
            place += 1
            continue
        match = _match(LEGEND_LINE, lines[place])
        body, place = _body(match[3], lines, place + 1)
        legend.append(Raw(match[1], match[2], body, tuple(cautions)))
        cautions.clear()
    heading = lines[place]
    rows = list(takewhile(ROW_LINE.match, lines[place + 1 :]))
    return passes(head, legend, heading, rows), place + 1 + len(rows)


def passes(head: re.Match[str], legend: list[Raw], heading: str, rows: list[str]) -> list[Raw]:
    """Acts of repeated passes: their announcement, the acts of a round, the heading and the rows of the table."""
    acts = [act for row in rows for act in _one_round(_match(ROW_LINE, row), heading, legend, row)]
    _require(len(rows) == int(head[4]), f"{head[4]} passes announced, {len(rows)} in the table")
    _require(legend[-1].number == head[3], "the letters of the round do not end as announced")
    _require((acts[0].number, acts[-1].number) == (head[1], head[2]), "the numbers of the passes do not agree")
    return acts


DEEP_INCH = "deep in"
"""Column of depths on a sheet in inches alone; on any other they are in millimetres."""
BY_TABLE = "by the table"


def _one_round(row: re.Match[str], heading: str, legend: list[Raw], line: str) -> Iterator[Raw]:
    """Acts of one pass: the setting from the row, the rest from the legend."""
    step, _, first = row[1].partition(".")
    side = "short of 0" if "short of 0" in heading else "beyond 0"
    columns = [cell for cell in re.split(r" {2,}", line.strip()) if cell]
    names = [cell for cell in re.split(r" {2,}", heading.strip()) if cell]
    cells = dict(zip(["number", *names], columns, strict=True))
    sizes = [name for name in names if name.endswith((" mm", " in")) and name != DEEP_INCH]
    kinds = {name.rpartition(" ")[0] for name in sizes}
    _require(len(kinds) == 1, f"{heading!r}: sizes of several kinds")
    kind = kinds.pop()
    own, *other = (f"{cells[name]} {name.rpartition(' ')[2]}" for name in sizes)
    length = " ".join((own, *(f"({told})" for told in other)))
    reached = {
        "Ø": f"Ø {length}",
        "below": f"{length} below the corner",
        "behind": f"{length} behind the face",
        "in front": f"{length} in front of the face",
    }[kind]
    for place, told in enumerate(legend):
        number = f"{step}.{int(first) + place}"
        body = told.body
        if place == 0:
            handle = f"{cells['handle']}, "
            _require(body.startswith(handle), f"{number}: the row says {handle!r}, the round {body!r}")
            turns, _, marks = cells[side].partition(" + ")
            figure = f" (figure {cells['figure']})" if cells.get("figure", "0") != "0" else ""
            dial = f"DIAL {cells['DIAL']}{figure} {turns} turns + {marks} marks {side} {reached}"
            if "my DIAL" in cells:
                _require(re.fullmatch(BOX, cells["my DIAL"]) is not None, f"{number}: no box to fill in")
                dial = f"{dial} my DIAL {cells['my DIAL']}"
            to_table = f"to the DIAL of the table; beside it turns + marks {side}"
            _require(body.endswith(to_table), f"{number}: {body!r} does not lead to the table")
            body = body.replace(to_table, dial)
        elif "depth: see the table" in body:
            deep = f"{cells[DEEP_INCH]} in" if len(sizes) == 1 and sizes[0].endswith(" in") else f"{cells['deep']} mm"
            body = body.replace("depth: see the table", f"{deep} {BY_TABLE} deep")
        yield Raw(number, told.verb, body, told.cautions)


# fields ---------------------------------------------------------------------------------------------------------


def fields_of(verb: str, body: str) -> dict[str, object]:
    """Fields of an act from its joined text."""
    reader = READERS.get(verb)
    if reader is None:
        msg = f"no act begins with {verb!r}"
        raise SheetTextError(msg)
    return reader(body)


def printed(text: str, factor: Fraction = Fraction(1), rounding: Rounding = Rounding.NEAREST) -> Figure:
    """Read a rounded decimal."""
    places = len(text.partition(".")[2])
    return Figure(Fraction(text) * factor, factor / 10**places, rounding)


def figure(text: str, factor: Fraction = Fraction(1)) -> Printed:
    """Read a quantity printed once."""
    return Printed((printed(text, factor),))


NOTHING = Printed((Figure(Fraction(0), Fraction(0)),))


def exact(text: str) -> Fraction:
    """Read a whole number, decimal, fraction or mixed fraction."""
    sign = -1 if text.startswith("-") else 1
    return sign * sum((Fraction(piece) for piece in text.lstrip("-").split()), Fraction(0))


def length(first: str, first_unit: str, second: str | None, second_unit: str | None) -> Printed:
    """Read a length given in both units, or in one."""
    told = _told(first, first_unit, second, second_unit)
    return Printed(tuple(printed(text, FACTORS[unit]) for text, unit in told), _units(told))


def _units(told: Sequence[tuple[str, str]]) -> str:
    return BOTH if len(told) > 1 else told[0][1]


def _told(first: str, first_unit: str, second: str | None, second_unit: str | None) -> tuple[tuple[str, str], ...]:
    if second is None or second_unit is None:
        return ((first, first_unit),)
    _require(
        {first_unit, second_unit} == {"mm", "in"}, f"{first} {first_unit} ({second} {second_unit}): one unit twice"
    )
    return ((first, first_unit), (second, second_unit))


def limits(text: str) -> tuple[Printed, Printed]:
    """Read two limits in both units, or in one, rounded inward."""
    match = _full(rf"({NUMBER}) to ({NUMBER}) (mm|in)(?: \(({NUMBER}) to ({NUMBER}) (mm|in)\))?", text)
    low = _told(match[1], match[3], match[4], match[6])
    high = _told(match[2], match[3], match[5], match[6])
    return (
        Printed(tuple(printed(text, FACTORS[unit], Rounding.UP) for text, unit in low), _units(low)),
        Printed(tuple(printed(text, FACTORS[unit], Rounding.DOWN) for text, unit in high), _units(high)),
    )


def setting(text: str, hand: str) -> dict[str, object]:
    """Read what is set, how far that is from its zero, and what is then true, for the hand that comes to it."""
    text, own = re.subn(rf" my DIAL {BOX}$", "", text)
    dial = re.match(
        rf"DIAL ({EXACT})(?: \(figure ({NUMBER})\))? "
        rf"(?:(\d+) turns? \+ ({EXACT}) marks? (short of|beyond) 0|at 0)(?: |$)",
        text,
    )
    if dial:
        _require(hand in {"clockwise", "anticlockwise"}, f"{text!r}: nobody knows which way that is counted")
        # a dial counts up clockwise: short of 0 it is below 0 then, and above it for the hand that turns back
        sign = -1 if (dial[5] == "short of") is (hand == "clockwise") else 1
        found: dict[str, object] = {"kind": "DIAL", "dial": exact(dial[1]), "own_dial": own == 1}
        found["figure"] = exact(dial[2]) if dial[2] else None
        found["turns_from_zero"] = sign * int(dial[3] or 0)
        found["marks_from_zero"] = sign * exact(dial[4] or "0")
        return {**found, **reached(text[dial.end() :])}
    _require(own == 0, f"{text!r}: a dial's box beside what is no dial")
    aid = re.match(
        rf"(READOUT|INDICATOR|STOP|RULE) ({EXACT}) (mm|in)(?: (left of 0|right of 0|plus|minus))?"
        rf"(?: ± ({NUMBER}) (mm|in))?(?: |$)",
        text,
    )
    if not aid:
        msg = f"not a setting: {text!r}"
        raise SheetTextError(msg)
    factor = FACTORS[aid[3]]
    sign = -1 if aid[4] in {"right of 0", "minus"} else 1
    band = figure(aid[5], factor) if aid[5] else NOTHING
    _require(aid[5] is None or aid[6] == aid[3], f"{text!r}: the band is in another unit")
    return {"kind": aid[1], "value_mm": sign * exact(aid[2]) * factor, "band_mm": band, **reached(text[aid.end() :])}


def reached(text: str) -> dict[str, object]:
    """Read what is true at a setting: a diameter, a depth below a corner, or a place along the axis."""
    if not text:
        return {}
    for pattern, meaning, sign in (
        (rf"Ø {LENGTH}", "Ø", 1),
        (rf"{LENGTH} below the corner", "depth", 1),
        (rf"{LENGTH} behind the face", "along", -1),
        (rf"{LENGTH} in front of the face", "along", 1),
    ):
        if match := re.fullmatch(pattern, text):
            size = length(match[1], match[2], match[3], match[4])
            return {"expected_mm": size if sign > 0 else size.negative(), "expected_as": meaning}
    _require(text == "at the face", f"not a size: {text!r}")
    return {"expected_mm": figure("0.00"), "expected_as": "along"}


def _load(body: str) -> dict[str, object]:
    match = _full(
        rf"bar (.+?): (?:hexagon, |tube, )?Ø {LENGTH}(?: across flats)?(?:, bore Ø {LENGTH})? in the (.+?) "
        rf"stick-out {LENGTH} from (?P<front>the jaws|the face of the closing nut) to the raw end grip {LENGTH} "
        rf"piece {LENGTH} long {LENGTH} of that will be faced off far end: (.+?)(?: never above ({NUMBER}) rev/min)?",
        body,
    )
    groups = match.groups()
    stick_out, grip, piece, faced = (length(*groups[start : start + 4]) for start in (10, 15, 19, 23))
    return {
        "bar": match[1],
        "name": match[10],
        "bar_dia_mm": length(*groups[1:5]),
        "bar_bore_mm": length(*groups[5:9]) if groups[5] else None,
        "stick_out_mm": stick_out,
        "grip_length_mm": grip,
        "bar_length_mm": piece,
        "face_stock_mm": faced,
        "front": match["front"],
        "tail": groups[27],
        "max_rpm": figure(groups[28]) if groups[28] else None,
    }


def _fit(body: str) -> dict[str, object]:
    if body.startswith("tool "):
        match = _full(
            rf"tool (.+?): (.+) first (carriage right|cross-slide out): post {LENGTH} or more off the (face|work) "
            rf"stands out {LENGTH} edge on centre height",
            body,
        )
        _require((match[3] == "carriage right") is (match[8] == "face"), f"{body!r}: out is off the work")
        return {
            "tool": match[1],
            "name": match[2],
            "post_goes": match[3],
            "post_off_mm": length(*match.groups()[3:7]),
            "stands_out_mm": length(*match.groups()[8:12]),
        }
    if body.startswith("reamer "):
        match = _full(rf"reamer (.+?): (.+) Ø {LENGTH} in the tailstock", body)
        return {"reamer": match[1], "name": match[2], "dia_mm": length(*match.groups()[2:6])}
    match = _full(rf"drill (.+?): (.+) Ø {LENGTH}(, lips dubbed)? in the tailstock", body)
    return {
        "drill": match[1],
        "name": match[2],
        "dia_mm": length(*match.groups()[2:6]),
        "dubbed": match[7] is not None,
    }


def _speed(body: str) -> dict[str, object]:
    match = _full(
        rf"(?:about )?({EXACT}) rev/min(?:: (.+?))? "
        rf"(?:({NUMBER}) m/min, ({NUMBER}) ft/min|({NUMBER}) m/min|({NUMBER}) ft/min) at Ø {LENGTH}",
        body,
    )
    in_metres, in_feet = match[3] or match[5], match[4] or match[6]
    speeds = [(in_metres, "mm", Fraction(1)), (in_feet, "in", Fraction(3048, 10000))]
    told = [(text, unit, factor) for text, unit, factor in speeds if text]
    speed = Printed(
        tuple(printed(text, factor) for text, _, factor in told), _units([(text, unit) for text, unit, _ in told])
    )
    return {
        "rpm": exact(match[1]),
        "position": match[2] or "",
        "cutting_speed_m_min": speed,
        "cut_dia_mm": length(*match.groups()[6:10]),
    }


def _feed(body: str) -> dict[str, object]:
    span = rf"({NUMBER})(?: to ({NUMBER}))?"
    rate = rf"(?:{span} mm/rev \({span} in/rev\)|{span} mm/rev|{span} in/rev)"
    if body.startswith("power"):
        match = _full(rf"power, {HANDLE}, {rate}(?:: (.+))?", body)
        low, high = _rates(match.groups()[1:9])
        return {"kind": "power", "handle": match[1], "low": low, "high": high, "position": match[10] or ""}
    match = _full(rf"by hand, {HANDLE}: one turn in (?:({NUMBER}) to |about )({NUMBER}) s {rate}", body)
    low, high = _rates(match.groups()[3:11])
    return {
        "kind": "hand",
        "handle": match[1],
        "pace_fast_s": figure(match[2] or match[3]),
        "pace_slow_s": figure(match[3]),
        "low": low,
        "high": high,
    }


def _rates(told: Sequence[str | None]) -> tuple[Printed, Printed]:
    """Ends of a feed, from its figures in mm and inches together, then in mm alone, then in inches alone."""
    both_mm, both_high_mm, both_in, both_high_in, alone_mm, alone_high_mm, alone_in, alone_high_in = told
    low_mm, high_mm = both_mm or alone_mm, both_high_mm or alone_high_mm
    low_in, high_in = both_in or alone_in, both_high_in or alone_high_in
    units = BOTH if both_mm else "mm" if alone_mm else "in"
    ends = []
    for in_mm, in_inch in ((low_mm, low_in), (high_mm or low_mm, high_in or low_in)):
        figures = []
        if in_mm:
            figures.append(Figure(Fraction(in_mm), Fraction(1, 10**3 if high_mm else 10**4)))
        if in_inch:
            figures.append(printed(in_inch, INCH_TO_MM))
        ends.append(Printed(tuple(figures), units))
    return ends[0], ends[1]


def _start(body: str) -> dict[str, object]:
    return {"reverse": _one_of({"spindle forward": False, "spindle REVERSE": True}, body)}


def _stop(body: str) -> dict[str, object]:
    _require(body == "spindle; wait until it stands", body)
    return {}


def _bring(body: str) -> dict[str, object]:
    match = _full(
        r"tip by eye: (carriage right of the face, cross-slide, carriage left|"
        rf"cross-slide out, clear of all; carriage left; cross-slide in) to: (.+) about Ø {LENGTH}, {LENGTH} "
        r"(behind|in front of) the face",
        body,
    )
    place = length(*match.groups()[6:10])
    return {
        "last": match[1].rsplit(maxsplit=1)[-1],
        "place": match[2],
        "dia_mm": length(*match.groups()[2:6]),
        "z_mm": place.negative() if match[11] == "behind" else place,
    }


def _touch(body: str) -> dict[str, object]:
    match = _full(rf"{HANDLE}, {HAND} until the (.+) just touches the (.+?)(?:, feeler {LENGTH} between)?", body)
    feeler = length(*match.groups()[5:9]) if match[6] else NOTHING
    return {
        "handle": match[1],
        "hand": match[2],
        "tool_goes": match[3],
        "contact": match[4],
        "surface": match[5],
        "feeler_mm": feeler,
    }


ZEROED = {
    "dial to 0, handle still": "DIAL",
    "dial as it stands, handle still": "DIAL",
    "readout to 0, handle still": "READOUT",
    "indicator to 0, handle still": "INDICATOR",
    "stop set here is 0": "STOP",
    "place on the rule here is 0": "RULE",
}
FIXED = rf" this collar cannot be set: it shows now {BOX}"
OFFSET = (
    rf"(?: all counted in marks: figure on the dial / ({NUMBER}))?"
    r" my DIAL = DIAL of zero ([A-Z]+) \+ offset; from (\d+) up, take (\d+) off"
)


def _zero(body: str) -> dict[str, object]:
    body = body.removesuffix(" the rule shows [________]")
    match = _full(
        rf"([A-Z]+): {HANDLE}, (.+?) 0 means (.+?)({FIXED} that is the offset{OFFSET})?",
        body,
    )
    _require((match[5] is not None) is (match[3] in FIXED_SAID), f"{body!r}: a collar is set, or it is not")
    found: dict[str, object] = {
        "letter": match[1],
        "handle": match[2],
        "kind": _one_of(ZEROED, match[3]),
        "offset_marks": (int(match[8]), int(match[9])) if match[5] else None,
        "offset_figure": exact(match[6]) if match[6] else None,
    }
    _require(match[5] is None or match[7] == match[1], f"{body!r}: the offset is of another zero")
    if touched := re.fullmatch("the (.+) as touched", match[4]):
        return {**found, "surface": touched[1], "stands_for_mm": NOTHING, "stands_for": "depth"}
    surface, _, place = match[4].partition(": ")
    meant = reached(place)
    return {**found, "surface": surface, "stands_for_mm": meant["expected_mm"], "stands_for": meant["expected_as"]}


def _collar(body: str) -> dict[str, object]:
    match = _full(
        rf"(?P<letter>[A-Z]+): {HANDLE}, handle still, (?P<how>dial set|offset) from the reading "
        rf"marks short of 0 = \((?:Ø - (?P<above>{NUMBER})|(?P<below>{NUMBER}) - Ø)\) / (?P<worth>{NUMBER}), "
        r"in (?P<unit>mm|inches) "
        r"(?P<other>a reading in inches: times 25\.4 first |a reading in mm: divided by 25\.4 first )?"
        r"to the nearest (?P<whole>whole|half) mark; DIAL = (?:(?P<turn>\d+) - )?marks "
        r"with (?P<most>\d+) marks or more, take off whole turns first "
        rf"(?:figure on the dial = DIAL x (?P<each>{NUMBER}) )?"
        rf"expected Ø (?P<size>{LENGTH}): (?P<dial>DIAL .+?) "
        rf"my reading {BOX} marks {BOX} DIAL {BOX}(?P<box> figure {BOX})?"
        rf"(?P<fixed>{FIXED} less the DIAL from my reading = offset {BOX}; below 0, add (?P<add>\d+){OFFSET})?",
        body,
    )
    factor = FACTORS[match["unit"]]
    # the 0 is to come: with DIAL = so many less the marks the dial counts up to it, so the hand turns clockwise
    found = setting(match["dial"], "clockwise" if match["turn"] else "anticlockwise")
    _require(" beyond " not in match["dial"], f"{body!r}: a rule for marks short of 0, a dial beyond it")
    _require((match["each"] is None) is (match["box"] is None), f"{body!r}: a figure without a box for it")
    _require((match["how"] == "offset") is (match["fixed"] is not None), f"{body!r}: a collar is set, or it is not")
    *_, offset_figure, letter, up, off = match.groups()
    _require(match["fixed"] is None or letter == match["letter"], f"{body!r}: the offset is of another zero")
    return {
        "letter": match["letter"],
        "handle": match[2],
        "counts_up": match["turn"] is not None,
        "from_outside": match["above"] is not None,
        "zero_dia_mm": figure(match["above"] or match["below"], factor),
        "dia_per_mark_mm": Printed((Figure(Fraction(match["worth"]) * factor, factor / 10**5),)),
        "halves": match["whole"] == "half",
        "other_gauges": match["other"] is not None,
        "marks_per_turn": (int(match["most"]), int(match["turn"] or match["most"])),
        "expected_mm": length(*_full(LENGTH, match["size"]).groups()),
        "dial": found["dial"],
        "figure": found["figure"],
        "figure_rule": exact(match["each"]) if match["each"] else None,
        "turns_from_zero": found["turns_from_zero"],
        "marks_from_zero": found["marks_from_zero"],
        "offset_marks": (int(match["add"]), int(up), int(off)) if match["fixed"] else None,
        "offset_figure": exact(offset_figure) if offset_figure else None,
    }


FIXED_SAID = ("dial as it stands, handle still",)


SIDES = "(plus|minus|left of 0|right of 0)"


def _readout(body: str) -> dict[str, object]:
    entry = rf"READOUT ({EXACT}) (mm|in)(?: {SIDES})?"
    match = _full(
        rf"([A-Z]+): {HANDLE}, handle still, set from the reading "
        rf"enter {SIDES} \((?:Ø - ({NUMBER})|({NUMBER}) - Ø)\) / ({NUMBER}), all in (mm|inches) "
        rf"to the nearest step of ({EXACT}) (mm|in); {SIDES}: the tool stands (outside|inside) that size"
        r"( a reading in inches: times 25\.4 first| a reading in mm: divided by 25\.4 first)? "
        rf"expected Ø {LENGTH}: {entry} were it Ø {LENGTH}: {entry} my reading {BOX} READOUT {BOX}",
        body,
    )
    factor, divisor, step_mm = FACTORS[match[7]], Fraction(match[6]), exact(match[8]) * FACTORS[match[9]]
    from_outside = match[4] is not None
    _require(match[7].startswith(match[9]) and match[3] == match[10], f"{body!r}: the rule says two things")
    _require(from_outside is (match[11] == "outside"), f"{body!r}: the rule does not fit where the tool stands")
    zero = figure(match[4] or match[5], factor)
    found = {
        "letter": match[1],
        "handle": match[2],
        "side": match[3],
        "from_outside": from_outside,
        "zero_dia_mm": zero,
        "dia_per_step_mm": Printed((Figure(divisor * step_mm, step_mm / 10**5),)),
        "step_mm": step_mm,
        "readout_unit": match[9],
        "told_to_convert": match[12] is not None,
    }
    for name, at in (("expected", 13), ("other", 20)):
        reading = length(*match.groups()[at - 1 : at + 3])
        away = exact(match[at + 4]) * FACTORS[match[at + 5]]
        sign = -1 if match[at + 6] in {"right of 0", "minus"} else 1
        by_rule = abs(reading.figures[0].value - zero.figures[0].value) / divisor
        rough = (reading.figures[0].step + zero.figures[0].step) / divisor
        _require(abs(by_rule - away) <= (step_mm + rough) / 2 + DUST, f"{body!r}: the rule gives another figure")
        _require(match[at + 6] in {None, match[3]}, f"{body!r}: a figure on the other side than the rule's")
        found |= {f"{name}_mm": reading, f"{name}_value_mm": sign * away}
    return found


def _set(body: str) -> dict[str, object]:
    match = _full(
        rf"{HANDLE}, {HAND} zero ([A-Z]+)"
        r"(?: first (clockwise|anticlockwise)(?: (\d+) marks?)? past it, to take up the slack)? (.+)",
        body,
    )
    return {
        "handle": match[1],
        "hand": match[2],
        "tool_goes": match[3],
        "letter": match[4],
        "first": match[5] or "",
        "first_marks": int(match[6] or 0),
        **setting(match[7], match[2]),
    }


def _cut(body: str) -> dict[str, object]:
    match = _full(
        rf"{HANDLE}, (?:by power \(([a-z]+)(?:, its wheel (?P<wheel>clockwise|anticlockwise))?\)|by hand, {HAND}) "
        r"(.+?) "
        r"(?:zero ([A-Z]+) (.+?)|until it runs clear, by eye) "
        rf"{LENGTH}( {BY_TABLE})? (?:deep|wide) {LENGTH} long(?: about (.+))?",
        body,
    )
    groups = match.groups()
    by_hand = match[2] is None
    depth = length(*groups[8:12])
    return {
        "handle": match[1],
        "feed": "hand" if by_hand else "power",
        "hand": match[4] or match["wheel"] or "",
        "tool_goes": match[5] if by_hand else match[2],
        "surface": match[6],
        "letter": match[7] or "",
        "depth_mm": replace(depth, units="") if groups[12] else depth,
        "length_mm": length(*groups[13:17]),
        "seconds": seconds(groups[17]),
        **(setting(match[8], match[4] or match["wheel"] or "") if match[8] else {}),
    }


def seconds(text: str | None) -> Printed:
    """Read a duration such as ``1 min 35 s``."""
    if text is None:
        return NOTHING
    match = _full(r"(?:(\d+) min)?(?: ?(\d+) s)?", text)
    total = 60 * int(match[1] or 0) + int(match[2] or 0)
    return Printed((Figure(Fraction(total), Fraction(1 if match[2] or total < 600 else 60)),))


def _back(body: str) -> dict[str, object]:
    match = _full(
        rf"{HANDLE}, {HAND}(?: ((?:\d+ )?\d+/\d+|\d+) turns?)?(?: ?\+? ({EXACT}) marks)? about {LENGTH}", body
    )
    return {
        "handle": match[1],
        "hand": match[2],
        "tool_goes": match[3],
        "turns": exact(match[4]) if match[4] else None,
        "marks": exact(match[5]) if match[5] else None,
        "distance_mm": length(*match.groups()[5:9]),
    }


def _drill(body: str) -> dict[str, object]:
    match = _full(
        rf"{HANDLE}, {HAND} zero ([A-Z]+) (.+?) the point goes {LENGTH} further(?: about (.+?))? "
        rf"draw out to clear the chips every {LENGTH} "
        r"hold the drill chuck back as it comes out: it can be pulled from its taper",
        body,
    )
    groups = match.groups()
    return {
        "handle": match[1],
        "hand": match[2],
        "tool_goes": match[3],
        "letter": match[4],
        "point_mm": length(*groups[5:9]),
        "seconds": seconds(groups[9]),
        "peck_mm": length(*groups[10:14]),
        **setting(match[5], match[2]),
    }


def _ream(body: str) -> dict[str, object]:
    match = _full(
        rf"{HANDLE}, {HAND} zero ([A-Z]+) (.+?) the lead goes {LENGTH} further(?: about (.+?))? "
        r"in one go, evenly, in plenty of oil; draw it out while the work turns forwards",
        body,
    )
    groups = match.groups()
    return {
        "handle": match[1],
        "hand": match[2],
        "tool_goes": match[3],
        "letter": match[4],
        "lead_mm": length(*groups[5:9]),
        "seconds": seconds(groups[9]),
        **setting(match[5], match[2]),
    }


def _handle_only(body: str) -> dict[str, object]:
    return {"handle": _full(HANDLE, body)[1]}


def _cool(body: str) -> dict[str, object]:
    return {"seconds": seconds(_full(r"wait (.+): the work must be as cool as the room", body)[1])}


def _measure(body: str) -> dict[str, object]:
    span = rf"{NUMBER} to {NUMBER} (?:mm|in)(?: \({NUMBER} to {NUMBER} (?:mm|in)\))?"
    match = _full(
        rf"(.+?), (.+?) with (?:no gauge of this shop|(.+?): (.+?)) "
        r"(?:from the (front|back) face, the rod of the gauge on the shoulder's (outer|inner) part )?"
        rf"expect (Ø )?{LENGTH} reading {BOX}"
        rf"(?: stop if outside ({span}))?"
        rf"(?: 1 (?:mark|step) changes (Ø|it) by {LENGTH})?"
        rf"(?: FINISHED SIZE: ({span}))?"
        rf"(?: ({ABOVE}reads (?:mm|in) .+?))?"
        r"(?P<else> any other reading: stop and plan again; outside its limits: handwheel rescue)?",
        body,
    )
    _require(match[12] is not None or match["else"] is not None, f"{body!r}: nobody knows when to stop")
    low, high = limits(match[12] or match[18] or "")
    return {
        "surface": match[1],
        "aspect": match[2],
        "gauge": match[3] or "",
        "name": match[4] or "",
        "from_face": match[5] or "",
        "rod_on": match[6] or "",
        "is_dia": match[7] is not None,
        "expected_mm": length(*match.groups()[7:11]),
        "stop_low_mm": low,
        "stop_high_mm": high,
        "worth_of": match[13] or "",
        "mark_worth_mm": _worth(*match.groups()[13:17]),
        "final": limits(match[18]) if match[18] else None,
        **_advice(match[19] or ""),
    }


def _worth(first: str | None, first_unit: str | None, second: str | None, second_unit: str | None) -> Printed:
    """Read what a mark is worth: its millimetres are trimmed, so that they are good to four places all the same."""
    if first is None or first_unit is None:
        return NOTHING
    told = _told(first, first_unit, second, second_unit)
    figures = tuple(
        Figure(Fraction(text), Fraction(1, 10**4)) if unit == "mm" else printed(text, INCH_TO_MM) for text, unit in told
    )
    return Printed(figures, _units(told))


ABOVE = r"(?:first COOL (?:\d+ min(?: \d+ s)?|\d+ s) )?(?:take \d+ readings; the rows are for their mean )?"
AWAY = r"(?: (?P<side>left of 0|right of 0|plus|minus))?"
SET_TO = (
    rf"DIAL (?P<dial>{EXACT})(?: \((?P<figure>{NUMBER})\))?|by (?P<rule>RULE)"
    rf"|READOUT (?P<value>{EXACT}) (?P<unit>mm|in){AWAY}"
)
CUT_BY = (
    rf"(?P<cut>CUT) (?:(?:(?P<turns>\d+) \+ )?(?P<marks>{EXACT}) deeper"
    rf"|(?P<way>{EXACT}) (?P<wayunit>mm|in) deeper|by (?P<cutrule>RULE))"
)
OTHERWISE = r"COOL (?P<cool>\d+ min(?: \d+ s)?|\d+ s)|(?P<word>READ AGAIN|GO ON|GOOD|LOST|STOP)"
SHORT = rf"(?:(?P<whole>\d+) \+ )?(?P<count>{EXACT}) (?P<from>beyond|short)\b|(?P<at>at 0)"
ROW = re.compile(
    rf"(?P<a>{NUMBER})(?: to (?P<b>{NUMBER}))? (?:(?P<c>{NUMBER})(?: to (?P<d>{NUMBER}))? )?"
    rf"(?:{CUT_BY}|(?:{SET_TO})(?: (?:{SHORT}))?|{OTHERWISE})"
)
STOOD = rf"(?:DIAL (?P<stood>{EXACT})|READOUT (?P<at>{EXACT}) (?P<unit>mm|in){AWAY})"
BELOW = re.compile(
    rf"(?: CUT: {HANDLE}, {HAND}(?:; last cut at {STOOD})?)?"
    r"(?: RULE: (?P<set>.+?))?(?: CUT by RULE: (?P<cut>.+))?"
)
MARKS_RULE = (
    rf"marks (deeper|short of 0|beyond 0) = \((?:reading - ({NUMBER})|({NUMBER}) - reading)\) / ({NUMBER}), "
    rf"in (mm|inches), to the nearest (whole|half) mark(?:; DIAL = (?:(\d+) - )?(marks))?"
    r"(; a reading in inches: times 25\.4 first|; a reading in mm: divided by 25\.4 first)?"
)
READOUT_RULE = (
    rf"(?:(deeper) by|READOUT (plus|minus|left of 0|right of 0)) \((?:reading - ({NUMBER})|({NUMBER}) - reading)\) / "
    rf"({NUMBER}), in (mm|inches), to the nearest ({EXACT}) (mm|in)"
    r"(; a reading in inches: times 25\.4 first|; a reading in mm: divided by 25\.4 first)?"
)


def _advice(text: str) -> dict[str, object]:
    """Read a table of readings, what stands above it and below it."""
    found: dict[str, object] = dict.fromkeys(ADVICE_FIELDS)
    if not text:
        return found
    head = re.match(
        r"(?:first COOL (.+?) )??(?:take (\d+) readings; the rows are for their mean )?reads (mm|in) (?:(mm|in) )?do ",
        text,
    )
    if head is None:
        msg = f"{text!r}: no heading"
        raise SheetTextError(msg)
    rows, place = [], head.end()
    while match := ROW.match(text, place):
        _require((match["c"] is not None) is (head[4] is not None), f"{match[0]!r}: other columns than in the heading")
        rows.append(_advice_row(match, head[3], head[4]))
        place = match.end() + 1
    below = _full(BELOW.pattern, "" if place > len(text) else text[place - 1 :])
    return {
        "advice": tuple(rows),
        "advice_cool": seconds(head[1]),
        "advice_readings": int(head[2] or 1),
        "advice_hand": (below[1], below[2], below[3]) if below[1] else None,
        "advice_stood": _stood(below),
        "advice_set_rule": _advice_rule(below["set"]),
        "advice_cut_rule": _advice_rule(below["cut"]),
    }


ADVICE_FIELDS = (
    "advice",
    "advice_cool",
    "advice_readings",
    "advice_hand",
    "advice_stood",
    "advice_set_rule",
    "advice_cut_rule",
)


def _stood(below: re.Match[str]) -> Fraction | None:
    """Where dial or readout stood for the last cut: marks, or mm."""
    if below["stood"]:
        return exact(below["stood"])
    if below["at"] is None:
        return None
    return _side_sign(below["side"]) * exact(below["at"]) * FACTORS[below["unit"]]


def _side_sign(side: str | None) -> int:
    return -1 if side in {"right of 0", "minus"} else 1


def _advice_row(match: re.Match[str], unit: str, other: str | None) -> tuple[object, ...]:
    """One row: from where to where, what to do, what dial or readout is set to, how many marks that is."""
    low = length(match["a"], unit, match["c"], other)
    high = length(match["b"] or match["a"], unit, match["d"] or match["c"], other)
    value = _side_sign(match["side"]) * exact(match["value"]) * FACTORS[match["unit"]] if match["value"] else None
    if match["way"]:
        value = exact(match["way"]) * FACTORS[match["wayunit"]]
    marks = None
    if match["at"]:
        marks = ("at 0", Fraction(0), Fraction(0))
    elif match["count"]:
        marks = (match["from"], Fraction(match["whole"] or 0), exact(match["count"]))
    elif match["marks"]:
        marks = ("deeper", Fraction(match["turns"] or 0), exact(match["marks"]))
    return (
        low,
        high,
        match["cut"] or match["word"] or ("COOL" if match["cool"] else "SET"),
        exact(match["dial"]) if match["dial"] else None,
        exact(match["figure"]) if match["figure"] else None,
        value,
        marks,
        match["rule"] is not None or match["cutrule"] is not None,
        seconds(match["cool"]),
    )


def _advice_rule(text: str | None) -> tuple[object, ...] | None:
    """A rule: which side, above or below its size, size, worth of a mark or step, steps, what the dial then shows."""
    if text is None:
        return None
    if match := re.fullmatch(MARKS_RULE, text):
        factor = FACTORS[match[5]]
        worth = Printed((Figure(Fraction(match[4]) * factor, factor / 10**5),))
        dial = (int(match[7]) if match[7] else 0) if match[8] else None
        return (
            match[1],
            match[2] is not None,
            figure(match[2] or match[3], factor),
            worth,
            match[6],
            dial,
            match[9] is not None,
        )
    match = _full(READOUT_RULE, text)
    factor, step_mm = FACTORS[match[6]], exact(match[7]) * FACTORS[match[8]]
    worth = Printed((Figure(Fraction(match[5]) * step_mm, step_mm / 10**5),))
    size = figure(match[3] or match[4], factor)
    return (match[1] or match[2], match[3] is not None, size, worth, step_mm, match[8], match[9] is not None)


def _hold(body: str) -> dict[str, object]:
    match = _full(
        rf"ring (?P<on>in|on) (?P<holding>.+?): (?P<name>.+?)(?: on the (?P<gripped>[a-z0-9 ]+) Ø (?P<grip>{LENGTH}))? "
        r"(?P<side>front|back) face (?P<towards>towards the tailstock|down on the paper)"
        rf"(?: gripped (?P<long>{LENGTH}) stop or jaw face (?P<face>.+?)"
        rf"(?: seat or shoulder behind it Ø (?P<seat>{LENGTH}))?"
        rf"(?: washer or plate on its face Ø (?P<cover>{LENGTH}))?"
        rf"(?: never above (?P<rpm>{NUMBER}) rev/min)? runs true within (?P<true>{LENGTH}))?"
        rf"(?: outside (?P<growth>{LENGTH}) larger while it is held)?"
        rf"(?: grip lightly: lobes up to (?P<lobes>{LENGTH}) may be left)?",
        body,
    )
    found: dict[str, object] = {
        "holding": match["holding"],
        "name": match["name"],
        "side": match["side"],
        "turned": match["towards"] == "towards the tailstock",
    }
    _require((match["on"] == "in") is found["turned"], f"{body!r}: a ring is held in something, or lies on it")
    if match["gripped"]:
        found["gripped"] = match["gripped"]
    if match["face"]:
        found["jaw_face_mm"] = reached(match["face"])["expected_mm"]
        found["max_rpm"] = figure(match["rpm"]) if match["rpm"] else None
    for group, name in _HELD_LENGTHS:
        if match[group]:
            found[name] = length(*_full(LENGTH, match[group]).groups())
    return found


_HELD_LENGTHS = (
    ("grip", "grip_dia_mm"),
    ("long", "grip_length_mm"),
    ("true", "runout_mm"),
    ("seat", "seat_dia_mm"),
    ("cover", "cover_dia_mm"),
    ("growth", "growth_dia_mm"),
    ("lobes", "lobes_mm"),
)


def _true(body: str) -> dict[str, object]:
    match = _full(
        rf"(.+?) with (?:no gauge of this shop|(.+?): (.+)) turn the work by hand: "
        rf"total reading at most {LENGTH} reading {BOX}",
        body,
    )
    return {
        "surface": match[1],
        "gauge": match[2] or "",
        "name": match[3] or "",
        "high_mm": length(*match.groups()[3:7]),
    }


def _swing(body: str) -> dict[str, object]:
    match = _full(
        rf"top slide (?:wound left, the tool also goes (in|out)|parallel to the bed) "
        rf"(?:first (carriage right|cross-slide out): tool {LENGTH} or more off the work )?"
        rf"SCALE ({EXACT})° on this lathe ± ({NUMBER})° "
        rf"({EXACT})° from the lathe's axis ({EXACT})° from the cross-slide "
        rf"check: wind the top slide (?:(\d+) turns? \+ (\d+) marks?, )?{LENGTH} and the tip must move {LENGTH} across "
        rf"(?:± {LENGTH} )?"
        r"all zeros are gone: cross-slide, top slide, carriage",
        body,
    )
    angle, complement = exact(match[9]), exact(match[10])
    _require(angle + complement == 90, f"{body!r}: the two angles are not 90° together")
    return {
        "leftward": match[1],
        "tool_goes": match[2],
        "tool_off_mm": length(*match.groups()[2:6]) if match[2] else None,
        "scale_deg": exact(match[7]),
        "error_deg": figure(match[8]),
        "angle_deg": angle,
        "check_turns": None if match[11] is None else (int(match[11]), int(match[12])),
        "check_travel_mm": length(*match.groups()[12:16]),
        "check_across_mm": length(*match.groups()[16:20]),
        "check_within_mm": length(*match.groups()[20:24]) if match[21] else None,
    }


def _by_hand(body: str) -> dict[str, object]:
    match = _full(rf"(.+?)(?: tool: (\S+))?(?: takes {LENGTH} off the ([a-z ]+)| at: ([a-z ]+))?", body)
    found: dict[str, object] = {"text": match[1], "tool": match[2] or "", "surface": match[7] or match[8] or ""}
    return {**found, "removes_mm": length(*match.groups()[2:6])} if match[3] else found


def _parted(body: str) -> dict[str, object]:
    _require(body == "the ring is free, on the catching rod; stop before you reach for it", body)
    return {}


HAND_VERBS = (
    "confirm",
    "ink",
    "deburr",
    "catch",
    "chips",
    "oil",
    "jaws",
    "mandrel",
    "collet",
    "pot",
    "spigot",
    "expander",
    "plate",
    "arbor",
    "rub",
    "clean",
    "remove",
    "tap",
    "break",
    "note",
)
READERS: dict[str, Callable[[str], dict[str, object]]] = {
    "load": _load,
    "fit": _fit,
    "speed": _speed,
    "feed": _feed,
    "start": _start,
    "stop": _stop,
    "bring": _bring,
    "touch": _touch,
    "zero": _zero,
    "collar": _collar,
    "readout": _readout,
    "set": _set,
    "cut": _cut,
    "back": _back,
    "drill": _drill,
    "ream": _ream,
    "lock": _handle_only,
    "free": _handle_only,
    "cool": _cool,
    "MEASURE": _measure,
    "hold": _hold,
    "true": _true,
    "swing": _swing,
    "parted": _parted,
    **dict.fromkeys(HAND_VERBS, _by_hand),
}


def _one_of(table: Mapping[str, Value], key: str) -> Value:
    if key not in table:
        msg = f"{key!r}: not one of {', '.join(table)}"
        raise SheetTextError(msg)
    return table[key]


def _full(pattern: str, text: str) -> re.Match[str]:
    match = re.fullmatch(pattern, text)
    if match is None:
        msg = f"cannot be read: {text!r}"
        raise SheetTextError(msg)
    return match


def _match(pattern: re.Pattern[str], line: str) -> re.Match[str]:
    match = pattern.match(line)
    if match is None:
        msg = f"cannot be read: {line!r}"
        raise SheetTextError(msg)
    return match


def _require(condition: bool, problem: str) -> None:  # noqa: FBT001 - reads as an assertion
    if not condition:
        raise SheetTextError(problem)
