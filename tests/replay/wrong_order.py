"""Mutations of what is done when: acts left out, and neighbours swapped whose order matters."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle
from handwheel.domain.part import BACK_FACE
from tests.replay.mutation import Fate, Mutation, Writer, swapped
from tests.replay.story import Moment, Story, setting_of, used_later

WITH_SPINDLE_ON = (a.HandKind.LUBRICATE, a.HandKind.NOTE, a.HandKind.INK)
"""Hand steps that may be done beside turning work (inking and oiling: a brush, from outside)."""


def make(story: Story) -> Iterator[Mutation]:
    """All of them."""
    writer = Writer(story)
    for moment in story.moments:
        yield from _left_out(writer, moment)
        yield from _left_out_shape(writer, moment)
        yield from _lock_in_the_way(writer, moment)
        yield from _swapped(writer, moment)
    yield from _cut_short(writer)


def needs_standing(act: a.Act) -> bool:
    """Whether the spindle must stand for it: hands go to the work, the tool or the gears."""
    if isinstance(act, a.HandStep):
        return act.kind not in WITH_SPINDLE_ON
    return isinstance(act, a.FitTool | a.FitDrill | a.SetSpeed | a.Measure | a.SwingSlide | a.Regrip | a.Indicate)


def needs_turning(act: a.Act) -> bool:
    """Whether the spindle must turn for it."""
    return isinstance(act, a.Touch | a.Cut | a.DrillHole)


def moves(act: a.Act, handle: Handle) -> bool:
    """Whether an act moves a slide."""
    if isinstance(act, a.Approach):
        return handle in (Handle.CROSS, Handle.CARRIAGE)
    setting = setting_of(act)
    if setting is not None:
        return setting.handle is handle
    return isinstance(act, a.Touch | a.Cut | a.Retract) and act.handle is handle


def _comes_first(
    story: Story, moment: Moment, wanted: Callable[[a.Act], bool], before: Callable[[a.Act], bool]
) -> bool:
    """Whether a wanted act comes later with none of the others before it."""
    for later in story.later(moment):
        if wanted(later.act):
            return True
        if before(later.act):
            return False
    return False


def _is_lock(act: a.Act, handle: Handle) -> bool:
    return isinstance(act, a.Lock | a.Unlock) and act.handle is handle


def _feeds_across_bed(act: a.Act) -> bool:
    return isinstance(act, a.Cut) and act.handle in (Handle.CROSS, Handle.TOP)


def _left_out(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    story, act = writer.story, moment.act
    why = _why_needed(story, moment)
    if why is not None:
        yield writer.caught(f"{act.__struct_config__.tag} left out", moment, why)
    elif isinstance(act, a.HandStep):
        reason = _why_hand_step(story, moment, act)
        if reason is not None:
            yield writer.caught(f"{act.kind.value} left out", moment, reason)


def _why_needed(story: Story, moment: Moment) -> str | None:
    """Why an act cannot be left out, or ``None`` if that is not certain."""
    act = moment.act
    if isinstance(act, a.StopSpindle):
        found = _comes_first(story, moment, needs_standing, lambda later: isinstance(later, a.StopSpindle))
        return "a hand goes near the work, the tool or the gears while it turns" if moment.running and found else None
    if isinstance(act, a.StartSpindle):
        found = _comes_first(story, moment, needs_turning, lambda later: isinstance(later, a.StartSpindle))
        return "the work stands still where it is touched or cut next" if not moment.running and found else None
    if isinstance(act, a.Lock) and act.handle is Handle.CARRIAGE and Handle.CARRIAGE not in moment.locked:
        found = _comes_first(story, moment, _feeds_across_bed, lambda later: _is_lock(later, Handle.CARRIAGE))
        return "the cut pushes the free carriage away" if found else None
    if isinstance(act, a.Unlock) and act.handle in moment.locked:
        handle = act.handle
        found = _comes_first(story, moment, lambda later: moves(later, handle), lambda later: _is_lock(later, handle))
        return "a locked slide is wound" if found else None
    return _why_needed_always(story, moment)


def _why_needed_always(story: Story, moment: Moment) -> str | None:
    act = moment.act
    if isinstance(act, a.SetSpeed):
        earlier = any(isinstance(item.act, a.SetSpeed) for item in story.moments[: moment.index])
        return None if earlier else "the spindle is started and no speed was ever set"
    if isinstance(act, a.SetFeed):
        return None if _feed_before(story, moment, act) else "the cut that follows has no feed"
    if isinstance(act, a.Approach):
        return "nobody knows where the tool stands" if moment.place is None else None
    if isinstance(act, a.Regrip):
        # a plate holds nothing: rubbing may go without its being named
        return "nothing is held when the spindle is started again" if act.holding.turned else None
    if isinstance(act, a.SwingSlide):
        return None if moment.swing_deg == act.angle_deg else "the top slide stands at another angle"
    return {
        a.LoadBar: "nothing is held",
        a.PartOff: "the ring is still on the bar for all that follows",
        a.Indicate: "the ring may run out when its second face is cut",
    }.get(type(act))


def _feed_before(story: Story, moment: Moment, act: a.SetFeed) -> bool:
    """Whether an earlier feed of the same handle and kind is there to fall back on, or no cut follows."""
    earlier = any(
        isinstance(item.act, a.SetFeed) and item.act.handle is act.handle and item.act.kind is act.kind
        for item in story.moments[: moment.index]
    )
    cuts = _comes_first(
        story,
        moment,
        lambda later: isinstance(later, a.Cut | a.DrillHole) and moves(later, act.handle),
        lambda later: isinstance(later, a.SetFeed) and later.handle is act.handle,
    )
    return earlier or not cuts


def _why_hand_step(story: Story, moment: Moment, act: a.HandStep) -> str | None:
    if act.kind is a.HandKind.DEBURR:
        faced = any(
            isinstance(item.act, a.PartOff) or (isinstance(item.act, a.Cut) and item.act.surface == BACK_FACE)
            for item in story.moments[_last_deburr(story, moment) : moment.index]
        )
        gripped = _comes_first(story, moment, _wants_no_burr, lambda _later: False)
        return "a burr stands where the ring is gripped or measured" if faced and gripped else None
    if act.kind is a.HandKind.TAKE_OUT:
        return "the ring is still held where its far face must be reached"
    if act.kind is a.HandKind.CATCH_ROD:
        return "the ring drops among turning jaws when it comes off"
    return None


def _last_deburr(story: Story, moment: Moment) -> int:
    earlier = [
        item.index
        for item in story.moments[: moment.index]
        if isinstance(item.act, a.HandStep) and item.act.kind is a.HandKind.DEBURR
    ]
    return earlier[-1] if earlier else 0


def _wants_no_burr(act: a.Act) -> bool:
    return isinstance(act, a.Regrip) or (isinstance(act, a.Measure) and act.surface == BACK_FACE)


def _left_out_shape(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    """Acts whose absence changes what is cut: where the simple replay sees it."""
    act = moment.act
    known = isinstance(act, a.Approach) and moment.place is not None
    if known or isinstance(act, a.Move | a.Cut | a.Retract | a.FitTool | a.FitDrill | a.DrillHole):
        why = "the acts that follow then cut, plough or read something else (by the simple replay)"
        yield writer.caught(f"{act.__struct_config__.tag} left out", moment, why, judged=True)


def _lock_in_the_way(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.Cut):
        return
    if _feeds_across_bed(act) and Handle.CARRIAGE in moment.locked:
        free = a.Unlock(id=f"{act.id}x", step=act.step, handle=Handle.CARRIAGE)
        yield writer.caught("carriage freed for a cut", moment, "the cut pushes the free carriage away", free, act)
    if act.handle is Handle.CARRIAGE and Handle.CARRIAGE not in moment.locked:
        lock = a.Lock(id=f"{act.id}x", step=act.step, handle=Handle.CARRIAGE)
        yield writer.caught("carriage locked for its own cut", moment, "a locked slide is wound", lock, act)


def _swapped(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    following = writer.story.after(moment)
    if following is None:
        return
    for kind, why, applies, judged in _PAIRS:
        if applies(writer.story, moment, following):
            acts = swapped(writer.story, moment)
            yield writer.whole(f"swapped: {kind}", moment, why, Fate.CAUGHT, acts, judged=judged)


Pair = tuple[str, str, Callable[[Story, Moment, Moment], bool], bool]


def _types(first: type[a.ActBase], second: type[a.ActBase]) -> Callable[[Story, Moment, Moment], bool]:
    return lambda _story, one, two: isinstance(one.act, first) and isinstance(two.act, second)


def _stop_then_standing(_story: Story, one: Moment, two: Moment) -> bool:
    return isinstance(one.act, a.StopSpindle) and one.running and needs_standing(two.act)


def _start_then_turning(_story: Story, one: Moment, two: Moment) -> bool:
    return isinstance(one.act, a.StartSpindle) and not one.running and needs_turning(two.act)


def _touch_then_zero(_story: Story, one: Moment, two: Moment) -> bool:
    return isinstance(one.act, a.Touch) and isinstance(two.act, a.SetZero) and one.act.handle is two.act.handle


def _zero_then_use(story: Story, one: Moment, two: Moment) -> bool:
    if not isinstance(one.act, a.SetZero | a.SetCollar | a.SetReadout) or not used_later(story, one, one.act.zero):
        return False
    setting = setting_of(two.act)
    return setting is not None and setting.zero == one.act.zero


def _lock_then_cut(_story: Story, one: Moment, two: Moment) -> bool:
    locks = isinstance(one.act, a.Lock) and one.act.handle is Handle.CARRIAGE and Handle.CARRIAGE not in one.locked
    return locks and _feeds_across_bed(two.act)


def _unlock_then_move(_story: Story, one: Moment, two: Moment) -> bool:
    return isinstance(one.act, a.Unlock) and one.act.handle in one.locked and moves(two.act, one.act.handle)


_PAIRS: tuple[Pair, ...] = (
    ("stop, then hand near", "the spindle turns while a hand is near", _stop_then_standing, False),
    ("start, then cut or touch", "the work stands while it is touched or cut", _start_then_turning, False),
    ("speed, then start", "the gears are changed while they turn", _types(a.SetSpeed, a.StartSpindle), False),
    ("touch, then zero", "the zero is set before anything was touched", _touch_then_zero, False),
    ("zero, then setting", "the setting counts from a zero that is not there yet", _zero_then_use, False),
    ("measure, then collar", "the collar is set from a reading not yet taken", _types(a.Measure, a.SetCollar), False),
    ("measure, then readout", "it is set from a reading not yet taken", _types(a.Measure, a.SetReadout), False),
    ("lock, then cut", "the cut pushes the free carriage away", _lock_then_cut, False),
    ("unlock, then move", "a locked slide is wound", _unlock_then_move, False),
    ("cut, then part-off", "the ring still hangs on the bar", _types(a.Cut, a.PartOff), False),
    ("re-grip, then indicate", "there is nothing in the chuck to indicate", _types(a.Regrip, a.Indicate), False),
    ("tool, then approach", "the place is that of the old tool", _types(a.FitTool, a.Approach), False),
    ("swing, then approach", "the swing undoes the place", _types(a.SwingSlide, a.Approach), False),
    ("move, then cut", "the cut is made before its depth is set", _types(a.Move, a.Cut), True),
    ("retract, then move", "the tool moves before it is clear", _types(a.Retract, a.Move), True),
    ("cut, then retract", "the tool leaves before it has cut", _types(a.Cut, a.Retract), True),
)


def _cut_short(writer: Writer) -> Iterator[Mutation]:
    """The sheet ends before the part comes off, or before its second side is done."""
    for moment in writer.story.moments:
        acts = writer.story.acts[: moment.index]
        if isinstance(moment.act, a.PartOff):
            yield writer.whole("cut short", moment, "nothing has come off the bar", Fate.CAUGHT, acts)
        elif isinstance(moment.act, a.Regrip):
            # where every edge was cut on the bar and the width allows for it, the raw ring is within its limits
            why = "the second side is missing and sizes lie outside their limits (by the simple replay)"
            yield writer.whole("cut short", moment, why, Fate.CAUGHT, acts, judged=True)
