"""What a job taught, in words and as JSON: each piece with what was believed before and what it would change."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

import msgspec

from handwheel.bench.learning.priors import unit_of
from handwheel.bench.learning.told import amount_words, figure_words
from handwheel.domain.beliefs import Belief, Quantity
from handwheel.domain.part import Units
from handwheel.service.beliefs import USED_FOR
from handwheel.service.bench_learning import JobLessons, Lesson
from handwheel.service.intake.finishing import FINISHES
from handwheel.service.wording import wording_of_shop

LEARNED_SCHEMA = 1


def lessons_text(job: JobLessons, *, show: str | None = None, words: str | None = None) -> str:
    """What a job taught, piece by piece, in words; unit and words as of `handwheel.service.wording.wording_of`."""
    wording = wording_of_shop(job.shop, show=show, words=words)
    return "".join(f"{wording.of(line)}\n" for line in _lines(job))


def _lines(job: JobLessons) -> Iterator[str]:
    if not (job.lessons or job.surprises or job.senseless):
        yield "This job taught nothing that is surer than what was believed before."
        return
    yield "What this job taught about this lathe:"
    for lesson in job.lessons:
        yield from _lesson_lines(lesson, job.shop.units)
    for surprise in job.surprises:
        number = job.numbers.get(surprise.act, surprise.act)
        off = amount_words(abs(surprise.off_mm), "mm", job.shop.units)
        what = (
            f"a reading lies {off} from its fellows"
            if surprise.apart
            else f"the reading is {off} off what was expected"
        )
        yield f"  act {number}: {what}: what happened there? That surface teaches nothing."
    for piece in job.senseless:
        figure = amount_words(piece.value, unit_of(piece.quantity), job.shop.units)
        yield f"  {piece.quantity.value} of {piece.about.words}: {figure} cannot be: look for a slip; not offered."


def _lesson_lines(lesson: Lesson, units: Units) -> Iterator[str]:
    piece = lesson.piece
    unit = unit_of(piece.quantity)
    figure, off = (amount_words(one, unit, units) for one in (piece.value, piece.spread))
    yield f"  {piece.quantity.value} of {piece.about.words}: {figure}, give or take {off}"
    if piece.before.variance < inf:
        middle, spread = (amount_words(one, unit, units) for one in (piece.before.middle, piece.before.spread))
        yield f"    before: {middle}, give or take {spread}"
    else:
        yield "    before: not known"
    yield f"    {effect_words(lesson, units)}"


def effect_words(lesson: Lesson, units: Units) -> str:
    """What a piece would change, in words."""
    effect = lesson.effect
    if effect is None:
        return "withdrawn in the beliefs file, and stays so" if lesson.withdrawn else "kept already"
    if effect.changes_plan and effect.now is not None:
        now, was = (figure_words(effect.now, float(figure), units) for figure in (effect.now.now, effect.now.was))
        return f"the next plan would take {now} (shop file: {was})"
    if effect.verdict:
        return f"the next plan stays as it is: {effect.verdict}"
    if not effect.matters:
        return "too small to matter"
    return _believed_words(effect.after, units)


def _believed_words(after: Belief, units: Units) -> str:
    if after.quantity is Quantity.POLISH_LOSS and after.about.thing not in FINISHES:
        return "a note for you: no part file asks for a loss by this name"
    middle, spread = (amount_words(one, after.unit, units) for one in (after.value, after.spread))
    return f"then believed: {middle}, give or take {spread}; {USED_FOR[after.quantity]}"


def lessons_json(job: JobLessons) -> str:
    """What a job taught as one JSON object: amounts in the unit that stands with them, shares as they are."""
    whole = {
        "schema": LEARNED_SCHEMA,
        "plan": job.plan,
        "over": job.over,
        "lessons": [
            {
                "quantity": lesson.piece.quantity,
                "about": lesson.piece.about,
                "value": lesson.piece.value,
                "spread": lesson.piece.spread,
                "unit": unit_of(lesson.piece.quantity),
                "before": None
                if lesson.piece.before.variance == inf
                else {"value": lesson.piece.before.middle, "spread": lesson.piece.before.spread},
                "steps": lesson.piece.steps,
                "counted": lesson.piece.counted,
                "evidence": lesson.noted.evidence.what,
                "kept": lesson.kept,
                "withdrawn": lesson.withdrawn,
                "matters": None if lesson.effect is None else lesson.effect.matters,
                "effect": effect_words(lesson, job.shop.units),
            }
            for lesson in job.lessons
        ],
        "questions": [
            {"act": job.numbers.get(one.act, one.act), "off_mm": one.off_mm, "apart": one.apart}
            for one in job.surprises
        ],
    }
    return msgspec.json.encode(whole).decode() + "\n"
