"""The check-up worded for a shop: the list, a trial, an outcome, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite

from handwheel.bench.checkup.trial import Trial
from handwheel.domain.shop import Shop
from handwheel.report.checkup_text import entry_of_list, instruction_lines, outcome_lines
from handwheel.report.layout import wrap
from handwheel.report.wording import printed_in
from handwheel.service.checkup import Judged, Listed, change_lines, evidence_lines
from handwheel.service.wording import wording_of_shop

CHECKUP_SCHEMA = 1
FIRST = (
    "One trial at a time, in this order: those without a cut come first. handwheel checkup TRIAL --shop SHOP says how; "
    "with --enter KEY=VALUE it judges what you read."
)


def list_text(
    shop: Shop, rows: Sequence[Listed], *, width: int, show: str | None = None, words: str | None = None
) -> str:
    """All trials, with what each gives and why it matters in this shop."""
    with printed_in(wording_of_shop(shop, show=show, words=words)):
        return "\n".join(_list_lines(shop, rows, width=width)) + "\n"


def _list_lines(shop: Shop, rows: Sequence[Listed], *, width: int) -> Iterator[str]:
    yield from wrap(f"CHECK-UP: {shop.lathe.name}", width=width)
    yield from wrap(FIRST, width=width)
    for row in rows:
        yield ""
        yield from entry_of_list(row.trial, row.matters, row.unchecked, has_key=row.has_key, width=width)


def trial_text(trial: Trial, shop: Shop, *, width: int, show: str | None = None, words: str | None = None) -> str:
    """How a trial is made, with its cautions, and what is entered."""
    with printed_in(wording_of_shop(shop, show=show, words=words)):
        return "\n".join(instruction_lines(trial, shop, width=width)) + "\n"


def outcome_text(found: Judged, *, date: str, width: int, show: str | None = None, words: str | None = None) -> str:
    """What readings say, what they leave open, what would go into shop file and beliefs file."""
    with printed_in(wording_of_shop(found.shop, show=show, words=words)):
        lines = outcome_lines(
            found.trial,
            found.shop,
            found.entry,
            found.outcome,
            changes=[change_lines(change) for change in found.outcome.changes],
            evidence=evidence_lines(found.outcome.measured, trial=found.trial.key, date=date),
            width=width,
        )
        return "\n".join(lines) + "\n"


def list_json(rows: Sequence[Listed]) -> str:
    """The list as JSON."""
    return _json(
        {
            "schema": CHECKUP_SCHEMA,
            "trials": [
                {
                    "trial": row.trial.key,
                    "title": row.trial.title,
                    "gives": row.trial.gives,
                    "matters": row.matters,
                    "unchecked": list(row.unchecked),
                    "has_key": row.has_key,
                }
                for row in rows
            ],
        }
    )


def trial_json(trial: Trial, shop: Shop) -> str:
    """Instructions and fields of a trial as JSON; lengths in mm."""
    fields = [
        {
            "key": each.key,
            "says": each.says,
            "kind": each.kind.value,
            "unit": None if each.is_word else each.unit,
            "low": None if each.is_word else each.low,
            "high": None if each.is_word else each.high,
            "fewest": each.fewest,
            "most": each.most,
            "choices": list(each.choices),
            "needed": each.needed,
            "usual": each.usual,
        }
        for each in trial.fields(shop)
    ]
    acts = [{"says": one.says, "caution": one.caution or None} for one in trial.instructions(shop)]
    return _json(
        {
            "schema": CHECKUP_SCHEMA,
            "trial": trial.key,
            "title": trial.title,
            "gives": trial.gives,
            "matters": trial.matters(shop),
            "instructions": acts,
            "fields": fields,
        }
    )


def outcome_json(found: Judged, *, date: str) -> str:
    """What readings say as JSON; lengths in mm."""
    outcome, entry = found.outcome, found.entry
    return _json(
        {
            "schema": CHECKUP_SCHEMA,
            "trial": found.trial.key,
            "read": {
                **{key: [float(value) for value in values] for key, values in entry.numbers.items()},
                **entry.words,
            },
            "verdicts": list(outcome.verdicts),
            "questions": list(outcome.questions),
            "cannot_tell": list(outcome.cannot_tell),
            "measured": [
                {
                    "quantity": one.quantity,
                    "thing": one.thing,
                    "metal": one.metal or None,
                    "value": one.value if isfinite(one.value) else None,
                    "spread": one.spread if isfinite(one.spread) else None,
                    "unit": one.unit,
                    "evidence": one.evidence,
                }
                for one in outcome.measured
            ],
            "changes": [list(change_lines(change)) for change in outcome.changes],
            "evidence": list(evidence_lines(outcome.measured, trial=found.trial.key, date=date)),
        }
    )


def _json(made: dict[str, object]) -> str:
    from json import dumps

    return dumps(made, indent=2, ensure_ascii=False) + "\n"
