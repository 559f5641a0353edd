"""Sheets to replay: both demo parts on both demo lathes, and variations made from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib import resources

from msgspec.structs import replace

from handwheel.domain.motion import Motion
from handwheel.domain.part import Part
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Dial, Slide
from handwheel.planner.planner import make_plan
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop
from tests.planner.holes import made
from tests.proof.cases import case_of

PARTS = ("bush", "band")
SHOPS = ("inch-lathe", "metric-lathe")
DEMOS = tuple(f"{part}, {shop}" for part in PARTS for shop in SHOPS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A sheet with the shop it is for."""

    name: str
    sheet: Sheet
    shop: Shop


def _demo_text(name: str) -> str:
    return (resources.files("handwheel.service.demo") / f"{name}.toml").read_text(encoding="utf-8")


@cache
def demo_part(name: str) -> Part:
    """Part of the demo."""
    return read_part(_demo_text(name), name=name)


@cache
def demo_shop(name: str) -> Shop:
    """Shop of the demo."""
    return read_shop(_demo_text(name), name=name)


@cache
def demo_job(name: str) -> Job:
    """One of `DEMOS`, planned once."""
    part, shop = name.split(", ")
    return planned(name, demo_part(part), demo_shop(shop))


def planned(name: str, part: Part, shop: Shop) -> Job:
    """Job of a part in a shop."""
    return Job(name=name, sheet=make_plan(part, shop).sheet, shop=shop)


@dataclass(frozen=True, slots=True, kw_only=True)
class Variation:
    """A demo part with some figures of its file changed, in a demo shop with something changed."""

    part: str
    shop: str
    figures: tuple[tuple[str, str], ...] = ()
    change: Callable[[Shop], Shop] = lambda shop: shop


def varied_part(name: str, figures: tuple[tuple[str, str], ...]) -> Part:
    """Demo part read from its file with some text replaced; each must stand in it."""
    text = _demo_text(name)
    for old, new in figures:
        if old not in text:
            raise KeyError(old)
        text = text.replace(old, new)
    return read_part(text, name=name)


def with_slides(shop: Shop, *, cross: Slide | None = None, top: Slide | None = None) -> Shop:
    """Shop with other slides under its tools."""
    lathe = shop.lathe
    return replace(shop, lathe=replace(lathe, cross=cross or lathe.cross, top=top or lathe.top))


def _other_hand(shop: Shop) -> Shop:
    """Cross-slide and top slide with left-hand screws."""
    lathe = shop.lathe
    cross = replace(lathe.cross, clockwise_moves=Motion.OUT)
    return with_slides(shop, cross=cross, top=replace(lathe.top, clockwise_moves=Motion.RIGHT))


def _odd_screws(shop: Shop) -> Shop:
    """Screws whose marks are no round figure of millimetres or inches."""
    cross = Dial(lead_mm=Fraction(254, 80), marks=125, label_mm=Fraction(254, 10000), halves=True)
    top = Dial(lead_mm=Fraction(5, 4), marks=50, label_mm=Fraction(1, 40))
    return with_slides(shop, cross=replace(shop.lathe.cross, dial=cross), top=replace(shop.lathe.top, dial=top))


def _readout(shop: Shop) -> Shop:
    """A cross-slide with a readout in thousandths of an inch on the diameter, and no dial."""
    step = Fraction(254, 20000)
    cross = replace(shop.lathe.cross, dial=None, readout_step_mm=step, turn_mm=2.0)
    return with_slides(shop, cross=cross)


def _sloppy(shop: Shop) -> Shop:
    """Worn screws."""
    cross = replace(shop.lathe.cross, slack_mm=Fraction(3, 10))
    return with_slides(shop, cross=cross, top=replace(shop.lathe.top, slack_mm=Fraction(2, 5)))


def _blunt_noses(shop: Shop) -> Shop:
    """Turning and boring tools with the nose radius half as large again."""
    tools = tuple(replace(tool, nose_radius_mm=1.5 * tool.nose_radius_mm) for tool in shop.tools)
    return replace(shop, tools=tools)


VARIATIONS: Mapping[str, Variation] = {
    "wider band, left-hand screws": Variation(
        part="band", shop="inch-lathe", figures=(("length = 6", "length = 8.4"),), change=_other_hand
    ),
    "larger bush, worn screws": Variation(
        part="bush",
        shop="metric-lathe",
        figures=(('"20 H8"', '"21 H8"'), ('"28 h11"', '"28.6 h11"')),
        change=_sloppy,
    ),
    "bush with larger edges, odd screws": Variation(
        part="bush", shop="metric-lathe", figures=(('"0.5 x 45"', '"0.6 x 45"'),), change=_odd_screws
    ),
    "band with larger edges, blunt noses": Variation(
        part="band", shop="metric-lathe", figures=(("0.5", "0.6"),), change=_blunt_noses
    ),
    "band, readout on the cross-slide": Variation(part="band", shop="metric-lathe", change=_readout),
    "thin band": Variation(
        part="band", shop="inch-lathe", figures=(("diameter = 23", "diameter = 22.2"), ("0.5", "0.3"))
    ),
}


@cache
def varied_job(name: str) -> Job:
    """One of `VARIATIONS`, planned once."""
    variation = VARIATIONS[name]
    part = varied_part(variation.part, variation.figures)
    return planned(name, part, variation.change(demo_shop(variation.shop)))


CASE = "case "
"""Before the number of a drawn case, in the name of its job."""


@cache
def case_job(name: str) -> Job:
    """Job of a drawn case (see `tests.proof.cases`), planned once."""
    case = case_of(int(name.removeprefix(CASE)))
    return planned(name, case.part, case.shop)


HOLES = ("reamed after boring, metric-lathe", "tapped, metric-lathe")
"""Jobs with a reamer and with a tap, which no demo has."""


def job(name: str) -> Job:
    """Job of that name: demo, drawn case, one with a reamer or a tap, or variation."""
    if name.startswith(CASE):
        return case_job(name)
    if name in HOLES:
        it = made(*name.split(", "))
        return Job(name=name, sheet=it.plan.sheet, shop=it.shop)
    return demo_job(name) if name in DEMOS else varied_job(name)


ALL_JOBS = (*DEMOS, *VARIATIONS)
