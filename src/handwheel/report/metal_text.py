"""The catalogue of metals as text: the list, one metal with its sources, some of them side by side."""

from __future__ import annotations

from functools import partial
from itertools import chain, zip_longest
from typing import TYPE_CHECKING

from handwheel.data.catalogue import GRADE_ALONE, TITLES, CatalogueEntry, Claim, Topic, wear_rules
from handwheel.data.loader import COMMON_KEY, Standing, source
from handwheel.report.layout import caution_lines, labelled, require_width, table, wrap
from handwheel.report.wording import worded

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from handwheel.data.catalogue import WearRule
    from handwheel.planner.weight import PartWeight

LABEL_COLUMN = 15
GAP = "  "
MOST_OF_THREE_DIGITS = 999.5
"""Weights below are told in three digits, others in whole grams. [g]"""
MOST_SIDE_BY_SIDE = 3
"""More columns than this are too narrow to read on a terminal of 80."""
RULES_ELSEWHERE = "The rules on nickel, lead and cadmium stand below each metal told alone: handwheel metal NAME."
HOW_TO_ASK = (
    "handwheel metal NAME tells all of one, handwheel metal NAME NAME compares; a number such as 1.4305 will do."
)


def list_text(families: Mapping[str, Sequence[CatalogueEntry]], *, width: int) -> str:
    """Lay out one line for each metal, by family."""
    require_width(width)
    rows = [(entry.key, entry.name) for entry in chain.from_iterable(families.values())]
    lines = iter(table(rows, indent="   "))
    out = []
    for family, entries in families.items():
        out.append(f" {worded(family.upper())}")
        out += [next(lines)[:width] for _ in entries]
    out.append("")
    out += [f" {line}" for line in wrap(HOW_TO_ASK, width=width - 1)]
    return _text(out)


def metal_text(entry: CatalogueEntry, weight: PartWeight | None = None, *, width: int) -> str:
    """Lay out everything that is claimed of one metal, with the source of each claim, rules and citations."""
    require_width(width)
    return _text(_metal_lines(entry, weight, width=width))


def compare_text(entries: Sequence[CatalogueEntry], weights: Sequence[PartWeight] = (), *, width: int) -> str:
    """Lay out two or three metals side by side: what differs first, then what is alike, each claim with its source."""
    require_width(width)
    return _text(_compare_lines(entries, weights, width=width))


def _text(lines: Iterable[str]) -> str:
    return "".join(f"{line}\n" for line in lines)


# one metal ----------------------------------------------------------------------------------------------------------


def _metal_lines(entry: CatalogueEntry, weight: PartWeight | None, *, width: int) -> Iterator[str]:
    yield from (f" {line}" for line in wrap(f"{entry.name} ({entry.key})", width=width - 1))
    yield ""
    yield from caution_lines((GRADE_ALONE,), width=width)
    yield ""
    label = partial(labelled, width=width, column=LABEL_COLUMN)
    yield from label("family", entry.family or "not known")
    yield from label("called", entry.designations)
    yield from label("condition", entry.condition)
    if entry.may_be:
        yield from label("may be", "; ".join(entry.may_be))
        yield from label("to find out", entry.tell)
    if weight is not None:
        yield from label("weight", _weight_words(weight))
    for topic in Topic:
        claims = entry.of(topic)
        for place, said in enumerate(_with_sources(claims) or (entry.silence,)):
            yield from label("" if place else TITLES[topic], said)
    yield ""
    yield from _rule_lines(width=width)
    yield from _source_lines((*_keys(entry.claims), *(rule.source_key for rule in wear_rules())), width=width)


def _with_sources(claims: Sequence[Claim]) -> tuple[str, ...]:
    """Claims as texts, those of one source together."""
    by_tag: dict[str, list[str]] = {}
    for claim in claims:
        by_tag.setdefault(tag(claim.source_key, claim.standing, claim.place), []).append(claim.words)
    return tuple(f"{_in_a_row(words)} {found}" for found, words in by_tag.items())


def _in_a_row(words: Sequence[str]) -> str:
    """Put claims behind each other: a sentence ends with its own stop, anything else with a semicolon."""
    return " ".join(f"{said}{'' if said.endswith('.') or said is words[-1] else ';'}" for said in words)


def tag(key: str, standing: Standing, place: str = "") -> str:
    """What stands behind a claim, in brackets: source, standing, and where in it.

    Examples
    --------
    >>> tag("EN12163", Standing.FROM_MEMORY, "half hard rod"), tag("COMMON", Standing.COMMON_PRACTICE)
    ('[EN12163, from memory: half hard rod]', '[common practice]')
    """
    said = standing.value if key == COMMON_KEY else f"{key}, {standing.value}"
    return f"[{said}: {place}]" if place and key != COMMON_KEY else f"[{said}]"


def _weight_words(weight: PartWeight) -> str:
    return (
        f"{weight.part}: {_grams(weight.part_g)} as turned ({weight.part_mm3:.0f} mm3); "
        f"cut from a round of at least {_grams(weight.round_g)} (Ø {weight.round_dia_mm:.2f} x "
        f"{weight.round_length_mm:.2f} mm; facing, parting and cleaning up come on top). {_density_words(weight)}"
    )


def _density_words(weight: PartWeight) -> str:
    density = weight.density
    return f"Density {density.words} {tag(density.source_key, density.standing)}"


def _grams(ends: tuple[float, float]) -> str:
    low, high = (f"{end:.3g}" if end < MOST_OF_THREE_DIGITS else f"{end:.0f}" for end in ends)
    return f"{low} g" if low == high else f"{low} to {high} g"


# side by side -------------------------------------------------------------------------------------------------------


def _compare_lines(entries: Sequence[CatalogueEntry], weights: Sequence[PartWeight], *, width: int) -> Iterator[str]:
    columns = _Columns(len(entries), width=width)
    yield from columns.lines("", [entry.name for entry in entries])
    yield from columns.lines("", [f"({entry.key})" for entry in entries])
    yield ""
    yield from caution_lines((GRADE_ALONE,), width=width)
    if weights:
        yield ""
        yield from labelled("part", weights[0].part, width=width, column=LABEL_COLUMN)
        yield from columns.lines("weight", [_grams(weight.part_g) for weight in weights])
        yield from columns.lines("round", [f"at least {_grams(weight.round_g)}" for weight in weights])
    differing = tuple(topic for topic in Topic if differs(entries, topic))
    yield ""
    yield " WHAT DIFFERS"
    for topic in differing:
        yield from columns.lines(TITLES[topic], [_cell(entry, topic) for entry in entries])
        yield ""
    alike = [topic for topic in Topic if topic not in differing]
    if alike:
        yield " ALIKE"
        for topic in alike:
            yield from labelled(TITLES[topic], _cell(entries[0], topic), width=width, column=LABEL_COLUMN)
        yield ""
    yield from _source_lines((key for entry in entries for key in _keys(entry.claims)), width=width)
    yield ""
    yield from (f" {line}" for line in wrap(RULES_ELSEWHERE, width=width - 1))


def differs(entries: Sequence[CatalogueEntry], topic: Topic) -> bool:
    """Whether the metals are not alike in what the tables claim on a topic, its sources apart."""
    return len({tuple(claim.words for claim in entry.of(topic)) for entry in entries}) > 1


def _cell(entry: CatalogueEntry, topic: Topic) -> str:
    by_tag: dict[str, list[str]] = {}
    for claim in entry.of(topic):
        by_tag.setdefault(tag(claim.source_key, claim.standing), []).append(claim.words)
    return " ".join(f"{_in_a_row(words)} {found}" for found, words in by_tag.items()) or entry.silence


class _Columns:
    """Texts beside each other, each wrapped in a column of its own."""

    def __init__(self, count: int, *, width: int) -> None:
        self._each = (width - LABEL_COLUMN - len(GAP) * (count - 1)) // count

    def lines(self, label: str, cells: Sequence[str]) -> Iterator[str]:
        """Lines of one row."""
        wrapped = [wrap(cell, width=self._each) for cell in cells]
        for place, pieces in enumerate(zip_longest(*wrapped, fillvalue="")):
            head = f" {label}" if place == 0 else ""
            body = GAP.join(f"{piece:<{self._each}}" for piece in pieces)
            yield f"{head:<{LABEL_COLUMN}}{body}".rstrip()


# rules and sources --------------------------------------------------------------------------------------------------


def _rule_lines(*, width: int) -> Iterator[str]:
    yield " RULES ON WHAT IS WORN, as far as they were read; local law comes first"
    for rule in wear_rules():
        yield from labelled("-", _rule_words(rule), width=width, column=3)
    yield ""


def _rule_words(rule: WearRule) -> str:
    limit = f" {rule.limit.least:g} {rule.limit.unit}." if rule.limit is not None else ""
    found = tag(rule.source_key, rule.standing, rule.place)
    return f"{rule.rule}:{limit} {rule.text} Edition: {rule.edition}. {found}"


def _keys(claims: Iterable[Claim]) -> Iterator[str]:
    return (claim.source_key for claim in claims)


def _source_lines(keys: Iterable[str], *, width: int) -> Iterator[str]:
    yield " SOURCES"
    for key in sorted(set(keys) - {COMMON_KEY}):
        found = source(key)
        edition = "" if found.edition in {"none", "not recorded"} else f", {found.edition}"
        yield from labelled(key, f"{found.citation}{edition} ({found.note})", width=width, column=LABEL_COLUMN)
    yield from labelled("[common practice]", "a convention of the workshop, no source", width=width, column=20)
