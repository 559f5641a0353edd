"""The sheet of a stepped part: read back act by act, and its words for steps and depths."""

from __future__ import annotations

import pytest

from handwheel.domain.part import Aspect
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from handwheel.report.words import surface_words
from handwheel.service.demo import DEMO_SHOPS
from tests.agree import disagreements
from tests.demo_plans import demo_shop
from tests.stepped import NAMED


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
@pytest.mark.parametrize("name", NAMED)
def test_a_stepped_sheet_is_read_back_as_it_was(name: str, lathe: str) -> None:
    shop = demo_shop(lathe)
    plan = make_plan(NAMED[name].part, shop)
    assert disagreements(sheet_text(plan, shop), plan, shop) == []


@pytest.mark.parametrize(
    ("surface", "said"),
    [
        ("outside-front-1", "front outer step 1"),
        ("bore-back-2", "back inner step 2"),
        ("outside-back-1-shoulder", "shoulder of back outer step 1"),
        ("outside", "outside"),
        ("front-outer-edge", "front outer edge"),
    ],
)
def test_steps_are_named_like_edges_by_end_and_side(surface: str, said: str) -> None:
    assert surface_words(surface) == said


def test_the_sheet_says_how_deep_each_step_is_and_from_where() -> None:
    shop = demo_shop("metric-lathe")
    plan = make_plan(NAMED["both"].part, shop)
    flat = " ".join(sheet_text(plan, shop).split())
    depth = plan.sheet.part.feature("outside-front-1-shoulder", Aspect.DEPTH)  # the part as it is cut, either way round
    assert depth is not None
    assert f"front outer step 1 depth {float(depth.size.lower):.3f} to {float(depth.size.upper):.3f}" in flat
    assert "MEASURE shoulder of back outer step 1, depth" in flat
    assert "from the back face, the rod of the gauge on the shoulder's outer part" in flat
    assert "with depth-micrometer: depth micrometer" in flat


def test_a_part_cut_the_other_way_round_says_so() -> None:
    shop = demo_shop("inch-lathe")
    text = " ".join(sheet_text(make_plan(NAMED["far side"].part, shop), shop).split())
    assert "turned-end-for-end" in text
    assert "turn the drawing round" in text
