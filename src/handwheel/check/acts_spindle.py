"""Acts about the spindle, speeds, feeds and locks."""

from __future__ import annotations

from math import pi

from msgspec.structs import replace

from handwheel.check.holding_rules import presses
from handwheel.check.limits import (
    fastest_rpm,
    holding_speed_limit_rpm,
    listed_feed_fault,
    listed_speed_fault,
    pace_fault,
)
from handwheel.check.machine import Machine, Spindle, with_slide
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.domain.acts import Cool, FeedKind, Lock, SetFeed, SetSpeed, StartSpindle, StopSpindle, Unlock
from handwheel.domain.lathe import Nose
from handwheel.domain.motion import Handle

SPEED_WORDS_SHARE = 0.01
"""Share within which the printed surface speed must agree with its own diameter."""


def must_stand(scene: Scene, doing: str) -> None:
    """Refuse what brings a hand near the work, or changes gear, while the spindle turns."""
    if scene.machine.turns:
        scene.refuse(
            RefusalCode.SPINDLE_RUNS, f"{doing} while the spindle turns: stop it first and wait until it stands"
        )


def must_turn_forward(scene: Scene, doing: str) -> None:
    """Refuse what needs the work to turn the right way round."""
    if scene.machine.spindle is Spindle.STANDS:
        scene.refuse(RefusalCode.SPINDLE_STANDS, f"{doing} with the spindle standing: start it first")
    elif scene.machine.spindle is Spindle.REVERSE:
        scene.refuse(RefusalCode.RUNS_BACKWARDS, f"{doing} with the spindle running backwards: start it forward")


def must_have_tailstock(scene: Scene, doing: str) -> None:
    """Refuse what needs the tailstock while it presses on the ring."""
    if presses(scene.machine.holding):
        scene.refuse(RefusalCode.TAILSTOCK_BUSY, f"{doing} while the tailstock holds the ring: take the ring out first")


def set_speed(scene: Scene, act: SetSpeed) -> Machine:
    """Belt or levers to a speed of the lathe's list."""
    must_stand(scene, "changing the speed")
    found = listed_speed_fault(scene.case.lathe, act)
    if found is not None:
        scene.refuse(*found)
    worked_out = pi * act.cut_dia_mm * act.rpm / 1000.0
    if act.cut_dia_mm <= 0 or abs(act.cutting_speed_m_min - worked_out) > SPEED_WORDS_SHARE * worked_out + 0.05:
        scene.refuse(
            RefusalCode.SPEED_WORDS_WRONG,
            f"{act.rpm:g} rev/min on {act.cut_dia_mm:g} mm diameter is {worked_out:.1f} m/min, and the sheet says "
            f"{act.cutting_speed_m_min:g}; a radius in place of the diameter gives half",
        )
    if act.rpm <= 0:
        return scene.stop(RefusalCode.SPEED_NOT_LISTED, f"{act.rpm:g} rev/min is no speed; take one of the list")
    return replace(scene.machine, speed=act)


def set_feed(scene: Scene, act: SetFeed) -> Machine:
    """Gearbox to a listed feed, or a band and a pace for the hand."""
    power = act.kind is FeedKind.POWER
    found = listed_feed_fault(scene.case.lathe, act) if power else pace_fault(scene.case.shop.habits, act)
    if found is not None:
        scene.refuse(*found)
    # one gearbox: another power feed is no longer what it was
    kept = {handle: feed for handle, feed in scene.machine.feeds.items() if not (power and feed.kind is FeedKind.POWER)}
    return replace(scene.machine, feeds={**kept, act.handle: act})


def start(scene: Scene, act: StartSpindle) -> Machine:
    """Spindle on, with something safely held in it."""
    machine = scene.machine
    if machine.turns:
        scene.refuse(RefusalCode.SPINDLE_RUNS, "starting a spindle that turns already: stop it first")
    if not machine.in_machine or machine.holding is None:
        scene.refuse(RefusalCode.NOT_HELD, "starting the spindle with no work held in it; grip the work first")
    if presses(machine.holding) and not machine.slides[Handle.QUILL].locked:
        scene.refuse(
            RefusalCode.QUILL_NOT_LOCKED,
            "starting the spindle with the ring under a quill that is free: it backs off and the ring flies; lock it",
        )
    if machine.speed is None:
        scene.refuse(RefusalCode.SPEED_NOT_SET, "starting the spindle before a speed was set; set one of the list")
    elif machine.holding is not None:
        check_speed_of_holding(scene, fastest_rpm(scene.case.lathe, machine.speed))
    if act.reverse and scene.case.lathe.nose is Nose.THREADED:
        scene.refuse(
            RefusalCode.REVERSE_ON_THREAD,
            "running a threaded spindle nose backwards: the chuck unscrews and flies off; run it forward",
        )
    return replace(machine, spindle=Spindle.REVERSE if act.reverse else Spindle.FORWARD)


def check_speed_of_holding(scene: Scene, speed_rpm: float) -> None:
    """Refuse a speed above what chuck and holding bear."""
    holding = scene.machine.holding
    if holding is None:
        return
    limit = holding_speed_limit_rpm(scene.case.shop, holding)
    if speed_rpm > limit:
        scene.refuse(
            RefusalCode.SPEED_ABOVE_HOLDING,
            f"{speed_rpm:g} rev/min and {holding.kind} bears at most {limit:g}: the grip opens; set a slower speed",
        )


def stop_spindle(scene: Scene, _act: StopSpindle) -> Machine:
    """Spindle off."""
    return replace(scene.machine, spindle=Spindle.STANDS)


def lock(scene: Scene, act: Lock) -> Machine:
    """Lock a slide."""
    return _locked(scene.machine, act.handle, locked=True)


def unlock(scene: Scene, act: Unlock) -> Machine:
    """Free a slide."""
    return _locked(scene.machine, act.handle, locked=False)


def _locked(machine: Machine, handle: Handle, *, locked: bool) -> Machine:
    return with_slide(machine, handle, replace(machine.slides[handle], locked=locked))


def cool(scene: Scene, act: Cool) -> Machine:
    """Wait."""
    if act.seconds <= 0:
        scene.refuse(RefusalCode.MALFORMED, f"cooling for {act.seconds:g} s; give a time above 0")
    return scene.machine


def must_lock_carriage(scene: Scene, handle: Handle) -> None:
    """Refuse a cut of the cross or top slide while the carriage is free."""
    locked = scene.machine.slides[Handle.CARRIAGE].locked
    if handle in (Handle.CROSS, Handle.TOP) and not locked:
        scene.refuse(
            RefusalCode.CARRIAGE_NOT_LOCKED,
            f"{handle.value}: cuts while the carriage is free; the cut pushes it away: lock the carriage first",
        )
