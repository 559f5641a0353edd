"""Shop files: a lathe as it stands, exact where a dial counts, and every problem of the file at once."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields

from handwheel.data.materials import material_keys
from handwheel.domain.bars import Bar
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.contour import Point
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.habits import Habits
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.lathe import Nose
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import BORE, OUTSIDE, Aspect, Units
from handwheel.domain.shop import Shop
from handwheel.domain.slides import AidKind, Dial, Reads
from handwheel.domain.tools import PieceRole, ToolKind
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.problems import MOST_PROBLEMS
from handwheel.service.intake.shop_file import read_shop, read_shop_file
from handwheel.service.intake.table import MOST_ROWS
from tests.intake_files import problems_of, spoiled, without_line

NAME = "shop.toml"
INCH = Fraction(254, 10)
"""Millimetres; by definition (international inch, 1959)."""
INCH_TEXT, METRIC_TEXT = (demo_text(name) for name in DEMO_SHOPS)


def read(*changes: tuple[str, str], text: str = METRIC_TEXT) -> Shop:
    return read_shop(spoiled(text, *changes), name=NAME)


def problems(*changes: tuple[str, str], text: str = METRIC_TEXT) -> tuple[str, ...]:
    return problems_of(lambda: read(*changes, text=text))


def dial(shop: Shop, handle: Handle) -> Dial:
    found = shop.lathe.slide(handle).dial
    assert found is not None
    return found


# -- the demo lathes ------------------------------------------------------------------------------------


def test_the_leads_of_the_inch_lathe_are_exact() -> None:
    """0.100 in is 2.54 mm; a hundredth of it is one thou, 0.0254 mm."""
    shop = read(text=INCH_TEXT)
    assert shop.units is Units.INCH
    for handle in (Handle.CROSS, Handle.TOP, Handle.QUILL):
        collar = dial(shop, handle)
        assert (collar.lead_mm, collar.marks, collar.label_mm) == (Fraction(254, 100), 100, Fraction(254, 10000))
        assert (collar.reads, collar.settable, collar.halves) == (Reads.TRAVEL, True, False)
        assert collar.engraving_agrees
    assert shop.lathe.cross.slack_mm == 6 * INCH / 1000
    assert shop.lathe.top.slack_mm == 5 * INCH / 1000


def test_the_inch_lathe_is_what_its_file_says() -> None:
    lathe = read(text=INCH_TEXT).lathe
    assert lathe.nose is Nose.THREADED
    assert (lathe.spindle_bore_dia_mm, lathe.spindle_length_mm) == (19.05, 330.2)
    assert [speed.rpm for speed in lathe.speeds] == [55, 95, 170, 320, 560, 1000]
    assert (lathe.feeds_along, lathe.feeds_across) == ((), ())
    assert lathe.carriage.dial is None
    aids = {aid.kind: (aid.step_mm, aid.range_mm) for aid in lathe.carriage.aids}
    assert aids[AidKind.RULE][0] == Fraction(1, 2)
    assert aids[AidKind.INDICATOR] == (INCH / 1000, 25.4)
    assert AidKind.STOP in aids
    scale = lathe.top.angle_scale
    assert scale is not None
    assert (scale.zero_along_axis, scale.step_deg) == (True, Fraction(1, 2))
    moves = [lathe.slide(handle).clockwise_moves for handle in Handle]
    assert moves == [Motion.IN, Motion.LEFT, Motion.RIGHT, Motion.LEFT]


def test_the_metric_lathe_is_what_its_file_says() -> None:
    shop = read()
    lathe = shop.lathe
    assert lathe.nose is Nose.CAMLOCK
    cross, top, carriage = (dial(shop, handle) for handle in (Handle.CROSS, Handle.TOP, Handle.CARRIAGE))
    assert (cross.lead_mm, cross.marks, cross.label_mm, cross.reads) == (
        Fraction(4),
        200,
        Fraction(1, 25),
        Reads.DIAMETER,
    )
    assert (top.lead_mm, top.marks, top.label_mm, top.reads) == (Fraction(3), 150, Fraction(1, 50), Reads.TRAVEL)
    assert (carriage.lead_mm, carriage.marks, carriage.label_mm) == (Fraction(20), 200, Fraction(1, 10))
    assert all(collar.engraving_agrees for collar in (cross, top, carriage))
    assert lathe.cross.slack_mm == Fraction(1, 10)
    assert [speed.rpm for speed in lathe.speeds] == [70, 115, 190, 300, 460, 755, 1255, 2000]
    assert [feed.mm_rev for feed in lathe.feeds_along] == [0.03, 0.05, 0.08, 0.10, 0.13, 0.16, 0.20, 0.30]
    assert [feed.mm_rev * 2 for feed in lathe.feeds_across] == [feed.mm_rev for feed in lathe.feeds_along]
    assert lathe.top.angle_scale is not None
    assert lathe.top.angle_scale.zero_along_axis is False
    assert {tool.edge for tool in shop.tools} == set(Edge)


def test_a_bar_of_bright_drawn_steel_has_the_limits_of_its_standard() -> None:
    """EN 10278 h9, 25 mm: 0 to -0.052 mm (tolerance opened; reference table of round bar)."""
    bar = read().bar("steel-25")
    assert (bar.dia_mm, bar.dia_lower_mm, bar.dia_upper_mm) == (Fraction(25), Fraction("24.948"), Fraction(25))
    assert bar.tolerance_rule.startswith("EN 10278 h9")


@pytest.mark.parametrize("text", [INCH_TEXT, METRIC_TEXT])
@pytest.mark.parametrize("part_name", DEMO_PARTS)
def test_each_demo_part_has_in_each_demo_shop_what_it_needs(text: str, part_name: str) -> None:
    """A bar of its metal that is thick enough, a drill below the bore, bars that go in, gauges that reach."""
    part, shop = read_part(demo_text(part_name), name=part_name), read(text=text)
    bars = [bar for bar in shop.bars if bar.material == part.material]
    assert bars
    assert all(float(bar.dia_lower_mm) > 2 * part.outside_radius_mm + 0.3 for bar in bars)
    bore, outside = part.feature(BORE, Aspect.DIAMETER), part.feature(OUTSIDE, Aspect.DIAMETER)
    assert bore is not None
    assert outside is not None
    drills = [
        drill.dia_mm for drill in shop.drills if drill.kind is DrillKind.TWIST and drill.dia_mm < bore.size.cut_lower
    ]
    assert drills
    assert max(drills) <= shop.lathe.tailstock.chuck_high_dia_mm
    for tool in shop.tools:
        if tool.kind in (ToolKind.BORING, ToolKind.EDGE_INSIDE):
            assert tool.bar_dia_mm + tool.head_mm < max(drills)
            assert tool.reach_mm > part.width_mm + 5
        if tool.kind is ToolKind.PARTING:
            assert tool.reach_mm > max(float(bar.dia_upper_mm) / 2 for bar in bars) - part.bore_radius_mm
    for size, use in ((bore.size, GaugeUse.BORE), (outside.size, GaugeUse.OUTSIDE)):
        fitting = [g for g in shop.gauges if use in g.uses and g.low_mm <= size.cut_target <= g.high_mm]
        assert min(gauge.uncertainty_mm for gauge in fitting) < size.band / 4


def test_only_the_inch_lathe_has_a_spindle_too_narrow_for_its_bars() -> None:
    def pass_through(shop: Shop) -> list[Bar]:
        return [bar for bar in shop.bars if float(bar.dia_upper_mm) < shop.lathe.spindle_bore_dia_mm]

    inch, metric = read(text=INCH_TEXT), read()
    assert pass_through(inch) == []
    assert {bar.length_mm for bar in inch.bars} == {125.0, 150.0}
    assert pass_through(metric) == list(metric.bars)


def test_a_dubbed_drill_lies_ready_for_bronze_in_both_shops() -> None:
    for text in (INCH_TEXT, METRIC_TEXT):
        assert [float(drill.dia_mm) for drill in read(text=text).drills if drill.dubbed] == [18.0]


def test_no_tool_for_inside_edges_at_the_back_lies_in_the_inch_shop() -> None:
    assert ToolKind.EDGE_INSIDE not in {tool.kind for tool in read(text=INCH_TEXT).tools}
    assert ToolKind.EDGE_INSIDE in {tool.kind for tool in read().tools}


def test_every_bar_names_a_known_metal() -> None:
    assert {bar.material for text in (INCH_TEXT, METRIC_TEXT) for bar in read(text=text).bars} <= set(material_keys())


# -- what is written is what is read ------------------------------------------------------------------


@given(marks=st.integers(1, 2000), lead_thou=st.integers(10, 500))
def test_any_lead_and_engraving_come_out_exactly_and_may_disagree(marks: int, lead_thou: int) -> None:
    """0.125 in with a metric collar is the known case: a finding of the planner, no fault of the file."""
    shop = read(('lead = "4 mm"\nmarks = 200', f'lead = "{lead_thou} thou"\nmarks = {marks}'))
    collar = dial(shop, Handle.CROSS)
    assert collar.travel_per_mark_mm == lead_thou * INCH / 1000 / marks
    assert collar.engraving_agrees is (2 * collar.travel_per_mark_mm == Fraction(1, 25))


def test_bare_lengths_take_the_units_of_the_file_and_named_ones_their_own() -> None:
    shop = read(("slack = 0.006", "slack = '6 thou'"), ("travel = 4\n", "travel = '100 mm'\n"), text=INCH_TEXT)
    assert (shop.lathe.cross.slack_mm, shop.lathe.cross.travel_mm) == (6 * INCH / 1000, 100.0)
    assert shop.lathe.carriage.travel_mm == pytest.approx(12 * 25.4)


def test_habits_left_out_are_the_usual_ones() -> None:
    assert read(("[habits]\nface_stock = 1", "")).habits == Habits()
    assert read(("face_stock = 1", "face_stock = 0.5\nmeasure_s = 60\nwhole_turns_back = 1")).habits == Habits(
        face_stock_mm=0.5, measure_s=60.0, whole_turns_back=Fraction(1)
    )


@pytest.mark.parametrize("field", [field.name for field in fields(Habits)])
def test_every_habit_can_be_written(field: str) -> None:
    priced = "\nhour_price = 20" if field == "cost_weight" else ""
    value = 0.15 if field == "far_chance" else 0.75
    written = read(("face_stock = 1", f"{field.removesuffix('_mm')} = {value}{priced}")).habits
    assert getattr(written, field) == value
    assert type(getattr(written, field)) is type(getattr(Habits(), field))


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("cost_weight = 1", "an hour has no price; give hour_price"),
        ("time_weight = 0", "neither time nor cost counts"),
        ("gentle_weight = -1", "gentle_weight"),
        ("hour_price = -5", "hour_price"),
        ("edge_price = 2000000", "edge_price"),
        ("far_chance = 0", "far_chance: got 0, must be above 0"),
        ("far_chance = 0.5", "at most 0.2"),
    ],
)
def test_weights_and_chances_that_make_no_sense_are_refused(written: str, says: str) -> None:
    (found,) = problems_of(lambda: read(("face_stock = 1", written)))
    assert says in found


def test_a_tool_may_bring_its_measured_outline() -> None:
    piece = '[[tool.piece]]\nrole = "edge"\npoints = [[0, 0], [4, "0.5 mm"], [4, 8]]\n\n[[drill]]\nid = "drill-5"'
    tool = read(('[[drill]]\nid = "drill-5"', piece)).tools[-1]
    (edge,) = tool.silhouette
    assert edge.role is PieceRole.EDGE
    assert edge.points == (Point(0.0, 0.0), Point(4.0, 0.5), Point(4.0, 8.0))


def test_a_slide_may_have_a_readout_and_the_lathe_a_measured_stiffness() -> None:
    shop = read(
        ("slack = 0.10", "slack = 0.10\nreadout_step = 0.005"),
        ("spindle_bore = 38", "spindle_bore = 38\ntool_stiffness_n_um = 20"),
    )
    assert shop.lathe.cross.readout_step_mm == Fraction(1, 200)
    assert shop.lathe.tool_stiffness_n_um == 20.0
    assert read().lathe.cross.readout_step_mm is None
    assert read().lathe.tool_stiffness_n_um == 12.0


# -- what is wrong is said -----------------------------------------------------------------------------

CROSS = "[lathe.cross_slide.dial]\nlead = "
FIRST_SPEED = 'rpm = 70\nposition = "low range, lever 1"'


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ([("[lathe]\n", "[lath]\n")], "lath: found a key unknown here; "),
        (
            [('nose = "camlock"', 'nose = "cam lock"')],
            'lathe.nose: found "cam lock"; allowed "threaded", "camlock", "flanged"; did you mean "camlock"?',
        ),
        (
            [("spindle_bore = 38", "spindle_bore = '3 ft'")],
            'lathe.spindle_bore: found "3 ft"; "ft" is no unit that is known here',
        ),
        (
            [("spindle_bore = 38", "spindle_bore = '38 in'")],
            'lathe.spindle_bore: found "38 in", which is 965.2 mm; allowed a length from 0 to 500 mm; check',
        ),
        (
            [("spindle_bore = 38", "")],
            "lathe.spindle_bore: found nothing; allowed a length from 0 to 500 mm; write spindle_bore = a length in mm",
        ),
        (
            [("motor_power_w = 1500", "motor_power_w = 1.5")],
            "lathe.motor_power_w: found 1.5; allowed 10 to 50000 W; check the figure and its unit",
        ),
        (
            [("motor_power_w = 1500", "motor_power_w = '1500 VA'")],
            'lathe.motor_power_w: found "1500 VA"; allowed a number of W, or text with its unit ("W", ',
        ),
        ([("motor_power_w = 1500", "motor_power_w = nan")], "lathe.motor_power_w: found NaN; allowed 10 to 50000 W"),
        (
            [("motor_power_w = 1500", "motor_power_w = inf")],
            "lathe.motor_power_w: found Infinity; allowed 10 to 50000 W",
        ),
        ([("motor_power_w = 1500", "motor_power_w = 1e-999999")], "lathe.motor_power_w: found 1E-999999; allowed"),
        ([("motor_power_w = 1500", "motor_power_w = true")], "lathe.motor_power_w: found true; allowed"),
        (
            [("motor_power_w = 1500", "")],
            "lathe.motor_power_w: found nothing; allowed 10 to 50000 W; write motor_power_w = a number (W)",
        ),
        ([("rpm = 70\n", "rpm = 0\n")], "lathe.speed[no. 1].rpm: found 0; allowed 1 to 20000 rev/min; "),
        ([(FIRST_SPEED, "rpm = 70")], "lathe.speed[no. 1].position: found nothing; allowed 1 to 200 characters"),
        (
            [(FIRST_SPEED, f"{FIRST_SPEED}\ntorque_limit_nm = -1")],
            "lathe.speed[no. 1].torque_limit_nm: found -1; allowed 0.01 to 10000 N m",
        ),
        (
            [("per_rev = 0.03", "per_rev = 30")],
            "lathe.feed_along[no. 1].per_rev: found 30; allowed a length from 0.001 to 10 mm",
        ),
        ([("slack = 0.10", "slack = -0.1")], "lathe.cross_slide.slack: found -0.1; allowed a length from 0 to 10 mm"),
        (
            [('clockwise = "in"', 'clockwise = "left"')],
            'lathe.cross_slide.clockwise: found "left"; allowed "in", "out"; ',
        ),
        (
            [('reads = "diameter"', "")],
            'lathe.cross_slide.dial.reads: found nothing; allowed "radius", "diameter"; write reads = "radius"',
        ),
        (
            [('reads = "diameter"', 'reads = "travel"')],
            'lathe.cross_slide.dial.reads: found "travel"; allowed "radius", "diameter"; ',
        ),
        (
            [('engraved = "0.02 mm"', 'engraved = "0.02 mm"\nreads = "radius"')],
            'lathe.top_slide.dial.reads: found "radius"; allowed "travel"; ',
        ),
        (
            [('"4 mm"\nmarks = 200', '"4 mm"\nmarks = 0')],
            "lathe.cross_slide.dial.marks: found 0; allowed a whole number from 1 to 2000; ",
        ),
        (
            [('"4 mm"\nmarks = 200', '"4 mm"\nmarks = 200\nmark = 1')],
            "lathe.cross_slide.dial.mark: found a key unknown here; ",
        ),
        ([('"4 mm"\nmarks = 200', '"4 mm"\nmarks = 200\nmark = 1')], 'rename it to "marks" or delete it'),
        (
            [('lead = "4 mm"', 'lead = "4 mil"')],
            'lathe.cross_slide.dial.lead: found "4 mil"; a thousandth of an inch or a millimetre?',
        ),
        (
            [('zero = "across the axis"', "zero = 0")],
            'lathe.top_slide.angle_scale.zero: found 0; allowed "along the axis", "across the axis"; ',
        ),
        ([("highest_deg = 90", "highest_deg = 60")], "so none at 90°, where the slide is parallel to the bed; "),
        ([("division_deg = 1", "division_deg = 0.7")], "divisions of 0.7° up to 90°, so none at 90°, "),
        (
            [("[lathe.chuck]", "[lathe.chukc]")],
            "lathe.chuck: found nothing; allowed a table; add [lathe.chuck] with its keys",
        ),
        ([("[lathe.chuck]", "[lathe.chukc]")], "lathe.chukc: found a key unknown here; "),
        (
            [("grip_largest = 120", "grip_largest = 2")],
            "lathe.chuck.grip_smallest: found 3 mm, above grip_largest = 2 mm; allowed at most grip_largest; ",
        ),
        (
            [('kind = "boring"', 'kind = "boreing"')],
            'tool[boring-12].kind: found "boreing"; allowed "turning and facing", "boring", ',
        ),
        ([('id = "boring-12"', "")], "tool[no. 3].id: found nothing; allowed 1 to 200 characters"),
        (
            [('uses = ["runout"]', 'uses = ["runout", "colour"]')],
            'gauge[test-indicator].uses: found "runout", "colour"; allowed "outside diameter", "bore", "length", ',
        ),
        ([('uses = ["runout"]', "uses = []")], "gauge[test-indicator].uses: "),
        (
            [('uses = ["runout"]', 'uses = "runout"')],
            'gauge[test-indicator].uses: found "runout"; allowed a list; write for instance uses = ["bore"]',
        ),
        (
            [('diameter = "25 h9"', "diameter = 25")],
            "bar[steel-25].diameter: found 25; allowed a size with its tolerance",
        ),
        (
            [('diameter = "25 h9"', 'diameter = "25 H9"')],
            'bar[steel-25].diameter: found "25 H9"; allowed a fit for shafts, in small letters',
        ),
        (
            [('diameter = "25 h9"', 'diameter = "25 h9"\nfinishing_change = 1')],
            "bar[steel-25].finishing_change: found a key unknown here; ",
        ),
        (
            [('metal = "st11smnpb30"', 'metal = "steel"')],
            'bar[steel-25].metal: found "steel"; allowed a key, name or number that "handwheel metal" lists, ',
        ),
        (
            [('kind = "flat-plate"', 'kind = "glue"')],
            'holding[flat-plate].kind: found "glue"; allowed "soft-jaws", "pot", "collet", "stub-mandrel", ',
        ),
        ([("face_stock = 1", "face_stok = 1")], 'rename it to "face_stock" or delete it'),
        (
            [('id = "drill-6"', 'id = "drill-5"')],
            "as a whole: shop 'yard machine shop, geared lathe': drill id 'drill-5' is used twice; give each its own",
        ),
        ([("[[gauge]]", "[[gage]]")], "gage: found a key unknown here; "),
    ],
)
def test_a_problem_says_file_key_what_was_found_what_is_allowed_and_what_to_do(
    changes: list[tuple[str, str]], problem: str
) -> None:
    found = problems(*changes)
    assert found
    assert all(line.startswith(f"{NAME}: ") for line in found)
    assert any(problem in line for line in found), "\n".join(found)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (
            "[lathe.speed]\nrpm = 1",
            "lathe.speed: found a table; allowed a list; write [[lathe.speed]] for each, with double brackets",
        ),
        ("tool = 3", "tool: found 3; allowed a list; write [[tool]] for each, with double brackets"),
        ("tool = [3]", "tool[no. 1]: found 3; allowed a table; write [[tool]] for each, with double brackets"),
        (
            "[[drill]]\n" * (MOST_ROWS + 1),
            f"drill: found a list of {MOST_ROWS + 1}; allowed at most {MOST_ROWS}; leave out what is not used",
        ),
        ("lathe = 'big'", 'lathe: found "big"; allowed a table; write [lathe], its keys below'),
        (
            "[[tool]]\n[[tool.piece]]\nrole = 'edge'\npoints = [[0, 0], [1, 1]]",
            "tool[no. 1].piece[no. 1].points: found a list of 2; allowed three or more pairs of lengths; write for",
        ),
        (
            "[[tool]]\n[[tool.piece]]\nrole = 'edge'\npoints = [[0, 0], [1, 1], [2, 0], 3]",
            "piece[no. 1].points: found a list of 4; allowed three",
        ),
        (
            "[[tool]]\n[[tool.piece]]\nrole = 'edge'\npoints = [[0, 0], [1, 1], [2, 'x']]",
            'piece[no. 1].points: found "x"; allowed a number and a unit',
        ),
        ("[[tool]]\nid = '\x7f'", "which cannot be read as TOML"),
        ('[[tool]]\nid = "\\u001b[31m"', 'tool[no. 1].id: found " [31m"; allowed 1 to 200 characters on one line'),
    ],
)
def test_a_shape_that_is_not_ours_is_told(text: str, problem: str) -> None:
    assert any(problem in line for line in problems(text=text)), "\n".join(problems(text=text))


def test_a_lathe_without_speeds_is_told_in_the_words_of_the_domain() -> None:
    without = (
        METRIC_TEXT[: METRIC_TEXT.index("[[lathe.speed]]")] + METRIC_TEXT[METRIC_TEXT.index("[lathe.cross_slide]") :]
    )
    (found,) = problems(text=without)
    assert without_line(found).startswith(
        f"{NAME}: lathe: lathe 'geared metric lathe': has no spindle speed; list every belt"
    )


def test_all_problems_of_a_shop_are_told_at_once() -> None:
    found = problems(
        ('nose = "camlock"', 'nose = "none"'),
        ("rpm = 70\n", "rpm = 0\n"),
        ('"4 mm"\nmarks = 200', '"4 mm"\nmarks = "many"'),
        ('kind = "boring"', 'kind = "knurling"'),
        ("length = 400", "length = -1"),
        ("[habits]", "[habits]\npatience = 1"),
    )
    keys = [without_line(line).removeprefix(f"{NAME}: ").split(": ")[0] for line in found]
    assert keys == [
        "lathe.cross_slide.dial.marks",
        "lathe.nose",
        "lathe.speed[no. 1].rpm",
        "habits.patience",
        "tool[boring-12].kind",
        "bar[bronze-30].length",
    ]


def test_past_a_few_dozen_problems_the_rest_are_counted() -> None:
    """Each bare drill lacks its id and its diameter; the file lacks name, units and lathe."""
    found = problems(text="[[drill]]\n" * 100)
    assert len(found) == MOST_PROBLEMS + 1
    assert found[-1] == f"{NAME}: and {2 * 100 + 3 - MOST_PROBLEMS} problems more; mend these first, then read it again"


def test_a_key_is_told_once_however_many_readers_meet_it() -> None:
    """Both legs of an edge, and all four edges, read the same plus_minus."""
    text = spoiled(demo_text("band"), ("plus_minus = 0.15", "plus_minus = 'x'"))
    found = problems_of(lambda: read_part(text, name=NAME))
    assert [without_line(line).split(": ")[1] for line in found] == ["edges.plus_minus"]


@pytest.mark.parametrize(
    ("change", "key"),
    [
        (("grip_smallest = 3", "grip_smallest = 'x'"), "lathe.chuck.grip_smallest"),
        (("grip_largest = 120", "grip_largest = 'x'"), "lathe.chuck.grip_largest"),
        (("travel = 160", "travel = 0"), "lathe.cross_slide.travel"),
        (('limits = ["0", "0.3"]', "plus_minus = 'x'"), "bar[bronze-30].plus_minus"),
        (("grip_largest = 120", ""), "lathe.chuck.grip_largest"),
    ],
)
def test_one_wrong_value_is_one_problem(change: tuple[str, str], key: str) -> None:
    """What stands in for it must not be compared with its neighbours."""
    (found,) = problems(change)
    assert without_line(found).startswith(f"{NAME}: {key}: found ")


def test_what_the_domain_says_of_stand_ins_is_not_told() -> None:
    """A drill id that cannot be read must not be reported as used twice."""
    found = problems(('id = "drill-5"', "id = 5"), ('id = "drill-6"', "id = 6"))
    assert [without_line(line).split(": ")[1] for line in found] == ["drill[no. 2].id", "drill[no. 3].id"]


PIECES = st.sampled_from(
    ["", '"', "=", "[", "]", "{", "\n", "nan", "1e999", "-1", "0", "true", "1979-01-01", "é", "[[x]]"]
)


@pytest.mark.parametrize("text", [INCH_TEXT, METRIC_TEXT])
@given(data=st.data())
def test_a_file_with_any_passage_exchanged_is_read_or_its_problems_are_told(text: str, data: st.DataObject) -> None:
    begin = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(begin, min(len(text), begin + 8)))
    found = problems(text=text[:begin] + data.draw(PIECES | st.text(max_size=4)) + text[end:])
    assert all(problem.startswith(f"{NAME}: ") for problem in found)


def test_a_shop_file_on_disk_is_read(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_text(INCH_TEXT, encoding="utf-8")
    assert read_shop_file(path) == read(text=INCH_TEXT)


# -- ways of holding ------------------------------------------------------------------------------------

HELD = """
[[holding]]
id = "mine"
name = "what holds the ring"
grip = 4
runout = 0.01
ready_s = 300
max_rpm = 900
"""
RANGE = "smallest = 10\nlargest = 30\n"


def holding(lines: str, *, ranged: bool = True) -> HoldingMeans:
    """The one means of a shop file that lists no other."""
    return read(text=with_holding(lines, ranged=ranged)).holding("mine")


def with_holding(lines: str, *, ranged: bool = True) -> str:
    before, _, rest = METRIC_TEXT.partition("[[holding]]")
    return before + HELD + (RANGE if ranged else "") + lines + "\n" + rest[rest.index("[habits]") :]


def test_a_set_of_collets_is_a_list_of_diameters() -> None:
    """Three sizes, one in inches (1 in = 25.4 mm), each closing 0.15 mm: from 9.85 to 25.4 mm."""
    found = holding(
        'kind = "collet"\ndiameters = [10, 16, "1 in"]\ncloses = 0.15\nforce_n = 900\nbody_diameter = 45', ranged=False
    )
    assert found.sizes_mm == (10.0, 16.0, 25.4)
    assert (found.low_dia_mm, found.high_dia_mm, found.closes_mm) == (9.85, 25.4, 0.15)
    assert (found.force_n, found.body_dia_mm) == (900.0, 45.0)


def test_a_set_of_collets_may_rise_by_a_step() -> None:
    found = holding('kind = "collet"\nsize_step = 0.5\ncloses = 0.5\nforce_n = 900')
    assert len(found.sizes_mm) == 41
    assert (found.sizes_mm[0], found.sizes_mm[1], found.sizes_mm[-1]) == (10.0, 10.5, 30.0)


@pytest.mark.parametrize(
    ("kind", "key"),
    [
        ("collet", "force_n"),
        ("expanding-mandrel", "pressure_n_mm2"),
        ("step-spigot", "force_n"),
        ("plate-and-tailstock", "force_n"),
    ],
)
def test_what_must_not_slip_needs_a_figure_for_its_grip(kind: str, key: str) -> None:
    more = "size_step = 1\ncloses = 1\n" if kind == "collet" else ""
    said = problems(text=with_holding(f'kind = "{kind}"\n{more}'))
    assert len(said) == 1
    assert f"holding[mine].{key}: found nothing" in said[0]
    assert "whether the ring slips" in said[0]
    assert getattr(holding(f'kind = "{kind}"\n{more}{key} = 7'), key) == 7.0


def test_collets_without_sizes_are_asked_for_them() -> None:
    said = problems(text=with_holding('kind = "collet"\ncloses = 1\nforce_n = 900'))
    assert "holding[mine].diameters: found nothing; allowed a list of lengths" in said[0]
    endless = problems(text=with_holding('kind = "collet"\ncloses = 1\nforce_n = 900\nsize_step = 0.02'))
    assert "at most 400 collets" in endless[0]


def test_glue_and_pot_take_their_own_figures() -> None:
    assert holding('kind = "glue-arbor"\nbond_n_mm2 = 12').bond_n_mm2 == 12.0
    assert holding('kind = "pot"\nforce_n = 900\nbody_diameter = 60').body_dia_mm == 60.0


# -- what was heard -------------------------------------------------------------------------------------

HEARD = """
[[chatter]]
tool = "right-hand-hss"
metal = "st_c45"
depth = 0.8
chattered = true
stick_out = "40 mm"
diameter = 25
"""


def test_a_cut_that_was_heard_is_read() -> None:
    (row,) = read(text=METRIC_TEXT + HEARD).chatter
    assert (row.tool, row.metal, row.depth_mm, row.chattered) == ("right-hand-hss", "st_c45", 0.8, True)
    assert (row.feed_mm_rev, row.stick_out_mm, row.dia_mm) == (0.1, 40.0, 25.0)


def test_quiet_deeper_than_chatter_is_told() -> None:
    quiet = spoiled(HEARD, ("depth = 0.8", "depth = 0.9"), ("= true", "= false"))
    (problem,) = problems(text=METRIC_TEXT + HEARD + quiet)
    assert "chatter: found a cut that stayed quiet and was as heavy" in problem
    assert "take out the row that you trust least" in problem


def test_chatter_heard_with_a_tool_that_is_not_there_is_told() -> None:
    (problem,) = problems(text=METRIC_TEXT + spoiled(HEARD, ("right-hand-hss", "right-hand")))
    assert "chatter was heard with 'right-hand'" in problem
