"""The slides of a lathe as a shop file describes them: screw, dial, slack, aids, swivel."""

from __future__ import annotations

from handwheel.domain.motion import Handle, Motion
from handwheel.domain.slides import AidKind, AngleScale, Dial, LengthAid, Reads, Slide
from handwheel.service.intake.table import Table, by_value, present

_ACROSS = {"in": Motion.IN, "out": Motion.OUT}
_ALONG = {"left": Motion.LEFT, "right": Motion.RIGHT}
_READS_ACROSS = {"radius": Reads.TRAVEL, "diameter": Reads.DIAMETER}
_READS_ALONG = {"travel": Reads.TRAVEL}
_SCALE_ZEROS = {"along the axis": True, "across the axis": False}
MOST_MARKS = 2000


def read_slide(table: Table, handle: Handle) -> Slide | None:
    """Read one slide with what its position can be set by; notes problems.

    A lead and an engraving that disagree are no fault of the file: lathes of mixed units have them.
    """
    across = handle is Handle.CROSS
    dial_table = table.table_if_any("dial")
    dial = _read_dial(dial_table, across=across) if dial_table else None
    aids = present(_read_aid(aid) for aid in table.tables("aid"))
    scale_table = table.table_if_any("angle_scale") if handle is Handle.TOP else None
    scale = _read_angle_scale(scale_table) if scale_table else None
    return table.make(
        lambda: Slide(
            handle=handle,
            clockwise_moves=table.choice("clockwise", _ACROSS if across else _ALONG),
            slack_mm=table.exact_mm("slack", high=10.0),
            travel_mm=table.mm("travel", low=1.0),
            dial=dial,
            readout_step_mm=table.exact_mm("readout_step", low=0.0001, high=1.0) if table.has("readout_step") else None,
            aids=aids,
            angle_scale=scale,
            turn_mm=table.mm_turn("per_turn", high=200.0, default=0.0),
        )
    )


def _read_dial(table: Table, *, across: bool) -> Dial | None:
    """Read a graduated collar. Only across the bed can its figures be a diameter, so only there it is asked."""
    reads = _READS_ACROSS if across else _READS_ALONG
    return table.make(
        lambda: Dial(
            lead_mm=table.exact_mm_turn("lead", low=0.1, high=200.0),
            marks=table.count("marks", low=1, high=MOST_MARKS),
            label_mm=table.exact_mm("engraved", low=0.0001, high=10.0),
            reads=table.choice("reads", reads) if across else table.choice("reads", reads, default=Reads.TRAVEL),
            settable=table.flag("settable"),
            halves=table.flag("halves"),
        )
    )


def _read_aid(table: Table) -> LengthAid | None:
    return table.make(
        lambda: LengthAid(
            kind=table.choice("kind", by_value(AidKind)),
            step_mm=table.exact_mm("step", low=0.0001, high=10.0),
            range_mm=table.mm("range", low=0.1),
        )
    )


def _read_angle_scale(table: Table) -> AngleScale | None:
    return table.make(
        lambda: AngleScale(
            zero_along_axis=table.choice("zero", _SCALE_ZEROS),
            step_deg=table.exact("division_deg", low=0.01, high=15.0, unit="degrees"),
            max_deg=table.number("highest_deg", low=1.0, high=180.0, unit="degrees"),
        )
    )
