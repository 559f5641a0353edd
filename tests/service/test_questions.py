"""The questions: every answer leaves a file that reads, what will not do is asked again, and one can go back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.errors import InputError
from handwheel.domain.part import Units
from handwheel.service.demo import demo_text
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.questions.asked import Form
from handwheel.service.questions.interview import (
    Interview,
    answered,
    asks,
    begin,
    begin_with,
    draft_text,
    explained,
    standing,
)
from handwheel.service.questions.lines import bar_row, drill_row, feed_row, speed_row
from handwheel.service.questions.progress import with_progress, without_progress
from handwheel.service.questions.winding import ten_turns_mm, usual_leads, winding_words
from handwheel.service.rewriting import value_at
from handwheel.service.templates import MARK, TEMPLATES, left_to_check, template_text

NAME = "my-shop.toml"


def at(path: str, *, template: str = "small-metric") -> Interview:
    """Questions with a template, at the one about a path."""
    now = begin(name=NAME, template=template)
    place = next(place for place, question in enumerate(now.questions) if question.path == path)
    return replace(now, at=place)


def after(now: Interview, *lines: str) -> Interview:
    for line in lines:
        now, _ = answered(now, line)
    return now


def value(now: Interview, path: str) -> object:
    return value_at(now.values, path)


@pytest.mark.parametrize("template", TEMPLATES)
def test_enter_all_the_way_leaves_the_template_as_it_is_with_its_marks(template: str) -> None:
    now = begin(name=NAME, template=template)
    count = 0
    while now.question is not None:
        now, said = answered(now, "")
        assert said == ()
        count += 1
    assert count == len(now.questions) < 90
    assert now.text == template_text(template)


def test_without_a_file_the_first_question_is_which_template() -> None:
    now = begin(name=NAME)
    assert standing(now) == "small-metric"
    assert any("4 old-belt" in line for line in asks(now))
    for answer in ("4", "old-belt"):
        assert after(now, answer).text == template_text("old-belt")
    assert after(now, "").text == template_text("small-metric")
    again, said = answered(now, "9")
    assert (again, said) == (now, ("Type a number from 1 to 5, or a name.",))
    assert after(now, "2", "back") == now


def test_an_answer_changes_its_value_and_takes_its_mark_away_and_nothing_else() -> None:
    now = after(at("lathe.motor_power_w"), "370")
    old, new = template_text("small-metric").splitlines(), now.text.splitlines()
    assert [line for line in new if line not in old] == ["motor_power_w = 370"]
    assert len(old) == len(new)


def test_typing_what_stands_there_confirms_it() -> None:
    now = after(at("lathe.motor_power_w"), "400")
    assert value(now, "lathe.motor_power_w") == 400
    assert not any("motor_power" in line for line in left_to_check(now.text))


@pytest.mark.parametrize(
    ("path", "answer", "told"),
    [
        ("lathe.motor_power_w", "strong", 'found "strong"; allowed a number of W, or text with its unit'),
        ("lathe.motor_power_w", "1", "found 1; allowed 10 to 50000 W"),
        ("lathe.spindle_bore", "5 mil", "thousandth of an inch or a millimetre"),
        ("lathe.nose", "bolted", "Type one of: threaded, camlock, flanged."),
        ("lathe.cross_slide.dial.settable", "maybe", "Type yes or no."),
        ("lathe.cross_slide.dial.marks", "40.5", "a whole number"),
        ("tool[blade]", "perhaps", "Type yes or no."),
        ("lathe.speed", "fast", "turns a minute"),
        ("bar", "cu_cw614 20 x 300", 'did you mean "cu_cw614n"?'),
        ("drill", "thick", "diameters parted by semicolons"),
    ],
)
def test_an_answer_that_will_not_do_is_told_and_asked_again(path: str, answer: str, told: str) -> None:
    now = at(path)
    again, said = answered(now, answer)
    assert again == now
    assert told in " ".join(said)


@pytest.mark.parametrize(
    ("path", "answer", "meant"),
    [
        ("lathe.spindle_bore", "7/8 in", "7/8 in"),
        ("lathe.spindle_bore", "22,5 mm", "22,5 mm"),
        ("lathe.spindle_bore", "22", 22),
        ("lathe.nose", "thr", "threaded"),
        ("lathe.nose", "Threaded", "threaded"),
        ("lathe.cross_slide.clockwise", "out", "out"),
        ("lathe.cross_slide.dial.settable", "n", False),
        ("lathe.name", "123", "123"),
        ("lathe.carriage.per_turn", "10 turns 165 mm", "16.5 mm"),
    ],
)
def test_an_answer_is_read_as_the_file_would_be(path: str, answer: str, meant: object) -> None:
    now = after(at(path), answer)
    assert value(now, path) == meant
    assert now.at > at(path).at


def test_a_bare_number_is_in_the_units_that_were_chosen() -> None:
    now = after(begin(name=NAME, template="small-metric"), "inch")
    now = replace(now, at=at("lathe.spindle_bore").at)
    assert asks(now)[0].endswith("(inch)")
    made = read_shop(after(now, "0.75").text, name=NAME)
    assert made.lathe.spindle_bore_dia_mm == pytest.approx(19.05)


def test_back_undoes_answer_by_answer() -> None:
    start = at("lathe.nose")
    now = after(start, "threaded", "22 mm")
    assert after(now, "back", "back") == start
    assert answered(start, "back") == (start, ("This is the first question.",))


def test_a_question_mark_tells_how_to_find_out_and_moves_nothing() -> None:
    now = at("lathe.cross_slide.slack")
    again, said = answered(now, "?")
    assert again == now
    assert "indicator" in said[0]
    assert said[1].startswith("Decides: ")


@pytest.mark.parametrize("template", TEMPLATES)
def test_every_question_has_words_an_explanation_and_something_that_stands(template: str) -> None:
    now = begin(name=NAME, template=template)
    for place in range(len(now.questions)):
        here = replace(now, at=place)
        assert asks(here)[0].strip()
        assert all(word.strip() for word in explained(here))
        assert explained(here)
        assert standing(here)


# -- lists and things -----------------------------------------------------------------------------------


def test_a_list_is_entered_line_by_line_and_takes_the_place_of_the_old_one() -> None:
    now = after(at("lathe.speed"), "60 back gear", "?", "x")
    assert standing(now) == "1 so far, empty: done"
    now = after(now, "120.5 belt 1", "")
    speeds = read_shop(now.text, name=NAME).lathe.speeds
    assert [(speed.rpm, speed.position) for speed in speeds] == [(60, "back gear"), (120.5, "belt 1")]
    assert now.question is not None
    assert now.question.path == "lathe.chuck.jaws"
    assert after(at("lathe.speed"), "60 back gear", "back") == at("lathe.speed")


def test_drills_keep_the_centre_drill_and_flutes_that_are_known() -> None:
    now = after(at("drill"), "6 mm; 7.5; 8 mm", "8 mm; 1/2 in dubbed", "")
    drills = {drill.id: drill for drill in read_shop(now.text, name=NAME).drills}
    assert list(drills) == ["centre", "drill-6", "drill-7.5", "drill-8", "drill-8-2", "drill-1/2in-dubbed"]
    assert (drills["drill-6"].flute_mm, drills["drill-7.5"].flute_mm) == (57, 60)
    assert drills["drill-1/2in-dubbed"].dubbed
    assert 'drill[drill-6].flute = "57 mm"' in left_to_check(now.text)


def test_drills_may_be_entered_by_number_and_letter() -> None:
    now = after(at("drill"), "#7; No. 30; letter F dubbed; F", "")
    drills = [drill for drill in read_shop(now.text, name=NAME).drills if drill.id != "centre"]
    assert [float(drill.dia_mm) for drill in drills] == [5.1054, 3.2639, 6.5278, 6.5278]
    assert [drill.dubbed for drill in drills] == [False, False, True, False]
    assert len({drill.id for drill in drills}) == 4


def test_a_bar_gets_limits_that_are_marked_for_nobody_measured_them() -> None:
    now = after(at("bar"), "unknown steel 1 in x 200", "cu_cw614n 20 x 300 mm", "")
    bars = read_shop(now.text, name=NAME).bars
    assert [(bar.id, float(bar.dia_mm), bar.length_mm) for bar in bars] == [
        ("unknown-steel-1in", 25.4, 200),
        ("cu_cw614n-20", 20, 300),
    ]
    assert f'plus_minus = "0.1 mm" # {MARK}' in now.text


def test_none_empties_a_list_that_may_be_empty() -> None:
    assert read_shop(after(at("bar"), "none").text, name=NAME).bars == ()
    assert after(at("bar"), "none", "back") == at("bar")
    assert [drill.id for drill in read_shop(after(at("drill"), "none").text, name=NAME).drills] == ["centre"]
    again, said = answered(at("lathe.speed"), "none")
    assert again == at("lathe.speed")
    assert "no spindle speed" in said[0]


def test_a_tool_that_is_not_there_goes_and_is_not_asked_about() -> None:
    now = after(at("tool[blade]"), "no")
    assert "blade" not in {tool.id for tool in read_shop(now.text, name=NAME).tools}
    assert now.question is not None
    assert now.question.path == "tool[groover]"


def test_all_of_a_kind_may_be_missing() -> None:
    now = at("gauge[micrometer-0-25]")
    while now.question is not None and now.question.part == "gauges":
        now = after(now, "no")
    assert read_shop(now.text, name=NAME).gauges == ()


# -- a file that is there -------------------------------------------------------------------------------


def test_answers_about_a_file_that_is_there_change_only_their_values() -> None:
    text = demo_text("inch-lathe")
    now = begin_with(text, name=NAME)
    assert "units" not in {question.path for question in now.questions}, "its bare numbers hang on them"
    while now.question is not None:
        is_power = now.question.path == "lathe.motor_power_w"
        now = after(now, "250" if is_power else "")
    assert now.text == text.replace("motor_power_w = 370", "motor_power_w = 250")


def test_a_file_that_does_not_read_is_refused_before_any_question() -> None:
    with pytest.raises(InputError, match="motor_power_w"):
        begin_with(demo_text("inch-lathe").replace("motor_power_w = 370\n", ""), name=NAME)


def test_only_what_the_file_has_is_asked() -> None:
    paths = {question.path for question in begin_with(demo_text("metric-lathe"), name=NAME).questions}
    assert {"lathe.feed_along", "lathe.carriage.dial.lead"} <= paths
    assert "lathe.carriage.per_turn" not in paths
    assert {question.form for question in begin_with(demo_text("metric-lathe"), name=NAME).questions} == set(Form)


# -- ten turns ------------------------------------------------------------------------------------------


def test_ten_turns_ask_back_for_the_lead_is_exact() -> None:
    now = at("lathe.cross_slide.dial.lead")
    again, said = answered(now, "10 turns 20.02")
    assert again == now
    assert said == ("2.002 mm a turn: a lead of 2 mm. Type 2 mm if that is it.",)


def test_ten_turns_of_an_inch_lathe_are_in_inches() -> None:
    now = at("lathe.cross_slide.dial.lead", template="small-inch")
    assert "a lead of 1/10 in" in answered(now, "ten turns 1.0")[1][0]


@pytest.mark.parametrize(
    ("measured", "leads"),
    [("10.04", ("1 mm",)), ("25.38", ("1/10 in",)), ("12.6", ("1.25 mm", "1/20 in")), ("22.0", ())],
)
def test_the_leads_that_ten_turns_may_be(measured: str, leads: tuple[str, ...]) -> None:
    assert usual_leads(Fraction(measured)) == leads
    assert all(lead in winding_words(Fraction(measured))[0] for lead in leads)


def test_ten_turns_of_nonsense_are_refused() -> None:
    now = at("lathe.cross_slide.dial.lead")
    assert 'found "wide"' in answered(now, "ten turns wide")[1][0]
    assert ten_turns_mm("twelve turns 3 mm", units=now_units()) is None


def now_units() -> Units:
    return read_shop(template_text("small-metric"), name=NAME).units


def test_an_engraving_that_the_screw_contradicts_is_told_not_mended() -> None:
    now = at("lathe.cross_slide.dial.engraved")
    later, said = answered(now, "0.02 mm")
    assert value(later, "lathe.cross_slide.dial.engraved") == "0.02 mm"
    assert said[0].startswith("Note: lead and marks make 0.0250 mm a mark, the engraving says 0.02 mm")
    assert answered(now, "")[1] == ()


# -- lines ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("read", "line"),
    [
        (speed_row, "belt 1"),
        (speed_row, "120"),
        (feed_row, "0.05 mm"),
        (feed_row, "slow"),
        (drill_row, "6 mm, 8 mm x"),
        (bar_row, "cu_cw614n 20"),
        (bar_row, "20 x 300"),
    ],
)
def test_a_line_that_is_not_whole_is_refused(read: object, line: str) -> None:
    assert callable(read)
    with pytest.raises(InputError, match="allowed"):
        read(line)


# -- a draft that was partly answered -------------------------------------------------------------------


def resumed(now: Interview, *, again: bool = False) -> Interview:
    """Questions about the draft that was kept of these."""
    return begin_with(draft_text(now), name="my-shop-draft.toml", again=again)


def open_paths(now: Interview) -> list[str]:
    return [question.path for question in now.questions]


def test_a_draft_asks_only_what_is_still_open() -> None:
    """Open is what was not reached, and what was kept although it is marked to be checked."""
    now = after(begin(name=NAME, template="small-metric"), "mm", "shed lathe", "threaded", "", "500 mm", "370")
    kept, given = (
        "lathe.spindle_bore",
        ["units", "lathe.name", "lathe.nose", "lathe.spindle_length", "lathe.motor_power_w"],
    )
    again = resumed(now)
    every = open_paths(resumed(now, again=True))
    assert now.settled == frozenset(given)
    assert open_paths(again) == [path for path in every if path not in given]
    assert again.question is not None
    assert again.question.path == kept
    assert again.text == now.text


def test_a_draft_that_is_broken_off_again_remembers_both_sittings() -> None:
    now = after(begin(name=NAME, template="small-metric"), "mm", "shed lathe", "threaded")
    second = after(resumed(now), "20 mm", "500 mm")
    assert second.settled == now.settled | {"lathe.spindle_bore", "lathe.spindle_length"}
    third = resumed(second)
    assert third.question is not None
    assert third.question.path == "lathe.motor_power_w"
    assert resumed(third).text == third.text


def test_all_of_a_draft_can_be_asked_again_and_is_then_noted_anew() -> None:
    now = after(begin(name=NAME, template="small-metric"), "mm", "shed lathe", "threaded")
    again = resumed(now, again=True)
    assert again.settled == frozenset()
    assert open_paths(again)[0] == "lathe.name"
    assert resumed(after(again, "barn lathe")).questions == again.questions[1:]


def test_lists_and_things_that_were_answered_are_not_asked_again() -> None:
    now = begin(name=NAME, template="small-metric")
    while now.question is not None and now.question.part != "chuck":
        now = after(now, *(("120 low", "300 high", "") if now.question.path == "lathe.speed" else ("",)))
    while now.question is not None and now.question.form is not Form.HAVE:
        now = after(now, "")
    gone = now.question
    assert gone is not None
    now = after(now, "no")
    yes = now.question
    assert yes is not None
    now = after(now, "yes")
    again = open_paths(resumed(now))
    assert "lathe.speed" not in again
    assert yes.path not in again
    assert not any(path.startswith(gone.path) for path in again)
    assert resumed(begin_with(template_text("mid-metric"), name=NAME)).questions  # no note, so nothing is settled


def test_a_list_that_was_kept_from_the_template_is_still_open() -> None:
    now = begin(name=NAME, template="small-metric")
    while now.question is not None and now.question.path != "lathe.speed":
        now = after(now, "")
    assert "lathe.speed" in open_paths(resumed(after(now, "")))


def test_a_question_about_a_tool_names_it_where_nothing_before_it_does() -> None:
    now = begin(name=NAME, template="small-metric")
    while now.question is not None and now.question.form is not Form.HAVE:
        now = after(now, "")
    tool = now.question
    assert tool is not None
    name = str(value_at(now.values, tool.path)["name"])
    now = after(now, "yes")
    assert not any(name in line for line in asks(now))
    again = resumed(now)
    place = next(place for place, question in enumerate(again.questions) if question.path.startswith(f"{tool.path}."))
    assert asks(replace(again, at=place))[0] == f"{name}:"


def test_a_draft_with_nothing_open_asks_nothing() -> None:
    now = begin_with(demo_text("inch-lathe"), name=NAME)
    while now.question is not None:
        now = after(now, "")
    assert resumed(now).questions == ()


@given(st.lists(st.sampled_from(["lathe.nose", "tool[a b].reach", "units", "drill"]), unique=True))
def test_the_note_of_a_draft_comes_off_as_it_was_put_on(paths: list[str]) -> None:
    text = template_text("small-inch")
    assert without_progress(with_progress(text, paths)) == (text, frozenset(paths))
