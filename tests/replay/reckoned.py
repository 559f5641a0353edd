"""What each cut of a sheet may ask, reckoned a second time from the printed acts: nothing of the check is in it.

The check takes depths and diameters from the metal that it replays; here they are the printed ones. Relations are
written out once more from cutting-models sections 2, 3, 6 and 9; figures come from the same tables and shop.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import pi, radians, sin

from msgspec import Struct

from handwheel.check.report import RefusalCode as Code
from handwheel.data.forces import ForceModel, force_models
from handwheel.data.materials import Material, material
from handwheel.domain import acts as a
from handwheel.domain.bars import Bar
from handwheel.domain.holding import Holding, Side
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Edge, Handle
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.drilling import push_n, worn_drill_torque_band_nm

WORN, HSS = 1.3, 1.2
FACTORS = {
    ToolKind.BORING: 1.2,
    ToolKind.EDGE_INSIDE: 1.2,
    ToolKind.FORM_INSIDE: 1.2,
    ToolKind.PARTING: 1.3,
    ToolKind.GROOVING: 1.3,
}
BLADES = (ToolKind.PARTING, ToolKind.GROOVING)
BY_DEPTH = (ToolKind.TURNING, ToolKind.BORING)
STEEL_N_MM2 = 210e3
TOOL_DAMPING, BAR_DAMPING, DIRECTION = 0.03, 0.02, 0.5


class Reckoned(Struct, frozen=True, kw_only=True):
    """One cut: where it stands in the sheet, its depth (or the width of its blade), and the share of each limit.

    ``own_n_um`` is the stiffness of what stands out, without the machine. [N/µm]
    """

    at: int
    act: a.Cut
    tool: Tool
    width_mm: float
    dia_mm: float
    own_n_um: float
    shares: dict[Code, float]

    @property
    def binds(self) -> Code:
        """The limit that comes first as the cut gets deeper."""
        return max(self.shares, key=lambda code: self.shares[code])

    @property
    def by_depth(self) -> bool:
        """Whether the depth settles the width of its chip."""
        return self.tool.kind in BY_DEPTH


class Standing:
    """What is held, fitted and set, as the acts go by."""

    def __init__(self, sheet: Sheet, shop: Shop) -> None:
        """Begin with nothing."""
        self.part, self.shop = sheet.part, shop
        self.metal = material(sheet.part.material)
        self.bar: Bar | None = None
        self.held: Holding | None = None
        self.tool, self.out_mm = shop.tools[0], 0.0
        self.drill, self.hole_mm = shop.drills[0], 0.0
        self.speed: a.SetSpeed | None = None
        self.feeds: dict[Handle, a.SetFeed] = {}
        self.set_dia_mm = 0.0

    def note(self, act: a.Act) -> None:
        """Take note of an act."""
        if isinstance(act, a.LoadBar):
            self.bar = next(one for one in self.shop.bars if one.id == act.bar)
            self.held, self.hole_mm = act.holding, float(self.bar.bore_mm)
        elif isinstance(act, a.Regrip):
            self.held = act.holding
        elif isinstance(act, a.FitTool):
            self.tool, self.out_mm = self.shop.tool(act.tool), act.stands_out_mm
        elif isinstance(act, a.FitDrill):
            self.drill = self.shop.drill(act.drill)
        elif isinstance(act, a.DrillHole) and self.drill.kind is DrillKind.TWIST:
            self.hole_mm = float(self.drill.dia_mm)
        else:
            self._note_setting(act)

    def _note_setting(self, act: a.Act) -> None:
        if isinstance(act, a.SetSpeed):
            self.speed = act
        elif isinstance(act, a.SetFeed):
            self.feeds[act.handle] = act
        elif isinstance(act, a.Move) and act.setting.handle in (Handle.CROSS, Handle.TOP):
            self.set_dia_mm = act.setting.expected_mm

    def cut_dia_mm(self, act: a.Cut) -> float:
        """Largest diameter of a cut: along the bed the depth was set to the one that it leaves. [mm]"""
        assert self.speed is not None
        bores = self.tool.kind is ToolKind.BORING
        if act.motion.across:
            return act.to.expected_mm if bores and act.to is not None else self.speed.cut_dia_mm
        return self.set_dia_mm + (0.0 if bores else 2.0 * act.depth_mm)


def reckoned(sheet: Sheet, shop: Shop) -> Iterator[Reckoned]:
    """Every cut whose chip is as wide as its depth or as a blade, in order."""
    now = Standing(sheet, shop)
    for at, act in enumerate(sheet.acts):
        if isinstance(act, a.Cut) and now.tool.kind in (*BY_DEPTH, *BLADES) and not act.surface.endswith("-edge"):
            yield _cut(now, at, act)
        now.note(act)


def _cut(now: Standing, at: int, act: a.Cut) -> Reckoned:
    tool, feed, dia = now.tool, now.feeds[act.handle], now.cut_dia_mm(act)
    width = tool.width_mm if tool.kind in BLADES else act.depth_mm
    force = worn_n(now.metal, tool, width_mm=width, feed_mm_rev=feed.high_mm_rev)
    shares, own = _drive(now, force * dia / 2000.0), 0.0
    if tool.kind in BY_DEPTH:
        own = _own_n_um(now)
        stiff = 1.0 / (1.0 / own + 1.0 / now.shop.lathe.tool_stiffness_n_um)
        shares[Code.CHATTERS] = width / _quiet(now.metal, (feed.low_mm_rev + feed.high_mm_rev) / 2.0, tool, stiff)
    return Reckoned(at=at, act=act, tool=tool, width_mm=width, dia_mm=dia, own_n_um=own, shares=shares)


class Drilled(Struct, frozen=True, kw_only=True):
    """One hole drilled: where it stands in the sheet, the drill, and the share of each limit."""

    at: int
    act: a.DrillHole
    drill: Drill
    shares: dict[Code, float]


def drilled(sheet: Sheet, shop: Shop) -> Iterator[Drilled]:
    """Every hole that is drilled, in order; the hole before is that of the last twist drill, or the tube's."""
    now = Standing(sheet, shop)
    for at, act in enumerate(sheet.acts):
        if isinstance(act, a.DrillHole):
            dia, feed = float(now.drill.dia_mm), now.feeds[Handle.QUILL].high_mm_rev
            push = push_n(dia, hole_dia_mm=now.hole_mm, feed_mm_rev=feed, solid_torque_nm=_drill_nm(now, 0.0))
            shares = _drive(now, _drill_nm(now, now.hole_mm))
            shares[Code.PUSH_EXCEEDED] = push / shop.habits.quill_push_n
            yield Drilled(at=at, act=act, drill=now.drill, shares=shares)
        now.note(act)


def _drill_nm(now: Standing, hole_mm: float) -> float:
    """Torque of the drill in a hole at the coarse end of its feed. [N m]"""
    constant = now.metal.find("kd_drilling")
    return worn_drill_torque_band_nm(
        force_models(now.metal),
        drill_dia_mm=float(now.drill.dia_mm),
        hole_dia_mm=hole_mm,
        feed_mm_rev=now.feeds[Handle.QUILL].high_mm_rev,
        work_constant=constant.most if constant else None,
    )[1]


def listed(shop: Shop, speed: a.SetSpeed) -> SpindleSpeed:
    """The speed of the lathe's list that was set."""
    return next(one for one in shop.lathe.speeds if (one.rpm, one.position) == (speed.rpm, speed.position))


def force_n(model: ForceModel, *, width_mm: float, feed_mm_rev: float, angle_deg: float) -> float:
    """Force of a sharp edge by one opinion, upper end. [N]"""
    if model.mc is not None:
        thick = feed_mm_rev * sin(radians(angle_deg))
        wide = width_mm / sin(radians(angle_deg))
        return float(model.kc_high_n_mm2 * wide * thick ** (1.0 - model.mc))
    points = model.feed_factors
    factor = points[0][1] if feed_mm_rev <= points[0][0] else points[-1][1]
    for (f0, c0), (f1, c1) in pairwise(points):
        if f0 <= feed_mm_rev <= f1:
            factor = c0 + (c1 - c0) * (feed_mm_rev - f0) / (f1 - f0)
    return model.kc_high_n_mm2 * factor * width_mm * feed_mm_rev


def worn_n(metal: Material, tool: Tool, *, width_mm: float, feed_mm_rev: float) -> float:
    """Force that limits of the drive go by: the largest opinion, worn, of its kind of cut. [N]"""
    angle = 90.0 if tool.kind in BLADES else min(95.0, max(45.0, tool.entering_deg))
    sharp = max(
        force_n(one, width_mm=width_mm, feed_mm_rev=feed_mm_rev, angle_deg=angle) for one in force_models(metal)
    )
    return sharp * WORN * FACTORS.get(tool.kind, 1.0) * (HSS if tool.edge is Edge.HSS else 1.0)


def _drive(now: Standing, torque_nm: float) -> dict[Code, float]:
    """Shares of what motor, belt and holding bear."""
    assert now.speed is not None
    assert now.held is not None
    known = listed(now.shop, now.speed)
    power = torque_nm * 2.0 * pi * (known.high_rpm or known.rpm) / 60.0
    shares = {Code.POWER_EXCEEDED: power / (now.shop.lathe.motor_power_w * now.shop.lathe.drive_efficiency)}
    if known.torque_limit_nm is not None:
        shares[Code.TORQUE_EXCEEDED] = torque_nm / known.torque_limit_nm
    if now.held.grip_torque_nm:
        shares[Code.GRIP_SLIPS] = torque_nm / now.held.grip_torque_nm
    return shares


def _quiet(metal: Material, feed_mm_rev: float, tool: Tool, stiff_n_um: float) -> float:
    """Depth below which it cannot chatter. [mm]"""
    damping = BAR_DAMPING if tool.kind is ToolKind.BORING else TOOL_DAMPING
    sharp = max(force_n(one, width_mm=1.0, feed_mm_rev=feed_mm_rev, angle_deg=90.0) for one in force_models(metal))
    return 2000.0 * stiff_n_um * damping * (1.0 + damping) / (sharp / feed_mm_rev * DIRECTION)


def _own_n_um(now: Standing) -> float:
    """Stiffness of what stands out: the boring bar, or the work up to its finished face. [N/µm]"""
    assert now.bar is not None
    assert now.held is not None
    modulus, dia, bore, length = STEEL_N_MM2, now.tool.bar_dia_mm, 0.0, now.out_mm
    if now.tool.kind is not ToolKind.BORING:
        modulus, length = 1000.0 * now.metal.range("e_modulus").least, -now.held.jaw_face_mm
        dia, bore = float(now.bar.dia_mm), float(now.bar.bore_mm)
        if now.held.side is Side.BACK:
            dia, bore = 2.0 * max(one.radius_mm for one in now.part.outer_cylinders), 0.0
    return 3.0 * modulus * pi * (dia**4 - bore**4) / 64.0 / max(1.0, length) ** 3 / 1000.0
