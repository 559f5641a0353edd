"""Parts, shops and small changes to both for the tests of the planner; and how to read a plan's structure."""

from __future__ import annotations

from functools import cache
from importlib import resources

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.domain.tools import Tool, ToolKind
from handwheel.planner.holdings import HOLDING_MODELS
from handwheel.planner.job import Job
from handwheel.planner.kinds import KINDS
from handwheel.planner.planner import make_plan
from handwheel.planner.posing import Posed, pose
from handwheel.planner.variants import bars_that_clean_up, blades_for, variants
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop

LATHES = ("inch-lathe", "metric-lathe")
RINGS = ("band", "bush")
LEAN_DRILLS = ("centre-3", "drill-6", "drill-9", "drill-10", "drill-17", "drill-18-dubbed")
EDGES = ("front_outer", "front_inner", "back_outer", "back_inner")

# what there is -----------------------------------------------------------------------------------------------------


def demo_text(name: str) -> str:
    return (resources.files("handwheel.service.demo") / f"{name}.toml").read_text(encoding="utf-8")


@cache
def demo_part(name: str) -> Part:
    """Part of the demo."""
    return read_part(demo_text(name), name=name)


@cache
def demo_shop(name: str) -> Shop:
    """Shop of the demo."""
    return read_shop(demo_text(name), name=name)


@cache
def lean_shop(name: str) -> Shop:
    """Shop of the demo with no more drills than its own plans use: what cannot be planned is found out sooner."""
    shop = demo_shop(name)
    return replace(shop, drills=tuple(drill for drill in shop.drills if drill.id in LEAN_DRILLS))


@cache
def demo_plan(ring: str, lathe: str) -> Plan:
    """Plan of a demo part on a demo lathe, made once."""
    return make_plan(demo_part(ring), demo_shop(lathe))


class Ring(Struct, frozen=True, kw_only=True):
    """A plain ring to be planned; widths of tolerance as they would be typed. [mm]"""

    metal: str = "ti_gr2"
    bore: float = 18.5
    bore_pm: float = 0.06
    outside: float = 23.0
    outside_pm: float = 0.1
    width: float = 6.0
    width_pm: float = 0.1
    edges: tuple[str, ...] = ()
    along: float = 0.5
    across: float = 0.5
    true_to: bool = False

    @property
    def text(self) -> str:
        """The ring as a part file."""
        legs = f"{{ along = {self.along}, across = {self.across} }}"
        lines = [
            'kind = "plain-ring"',
            'name = "test ring"',
            f'metal = "{self.metal}"',
            'units = "mm"',
            "[bore]",
            f"diameter = {self.bore}",
            f"plus_minus = {self.bore_pm}",
            *(('true_to = "outside"',) if self.true_to else ()),
            "[outside]",
            f"diameter = {self.outside}",
            f"plus_minus = {self.outside_pm}",
            "[width]",
            f"length = {self.width}",
            f"plus_minus = {self.width_pm}",
            "[edges]",
            "plus_minus = 0.15",
            *(f"{edge} = {legs}" if edge in self.edges else f'{edge} = "sharp"' for edge in EDGES),
        ]
        return "\n".join(lines)

    @property
    def part(self) -> Part:
        """The ring as the planner gets it."""
        return read_part(self.text, name="test ring")


# changes to a shop -------------------------------------------------------------------------------------------------


def without_tools(shop: Shop, *kinds: ToolKind) -> Shop:
    """Shop without its tools of some kinds; each kind must be there."""
    missing = set(kinds) - {tool.kind for tool in shop.tools}
    if missing:
        raise LookupError(missing)
    return replace(shop, tools=tuple(tool for tool in shop.tools if tool.kind not in kinds))


def with_tools(
    shop: Shop,
    kind: ToolKind,
    *,
    width_mm: float | None = None,
    reach_mm: float | None = None,
    bar_dia_mm: float | None = None,
    head_mm: float | None = None,
    entering_deg: float | None = None,
) -> Shop:
    """Shop whose tools of a kind are changed."""

    def changed(tool: Tool) -> Tool:
        return replace(
            tool,
            width_mm=tool.width_mm if width_mm is None else width_mm,
            reach_mm=tool.reach_mm if reach_mm is None else reach_mm,
            bar_dia_mm=tool.bar_dia_mm if bar_dia_mm is None else bar_dia_mm,
            head_mm=tool.head_mm if head_mm is None else head_mm,
            entering_deg=tool.entering_deg if entering_deg is None else entering_deg,
        )

    return replace(shop, tools=tuple(changed(tool) if tool.kind is kind else tool for tool in shop.tools))


def plus_tools(shop: Shop, *tools: Tool) -> Shop:
    """Shop with more tools."""
    return replace(shop, tools=(*shop.tools, *tools))


def only_holdings(shop: Shop, *kinds: str) -> Shop:
    """Shop whose second holdings are of these kinds."""
    return replace(shop, holdings=tuple(means for means in shop.holdings if means.kind in kinds))


def with_slides(
    shop: Shop, *, cross: Slide | None = None, top: Slide | None = None, carriage: Slide | None = None
) -> Shop:
    """Shop whose lathe has other slides."""
    lathe = shop.lathe
    other = replace(lathe, cross=cross or lathe.cross, top=top or lathe.top, carriage=carriage or lathe.carriage)
    return replace(shop, lathe=other)


def tool_of_kind(shop: Shop, kind: ToolKind) -> Tool:
    """First tool of a kind."""
    return next(tool for tool in shop.tools if tool.kind is kind)


# variants ----------------------------------------------------------------------------------------------------------


def variants_of(part: Part, shop: Shop) -> tuple[tuple[Job, tuple[HoldingMeans, ...]], ...]:
    """Every variant on the smallest bar that cleans up, with the second holdings it may use."""
    metal = material(part.material)
    bar = bars_that_clean_up(part, shop, metal)[0]
    blade = blades_for(part, shop)[0]
    return tuple((job, group.means) for group in variants(part, shop, metal, bar, blade) for job in group.jobs)


def posed_of(part: Part, shop: Shop) -> tuple[Posed, ...]:
    """Every variant as a search problem."""
    return tuple(pose(job, means, kinds=KINDS, models=HOLDING_MODELS) for job, means in variants_of(part, shop))


def posed_first(part: Part, shop: Shop) -> Posed:
    """First variant as a search problem."""
    job, means = variants_of(part, shop)[0]
    return pose(job, means, kinds=KINDS, models=HOLDING_MODELS)


def job_of(part: Part, shop: Shop) -> Job:
    """First variant: the largest last drill, the allowance for turned second holdings."""
    return variants_of(part, shop)[0][0]


# reading a plan ----------------------------------------------------------------------------------------------------


class Done(Struct, frozen=True, kw_only=True):
    """How a step of a plan is done: held how, with what in the post, the top slide at which angle."""

    holding: str
    tool: str
    angle_deg: float


def how(plan: Plan) -> dict[str, Done]:
    """How each step is done, in the order of the plan, read from the acts alone."""
    found: dict[str, Done] = {}
    holding, tool, angle_deg = "", "", 0.0
    for act in plan.sheet.acts:
        match act:
            case a.LoadBar() | a.Regrip():
                holding = act.holding.id
            case a.FitTool():
                tool = act.tool
            case a.SwingSlide():
                angle_deg = float(act.angle_deg)
            case a.Cut():
                found[act.step] = Done(holding=holding, tool=tool, angle_deg=angle_deg)
            case a.HandStep(kind=a.HandKind.RUB_FACE):
                found[act.step] = Done(holding=holding, tool="", angle_deg=angle_deg)
            case _:
                pass
    return found


def step_ids(plan: Plan) -> tuple[str, ...]:
    """Ids of the steps, in the order of the plan."""
    return tuple(step.id for step in plan.steps)


def stick_out_mm(plan: Plan) -> float:
    """Bar outside the jaws."""
    return next(act.stick_out_mm for act in plan.sheet.acts if isinstance(act, a.LoadBar))
