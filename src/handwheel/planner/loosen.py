"""How closely a place has to be set that no size hangs on: a touching place, the end of parting, a roughing end.

A readout shows thousandths, and the hand would hunt for them where a tenth does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec
from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle
from handwheel.domain.part import Units
from handwheel.domain.plan import Stage

ABOUT_MM = {Units.MM: 0.1, Units.INCH: 0.1016}
"""Half-width for a place where the tool only touches, or is through already: 0.1 mm or 0.004 in.

Common practice, no source. [mm]"""
ROUGH_END_MM = {Units.MM: 0.05, Units.INCH: 0.0508}
"""Half-width for the end of a roughing cut along the bed: 0.05 mm or 0.002 in (common practice, no source). [mm]"""


def loosened(acts: Sequence[a.Act], *, stages: Mapping[str, Stage], units: Units) -> tuple[a.Act, ...]:
    """The acts, with a wider band wherever nothing is measured from the place that is set."""
    return tuple(_loose(act, acts[i + 1 :], stages=stages, units=units) for i, act in enumerate(acts))


def _loose(act: a.Act, after: Sequence[a.Act], *, stages: Mapping[str, Stage], units: Units) -> a.Act:
    if isinstance(act, a.Move) and _only_touches(act, after):
        return msgspec.structs.replace(act, setting=_at_least(act.setting, ABOUT_MM[units]))
    if isinstance(act, a.Cut) and act.to is not None:
        if any(isinstance(one, a.PartOff) for one in after[:1]):
            return msgspec.structs.replace(act, to=_at_least(act.to, ABOUT_MM[units]))
        if act.handle is not Handle.CROSS and stages.get(act.step) is Stage.ROUGH:
            return msgspec.structs.replace(act, to=_at_least(act.to, ROUGH_END_MM[units]))
    return act


def _only_touches(act: a.Move, after: Sequence[a.Act]) -> bool:
    """Whether the next thing is a touch by another handle, perhaps with the spindle started before.

    And the tool goes elsewhere before it cuts: a blade that touches over the place of its cut stays there.
    """
    touch = next((one for one in after if not isinstance(one, a.StartSpindle | a.Lock)), None)
    if not isinstance(touch, a.Touch) or touch.handle is act.setting.handle:
        return False
    return not _stays_to_cut(act.setting.handle, after)


def _stays_to_cut(handle: Handle, after: Sequence[a.Act]) -> bool:
    """Whether a cut by another handle comes before this one is wound again."""
    first = next((one for one in after if isinstance(one, a.Cut | a.Approach) or _winds(one, handle)), None)
    return isinstance(first, a.Cut) and first.handle is not handle


def _winds(act: a.Act, handle: Handle) -> bool:
    """Whether an act winds a handle to a figure or by eye."""
    if isinstance(act, a.Move):
        return act.setting.handle is handle
    return isinstance(act, a.Retract) and act.handle is handle


def _at_least(setting: a.Setting, band_mm: float) -> a.Setting:
    """The setting with a band no finer than that; marks of a dial have none."""
    if setting.kind is a.SettingKind.MARKS or setting.band_mm >= band_mm:
        return setting
    return replace(setting, band_mm=band_mm)
