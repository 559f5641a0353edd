"""The fuzz finds what is planted, and a short run of it over every reader finds nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.domain.part import Units
from handwheel.service.intake import lengths
from handwheel.service.intake.lengths import length_mm
from tests.fuzz.reached import steps_of
from tests.fuzz.run import fuzz
from tests.fuzz.targets import Target, targets

TRIES = {"part": 60, "shop": 15, "stick": 60, "length": 1500, "size": 1500, "ring": 150, "quantity": 200}
TRIES |= {"ring limits": 100, "travel": 1000}


@pytest.mark.parametrize("name", list(TRIES))
def test_a_short_run_finds_no_fault(name: str, tmp_path: Path) -> None:
    found = fuzz(targets(tmp_path)[name], seconds=0, seed=3, tries=TRIES[name])
    assert not found.faults
    assert found.tried == TRIES[name]
    assert found.steps


def test_every_reader_is_fuzzed(tmp_path: Path) -> None:
    assert set(TRIES) == set(targets(tmp_path))


def test_another_way_through_the_reader_shows_as_other_steps() -> None:
    _, plain = steps_of(lambda: length_mm("20", unit=Units.MM))
    read, mixed = steps_of(lambda: length_mm("1 1/2 in", unit=Units.MM))
    assert read == length_mm("38.1", unit=Units.MM)
    assert mixed - plain
    assert not steps_of(lambda: length_mm("21", unit=Units.MM))[1] - plain


def test_what_reaches_new_steps_is_kept_and_changed_further(tmp_path: Path) -> None:
    length = targets(tmp_path)["length"]
    found = fuzz(Target(seeds=("20",), fault=length.fault), seconds=0, seed=1, tries=1500)
    assert len(found.kept) > 5
    assert found.steps > fuzz(Target(seeds=("20",), fault=length.fault), seconds=0, seed=1, tries=1).steps


def test_a_planted_misreading_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reader that takes ``5 mil`` for a millimetre is caught by the second reader."""
    monkeypatch.setitem(lengths.LENGTH_UNITS, "mil", lengths.LENGTH_UNITS["mm"])
    monkeypatch.delitem(lengths._VAGUE_UNITS, "mil")
    found = fuzz(targets(tmp_path)["length"], seconds=0, seed=1, tries=400)
    assert any("read" in fault for fault in found.faults)


def test_an_error_of_another_kind_is_found_with_its_text(tmp_path: Path) -> None:
    del tmp_path

    def failing(content: bytes) -> str:
        return str(1 // (b"mil" not in content))

    found = fuzz(Target(seeds=("20",), fault=lambda c: failing(c) and ""), seconds=0, seed=1, tries=800)
    ((fault, content),) = found.faults.items()
    assert "ZeroDivisionError" in fault
    assert b"mil" in content
