"""SVG read as XML: sizes on paper, ids, no outside, arcs that turn the right way, texts that keep apart."""

from __future__ import annotations

import re
from math import hypot
from xml.etree import ElementTree as ET

import pytest

from handwheel.drawing.dimensioning import plain_items, words_width_mm
from handwheel.drawing.model import (
    Arc,
    Arrow,
    Corner,
    Dimension,
    DimensionKind,
    DimensionText,
    Drawing,
    Hatch,
    Item,
    Leader,
    Line,
    Outline,
    Path,
    Pen,
    Region,
    Shade,
    Spot,
    Text,
    ViewBox,
)
from handwheel.drawing.placing import on_paper
from handwheel.drawing.svg import as_lettered, letters_of, svg_text
from tests.drawing.pictures import room_of

SVG = "{http://www.w3.org/2000/svg}"
BOX = ViewBox(left_mm=-10.0, bottom_mm=-5.0, right_mm=30.0, top_mm=15.0)
TAB = Outline(corners=(Corner(0.0, 0.0), Corner(10.0, 0.0), Corner(10.0, 4.0, 1.0), Corner(0.0, 4.0)))
"""A square end and one rounded by half a circle."""
SIZE = Dimension(
    kind=DimensionKind.LINEAR,
    first=Spot(0.0, 0.0),
    second=Spot(10.0, 0.0),
    line_at=Spot(0.0, -3.0),
    text=DimensionText(main="10", upper="+0.1", lower="-0.2"),
)


def drawing(*items: Item, scale: float = 2.0, title: str = "a tab") -> Drawing:
    return Drawing(title=title, description="a tab, as it is", box=BOX, items=items, scale=scale)


def tree(*items: Item, title: str = "a tab") -> ET.Element:
    return ET.fromstring(svg_text(drawing(*items, title=title), prefix="p1"))  # noqa: S314 - our own text


EVERYTHING = (
    Region(outlines=(TAB,), fill=Hatch(), pen=Pen.OUTLINE, layer="work"),
    Region(outlines=(TAB,), fill=Shade.WHITE),
    Line(start=Spot(0.0, 0.0), end=Spot(1.0, 1.0), pen=Pen.CENTRE),
    Arc(centre=Spot(5.0, 2.0), radius_mm=1.0, pen=Pen.HIDDEN),
    Arc(centre=Spot(5.0, 2.0), radius_mm=1.0, start_deg=10.0, end_deg=250.0),
    Path(outline=TAB),
    Text(at=Spot(1.0, 1.0), text="a < b & c"),
    SIZE,
    Leader(tip=Spot(0.0, 0.0), elbow=Spot(-2.0, 3.0), text="here"),
    Arrow(start=Spot(0.0, 0.0), end=Spot(0.0, 4.0)),
)


def test_size_on_paper_is_size_of_the_box_times_the_scale() -> None:
    root = tree()
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("80mm", "40mm", "0 0 80 40")


def test_every_id_has_the_prefix_and_is_its_own() -> None:
    ids = [element.get("id") for element in tree(*EVERYTHING).iter() if element.get("id")]
    assert len(ids) >= 3
    assert len(set(ids)) == len(ids)
    assert all(name is not None and name.startswith("p1-") for name in ids)


def test_a_reader_of_the_screen_finds_title_and_description() -> None:
    root = tree(*EVERYTHING)
    labels = (root.get("aria-labelledby") or "").split()
    found = {element.get("id"): element.text for element in root.iter() if element.get("id") in labels}
    assert list(found.values()) == ["a tab", "a tab, as it is"]
    assert root.get("role") == "img"


def test_nothing_points_outside_and_nothing_runs() -> None:
    text = svg_text(drawing(*EVERYTHING), prefix="p1")
    outside = re.findall(r"[a-z]+://[^\"]+", text)
    assert outside == ["http://www.w3.org/2000/svg"]
    assert not re.search(r"<(script|style|image|use|foreignObject)|href|\bon\w+=", text)


def test_signs_of_xml_in_texts_come_back_and_letters_it_forbids_are_left_out() -> None:
    root = tree(Text(at=Spot(0.0, 0.0), text='<b> & "c"\x07'), title="one\x00 & two")
    assert [element.text for element in root.iter(f"{SVG}text")] == ['<b> & "c"']
    assert root.findtext(f"{SVG}title") == "one & two"


def test_y_points_up_in_the_model_and_down_on_the_screen() -> None:
    (text,) = tree(Text(at=Spot(0.0, 15.0), text="top")).iter(f"{SVG}text")
    assert (text.get("x"), text.get("y")) == ("20", "0")


def test_an_arc_that_turns_anticlockwise_does_so_on_the_screen() -> None:
    """From the lower right to the upper right end of the tab's far side, over the outside: sweep flag 0."""
    (path,) = (p.get("d") or "" for p in tree(Path(outline=TAB)).iter(f"{SVG}path"))
    assert "A10 10 0 0 0 20 22" in path
    clockwise = Outline(corners=(Corner(0.0, 0.0, -1.0), Corner(10.0, 0.0)), closed=False)
    (path,) = (p.get("d") or "" for p in tree(Path(outline=clockwise)).iter(f"{SVG}path"))
    assert path == "M20 30 A10 10 0 0 1 40 30"


def test_an_arc_of_more_than_half_a_circle_is_the_large_one() -> None:
    (path,) = (
        p.get("d") or ""
        for p in tree(Arc(centre=Spot(0.0, 0.0), radius_mm=1.0, start_deg=0.0, end_deg=270.0)).iter(f"{SVG}path")
    )
    assert path == "M22 30 A2 2 0 1 0 20 32"


def test_wide_lines_are_twice_as_wide_as_narrow_ones_and_dashes_follow_the_width() -> None:
    assert Pen.OUTLINE.width_mm == 2.0 * Pen.THIN.width_mm
    (line,) = tree(Line(start=Spot(0.0, 0.0), end=Spot(9.0, 0.0), pen=Pen.CENTRE)).iter(f"{SVG}path")
    assert line.get("stroke-width") == "0.25"
    assert line.get("stroke-dasharray") == "6 0.75 0.125 0.75"


def test_only_black_white_and_nothing_are_used() -> None:
    for element in tree(*EVERYTHING).iter():
        for key in ("fill", "stroke"):
            assert element.get(key) in {None, "none", "black", "white"}


@pytest.mark.parametrize(("length", "outside"), [(30.0, False), (12.0, True), (2.0, True)])
def test_words_of_a_dimension_stand_between_the_arrows_or_beyond_the_second(length: float, *, outside: bool) -> None:
    text = DimensionText(main="Ø 20.00", upper="+0.021", lower="0")
    size = Dimension(
        kind=DimensionKind.LINEAR, first=Spot(0.0, 0.0), second=Spot(length, 0.0), line_at=Spot(0.0, 5.0), text=text
    )
    words = [item for item in plain_items(size) if isinstance(item, Text)]
    rooms = [room_of(item) for item in words]
    start, end = min(room.left_mm for room in rooms), max(room.right_mm for room in rooms)
    assert end - start == pytest.approx(words_width_mm(text, size.height_mm))
    assert [item.text for item in words] == ["Ø 20.00", "+0.021", "0"]
    assert (start >= length) == outside
    if not outside:
        assert start >= 0.0
        assert end <= length
    at_5 = pytest.approx(5.0)
    lines = [i for i in plain_items(size) if isinstance(i, Line) and i.start.y_mm == at_5 and i.end.y_mm == at_5]
    assert min(line.start.x_mm for line in lines) <= start
    assert max(line.end.x_mm for line in lines) >= end


def test_an_upright_dimension_reads_from_the_right() -> None:
    size = Dimension(
        kind=DimensionKind.DIAMETER,
        first=Spot(0.0, 20.0),
        second=Spot(0.0, 0.0),
        line_at=Spot(5.0, 0.0),
        angle_deg=90.0,
        text=DimensionText(main="Ø 20"),
    )
    (words,) = [item for item in plain_items(size) if isinstance(item, Text)]
    assert words.angle_deg == 90.0
    assert words.at.x_mm < 5.0


def test_arrowheads_touch_what_they_measure() -> None:
    heads = [item for item in plain_items(SIZE) if isinstance(item, Region)]
    tips = sorted(head.outlines[0].corners[0].spot for head in heads)
    assert tips == [pytest.approx((0.0, -3.0)), pytest.approx((10.0, -3.0))]


def test_on_paper_lengths_grow_and_letters_do_not() -> None:
    paper = on_paper(drawing(*EVERYTHING))
    texts = [item for item in paper.items if isinstance(item, Text)]
    sizes = [item for item in paper.items if isinstance(item, Dimension)]
    assert paper.scale == 1.0
    assert texts[0].height_mm == 2.5
    assert sizes[0].measured == pytest.approx(20.0)
    region = paper.items[0]
    assert isinstance(region, Region)
    assert region.area_mm2 == pytest.approx(4.0 * TAB.area_mm2)


def test_the_way_of_a_hatch_in_the_svg_is_as_long_as_its_region_asks() -> None:
    (hatch,) = (p for p in tree(EVERYTHING[0]).iter(f"{SVG}path") if p.get("class") == "work hatch")
    ends = [tuple(map(float, pair)) for pair in re.findall(r"[ML]([-\d.]+) ([-\d.]+)", hatch.get("d") or "")]
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(ends[::2], ends[1::2], strict=True))
    assert length * 1.5 == pytest.approx(4.0 * TAB.area_mm2, rel=0.05)


def test_letters_given_apart_are_those_of_the_svg_which_is_else_the_same() -> None:
    drawn = drawing(*EVERYTHING)
    whole = svg_text(drawn, prefix="p1").splitlines()
    without = svg_text(drawn, prefix="p1", lettered=False).splitlines()
    assert without == [line for line in whole if not line.startswith("<text ")]
    texts = tree(*EVERYTHING).findall(f".//{SVG}text")
    letters = letters_of(drawn)
    assert len(letters) == len(whole) - len(without) > 0
    for text, element in zip(letters, texts, strict=True):
        assert element.text == as_lettered(text.text)
        assert float(element.attrib["x"]) == pytest.approx(text.at.x_mm, abs=1e-3)
        assert float(element.attrib["y"]) == pytest.approx(drawn.paper_height_mm - text.at.y_mm, abs=1e-3)
