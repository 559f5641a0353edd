"""Setting a collar or a readout from a measured size, so that its 0 is (nearly) the finished size."""

from __future__ import annotations

from handwheel.check.acts_zero import with_zero
from handwheel.check.dial import dial_travel_mm, setting_fault, setting_travel_mm
from handwheel.check.machine import LiveZero, Machine, direction
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.surfaces import is_face, is_inner, is_known
from handwheel.domain.acts import SetCollar, SetReadout, Setting, SettingKind
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle
from handwheel.domain.slides import Dial

MEASURED_TOLERANCE_MM = 2e-3
"""How far a printed reading may lie from the size that was cut."""
WORTH_TOLERANCE_MM = 1e-6
"""How far the printed worth of a mark may lie from the screw's."""


def set_collar(scene: Scene, act: SetCollar) -> Machine:
    """Collar to the marks that the printed rule gives for the expected reading."""
    machine, dial = scene.machine, scene.slide(act.handle).dial
    if not _goes_across(scene, act):
        return scene.machine
    if dial is None or (act.settable and not dial.settable):
        what = "has no collar" if dial is None else "its collar cannot be turned on its own: use the offset box"
        scene.refuse(RefusalCode.NOT_SETTABLE, f"{act.handle.value}: {what}")
    if machine.fitted is None or machine.place is None:
        return scene.stop(RefusalCode.POSITION_UNKNOWN, f"{act.handle.value}: where the tool stands is not known")
    if dial is None:
        scene.log.stopped = True
        return machine
    _check_measured(scene, act, machine.place)
    slope = dia_per_mark_mm(scene, act.handle, dial)
    _check_worth(scene, act, said_mm=act.dia_per_mark_mm, worth_mm=abs(slope), step="mark", rule="lead and marks")
    _check_marks(scene, act)
    _check_rule(scene, act, dial, slope)
    return _collared(scene, act, dial, slope)


def set_readout(scene: Scene, act: SetReadout) -> Machine:
    """Readout to the figure that the printed rule gives for the expected reading."""
    machine, slide = scene.machine, scene.slide(act.handle)
    if not _goes_across(scene, act):
        return scene.machine
    setting = Setting(handle=act.handle, kind=SettingKind.READOUT, zero=act.zero, value_mm=act.value_mm)
    fault = setting_fault(slide, setting)
    if fault is not None:
        scene.refuse(*fault)
    if machine.fitted is None or machine.place is None:
        return scene.stop(RefusalCode.POSITION_UNKNOWN, f"{act.handle.value}: where the tool stands is not known")
    if slide.readout_step_mm is None:
        scene.log.stopped = True
        return machine
    _check_measured(scene, act, machine.place)
    slope = 2.0 * direction(machine, act.handle, slide.clockwise_moves).radius_mm  # diameter for 1 mm clockwise
    worth = abs(slope) * float(slide.readout_step_mm)
    _check_worth(scene, act, said_mm=act.dia_per_step_mm, worth_mm=worth, step="step", rule="the readout's step")
    way = setting_travel_mm(slide, setting)
    _check_value(scene, act, slope_mm=slope, way_mm=float(way), worth_mm=worth)
    return _with_zero(scene, act, SettingKind.READOUT, way_mm=way, at_zero_mm=act.expected_dia_mm - slope * float(way))


def _check_value(scene: Scene, act: SetReadout, *, slope_mm: float, way_mm: float, worth_mm: float) -> None:
    """Refuse a figure that is not the nearest step to the finished size."""

    def left_mm(share: float) -> float:
        return act.expected_dia_mm - slope_mm * way_mm * share - act.zero_dia_mm

    most = worth_mm / 2.0 + WORTH_TOLERANCE_MM
    if abs(left_mm(1.0)) <= most:
        return
    factor_two = any(abs(left_mm(share)) <= most for share in (2.0, 0.5))
    scene.refuse(
        RefusalCode.RADIUS_FOR_DIAMETER if factor_two else RefusalCode.COLLAR_RULE_BROKEN,
        f"{act.handle.value}: from {act.expected_dia_mm:.3f} mm to {act.zero_dia_mm:.3f} mm the slide goes "
        f"{abs((act.expected_dia_mm - act.zero_dia_mm) / slope_mm):.4f} mm; with {float(act.value_mm):g} mm entered, 0 "
        f"leaves {left_mm(1.0):.3f} mm: take the nearest step, half the change of diameter, plus inward",
    )


def _goes_across(scene: Scene, act: SetCollar | SetReadout) -> bool:
    """Whether the handle changes diameters at all, and the surface is one; refuses and stops if not."""
    across = act.handle is Handle.CROSS or (act.handle is Handle.TOP and scene.machine.swung)
    if not across:
        scene.stop(
            RefusalCode.WRONG_DIRECTION,
            f"{act.handle.value}: does not change the diameter, so its {_scale_word(act)} cannot be set from one",
        )
        return False
    if not is_known(scene.case.part, act.surface) or is_face(act.surface):
        scene.refuse(RefusalCode.UNKNOWN_SURFACE, f"{act.surface!r}: the part has no such diameter; name one it has")
    return True


def _scale_word(act: SetCollar | SetReadout) -> str:
    return "collar" if isinstance(act, SetCollar) else "readout"


def dia_per_mark_mm(scene: Scene, handle: Handle, dial: Dial) -> float:
    """Change of diameter for one mark clockwise, with its sign: both sides of the work, hence twice the way. [mm]"""
    ahead = direction(scene.machine, handle, scene.slide(handle).clockwise_moves)
    return 2.0 * ahead.radius_mm * float(dial.lead_mm) / dial.marks


def _check_measured(scene: Scene, act: SetCollar | SetReadout, place: Point) -> None:
    machine = scene.machine
    cut, measured = machine.cut_at.get(act.surface, -1), machine.measured_at.get(act.surface, -1)
    if cut < 0 or measured < cut:
        scene.refuse(
            RefusalCode.COLLAR_NOT_MEASURED,
            f"{act.handle.value}: the {_scale_word(act)} is set from a size of {act.surface} that was not measured "
            "since the last cut there; stop, measure, then set it",
        )
    if machine.slides[act.handle].moved_at > cut or machine.slides[act.handle].by_eye:
        scene.refuse(
            RefusalCode.COLLAR_MOVED,
            f"{act.handle.value}: was moved since the cut on {act.surface} that was measured; leave it where "
            "it cut and draw "
            "clear with another slide",
        )
    truly = 2.0 * place.radius_mm
    if abs(act.expected_dia_mm - truly) > MEASURED_TOLERANCE_MM:
        halved = abs(2.0 * act.expected_dia_mm - truly) <= MEASURED_TOLERANCE_MM
        scene.refuse(
            RefusalCode.RADIUS_FOR_DIAMETER if halved else RefusalCode.EXPECTED_NOT_MET,
            f"{act.handle.value}: this position cuts {truly:.3f} mm, and the sheet expects "
            f"{act.expected_dia_mm:.3f} mm",
        )


def _check_worth(
    scene: Scene, act: SetCollar | SetReadout, *, said_mm: float, worth_mm: float, step: str, rule: str
) -> None:
    if abs(said_mm - worth_mm) <= WORTH_TOLERANCE_MM:
        return
    factor_two = any(abs(said_mm * share - worth_mm) <= WORTH_TOLERANCE_MM for share in (Fraction(2), Fraction(1, 2)))
    scene.refuse(
        RefusalCode.RADIUS_FOR_DIAMETER if factor_two else RefusalCode.COLLAR_RULE_BROKEN,
        f"{act.handle.value}: one {step} changes the diameter by {worth_mm:.5f} mm, and the sheet says "
        f"{said_mm:.5f} mm; work it out from {rule}, twice the travel",
    )


def _check_marks(scene: Scene, act: SetCollar) -> None:
    as_setting = Setting(
        handle=act.handle, kind=SettingKind.MARKS, zero=act.zero, turns=act.turns, marks=Fraction(act.marks)
    )
    found = setting_fault(scene.slide(act.handle), as_setting)
    if found is not None:
        scene.refuse(*found)


def _check_rule(scene: Scene, act: SetCollar, dial: Dial, slope_mm: float) -> None:
    """Refuse marks that are not the nearest whole ones to the finished size."""
    marks = float(act.turns * dial.marks + act.marks)
    at_zero = act.expected_dia_mm - slope_mm * marks
    left = at_zero - act.zero_dia_mm
    if is_inner(scene.case.part, act.surface):
        left = -left
    fits = abs(left) <= abs(slope_mm) / 2.0 + WORTH_TOLERANCE_MM
    if fits:
        return
    wanted = (act.expected_dia_mm - act.zero_dia_mm) / slope_mm if slope_mm else 0.0
    scene.refuse(
        RefusalCode.COLLAR_RULE_BROKEN,
        f"{act.handle.value}: from {act.expected_dia_mm:.3f} mm to {act.zero_dia_mm:.3f} mm are {wanted:.2f} "
        "marks; set to "
        f"{act.turns} turns and {act.marks} marks, 0 leaves {left:.3f} mm: take the nearest mark",
    )


def _collared(scene: Scene, act: SetCollar, dial: Dial, slope_mm: float) -> Machine:
    if scene.machine.slides[act.handle].bearing is None:
        scene.refuse(
            RefusalCode.ZERO_IN_SLACK, f"{act.handle.value}: nobody knows on which side the nut bears; touch anew"
        )
    way = dial_travel_mm(dial, turns=act.turns, marks=Fraction(act.marks))
    at_zero = act.expected_dia_mm - slope_mm * float(act.turns * dial.marks + act.marks)
    return _with_zero(scene, act, SettingKind.MARKS, way_mm=way, at_zero_mm=at_zero)


def _with_zero(
    scene: Scene, act: SetCollar | SetReadout, kind: SettingKind, *, way_mm: Fraction, at_zero_mm: float
) -> Machine:
    """Return the machine with a zero that lies a way back from where the handle stands, and means a diameter there."""
    machine = scene.machine
    place, slide = machine.place, machine.slides[act.handle]
    if place is None or machine.fitted is None:
        return machine
    zero = LiveZero(
        id=act.zero,
        kind=kind,
        at_mm=slide.travel_mm - way_mm,
        bearing=slide.bearing,
        surface=act.surface,
        place=Point(place.z_mm, at_zero_mm / 2.0),
    )
    return with_zero(machine, act.handle, zero)
