"""Remedies in plain words, for somebody who has to get, grind, fit or measure what they ask for."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.bars import Bar
from handwheel.domain.chucks import Chuck, HoldingMeans
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import Gauge
from handwheel.domain.hole_tools import Drill, Reamer, Tap
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.motion import Edge
from handwheel.domain.part import Units
from handwheel.domain.remedies import (
    AddToShop,
    AllowCorner,
    AllowFinish,
    AllowSize,
    BevelEdge,
    DrawingRemedy,
    FitChuck,
    FitDrillChuck,
    FitSlide,
    LeaveEdge,
    LeaveStep,
    LeaveTruth,
    LighterLastCuts,
    Owned,
    Remedy,
    UseLathe,
    UseMetal,
)
from handwheel.domain.said import said_range, said_short, said_short_range
from handwheel.domain.shop import Shop
from handwheel.domain.size import inch_fraction
from handwheel.domain.slides import AidKind, Slide
from handwheel.domain.tools import Tool, ToolKind

USUAL_SHARP_UM = 8.0
SQUARE_DEG = 90.0
"""Sharpness and entering angle that go without saying."""


def remedy_words(remedy: Remedy, shop: Shop, units: Units) -> str:
    """Say what a remedy asks for, in the words of somebody who has to get, grind or measure it; own units first."""
    if isinstance(remedy, DrawingRemedy):
        return _drawing_words(remedy, units)
    match remedy:
        case AddToShop(thing=thing):
            return _like_own(thing, shop, units) or thing_words(thing, units)
        case FitSlide(slide=slide):
            return f"{slide.handle.value}: {_slide_words(shop.lathe.slide(slide.handle), slide, units)}"
        case LighterLastCuts(finish_cut_mm=cut):
            return (
                f"two last cuts of {said_short(cut, units)} each on a diameter (finish_cut in the habits of "
                "the shop file)"
            )
        case UseLathe() | FitChuck() | FitDrillChuck():
            return _machine_words(remedy, shop.lathe, units)


def _machine_words(remedy: UseLathe | FitChuck | FitDrillChuck, own: Lathe, units: Units) -> str:
    match remedy:
        case FitChuck(chuck=chuck):
            return _chuck_words(chuck, own.chuck, units)
        case FitDrillChuck(largest_dia_mm=largest):
            return f"a drill chuck or taper sleeve that takes drills of Ø {said_short(largest, units)}"
        case UseLathe(lathe=lathe):
            return _lathe_words(lathe, own, units)


def _drawing_words(remedy: DrawingRemedy, units: Units) -> str:
    match remedy:
        case AllowSize(size=size):
            return (
                f"other limits on the drawing: {remedy.surface} {remedy.aspect.value} "
                f"{said_range(size.lower, size.upper, units, places=3)}"
            )
        case AllowFinish(surface=surface, ra_um=ra_um, grade=grade):
            named = f" ({grade})" if grade else ""
            return f"a coarser finish on the drawing: {surface} Ra {ra_um:g} µm{named} (finish_ra)"
        case AllowCorner(radius_mm=radius):
            return (
                f"a radius of {said_short(radius, units)} allowed in the inside corners of the drawing (corner_radius)"
            )
        case BevelEdge() | LeaveEdge() | LeaveStep():
            return _plainer_words(remedy, units)
        case LeaveTruth():
            return "a drawing that does not ask surfaces to run true to each other"
        case UseMetal(material=key, name=name):
            return f"another metal: {name} ({key})" if name else f"another metal: {key}"


def _plainer_words(remedy: BevelEdge | LeaveEdge | LeaveStep, units: Units) -> str:
    match remedy:
        case BevelEdge(surface=surface, leg_mm=leg):
            return f"{surface} drawn as a bevel of {said_short(leg, units)} at 45° in place of a round"
        case LeaveEdge(surface=surface):
            return f"{surface} left off the drawing: broken by hand with a file when the part is done"
        case LeaveStep(surface=surface):
            return f"a drawing without the step {surface}"


def _lathe_words(lathe: Lathe, own: Lathe, units: Units) -> str:
    """A lathe by what decides: power, stiffness, speeds, how finely slides are read, what goes or grips more."""
    speeds = [speed.rpm for speed in lathe.speeds]
    steps = {slide.readout_step_mm for slide in (lathe.cross, lathe.top, lathe.carriage)} - {None}
    finest = min((float(step) for step in steps if step is not None), default=0.0)
    read = f", slides read to {said_short(finest, units)}" if finest else ""
    grips = "" if lathe.chuck == own.chuck else f", {_chuck_words(lathe.chuck, own.chuck, units)}"
    further = (
        f"{new.handle.value} going {said_short(new.travel_mm, units)}"
        for new, old in ((lathe.top, own.top), (lathe.tailstock.quill, own.tailstock.quill))
        if new.travel_mm > old.travel_mm
    )
    goes = "".join(f", {words}" for words in further)
    return (
        f"another lathe: {lathe.motor_power_w:.0f} W, {lathe.tool_stiffness_n_um:g} N/µm between tool and work, "
        f"{min(speeds):g} to {max(speeds):g} rev/min{read}{goes}{grips}"
    )


def _chuck_words(chuck: Chuck, own: Chuck, units: Units) -> str:
    """A chuck by what it grips; of one that differs by its collets only the new ones."""
    new = replace(chuck, collets=tuple(collet for collet in chuck.collets if collet not in own.collets))
    if own.collets and new.collets:
        return f"a collet for Ø {new.grips_words(units)}"
    return f"a chuck, jaws or collet that grip Ø {chuck.grips_words(units)}"


def _like_own(thing: Owned, shop: Shop, units: Units) -> str:
    """Say in what a thing differs from one of the same name that the shop has; nothing if there is none."""
    if isinstance(thing, Tool):
        tool = next((own for own in shop.tools if own.name == thing.name and own.kind is thing.kind), None)
        return "" if tool is None else _but(tool.name, _tool_measures(tool, units), _tool_measures(thing, units))
    if isinstance(thing, HoldingMeans):
        means = next((own for own in shop.holdings if own.name == thing.name and own.kind == thing.kind), None)
        return "" if means is None else _but(means.name, _means_measures(means, units), _means_measures(thing, units))
    return ""


def _but(name: str, own: tuple[str, ...], wanted: tuple[str, ...]) -> str:
    """Name of a thing with what is otherwise about the one that is wanted; nothing if no measure differs."""
    otherwise = ", ".join(new for old, new in zip(own, wanted, strict=True) if new != old)
    return f"{name}, but {otherwise}" if otherwise else ""


def _means_measures(means: HoldingMeans, units: Units) -> tuple[str, ...]:
    return (
        f"for Ø {said_short_range(means.low_dia_mm, means.high_dia_mm, units)}",
        f"gripping {said_short(means.grip_mm, units)}",
        f"closed with {means.force_n:.0f} N",
        f"drawn up to {means.pressure_n_mm2:g} N/mm²",
    )


def thing_words(thing: Owned, units: Units) -> str:
    """Name a thing by the measures that matter, in both units."""
    if isinstance(thing, Tool | Drill | Reamer | Tap):
        return _cutter_words(thing, units)
    match thing:
        case Gauge():
            what = " and ".join(use.value for use in thing.uses)
            return (
                f"a gauge for {what}, {said_short_range(thing.low_mm, thing.high_mm, units)}, "
                f"trusted to ±{said_short(thing.uncertainty_mm, units)}"
            )
        case Bar():
            return (
                f"a bar of {thing.material}, {_bar_dia_words(thing, units)}, {said_short(thing.length_mm, units)} long"
            )
        case HoldingMeans():
            takes = (
                f" for Ø {said_short_range(thing.low_dia_mm, thing.high_dia_mm, units)}" if thing.grip_mm > 0 else ""
            )
            return f"{thing.name}{takes}"
        case SpindleSpeed():
            return f"a spindle speed of {thing.rpm:g} rev/min ({thing.position})"


def _dia_words(dia_mm: Fraction, units: Units) -> str:
    """Diameter as it is bought: where it is a fraction of an inch, that stands beside its millimetres."""
    inches = inch_fraction(dia_mm)
    if not inches:
        return f"Ø {said_short(dia_mm, units)}"
    first, second = f"{float(dia_mm):.5g} mm", f"{inches} in"
    if units is Units.INCH:
        first, second = second, first
    return f"Ø {first} ({second})"


def _bar_dia_words(bar: Bar, units: Units) -> str:
    """Diameter of a bar, and what it may measure as it is delivered."""
    low, high = bar.dia_lower_mm, bar.dia_upper_mm
    between = f", delivered as {said_short_range(low, high, units)}" if low < high else ""
    return f"{_dia_words(bar.dia_mm, units)}{between}"


def _cutter_words(thing: Tool | Drill | Reamer | Tap, units: Units) -> str:
    match thing:
        case Tool():
            return _tool_words(thing, units)
        case Drill():
            lips = ", its lips dubbed" if thing.dubbed else ""
            return (
                f"a {thing.kind.value} of {_dia_words(thing.dia_mm, units)} with "
                f"{said_short(thing.flute_mm, units)} of flute{lips}"
            )
        case Reamer():
            return (
                f"a {thing.kind.value} that makes a hole of Ø "
                f"{said_range(thing.hole_lower_mm, thing.hole_upper_mm, units, places=3)}, "
                f"with {said_short(thing.flute_mm, units)} of flute"
            )
        case Tap():
            return f"a tap {thing.thread.designation} that cuts {said_short(thing.length_mm, units)} deep"


def _tool_measures(tool: Tool, units: Units) -> tuple[str, ...]:
    return (
        f"Ø {said_short(tool.bar_dia_mm, units)}" if tool.bar_dia_mm else "",
        f"{said_short(tool.width_mm, units)} wide" if tool.width_mm else "",
        f"reaching {said_short(tool.reach_mm, units)}" if tool.reach_mm else "",
        f"hollow radius {said_short(tool.hollow_radius_mm, units)}" if tool.hollow_radius_mm else "",
        f"nose radius {said_short(tool.nose_radius_mm, units)}" if tool.nose_radius_mm else "",
        f"shank {said_short(tool.shank_mm, units)}" if tool.kind is ToolKind.TURNING else "",
        f"edge of {_EDGE_NAMES[tool.edge]}",
        f"edge sharp to {said_short(tool.edge_radius_um / 1000.0, units)}"
        if tool.edge_radius_um != USUAL_SHARP_UM
        else "",
        f"edge ground to {tool.entering_deg:g}°" if tool.entering_deg != SQUARE_DEG else "",
        f"{tool.hand.value} hand" if tool.kind in _HANDED else "",
    )


def _tool_words(tool: Tool, units: Units) -> str:
    said = ", ".join(measure for measure in _tool_measures(tool, units) if measure)
    return f"{_TOOL_NAMES[tool.kind]}: {said}"


_EDGE_NAMES = {Edge.HSS: "high-speed steel", Edge.CARBIDE: "carbide"}
_TOOL_NAMES = {
    ToolKind.TURNING: "a turning and facing tool",
    ToolKind.BORING: "a boring bar",
    ToolKind.PARTING: "a parting blade",
    ToolKind.GROOVING: "a grooving tool",
    ToolKind.EDGE_OUTSIDE: "an edge tool for outside edges",
    ToolKind.EDGE_INSIDE: "an edge tool for edges in a hole",
    ToolKind.FORM_OUTSIDE: "a form tool that rounds outside edges",
    ToolKind.FORM_INSIDE: "a form tool that rounds edges of a hole",
}
_HANDED = (ToolKind.TURNING, ToolKind.FORM_OUTSIDE, ToolKind.FORM_INSIDE)


def _slide_words(own: Slide, wanted: Slide, units: Units) -> str:
    """Say in what the slide that is wanted differs from the one there is."""
    told = []
    if wanted.dial is not None and wanted.dial != own.dial:
        halves = ", read to half a mark" if wanted.dial.halves else ""
        told.append(f"a dial with marks of {said_short(wanted.dial.travel_per_mark_mm, units)}{halves}")
    if wanted.readout_step_mm is not None and wanted.readout_step_mm != own.readout_step_mm:
        told.append(f"a readout with steps of {said_short(wanted.readout_step_mm, units)}")
    told += [
        f"{_AID_NAMES[aid.kind]} with steps of {said_short(aid.step_mm, units)} over {said_short(aid.range_mm, units)}"
        for aid in wanted.aids
        if aid not in own.aids
    ]
    if wanted.angle_scale is not None and wanted.angle_scale != own.angle_scale:
        told.append(f"a scale to be swung by, in divisions of {float(wanted.angle_scale.step_deg):g}°")
    if wanted.travel_per_turn_mm != own.travel_per_turn_mm and wanted.dial == own.dial:
        told.append(f"tell its travel in one turn (taken here as {said_short(wanted.travel_per_turn_mm, units)})")
    if wanted.travel_mm != own.travel_mm:
        told.append(f"{said_short(wanted.travel_mm, units)} of travel (move the tool in its holder, or a longer slide)")
    return " and ".join(told)


_AID_NAMES = {AidKind.INDICATOR: "an indicator", AidKind.STOP: "a stop", AidKind.RULE: "a rule"}
