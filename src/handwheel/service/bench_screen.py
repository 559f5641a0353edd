"""What a person sees of a walk: the next act as on the sheet, what is asked, lists, where it stands."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.domain.acts import SetCollar, SetReadout
from handwheel.domain.exact import Fraction
from handwheel.report.head_text import SHOWN_OF_ID
from handwheel.report.layout import table
from handwheel.report.numbers import duration_text
from handwheel.report.walk_text import INSIDE, act_lines, head_of_step, mean_text, opening_lines, reading_text
from handwheel.report.wording import Wording, printed_in, worded
from handwheel.report.words import plain
from handwheel.service.bench_asks import AskKind, open_asks
from handwheel.service.bench_state import Reply, State, StepTold, own_lines
from handwheel.service.bench_times import StepTaken
from handwheel.service.bench_walk import Walk

READ_MORE = "read once more, or b takes the reading back"
STAND_OR_READ = '"yes" if it stands, else read again'


def screen_of(walk: Walk, wording: Wording, *, width: int, with_head: bool) -> str:
    """Print the next act for a person, with the head of its step if that is new; nothing when all are done."""
    item, step, text = walk.item, walk.step, walk.text
    if item is None or step is None or text is None:
        return ""
    with printed_in(wording):
        head = head_of_step(step, of=len(walk.laid.steps), width=width) if with_head else iter(())
        return "\n".join((*head, "", *act_lines(item, text, own_lines(walk), width=width))) + "\n"


def opening_of(walk: Walk, wording: Wording, *, width: int) -> str:
    """Print what stands before the first act of a sitting."""
    with printed_in(wording):
        return "\n".join(opening_lines(walk.plan, width=width)) + "\n"


def prompt_of(walk: Walk, wording: Wording) -> str:
    """What stands before what is typed: the act, how far one is, what is asked."""
    item = walk.item
    where = "" if item is None else f"{item.number} ({walk.at + 1} of {len(walk.plan.sheet.acts)})"
    asked = open_asks(walk)
    what = f" {asked[0].of}" if asked else ""
    unit = f" [{'marks' if asked[0].kind is AskKind.DIAL else walk.shop.units.value}]" if asked else ""
    return f"{where}{wording.of(what)}{unit} > "


def readings_text(walk: Walk, state: State, wording: Wording) -> tuple[str, ...]:
    """What the readings at the next act mean, a sentence each; nothing where none was taken."""
    item, size = walk.item, walk.size_at(walk.item_id)
    if state.questions:
        needs_reading = any(question.needs_reading for question in state.questions)
        return (*(question.text for question in state.questions), READ_MORE if needs_reading else STAND_OR_READ)
    if item is None or size is None or isinstance(item.act, SetCollar | SetReadout):
        return ()
    mean = mean_text(item.act, size, len(walk.readings[item.act.id]), item.scene)
    rest = (*state.outside, *state.advice) or (INSIDE,)
    return (*((wording.of(mean),) if mean else ()), *rest)


def steps_text(steps: Iterable[StepTold]) -> str:
    """Print the steps, with how much of each is done."""
    rows = [(str(step.number), step.title, f"{step.done} of {step.of}", step.id) for step in steps]
    return "\n".join(table([("step", "", "acts done", "id"), *rows], right=frozenset({0}))) + "\n"


def times_text(times: Iterable[StepTaken]) -> str:
    """Print how long each step took."""
    rows = [(taken.step, duration_text(taken.seconds), "" if taken.whole else "not the whole of it") for taken in times]
    return "\n".join(table([("step", "took", ""), *rows])) + "\n"


def status_text(walk: Walk, reply: Reply) -> str:
    """Print where a walk stands."""
    item, part = walk.item, plain(walk.plan.sheet.part.name)
    where = "all acts are done" if item is None else f"next is act {item.number}"
    if walk.stopped is not None:
        where = f"stopped at act {'' if item is None else item.number} {plain(walk.stopped.text)}".rstrip()
    if not walk.events:
        where = "not begun"
    readings = [
        (item.number, worded(reading_text(item.act, Fraction(event.value or 0), item.scene.lengths)), event.gauge)
        for item in walk.laid.acts
        for event in walk.readings.get(item.act.id, ())
    ]
    done = f"{len(walk.done)} of {len(walk.plan.sheet.acts)} acts done"
    lines = [
        f"{part}, plan {walk.plan.id[:SHOWN_OF_ID]}: {done}, {where}",
        *reply.told,
        *(("", *table([("act", "reading", "gauge"), *readings])) if readings else ()),
        *(("", *times_text(reply.times).splitlines()) if reply.times else ()),
        *(f"note: {plain(event.text)}" for event in walk.notes),
    ]
    return "\n".join(lines) + "\n"
