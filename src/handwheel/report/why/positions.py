"""Why a dial, readout, stop or rule is set as it is, and what is then true."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING

from handwheel.domain.acts import (
    Approach,
    Move,
    Retract,
    SetCollar,
    SetReadout,
    Setting,
    SettingKind,
    SetZero,
    Touch,
)
from handwheel.domain.exact import Fraction
from handwheel.domain.matters import SHARE_THAT_MATTERS
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.said import said, said_short
from handwheel.report.numbers import exact_text, trimmed, turns_text
from handwheel.report.readout_text import readout_text
from handwheel.report.setting_text import (
    READING_WORDS,
    aid_said,
    dial_said,
    engraved_text,
    expected_text,
    fine_lengths,
    from_zero_text,
)
from handwheel.report.situation import COUNTED_UP, Means, dial_of, lies_behind, position_of
from handwheel.report.why.look import TRIFLE_MM, Look, Word, ZeroMark, has_figures, joined
from handwheel.report.winding_text import along_rough, back_text, collar_rule, hand_to_zero, stands_for
from handwheel.report.words import HANDLE_WORDS, counted, surface_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.findings import Reason
    from handwheel.domain.slides import Dial

BY_EYE = "by eye: clear of the work by the shop's habit, and no figure rests on it"


def why_move(act: Move, look: Look) -> Iterator[Reason]:
    """Reasons for a setting that is wound to without cutting."""
    yield from why_setting(act.setting, look)


def why_setting(setting: Setting, look: Look) -> Iterator[Reason]:
    """What to set, what is then true, and how far to go past it first."""
    zero = look.zeros.get(setting.zero)
    if zero is None:
        return
    way_mm = _way_mm(setting, look)
    yield _reading(setting, way_mm, look)
    yield _then(setting, way_mm, zero, look)
    if setting.kind is SettingKind.MARKS:
        yield from _past(setting, look)


def _way_mm(setting: Setting, look: Look) -> Fraction:
    """Way of the slide from its zero, to the left or inward positive. [mm]"""
    if setting.kind is not SettingKind.MARKS:
        return setting.value_mm
    up = look.shop.lathe.slide(setting.handle).clockwise_moves in COUNTED_UP
    way = position_of(setting, look.shop) * dial_of(look.shop, setting.handle).travel_per_mark_mm
    return way if up else -way


def _mark_words(dial: Dial, look: Look) -> str:
    mark = look.fine.both(dial.travel_per_mark_mm)
    return f"one mark moves the slide {mark}: {said_short(dial.lead_mm, look.lengths.units)} a turn, {dial.marks} marks"


def _reading(setting: Setting, way_mm: Fraction, look: Look) -> Reason:
    letter = look.scene.after.letter(setting.zero)
    way = f"way of the slide from zero {letter}: {look.fine.both(abs(way_mm))}"
    if setting.kind is SettingKind.MARKS:
        dial = dial_of(look.shop, setting.handle)
        position = position_of(setting, look.shop)
        far = from_zero_text(position, marks_per_turn=dial.marks, hand=setting.approach)
        return look.why(
            "dial",
            f"{dial_said(setting.marks, dial, look.shop.units)}, {far}",
            "marks = way of the slide / way of one mark, exact; the dial counts up clockwise and begins anew each turn",
            way,
            _mark_words(dial, look),
        )
    return look.why(
        READING_WORDS[setting.kind].lower(),
        str(aid_said(setting, look.shop.units)),
        "the way of the slide from the zero, in whole steps of what it is read by; ± half a step",
        way,
    )


def _then(setting: Setting, way_mm: Fraction, zero: ZeroMark, look: Look) -> Reason:
    """Why the size printed beside a setting is true there."""
    means = look.scene.after.means.get(setting.zero, Means.DIAMETER)
    share, angle = _share(setting.handle, means, look)
    own = _from_zero(setting.handle, means, float(way_mm), share, zero, look)
    rest = setting.expected_mm - own
    begin = stands_words(means, zero, look)
    inputs = [f"zero {look.scene.after.letter(setting.zero)}, set at {zero.number}: {begin}"]
    inputs.append(f"way of the slide: {look.fine.both(abs(way_mm))}")
    if angle:
        inputs.append(f"top slide at {angle}: {share:.4f} of its way")
    if abs(rest) > TRIFLE_MM:
        inputs.append(_rest_words(setting, means, zero, rest, look))
    step = _step_mm(setting, look) * share * (2.0 if means is Means.DIAMETER else 1.0)
    there = abs(setting.expected_mm)
    return look.why(
        "then true",
        expected_text(setting, look.scene),
        _RELATIONS[means],
        *inputs,
        spread=(there - step / 2.0, there + step / 2.0),
    )


_RELATIONS = {
    Means.DIAMETER: "diameter = diameter at the zero, less or more by twice the way across; ± half the least step",
    Means.ALONG: "place = place at the zero, further by the way along; ± half the least step",
    Means.DEPTH: "depth = way across from the corner that was touched; ± half the least step",
}


def stands_words(means: Means, zero: ZeroMark, look: Look) -> str:
    """What a zero stands for, with its figure."""
    match means:
        case Means.DIAMETER:
            return look.fine.dia(zero.stands_for_mm)
        case Means.ALONG:
            return look.fine.along(zero.stands_for_mm)
        case Means.DEPTH:
            return f"the {surface_words(zero.surface)} as touched"


def _share(handle: Handle, means: Means, look: Look) -> tuple[float, str]:
    """How far the tool goes the way that counts for each mm of the slide; the angle of a swung top slide."""
    swing = look.scene.before.swing
    if handle is not Handle.TOP or swing is None or not swing.angle_deg:
        return 1.0, ""
    turn = radians(float(swing.angle_deg))
    share = cos(turn) if means is Means.ALONG else sin(turn)
    return share, f"{exact_text(swing.angle_deg)}°"


def _from_zero(handle: Handle, means: Means, way_mm: float, share: float, zero: ZeroMark, look: Look) -> float:
    """What is true after a way from the zero, if no other slide has moved since. [mm]"""
    if means is Means.DEPTH:
        return abs(way_mm) * share
    if means is Means.ALONG:
        return zero.stands_for_mm - way_mm * share
    swing = look.scene.before.swing
    outward = handle is Handle.TOP and swing is not None and swing.leftward is Motion.OUT
    return zero.stands_for_mm + (2.0 if outward else -2.0) * way_mm * share


def _rest_words(setting: Setting, means: Means, zero: ZeroMark, rest_mm: float, look: Look) -> str:
    """Where the difference comes from: a drill's point goes ahead, another slide has moved, another corner cuts."""
    rest = look.fine.both(abs(rest_mm))
    if setting.handle is Handle.QUILL:
        return f"the point that touched goes ahead of the full diameter by {rest}"
    if _others_moved(setting.handle, means, zero, look):
        return f"the other slides have moved the tool by {rest} since"
    what = "on the diameter" if means is Means.DIAMETER else "along"
    return f"the corner that cuts lies {rest} {what} from the one that touched"


def _others_moved(handle: Handle, means: Means, zero: ZeroMark, look: Look) -> bool:
    """Whether another slide that takes the tool the way that counts stands elsewhere than when the zero was set."""
    swing = look.scene.before.swing
    swung = swing is not None and bool(swing.angle_deg)
    count = (Handle.CARRIAGE, Handle.TOP) if means is Means.ALONG else (Handle.CROSS, *((Handle.TOP,) * swung))
    now = look.scene.before.stands
    return any(other is not handle and zero.others.get(other) != now.get(other) for other in count)


def _step_mm(setting: Setting, look: Look) -> float:
    """Least step that can be set. [mm of the slide]"""
    if setting.kind is SettingKind.MARKS:
        dial = dial_of(look.shop, setting.handle)
        return float(dial.travel_per_mark_mm * dial.step)
    return 2.0 * setting.band_mm


def _past(setting: Setting, look: Look) -> Iterator[Reason]:
    marks = counted(setting.back_off_marks, "mark")
    behind = lies_behind(setting, look.scene.before, look.shop)
    slide = look.shop.lathe.slide(setting.handle)
    yield look.why(
        "past it, to take up the slack" if behind else "overshot: back by",
        marks,
        "half a turn, or one and a half times the slack where that is more (in a hole no further than there is room)",
        f"slack of the {HANDLE_WORDS[setting.handle]}: {look.fine.both(slide.slack_mm)}",
        word=Word.PRACTICE,
    )


# zeros -------------------------------------------------------------------------------------------------------------


def why_zero(act: SetZero, look: Look) -> Iterator[Reason]:
    """What a zero stands for, and since when that is known."""
    dial = dial_of(look.shop, act.handle) if act.kind is SettingKind.MARKS else None
    origin = look.known.get(act.surface, "")
    yield look.why(
        "what it means",
        f"0 is {stands_for(act, look.scene)}",
        "the size or place that the touched surface has now",
        *((origin,) if origin else ()),
    )
    if dial is not None and not dial.settable:
        figure = engraved_text(Fraction(1), dial, look.shop.units)
        yield look.why(
            "offset",
            f"dial 0; {dial.marks} marks a turn" + (f"; figure / {figure}" if figure else ""),
            "this collar cannot be set: what it shows now is added to every figure, less whole turns",
            word=Word.SHOP_FILE,
        )


def why_collar(act: SetCollar, look: Look) -> Iterator[Reason]:
    """How the collar is set from the reading, and what the rule's figures are."""
    dial = dial_of(look.shop, act.handle)
    swing = look.scene.before.swing
    angle = exact_text(swing.angle_deg) if act.handle is Handle.TOP and swing is not None else ""
    mark = said(abs(act.dia_per_mark_mm), look.lengths.units, places=5)
    yield from _zero_dia(act, look)
    yield look.why(
        "one mark on the diameter",
        joined(collar_rule(act, look.scene)),
        "twice the way across of one mark, whatever is engraved; marks = (reading - size at 0) / that, to the nearest",
        _mark_words(dial, look),
        *((f"top slide at {angle}°: the sine of it goes across",) if angle and angle != "0" else ()),
        f"one mark: {mark} on the diameter",
    )
    position = act.turns * dial.marks + act.marks
    far = from_zero_text(position, marks_per_turn=dial.marks, hand=hand_to_zero(act, look.scene))
    yield look.why(
        "dial if the reading is as expected",
        f"{dial_said(act.marks, dial, look.shop.units)}, {far}",
        "the rule of this act with the size that the settings so far should give",
        f"expected {fine_lengths(act.handle, look.scene).dia(act.expected_dia_mm)}",
        f"{look.fine.both(abs(act.expected_dia_mm - act.zero_dia_mm))} / {mark} = "
        f"{trimmed(abs(position), places=2)} marks",
        f"{dial.marks} marks a turn",
        *(
            f"figure on the dial = marks x {figure}"
            for figure in (engraved_text(Fraction(1), dial, look.shop.units),)
            if figure
        ),
    )


def _zero_dia(act: SetCollar | SetReadout, look: Look) -> Iterator[Reason]:
    """Which size 0 is to be: the middle of the limits, or the nearest that whole steps reach."""
    size = next(
        (
            one.size
            for one in look.plan.sheet.part.sizes
            if one.surface == act.surface and "diameter" in one.aspect.value
        ),
        None,
    )
    inputs = []
    if size is not None:
        off = act.zero_dia_mm - float(size.cut_target)
        inputs.append(f"middle of the limits {look.fine.dia(size.cut_target)}")
        inputs.append(f"whole steps miss it by {look.fine.both(abs(off))}: {_weight(abs(off), float(size.band), look)}")
    yield look.why(
        "size at 0",
        look.fine.dia(act.zero_dia_mm),
        "the size to cut, or the nearest to it that whole steps from the expected reading reach",
        *inputs,
    )


def _weight(off_mm: float, band_mm: float, look: Look) -> str:
    band = look.lengths.micro(band_mm)
    if off_mm <= SHARE_THAT_MATTERS * band_mm:
        return f"too small to matter in a tolerance of {band}"
    return f"a share of {off_mm / band_mm:.2f} of the tolerance, {band}"


def why_readout(act: SetReadout, look: Look) -> Iterator[Reason]:
    """How the readout is set from the reading."""
    yield from _zero_dia(act, look)
    step = look.shop.lathe.slide(act.handle).readout_step_mm
    yield look.why(
        "readout if the reading is as expected",
        joined(readout_text(act, look.scene).lines),
        "(reading - size at 0) / 2, to the nearest step",
        *(() if step is None else (f"one step of the readout: {look.fine.both(step)}",)),
        f"one step on the diameter: {look.fine.both(act.dia_per_step_mm)}",
    )


# by eye -------------------------------------------------------------------------------------------------------------


def why_approach(act: Approach, look: Look) -> Iterator[Reason]:
    """Where the tool is brought by eye."""
    yield look.why(
        "about where",
        f"Ø {look.lengths.rough(2 * act.x_radius_mm)}, {along_rough(act.z_mm, look.lengths)}; {act.place}",
        BY_EYE,
        f"clearance {look.lengths.rough(look.shop.habits.clearance_mm)}",
        word=Word.PRACTICE,
    )


def why_touch(act: Touch, look: Look) -> Iterator[Reason]:
    """What lies between tool and work."""
    if act.feeler_mm:
        yield look.why(
            "feeler",
            look.lengths.both(act.feeler_mm),
            "thickness of what lies between; it is in the zero that follows",
            word=Word.SHOP_FILE,
        )
    if has_figures(act.contact):
        yield look.why("what touches", act.contact, "which corner or side touches, and its size", word=Word.SHOP_FILE)


def why_retract(act: Retract, look: Look) -> Iterator[Reason]:
    """How far to wind back."""
    slide = look.shop.lathe.slide(act.handle)
    about = look.lengths.rough(act.distance_mm)
    slack = f"slack, which comes first: {look.fine.both(slide.slack_mm)}"
    if act.turns is None:
        yield look.why(
            "back",
            f"about {about}",
            "by eye: clear of the work, or room for a gauge; no figure rests on it",
            slack,
            word=Word.PRACTICE,
        )
        return
    dial = dial_of(look.shop, act.handle)
    yield look.why(
        "back",
        f"{back_text(act.turns, dial.marks)}, about {about}",
        "clear of the work and the slack on top, up to half turns that a hand counts without looking (marks where "
        "there is no room for them)",
        slack,
        f"{turns_text(1)} of the handle: {look.fine.both(dial.lead_mm)}",
        word=Word.PRACTICE,
    )
