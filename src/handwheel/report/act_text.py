"""Which words belong to which kind of act."""

from __future__ import annotations

from functools import singledispatch

from handwheel.domain.acts import (
    ActBase,
    Approach,
    Cool,
    Cut,
    DrillHole,
    FitDrill,
    FitReamer,
    FitTool,
    HandStep,
    Indicate,
    LoadBar,
    Lock,
    Measure,
    Move,
    PartOff,
    ReamHole,
    Regrip,
    Retract,
    SetCollar,
    SetFeed,
    SetReadout,
    SetSpeed,
    SetZero,
    StartSpindle,
    StopSpindle,
    SwingSlide,
    Touch,
    Unlock,
)
from handwheel.report.measure_text import cool_text, hand_step_text, indicate_text, measure_text
from handwheel.report.pieces import ActText
from handwheel.report.readout_text import readout_text
from handwheel.report.setting_text import Scene
from handwheel.report.setup_text import (
    fit_drill_text,
    fit_reamer_text,
    fit_tool_text,
    load_text,
    lock_text,
    part_off_text,
    regrip_text,
    set_feed_text,
    set_speed_text,
    start_text,
    stop_text,
    swing_text,
    unlock_text,
)
from handwheel.report.winding_text import (
    approach_text,
    collar_text,
    cut_text,
    drill_hole_text,
    move_text,
    ream_hole_text,
    retract_text,
    touch_text,
    zero_text,
)


@singledispatch
def act_text(act: ActBase, scene: Scene) -> ActText:
    """Words for an act.

    Raises
    ------
    TypeError
        If this kind of act has no words yet: an act left off the sheet could hurt somebody.
    """
    del scene
    msg = f"act {act.id!r}: the sheet has no words for {type(act).__name__}"
    raise TypeError(msg)


# the kind stands beside the words, for reading it off their annotations takes a millisecond of every start
act_text.register(LoadBar, load_text)
act_text.register(FitTool, fit_tool_text)
act_text.register(FitDrill, fit_drill_text)
act_text.register(FitReamer, fit_reamer_text)
act_text.register(SetSpeed, set_speed_text)
act_text.register(SetFeed, set_feed_text)
act_text.register(StartSpindle, start_text)
act_text.register(StopSpindle, stop_text)
act_text.register(Approach, approach_text)
act_text.register(Touch, touch_text)
act_text.register(SetZero, zero_text)
act_text.register(SetCollar, collar_text)
act_text.register(SetReadout, readout_text)
act_text.register(Move, move_text)
act_text.register(Cut, cut_text)
act_text.register(Retract, retract_text)
act_text.register(DrillHole, drill_hole_text)
act_text.register(ReamHole, ream_hole_text)
act_text.register(Lock, lock_text)
act_text.register(Unlock, unlock_text)
act_text.register(Cool, cool_text)
act_text.register(Measure, measure_text)
act_text.register(Regrip, regrip_text)
act_text.register(Indicate, indicate_text)
act_text.register(SwingSlide, swing_text)
act_text.register(HandStep, hand_step_text)
act_text.register(PartOff, part_off_text)
