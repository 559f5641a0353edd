"""Whether an act names the kind of surface that its handle and its tool can mean."""

from __future__ import annotations

from handwheel.check.machine import Machine, direction
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.surfaces import is_edge, is_face, is_inner, is_known
from handwheel.domain.acts import Cut, SetZero
from handwheel.domain.motion import Handle
from handwheel.domain.part import is_shoulder
from handwheel.domain.tools import ToolKind

_INSIDE = (ToolKind.BORING, ToolKind.EDGE_INSIDE, ToolKind.FORM_INSIDE)
_BLADES = (ToolKind.PARTING, ToolKind.GROOVING)


def _lies_across(surface: str) -> bool:
    """Whether a surface stands square to the axis."""
    return is_face(surface) or is_shoulder(surface)


def check_zero_name(scene: Scene, act: SetZero) -> None:
    """Refuse a zero of a handle on a surface that this handle does not count from."""
    if is_edge(act.surface) or not is_known(scene.case.part, act.surface):
        return
    across, along = _ways(scene.machine, act.handle)
    if (across and not _lies_across(act.surface)) or (along and _lies_across(act.surface)):
        return
    scene.refuse(
        RefusalCode.WRONG_SURFACE,
        f"{act.handle.value}: its zero cannot count from {act.surface}, which it does not go towards; name the surface "
        "that was touched",
    )


def _ways(machine: Machine, handle: Handle) -> tuple[bool, bool]:
    """Whether a handle takes the tool across, and along."""
    if handle is Handle.CROSS:
        return True, False
    return handle is Handle.TOP and machine.swung, True


def check_cut_name(scene: Scene, act: Cut) -> None:
    """Refuse a cut that names a surface of the part which this tool, fed that way, cannot make."""
    fitted = scene.machine.fitted
    if fitted is None or is_edge(act.surface) or not is_known(scene.case.part, act.surface):
        return
    kind = fitted.tool.kind
    if kind in _BLADES:
        fits = not is_inner(scene.case.part, act.surface)
    elif _lies_across(act.surface):
        fits = direction(scene.machine, act.handle, act.motion).z_mm == 0.0
    else:
        along = direction(scene.machine, act.handle, act.motion).radius_mm == 0.0
        fits = along and (kind in _INSIDE) is is_inner(scene.case.part, act.surface)
    if not fits:
        scene.refuse(
            RefusalCode.WRONG_SURFACE,
            f"{act.handle.value}: {fitted.tool.name} fed {act.motion.value} does not cut {act.surface}; name what it "
            "cuts",
        )
