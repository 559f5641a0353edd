"""The check-up as lines for a terminal: the list of trials, one trial's instructions, what its readings say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.trial import Outcome, Trial
from handwheel.domain.part import Units
from handwheel.domain.said import said_short
from handwheel.domain.shop import Shop
from handwheel.report.layout import caution_lines, labelled, wrap
from handwheel.report.numbers import trimmed

COLUMN = 12
NUMBER_COLUMN = 5
BULLET_COLUMN = 3
NOTHING_LEARNED = "Until that is answered nothing is learned and nothing changed."
MOST_CHOICES = 12
"""More words than these are counted, not listed."""


def entry_of_list(trial: Trial, matters: str, unchecked: Sequence[str], *, has_key: bool, width: int) -> Iterator[str]:
    """Lines about one trial in the list."""
    yield f" {trial.key}: {trial.title}"
    yield from labelled("  gives", trial.gives, width=width, column=COLUMN)
    yield from labelled("  here", matters, width=width, column=COLUMN)
    if unchecked:
        left = f"{len(unchecked)} of its values are" if len(unchecked) > 1 else f"{unchecked[0]} is"
        yield from labelled("  open", f"{left} still as the starting file had it", width=width, column=COLUMN)
    elif not has_key:
        yield from labelled("  open", "the shop file has no key for it; beliefs keep it", width=width, column=COLUMN)


def instruction_lines(trial: Trial, shop: Shop, *, width: int) -> Iterator[str]:
    """Lines that say how a trial is made and what is entered."""
    yield from wrap(f"{trial.title}: {trial.gives}.", width=width)
    yield ""
    yield from wrap(trial.matters(shop), width=width)
    yield ""
    for number, one in enumerate(trial.instructions(shop), start=1):
        if one.caution:
            yield from caution_lines((one.caution,), width=width)
        yield from labelled(f"{number:>2}", one.says, width=width, column=NUMBER_COLUMN)
    yield ""
    yield "ENTER"
    for each in trial.fields(shop):
        yield from labelled(each.key, _field_text(each, shop.units), width=width, column=COLUMN)


def _field_text(each: Field, units: Units) -> str:
    pieces = [each.says]
    if each.choices:
        more = f" and {len(each.choices) - MOST_CHOICES} more" if len(each.choices) > MOST_CHOICES else ""
        pieces.append(f"one of: {', '.join(each.choices[:MOST_CHOICES])}{more}")
    elif each.kind is Kind.METAL:
        pieces.append("a metal that `handwheel metal` lists")
    elif each.kind is Kind.LENGTH:
        pieces.append(f"{said_short(each.low, units)} to {said_short(each.high, units)}")
    else:
        pieces.append(f"{each.low:g} to {each.high:g} {each.unit}")
    if each.most > 1:
        pieces.append(f"{each.fewest} to {each.most} readings" if each.fewest > 1 else "one reading or more")
    if each.usual is not None:
        usual = trimmed(each.usual, places=3) if isinstance(each.usual, float | int) else each.usual
        pieces.append(f"without it {usual}")
    elif not each.needed:
        pieces.append("may be left out")
    return "; ".join(pieces)


def outcome_lines(
    trial: Trial,
    shop: Shop,
    entry: Entry,
    outcome: Outcome,
    *,
    changes: Sequence[Sequence[str]],
    evidence: Sequence[str],
    width: int,
) -> Iterator[str]:
    """Lines that say how readings were understood and what they mean.

    ``changes`` are those proposed to the shop file, each as its lines; ``evidence`` the rows for a beliefs file.
    """
    yield from wrap(trial.title, width=width)
    yield ""
    yield "READ"
    for each in trial.fields(shop):
        if entry.has(each.key):
            yield from labelled(each.key, _understood(each, entry, shop.units), width=width, column=COLUMN)
    yield from _section("FOUND", outcome.verdicts, width=width)
    yield from _section("ASKED FIRST", outcome.questions, width=width)
    if outcome.questions:
        yield from wrap(NOTHING_LEARNED, width=width)
    yield from _section("LEFT OPEN", outcome.cannot_tell, width=width)
    yield from _section_of_lines("FOR THE SHOP FILE", changes)
    yield from _section_of_lines("FOR THE BELIEFS FILE", [evidence] if evidence else [])


def _section(head: str, texts: Sequence[str], *, width: int) -> Iterator[str]:
    if texts:
        yield ""
        yield head
    for text in texts:
        yield from labelled("-", text, width=width, column=BULLET_COLUMN)


def _section_of_lines(head: str, blocks: Sequence[Sequence[str]]) -> Iterator[str]:
    """Lines that are there to be copied, so that they stay whole and unworded."""
    if blocks:
        yield ""
        yield head
    for block in blocks:
        yield from (f"  {line}" for line in block)


def _understood(each: Field, entry: Entry, units: Units) -> str:
    """What was entered in one field, as it was read."""
    if each.is_word:
        return entry.word(each.key)
    if each.kind is Kind.LENGTH:
        return "; ".join(said_short(value, units) for value in entry.numbers[each.key])
    return f"{'; '.join(trimmed(value, places=4) for value in entry.numbers[each.key])} {each.unit}"
