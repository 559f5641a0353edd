"""Changing values of a file: comments, order and spacing stay, and nothing is written that the reader refuses."""

from __future__ import annotations

import difflib
from decimal import Decimal

import pytest

from handwheel.domain.errors import InputError
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.rewriting import (
    REMOVED,
    NotRewrittenError,
    Reader,
    comment_of,
    rewritten,
    value_at,
    with_comments,
    with_values,
    written_value,
)
from tests.intake_files import PART
from tests.shops import SHOPS, shop_path

NAME = "shop.toml"
INCH = demo_text("inch-lathe")
FILES: dict[str, tuple[str, Reader]] = {
    **{name: (demo_text(name), read_part) for name in DEMO_PARTS},
    **{name: (demo_text(name), read_shop) for name in DEMO_SHOPS},
    **{name: (shop_path(name).read_text(encoding="utf-8"), read_shop) for name in SHOPS},
}


def changed(text: str = INCH, /, **changes: object) -> str:
    return rewritten(text, changes, read=read_shop, name=NAME)


def lines_between(old: str, new: str) -> tuple[list[str], list[str]]:
    """Lines that went, and lines that came."""
    lines = list(difflib.ndiff(old.splitlines(), new.splitlines()))
    return [line[2:] for line in lines if line[0] == "-"], [line[2:] for line in lines if line[0] == "+"]


@pytest.mark.parametrize("name", FILES)
def test_a_file_without_changes_comes_back_byte_for_byte(name: str) -> None:
    text, read = FILES[name]
    assert rewritten(text, {}, read=read, name=f"{name}.toml") == text


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_line_endings_stay_as_they_are(ending: str) -> None:
    text = INCH.replace("\n", ending)
    assert rewritten(text, {}, read=read_shop, name=NAME) == text
    new = rewritten(text, {"lathe.motor_power_w": 250}, read=read_shop, name=NAME)
    assert lines_between(text, new) == (["motor_power_w = 370"], ["motor_power_w = 250"])


def test_a_value_changes_and_its_comment_stays() -> None:
    new = changed(**{"lathe.spindle_bore": "20 mm", "lathe.cross_slide.dial.reads": "diameter"})
    old_lines, new_lines = lines_between(INCH, new)
    assert old_lines == [
        'spindle_bore = "3/4 in" # 1 in bar does not pass: it is sawn to blanks',
        'reads = "radius" # one mark in takes two thou off the diameter',
    ]
    assert new_lines == [
        'spindle_bore = "20 mm" # 1 in bar does not pass: it is sawn to blanks',
        'reads = "diameter" # one mark in takes two thou off the diameter',
    ]


def test_a_row_is_found_by_its_id_as_messages_name_it_or_by_its_place() -> None:
    by_id = changed(**{"tool[boring-10].reach": "40 mm"})
    assert lines_between(INCH, by_id) == (['reach = "45 mm"'], ['reach = "40 mm"'])
    by_place = changed(**{"lathe.speed[no. 2].rpm": 96})
    assert lines_between(INCH, by_place) == (["rpm = 95"], ["rpm = 96"])
    assert changed(**{"lathe.speed[2].rpm": 96}) == by_place
    dotted = rewritten(demo_text("metric-lathe"), {"tool[parting-2.5].width": 2.4}, read=read_shop, name=NAME)
    assert read_shop(dotted, name=NAME).tools[3].width_mm == 2.4


def test_a_row_can_go_and_its_neighbours_stay() -> None:
    new = changed(**{"bar[titanium-1in]": REMOVED})
    assert [bar.id for bar in read_shop(new, name=NAME).bars] == ["bronze-1-1/4in"]
    gone, come = lines_between(INCH, new)
    assert come == []
    assert gone[:2] == ["[[bar]]", 'id = "titanium-1in"']
    assert "# Short pieces; they do not pass through the spindle." in new


def test_a_list_of_tables_is_exchanged_as_a_whole() -> None:
    rows = [{"rpm": 60, "position": "slow"}, {"rpm": 600, "position": "fast", "measured": True}]
    new = changed(**{"lathe.speed": rows})
    assert [speed.rpm for speed in read_shop(new, name=NAME).lathe.speeds] == [60, 600]
    assert '[[lathe.speed]]\nrpm = 60\nposition = "slow"\n\n[[lathe.speed]]\nrpm = 600\n' in new
    assert "measured = true\n\n[lathe.cross_slide]\n" in new
    assert "# Three belt steps, with and without back gear." in new


def test_a_key_that_was_left_out_is_added_to_its_table_not_below_the_next_heading() -> None:
    new = changed(**{"lathe.tool_stiffness_n_um": 9})
    assert lines_between(INCH, new) == ([], ["tool_stiffness_n_um = 9"])
    assert "drive_efficiency = 0.7\ntool_stiffness_n_um = 9\n" in new


def test_an_inline_table_and_a_key_of_a_part_are_changed_too() -> None:
    text = demo_text("band")
    new = rewritten(text, {"edges.front_outer.along": 0.4}, read=read_part, name="band.toml")
    assert "front_outer = { along = 0.4, across = 0.5 }" in new
    assert rewritten(PART, {"bore.diameter": "22 H8"}, read=read_part, name="part.toml") == PART.replace(
        "20 H8", "22 H8"
    )


@pytest.mark.parametrize(
    "changes",
    [
        {"lathe.chuck.runout": "0.002 in", "lathe.motor_power_w": 300},
        {"lathe.tool_stiffness_n_um": 9},
        {"lathe.speed": [{"rpm": 60, "position": "slow"}]},
        {"lathe.speed[no. 1]": REMOVED},
        {"gauge": []},
    ],
)
def test_tables_that_stand_apart_in_the_file_are_changed_where_they_stand(changes: dict[str, object]) -> None:
    """The chuck after the habits, far from the rest of the lathe."""
    begin, end = INCH.index("[lathe.chuck]"), INCH.index("[lathe.tailstock]")
    apart = f"{INCH[:begin]}{INCH[end:]}\n{INCH[begin:end]}"
    new = rewritten(apart, changes, read=read_shop, name=NAME)
    assert read_shop(new, name=NAME) == read_shop(changed(**changes), name=NAME)
    assert new.index("[lathe.chuck]") > new.index("[habits]")


def test_a_file_of_dotted_keys_and_inline_rows_keeps_its_form() -> None:
    text = 'lathe.name = "a" # mine\nbar = [{ id = "x" }, { id = "y" }] # rack\n'
    new = rewritten(text, {"lathe.name": "b", "bar[x]": REMOVED}, read=lambda text, *, name: (text, name), name=NAME)
    assert new == 'lathe.name = "b" # mine\nbar = [{ id = "y" }] # rack\n'


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"lathe.motor_pwer_w": 3}, 'lathe.motor_pwer_w: found a key unknown here; .* rename it to "motor_power_w"'),
        ({"lathe.motor_power_w": "strong"}, r"lathe.motor_power_w: found \"strong\"; allowed a number of W"),
        ({"lathe.motor_power_w": REMOVED}, "lathe.motor_power_w: found nothing"),
        ({"tool[none].reach": 3}, r"found no tool\[none\] there"),
        ({"lathe.speed[no. 9].rpm": 3}, r"found no speed\[no. 9\] there"),
        ({"lathe.shed.light": 3}, "found no shed there"),
        ({"lathe.name.first": "x"}, "found no first there"),
        ({"lathe.nothing": REMOVED}, "found no nothing there"),
        ({"tool[boring-10]": 3}, r"tool\[boring-10\]: found 3; allowed a table; name one of its keys"),
        ({"lathe": 3}, r"lathe: found 3; allowed a table"),
        ({"lathe..x": 3}, "found the path"),
        ({"lathe.x.": 3}, "found the path"),
        ({"": 3}, "found the path"),
    ],
)
def test_what_is_wrong_is_refused_by_its_path(changes: dict[str, object], told: str) -> None:
    with pytest.raises(InputError, match=told):
        changed(**changes)


def test_a_broken_file_is_told_in_the_words_of_the_reader() -> None:
    with pytest.raises(InputError, match=r"line 2, column 8: found .* which cannot be read as TOML"):
        changed('name = "x"\nunits =\n', units="mm")


def test_a_text_that_does_not_mean_what_was_asked_is_not_handed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the library had lost the change."""
    monkeypatch.setattr("tomlkit.TOMLDocument.as_string", lambda _self: INCH)
    with pytest.raises(NotRewrittenError, match=r"lathe.motor_power_w .* by hand"):
        changed(**{"lathe.motor_power_w": 250})


def test_comments_are_put_behind_values_exchanged_and_taken_away() -> None:
    noted = with_comments(INCH, {"lathe.motor_power_w": "on the plate", "lathe.spindle_bore": ""}, name=NAME)
    assert lines_between(INCH, noted) == (
        ['spindle_bore = "3/4 in" # 1 in bar does not pass: it is sawn to blanks', "motor_power_w = 370"],
        ['spindle_bore = "3/4 in"', "motor_power_w = 370 # on the plate"],
    )
    assert comment_of(noted, "lathe.motor_power_w", name=NAME) == "on the plate"
    assert comment_of(noted, "lathe.spindle_bore", name=NAME) == ""


def test_a_value_is_looked_up_by_the_same_paths() -> None:
    values = {"tool": [{"id": "a", "reach": 3}, {"id": "b"}], "x": {"y": Decimal("0.5")}}
    assert value_at(values, "tool[a].reach") == 3
    assert value_at(values, "tool[no. 2].id") == "b"
    assert value_at(values, "x.y") == Decimal("0.5")
    assert [value_at(values, path) for path in ("tool[c].reach", "z", "x.y.z", "x[1]")] == [None] * 4


def test_values_are_taken_as_toml_has_them_and_else_as_text() -> None:
    found = with_values(["a.b=370", "c = 0.70", "d=4 mm", 'e="x = y"', "f=true", "g="], name=NAME)
    assert found == {"a.b": 370, "c": 0.7, "d": "4 mm", "e": "x = y", "f": True, "g": REMOVED}
    assert "drive_efficiency = 0.70\n" in changed(**{"lathe.drive_efficiency": written_value("0.70")})
    with pytest.raises(InputError, match="write a key and its value"):
        with_values(["lathe.motor_power_w"], name=NAME)
