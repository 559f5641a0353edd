"""The check-up through the service: what was typed, what is written into a shop file and what is left alone."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from handwheel.bench.checkup.entry import Field, Kind
from handwheel.bench.checkup.trials import TRIALS
from handwheel.domain.beliefs import SUBJECT_OF
from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.service import checkup
from handwheel.service.checkup_entry import read_entry
from handwheel.service.checkup_text import list_json, outcome_json, outcome_text, trial_json, trial_text
from handwheel.service.intake.beliefs_file import read_beliefs
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.templates import MARK, template_text

BELTS = Path(__file__).parents[1] / "shops" / "belts-computed.toml"
DAY = "2026-11-30"
FIELDS = (
    Field(key="before", says="a diameter", most=20),
    Field(key="marks", says="marks", kind=Kind.NUMBER, unit="marks", most=20),
    Field(key="angle", says="an angle", kind=Kind.NUMBER, unit="degrees"),
    Field(key="time", says="a time", kind=Kind.NUMBER, unit="s"),
    Field(key="metal", says="a metal", kind=Kind.METAL),
    Field(key="held", says="by what", kind=Kind.WORD),
)
SLACK = ("slide=cross_slide", "marks=4; 4.5; 5", "gauge=indicator")


@pytest.fixture
def shop_file(tmp_path: Path) -> Path:
    path = tmp_path / "my-shop.toml"
    path.write_text(template_text("small-metric"), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("texts", "key", "values"),
    [
        (["before=20.02", "before=20.03"], "before", ("20.02", "20.03")),
        (["before=20.02; 20,03 mm"], "before", ("20.02", "20.03")),
        (["before=20,02, 20,03"], "before", ("20.02", "20.03")),
        (["before=20.02,20.03"], "before", ("20.02", "20.03")),
        (["before=20,02"], "before", ("20.02",)),
        (["marks=2,3,4"], "marks", ("2", "3", "4")),
        (["before=0.5 in"], "before", ("12.7",)),
        (["before=1 1/2 in; 1 in"], "before", ("38.1", "25.4")),
        (["before=-0.01"], "before", ("-0.01",)),
        (["marks=10"], "marks", ("10",)),
        (["marks=4 1/2 marks; 5 marks"], "marks", ("4.5", "5")),
        (["angle=5°45'"], "angle", ("5.75",)),
        (["angle=5.75"], "angle", ("5.75",)),
        (["time=1/2 min"], "time", ("30",)),
        (["time=30,5"], "time", ("30.5",)),
    ],
)
def test_readings_are_read_as_lengths_and_numbers_elsewhere(
    texts: list[str], key: str, values: tuple[str, ...]
) -> None:
    entry = read_entry(texts, fields=FIELDS, where="trial", units=Units.MM)
    assert tuple(entry.numbers[key]) == tuple(Fraction(value) for value in values)


def test_a_length_without_a_unit_is_in_those_of_the_shop() -> None:
    assert read_entry(["before=1"], fields=FIELDS, where="trial", units=Units.INCH).all("before") == (25.4,)


def test_a_metal_goes_by_any_name_that_means_one() -> None:
    entry = read_entry(["metal=CW614N"], fields=FIELDS, where="trial", units=Units.MM)
    assert entry.word("metal") == "cu_cw614n"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("before", "write a key and its value"),
        ("before=", "write a key and its value"),
        ("after=20", 'found "after"; allowed before'),
        ("before=wide", "allowed a number and a unit"),
        ("before=1,234,567", "does the comma part thousands"),
        ("before=1,234", "does the comma part thousands"),
        ("before=3/16", "a fraction of what"),
        ("marks=ten", "allowed a number of marks"),
        ("marks=5 mm", "trial: marks"),
        ("metal=cheese", "metal"),
    ],
)
def test_what_cannot_be_read_is_told(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        read_entry([text], fields=FIELDS, where="trial", units=Units.MM)


def test_everything_that_cannot_be_read_is_told_at_once() -> None:
    with pytest.raises(InputError) as caught:
        read_entry(["before=wide", "after=20", "held=a", "held=b"], fields=FIELDS, where="trial", units=Units.MM)
    assert len(caught.value.problems) == 3


def test_slack_is_written_into_the_shop_file_and_its_mark_goes(shop_file: Path) -> None:
    before = shop_file.read_text(encoding="utf-8")
    written = checkup.write(checkup.judge("slack", shop_file, SLACK), shop_file)
    after = shop_file.read_text(encoding="utf-8")
    assert written is not None
    assert written.kept is not None
    assert written.kept.read_text(encoding="utf-8") == before
    changed = [line for line in after.splitlines() if line not in before.splitlines()]
    assert [line.strip() for line in changed] == ['slack = "0.125 mm"']
    assert float(read_shop(after, name="s").lathe.cross.slack_mm) == 0.125
    assert after.count(MARK) == before.count(MARK) - 1


def test_a_counted_speed_is_written_as_measured(shop_file: Path) -> None:
    texts = ("position=low belt, middle step", "turns=104", "seconds=30", "by=counter")
    checkup.write(checkup.judge("speed", shop_file, texts), shop_file)
    speed = read_shop(shop_file.read_text(encoding="utf-8"), name="s").lathe.speeds[1]
    assert (speed.rpm, speed.measured) == (208.0, True)


def test_a_counted_speed_overrides_one_worked_out_from_pulleys(tmp_path: Path) -> None:
    path = tmp_path / "belts.toml"
    path.write_text(BELTS.read_text(encoding="utf-8"), encoding="utf-8")
    shop = read_shop(path.read_text(encoding="utf-8"), name="belts.toml")
    computed = next(speed for speed in shop.lathe.speeds if speed.is_computed)
    texts = (f"position={computed.position}", f"turns={round(computed.rpm)}", "seconds=1 min", "by=counter")
    checkup.write(checkup.judge("speed", path, texts), path)
    again = read_shop(path.read_text(encoding="utf-8"), name="belts.toml")
    speed = next(speed for speed in again.lathe.speeds if speed.position == computed.position)
    assert (speed.rpm, speed.measured, speed.is_computed) == (float(round(computed.rpm)), True, False)


def test_what_was_heard_goes_to_the_end_of_the_shop_file_once_more_each_time(shop_file: Path) -> None:
    texts = ("tool=right-hand", "metal=st_c45", "quiet=0.5", "sang=0.8 mm", "stick_out=40", "diameter=1 in")
    before = shop_file.read_text(encoding="utf-8")
    checkup.write(checkup.judge("chatter", shop_file, texts), shop_file)
    checkup.write(checkup.judge("chatter", shop_file, ("tool=right-hand", "metal=st_c45", "quiet=0.6")), shop_file)
    after = shop_file.read_text(encoding="utf-8")
    assert after.startswith(before.rstrip("\n"))
    rows = read_shop(after, name="s").chatter
    assert [(row.depth_mm, row.chattered, row.dia_mm) for row in rows] == [
        (0.5, False, 25.4),
        (0.8, True, 25.4),
        (0.6, False, 0.0),
    ]


def test_what_has_no_key_in_the_shop_file_leaves_it_alone(shop_file: Path) -> None:
    texts = ("near=22.01", "far=22.03", "apart=80", "held=chuck", "gauge=micrometer-0-25")
    before = shop_file.read_bytes()
    assert checkup.write(checkup.judge("two-collars", shop_file, texts), shop_file) is None
    assert shop_file.read_bytes() == before


def test_a_question_proposes_nothing_to_write(shop_file: Path) -> None:
    texts = ("marks=10", "before=20", "after=19.625", "gauge=micrometer-0-25")
    before = shop_file.read_bytes()
    found = checkup.judge("trial-cut", shop_file, texts)
    assert checkup.write(found, shop_file) is None
    assert shop_file.read_bytes() == before
    assert "nothing is learned and nothing changed" in outcome_text(found, date=DAY, width=80)


def test_the_evidence_for_the_beliefs_is_toml_with_what_they_ask(shop_file: Path) -> None:
    found = checkup.judge("slack", shop_file, SLACK)
    rows = tomllib.loads("\n".join(checkup.evidence_lines(found.outcome.measured, trial="slack", date=DAY)))
    (row,) = rows["evidence"]
    assert (row["quantity"], row["slide"], str(row["date"])) == ("slack", "cross-slide", DAY)
    assert row["value"] == pytest.approx(0.1125)
    assert row["spread"] > 0
    assert row["from"] == "check-up: slack"


@pytest.mark.parametrize(
    ("trial", "texts"),
    [
        ("slack", SLACK),
        ("runout", ("on=bar", "low=0; 0; 0", "high=0.04; 0.05; 0.05", "gauge=indicator")),
        ("speed", ("position=low belt, middle step", "turns=104", "seconds=30", "by=counter")),
        ("angle", ("scale=5.5", "marks=300", "across=0.72; 0.72; 0.725", "gauge=indicator")),
        ("trial-cut", ("marks=200", "before=22.01; 22.02", "after=12.02; 12.01", "gauge=micrometer-0-25")),
        ("two-collars", ("near=22.01", "far=22.03", "apart=80", "held=chuck", "gauge=micrometer-0-25")),
        ("touch", ("tool=right-hand", "metal=al_6082", "skim=0", "touch=0.25; 0.5; 0.25; 0.75; 0.5")),
        (
            "spring-depths",
            (
                *("tool=right-hand", "metal=ss304", "light=5", "deep=20"),
                *("before=20", "after=19.09", "gauge=micrometer-0-25"),
            ),
        ),
    ],
)
def test_the_beliefs_take_what_was_measured_as_it_stands(trial: str, texts: tuple[str, ...], shop_file: Path) -> None:
    """By the reader of the beliefs file itself: quantity, thing, value and spread."""
    found = checkup.judge(trial, shop_file, texts)
    assert checkup.believe(found, shop_file, date=DAY) is not None
    path = shop_file.with_name("my-shop.beliefs.toml")
    (noted,) = read_beliefs(path.read_text(encoding="utf-8"), name="b").noted
    (one,) = found.outcome.measured
    assert (noted.quantity.value, noted.about.thing, noted.about.metal) == (one.quantity, one.thing, one.metal)
    assert noted.evidence.value == pytest.approx(one.value, rel=1e-5)
    assert noted.evidence.spread == pytest.approx(one.spread, rel=1e-5)
    assert SUBJECT_OF[noted.quantity].value == checkup.BELIEVED[one.quantity]


def test_the_list_says_what_is_still_as_the_starting_file_had_it(shop_file: Path) -> None:
    _, rows = checkup.listed(shop_file)
    by_key = {row.trial.key: row for row in rows}
    assert list(by_key) == list(TRIALS)
    assert len(by_key["slack"].unchecked) == 4
    assert not by_key["two-collars"].has_key
    checkup.write(checkup.judge("slack", shop_file, SLACK), shop_file)
    _, rows = checkup.listed(shop_file)
    assert len(next(row for row in rows if row.trial.key == "slack").unchecked) == 3
    assert [row["trial"] for row in json.loads(list_json(rows))["trials"]] == list(TRIALS)


@pytest.mark.parametrize("key", TRIALS)
def test_every_trial_is_told_in_a_narrow_window_and_as_json(key: str, shop_file: Path) -> None:
    trial, shop = checkup.trial_for(key, shop_file)
    text = trial_text(trial, shop, width=72)
    assert max(len(line) for line in text.splitlines()) <= 72
    told = json.loads(trial_json(trial, shop))
    assert [field["key"] for field in told["fields"]] == [each.key for each in trial.fields(shop)]
    assert " in)" not in trial_text(trial, shop, width=72, show="mm")


def test_a_trial_is_told_in_american_words_and_what_is_typed_stays(shop_file: Path) -> None:
    text = trial_text(*checkup.trial_for("slack", shop_file), width=72, words="american")
    assert "top_slide" in text
    assert "compound 0.080 mm" in text


def test_json_of_an_outcome_holds_readings_value_spread_and_changes(shop_file: Path) -> None:
    told = json.loads(outcome_json(checkup.judge("slack", shop_file, SLACK), date=DAY))
    assert told["read"]["marks"] == [4.0, 4.5, 5.0]
    assert told["measured"][0]["unit"] == "mm"
    assert told["changes"] == [['lathe.cross_slide.slack = "0.125 mm"']]
    assert told["questions"] == []
