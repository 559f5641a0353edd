"""Every number of the sheet can say why it is what it is; what is worked out anew agrees with the sheet."""

from __future__ import annotations

import re
from functools import cache
from math import pi

import pytest

from handwheel.data.loader import sources
from handwheel.domain.acts import Cut, DrillHole, Measure, SetSpeed
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.why.look import joined
from handwheel.report.why.whys import ActWhy, step_whys
from handwheel.report.why_text import why_text
from handwheel.report.words import surface_words
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.jobs import demo_job
from handwheel.service.public import make_plan
from tests.proof.cases import Promise, case_of, numbers

JOBS = [(part, shop) for part in DEMO_PARTS for shop in DEMO_SHOPS]
NUMBER = re.compile(r"\d+(?:[./]\d+)*")
"""A figure as it is printed: 12, 0.0254, 1/2."""


@cache
def told(part: str, lathe: str) -> tuple[Plan, Shop, tuple[ActWhy, ...]]:
    """A demo job with the reasons of every act."""
    plan, shop, _ = demo_job(part, lathe)
    return plan, shop, tuple(one for step in step_whys(plan, shop) for one in step.acts)


def names(plan: Plan, shop: Shop) -> list[str]:
    """Names that hold figures which are no quantities: of tools, gauges, speeds, surfaces; the longest first."""
    things = (*shop.tools, *shop.drills, *shop.reamers, *shop.taps, *shop.gauges, *shop.bars, *shop.holdings)
    found = {getattr(thing, word, "") for thing in things for word in ("id", "name")}
    found |= {speed.position for speed in shop.lathe.speeds} | {shop.lathe.chuck.name, shop.lathe.name}
    found |= {surface_words(feature.surface) for feature in plan.sheet.part.sizes}
    return sorted(found - {""}, key=len, reverse=True)


def figures(one: ActWhy, without: list[str]) -> set[str]:
    """Figures that the sheet prints at an act, its note included."""
    text = joined(one.item.text.lines)
    text += f"; {one.item.act.note}"
    for name in without:
        text = text.replace(name, " ")
    return set(NUMBER.findall(text))


def explained(one: ActWhy) -> set[str]:
    """Figures that the reasons of an act speak of."""
    return {
        figure
        for reason in one.reasons
        for text in (reason.value, reason.relation, *reason.inputs)
        for figure in NUMBER.findall(text)
    }


@pytest.mark.parametrize(("part", "lathe"), JOBS)
def test_every_figure_of_every_act_has_a_reason(part: str, lathe: str) -> None:
    plan, shop, acts = told(part, lathe)
    without = names(plan, shop)
    bare = {one.item.number: figures(one, without) - explained(one) for one in acts}
    assert {number: lacking for number, lacking in bare.items() if lacking} == {}
    assert sum(len(figures(one, without)) for one in acts) > 500  # there is something to explain


@pytest.mark.parametrize(("part", "lathe"), JOBS)
def test_every_reason_has_a_source_that_is_listed_and_a_standing(part: str, lathe: str) -> None:
    plan, shop, _ = told(part, lathe)
    reasons = [reason for step in step_whys(plan, shop) for reason in step.reasons]
    reasons += [reason for one in told(part, lathe)[2] for reason in one.reasons]
    assert {reason.source_key for reason in reasons} <= set(sources())
    assert all(reason.standing and reason.relation and reason.value for reason in reasons)
    spread = [(r.low, r.high, r.unit) for r in reasons if r.low is not None and r.high is not None]
    assert all(low <= high and unit for low, high, unit in spread)
    assert len(spread) > 50


@pytest.mark.parametrize(("part", "lathe"), JOBS)
def test_what_the_reasons_work_out_anew_agrees_with_the_sheet(part: str, lathe: str) -> None:
    """Relations of the reasons (v = pi d n / 1000, t = 60 L / (f n)), worked out here from the acts alone."""
    seen = 0
    for one in told(part, lathe)[2]:
        act, now = one.item.act, one.item.scene.before
        if isinstance(act, SetSpeed):
            assert act.cutting_speed_m_min == pytest.approx(pi * act.cut_dia_mm * act.rpm / 1000.0)
        if isinstance(act, Cut) and now.speed is not None and now.feed is not None:
            mean = (now.feed.low_mm_rev + now.feed.high_mm_rev) / 2.0
            assert act.seconds == pytest.approx(60.0 * act.length_mm / (mean * now.speed.rpm), rel=0.01)
            seen += 1
        if isinstance(act, DrillHole) and now.speed is not None and now.feed is not None:
            mean = (now.feed.low_mm_rev + now.feed.high_mm_rev) / 2.0
            a_mm_s = 60.0 / (mean * now.speed.rpm)
            deep = abs(act.setting.expected_mm)
            # the point cuts all of its way in solid metal, less where a hole is opened out; drawing out is not in it
            assert 0.99 * a_mm_s * deep <= act.seconds <= 1.01 * a_mm_s * (deep + act.point_mm)
            seen += 1
    assert seen > 10


@pytest.mark.parametrize(("part", "lathe"), JOBS)
def test_a_size_that_a_setting_gives_follows_from_its_zero_and_the_way(part: str, lathe: str) -> None:
    """Where only the handle of the setting has moved since its zero, nothing is left to other slides or to a drill."""
    _, _, acts = told(part, lathe)
    then = [reason for one in acts for reason in one.reasons if reason.quantity == "then true"]
    across = [reason for reason in then if reason.value.startswith("Ø")]
    left_over = [reason for reason in across if any("other slides" in text for text in reason.inputs)]
    assert len(across) >= 10
    assert left_over == []  # the cross-slide, or the swung top slide with the cross-slide locked, sets a diameter alone


@pytest.mark.parametrize(("part", "lathe"), JOBS)
def test_what_is_too_small_to_matter_is_said(part: str, lathe: str) -> None:
    _, _, acts = told(part, lathe)
    finals = [one for one in acts if isinstance(one.item.act, Measure) and one.item.act.final]
    warm = [reason for one in finals for reason in one.reasons if reason.quantity == "warmth"]
    assert len(warm) == len(finals) > 3
    assert all("too small to matter below" in reason.relation for reason in warm)


@pytest.mark.parametrize("number", numbers(5, 12, Promise.FEASIBLE))
def test_every_figure_of_a_drawn_job_has_a_reason(number: int) -> None:
    case = case_of(number)
    plan, shop = make_plan(case.part, case.shop), case.shop
    acts = [one for step in step_whys(plan, shop) for one in step.acts]
    without = names(plan, shop)
    bare = {one.item.number: figures(one, without) - explained(one) for one in acts}
    assert {number: lacking for number, lacking in bare.items() if lacking} == {}


def test_the_text_keeps_to_its_width_and_gives_every_rule_once() -> None:
    plan, shop, _ = told("bush", "inch-lathe")
    for width in (72, 80, 120):
        lines = why_text(plan, shop, width=width).splitlines()
        assert max(map(len, lines)) <= width
    rules = [line for line in why_text(plan, shop, of="6", width=200).splitlines() if re.match(r" \(\d+\) ", line)]
    assert len(rules) == len(set(rules)) > 10


def test_a_reason_told_once_in_a_step_is_not_told_again() -> None:
    plan, shop, _ = told("bush", "inch-lathe")
    assert "as at 6.23" in why_text(plan, shop, of="6")
