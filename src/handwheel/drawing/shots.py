"""What the machine looks like in each step of a sheet, as the replay of the check leaves it: nothing is assumed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import groupby

from msgspec import Struct

from handwheel.check.machine import Contact, Machine, direction
from handwheel.check.replay import followed
from handwheel.check.solids import leg_hull, rest
from handwheel.check.touching import tailstock_outline
from handwheel.domain.acts import Act, Cut, DrillHole, HandKind, HandStep, LoadBar, ReamHole, Regrip, Touch
from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.domain.tools import PieceRole
from handwheel.geometry import region as plane

LEAST_MM2 = 1e-5
"""Less metal than this is dust of the arithmetic. [mm²]"""

LEAST_WAY = 1e-9
"""A smaller share of the way is dust of the arithmetic."""
PLATE_MM = 3.0
"""How much of a flat plate is drawn: its thickness, and beyond the work. [mm]"""


class Feed(Struct, frozen=True, kw_only=True):
    """Which handle is turned, which way the hand turns and where the tool then goes, as a unit vector (z, x)."""

    handle: Handle
    motion: Motion
    turn: Turn
    ahead: Point

    @property
    def motions(self) -> tuple[Motion, ...]:
        """Where the tool goes: along the bed, then across it, as far as it does either."""
        along = Motion.LEFT if self.ahead.z_mm < 0 else Motion.RIGHT
        across = Motion.IN if self.ahead.radius_mm < 0 else Motion.OUT
        ways = ((along, self.ahead.z_mm), (across, self.ahead.radius_mm))
        return tuple(motion for motion, way in ways if abs(way) > LEAST_WAY)


class Shot(Struct, frozen=True, kw_only=True, dict=True):
    """One step: the work before and after in the work frame of its holding, what cuts, what holds.

    ``before`` and ``after`` include the bar that stays in the chuck; ``edge`` is the cutting part of the tool where its
    last cut ended (or of a drill at its full depth), ``holder`` the post behind it.
    """

    step: str
    acts: tuple[Act, ...]
    side: Side
    holding: Holding | None
    before: plane.Region
    after: plane.Region
    bodies: tuple[plane.Region, ...]
    edge: plane.Region
    holder: plane.Region
    feed: Feed | None
    contacts: tuple[Contact, ...]

    @cached_property
    def removed(self) -> plane.Region:
        """What the step takes away."""
        pieces = [p for p in plane.pieces(rest(self.before, self.after)) if plane.area_mm2(p) > LEAST_MM2]
        return plane.union(pieces) if pieces else plane.empty()

    @property
    def cuts(self) -> bool:
        """Whether the step takes anything away."""
        return not self.removed.is_empty

    @property
    def gripped(self) -> LoadBar | Regrip | None:
        """Act by which the step grips the work, if it does."""
        return next((act for act in self.acts if isinstance(act, LoadBar | Regrip)), None)


def shots(sheet: Sheet, shop: Shop) -> tuple[Shot, ...]:
    """A shot of every step, in their order, as far as the check can follow the sheet."""
    told = list(zip(sheet.acts, followed(sheet, shop), strict=False))
    found = []
    earlier = Machine()
    for step, group in groupby(told, key=lambda pair: pair[0].step):
        members = tuple(group)
        found.append(_shot(step, earlier, members, shop))
        earlier = members[-1][1]
    return tuple(found)


def _shot(step: str, earlier: Machine, members: Sequence[tuple[Act, Machine]], shop: Shop) -> Shot:
    last = members[-1][1]
    before = earlier
    for act, machine in members:
        if isinstance(act, LoadBar | Regrip):
            before = machine
    at_work = _at_work(earlier, members)
    edge, holder = (plane.empty(), plane.empty()) if at_work is None else _tool(*at_work)
    gripping = any(isinstance(act, LoadBar | Regrip) for act, _ in members)
    held = at_work[1] if at_work is not None else before if gripping else last
    return Shot(
        step=step,
        acts=tuple(act for act, _ in members),
        side=last.side,
        holding=held.holding,
        before=_metal(before),
        after=_metal(last),
        bodies=_bodies(held, last),
        edge=edge,
        holder=holder,
        feed=None if at_work is None else _feed(*at_work, shop),
        contacts=tuple(_contacts(members)),
    )


def _bodies(held: Machine, last: Machine) -> tuple[plane.Region, ...]:
    """What holds the work, on the near side; for work that is rubbed by hand the plate before its face."""
    if held.in_machine:
        # a spigot runs on behind its shoulder: seen as one body
        return plane.pieces(plane.union([body.region for body in held.bodies if body.box[3] > 0]))
    if held.holding is None or last.work is None:
        return ()
    face, outside = last.work.box[2], last.work.box[3]
    return (plane.rectangle(face, face + PLATE_MM, 0.0, outside + PLATE_MM),)


def _metal(machine: Machine) -> plane.Region:
    """Work and what is left of the bar."""
    found = [solid.region for solid in (machine.work, machine.stub) if solid is not None]
    return plane.union(found) if found else plane.empty()


def _at_work(earlier: Machine, members: Sequence[tuple[Act, Machine]]) -> tuple[Act, Machine, Machine] | None:
    """Last act that takes metal off, with the machine before and after it."""
    found = None
    before = earlier
    for act, after in members:
        if isinstance(act, Cut | DrillHole | ReamHole) or _rubs(act):
            found = (act, before, after)
        before = after
    return found


def _rubs(act: Act) -> bool:
    return isinstance(act, HandStep) and act.kind is HandKind.RUB_FACE


def _tool(act: Act, before: Machine, after: Machine) -> tuple[plane.Region, plane.Region]:
    """Outline of what cuts where its way ends, and of the post that holds it."""
    if isinstance(act, DrillHole):
        return tailstock_outline(before, act.setting.expected_mm - act.point_mm), plane.empty()
    if isinstance(act, ReamHole):
        return tailstock_outline(before, act.setting.expected_mm - act.lead_mm), plane.empty()
    fitted, place = after.fitted, after.place
    if fitted is None or place is None or isinstance(act, HandStep):
        return plane.empty(), plane.empty()
    pieces = [(piece.role, leg_hull(piece, place, place)) for piece in fitted.shape.pieces]
    holder = plane.union([region for role, region in pieces if role is PieceRole.HOLDER])
    return plane.union([region for role, region in pieces if role is not PieceRole.HOLDER]), holder


def _feed(act: Act, before: Machine, after: Machine, shop: Shop) -> Feed | None:
    """How the hand feeds the last cut."""
    del after
    if isinstance(act, Cut):
        handle, motion = act.handle, act.motion
    elif isinstance(act, DrillHole | ReamHole):
        handle, motion = Handle.QUILL, Motion.LEFT
    else:
        return None
    turn = shop.lathe.slide(handle).turn_for(motion)
    return Feed(handle=handle, motion=motion, turn=turn, ahead=direction(before, handle, motion))


def _contacts(members: Sequence[tuple[Act, Machine]]) -> Iterator[Contact]:
    """Touches that the step makes."""
    for act, machine in members:
        if isinstance(act, Touch) and machine.contact is not None:
            yield machine.contact
