"""What each cut asks of lathe, holding and edge, reckoned anew from the metal that the replay meets.

The metal is what the replayed cuts have left there, its depth and diameter as the edge meets them, never the printed
ones; speed and feed are those that were set, of a band the end that asks for more. The relations are those of the
physics room and the figures those of the tables and the shop.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import hypot

from msgspec import Struct

from handwheel.check.bite import Bite, extent_mm
from handwheel.check.limits import fastest_rpm
from handwheel.check.machine import Machine
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Case, Scene
from handwheel.check.surfaces import is_edge
from handwheel.data.chatter_factor import chatter_factor
from handwheel.data.force_ratios import radial_ratio
from handwheel.data.forces import force_models
from handwheel.data.materials import Material, material
from handwheel.domain.acts import Cut, SetFeed
from handwheel.domain.chatter import learner_of
from handwheel.domain.contour import Point
from handwheel.domain.holding import Side
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.motion import Edge
from handwheel.domain.tools import Tool, ToolKind
from handwheel.geometry.region import bounds_mm
from handwheel.physics.deflection import STEEL_N_MM2
from handwheel.physics.diameter_error import radial_error_dia_mm
from handwheel.physics.drive import listed_power_w
from handwheel.physics.force import Process, force_band, worn_force_band
from handwheel.physics.min_chip import THIN_CHIP, least_chip_mm, mean_chip_mm
from handwheel.physics.power import power_w, torque_nm
from handwheel.physics.quiet_cut import BAR_DAMPING, TOOL_DAMPING, overhang_stiffness_n_um, quiet_depth_mm
from handwheel.physics.speed import cutting_speed_m_min

LOAD_SLACK = 1.01
"""Share by which a limit may be passed before the cut is refused: printed figures are rounded to three places."""
DEPTH_SLACK_MM = 2e-3
"""What the metal met may be deeper than reckoned before a limit counts as passed: chords of a round tip, and sizes that
were rounded to whole marks before; as much as a printed depth is allowed (`handwheel.check.cut_metal.DEEPER_MM`)."""

_PROCESSES = {
    ToolKind.BORING: Process.BORING,
    ToolKind.EDGE_INSIDE: Process.BORING,
    ToolKind.FORM_INSIDE: Process.BORING,
    ToolKind.PARTING: Process.PARTING,
    ToolKind.GROOVING: Process.PARTING,
}
_BLADES = (ToolKind.PARTING, ToolKind.GROOVING)
BY_DEPTH = (ToolKind.TURNING, ToolKind.BORING)
"""Tools whose chip is as wide as the cut is deep."""
_FORCES_KEPT = 4096


class Load(Struct, frozen=True, kw_only=True):
    """What a cut asks and what it may ask, in one unit; ``code`` is the refusal if it asks for more."""

    code: RefusalCode
    asked: float
    allowed: float
    unit: str
    what: str
    remedy: str
    too: str = "too much"

    @property
    def words(self) -> str:
        """What is asked, what is allowed, by how much it is too much, and what would help."""
        return (
            f"{self.asked:.3g} {self.unit}, and {self.allowed:.3g} {self.unit} is the {self.what} "
            f"({100.0 * (self.share - 1.0):.0f} % {self.too}); {self.remedy}"
        )

    @property
    def share(self) -> float:
        """Share of the limit that is taken up. [1]"""
        return self.asked / self.allowed

    @property
    def is_kept(self) -> bool:
        """Whether the limit is kept, rounding allowed for."""
        return self.asked <= self.allowed * LOAD_SLACK


class Chip(Struct, frozen=True, kw_only=True):
    """A cut as far as its force goes: tool, width of the chip, diameter, where it is, feed set. [mm]

    ``by_tool`` says that the tool settles the width (blade, edge, form); else it is the depth.
    """

    tool: Tool
    width_mm: float
    by_tool: bool
    dia_mm: float
    at_mm: float
    feed: SetFeed

    @property
    def process(self) -> Process:
        """Kind of cut for the force."""
        return _PROCESSES.get(self.tool.kind, Process.TURNING)

    @property
    def angle_deg(self) -> float:
        """Entering angle that the force is reckoned with. [deg]"""
        return 90.0 if self.by_tool else self.tool.entering_deg


def chip_of(scene: Scene, act: Cut, bite: Bite, *, depth_mm: float, dia_mm: float) -> Chip | None:
    """The chip of a cut from what it takes; ``None`` where tool or feed are not known or nothing can be reckoned."""
    fitted, feed = scene.machine.fitted, scene.machine.feeds.get(act.handle)
    if fitted is None or feed is None or not 0 < feed.low_mm_rev <= feed.high_mm_rev or dia_mm <= 0:
        return None
    by_tool = fitted.tool.kind not in BY_DEPTH or is_edge(act.surface)
    width = depth_mm
    if by_tool and fitted.tool.kind not in _BLADES:
        width = hypot(extent_mm(bite.taken, Point(1.0, 0.0)), extent_mm(bite.taken, Point(0.0, 1.0)))
    return Chip(
        tool=fitted.tool,
        width_mm=max(0.0, width - DEPTH_SLACK_MM),
        by_tool=by_tool,
        dia_mm=dia_mm,
        at_mm=bounds_mm(bite.taken_before_nose)[2],
        feed=feed,
    )


def chip_loads(scene: Scene, chip: Chip) -> Iterator[Load]:
    """Everything that a cut asks of drive, holding and edge."""
    case, machine = scene.case, scene.machine
    if case.material is None or machine.speed is None or chip.width_mm <= 0:
        return
    metal, feed = case.material.key, chip.feed
    most = most_feed_mm_rev(case.material, finishing=chip.by_tool)
    if most is not None:
        yield coarse_feed(feed.high_mm_rev, most, what=f"coarsest feed of the table for {case.material.name}")
    if not force_models(case.material):
        return
    force = chip.width_mm * _worn_n(metal, chip.process, chip.tool.edge, chip.angle_deg, feed.high_mm_rev)
    yield from drive_loads(
        case.lathe,
        machine,
        power_asked_w=power_w(
            force,
            cutting_speed_m_min=cutting_speed_m_min(fastest_rpm(case.lathe, machine.speed), cut_dia_mm=chip.dia_mm),
        ),
        torque_asked_nm=torque_nm(force, cut_dia_mm=chip.dia_mm),
    )
    if chip.by_tool:
        return
    mean = (feed.low_mm_rev + feed.high_mm_rev) / 2.0
    quiet = quiet_depth_mm(
        _stiffness_n_um(case, machine, chip, case.material),
        damping_ratio=BAR_DAMPING if chip.tool.kind is ToolKind.BORING else TOOL_DAMPING,
        kc_n_mm2=_sharp_n(metal, mean) / mean,
    )
    yield Load(
        code=RefusalCode.CHATTERS,
        asked=chip.width_mm,
        allowed=quiet,
        unit="mm",
        what="depth before the bar chatters" if chip.tool.kind is ToolKind.BORING else "depth before it chatters",
        remedy="take less at a time, or let work and tool stand out less",
    )
    mean = mean_chip_mm(
        chip.width_mm + DEPTH_SLACK_MM,
        feed_mm_rev=chip.feed.low_mm_rev,
        nose_radius_mm=chip.tool.nose_radius_mm,
        entering_angle_deg=chip.tool.entering_deg,
    )
    yield Load(
        code=RefusalCode.CHIP_TOO_THIN,
        asked=THIN_CHIP * least_chip_mm(chip.tool.edge_radius_um),
        allowed=mean,
        unit="mm",
        what="mean thickness of its chip: thinner than the former the edge rubs",
        too="too thin",
        remedy="a coarser feed, a deeper cut, or a sharper edge",
    )


def drive_loads(lathe: Lathe, machine: Machine, *, power_asked_w: float, torque_asked_nm: float) -> Iterator[Load]:
    """What a power and a torque at the spindle ask of motor, belt and holding. [W, N m]"""
    listed = listed_speed(lathe, machine)
    power = lathe.motor_power_w * lathe.drive_efficiency if listed is None else listed_power_w(lathe, listed)
    yield Load(
        code=RefusalCode.POWER_EXCEEDED,
        asked=power_asked_w,
        allowed=power,
        unit="W",
        what=f"power that arrives at the spindle of {lathe.motor_power_w:g} W at the motor",
        remedy="take less at a time, a finer feed, or a slower speed",
    )
    if listed is not None and listed.torque_limit_nm is not None:
        yield Load(
            code=RefusalCode.TORQUE_EXCEEDED,
            asked=torque_asked_nm,
            allowed=listed.torque_limit_nm,
            unit="N m",
            what=f"torque that the drive bears at {listed.position}",
            remedy="take less at a time, or a position that bears more",
        )
    if machine.grip_torque_nm > 0:
        yield Load(
            code=RefusalCode.GRIP_SLIPS,
            asked=torque_asked_nm,
            allowed=machine.grip_torque_nm,
            unit="N m",
            what="torque at which the ring may begin to slip in its holding",
            remedy="take less at a time, or grip harder where the ring bears it",
        )


def listed_speed(lathe: Lathe, machine: Machine) -> SpindleSpeed | None:
    """Speed of the lathe's list that is set; ``None`` if it is none of them."""
    set_to = machine.speed
    if set_to is None:
        return None
    return next((one for one in lathe.speeds if (one.rpm, one.position) == (set_to.rpm, set_to.position)), None)


def most_feed_mm_rev(metal: Material, *, finishing: bool) -> float | None:
    """Coarsest feed of a metal's table, but never below its least; ``None`` if the tables have none. [mm/rev]"""
    most, least = metal.find("feed_finish" if finishing else "feed_rough"), metal.find("min_feed")
    return None if most is None else max(most.most, 0.0 if least is None else least.most)


def coarse_feed(feed_mm_rev: float, most_mm_rev: float, *, what: str) -> Load:
    """The coarse end of a feed beside the coarsest that is allowed. [mm/rev]"""
    return Load(
        code=RefusalCode.FEED_TOO_COARSE,
        asked=feed_mm_rev,
        allowed=most_mm_rev,
        unit="mm/rev",
        what=what,
        remedy="set a finer feed",
    )


def check_loads(scene: Scene, doing: str, loads: Iterator[Load]) -> None:
    """Refuse every limit that is passed, with what is asked, what is allowed, and by how much it is too much."""
    for load in loads:
        if not load.is_kept:
            scene.refuse(load.code, f"{doing}: {load.words}")


def bending(scene: Scene, chip: Chip) -> tuple[float, float]:
    """Force of a turning tool or a boring bar, and what it bends the diameter by, at most; 0 if unknown. [N, mm]"""
    case, tool = scene.case, chip.tool
    if chip.by_tool or chip.width_mm <= 0 or case.material is None or not force_models(case.material):
        return 0.0, 0.0
    feed = chip.feed.high_mm_rev
    force = chip.width_mm * _worn_n(case.material.key, chip.process, tool.edge, chip.angle_deg, feed)
    passive = radial_ratio(chip.width_mm, tool.nose_radius_mm, tool.entering_deg).most * force
    stiffness = _static_n_um(case, scene.machine, chip, case.material)
    return force, radial_error_dia_mm(passive, stiffness_n_um=stiffness)


def _stiffness_n_um(case: Case, machine: Machine, chip: Chip, metal: Material) -> float:
    """Stiffness that the limit of chatter goes by: what the shop has heard scales it. [N/µm]"""
    return chatter_factor(case.shop, learner_of(chip.tool)) * _static_n_um(case, machine, chip, metal)


def _static_n_um(case: Case, machine: Machine, chip: Chip, metal: Material) -> float:
    """Stiffness at the edge: that of the boring bar as it stands out, or of the work from what holds it. [N/µm]

    Of a metal whose modulus nobody gives the machine's own stays: the work makes it no stiffer.
    """
    own, holding, work = case.lathe.tool_stiffness_n_um, machine.holding, machine.work
    if chip.tool.kind is ToolKind.BORING:
        if chip.tool.bar_dia_mm <= 0:
            return own
        return overhang_stiffness_n_um(
            own, length_mm=chip.tool.reach_mm, dia_mm=chip.tool.bar_dia_mm, e_n_mm2=STEEL_N_MM2
        )
    modulus = metal.find("e_modulus")
    if holding is None or work is None or modulus is None:
        return own
    on_bar = machine.side is Side.FRONT and machine.stock is not None
    dia, bore = 2.0 * work.box[3], 0.0
    if on_bar and machine.stock is not None:
        dia, bore = float(machine.stock.dia_mm), float(machine.stock.bore_mm)
    return overhang_stiffness_n_um(
        own,
        length_mm=chip.at_mm - holding.jaw_face_mm,
        dia_mm=dia,
        bore_dia_mm=bore,
        e_n_mm2=1000.0 * modulus.least,
    )


@lru_cache(maxsize=_FORCES_KEPT)
def _worn_n(metal: str, process: Process, edge: Edge, angle_deg: float, feed_mm_rev: float) -> float:
    """Force of a worn edge for a chip 1 mm wide: limits of drive and holding go by it. [N]"""
    return worn_force_band(
        force_models(material(metal)),
        width_mm=1.0,
        feed_mm_rev=feed_mm_rev,
        process=process,
        hss=edge is Edge.HSS,
        entering_angle_deg=angle_deg,
    ).ruling_n


@lru_cache(maxsize=_FORCES_KEPT)
def _sharp_n(metal: str, feed_mm_rev: float) -> float:
    """Force of a sharp edge for a chip 1 mm wide: chatter goes by it. [N]"""
    return force_band(force_models(material(metal)), depth_mm=1.0, feed_mm_rev=feed_mm_rev).ruling_n
