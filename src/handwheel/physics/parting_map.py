"""Parting off at every speed and feed that can be set: which limit is passed where, and which point is best."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within
from handwheel.domain.lathe import SpindleSpeed
from handwheel.physics.blade import Blade, blade_stable_width_mm, sinking_mm, wandering_mm
from handwheel.physics.drive import spindle_torque, stall_margin
from handwheel.physics.force import ForceFactors, ForceOpinion
from handwheel.physics.parting import parting_force_band, parting_time_s
from handwheel.physics.power import torque_nm
from handwheel.physics.speed import cutting_speed_m_min
from handwheel.physics.stability import DAMPED_BELOW_M_MIN

MOST_WANDERING_MM = 0.1
"""How far a blade may bend sideways at most: a third of a usual back allowance; own choice. [mm]"""
MOST_SINKING_MM = 0.1
"""How far a tip may sink at most, which leaves a pip of twice that; own choice. [mm]"""
_NO_MORE = 1.0 + 1e-9
"""A share that floats may tell from a whole by no more than this."""


class PartingLimit(Enum):
    """What keeps a speed and feed from being set."""

    STALL = "the lathe stalls: power, belt or grip"
    SINGS = "the blade sings"
    WANDERS = "the blade bends sideways"
    SINKS = "the blade sinks"
    RUBS = "below the least feed of the metal"
    COARSE = "coarser than the table's feeds"
    FAST = "faster than metal and edge bear"
    HAND = "faster than a hand can wind"


class PartingSetup(Struct, frozen=True, kw_only=True):
    """What is parted, with which blade, on what lathe.

    Parameters
    ----------
    outer_dia_mm, end_dia_mm : float
        From where to where the blade goes; 0 for a solid bar. [mm]
    blade : Blade
        The blade.
    opinions : tuple of ForceOpinion
        What the sources say of the metal's force; the upper end rules.
    push_ratio : float
        Radial (feed) force as a share of the cutting force: 0.3 to 0.5.
    least_feed_mm_rev : float
        Feed below which the metal is only rubbed, the upper end of what is said. [mm/rev]
    most_feed_mm_rev : float
        Coarsest feed of the metal's table. [mm/rev]
    most_speed_m_min : float
        Cutting speed that metal and edge bear in parting. [m/min]
    power_w : float
        Power at the spindle. [W]
    machine_n_um : float
        Stiffness between toolpost and work. [N/µm]
    direction_factor : float
        Directional factor of chatter.
    heard_factor : float
        How many times the reckoned limit of chatter a blade bears by what was heard; 0 if nobody has heard one. Once it
        was heard, the limit counts at every speed.
    grip_torque_nm : float
        Torque at which the work slips in its holding; 0 if nobody has reckoned it. [N m]
    hand_mm_min : float
        How far a hand can wind the slide in a minute; 0 if the gearbox feeds. [mm/min]
    factors : ForceFactors
        Corrections of the force for edge and wear.
    most_wandering_mm, most_sinking_mm : float
        How far the blade may bend sideways, and its tip sink. [mm]
    """

    outer_dia_mm: float
    end_dia_mm: float
    blade: Blade
    opinions: tuple[ForceOpinion, ...]
    push_ratio: float
    least_feed_mm_rev: float
    most_feed_mm_rev: float
    most_speed_m_min: float
    power_w: float
    machine_n_um: float
    direction_factor: float
    heard_factor: float = 0.0
    grip_torque_nm: float = 0.0
    hand_mm_min: float = 0.0
    factors: ForceFactors = ForceFactors()
    most_wandering_mm: float = MOST_WANDERING_MM
    most_sinking_mm: float = MOST_SINKING_MM

    def __post_init__(self) -> None:
        """Refuse a setup that cannot part."""
        require_positive("outer_dia_mm", self.outer_dia_mm, unit="mm")
        require_within("push_ratio", self.push_ratio, low=0.0, high=2.0, unit="(ratio)")
        require_within("least_feed_mm_rev", self.least_feed_mm_rev, low=0.0, high=self.most_feed_mm_rev, unit="mm/rev")
        for name in ("least_feed_mm_rev", "most_speed_m_min", "power_w", "machine_n_um", "direction_factor"):
            require_positive(name, getattr(self, name), unit="")


class PartingPoint(Struct, frozen=True, kw_only=True):
    """One speed and feed: how much of each limit it takes up, and what it costs.

    ``shares`` are in the order of `PartingLimit`; above 1 the limit is passed. ``force_n`` is the upper end, worn.
    ``passed`` is the limit passed by most, ``None`` where all are kept. ``may_sing`` says that only the damping of the
    flank, which nobody has reckoned, keeps the blade quiet.
    """

    speed: SpindleSpeed
    feed_mm_rev: float
    force_n: float
    time_s: float
    shares: tuple[tuple[PartingLimit, float], ...]
    may_sing: bool

    @property
    def all_passed(self) -> tuple[PartingLimit, ...]:
        """Every limit that is passed."""
        return tuple(limit for limit, share in self.shares if share > _NO_MORE)

    @property
    def passed(self) -> PartingLimit | None:
        """Limit that is passed by most; what a hand cannot wind counts where nothing else forbids."""
        passed = self.all_passed
        others = [pair for pair in self.shares if pair[0] in passed and pair[0] is not PartingLimit.HAND]
        return max(others, key=lambda pair: pair[1])[0] if others else next(iter(passed), None)

    @property
    def tightest(self) -> tuple[PartingLimit, float]:
        """Limit that is taken up most, with its share."""
        return max(self.shares, key=lambda pair: pair[1])


class PartingMap(Struct, frozen=True, kw_only=True):
    """Every point, slowest speed first and of each the finest feed first; and the best, ``None`` if none keeps all."""

    setup: PartingSetup
    points: tuple[PartingPoint, ...]
    best: PartingPoint | None

    def at(self, speed: SpindleSpeed, feed_mm_rev: float) -> PartingPoint:
        """Point of a speed and feed; raises `KeyError` if it was not asked for."""
        for point in self.points:
            if point.speed == speed and point.feed_mm_rev == feed_mm_rev:
                return point
        raise KeyError((speed.position, feed_mm_rev))


def parting_map(setup: PartingSetup, *, speeds: Sequence[SpindleSpeed], feeds: Sequence[float]) -> PartingMap:
    r"""Judge every speed with every feed, and name the quickest that keeps all limits.

    .. math:: t = \frac{60 (D - d)}{2 f n}, \quad F = 1.3\,k_c w f, \quad
        \max\!\left(\frac{F v}{60 P}, \frac{F D}{2000 M}, \frac{w}{b_{lim}}, \frac{y}{y_{max}}, \frac{f_{min}}{f},
        \frac{f}{f_{max}}, \frac{v}{v_{max}}\right) \le 1

    Parameters
    ----------
    setup : PartingSetup
        Work, blade, metal and lathe.
    speeds : sequence of SpindleSpeed
        n speeds that can be set.
    feeds : sequence of float
        m feeds that can be set or kept by hand, mm/rev.

    Returns
    -------
    PartingMap
        n times m points. The best is the quickest, of equal ones that of the smaller force.

    Raises
    ------
    OutOfRangeError
        If there is no speed or feed, or a value is outside the range of the functions it is built of.

    Notes
    -----
    All is judged at the outside, where force is moved fastest; to the centre only the clearance gets worse
    (`handwheel.physics.tool_height`). The blade's chatter counts as a limit above `DAMPED_BELOW_M_MIN` alone: below it
    the flank damps by an amount not reckoned, and the point only says that it may sing.

    References
    ----------
    [DIETRICH] for the force, from memory; [ALTINTAS] for chatter, from memory; [BANSAL] for bending.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> c45 = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
    >>> setup = PartingSetup(
    ...     outer_dia_mm=22.0,
    ...     end_dia_mm=17.0,
    ...     blade=Blade(width_mm=2.0, height_mm=10.0, reach_mm=6.0),
    ...     opinions=(c45,),
    ...     push_ratio=0.5,
    ...     least_feed_mm_rev=0.03,
    ...     most_feed_mm_rev=0.12,
    ...     most_speed_m_min=21.0,
    ...     power_w=280.0,
    ...     machine_n_um=8.0,
    ...     direction_factor=0.5,
    ... )
    >>> slow, fast = (SpindleSpeed(rpm=rpm, position=f"{rpm}") for rpm in (210.0, 360.0))
    >>> found = parting_map(setup, speeds=(slow, fast), feeds=(0.02, 0.05))
    >>> [point.passed and point.passed.name for point in found.points]
    ['RUBS', None, 'RUBS', 'FAST']
    >>> found.best.feed_mm_rev, round(found.best.time_s, 1), found.best.may_sing
    (0.05, 14.3, True)
    """
    if not speeds or not feeds:
        msg = "speeds, feeds: got none of one, a choice needs both; list what the lathe has and what a hand keeps"
        raise OutOfRangeError(msg)
    points = tuple(
        _point(setup, speed, feed) for speed in sorted(speeds, key=lambda each: each.rpm) for feed in sorted(feeds)
    )
    kept = [point for point in points if point.passed is None]
    best = min(kept, key=lambda point: (point.time_s, point.force_n), default=None)
    return PartingMap(setup=setup, points=points, best=best)


def _point(setup: PartingSetup, speed: SpindleSpeed, feed_mm_rev: float) -> PartingPoint:
    blade = setup.blade
    surface = cutting_speed_m_min(speed.fastest_rpm, cut_dia_mm=setup.outer_dia_mm)
    worn = _force_n(setup, feed_mm_rev, setup.factors)
    sharp = _force_n(setup, feed_mm_rev, replace(setup.factors, wear=1.0, speed=1.0))
    stable = blade_stable_width_mm(
        blade,
        machine_n_um=setup.machine_n_um,
        kc_n_mm2=sharp / (blade.width_mm * feed_mm_rev),
        direction_factor=setup.direction_factor,
    )
    sings = blade.width_mm / (stable * (setup.heard_factor or 1.0))
    damped = surface < DAMPED_BELOW_M_MIN and setup.heard_factor == 0
    shares = (
        (PartingLimit.STALL, _stall_share(setup, speed, worn)),
        (PartingLimit.SINGS, 0.0 if damped else sings),
        (PartingLimit.WANDERS, _wandering_share(setup, worn)),
        (PartingLimit.SINKS, sinking_mm(blade, force_n=worn) / setup.most_sinking_mm),
        (PartingLimit.RUBS, setup.least_feed_mm_rev / feed_mm_rev),
        (PartingLimit.COARSE, feed_mm_rev / setup.most_feed_mm_rev),
        (PartingLimit.FAST, surface / setup.most_speed_m_min),
        (PartingLimit.HAND, feed_mm_rev * speed.rpm / setup.hand_mm_min if setup.hand_mm_min > 0 else 0.0),
    )
    time_s = parting_time_s(
        setup.outer_dia_mm, bore_dia_mm=setup.end_dia_mm, feed_mm_rev=feed_mm_rev, speed_rpm=speed.rpm
    )
    return PartingPoint(
        speed=speed,
        feed_mm_rev=feed_mm_rev,
        force_n=worn,
        time_s=time_s,
        shares=shares,
        may_sing=damped and sings > 1.0,
    )


def _force_n(setup: PartingSetup, feed_mm_rev: float, factors: ForceFactors) -> float:
    return parting_force_band(
        setup.opinions, blade_width_mm=setup.blade.width_mm, feed_mm_rev=feed_mm_rev, factors=factors
    ).ruling_n


def _stall_share(setup: PartingSetup, speed: SpindleSpeed, force_n: float) -> float:
    needed = torque_nm(force_n, cut_dia_mm=setup.outer_dia_mm)
    drive = spindle_torque(
        setup.power_w,
        efficiency=1.0,
        speed_rpm=speed.fastest_rpm,
        torque_limit_nm=speed.torque_limit_nm,
        full_power_rpm=speed.full_power_rpm or None,
    )
    by_drive = 1.0 / stall_margin(needed, available=drive)
    return max(by_drive, needed / setup.grip_torque_nm) if setup.grip_torque_nm > 0 else by_drive


def _wandering_share(setup: PartingSetup, force_n: float) -> float:
    if setup.push_ratio == 0:
        return 0.0
    return wandering_mm(setup.blade, push_n=setup.push_ratio * force_n) / setup.most_wandering_mm
