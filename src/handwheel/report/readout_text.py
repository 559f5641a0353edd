"""Words for setting a readout from a measured size: the rule, and two readings worked out by it."""

from __future__ import annotations

from handwheel.domain.acts import SetReadout, Setting, SettingKind
from handwheel.domain.errors import ShopError
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BORE, Units
from handwheel.domain.shop import Shop
from handwheel.domain.size import MM_PER_INCH
from handwheel.report.numbers import rounded, trimmed
from handwheel.report.pieces import BOX, ActText, Line, Said, Weight
from handwheel.report.setting_text import (
    Scene,
    aid_said,
    fine_lengths,
    in_reading_unit,
    side_text,
    table_lines,
    zero_said,
)

OTHER_STEPS = 3
"""How many steps short of the expected cut the second reading lies that is worked out beside the rule."""
DIVISOR_PLACES = 5


def readout_text(act: SetReadout, scene: Scene) -> ActText:
    """How the readout is set from the reading."""
    step_mm = readout_step_mm(act, scene.shop)
    lengths = fine_lengths(act.handle, scene)
    short_dia_mm = act.dia_per_step_mm * (OTHER_STEPS if is_outside(act) else -OTHER_STEPS)
    further_mm = step_mm * (-OTHER_STEPS if is_minus(act, scene) else OTHER_STEPS)
    shown, other = (_figure(act, value_mm, scene) for value_mm in (act.value_mm, act.value_mm + further_mm))
    return ActText(
        verb="readout",
        lines=(
            (zero_said(act, scene, "handle still, set from the reading"),),
            *table_lines(scene),
            *readout_rule(act, scene),
            (Said(weight=Weight.SIZE, before="expected ", text=lengths.dia(act.expected_dia_mm), after=":"), shown),
            (f"were it {lengths.dia(act.expected_dia_mm + short_dia_mm)}:", str(other)),
            (f"my reading {BOX}", f"READOUT {BOX}"),
        ),
    )


def readout_rule(act: SetReadout, scene: Scene) -> tuple[Line, ...]:
    """Rule from a reading to the figure to enter, all in the unit that the readout shows."""
    step_mm = readout_step_mm(act, scene.shop)
    step, unit = in_reading_unit(step_mm, scene.shop.units)
    factor, places = (Fraction(1), 3) if unit == "mm" else (MM_PER_INCH, 4)
    zero = rounded(Fraction(act.zero_dia_mm) / factor, places=places)
    divisor = trimmed(Fraction(act.dia_per_step_mm) / step_mm, places=DIVISOR_PLACES)
    outside = is_outside(act)
    difference = f"(Ø - {zero})" if outside else f"({zero} - Ø)"
    side = _side(act, scene)
    stands = "outside" if outside else "inside"
    return (
        (f"enter {side} {difference} / {divisor}, all in {'mm' if unit == 'mm' else 'inches'}",),
        (f"to the nearest step of {step} {unit}; {side}: the tool stands {stands} that size",),
        *other_unit(unit, scene.shop.units),
    )


def readout_step_mm(act: SetReadout, shop: Shop) -> Fraction:
    """Step of the readout that is set.

    Raises
    ------
    ShopError
        If the slide has none.
    """
    step = shop.lathe.slide(act.handle).readout_step_mm
    if step is None:
        msg = (
            f"{act.handle.value}: the sheet sets a readout, but this slide of shop {shop.name!r} has none; "
            "plan again with this shop"
        )
        raise ShopError(msg)
    return step


def other_unit(unit: str, units: Units) -> tuple[Line, ...]:
    """How a reading in the shop's unit comes into that of a readout which shows the other one."""
    if unit == "mm" and units is Units.INCH:
        return (("a reading in inches: times 25.4 first",),)
    if unit == "in" and units is Units.MM:
        return (("a reading in mm: divided by 25.4 first",),)
    return ()


def other_gauges(unit: str, shop: Shop) -> tuple[Line, ...]:
    """How what a gauge shows in the other unit comes into that of a rule; nothing if all gauges show the rule's own."""
    other, units = ("in", Units.INCH) if unit == "mm" else ("mm", Units.MM)
    sized = (gauge for gauge in shop.gauges if set(gauge.uses) - {GaugeUse.RUNOUT})
    shows_other = any(in_reading_unit(gauge.step_mm, shop.units)[1] == other for gauge in sized)
    return other_unit(unit, units) if shows_other else ()


def is_outside(act: SetReadout) -> bool:
    """Whether the tool stands outside the size at 0: an outside that is still to be cut."""
    if act.value_mm == 0:
        return not act.surface.startswith(BORE)
    return act.expected_dia_mm > act.zero_dia_mm


def is_minus(act: SetReadout, scene: Scene) -> bool:
    """Whether what is entered lies on the side of 0 that counts as minus (right of it, on a swung top slide)."""
    swing = scene.before.swing
    rises_inward = act.handle is Handle.CROSS or swing is None or swing.leftward is Motion.IN
    return is_outside(act) is rises_inward


def _side(act: SetReadout, scene: Scene) -> str:
    away = -1 if is_minus(act, scene) else 1
    return side_text(_setting(act, Fraction(away))).strip()


def _figure(act: SetReadout, value_mm: Fraction, scene: Scene) -> Said:
    return aid_said(_setting(act, value_mm), scene.shop.units)


def _setting(act: SetReadout, value_mm: Fraction) -> Setting:
    return Setting(handle=act.handle, kind=SettingKind.READOUT, zero=act.zero, value_mm=value_mm)
