"""Which words belong to which kind of act."""

from __future__ import annotations

from functools import singledispatch

from handwheel.domain.acts import ActBase
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


act_text.register(load_text)
act_text.register(fit_tool_text)
act_text.register(fit_drill_text)
act_text.register(fit_reamer_text)
act_text.register(set_speed_text)
act_text.register(set_feed_text)
act_text.register(start_text)
act_text.register(stop_text)
act_text.register(approach_text)
act_text.register(touch_text)
act_text.register(zero_text)
act_text.register(collar_text)
act_text.register(readout_text)
act_text.register(move_text)
act_text.register(cut_text)
act_text.register(retract_text)
act_text.register(drill_hole_text)
act_text.register(ream_hole_text)
act_text.register(lock_text)
act_text.register(unlock_text)
act_text.register(cool_text)
act_text.register(measure_text)
act_text.register(regrip_text)
act_text.register(indicate_text)
act_text.register(swing_text)
act_text.register(hand_step_text)
act_text.register(part_off_text)
