"""The command ``beliefs`` as a person meets it, and plans that go by what was learned and remember it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from msgspec import UNSET
from msgspec.structs import replace

from handwheel import check_plan, read_part, read_plan, read_shop, sheet_text
from handwheel.check.replay import check_sheet
from handwheel.cli.main import run
from handwheel.domain.beliefs import About, BeliefChange, Evidence, Noted, Quantity
from handwheel.domain.errors import InputError
from handwheel.domain.plan import Plan
from handwheel.planner.uses import used_of_shop
from handwheel.service import believing
from handwheel.service.beliefs import note_evidence
from handwheel.service.demo import demo_text
from handwheel.service.intake.beliefs_file import read_beliefs
from handwheel.service.jobs import read_both, read_for

SHOP, BELIEFS, PART = "metric-lathe.toml", "metric-lathe.beliefs.toml", "bush.toml"
SPRING = "spring share: boring-12 in ti_gr2 = 0.08 +- 0.01"
LEARNED = (
    "lead error: cross-slide = 0.004 +- 0.0005",
    "spindle speed: low range, lever 3 = 201 +- 1",
    "time: tool_change_s = 90 +- 10",
)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the commands run, with a shop and a part; it is 30 November 2026."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(believing, "today", lambda: "2026-11-30")
    monkeypatch.setattr("handwheel.service.beliefs.today", lambda: "2026-11-30")
    for name in (SHOP, PART):
        (tmp_path / name).write_text(demo_text(name.removesuffix(".toml")), encoding="utf-8")
    return tmp_path


def beliefs(*arguments: str) -> int:
    return run(["beliefs", "--shop", SHOP, *arguments])


def changes_of(plan: Plan) -> tuple[BeliefChange, ...]:
    assert plan.believed is not UNSET
    return plan.believed.changes


def learn(*said: str) -> None:
    assert beliefs(*(piece for one in said for piece in ("--add", one)), "--date", "2026-11-01") == 0


def test_without_a_file_nothing_was_learned(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    assert beliefs() == 0
    assert capsys.readouterr().out.startswith("Nothing was learned at this lathe yet")
    assert not (folder / BELIEFS).exists()


def test_each_belief_is_shown_with_what_it_follows_from(capsys: pytest.CaptureFixture[str]) -> None:
    learn(SPRING)
    capsys.readouterr()
    assert beliefs() == 0
    out = capsys.readouterr().out
    for said in (
        "spring share of boring-12 in titanium",
        "beforehand: 14 %, give or take 8 % (common practice)",
        "1 piece of evidence; the newest is 29 days old",
        "at the bench: how much deeper to set a cut",
        "no. 1: 2026-11-01, by hand: 8 %, give or take 1 %",
    ):
        assert said in out


def test_what_was_heard_of_chatter_is_told_too(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    row = '\n[[chatter]]\ntool = "right-hand-hss"\nmetal = "ti_gr2"\ndepth = 0.3\nchattered = true\n'
    (folder / SHOP).write_text(demo_text("metric-lathe") + row, encoding="utf-8")
    assert beliefs() == 0
    assert "limit of chatter, turning and facing\n" in capsys.readouterr().out


def test_what_a_program_found_is_noted_beside_the_shop(folder: Path) -> None:
    evidence = Evidence(date="2026-11-29", what="plan 7", value=0.09, spread=0.01)
    noted = Noted(quantity=Quantity.SPRING, about=About(thing="boring-12", metal="ti_gr2"), evidence=evidence)
    note_evidence(folder / SHOP, [noted])
    assert read_beliefs((folder / BELIEFS).read_text(encoding="utf-8"), name=BELIEFS).noted == (noted,)
    with pytest.raises(InputError, match="no tool of shop"):
        note_evidence(folder / SHOP, [replace(noted, about=About(thing="nothing"))])


def test_an_event_fades_and_is_taken_back(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    learn(SPRING)
    text = (folder / BELIEFS).read_bytes()
    capsys.readouterr()
    spreads = []
    for arguments in ((), ("--event", "edge changed: boring-12", "--note", "new insert"), ("--drop-event", "1")):
        assert beliefs(*arguments, "--json") == 0
        spreads.append(json.loads(capsys.readouterr().out)["beliefs"][0]["spread"])
    assert spreads[1] > spreads[0] == spreads[2]
    assert (folder / BELIEFS).read_bytes() == text


def test_a_withdrawn_piece_stays_and_comes_back(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    learn(SPRING)
    text = (folder / BELIEFS).read_bytes()
    assert beliefs("--withdraw", "1") == 0
    out = capsys.readouterr().out
    assert "no evidence counts" in out
    assert "give or take 1 %, withdrawn" in out
    assert beliefs("--restore", "1") == 0
    assert (folder / BELIEFS).read_bytes() == text


def test_json_holds_prior_evidence_and_what_the_planner_does(capsys: pytest.CaptureFixture[str]) -> None:
    learn(SPRING, *LEARNED)
    capsys.readouterr()
    assert beliefs("--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert [belief["quantity"] for belief in told["beliefs"]] == ["spring share", "lead error", "time", "spindle speed"]
    lead = told["beliefs"][1]
    assert (lead["planner"], lead["change"]["was"], lead["change"]["now"]) == ("taken", "1/1", "251/250")
    assert told["beliefs"][0]["prior"]["standing"] == "common practice"
    assert told["beliefs"][0]["evidence"][0]["what"] == "by hand"


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--add", "spring share: nothing = 0.1 +- 0.1"), "'nothing' is no tool of shop"),
        (("--add", SPRING, "--date", "2026-12-24"), "later than today"),
        (("--add", SPRING, "--date", "Christmas"), "--date: got 'Christmas'"),
        (("--event", "edge changed: nothing"), "'nothing' is no tool; allowed: 'right-hand-carbide'"),
        (("--event", "edge blunted: boring-12"), "--event: found 'edge blunted'"),
        (("--withdraw", "1"), "found no evidence no. 1"),
        (("--note", "so"), "go with --add or --event"),
    ],
)
def test_what_will_not_do_is_told_and_nothing_is_written(
    arguments: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    assert beliefs(*arguments) == 2
    assert told in " ".join(capsys.readouterr().err.split())
    assert not (folder / BELIEFS).exists()


def test_a_plan_goes_by_what_was_learned_and_keeps_it(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Lead 4 mm and 0.4 % (4.016 mm by the posterior), 201 turns a minute, and times; the check agrees."""
    plain = ["plan", PART, "--shop", SHOP, "--out", "plain"]
    assert run(plain) == 0
    learn(*LEARNED)
    capsys.readouterr()
    assert run(["plan", PART, "--shop", SHOP, "--out", "learned"]) == 0
    assert "[beliefs-used; BELIEFS]" in " ".join(capsys.readouterr().out.split())
    bare, taught = (read_plan(folder / name / "plan.json") for name in ("plain", "learned"))
    of_file = read_shop(folder / SHOP)
    assert taught.uses == used_of_shop(taught.sheet, of_file)
    assert taught.id != bare.id
    assert {change.quantity.value for change in changes_of(taught)} == {"lead error", "time", "spindle speed"}
    assert {reason.standing for reason in taught.reasons if reason.source_key == "BELIEFS"} == {"as learned"}
    assert read_for(folder / "learned" / "plan.json", folder / SHOP)[1].lathe.speeds[2].rpm == 201.0


def test_what_is_learned_later_does_not_void_a_plan(folder: Path) -> None:
    learn(*LEARNED)
    assert run(["plan", PART, "--shop", SHOP]) == 0
    learn("lead error: cross-slide = -0.004 +- 0.0005", "slack: cross-slide = 0.3 +- 0.01")
    assert run(["check", "plan.json", "--shop", SHOP]) == 0
    (folder / BELIEFS).unlink()
    assert run(["check", "plan.json", "--shop", SHOP]) == 0
    assert run(["explain", "plan.json", "--shop", SHOP]) == 0
    plan, shop = read_plan(folder / "plan.json"), read_shop(folder / SHOP)
    assert check_plan(plan, shop).ok
    assert "beliefs-used" in sheet_text(plan, shop)


def test_the_same_sheet_fails_where_the_screw_is_taken_as_the_file_has_it(folder: Path) -> None:
    """Otherwise the overlay would have changed nothing that the check can see."""
    learn("lead error: cross-slide = 0.016 +- 0.0002")
    assert run(["plan", PART, "--shop", SHOP]) == 0
    plan, shop = read_plan(folder / "plan.json"), read_shop(folder / SHOP)
    assert check_plan(plan, shop).ok
    assert not check_sheet(plan.sheet, shop).ok


def test_a_plan_without_beliefs_is_byte_for_byte_the_one_it_was(folder: Path) -> None:
    assert run(["plan", PART, "--shop", SHOP, "--out", "none"]) == 0
    (folder / BELIEFS).write_text("# nothing yet\n", encoding="utf-8")
    assert run(["plan", PART, "--shop", SHOP, "--out", "empty"]) == 0
    learn("taper: carriage = 0.0002 +- 0.0001")
    assert run(["plan", PART, "--shop", SHOP, "--out", "bench"]) == 0
    first, *others = ((folder / name / "plan.json").read_bytes() for name in ("none", "empty", "bench"))
    assert others == [first, first]
    assert b"believed" not in first


def test_another_beliefs_file_is_taken_and_one_that_is_missing_is_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert beliefs("--beliefs", "other.toml", "--add", LEARNED[2]) == 0
    assert (folder / "other.toml").exists()
    assert run(["plan", PART, "--shop", SHOP, "--beliefs", "other.toml"]) == 0
    assert "was 60 s" in " ".join(capsys.readouterr().out.split())
    assert run(["plan", PART, "--shop", SHOP, "--beliefs", "lost.toml"]) == 2
    assert "lost.toml: is not there" in capsys.readouterr().err


def test_a_plan_taken_from_those_compared_goes_by_beliefs_too(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", PART, "--shop", SHOP, "--compare", "--json"]) == 0
    plain = json.loads(capsys.readouterr().out)
    learn(LEARNED[2])
    capsys.readouterr()
    assert run(["plan", PART, "--shop", SHOP, "--compare", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["options"][0]["plan"] != plain["options"][0]["plan"]
    assert run(["plan", PART, "--shop", SHOP, "--take", "1"]) == 0
    (change,) = changes_of(read_plan(folder / "plan.json"))
    assert change.thing == "tool_change_s"


def test_a_loss_from_trial_is_the_one_that_was_learned(folder: Path) -> None:
    text = demo_text("bush").replace("[outside]", '[outside]\nfinish = "polished"\nloss = "from trial"')
    (folder / PART).write_text(text, encoding="utf-8")
    metal = read_both_metal(folder)
    with pytest.raises(InputError, match=r"once the shop has made a trial .*handwheel beliefs --shop SHOP --add"):
        read_both(folder / PART, folder / SHOP)
    learn(f"polish loss: polished in {metal} = 0.008 +- 0.001")
    part, _ = read_both(folder / PART, folder / SHOP)
    (size,) = (feature.size for feature in part.sizes if feature.surface == "outside" and feature.size.finishing_change)
    assert float(size.finishing_change) == pytest.approx(-0.016)


def read_both_metal(folder: Path) -> str:
    (folder / "plain.toml").write_text(demo_text("bush"), encoding="utf-8")
    return read_part(folder / "plain.toml").material


@pytest.mark.parametrize(
    "text",
    ['[[evidence]]\nquantity = "spring share"\n', "value = nan\n", "[[event]]\n", "\x00", "a = 1" * 500],
)
def test_a_broken_file_is_told_and_plans_nothing(text: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / BELIEFS).write_text(text, encoding="utf-8")
    for arguments in (["plan", PART, "--shop", SHOP], ["beliefs", "--shop", SHOP]):
        assert run(arguments) == 2
        assert BELIEFS in capsys.readouterr().err
    assert not (folder / "plan.json").exists()


def test_a_share_may_be_typed_in_per_cent(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    learn("spring share: boring-12 in ti_gr2 = 8,5 % +- 1 %")
    capsys.readouterr()
    text = (folder / BELIEFS).read_text(encoding="utf-8")
    assert "value = 0.085" in text
    assert "spread = 0.01" in text


def test_a_length_in_per_cent_is_told_with_its_argument(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert beliefs("--add", "slack: cross-slide = 12 % +- 1 %") == 2
    assert "--add: found '12 %'; slack is in mm, no share; write it in mm" in " ".join(capsys.readouterr().err.split())
    assert not (folder / BELIEFS).exists()
