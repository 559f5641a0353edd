"""Words at the lathe that no sheet has: what a reading means for going on, and what is said back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from handwheel.bench.tables import advised, marks_at
from handwheel.domain.acts import Indicate, Measure, SetCollar, SetReadout
from handwheel.domain.advice import Do
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Aspect
from handwheel.report.advice_text import MEANINGS, count_words, do_words
from handwheel.report.as_read import READ_PLACES, without_boxes
from handwheel.report.blocks import step_head
from handwheel.report.head_text import SHOWN_OF_ID, cautions_of
from handwheel.report.layout import caution_lines, row_lines
from handwheel.report.numbers import duration_text, exact_text
from handwheel.report.pieces import ActRow
from handwheel.report.text_sheet import step_lines
from handwheel.report.wording import worded
from handwheel.report.words import plain

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.acts import Act
    from handwheel.domain.advice import AdviceTable
    from handwheel.domain.plan import Plan
    from handwheel.report.numbers import Lengths
    from handwheel.report.pieces import ActText, Line
    from handwheel.report.setting_text import Scene
    from handwheel.report.steps import NumberedAct, NumberedStep

FLOAT_MM = 1e-9
"""Limits are floats: what misses one by less meets it. [mm]"""
INSIDE = "inside what is expected: go on, or read once more"
"""Said of readings of which nothing is open."""
KNOW_WHY = "cut no further before you know why; measure again, with another gauge if you can, or stop the job"
NO_BAND = "no line of the table has that reading: stop and plan again"


def reading_text(act: Act, value_mm: Fraction, lengths: Lengths) -> str:
    """A reading at an act, said back in both units, a diameter with its sign.

    Examples
    --------
    >>> from handwheel.domain.exact import Fraction
    >>> from handwheel.domain.part import Units
    >>> from handwheel.report.numbers import Lengths
    >>> act = Indicate(id="a1", step="hold", surface="outside", high_mm=0.02, gauge="dial-indicator")
    >>> reading_text(act, Fraction("0.015"), Lengths(units=Units.MM))
    '0.015 mm (0.0006 in)'
    """
    fine = replace(lengths, places=READ_PLACES)
    is_collar = isinstance(act, SetCollar | SetReadout)
    is_dia = is_collar or (isinstance(act, Measure) and act.aspect == Aspect.DIAMETER.value)
    return fine.dia(value_mm) if is_dia else fine.both(value_mm)


def outside_words(act: Measure | Indicate, value_mm: Fraction, scene: Scene) -> tuple[str, ...]:
    """Why a reading forbids to go on; nothing if it does not."""
    fine = replace(scene.lengths, places=READ_PLACES)
    said = reading_text(act, value_mm, scene.lengths)
    if isinstance(act, Indicate):
        if value_mm <= act.high_mm + FLOAT_MM:
            return ()
        return (f"STOP: {said} is more than {fine.both(act.high_mm)}; true the work again, then read again",)
    found = []
    judged = act.final and not is_within(value_mm, act.lower_mm, act.upper_mm)
    if not judged and not is_within(value_mm, act.stop_low_mm, act.stop_high_mm):
        band = fine.limits(act.stop_low_mm, act.stop_high_mm)
        found.append(f"STOP: {said} lies outside {band}; {KNOW_WHY}")
    if judged:
        limits = fine.limits(act.lower_mm, act.upper_mm)
        found.append(f"STOP: {said} is not within the finished size, {limits}; measure again, or stop the job")
    return tuple(found)


def mean_text(act: Act, mean_mm: Fraction, count: int, scene: Scene) -> str:
    """The mean of several readings, in words; nothing for one."""
    return f"mean of {count}: {reading_text(act, mean_mm, scene.lengths)}" if count > 1 else ""


def is_within(value_mm: Fraction, low_mm: float, high_mm: float) -> bool:
    """Whether a reading lies between two limits, or on one."""
    return low_mm - FLOAT_MM <= value_mm <= high_mm + FLOAT_MM


def table_words(table: AdviceTable, value_mm: Fraction, scene: Scene) -> tuple[str, ...]:
    """What an advice table says of a reading, a sentence each, with the marks where a rule gives them."""
    band = advised(table, float(value_mm))
    if band not in table.bands:
        return (NO_BAND,)
    dial = None if table.handle is None else scene.shop.lathe.slide(table.handle).dial
    marks = marks_at(band, float(value_mm), step=Fraction(1) if dial is None else dial.step)
    told = band if band.rule is None else replace(band, rule=None, marks=marks)
    words = (do_words(told, table, scene), count_words(told, table, scene))
    reckoned = (f"{exact_text(marks or 0)} marks",) if band.rule is not None and band.do is Do.SET else ()
    figures = " ".join(part for part in (*words, *reckoned) if part)
    meaning = MEANINGS.get(band.do)
    return (f"by the table: {figures}", *((meaning,) if meaning else ()))


def more_words(taken: int, wanted: int) -> str:
    """That a table counts on more readings than were taken."""
    return f"{taken} of {wanted} readings taken: the table is for their mean, read again"


def cooled_words(waited_s: float, wanted_s: float) -> tuple[str, ...]:
    """What to know if the work had less time to cool than it needs; nothing if it had enough."""
    if waited_s >= wanted_s:
        return ()
    waited = f"waited {duration_text(max(0.0, waited_s))} of {duration_text(wanted_s)}"
    return (f"{waited}: work that is still warm reads too large, and shrinks later",)


def act_lines(item: NumberedAct, text: ActText, own: tuple[Line, ...], *, width: int) -> Iterator[str]:
    """Lay out one act as on the sheet, its cautions before it, without boxes; ``own`` lines stand below its words."""
    said = without_boxes(text)
    row = ActRow(
        number=item.number,
        text=replace(said, lines=(*said.lines, *own)),
        cautions=item.act.cautions,
        note=item.act.note,
    )
    yield from row_lines(row, width=width)


def head_of_step(step: NumberedStep, *, of: int, width: int) -> Iterator[str]:
    """Lay out what stands above the acts of a step: title, time, tool, speed, feed, what to do if overshot."""
    yield from step_lines(step_head(step), of=of, width=width)


def opening_lines(plan: Plan, *, width: int) -> Iterator[str]:
    """Lay out what stands before the first act: the job, and the cautions that hold for every act."""
    yield f"{plain(worded(plan.sheet.part.name))}, plan {plan.id[:SHOWN_OF_ID]}"[:width]
    yield from caution_lines(cautions_of(plan), width=width)
