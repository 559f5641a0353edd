"""The page on plans side by side: its example is what the program prints, its table names what is asked."""

from __future__ import annotations

import re
from pathlib import Path

from handwheel.domain.comparing import Asked
from handwheel.planner.alternatives import alternatives
from handwheel.planner.gentler import GENTLE_SHARES
from handwheel.report.comparison_text import comparison_text
from tests.demo_plans import demo_part, demo_shop

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "comparing.md").read_text(encoding="utf-8")


def test_the_example_is_what_the_program_prints() -> None:
    (example,) = (block for block in re.findall(r"(?ms)^```\n(.*?)^```", PAGE) if "BEST PLAN" in block)
    assert example in comparison_text(alternatives(demo_part("bush"), demo_shop("metric-lathe")))


def test_every_option_and_every_share_stands_on_the_page() -> None:
    for number, asked in enumerate(Asked, start=1):
        assert f"| {number} {asked.value} |" in PAGE
    for share in GENTLE_SHARES:
        assert re.search(rf"\b{100 * share:.0f}\b", PAGE)
