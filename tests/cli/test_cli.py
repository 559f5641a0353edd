"""The command line as a person meets it: what it prints, where it writes, how it ends."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import click
import pytest

from handwheel import desk_pdf, sheet_pdf
from handwheel.check.report import CheckReport, Refusal, RefusalCode
from handwheel.cli.main import FAULT_OF_OURS, PAPERS, handwheel, run
from handwheel.cli.terminal import BOOK_STYLES, SHEET_STYLES, Styles, complain, make_output_safe, sheet_columns, show
from handwheel.report.paper.typesetting import Paper
from handwheel.service import beside, jobs
from handwheel.service.codec import plan_from_json, plan_schema
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.jobs import demo_job, print_sheet
from handwheel.service.schemas.build import part_schema, shop_schema

LIBRARIES = ("numpy", "shapely", "scipy", "rich", "tomlkit", "typst", "ezdxf", "jsonschema")
"""What takes longer to load than a command may; a plan, a size and a help text need none of them."""
HEAVY = (*LIBRARIES, "msgspec", "handwheel.planner", "handwheel.check", "handwheel.geometry")


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folder with the demo files, where the commands run."""
    for name in (*DEMO_PARTS, *DEMO_SHOPS):
        (tmp_path / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def program(*arguments: str, cwd: Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run the program as a user does, in a process of its own."""
    return subprocess.run(
        (sys.executable, "-m", "handwheel", *arguments),
        cwd=cwd,
        env={**os.environ, "PYTHONUTF8": "1", **environment},
        capture_output=True,
        check=False,
    )


def test_plan_prints_the_sheet_and_writes_the_plan(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml"]) == 0
    out, err = capsys.readouterr()
    plan, shop, _ = demo_job("bush", "inch-lathe")
    assert out == print_sheet(plan, shop)
    assert err == "written: plan.json\n"
    assert plan_from_json((files / "plan.json").read_text(encoding="utf-8")) == plan


@pytest.mark.parametrize("copies", [True, False])
@pytest.mark.parametrize("asked", [(), ("--json",)])
def test_a_plan_that_fails_its_own_check_is_neither_shown_nor_written(
    files: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    asked: tuple[str, ...],
    *,
    copies: bool,
) -> None:
    """The sheet is printed while it is checked, by another process or not; nothing of it may come out before."""
    refusal = Refusal(act="", code=RefusalCode.UNFINISHED, text="the bar is still whole")
    monkeypatch.setattr(jobs, "check_sheet", lambda _sheet, _shop: CheckReport(refusals=(refusal,), sizes=()))
    monkeypatch.setattr(beside, "may_copy", lambda: copies and hasattr(os, "fork"))
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", *asked]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "does not pass its own check and is not given; nothing was written" in err
    assert "the bar is still whole" in err
    assert not (files / "plan.json").exists()


def test_a_refusal_as_json_is_whole_though_the_process_ends_at_once(files: Path) -> None:
    """The output goes to a pipe, where it is kept back until it is flushed."""
    shop = files / "inch-lathe.toml"
    text = shop.read_text(encoding="utf-8")
    head, first, _ = text.partition("[[bar]]")
    assert first
    rest = text[text.rindex("[[bar]]") :].partition("\n\n")[2]
    shop.write_text(head + rest, encoding="utf-8")
    done = program("plan", "bush.toml", "--shop", "inch-lathe.toml", "--json", cwd=files)
    assert done.returncode == 1, done.stderr
    assert json.loads(done.stdout)


def test_plan_writes_where_it_is_told(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", "--out", "made/today"]) == 0
    assert (files / "made" / "today" / "plan.json").exists()
    assert not (files / "plan.json").exists()
    assert "written: " in capsys.readouterr().err


def test_plan_keeps_an_earlier_plan(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["plan", "bush.toml", "--shop", "inch-lathe.toml"])
    first = (files / "plan.json").read_bytes()
    capsys.readouterr()
    assert run(["plan", "band.toml", "--shop", "inch-lathe.toml"]) == 0
    said = capsys.readouterr().err.splitlines()
    assert said[1].startswith("the earlier plan.json is kept as plan-")
    assert (files / said[1].rpartition(" ")[2]).read_bytes() == first


def test_plan_as_json_prints_nothing_else(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", "--json"]) == 0
    out = capsys.readouterr().out
    assert plan_from_json(out) == demo_job("bush", "inch-lathe")[0]
    assert out == (files / "plan.json").read_text(encoding="utf-8")


def test_a_plan_that_cannot_be_written_is_still_printed(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (files / "taken").write_text("a file, not a folder", encoding="utf-8")
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", "--out", "taken/below"]) == 2
    out, err = capsys.readouterr()
    assert "STEP 1 of" in out
    assert "not written" in err
    assert "written: " not in err


def test_check_says_that_nothing_is_refused(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["plan", "bush.toml", "--shop", "inch-lathe.toml"])
    capsys.readouterr()
    assert run(["check", "plan.json", "--shop", "inch-lathe.toml"]) == 0
    out, err = capsys.readouterr()
    assert re.search(r"^bore diameter: +20\.0", out, re.MULTILINE)
    assert "acts replayed on small belt-driven inch lathe: nothing refused" in out
    assert err == ""
    assert files.exists()


def test_check_names_the_act_that_is_refused(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["plan", "bush.toml", "--shop", "inch-lathe.toml"])
    path = files / "plan.json"
    raw = json.loads(path.read_text(encoding="utf-8"))
    raw["sheet"]["acts"] = [act for act in raw["sheet"]["acts"] if act["act"] != "start"]
    path.write_text(json.dumps(raw), encoding="utf-8")
    capsys.readouterr()
    assert run(["check", "plan.json", "--shop", "inch-lathe.toml"]) == 1
    err = capsys.readouterr().err
    assert err.startswith("handwheel: act ")
    assert "[spindle-stands]" in err


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        (["plan", "none.toml", "--shop", "inch-lathe.toml"], 2, "handwheel: none.toml: cannot be opened"),
        (["plan", "bush.toml", "--shop", "bush.toml"], 2, "handwheel: bush.toml: "),
        (["check", "bush.toml", "--shop", "inch-lathe.toml"], 2, "handwheel: bush.toml: is not JSON"),
        (["plan", "bush.toml"], 2, "Missing option '--shop'"),
        (["plan"], 2, "Missing argument 'PART'"),
        (["turn"], 2, "No such command 'turn'"),
        (["plan", "bush.toml", "--shop", "inch-lathe.toml", "--speed", "9"], 2, "No such option"),
        (["schema", "sheet"], 2, "'sheet'"),
    ],
)
def test_what_cannot_be_used_ends_with_2_and_one_line_a_problem(
    files: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], status: int, said: str
) -> None:
    assert run(arguments) == status
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert "Traceback" not in err
    assert files.exists()


def test_a_part_without_a_plan_ends_with_1_and_says_why(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    thin = demo_text("inch-lathe").replace('diameter = "1 1/4 in"', 'diameter = "1/2 in"')
    assert thin != demo_text("inch-lathe")
    (files / "thin.toml").write_text(thin, encoding="utf-8")
    assert run(["plan", "bush.toml", "--shop", "thin.toml"]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("handwheel: no plan for ")
    assert not (files / "plan.json").exists()


def test_demo_prints_one_sheet_and_a_summary_and_writes_all(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["demo", "--out", "here"]) == 0
    out, err = capsys.readouterr()
    plan, shop, _ = demo_job(DEMO_PARTS[0], DEMO_SHOPS[0])
    assert out.startswith(print_sheet(plan, shop))
    summary = out.removeprefix(print_sheet(plan, shop)).splitlines()
    assert sum("passed" in line for line in summary) == len(DEMO_PARTS) * len(DEMO_SHOPS)
    assert max(map(len, summary)) <= 80
    assert all(line.isascii() for line in summary)
    assert len(list((files / "here").rglob("plan.json"))) == len(DEMO_PARTS) * len(DEMO_SHOPS)
    assert len(list((files / "here").rglob("sheet.txt"))) == len(DEMO_PARTS) * len(DEMO_SHOPS)
    assert err.count("written: ") == 2 * len(DEMO_PARTS) * len(DEMO_SHOPS) + len(DEMO_PARTS) + len(DEMO_SHOPS)


@pytest.mark.parametrize(("what", "made"), [("plan", plan_schema), ("part", part_schema), ("shop", shop_schema)])
def test_schema_prints_the_schema(
    what: str, made: Callable[[], dict[str, object]], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["schema", what]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json.dumps(made()))


def test_version_and_help_end_with_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--version"]) == 0
    assert run(["--help"]) == 0
    assert run(["plan", "--help"]) == 0
    out = capsys.readouterr().out
    assert "handwheel" in out
    assert "supervision" in out
    assert "Exit status" in out


@pytest.fixture
def broken_command() -> Iterator[str]:
    """A command with a fault in it, for as long as a test runs."""

    @handwheel.command("broken")
    def broken() -> None:
        msg = "fault\nin two lines"
        raise ZeroDivisionError(msg)

    assert isinstance(handwheel, click.Group)
    yield "broken"
    del handwheel.commands["broken"]


def test_a_fault_of_ours_is_one_line_and_says_how_to_report_it(
    broken_command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([broken_command]) == 2
    err = capsys.readouterr().err
    told = FAULT_OF_OURS.format(again="handwheel --trace broken")
    assert err == f"handwheel: ZeroDivisionError: fault in two lines: {told}\n"


def test_trace_shows_where_the_fault_is(broken_command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--trace", broken_command]) == 2
    assert "Traceback (most recent call last)" in capsys.readouterr().err


def loaded_by(*arguments: str, cwd: Path) -> list[str]:
    """Modules that a command has loaded when it is done, in a process of its own that does all the work itself."""
    code = (
        "import sys\nfrom handwheel.cli.main import run\nfrom handwheel.service import beside\n"
        f"beside.may_copy = lambda: False\nrun({list(arguments)})\nprint(*sys.modules, file=sys.stderr)"
    )
    done = subprocess.run((sys.executable, "-c", code), cwd=cwd, capture_output=True, text=True, check=True)
    return done.stderr.splitlines()[-1].split()


def test_help_loads_nothing_heavy(tmp_path: Path) -> None:
    loaded = loaded_by("--help", cwd=tmp_path)
    assert "handwheel.cli.main" in loaded
    assert [name for name in loaded if name.startswith(HEAVY)] == []


@pytest.mark.parametrize(
    ("arguments", "needed"),
    [
        (("plan", "bush.toml", "--shop", "inch-lathe.toml", "--plain"), "handwheel.planner.planner"),
        (("plan", "flange.toml", "--shop", "metric-lathe.toml", "--json"), "handwheel.check.replay"),
        (("size", "US", "7"), "handwheel.service.ring_size"),
    ],
)
def test_a_plan_and_a_size_load_no_heavy_library(arguments: tuple[str, ...], needed: str, files: Path) -> None:
    loaded = loaded_by(*arguments, cwd=files)
    assert needed in loaded
    assert [name for name in loaded if name.partition(".")[0] in LIBRARIES] == []


def test_a_plan_loads_nothing_that_only_errors_need(files: Path) -> None:
    only_for_errors = ("traceback", "difflib", "handwheel.planner.refusal", "handwheel.service.intake.syntax_causes")
    loaded = loaded_by("plan", "bush.toml", "--shop", "inch-lathe.toml", cwd=files)
    assert [name for name in loaded if name in only_for_errors] == []


def test_the_program_runs_and_writes_no_colour_into_a_pipe(files: Path) -> None:
    done = program("plan", "bush.toml", "--shop", "inch-lathe.toml", cwd=files)
    assert done.returncode == 0
    assert b"\x1b[" not in done.stdout
    assert "Ø".encode() in done.stdout


def test_a_reader_that_goes_away_does_no_harm(files: Path) -> None:
    """As in ``handwheel plan ... | head -1``; the plan is on the disk all the same."""
    command = (sys.executable, "-m", "handwheel", "plan", "bush.toml", "--shop", "inch-lathe.toml")
    with subprocess.Popen(command, cwd=files, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.read(1)
        running.stdout.close()
        told = running.stderr.read()
    assert b"Traceback" not in told
    assert b"Exception" not in told
    assert (files / "plan.json").exists()


@pytest.mark.parametrize("encoding", ["ascii", "cp437"])
def test_an_encoding_without_the_signs_gets_words(files: Path, encoding: str) -> None:
    done = program(
        "plan", "bush.toml", "--shop", "inch-lathe.toml", cwd=files, PYTHONUTF8="0", PYTHONIOENCODING=encoding
    )
    assert done.returncode == 0
    text = done.stdout.decode(encoding)
    assert "dia 31.75 mm (1.2500 in)" in text
    assert "?" not in text.replace("overshot?", "")


class Terminal(io.StringIO):
    """An output that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("variable", "value", "plain", "coloured"),
    [
        ("COLUMNS", "80", False, True),
        ("COLUMNS", "80", True, False),
        ("NO_COLOR", "1", False, False),
        ("TERM", "dumb", False, False),
    ],
)
def test_colour_is_for_terminals_that_want_it(
    monkeypatch: pytest.MonkeyPatch, variable: str, value: str, *, plain: bool, coloured: bool
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv(variable, value)
    screen = Terminal()
    monkeypatch.setattr(sys, "stdout", screen)
    text = "!! Mind the jaws.\n 5.1 set     cross-slide, clockwise (in)   zero A\n              DIAL 40   at 0\n"
    show(text, plain=plain, styles=SHEET_STYLES)
    assert ("\x1b[" in screen.getvalue()) is coloured
    assert re.sub(r"\x1b\[[\d;]*m", "", screen.getvalue()) == text  # nothing is said by colour alone


def styled(text: str, styles: Styles) -> dict[str, str]:
    """Every piece of a text that has a style, by what it is."""
    return {found[0].strip(): style for pattern, style in styles for found in re.finditer(pattern, text)}


def test_what_the_hand_sets_cautions_and_headings_stand_out_each_in_its_way() -> None:
    plan, shop, _ = demo_job("bush", "inch-lathe")
    found = styled(print_sheet(plan, shop), SHEET_STYLES)
    assert found["DIAL 20"] == "bold reverse"
    assert found["!! Chuck key out of the chuck before the spindle can start, every time."] == "bold red"
    assert found["GET READY"] == "bold"
    assert {"STEP", "SIZES", "PASSES", "WHAT", "WHY"} <= {text.split()[0] for text in found}
    assert not {style for text, style in found.items() if text.startswith("note")}


def test_what_is_told_beside_the_output_is_broken_between_words_in_a_window_and_nowhere_else(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    problem = "bush.toml: line 11: bore.diameter: found 60 mm, and the outside is 28 mm; check both"
    window, pipe = Terminal(), io.StringIO()
    monkeypatch.setattr(sys, "stderr", window)
    complain((problem,))
    monkeypatch.setattr(sys, "stderr", pipe)
    complain((problem,))
    assert pipe.getvalue() == f"handwheel: {problem}\n"
    lines = window.getvalue().splitlines()
    assert max(map(len, lines)) <= 40
    assert " ".join(line.strip() for line in lines) == f"handwheel: {problem}"
    assert any("60 mm" in line for line in lines)


def test_lines_of_a_table_of_passes_stand_out_for_the_hand_sets_them() -> None:
    plan, shop, _ = demo_job("bush", "inch-lathe")
    found = styled(print_sheet(plan, shop), SHEET_STYLES)
    assert [text.split()[:3] for text in found if text.startswith("6.26 ")] == [["6.26", "cross-slide", "74"]]


def test_a_source_that_goes_on_in_the_next_line_is_quiet_in_its_own_column_alone() -> None:
    text = (
        " chips       long; below   gummy on [common\n"
        "             about 40      practice] and\n"
        "             [X, opened]   8 g [Y]\n"
    )
    quiet = [
        found[0].strip() for pattern, style in BOOK_STYLES if style == "dim" for found in re.finditer(pattern, text)
    ]
    assert sorted(quiet) == ["[X, opened]", "[Y]", "[common", "practice]"]


def test_headings_with_a_hyphen_or_a_short_word_stand_out_too() -> None:
    found = styled("\n STEEL\n COBALT-CHROME\n NOT KNOWN\n ISO 8653  54\n", BOOK_STYLES)
    assert {text for text, style in found.items() if style == "bold"} >= {"STEEL", "COBALT-CHROME", "NOT KNOWN"}
    assert not any(text.startswith("ISO") for text in found)


@pytest.mark.parametrize("wide", [40, 60])
def test_a_narrow_window_breaks_lines_between_words_and_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], wide: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(wide))
    screen = Terminal()
    monkeypatch.setattr(sys, "stdout", screen)
    plan, shop, _ = demo_job("bush", "inch-lathe")
    text = print_sheet(plan, shop, width=sheet_columns())
    show(text, plain=True, styles=SHEET_STYLES)
    lines = screen.getvalue().splitlines()
    assert max(map(len, lines)) <= wide
    numbers = re.compile(r"(?<!\S)[\d.]+ (?:mm|in)\b|DIAL \d+")
    assert [at for line in lines for at in numbers.findall(line)] == numbers.findall(text)
    assert f"{wide} columns" in capsys.readouterr().err
    cautions = [line.lstrip("! ") for line in text.splitlines() if line.startswith("!!")]
    told = [line.lstrip("! ") for line in lines if line.startswith("!!")]
    assert " ".join(told).split() == " ".join(cautions).split()  # every line of a caution has its margin


@pytest.mark.parametrize(("wide", "used"), [(200, 80), (80, 80), (75, 75), (40, 72)])
def test_a_text_is_laid_out_for_the_window(monkeypatch: pytest.MonkeyPatch, wide: int, used: int) -> None:
    monkeypatch.setenv("COLUMNS", str(wide))
    assert sheet_columns() == 80  # a pipe is no window
    monkeypatch.setattr(sys, "stdout", Terminal())
    assert sheet_columns() == used


def test_making_the_output_safe_twice_does_no_harm() -> None:
    make_output_safe()
    make_output_safe()
    assert "±".encode("ascii", errors="handwheel-plain-signs") == b"+-"


def test_explain_says_why_the_numbers_of_a_step_are_what_they_are(
    files: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml"]) == 0
    capsys.readouterr()
    assert run(["explain", "plan.json", "6", "--shop", "inch-lathe.toml"]) == 0
    out = capsys.readouterr().out
    assert " STEP 6   Rough the outside" in out
    assert "held by chatter" in " ".join(out.split())
    assert (files / "plan.json").exists()
    assert run(["explain", "plan.json", "6.20", "--shop", "inch-lathe.toml", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    (step,) = found["steps"]
    (act,) = step["acts"]
    assert (step["id"], act["number"], act["act"]) == ("rough-outside", "6.20", "set")
    assert {"dial", "then true"} <= {reason["quantity"] for reason in act["reasons"]}


def test_explain_of_a_step_that_is_not_there_names_those_that_are(
    files: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", "--out", str(files)]) == 0
    assert run(["explain", "plan.json", "99", "--shop", "inch-lathe.toml"]) == 2
    err = capsys.readouterr().err
    assert "step '99': the plan has no such step or act" in err
    assert "6 (rough-outside)" in err


def test_plan_writes_what_is_to_be_printed(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", "--out", "made", "--pdf"]) == 0
    told = capsys.readouterr().err.splitlines()
    assert told == [f"written: {Path('made') / name}" for name in ("plan.json", "sheet.pdf", "desk.pdf")]
    plan, shop, _ = demo_job("bush", "inch-lathe")
    assert (files / "made" / "sheet.pdf").read_bytes() == sheet_pdf(plan, shop)
    assert (files / "made" / "desk.pdf").read_bytes() == desk_pdf(plan, shop)


def test_plan_prints_on_the_paper_that_is_asked_for(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", "--pdf", "--paper", "letter"]) == 0
    plan, shop, _ = demo_job("bush", "inch-lathe")
    assert (files / "sheet.pdf").read_bytes() == sheet_pdf(plan, shop, paper="letter")
    assert capsys.readouterr().out == print_sheet(plan, shop)


def test_no_pdf_is_written_unasked(files: Path) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml"]) == 0
    assert not list(files.glob("*.pdf"))


@pytest.mark.parametrize("wish", [("--paper", "a4"), ("--paper", "letter"), ("--reasons",)])
def test_how_the_pdfs_are_to_be_is_not_overheard_where_none_are_asked_for(
    wish: tuple[str, ...], files: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", *wish]) == 2
    assert "give --pdf too" in capsys.readouterr().err
    assert not list(files.glob("plan*"))


def test_a_pdf_that_cannot_be_written_loses_neither_plan_nor_sheet(
    files: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (files / "sheet.pdf").mkdir()
    assert run(["plan", "bush.toml", "--shop", "inch-lathe.toml", "--pdf"]) == 2
    out, err = capsys.readouterr()
    assert out == print_sheet(*demo_job("bush", "inch-lathe")[:2])
    assert "written: plan.json" in err
    assert "sheet.pdf: not written" in err
    assert "a folder has that name" in err


def test_the_papers_to_choose_from_are_those_that_can_be_set() -> None:
    assert [paper.value for paper in Paper] == list(PAPERS)


def test_output_that_has_no_room_is_told_and_is_no_fault_of_ours(files: Path) -> None:
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("this system has no device that is always full")
    with full.open("w", encoding="utf-8") as nowhere:
        done = subprocess.run(
            (sys.executable, "-m", "handwheel", "plan", "bush.toml", "--shop", "inch-lathe.toml"),
            cwd=files,
            stdout=nowhere,
            stderr=subprocess.PIPE,
            check=False,
        )
    told = done.stderr.decode()
    assert done.returncode == 2
    assert "the output could not be written whole" in told
    assert "fault of handwheel" not in told
    assert (files / "plan.json").exists()
