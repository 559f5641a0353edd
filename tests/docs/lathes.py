"""Three lathes and one sleeve, planned with two kinds of edges: what the page on three lathes stands on."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.motion import Edge
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.drive import spindle_torque
from handwheel.planner.account import account_of
from handwheel.planner.attempt import Made, attempt
from handwheel.planner.cut_case import NoSchedule, Schedule
from handwheel.planner.holdings import HOLDING_MODELS
from handwheel.planner.kinds import KINDS
from handwheel.planner.known_answers import KnownAnswers
from handwheel.planner.passes import schedule
from handwheel.planner.planner import best_of, plan_of
from handwheel.planner.refusal import short_reason
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.jobs import check_sheet
from handwheel.service.templates import template_text

if TYPE_CHECKING:
    from handwheel.check.report import CheckReport
    from handwheel.domain.comparing import Account
    from handwheel.domain.lathe import Lathe
    from handwheel.domain.part import Part
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.planner.way import Way

METAL, OTHER_METAL = "st_c45", "ss304"
SLEEVE = f"""\
kind = "plain-ring"
name = "sleeve"
metal = "{METAL}"
units = "mm"
quantity = 1
worn_on_skin = false
general_class = "m"

[bore]
diameter = "16 H9"
finish_ra = 3.2
true_to = "outside"

[outside]
diameter = "25 h11"
finish_ra = 3.2

[width]
length = 12

[edges]
front_outer = "0.5 x 45"
front_inner = "0.5 x 45"
back_outer = "0.5 x 45"
back_inner = "0.5 x 45"
"""
BASE = "mid-metric"
"""Template whose slides, chuck, drills, gauges and holdings all three have."""
BAR_MM, BAR_LOWER_MM = Fraction(30), Fraction("29.9")
CARBIDE_NOSE_MM = 0.4
"""Nose of a turning or boring insert, as the templates have it; common practice, no source. [mm]"""
CARBIDE_EDGE_UM = 25.0
"""Rounding of an insert's edge: the keen end of a honed one (`edge_radii.csv`), as the templates have it. [µm]"""
CARBIDE_RAKE_DEG = 6.0
"""Most rake of a carbide edge, as the templates have it; common practice, no source. [deg]"""

TORQUE_PLACES = 1
"""Decimals to which a torque is entered that somebody reckoned."""


class LatheClass(Struct, frozen=True, kw_only=True):
    """A class of lathe: its name, its motor [W], and the template that gives stiffness, drive, speeds and feeds."""

    name: str
    motor_power_w: float
    template: str

    @property
    def short(self) -> str:
        """As the head of a column has it."""
        return f"{self.motor_power_w:g} W"


SMALL = LatheClass(name="small", motor_power_w=350.0, template="small-metric")
BENCH = LatheClass(name="bench", motor_power_w=750.0, template="mid-metric")
TOOLROOM = LatheClass(name="toolroom", motor_power_w=1500.0, template="toolroom")
LATHES = (SMALL, BENCH, TOOLROOM)
EDGES = (Edge.HSS, Edge.CARBIDE)


class Planned(Struct, frozen=True, kw_only=True):
    """The sleeve on one lathe with one kind of edges."""

    shop: Shop
    plan: Plan
    made: Made

    @property
    def ways(self) -> tuple[Way, ...]:
        """Ways of the steps, in their order."""
        return self.made.solved.ways

    @property
    def account(self) -> Account:
        """What the plan uses, costs and bears."""
        return account_of(self.plan, self.made)

    def way(self, step: str) -> Way:
        """Way of one step."""
        return next(way for way in self.ways if way.step.id == step)

    def cut(self, step: str) -> Schedule:
        """Schedule of one step."""
        found = self.way(step).schedule
        if found is None:
            msg = f"step {step}: has no schedule"
            raise ValueError(msg)
        return found


@cache
def sleeve(metal: str = METAL) -> Part:
    """The part, in one metal or another."""
    return read_part(SLEEVE.replace(METAL, metal), name="sleeve.toml")


@cache
def shop_of(lathe: LatheClass, edge: Edge, *, metal: str = METAL) -> Shop:
    """Shop of the base template with the lathe's own drive, stiffness, speeds and feeds, and tools of one material."""
    base, own = _template(BASE), _template(lathe.template).lathe
    bar = replace(
        base.bars[0], id="bar-30", material=metal, dia_mm=BAR_MM, dia_lower_mm=BAR_LOWER_MM, dia_upper_mm=BAR_MM
    )
    return replace(
        base,
        name=f"{lathe.name} lathe, {lathe.short}",
        lathe=replace(
            base.lathe,
            name=f"{lathe.name} lathe",
            motor_power_w=lathe.motor_power_w,
            drive_efficiency=own.drive_efficiency,
            tool_stiffness_n_um=own.tool_stiffness_n_um,
            speeds=own.speeds,
            feeds_along=own.feeds_along,
            feeds_across=own.feeds_across,
        ),
        tools=tuple(_of(edge, tool) for tool in base.tools if tool.edge is Edge.HSS),
        drills=tuple(drill for drill in base.drills if not drill.dubbed),
        bars=(bar,),
    )


def _of(edge: Edge, tool: Tool) -> Tool:
    """A tool of high speed steel as it is, or the same in carbide."""
    if edge is Edge.HSS:
        return tool
    has_nose = tool.kind in {ToolKind.TURNING, ToolKind.BORING}
    return replace(
        tool,
        edge=edge,
        nose_radius_mm=CARBIDE_NOSE_MM if has_nose else tool.nose_radius_mm,
        edge_radius_um=CARBIDE_EDGE_UM,
        rake_deg=min(tool.rake_deg, CARBIDE_RAKE_DEG),
    )


@cache
def _template(name: str) -> Shop:
    return read_shop(template_text(name), name=f"{name}.toml")


@cache
def planned(lathe: LatheClass, edge: Edge) -> Planned:
    """The sleeve planned on a lathe."""
    return _planned_in(shop_of(lathe, edge))


@cache
def planned_with(lathe: LatheClass, edge: Edge, *, keys: tuple[str, ...], of: LatheClass) -> Planned:
    """The sleeve planned on a lathe that has a few of its keys from another."""
    shop, other = shop_of(lathe, edge), shop_of(of, edge)
    return _planned_in(replace(shop, lathe=replace(shop.lathe, **{key: getattr(other.lathe, key) for key in keys})))


def _planned_in(shop: Shop) -> Planned:
    search, made = best_of(sleeve(), shop, KINDS, HOLDING_MODELS, known=KnownAnswers())
    return Planned(shop=shop, plan=plan_of(sleeve(), shop, search, made), made=made)


def checked(found: Planned) -> CheckReport:
    """What the check finds of a sheet."""
    return check_sheet(found.plan.sheet, found.shop)


@cache
def refused(lathe: LatheClass, edge: Edge, *, metal: str) -> str:
    """Why there is no plan in another metal, in a line; empty if there is one."""
    part, shop = sleeve(metal), shop_of(lathe, edge, metal=metal)
    tried = attempt(part, shop, KINDS, HOLDING_MODELS, known=KnownAnswers())
    return "" if tried.made is not None else short_reason(part, shop, tried)


def regulated(lathe: Lathe) -> Lathe:
    """The lathe with the same motor, but its speeds by regulation instead of belts: full power at the fastest alone.

    As `handwheel.physics.drive.spindle_torque` reckons it: below that speed the torque stays what it is there.
    """
    fastest = max(speed.rpm for speed in lathe.speeds)
    return replace(
        lathe,
        speeds=tuple(
            replace(
                speed,
                position=f"{speed.rpm:g} on the knob",
                torque_limit_nm=round(
                    spindle_torque(
                        lathe.motor_power_w,
                        efficiency=lathe.drive_efficiency,
                        speed_rpm=speed.rpm,
                        full_power_rpm=fastest,
                    ).torque_nm,
                    TORQUE_PLACES,
                ),
            )
            for speed in lathe.speeds
        ),
    )


def cut_on(lathe: Lathe, found: Planned, step: str) -> Schedule | NoSchedule:
    """The best cut of a step if the lathe were another one, all else of the step as planned."""
    case = found.cut(step).case
    if case is None:
        msg = f"step {step}: has no case"
        raise ValueError(msg)
    return schedule(case, material=found.made.solved.job.material, lathe=lathe, habits=found.shop.habits)


def sheet_stem(lathe: LatheClass, edge: Edge) -> str:
    """Name of the file that holds a whole sheet."""
    return f"sleeve-{lathe.motor_power_w:g}-watt-lathe" + ("" if edge is Edge.HSS else "-with-carbide")
