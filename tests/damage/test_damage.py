"""Damaged files are refused with a place or read exactly as they say: a slice of what the command tries."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from handwheel.domain.errors import InputError
from handwheel.domain.part import Part
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake import lengths, table
from handwheel.service.intake.part_file import read_part, read_part_file
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.intake.toml_text import parse_toml
from tests.damage import judge as judging
from tests.damage.damages import DAMAGES, KEY
from tests.damage.judge import Fate, judge
from tests.damage.part_meaning import part_facts
from tests.damage.run import SOURCES, tried
from tests.intake_files import PART, problems_of, spoiled

SLICE = 2 * len(DAMAGES) * len(SOURCES)


def test_damaged_files_are_refused_with_a_place_or_read_exactly_as_they_say(tmp_path: Path) -> None:
    every = list(tried(range(SLICE), seed=0, folder=tmp_path))
    faults = [f"{one.number}, {one.source}, {one.damage}: {one.outcome.why}" for one in every if one.outcome.why]
    assert not faults, "\n".join(faults)
    fates = Counter(one.outcome.fate for one in every)
    assert fates[Fate.REFUSED] > SLICE / 3  # or the damages damage nothing
    assert fates[Fate.RIGHT] > SLICE / 10  # or nothing is compared


@pytest.mark.parametrize("name", [*DEMO_PARTS, *DEMO_SHOPS])
def test_the_second_reader_knows_every_key_of_the_demo_files(name: str, tmp_path: Path) -> None:
    outcome = judge(demo_text(name).encode(), tmp_path / "file.toml", whole=demo_text(name), is_part=name in DEMO_PARTS)
    assert outcome.fate is Fate.RIGHT, outcome.why


LEGS = ("leg along the axis", "leg across the axis")
SAID_BY = {
    "bore": ["bore diameter"],
    "outside": ["outside diameter"],
    "width": ["back-face width"],
    "edges": [
        f"{edge}-edge {leg}" for edge in ("front-outer", "front-inner", "back-outer", "back-inner") for leg in LEGS
    ],
}
"""Sizes that a table of the demo part can change, by their names in `part_facts`."""


def test_another_digit_changes_the_size_in_whose_table_it_stands_and_nothing_else() -> None:
    """Every digit of every table of the demo part, put up by one; no second reader is needed for this."""
    text = demo_text("band")
    whole = part_facts(read_part(text, name="band.toml"))
    table, changed_by_table = "", Counter[str]()
    lines = text.split("\n")
    for number, line in enumerate(lines):
        table = line.strip("[]") if line.startswith("[") else table
        for place, sign in enumerate(line.partition("#")[0]):
            if table and sign.isdigit():
                other = f"{line[:place]}{(int(sign) + 1) % 10}{line[place + 1 :]}"
                changed = _facts("\n".join((*lines[:number], other, *lines[number + 1 :])))
                differing = {name for name in changed if changed[name] != whole[name]}
                assert differing <= set(SAID_BY[table]), other
                assert differing or not changed, other
                changed_by_table[table] += bool(changed)
    assert set(changed_by_table) == set(SAID_BY)
    assert min(changed_by_table.values()) >= 3


def _facts(text: str) -> dict[str, object]:
    """What is read of a part; nothing if it is refused."""
    try:
        return part_facts(read_part(text, name="band.toml"))
    except InputError:
        return {}


def test_no_key_can_be_misspelt_unseen() -> None:
    """Every key of the demo files, letters left out: each in turn in a part, the middle one in a shop."""
    for name in (*DEMO_PARTS, *DEMO_SHOPS):
        text = demo_text(name)
        for found in {match[0]: match for match in KEY.finditer(text)}.values():
            middle = len(found[0]) // 2
            for place in range(len(found[0])) if name in DEMO_PARTS else (middle,):
                key = found[0][:place] + found[0][place + 1 :]
                spoilt = f"{text[: found.start()]}{key}{text[found.end() :]}"
                reader = read_part if name in DEMO_PARTS else read_shop
                assert problems_of(lambda: reader(spoilt, name=name)), f"{name}: {found[0]} as {key}"  # noqa: B023 - called at once


# -- the judge sees what it must see ------------------------------------------------------------------------


def _shifted(path: Path) -> Part:
    """Part with the first of its sizes read a thousandth of a millimetre too large."""
    part = read_part_file(path)
    first, *rest = part.sizes
    size = replace(first.size, upper=first.size.upper + Fraction(1, 1000))
    return replace(part, sizes=(replace(first, size=size), *rest))


def _one_more(path: Path) -> Part:
    part = read_part_file(path)
    return replace(part, quantity=part.quantity + 1)


def _failing(path: Path) -> Part:
    msg = f"{path}"
    raise KeyError(msg)


@pytest.mark.parametrize("reader", [_shifted, _one_more, _failing])
def test_a_part_that_is_read_otherwise_than_it_says_is_a_fault(
    reader: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(judging, "read_part_file", reader)
    assert judge(PART.encode(), tmp_path / "x.toml", whole=None, is_part=True).fate is Fate.FAULT


def test_a_wrong_unit_in_the_intake_is_a_fault_of_the_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(lengths.LENGTH_UNITS, "in", Fraction(25))
    outcome = judge(demo_text("inch-lathe").encode(), tmp_path / "x.toml", whole=None, is_part=False)
    assert outcome.fate is Fate.FAULT
    assert "says 1905/100" in outcome.why or "381/20" in outcome.why


def test_a_key_that_nobody_asks_for_is_a_fault_if_it_is_let_through(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(table.Table, "close", lambda _: True)
    text = spoiled(PART, ("plus_minus = 0.1", "plus_minus = 0.1\ncolour = 3"))
    outcome = judge(text.encode(), tmp_path / "x.toml", whole=None, is_part=True)
    assert outcome.fate is Fate.FAULT
    assert "colour" in outcome.why


def test_a_refusal_of_a_file_that_says_the_same_as_before_is_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(judging, "read_part_file", lambda _: read_part("x =", name="x.toml"))
    outcome = judge(f"# more\n{PART}".encode(), tmp_path / "x.toml", whole=PART, is_part=True)
    assert outcome.fate is Fate.FAULT
    assert "though it says what it said before" in outcome.why


# -- found by damage ----------------------------------------------------------------------------------------


def test_found_line_ends_doubled_twice_are_no_toml_and_are_refused() -> None:
    """Two repairs of line ends, one after the other, let a stray carriage return through."""
    (problem,) = problems_of(lambda: parse_toml("a = 1\r\r\nb = 2", name="x.toml"))
    assert 'save the file with line ends "LF" or "CRLF"' in problem
