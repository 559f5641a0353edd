"""The bar as it turns in the chuck: what it sweeps, what grips it, whether its far end may be where it is."""

from __future__ import annotations

from math import pi, sqrt

from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.domain.acts import LoadBar, TailSupport
from handwheel.domain.bars import Bar, BarShape
from handwheel.geometry.region import Region, rectangle
from handwheel.physics.whirl import SAFE_SHARE, whirl_speed_rpm

AGREE_MM = 0.01
"""How far two figures of one place on the sheet may differ."""
OVERHANG_DIAS = 5.0
"""An unsupported bar may stand out behind the spindle by this many of its diameters; common practice, no source."""
CORNERS_TO_FLATS = 1.1547005383792515
"""Width of a hexagon over its corners for each unit across its flats: 1 / cos 30°."""
JAWS_OF_HEXAGON = 3
"""Jaws come to lie on flats of a hexagon if there are three of them, or six."""


def swept_dia_mm(bar: Bar) -> float:
    """Diameter that the turning bar sweeps: a hexagon with its corners. [mm]"""
    return float(bar.dia_mm) * (CORNERS_TO_FLATS if bar.shape is BarShape.HEXAGON else 1.0)


def bar_region(bar: Bar, *, low_mm: float, high_mm: float) -> Region:
    """Half section of what the turning bar sweeps between two z; a tube is hollow. [mm]"""
    return rectangle(low_mm, high_mm, float(bar.bore_mm) / 2.0, swept_dia_mm(bar) / 2.0)


def check_shape(scene: Scene, bar: Bar) -> None:
    """Refuse a chuck whose jaws do not come to lie on the flats of a hexagon."""
    jaws = scene.case.lathe.chuck.jaws
    if bar.shape is BarShape.HEXAGON and (jaws < JAWS_OF_HEXAGON or jaws % JAWS_OF_HEXAGON):
        scene.refuse(
            RefusalCode.BAR_NOT_GRIPPED,
            f"bar {bar.id!r} is a hexagon and the chuck has {jaws} jaws: they do not all meet a flat; take round bar",
        )


def check_tail(scene: Scene, act: LoadBar, bar: Bar) -> None:
    """Refuse a far end that whips, does not pass, or is not where the sheet says."""
    lathe, dia = scene.case.lathe, swept_dia_mm(bar)
    behind = act.bar_length_mm - act.stick_out_mm
    if act.tail is TailSupport.BLANK:
        if abs(act.bar_length_mm - act.stick_out_mm - act.grip_length_mm) > AGREE_MM:
            scene.refuse(
                RefusalCode.BAR_NOT_SUPPORTED,
                f"a blank ends in the jaws: {act.stick_out_mm:g} mm and {act.grip_length_mm:g} mm are not its "
                f"{act.bar_length_mm:g} mm; cut it or say where the rest is",
            )
        return
    if dia > lathe.spindle_bore_dia_mm:
        scene.refuse(
            RefusalCode.BAR_NOT_SUPPORTED,
            f"{dia:g} mm bar does not enter the spindle's bore of {lathe.spindle_bore_dia_mm:g} mm; cut a blank",
        )
    out = behind - lathe.chuck.jaw_length_mm - lathe.spindle_length_mm
    if act.tail is TailSupport.OVERHANGS:
        _check_overhang(scene, act, bar, out_mm=out)
    elif act.tail is TailSupport.INSIDE_SPINDLE and out > 0:
        scene.refuse(
            RefusalCode.BAR_NOT_SUPPORTED,
            f"{behind:g} mm of bar behind the jaw face reach out of the spindle and whip; support it or cut it",
        )


def _check_overhang(scene: Scene, act: LoadBar, bar: Bar, *, out_mm: float) -> None:
    """Refuse an overhang that is long, or may turn at more than half the speed at which it whirls."""
    if out_mm > OVERHANG_DIAS * float(bar.dia_mm):
        scene.refuse(
            RefusalCode.BAR_NOT_SUPPORTED,
            f"{out_mm:.0f} mm of bar stand out behind the spindle with nothing to hold them; cut it, or support it",
        )
    if not act.cautions:
        scene.refuse(
            RefusalCode.MISSING_CAUTION, "a bar that turns behind the spindle and no caution stands there; print it"
        )
    material = scene.case.material
    free = act.bar_length_mm - act.stick_out_mm - act.grip_length_mm
    if material is None or free <= 0:
        return
    limit = SAFE_SHARE * _whirl_rpm(
        bar,
        free_mm=free,
        e_n_mm2=1000.0 * material.range("e_modulus").least,
        density_g_cm3=material.range("density").most,
    )
    if act.holding.max_rpm > limit * 1.001:
        scene.refuse(
            RefusalCode.SPEED_ABOVE_HOLDING,
            f"the holding allows {act.holding.max_rpm:g} rev/min, and {free:.0f} mm of free bar behind the jaws bear "
            f"{limit:.0f}: half the speed at which it whirls",
        )


def _whirl_rpm(bar: Bar, *, free_mm: float, e_n_mm2: float, density_g_cm3: float) -> float:
    """Whirling speed of the free bar, a hexagon as the round bar inside its flats but with all its weight. [rev/min]"""
    outer, bore = float(bar.dia_mm), float(bar.bore_mm)
    area = pi * (outer**2 - bore**2) / 4.0
    if bar.shape is BarShape.HEXAGON:
        area = 6.0 * (outer / 2.0) ** 2 / sqrt(3.0)  # six triangles of half the flats' width in height
    return whirl_speed_rpm(
        free_mm,
        e_n_mm2=e_n_mm2,
        moment_mm4=pi * (outer**4 - bore**4) / 64.0,
        section_mm2=area,
        density_g_cm3=density_g_cm3,
    )
