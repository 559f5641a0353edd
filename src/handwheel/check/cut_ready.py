"""Whether everything is set for a cut: tool, feed, locks, caution, a place that does not rest on the eye."""

from __future__ import annotations

from handwheel.check.acts_spindle import must_lock_carriage
from handwheel.check.limits import (
    least_feed_fault,
    pace_feed_fault,
)
from handwheel.check.machine import direction
from handwheel.check.names import check_cut_name
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.winding import check_unlocked
from handwheel.domain.acts import Cut, FeedKind
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.tools import Hand, ToolKind

_ALONG = {
    Hand.RIGHT: frozenset({Motion.LEFT}),
    Hand.LEFT: frozenset({Motion.RIGHT}),
    Hand.NEUTRAL: frozenset({Motion.LEFT, Motion.RIGHT}),
}
_ACROSS = {
    ToolKind.TURNING: frozenset({Motion.IN}),
    ToolKind.BORING: frozenset({Motion.OUT}),
    ToolKind.PARTING: frozenset({Motion.IN}),
    ToolKind.GROOVING: frozenset({Motion.IN}),
    ToolKind.EDGE_OUTSIDE: frozenset({Motion.IN}),
    ToolKind.EDGE_INSIDE: frozenset({Motion.OUT}),
    ToolKind.FORM_OUTSIDE: frozenset({Motion.IN}),
    ToolKind.FORM_INSIDE: frozenset({Motion.OUT}),
}
_PLUNGE_ONLY = (ToolKind.PARTING, ToolKind.GROOVING, ToolKind.FORM_OUTSIDE, ToolKind.FORM_INSIDE)


def check_ready(scene: Scene, act: Cut) -> None:
    """Refuse a cut for which something is not set."""
    machine = scene.machine
    if not machine.indicated:
        scene.refuse(RefusalCode.NOT_INDICATED, "cutting a ring just gripped: indicate it first, it may run out")
    check_unlocked(scene, act.handle)
    must_lock_carriage(scene, act.handle)
    check_cautioned(scene)
    _check_tool(scene, act)
    check_cut_name(scene, act)
    _check_feed(scene, act)
    _check_set_across(scene, act)


def check_cautioned(scene: Scene) -> None:
    """Refuse the first cut in a hazardous metal without a caution since the spindle was started."""
    material = scene.case.material
    if material is None or scene.machine.has_cut or scene.machine.cautioned or not material.hazards:
        return
    kinds = ", ".join(sorted({caution.kind.value for caution in material.hazards}))
    scene.refuse(
        RefusalCode.MISSING_CAUTION,
        f"first cut in {material.name} ({kinds}) and no caution stands since its tool was fitted; print it",
    )


def _check_tool(scene: Scene, act: Cut) -> None:
    fitted = scene.machine.fitted
    if fitted is None:
        return
    tool = fitted.tool
    along = frozenset() if tool.kind in _PLUNGE_ONLY else _ALONG[tool.hand]
    if act.motion not in (_ACROSS[tool.kind] if act.motion.across else along):
        scene.refuse(
            RefusalCode.TOOL_CANNOT,
            f"{tool.name} ({tool.kind.value}) does not cut {act.motion.value}; fit another tool",
        )


def _check_feed(scene: Scene, act: Cut) -> None:
    machine = scene.machine
    feed = machine.feeds.get(act.handle)
    if feed is None or feed.kind is not act.feed:
        known = "none is set" if feed is None else f"{feed.kind.value} feed is set"
        scene.refuse(
            RefusalCode.FEED_NOT_SET, f"{act.handle.value}: cuts by {act.feed.value} feed and {known}; set it first"
        )
        return
    if act.feed is FeedKind.POWER and act.handle not in (Handle.CARRIAGE, Handle.CROSS):
        scene.refuse(RefusalCode.FEED_NOT_LISTED, f"{act.handle.value}: the gearbox does not drive it; feed by hand")
    if machine.speed is not None:
        found = pace_feed_fault(scene.slide(act.handle), feed, speed_rpm=machine.speed.rpm)
        if found is not None:
            scene.refuse(*found)
    found = None if scene.case.material is None else least_feed_fault(scene.case.material, feed)
    if found is not None:
        scene.refuse(*found)


def _check_set_across(scene: Scene, act: Cut) -> None:
    """Refuse a cut whose depth rests on the eye: the coordinate square to the feed must be known."""
    machine = scene.machine
    ahead = direction(machine, act.handle, act.motion)
    knows = (ahead.radius_mm == 0.0 or machine.knows_z) and (ahead.z_mm == 0.0 or machine.knows_x)
    if not knows and not (machine.kissed and machine.kissed == act.surface):
        scene.refuse(
            RefusalCode.POSITION_BY_EYE,
            f"cutting {act.surface}: how deep the tool stands was judged by eye; set it from a live zero first",
        )
