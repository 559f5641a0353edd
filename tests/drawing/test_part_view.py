"""The drawing of a part: its section is exact, each size reads back from it, no words run into others."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from handwheel.domain.contour import Contour, Point, Segment
from handwheel.domain.part import Aspect, Part, SizedFeature, Units
from handwheel.domain.size import LaterWork, Size, SizeKind
from handwheel.domain.thread import Thread
from handwheel.drawing.model import Dimension, Drawing, Hatch, Region, Text
from handwheel.drawing.part_view import part_drawing, scale_for, section_outline
from handwheel.drawing.size_text import size_text
from handwheel.geometry.profile import part_outline
from handwheel.geometry.region import area_mm2, polygon
from handwheel.service.demo import DEMO_PARTS
from handwheel.service.drawings import words_for
from handwheel.service.intake.part_file import read_part, read_part_file
from tests.demo_plans import demo_part
from tests.drawing.pictures import collisions, outside_paper, texts_of

PARTS = Path(__file__).parents[1] / "shops" / "parts"
ODD = """
kind = "stepped-ring"
name = "odd sleeve"
metal = "cu_cw307g"
units = "mm"
quantity = 3
worn_on_skin = false
general_class = "f"
corner_radius = 0.4
[bore]
diameter = "14 H7"
true_to = "outside"
finish_ra = 1.6
[outside]
between = [25.98, 26.02]
finish_ra = "N6"
[width]
length = 20
plus_minus = 0.05
[[outside_step]]
from = "back"
diameter = "20 g6"
depth = 6
[[outside_step]]
from = "back"
diameter = "22"
depth = 9
[[bore_step]]
from = "front"
diameter = 18
plus_minus = 0.05
depth = { length = 4, plus_minus = 0.05 }
[edges]
front_outer = { along = 1.0, across = 0.5 }
front_inner = "broken"
back_outer = "0.5 x 45"
back_inner = "sharp"
"""
"""Steps at both ends, a fit below its nominal, limits as two sizes, three kinds of edge, roughness."""


def all_parts() -> dict[str, Part]:
    files = {path.stem: read_part_file(path) for path in sorted(PARTS.glob("*.toml"))}
    return {**{name: demo_part(name) for name in DEMO_PARTS}, **files, "odd": read_part(ODD, name="odd.toml")}


ALL = all_parts()


def drawn(part: Part, *, enlarged: bool = True) -> Drawing:
    return part_drawing(part, words=words_for(part), enlarged=enlarged)


def domed() -> Part:
    """A ring whose outside is an arc: of radius 5 mm round a place on the wall, half a circle less its ends."""
    front, back = Point(0.0, 12.0), Point(-8.0, 12.0)
    arc = Segment(id="outside", start=front, end=back, centre=Point(-4.0, 9.0), clockwise=False)
    bore = Segment(id="bore", start=Point(0.0, 9.0), end=Point(-8.0, 9.0))
    plain = demo_part("band")
    return replace(plain, outer=Contour(segments=(arc,)), inner=Contour(segments=(bore,)), sizes=())


@pytest.mark.parametrize("name", ALL)
def test_both_halves_of_the_section_have_the_area_of_the_part(name: str) -> None:
    area = area_mm2(polygon(part_outline(ALL[name])))
    sections = [item for item in drawn(ALL[name]).items if isinstance(item, Region) and item.layer == "part"]
    halves = [item for item in sections if isinstance(item.fill, Hatch)][:2]
    assert [abs(half.area_mm2) for half in halves] == [pytest.approx(area, rel=1e-9)] * 2


def test_an_arc_of_the_outside_stays_an_arc() -> None:
    """Segment of a circle over a chord of 8 mm at 3 mm from its centre, by hand: r = 5, half angle acos(3/5)."""
    half_angle = 0.9272952180016122
    cap = 25.0 * half_angle - 3.0 * 4.0
    assert abs(section_outline(domed(), upper=True).area_mm2) == pytest.approx(8.0 * 3.0 + cap, rel=1e-12)
    assert abs(section_outline(domed(), upper=False).area_mm2) == pytest.approx(8.0 * 3.0 + cap, rel=1e-12)


FIGURE = r"[-+]?\d+(?:\.\d+)?"


def limits_read(item: Dimension, units: Units) -> tuple[Fraction, Fraction]:
    """Limits that a person reads off a dimension. [mm]"""
    text, mm = item.text, Fraction(254, 10) if units is Units.INCH else Fraction(1)
    if text.limits:
        return Fraction(text.lower) * mm, Fraction(text.upper) * mm
    found = re.fullmatch(rf"[ØR]?({FIGURE})(?: [A-Za-z]+\d+)?(?: ±({FIGURE}))?", text.main)
    assert found is not None, text
    nominal = Fraction(found[1])
    if found[2] is not None:
        return nominal - Fraction(found[2]), nominal + Fraction(found[2])
    return nominal + Fraction(text.lower), nominal + Fraction(text.upper)


@pytest.mark.parametrize("name", ALL)
def test_every_size_reads_back_from_the_drawing_with_its_limits(name: str) -> None:
    part = ALL[name]
    read = Counter(limits_read(item, part.units) for item in drawn(part).items if isinstance(item, Dimension))
    shown = (Aspect.DIAMETER, Aspect.WIDTH, Aspect.DEPTH)
    wanted = Counter(feature.size.finished_limits for feature in part.sizes if feature.aspect in shown)
    legs = {f.size.finished_limits for f in part.sizes if f.aspect in {Aspect.LEG_AXIAL, Aspect.LEG_RADIAL}}
    assert wanted <= read
    assert set(read - wanted) == legs


@pytest.mark.parametrize("name", ALL)
def test_what_is_drawn_at_its_own_size_lies_within_its_limits(name: str) -> None:
    part = ALL[name]
    sizes = [item for item in drawn(part, enlarged=False).items if isinstance(item, Dimension)]
    assert len(sizes) >= 3
    for item in sizes:
        low, high = limits_read(item, part.units)
        assert float(low) - 1e-9 <= item.measured <= float(high) + 1e-9


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("enlarged", [True, False])
def test_no_words_run_into_others_or_off_the_paper(name: str, *, enlarged: bool) -> None:
    drawing = drawn(ALL[name], enlarged=enlarged)
    assert len(list(texts_of(drawing))) > 5
    assert collisions(drawing) == []
    assert outside_paper(drawing) == []


def feature(size: Size, aspect: Aspect = Aspect.DIAMETER) -> SizedFeature:
    return SizedFeature(surface="bore", aspect=aspect, size=size)


def size(nominal: str, lower: str, upper: str, *, rule: str = "written on the drawing", written: str = "x") -> Size:
    kind = SizeKind.DIAMETER
    return Size(
        nominal=Fraction(nominal),
        lower=Fraction(lower),
        upper=Fraction(upper),
        kind=kind,
        as_written=written,
        rule=rule,
    )


@pytest.mark.parametrize(
    ("it", "units", "main", "upper", "lower"),
    [
        (size("20", "20", "20.033", rule="ISO 286-2 H8"), Units.MM, "Ø20 H8", "+0.033", "0"),
        (size("20", "19.98", "19.993", rule="ISO 286-2 g6"), Units.MM, "Ø20 g6", "-0.007", "-0.02"),
        (size("18.5", "18.44", "18.56"), Units.MM, "Ø18.5 ±0.06", "", ""),
        (size("26", "25.98", "26.02", written="25.98 to 26.02"), Units.MM, "Ø", "26.02", "25.98"),
        (size("12.7", "12.7", "12.7762"), Units.INCH, "Ø", "0.503", "0.500"),
        (size("20", "20", "20.033"), Units.INCH, "Ø", "0.78870", "0.78741"),
    ],
)
def test_a_size_is_written_with_deviations_or_with_limits(
    it: Size, units: Units, main: str, upper: str, lower: str
) -> None:
    """20.033 mm are 0.788700... in and 20 mm 0.787401... in: rounded inward, by hand."""
    text = size_text(feature(it), units=units)
    assert (text.main, text.upper, text.lower, text.limits) == (main, upper, lower, main == "Ø")


def test_later_work_shows_the_finished_limits_and_says_what_to_turn_to() -> None:
    polished = replace(
        size("20", "20", "20.05"),
        finishing_change=Fraction("0.02"),
        later=(LaterWork(words="polished", lower=Fraction("20.02"), upper=Fraction("20.06")),),
    )
    part = demo_part("bush")
    sizes = tuple(replace(f, size=polished) if f.id == "bore diameter" else f for f in part.sizes)
    drawing = drawn(replace(part, sizes=sizes))
    assert any(item.text.upper == "+0.06" for item in drawing.items if isinstance(item, Dimension))
    assert any("turned to 19.98 to 20.03 mm, then polished" in words for words in notes(drawing))


def notes(drawing: Drawing) -> list[str]:
    return [item.text for item in drawing.items if isinstance(item, Text) and item.layer == "notes"]


def test_the_notes_say_metal_number_units_scale_edges_roughness_and_what_runs_true() -> None:
    told = " ".join(notes(drawn(ALL["odd"])))
    for words in (
        "odd sleeve",
        "3 off; sizes in millimetres; scale 2:1",
        "A: 1 ±0.2 along the axis, 0.5 ±0.2 across it (front outer edge)",
        "C: 0.2 ±0.1 broken by hand (front inner edge)",
        "sizes given without limits: ISO 2768-1 f",
        "true to each other: outside, bore",
        "outside Ra 0.8 µm, bore Ra 1.6 µm",
        "radius in inside corners up to 0.4 mm",
    ):
        assert words in told
    assert "sizes in inches" in " ".join(notes(drawn(ALL["inch-sleeve"])))


def test_surfaces_with_a_roughness_bear_its_mark() -> None:
    marks = [i.text for i in drawn(ALL["odd"]).items if isinstance(i, Text) and i.layer == "roughness"]
    assert marks == ["Ra 0.8", "Ra 1.6"]
    assert not [i for i in drawn(ALL["bush"]).items if i.layer == "roughness"]


SMALL_EDGE = "{ along = 0.4, across = 0.4, plus_minus = 0.1 }"


def test_a_small_edge_is_shown_enlarged_so_that_it_can_be_seen() -> None:
    """An edge of 0.4 mm on a ring of 20 mm: its legs are at least 4 mm long on paper."""
    text = (PARTS / "brass-bush.toml").read_text(encoding="utf-8").replace('"0.5 x 45"', SMALL_EDGE)
    part = read_part(text, name="small.toml")
    drawing = drawn(part)
    legs = [item for item in drawing.items if isinstance(item, Dimension) and item.text.main.startswith("0.4")]
    assert len(legs) == 2
    assert all(item.measured * drawing.scale >= 3.999 for item in legs)


def test_edges_that_are_alike_bear_one_letter_and_are_enlarged_once() -> None:
    letters = Counter(i.text for i in drawn(demo_part("bush")).items if isinstance(i, Text) and i.layer == "edges")
    assert letters == {"A": 4}
    odd = Counter(i.text for i in drawn(ALL["odd"]).items if isinstance(i, Text) and i.layer == "edges")
    assert odd == {"A": 1, "B": 1, "C": 1}


def test_a_tapped_bore_is_named_by_its_thread_and_shows_its_root() -> None:
    thread = Thread(major_mm=Fraction(21), pitch_mm=Fraction(1))
    drawing = drawn(replace(demo_part("bush"), thread=thread))
    assert "M21x1" in [item.text.main for item in drawing.items if isinstance(item, Dimension)]
    assert [item for item in drawing.items if getattr(item, "start", (0, 0))[1] == 10.5]


@pytest.mark.parametrize(("dia_mm", "scale"), [(8.0, 10.0), (18.0, 5.0), (28.0, 2.0), (90.0, 1.0), (180.0, 0.5)])
def test_the_scale_is_the_largest_of_the_series_that_has_room(dia_mm: float, scale: float) -> None:
    outer = Segment(id="outside", start=Point(0.0, dia_mm / 2.0), end=Point(-6.0, dia_mm / 2.0))
    inner = Segment(id="bore", start=Point(0.0, dia_mm / 4.0), end=Point(-6.0, dia_mm / 4.0))
    part = replace(demo_part("band"), outer=Contour(segments=(outer,)), inner=Contour(segments=(inner,)), sizes=())
    assert scale_for(part) == scale
    assert drawn(part).scale == scale


def test_the_reference_line_is_ten_millimetres_long() -> None:
    drawing = drawn(demo_part("band"))
    (line,) = [item for item in drawing.items if item.layer == "reference" and not isinstance(item, Text)]
    xs = [corner.x_mm for corner in line.outline.corners]  # type: ignore[union-attr]  # it is a path
    assert max(xs) - min(xs) == pytest.approx(10.0)
    assert "this line is 10 mm of the part" in [text.text for text in texts_of(drawing)]
