"""Advice tables: a judge of readings asked over all that a gauge may show, its answers joined into rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import ceil, floor, inf

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.runs import Asked, BandAct, Judge, Run, kin_of, runs_of
from handwheel.bench.stops import Stop
from handwheel.domain.acts import SettingKind
from handwheel.domain.advice import AdviceBand, AdviceRule, AdviceTable, Do
from handwheel.domain.exact import Fraction
from handwheel.domain.matters import MISREAD_MM
from handwheel.domain.motion import Motion, Turn

MOST_ROWS = 12
"""Rows with one count of marks each that stand round the expected reading; further off they are reckoned by a rule."""
PARTS = 6
"""Readings are asked at the ends of so many equal parts, and where limits, aim and expected reading lie between them.

Judges' answers follow each other as metal goes, and the same one comes back only on the other side of the limits."""
SAVES = 4
"""So many rows more are written out all the same: to put them together would save too little."""
TOGETHER = 4
"""So many rows that cut again are one, far from the expected reading."""
HALF, NEARLY = 0.5, 0.95
"""How far a rule's count may lie from that of a row, in steps: it rounds to the same; it rounds to a neighbour."""
DUST_MM = 1e-6
"""What a binary float misses of a whole step of the gauge. [mm]"""


def advice_table(stop: Stop, judge: Judge, *, readings: int = 1, cool_s: float = 0.0) -> AdviceTable | None:
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
    """
    if stop.gauge is None:
        return None
    step_mm = stop.gauge.step_mm
    runs = tuple(runs_of(Asked(judge, step_mm), _places(stop, step_mm)))
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
    shown = round(reading_mm / table.step_mm) * table.step_mm
    return next((band for band in table.bands if band.low_mm - DUST_MM <= shown <= band.high_mm + DUST_MM), None)


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


def _places(stop: Stop, step_mm: Fraction) -> tuple[int, ...]:
    """Readings that are asked whatever the answers, in steps of the gauge."""
    first, last = span_of(stop)
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


def _shortened(runs: Sequence[Run], stop: Stop) -> Iterator[_Row]:
    """Rows of a table: all of them if they are few, else those round the expected reading, and of the others fewer."""
    if len(runs) < MOST_ROWS + SAVES:
        yield from (_Row(run.first, run.last, run.act) for run in runs)
        return
    near = _near(runs, stop)
    for kin in kin_of(runs):
        # of each kind one row at least is written out: it shows what a rule comes to
        before = [run for run in kin if run.last < near[0]][: len(kin) - 1]
        after = [run for run in kin if run.first > near[1]][-(len(kin) - 1) or len(kin) :]
        rule = _common_rule(kin, before, after, stop) if kin[0].act.do is Do.SET else None
        yield from _fewer(before, rule)
        yield from (_Row(run.first, run.last, run.act) for run in kin[len(before) : len(kin) - len(after)])
        yield from _fewer(after, rule)


def _common_rule(kin: Sequence[Run], before: Sequence[Run], after: Sequence[Run], stop: Stop) -> AdviceRule | None:
    """Rule for what lies before and after the rows that are written out; ``None`` if no one rule gives both."""
    if len(before) + len(after) < SAVES:
        return None
    rule = _rule(kin, stop)
    if rule is None and min(len(before), len(after)) <= 1:
        rule = _rule(max(before, after, key=len), stop)
    return rule


def _near(runs: Sequence[Run], stop: Stop) -> tuple[int, int]:
    """First and last reading of the rows that are written out: the expected one in their middle."""
    expected = 0.0 if stop.gauge is None else stop.expected_mm / float(stop.gauge.step_mm)
    holding = next((place for place, run in enumerate(runs) if expected <= run.last), len(runs) - 1)
    start = min(max(0, holding - MOST_ROWS // 2), len(runs) - MOST_ROWS)
    return runs[start].first, runs[start + MOST_ROWS - 1].last


def _fewer(part: Sequence[Run], rule: AdviceRule | None) -> Iterator[_Row]:
    """Neighbours far from the expected reading: by a rule; or several as one, with the least of their cuts.

    A cut that is less deep than it might be is measured after and cut again; one that is deeper may be lost.
    """
    if rule is not None and len(part) > 1:
        yield _Row(part[0].first, part[-1].last, part[0].act, rule)
        return
    size = TOGETHER if part and part[0].act.do is Do.CUT_AGAIN else 1
    for start in range(0, len(part), size):
        some = part[start : start + size]
        shallowest = min(some, key=lambda run: run.act.marks or 0)
        yield _Row(some[0].first, some[-1].last, shallowest.act)


def _rule(part: Sequence[Run], stop: Stop) -> AdviceRule | None:
    """Rule that gives these counts: each of them if there is one, else each but for one step; ``None`` if neither.

    A mark is worth what the scale says, or what these rows show: what is sprung away from a cut comes back in part.
    """
    if stop.scale is None or stop.gauge is None:
        return None
    own = stop.per_travel * stop.scale.travel_per_mark_mm
    seen = _seen_mm_per_mark(part, float(stop.gauge.step_mm))
    for mm_per_mark, within in ((own, HALF), (seen, HALF), (seen, NEARLY)):
        zero = _zero_mm(part, stop, mm_per_mark, within) if mm_per_mark > 0.0 else None
        if zero is not None:
            return AdviceRule(zero_mm=zero, mm_per_mark=mm_per_mark)
    return None


def _seen_mm_per_mark(part: Sequence[Run], step_mm: float) -> float:
    """What a mark is worth in these rows from the middle of the first to that of the last; 0 if all are alike. [mm]"""
    first, last = part[0], part[-1]
    if first.act.marks is None or last.act.marks is None or first.act.marks == last.act.marks:
        return 0.0
    way = (last.first + last.last - first.first - first.last) / 2.0 * step_mm
    return abs(way / float(last.act.marks - first.act.marks))


def _zero_mm(part: Sequence[Run], stop: Stop, mm_per_mark: float, within: float) -> float | None:
    """Reading from which these counts follow, each within so many steps, at so much a mark; ``None`` if none. [mm]"""
    step_mm = 0.0 if stop.gauge is None else float(stop.gauge.step_mm)
    half = within if stop.scale is None else float(stop.scale.marks_per_step) * within
    sign = -1.0 if stop.grows else 1.0
    # the rule's zero lies, for each row, between where its first and its last reading would round to another count
    lowest, highest = -inf, inf
    for run in part:
        if run.act.marks is None or run.act.marks < 0:
            return None
        for reading in (run.first * step_mm, run.last * step_mm):
            at_zero = reading - sign * float(run.act.marks) * mm_per_mark
            lowest, highest = max(lowest, at_zero - half * mm_per_mark), min(highest, at_zero + half * mm_per_mark)
    return None if lowest > highest else (lowest + highest) / 2.0


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
