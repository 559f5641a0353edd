"""Lathes of every kind: each small part is planned soundly on each of them, or refused with what to do."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import pytest

from handwheel.check.replay import check_sheet
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.motion import Handle
from handwheel.domain.plan import Plan
from handwheel.domain.refusal import Refusal
from handwheel.domain.remedies import with_remedy
from handwheel.domain.slides import AidKind
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from tests.agree import disagreements
from tests.demo_plans import setting_of
from tests.shops import PARTS, SHOPS, part_of, shop_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.shop import Shop

PLANNED = "plan"
REFUSED = {
    # the 35 mm bar is larger than any collet, and the 25 mm bar may be a little over its collet
    ("collets-only", "aluminium-collar"): "bar-not-gripped",
    ("collets-only", "titanium-band"): "bar-not-gripped",
    # the hand would have to wind the cross-slide of 6 mm a turn faster or slower than it can
    ("large-old", "stainless-bush"): "no-feed",
    **{("left-hand-tools", part): "wrong-hand" for part in PARTS},
    # 0.043 mm by a dial worth 0.05 mm on the diameter needs the top slide swung, and it has no scale or no dial
    ("no-angle-scale", "brass-bush"): "tolerance-finer-than-dial",
    ("top-without-dial", "brass-bush"): "tolerance-finer-than-dial",
    # slender bars on a light lathe chatter at every depth that the metal allows
    ("tiny", "inch-sleeve"): "depth-too-small",
    ("tiny", "stainless-bush"): "depth-too-small",
    ("tiny", "titanium-band"): "depth-too-small",
    # a drill near the size of these holes needs more than 600 N of push
    ("weak-hand", "brass-bush"): "too-thick-for-the-hole",
    ("weak-hand", "inch-sleeve"): "drill-not-driven",
    ("weak-hand", "stainless-bush"): "drill-not-driven",
}
"""What is refused and the code of the first trouble; every other pair is planned."""
OUTCOMES = {(shop, part): REFUSED.get((shop, part), PLANNED) for shop in SHOPS for part in PARTS}
MADE = [pair for pair, outcome in OUTCOMES.items() if outcome == PLANNED]
LEFT = [pair for pair, outcome in OUTCOMES.items() if outcome != PLANNED]
WIDEST = 80
"""Columns of the printed sheet."""
LONGEST_WIND_TURNS = 25
"""More turns of a slide's handle in one go would be an absurd way to get somewhere."""


@cache
def outcome_of(shop: str, part: str) -> Plan | Refusal:
    """Plan of a pair, or the refusal."""
    try:
        return make_plan(part_of(part), shop_of(shop))
    except NoPlanError as error:
        return error.refusal


def plan_of(shop: str, part: str) -> Plan:
    found = outcome_of(shop, part)
    assert isinstance(found, Plan), found.lines
    return found


def refusal_of(shop: str, part: str) -> Refusal:
    found = outcome_of(shop, part)
    assert isinstance(found, Refusal), "there is a plan"
    return found


def settings(plan: Plan) -> Iterator[a.Setting]:
    """Every setting of a plan."""
    for act in plan.sheet.acts:
        setting = setting_of(act)
        if setting is not None:
            yield setting


def is_settable(setting: a.Setting, shop: Shop) -> bool:
    """Whether a hand can set it: whole marks (halves where the dial allows), or steps of what the slide is read by."""
    slide = shop.lathe.slide(setting.handle)
    if setting.kind is a.SettingKind.MARKS:
        dial = slide.dial
        whole = dial is not None and (setting.marks / dial.step).denominator == 1
        return whole and dial is not None and 0 <= setting.marks < dial.marks
    if setting.kind is a.SettingKind.READOUT:
        step = slide.readout_step_mm
    else:
        aid = slide.aid(AidKind(setting.kind.value))
        step = aid.step_mm if aid is not None else None
    return step is not None and (setting.value_mm / step).denominator == 1


def test_there_are_at_least_twenty_shops_and_four_parts() -> None:
    assert len(SHOPS) >= 20
    assert len(PARTS) >= 4
    assert set(REFUSED) <= set(OUTCOMES)
    assert len(MADE) > 4 * len(LEFT)


@pytest.mark.parametrize(("shop", "part"), MADE, ids=["-".join(pair) for pair in MADE])
def test_a_part_that_can_be_made_is_planned_soundly(shop: str, part: str) -> None:
    """The check, which shares nothing with the planner, refuses no act; the order is proven; all is on a list."""
    plan, owned = plan_of(shop, part), shop_of(shop)
    assert check_sheet(plan.sheet, owned).refusals == ()
    assert plan.proof.proven
    assert plan.proof.cost_ms > 0
    listed = {(speed.rpm, speed.position) for speed in owned.lathe.speeds}
    feeds = {feed.mm_rev for feed in (*owned.lathe.feeds_along, *owned.lathe.feeds_across)}
    for act in plan.sheet.acts:
        if isinstance(act, a.SetSpeed):
            assert (act.rpm, act.position) in listed
        if isinstance(act, a.SetFeed) and act.kind is a.FeedKind.POWER:
            assert act.low_mm_rev in feeds
    assert all(is_settable(setting, owned) for setting in settings(plan))


@pytest.mark.parametrize(("shop", "part"), MADE, ids=["-".join(pair) for pair in MADE])
def test_nobody_is_sent_on_a_long_wind(shop: str, part: str) -> None:
    """From a zero no slide of a small ring is wound more than a few turns; the carriage by its wheel even less."""
    plan, owned = plan_of(shop, part), shop_of(shop)
    for setting in settings(plan):
        if setting.kind is a.SettingKind.MARKS and setting.handle is not Handle.QUILL:
            assert abs(setting.turns) <= LONGEST_WIND_TURNS
        slide = owned.lathe.slide(setting.handle)
        if slide.dial is not None and setting.back_off_marks:
            back_mm = setting.back_off_marks * slide.dial.travel_per_mark_mm
            assert back_mm > slide.slack_mm
            assert back_mm <= max(slide.dial.lead_mm, 2 * slide.slack_mm)


@pytest.mark.parametrize("shop", sorted({shop for shop, _ in MADE}))
def test_the_printed_sheet_of_every_shop_is_read_back_as_it_was(shop: str) -> None:
    """Speeds that are only about right, readouts, rules, offsets, half marks: each comes back from its text."""
    part = next(part for name, part in MADE if name == shop)
    text = sheet_text(plan_of(shop, part), shop_of(shop))
    assert disagreements(text, plan_of(shop, part), shop_of(shop)) == []
    assert max(len(line) for line in text.splitlines()) <= WIDEST


@pytest.mark.parametrize(("shop", "part"), LEFT, ids=["-".join(pair) for pair in LEFT])
def test_what_cannot_be_made_is_refused_with_what_to_do(shop: str, part: str) -> None:
    refusal = refusal_of(shop, part)
    assert refusal.codes[0] == REFUSED[shop, part]
    assert all(trouble.remedy for trouble in refusal.troubles)
    changed = (part_of(part), shop_of(shop))
    for remedy in refusal.remedies:
        changed = with_remedy(*changed, remedy)
    if refusal.remedies:
        assert check_sheet(make_plan(*changed).sheet, changed[1]).refusals == ()


def test_some_refusals_name_what_makes_the_part_possible() -> None:
    """Not every trouble can be bought off, but a wrong hand and a bar that is not gripped can."""
    for pair, code in REFUSED.items():
        if code in ("wrong-hand", "bar-not-gripped"):
            assert refusal_of(*pair).remedies, pair


# what is peculiar to a shop -------------------------------------------------------------------------------------------


def test_speeds_of_a_drive_without_steps_are_readings_of_its_tachometer() -> None:
    for act in plan_of("variable-speed", "steel-spacer").sheet.acts:
        if isinstance(act, a.SetSpeed):
            assert act.rpm % 10 == 0


def test_a_readout_is_set_in_its_own_steps_and_as_a_radius() -> None:
    crossings = [s for s in settings(plan_of("readouts", "steel-spacer")) if s.handle is Handle.CROSS]
    assert crossings
    assert all(s.kind is a.SettingKind.READOUT for s in crossings)


def test_a_top_slide_without_a_scale_is_never_swung() -> None:
    plan = plan_of("no-angle-scale", "steel-spacer")
    assert not any(isinstance(act, a.SwingSlide) for act in plan.sheet.acts)
    assert any("no angle scale" in act.text for act in plan.sheet.acts if isinstance(act, a.HandStep))


def test_a_quill_without_a_dial_is_read_on_its_barrel() -> None:
    holes = [s for s in settings(plan_of("loose-tailstock", "steel-spacer")) if s.handle is Handle.QUILL]
    assert holes
    assert all(s.kind is a.SettingKind.RULE and s.value_mm.denominator == 1 for s in holes)


def test_half_marks_are_used_where_the_dial_allows_them_and_nowhere_else() -> None:
    halves = [s for s in settings(plan_of("fixed-collars", "steel-spacer")) if s.marks.denominator == 2]
    assert halves
    others = [s for s in settings(plan_of("no-power-feed", "steel-spacer")) if s.marks.denominator != 1]
    assert not others


def test_a_re_marked_dial_is_counted_by_its_screw_and_said_so() -> None:
    plan = plan_of("remarked-dial", "steel-spacer")
    assert "engraving-differs" in {finding.code for finding in plan.findings}


def test_the_sheet_names_the_collet_and_what_it_grips() -> None:
    plan = plan_of("collets-only", "steel-spacer")
    notes = [act.text for act in plan.sheet.acts if isinstance(act, a.HandStep)]
    assert any(
        "the 25 mm (0.9843 in) collet" in text and "24.5 to 25 mm (0.9646 to 0.9843 in)" in text for text in notes
    )


def test_sharp_lips_are_taken_where_the_metal_does_not_grab() -> None:
    """A dubbed drill of the same size lies beside it; leaded steel wants the sharp one, brass may take either."""
    plan = plan_of("no-power-feed", "steel-spacer")
    owned = shop_of("no-power-feed")
    drills = [owned.drill(act.drill) for act in plan.sheet.acts if isinstance(act, a.FitDrill)]
    assert drills
    assert not any(drill.dubbed for drill in drills)
    assert "dubbed-drill" not in {finding.code for finding in plan.findings}


def test_a_readout_is_explained_and_its_steps_are_called_steps() -> None:
    text = " ".join(sheet_text(plan_of("readouts", "steel-spacer"), shop_of("readouts")).split())
    assert "READOUT of the cross-slide: its travel, half the change of diameter" in text
    assert "1 step changes Ø by 0.01 mm" in text


def test_a_bar_for_a_collet_must_fit_it_over_its_whole_tolerance() -> None:
    """25 -0.05/+0.02 in a collet of 25 that closes by 0.5: refused, and a collet of 25.02 is what is asked for."""
    refusal = refusal_of("collets-only", "titanium-band")
    assert "25.02" in " ".join(refusal.lines)
