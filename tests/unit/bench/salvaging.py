"""Parts for the tests of what can be saved, made short."""

from __future__ import annotations

from handwheel.bench.salvage.way import Verdict, Way, WayOut
from handwheel.bench.salvage.ways import ways_out
from handwheel.domain.part import BACK_FACE, BORE, OUTSIDE, Aspect, Part
from handwheel.domain.shop import Shop
from handwheel.service.intake.part_file import read_part
from tests.demo_plans import demo_shop

SIZES = {BORE: Aspect.DIAMETER, OUTSIDE: Aspect.DIAMETER, BACK_FACE: Aspect.WIDTH}


def ring(
    bore: str = 'diameter = "20 H8"',
    *,
    outside: str = 'diameter = "30 mm ± 0.1"',
    width: str = 'length = "10 mm ± 0.1"',
    metal: str = "cu_cw614n",
    head: str = "",
) -> Part:
    """Plain ring of brass, unless said otherwise."""
    text = f"""kind = "plain-ring"
name = "ring"
metal = "{metal}"
units = "mm"
{head}
[bore]
{bore}
[outside]
{outside}
[width]
{width}
[edges]
all = "0.5 x 45"
plus_minus = 0.2
"""
    return read_part(text, name="ring.toml")


def saved(
    part: Part, surface: str, size_mm: float, uncertainty_mm: float = 0.003, *, shop: Shop | None = None
) -> tuple[WayOut, ...]:
    """Ways out for a diameter or the width."""
    return ways_out(part, shop or demo_shop("inch-lathe"), surface, SIZES[surface], size_mm, uncertainty_mm)


def way(ways: tuple[WayOut, ...], code: Way) -> WayOut:
    """The one way of that code."""
    (only,) = (each for each in ways if each.code is code)
    return only


def opened(ways: tuple[WayOut, ...]) -> list[Way]:
    """Codes of the ways that are open, in order."""
    return [each.code for each in ways if each.verdict is not Verdict.NOT]
