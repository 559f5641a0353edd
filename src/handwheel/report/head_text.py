"""The head of the sheet: what is to be made, of what, with what, to which sizes, and what holds for every act."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.data.cautions import head_cautions
from handwheel.data.hazards import hazard_gates
from handwheel.data.materials import material
from handwheel.data.unknown_metals import unknown_metals
from handwheel.domain.acts import (
    FitDrill,
    FitReamer,
    FitTool,
    HandKind,
    HandStep,
    Indicate,
    LoadBar,
    Measure,
    Regrip,
    SettingKind,
    SetZero,
    SwingSlide,
    TailSupport,
    Touch,
)
from handwheel.domain.errors import DataTableError
from handwheel.domain.exact import Fraction
from handwheel.domain.findings import Severity
from handwheel.domain.motion import Handle
from handwheel.domain.part import Aspect, Part, SizedFeature
from handwheel.domain.size import SizeKind
from handwheel.report.advice_text import advice_rules
from handwheel.report.layout import caution_lines, labelled, pack, table, wrap
from handwheel.report.numbers import Lengths, estimate_text, exact_text
from handwheel.report.setting_text import engraved_text
from handwheel.report.setup_text import bar_size_text, means_name
from handwheel.report.understood_text import understood_lines
from handwheel.report.wording import in_own_order
from handwheel.report.words import HANDLE_WORDS, plain, surface_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop

SHOWN_OF_ID = 12
"""Letters of the plan's id that are printed: enough to tell two sheets apart on one bench."""

HOW_TO_READ = (
    "clockwise, anticlockwise: as you see the handle you turn; in brackets, where the tool goes.",
    "In: to the centre line. Out: from it. Left: to the chuck. Right: to the tailstock.",
    "DIAL 88   0 turns + 12 marks short of 0: stop with 88 on the dial; 12 marks further on its 0 would come.",
    "Short of 0: turning as the line says, the 0 is still to come. Beyond 0: it has gone by.",
    "Dials count up clockwise, down anticlockwise.",
    "zero A, zero B: what a figure counts from. The act that sets it has the same letter.",
    "Ø is a diameter. Behind the face: from the finished face towards the chuck.",
    "Back, about so far: by eye. Still no room for a gauge: wind the handle that came back last further, and no other.",
    "Stop if outside: cut no further before you know why; measure again, with another gauge if you can.",
)


def head_lines(plan: Plan, shop: Shop, *, width: int) -> Iterator[str]:
    """Lay out the head of the sheet."""
    part = plan.sheet.part
    yield "=" * width
    right = f"plan {plan.id[:SHOWN_OF_ID]}"
    left = f" LATHE SHEET   {plain(part.name)}"
    yield f"{left[: width - len(right) - 3]:<{width - len(right) - 1}}{right}"
    yield "=" * width
    yield from caution_lines(cautions_of(plan), width=width)
    yield ""
    for label, text in facts(plan, shop):
        yield from labelled(label, text, width=width)
    yield ""
    yield from size_lines(part, width=width)
    yield ""
    yield from understood_lines(plan.sheet.part, size_name, width=width)
    yield ""
    yield " GET READY"
    for label, things in needed(plan, shop):
        for place, thing in enumerate(things):
            yield from labelled(label if place == 0 else "", thing, width=width)
    yield ""
    yield " HOW TO READ IT"
    for rule in reading_rules(plan, shop):
        yield from (f"   {line}" for line in wrap(rule, width=width - 3))


def cautions_of(plan: Plan) -> tuple[str, ...]:
    """Cautions that hold for every act, those of the metal, then the findings that forbid the job."""
    return (*head_cautions(), *metal_cautions(plan.sheet.part.material), *stop_texts(plan))


def facts(plan: Plan, shop: Shop) -> Iterator[tuple[str, str]]:
    """Label and text of what is to be made, of what, on what, how held, in what time."""
    part = plan.sheet.part
    yield "part", f"{part.name}, {part.quantity} off"
    yield from again(plan)
    yield from metal(part.material)
    yield "lathe", lathe_name(shop)
    yield from stock(plan, shop)
    yield "time", total_time(plan)
    yield "order", plan.proof.words


def reading_rules(plan: Plan, shop: Shop) -> tuple[str, ...]:
    """How the words and figures of this sheet are to be read."""
    tables = (act.table for act in plan.sheet.acts if isinstance(act, Measure) and act.table is not None)
    return (*HOW_TO_READ, *_figure_rules(plan, shop), *_readout_rules(plan), *advice_rules(tables))


def _figure_rules(plan: Plan, shop: Shop) -> tuple[str, ...]:
    """What stands beside a count of marks, if a dial of this sheet is engraved with other figures, or is fixed."""
    handles = {act.handle for act in plan.sheet.acts if isinstance(act, SetZero) and act.kind is SettingKind.MARKS}
    dials = [dial for handle in handles if (dial := shop.lathe.slide(handle).dial) is not None]
    told = []
    if any(dial.settable and engraved_text(Fraction(1), dial, shop.units) for dial in dials):
        told.append("DIAL counts marks. Figure: what is engraved at that mark, where it is not the count.")
    if any(not dial.settable for dial in dials):
        told.append("my DIAL: what a collar shows that cannot be set, DIAL + offset; work it out before the cut.")
    return tuple(told)


def _readout_rules(plan: Plan) -> tuple[str, ...]:
    """What the figures of a readout on the cross-slide mean, if the sheet goes by it."""
    zeros = (act for act in plan.sheet.acts if isinstance(act, SetZero))
    if not any(act.handle is Handle.CROSS and act.kind is SettingKind.READOUT for act in zeros):
        return ()
    rule = (
        "READOUT of the cross-slide: its travel, half the change of diameter; plus is in, minus is out. One that shows "
        "diameters, or counts the other way, must be set so first."
    )
    return (rule,)


def stop_texts(plan: Plan) -> tuple[str, ...]:
    """Findings that forbid the job, for the top where they cannot be missed."""
    stops = [finding for finding in plan.findings if finding.severity is Severity.STOP]
    return tuple(f"STOP, do not cut: {finding.problem} Remedy: {finding.remedy}" for finding in stops)


def metal_cautions(key: str) -> tuple[str, ...]:
    """Dangers of the metal to the person at the lathe; none are known of a metal that is not in the tables."""
    try:
        return tuple(caution.text for caution in material(key).hazards)
    except DataTableError:
        return ()


def lathe_name(shop: Shop) -> str:
    """Name of the lathe, and of its shop if that is called otherwise."""
    return shop.lathe.name if shop.name == shop.lathe.name else f"{shop.lathe.name} ({shop.name})"


def metal(key: str) -> tuple[tuple[str, str], ...]:
    """Label and text for the metal: its name, what would tell an unknown one, what the tables say of oil and chip."""
    try:
        known = material(key)
    except DataTableError:
        return (("metal", key),)
    use, all_good = known.lubricant_at_the_cut, known.lubricant
    lubricant = use if use == all_good else f"{use} (tables: {all_good})"
    unknown = unknown_metals().get(key)
    tell = () if unknown is None else (("find out", f"before the bar is loaded: {unknown.suspicion} {unknown.tell}"),)
    return (("metal", f"{known.name} ({key})"), *tell, ("lubricant", lubricant), ("chips", known.chip))


def stock(plan: Plan, shop: Shop) -> Iterator[tuple[str, str]]:
    """Label and text of the bar with its stick-out, and of each holding in the order of use."""
    lengths = Lengths(units=plan.sheet.part.units)
    for act in plan.sheet.acts:
        if isinstance(act, LoadBar):
            size = bar_size_text(shop.bar(act.bar), lengths)
            yield "bar", f"{act.bar}: {size}, piece {lengths.rough(act.bar_length_mm)} long"
            yield "stick-out", f"{lengths.rough(act.stick_out_mm)}; far end {act.tail.value}"
            yield "holding", f"bar in the {means_name(act.holding, shop)}"
        if isinstance(act, Regrip):
            held = act.holding
            where = "" if held.gripped_surface == "none" else f" by the {surface_words(held.gripped_surface)}"
            on = "in" if held.turned else "on"
            yield "then", f"ring{where} {on} {held.id}: {means_name(held, shop)}"


def total_time(plan: Plan) -> str:
    """Estimated time of the whole job, and what it is made of."""
    parts = (
        (sum(time.setup_ms for time in plan.times), "to make ready"),
        (sum(time.cutting_ms for time in plan.times), "cutting"),
        (sum(time.measuring_ms for time in plan.times), "touching and measuring"),
    )
    whole = estimate_text(sum(ms for ms, _ in parts))
    each = " for each part" if plan.sheet.part.quantity > 1 else ""
    return f"about {whole}{each}: " + ", ".join(f"{estimate_text(ms)} {what}" for ms, what in parts)


def again(plan: Plan) -> Iterator[tuple[str, str]]:
    """What to do after the first part, where more than one is wanted."""
    load = next((act for act in plan.sheet.acts if isinstance(act, LoadBar)), None)
    if plan.sheet.part.quantity == 1 or load is None:
        return
    piece = "the next blank" if load.tail is TailSupport.BLANK else "the next length of bar"
    stick_out = Lengths(units=plan.sheet.part.units).rough(load.stick_out_mm)
    yield (
        "again",
        f"this sheet makes one; for each further part again from step 1 with {piece}, stick-out {stick_out} as before",
    )


def size_rows(part: Part) -> tuple[tuple[str, ...], ...]:
    """Heading, then name and limits in each unit shown of each size, as they must stand when turning is done."""
    units = in_own_order("mm", "inch", part.units)
    return (("SIZES TO REACH", *units), *dict.fromkeys(size_row(feature, part) for feature in part.sizes))


def size_lines(part: Part, *, width: int) -> list[str]:
    """Lay out the limits in columns; one under the other where that is too wide."""
    rows = size_rows(part)
    lines = table(rows)
    if max(map(len, lines)) <= width:
        return lines
    return [line for row in rows for line in pack((f" {row[0]}:", *row[1:]), width=width)]


def size_row(feature: SizedFeature, part: Part) -> tuple[str, ...]:
    """Name and limits in each unit shown after turning, so before a finishing that changes the size."""
    size = feature.size
    name = f"{size_name(feature, part)}, as turned" if size.finishing_change or size.later else size_name(feature, part)
    if size.kind is SizeKind.ANGLE:
        angles = (f"{exact_text(size.cut_lower)}° to {exact_text(size.cut_upper)}°", "")
        return (name, *angles[: len(in_own_order("mm", "inch", part.units))])
    lengths = Lengths(units=part.units, places=3)
    limits = (lengths.limits_mm(size.cut_lower, size.cut_upper), lengths.limits_inch(size.cut_lower, size.cut_upper))
    return (name, *in_own_order(*limits, part.units))


def size_name(feature: SizedFeature, part: Part) -> str:
    """Name of a size; the two legs of an edge go under one name if they are to be alike."""
    surface = surface_words(feature.surface)
    match feature.aspect:
        case Aspect.WIDTH:
            return "width"
        case Aspect.LEG_AXIAL | Aspect.LEG_RADIAL:
            legs = [part.feature(feature.surface, leg) for leg in (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL)]
            if legs[0] and legs[1] and legs[0].size == legs[1].size:
                return f"{surface}, both legs"
            return f"{surface} {feature.aspect.value}"
        case Aspect.DEPTH:
            return f"{surface.removeprefix('shoulder of ')} {feature.aspect.value}"
        case Aspect.DIAMETER | Aspect.RADIUS:
            return f"{surface} {feature.aspect.value}"
        case Aspect.BROKEN:
            return f"{surface}, {feature.aspect.value}"


def needed(plan: Plan, shop: Shop) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Tools, drills, gauges and means of holding that the sheet uses, in the order of first use."""
    lengths = Lengths(units=plan.sheet.part.units)
    acts = plan.sheet.acts
    tools = _once(act.tool for act in acts if isinstance(act, FitTool))
    drills = _once(act.drill for act in acts if isinstance(act, FitDrill))
    reamers = _once(act.reamer for act in acts if isinstance(act, FitReamer))
    taps = _once(act.tool for act in acts if isinstance(act, HandStep) and act.tool)
    gauges = _once(act.gauge for act in acts if isinstance(act, Measure | Indicate) and act.gauge)
    holdings = _once(act.holding.id for act in acts if isinstance(act, Regrip))
    return (
        ("tools", tuple(f"{name}: {shop.tool(name).name}" for name in tools)),
        ("drills", tuple(f"{name}: {lengths.dia(shop.drill(name).dia_mm)}" for name in drills)),
        ("reamers", tuple(f"{name}: {lengths.dia(shop.reamer(name).dia_mm)}" for name in reamers)),
        ("taps", tuple(f"{name}: {shop.tap(name).thread.designation}" for name in taps)),
        ("gauges", tuple(f"{name}: {shop.gauge(name).name}" for name in gauges)),
        ("holding", tuple(f"{name}: {shop.holding(name).name}" for name in holdings)),
        ("also", _once((*_at_hand(plan), *_aids(plan)))),
    )


HAND_THINGS = {
    HandKind.INK: "marking ink",
    HandKind.CATCH_ROD: "smooth rod to catch the ring",
    HandKind.CLEAR_CHIPS: "brush for the chips",
    HandKind.RUB_FACE: "wet abrasive paper",
    HandKind.DEBURR: "scraper or fine file for the burrs",
    HandKind.BREAK_EDGE: "scraper or fine file for the edges",
}
"""What a hand step is done with, besides what has an id of its own."""


def _at_hand(plan: Plan) -> Iterator[str]:
    for act in plan.sheet.acts:
        if isinstance(act, HandStep) and act.kind is HandKind.CONFIRM:
            yield from (gate.have for gate in hazard_gates().values() if gate.text == act.text)
        elif isinstance(act, HandStep) and act.kind in HAND_THINGS:
            yield HAND_THINGS[act.kind]
        elif isinstance(act, Touch) and act.feeler_mm:
            yield f"feeler {Lengths(units=plan.sheet.part.units).both(act.feeler_mm)}"


def _aids(plan: Plan) -> Iterator[str]:
    """What tells lengths where no dial does: it has to stand on the bed before the first zero."""
    for act in plan.sheet.acts:
        if isinstance(act, SwingSlide):
            yield "dial indicator for the angle of the top slide"
        if not isinstance(act, SetZero) or act.handle is Handle.QUILL:
            continue
        slide = HANDLE_WORDS[act.handle]
        if act.kind is SettingKind.INDICATOR:
            yield f"dial indicator with its base, against the {slide}"
        elif act.kind is SettingKind.RULE:
            yield f"steel rule along the {slide}"
        elif act.kind is SettingKind.STOP:
            yield f"stop for the {slide}"


def _once(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))
