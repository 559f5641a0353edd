"""The check: replays every act of a sheet on a model of the machine, then compares what came out with the part."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from msgspec.structs import replace

from handwheel.check.acts_collar import set_collar, set_readout
from handwheel.check.acts_cut import cut
from handwheel.check.acts_drill import drill_hole
from handwheel.check.acts_holding import indicate, load_bar, part_off, regrip
from handwheel.check.acts_measure import measure, part_frame, unjudged
from handwheel.check.acts_move import move, retract
from handwheel.check.acts_ream import fit_reamer, ream_hole
from handwheel.check.acts_spindle import cool, lock, set_feed, set_speed, start, stop_spindle, unlock
from handwheel.check.acts_tools import fit_drill, fit_tool, hand_step, swing
from handwheel.check.acts_zero import approach, set_zero, touch
from handwheel.check.compare import compare_part
from handwheel.check.dwell import check_dwell
from handwheel.check.finish import check_bending, check_finish
from handwheel.check.machine import Machine
from handwheel.check.report import CheckedSize, CheckReport, RefusalCode
from handwheel.check.scene import Case, Log, Scene, case_for
from handwheel.check.wellformed import fault, learn
from handwheel.data.materials import Material, material
from handwheel.domain import acts
from handwheel.domain.errors import DataTableError
from handwheel.domain.part import Aspect, Part
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.geometry.profile import part_outline
from handwheel.geometry.region import is_sound

Handler = Callable[[Scene, Any], Machine]

HANDLERS: Mapping[type, Handler] = {
    acts.LoadBar: load_bar,
    acts.FitTool: fit_tool,
    acts.FitDrill: fit_drill,
    acts.FitReamer: fit_reamer,
    acts.SetSpeed: set_speed,
    acts.SetFeed: set_feed,
    acts.StartSpindle: start,
    acts.StopSpindle: stop_spindle,
    acts.Approach: approach,
    acts.Touch: touch,
    acts.SetZero: set_zero,
    acts.SetCollar: set_collar,
    acts.SetReadout: set_readout,
    acts.Move: move,
    acts.Cut: cut,
    acts.Retract: retract,
    acts.DrillHole: drill_hole,
    acts.ReamHole: ream_hole,
    acts.Lock: lock,
    acts.Unlock: unlock,
    acts.Cool: cool,
    acts.Measure: measure,
    acts.Regrip: regrip,
    acts.Indicate: indicate,
    acts.SwingSlide: swing,
    acts.HandStep: hand_step,
    acts.PartOff: part_off,
}
"""One function for each kind of act; what is not here is refused."""


def check_sheet(sheet: Sheet, shop: Shop) -> CheckReport:
    """Replay a sheet on the shop's lathe and compare the part that comes out.

    Parameters
    ----------
    sheet : Sheet
        Acts in the order in which they are done, and the part that they must leave. Anything may be in it.
    shop : Shop
        The shop in which they are done.

    Returns
    -------
    CheckReport
        Every refusal, and the sizes cut; ``ok`` if nothing is refused. Never raises for a senseless sheet: what cannot
        be understood is refused. After a refusal that loses the machine's state the rest is not looked at, and the
        report says so; sizes are then empty.
    """
    log = Log()
    found = _part_fault(sheet)
    if found is not None:
        log.add("", RefusalCode.MALFORMED, found)
        return CheckReport(refusals=tuple(log.refusals), sizes=())
    case = case_for(sheet.part, shop, _material(sheet.part, log))
    machine = _replay(sheet, case, log)
    sizes = () if log.stopped else _end(case, machine, log)
    return CheckReport(refusals=tuple(log.refusals), sizes=sizes)


def make_ready() -> None:
    """Read what each kind of act may hold, which the first check of a process would else do."""
    for kind in (Part, *HANDLERS):
        learn(kind)


def _part_fault(sheet: Sheet) -> str | None:
    found = fault(sheet.part, Part, "part")
    if found is None and not is_sound(part_outline(sheet.part)):
        found = "part: its outline crosses itself; check bore, outside and edges"
    listed: object = sheet.acts
    if found is None and not isinstance(listed, tuple):
        found = "acts: is no list of acts; give one"
    return found


def _material(part: Part, log: Log) -> Material | None:
    try:
        return material(part.material)
    except DataTableError as error:
        log.add("", RefusalCode.UNKNOWN_MATERIAL, f"limits of the metal cannot be looked up: {error}")
        return None


def followed(sheet: Sheet, shop: Shop) -> Iterator[Machine]:
    """Machine after each act, for who wants to show what happens; ends where the check would lose its footing.

    Nothing is judged here: `check_sheet` says what is refused. A sheet whose part makes no sense yields nothing.
    """
    if _part_fault(sheet) is not None:
        return
    log = Log()
    yield from _machines(sheet, case_for(sheet.part, shop, _material(sheet.part, log)), log)


def _replay(sheet: Sheet, case: Case, log: Log) -> Machine:
    machine = Machine()
    for step, after in enumerate(_machines(sheet, case, log)):
        machine = after
        rest = len(sheet.acts) - step - 1
        if log.stopped and rest:
            log.add(
                _id_of(sheet.acts[step + 1]),
                RefusalCode.REST_NOT_LOOKED_AT,
                f"after that the machine's state is not known: the {rest} acts from here on, and the part, "
                "were not looked at",
            )
    return machine


def _machines(sheet: Sheet, case: Case, log: Log) -> Iterator[Machine]:
    """Machine after each act, until the replay must stop."""
    machine = Machine()
    for step, act in enumerate(sheet.acts):
        machine = _one(case, replace(machine, step=step), act, log)
        yield machine
        if log.stopped:
            return


def _one(case: Case, machine: Machine, act: object, log: Log) -> Machine:
    name = _id_of(act)
    handler = HANDLERS.get(type(act))
    if handler is None:
        log.add(name, RefusalCode.UNKNOWN_ACT, f"{type(act).__name__}: no such act is known here; leave it out")
        return machine
    found = fault(act, type(act), "act")
    if found is not None:
        log.add(name, RefusalCode.MALFORMED, found)
        log.stopped = True
        return machine
    if isinstance(act, acts.ActBase) and act.cautions:
        machine = replace(machine, cautioned=True)
    scene = Scene(case=case, machine=machine, act=name, log=log)
    check_dwell(scene, act)
    return handler(scene, act)


def _id_of(act: object) -> str:
    name = getattr(act, "id", "")
    return name if isinstance(name, str) else ""


def _end(case: Case, machine: Machine, log: Log) -> tuple[CheckedSize, ...]:
    """What must be true when the last act is done: a free, clean part with every size within its limits."""
    if machine.turns:
        log.add("", RefusalCode.STILL_TURNING, "the sheet ends with the spindle turning; stop it")
    if machine.work is None or not machine.parted:
        log.add("", RefusalCode.UNFINISHED, "the sheet ends and no part has come off the bar; part it off")
        return ()
    if machine.in_machine:
        log.add("", RefusalCode.STILL_HELD, "the sheet ends with the part still in the machine; take it out")
    if case.part.thread is not None and machine.tapped != case.part.thread:
        log.add("", RefusalCode.NOT_TAPPED, f"the sheet ends and {case.part.thread.designation} is not tapped; tap it")
    for size in unjudged(case.part, machine):
        log.add(
            "",
            RefusalCode.NOT_JUDGED,
            f"the sheet ends and {size} was not measured as a finished size since it was cut; measure it",
        )
    if machine.burr:
        log.add("", RefusalCode.BURR_LEFT, "the sheet ends with a burr on the part; take it off")
    for feature in case.part.sizes:
        if feature.aspect is Aspect.BROKEN and feature.surface not in machine.broken:
            log.add("", RefusalCode.EDGE_NOT_BROKEN, f"the sheet ends and {feature.surface} is sharp; break it by hand")
    check_finish(case, machine, log)
    check_bending(case, machine, log)
    return compare_part(case.part, part_frame(machine, case.part.width_mm), log)
