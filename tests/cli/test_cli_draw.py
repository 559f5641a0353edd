"""`handwheel draw`: the files it writes, what it says, what it will not draw."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import dxfgrabber
import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from handwheel.cli.main import OK, REFUSED, UNUSABLE, run
from handwheel.domain.acts import SetSpeed
from handwheel.service.demo import demo_text
from handwheel.service.jobs import write_plan
from tests.demo_plans import demo_plan

STEPS = 18
"""Steps of the bush on the metric lathe."""


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    shop = tmp_path / "shop.toml"
    shop.write_text(demo_text("metric-lathe"), encoding="utf-8")
    return write_plan(demo_plan("bush", "metric-lathe"), tmp_path).path, shop


def draw(files: tuple[Path, Path], out: Path, *more: str) -> int:
    plan, shop = files
    return run(["draw", str(plan), "--shop", str(shop), "--out", str(out), *more])


def test_svg_is_written_for_part_steps_and_strip(
    files: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert draw(files, out) == OK
    names = sorted(path.name for path in out.iterdir())
    assert names == sorted(["part.svg", "strip.svg", *(f"step-{number:02d}.svg" for number in range(1, STEPS + 1))])
    for path in out.iterdir():
        root = ET.parse(path).getroot()  # noqa: S314 - just written
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert capsys.readouterr().err.count("written:") == STEPS + 2


def test_drawing_again_writes_the_same_and_keeps_nothing(
    files: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert draw(files, out) == OK
    assert draw(files, out) == OK
    assert len(list(out.iterdir())) == STEPS + 2
    assert "kept" not in capsys.readouterr().err


def test_dxf_is_the_part_alone(files: tuple[Path, Path], tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert draw(files, out, "--format", "dxf") == OK
    (path,) = out.iterdir()
    assert path.name == "part.dxf"
    found = dxfgrabber.read(io.StringIO(path.read_text(encoding="utf-8")))
    assert {"part", "reference", "notes"} <= {entity.layer for entity in found.entities}


def test_pdf_holds_part_and_steps_with_its_own_letters(files: tuple[Path, Path], tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert draw(files, out, "--format", "pdf") == OK
    (path,) = out.iterdir()
    pages = PdfReader(path).pages
    text = "\n".join(page.extract_text() for page in pages)
    assert "Ø20 H8" in text
    assert "Measure the finished ring" in text
    assert [round(float(side) / 72 * 25.4) for side in pages[0].mediabox[2:]] == [210, 297]
    assert b"SourceSansPro" in path.read_bytes()
    first = path.read_bytes()
    assert draw(files, out, "--format", "pdf") == OK
    assert path.read_bytes() == first
    assert len(list(out.iterdir())) == 1


def test_a_sheet_that_the_check_refuses_is_not_drawn(
    files: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = demo_plan("bush", "metric-lathe")
    acts = tuple(act for act in plan.sheet.acts if not isinstance(act, SetSpeed))
    write_plan(replace(plan, sheet=replace(plan.sheet, acts=acts)), tmp_path)
    out = tmp_path / "out"
    assert draw(files, out) in {REFUSED, UNUSABLE}
    assert "speed" in capsys.readouterr().err
    assert not out.exists()


def test_a_plan_that_is_not_there_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert draw((tmp_path / "none.json", tmp_path / "none.toml"), tmp_path / "out") == UNUSABLE
    assert "none.json" in capsys.readouterr().err


def test_other_commands_load_nothing_that_draws() -> None:
    code = "import sys; from handwheel.cli.main import run; run(['--help']); print(*sys.modules, file=sys.stderr)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stderr.split()
    assert not {"ezdxf", "typst", "shapely", "handwheel.drawing"} & set(loaded)
