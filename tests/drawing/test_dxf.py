"""DXF read back by two readers that share nothing with the writer, and by the writer's own library."""

from __future__ import annotations

import io
from collections.abc import Iterator
from functools import cache
from math import cos, hypot, pi, radians, sin

import dxfgrabber
import pytest
from ezdxf.filemanagement import read

from handwheel.drawing.dxf import dxf_text
from handwheel.drawing.model import (
    Anchor,
    Arc,
    Arrow,
    Corner,
    Dimension,
    DimensionKind,
    DimensionText,
    Drawing,
    Hatch,
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
from handwheel.drawing.part_view import part_drawing
from handwheel.geometry.profile import part_outline
from handwheel.geometry.region import area_mm2, polygon
from handwheel.service.demo import DEMO_PARTS
from handwheel.service.drawings import words_for
from tests.demo_plans import demo_part

BOX = ViewBox(left_mm=0.0, bottom_mm=0.0, right_mm=40.0, top_mm=20.0)
ROUND = Outline(corners=(Corner(0.0, 0.0), Corner(10.0, 0.0, 1.0), Corner(10.0, 4.0), Corner(0.0, 4.0)))


def flat(name: str) -> Drawing:
    part = demo_part(name)
    return part_drawing(part, words=words_for(part), enlarged=False)


@cache
def written(name: str) -> str:
    return dxf_text(flat(name))


def pairs(text: str) -> Iterator[tuple[int, str]]:
    """Group codes and values: the whole syntax of the format."""
    lines = text.splitlines()
    yield from ((int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True))


def entities(text: str, kind: str) -> list[dict[int, str]]:
    """Entities of a kind, each with the first value of every group code."""
    found: list[dict[int, str]] = []
    section, inside = "", False
    for code, value in pairs(text):
        if code == 2 and not section:
            section = value
        elif code == 0:
            section = "" if value == "SECTION" else section
            inside = section == "ENTITIES" and value == kind
            if inside:
                found.append({})
        elif inside:
            found[-1].setdefault(code, value)
    return found


def drawing(*items: object, scale: float = 2.0) -> Drawing:
    return Drawing(title="try", description="try", box=BOX, items=items, scale=scale)  # type: ignore[arg-type]  # any kinds of item


@pytest.mark.parametrize("name", DEMO_PARTS)
def test_another_reader_finds_the_section_in_millimetres(name: str) -> None:
    found = dxfgrabber.read(io.StringIO(written(name)))
    assert found.header["$INSUNITS"] == 4
    assert found.header["$MEASUREMENT"] == 1
    halves = [entity for entity in found.entities if entity.dxftype == "LWPOLYLINE" and entity.layer == "part"]
    assert len(halves) == 2
    area = area_mm2(polygon(part_outline(demo_part(name))))
    for half in halves:
        assert half.is_closed
        outline = Outline(
            corners=tuple(Corner(x, y, bulge) for (x, y), bulge in zip(half.points, half.bulge, strict=True))
        )
        assert abs(outline.area_mm2) == pytest.approx(area, rel=1e-9)
    widths = [max(x for x, _ in half.points) - min(x for x, _ in half.points) for half in halves]
    assert widths == [pytest.approx(demo_part(name).width_mm)] * 2


@pytest.mark.parametrize("name", DEMO_PARTS)
def test_another_reader_finds_a_line_that_is_ten_millimetres_long_and_says_so(name: str) -> None:
    found = dxfgrabber.read(io.StringIO(written(name)))
    (line,) = [entity for entity in found.entities if entity.layer == "reference" and entity.dxftype == "LWPOLYLINE"]
    (start, end) = line.points[1:3]
    assert hypot(end[0] - start[0], end[1] - start[1]) == pytest.approx(10.0)
    texts = [entity.text for entity in found.entities if entity.dxftype == "TEXT"]
    assert "this line is 10 mm of the part" in texts
    assert any("sizes in millimetres" in text for text in texts)


@pytest.mark.parametrize("name", DEMO_PARTS)
def test_dimensions_are_real_ones_and_measure_what_is_drawn(name: str) -> None:
    sizes = [item for item in flat(name).items if isinstance(item, Dimension)]
    found = entities(written(name), "DIMENSION")
    assert len(found) == len(sizes) >= 3
    for entity, item in zip(found, sizes, strict=True):
        assert float(entity[42]) == pytest.approx(item.measured, abs=1e-9)
        first, second = ((float(entity[code]), float(entity[code + 10])) for code in (13, 14))
        angle = radians(float(entity.get(50, "0")))
        along = (second[0] - first[0]) * cos(angle) + (second[1] - first[1]) * sin(angle)
        assert abs(along) == pytest.approx(item.measured, abs=1e-9)
        assert item.text.main in entity[1]
        assert item.text.upper in entity[1]
        assert item.text.lower in entity[1]


@pytest.mark.parametrize("name", DEMO_PARTS)
def test_the_library_finds_no_fault_and_hatches_both_halves(name: str) -> None:
    document = read(io.StringIO(written(name)))
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    hatches = document.modelspace().query("HATCH")
    assert len(hatches) == 2
    assert all(hatch.dxf.solid_fill == 0 for hatch in hatches)
    assert document.dimstyles.get("sizes").dxf.dimzin == 0


def test_the_same_drawing_gives_the_same_file() -> None:
    assert dxf_text(flat("flange")) == written("flange")


def test_arcs_stay_arcs() -> None:
    text = dxf_text(
        drawing(Path(outline=ROUND), Arc(centre=Spot(5.0, 2.0), radius_mm=1.0, start_deg=10.0, end_deg=250.0))
    )
    found = dxfgrabber.read(io.StringIO(text)).entities
    line, arc = found[0], found[1]
    assert list(line.bulge) == [0.0, 1.0, 0.0, 0.0]
    assert (arc.radius, arc.start_angle, arc.end_angle) == (1.0, 10.0, 250.0)


def test_letters_and_dashes_are_as_large_as_on_paper_at_the_scale() -> None:
    text = dxf_text(
        drawing(
            Text(at=Spot(1.0, 1.0), text="100%%c", height_mm=3.0, anchor=Anchor.MIDDLE),
            Line(start=Spot(0.0, 0.0), end=Spot(9.0, 0.0), pen=Pen.CENTRE),
        )
    )
    (letters,) = entities(text, "TEXT")
    assert float(letters[40]) == 1.5
    assert letters[1] == "100% %c"
    (line,) = entities(text, "LINE")
    assert line[6] == "HW_CHAIN"
    assert line[370] == "25"
    linetype = read(io.StringIO(text)).linetypes.get("HW_CHAIN")
    assert linetype.pattern_tags.tags[0].value is not None
    assert sum(abs(tag.value) for tag in linetype.pattern_tags.tags if tag.code == 49) == pytest.approx(7.625 / 2.0)


def test_every_kind_of_item_is_written_and_found_sound() -> None:
    text = dxf_text(
        drawing(
            Region(outlines=(ROUND,), fill=Shade.BLACK),
            Region(outlines=(ROUND,), fill=Shade.WHITE, pen=Pen.THIN),
            Region(outlines=(ROUND,), fill=Hatch(crossed=True)),
            Leader(tip=Spot(0.0, 0.0), elbow=Spot(5.0, 5.0), text="here"),
            Arrow(start=Spot(0.0, 0.0), end=Spot(5.0, 0.0)),
            Dimension(
                kind=DimensionKind.RADIUS,
                first=Spot(0.0, 0.0),
                second=Spot(3.0, 4.0),
                line_at=Spot(6.0, 8.0),
                text=DimensionText(main="R5"),
            ),
            Dimension(
                kind=DimensionKind.ANGLE,
                apex=Spot(0.0, 0.0),
                first=Spot(5.0, 0.0),
                second=Spot(4.0, 4.0),
                line_at=Spot(6.0, 3.0),
                text=DimensionText(main="45°"),
            ),
        )
    )
    document = read(io.StringIO(text))
    assert document.audit().errors == []
    measured = [float(entity[42]) for entity in entities(text, "DIMENSION")]
    assert measured == [pytest.approx(5.0), pytest.approx(pi / 4.0)]
    assert len(document.modelspace().query("HATCH")) == 5
    assert "here" in [entity.dxf.text for entity in document.modelspace().query("TEXT")]
