"""Compares what a printed sheet says with the sheet it was printed from, field by field."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import groupby, zip_longest
from math import ceil
from numbers import Rational

from handwheel.domain import acts as a
from handwheel.domain.advice import AdviceBand, AdviceTable, Do
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.part import Units
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Dial, Slide
from handwheel.domain.tools import ToolKind
from tests.recover import ADVICE_FIELDS, BOTH, INCH_TO_MM, Heading, Printed, Record, SheetText, recover

WORDS = {Motion.IN: "in", Motion.OUT: "out", Motion.LEFT: "left", Motion.RIGHT: "right"}
HANDLES = {
    Handle.CROSS: "cross-slide",
    Handle.TOP: "top slide",
    Handle.CARRIAGE: "carriage",
    Handle.QUILL: "quill",
}
READ_ON = {
    a.SettingKind.MARKS: "DIAL",
    a.SettingKind.READOUT: "READOUT",
    a.SettingKind.INDICATOR: "INDICATOR",
    a.SettingKind.STOP: "STOP",
    a.SettingKind.RULE: "RULE",
}
VERBS = {
    a.LoadBar: "load",
    a.FitTool: "fit",
    a.FitDrill: "fit",
    a.FitReamer: "fit",
    a.SetSpeed: "speed",
    a.SetFeed: "feed",
    a.StartSpindle: "start",
    a.StopSpindle: "stop",
    a.Approach: "bring",
    a.Touch: "touch",
    a.SetZero: "zero",
    a.SetCollar: "collar",
    a.SetReadout: "readout",
    a.Move: "set",
    a.Cut: "cut",
    a.Retract: "back",
    a.DrillHole: "drill",
    a.ReamHole: "ream",
    a.Lock: "lock",
    a.Unlock: "free",
    a.Cool: "cool",
    a.Measure: "MEASURE",
    a.Regrip: "hold",
    a.Indicate: "true",
    a.SwingSlide: "swing",
    a.PartOff: "parted",
}
HAND_VERBS = {
    a.HandKind.CONFIRM: "confirm",
    a.HandKind.INK: "ink",
    a.HandKind.DEBURR: "deburr",
    a.HandKind.CATCH_ROD: "catch",
    a.HandKind.CLEAR_CHIPS: "chips",
    a.HandKind.LUBRICATE: "oil",
    a.HandKind.BORE_JAWS: "jaws",
    a.HandKind.TURN_MANDREL: "mandrel",
    a.HandKind.FIT_COLLET: "collet",
    a.HandKind.BORE_POT: "pot",
    a.HandKind.TURN_SPIGOT: "spigot",
    a.HandKind.FIT_MANDREL: "expander",
    a.HandKind.FACE_PLATE: "plate",
    a.HandKind.TURN_ARBOR: "arbor",
    a.HandKind.RUB_FACE: "rub",
    a.HandKind.CLEAN: "clean",
    a.HandKind.TAKE_OUT: "remove",
    a.HandKind.TAP: "tap",
    a.HandKind.BREAK_EDGE: "break",
    a.HandKind.NOTE: "note",
}
STANDING_CLEAR_MARKS = Fraction(1, 100)


@dataclass
class Lathe:
    """What has to be remembered from act to act: the angle, the letters of zeros, where handles stand."""

    shop: Shop
    swing: a.SwingSlide | None = None
    letters: dict[str, str] = field(default_factory=dict)
    meanings: dict[str, str] = field(default_factory=dict)
    stands: dict[Handle, tuple[a.SettingKind, Fraction]] = field(default_factory=dict)
    fitted: bool = False
    tailstock: bool = False
    table_at: dict[str, str] = field(default_factory=dict)

    @property
    def post_goes(self) -> str:
        """How the toolpost gets clear of the work: a tailstock that presses on it leaves only the way out."""
        return "cross-slide out" if self.tailstock else "carriage right"

    def slide(self, handle: Handle) -> Slide:
        """Slide of a handle."""
        return self.shop.lathe.slide(handle)

    def goes(self, handle: Handle, turn: Turn) -> str:
        """Where the tool goes, in the words of the sheet."""
        slide = self.slide(handle)
        first = slide.clockwise_moves if turn is Turn.CLOCKWISE else slide.clockwise_moves.other
        if handle is not Handle.TOP or self.swing is None or self.swing.angle_deg == 0:
            return WORDS[first]
        across = self.swing.leftward if first is Motion.LEFT else self.swing.leftward.other
        return WORDS[across] if self.swing.angle_deg == 90 else f"{WORDS[first]} and {WORDS[across]}"

    def hand(self, handle: Handle, motion: Motion) -> Turn:
        """How the hand turns to make the tool go that way."""
        if handle is Handle.TOP and motion in (Motion.IN, Motion.OUT) and self.swing is not None:
            motion = Motion.LEFT if motion is self.swing.leftward else Motion.RIGHT
        clockwise = self.slide(handle).clockwise_moves is motion
        return Turn.CLOCKWISE if clockwise else Turn.ANTICLOCKWISE

    def marks(self, handle: Handle) -> int:
        """Marks on the dial of a handle."""
        dial = self.slide(handle).dial
        assert dial is not None
        return dial.marks

    def place(self, setting: a.Setting) -> Fraction:
        """Distance of a setting from its zero."""
        if setting.kind is a.SettingKind.MARKS:
            return self.marks(setting.handle) * setting.turns + setting.marks
        return setting.value_mm

    def is_behind(self, setting: a.Setting) -> bool:
        """Whether the handle already stands beyond the setting, seen in the sense in which it must come in."""
        kind, stands = self.stands.get(setting.handle, (None, Fraction(0)))
        if kind is not setting.kind:
            return False
        goes = self.slide(setting.handle).clockwise_moves
        clockwise_counts_up = kind is a.SettingKind.MARKS or goes in (Motion.LEFT, Motion.IN)
        ahead = (self.place(setting) - stands) * (1 if clockwise_counts_up else -1)
        return ahead < 0 if setting.approach is Turn.CLOCKWISE else ahead > 0


def disagreements(text: str, plan: Plan, shop: Shop, shown: str = BOTH) -> list[str]:
    """Say everything in which a printed sheet differs from the plan that it was printed from."""
    try:
        read = recover(text, shown)
    except (ValueError, LookupError) as error:  # what is not a sheet any more
        return [str(error)]
    return disagreements_of(read, plan, shop)


def disagreements_of(read: SheetText, plan: Plan, shop: Shop) -> list[str]:
    """Say everything in which what was read from a sheet differs from the plan that it was made from."""
    told = [(act.table.sets, act.id) for act in plan.sheet.acts if isinstance(act, a.Measure) and act.table]
    by_id = dict(zip((act.id for act in plan.sheet.acts), numbers(plan.sheet.acts), strict=True))
    lathe = Lathe(shop, table_at={sets: by_id[measure] for sets, measure in told})
    found = [*heading_disagreements(read, plan, shop)]
    for number, act, record in zip_longest(numbers(plan.sheet.acts), plan.sheet.acts, read.records):
        if act is None or record is None:
            found.append(f"{number}: the sheet has {len(plan.sheet.acts)} acts, the text {len(read.records)}")
            break
        found += [f"{number} {act.id}: {problem}" for problem in act_disagreements(number, act, record, lathe)]
        remember(act, lathe)
    return found


def numbers(acts: tuple[a.Act, ...]) -> list[str]:
    """Numbers that the acts must bear."""
    groups = [len(list(group)) for _, group in groupby(acts, key=lambda act: act.step)]
    return [f"{step}.{place}" for step, size in enumerate(groups, start=1) for place in range(1, size + 1)]


def heading_disagreements(read: SheetText, plan: Plan, shop: Shop) -> Iterator[str]:
    """Compare the heads of the steps with the titles and times of the plan and with what is in force."""
    steps = [(name, list(group)) for name, group in groupby(plan.sheet.acts, key=lambda act: act.step)]
    if len(steps) != len(read.headings):
        yield f"{len(steps)} steps, {len(read.headings)} headings"
    force = InForce(shop)
    for number, ((name, acts), head) in enumerate(zip(steps, read.headings, strict=False), start=1):
        if (head.number, head.of) != (number, len(steps)):
            yield f"{name}: numbered {head.number} of {head.of}"
        for time in plan.times:
            minutes = round((time.setup_ms + time.cutting_ms + time.measuring_ms) / 60_000)
            if time.step == name and (head.title, head.minutes) != (
                squeezed(time.title),
                f"{minutes} min" if minutes else "under 1 min",
            ):
                yield f"{name}: heading is {head.title!r}, {head.minutes!r}"
        yield from force.disagreements(name, acts, head)
        if head.overshoot != overshoot(acts):
            yield f"{name}: back {head.overshoot} instead of {overshoot(acts)}"


@dataclass
class InForce:
    """Tool, speed and feed as they stand from act to act."""

    shop: Shop
    tool: str = ""
    drill: str = ""
    speed: tuple[Fraction, str] | None = None
    feed: a.SetFeed | None = None

    def disagreements(self, name: str, acts: list[a.Act], head: Heading) -> Iterator[str]:
        """Compare what a head says is in force with what the touches and cuts of the step meet."""
        tools: dict[str, None] = {}
        speeds: dict[tuple[Fraction, str], None] = {}
        feeds: list[a.SetFeed] = []
        for act in acts:
            self.take(act)
            if isinstance(act, a.Touch | a.Cut | a.DrillHole | a.ReamHole):
                by_quill = isinstance(act, a.DrillHole | a.ReamHole) or act.handle is Handle.QUILL
                used = self.drill if by_quill else self.tool
                tools |= {used: None} if used else {}
                speeds |= {self.speed: None} if self.speed else {}
                is_new = not isinstance(act, a.Touch) and self.feed not in feeds
                feeds += [self.feed] if self.feed and is_new else []
        if head.tools != list(tools) or head.speeds != list(speeds):
            yield f"{name}: head says {head.tools} {head.speeds}, the acts {list(tools)} {list(speeds)}"
        if len(head.feeds) != len(feeds):
            yield f"{name}: head names {len(head.feeds)} feeds, the acts {len(feeds)}"
        for read, feed in zip(head.feeds, feeds, strict=False):
            wanted = _feed(feed, None)
            if read.keys() != wanted.keys() or not all(same(read[key], wanted[key]) for key in wanted):
                yield f"{name}: head says feed {read}"

    def take(self, act: a.Act) -> None:
        """Keep what an act puts in force."""
        match act:
            case a.FitTool():
                self.tool = f"{act.tool}: {squeezed(self.shop.tool(act.tool).name)}"
            case a.FitDrill():
                self.drill = f"{act.drill}: {self.shop.drill(act.drill).kind.value}"
            case a.FitReamer():
                self.drill = f"{act.reamer}: {self.shop.reamer(act.reamer).kind.value}"
            case a.SetSpeed():
                self.speed = (listed(act.rpm), squeezed(act.position))
            case a.SetFeed():
                self.feed = act
            case _:
                pass


def overshoot(acts: list[a.Act]) -> dict[str, tuple[str, int]]:
    """Longest way back after an overshoot that any setting of a step asks, for each handle."""
    wanted: dict[str, tuple[str, int]] = {}
    for setting in filter(None, map(setting_of, acts)):
        handle, marks = HANDLES[setting.handle], setting.back_off_marks
        if setting.kind is a.SettingKind.MARKS and marks > wanted.get(handle, ("", 0))[1]:
            wanted[handle] = (setting.approach.other.value, marks)
    return wanted


def act_disagreements(number: str, act: a.Act, record: Record, lathe: Lathe) -> Iterator[str]:
    """Compare one act with its record."""
    if record.number != number:
        yield f"numbered {record.number}"
    verb = HAND_VERBS[act.kind] if isinstance(act, a.HandStep) else VERBS[type(act)]
    if record.verb != verb:
        yield f"verb {record.verb!r}, not {verb!r}"
        return
    if [squeezed(text) for text in act.cautions] != list(record.cautions):
        yield f"cautions {record.cautions}, not {act.cautions}"
    if squeezed(act.note) != record.note:
        yield f"note {record.note!r}, not {act.note!r}"
    wanted = wanted_fields(act, lathe)
    if isinstance(act, a.SetCollar | a.SetReadout | a.Move):
        wanted = {**wanted, "table_at": lathe.table_at.get(act.id, "")}
    for key in wanted.keys() | record.fields.keys():
        if key not in wanted or key not in record.fields:
            yield f"field {key} is only in {'the text' if key in record.fields else 'the sheet'}"
        elif not same(record.fields[key], wanted[key]):
            yield f"{key}: the text says {record.fields[key]}, the sheet {wanted[key]!r}"


def same(read: object, wanted: object) -> bool:
    """Whether a field as read is the field as meant: figures within their last decimal, all else equal."""
    if isinstance(read, tuple) and isinstance(wanted, tuple):
        return len(read) == len(wanted) and all(map(same, read, wanted))
    if isinstance(read, Printed):
        exact = Fraction(wanted) if isinstance(wanted, Rational) else wanted
        return isinstance(exact, float | Fraction) and read.agrees_with(exact)
    return read == wanted


def squeezed(text: str) -> str:
    """Text in the letters of the sheet, single spaces; the plans compared here use no letter without a likeness."""
    swapped = text.replace("–", "-").replace("−", "-").replace("→", "->").replace("³", "3")
    return " ".join(swapped.split())


def words(surface: str) -> str:
    """Surface as it is said; steps by their end and number."""
    named = re.fullmatch(r"(\w+)-(front|back)-(\d)(-shoulder)?", surface)
    if named is not None:
        of, end, index, shoulder = named.groups()
        where = {"outside": "outer", "bore": "inner"}[of]
        return f"{'shoulder of ' if shoulder else ''}{end} {where} step {index}"
    return surface.replace("-", " ")


def setting_of(act: a.Act) -> a.Setting | None:
    """Setting of an act, if it has one."""
    if isinstance(act, a.Move | a.DrillHole | a.ReamHole):
        return act.setting
    return act.to if isinstance(act, a.Cut) else None


def remember(act: a.Act, lathe: Lathe) -> None:
    """Keep what the next acts depend on."""
    toolpost = (Handle.CROSS, Handle.TOP, Handle.CARRIAGE)
    if isinstance(act, a.FitTool | a.Approach | a.SwingSlide):
        for handle in toolpost:
            lathe.stands.pop(handle, None)
    if isinstance(act, a.FitDrill | a.FitReamer):
        lathe.stands.pop(Handle.QUILL, None)
    if isinstance(act, a.SwingSlide):
        lathe.swing = act
    if isinstance(act, a.FitTool):
        lathe.fitted = True
    if isinstance(act, a.Lock | a.Unlock) and act.handle is Handle.QUILL:
        lathe.tailstock = isinstance(act, a.Lock)
    if isinstance(act, a.SetZero | a.SetCollar | a.SetReadout):
        lathe.meanings[act.zero] = meaning(act.handle, act.surface)
        lathe.stands[act.handle] = zeroed(act, lathe)
    setting = setting_of(act)
    if setting is not None:
        lathe.stands[setting.handle] = (setting.kind, lathe.place(setting))
    elif isinstance(act, a.Retract | a.Cut) and act.handle in lathe.stands:
        lathe.stands[act.handle] = wound(act, lathe)


def zeroed(act: a.SetZero | a.SetCollar | a.SetReadout, lathe: Lathe) -> tuple[a.SettingKind, Fraction]:
    """Where a handle stands from the zero that is set."""
    if isinstance(act, a.SetReadout):
        return a.SettingKind.READOUT, act.value_mm
    if isinstance(act, a.SetCollar):
        return a.SettingKind.MARKS, act.turns * lathe.marks(act.handle) + act.marks
    return act.kind, Fraction(0)


def wound(act: a.Retract | a.Cut, lathe: Lathe) -> tuple[a.SettingKind, Fraction]:
    """Where a handle stands after it was moved by a distance."""
    kind, stands = lathe.stands[act.handle]
    turn = lathe.hand(act.handle, act.motion)
    far_mm = Fraction(act.distance_mm if isinstance(act, a.Retract) else act.length_mm)
    dial = lathe.slide(act.handle).dial
    if kind is not a.SettingKind.MARKS or dial is None:
        counts_up = lathe.goes(act.handle, turn).split()[0] in ("left", "in")
        return kind, stands + (far_mm if counts_up else -far_mm)
    turns = act.turns if isinstance(act, a.Retract) else None
    way = far_mm / dial.lead_mm * dial.marks if turns is None else turns * dial.marks
    return kind, stands + (way if turn is Turn.CLOCKWISE else -way)


def meaning(handle: Handle, surface: str) -> str:
    """What a size counted from a zero on that surface is."""
    if surface.endswith("-edge"):
        return "depth"
    is_along = handle in (Handle.CARRIAGE, Handle.QUILL) or surface.endswith("-face")
    return "along" if is_along else "Ø"


def letter_for(zero: str, lathe: Lathe) -> str:
    """Letter of a zero: A for the first that the sheet sets, and so on; set on first use here."""
    if zero not in lathe.letters:
        place = len(lathe.letters)
        lathe.letters[zero] = ("" if place < 26 else chr(64 + place // 26)) + chr(65 + place % 26)
    return lathe.letters[zero]


def setting_fields(setting: a.Setting, lathe: Lathe) -> dict[str, object]:
    """Fields of a setting."""
    found: dict[str, object] = {
        "kind": READ_ON[setting.kind],
        "expected_mm": setting.expected_mm,
        "expected_as": lathe.meanings[setting.zero],
    }
    if setting.kind is not a.SettingKind.MARKS:
        return {**found, "value_mm": setting.value_mm, "band_mm": setting.band_mm}
    dial = lathe.slide(setting.handle).dial
    assert dial is not None
    return {
        **found,
        "dial": setting.marks,
        "figure": engraved(setting.marks, dial, lathe.shop) if dial.settable else None,
        "own_dial": not dial.settable,
        **from_zero(lathe.place(setting), dial.marks),
    }


def engraved(marks: Fraction, dial: Dial, shop: Shop) -> Fraction | None:
    """Figure engraved at a mark in the dial's unit; ``None`` where it has the digits of the count."""
    claims = [dial.label_mm, dial.label_mm / INCH_TO_MM]
    units = reversed(claims) if shop.units is Units.INCH else claims
    one = next(filter(ends, units), None)
    if one is None or marks == 0 or any(one * 10**places == 1 for places in range(7)):
        return None
    return marks * one


def from_zero(place: Fraction, marks_per_turn: int) -> dict[str, object]:
    """Whole turns and marks from 0, both on the side of the place."""
    sign = -1 if place < 0 else 1
    turns, marks = divmod(abs(place), marks_per_turn)
    return {"turns_from_zero": sign * turns, "marks_from_zero": sign * marks}


def winding(setting: a.Setting, lathe: Lathe) -> dict[str, object]:
    """Handle, hand and zero of a setting."""
    return {
        "handle": HANDLES[setting.handle],
        "hand": setting.approach.value,
        "tool_goes": lathe.goes(setting.handle, setting.approach),
        "letter": lathe.letters.get(setting.zero, "?"),
    }


def free_winding(handle: Handle, motion: Motion, lathe: Lathe) -> dict[str, object]:
    """Handle and hand of a movement without a setting."""
    turn = lathe.hand(handle, motion)
    return {"handle": HANDLES[handle], "hand": turn.value, "tool_goes": lathe.goes(handle, turn)}


def wanted_fields(act: a.Act, lathe: Lathe) -> Mapping[str, object]:
    """Fields that the text of an act must hold."""
    return FIELDS[type(act)](act, lathe)


def listed(rpm: float) -> Fraction:
    """A speed as a list has it: what a decimal of six places says, not the binary fraction nearest to that."""
    return round(Fraction(rpm), 6)


def top_rpm(most: float, lathe: Lathe) -> float | None:
    """Highest speed that may be used, where the lathe has a faster one."""
    return most if max(speed.fastest_rpm for speed in lathe.shop.lathe.speeds) > most else None


def _load(act: a.LoadBar, lathe: Lathe) -> dict[str, object]:
    return {
        "bar": act.bar,
        "name": lathe.shop.lathe.chuck.name,
        "bar_dia_mm": lathe.shop.bar(act.bar).dia_mm,
        "bar_bore_mm": lathe.shop.bar(act.bar).bore_mm or None,
        "stick_out_mm": act.stick_out_mm,
        "grip_length_mm": act.grip_length_mm,
        "bar_length_mm": act.bar_length_mm,
        "face_stock_mm": act.face_stock_mm,
        "front": "the face of the closing nut" if lathe.shop.lathe.chuck.collets else "the jaws",
        "tail": act.tail.value,
        "max_rpm": top_rpm(act.holding.max_rpm, lathe),
    }


def _fit_tool(act: a.FitTool, lathe: Lathe) -> dict[str, object]:
    tool = lathe.shop.tool(act.tool)
    along = tool.kind in (ToolKind.BORING, ToolKind.EDGE_INSIDE, ToolKind.FORM_INSIDE)
    return {
        "tool": act.tool,
        "name": squeezed(tool.name),
        "post_goes": lathe.post_goes,
        # what stands out towards the work and 20 mm, in whole millimetres; 40 mm beside one that stands out across
        "post_off_mm": ceil(act.stands_out_mm) + 20 if along or lathe.tailstock else 40,
        "stands_out_mm": act.stands_out_mm,
    }


def _fit_drill(act: a.FitDrill, lathe: Lathe) -> dict[str, object]:
    drill = lathe.shop.drill(act.drill)
    return {"drill": act.drill, "name": drill.kind.value, "dia_mm": drill.dia_mm, "dubbed": drill.dubbed}


def _speed(act: a.SetSpeed, lathe: Lathe) -> dict[str, object]:
    assert any(speed.rpm == act.rpm for speed in lathe.shop.lathe.speeds)
    return {
        "rpm": listed(act.rpm),
        "position": squeezed(act.position),
        "cutting_speed_m_min": act.cutting_speed_m_min,
        "cut_dia_mm": act.cut_dia_mm,
    }


def _feed(act: a.SetFeed, _: Lathe | None) -> dict[str, object]:
    found: dict[str, object] = {"handle": HANDLES[act.handle], "low": act.low_mm_rev, "high": act.high_mm_rev}
    if act.kind is a.FeedKind.POWER:
        return {**found, "kind": "power", "position": squeezed(act.position)}
    return {**found, "kind": "hand", "pace_fast_s": act.pace_fast_s, "pace_slow_s": act.pace_slow_s}


def _start(act: a.StartSpindle, _: Lathe) -> dict[str, object]:
    return {"reverse": act.reverse}


def _nothing(_: a.Act, __: Lathe) -> dict[str, object]:
    return {}


def _bring(act: a.Approach, _: Lathe) -> dict[str, object]:
    last = {Motion.LEFT: "left", Motion.IN: "in"}[act.last]
    return {"last": last, "place": squeezed(act.place), "dia_mm": 2 * act.x_radius_mm, "z_mm": act.z_mm}


def _touch(act: a.Touch, lathe: Lathe) -> dict[str, object]:
    return {
        **free_winding(act.handle, act.motion, lathe),
        "contact": squeezed(act.contact),
        "surface": words(act.surface),
        "feeler_mm": act.feeler_mm,
    }


def _zero(act: a.SetZero, lathe: Lathe) -> dict[str, object]:
    dial = lathe.slide(act.handle).dial
    fixed = act.kind is a.SettingKind.MARKS and dial is not None and not dial.settable
    return {
        "letter": letter_for(act.zero, lathe),
        "handle": HANDLES[act.handle],
        "kind": READ_ON[act.kind],
        "offset_marks": None if dial is None or not fixed else (dial.marks,) * 2,
        "offset_figure": None if dial is None or not fixed else engraved(Fraction(1), dial, lathe.shop),
        "surface": words(act.surface),
        "stands_for_mm": act.stands_for_mm,
        "stands_for": meaning(act.handle, act.surface),
    }


def _collar(act: a.SetCollar, lathe: Lathe) -> dict[str, object]:
    dial = lathe.slide(act.handle).dial
    assert dial is not None
    place = act.turns * dial.marks + act.marks
    return {
        "letter": letter_for(act.zero, lathe),
        "handle": HANDLES[act.handle],
        "counts_up": place < 0,
        "from_outside": act.expected_dia_mm > act.zero_dia_mm,
        "zero_dia_mm": act.zero_dia_mm,
        "dia_per_mark_mm": abs(act.dia_per_mark_mm),
        "halves": dial.halves,
        "other_gauges": other_gauges(lathe.shop),
        "marks_per_turn": (dial.marks,) * 2,
        "expected_mm": act.expected_dia_mm,
        "dial": act.marks,
        "figure": engraved(act.marks, dial, lathe.shop) if act.settable else None,
        "figure_rule": engraved(Fraction(1), dial, lathe.shop) if act.settable else None,
        **from_zero(place, dial.marks),
        "offset_marks": None if act.settable else (dial.marks,) * 3,
        "offset_figure": None if act.settable else engraved(Fraction(1), dial, lathe.shop),
    }


def _readout(act: a.SetReadout, lathe: Lathe) -> dict[str, object]:
    step = lathe.slide(act.handle).readout_step_mm
    assert step is not None
    outside = act.expected_dia_mm > act.zero_dia_mm
    sides = ("minus", "plus") if act.handle is Handle.CROSS else ("right of 0", "left of 0")
    more = 3 if outside else -3
    inch_shop = lathe.shop.units is Units.INCH
    # an inch readout is one whose step ends in inches, seen from an inch shop, or does not end in millimetres
    in_inches = ends(step / INCH_TO_MM) if inch_shop else not ends(step)
    return {
        "letter": letter_for(act.zero, lathe),
        "handle": HANDLES[act.handle],
        "side": sides[act.value_mm > 0],
        "from_outside": outside,
        "zero_dia_mm": act.zero_dia_mm,
        "dia_per_step_mm": act.dia_per_step_mm,
        "step_mm": step,
        "readout_unit": "in" if in_inches else "mm",
        "told_to_convert": in_inches is not inch_shop,
        "expected_mm": act.expected_dia_mm,
        "expected_value_mm": act.value_mm,
        "other_mm": act.expected_dia_mm + more * act.dia_per_step_mm,
        "other_value_mm": act.value_mm + (3 * step if act.value_mm > 0 else -3 * step),
    }


def other_gauges(shop: Shop) -> bool:
    """Whether a gauge of sizes shows the unit that is not the shop's."""
    steps = [one.step_mm for one in shop.gauges if tuple(one.uses) != (GaugeUse.RUNOUT,)]
    return any(not ends(step / (INCH_TO_MM if shop.units is Units.INCH else 1)) for step in steps)


def ends(value: Fraction) -> bool:
    """Whether a figure ends within six decimals."""
    return (value * 10**6).denominator == 1


def _set(act: a.Move, lathe: Lathe) -> dict[str, object]:
    setting = act.setting
    behind = lathe.is_behind(setting)
    return {
        **winding(setting, lathe),
        "first": setting.approach.other.value if behind else "",
        "first_marks": setting.back_off_marks if behind and setting.kind is a.SettingKind.MARKS else 0,
        **setting_fields(setting, lathe),
    }


def _cut(act: a.Cut, lathe: Lathe) -> dict[str, object]:
    by_power = act.feed is a.FeedKind.POWER
    by_hand = free_winding(act.handle, act.motion, lathe)
    by_dial = act.to is not None and act.to.kind is a.SettingKind.MARKS
    return {
        **by_hand,
        "hand": "" if by_power and not by_dial else by_hand["hand"],
        "tool_goes": WORDS[act.motion] if by_power else by_hand["tool_goes"],
        "feed": "power" if by_power else "hand",
        "surface": words(act.surface),
        "letter": lathe.letters.get(act.to.zero, "?") if act.to else "",
        "depth_mm": act.depth_mm,
        "length_mm": act.length_mm,
        "seconds": act.seconds,
        **(setting_fields(act.to, lathe) if act.to else {}),
    }


def _turns_and_marks(act: a.Retract, lathe: Lathe) -> dict[str, object]:
    """Turns of the handle, with what is no half or quarter of one in marks."""
    dial = lathe.slide(act.handle).dial
    if act.turns is None or dial is None or act.turns.denominator in (1, 2, 4):
        return {"turns": act.turns, "marks": None}
    whole = act.turns.numerator // act.turns.denominator
    return {"turns": Fraction(whole) if whole else None, "marks": (act.turns - whole) * dial.marks}


def _back(act: a.Retract, lathe: Lathe) -> dict[str, object]:
    return {
        **free_winding(act.handle, act.motion, lathe),
        **_turns_and_marks(act, lathe),
        "distance_mm": act.distance_mm,
    }


def _drill(act: a.DrillHole, lathe: Lathe) -> dict[str, object]:
    return {
        **winding(act.setting, lathe),
        **setting_fields(act.setting, lathe),
        "point_mm": act.point_mm,
        "seconds": act.seconds,
        "peck_mm": act.peck_mm,
    }


def _fit_reamer(act: a.FitReamer, lathe: Lathe) -> dict[str, object]:
    reamer = lathe.shop.reamer(act.reamer)
    return {"reamer": act.reamer, "name": reamer.kind.value, "dia_mm": reamer.dia_mm}


def _ream(act: a.ReamHole, lathe: Lathe) -> dict[str, object]:
    return {
        **winding(act.setting, lathe),
        **setting_fields(act.setting, lathe),
        "lead_mm": act.lead_mm,
        "seconds": act.seconds,
    }


def _slide(act: a.Lock | a.Unlock, _: Lathe) -> dict[str, object]:
    return {"handle": HANDLES[act.handle]}


def _cool(act: a.Cool, _: Lathe) -> dict[str, object]:
    return {"seconds": act.seconds}


def _measure(act: a.Measure, lathe: Lathe) -> dict[str, object]:
    is_dia = act.aspect == "diameter"
    return {
        "surface": words(act.surface),
        "aspect": act.aspect,
        "gauge": act.gauge,
        "name": squeezed(lathe.shop.gauge(act.gauge).name) if act.gauge else "",
        "from_face": act.surface.split("-")[1] if act.aspect == "depth" else "",
        "rod_on": {"outside": "outer", "bore": "inner"}[act.surface.split("-")[0]] if act.aspect == "depth" else "",
        "is_dia": is_dia,
        "expected_mm": act.expected_mm,
        "stop_low_mm": act.stop_low_mm,
        "stop_high_mm": act.stop_high_mm,
        "worth_of": ("Ø" if is_dia else "it") if act.mark_worth_mm else "",
        "mark_worth_mm": act.mark_worth_mm,
        "final": (act.lower_mm, act.upper_mm) if act.final else None,
        **(dict.fromkeys(ADVICE_FIELDS) if act.table is None else _advice(act.table, lathe)),
    }


def _advice(table: AdviceTable, lathe: Lathe) -> dict[str, object]:
    cuts = any(band.do is Do.CUT_AGAIN for band in table.bands)
    return {
        "advice": tuple(_advice_row(band, table, lathe) for band in table.bands),
        "advice_cool": table.cool_s,
        "advice_readings": table.readings,
        "advice_hand": _advice_hand(table, lathe) if cuts else None,
        "advice_stood": (table.stood_value_mm if table.stood_dial is None else table.stood_dial) if cuts else None,
        "advice_set_rule": _advice_rule(table, Do.SET, lathe),
        "advice_cut_rule": _advice_rule(table, Do.CUT_AGAIN, lathe),
    }


ADVISED = {
    Do.SET: "SET",
    Do.CUT_AGAIN: "CUT",
    Do.COOL: "COOL",
    Do.READ_AGAIN: "READ AGAIN",
    Do.GO_ON: "GO ON",
    Do.GOOD: "GOOD",
    Do.STOP_LOST: "LOST",
    Do.STOP_ASK: "STOP",
}


def _advice_row(band: AdviceBand, table: AdviceTable, lathe: Lathe) -> tuple[object, ...]:
    dial = None if table.handle is None else lathe.slide(table.handle).dial
    figure, marks = None, None
    if band.dial is not None:
        assert dial is not None
        figure = engraved(band.dial, dial, lathe.shop) if dial.settable else None
    if band.marks is not None and band.value_mm is None:
        assert dial is not None
        way = "deeper" if band.do is Do.CUT_AGAIN else "beyond" if table.beyond else "short"
        turns, rest = divmod(band.marks, dial.marks)
        marks = (way if band.marks or band.do is Do.CUT_AGAIN else "at 0", Fraction(turns), rest)
    return (
        band.low_mm,
        band.high_mm,
        ADVISED[band.do],
        band.dial,
        figure,
        band.value_mm,
        marks,
        band.rule is not None,
        band.seconds,
    )


def _advice_hand(table: AdviceTable, lathe: Lathe) -> tuple[str, str, str] | None:
    if table.handle is None or table.turn is None:
        return None
    return (HANDLES[table.handle], table.turn.value, lathe.goes(table.handle, table.turn))


def _advice_rule(table: AdviceTable, do: Do, lathe: Lathe) -> tuple[object, ...] | None:
    """How a rule must stand there; what the dial shows by it is worked out from a row that is written out."""
    ruled = [band for band in table.bands if band.do is do and band.rule is not None]
    if not ruled:
        return None
    rule, known = ruled[0].rule, next(band for band in table.bands if band.do is do and band.marks is not None)
    assert rule is not None
    assert known.marks is not None
    assert table.handle is not None
    slide, above = lathe.slide(table.handle), ruled[0].low_mm > rule.zero_mm
    if known.value_mm is not None:
        step = slide.readout_step_mm
        assert step is not None
        in_inches = ends(step / INCH_TO_MM) if lathe.shop.units is Units.INCH else not ends(step)
        sides = ("minus", "plus") if table.handle is Handle.CROSS else ("right of 0", "left of 0")
        side = "deeper" if do is Do.CUT_AGAIN else sides[known.value_mm > 0]
        unit = "in" if in_inches else "mm"
        return (
            side,
            above,
            rule.zero_mm,
            rule.mm_per_mark,
            step,
            unit,
            in_inches is (lathe.shop.units is not Units.INCH),
        )
    assert slide.dial is not None
    side = "deeper" if do is Do.CUT_AGAIN else "beyond 0" if table.beyond else "short of 0"
    whole = "half" if slide.dial.halves else "whole"
    counts_up = (table.turn is Turn.CLOCKWISE) is table.beyond
    dial = None if do is Do.CUT_AGAIN else 0 if counts_up else slide.dial.marks
    return (side, above, rule.zero_mm, rule.mm_per_mark, whole, dial, other_gauges(lathe.shop))


def _hold(act: a.Regrip, lathe: Lathe) -> dict[str, object]:
    held = act.holding
    found: dict[str, object] = {
        "holding": held.id,
        "name": squeezed(lathe.shop.holding(held.id).name),
        "side": held.side.value,
        "turned": held.turned,
    }
    if held.gripped_surface != "none":
        found |= {"gripped": words(held.gripped_surface), "grip_dia_mm": held.grip_dia_mm}
    if held.turned:
        found |= {
            "grip_length_mm": held.grip_length_mm,
            "jaw_face_mm": held.jaw_face_mm,
            "max_rpm": top_rpm(held.max_rpm, lathe),
            "runout_mm": held.runout_mm,
        }
    for name in ("seat_dia_mm", "cover_dia_mm", "growth_dia_mm", "lobes_mm"):
        if getattr(held, name) >= (0.001 if name in ("growth_dia_mm", "lobes_mm") else 1e-9):
            found[name] = getattr(held, name)
    return found


def _true(act: a.Indicate, lathe: Lathe) -> dict[str, object]:
    name = squeezed(lathe.shop.gauge(act.gauge).name) if act.gauge else ""
    return {"surface": words(act.surface), "gauge": act.gauge, "name": name, "high_mm": act.high_mm}


def _swing(act: a.SwingSlide, lathe: Lathe) -> dict[str, object]:
    dial = lathe.slide(Handle.TOP).dial
    turns = None
    if dial is not None:
        marks = act.check_travel_mm / float(dial.lead_mm) * dial.marks
        turns = divmod(round(marks), dial.marks) if abs(marks - round(marks)) < STANDING_CLEAR_MARKS else None
    return {
        "leftward": WORDS[act.leftward] if act.angle_deg else None,
        "tool_goes": lathe.post_goes if lathe.fitted else None,
        "tool_off_mm": 20 if lathe.fitted else None,
        "scale_deg": act.scale_deg,
        "error_deg": act.error_deg,
        "angle_deg": act.angle_deg,
        "check_turns": turns,
        "check_travel_mm": act.check_travel_mm,
        "check_across_mm": act.check_across_mm,
        "check_within_mm": min((one.step_mm for one in lathe.shop.gauges if GaugeUse.RUNOUT in one.uses), default=None),
    }


def _by_hand(act: a.HandStep, _: Lathe) -> dict[str, object]:
    said = words(act.surface) in act.text and not act.removes_mm
    found: dict[str, object] = {
        "text": squeezed(act.text),
        "tool": act.tool,
        "surface": "" if said else words(act.surface),
    }
    return found | ({"removes_mm": act.removes_mm} if act.removes_mm else {})


FIELDS: dict[type, Callable[..., dict[str, object]]] = {
    a.LoadBar: _load,
    a.FitTool: _fit_tool,
    a.FitDrill: _fit_drill,
    a.SetSpeed: _speed,
    a.SetFeed: _feed,
    a.StartSpindle: _start,
    a.StopSpindle: _nothing,
    a.PartOff: _nothing,
    a.Approach: _bring,
    a.Touch: _touch,
    a.SetZero: _zero,
    a.SetCollar: _collar,
    a.SetReadout: _readout,
    a.Move: _set,
    a.Cut: _cut,
    a.Retract: _back,
    a.DrillHole: _drill,
    a.FitReamer: _fit_reamer,
    a.ReamHole: _ream,
    a.Lock: _slide,
    a.Unlock: _slide,
    a.Cool: _cool,
    a.Measure: _measure,
    a.Regrip: _hold,
    a.Indicate: _true,
    a.SwingSlide: _swing,
    a.HandStep: _by_hand,
}
