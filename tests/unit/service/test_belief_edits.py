"""A beliefs file is edited line by line: the rest stays byte for byte, and edits can be taken back."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from handwheel.bench.checkup.measured import Measured
from handwheel.domain.beliefs import SUBJECT_OF, About, EventKind, Evidence, Learned, Noted, Quantity
from handwheel.domain.errors import InputError
from handwheel.domain.motion import Handle
from handwheel.service.belief_edits import (
    HEAD,
    with_event,
    with_evidence,
    with_noted,
    with_restored,
    with_withdrawn,
    without_event,
)
from handwheel.service.checkup import BELIEVED, evidence_lines
from handwheel.service.intake.beliefs_file import read_beliefs
from handwheel.service.rewriting import NotRewrittenError

NAME, DAY = "my-shop.beliefs.toml", "2026-11-30"
FILE = """\
# mine
units = "mm"   # as ever

[[evidence]]  # from the first ring
quantity = "spring share"
tool = "boring-12"
metal = "ti_gr2"
value = 0.08
spread = 0.01
date = 2026-10-01
from = "plan 12"

# a remark between
[[event]]
kind = "edge changed"
tool = "boring-12"
date = 2026-10-02T09:30:00

[[evidence]]
quantity = "slack"
slide = "cross-slide"
value = "0.005 in"
spread = "0.001 in"
date = "2026-10-03"
from = "check-up"
withdrawn = false  # for now
# the end
"""


def add(text: str, said: str, **others: str) -> str:
    return with_evidence(
        text, said, date=others.get("date", DAY), what="by hand", note=others.get("note", ""), name=NAME
    )


def test_a_file_is_read_with_toml_dates_and_inches() -> None:
    learned = read_beliefs(FILE, name=NAME)
    spring, slack = learned.noted
    assert (spring.quantity, spring.about) == (Quantity.SPRING, About(thing="boring-12", metal="ti_gr2"))
    assert (spring.evidence.date, spring.evidence.what) == ("2026-10-01", "plan 12")
    assert (slack.evidence.value, slack.evidence.spread) == pytest.approx((0.127, 0.0254))
    (event,) = learned.events
    assert (event.kind, event.about, event.date) == (EventKind.EDGE_CHANGED, "boring-12", "2026-10-02T09:30")


def test_an_empty_file_has_learned_nothing() -> None:
    assert read_beliefs("", name=NAME) == Learned()


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("number", [1, 2])
def test_withdrawn_and_restored_the_file_is_the_one_it_was(number: int, end: str) -> None:
    text = FILE.replace("\n", end)
    out = with_withdrawn(text, number, name=NAME)
    assert [noted.evidence.withdrawn for noted in read_beliefs(out, name=NAME).noted].index(True) == number - 1
    assert with_withdrawn(out, number, name=NAME) == out
    assert with_restored(out, number, name=NAME) == text
    assert with_restored(text, number, name=NAME) == text
    kept = [line for line in text.splitlines() if "withdrawn" not in line]
    assert [line for line in out.splitlines() if "withdrawn" not in line] == kept


def test_an_event_noted_and_taken_out_leaves_the_file_as_it_was() -> None:
    noted = with_event(FILE, "gib adjusted: cross-slide", date=DAY, note="half a turn", name=NAME)
    assert read_beliefs(noted, name=NAME).events[1].note == "half a turn"
    assert noted.startswith(FILE)
    assert without_event(noted, 2, name=NAME) == FILE


def test_an_event_taken_out_leaves_the_remarks_about_it() -> None:
    left = without_event(FILE, 1, name=NAME)
    assert read_beliefs(left, name=NAME).events == ()
    assert "# a remark between" in left
    assert read_beliefs(left, name=NAME).noted == read_beliefs(FILE, name=NAME).noted


def test_a_piece_is_added_at_the_end_and_begins_a_file() -> None:
    begun = add("", "spring share: boring-12 in ti_gr2 = 0.08 ± 0.01", note='said "so"')
    assert begun.startswith(HEAD)
    (noted,) = read_beliefs(begun, name=NAME).noted
    assert (noted.evidence.value, noted.evidence.note) == (0.08, 'said "so"')
    more = add(begun, "time: tool_change_s = 90 +/- 10")
    assert more.startswith(begun)
    assert read_beliefs(more, name=NAME).noted[1].about == About(thing="tool_change_s")


def test_a_piece_of_a_program_means_the_same_in_a_file_of_inches() -> None:
    evidence = Evidence(date=DAY, what="check-up", value=0.127, spread=0.0005, note="five readings")
    slack = Noted(quantity=Quantity.SLACK, about=About(thing="cross-slide"), evidence=evidence)
    spring = Noted(
        quantity=Quantity.SPRING,
        about=About(thing="boring-12", metal="ti_gr2"),
        evidence=replace(evidence, value=1e-05, spread=1e-06),
    )
    text = with_noted(with_noted('units = "inch"\n', slack, name=NAME), spring, name=NAME)
    assert read_beliefs(text, name=NAME).noted == (slack, spring)


def test_what_the_check_up_writes_is_read_here() -> None:
    """The two rooms name quantities and things in the same words."""
    subjects = {quantity.value: SUBJECT_OF[quantity].value for quantity in Quantity}
    assert {name: subjects[name] for name in BELIEVED} == BELIEVED
    found = Measured(
        quantity="slack", value=0.1, spread=0.01, unit="mm", evidence="3 readings", thing=Handle.CROSS.value
    )
    text = "\n".join(evidence_lines([found], trial="slack", date=DAY))
    (noted,) = read_beliefs(text, name=NAME).noted
    assert (noted.about, noted.evidence.value) == (About(thing="cross-slide"), 0.1)


def test_a_thing_may_have_commas_and_an_in_in_its_name() -> None:
    speed = add("", "spindle speed: back gear in, belt in the middle = 121 +- 1")
    assert read_beliefs(speed, name=NAME).noted[0].about == About(thing="back gear in, belt in the middle")


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("spring share of boring-12 is 0.08", "allowed QUANTITY: THING in METAL = VALUE"),
        ("sprung share: boring-12 = 0.08 +- 0.01", 'did you mean "spring share"'),
        ("spring share: boring-12 = nan +- 0.01", r'value: found "nan"; allowed a number as a share'),
        ("spring share: boring-12 = inf +- 0.01", r'value: found "inf"; allowed a number as a share'),
        ("spring share: boring-12 = 0.08 +- nan", r'spread: found "nan"'),
        ("spring share: boring-12 = 0.08 +- -0.01", r"spread: found -0.01; allowed 0 to"),
        ("spring share: boring-12 = 0.08 +- 0", "spread: got 0, must be above 0"),
        ("spring share: boring-12 = 8 +- 0.01", "value: found 8"),
        ("spring share: boring-12 = a lot +- 0.01", 'value: found "a lot"; allowed a number as a share'),
        ("spring share: boring-12 in cheese = 0.08 +- 0.01", "cheese"),
        ("slack: cross-slide = 5 s +- 1", '"s" is no unit'),
    ],
)
def test_what_is_no_piece_of_evidence_is_refused_in_words(said: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        add("", said)


@pytest.mark.parametrize("date", ["soon", "2026-13-01", "2026-02-29", "20261130", "2026-11-30T25:00", "٢٠٢٦-11-30"])
def test_what_is_no_day_is_refused(date: str) -> None:
    with pytest.raises(InputError, match="must be a day such as 2026-11-30"):
        add("", "spring share: boring-12 = 0.08 +- 0.01", date=date)


@pytest.mark.parametrize("number", [0, 3, -1])
def test_a_number_that_no_piece_has_is_refused(number: int) -> None:
    for edit in (with_withdrawn, with_restored):
        with pytest.raises(InputError, match=r"allowed 1 to 2"):
            edit(FILE, number, name=NAME)
    with pytest.raises(InputError, match="allowed 1 to 1"):
        without_event(FILE, 2, name=NAME)
    with pytest.raises(InputError, match="for there is none"):
        without_event("", 1, name=NAME)


def test_a_file_whose_rows_cannot_be_told_apart_is_left_alone() -> None:
    inline = 'event = [{kind = "edge changed", tool = "boring-12", date = "2026-01-01"}]\n'
    with pytest.raises(NotRewrittenError, match="edit the file by hand"):
        without_event(inline, 1, name=NAME)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('colour = "red"', "a key unknown here"),
        ("evidence = 3", "evidence: found 3; allowed a list"),
        ('[[evidence]]\nquantity = "spring share"', "tool: found nothing"),
        ("[[event]]\nkind = 7", "kind: found 7"),
        ('units = "furlong"', "units"),
        ("[[evidence", "cannot be read as TOML"),
    ],
)
def test_a_file_that_is_none_is_refused_in_words(line: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        read_beliefs(f"{line}\n", name=NAME)
