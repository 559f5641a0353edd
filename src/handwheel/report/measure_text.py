"""Words for the acts that measure, and for those done without the lathe."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.acts import (
    Cool,
    HandKind,
    HandStep,
    Indicate,
    Measure,
    SettingKind,
)
from handwheel.domain.motion import Handle
from handwheel.domain.part import OUTSIDE, Aspect
from handwheel.domain.shop import Shop
from handwheel.report.advice_text import advice_after, advice_before, advice_rows
from handwheel.report.numbers import Lengths, duration_text, places_for, rounded, trimmed
from handwheel.report.pieces import BOX, ActText, Line, Said, Weight
from handwheel.report.setting_text import Scene
from handwheel.report.words import surface_words

WORTH_MM = 1e-6
"""Figures of what a step is worth agree within this."""

HAND_VERBS = {
    HandKind.CONFIRM: "confirm",
    HandKind.INK: "ink",
    HandKind.DEBURR: "deburr",
    HandKind.CATCH_ROD: "catch",
    HandKind.CLEAR_CHIPS: "chips",
    HandKind.LUBRICATE: "oil",
    HandKind.BORE_JAWS: "jaws",
    HandKind.TURN_MANDREL: "mandrel",
    HandKind.FIT_COLLET: "collet",
    HandKind.BORE_POT: "pot",
    HandKind.TURN_SPIGOT: "spigot",
    HandKind.FIT_MANDREL: "expander",
    HandKind.FACE_PLATE: "plate",
    HandKind.TURN_ARBOR: "arbor",
    HandKind.RUB_FACE: "rub",
    HandKind.CLEAN: "clean",
    HandKind.TAKE_OUT: "remove",
    HandKind.TAP: "tap",
    HandKind.BREAK_EDGE: "break",
    HandKind.NOTE: "note",
}


def measure_text(act: Measure, scene: Scene) -> ActText:
    """What to measure, with what, what to expect, when to stop."""
    lengths = scene.lengths
    if act.gauge:
        lengths = replace(lengths, places=places_for(scene.shop.gauge(act.gauge).step_mm))
    is_dia = act.aspect == Aspect.DIAMETER.value
    sized = lengths.dia if is_dia else lengths.both
    lines: list[Line] = [
        (f"{surface_words(act.surface)}, {act.aspect}", gauge_text(act.gauge, scene.shop)),
        (Said(weight=Weight.SIZE, before="expect ", text=sized(act.expected_mm)), f"reading {BOX}"),
        *_stop_lines(act, lengths),
    ]
    if act.aspect == Aspect.DEPTH.value:
        lines.insert(1, (depth_words(act.surface),))
    if act.mark_worth_mm:
        worth = f"{trimmed(act.mark_worth_mm, places=4)} mm ({rounded(act.mark_worth_mm / 25.4, places=4)} in)"
        what = "step" if is_dia and _is_readout_step(act.mark_worth_mm, scene) else "mark"
        lines.append((f"1 {what} changes {'Ø' if is_dia else 'it'} by {worth}",))
    if act.final:
        limits = replace(lengths, places=3).limits(act.lower_mm, act.upper_mm)
        lines.append((Said(weight=Weight.SIZE, before="FINISHED SIZE: ", text=limits),))
    return ActText(
        verb="MEASURE",
        lines=(*lines, *advice_before(act)),
        table=advice_rows(act, scene, lengths),
        after=advice_after(act, scene),
    )


def _stop_lines(act: Measure, lengths: Lengths) -> tuple[Line, ...]:
    """When to stop; not where the limits of the finished size say that, and a table what to do outside them."""
    told = act.final and (act.stop_low_mm, act.stop_high_mm) == (act.lower_mm, act.upper_mm)
    if told and act.table is not None and act.table.bands:
        return ()
    text = lengths.limits(act.stop_low_mm, act.stop_high_mm)
    return ((Said(weight=Weight.LIMIT, before="stop if outside ", text=text),),)


def _is_readout_step(worth_mm: float, scene: Scene) -> bool:
    """Whether it is a step of the cross-slide's readout, and no mark, that changes a diameter by that much."""
    step, stand = scene.shop.lathe.cross.readout_step_mm, scene.before.stands.get(Handle.CROSS)
    by_readout = stand is not None and stand.kind is SettingKind.READOUT
    return by_readout and step is not None and abs(worth_mm - 2.0 * float(step)) < WORTH_MM


def depth_words(shoulder: str) -> str:
    """From which face a depth counts, and where on the shoulder the gauge rests: away from the round in its corner.

    Examples
    --------
    >>> depth_words("bore-back-1-shoulder")
    "from the back face, the rod of the gauge on the shoulder's inner part"
    """
    end = shoulder.split("-")[1]
    away = "outer" if shoulder.startswith(OUTSIDE) else "inner"
    return f"from the {end} face, the rod of the gauge on the shoulder's {away} part"


def gauge_text(gauge: str, shop: Shop) -> str:
    """Name of the gauge to use, or that the shop has none for it."""
    return f"with {gauge}: {shop.gauge(gauge).name}" if gauge else "with no gauge of this shop"


def indicate_text(act: Indicate, scene: Scene) -> ActText:
    """How true the work must run."""
    return ActText(
        verb="true",
        lines=(
            (f"{surface_words(act.surface)}", gauge_text(act.gauge, scene.shop)),
            (
                Said(
                    weight=Weight.LIMIT,
                    before="turn the work by hand: total reading at most ",
                    text=scene.lengths.micro(act.high_mm),
                ),
                f"reading {BOX}",
            ),
        ),
    )


def cool_text(act: Cool, scene: Scene) -> ActText:
    """How long the work cools."""
    del scene
    wait = Said(
        weight=Weight.WAY,
        before="wait ",
        text=duration_text(act.seconds),
        after=": the work must be as cool as the room",
    )
    return ActText(verb="cool", lines=((wait,),))


def hand_step_text(act: HandStep, scene: Scene) -> ActText:
    """Something done by hand."""
    named: tuple[Line, ...] = ((f"tool: {act.tool}",),) if act.tool else ()
    return ActText(verb=HAND_VERBS[act.kind], lines=((act.text,), *named, *_where(act, scene)))


def _where(act: HandStep, scene: Scene) -> tuple[Line, ...]:
    surface = surface_words(act.surface)
    if act.removes_mm:
        return ((f"takes {scene.lengths.both(act.removes_mm)} off the {surface}",),)
    return ((f"at: {surface}",),) if surface and surface not in act.text else ()
