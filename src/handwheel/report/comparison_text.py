"""Plans side by side as plain text: what is the same, what differs, what comes and goes, what there is not."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from handwheel.domain.errors import require_within
from handwheel.domain.part import BORE, OUTSIDE, Units
from handwheel.domain.said import said
from handwheel.domain.severity import Severity
from handwheel.report.layout import WIDEST, wrap
from handwheel.report.numbers import minutes_text
from handwheel.report.tail_text import WEIGHT, by_weight, place_words
from handwheel.report.wording import AS_WRITTEN, Wording, printed_in
from handwheel.report.words import plain, surface_words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from handwheel.domain.comparing import Account, Comparison, HeldAccount, LimitLoad, Option
    from handwheel.domain.findings import Finding

NARROWEST = 40
"""Columns of a phone held upright."""
SIDE_BY_SIDE = 80
"""Columns from which the plans stand side by side; in fewer they stand one below the other."""
LABEL_COLUMN = 16
GAP = 2
HANGING = 3
RUNOUT_PLACES, LOBES_PLACES = 3, 4
"""Decimals of a millimetre; lobes are finer than anything an indicator of a small shop tells."""
NO_PRICE = "no price in the shop file"
PRICE_WORDS = f"cost of the metal: {NO_PRICE}; go by length and mass"
ENDING = "to take one: the same command with --take and its number; --take 1 is what `handwheel plan` gives"

_PLACE_OF_DRILL = re.compile(r"^drill-\d+-")
"""Place in the ladder of drills, with which the id of a drill's step begins."""

Cell = tuple[str, str]
"""A label and what stands beside it."""
Choice = tuple[int, "Option", "Account"]
"""Number of an option that has a plan, the option, its account."""


def comparison_text(comparison: Comparison, *, width: int = SIDE_BY_SIDE, wording: Wording = AS_WRITTEN) -> str:
    """Print plans side by side, or one below the other where there are fewer than 80 columns.

    Parameters
    ----------
    comparison : Comparison
        What `handwheel.planner.alternatives` gives.
    width : int
        Longest line, 40 to 200. [characters]
    wording : Wording
        Which unit, and whose words.

    Raises
    ------
    OutOfRangeError
        If the width is outside 40 to 200 columns.
    """
    require_within("width", width, low=NARROWEST, high=WIDEST, unit="columns")
    with printed_in(wording):
        return "\n".join(_lines(comparison, width)) + "\n"


def _lines(comparison: Comparison, width: int) -> Iterator[str]:
    numbered = tuple(enumerate(comparison.options, start=1))
    choices = tuple((number, option, option.account) for number, option in numbered if option.account is not None)
    rows = {number: dict(_row(account, comparison, choices)) for number, _, account in choices}
    labels = list(dict.fromkeys(label for row in rows.values() for label in row))
    alike = [label for label in labels if len({row.get(label, "-") for row in rows.values()}) == 1]
    differing = [label for label in labels if label not in alike]
    yield "=" * width
    yield from wrap(f" {comparison.part} on {comparison.shop}: {len(choices)} of {len(numbered)} plans", width=width)
    yield "=" * width
    if differing:
        yield from _differing(choices, rows, differing, width)
    yield "-" * width
    yield " THE SAME IN ALL" if len(choices) > 1 else " THE PLAN"
    yield from _stacked(((label, rows[choices[0][0]][label]) for label in alike), width)
    yield from _hung(PRICE_WORDS, width)
    for number, option in numbered:
        yield "-" * width
        yield from _about(number, option, comparison, width)
    yield "-" * width
    yield from _hung(ENDING, width)
    yield "=" * width


def _row(account: Account, comparison: Comparison, choices: Sequence[Choice]) -> Iterator[Cell]:
    """What is told of a plan, label by label."""
    best, units = choices[0][2], _units(comparison)
    yield from _metal_row(account, units)
    yield "second side", ", then ".join(map(_held_words, account.held)) or "-"
    yield "runs true in", _trues(account, lambda held: held.runout_mm, units, places=RUNOUT_PLACES)
    yield "lobes of grip", _trues(account, lambda held: held.lobes_mm, units, places=LOBES_PLACES)
    yield "tools", str(len(account.tools))
    yield "steps", str(account.steps)
    yield "acts", str(account.acts)
    yield "minutes", minutes_text(account.total_ms)
    yield "  against 1", _against(account, best)
    yield "  making ready", minutes_text(account.ready_ms)
    yield "  cutting", minutes_text(account.cutting_ms)
    yield "  measuring", minutes_text(account.measuring_ms)
    yield "edges a part", f"{account.edges:.2f}"
    yield "order", "proven least" if account.proven else "best found"
    yield "largest force", _force_words(account)
    yield "less force in", _fewer_words(account, best)
    for limit in dict.fromkeys(load.limit for _, _, other in choices for load in other.loads):
        load = next((load for load in account.loads if load.limit == limit), None)
        yield f"of {limit.removeprefix('the ').removesuffix(' of the holding')}", _load_words(load)
    yield "findings", _weights(account.findings)


def _metal_row(account: Account, units: Units) -> Iterator[Cell]:
    bar = account.bar
    yield "bar", bar.bar
    yield "length a part", said(bar.each_mm, units)
    yield "mass a part", _grams(bar.mass_g)
    yield "parts of a bar", str(bar.parts)
    yield "chips", f"{100.0 * bar.chip_share:.0f} %"


def _units(comparison: Comparison) -> Units:
    plan = comparison.best.plan
    return Units.MM if plan is None else plan.sheet.part.units


def _held_words(held: HeldAccount) -> str:
    """What holds the second side, and by which surface, if it grips one."""
    if not held.gripped_surface.startswith((BORE, OUTSIDE)):
        return held.name
    return f"{held.name}, by {surface_words(held.gripped_surface)}"


def _trues(account: Account, length_mm: Callable[[HeldAccount], float], units: Units, *, places: int) -> str:
    """A length of each second holding in which the lathe cuts."""
    return ", ".join(said(length_mm(held), units, places=places) for held in account.held if held.turned) or "-"


def _grams(mass_g: tuple[float, float]) -> str:
    least, most = (f"{mass:.0f}" for mass in mass_g)
    return f"{least} g" if least == most else f"{least} to {most} g"


def _against(account: Account, best: Account) -> str:
    if account is best:
        return "-"
    more = account.total_ms - best.total_ms
    sign = "-" if more < 0 else "+"
    return f"{sign}{minutes_text(abs(more))} ({sign}{100.0 * abs(more) / best.total_ms:.0f} %)"


def _force_words(account: Account) -> str:
    hardest = account.hardest
    return "-" if hardest is None else f"{hardest.force_n:.0f} N, {_step_words(hardest.step)}"


def _fewer_words(account: Account, best: Account) -> str:
    """In how many of its cuts a plan has less force than the best plan has in the same step."""
    if account is best:
        return "-"
    others = {cut.step: cut.force_n for cut in best.forces}
    same = [cut for cut in account.forces if cut.step in others]
    less = sum(round(cut.force_n) < round(others[cut.step]) for cut in same)
    return f"{less} of {len(same)} cuts"


def _load_words(load: LimitLoad | None) -> str:
    return "-" if load is None else f"{100.0 * load.share:.0f} %, {_step_words(load.step)}"


def _step_words(step: str) -> str:
    """Name of a step, of a drill's its own: ``"part off"``, ``"drill 10"``."""
    return surface_words(_PLACE_OF_DRILL.sub("", step))


def _weights(findings: Sequence[Finding]) -> str:
    counts = {word: sum(found.severity is severity for found in findings) for severity, word in WEIGHT.items()}
    return ", ".join(f"{count} {word}" for word, count in counts.items() if count or word != WEIGHT[Severity.STOP])


# side by side and stacked -------------------------------------------------------------------------------------------


def _differing(
    choices: Sequence[Choice], rows: dict[int, dict[str, str]], labels: Sequence[str], width: int
) -> Iterator[str]:
    if width < SIDE_BY_SIDE:
        for place, (number, option, _) in enumerate(choices):
            if place:
                yield "-" * width
            yield f" {number} {option.asked.value.upper()}"
            yield from _stacked(((label, rows[number].get(label, "-")) for label in labels), width)
        return
    column = (width - LABEL_COLUMN) // len(choices)
    heads = [f"{number} {option.asked.value.upper()}" for number, option, _ in choices]
    yield from _beside("", heads, column)
    for label in labels:
        yield from _beside(label, [rows[number].get(label, "-") for number, _, _ in choices], column)


def _beside(label: str, cells: Sequence[str], column: int) -> Iterator[str]:
    """A label and its cells, each wrapped in its own column."""
    wrapped = [_fitted(f" {label}", LABEL_COLUMN - 1), *(_fitted(cell, column - GAP) for cell in cells)]
    for place in range(max(map(len, wrapped))):
        pieces = [column_lines[place] if place < len(column_lines) else "" for column_lines in wrapped]
        yield (f"{pieces[0]:<{LABEL_COLUMN}}" + "".join(f"{piece:<{column}}" for piece in pieces[1:])).rstrip()


def _fitted(text: str, width: int) -> list[str]:
    """Lines of a cell, its first indent kept; a word too long for the column is broken, after a hyphen if it can be."""
    lead = " " * (len(text) - len(text.lstrip()))
    room = width - len(lead)
    words = (word if len(word) <= room else _parted(word, room) for word in text.split())
    return [f"{lead}{line}" for line in wrap(" ".join(words), width=room)] or [""]


def _parted(word: str, width: int) -> str:
    cut = word.rfind("-", 0, width) + 1
    return f"{word[:cut]} {word[cut:]}" if cut else word


def _stacked(cells: Iterable[Cell], width: int) -> Iterator[str]:
    for label, text in cells:
        first, *more = wrap(text, width=width - LABEL_COLUMN - GAP) or [""]
        yield f"{'':<{GAP}}{label.strip():<{LABEL_COLUMN}}{first}".rstrip()
        yield from (" " * (LABEL_COLUMN + GAP) + line for line in more)


def _hung(text: str, width: int) -> Iterator[str]:
    for line in wrap(text, width=width - HANGING):
        yield f"{'':<{HANGING}}{line}"


# what comes and goes ------------------------------------------------------------------------------------------------


def _about(number: int, option: Option, comparison: Comparison, width: int) -> Iterator[str]:
    """What was asked of an option; why there is none, or what comes and goes with it."""
    yield f" {number} {option.asked.value.upper()}"
    yield from _hung(plain(option.demand), width)
    if option.account is None:
        yield from _hung(f"NONE: {option.reason}", width)
        return
    best = comparison.best.account
    if best is None or option is comparison.best:
        return
    texts = tuple(_changes(option, option.account, best))
    for text in texts or ("no tool, finding or caution comes or goes",):
        yield from _hung(text, width)


def _changes(option: Option, mine: Account, best: Account) -> Iterator[str]:
    yield from _listed("tools more", (tool for tool in mine.tools if tool not in best.tools))
    yield from _listed("tools fewer", (tool for tool in best.tools if tool not in mine.tools))
    yield from (f"comes: {text}" for text in map(_finding_words, by_weight(option.findings_come)))
    yield from (f"goes: {text}" for text in map(_finding_words, by_weight(option.findings_go)))
    yield from (f"caution comes: {text}" for text in option.cautions_come)
    yield from (f"caution goes: {text}" for text in option.cautions_go)


def _listed(head: str, names: Iterable[str]) -> Iterator[str]:
    found = ", ".join(names)
    if found:
        yield f"{head}: {found}"


def _finding_words(finding: Finding) -> str:
    return f"{WEIGHT[finding.severity]} [{finding.code}] {place_words(finding.where, {})}: {finding.problem}"
