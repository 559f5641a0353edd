"""Plans side by side as text: what it says is what the accounts say, in 80 columns and in 40."""

from __future__ import annotations

import re
from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.domain.comparing import Account, Comparison
from handwheel.domain.errors import OutOfRangeError
from handwheel.planner.alternatives import alternatives
from handwheel.report.comparison_text import NO_PRICE, comparison_text
from handwheel.report.words import EXTRA_LETTERS
from tests.demo_plans import PAIRS, demo_part, demo_shop

WIDTHS = (40, 56, 79, 80, 120)


@cache
def compared(part: str, shop: str) -> Comparison:
    """Comparison of a demo part on a demo lathe, made once."""
    return alternatives(demo_part(part), demo_shop(shop))


def accounts(comparison: Comparison) -> list[Account]:
    """Accounts of the options that have a plan."""
    return [option.account for option in comparison.options if option.account is not None]


def flat(text: str) -> str:
    """The text on one line, however it was broken."""
    return " ".join(text.split())


def side_by_side(text: str) -> dict[str, list[str]]:
    """Cells of the rows that stand side by side, by their label; only the first line of each."""
    block = re.split(r"(?m)^[=-]+$", text)[2]
    rows: dict[str, list[str]] = {}
    for line in block.splitlines():
        if line.startswith((" ", "  ")) and line[:16].strip():
            rows[line[:16].strip()] = re.split(r"\s{2,}", line[16:].strip())
    return rows


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_no_line_is_longer_than_the_screen_and_every_letter_is_plain(part: str, shop: str, width: int) -> None:
    text = comparison_text(compared(part, shop), width=width)
    assert max(map(len, text.splitlines())) == width
    assert all(letter.isascii() or letter in EXTRA_LETTERS for letter in text)
    assert not any(line.endswith(" ") for line in text.splitlines())


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_every_option_is_told_with_its_number_and_what_was_asked_or_why_there_is_none(
    part: str, shop: str, width: int
) -> None:
    text = flat(comparison_text(compared(part, shop), width=width))
    for number, option in enumerate(compared(part, shop).options, start=1):
        assert f"{number} {option.asked.value.upper()} " in text
        assert flat(option.demand) in text
        assert option.account is not None or f"NONE: {option.reason[:30]}" in text
    assert NO_PRICE in text
    assert "--take" in text


def test_in_eighty_columns_they_stand_side_by_side_and_in_fewer_one_below_the_other() -> None:
    wide, narrow = (comparison_text(compared("bush", "metric-lathe"), width=width) for width in (80, 79))
    heads = ("1 BEST PLAN", "3 ANOTHER HOLDING", "4 GENTLER")
    assert any(all(head in line for head in heads) for line in wide.splitlines())
    assert not any(sum(head in line for head in heads) > 1 for line in narrow.splitlines())


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_the_minutes_side_by_side_are_those_of_the_accounts(part: str, shop: str) -> None:
    found = accounts(compared(part, shop))
    rows = side_by_side(comparison_text(compared(part, shop)))
    assert [float(cell) for cell in rows["minutes"]] == pytest.approx(
        [each.total_ms / 60_000 for each in found], abs=0.05
    )
    assert [float(cell) for cell in rows["cutting"]] == pytest.approx(
        [each.cutting_ms / 60_000 for each in found], abs=0.05
    )
    more = [float(cell.partition(" ")[0]) for cell in rows["against 1"][1:]]
    assert more == pytest.approx([(each.total_ms - found[0].total_ms) / 60_000 for each in found[1:]], abs=0.05)


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_forces_and_limits_side_by_side_are_the_largest_of_the_accounts(part: str, shop: str) -> None:
    found = accounts(compared(part, shop))
    rows = side_by_side(comparison_text(compared(part, shop)))
    told = [int(cell.partition(" N")[0]) for cell in rows["largest force"]]
    assert told == [round(max(cut.force_n for cut in each.forces)) for each in found]
    chatter = [int(cell.partition(" %")[0]) for cell in rows["of chatter"]]
    assert chatter == [
        round(100 * next(load.share for load in each.loads if load.limit == "chatter")) for each in found
    ]


def test_what_all_have_in_common_stands_once() -> None:
    text = comparison_text(compared("band", "inch-lathe"))
    assert text.count("titanium-1in") == 2  # among what is the same, and where it is left out
    assert "titanium-1in" in text[text.index("THE SAME IN ALL") :]


def test_what_comes_and_goes_is_told_with_its_weight_and_code() -> None:
    text = flat(comparison_text(compared("band", "metric-lathe")))
    assert "goes: note [jaw-lobes] soft jaws: the grip leaves lobes" in text
    assert "comes: WARNING [bar-cut] load:" in text
    assert "caution comes: A bar that stands out behind the spindle bends and whips" in text


def test_a_plan_that_stands_alone_is_told_in_full() -> None:
    whole = compared("bush", "inch-lathe")
    alone = replace(whole, options=(whole.best, *(each for each in whole.options if each.plan is None)))
    text = comparison_text(alone, width=40)
    assert "THE PLAN" in text
    assert "bronze-1-1/4in" in text
    assert whole.best.account is not None
    assert f"{whole.best.account.total_ms / 60_000.0:.1f}" in text


@pytest.mark.parametrize("width", [39, 201])
def test_a_width_that_nobody_can_read_is_refused(width: int) -> None:
    with pytest.raises(OutOfRangeError, match="width"):
        comparison_text(compared("bush", "inch-lathe"), width=width)
