"""The picture of parting as a choice: every cell says what the numbers say, all of it on the paper."""

from __future__ import annotations

import pytest

from handwheel.drawing.model import Path, Region, Text
from handwheel.drawing.parting_view import BOOK_FEED_MM_REV, HATCHES
from handwheel.drawing.svg import svg_text
from handwheel.physics.parting_map import PartingLimit
from tests.docs.pictures import PARTED, parted, parting

KEYS = tuple(PARTED)


@pytest.mark.parametrize("key", KEYS)
def test_every_cell_has_the_hatch_and_the_word_of_what_is_passed(key: str) -> None:
    found, drawn = parted(key), parting(key)
    cells = [item for item in drawn.items if isinstance(item, Region) and item.layer == "cells" and item.pen]
    assert len(cells) == len(found.points)
    texts = [item.text for item in drawn.items if isinstance(item, Text) and item.layer == "cells"]
    for point, cell in zip(found.points, cells, strict=True):
        assert cell.fill == (None if point.passed is None else HATCHES[point.passed][1])
    for limit, (word, _) in HATCHES.items():
        assert texts.count(word) == sum(1 for point in found.points if point.passed is limit)


@pytest.mark.parametrize("key", KEYS)
def test_rows_of_timid_feeds_are_marked_from_side_to_side(key: str) -> None:
    found, drawn = parted(key), parting(key)
    hatched = [
        item
        for item in drawn.items
        if isinstance(item, Region) and item.layer == "cells" and item.fill == HATCHES[PartingLimit.RUBS][1]
    ]
    assert len(hatched) == sum(1 for point in found.points if point.feed_mm_rev < found.setup.least_feed_mm_rev)


@pytest.mark.parametrize("key", KEYS)
def test_the_chosen_point_is_framed_once_in_its_own_cell(key: str) -> None:
    found, drawn = parted(key), parting(key)
    assert found.best is not None
    (frame,) = (item for item in drawn.items if isinstance(item, Path) and item.layer == "best")
    cell = [item for item in drawn.items if isinstance(item, Region) and item.layer == "cells" and item.pen][
        found.points.index(found.best)
    ]
    xs, ys = ([corner[axis] for corner in cell.outlines[0].corners] for axis in (0, 1))
    assert all(min(xs) < corner.x_mm < max(xs) and min(ys) < corner.y_mm < max(ys) for corner in frame.outline.corners)


@pytest.mark.parametrize("key", KEYS)
def test_all_of_it_stands_on_the_paper(key: str) -> None:
    drawn = parting(key)
    for item in drawn.items:
        if isinstance(item, Text):
            assert drawn.box.left_mm <= item.at.x_mm <= drawn.box.right_mm
            assert drawn.box.bottom_mm <= item.at.y_mm <= drawn.box.top_mm


def test_only_a_metal_that_hardens_says_that_timid_is_the_fault() -> None:
    told = {key: parting(key).description for key in KEYS}
    assert "timid is the fault" in told["ss304"]
    assert "timid is the fault" not in told["st_s235"]
    shown = " ".join(item.text for item in parting("ss304").items if isinstance(item, Text))
    assert "hardens" in shown


def test_in_stainless_the_feed_of_the_book_only_rubs() -> None:
    """The handbook's 0.05 mm/rev lies below the least feed of 304 and above that of plain steel."""
    slow = parted("ss304").points[0].speed
    assert PartingLimit.RUBS in parted("ss304").at(slow, BOOK_FEED_MM_REV).all_passed
    assert parted("st_s235").at(slow, BOOK_FEED_MM_REV).passed is None


def test_the_picture_shows_stall_song_and_least_feed_for_plain_steel() -> None:
    passed = {point.passed for point in parted("st_s235").points}
    assert {PartingLimit.STALL, PartingLimit.SINGS, PartingLimit.RUBS, None} <= passed


def test_it_is_one_svg_with_title_and_description() -> None:
    text = svg_text(parting("st_s235"), prefix="p")
    assert text.startswith("<svg")
    assert "Parting plain steel S235" in text
    assert "No point keeps every limit" not in text
