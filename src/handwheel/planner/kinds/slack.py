"""Room behind a boring bar: its screw must be able to take up its slack before the bar meets the wall opposite."""

from __future__ import annotations

from math import floor

from handwheel.domain.plan import Step
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said
from handwheel.domain.tools import Tool
from handwheel.geometry.tool_shapes import back_mm
from handwheel.planner import offers
from handwheel.planner.dialing import least_back_off_marks
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

CLEAR_MM = 0.05
"""Gap that stays between the bar's back and the wall when the slack has been taken up; common practice, no source."""
THINNEST_MM = 2.0
"""Thinnest boring bar that is offered."""


def slack_trouble(job: Job, step: Step, tool: Tool, *, hole_dia_mm: float) -> NoWay | None:
    """Why a bar that goes into a hole cannot be set in it, or ``None``; whether it goes in at all is seen elsewhere."""
    slide = job.shop.lathe.cross
    room = hole_dia_mm + back_mm(tool) - CLEAR_MM
    worth = float(slide.dial.travel_per_mark_mm) if slide.dial else 0.0
    need = max(least_back_off_marks(slide) * worth, float(slide.slack_mm))
    if room <= 0 or room > need:
        return None
    thinner = floor(2.0 * (tool.bar_dia_mm + room - need)) / 2.0 - 0.5
    fitting = (AddToShop(thing=offers.like(tool, bar_dia_mm=thinner)),) if thinner >= THINNEST_MM else ()
    return NoWay(
        step=step.id,
        code="slack-leaves-no-room",
        tried=tool.name,
        why=f"the cross-slide has {said(slide.slack_mm, job.units)} of slack: to come in from one side the bar must go "
        f"back {said(need, job.units)}, and behind it the hole of Ø {said(hole_dia_mm, job.units, places=1)} "
        f"leaves {said(room, job.units)}",
        remedy="a thinner boring bar, or take up the slack in the nut of the cross-slide",
        remedies=fitting,
    )
