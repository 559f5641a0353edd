"""`handwheel metal`: the list, one metal, metals side by side, a part weighed, names that are none."""

from __future__ import annotations

import json
import subprocess
import sys
from itertools import combinations
from math import pi
from typing import TYPE_CHECKING

import pytest

from handwheel.cli.main import run
from handwheel.data.catalogue import GRADE_ALONE, TITLES, Topic, catalogue_entry
from handwheel.data.materials import material, material_keys
from handwheel.data.metal_families import families
from handwheel.data.unknown_metals import unknown_metals
from handwheel.service.demo import demo_text
from handwheel.service.metals import metals_json, metals_text

if TYPE_CHECKING:
    from pathlib import Path

ALL_KEYS = (*material_keys(), *unknown_metals())
WIDTH = 80
HEAVY = ("shapely", "numpy", "scipy", "rich", "handwheel.planner", "handwheel.geometry")
COLD = "import sys; from handwheel.cli.main import run; run(sys.argv[1:]); print(*sys.modules, file=sys.stderr)"


@pytest.fixture
def band(tmp_path: Path) -> Path:
    path = tmp_path / "band.toml"
    path.write_text(demo_text("band"), encoding="utf-8")
    return path


def words_of(text: str) -> str:
    return " ".join(text.split())


def test_the_list_has_one_line_for_each_metal_by_family(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["metal"]) == 0
    lines = capsys.readouterr().out.splitlines()
    for key in ALL_KEYS:
        assert len([line for line in lines if line.split()[:1] == [key]]) == 1
    assert [line.strip() for line in lines if line.strip() == line.strip().upper() and line.strip()] == [
        *(family.upper() for family in families()),
        "NOT KNOWN",
    ]
    assert max(map(len, lines)) <= WIDTH


@pytest.mark.parametrize("key", ALL_KEYS)
def test_one_metal_shows_every_claim_with_its_source_in_80_columns(key: str) -> None:
    text = metals_text([key])
    assert max(map(len, text.splitlines())) <= WIDTH
    said = words_of(text)
    assert words_of(GRADE_ALONE) in said.replace("!! ", "")
    for claim in catalogue_entry(key).claims:
        assert words_of(claim.words.replace("°", "°")) in said, claim.words
        tag = "common practice" if claim.source_key == "COMMON" else f"{claim.source_key}, {claim.standing.value}"
        assert tag in said
    for topic in Topic:
        assert f"\n {TITLES[topic]}" in text


def test_what_is_not_in_the_tables_is_said_to_be() -> None:
    lines = metals_text(["au585"]).splitlines()
    (line,) = [line for line in lines if line.startswith(" cut at ")]
    assert line.split(maxsplit=2)[2] == "not in the tables"


@pytest.mark.parametrize("pair", list(combinations(("ss303", "ss316l", "cu_cw508l", "ti_gr2", "pom"), 2)), ids="-".join)
def test_two_side_by_side_show_what_differs_and_where_from(pair: tuple[str, str]) -> None:
    text = metals_text(pair)
    assert max(map(len, text.splitlines())) <= WIDTH
    differs, _, rest = text.partition("\n WHAT DIFFERS\n")[2].partition("\n SOURCES\n")[0].partition("\n ALIKE\n")
    first, second = map(catalogue_entry, pair)
    for topic in Topic:
        same = [c.words for c in first.of(topic)] == [c.words for c in second.of(topic)]
        there = any(line.startswith(f" {TITLES[topic]}") for line in (rest if same else differs).splitlines())
        assert there, topic
    for entry in (first, second):
        assert all(claim.source_key in text for claim in entry.claims if claim.source_key != "COMMON")


def test_three_fit_beside_each_other_and_four_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["metal", "cu_cw307g", "cocr", "zr702"]) == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= WIDTH
    assert run(["metal", "ss303", "ss304", "ss316l", "ti_gr2"]) == 2
    assert "no more than 3 stand side by side" in capsys.readouterr().err


def test_words_of_one_name_need_no_quotes_and_a_metal_named_twice_is_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["metal", "mild", "steel"]) == 0
    assert "(st_s235)" in capsys.readouterr().out
    assert run(["metal", "1.4404", "ss316l"]) == 0
    assert "WHAT DIFFERS" not in capsys.readouterr().out


def test_a_name_of_several_asks_which(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["metal", "brass"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "2 metals are called so" in err
    assert all(key in err for key in ("cu_cw614n", "cu_cw508l", "unknown_brass"))


def test_a_near_miss_is_told_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["metal", "titaniun"]) == 2
    assert "metal 'titaniun': not in the tables; did you mean ti_gr2 or" in capsys.readouterr().err


@pytest.mark.parametrize(
    "name",
    [
        "",
        " ",
        "\x1b[31m",
        "\udcff",
        "☃",
        "x" * 10_000,
        "a\nb",
        "../../etc/passwd",
        "%s%n",
        "{0}",
        "'; --",
        "steel" * 50,
    ],
)
def test_a_hostile_name_is_refused_in_words(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    for options in ([], ["--json"]):
        assert run(["metal", *options, "--", name]) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.startswith("handwheel: metal ")
        assert "fault of handwheel" not in err
        assert "\x1b" not in err
        assert len(err) < 1000


def test_a_part_is_weighed_from_its_half_section(band: Path) -> None:
    """Ø 23 x Ø 18.5 x 6 mm less four bevels of 0.5 mm: Pappus, computed here; titanium 4.51 g/cm³ by its sheet."""
    bevel_mm2, third = 0.5 * 0.5 / 2.0, 0.5 / 3.0
    outer, inner = 2 * 2.0 * pi * bevel_mm2 * (11.5 - third), 2 * 2.0 * pi * bevel_mm2 * (9.25 + third)
    volume = pi * (11.5**2 - 9.25**2) * 6.0 - outer - inner
    told = json.loads(metals_json([], band))
    (weight,) = told["weights"]
    assert weight["metal"] == "ti_gr2"
    assert weight["part_mm3"] == pytest.approx(volume, rel=1e-9)
    assert weight["part_g"][1] == pytest.approx(volume * 4.51e-3, rel=1e-9)
    assert weight["round_g"][1] == pytest.approx(pi * 11.5**2 * 6.0 * 4.51e-3, rel=1e-9)
    said = words_of(metals_text([], band))
    assert f"band, lens carriage: {volume * 4.51e-3:.3g} g as turned" in said


def test_a_density_that_is_a_range_gives_a_weight_that_is_one(band: Path) -> None:
    (first, second) = json.loads(metals_json(["unknown_steel", "ss316l"], band))["weights"]
    assert first["part_g"][0] < first["part_g"][1] == second["part_g"][1]
    text = metals_text(["unknown_steel", "ss316l"], band)
    assert "6.53 to 6.78 g" in text
    assert max(map(len, text.splitlines())) <= WIDTH


def test_a_part_that_cannot_be_read_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["metal", "ti_gr2", "--part", str(tmp_path / "none.toml")]) == 2
    assert "none.toml: cannot be opened" in capsys.readouterr().err


def test_json_holds_every_claim_and_every_source(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["metal", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [metal["key"] for metal in told["metals"]] == list(ALL_KEYS)
    for metal in told["metals"]:
        assert len(metal["claims"]) == len(catalogue_entry(metal["key"]).claims)
        assert all(claim["source"] in told["sources"] and claim["standing"] for claim in metal["claims"])
    assert told["note"] == GRADE_ALONE
    assert all(rule["source"] in told["sources"] for rule in told["rules"])


def test_an_unknown_metal_shows_what_it_may_be_and_how_to_find_out() -> None:
    said = words_of(metals_text(["unknown", "steel"]))
    for member in unknown_metals()["unknown_steel"].members:
        assert material(member).name in said
    assert "magnet" in said
    assert "not known: it depends on which it is" in said


def test_the_answer_loads_nothing_heavy() -> None:
    done = subprocess.run(
        [sys.executable, "-c", COLD, "metal", "leaded", "brass"], capture_output=True, text=True, check=True
    )
    loaded = set(done.stderr.split())
    assert "handwheel.service.metals" in loaded
    assert not [name for name in loaded if name.startswith(HEAVY)]
    assert "(cu_cw614n)" in done.stdout
