"""The command rehearse: text, JSON, what cannot be used, and that no other command loads what it needs."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from handwheel.cli.main import run
from handwheel.domain.beliefs import Beliefs
from handwheel.rehearsal.result import Rehearsal
from handwheel.report.rehearsal_text import rehearsal_text
from handwheel.service import rehearsing
from handwheel.service.codec import plan_to_json
from handwheel.service.demo import demo_text
from handwheel.service.jobs import demo_job

LOADS = ("numpy", "handwheel.sim", "handwheel.rehearsal.rehearse", "concurrent.futures.process")


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folder with a demo plan and its shop."""
    plan, _, _ = demo_job("bush", "metric-lathe")
    (tmp_path / "plan.json").write_text(plan_to_json(plan), encoding="utf-8")
    for name in ("metric-lathe", "inch-lathe"):
        (tmp_path / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.usefixtures("files")
def test_the_chance_the_risk_and_what_helps_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rehearse", "plan.json", "--shop", "metric-lathe.toml", "--lathes", "2500"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    told = " ".join(out.split())
    for words in (
        "a good part at the first try:",
        "2,500 virtual lathes, seed 0",
        "It is not a promise about your lathe",
        "the risk is in step 8, Finish the bore: bore, diameter",
        "one more last cut, measured before the next",
        "for 1 good one: have metal for",
        "back face: rubbed to size by hand on a plate",
    ):
        assert words in told
    assert max(map(len, out.splitlines())) <= 80
    assert "WHOSE WORD" not in out


@pytest.mark.usefixtures("files")
def test_the_bounds_of_the_lathes_are_told_with_whose_word_they_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rehearse", "plan.json", "--shop", "metric-lathe.toml", "--lathes", "100", "--bounds"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "WHOSE WORD IT IS" in told
    assert "marks, leads, slack, gauge steps, fine angle" in told
    assert "(shop file)" in told
    assert "small lathes in general, no source" in told


@pytest.mark.usefixtures("files")
def test_json_is_the_whole_record_and_the_same_each_time(capsys: pytest.CaptureFixture[str]) -> None:
    """The record can be read back into its type, so that the type is the schema."""
    again = []
    for _ in range(2):
        assert run(["rehearse", "plan.json", "--shop", "metric-lathe.toml", "--lathes", "300", "--json"]) == 0
        again.append(capsys.readouterr().out)
    assert again[0] == again[1]
    found = json.loads(again[0])
    assert found.pop("plan") == demo_job("bush", "metric-lathe")[0].id
    read = msgspec.convert(found, Rehearsal, strict=True)
    assert set(found) == set(Rehearsal.__struct_fields__)
    assert json.loads(msgspec.json.encode(read)) == found
    assert (read.lathes, read.seed, read.schema) == (300, 0, 1)
    assert 0.0 <= read.chance.low <= read.chance.value <= read.chance.high <= 1.0
    assert read.not_rehearsed
    assert read.bounds


@pytest.mark.usefixtures("files")
def test_workers_seed_and_what_is_wanted_go_through(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["rehearse", "plan.json", "--shop", "metric-lathe.toml", "--json", "--lathes", "6000", "--seed", "3"]
    assert run([*asked, "--workers", "1", "--good", "4"]) == 0
    alone = capsys.readouterr().out
    assert run([*asked, "--workers", "2", "--good", "4"]) == 0
    assert capsys.readouterr().out == alone
    found = json.loads(alone)
    assert (found["seed"], found["to_make"]["wanted"]) == (3, 4)


@pytest.mark.usefixtures("files")
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--shop", "inch-lathe.toml"), "uses"),
        (("--shop", "metric-lathe.toml", "--lathes", "0"), "lathes"),
        (("--shop", "metric-lathe.toml", "--lathes", "99999999999"), "10000000 at most"),
        (("--shop", "metric-lathe.toml", "--beliefs", "none.toml"), "none.toml"),
    ],
)
def test_what_cannot_be_used_is_told(arguments: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rehearse", "plan.json", *arguments]) == 2
    assert said in capsys.readouterr().err


def test_no_other_command_loads_what_a_rehearsal_needs(files: Path) -> None:
    """A cold plan goes without numpy; so does the help of this very command."""
    asked = "import sys; from handwheel.cli.main import run; code = run(sys.argv[1:]); "
    asked += f"print(*[name for name in {LOADS!r} if name in sys.modules], file=sys.stderr); sys.exit(code)"
    for arguments in (("rehearse", "--help"), ("explain", "plan.json", "--shop", "metric-lathe.toml")):
        done = subprocess.run(
            (sys.executable, "-c", asked, *arguments), cwd=files, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0
        assert done.stderr.strip() == ""


def test_words_and_width_are_as_asked_for() -> None:
    plan, shop, _ = demo_job("band", "metric-lathe")
    made = rehearsing.rehearse_plan(plan, Beliefs(shop=shop), lathes=50)
    text = rehearsal_text(made, plan, shop, width=100)
    assert text.splitlines()[0] == "=" * 100
    assert "no step carries a risk worth naming" in text
    american = rehearsing.worded_rehearsal(made, plan, shop, words="american")
    assert "promise" in american


def test_nothing_helps_and_nothing_sure_are_told() -> None:
    """A plan that never works has no sensible number to make."""
    plan, shop, _ = demo_job("bush", "metric-lathe")
    made = rehearsing.rehearse_plan(plan, Beliefs(shop=shop), lathes=60)
    hopeless = msgspec.structs.replace(
        made, remedies=(), to_make=msgspec.structs.replace(made.to_make, number=None, average=None)
    )
    text = " ".join(rehearsal_text(hopeless, plan, shop).split())
    assert "nothing that was tried lowers it for sure" in text
    assert "change the plan first" in text


def test_cores_are_at_least_one() -> None:
    assert rehearsing.cores() >= 1
    with rehearsing.local_executor(1) as executor:
        assert executor is None
