"""A file is on the disk whole or not at all, and what stood there before is never lost."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from handwheel.domain.errors import InputError
from handwheel.service.codec import plan_from_json
from handwheel.service.files import NotWrittenError, read_plan_text, write_whole
from handwheel.service.jobs import write_plan, write_sheet
from tests.factories import make_plan, make_shop


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_plan_is_written_and_reads_back(tmp_path: Path) -> None:
    written = write_plan(make_plan(), tmp_path / "new" / "folder")
    assert written.path == tmp_path / "new" / "folder" / "plan.json"
    assert written.kept is None
    assert plan_from_json(read_plan_text(written.path)) == make_plan()
    assert names(written.path.parent) == ["plan.json"]


def test_the_sheet_is_written_with_its_signs(tmp_path: Path) -> None:
    written = write_sheet(make_plan(), make_shop(), tmp_path)
    assert "Ø 26.00 mm" in written.path.read_text(encoding="utf-8")
    assert b"\r" not in written.path.read_bytes()


def test_an_earlier_file_of_other_content_is_kept_beside(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    write_whole(path, "first")
    second = write_whole(path, "second")
    assert path.read_text(encoding="utf-8") == "second"
    assert second.kept is not None
    assert second.kept.read_text(encoding="utf-8") == "first"
    assert len(names(tmp_path)) == 2


def test_writing_the_same_again_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    write_whole(path, "same")
    before = path.stat().st_mtime_ns
    assert write_whole(path, "same").kept is None
    assert path.stat().st_mtime_ns == before
    assert names(tmp_path) == ["plan.json"]


def test_a_folder_that_cannot_be_made_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with pytest.raises(NotWrittenError, match=r"plan\.json: not written \(.+\); nothing was changed"):
        write_plan(make_plan(), tmp_path / "file" / "below")
    assert names(tmp_path) == ["file"]


def test_a_name_that_is_taken_by_a_folder_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "plan.json").mkdir()
    with pytest.raises(NotWrittenError, match="not written"):
        write_plan(make_plan(), tmp_path)
    assert names(tmp_path) == ["plan.json"]


if os.name == "posix":
    import resource

    @pytest.mark.parametrize("earlier", [None, "what stood there"])
    def test_a_disk_that_fills_up_leaves_everything_as_it_was(tmp_path: Path, earlier: str | None) -> None:
        """The system refuses to write more than a few bytes here, as a full disk would."""
        path = tmp_path / "plan.json"
        if earlier is not None:
            path.write_text(earlier, encoding="utf-8")
        soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, hard))
        try:
            with pytest.raises(NotWrittenError, match="not written"):
                write_plan(make_plan(), tmp_path)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        assert not path.exists() if earlier is None else path.read_text(encoding="utf-8") == earlier
        assert [name for name in names(tmp_path) if name.endswith(".tmp")] == []


def test_a_plan_file_that_is_missing_or_no_text_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"none\.json: cannot be opened"):
        read_plan_text(tmp_path / "none.json")
    (tmp_path / "odd.json").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match=r"odd\.json: is no UTF-8 text"):
        read_plan_text(tmp_path / "odd.json")


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / "plan.json").write_bytes(b"\xef\xbb\xbf{}")
    assert read_plan_text(tmp_path / "plan.json") == "{}"
