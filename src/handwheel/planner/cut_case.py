"""What one step asks of a cut, what can be set for it, and the schedule that comes of it."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from handwheel.data.speeds import CutKind
from handwheel.domain.acts import FeedKind
from handwheel.domain.lathe import PowerFeed, SpindleSpeed
from handwheel.domain.motion import Handle
from handwheel.domain.part import Units
from handwheel.domain.remedies import Remedy
from handwheel.domain.slides import Slide
from handwheel.domain.tools import Tool
from handwheel.physics.force import ForceEstimate, Process
from handwheel.physics.quiet_cut import TOOL_DAMPING

SOFTER = "a slower speed, a tool that takes a narrower chip, or a stiffer set-up; enter it in the shop file"


class FeedDrive(Struct, frozen=True, kw_only=True):
    """The handle that feeds a pass: its slide, and the gearbox's feeds for it (none: by hand alone)."""

    slide: Slide
    power: tuple[PowerFeed, ...] = ()

    @property
    def handle(self) -> Handle:
        """Handle that feeds."""
        return self.slide.handle


class Eased(Struct, frozen=True, kw_only=True):
    """How much a cut may ask where a gentler one is wanted: a share of each limit, and a force at most. [1, N]

    ``unusual`` allows what a person would rather not set (`handwheel.planner.feeds.is_unusual`).
    """

    share: float
    force_n: float
    unusual: bool = False


class Bending(Struct, frozen=True, kw_only=True):
    """What bends while a diameter gets its size: the tolerance of that [mm], what gives way across it [N/µm]."""

    tolerance_mm: float
    stiffness_n_um: float


class CutCase(Struct, frozen=True, kw_only=True):
    """What one step asks: how much metal, along which way, with what, under which limits.

    Parameters
    ----------
    total_mm : float
        Thickness to be taken off, square to the surface (a radius for turning and boring). [mm]
    step_mm : float
        Thickness of the smallest depth that can be set. [mm]
    way_mm : float
        Slide travel of one pass. [mm]
    large_dia_mm : float
        Largest diameter that is cut. [mm]
    equal_passes : int
        Exact number of (equal) passes, 0 if free.
    width_mm : float
        Width of the chip if the tool settles it (blade, edge tool), else 0: then the depth does.
    stiffness_n_um, damping : float
        Flexible side of the cut, for chatter. [N/µm, 1]
    roughness_um : float
        Mean roughness that a finishing pass must not exceed (ideal Ra of feed and nose), 0 if none is asked. [µm]
    max_rpm : float
        What the holding bears. [rev/min]
    bending : Bending or None
        What the two last cuts on a diameter had better not bend too far; ``None`` for all others.
    grip_torque_nm : float
        Torque at which the work may begin to slip in its holding, 0 if nobody has reckoned it. [N m]
    units : Units
        Units in which a refusal tells lengths first.
    eased : Eased or None
        What a gentler cut may ask, ``None`` for the quickest within the limits.
    """

    name: str
    cut: CutKind
    process: Process
    tool: Tool
    drive: FeedDrive
    total_mm: float
    step_mm: float
    way_mm: float
    large_dia_mm: float
    max_rpm: float
    stiffness_n_um: float
    damping: float = TOOL_DAMPING
    equal_passes: int = 0
    width_mm: float = 0.0
    roughness_um: float = 0.0
    grip_torque_nm: float = 0.0
    bending: Bending | None = None
    units: Units = Units.MM
    eased: Eased | None = None


class Feed(Struct, frozen=True, kw_only=True):
    """A feed that exists: of the gearbox, or a band by hand with its pace in seconds for one turn of the handle."""

    kind: FeedKind
    low_mm_rev: float
    high_mm_rev: float
    position: str = ""
    pace_fast_s: float = 0.0
    pace_slow_s: float = 0.0

    @property
    def mean_mm_rev(self) -> float:
        """Feed by which times are reckoned. [mm/rev]"""
        return (self.low_mm_rev + self.high_mm_rev) / 2.0


class Load(Struct, frozen=True, kw_only=True):
    """Share of a limit that a cut takes up; the limit in the words that a reason has for it. [1]"""

    limit: str
    share: float


class Schedule(Struct, frozen=True, kw_only=True):
    """The chosen passes of one step.

    ``depth_steps`` are whole steps of the dial, first pass first; ``pass_s`` the time of one pass [s]; ``force`` the
    band of the cutting force at the deepest pass; ``binds`` the limit that keeps the next better choice away,
    ``loads`` how much of each limit the deepest pass takes up, ``unusual`` whether a person would rather not set it,
    ``edges`` how many edges all passes use up, ``case`` what was asked for (none for drills and reamers).
    """

    depth_steps: tuple[int, ...]
    speed: SpindleSpeed
    feed: Feed
    cutting_speed_m_min: float
    pass_s: float
    force: ForceEstimate
    power_w: float
    torque_nm: float
    binds: str
    total_ms: int
    loads: tuple[Load, ...] = ()
    unusual: bool = False
    edges: float = 0.0
    case: CutCase | None = None


class NoSchedule(Struct, frozen=True, kw_only=True):
    """Why no pass can be set, and what would change that: in words, and as whole things to be tried.

    ``offer`` makes those things, only when somebody asks; ``most_mm`` is the depth or width that would be possible, as
    far as it got, ``bears_mm`` the greatest depth that any speed and feed bears where each bears too little, and
    ``straight_mm`` the same with the bending kept too. [mm]
    """

    code: str
    why: str
    remedy: str = SOFTER
    offer: Callable[[], tuple[Remedy, ...]] = tuple
    most_mm: float = 0.0
    bears_mm: float = 0.0
    straight_mm: float = 0.0

    @property
    def remedies(self) -> tuple[Remedy, ...]:
        """Whole things that would help, each on its own."""
        return self.offer()


CaseResult = Schedule | NoSchedule


Schedules = dict[CutCase, CaseResult]
"""Answers of one lathe, its habits and one metal that have been worked out."""
