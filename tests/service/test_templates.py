"""Starting files: each reads, gives plans, explains its values, and marks what nobody has measured."""

from __future__ import annotations

import re
import tomllib

import pytest

from handwheel.domain.part import Units
from handwheel.service.demo import DEMO_SHOPS, demo_text
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.jobs import plan_for
from handwheel.service.rewriting import rewritten
from handwheel.service.schemas.key_words import words_of
from handwheel.service.templates import (
    MARK,
    NEVER_MARKED,
    TEMPLATES,
    commented,
    confirmed,
    left_to_check,
    template_text,
)
from tests.shops import part_of

PARTS = ("aluminium-collar", "brass-bush", "inch-sleeve", "steel-spacer")
"""Small parts of metals that every template has a bar of."""
TEXTS = {name: template_text(name) for name in TEMPLATES}


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_reads_and_comes_back_byte_for_byte(name: str) -> None:
    assert rewritten(TEXTS[name], {}, read=read_shop, name=name) == TEXTS[name]


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_gives_a_plan_that_passes_the_check(name: str, part: str) -> None:
    plan, _, report = plan_for(part_of(part), read_shop(TEXTS[name], name=name))
    assert report.ok
    assert plan.sheet.acts


def test_the_templates_are_classes_of_lathe_not_one_lathe() -> None:
    shops = {name: read_shop(text, name=name) for name, text in TEXTS.items()}
    assert {shop.units for shop in shops.values()} == {Units.MM, Units.INCH}
    assert len({shop.lathe.cross.dial for shop in shops.values()}) >= 4
    assert shops["toolroom"].lathe.cross.readout_step_mm is not None
    assert shops["mid-metric"].lathe.feeds_along
    assert not shops["small-metric"].lathe.feeds_along
    assert shops["old-belt"].lathe.nose.value == "threaded"


@pytest.mark.parametrize("name", TEMPLATES)
def test_engraving_and_screw_agree_in_a_template(name: str) -> None:
    lathe = read_shop(TEXTS[name], name=name).lathe
    slides = (lathe.cross, lathe.top, lathe.carriage, lathe.tailstock.quill)
    assert all(slide.dial.engraving_agrees for slide in slides if slide.dial is not None)


def lengths_without_unit(text: str) -> list[str]:
    """Keys of bare numbers whose words in the schema give the file's units."""
    keys = (
        "lead",
        "engraved",
        "slack",
        "travel",
        "per_turn",
        "diameter",
        "length",
        "reach",
        "width",
        "smallest",
        "largest",
    )
    return [line for line in text.splitlines() if re.match(rf"({'|'.join(keys)}) = [0-9]", line)]


@pytest.mark.parametrize("name", TEMPLATES)
def test_every_length_names_its_unit_so_that_the_units_can_be_chosen(name: str) -> None:
    text = TEXTS[name]
    assert lengths_without_unit(text) == []
    other = "inch" if 'units = "mm"' in text else "mm"
    changed = rewritten(text, {"units": other}, read=read_shop, name=name)
    one, two = read_shop(text, name=name), read_shop(changed, name=name)
    assert one.lathe == two.lathe
    assert (one.tools, one.drills, one.bars, one.gauges) == (two.tools, two.drills, two.bars, two.gauges)


def test_a_bare_length_would_be_found() -> None:
    assert lengths_without_unit('lead = "1 mm"\nslack = 0.1\n') == ["slack = 0.1"]


@pytest.mark.parametrize("name", TEMPLATES)
def test_above_every_value_of_the_lathe_stands_what_it_is(name: str) -> None:
    before, path, is_again = "", "", False
    for line in TEXTS[name].partition("\n[[tool]]")[0].splitlines():
        if heading := re.fullmatch(r"(\[+)([a-z_.]+)\]+", line):
            is_again = heading[1] == "[[" and path == heading[2]
            path = heading[2]
        elif re.match(r"[a-z_]+ = ", line) and path and not is_again:
            assert before.startswith("# "), line
        before = line if not re.match(r"[a-z_]+ = ", line) else ""


def test_words_are_told_in_full_once_and_briefly_after_that() -> None:
    lead = words_of("shop", "lathe.cross_slide.dial.lead")
    lines = TEXTS["small-metric"].splitlines()
    assert sum(line.startswith(f"# {lead.says}") for line in lines) == 3
    assert sum("ten turns one way" in line for line in lines) == 1
    assert sum(line == "# Width of the shank along the bed. Measure." for line in lines) == 1


@pytest.mark.parametrize("name", TEMPLATES)
def test_comments_fit_a_terminal(name: str) -> None:
    told = [line for line in TEXTS[name].splitlines() if line.startswith("#")]
    assert max(map(len, told)) <= 80


@pytest.mark.parametrize("name", TEMPLATES)
def test_every_value_is_marked_but_names_and_kinds(name: str) -> None:
    for line in TEXTS[name].splitlines():
        if key := re.match(r"([a-z_]+) = ", line):
            assert line.endswith(f"  # {MARK}") is (key[1] not in NEVER_MARKED), line
    assert len(left_to_check(TEXTS[name])) == TEXTS[name].count(f"# {MARK}")


def test_a_value_that_somebody_gave_loses_its_mark_and_another_comment_stays() -> None:
    text = TEXTS["small-metric"]
    given = confirmed(text, ["lathe.motor_power_w", "tool[blade].reach"], name="x")
    assert set(left_to_check(text)) - set(left_to_check(given)) == {
        "lathe.motor_power_w = 400",
        'tool[blade].reach = "14 mm"',
    }
    own = demo_text(DEMO_SHOPS[0])
    assert confirmed(own, ["lathe.spindle_bore"], name="x") == own


def test_a_mark_is_found_however_the_line_is_written() -> None:
    text = f'[[tool]]\nid = "a#1"\n  reach = "3 mm" # {MARK}\n[lathe]\nx = "#"  # {MARK}\ny = 3 # mine\n'
    assert left_to_check(text) == ('tool[a#1].reach = "3 mm"', 'lathe.x = "#"')


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_name_holds_no_size_that_an_answer_could_make_untrue(name: str) -> None:
    """A gauge's range is its name: it is asked for as a whole."""
    shop = read_shop(TEXTS[name], name=name)
    named = [shop.lathe.chuck.name, *(tool.name for tool in shop.tools), *(held.name for held in shop.holdings)]
    assert [words for words in named if re.search(r"[0-9]\s*(mm|in)\b", words)] == []


def test_an_unknown_template_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        template_text("huge")


def test_comments_change_no_value() -> None:
    bare = '[lathe]\nname = "x"\n\n[[lathe.speed]]\nrpm = 70\n\n[[lathe.speed]]\nrpm = 115\n'
    assert tomllib.loads(commented(bare)) == tomllib.loads(bare)
