"""For each refusal a smallest change of the tiny job that provokes it, and a harmless neighbour that passes."""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import CheckReport, RefusalCode
from handwheel.domain.acts import (
    Act,
)
from handwheel.domain.hole_tools import Drill
from handwheel.domain.lathe import Lathe
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool
from tests.unit.check.sheets import (
    before,
    place_of,
    ring_acts,
    sheet_of,
    simple_shop,
    without,
)

A = ring_acts()
Code = RefusalCode


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A sheet that must be refused with a code, and one that must pass, each in its shop."""

    code: RefusalCode
    what: str
    wrong: Sheet
    right: Sheet
    wrong_shop: Shop
    right_shop: Shop

    @property
    def name(self) -> str:
        return f"{self.code.value}: {self.what}"

    def refused(self) -> CheckReport:
        return check_sheet(self.wrong, self.wrong_shop)

    def passed(self) -> CheckReport:
        return check_sheet(self.right, self.right_shop)


def trial(
    code: RefusalCode,
    what: str,
    wrong: tuple[Act, ...] | Sheet,
    right: tuple[Act, ...] | Sheet = A,
    *,
    wrong_shop: Shop | None = None,
    right_shop: Shop | None = None,
) -> Trial:
    return Trial(
        code=code,
        what=what,
        wrong=wrong if isinstance(wrong, Sheet) else sheet_of(wrong),
        right=right if isinstance(right, Sheet) else sheet_of(right),
        wrong_shop=wrong_shop or simple_shop(),
        right_shop=right_shop or simple_shop(),
    )


def shop_with(*, lathe: Lathe | None = None, tool: Tool | None = None, drill: Drill | None = None) -> Shop:
    shop = simple_shop()
    if lathe is not None:
        shop = replace(shop, lathe=lathe)
    if tool is not None:
        shop = replace(shop, tools=tuple(tool if old.id == tool.id else old for old in shop.tools))
    if drill is not None:
        shop = replace(shop, drills=tuple(drill if old.id == drill.id else old for old in shop.drills))
    return shop


LATHE = simple_shop().lathe


def moved_to(acts: tuple[Act, ...], act_id: str, before_id: str) -> tuple[Act, ...]:
    """Return the acts with one of them done at another time."""
    act = acts[place_of(acts, act_id)]
    return before(without(acts, act_id), before_id, act)
