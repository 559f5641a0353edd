"""The act that takes metal off with a toolpost tool."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from handwheel.check.acts_move import has_place
from handwheel.check.acts_spindle import must_turn_forward
from handwheel.check.bite import Bite, make_bite
from handwheel.check.cut_metal import check_metal
from handwheel.check.cut_ready import check_ready
from handwheel.check.cut_way import check_by_eye, check_way
from handwheel.check.dial import turn_sign
from handwheel.check.loads import BY_DEPTH, Chip, bending
from handwheel.check.machine import LastCut, Machine, is_read, place_after, slide_gone_to, travel_of
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.solids import work_pieces
from handwheel.check.surfaces import is_face
from handwheel.check.winding import Winding, check_expected, check_span, fits_handle, wind
from handwheel.domain.acts import Cut
from handwheel.domain.holding import to_work_z
from handwheel.domain.tools import ToolKind
from handwheel.geometry.region import (
    bounds_mm,
)

LENGTH_MM = 0.05
LENGTH_SHARE = 0.02
"""The printed length may differ from the way of the slide by these two together."""


def cut(scene: Scene, act: Cut) -> Machine:
    """Feed through metal."""
    machine = scene.machine
    must_turn_forward(scene, f"cutting {act.surface}")
    if machine.work is None or not machine.in_machine:
        return scene.stop(RefusalCode.NOT_HELD, f"cutting {act.surface} and nothing holds the work; grip it first")
    if machine.severed:
        return scene.stop(RefusalCode.NOT_HELD, "cutting a ring that hangs free; the last cut has gone through")
    if not fits_handle(scene, act.handle, act.motion) or not has_place(scene, act.handle):
        return machine
    check_ready(scene, act)
    winding = _winding(scene, act)
    if winding is None or machine.fitted is None or machine.place is None:
        return machine
    end = place_after(machine, scene.case.lathe, act.handle, winding.stops_mm[-1])
    if end is None or end == machine.place:
        return machine
    bite = make_bite(machine.work, machine.fitted, machine.place, end)
    check_way(scene, act, bite)
    check_by_eye(scene, act, bite)
    chip = check_metal(scene, act, bite)
    after = slide_gone_to(
        machine,
        scene.case.lathe,
        act.handle,
        stops_mm=winding.stops_mm,
        bearing=winding.bearing,
        by_eye=act.to is None,
    )
    check_span(scene, after, act.handle)
    if act.to is not None:
        check_expected(scene, after, act.to)
    return _with_work(scene.on(after), act, bite, chip)


def _winding(scene: Scene, act: Cut) -> Winding | None:
    machine, lathe = scene.machine, scene.case.lathe
    turn = lathe.slide(act.handle).turn_for(act.motion)
    here = machine.slides[act.handle].travel_mm
    if act.to is None:
        if act.length_mm <= 0:
            scene.refuse(RefusalCode.WRONG_DIRECTION, f"{act.handle.value}: cuts {act.length_mm:g} mm; give the way")
            return None
        return Winding((here + travel_of(lathe, act.handle, act.motion, act.length_mm),), turn)
    if act.to.handle is not act.handle:
        _misdirected(scene, f"{act.handle.value} cuts to a setting of the {act.to.handle.value}; name one handle")
        return None
    found = wind(scene, act.to)
    if found is None:
        return None
    target = found.stops_mm[-1]
    way = float((target - here) * turn_sign(turn))
    if way <= 0:
        _misdirected(
            scene, f"{act.handle.value}: {act.motion.value} does not lead to the setting; it lies {-way:.3f} mm behind"
        )
        return None
    if act.to.approach is not turn:
        scene.refuse(
            RefusalCode.WRONG_DIRECTION,
            f"{act.handle.value}: {act.motion.value} is {turn.value}, and the setting is reached "
            f"{act.to.approach.value}",
        )
    if abs(way - act.length_mm) > LENGTH_MM + LENGTH_SHARE * way:
        scene.refuse(
            RefusalCode.LENGTH_DISAGREES,
            f"{act.handle.value}: the way to the setting is {way:.3f} mm, and the sheet says {act.length_mm:.3f} mm",
        )
    return Winding((target,), turn)


def _misdirected(scene: Scene, text: str) -> None:
    scene.refuse(RefusalCode.WRONG_DIRECTION, text)


def _with_work(scene: Scene, act: Cut, bite: Bite, chip: Chip | None) -> Machine:
    machine = scene.machine
    if machine.fitted is None:
        return machine
    if bite.left.is_empty:
        return scene.stop(RefusalCode.NOTHING_LEFT, f"cutting {act.surface} takes away all of the work")
    width = scene.case.part.width_mm
    spans = dict(machine.cut_spans_mm)
    if not bite.taken.is_empty:
        low, _, high, _ = bounds_mm(bite.taken)
        ends = sorted(to_work_z(z, side=machine.side, width_mm=width) for z in (low, high))
        spans[act.surface] = (ends[0], ends[1])
    parting = machine.fitted.tool.kind is ToolKind.PARTING
    severed = len(work_pieces(bite.left)) > 1
    if severed and parting and not act.cautions:
        scene.refuse(
            RefusalCode.MISSING_CAUTION, "parting off and no caution stands at the cut that frees the ring; print it"
        )
    if severed and not parting:
        scene.refuse(
            RefusalCode.SEVERED, f"cutting {act.surface} cuts the work in two; a piece flies off: only a blade parts"
        )
    return replace(
        machine,
        work=bite.remains,
        severed=severed,
        burr=machine.burr or parting or is_face(act.surface),
        broken=frozenset(),  # a cut beside an edge takes the hand's work away
        cut_at={**machine.cut_at, act.surface: machine.step},
        cut_spans_mm=spans,
        last_cuts=_last_cuts(scene, act, bite, chip),
        contact=None,
        has_cut=True,
    )


def _last_cuts(scene: Scene, act: Cut, bite: Bite, chip: Chip | None) -> Mapping[str, LastCut]:
    """What cut each surface last, with this cut; blades and edge tools leave no marks of a nose."""
    machine, tool = scene.machine, bite.fitted.tool
    feed = machine.feeds.get(act.handle)
    others = {surface: one for surface, one in machine.last_cuts.items() if surface != act.surface}
    if feed is None or tool.kind not in BY_DEPTH:
        return others
    before = machine.last_cuts.get(act.surface)
    is_known = before is not None and before.tool == tool.id and is_read(machine, act.surface)
    force, bends = (0.0, 0.0) if chip is None else bending(scene, chip)
    last = LastCut(
        act=act.id,
        feed_mm_rev=feed.high_mm_rev,
        tool=tool.id,
        nose_mm=tool.nose_radius_mm,
        force_n=force,
        bends_mm=bends,
        read_n=before.force_n if before is not None and is_known else 0.0,
    )
    return {**others, act.surface: last}
