"""What the pages show runs: every command, program and file in its order, with the outputs that are quoted."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from handwheel.cli.main import run
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from tests.docs.blocks import SAID, BlockError, blocks_of, compare, run_block
from tests.docs.commands import commands, options
from tests.docs.markdown import without_code

ROOT = Path(__file__).resolve().parents[2]
TUTORIAL = ROOT / "docs" / "first-part.md"
HOW_TOS = ROOT / "docs" / "how-to"
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
RUN_HERE = [path for path in PAGES if any(True for _ in blocks_of(path.read_text(encoding="utf-8")))]


def prepare(page: Path, folder: Path) -> None:
    """Lay out the files that a page takes for granted: none for the tutorial, its for the how-tos, else the demo's."""
    if page == TUTORIAL:
        return
    if page.parent == HOW_TOS:
        for block in blocks_of(TUTORIAL.read_text(encoding="utf-8")):
            if block.title:
                (folder / block.title).write_text(block.text, encoding="utf-8")
        assert run(["shop", str(folder / "my-shop.toml"), "--template", "small-metric"]) == 0
        return
    for name in (*DEMO_PARTS, *DEMO_SHOPS):
        (folder / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    (folder / "my-shop.toml").write_text(demo_text("inch-lathe"), encoding="utf-8")
    if "plan.json" in page.read_text(encoding="utf-8"):
        assert (
            run(["plan", str(folder / "bush.toml"), "--shop", str(folder / "my-shop.toml"), "--out", str(folder)]) == 0
        )


@pytest.mark.parametrize("page", RUN_HERE, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_every_block_of_a_page_runs_or_says_why_not(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO("\n" * 200))
    prepare(page, tmp_path)
    capsys.readouterr()

    def read() -> str:
        found = capsys.readouterr()
        return found.out + found.err

    output = ""
    for block in blocks_of(page.read_text(encoding="utf-8")):
        output = run_block(block, folder=tmp_path, output=output, read=read)


def test_the_tutorial_leaves_the_files_that_it_promises(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for block in blocks_of(TUTORIAL.read_text(encoding="utf-8")):
        if block.mark != SAID:
            run_block(block, folder=tmp_path, output="", read=lambda: capsys.readouterr().out)
    assert {"my-shop.toml", "spacer.toml", "plan.json", "sheet.pdf", "desk.pdf"} <= {p.name for p in tmp_path.iterdir()}
    assert {"part.svg", "strip.svg"} <= {path.name for path in (tmp_path / "drawings").iterdir()}


def flags_of(name: str) -> set[str]:
    """Options that a command knows; none if there is no such command."""
    if name not in commands():
        return set()
    return {flag for each in options(commands()[name]) for flag in each.opts} | {"--help", "-h"}


def inline_commands() -> list[tuple[str, str]]:
    """Every command of the program that stands within a line of a page, with the page."""
    return [
        (path.name, piece)
        for path in PAGES
        for piece in without_code(path.read_text(encoding="utf-8")).split("`")[1::2]
        if piece.startswith("handwheel ")
    ]


def test_commands_within_the_lines_exist_with_their_options() -> None:
    found = inline_commands()
    assert len(found) > 20
    unknown = []
    for page, piece in found:
        name, *words = piece.split()[1:]
        flags = {word.partition("=")[0] for word in words if word.startswith("--")}
        if name != "COMMAND" and (name not in commands() or flags - flags_of(name)):
            unknown.append((page, piece))
    assert unknown == []


def test_a_line_that_was_not_said_is_reported() -> None:
    compare("b\nc\n", "a\nb\nc\nd\n")
    with pytest.raises(BlockError, match="not said so: \\['x'\\]"):
        compare("b\nx\n", "a\nb\nc\n")
    with pytest.raises(BlockError, match="not said so"):
        compare("a\nc\n", "a\nb\nc\n")


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("```sh\nhandwheel plan no-such.toml --shop none.toml\n```\n", "ended with 2"),
        ("```sh\nmake everything\n```\n", "mark the block with a reason"),
        ("<!-- not run: because -->\n```sh\nmake\n```\n", "needs a reason"),
        ("```\npython3 dev.py demo\n```\n", "mark the block with a reason"),
        ("<!-- said -->\n```text\nnever\n```\n", "not said so"),
    ],
)
def test_a_block_that_does_not_do_what_it_says_is_reported(
    text: str, fault: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (block,) = blocks_of(text)
    with pytest.raises(BlockError, match=fault):
        run_block(block, folder=tmp_path, output="", read=lambda: capsys.readouterr().err)
