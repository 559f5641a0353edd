"""Sheets to replay: both demo parts on both demo lathes, and variations made from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

from handwheel.domain.part import Part
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop

PARTS = ("bush", "band")
SHOPS = ("inch-lathe", "metric-lathe")
DEMOS = tuple(f"{part}, {shop}" for part in PARTS for shop in SHOPS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A sheet with the shop it is for."""

    name: str
    sheet: Sheet
    shop: Shop


@cache
def demo_part(name: str) -> Part:
    """Part of the demo."""
    text = (resources.files("handwheel.service.demo") / f"{name}.toml").read_text(encoding="utf-8")
    return read_part(text, name=name)


@cache
def demo_shop(name: str) -> Shop:
    """Shop of the demo."""
    text = (resources.files("handwheel.service.demo") / f"{name}.toml").read_text(encoding="utf-8")
    return read_shop(text, name=name)


@cache
def demo_job(name: str) -> Job:
    """One of `DEMOS`, planned once."""
    part, shop = name.split(", ")
    return planned(name, demo_part(part), demo_shop(shop))


def planned(name: str, part: Part, shop: Shop) -> Job:
    """Job of a part in a shop."""
    return Job(name=name, sheet=make_plan(part, shop).sheet, shop=shop)


def demo_jobs() -> Mapping[str, Job]:
    """All demo jobs by name."""
    return {name: demo_job(name) for name in DEMOS}
