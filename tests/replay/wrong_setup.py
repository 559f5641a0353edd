"""Mutations of what is set up: bar, holding, tool, angle, speed, feed, drill."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import pi

from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain import acts as a
from handwheel.domain.errors import DataTableError
from handwheel.domain.holding import Side
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.motion import Motion
from handwheel.domain.part import BORE, OUTSIDE
from handwheel.domain.tools import Tool, ToolKind
from tests.replay.mutation import Mutation, Writer
from tests.replay.story import Moment, Story, changed
from tests.replay.wrong_readings import at, position

JAW_REACHED_MM = 0.5
"""How far the deepest cut would reach behind the front of the jaws."""
RUBBED_OFF_MM = 0.03
TOO_FAST = 1.3
"""Speed over the highest of all table speeds, on four fifths of the printed diameter: too fast for any reading."""
SMALLER = 0.8
_TALL = (ToolKind.TURNING, ToolKind.PARTING, ToolKind.GROOVING)
_BLADES = (ToolKind.PARTING, ToolKind.GROOVING)


def make(story: Story) -> Iterator[Mutation]:
    """All of them."""
    writer = Writer(story)
    makers = {
        a.LoadBar: _load_bar,
        a.Regrip: _regrip,
        a.FitTool: _fit_tool,
        a.FitDrill: _fit_drill,
        a.DrillHole: _drill_hole,
        a.SetSpeed: _set_speed,
        a.SetFeed: _set_feed,
        a.SwingSlide: _swing,
        a.StartSpindle: _start,
        a.Indicate: _indicate,
        a.HandStep: _rub,
    }
    for moment in story.moments:
        maker = makers.get(type(moment.act))
        if maker is not None:
            yield from maker(writer, moment)


def _load_bar(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act, shop, part = moment.act, writer.story.shop, writer.story.job.sheet.part
    if not isinstance(act, a.LoadBar):
        return
    for where, z in (
        ("under the deepest cut", _deepest_mm(writer.story) + JAW_REACHED_MM),
        ("half", -part.width_mm / 2),
    ):
        stick_out = act.face_stock_mm - z
        grip = act.grip_length_mm + act.stick_out_mm - stick_out
        shorter = changed(
            act,
            stick_out_mm=stick_out,
            grip_length_mm=grip if act.tail is a.TailSupport.BLANK else act.grip_length_mm,
            holding=replace(act.holding, jaw_face_mm=z),
        )
        why = f"a tool that cuts from outside runs into the jaws, {where}"
        yield writer.caught("jaws in the way", moment, why, shorter)
    wrong_face = changed(act, holding=replace(act.holding, jaw_face_mm=act.holding.jaw_face_mm + 2.0))
    yield writer.caught("jaw face printed wrong", moment, "stick-out and face stock say otherwise", wrong_face)
    yield writer.caught("nothing gripped", moment, "no length in the jaws", changed(act, grip_length_mm=0.0))
    longer = changed(act, grip_length_mm=act.bar_length_mm)
    yield writer.caught("grip longer than the bar", moment, "stick-out and grip exceed the bar", longer)
    rack = shop.bar(act.bar)
    too_long = changed(act, bar_length_mm=rack.length_mm + 50.0, tail=a.TailSupport.SUPPORTED)
    yield writer.caught("bar longer than on the rack", moment, "the rack's bar is shorter", too_long)
    yield writer.caught("bar of no name", moment, "the rack has no such bar", changed(act, bar="bar-none"))
    for bar in shop.bars:
        if bar.material != part.material:
            other = changed(act, bar=bar.id)
            yield writer.caught("bar of another metal", moment, "the part is of another metal", other)
    if float(rack.dia_mm) > shop.lathe.spindle_bore_dia_mm:
        inside = changed(act, tail=a.TailSupport.INSIDE_SPINDLE)
        yield writer.caught("bar through too small a spindle", moment, "it does not enter the bore", inside)
    elif act.bar_length_mm > act.stick_out_mm + act.grip_length_mm + 1.0:
        blank = changed(act, tail=a.TailSupport.BLANK)
        yield writer.caught("long bar called a blank", moment, "metal stands behind the jaws", blank)


def _deepest_mm(story: Story) -> float:
    """Lowest z that a tool cutting from outside reaches while the bar is held. [mm]"""
    return min(
        moment.place_after[0]
        for moment in story.moments
        if isinstance(moment.act, a.Cut)
        and moment.place_after is not None
        and moment.tool is not None
        and moment.tool.kind in _TALL
        and moment.holding is not None
        and moment.holding.side is Side.FRONT
    )


def _regrip(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act, part = moment.act, writer.story.job.sheet.part
    if not isinstance(act, a.Regrip):
        return
    held = act.holding
    changes = [
        ("gripped on a smaller diameter", "the ring is larger", replace(held, grip_dia_mm=held.grip_dia_mm - 1.0)),
        ("gripped on a larger diameter", "the ring is smaller", replace(held, grip_dia_mm=held.grip_dia_mm + 1.0)),
        ("holding of no name", "the shop has none such", replace(held, id="holding-none")),
        ("ring not turned round", "the finished face looks out", replace(held, side=Side.FRONT)),
        ("held for rubbing only", "the lathe does not turn it, and cuts follow", replace(held, turned=False)),
        ("holding bears a crawl only", "the speeds that follow exceed it", replace(held, max_rpm=1.0)),
    ]
    if held.kind == "soft-jaws":
        deep = replace(held, grip_length_mm=held.grip_length_mm + 1.0)
        changes.append(("seat too deep", "the ring does not reach its seat", deep))
        proud = replace(held, jaw_face_mm=JAW_REACHED_MM, grip_length_mm=part.width_mm + JAW_REACHED_MM)
        changes.append(("soft jaws proud of the face", "the facing tool runs into them", proud))
    if not held.turned:  # a plate grips nothing, turns nothing, and takes the ring either way up
        changes = [change for change in changes if change[0] == "holding of no name"]
    for kind, why, holding in changes:
        yield writer.caught(kind, moment, why, changed(act, holding=holding))


def _group(tool: Tool) -> ToolKind:
    """Tools of one group might do each other's work; a parting blade can groove."""
    return ToolKind.PARTING if tool.kind in _BLADES else tool.kind


def _fit_tool(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act, shop = moment.act, writer.story.shop
    if not isinstance(act, a.FitTool):
        return
    tool = shop.tool(act.tool)
    for other in shop.tools:
        if _group(other) is not _group(tool):
            why = "its edge lies otherwise, and what is cut or read is wrong (by the simple replay)"
            fitted = changed(act, tool=other.id, stands_out_mm=other.reach_mm or act.stands_out_mm)
            yield writer.caught("wrong tool", moment, why, fitted, judged=True)
    yield writer.caught("tool of no name", moment, "the shop has none such", changed(act, tool="tool-none"))
    if tool.reach_mm:
        out = changed(act, stands_out_mm=tool.reach_mm + 5.0)
        yield writer.caught("tool out further than it is long", moment, "blade or bar is shorter", out)


def _fit_drill(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act, shop = moment.act, writer.story.shop
    if not isinstance(act, a.FitDrill):
        return
    yield writer.caught("drill of no name", moment, "the shop has none such", changed(act, drill="drill-none"))
    for other in shop.drills:
        if other.dia_mm != shop.drill(act.drill).dia_mm:
            why = "hole, point and depth are another drill's (by the simple replay)"
            yield writer.caught("wrong drill", moment, why, changed(act, drill=other.id), judged=True)


def _drill_hole(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act, story = moment.act, writer.story
    dial = story.shop.lathe.tailstock.quill.dial
    if not isinstance(act, a.DrillHole) or dial is None:
        return
    false_point = changed(act, point_mm=act.point_mm / 2.0)
    yield writer.caught("drill's point printed wrong", moment, "half the height of the cone", false_point)
    fitted = [item.act for item in story.moments[: moment.index] if isinstance(item.act, a.FitDrill)]
    drill = story.shop.drill(fitted[-1].drill)
    mark = dial.lead_mm / dial.marks
    depth = -act.setting.expected_mm
    deeper = int((drill.flute_mm + 1.0 - depth) / float(mark))
    yield _to_depth(writer, moment, act, deeper, "drilled deeper than the flutes", "chips jam in the hole")
    last = not any(isinstance(item.act, a.DrillHole) for item in story.later(moment))
    if last and drill.kind is DrillKind.TWIST:
        half = -int((depth - story.job.sheet.part.width_mm / 2.0) / float(mark))
        why = "behind it the boring bar meets the solid bar instead of the printed depth"
        yield _to_depth(writer, moment, act, half, "drilled half through", why)


def _to_depth(writer: Writer, moment: Moment, act: a.DrillHole, marks: int, kind: str, why: str) -> Mutation:
    """Drilled deeper by some marks, the printed depth alike."""
    quill = writer.story.shop.lathe.tailstock.quill
    if quill.dial is None:
        raise TypeError(quill)
    sign = 1 if quill.clockwise_moves is Motion.LEFT else -1
    here = position(act.setting, quill.dial)
    setting = at(act.setting, quill.dial, here + sign * marks)
    way = float(quill.dial.lead_mm / quill.dial.marks * marks)
    setting = replace(setting, expected_mm=act.setting.expected_mm - way)
    return writer.caught(kind, moment, why, changed(act, setting=setting))


def _set_speed(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act, lathe = moment.act, writer.story.shop.lathe
    if not isinstance(act, a.SetSpeed):
        return
    odd = changed(act, rpm=act.rpm * 1.07, cutting_speed_m_min=act.cutting_speed_m_min * 1.07)
    yield writer.caught("speed not in the list", moment, "this spindle has no such speed", odd)
    other = next(speed for speed in lathe.speeds if speed.rpm != act.rpm)
    lever = changed(act, position=other.position)
    yield writer.caught("speed at another lever", moment, "that lever gives another speed", lever)
    half = changed(act, cutting_speed_m_min=act.cutting_speed_m_min / 2.0)
    yield writer.caught("surface speed of a radius", moment, "half the surface speed is printed", half)
    holding = moment.holding
    for speed in lathe.speeds:
        faster = changed(
            act,
            rpm=speed.rpm,
            position=speed.position,
            cutting_speed_m_min=pi * act.cut_dia_mm * speed.rpm / 1000.0,
        )
        if holding is not None and speed.rpm > min(holding.max_rpm, lathe.chuck.max_rpm):
            yield writer.caught("faster than the holding bears", moment, "the grip opens", faster)
        elif pi * SMALLER * act.cut_dia_mm * speed.rpm / 1000.0 > TOO_FAST * _highest_m_min(writer.story, moment):
            yield writer.caught("faster than the metal bears", moment, "the edge burns", faster)


def _highest_m_min(story: Story, moment: Moment) -> float:
    """Highest table speed for the tool that cuts next, over all kinds of cut; infinite if uncertain. [m/min]"""
    metal = material(story.job.sheet.part.material)
    for later in story.later(moment):
        if isinstance(later.act, a.SetSpeed | a.DrillHole):
            break
        if isinstance(later.act, a.Cut) and later.tool is not None and later.act.surface in (BORE, OUTSIDE):
            edge = later.tool.edge
            found = []
            for kind in (CutKind.ROUGH, CutKind.FINISH, CutKind.BORE):
                try:
                    found.append(cutting_speed(metal, edge=edge, cut=kind).high_m_min)
                except DataTableError:
                    return float("inf")
            return max(found)
    return float("inf")


def _set_feed(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.SetFeed):
        return
    if act.kind is a.FeedKind.POWER:
        odd = changed(act, low_mm_rev=act.low_mm_rev * 1.03, high_mm_rev=act.high_mm_rev * 1.03)
        yield writer.caught("feed not in the list", moment, "this gearbox has no such feed", odd)
        band = changed(act, high_mm_rev=act.high_mm_rev * 2.0)
        yield writer.caught("power feed as a band", moment, "a gearbox gives one feed", band)
        knob = changed(act, position=f"{act.position}?")
        yield writer.caught("feed at no knob", moment, "the lathe has no such knob", knob)
        return
    still = changed(act, pace_fast_s=0.0, pace_slow_s=0.0)
    yield writer.caught("hand feed without a pace", moment, "no hand turns in no time", still)
    mixed = changed(act, low_mm_rev=act.high_mm_rev, high_mm_rev=act.low_mm_rev)
    if act.low_mm_rev < act.high_mm_rev:
        yield writer.caught("hand feed band reversed", moment, "its low end is above its high end", mixed)
    double = changed(act, low_mm_rev=2.0 * act.low_mm_rev, high_mm_rev=2.0 * act.high_mm_rev)
    yield writer.caught("hand feed twice its pace", moment, "pace and speed give half of the printed feed", double)


def _swing(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.SwingSlide):
        return
    if act.scale_deg != 90 - act.scale_deg:
        complement = changed(act, scale_deg=90 - act.scale_deg)
        yield writer.caught("complement on the scale", moment, "the slide stands at 90° less the angle", complement)
        both = changed(act, scale_deg=90 - act.scale_deg, angle_deg=90 - act.angle_deg)
        yield writer.caught(
            "complement of the angle", moment, "the check move and all settings belong to the other", both
        )
    other = changed(act, angle_deg=act.angle_deg + 1)
    yield writer.caught("angle off", moment, "the scale says another angle", other)
    between = changed(act, scale_deg=act.scale_deg + Fraction(1, 7))
    yield writer.caught("scale between divisions", moment, "that is neither the angle nor a division", between)
    false = changed(act, check_across_mm=act.check_across_mm + 0.5)
    yield writer.caught("check of the angle wrong", moment, "that much across is another angle", false)
    if act.angle_deg:
        mirrored = changed(act, leftward=act.leftward.other)
        why = "the slide takes the tool the other way across (by the simple replay)"
        yield writer.caught("swung to the other side", moment, why, mirrored, judged=True)


def _rub(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.HandStep) or act.kind is not a.HandKind.RUB_FACE:
        return
    yield writer.caught("face not rubbed", moment, "the printed width is that of the rubbed ring")
    for off in (-RUBBED_OFF_MM, RUBBED_OFF_MM):
        other = changed(act, removes_mm=act.removes_mm + off)
        why = f"the printed width is that of {RUBBED_OFF_MM} mm more or less"
        yield writer.caught("face rubbed otherwise", moment, why, other)


def _start(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if isinstance(act, a.StartSpindle) and not act.reverse:
        reverse = changed(act, reverse=True)
        yield writer.caught("spindle backwards", moment, "the edge does not cut, a threaded chuck unscrews", reverse)


def _indicate(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if isinstance(act, a.Indicate):
        gauge = next(g for g in writer.story.shop.gauges if g.id != act.gauge)
        yield writer.caught(
            "indicated with no indicator", moment, f"{gauge.name} shows no runout", changed(act, gauge=gauge.id)
        )
        yield writer.caught("gauge of no name", moment, "the shop has none such", changed(act, gauge="gauge-none"))
