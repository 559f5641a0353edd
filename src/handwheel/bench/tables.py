"""Advice tables: a judge of readings asked over all that a gauge may show, its answers joined into rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import ceil, floor, inf

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.runs import Asked, BandAct, Judge, Run, runs_of
from handwheel.bench.stops import Stop
from handwheel.domain.acts import SettingKind
from handwheel.domain.advice import AdviceBand, AdviceRule, AdviceTable, Do
from handwheel.domain.exact import Fraction
from handwheel.domain.matters import MISREAD_MM
from handwheel.domain.motion import Motion, Turn

MOST_ROWS = 12
"""Rows with one count of marks each that stand round the expected reading; further off they are reckoned by a rule."""
FEWER_ROWS = (MOST_ROWS, 8, 6, 4)
"""The same where the table would still be too long, one after the other."""
LONGEST = 24
"""Rows of a table from which on fewer are written out: more cannot be read at a glance; ours, no source."""
PARTS = 6
"""Readings are asked at the ends of so many equal parts, and at limits, aim and expected reading between them."""
SAVES = 4
"""So many rows more are written out all the same: to put them together would save too little."""
WITHIN, HALF = 0.45, 0.499
"""How far a rule's count may lie from that of a row before it is rounded, in steps: half, less what printing rounds; or
all but half a step where nothing less gives as many rows."""
DUST_MM = 1e-6
"""What a binary float misses of a whole step of the gauge. [mm]"""


def advice_table(
    stop: Stop, judge: Judge, *, readings: int = 1, cool_s: float = 0.0, every: bool = False
) -> AdviceTable | None:
    """Advice table of a stop, as a judge says it; ``None`` where the shop has no gauge to read.

    Parameters
    ----------
    stop : Stop
        Where the reading is taken.
    judge : callable
        Says for one reading what to do. Asked for readings on the gauge's step alone, and for no more of them than it
        takes to find where its answers change.
    readings, cool_s : int, float
        How many readings the judge takes for granted, and how long the work has cooled before them. [s]
    every : bool
        Whether it is asked for every reading, for its answers may come back: it weighs one chance against another.
    """
    if stop.gauge is None:
        return None
    step_mm = stop.gauge.step_mm
    runs = tuple(runs_of(Asked(judge, step_mm), _places(stop, step_mm, every=every)))
    bands = tuple(_band(row, stop, step_mm) for row in _shortened(runs, stop))
    scale = stop.scale
    return AdviceTable(
        bands=bands,
        step_mm=float(step_mm),
        sets=_sets(stop) if _any_sets(bands) else "",
        handle=None if scale is None else scale.handle,
        turn=None if scale is None else scale.turn,
        stood_dial=stop.set_at.marks if stop.set_at is not None and _is_dial(stop) else None,
        stood_value_mm=stop.set_at.value_mm if stop.set_at is not None and not _is_dial(stop) else None,
        readings=readings,
        cool_s=cool_s,
        beyond=_is_beyond(stop),
    )


def banded(readings: Sequence[float], acts: Sequence[BandAct], *, step_mm: float) -> AdviceTable:
    """Answers to single readings, in rising order, joined into rows; a missing reading parts them. [mm]

    Examples
    --------
    >>> good, far = BandAct(do=Do.GOOD), BandAct(do=Do.STOP_ASK)
    >>> [(row.low_mm, row.high_mm) for row in banded((1.0, 1.1, 1.2), (good, good, far), step_mm=0.1).bands]
    [(1.0, 1.1), (1.2, 1.2)]
    """
    rows: list[AdviceBand] = []
    for reading, act in zip(readings, acts, strict=True):
        row = AdviceBand(
            low_mm=reading, high_mm=reading, do=act.do, marks=act.marks, seconds=act.seconds, left_mm=act.left_mm
        )
        last = rows[-1] if rows else None
        if last is not None and reading - last.high_mm <= step_mm + DUST_MM and _alike(last, row):
            rows[-1] = replace(last, high_mm=reading)
        else:
            rows.append(row)
    return AdviceTable(bands=tuple(rows), step_mm=step_mm)


def _alike(one: AdviceBand, other: AdviceBand) -> bool:
    return (one.do, one.marks, one.seconds) == (other.do, other.marks, other.seconds)


def advised(table: AdviceTable, reading_mm: float) -> AdviceBand | None:
    """Row of a table for a reading, taken to the gauge's step; ``None``, to stop and plan again, where it has none."""
    shown = shown_mm(reading_mm, table.step_mm)
    return next((band for band in table.bands if band.low_mm - DUST_MM <= shown <= band.high_mm + DUST_MM), None)


def shown_mm(reading_mm: float, step_mm: float) -> float:
    """The mean of some readings as a row of a table has it: to the nearest step of the gauge. [mm]"""
    return round(reading_mm / step_mm) * step_mm


def marks_at(band: AdviceBand, reading_mm: float, *, step: Fraction = Fraction(1)) -> Fraction | None:
    """Marks that a row gives for a reading, by its rule where it has one, to the nearest settable ``step``. [marks]

    Examples
    --------
    >>> from handwheel.domain.advice import AdviceRule
    >>> by_rule = AdviceBand(low_mm=18.0, high_mm=18.1, do=Do.SET, rule=AdviceRule(zero_mm=18.5, mm_per_mark=0.04))
    >>> marks_at(by_rule, 18.09)
    Fraction(10, 1)
    """
    if band.rule is None:
        return band.marks
    return nearest_step(abs(reading_mm - band.rule.zero_mm) / band.rule.mm_per_mark, step)


def nearest_step(marks: float, step: Fraction) -> Fraction:
    """Settable count nearest to a number of marks, the larger of two that are as near. [marks]"""
    return floor(marks / float(step) + 0.5) * step


def span_of(stop: Stop) -> tuple[int, int]:
    """First and last reading of a stop's table, in steps of its gauge.

    Before the last cut those that the sheet does not stop at; once the size should be finished so far beyond either
    limit that further off somebody has misread.
    """
    if stop.gauge is None:
        msg = f"stop {stop.act}: no gauge reads it, so that it has no table"
        raise ValueError(msg)
    step = float(stop.gauge.step_mm)
    low, high = stop.stop_low_mm, stop.stop_high_mm
    if stop.final:
        low, high = low - MISREAD_MM, high + MISREAD_MM
    return ceil((low - DUST_MM) / step), floor((high + DUST_MM) / step)


def _places(stop: Stop, step_mm: Fraction, *, every: bool) -> tuple[int, ...]:
    """Readings that are asked whatever the answers, in steps of the gauge."""
    first, last = span_of(stop)
    if every:
        return tuple(range(first, last + 1))
    sizes = (stop.lower_mm, stop.target_mm, stop.upper_mm, stop.expected_mm)
    told = (round(size / float(step_mm)) for size in sizes)
    even = (first + (last - first) * part // PARTS for part in range(PARTS + 1))
    return tuple(sorted({place for place in (*even, *told) if first <= place <= last}))


# rows ------------------------------------------------------------------------------------------------------------


class _Row(Struct, frozen=True):
    first: int
    last: int
    act: BandAct
    rule: AdviceRule | None = None


def _shortened(runs: Sequence[Run], stop: Stop) -> tuple[_Row, ...]:
    """Rows of a table: all of them if they are few, else those round the expected reading, and of the others fewer."""
    rows = tuple(_Row(run.first, run.last, run.act) for run in runs)
    if len(runs) < MOST_ROWS + SAVES:
        return rows
    for written in FEWER_ROWS:
        rows = tuple(_rows(runs, stop, written))
        if len(rows) <= LONGEST:
            break
    return rows


def _rows(runs: Sequence[Run], stop: Stop, written: int) -> Iterator[_Row]:
    """So many rows round the expected reading written out; of the others those by a rule that gives just the same."""
    rules = _rules(runs, stop, written)
    start = 0
    for place, run in enumerate(runs):
        rule, after = rules.get(place), place + 1
        if rule is not None and rules.get(after) is rule:
            continue
        yield _Row(runs[start].first, run.last, runs[start].act, rule if start < place else None)
        start = after


def _rules(runs: Sequence[Run], stop: Stop, written: int) -> dict[int, AdviceRule]:
    """Rule by which a row is reckoned, by the place of the row; one for each thing to do. All others are written out.

    Of each kind one row at least is written out: it shows what a rule comes to.
    """
    holding = _holding(runs, stop)
    start = min(max(0, holding - written // 2), len(runs) - written)
    found: dict[int, AdviceRule] = {}
    for do in (Do.SET, Do.CUT_AGAIN):
        own = [place for place, run in enumerate(runs) if run.act.do is do]
        far = [place for place in own if not start <= place < start + written]
        if far and len(far) == len(own):
            far.remove(min(far, key=lambda place: abs(place - holding)))
        rule = _rule([runs[place] for place in far], stop)
        same = [] if rule is None else [place for place in far if _gives(rule, runs[place], stop)]
        if rule is not None and len(same) >= SAVES:
            found.update(dict.fromkeys(same, rule))
    return found


def _holding(runs: Sequence[Run], stop: Stop) -> int:
    """Place of the row that holds the expected reading."""
    expected = 0.0 if stop.gauge is None else stop.expected_mm / float(stop.gauge.step_mm)
    return next((place for place, run in enumerate(runs) if expected <= run.last), len(runs) - 1)


def _rule(part: Sequence[Run], stop: Stop) -> AdviceRule | None:
    """Rule that gives the counts of these rows, or of as many of them as one rule can; ``None`` if none.

    A mark is worth what the scale says where that gives them, else what these rows show: what is sprung away from a cut
    comes back in part.
    """
    if stop.scale is None or stop.gauge is None or any(run.act.marks is None or run.act.marks < 0 for run in part):
        return None
    best, most = None, 1
    for within in (WITHIN, HALF):
        half = within * float(stop.scale.marks_per_step)
        for start in range(len(part)):
            if len(part) - start <= most:
                break
            rule = _line_through(_on_one_line(part[start:], stop, half), stop)
            given = 0 if rule is None else sum(_gives(rule, run, stop) for run in part)
            if given > most:
                best, most = rule, given
    return best


class _Line(Struct, frozen=True):
    """Readings and their counts, and between which slopes a line passes each of them within its rounding."""

    ends: tuple[tuple[float, float], ...] = ()
    least: float = -inf
    most: float = inf

    def on(self, reading_mm: float, count: float, half: float) -> _Line:
        """The same with one more reading: any two of them bound the slope."""
        ways = [(reading_mm - one, count - other) for one, other in self.ends]
        least = max([self.least, *((more - 2.0 * half) / way for way, more in ways if way > DUST_MM)])
        most = min([self.most, *((more + 2.0 * half) / way for way, more in ways if way > DUST_MM)])
        return _Line((*self.ends, (reading_mm, count)), least, most)


def _on_one_line(part: Sequence[Run], stop: Stop, half: float) -> _Line:
    """As many rows, from the first of these on, as one line can pass, each within half a step of its count or less."""
    step_mm = 0.0 if stop.gauge is None else float(stop.gauge.step_mm)
    line = _Line()
    for run in part:
        marks = float(run.act.marks or 0)
        more = line.on(run.first * step_mm, marks, half).on(run.last * step_mm, marks, half)
        if more.least > more.most:
            break
        line = more
    return line


def _line_through(line: _Line, stop: Stop) -> AdviceRule | None:
    """Rule through readings and their counts; ``None`` where their counts are all alike."""
    counts = [count for _, count in line.ends]
    if stop.scale is None or counts[0] == counts[-1]:
        return None
    by_scale = 1.0 / (stop.per_travel * stop.scale.travel_per_mark_mm)
    by_scale = by_scale if counts[-1] > counts[0] else -by_scale
    slope = by_scale if line.least <= by_scale <= line.most else (line.least + line.most) / 2.0
    at_zero = [count - slope * reading for reading, count in line.ends]
    middle = (max(at_zero) + min(at_zero)) / 2.0
    return AdviceRule(zero_mm=-middle / slope, mm_per_mark=abs(1.0 / slope)) if slope else None


def _gives(rule: AdviceRule, run: Run, stop: Stop) -> bool:
    """Whether a rule gives the count of a row at both its ends, and so between them."""
    if stop.gauge is None or stop.scale is None:
        return False
    step_mm, by_rule = float(stop.gauge.step_mm), AdviceBand(low_mm=0.0, high_mm=0.0, do=run.act.do, rule=rule)
    ends = (run.first * step_mm, run.last * step_mm)
    return all(marks_at(by_rule, end, step=stop.scale.marks_per_step) == run.act.marks for end in ends)


def _band(row: _Row, stop: Stop, step_mm: Fraction) -> AdviceBand:
    act = row.act
    marks = None if row.rule is not None else act.marks
    return AdviceBand(
        low_mm=float(row.first * step_mm),
        high_mm=float(row.last * step_mm),
        do=act.do,
        marks=marks,
        dial=_dial(stop, act.do, marks),
        value_mm=_value_mm(stop, act.do, marks),
        rule=row.rule,
        seconds=act.seconds,
        left_mm=act.left_mm,
    )


def _dial(stop: Stop, do: Do, marks: Fraction | None) -> Fraction | None:
    """What the dial is set to, so many marks short of 0 (or beyond it). [marks]"""
    scale = stop.scale
    if do is not Do.SET or marks is None or scale is None or scale.kind is not SettingKind.MARKS:
        return None
    counts_up = (scale.turn is Turn.CLOCKWISE) is _is_beyond(stop)
    return (marks if counts_up else -marks) % scale.marks_per_turn


def _value_mm(stop: Stop, do: Do, marks: Fraction | None) -> Fraction | None:
    """What a readout is set to, so many steps short of 0 (or beyond it); how far it goes deeper, to cut again. [mm]"""
    scale = stop.scale
    if marks is None or scale is None or scale.kind is SettingKind.MARKS:
        return None
    way = marks * scale.step_mm
    if do is Do.CUT_AGAIN:
        return way
    inward = scale.deeper in (Motion.IN, Motion.LEFT)
    return way if inward is _is_beyond(stop) else -way


def _is_dial(stop: Stop) -> bool:
    return stop.scale is not None and stop.scale.kind is SettingKind.MARKS


def _any_sets(bands: Iterable[AdviceBand]) -> bool:
    return any(band.do is Do.SET for band in bands)


def _sets(stop: Stop) -> str:
    """Act that takes the figure: a collar or readout that is set here, else the first setting that follows."""
    return stop.after.first_setting if stop.after.collar is None else stop.after.collar.id


def _is_beyond(stop: Stop) -> bool:
    """Whether figures count from a zero that is touched later, and so beyond it."""
    return stop.after.collar is None
