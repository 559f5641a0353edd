"""Advice tables in words, the same on every kind of sheet: from a reading to what the hand does."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from handwheel.domain.acts import Measure, Setting, SettingKind
from handwheel.domain.advice import AdviceBand, AdviceRule, AdviceTable, Do
from handwheel.domain.errors import ShopError
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Dial
from handwheel.report.numbers import INCH_PLACES, Lengths, duration_text, exact_text, rounded, trimmed
from handwheel.report.pieces import ActTable, Line
from handwheel.report.readout_text import DIVISOR_PLACES, other_gauges, other_unit
from handwheel.report.setting_text import Scene, aid_said, engraved_text, in_reading_unit, side_text
from handwheel.report.situation import dial_of, motions_of
from handwheel.report.wording import in_own_order
from handwheel.report.words import HANDLE_WORDS, hand_words

FIND = (
    "Tables: find your reading, do what stands beside it; between two rows, what takes less metal. The figure of a "
    "table counts before the one printed with the act."
)
ELSE_STOP = "any other reading: stop and plan again; outside its limits: handwheel rescue"
RULE = "RULE"
PER_UNIT = {Units.MM: Fraction(1), Units.INCH: MM_PER_INCH}
UNIT_WORDS = {Units.MM: "mm", Units.INCH: "inches"}
RULE_PLACES = {Units.MM: 4, Units.INCH: 5}
"""Decimals of the size in a rule: one more than a gauge shows."""
WORTH_PLACES = {Units.MM: 5, Units.INCH: 6}
"""Decimals of what a mark is worth in a rule, as at the collar."""
DO_WORDS = {
    Do.READ_AGAIN: "READ AGAIN",
    Do.GO_ON: "GO ON",
    Do.GOOD: "GOOD",
    Do.STOP_LOST: "LOST",
    Do.STOP_ASK: "STOP",
}
MEANINGS = {
    Do.CUT_AGAIN: "CUT: so many marks deeper than the last cut, or turns + marks; cut once more, measure again.",
    Do.COOL: "COOL: let the work cool so long, then measure again.",
    Do.READ_AGAIN: "READ AGAIN: wipe work and gauge, measure again.",
    Do.GOOD: "GOOD: cut this surface no more; leave out cuts on it that follow.",
    Do.STOP_LOST: "LOST: stop; the size is past its limit.",
    Do.STOP_ASK: "STOP: cut no further, plan again.",
}


def advice_rules(tables: Iterable[AdviceTable]) -> tuple[str, ...]:
    """How the tables of a sheet are to be read, and the words that stand in them; nothing if there are none."""
    found = {band.do for table in tables for band in table.bands}
    told = (words for do, words in MEANINGS.items() if do in found)
    counted = "Short, beyond: so many marks, or turns + marks, short of 0 or beyond it."
    return (FIND, counted, *told) if found else ()


def advice_before(act: Measure) -> tuple[Line, ...]:
    """What stands above the rows: how long to wait first, how many readings to take."""
    table = act.table
    if table is None or not table.bands:
        return ()
    wait = (f"first COOL {duration_text(table.cool_s)}",) if table.cool_s else ()
    several = (f"take {table.readings} readings; the rows are for their mean",) if table.readings > 1 else ()
    return ((*wait, *several),) if wait or several else ()


def advice_rows(act: Measure, scene: Scene, lengths: Lengths) -> ActTable | None:
    """Rows from a reading to what to do; ``None`` if nothing is advised."""
    table = act.table
    if table is None or not table.bands:
        return None
    first, *other = in_own_order("mm", "in", lengths.units)
    return ActTable(
        columns=(f"reads {first}", *other, "do", ""),
        rows=tuple(
            (*_spans(band, lengths), do_words(band, table, scene), count_words(band, table, scene))
            for band in table.bands
        ),
        tells=1 + len(other),
    )


def advice_after(act: Measure, scene: Scene) -> tuple[Line, ...]:
    """What stands below the rows: which way the hand turns to cut again, how marks are reckoned, what else to do."""
    table = act.table
    if table is None or not table.bands:
        return ()
    otherwise = (ELSE_STOP,) if act.final else ()  # before that the sheet says when to stop
    return tuple((line,) for line in (*_hand_lines(table, scene), *_rule_lines(table, scene), *otherwise))


def do_words(band: AdviceBand, table: AdviceTable, scene: Scene) -> str:
    """What a row tells the hand to do, in few words."""
    match band.do:
        case Do.SET:
            return _set_words(band, table, scene)
        case Do.CUT_AGAIN:
            return _cut_words(band, table, scene)
        case Do.COOL:
            return f"COOL {duration_text(band.seconds)}"
        case _:
            return DO_WORDS[band.do]


def count_words(band: AdviceBand, table: AdviceTable, scene: Scene) -> str:
    """How many marks, or turns + marks, short of 0 or beyond it a dial is set; nothing beside all else.

    Examples
    --------
    What reads ``1 + 14 short`` is 1 turn and 14 marks short of 0.
    """
    if band.do is not Do.SET or band.marks is None or band.dial is None:
        return ""
    if band.marks == 0:
        return "at 0"
    return f"{_counted(band.marks, table, scene)} {'beyond' if table.beyond is (band.marks > 0) else 'short'}"


def _counted(count: Fraction, table: AdviceTable, scene: Scene) -> str:
    if table.handle is None:
        return exact_text(count)
    turns, marks = divmod(abs(count), dial_of(scene.shop, table.handle).marks)
    return f"{turns} + {exact_text(marks)}" if turns else exact_text(marks)


def _set_words(band: AdviceBand, table: AdviceTable, scene: Scene) -> str:
    """What dial or readout is set to, or that it is reckoned."""
    if table.handle is not None and band.value_mm is not None:
        return str(aid_said(_readout(table.handle, band.value_mm), scene.shop.units))
    if table.handle is None or band.dial is None:
        return f"by {RULE}"
    dial = dial_of(scene.shop, table.handle)
    figure = engraved_text(band.dial, dial, scene.shop.units) if dial.settable else ""
    return f"DIAL {exact_text(band.dial)}{f' ({figure})' if figure else ''}"


def _cut_words(band: AdviceBand, table: AdviceTable, scene: Scene) -> str:
    """How much deeper to cut, or that it is reckoned."""
    if band.value_mm is not None:
        value, unit = in_reading_unit(band.value_mm, scene.shop.units)
        return f"CUT {value} {unit} deeper"
    if band.marks is None:
        return f"CUT by {RULE}"
    return f"CUT {_counted(band.marks, table, scene)} deeper"


def _readout(handle: Handle, value_mm: Fraction) -> Setting:
    return Setting(handle=handle, kind=SettingKind.READOUT, zero="", value_mm=value_mm)


def _spans(band: AdviceBand, lengths: Lengths) -> tuple[str, ...]:
    """From where to where a row goes, in the units shown, the maker's own first."""
    in_mm = _span(band, places=lengths.places, unit=Fraction(1))
    return in_own_order(in_mm, _span(band, places=INCH_PLACES, unit=MM_PER_INCH), lengths.units)


def _span(band: AdviceBand, *, places: int, unit: Fraction) -> str:
    """Both ends of a row, or the one reading that it has."""
    low, high = (rounded(value, places=places, unit=unit) for value in (band.low_mm, band.high_mm))
    return low if low == high else f"{low} to {high}"


def _hand_lines(table: AdviceTable, scene: Scene) -> Iterator[str]:
    """Which handle cuts deeper, and how the hand turns for it."""
    if table.handle is None or table.turn is None or all(band.do is not Do.CUT_AGAIN for band in table.bands):
        return
    slide = scene.shop.lathe.slide(table.handle)
    hand = hand_words(table.turn, motions_of(slide, table.turn, scene.before.swing))
    stood = ""
    if table.stood_dial is not None:
        stood = f"; last cut at DIAL {exact_text(table.stood_dial)}"
    elif table.stood_value_mm is not None:
        stood = f"; last cut at {aid_said(_readout(table.handle, table.stood_value_mm), scene.shop.units)}"
    yield f"CUT: {HANDLE_WORDS[table.handle]}, {hand}{stood}"


def _rule_lines(table: AdviceTable, scene: Scene) -> Iterator[str]:
    """How what is set by a rule is reckoned, once for each thing to do."""
    for do, words in ((Do.SET, RULE), (Do.CUT_AGAIN, f"CUT by {RULE}")):
        ruled = next((band for band in table.bands if band.do is do and band.rule is not None), None)
        known = next((band for band in table.bands if band.do is do and band.marks is not None), None)
        if ruled is None or ruled.rule is None or known is None or table.handle is None:
            continue
        if known.value_mm is None:
            yield f"{words}: {_marks_rule(ruled, ruled.rule, table, scene)}"
        else:
            yield f"{words}: {_readout_rule(ruled, ruled.rule, known, table.handle, scene)}"


def _difference(band: AdviceBand, rule: AdviceRule, unit: Units) -> str:
    """How far a reading is from the size of a rule."""
    zero = rounded(Fraction(rule.zero_mm) / PER_UNIT[unit], places=RULE_PLACES[unit])
    return f"(reading - {zero})" if band.low_mm > rule.zero_mm else f"({zero} - reading)"


def _marks_rule(band: AdviceBand, rule: AdviceRule, table: AdviceTable, scene: Scene) -> str:
    unit = scene.shop.units
    worth = trimmed(Fraction(rule.mm_per_mark) / PER_UNIT[unit], places=WORTH_PLACES[unit])
    side = "deeper" if band.do is Do.CUT_AGAIN else "beyond 0" if table.beyond else "short of 0"
    dial = None if table.handle is None else scene.shop.lathe.slide(table.handle).dial
    whole = "half" if dial is not None and dial.halves else "whole"
    first = "".join(f"; {line[0]}" for line in other_gauges("mm" if unit is Units.MM else "in", scene.shop))
    return (
        f"marks {side} = {_difference(band, rule, unit)} / {worth}, in {UNIT_WORDS[unit]}, "
        f"to the nearest {whole} mark{_dial_rule(band, table, dial)}{first}"
    )


def _dial_rule(band: AdviceBand, table: AdviceTable, dial: Dial | None) -> str:
    """How the marks become what the dial is set to."""
    if band.do is Do.CUT_AGAIN or dial is None:
        return ""
    counts_up = (table.turn is Turn.CLOCKWISE) is table.beyond
    return "; DIAL = marks" if counts_up else f"; DIAL = {dial.marks} - marks"


def _readout_rule(band: AdviceBand, rule: AdviceRule, known: AdviceBand, handle: Handle, scene: Scene) -> str:
    step_mm = scene.shop.lathe.slide(handle).readout_step_mm
    if step_mm is None or known.value_mm is None:
        msg = f"{handle.value}: a table tells what its readout shows, and this slide has none; plan again"
        raise ShopError(msg)
    step, name = in_reading_unit(step_mm, scene.shop.units)
    unit = Units.MM if name == "mm" else Units.INCH
    divisor = trimmed(Fraction(rule.mm_per_mark) / step_mm, places=DIVISOR_PLACES)
    shows = "deeper by" if band.do is Do.CUT_AGAIN else f"READOUT{side_text(_readout(handle, known.value_mm))}"
    first = "".join(f"; {line[0]}" for line in other_unit(name, scene.shop.units))
    return (
        f"{shows} {_difference(band, rule, unit)} / {divisor}, in {UNIT_WORDS[unit]}, "
        f"to the nearest {step} {name}{first}"
    )
