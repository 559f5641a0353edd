"""Words for the acts that wind a handle or set its zero."""

from __future__ import annotations

from handwheel.domain.acts import (
    Approach,
    Cut,
    DrillHole,
    FeedKind,
    Move,
    ReamHole,
    Retract,
    SetCollar,
    SettingKind,
    SetZero,
    Touch,
)
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Motion, Turn
from handwheel.domain.part import BORE, Units
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Dial
from handwheel.domain.tools import ToolKind
from handwheel.report.numbers import (
    Lengths,
    duration_text,
    exact_text,
    rounded,
    trimmed,
    turns_text,
)
from handwheel.report.pieces import BOX, ActText, Line, Said, Weight
from handwheel.report.readout_text import other_gauges
from handwheel.report.setting_text import (
    Scene,
    by_hand,
    dial_said,
    engraved_text,
    fine_lengths,
    from_zero_said,
    hand_line,
    past_lines,
    setting_line,
    table_lines,
    zero_said,
)
from handwheel.report.situation import Means, dial_of, turn_towards
from handwheel.report.words import HANDLE_WORDS, MOTION_WORDS, counted, surface_words

SIMPLE_PART = 4
"""Halves and quarters of a turn are felt in the hand; other parts are counted in marks."""
FIXED_SHOWS: Line = (f"this collar cannot be set: it shows now {BOX}",)
SHORT_MM = 2.0
"""A cut shorter than this is printed to a hundredth. [mm]"""

FIXED_WORDS = "dial as it stands, handle still"
ZERO_WORDS = {
    SettingKind.MARKS: "dial to 0, handle still",
    SettingKind.READOUT: "readout to 0, handle still",
    SettingKind.INDICATOR: "indicator to 0, handle still",
    SettingKind.STOP: "stop set here is 0",
    SettingKind.RULE: "place on the rule here is 0",
}


ORDER_WORDS = {
    Motion.LEFT: "carriage right of the face, cross-slide, carriage left",
    Motion.IN: "cross-slide out, clear of all; carriage left; cross-slide in",
}
"""Order of the slides by the motion that comes last."""


def approach_text(act: Approach, scene: Scene) -> ActText:
    """Where to bring the tool by eye, and in which order, so that it strikes nothing on its way."""
    about = f"about Ø {scene.lengths.rough(2 * act.x_radius_mm)}, {along_rough(act.z_mm, scene.lengths)}"
    return ActText(
        verb="bring",
        lines=((f"tip by eye: {ORDER_WORDS[act.last]}",), (f"to: {act.place}",), (about,)),
    )


def along_rough(z_mm: float, lengths: Lengths) -> str:
    """Say about where a place lies along the axis."""
    side = "behind" if z_mm < 0 else "in front of"
    return f"{lengths.rough(abs(z_mm))} {side} the face"


def touch_text(act: Touch, scene: Scene) -> ActText:
    """Which handle, which way, until what touches what."""
    until = f"until the {act.contact} just touches the {surface_words(act.surface)}"
    if act.feeler_mm:
        until = f"{until}, feeler {scene.lengths.both(act.feeler_mm)} between"
    return ActText(
        verb="touch",
        lines=((f"{HANDLE_WORDS[act.handle]}, {by_hand(act.handle, act.motion, scene)}",), (until,)),
    )


def zero_text(act: SetZero, scene: Scene) -> ActText:
    """Which zero is set, how, and what it stands for."""
    letter = scene.after.letter(act.zero)
    dial = dial_of(scene.shop, act.handle) if act.kind is SettingKind.MARKS else None
    fixed = dial is not None and not dial.settable
    lines: list[Line] = [
        (zero_said(act, scene, FIXED_WORDS if fixed else ZERO_WORDS[act.kind]),),
        (f"0 means {stands_for(act, scene)}",),
    ]
    if dial is not None and fixed:
        lines += (FIXED_SHOWS, ("that is the offset",), *offset_rule(dial, letter, scene.shop.units))
    if act.kind is SettingKind.RULE:
        lines.append((f"the rule shows {BOX}",))
    return ActText(verb="zero", lines=tuple(lines))


def stands_for(act: SetZero, scene: Scene) -> str:
    """What a zero means: a diameter, a place along the axis, or the corner that was touched."""
    surface = surface_words(act.surface)
    match scene.after.means[act.zero]:
        case Means.DEPTH:
            return f"the {surface} as touched"
        case Means.DIAMETER:
            return f"{surface}: {scene.lengths.dia(act.stands_for_mm)}"
        case Means.ALONG:
            return f"{surface}: {scene.lengths.along(act.stands_for_mm)}"


def collar_text(act: SetCollar, scene: Scene) -> ActText:
    """How the dial is set from the reading."""
    letter = scene.after.letter(act.zero)
    dial, units = dial_of(scene.shop, act.handle), scene.shop.units
    distance = from_zero_said(
        act.turns * dial.marks + act.marks, marks_per_turn=dial.marks, hand=hand_to_zero(act, scene)
    )
    how = "dial set from the reading" if act.settable else "offset from the reading"
    figure = engraved_text(Fraction(1), dial, units) if act.settable else ""
    expected = fine_lengths(act.handle, scene).dia(act.expected_dia_mm)
    lines: tuple[Line, ...] = (
        (zero_said(act, scene, f"handle still, {how}"),),
        *table_lines(scene),
        *collar_rule(act, scene),
        *(((f"figure on the dial = DIAL x {figure}",),) if figure else ()),
        (Said(weight=Weight.SIZE, before="expected ", text=expected, after=":"),),
        (dial_said(act.marks, dial, units), distance),
        (f"my reading {BOX}", f"marks {BOX}", f"DIAL {BOX}", *((f"figure {BOX}",) if figure else ())),
    )
    if not act.settable:
        less = f"less the DIAL from my reading = offset {BOX}; below 0, add {dial.marks}"
        lines = (*lines, FIXED_SHOWS, (less,), *offset_rule(dial, letter, units))
    return ActText(verb="collar", lines=lines)


def hand_to_zero(act: SetCollar, scene: Scene) -> Turn:
    """How the hand turns from where the collar is set to its 0, the finished size: the way the last cuts go."""
    position = act.turns * dial_of(scene.shop, act.handle).marks + act.marks
    if position:
        return Turn.CLOCKWISE if position < 0 else Turn.ANTICLOCKWISE
    motion = Motion.OUT if act.surface.startswith(BORE) else Motion.IN
    return turn_towards(scene.shop.lathe.slide(act.handle), motion, scene.before.swing)


def is_above_zero(act: SetCollar) -> bool:
    """Whether the size that is measured lies above that of 0: an outside that is still to be cut."""
    at_zero = act.turns == 0 and act.marks == 0
    return not act.surface.startswith(BORE) if at_zero else act.expected_dia_mm > act.zero_dia_mm


def collar_rule(act: SetCollar, scene: Scene) -> tuple[Line, ...]:
    """Rule from a reading to marks, with figures in the unit in which the shop's instruments read."""
    dial = dial_of(scene.shop, act.handle)
    unit, divisor, places = ("inches", MM_PER_INCH, 4) if scene.shop.units is Units.INCH else ("mm", Fraction(1), 3)
    zero = rounded(Fraction(act.zero_dia_mm) / divisor, places=places)
    worth = trimmed(Fraction(abs(act.dia_per_mark_mm)) / divisor, places=places + 2)
    difference = f"(Ø - {zero})" if is_above_zero(act) else f"({zero} - Ø)"
    whole = "to the nearest half mark" if dial.halves else "to the nearest whole mark"
    clockwise = hand_to_zero(act, scene) is Turn.CLOCKWISE
    shows = f"DIAL = {dial.marks} - marks" if clockwise else "DIAL = marks"
    return (
        (f"marks short of 0 = {difference} / {worth}, in {unit}",),
        *other_gauges("mm" if unit == "mm" else "in", scene.shop),
        (f"{whole}; {shows}",),
        (f"with {dial.marks} marks or more, take off whole turns first",),
    )


def offset_rule(dial: Dial, letter: str, units: Units) -> tuple[Line, ...]:
    """Say how to keep count on a collar that cannot be turned on its own."""
    figure = engraved_text(Fraction(1), dial, units)
    counted_so = ((f"all counted in marks: figure on the dial / {figure}",),) if figure else ()
    rule = f"my DIAL = DIAL of zero {letter} + offset; from {dial.marks} up, take {dial.marks} off"
    return (*counted_so, (rule,))


def move_text(act: Move, scene: Scene) -> ActText:
    """Setting to wind to."""
    return ActText(
        verb="set",
        lines=(
            hand_line(act.setting, scene),
            *table_lines(scene),
            *past_lines(act.setting, scene),
            setting_line(act.setting, scene),
        ),
    )


def cut_text(act: Cut, scene: Scene) -> ActText:
    """Cut, with its end, depth, length and time."""
    hand = (
        f"by power ({MOTION_WORDS[act.motion]}{_wheel(act)})"
        if act.feed is FeedKind.POWER
        else f"by hand, {by_hand(act.handle, act.motion, scene)}"
    )
    first: Line = (f"{HANDLE_WORDS[act.handle]}, {hand}", surface_words(act.surface))
    end: Line = ("until it runs clear, by eye",)
    if act.to is not None:
        first = (*first, f"zero {scene.after.letter(act.to.zero)}")
        end = setting_line(act.to, scene)
    amount = (
        f"{scene.lengths.both(act.depth_mm)} {'wide' if _is_blade(scene) else 'deep'}",
        f"{length_text(act.length_mm, scene.lengths)} long",
        *about_time(act.seconds),
    )
    return ActText(verb="cut", lines=(first, end, amount))


def _wheel(act: Cut) -> str:
    """Which way the wheel turns that a power feed carries along: the dial is read by it, and the hand ends the cut."""
    by_dial = act.to is not None and act.to.kind is SettingKind.MARKS
    return f", its wheel {act.to.approach.value}" if act.to is not None and by_dial else ""


def _is_blade(scene: Scene) -> bool:
    """Whether the tool in the post is a blade, whose chip is as wide as it is."""
    fitted = scene.after.tool
    if fitted is None:
        return False
    kinds = {tool.id: tool.kind for tool in scene.shop.tools}
    return kinds.get(fitted.tool) in (ToolKind.PARTING, ToolKind.GROOVING)


def length_text(length_mm: float, lengths: Lengths) -> str:
    """Length of a cut: roughly if long, closer if a sweep over an edge."""
    return lengths.rough(length_mm) if length_mm >= SHORT_MM else lengths.both(length_mm)


def retract_text(act: Retract, scene: Scene) -> ActText:
    """How far to wind back."""
    about = Said(weight=Weight.WAY, before="about ", text=scene.lengths.rough(act.distance_mm))
    way: Line = (about,)
    if act.turns is not None:
        turns = back_text(act.turns, dial_of(scene.shop, act.handle).marks)
        way = (Said(weight=Weight.WAY, text=turns), str(about))
    hand = f"{HANDLE_WORDS[act.handle]}, {by_hand(act.handle, act.motion, scene)}"
    return ActText(verb="back", lines=((hand, *way),))


def back_text(turns: Fraction, marks_per_turn: int) -> str:
    """How far to wind back: half and whole turns as such, any other part of a turn in marks.

    Examples
    --------
    >>> back_text(Fraction(3, 2), 100), back_text(Fraction(36, 100), 100), back_text(Fraction(112, 100), 100)
    ('1 1/2 turns', '36 marks', '1 turn + 12 marks')
    """
    if turns.denominator <= SIMPLE_PART:
        return turns_text(turns)
    whole, marks = divmod(turns * marks_per_turn, marks_per_turn)
    return " + ".join((*((counted(whole, "turn"),) if whole else ()), f"{exact_text(marks)} marks"))


def drill_hole_text(act: DrillHole, scene: Scene) -> ActText:
    """How deep to drill, and how often to draw out."""
    long = scene.lengths.rough
    return ActText(
        verb="drill",
        lines=(
            hand_line(act.setting, scene),
            setting_line(act.setting, scene),
            (f"the point goes {long(act.point_mm)} further", *about_time(act.seconds)),
            (f"draw out to clear the chips every {long(act.peck_mm)}",),
            ("hold the drill chuck back as it comes out: it can be pulled from its taper",),
        ),
    )


def ream_hole_text(act: ReamHole, scene: Scene) -> ActText:
    """How far to ream, and how to come out again."""
    return ActText(
        verb="ream",
        lines=(
            hand_line(act.setting, scene),
            setting_line(act.setting, scene),
            (f"the lead goes {scene.lengths.rough(act.lead_mm)} further", *about_time(act.seconds)),
            ("in one go, evenly, in plenty of oil; draw it out while the work turns forwards",),
        ),
    )


def about_time(seconds: float) -> tuple[str, ...]:
    """Time that something takes, if it takes any."""
    return (f"about {duration_text(seconds)}",) if seconds else ()
