"""Pictures of set-ups and steps show what the replay leaves, each with its number, nothing lost."""

from __future__ import annotations

from itertools import pairwise
from math import hypot
from xml.etree import ElementTree as ET

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet, followed
from handwheel.check.section import section
from handwheel.domain.acts import Cut, LoadBar
from handwheel.domain.contour import Point
from handwheel.domain.errors import InputError
from handwheel.domain.holding import Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.plan import Sheet
from handwheel.drawing.frames import CHUCK, PICTURE_WIDTH_MM, without_title
from handwheel.drawing.model import Arrow, Dimension, Drawing, Line, Outline, Path, Pen, Region, Shade, Spot
from handwheel.drawing.placing import on_paper
from handwheel.drawing.seen import STANDPOINT, seen
from handwheel.drawing.setup_view import SETUP_HEIGHT_MM, setup_picture
from handwheel.drawing.shots import Shot
from handwheel.drawing.step_view import STEP_HEIGHT_MM, step_picture, window_of
from handwheel.drawing.strip import strip
from handwheel.drawing.svg import svg_text
from handwheel.drawing.words import StepName
from handwheel.geometry import region as plane
from handwheel.geometry.profile import part_outline
from handwheel.report.steps import numbered_steps
from handwheel.report.text_sheet import sheet_text
from handwheel.service.drawings import drawings_of, words_for
from tests.demo_plans import PAIRS, demo_part, demo_plan, demo_shop
from tests.drawing.pictures import collisions, demo_drawings, demo_shots, outside_paper, texts_of

NAME = StepName(number=7, title="Try")


def pictures(part: str, lathe: str) -> dict[str, Drawing]:
    made = demo_drawings(part, lathe)
    return {**made.set_ups, **made.steps}


def shot_of(part: str, lathe: str, step: str) -> Shot:
    return next(shot for shot in demo_shots(part, lathe) if shot.step == step)


def picture(shot: Shot, part: str) -> Drawing:
    it = demo_part(part)
    return step_picture(shot, NAME, window=window_of((shot,)), part=it, words=words_for(it))


# the truth ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_a_machine_is_handed_out_after_each_act_and_ends_at_what_the_check_measures(part: str, lathe: str) -> None:
    plan, shop = demo_plan(part, lathe), demo_shop(lathe)
    machines = list(followed(plan.sheet, shop))
    assert len(machines) == len(plan.sheet.acts)
    work = machines[-1].work
    assert work is not None
    sizes = {size.feature: size.value_mm for size in check_sheet(plan.sheet, shop).sizes}
    found = section(work.region)
    assert found.high_z_mm - found.low_z_mm == pytest.approx(sizes["back-face width"], abs=1e-6)


def test_a_sheet_is_followed_as_far_as_the_check_can_and_no_further() -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    acts = tuple(act for act in plan.sheet.acts if not isinstance(act, LoadBar))
    sheet = Sheet(part=plan.sheet.part, shop=plan.sheet.shop, acts=acts)
    assert 0 < len(list(followed(sheet, shop))) < len(acts)
    with pytest.raises(InputError, match="cannot be followed to its end"):
        drawings_of(replace(plan, sheet=sheet), shop)


def test_a_part_that_makes_no_sense_is_not_followed() -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    senseless = replace(plan.sheet.part, corner_radius_mm=float("nan"))
    sheet = Sheet(part=senseless, shop=plan.sheet.shop, acts=plan.sheet.acts)
    assert list(followed(sheet, shop)) == []


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_each_step_begins_where_the_one_before_it_ended(part: str, lathe: str) -> None:
    taken = demo_shots(part, lathe)
    assert len(taken) > 10
    for earlier, later in pairwise(taken):
        if later.gripped is None:
            # the bar that stays in the chuck is left out once the ring is held elsewhere
            assert plane.area_mm2(plane.difference(later.before, earlier.after)) < 1e-6
            assert plane.area_mm2(plane.difference(earlier.after, later.before)) < 1e-6


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_what_a_step_takes_and_leaves_make_up_what_it_found(part: str, lathe: str) -> None:
    cutting = [shot for shot in demo_shots(part, lathe) if shot.cuts]
    assert len(cutting) > 8
    for shot in cutting:
        parts = plane.area_mm2(shot.removed) + plane.area_mm2(shot.after)
        assert parts == pytest.approx(plane.area_mm2(shot.before), abs=1e-3)


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_what_is_left_at_the_end_is_the_part(part: str, lathe: str) -> None:
    last = demo_shots(part, lathe)[-1]
    ideal = plane.polygon(part_outline(demo_part(part)))
    if last.side is Side.BACK:
        ideal = plane.turned_round(ideal, demo_part(part).width_mm)
    assert plane.area_mm2(plane.difference(last.after, ideal)) + plane.area_mm2(
        plane.difference(ideal, last.after)
    ) < 0.02 * plane.area_mm2(ideal)


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_the_tool_stands_at_what_it_has_cut_and_not_in_what_is_left(part: str, lathe: str) -> None:
    for shot in demo_shots(part, lathe):
        if shot.feed is None:
            assert shot.edge.is_empty
            continue
        assert plane.area_mm2(plane.intersection(shot.edge, shot.after)) < 1e-3
        # where its way leads out of the metal it stops clear of it
        assert plane.distance_mm(shot.edge, shot.after) < 0.5
        assert plane.area_mm2(plane.intersection(shot.holder, shot.before)) < 1e-6


def test_the_feed_is_that_of_the_last_cut() -> None:
    for part, lathe in PAIRS:
        for shot in demo_shots(part, lathe):
            cuts = [act for act in shot.acts if isinstance(act, Cut)]
            if cuts and shot.feed is not None:
                assert (shot.feed.handle, shot.feed.motion) == (cuts[-1].handle, cuts[-1].motion)
                turn = demo_shop(lathe).lathe.slide(cuts[-1].handle).turn_for(cuts[-1].motion)
                assert shot.feed.turn is turn
                assert hypot(*shot.feed.ahead) == pytest.approx(1.0)


# the pictures ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_every_step_of_the_sheet_has_its_picture_with_its_number_and_title(part: str, lathe: str) -> None:
    made = pictures(part, lathe)
    steps = numbered_steps(demo_plan(part, lathe), demo_shop(lathe))
    assert sorted(made) == sorted(step.id for step in steps)
    for step in steps:
        head = " ".join(text.text for text in texts_of(made[step.id]) if text.layer == "title")
        assert head == f"{step.number} {step.title}"
        assert step.title in made[step.id].title


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_pictures_are_of_one_width_and_no_words_run_into_others_or_off_the_paper(part: str, lathe: str) -> None:
    made = demo_drawings(part, lathe)
    for step, drawing in pictures(part, lathe).items():
        most = SETUP_HEIGHT_MM if step in made.set_ups else STEP_HEIGHT_MM
        assert drawing.paper_width_mm == pytest.approx(PICTURE_WIDTH_MM)
        assert drawing.paper_height_mm <= most + 1e-6
        assert collisions(drawing) == []
        assert outside_paper(drawing) == []


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_each_picture_of_the_machine_says_which_end_is_the_chuck(part: str, lathe: str) -> None:
    for step, drawing in pictures(part, lathe).items():
        shot = shot_of(part, lathe, step)
        turned = shot.holding is not None and shot.holding.turned and (bool(shot.cuts) or shot.gripped is not None)
        said = [text for text in texts_of(drawing) if text.text == CHUCK]
        assert len(said) == int(turned), step
        assert all(text.bold and text.at.x_mm < PICTURE_WIDTH_MM / 10.0 for text in said)


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_no_line_of_a_frame_is_cut_off_at_the_edge(part: str, lathe: str) -> None:
    for drawing in pictures(part, lathe).values():
        for item in on_paper(drawing).items:
            if isinstance(item, Path) and item.layer == "frame":
                right = max(corner.x_mm for corner in item.outline.corners)
                assert right <= drawing.paper_width_mm - item.pen.width_mm / 2.0


def test_a_page_that_says_the_title_itself_gets_the_picture_without_it_and_nothing_else_is_lost() -> None:
    drawing = picture(shot_of("bush", "inch-lathe", demo_shots("bush", "inch-lathe")[1].step), "bush")
    bare = without_title(drawing)
    assert len(bare.items) < len(drawing.items)
    assert all(item.layer == "title" for item in drawing.items if item not in bare.items)
    assert bare.paper_height_mm < drawing.paper_height_mm
    assert outside_paper(bare) == []


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_nothing_but_words_and_arrows_is_drawn_off_the_paper(part: str, lathe: str) -> None:
    for drawing in pictures(part, lathe).values():
        for item in on_paper(drawing).items:
            spots = (
                [corner.spot for outline in item.outlines for corner in outline.corners]
                if isinstance(item, Region)
                else [item.start, item.end]
                if isinstance(item, Line)
                else []
            )
            assert all(-1e-6 <= spot.x_mm <= drawing.paper_width_mm + 1e-6 for spot in spots)
            assert all(-1e-6 <= spot.y_mm <= drawing.paper_height_mm + 1e-6 for spot in spots)


def black(drawing: Drawing) -> list[Region]:
    return [i for i in drawing.items if isinstance(i, Region) and i.fill is Shade.BLACK and i.layer == "removed"]


def test_what_is_cut_away_is_black_and_as_large_as_it_is() -> None:
    """In the view with the tool everything is drawn at one scale, read off the axis: area goes with its square."""
    shot = shot_of("bush", "metric-lathe", "rough-outside")
    window = window_of((shot,))
    bush = demo_part("bush")
    drawing = step_picture(shot, NAME, window=window, part=bush, words=words_for(bush))
    axis = next(item for item in drawing.items if isinstance(item, Line) and item.layer == "axis")
    scale = (axis.end.x_mm - axis.start.x_mm) / window.width_mm
    assert abs(black(drawing)[0].area_mm2) == pytest.approx(plane.area_mm2(shot.removed) * scale**2, rel=1e-6)


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_every_cut_can_be_seen(part: str, lathe: str) -> None:
    """The largest black spot of each cutting step is at least 1 mm thick on paper, and no tool is drawn over it."""
    for shot in demo_shots(part, lathe):
        if not shot.cuts:
            continue
        drawing = picture(shot, part)
        thick = max(thickness(outline) for region in black(drawing) for outline in region.outlines)
        assert thick >= 1.0, shot.step
        places = [place for place, item in enumerate(drawing.items) if item in black(drawing)]
        white = [
            place for place, item in enumerate(drawing.items) if isinstance(item, Region) and item.fill is Shade.WHITE
        ]
        assert max(white, default=-1) < min(places)


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_the_arrow_of_the_feed_does_not_lie_on_the_black(part: str, lathe: str) -> None:
    for shot in demo_shots(part, lathe):
        if shot.feed is None:
            continue
        drawing = picture(shot, part)
        (arrow,) = [item for item in drawing.items if isinstance(item, Arrow)]
        main = black(drawing)[0]
        covered = plane.union([plane.polygon([c.spot for c in outline.corners]) for outline in main.outlines])
        half = 0.5
        length = hypot(arrow.end.x_mm - arrow.start.x_mm, arrow.end.y_mm - arrow.start.y_mm)
        shaft = plane.rectangle(
            *spread(arrow.start.x_mm, arrow.end.x_mm, half * abs(arrow.end.y_mm - arrow.start.y_mm) / length),
            *spread(arrow.start.y_mm, arrow.end.y_mm, half * abs(arrow.end.x_mm - arrow.start.x_mm) / length),
        )
        assert plane.area_mm2(plane.intersection(shaft, covered)) < 1e-6, shot.step
        assert min(arrow.start.x_mm, arrow.end.x_mm) >= 0.0
        assert min(arrow.start.y_mm, arrow.end.y_mm) >= 7.0, "above the words"


def spread(first: float, second: float, by: float) -> tuple[float, float]:
    """The lower and the higher of two, moved apart."""
    return min(first, second) - by, max(first, second) + by


def thickness(outline: Outline) -> float:
    """Area over the longer side of the box round it."""
    xs, ys = [c.x_mm for c in outline.corners], [c.y_mm for c in outline.corners]
    return abs(outline.area_mm2) / max(max(xs) - min(xs), max(ys) - min(ys))


def test_the_person_at_the_lathe_sees_in_as_up_and_left_as_left() -> None:
    assert seen(Point(-3.0, 10.0)) == Spot(-3.0, -10.0)
    arrows = {}
    for step in ("rough-outside", "part-off", "drill-2-drill-14", "front-inner-edge"):
        shot = shot_of("bush", "metric-lathe", step)
        (arrow,) = [item for item in picture(shot, "bush").items if isinstance(item, Arrow)]
        assert shot.feed is not None
        arrows[shot.feed.motion] = (arrow.end.x_mm - arrow.start.x_mm, arrow.end.y_mm - arrow.start.y_mm)
    for motion, way in ((Motion.IN, (0.0, 1.0)), (Motion.OUT, (0.0, -1.0)), (Motion.LEFT, (-1.0, 0.0))):
        length = hypot(*arrows[motion])
        assert 4.0 - 1e-9 <= length <= 9.0 + 1e-9
        assert (arrows[motion][0] / length, arrows[motion][1] / length) == pytest.approx(way)


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_a_picture_says_where_one_stands_and_how_the_hand_turns(part: str, lathe: str) -> None:
    made = pictures(part, lathe)
    for shot in demo_shots(part, lathe):
        told = " ".join(text.text for text in texts_of(made[shot.step]))
        if shot.feed is not None:
            assert STANDPOINT in told
            words = words_for(demo_part(part))
            hand = words.hand(shot.feed.turn, shot.feed.motions)
            assert f"{words.handle(shot.feed.handle)}, {hand}" in told
            assert hand in sheet_text(demo_plan(part, lathe), demo_shop(lathe))
        elif shot.gripped is not None and shot.gripped.holding.turned:
            assert STANDPOINT in told
        else:
            assert STANDPOINT not in told


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_a_set_up_shows_the_stick_out_and_each_face_that_is_touched(part: str, lathe: str) -> None:
    made, taken, words = demo_drawings(part, lathe), demo_shots(part, lathe), words_for(demo_part(part))
    assert [shot.step for shot in taken if shot.gripped is not None] == list(made.set_ups)
    for shot in (shot for shot in taken if shot.gripped is not None):
        drawing = made.set_ups[shot.step]
        told = " ".join(text.text for text in texts_of(drawing))
        under = [other for other in taken if (other.side, other.holding) == (shot.side, shot.holding)]
        for contact in (contact for other in under for contact in other.contacts):
            assert words.surface(contact.surface) in told
        act = shot.gripped
        if isinstance(act, LoadBar):
            stick_out = next(item for item in drawing.items if isinstance(item, Dimension) and item.angle_deg == 0.0)
            assert stick_out.text.main == words.length(act.stick_out_mm)
            assert f"gripped {words.length(act.grip_length_mm)}" in told
            finished = [i for i in drawing.items if i.layer == "finished"]
            assert finished
            assert all(getattr(item, "pen", None) is Pen.NEIGHBOUR for item in finished)


def test_touches_of_the_sheet_are_all_known() -> None:
    for part, lathe in PAIRS:
        handles = {contact.handle for shot in demo_shots(part, lathe) for contact in shot.contacts}
        assert Handle.QUILL in handles
        assert Handle.CROSS in handles


def test_a_step_that_grips_nothing_has_no_set_up_picture() -> None:
    shot = shot_of("bush", "metric-lathe", "bore")
    with pytest.raises(ValueError, match="grips nothing"):
        setup_picture(shot, NAME, under=(shot,), words=words_for(demo_part("bush")), part=demo_part("bush"))


def test_a_ring_that_is_rubbed_lies_against_its_plate() -> None:
    shot = next(s for s in demo_shots("bush", "metric-lathe") if s.cuts and s.feed is None)
    (plate,) = shot.bodies
    assert plane.distance_mm(plate, shot.after) == pytest.approx(0.0, abs=1e-6)
    assert plane.area_mm2(plane.intersection(plate, shot.after)) < 1e-6


def test_a_long_title_stands_on_two_lines() -> None:
    shot = shot_of("bush", "metric-lathe", "bore")
    title = "Bevel the front outer edge with the side of the edge tool, very slowly"
    bush = demo_part("bush")
    name = StepName(number=12, title=title)
    drawing = step_picture(shot, name, window=window_of((shot,)), part=bush, words=words_for(bush))
    heads = [text for text in texts_of(drawing) if text.layer == "title"]
    assert len(heads) == 2
    assert collisions(drawing) == []
    assert outside_paper(drawing) == []


def test_a_swung_top_slide_goes_both_ways_and_the_picture_says_so() -> None:
    shot = shot_of("bush", "inch-lathe", "front-inner-edge")
    assert shot.feed is not None
    assert shot.feed.motions == (Motion.LEFT, Motion.IN)
    assert any("(left and in)" in text.text for text in texts_of(picture(shot, "bush")))


# the strip ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_the_strip_holds_every_step_in_the_order_of_the_sheet(part: str, lathe: str) -> None:
    drawing = demo_drawings(part, lathe).strip
    numbers = [
        int(text.text.split()[0]) for text in texts_of(drawing) if text.layer == "title" and text.text[0].isdigit()
    ]
    assert numbers == list(range(1, len(demo_shots(part, lathe)) + 1))
    assert collisions(drawing) == []
    assert outside_paper(drawing) == []
    ids = [e.get("id") for e in ET.fromstring(svg_text(drawing, prefix="s")).iter() if e.get("id")]  # noqa: S314 - our own text
    assert len(ids) == len(set(ids))


def test_a_strip_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="no picture"):
        strip([], title="nothing")


def test_the_same_plan_gives_the_same_pictures() -> None:
    plan, shop = demo_plan("band", "inch-lathe"), demo_shop("inch-lathe")
    first, second = (svg_text(drawings_of(plan, shop).strip, prefix="s") for _ in range(2))
    assert first == second
