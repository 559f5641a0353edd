"""The lathe as a shop file describes it: spindle, drive, slides, chuck, tailstock."""

from __future__ import annotations

from functools import partial

from handwheel.domain.motion import Handle
from handwheel.domain.shop import Chuck, Lathe, Nose, PowerFeed, SpindleSpeed, Tailstock
from handwheel.service.intake.slides import read_slide
from handwheel.service.intake.table import Table, by_value, present, usual

FASTEST_RPM = 20_000.0
"""No manual lathe turns faster; a larger figure is a slip. [rev/min]"""


def read_lathe(table: Table) -> Lathe | None:
    """Read ``[lathe]`` with all that belongs to it; notes problems."""
    cross = read_slide(table.table("cross_slide"), Handle.CROSS)
    top = read_slide(table.table("top_slide"), Handle.TOP)
    carriage = read_slide(table.table("carriage"), Handle.CARRIAGE)
    chuck = _read_chuck(table.table("chuck"))
    tailstock = _read_tailstock(table.table("tailstock"))
    plain = table.make(
        lambda: partial(
            Lathe,
            name=table.text("name"),
            nose=table.choice("nose", by_value(Nose)),
            spindle_bore_dia_mm=table.mm("spindle_bore", high=500.0),
            spindle_length_mm=table.mm("spindle_length", low=1.0),
            speeds=present(_read_speed(speed) for speed in table.tables("speed")),
            motor_power_w=table.number("motor_power_w", low=10.0, high=50_000.0, unit="W"),
            drive_efficiency=table.number("drive_efficiency", low=0.1, high=1.0, unit="of the motor's power"),
            feeds_along=present(_read_feed(feed) for feed in table.tables("feed_along")),
            feeds_across=present(_read_feed(feed) for feed in table.tables("feed_across")),
            tool_stiffness_n_um=table.number(
                "tool_stiffness_n_um", low=0.1, high=1000.0, unit="N/µm", default=usual(Lathe, "tool_stiffness_n_um")
            ),
        )
    )
    if not (plain and cross and top and carriage and chuck and tailstock):
        return None
    return table.make(lambda: plain(cross=cross, top=top, carriage=carriage, chuck=chuck, tailstock=tailstock))


def _read_speed(table: Table) -> SpindleSpeed | None:
    return table.make(
        lambda: SpindleSpeed(
            rpm=_read_rpm(table, "rpm"),
            position=table.text("position"),
            measured=table.flag("measured", default=False),
            torque_limit_nm=(
                table.number("torque_limit_nm", low=0.01, high=10_000.0, unit="N m")
                if table.has("torque_limit_nm")
                else None
            ),
        )
    )


def _read_feed(table: Table) -> PowerFeed | None:
    return table.make(
        lambda: PowerFeed(mm_rev=table.mm("per_rev", low=0.001, high=10.0), position=table.text("position"))
    )


def _read_chuck(table: Table) -> Chuck | None:
    smallest_mm, largest_mm = table.rising_mm("grip_smallest", "grip_largest")
    return table.make(
        lambda: Chuck(
            name=table.text("name"),
            jaws=table.count("jaws", low=2, high=12),
            max_rpm=_read_rpm(table, "max_rpm"),
            body_dia_mm=table.mm("body_diameter", low=10.0),
            jaw_length_mm=table.mm("jaw_length", low=1.0),
            jaw_height_mm=table.mm("jaw_height", low=1.0),
            grip_low_dia_mm=smallest_mm,
            grip_high_dia_mm=largest_mm,
            runout_mm=table.mm("runout", high=5.0),
        )
    )


def _read_tailstock(table: Table) -> Tailstock | None:
    quill = read_slide(table.table("quill"), Handle.QUILL)
    largest_mm = table.mm("drill_chuck_largest")
    return table.make(lambda: Tailstock(quill=quill, chuck_high_dia_mm=largest_mm)) if quill else None


def _read_rpm(table: Table, name: str) -> float:
    return table.number(name, low=1.0, high=FASTEST_RPM, unit="rev/min")
