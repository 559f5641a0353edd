"""One thing changed in the shop or the ring of a drawn case, and how the plan must answer: no recipe would pass.

A relation says what is changed, why the answer is what it is, and what is wrong with two plans that do not answer so.
It may not apply to a case (no such slide, no tool to take away); then there is nothing to say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import Units
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.planner.planner import make_plan
from tests.proof.cases import Case, case_of

Change = Callable[[Case], Case | None]
Answer = Callable[[Plan, Plan], str]
"""What is wrong with the plans before and after, or nothing."""

LAST_CUTS = "depth of the two last cuts"
"""What a reason tells of a surface whose last cuts are lighter than usual."""


@dataclass(frozen=True, kw_only=True)
class Relation:
    """A change and the answer to it, with the reason."""

    name: str
    why: str
    change: Change
    answer: Answer


DIGITS = 9
"""Two sums of the same figures in another order differ beyond these."""


# answers -------------------------------------------------------------------------------------------------------------


def not_dearer(before: Plan, after: Plan) -> str:
    """The cheapest way of before is still there."""
    first, second = before.proof.cost_ms, after.proof.cost_ms
    return "" if second <= first else f"cost rose from {first} to {second} ms"


def not_cheaper(before: Plan, after: Plan) -> str:
    """Every way of before has become at least as dear."""
    first, second = before.proof.cost_ms, after.proof.cost_ms
    return "" if second >= first else f"cost fell from {first} to {second} ms"


def same_acts(before: Plan, after: Plan) -> str:
    """Nothing on the sheet changes."""
    return _first_difference(before.sheet.acts, after.sheet.acts)


def same_but_for_bands(before: Plan, after: Plan) -> str:
    """Only how nearly a place in the air is to be met may change: it is a round figure in the shop's unit."""
    first, second = (tuple(without_band(act) for act in plan.sheet.acts) for plan in (before, after))
    return _first_difference(first, second)


def same_plan(before: Plan, after: Plan) -> str:
    """Nothing of the plan changes, what it uses of the shop included."""
    if (before.id, before.uses) != (after.id, after.uses):
        return f"id {before.id} to {after.id}, uses {before.uses} to {after.uses}"
    return same_acts(before, after)


def same_but_for_slack(before: Plan, after: Plan) -> str:
    """Only how far the handle goes past, how far it is drawn off, and where in the air it comes back, may change."""
    first, second = (
        tuple(without_slack(act) for act in plan.sheet.acts if act.id not in _returns(plan)) for plan in (before, after)
    )
    return _first_difference(first, second)


def _returns(plan: Plan) -> set[str]:
    """Moves back from a gauge: to a place in front of the face, the spindle started only there."""
    acts = plan.sheet.acts
    return {move.id for move, start in pairwise(acts) if isinstance(move, a.Move) and isinstance(start, a.StartSpindle)}


def same_but_for_collars(before: Plan, after: Plan) -> str:
    """Only whether a collar is turned or the figure written down may change."""
    return _first_difference(
        tuple(without_collar(act) for act in before.sheet.acts), tuple(without_collar(act) for act in after.sheet.acts)
    )


def not_dearer_unless_lighter(before: Plan, after: Plan) -> str:
    """It costs no more, unless last cuts are lighter now, so that they bend less: that may take a pass more."""
    first, second = ({r.where for r in plan.reasons if r.quantity == LAST_CUTS} for plan in (before, after))
    return "" if second - first else not_dearer(before, after)


def not_more_tool_changes(before: Plan, after: Plan) -> str:
    """A change of tool that costs more is not made oftener."""
    first, second = (sum(isinstance(act, a.FitTool) for act in plan.sheet.acts) for plan in (before, after))
    return "" if second <= first else f"tools were changed {first} times and now {second}"


def same_sizes(before: Plan, after: Plan) -> str:
    """What the settings make true is the same, whichever way the hand turns."""
    first, second = (tuple(_made(plan)) for plan in (before, after))
    return "" if first == second else "other sizes are set"


def wider_slot(before: Plan, after: Plan) -> str:
    """The left corner of a wider blade stands further left, and parting is no quicker for a wider chip."""
    first, second = (_blade_z_mm(plan) for plan in (before, after))
    return "" if second < first else f"the blade stood at {first:.3f} mm and now at {second:.3f}"


def without_slack(act: a.Act) -> a.Act:
    """An act without what follows from slack: how far past, how far off, and how far to come before metal is met."""
    if isinstance(act, a.Retract):
        act = _changed(act, distance_mm=0.0, turns=None)
    if isinstance(act, a.Cut):
        act = _changed(
            act, length_mm=0.0, seconds=0.0, to=None if act.to is None else replace(act.to, back_off_marks=0)
        )
    if isinstance(act, a.Move):
        act = _changed(act, setting=replace(act.setting, back_off_marks=0))
    return rounded(act)


def rounded(act: a.Act) -> a.Act:
    """An act with every figure to `DIGITS`."""
    figures = {
        name: round(value, DIGITS) for name in act.__struct_fields__ if isinstance(value := getattr(act, name), float)
    }
    setting = act.to if isinstance(act, a.Cut) else getattr(act, "setting", None)
    if not isinstance(setting, a.Setting):
        return _changed(act, **figures)
    bare = replace(setting, expected_mm=round(setting.expected_mm, DIGITS))
    return _changed(act, **figures, **{"to" if isinstance(act, a.Cut) else "setting": bare})


def without_band(act: a.Act) -> a.Act:
    """An act without the band of its setting."""
    name = "to" if isinstance(act, a.Cut) else "setting"
    setting = getattr(act, name, None)
    return _changed(act, **{name: replace(setting, band_mm=0.0)}) if isinstance(setting, a.Setting) else act


def without_collar(act: a.Act) -> a.Act:
    """An act without whether its collar can be turned."""
    return _changed(act, settable=True, note="") if isinstance(act, a.SetCollar) else act


def _changed(act: a.Act, **values: object) -> a.Act:
    return type(act)(**{**{name: getattr(act, name) for name in act.__struct_fields__}, **values})


def _first_difference(before: tuple[a.Act, ...], after: tuple[a.Act, ...]) -> str:
    for old, new in zip(before, after, strict=False):
        if old != new:
            return f"{old} became {new}"
    return "" if len(before) == len(after) else f"{len(before)} acts became {len(after)}"


def _made(plan: Plan) -> Iterator[tuple[str, float]]:
    for act in plan.sheet.acts:
        setting = act.to if isinstance(act, a.Cut) else getattr(act, "setting", None)
        if isinstance(setting, a.Setting):
            yield setting.handle.value, round(setting.expected_mm, DIGITS)


def _blade_z_mm(plan: Plan) -> float:
    """Where the left corner of the blade is set before it parts. [mm]"""
    return min(
        act.setting.expected_mm
        for act in plan.sheet.acts
        if isinstance(act, a.Move) and act.step == "part-off" and act.setting.handle is not Handle.CROSS
    )


# changes -------------------------------------------------------------------------------------------------------------


def _in_shop(case: Case, shop: Shop) -> Case:
    return replace(case, shop=shop)


def _stronger(case: Case) -> Case:
    lathe = case.shop.lathe
    return _in_shop(case, replace(case.shop, lathe=replace(lathe, motor_power_w=1.5 * lathe.motor_power_w)))


def _stiffer(case: Case) -> Case:
    lathe = case.shop.lathe
    return _in_shop(case, replace(case.shop, lathe=replace(lathe, tool_stiffness_n_um=2.0 * lathe.tool_stiffness_n_um)))


def _with_tool(kind: ToolKind) -> Change:
    """One more tool: a copy of the shop's, or a new one, other in what decides nothing but itself."""

    def change(case: Case) -> Case:
        known = next((tool for tool in case.shop.tools if tool.kind is kind), None)
        added = replace(known, id="zz-added", rake_deg=known.rake_deg + 2.0) if known else _NEW_TOOLS[kind]
        return _in_shop(case, replace(case.shop, tools=(*case.shop.tools, added)))

    return change


_NEW_TOOLS = {
    ToolKind.EDGE_OUTSIDE: Tool(
        id="zz-added", name="added", kind=ToolKind.EDGE_OUTSIDE, edge=Edge.HSS, hand=Hand.NEUTRAL, width_mm=8.0
    ),
    ToolKind.EDGE_INSIDE: Tool(
        id="zz-added",
        name="added",
        kind=ToolKind.EDGE_INSIDE,
        edge=Edge.HSS,
        hand=Hand.NEUTRAL,
        width_mm=5.0,
        head_mm=2.5,
        bar_dia_mm=4.0,
        reach_mm=45.0,
    ),
    ToolKind.FORM_OUTSIDE: Tool(
        id="zz-added",
        name="added",
        kind=ToolKind.FORM_OUTSIDE,
        edge=Edge.HSS,
        hand=Hand.RIGHT,
        width_mm=1.5,
        head_mm=4.5,
        hollow_radius_mm=0.5,
    ),
    ToolKind.FORM_INSIDE: Tool(
        id="zz-added",
        name="added",
        kind=ToolKind.FORM_INSIDE,
        edge=Edge.HSS,
        hand=Hand.RIGHT,
        width_mm=1.5,
        head_mm=2.5,
        bar_dia_mm=4.0,
        reach_mm=45.0,
        hollow_radius_mm=0.5,
    ),
    ToolKind.GROOVING: Tool(
        id="zz-added",
        name="added",
        kind=ToolKind.GROOVING,
        edge=Edge.HSS,
        hand=Hand.NEUTRAL,
        width_mm=1.5,
        reach_mm=8.0,
    ),
}


def _with_speed(case: Case) -> Case:
    speeds = case.shop.lathe.speeds
    middle = round((min(s.rpm for s in speeds) * max(s.rpm for s in speeds)) ** 0.5 * 1.013, 1)
    added = SpindleSpeed(rpm=middle, position="added position")
    return _in_shop(case, replace(case.shop, lathe=replace(case.shop.lathe, speeds=(*speeds, added))))


def _with_holding(case: Case) -> Case:
    known = case.shop.holdings[0]
    added = replace(known, id="zz-added", ready_s=known.ready_s + 300.0)
    return _in_shop(case, replace(case.shop, holdings=(*case.shop.holdings, added)))


def _with_larger_bar(case: Case) -> Case:
    largest = max((bar for bar in case.shop.bars if bar.material == case.part.material), key=lambda bar: bar.dia_mm)
    added = replace(
        largest,
        id="zz-added",
        dia_mm=largest.dia_mm + 5,
        dia_lower_mm=largest.dia_lower_mm + 5,
        dia_upper_mm=largest.dia_upper_mm + 5,
    )
    return _in_shop(case, replace(case.shop, bars=(*case.shop.bars, added)))


def _slides_changed(case: Case, change: Callable[[Slide], Slide]) -> Case:
    lathe = case.shop.lathe
    lathe = replace(lathe, cross=change(lathe.cross), top=change(lathe.top), carriage=change(lathe.carriage))
    return _in_shop(case, replace(case.shop, lathe=lathe))


def _halved_slack(case: Case) -> Case:
    return _slides_changed(case, lambda slide: replace(slide, slack_mm=slide.slack_mm / 2))


def _relabelled(case: Case) -> Case:
    def change(slide: Slide) -> Slide:
        dial = slide.dial
        return (
            slide if dial is None else replace(slide, dial=replace(dial, label_mm=dial.label_mm * Fraction(127, 125)))
        )

    return _slides_changed(case, change)


def _fixed_collars(case: Case) -> Case:
    def change(slide: Slide) -> Slide:
        dial = slide.dial
        return slide if dial is None else replace(slide, dial=replace(dial, settable=not dial.settable))

    return _slides_changed(case, change)


def _left_handed(case: Case) -> Case | None:
    lathe = case.shop.lathe
    if lathe.cross.dial is None:
        return None
    other = Motion.OUT if lathe.cross.clockwise_moves is Motion.IN else Motion.IN
    cross = replace(lathe.cross, clockwise_moves=other)
    return _in_shop(case, replace(case.shop, lathe=replace(lathe, cross=cross)))


def _other_units(case: Case) -> Case:
    units = Units.MM if case.shop.units is Units.INCH else Units.INCH
    return _in_shop(case, replace(case.shop, units=units))


def _dearer_tools(case: Case) -> Case:
    habits = case.shop.habits
    return _in_shop(case, replace(case.shop, habits=replace(habits, tool_change_s=2.0 * habits.tool_change_s)))


def _slower_hands(case: Case) -> Case:
    habits = case.shop.habits
    slower = replace(habits, handling_s=2.0 * habits.handling_s, measure_s=1.5 * habits.measure_s)
    return _in_shop(case, replace(case.shop, habits=slower))


def _slower_regrip(case: Case) -> Case:
    habits = case.shop.habits
    return _in_shop(case, replace(case.shop, habits=replace(habits, regrip_s=habits.regrip_s + 60.0)))


def _wider_limits(which: str, factor: float) -> Change:
    def change(case: Case) -> Case:
        draft = replace(case.draft, **{which: round(getattr(case.draft, which) * factor, 4)})
        return replace(case, draft=draft, part=draft.part)

    return change


def _unused_tool_gone(case: Case) -> Case | None:
    plan = make_plan(case.part, case.shop)
    used = {act.tool for act in plan.sheet.acts if isinstance(act, a.FitTool)}
    # blades and grooving tools settle how far the outside is turned, whether they are fitted or not
    free = [t for t in case.shop.tools if t.id not in used and t.kind in (ToolKind.TURNING, ToolKind.BORING)]
    if not free:
        return None
    return _in_shop(case, replace(case.shop, tools=tuple(tool for tool in case.shop.tools if tool is not free[0])))


def _wider_blade(case: Case) -> Case | None:
    blades = [tool for tool in case.shop.tools if tool.kind is ToolKind.PARTING]
    if len(blades) != 1:
        return None
    wide = replace(blades[0], width_mm=blades[0].width_mm + 0.5)
    lathe = replace(case.shop.lathe, motor_power_w=2.0 * case.shop.lathe.motor_power_w)
    tools = tuple(wide if tool is blades[0] else tool for tool in case.shop.tools)
    bars = tuple(replace(bar, length_mm=bar.length_mm + 5.0) for bar in case.shop.bars)
    return _in_shop(case, replace(case.shop, tools=tools, lathe=lathe, bars=bars))


RELATIONS = (
    Relation(name="more power", why="every cut of before is still possible", change=_stronger, answer=not_dearer),
    Relation(name="a stiffer lathe", why="every depth of before is still stable", change=_stiffer, answer=not_dearer),
    *(
        Relation(
            name=f"one more {kind.value} tool",
            why="it may stay in its drawer",
            change=_with_tool(kind),
            answer=not_dearer,
        )
        for kind in ToolKind
    ),
    Relation(name="one more speed", why="it need not be set", change=_with_speed, answer=not_dearer),
    Relation(name="one more holding", why="it need not be used", change=_with_holding, answer=not_dearer),
    Relation(
        name="a larger bar on the rack",
        why="the smallest that cleans up is taken",
        change=_with_larger_bar,
        answer=same_plan,
    ),
    Relation(
        name="half the slack",
        why="settings count from zeros, not from slack",
        change=_halved_slack,
        answer=same_but_for_slack,
    ),
    Relation(
        name="other figures engraved",
        why="the screw moves the slide, not the engraving",
        change=_relabelled,
        answer=same_acts,
    ),
    Relation(
        name="collars fixed or freed",
        why="the figure then goes into a box",
        change=_fixed_collars,
        answer=same_but_for_collars,
    ),
    Relation(
        name="a cross-slide screw of the other hand",
        why="the sizes are the drawing's",
        change=_left_handed,
        answer=same_sizes,
    ),
    Relation(
        name="a shop that thinks in other units",
        why="the screws are what they are",
        change=_other_units,
        answer=same_but_for_bands,
    ),
    Relation(
        name="dearer tool changes",
        why="what costs more is not done oftener",
        change=_dearer_tools,
        answer=not_more_tool_changes,
    ),
    Relation(
        name="dearer tool changes cost", why="no way has become cheaper", change=_dearer_tools, answer=not_cheaper
    ),
    Relation(name="slower hands", why="no way has become cheaper", change=_slower_hands, answer=not_cheaper),
    Relation(name="a slower re-grip", why="no way has become cheaper", change=_slower_regrip, answer=not_cheaper),
    Relation(
        name="a wider bore tolerance",
        why="the old plan still meets it, but for last cuts that can now be light enough",
        change=_wider_limits("bore_pm", 2.0),
        answer=not_dearer_unless_lighter,
    ),
    Relation(
        name="a wider outside tolerance",
        why="the old plan still meets it",
        change=_wider_limits("outside_pm", 2.0),
        answer=not_dearer_unless_lighter,
    ),
    Relation(
        name="a wider width tolerance",
        why="the old plan still meets it",
        change=_wider_limits("width_pm", 2.0),
        answer=not_dearer,
    ),
    Relation(
        name="an unused tool taken away",
        why="nothing of the plan hung on it",
        change=_unused_tool_gone,
        answer=same_plan,
    ),
    Relation(name="a wider blade", why="its width is in the sum", change=_wider_blade, answer=wider_slot),
)


def relation_faults(number: int) -> list[str]:
    """What a drawn case answers wrongly."""
    case = case_of(number)
    try:
        before = make_plan(case.part, case.shop)
    except NoPlanError:
        return []  # the cases themselves are tried elsewhere
    found = []
    for relation in RELATIONS:
        changed = relation.change(case)
        if changed is None:
            continue
        try:
            wrong = relation.answer(before, make_plan(changed.part, changed.shop))
        except NoPlanError as error:
            wrong = f"no plan any more: {' '.join(str(error).split())}"
        if wrong:
            found.append(f"case {number}, {relation.name} ({relation.why}): {wrong}")
    return found
