"""The speeds of a lathe as a shop file gives them: listed, worked out from pulleys, or of a drive without steps."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor

from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.lathe import SpindleSpeed
from handwheel.physics.pulleys import SpeedRange, flat_belt_rpm, v_belt_rpm
from handwheel.service.intake.table import Table, present

FASTEST_RPM = 20_000.0
"""No manual lathe turns faster; a larger figure is a slip. [rev/min]"""
FINEST_RATIO = 1.25
"""Speeds of a drive without steps are tried no closer than this: steps of the series R10 of ISO 3, as fine as the steps
of most gearboxes."""
LARGEST_PULLEY_MM = 2000.0
LARGEST_BELT_MM = 50.0
MOST_REDUCTION = 100.0
TINY = 1e-9

_V_BELT, _FLAT_BELT = "v-belt", "flat belt"


def read_speeds(table: Table) -> tuple[SpindleSpeed, ...]:
    """Every speed of ``[lathe]``: ``[[lathe.speed]]``, ``[lathe.belts]`` and ``[[lathe.variable_speed]]`` together."""
    listed = present(_read_speed(speed) for speed in table.tables("speed"))
    belts = table.table_if_any("belts")
    computed = _read_belts(belts) if belts else ()
    drawn = _without_overlap([_read_band(band) for band in table.tables("variable_speed")])
    found = (*listed, *computed, *drawn)
    _refuse_twins(table, found)
    return found


def read_rpm(table: Table, name: str) -> float:
    """Read a number of turns. [rev/min]"""
    return table.number(name, low=1.0, high=FASTEST_RPM, unit="rev/min")


def _refuse_twins(table: Table, speeds: Iterable[SpindleSpeed]) -> None:
    """Note two positions that say the same to the hand and mean different speeds."""
    seen: dict[str, SpindleSpeed] = {}
    for speed in speeds:
        other = seen.setdefault(speed.position, speed)
        if other.rpm != speed.rpm and not (other.measured and speed.measured):
            table.fault(
                "speed",
                found=f"{other.rpm:g} and {speed.rpm:g} rev/min at {speed.position!r}",
                allowed="one speed for each position",
                do="say in the position what the hand sets for each",
            )


def _read_speed(table: Table) -> SpindleSpeed | None:
    return table.make(
        lambda: SpindleSpeed(
            rpm=read_rpm(table, "rpm"),
            position=table.text("position"),
            measured=table.flag("measured", default=False),
            torque_limit_nm=_read_torque(table),
        )
    )


def _read_torque(table: Table) -> float | None:
    if not table.has("torque_limit_nm"):
        return None
    return table.number("torque_limit_nm", low=0.01, high=10_000.0, unit="N m")


def _read_belts(table: Table) -> tuple[SpindleSpeed, ...]:
    """Read motor, pulleys and belt; every step gives a speed, worked out unless it was measured.

    The belt's size is its width across the top for a V-belt, its thickness for a flat belt.
    """
    kind = table.choice("belt", {name: name for name in (_V_BELT, _FLAT_BELT)})
    belt_mm = table.mm("belt_size", low=0.5, high=LARGEST_BELT_MM)
    motor_rpm = read_rpm(table, "motor_rpm")
    first = _read_pulleys(table, "motor_pulley", "countershaft_pulley") if table.has("motor_pulley") else ()
    steps = table.tables("step")
    if not steps:
        table.fault("step", allowed="one or more", do=f"write [[{table.key('step')}]] for each place of the belt")
    found = present(_read_step(step, kind, belt_mm, motor_rpm, first) for step in steps)
    table.close()
    return found


def _read_pulleys(table: Table, driving: str, driven: str) -> tuple[tuple[float, float], ...]:
    return ((table.mm(driving, low=5.0, high=LARGEST_PULLEY_MM), table.mm(driven, low=5.0, high=LARGEST_PULLEY_MM)),)


def _read_step(
    table: Table, kind: str, belt_mm: float, motor_rpm: float, first: tuple[tuple[float, float], ...]
) -> SpindleSpeed | None:
    """Read one place of the belt. ``back_gear`` is how many times slower the gears behind it make the spindle."""
    pulleys_mm = (*first, *_read_pulleys(table, "driving", "spindle"))
    gear = table.number("back_gear", low=1.0, high=MOST_REDUCTION, unit="times", default=1.0)
    position = table.text("position")
    torque = _read_torque(table)
    if table.has("measured_rpm"):
        measured = read_rpm(table, "measured_rpm")
        return table.make(lambda: SpindleSpeed(rpm=measured, position=position, measured=True, torque_limit_nm=torque))
    try:
        worked_out = _worked_out(kind, motor_rpm, pulleys_mm, belt_mm)
    except OutOfRangeError as error:
        table.fault("driving", allowed="a pulley larger than its belt", do=str(error))
        worked_out = SpeedRange(1.0, 1.0, 1.0)
    low, about, high = (speed / gear for speed in worked_out)
    return table.make(
        lambda: SpindleSpeed(
            rpm=_whole(about),
            position=position,
            torque_limit_nm=torque,
            low_rpm=min(_whole(about), _whole(low)),
            high_rpm=max(_whole(about), _whole(high)),
        )
    )


def _worked_out(kind: str, motor_rpm: float, pulleys_mm: tuple[tuple[float, float], ...], belt_mm: float) -> SpeedRange:
    if kind == _V_BELT:
        return v_belt_rpm(motor_rpm, pulleys_mm, belt_mm=belt_mm)
    return flat_belt_rpm(motor_rpm, pulleys_mm, thickness_mm=belt_mm)


def _whole(speed_rpm: float) -> float:
    """Whole turns a minute: a worked-out speed has no more figures than that."""
    return float(max(1, round(speed_rpm)))


def _without_overlap(bands: list[tuple[SpindleSpeed, ...]]) -> tuple[SpindleSpeed, ...]:
    """Speeds of all ranges, each once: where two overlap, the slower range has the stronger drive."""
    found: list[SpindleSpeed] = []
    for band in sorted((band for band in bands if band), key=lambda band: band[-1].rpm):
        reached = found[-1].rpm if found else 0.0
        found += [speed for speed in band if speed.rpm > reached]
    return tuple(found)


def _read_band(table: Table) -> tuple[SpindleSpeed, ...]:
    """Read a drive without steps: speeds that its tachometer shows, from the slowest to the fastest.

    What can be set is a multiple of ``tachometer_step``; of those, the ones a step of R10 apart are listed. Where
    nobody says from which speed on it has its full power, the fastest of the range is taken, the safe figure.
    """
    lowest, highest = read_rpm(table, "lowest"), read_rpm(table, "highest")
    step = table.number("tachometer_step", low=0.1, high=1000.0, unit="rev/min")
    position = table.text("position")
    torque = _read_torque(table)
    said = table.has("full_power_from")
    full_power = read_rpm(table, "full_power_from") if said else highest
    if lowest > highest:
        table.fault("lowest", allowed="at most highest", do="exchange them, or check the figures")
    made = table.make(
        lambda: tuple(
            SpindleSpeed(
                rpm=rpm,
                position=position,
                measured=True,
                torque_limit_nm=torque,
                full_power_rpm=full_power,
                full_power_assumed=not said,
            )
            for rpm in readings(lowest, highest, step)
        )
    )
    if made == ():
        table.fault("tachometer_step", allowed="a step with a multiple between lowest and highest", do="check the step")
    return made or ()


def readings(lowest_rpm: float, highest_rpm: float, step_rpm: float) -> tuple[float, ...]:
    """Multiples of a step between two speeds: the least, and from the greatest down each a step of R10 below the last.

    Examples
    --------
    >>> readings(95.0, 204.0, 10.0)
    (100.0, 120.0, 160.0, 200.0)
    """
    least = ceil(lowest_rpm / step_rpm - TINY) * step_rpm
    chosen: list[float] = []
    wanted = highest_rpm
    while (reading := floor(wanted / step_rpm + TINY) * step_rpm) > least:
        chosen.append(round(reading, 6))
        wanted = min(reading / FINEST_RATIO, reading - step_rpm)
    if least <= highest_rpm * (1.0 + TINY):
        chosen.append(round(least, 6))
    return tuple(reversed(chosen))
