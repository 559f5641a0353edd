"""A setting in words and figures: what the dial shows, how far that is from 0, what is then true."""

from __future__ import annotations

from math import radians, sin

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.acts import SetCollar, SetReadout, Setting, SettingKind, SetZero
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.part import Units
from handwheel.domain.shop import Shop
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Dial
from handwheel.report.numbers import Lengths, exact_text, places_for, rounded, trimmed
from handwheel.report.pieces import BOX, Line, Said, Weight
from handwheel.report.situation import Means, Situation, dial_of, lies_behind, motions_of, position_of, turn_towards
from handwheel.report.words import HANDLE_WORDS, counted, hand_words

READING_WORDS = {
    SettingKind.MARKS: "DIAL",
    SettingKind.READOUT: "READOUT",
    SettingKind.INDICATOR: "INDICATOR",
    SettingKind.STOP: "STOP",
    SettingKind.RULE: "RULE",
}


class Scene(Struct, frozen=True, kw_only=True):
    """What the words for an act depend on, besides the act.

    ``table_at`` is the number of the measuring act whose table gives what this one sets; empty if none does.
    """

    before: Situation
    after: Situation
    shop: Shop
    lengths: Lengths
    table_at: str = ""


def hand_line(setting: Setting, scene: Scene) -> Line:
    """Say which handle, which way it turns last, and from which zero the setting counts."""
    slide = scene.shop.lathe.slide(setting.handle)
    hand = hand_words(setting.approach, motions_of(slide, setting.approach, scene.before.swing))
    return (f"{HANDLE_WORDS[setting.handle]}, {hand}", f"zero {scene.after.letter(setting.zero)}")


def zero_said(act: SetZero | SetCollar | SetReadout, scene: Scene, how: str) -> Said:
    """Letter of the zero that an act sets, then the handle and how it is set."""
    after = f": {HANDLE_WORDS[act.handle]}, {how}"
    return Said(weight=Weight.WAY, text=scene.after.letter(act.zero), after=after)


def table_lines(scene: Scene) -> tuple[Line, ...]:
    """Where the figure is to be found that an act sets from a reading; nothing if no table gives it."""
    return ((f"take the figure from the table of {scene.table_at}",),) if scene.table_at else ()


def past_lines(setting: Setting, scene: Scene) -> tuple[Line, ...]:
    """Say how far to go past a setting that lies behind, before coming in again; nothing if it lies ahead."""
    if not lies_behind(setting, scene.before, scene.shop):
        return ()
    marks = f" {counted(setting.back_off_marks, 'mark')}" if setting.kind is SettingKind.MARKS else ""
    return ((f"first {setting.approach.other.value}{marks} past it, to take up the slack",),)


def go_again(setting: Setting, scene: Scene) -> str:
    """Say what to do when a dial went past its mark: never wind straight back to it, for there is slack."""
    motions = motions_of(scene.shop.lathe.slide(setting.handle), setting.approach, scene.before.swing)
    back = f"{HANDLE_WORDS[setting.handle]}: {setting.approach.other.value} {counted(setting.back_off_marks, 'mark')}"
    return f"{back} or more, then {hand_words(setting.approach, motions)}"


def setting_line(setting: Setting, scene: Scene) -> Line:
    """Print what to set, how far that is from its zero, and what is then true."""
    expected = Said(weight=Weight.SIZE, text=expected_text(setting, scene))
    if setting.kind is SettingKind.MARKS:
        dial = dial_of(scene.shop, setting.handle)
        position = position_of(setting, scene.shop)
        distance = from_zero_said(position, marks_per_turn=dial.marks, hand=setting.approach)
        own = () if dial.settable else (f"my DIAL {BOX}",)
        return (dial_said(setting.marks, dial, scene.shop.units), distance, expected, *own)
    return (aid_said(setting, scene.shop.units), expected)


def dial_said(marks: Fraction, dial: Dial, units: Units) -> Said:
    """Count of marks that the dial must show, with the figure engraved there where that is another one.

    A collar that cannot be set shows something else: the count and the offset together.
    """
    figure = engraved_text(marks, dial, units) if dial.settable else ""
    after = f" (figure {figure})" if figure else ""
    return Said(weight=Weight.SETTING, before="DIAL ", text=exact_text(marks), after=after)


def engraved_text(marks: Fraction, dial: Dial, units: Units) -> str:
    """Figure engraved at a mark, in the dial's own unit; nothing where it is the count itself but for the point.

    Examples
    --------
    >>> dial = Dial(lead_mm=Fraction(5), marks=100, label_mm=Fraction("0.0508"))
    >>> engraved_text(Fraction(25), dial, Units.INCH)
    '0.050'
    >>> engraved_text(Fraction(25), replace(dial, label_mm=Fraction(1, 100)), Units.MM)
    ''
    """
    label, _ = in_reading_unit(dial.label_mm, units)
    if marks == 0 or "/" in label or label.replace(".", "").strip("0") == "1":
        return ""
    figure, places = marks * Fraction(label), len(label.partition(".")[2])
    return rounded(figure, places=places if (figure * 10**places).denominator == 1 else places + 1)


def is_short(position: Fraction, hand: Turn) -> bool:
    """Whether 0 is still to come when the hand turns that way: a dial counts up clockwise, down anticlockwise."""
    return (position < 0) is (hand is Turn.CLOCKWISE)


def side_of_zero(position: Fraction, hand: Turn) -> str:
    """On which side of 0 a dial stands, seen by the hand that turns it."""
    return "short of 0" if is_short(position, hand) else "beyond 0"


def from_zero_said(position: Fraction, *, marks_per_turn: int, hand: Turn) -> Said:
    """Distance of a dial position from its zero, as `from_zero_text` words it."""
    return Said(weight=Weight.WAY, text=from_zero_text(position, marks_per_turn=marks_per_turn, hand=hand))


def from_zero_text(position: Fraction, *, marks_per_turn: int, hand: Turn) -> str:
    """Distance of a dial position from its zero, in whole turns and marks, seen by the hand that comes to it.

    Examples
    --------
    >>> from_zero_text(Fraction(-25), marks_per_turn=100, hand=Turn.CLOCKWISE)
    '0 turns + 25 marks short of 0'
    >>> from_zero_text(Fraction(-25), marks_per_turn=100, hand=Turn.ANTICLOCKWISE)
    '0 turns + 25 marks beyond 0'
    >>> from_zero_text(Fraction(0), marks_per_turn=50, hand=Turn.CLOCKWISE)
    'at 0'
    """
    if position == 0:
        return "at 0"
    turns, marks = divmod(abs(position), marks_per_turn)
    unit = "mark" if marks == 1 else "marks"
    return f"{counted(turns, 'turn')} + {exact_text(marks)} {unit} {side_of_zero(position, hand)}"


def aid_said(setting: Setting, units: Units) -> Said:
    """Distance from the zero of a stop, rule, indicator or readout, with the side and the band of setting it."""
    value, unit = in_reading_unit(abs(setting.value_mm), units)
    band_mm = Fraction(setting.band_mm)
    band = trimmed(band_mm, places=3) if unit == "mm" else trimmed(band_mm / MM_PER_INCH, places=4)
    return Said(
        weight=Weight.SETTING,
        before=f"{READING_WORDS[setting.kind]} ",
        text=f"{value} {unit}{side_text(setting)}",
        after=f" ± {band} {unit}" if band_mm else "",
    )


def side_text(setting: Setting) -> str:
    """On which side of its zero a setting lies, nothing if at 0, with a blank before it."""
    if setting.value_mm == 0:
        return ""
    left = setting.value_mm > 0
    if setting.handle is Handle.CROSS:  # positive is what a positive readout shows; a cross-slide has no left
        return " plus" if left else " minus"
    return f" {'left' if left else 'right'} of 0"


def in_reading_unit(value_mm: Fraction, units: Units) -> tuple[str, str]:
    """Print a value as the instrument shows it: in the shop's unit if it ends there, else in the other one."""
    inch = value_mm / MM_PER_INCH
    choices = ((value_mm, "mm"), (inch, "in"))
    for value, unit in choices if units is Units.MM else reversed(choices):
        text = exact_text(value)
        if " " not in text and "/" not in text:
            return text, unit
    return exact_text(value_mm), "mm"


def expected_text(setting: Setting, scene: Scene) -> str:
    """Say what is true when the setting is reached."""
    means = scene.after.means.get(setting.zero, Means.DIAMETER if setting.handle is Handle.CROSS else Means.ALONG)
    match means:
        case Means.DIAMETER:
            return fine_lengths(setting.handle, scene).dia(setting.expected_mm)
        case Means.ALONG:
            return scene.lengths.along(setting.expected_mm)
        case Means.DEPTH:
            return f"{scene.lengths.both(setting.expected_mm)} below the corner"


def fine_lengths(handle: Handle, scene: Scene) -> Lengths:
    """Lengths with as many decimals of a diameter as the dial or the readout can set."""
    slide, stand = scene.shop.lathe.slide(handle), scene.after.stands.get(handle)
    by_readout = stand is not None and stand.kind is SettingKind.READOUT
    travel_mm = slide.readout_step_mm if by_readout else None
    if slide.dial is not None and not by_readout:
        travel_mm = slide.dial.travel_per_mark_mm * slide.dial.step
    if travel_mm is None:
        return scene.lengths
    step_mm = 2 * float(travel_mm)
    if handle is Handle.TOP and scene.before.swing is not None:
        step_mm *= sin(radians(float(scene.before.swing.angle_deg)))
    return replace(scene.lengths, places=places_for(step_mm))


def by_hand(handle: Handle, motion: Motion, scene: Scene) -> str:
    """Which way the hand turns, and where the tool goes, for a movement without a setting."""
    from_slide = scene.shop.lathe.slide(handle)
    swing = scene.before.swing
    turn = turn_towards(from_slide, motion, swing)
    return hand_words(turn, motions_of(from_slide, turn, swing))
