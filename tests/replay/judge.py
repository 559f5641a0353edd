"""What the simple replay finds wrong with a sheet: the judge of mutations whose effect is one of shape.

It knows the cutting part of each tool alone and stays silent where it cannot tell; what it does find is wrong for sure.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import OUTSIDE, Aspect
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from tests.replay.simple_replay import Ring, SimpleReplay, replay
from tests.replay.simple_shapes import Outline, Place, swept, tool_outlines
from tests.replay.simple_work import ReplayError, Work, overlaps

SHOULDER_MM = 0.02
"""How far the deepest place of a shoulder may lie from its printed depth: beside its corner a small ridge may stand."""
READING_MM = 0.01
"""A printed size that is further off than this is wrong, whoever reckons."""
DEPTH_MM = 0.1
"""The same for a drilled depth, which is no finished size."""
PLOUGH_MM = 0.05
"""A tool that is deeper than this in the metal while it should not cut ploughs, whoever reckons."""
SIZE_MM = 0.01
"""A size this far outside its limits is outside, whoever reckons."""

FAR_OFF_MM = 60.0
"""How far off a tool is before it is brought near by eye."""


class Verdict(Enum):
    """What the judge can say."""

    WRONG = "wrong"
    NOTHING_FOUND = "nothing found"
    CANNOT_TELL = "cannot tell"


class _EnoughError(Exception):
    """One fault is found, and one was asked for."""


@dataclass(slots=True)
class _Watch:
    """Looks over the simple replay's shoulder."""

    first_only: bool
    found: list[str] = field(default_factory=list)
    place: Place | None = None
    settings: int = 0

    def note(self, fault: str) -> None:
        """Keep a fault."""
        self.found.append(fault)
        if self.first_only:
            raise _EnoughError

    def __call__(self, machine: SimpleReplay, act: a.Act) -> None:
        """Note metal ploughed, a setting that gives another size than printed, a measured diameter not there."""
        start, self.place = self.place, machine.place
        for item in machine.expected[self.settings :]:
            tolerance = DEPTH_MM if item.handle is Handle.QUILL else READING_MM
            if abs(item.said_mm - item.true_mm) > tolerance:
                self.note(f"{item.act}: gives {item.true_mm:.3f}, not {item.said_mm:.3f}")
        self.settings = len(machine.expected)
        moves = isinstance(act, a.Move | a.Retract) and act_handle(act) is not Handle.QUILL
        if moves and start is not None and machine.place is not None and _ploughs(machine, start, machine.place):
            self.note(f"{act.id}: ploughs")
        if isinstance(act, a.Approach) and _ploughs(machine, came_from(act), (act.z_mm, act.x_radius_mm)):
            self.note(f"{act.id}: ploughs on its way there")
        if isinstance(act, a.Measure):
            self._measure(machine, act)

    def _measure(self, machine: SimpleReplay, act: a.Measure) -> None:
        ring = machine.ring()
        if act.aspect == Aspect.DEPTH.value:
            self._compare(act, ring.depths_mm(act.surface)[1], within_mm=SHOULDER_MM)
            return
        segment = machine.part.surface(act.surface)
        middle = -machine.part.width_mm / 2.0
        if segment is not None and act.aspect != Aspect.WIDTH.value:
            middle = (segment.start.z_mm + segment.end.z_mm) / 2.0
        metal = ring.work.metal_at(middle)
        if not metal:
            self.note(f"{act.id}: nothing there to measure")
            return
        if act.aspect == Aspect.WIDTH.value:
            true = ring.width_mm()
        else:
            true = 2.0 * (metal[-1][1] if act.surface.startswith(OUTSIDE) else metal[0][0])
        self._compare(act, true, within_mm=READING_MM)

    def _compare(self, act: a.Measure, true: float, *, within_mm: float) -> None:
        if abs(true - act.expected_mm) > within_mm:
            self.note(f"{act.id}: measures {true:.3f}, not {act.expected_mm:.3f}")


def act_handle(act: a.Move | a.Retract) -> Handle:
    """Handle that a motion turns."""
    return act.setting.handle if isinstance(act, a.Move) else act.handle


def came_from(act: a.Approach) -> Place:
    """Where the last leg of an approach by eye begins, clear of everything."""
    if act.last is Motion.IN:
        return act.z_mm, act.x_radius_mm + FAR_OFF_MM
    return act.z_mm + FAR_OFF_MM, act.x_radius_mm


def _ploughs(machine: SimpleReplay, start: Place, end: Place) -> bool:
    """Whether the fitted tool, if there are tool and work, reaches well into the metal on a straight way."""
    if machine.tool is None or machine.work is None:
        return False
    work = machine.work
    return any(in_metal(work, swept(piece, start, end)) for piece in tool_outlines(machine.tool))


def in_metal(work: Work, outline: Outline) -> bool:
    """Whether an outline reaches well into the metal."""
    low, high = max(outline.left, work.low_z - 0.1), min(outline.right, work.high_z + 0.1)
    if high <= low:
        return False
    return overlaps(outline, (0.0, 0.0), work.profile(low, high, step_mm=PLOUGH_MM), deeper_than_mm=PLOUGH_MM)


def _size_faults(ring: Ring) -> list[str]:
    found = []
    for feature in ring.part.sizes:
        if feature.aspect is Aspect.BROKEN:
            continue  # the hand does it when all cutting is done
        values = ring.values_mm(feature)
        low, high = float(feature.size.cut_lower) - SIZE_MM, float(feature.size.cut_upper) + SIZE_MM
        if not low <= values[0] <= values[1] <= high:
            found.append(f"{feature.id}: {values[0]:.3f} to {values[1]:.3f}")
    return found


def faults(sheet: Sheet, shop: Shop, *, first_only: bool = False) -> list[str]:
    """All that the simple replay finds wrong, in words, or the first of it."""
    watch = _Watch(first_only)
    try:
        machine = replay(sheet, shop, watch=watch)
        return [*watch.found, *_size_faults(machine.ring())]
    except _EnoughError:
        return watch.found
    except ReplayError as error:
        return [*watch.found, str(error)]


def verdict(sheet: Sheet, shop: Shop) -> Verdict:
    """What the simple replay says of a sheet."""
    try:
        return Verdict.WRONG if faults(sheet, shop, first_only=True) else Verdict.NOTHING_FOUND
    except KeyError:
        return Verdict.CANNOT_TELL
