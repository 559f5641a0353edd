"""The sheet says back what was understood: every size as written, in both units, with the rule of its limits."""

from __future__ import annotations

from handwheel.domain.part import Part
from handwheel.report.head_text import size_name
from handwheel.report.understood_text import understood_lines
from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from tests.docs.sheets import NAMES, text_of
from tests.intake_files import PART, spoiled


def words(part: Part, *, width: int = 80) -> str:
    lines = list(understood_lines(part, size_name, width=width))
    assert max(map(len, lines)) <= width
    return " ".join(" ".join(lines).split())


def test_every_size_is_said_back_as_written_in_both_units_with_its_rule() -> None:
    """0.787 in is 19.9898 mm, 1/50 in 0.508 mm; computed with 25.4 mm to the inch."""
    part = read_part(
        spoiled(PART, ('"20 H8"', '"0.787 in +0.001/-0"'), ('"0.5 x 45"', '"1/50 in x 45"')), name="ring.toml"
    )
    said = words(part)
    assert said.startswith("read as millimetres where no unit is written; not worn on the skin as written ")
    assert "bore diameter: 0.787 in +0.001/-0, that is 19.990 mm (0.7870 in); written on the drawing" in said
    assert "outside diameter: 30 ± 0.1, that is 30.000 mm (1.1811 in); written on the drawing" in said
    assert "width: 12 -0.1/0.2, that is 12.000 mm (0.4724 in)" in said
    assert "back inner edge, both legs: 1/50 in, that is 0.508 mm (0.0200 in); ISO 2768-1 m" in said
    assert "afterwards" not in said


def test_what_finishing_is_to_do_is_said_with_the_finished_limits() -> None:
    said = words(read_part(spoiled(PART, ('"20 H8"', '"20 H8"\nfinishing_change = 0.02')), name="ring.toml"))
    assert (
        "afterwards bore diameter: finishing makes it 0.020 mm (0.0008 in) larger; then 20.000 to 20.033 mm"
        " (0.7875 to 0.7887 in)" in said
    )


def test_a_part_in_inches_that_is_worn_says_so() -> None:
    text = spoiled(
        demo_text("band"), ('units = "mm"', 'units = "inch"'), ("worn_on_skin = false", "worn_on_skin = true")
    )
    text = spoiled(text, ("18.5", '"18.5 mm"'), ("23", '"23 mm"'), ("length = 6", 'length = "6 mm"'))
    text = spoiled(text, ("= 0.06", "= 0.002"), ("= 0.1\n", "= 0.004\n"), ("= 0.15", "= 0.006"), ("= 0.5", "= 0.02"))
    said = words(read_part(text, name="band.toml"))
    assert said.startswith("read as inches where no unit is written; worn on the skin")
    assert "bore diameter: 18.5 mm ± 0.002, that is 0.7283 in (18.500 mm)" in said


def test_what_is_no_size_is_said_too() -> None:
    pressed = ("plus_minus = 0.1", 'plus_minus = 0.1\npressed_into = "29.98 mm"')
    bore = ('"20 H8"', '"20 H8"\nfinish_ra = 0.8\ntrue_to = "outside"\nfinished = "as bored"')
    said = words(read_part(spoiled(PART, pressed, bore), name="ring.toml"))
    assert said.endswith(
        "finish bore Ra 0.8 µm (N6) or finer, as turned pressed outside, into a hole of 29.980 mm (1.1803 in); "
        "bore as bored also read outside, bore true to each other"
    )
    threaded = spoiled(PART, ('diameter = "20 H8"', 'thread = "M20x1.5"'))
    assert words(read_part(threaded, name="nut.toml")).endswith("also read thread M20x1.5 in the bore")
    flange = words(read_part(demo_text("flange"), name="flange.toml"))
    assert flange.endswith("true to each other inside corners of at most 0.400 mm (0.0157 in) radius")


def test_the_sheet_says_it_below_its_sizes() -> None:
    name, lathe = NAMES[0]
    sheet = " ".join(text_of(name, lathe).split())
    assert words(read_part(demo_text(name), name=name)) in sheet
