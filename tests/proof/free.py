"""Parts and shops without any promise: wild ones, and feasible ones with a few things spoilt."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random

from msgspec.structs import replace

from handwheel.data.materials import material_keys
from handwheel.domain.bars import Bar
from handwheel.domain.errors import HandwheelError
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.slides import Slide
from handwheel.domain.tools import Tool
from tests.proof import screws
from tests.proof.drafts import BACK, BORE, EDGES, FRONT, OUTSIDE, Drawn, Legs, RingDraft, StepDraft
from tests.proof.feasible import feasible
from tests.proof.stock import base_shop

Spoil = Callable[[Random, Drawn], Drawn]
MOST_SPOILT = 2


def free(chance: Random) -> Drawn:
    """Draw a part and a shop of which nothing is promised but that both can be read."""
    while True:
        drawn = _wild(chance) if chance.random() < 0.25 else feasible(chance)
        for spoil in chance.sample(SPOILS, chance.randint(1, MOST_SPOILT)):
            drawn = spoil(chance, drawn)
        try:
            _ = drawn.draft.part
        except HandwheelError:
            continue  # no part at all: that is for the intake's own tests
        return drawn


def _wild(chance: Random) -> Drawn:
    bore, wall = 3.0 * 20.0 ** chance.random(), 0.5 * 24.0 ** chance.random()
    width = 1.0 * 30.0 ** chance.random()
    legs = min(wall / 2.5, width / 2.5, 2.0)
    edges = {edge: _wild_legs(chance, legs) for edge in EDGES if legs > 0.1 and chance.random() < 0.5}
    draft = RingDraft(
        metal=chance.choice(material_keys()),
        bore=round(bore, 2),
        bore_pm=round(0.002 * 80.0 ** chance.random(), 4),
        outside=round(bore + 2.0 * wall, 2),
        outside_pm=round(0.002 * 80.0 ** chance.random(), 4),
        width=round(width, 2),
        width_pm=round(0.01 * 20.0 ** chance.random(), 4),
        edges=edges,
        edges_pm=round(chance.uniform(0.03, 0.3), 3),
        true_to=chance.random() < 0.3,
        corner=chance.choice((0.1, 0.3, 0.5)),
    )
    if chance.random() < 0.5:
        draft = replace(draft, steps=_wild_steps(chance, draft))
    shop = base_shop(chance)
    if chance.random() < 0.8:
        shop = replace(shop, bars=(*shop.bars, _wild_bar(chance, draft)))
    return Drawn(draft=draft, shop=shop)


def _wild_legs(chance: Random, most_mm: float) -> Legs:
    along = round(chance.uniform(0.1, most_mm), 2)
    return Legs(along=along, across=along if chance.random() < 0.7 else round(chance.uniform(0.1, most_mm), 2))


def _wild_steps(chance: Random, draft: RingDraft) -> tuple[StepDraft, ...]:
    """Steps of any height and depth at some ends; whether they leave a part at all, its reader says."""
    steps = []
    for of, end in ((OUTSIDE, FRONT), (OUTSIDE, BACK), (BORE, FRONT), (BORE, BACK)):
        if chance.random() < 0.4:
            height = draft.wall_mm * chance.uniform(0.05, 0.6)
            steps.append(
                StepDraft(
                    of=of,
                    end=end,
                    diameter=round(draft.outside - 2.0 * height if of == OUTSIDE else draft.bore + 2.0 * height, 2),
                    diameter_pm=round(0.002 * 80.0 ** chance.random(), 4),
                    depth=round(draft.width * chance.uniform(0.05, 0.7), 2),
                    depth_pm=round(0.005 * 30.0 ** chance.random(), 4),
                )
            )
    return tuple(steps)


def _wild_bar(chance: Random, draft: RingDraft) -> Bar:
    dia = Fraction(int(2.0 * (draft.outside + chance.uniform(0.0, 12.0))), 2)
    return Bar(
        id="wild-bar",
        material=draft.metal,
        dia_mm=dia,
        dia_lower_mm=dia - Fraction(1, 10),
        dia_upper_mm=dia,
        length_mm=round(chance.uniform(20.0, 600.0), 1),
        tolerance_rule="as measured",
    )


# spoils --------------------------------------------------------------------------------------------------------------


def _on_lathe(drawn: Drawn, lathe: Lathe) -> Drawn:
    return replace(drawn, shop=replace(drawn.shop, lathe=lathe))


def _without_a_tool(chance: Random, drawn: Drawn) -> Drawn:
    gone = chance.choice(drawn.shop.tools).kind
    return replace(
        drawn, shop=replace(drawn.shop, tools=tuple(tool for tool in drawn.shop.tools if tool.kind is not gone))
    )


def _other_tool(chance: Random, drawn: Drawn) -> Drawn:
    chosen = chance.choice(drawn.shop.tools) if drawn.shop.tools else None

    def changed(tool: Tool) -> Tool:
        return replace(
            tool,
            width_mm=tool.width_mm * chance.choice((1.0, 1.5, 2.0)),
            reach_mm=tool.reach_mm * chance.choice((0.4, 0.7, 1.0)),
            bar_dia_mm=tool.bar_dia_mm * chance.choice((0.5, 1.0, 1.5)),
        )

    tools = tuple(changed(tool) if tool is chosen else tool for tool in drawn.shop.tools)
    return replace(drawn, shop=replace(drawn.shop, tools=tools))


def _fewer_drills(chance: Random, drawn: Drawn) -> Drawn:
    drills = drawn.shop.drills
    left = tuple(drill for drill in drills if chance.random() < 0.5)
    return replace(drawn, shop=replace(drawn.shop, drills=left))


def _fewer_gauges(chance: Random, drawn: Drawn) -> Drawn:
    left = tuple(gauge for gauge in drawn.shop.gauges if chance.random() < 0.5)
    return replace(drawn, shop=replace(drawn.shop, gauges=left))


def _fewer_bars(chance: Random, drawn: Drawn) -> Drawn:
    bars = drawn.shop.bars
    left = tuple(replace(bar, length_mm=bar.length_mm * chance.uniform(0.2, 1.0)) for bar in bars)
    return replace(drawn, shop=replace(drawn.shop, bars=left if chance.random() < 0.6 else ()))


def _fewer_holdings(chance: Random, drawn: Drawn) -> Drawn:
    left = tuple(means for means in drawn.shop.holdings if chance.random() < 0.5)
    return replace(drawn, shop=replace(drawn.shop, holdings=left))


def _stronger_grip(chance: Random, drawn: Drawn) -> Drawn:
    factor = chance.uniform(2.0, 20.0)
    holdings = tuple(replace(means, force_n=means.force_n * factor) for means in drawn.shop.holdings)
    return replace(drawn, shop=replace(drawn.shop, holdings=holdings))


def _weaker(chance: Random, drawn: Drawn) -> Drawn:
    lathe = drawn.shop.lathe
    return _on_lathe(
        drawn,
        replace(
            lathe,
            motor_power_w=max(30.0, lathe.motor_power_w * chance.uniform(0.05, 0.6)),
            tool_stiffness_n_um=max(1.0, lathe.tool_stiffness_n_um * chance.uniform(0.2, 1.0)),
        ),
    )


def _faster(chance: Random, drawn: Drawn) -> Drawn:
    lathe, factor = drawn.shop.lathe, chance.uniform(1.2, 5.0)

    def times(speed: SpindleSpeed) -> SpindleSpeed:
        low, high = speed.low_rpm * factor, speed.high_rpm * factor
        rpm = speed.rpm * factor if speed.is_computed else round(speed.rpm * factor, 1)
        return replace(speed, rpm=rpm, low_rpm=low, high_rpm=high)

    speeds = tuple(times(speed) for speed in lathe.speeds)
    return _on_lathe(drawn, replace(lathe, speeds=speeds[: chance.randint(1, len(speeds))]))


def _other_screws(chance: Random, drawn: Drawn) -> Drawn:
    lathe = drawn.shop.lathe
    return _on_lathe(
        drawn,
        replace(
            lathe,
            cross=screws.cross_slide(chance, lathe.cross),
            top=_perhaps_bare(chance, screws.top_slide(chance, lathe.top)),
            carriage=screws.carriage(chance, lathe.carriage),
        ),
    )


def _perhaps_bare(chance: Random, slide: Slide) -> Slide:
    """A slide, now and then without dial, or without the scale at its base."""
    if chance.random() < 0.25 and slide.dial is not None:
        slide = replace(slide, dial=None, turn_mm=float(slide.dial.lead_mm) if chance.random() < 0.5 else 0.0)
    return replace(slide, angle_scale=None) if chance.random() < 0.2 else slide


def _no_gearbox(_: Random, drawn: Drawn) -> Drawn:
    return _on_lathe(drawn, replace(drawn.shop.lathe, feeds_along=(), feeds_across=()))


def _finer_limits(chance: Random, drawn: Drawn) -> Drawn:
    factor, draft = chance.uniform(0.1, 0.8), drawn.draft
    which = chance.choice(("bore_pm", "outside_pm", "width_pm", "edges_pm"))
    return replace(drawn, draft=replace(draft, **{which: max(0.0005, getattr(draft, which) * factor)}))


def _other_shape(chance: Random, drawn: Drawn) -> Drawn:
    draft = drawn.draft
    wider = replace(draft, width=round(draft.width * chance.uniform(0.3, 2.5), 2))
    return replace(
        drawn, draft=replace(wider, outside=round(draft.bore + 2.0 * draft.wall_mm * chance.uniform(0.5, 2.0), 2))
    )


def _other_steps(chance: Random, drawn: Drawn) -> Drawn:
    """Steps deeper or shallower, with other limits; of a plain ring, steps of any kind."""
    draft = drawn.draft
    if not draft.steps:
        return replace(drawn, draft=replace(draft, steps=_wild_steps(chance, draft)))

    def changed(step: StepDraft) -> StepDraft:
        return replace(
            step,
            depth=round(step.depth * chance.uniform(0.4, 1.8), 2),
            depth_pm=max(0.002, round(step.depth_pm * chance.uniform(0.2, 1.5), 4)),
            diameter_pm=max(0.002, round(step.diameter_pm * chance.uniform(0.2, 1.5), 4)),
        )

    return replace(drawn, draft=replace(draft, steps=tuple(changed(step) for step in draft.steps)))


def _other_corner(chance: Random, drawn: Drawn) -> Drawn:
    return replace(drawn, draft=replace(drawn.draft, corner=chance.choice((0.0, 0.05, 0.15, 0.3, 1.0))))


def _other_metal(chance: Random, drawn: Drawn) -> Drawn:
    metal = chance.choice(material_keys())
    bars = tuple(replace(bar, material=metal) for bar in drawn.shop.bars)
    return Drawn(draft=replace(drawn.draft, metal=metal), shop=replace(drawn.shop, bars=bars))


SPOILS: tuple[Spoil, ...] = (
    _without_a_tool,
    _other_tool,
    _fewer_drills,
    _fewer_gauges,
    _fewer_bars,
    _fewer_holdings,
    _stronger_grip,
    _weaker,
    _faster,
    _other_screws,
    _no_gearbox,
    _finer_limits,
    _other_shape,
    _other_steps,
    _other_corner,
    _other_metal,
)
"""Each changes one thing, mostly for the worse."""
