"""Plans of the demo, each made once, and small readers of their acts."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, TypeVar

from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle, Motion
from handwheel.planner.planner import make_plan
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.motion import Turn
    from handwheel.domain.part import Part
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.domain.slides import Slide
    from handwheel.domain.tools import Tool

PAIRS = tuple((part, shop) for part in DEMO_PARTS for shop in DEMO_SHOPS)
"""Every demo part on every demo lathe."""

ActT = TypeVar("ActT", bound=a.ActBase)


@cache
def demo_part(name: str) -> Part:
    """Demo part of that name."""
    return read_part(demo_text(name), name=f"{name}.toml")


@cache
def demo_shop(name: str) -> Shop:
    """Demo shop of that name."""
    return read_shop(demo_text(name), name=f"{name}.toml")


@cache
def demo_plan(part: str, shop: str) -> Plan:
    """Plan of a demo part in a demo shop."""
    return make_plan(demo_part(part), demo_shop(shop))


def with_cross(shop: Shop, cross: Slide) -> Shop:
    """Shop with another cross-slide."""
    return replace(shop, lathe=replace(shop.lathe, cross=cross))


def of_metal(part: Part, shop: Shop, metal: str) -> tuple[Part, Shop]:
    """The part in another metal, and a shop whose bars of the first metal are of the other."""
    bars = tuple(replace(bar, material=metal) if bar.material == part.material else bar for bar in shop.bars)
    return replace(part, material=metal), replace(shop, bars=bars)


def acts_of(plan: Plan, kind: type[ActT]) -> tuple[ActT, ...]:
    """Acts of one kind, in order."""
    return tuple(act for act in plan.sheet.acts if isinstance(act, kind))


def step_acts(plan: Plan, step: str) -> tuple[a.Act, ...]:
    """Acts of one step, in order."""
    return tuple(act for act in plan.sheet.acts if act.step == step)


def setting_of(act: a.Act) -> a.Setting | None:
    """Setting that an act winds to, if it has one."""
    if isinstance(act, a.Move | a.DrillHole | a.ReamHole):
        return act.setting
    return act.to if isinstance(act, a.Cut) else None


def position_marks(setting: a.Setting, marks_per_turn: int) -> Fraction:
    """Position counted clockwise from the zero: whole turns and what the dial shows. [marks]"""
    return setting.turns * marks_per_turn + setting.marks


@dataclass(frozen=True, kw_only=True)
class Wound:
    """A setting as the hand meets it: its zero, how the screw then bore, the tool, how the top slide stands."""

    act: a.Act
    setting: a.Setting
    zero: a.SetZero | a.SetCollar | a.SetReadout
    bearing: Turn | None
    tool: Tool | None
    swing: a.SwingSlide | None

    @property
    def zero_mm(self) -> float:
        """What the zero stands for: a diameter, a z, or 0 at a touched corner. [mm]"""
        return self.zero.stands_for_mm if isinstance(self.zero, a.SetZero) else self.zero.zero_dia_mm


def wound(plan: Plan, shop: Shop) -> Iterator[Wound]:
    """Every setting of a plan, with the side that its screw bore on when the zero was set.

    Read from the acts alone: which way each handle was last turned when its collar was put to 0.
    """
    turned: dict[Handle, Turn] = {}
    zeros: dict[str, tuple[a.SetZero | a.SetCollar | a.SetReadout, Turn | None]] = {}
    tool: Tool | None = None
    swing: a.SwingSlide | None = None
    for act in plan.sheet.acts:
        if isinstance(act, a.FitTool):
            tool = shop.tool(act.tool)
        if isinstance(act, a.SwingSlide):
            swing = act
        if isinstance(act, a.SetZero | a.SetCollar | a.SetReadout):
            zeros[act.zero] = (act, turned.get(act.handle))
        setting = setting_of(act)
        if setting is not None:
            zero, bearing = zeros[setting.zero]
            yield Wound(act=act, setting=setting, zero=zero, bearing=bearing, tool=tool, swing=swing)
            turned[setting.handle] = setting.approach
        elif isinstance(act, a.Approach):
            turned[Handle.CARRIAGE] = shop.lathe.carriage.turn_for(Motion.LEFT)  # it comes last, to the left
        elif isinstance(act, a.Touch | a.Cut | a.Retract):
            turned[act.handle] = shop.lathe.slide(act.handle).turn_for(act.motion)
