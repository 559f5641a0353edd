"""The command ``bench`` as a person at the lathe meets it, and a script: talk, journal, status, kills."""

from __future__ import annotations

import io
import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace

from handwheel.cli.main import run
from handwheel.domain.acts import Move
from handwheel.report.steps import act_numbers
from handwheel.service.bench_journal import read_journal
from handwheel.service.codec import plan_to_json
from handwheel.service.demo import DEMO_SHOPS, demo_text
from tests.demo_plans import demo_plan
from tests.service.test_bench_walk import odd_job
from tests.shops import shop_path

NARROW = 80


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the commands run, with the plan of the bush on the metric lathe and the shops of the demo."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plan.json").write_text(plan_to_json(demo_plan("bush", "metric-lathe")), encoding="utf-8")
    for name in DEMO_SHOPS:
        (tmp_path / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    return tmp_path


BENCH = ("bench", "plan.json", "--shop", "metric-lathe.toml")


def talk(monkeypatch: pytest.MonkeyPatch, *lines: str, options: tuple[str, ...] = ()) -> int:
    """Type lines, then end the input; return the exit status."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    return run([*BENCH, *options])


def test_one_act_at_a_time_is_shown_as_on_the_sheet(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert talk(monkeypatch, "", "", "", "q") == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= NARROW
    assert out.startswith("guide bush, lamp hoist, plan ")
    assert "!! Local rules, the makers' manuals and trained supervision come first." in out
    assert [line.split()[0] for line in out.splitlines() if re.match(r" {1,3}\d+\.\d+ \w", line)] == [
        "1.1",
        "1.2",
        "2.1",
        "2.2",
    ]
    assert " STEP 2 of 18   Face the front" in out
    assert out.endswith("Left. Saved; the same command goes on.\n")


def test_cautions_stand_before_the_act_that_they_are_for(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    talk(monkeypatch, "go 2.7 sure", "q")
    lines = capsys.readouterr().out.splitlines()
    at = lines.index("  2.7 start   spindle forward")
    assert lines[at - 2].startswith("!! Guard down if there is one, goggles on")
    assert not any("[________]" in line for line in lines)


def test_the_talk_at_a_stop_from_a_slip_to_the_collar(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    talk(monkeypatch, "go 6.17 sure", "", "29,74", "", "yes", "b", "29.2 with micrometer-25-50", '1.15"', "", "q")
    out = capsys.readouterr().out
    prompt = f"6.17 (67 of {len(demo_plan('bush', 'metric-lathe').sheet.acts)}) outside, diameter [mm] > "
    assert prompt in out
    said = " ".join(out.split())
    for words in (
        "tell first: the reading, outside, diameter",
        "read: Ø 29.740 mm (1.1709 in)",
        '"yes" if it stands, else read again',
        "this reading was asked back: say that it stands, or give another one",
        "STOP: Ø 29.740 mm (1.1709 in) lies outside 29.040 to 29.440 mm (1.1434 to 1.1590 in)",
        "taken back: 6.17 reading 29,74",
        "read: Ø 29.210 mm (1.1500 in)",
        "mean of 2: Ø 29.205 mm (1.1498 in)",
        "inside what is expected: go on, or read once more",
        "your reading Ø 29.205 mm (1.1498 in): DIAL 168 (figure 6.72) 0 turns + 32 marks short of 0",
    ):
        assert words in said, words


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (("?",), "leave; all is saved, the same command goes on"),
        (("dance",), 'found "dance"; allowed a number, or one of the words that ? shows'),
        (("29.2",), "act 1.1: no reading is asked for here; done goes on"),
        (("go 99",), "'99' is no step or act"),
        (("go 7",), "only if it was done from the sheet"),
        (("steps",), "Bevel the front outer edge"),
        (("", "times"), "load"),
        (("go 2.12 sure", "why"), "THE RULES, by the numbers in brackets"),
        (("go 2.17 sure", "why"), "has no number of its own"),
        (("note the bar is bent",), "noted"),
        (("stop no bar", ""), "the job was stopped; go back takes that back"),
        (("stop no bar", "b", ""), "1.2 swing"),
        (("again",), "1.1 load"),
        (("go 6.17 sure", "29.46", "yes", "done because measured twice"), "6.18 collar"),
        (("go 6.17 sure", "29.2 at front", "anew"), "what was read here before counts no more"),
        (("go 6.17 sure", "29.24 with micrometer-25-50 at front temp 21"), "inside what is expected"),
        (("go 6.17 sure", "29.24 temp 2100"), "temp: found 2100; allowed 0 to 400, in °C"),
        (("dial 5",), "what a collar shows is not asked for here"),
    ],
)
def test_what_is_typed_is_answered(
    lines: tuple[str, ...], words: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert talk(monkeypatch, *lines, "q") == 0
    assert words in " ".join(capsys.readouterr().out.split())


def test_the_end_of_the_input_leaves_and_the_same_command_goes_on(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    assert talk(monkeypatch, "", "") == 0
    assert talk(monkeypatch, "") == 0
    assert "  2.1 oil" in capsys.readouterr().out
    kinds = [event.kind.value for event in read_journal(folder / "plan.bench.jsonl").events]
    assert kinds == ["begun", "done", "done", "left", "resumed", "done", "left"]


def test_a_break_leaves_and_all_is_saved(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    class Broken(io.StringIO):
        def readline(self, _size: int | None = -1, /) -> str:  # type: ignore[override]  # as the stream has it
            raise KeyboardInterrupt

    monkeypatch.setattr(sys, "stdin", Broken())
    assert run([*BENCH]) == 130
    assert capsys.readouterr().out.endswith("Left. Saved; the same command goes on.\n")


def test_a_whole_job_is_typed_through_to_its_end(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Readings as expected wherever one is asked for, as a person would type them."""
    plan = demo_plan("bush", "metric-lathe")
    lines = []
    for act in plan.sheet.acts:
        expected = getattr(act, "expected_mm", None) if getattr(act, "gauge", "") else None
        lines += [f"{expected:.3f}", "yes"] if expected is not None else []
        lines.append("")
    assert talk(monkeypatch, *lines) == 0
    out = capsys.readouterr().out
    assert "All acts are done; the record is plan.bench.jsonl" in out


def test_each_piece_of_a_batch_has_a_journal_of_its_own(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    talk(monkeypatch, "", "q")
    talk(monkeypatch, "q", options=("--piece", "2"))
    assert {path.name for path in folder.glob("*.jsonl")} == {"plan.bench.jsonl", "plan.piece-2.bench.jsonl"}


def test_status_tells_where_the_job_stands_and_changes_nothing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    assert run([*BENCH, "--status"]) == 0
    assert "0 of 302 acts done, not begun" in capsys.readouterr().out
    assert not list(folder.glob("*.jsonl"))
    talk(monkeypatch, "", "go 6.17 sure", "29.2", "", "note dull tip", "q")
    before = (folder / "plan.bench.jsonl").read_bytes()
    capsys.readouterr()
    assert run([*BENCH, "--status"]) == 0
    out = capsys.readouterr().out
    assert "2 of 302 acts done, next is act 6.18" in out
    assert " 6.17  Ø 29.200 mm (1.1496 in)  micrometer-25-50" in out
    assert "note: dull tip" in out
    assert run([*BENCH, "--status", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["state"]["number"] == "6.18"
    assert (folder / "plan.bench.jsonl").read_bytes() == before


def test_a_torn_line_is_told_at_the_next_start_and_by_status(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    talk(monkeypatch, "", "q")
    with (folder / "plan.bench.jsonl").open("ab") as journal:
        journal.write(b'{"device":"ben')
    capsys.readouterr()
    run([*BENCH, "--status"])
    assert "was broken off (14 bytes) and is no event" in capsys.readouterr().out
    talk(monkeypatch, "q")
    assert "was broken off (14 bytes) and is no event" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--shop", "inch-lathe.toml"), "which this shop does not have; add it, or plan again with this shop"),
        (("--shop", "metric-lathe.toml", "--piece", "0"), "not in the range"),
        (("--shop", "none.toml"), "none.toml: cannot be opened"),
    ],
)
def test_what_does_not_belong_together_is_refused(
    arguments: tuple[str, ...], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["bench", "plan.json", *arguments]) == 2
    assert words in capsys.readouterr().err


def test_a_journal_of_another_plan_is_refused_with_what_to_do(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    talk(monkeypatch, "", "q")
    (folder / "plan.json").write_text(plan_to_json(demo_plan("band", "metric-lathe")), encoding="utf-8")
    assert talk(monkeypatch, "q") == 2
    err = capsys.readouterr().err
    assert "plan.bench.jsonl: event 1 of 'bench' (begun): it belongs to plan" in err
    assert "or keep the journal under another name and begin anew" in err


def test_a_plan_whose_sheet_was_changed_is_not_walked_through(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    plan = demo_plan("bush", "metric-lathe")
    acts = tuple(
        replace(act, setting=replace(act.setting, turns=act.setting.turns + 1)) if isinstance(act, Move) else act
        for act in plan.sheet.acts
    )
    changed = replace(plan, sheet=replace(plan.sheet, acts=acts))
    (folder / "plan.json").write_text(plan_to_json(changed), encoding="utf-8")
    assert talk(monkeypatch, "q") == 2
    assert "plan.json: the sheet does not pass the check: act " in capsys.readouterr().err
    assert not list(folder.glob("*.jsonl"))


def test_a_collar_that_cannot_be_set_is_asked_for_in_marks(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    plan, _ = odd_job("fixed-collars", "steel-spacer")
    (folder / "plan.json").write_text(plan_to_json(plan), encoding="utf-8")
    (folder / "metric-lathe.toml").write_text(shop_path("fixed-collars").read_text(encoding="utf-8"), encoding="utf-8")
    zero = next(act.id for act in plan.sheet.acts if type(act).__name__ == "SetZero")
    talk(monkeypatch, f"go {act_numbers(plan.sheet)[zero]} sure", "", "57", "", "q")
    out = capsys.readouterr().out
    assert "what the collar shows now [marks] > " in out
    assert "tell first: what the collar shows now" in out


def test_json_lines_go_in_and_out_one_by_one_and_errors_do_not_end_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = ('{"do": "done"}', "nonsense", "", '{"reading": 3}', '{"do": "done"}', '{"do": "leave"}', '{"do": "done"}')
    assert talk(monkeypatch, *lines, options=("--json",)) == 0
    replies = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert len(replies) == 6
    assert ["error" in reply for reply in replies] == [False, False, True, True, False, False]
    assert [reply["state"]["number"] for reply in replies] == ["1.1", "1.2", "1.2", "1.2", "2.1", "2.1"]
    assert replies[1]["saved"] == {"device": "bench", "counter": 2}


def process(folder: Path, *options: str) -> subprocess.Popen[str]:
    """The program in a process of its own, its streams in hand."""
    return subprocess.Popen(
        (sys.executable, "-m", "handwheel", *BENCH, *options),
        cwd=folder,
        env={**os.environ, "PYTHONUTF8": "1"},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system kills in another way")
def test_what_was_answered_is_on_the_disk_when_the_process_is_killed(folder: Path) -> None:
    walked, reply = 0, {}
    for lines in (3, 1, 7):
        with process(folder, "--json") as one:
            assert one.stdin is not None
            assert one.stdout is not None
            first = json.loads(one.stdout.readline())
            assert first["state"]["done"] == walked
            for _ in range(lines):
                one.stdin.write('{"do": "done"}\n')
                one.stdin.flush()
                reply = json.loads(one.stdout.readline())
            one.send_signal(signal.SIGKILL)
            one.wait()
        walked += lines
        assert reply["state"]["done"] == walked
        done = [event for event in read_journal(folder / "plan.bench.jsonl").events if event.kind.value == "done"]
        assert len(done) == walked


def test_a_second_process_is_refused_while_the_first_one_walks(folder: Path) -> None:
    with process(folder, "--json") as one:
        assert one.stdout is not None
        assert one.stdin is not None
        one.stdout.readline()
        with process(folder, "--json") as other:
            out, err = other.communicate("", timeout=60)
        assert (other.returncode, out) == (2, "")
        assert "another handwheel walks through this plan now" in err
        one.stdin.write('{"do": "done"}\n')
        one.stdin.close()
        assert json.loads(one.stdout.readline())["state"]["done"] == 1
    assert one.returncode == 0


def test_a_window_of_forty_columns_will_do(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("handwheel.cli.bench.columns", lambda *, least, most: min(least, most))
    monkeypatch.setattr("handwheel.cli.bench.TERMINAL_WIDTH", 40)
    talk(monkeypatch, "?", "", "go 6.17 sure", "29.21", "", "q")
    lines = capsys.readouterr().out.splitlines()
    long = [line for line in lines if len(line) > 40 and " > " not in line and "STEP" not in line]
    assert long == []


def test_american_words_and_one_unit_are_to_be_had_here_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    talk(monkeypatch, "", "go 6.17 sure", "29.21", "", "q", options=("--words", "american", "--show", "mm"))
    out = capsys.readouterr().out
    assert "compound" in out
    assert "anticlockwise" not in out
    assert "0 is then Ø 27.930 mm\n" in out
    assert "read: Ø 29.210 mm\n" in out
