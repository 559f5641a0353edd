"""The command ``shop`` as a person meets it: a narrow screen, a script on its input, a file that is never lost."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pytest

from handwheel.cli.main import run
from handwheel.service.demo import demo_text
from handwheel.service.intake.shop_file import read_shop_file
from handwheel.service.templates import TEMPLATES, left_to_check, template_text

NARROW = 40


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the commands run."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def ask(monkeypatch: pytest.MonkeyPatch, *lines: str, arguments: tuple[str, ...] = ("my-shop.toml",)) -> int:
    """Answer the questions with lines, the rest of them with nothing; return the exit status."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    return run(["shop", *arguments, "--ask"])


def test_without_arguments_the_starting_files_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["shop"]) == 0
    out = capsys.readouterr().out
    assert [line for line in out.splitlines() if line in TEMPLATES] == list(TEMPLATES)
    assert max(map(len, out.splitlines())) <= NARROW


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_is_printed_or_written(name: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["shop", "--template", name]) == 0
    assert capsys.readouterr().out == template_text(name)
    assert run(["shop", "my-shop.toml", "--template", name]) == 0
    assert capsys.readouterr().err == "written: my-shop.toml\n"
    assert (folder / "my-shop.toml").read_text(encoding="utf-8") == template_text(name)


def test_an_earlier_file_is_kept_under_another_name(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "my-shop.toml").write_text("mine", encoding="utf-8")
    assert run(["shop", "my-shop.toml", "--template", "toolroom"]) == 0
    said = capsys.readouterr().err.splitlines()[1]
    assert said.startswith("the earlier my-shop.toml is kept as my-shop-")
    assert (folder / said.rpartition(" ")[2]).read_text(encoding="utf-8") == "mine"


def test_a_file_is_looked_over(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "mine.toml").write_text(demo_text("inch-lathe"), encoding="utf-8")
    assert run(["shop", "mine.toml"]) == 0
    out = capsys.readouterr().out
    assert "Reads without a problem:" in out
    assert "6 speeds, 5 tools, 9 drills" in out
    assert "Nothing in it is marked to be checked." in out


def test_a_file_with_a_problem_is_told_in_the_readers_words(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = demo_text("inch-lathe").replace("motor_power_w", "motor_pwer_w")
    (folder / "mine.toml").write_text(text, encoding="utf-8")
    assert run(["shop", "mine.toml"]) == 2
    assert "handwheel: mine.toml: line 6: lathe.motor_power_w: found nothing" in capsys.readouterr().err


def test_a_value_is_set_its_comment_stays_and_the_earlier_file_is_kept(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = demo_text("inch-lathe")
    (folder / "mine.toml").write_text(text, encoding="utf-8")
    given = ("--set", "lathe.spindle_bore=20 mm", "--set", "tool[boring-10].reach = 40 mm")
    assert run(["shop", "mine.toml", *given]) == 0
    new = (folder / "mine.toml").read_text(encoding="utf-8")
    assert 'spindle_bore = "20 mm" # 1 in bar does not pass: it is sawn to blanks' in new
    assert len(set(new.splitlines()) - set(text.splitlines())) == 2
    said = capsys.readouterr().err.splitlines()
    assert (folder / said[1].rpartition(" ")[2]).read_text(encoding="utf-8") == text


def test_setting_a_value_of_the_template_takes_its_mark_away(folder: Path) -> None:
    run(["shop", "mine.toml", "--template", "old-belt"])
    assert run(["shop", "mine.toml", "--set", "lathe.motor_power_w=370"]) == 0
    text = (folder / "mine.toml").read_text(encoding="utf-8")
    assert "\nmotor_power_w = 370\n" in text
    assert len(left_to_check(text)) == len(left_to_check(template_text("old-belt"))) - 1


def test_a_value_that_will_not_do_changes_nothing(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "mine.toml").write_text(demo_text("inch-lathe"), encoding="utf-8")
    assert run(["shop", "mine.toml", "--set", "lathe.motor_pwer_w=370"]) == 2
    assert "motor_pwer_w: found a key unknown here" in capsys.readouterr().err
    assert (folder / "mine.toml").read_text(encoding="utf-8") == demo_text("inch-lathe")
    assert len(list(folder.iterdir())) == 1


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--template", "huge"], "allowed small-metric, small-inch"),
        (["--ask"], "give the FILE"),
        (["--set", "a=1"], "give the FILE"),
        (["x.toml", "--set", "a=1", "--ask"], "--set goes alone"),
        (["none.toml"], "none.toml: cannot be opened"),
        (["none.toml", "--set", "units=mm"], "none.toml: cannot be opened"),
    ],
)
def test_what_cannot_be_done_is_said(arguments: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["shop", *arguments]) == 2
    assert told in capsys.readouterr().err


# -- questions ------------------------------------------------------------------------------------------


def test_the_questions_write_a_file_that_reads_and_say_what_is_left(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = ("1", "inch", "my lathe", "thr", "?", "banana", "7/8 in", "back", "22 mm", *([""] * 70))
    assert ask(monkeypatch, *lines) == 0
    lathe = read_shop_file(folder / "my-shop.toml").lathe
    assert (lathe.name, lathe.nose.value, lathe.spindle_bore_dia_mm) == ("my lathe", "threaded", 22)
    out, err = capsys.readouterr()
    assert err == "written: my-shop.toml\n"
    assert 'found "banana"; allowed a number and a' in out
    left = left_to_check((folder / "my-shop.toml").read_text(encoding="utf-8"))
    assert f"{len(left)} values are still taken from the\ntemplate; check them at the lathe:\n" in out
    assert f"and {len(left) - 12} more" in out


@pytest.mark.parametrize(("template", "wrong"), [("old-belt", "?"), ("toolroom", "banana?")])
def test_no_line_of_the_questions_is_wider_than_a_phone(
    template: str, wrong: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every question with its explanation, and with what is told of an answer that will not do."""
    answers = [line for _ in range(85) for line in (wrong, "")]
    assert ask(monkeypatch, *answers, arguments=("x.toml", "--template", template)) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) > 400
    assert [line for line in lines if len(line) > NARROW and not line.startswith("lathe.")] == []


def test_the_end_of_the_input_keeps_what_was_answered_in_a_draft(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ask(monkeypatch, "2", "mm", "shed lathe") == 130
    assert [path.name for path in folder.iterdir()] == ["my-shop-draft.toml"]
    assert read_shop_file(folder / "my-shop-draft.toml").lathe.name == "shed lathe"
    out = capsys.readouterr().out
    assert "kept in\n  my-shop-draft.toml\nTo go on:\n  handwheel shop my-shop-draft.toml --ask\n" in out
    assert ask(monkeypatch, *[""] * 70, arguments=("my-shop-draft.toml",)) == 0
    assert read_shop_file(folder / "my-shop-draft.toml").lathe.name == "shed lathe"


def test_going_on_with_a_draft_asks_what_is_open_and_all_asks_all(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ask(monkeypatch, "2", "mm", "shed lathe", "threaded") == 130
    capsys.readouterr()
    assert ask(monkeypatch, "20 mm", arguments=("my-shop-draft.toml",)) == 130
    out = capsys.readouterr().out
    assert "3 are answered in this draft and not\nasked again; --ask --all asks all." in out
    assert "Name of the lathe" not in out
    assert "Diameter of the hole through the" in out
    assert ask(monkeypatch, "barn lathe", arguments=("my-shop-draft.toml", "--all")) == 130
    assert "asked again" not in capsys.readouterr().out
    assert read_shop_file(folder / "my-shop-draft.toml").lathe.name == "barn lathe"


def test_ctrl_c_keeps_what_was_answered_in_a_draft(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Keyboard:
        """Types two answers, then Ctrl-C."""

        lines = iter(("1\n", "inch\n"))

        def isatty(self) -> bool:
            return True

        def readline(self) -> str:
            line = next(self.lines, None)
            if line is None:
                raise KeyboardInterrupt
            return line

    monkeypatch.setattr(sys, "stdin", Keyboard())
    assert run(["shop", "my-shop.toml", "--ask"]) == 130
    assert read_shop_file(folder / "my-shop-draft.toml").units.value == "inch"


def test_stopping_before_any_answer_writes_nothing(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ask(monkeypatch) == 130
    assert list(folder.iterdir()) == []
    assert "nothing is written" in capsys.readouterr().out


def test_questions_about_a_file_that_is_there_keep_its_comments(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = demo_text("inch-lathe")
    (folder / "my-shop.toml").write_text(text, encoding="utf-8")
    assert ask(monkeypatch, "", "", "", "", "250", *[""] * 70) == 0
    assert (folder / "my-shop.toml").read_text(encoding="utf-8") == text.replace("370", "250")


def test_a_template_is_not_put_over_a_file_that_is_there(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "my-shop.toml").write_text(demo_text("inch-lathe"), encoding="utf-8")
    assert ask(monkeypatch, arguments=("my-shop.toml", "--template", "toolroom")) == 2
    assert "is there already" in capsys.readouterr().err


def test_letters_that_are_none_are_an_answer_that_will_not_do(folder: Path) -> None:
    """Through a real pipe: bytes that are not UTF-8."""
    done = subprocess.run(
        (sys.executable, "-m", "handwheel", "shop", "x.toml", "--template", "toolroom", "--ask"),
        cwd=folder,
        input=b"mm\n\n\n\xff\xfe\n",
        capture_output=True,
        check=False,
    )
    assert done.returncode == 130
    assert b"fault of handwheel" not in done.stderr
    assert b"allowed a number" in done.stdout
