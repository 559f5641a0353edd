"""Acts that change what is fitted, or how the top slide stands, and the steps done by hand."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, radians, sin

from msgspec.structs import replace

from handwheel.check.acts_spindle import must_have_tailstock, must_stand
from handwheel.check.acts_tap import tap_bore
from handwheel.check.holding_rules import presses
from handwheel.check.machine import FittedTool, Machine, SlideState, toolpost_lost, zeros_lost
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.solids import rest, shape, solid
from handwheel.check.winding import check_unlocked
from handwheel.domain.acts import FitDrill, FitTool, HandKind, HandStep, SwingSlide
from handwheel.domain.holding import Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BACK_FACE, Aspect
from handwheel.domain.tools import ToolKind
from handwheel.geometry.region import bounds_mm, rectangle
from handwheel.geometry.tool_shapes import silhouette

_SET_BY_REACH = (ToolKind.PARTING, ToolKind.GROOVING, ToolKind.BORING)
"""Tools whose holder stands where the person sets the reach."""
CHECK_SHARE = 0.01
"""Share within which the check of a swung slide must agree with its angle."""
_QUARTER_DEG = 90
_WITH_SPINDLE_ON = (HandKind.LUBRICATE, HandKind.NOTE)
_PREPARE = (
    HandKind.BORE_JAWS,
    HandKind.TURN_MANDREL,
    HandKind.FIT_COLLET,
    HandKind.BORE_POT,
    HandKind.TURN_SPIGOT,
    HandKind.FIT_MANDREL,
    HandKind.FACE_PLATE,
    HandKind.TURN_ARBOR,
)


def fit_tool(scene: Scene, act: FitTool) -> Machine:
    """Tool into the toolpost: every zero of the last one is gone."""
    must_stand(scene, "changing the tool")
    _post_must_go_clear(scene)
    tool = next((tool for tool in scene.case.shop.tools if tool.id == act.tool), None)
    if tool is None:
        return scene.stop(RefusalCode.UNKNOWN_TOOL, f"tool {act.tool!r}: the shop has none; choose one it has")
    if act.stands_out_mm <= 0 or (tool.reach_mm > 0 and act.stands_out_mm > tool.reach_mm + 1e-6):
        scene.refuse(
            RefusalCode.TOOL_CANNOT,
            f"{tool.name}: cannot stand out {act.stands_out_mm:g} mm; it reaches {tool.reach_mm:g} mm",
        )
    elif tool.kind in _SET_BY_REACH:
        tool = replace(tool, reach_mm=act.stands_out_mm)
    machine = toolpost_lost(scene.machine, "the tool was changed")
    return replace(machine, fitted=FittedTool(tool=tool, shape=shape(silhouette(tool))), cautioned=bool(act.cautions))


def _post_must_go_clear(scene: Scene) -> None:
    """Refuse a locked slide that has to take the toolpost clear of the work; a tailstock leaves only the way out."""
    held = scene.machine.holding
    if held is not None:
        check_unlocked(scene, Handle.CROSS if presses(held) else Handle.CARRIAGE)


def fit_drill(scene: Scene, act: FitDrill) -> Machine:
    """Drill into the tailstock."""
    must_stand(scene, "changing the drill")
    must_have_tailstock(scene, f"fitting drill {act.drill!r}")
    drill = next((drill for drill in scene.case.shop.drills if drill.id == act.drill), None)
    if drill is None:
        return scene.stop(RefusalCode.UNKNOWN_DRILL, f"drill {act.drill!r}: the shop has none; choose one it has")
    largest = scene.case.lathe.tailstock.chuck_high_dia_mm
    if float(drill.dia_mm) > largest:
        scene.refuse(
            RefusalCode.TOOL_CANNOT,
            f"drill {drill.id!r}: {float(drill.dia_mm):g} mm; the drill chuck holds {largest:g} mm",
        )
    machine = zeros_lost(scene.machine, (Handle.QUILL,), "the drill was changed")
    slides = {**machine.slides, Handle.QUILL: SlideState(locked=machine.slides[Handle.QUILL].locked)}
    return replace(
        machine, drill=drill, reamer=None, drill_tip_mm=None, contact=None, slides=slides, cautioned=bool(act.cautions)
    )


def swing(scene: Scene, act: SwingSlide) -> Machine:
    """Top slide to an angle: every zero of the toolpost is gone."""
    must_stand(scene, "swinging the top slide")
    if scene.machine.fitted is not None:
        _post_must_go_clear(scene)
    _check_scale(scene, act)
    _check_swing_test(scene, act)
    machine = toolpost_lost(scene.machine, "the top slide was swung")
    leftward = act.leftward if act.leftward.across else Motion.OUT
    if not act.leftward.across:
        scene.refuse(RefusalCode.WRONG_DIRECTION, f"a swung slide takes the tool in or out, not {act.leftward.value}")
    return replace(machine, swing_deg=act.angle_deg, leftward=leftward)


def _check_scale(scene: Scene, act: SwingSlide) -> None:
    scale = scene.slide(Handle.TOP).angle_scale
    if scale is None:
        scene.refuse(
            RefusalCode.ANGLE_NOT_SETTABLE, "this top slide has no angle scale: it cannot be swung to a figure"
        )
        return
    if not 0 <= act.angle_deg <= _QUARTER_DEG:
        scene.refuse(RefusalCode.ANGLE_NOT_SETTABLE, f"{float(act.angle_deg):g}° from the axis; give 0 to 90°")
    from_axis, from_square = act.angle_deg, _QUARTER_DEG - act.angle_deg
    right, other = (from_axis, from_square) if scale.zero_along_axis else (from_square, from_axis)
    if act.scale_deg != right:
        code = RefusalCode.COMPLEMENT_ANGLE if act.scale_deg == other else RefusalCode.ANGLE_NOT_SETTABLE
        counts = "parallel to the bed" if scale.zero_along_axis else "square to the bed"
        scene.refuse(
            code,
            f"the scale shows 0 when the slide is {counts}: for {float(act.angle_deg):g}° from the axis set "
            f"{float(right):g}°, not {float(act.scale_deg):g}°",
        )
    on_scale = scale.step_deg > 0 and (act.scale_deg / scale.step_deg).denominator == 1
    if not on_scale or abs(act.scale_deg) > scale.max_deg:
        scene.refuse(
            RefusalCode.ANGLE_NOT_SETTABLE,
            f"{float(act.scale_deg):g}° is not on the scale: divisions of {float(scale.step_deg):g}°, up to "
            f"{scale.max_deg:g}°",
        )


def _check_swing_test(scene: Scene, act: SwingSlide) -> None:
    angle = radians(float(act.angle_deg))
    right, other = act.check_travel_mm * sin(angle), act.check_travel_mm * cos(angle)
    tolerance = CHECK_SHARE * abs(act.check_travel_mm)
    if act.error_deg >= 0 and act.check_travel_mm > 0 and abs(act.check_across_mm - right) <= tolerance:
        return
    hint = "; that is the figure of the complement" if abs(act.check_across_mm - other) <= tolerance else ""
    scene.refuse(
        RefusalCode.ANGLE_CHECK_WRONG,
        f"{act.check_travel_mm:g} mm of slide at {float(act.angle_deg):g}° move the tip {right:.3f} mm across, not "
        f"{act.check_across_mm:g} mm{hint}",
    )


def hand_step(scene: Scene, act: HandStep) -> Machine:
    """Something done by hand; all but oil and notes with the spindle standing."""
    if act.kind not in _WITH_SPINDLE_ON:
        must_stand(scene, f"a hand at the work ({act.kind.value})")
    machine = scene.machine
    if act.removes_mm and act.kind is not HandKind.RUB_FACE:
        scene.refuse(
            RefusalCode.MALFORMED, f"{act.kind.value}: takes off {act.removes_mm:g} mm; only rubbing is reckoned with"
        )
    if act.tool and act.kind is not HandKind.TAP:
        scene.refuse(RefusalCode.MALFORMED, f"{act.kind.value}: names {act.tool!r}; only a tap is named so")
    doing = _HAND.get(act.kind)
    return machine if doing is None else doing(scene, act)


def _confirm(scene: Scene, act: HandStep) -> Machine:
    return replace(scene.machine, confirmed=scene.machine.confirmed | {act.text})


def _deburr(scene: Scene, _act: HandStep) -> Machine:
    return replace(scene.machine, burr=False)


def _catch_rod(scene: Scene, _act: HandStep) -> Machine:
    return replace(scene.machine, rod=True)


def _take_out(scene: Scene, _act: HandStep) -> Machine:
    machine = scene.machine
    if not machine.parted or not machine.in_machine:
        return machine
    return replace(toolpost_lost(machine, "the ring was taken out"), holding=None, bodies=(), indicated=False)


def _break_edge(scene: Scene, act: HandStep) -> Machine:
    machine = scene.machine
    if not machine.parted or machine.in_machine:
        scene.refuse(
            RefusalCode.NOT_PARTED,
            "breaking an edge by hand needs the ring in the hand: parted off and out of the machine",
        )
        return machine
    if scene.case.part.feature(act.surface, Aspect.BROKEN) is None:
        scene.refuse(
            RefusalCode.UNKNOWN_SURFACE,
            f"{act.surface or 'nothing'} is no edge that the drawing wants broken by hand; leave it",
        )
    return replace(machine, broken=machine.broken | {act.surface})


def _prepare(scene: Scene, act: HandStep) -> Machine:
    if scene.machine.in_machine:
        scene.refuse(RefusalCode.ALREADY_HELD, f"{act.kind.value} while work is in the chuck; take the work out first")
    machine = toolpost_lost(scene.machine, f"the tool was used to {act.kind.value}")
    return replace(machine, stub=None, ready=act.kind)


def _rub_face(scene: Scene, act: HandStep) -> Machine:
    machine = scene.machine
    free = machine.work is not None and machine.parted and not machine.in_machine
    if machine.work is None or not free:
        scene.refuse(RefusalCode.NOT_PARTED, "rubbing a face on a plate needs the ring in the hand, parted off and out")
        return machine
    if act.surface != BACK_FACE or act.removes_mm <= 0:
        scene.refuse(RefusalCode.UNKNOWN_SURFACE, "rubbing: say that it is the back face, and how much comes off")
        return machine
    low_z, low_x, high_z, high_x = bounds_mm(machine.work.region)
    if act.removes_mm >= high_z - low_z:
        return scene.stop(
            RefusalCode.NOTHING_LEFT, f"rubbing off {act.removes_mm:g} mm leaves nothing of the ring; rub off less"
        )
    rubbed = rectangle(high_z - act.removes_mm, high_z + 1.0, low_x - 1.0, high_x + 1.0)
    if machine.side is Side.FRONT:
        rubbed = rectangle(low_z - 1.0, low_z + act.removes_mm, low_x - 1.0, high_x + 1.0)
    turned = {surface: one for surface, one in machine.last_cuts.items() if surface != BACK_FACE}
    return replace(machine, work=solid(rest(machine.work.region, rubbed)), broken=frozenset(), last_cuts=turned)


_HAND: dict[HandKind, Callable[[Scene, HandStep], Machine]] = {
    HandKind.CONFIRM: _confirm,
    HandKind.DEBURR: _deburr,
    HandKind.CATCH_ROD: _catch_rod,
    HandKind.TAKE_OUT: _take_out,
    HandKind.RUB_FACE: _rub_face,
    HandKind.TAP: tap_bore,
    HandKind.BREAK_EDGE: _break_edge,
    **dict.fromkeys(_PREPARE, _prepare),
}
