"""What a file may call its metal: a key, or a name that means one; what means several is asked back."""

from __future__ import annotations

import pytest

from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop
from tests.intake_files import PART, problems_of


def part_of(word: str) -> str:
    before, after = PART.split("metal = ")
    return f"{before}metal = {word}\n{after.partition(chr(10))[2]}"


@pytest.mark.parametrize(
    ("word", "key"),
    [
        ("ti_gr5", "ti_gr5"),
        ("304", "ss304"),
        ("1.4404", "ss316l"),
        ("titanium grade 5", "ti_gr5"),
        ("Mild Steel", "st_s235"),
        ("sterling silver", "ag925"),
        ("6061", "al_6082"),
        ("Unknown  Steel", "unknown_steel"),
    ],
)
def test_a_name_that_means_one_metal_is_read(word: str, key: str) -> None:
    assert read_part(part_of(f'"{word}"'), name="ring.toml").material == key
    shop = read_shop(demo_text("metric-lathe").replace('"ti_gr2"', f'"{word}"'), name="shop.toml")
    assert key in {bar.material for bar in shop.bars}


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ('"brass"', 'which one? Write "cu_cw614n" (Free-cutting brass CW614N / C36000), "cu_cw508l" '),
        ('"brass"', ', or "unknown brass" if nobody knows'),
        ('"titanium"', 'which one? Write "ti_gr2" ('),
        ('"stainles"', 'did you mean "'),
        ('"cu_cw307"', 'did you mean "cu_cw307g"?'),
        ('"wood"', "handwheel metal alone lists all of them"),
        ("304", "found 304; "),
        ("304", "write it in quotes"),
    ],
)
def test_a_word_that_means_several_metals_or_none_is_asked_back_in_few_words(word: str, told: str) -> None:
    (problem,) = problems_of(lambda: read_part(part_of(word), name="ring.toml"))
    assert problem.startswith("ring.toml: line ")
    assert "metal: found " in problem
    assert told in problem
    assert len(problem) < 500


def test_a_metal_that_is_missing_is_told_with_an_example() -> None:
    (problem,) = problems_of(lambda: read_part(part_of("").replace("metal = \n", ""), name="ring.toml"))
    assert 'metal: found nothing; allowed a key, name or number that "handwheel metal" lists' in problem
    assert 'write metal = "ss304"' in problem
