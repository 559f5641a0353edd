"""The lathe as a shop file describes it: spindle, drive, slides, chuck, tailstock."""

from __future__ import annotations

from functools import partial

from handwheel.domain.chucks import Chuck, Collet
from handwheel.domain.lathe import Lathe, Nose, PowerFeed, Tailstock
from handwheel.domain.motion import Handle
from handwheel.service.intake.slides import read_slide
from handwheel.service.intake.speeds import read_rpm, read_speeds
from handwheel.service.intake.table import Table, by_value, present, usual


def read_lathe(table: Table) -> Lathe | None:
    """Read ``[lathe]`` with all that belongs to it; notes problems."""
    cross = read_slide(table.table("cross_slide"), Handle.CROSS)
    top = read_slide(table.table("top_slide"), Handle.TOP)
    carriage = read_slide(table.table("carriage"), Handle.CARRIAGE)
    chuck = _read_holder(table)
    tailstock = _read_tailstock(table.table("tailstock"))
    plain = table.make(
        lambda: partial(
            Lathe,
            name=table.text("name"),
            nose=table.choice("nose", by_value(Nose)),
            spindle_bore_dia_mm=table.mm("spindle_bore", high=500.0),
            spindle_length_mm=table.mm("spindle_length", low=1.0),
            speeds=read_speeds(table),
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


def _read_feed(table: Table) -> PowerFeed | None:
    return table.make(
        lambda: PowerFeed(mm_rev=table.mm_turn("per_rev", low=0.001, high=10.0), position=table.text("position"))
    )


def _read_holder(table: Table) -> Chuck | None:
    """Read what grips the bar: a chuck with jaws, or a collet chuck where there is no chuck."""
    if table.has("collet_chuck") and not table.has("chuck"):
        return _read_collet_chuck(table.table("collet_chuck"))
    if table.has("collet_chuck"):
        table.fault(
            "collet_chuck",
            found="both a chuck and a collet chuck",
            allowed="one of them",
            do="give each its own shop file: what grips the bar shapes the whole job",
        )
        table.table("collet_chuck")
    return _read_chuck(table.table("chuck"))


def _read_collet_chuck(table: Table) -> Chuck | None:
    """Read a collet chuck: its closing nut, and the collets that go in it."""
    collets = present(_read_collet(collet) for collet in table.tables("collet"))
    if not collets:
        table.fault("collet", allowed="one or more", do=f"write [[{table.key('collet')}]] for each collet")
        return None
    return table.make(
        lambda: Chuck(
            name=table.text("name"),
            jaws=0,
            max_rpm=read_rpm(table, "max_rpm"),
            body_dia_mm=table.mm("body_diameter", low=10.0),
            jaw_length_mm=table.mm("nut_length", low=1.0),
            jaw_height_mm=0.0,
            grip_low_dia_mm=min(float(collet.dia_mm - collet.closes_mm) for collet in collets),
            grip_high_dia_mm=max(float(collet.dia_mm) for collet in collets),
            runout_mm=table.mm("runout", high=5.0),
            collets=collets,
            nose_dia_mm=table.mm("nut_diameter", low=5.0),
        )
    )


def _read_collet(table: Table) -> Collet | None:
    return table.make(
        lambda: Collet(
            dia_mm=table.exact_mm("size", low=0.5, high=200.0),
            closes_mm=table.exact_mm("closes", low=0.0, high=10.0),
        )
    )


def _read_chuck(table: Table) -> Chuck | None:
    smallest_mm, largest_mm = table.rising_mm("grip_smallest", "grip_largest")
    return table.make(
        lambda: Chuck(
            name=table.text("name"),
            jaws=table.count("jaws", low=2, high=12),
            max_rpm=read_rpm(table, "max_rpm"),
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
    play_mm = table.mm("play", high=2.0, default=usual(Tailstock, "play_mm"))
    taper_mm = table.mm("taper", low=3.0, high=80.0) if table.has("taper") else usual(Tailstock, "taper_dia_mm")
    made = table.make(
        lambda: (
            Tailstock(quill=quill, chuck_high_dia_mm=largest_mm, play_mm=play_mm, taper_dia_mm=taper_mm)
            if quill
            else None
        )
    )
    return made if quill else None
