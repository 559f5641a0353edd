"""A second replay of a sheet, simple on purpose: what these acts cut if they are done as printed.

It follows the acts in order with its own dial arithmetic, its own tools and its own account of the metal, and shares
nothing with the planner, the check or their geometry. It refuses nothing for safety; it only measures what comes out.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import singledispatchmethod
from math import cos, hypot, radians, sin

import numpy as np
from msgspec import Struct, field

from handwheel.domain import acts as a
from handwheel.domain.bars import BarShape
from handwheel.domain.holding import Side
from handwheel.domain.hole_tools import Drill, Reamer
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    Aspect,
    Part,
    SizedFeature,
)
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool
from tests.replay.simple_shapes import (
    Outline,
    Place,
    convex,
    drill_outline,
    point_mm,
    reamer_outline,
    swept,
    tool_outlines,
)
from tests.replay.simple_work import (
    ReplayError,
    Work,
    cut_off_left,
    first_contact_mm,
    highest_mm,
    in_one_piece,
    way_to_contact_mm,
)

TOOLPOST = (Handle.CROSS, Handle.TOP, Handle.CARRIAGE)
EDGES = {
    FRONT_OUTER_EDGE: (True, True),
    FRONT_INNER_EDGE: (True, False),
    BACK_OUTER_EDGE: (False, True),
    BACK_INNER_EDGE: (False, False),
}
"""Edges: whether at the front, whether outside."""
LAND_MARGIN_MM = 0.3
"""How far from the ends of a cylinder its diameter is read: edges have limits of their own."""
MOST_MARGIN_SHARE = 1.0 / 3.0
"""Of a land too short for that its middle third is read. Our choice."""
BESIDE_CORNER_MM = 0.1
"""How far beyond the round in its corner the diameter of a step is read."""
SHOULDER_SHARES = (0.7, 0.75, 0.8, 0.85)
"""Where on the height of a shoulder its depth is read."""
LEG_SHARES = (0.25, 0.75)
"""Where an edge is read, as shares of its depth; the rest of it is drawn on straight."""
ROUND_SHARES = ((0.04, 0.35, 0.9), (0.08, 0.45, 0.85))
"""Where a rounded edge is read, three places at a time, as shares of its depth: wide apart, for tools have chords."""
LEAST_LEG_MM = 0.01
LEAST_SLOPE = 1e-6


class Zero(Struct, frozen=True, kw_only=True):
    """A zero: handle, travel of its slide there (clockwise positive), the tool's place, the surface meant."""

    handle: Handle
    travel_mm: Fraction
    place: Place
    surface: str


class Expected(Struct, frozen=True, kw_only=True):
    """What a setting promised (diameter, depth below a corner, or z) and what the simple replay then has. [mm]"""

    act: str
    handle: Handle
    said_mm: float
    true_mm: float


class Legs(Struct, frozen=True, kw_only=True):
    """An edge as cut: along the axis and across it. [mm]"""

    axial_mm: float
    radial_mm: float


def circle_mm(first: Place, second: Place, third: Place) -> float:
    """Radius of the circle through three places: the product of the sides over four times the area. [mm]"""
    (az, ax), (bz, bx), (cz, cx) = first, second, third
    twice_area = abs((bz - az) * (cx - ax) - (cz - az) * (bx - ax))
    if twice_area < LEAST_SLOPE:
        message = "the edge is straight and not round"
        raise ReplayError(message)
    return hypot(bz - az, bx - ax) * hypot(cz - bz, cx - bx) * hypot(az - cz, ax - cx) / (2.0 * twice_area)


class Ring(Struct, frozen=True, kw_only=True):
    """The ring that comes out, in the part frame."""

    work: Work
    part: Part

    def diameters_mm(self, surface: str) -> tuple[float, float]:
        """Smallest and largest diameter over the land of the outside or of the bore. [mm]"""
        segment = self.part.surface(surface)
        if segment is None:
            raise KeyError(surface)
        profile = self.work.profile(*self._land(surface, low_z=segment.end.z_mm, high_z=segment.start.z_mm))
        if not np.all(profile.solid.any(axis=0)):
            message = f"{surface}: there is no metal over a part of it"
            raise ReplayError(message)
        radii = profile.outside if surface.startswith(OUTSIDE) else profile.bore
        return 2.0 * float(radii.min()), 2.0 * float(radii.max())

    def _land(self, surface: str, *, low_z: float, high_z: float) -> tuple[float, float]:
        """Where the diameter of a cylinder is read: beyond the round in its corner, some way from its ends. [mm]"""
        corner = self._corner(surface)
        low_margin = high_margin = LAND_MARGIN_MM
        if corner is not None and corner[0] == low_z:
            low_z, low_margin = low_z + self.part.corner_radius_mm, BESIDE_CORNER_MM
        elif corner is not None:
            high_z, high_margin = high_z - self.part.corner_radius_mm, BESIDE_CORNER_MM
        most = MOST_MARGIN_SHARE * (high_z - low_z)
        return low_z + min(low_margin, most), high_z - min(high_margin, most)

    def _corner(self, surface: str) -> Place | None:
        """Inside corner at the end of a step: where its shoulder begins, on its own radius."""
        shoulder, step = self.part.surface(f"{surface}-shoulder"), self.part.surface(surface)
        if shoulder is None or step is None:
            return None
        return shoulder.start.z_mm, step.start.radius_mm

    def front_z_mm(self) -> float:
        """Place of the front face along the axis, at the middle of its wall. [mm]"""
        outer, inner = self.part.outer.segments[0].start, self.part.inner.segments[0].start
        return self.work.end_mm((outer.radius_mm + inner.radius_mm) / 2.0, left=False)

    def back_z_mm(self) -> float:
        """Place of the back face along the axis, at the middle of its wall. [mm]"""
        outer, inner = self.part.outer.segments[-1].end, self.part.inner.segments[-1].end
        return self.work.end_mm((outer.radius_mm + inner.radius_mm) / 2.0, left=True)

    def depths_mm(self, shoulder: str) -> tuple[float, float]:
        """Least and greatest depth of a shoulder from the face of its end, read on its outer part. [mm]"""
        segment, step = self.part.surface(shoulder), self.part.surface(shoulder.removesuffix("-shoulder"))
        if segment is None or step is None:
            raise KeyError(shoulder)
        foot = step.start.radius_mm
        top = segment.end.radius_mm if segment.start.radius_mm == foot else segment.start.radius_mm
        front = "-front-" in shoulder
        places = [self.work.end_mm(foot + share * (top - foot), left=not front) for share in SHOULDER_SHARES]
        found = [self.front_z_mm() - place if front else place - self.back_z_mm() for place in places]
        return min(found), max(found)

    def width_mm(self) -> float:
        """From face to face at the middle of the wall. [mm]"""
        return self.front_z_mm() - self.back_z_mm()

    def legs_mm(self, *, front: bool, outer: bool) -> Legs:
        """Legs of an edge: its straight part drawn on to the face and to the cylinder. [mm]"""
        cylinders = self.part.outer_cylinders if outer else self.part.inner_cylinders
        land = cylinders[0 if front else -1]
        cylinder = self._wall((land.high_z_mm + land.low_z_mm) / 2.0, outer=outer)
        face = self.front_z_mm() if front else self.back_z_mm()
        inward = -1.0 if front else 1.0
        depth = abs(cylinder - self._wall(face + inward * 1e-7, outer=outer))
        if depth < LEAST_LEG_MM:
            return Legs(axial_mm=0.0, radial_mm=0.0)
        first, second = (self._along(face, inward, cylinder, depth * share, outer=outer) for share in LEG_SHARES)
        slope = (second - first) / (depth * (LEG_SHARES[1] - LEG_SHARES[0]))
        if abs(slope) < LEAST_SLOPE:
            message = "the edge is a step and no bevel"
            raise ReplayError(message)
        axial = first - slope * depth * LEG_SHARES[0]
        return Legs(axial_mm=axial, radial_mm=-axial / slope)

    def radii_mm(self, *, front: bool, outer: bool) -> tuple[float, float]:
        """Radii of the circles through places of a rounded edge, three at a time, as shares of its depth. [mm]"""
        cylinders = self.part.outer_cylinders if outer else self.part.inner_cylinders
        land = cylinders[0 if front else -1]
        cylinder = self._wall((land.high_z_mm + land.low_z_mm) / 2.0, outer=outer)
        face = self.front_z_mm() if front else self.back_z_mm()
        inward = -1.0 if front else 1.0
        depth = abs(cylinder - self._wall(face + inward * 1e-7, outer=outer))
        if depth < LEAST_LEG_MM:
            message = "the edge is sharp and not round"
            raise ReplayError(message)
        found = [
            circle_mm(*((self._along(face, inward, cylinder, depth * s, outer=outer), depth * s) for s in shares))
            for shares in ROUND_SHARES
        ]
        return min(found), max(found)

    def values_mm(self, feature: SizedFeature) -> tuple[float, float]:
        """Smallest and largest value of a sized feature over its surface. [mm]"""
        if feature.aspect is Aspect.DIAMETER:
            return self.diameters_mm(feature.surface)
        if feature.aspect is Aspect.WIDTH:
            return self.width_mm(), self.width_mm()
        if feature.aspect is Aspect.DEPTH:
            return self.depths_mm(feature.surface)
        front, outer = EDGES[feature.surface]
        if feature.aspect is Aspect.RADIUS:
            return self.radii_mm(front=front, outer=outer)
        legs = self.legs_mm(front=front, outer=outer)
        leg = legs.axial_mm if feature.aspect is Aspect.LEG_AXIAL else legs.radial_mm
        return leg, leg

    def _wall(self, z: float, *, outer: bool) -> float:
        """Outermost or innermost radius at a z. [mm]"""
        metal = self.work.metal_at(z)
        if not metal:
            message = f"no metal at z {z:.4f} mm"
            raise ReplayError(message)
        return metal[-1][1] if outer else metal[0][0]

    def _along(self, face: float, inward: float, cylinder: float, depth: float, *, outer: bool) -> float:
        """How far behind the face an edge is so deep. [mm]"""
        cylinders = self.part.outer_cylinders if outer else self.part.inner_cylinders
        land = cylinders[0 if inward < 0 else -1]
        near, far = 1e-7, abs(face - (land.high_z_mm + land.low_z_mm) / 2.0)
        while far - near > 1e-9:
            middle = (near + far) / 2.0
            deep = abs(cylinder - self._wall(face + inward * middle, outer=outer)) > depth
            near, far = (middle, far) if deep else (near, middle)
        return near


class SimpleReplay(Struct, kw_only=True):
    """The machine while the acts go by. Places are the tool's reference in the work frame. [mm]

    They are kept exact: a slide that goes far and comes back stands where it stood, and leaves no sliver of metal.
    """

    part: Part
    shop: Shop
    travel_mm: dict[Handle, Fraction] = field(default_factory=lambda: dict.fromkeys(Handle, Fraction(0)))
    zeros: dict[str, Zero] = field(default_factory=dict)
    at: tuple[Fraction, Fraction] | None = None
    tool: Tool | None = None
    drill: Drill | None = None
    reamer: Reamer | None = None
    drill_tip_mm: float | None = None
    swing_deg: Fraction = Fraction(0)
    leftward: Motion = Motion.OUT
    work: Work | None = None
    side: Side = Side.FRONT
    expected: list[Expected] = field(default_factory=list)

    @property
    def place(self) -> Place | None:
        """Place of the tool, if it is known."""
        return None if self.at is None else (float(self.at[0]), float(self.at[1]))

    # -- places and dials ----------------------------------------------------------------------------------------

    def ahead(self, handle: Handle, motion: Motion) -> Place:
        """Unit vector (z, x) of the tool."""
        if motion in (Motion.IN, Motion.OUT):
            return (0.0, -1.0 if motion is Motion.IN else 1.0)
        to_left = motion is Motion.LEFT
        if handle is not Handle.TOP or not self.swing_deg:
            return (-1.0 if to_left else 1.0, 0.0)
        angle = radians(float(self.swing_deg))
        across = sin(angle) if self.leftward is Motion.OUT else -sin(angle)
        return (-cos(angle), across) if to_left else (cos(angle), -across)

    def clockwise(self, handle: Handle, motion: Motion) -> int:
        """+1 if the motion turns the handle clockwise, else -1."""
        return 1 if self.shop.lathe.slide(handle).clockwise_moves is motion else -1

    def mark_mm(self, handle: Handle) -> Fraction:
        """Travel of the slide for one mark. [mm]"""
        dial = self.shop.lathe.slide(handle).dial
        if dial is None:
            message = f"{handle.value}: has no dial"
            raise ReplayError(message)
        return Fraction(dial.lead_mm) / dial.marks

    def where(self) -> Place:
        """Place of the tool."""
        if self.place is None:
            message = "the tool is nowhere known"
            raise ReplayError(message)
        return self.place

    def metal(self) -> Work:
        """Metal in hand."""
        if self.work is None:
            message = "there is no work"
            raise ReplayError(message)
        return self.work

    def cutter(self) -> list[Outline]:
        """Cutting part of the fitted tool, in convex pieces."""
        if self.tool is None:
            message = "no tool is fitted"
            raise ReplayError(message)
        return tool_outlines(self.tool)

    def in_tailstock(self) -> Outline:
        """Cutting part of the drill or reamer in the tailstock."""
        if self.reamer is not None:
            return reamer_outline(self.reamer)
        if self.drill is None:
            message = "no drill is fitted"
            raise ReplayError(message)
        return drill_outline(self.drill)

    def to_depth(self, act_id: str, setting: a.Setting) -> float:
        """Feed the quill to a setting and take away what is met; the tip's z at the end. [mm]"""
        zero = self.zeros.get(setting.zero)
        if self.drill_tip_mm is None or zero is None or zero.handle is not Handle.QUILL:
            message = f"{act_id}: not touched, or no zero"
            raise ReplayError(message)
        dial = self.shop.lathe.tailstock.quill.dial
        if dial is None or setting.kind is not a.SettingKind.MARKS:
            way = float(setting.value_mm)
        else:
            marks = setting.turns * dial.marks + setting.marks
            way = float(marks * self.mark_mm(Handle.QUILL)) * self.clockwise(Handle.QUILL, Motion.LEFT)
        tip = self.drill_tip_mm - way
        self.work = self.metal().without(swept(self.in_tailstock(), (tip, 0.0), (tip + way, 0.0)))
        return tip

    def go(self, handle: Handle, motion: Motion, way_mm: Fraction) -> None:
        """Move a slide, and the tool with it if it is known where it stands."""
        self.travel_mm[handle] += self.clockwise(handle, motion) * way_mm
        if self.at is not None and handle is not Handle.QUILL:
            ahead = self.ahead(handle, motion)
            self.at = (self.at[0] + way_mm * Fraction(ahead[0]), self.at[1] + way_mm * Fraction(ahead[1]))

    def go_to(self, act_id: str, setting: a.Setting) -> None:
        """Move a slide to a setting; keep what was promised of it."""
        zero = self.zeros.get(setting.zero)
        if zero is None or zero.handle is not setting.handle:
            message = f"{act_id}: zero {setting.zero!r} is not on the {setting.handle.value}"
            raise ReplayError(message)
        slide = self.shop.lathe.slide(setting.handle)
        if setting.kind is a.SettingKind.MARKS:
            dial_marks = 0 if slide.dial is None else slide.dial.marks
            from_zero = (setting.turns * dial_marks + setting.marks) * self.mark_mm(setting.handle)
        else:
            toward = Motion.IN if setting.handle is Handle.CROSS else Motion.LEFT
            from_zero = setting.value_mm * self.clockwise(setting.handle, toward)
        way = zero.travel_mm + from_zero - self.travel_mm[setting.handle]
        self.go(setting.handle, slide.clockwise_moves, way)
        true = self._stands_for(setting.handle, zero, from_zero)
        self.expected.append(Expected(act=act_id, handle=setting.handle, said_mm=setting.expected_mm, true_mm=true))

    def _stands_for(self, handle: Handle, zero: Zero, from_zero: Fraction) -> float:
        """What a handle's reading means now: depth below a corner, diameter, or z. [mm]"""
        if zero.surface.endswith("-edge"):
            # the slide's own way counts: another slide may have drawn the tool back since the corner was touched
            return float(abs(from_zero))
        across = handle is Handle.CROSS or (handle is Handle.TOP and self.swing_deg != 0)
        return 2.0 * self.where()[1] if across else self.where()[0]

    def lose_toolpost(self) -> None:
        """Every zero of the toolpost is gone."""
        self.zeros = {name: zero for name, zero in self.zeros.items() if zero.handle not in TOOLPOST}

    # -- acts ----------------------------------------------------------------------------------------------------

    @singledispatchmethod
    def do(self, act: a.ActBase) -> None:
        """Do one act; those that move nothing and cut nothing fall through to here."""

    @do.register
    def _(self, act: a.LoadBar) -> None:
        bar = self.shop.bar(act.bar)
        corners = 1.0 / cos(radians(30.0)) if bar.shape is BarShape.HEXAGON else 1.0
        low, high, bore = act.face_stock_mm - act.bar_length_mm, act.face_stock_mm, float(bar.bore_mm) / 2.0
        self.work = Work(low_z=low, high_z=high, radius=corners * float(bar.dia_mm) / 2.0)
        if bore > 0:
            ends = [(z, x) for z in (low - 1.0, high + 1.0) for x in (-bore, bore)]
            self.work = self.work.without(convex(ends))
        self.side = Side.FRONT

    @do.register
    def _(self, act: a.FitTool) -> None:
        self.tool, self.at = self.shop.tool(act.tool), None
        self.lose_toolpost()

    @do.register
    def _(self, act: a.FitDrill) -> None:
        self.drill, self.reamer, self.drill_tip_mm = self.shop.drill(act.drill), None, None

    @do.register
    def _(self, act: a.FitReamer) -> None:
        self.drill, self.reamer, self.drill_tip_mm = None, self.shop.reamer(act.reamer), None

    @do.register
    def _(self, act: a.SwingSlide) -> None:
        self.swing_deg, self.leftward, self.at = act.angle_deg, act.leftward, None
        self.lose_toolpost()

    @do.register
    def _(self, act: a.Approach) -> None:
        self.at = (Fraction(act.z_mm), Fraction(act.x_radius_mm))
        self.lose_toolpost()

    @do.register
    def _(self, act: a.Touch) -> None:
        if act.handle is Handle.QUILL:
            far = self.metal().high_z + 5.0
            way = way_to_contact_mm(self.metal(), self.in_tailstock(), (far, 0.0), (-1.0, 0.0))
            self.drill_tip_mm = far - way + act.feeler_mm
            return
        ahead = self.ahead(act.handle, act.motion)
        way = first_contact_mm(self.metal(), self.cutter(), self.where(), ahead)
        self.go(act.handle, act.motion, Fraction(way - act.feeler_mm))

    @do.register
    def _(self, act: a.SetZero) -> None:
        place = (0.0, 0.0) if act.handle is Handle.QUILL else self.where()
        self.zeros = {name: zero for name, zero in self.zeros.items() if zero.handle is not act.handle}
        self.zeros[act.zero] = Zero(
            handle=act.handle, travel_mm=self.travel_mm[act.handle], place=place, surface=act.surface
        )

    @do.register
    def _(self, act: a.SetCollar) -> None:
        dial = self.shop.lathe.slide(act.handle).dial
        marks = act.turns * (0 if dial is None else dial.marks) + act.marks
        self.zeros = {name: zero for name, zero in self.zeros.items() if zero.handle is not act.handle}
        self.zeros[act.zero] = Zero(
            handle=act.handle,
            travel_mm=self.travel_mm[act.handle] - marks * self.mark_mm(act.handle),
            place=self.where(),
            surface=act.surface,
        )

    @do.register
    def _(self, act: a.SetReadout) -> None:
        toward = Motion.IN if act.handle is Handle.CROSS else Motion.LEFT
        self.zeros = {name: zero for name, zero in self.zeros.items() if zero.handle is not act.handle}
        self.zeros[act.zero] = Zero(
            handle=act.handle,
            travel_mm=self.travel_mm[act.handle] - act.value_mm * self.clockwise(act.handle, toward),
            place=self.where(),
            surface=act.surface,
        )

    @do.register
    def _(self, act: a.Move) -> None:
        self.go_to(act.id, act.setting)

    @do.register
    def _(self, act: a.Retract) -> None:
        way = Fraction(act.distance_mm)
        dial = self.shop.lathe.slide(act.handle).dial
        if act.turns is not None and dial is not None:
            way = act.turns * dial.lead_mm
        self.go(act.handle, act.motion, way)

    @do.register
    def _(self, act: a.Cut) -> None:
        start = self.where()
        if act.to is None:
            self.go(act.handle, act.motion, Fraction(act.length_mm))
        else:
            self.go_to(act.id, act.to)
        for piece in self.cutter():
            self.work = self.metal().without(swept(piece, start, self.where()))

    @do.register
    def _(self, act: a.DrillHole) -> None:
        if self.drill is None:
            message = f"{act.id}: no drill"
            raise ReplayError(message)
        full = self.to_depth(act.id, act.setting) + point_mm(self.drill)
        self.expected.append(Expected(act=act.id, handle=Handle.QUILL, said_mm=act.setting.expected_mm, true_mm=full))

    @do.register
    def _(self, act: a.ReamHole) -> None:
        if self.reamer is None:
            message = f"{act.id}: no reamer"
            raise ReplayError(message)
        full = self.to_depth(act.id, act.setting) + self.reamer.lead_mm
        self.expected.append(Expected(act=act.id, handle=Handle.QUILL, said_mm=act.setting.expected_mm, true_mm=full))

    @do.register
    def _(self, _act: a.PartOff) -> None:
        if self.tool is None:
            message = "parted off without a tool"
            raise ReplayError(message)
        self.work = cut_off_left(self.metal(), self.where()[0] + self.tool.width_mm)

    @do.register
    def _(self, act: a.Regrip) -> None:
        if act.holding.side is not self.side:
            self.work = self.metal().turned(self.part.width_mm)
            self.side = act.holding.side
        self.at = None
        self.lose_toolpost()

    @do.register
    def _(self, act: a.HandStep) -> None:
        if act.kind is a.HandKind.RUB_FACE:
            work = self.metal()
            high = highest_mm(work) - act.removes_mm
            self.work = Work(low_z=work.low_z, high_z=high, radius=work.radius, taken=work.taken)

    def ring(self) -> Ring:
        """The ring in the part frame."""
        work = self.metal()
        return Ring(work=work if self.side is Side.FRONT else work.turned(self.part.width_mm), part=self.part)


def replay(sheet: Sheet, shop: Shop, *, watch: Callable[[SimpleReplay, a.Act], None] | None = None) -> SimpleReplay:
    """Do all acts of a sheet; ``watch`` sees the machine after each.

    Raises
    ------
    ReplayError
        If an act makes no sense: a zero that is not there, nothing to touch, a wall not cut through. Or if what comes
        out is in pieces.
    """
    machine = SimpleReplay(part=sheet.part, shop=shop)
    for act in sheet.acts:
        machine.do(act)
        if watch is not None:
            watch(machine, act)
    in_one_piece(machine.metal())
    return machine
