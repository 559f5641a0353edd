"""Between which bounds the lathes, gauges and tasks of a rehearsal are drawn."""

from __future__ import annotations

from math import inf

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.errors import OutOfRangeError, require_positive
from handwheel.sim.spreads import Bell, Blend, Even, Part, fixed, one_of

AnySpread = Even | Bell | Blend

INCH_MARK_MM = 0.0254
"""A thousandth of an inch of slide travel. [INCH]"""
METRIC_RING = 0.016
"""A mark of 0.001 in (0.0254 mm) behind a ring engraved for 0.025 mm: 1.6 % more than it says. [INCH]"""
TOUCH_SD_MM = 0.010
"""Spread of a touch on slide travel: ink, a slip of paper or a faint scratch; common practice, no source. [mm]"""
BLANK_SD_DIA_MM = 0.02
"""How well the diameter is known before the first cut: a caliper; common practice, no source. [mm]"""
MICROMETER_SPREAD_MM = Even(0.004, 0.010)
"""Standard deviation of one reading of a micrometer or a three-point gauge, from hand to hand. [mm]"""
TELESCOPING_SPREAD_MM = Even(0.010, 0.025)
"""Standard deviation of one reading by a telescoping gauge, from hand to hand. [mm]"""
SMALLEST_DRAWN_MARK_MM = 0.005
"""Marks are never drawn finer than this; own judgement. [mm]"""


class Envelope(Struct, frozen=True, kw_only=True):
    """What the lathes of a rehearsal may be like. The defaults are the envelope by which advice is judged.

    A spread (`Even`, `Bell`, `Blend`) is drawn once a lathe; what is drawn anew in every act says so. To rehearse one
    lathe, replace the spreads by narrower ones: ``replace(DEFAULT, mark_mm=fixed(0.02))``. Lengths of dial and tip are
    slide travel (radius); those whose names say ``_dia`` and all of the gauge's are diameters. Where no source is
    named the figure is the project's own statement of what small lathes are like (common practice, no source).

    Parameters
    ----------
    inside_share : float
        Share of bores; the rest are outsides.
    target_dia_mm, tolerance_mm : spread
        Diameter wanted, and how far it may be off either way. [mm]
    to_remove_mm : spread
        Metal on the radius that is to go, by the nominal size of the blank. [mm]
    blank_dia_mm : spread
        True diameter of the blank less its nominal one. [mm]
    mark_mm, top_mark_mm : spread
        Slide travel of one mark of the cross-slide and of the top slide (nothing: the same dial on both). [mm]
    marks_per_turn : spread
        Divisions of a dial; marks per turn times mark is the lead.
    rate : spread
        What a mark moves more than it says, as a share; cross-slide and top slide each have their own.
    ring : spread
        The same from a ring that is not made for its screw; both slides of a lathe have the same.
    periodic_mm : spread
        Greatest departure within a turn of the screw (a sine of the lead, any phase). [mm]
    slack_mm : spread
        Lost motion of a screw. [mm]
    setting_share : spread
        Standard deviation of a setting, parallax and all, in halves of a mark; the departure is drawn at each setting.
    touch_sd_mm : float
        Standard deviation of a touch, drawn at each. [mm]
    fine_ratio : float
        Infeed for travel of the swung top slide, as it is meant.
    angle_error_deg : spread
        What the swung slide's angle is off, drawn at each swing. [deg]
    spring_share, spring_scatter : spread
        Share of the depth that tool and work spring away; standard deviation of that at each cut, as a share of it.
    force_exponent, force_depth_mm : float
        Spring grows with depth to this power; at that depth the share is as given. [mm]
    least_chip_mm : spread
        Depth below which the edge rubs. [mm]
    rub_take : Even
        Share of the depth that a rubbing edge takes, drawn at each cut.
    wear_mm : spread
        What the tip recedes at each cut. [mm]
    built_up_sd_mm : float
        Standard deviation of the tip's place by built-up edge, drawn at each cut. [mm]
    warm_dia_mm, warm_share : spread, Even
        Growth of the diameter under steady cutting; share of the way there of one cut, drawn at each. [mm]
    time_constant_s : spread
        Time in which the growth falls to 37 %. [s]
    start_warm : spread
        Growth at the start, as a share of ``warm_dia_mm``.
    gauge_bias_mm, gauge_spread_mm : spread
        What a gauge reads too much; standard deviation of a reading. [mm]
    gauge_step_mm : float
        Readings are whole multiples of this; 0 for no rounding. [mm]
    misread_chance, misread_mm : float
        Share of readings that are off by so much, either way: a turn of the thimble. [mm]
    tail_dof : float
        Degrees of freedom of Student's t for the readings; infinite for normal ones. The standard deviation stays.
    oval_dia_mm, lobes_dia_mm : spread
        Half of largest less smallest diameter; what three lobes take off the size that fits. [mm]
    gauge_points : int
        Contacts of the gauge: two see the ovality and no odd lobes, three see three lobes and no ovality.
    drift_mm : spread
        What the tip moves at each cut for no reason the operator knows of; positive recedes. [mm]
    gib_chance, gib_sd_mm : float
        Share of cuts in which a loose gib lets the slide jump, and the standard deviation of a jump. [mm]
    """

    inside_share: float = 0.5
    target_dia_mm: AnySpread = Even(17.0, 30.0)
    tolerance_mm: AnySpread = fixed(0.025)
    to_remove_mm: AnySpread = Even(0.5, 1.5)
    blank_dia_mm: AnySpread = Bell(0.0, BLANK_SD_DIA_MM)
    mark_mm: AnySpread = Blend((Part(2 / 3, Even(0.02, 0.05)), Part(1 / 3, fixed(INCH_MARK_MM))))
    top_mark_mm: AnySpread | None = None
    marks_per_turn: AnySpread = one_of(40, 50, 60, 80, 100)
    rate: AnySpread = Bell(0.0, 0.004)
    ring: AnySpread = Blend(
        (Part(29 / 30, fixed(0.0)), Part(1 / 60, fixed(METRIC_RING)), Part(1 / 60, fixed(-METRIC_RING)))
    )
    periodic_mm: AnySpread = Even(0.0, 0.008)
    slack_mm: AnySpread = Even(0.03, 0.5)
    setting_share: AnySpread = Even(0.15, 0.4)
    touch_sd_mm: float = TOUCH_SD_MM
    fine_ratio: float = 0.1
    angle_error_deg: Even | Bell = Even(-0.3, 0.3)
    spring_share: AnySpread = Even(0.02, 0.25)
    spring_scatter: AnySpread = Even(0.02, 0.12)
    force_exponent: float = 1.0
    force_depth_mm: float = 0.1
    least_chip_mm: AnySpread = Even(0.004, 0.030)
    rub_take: Even = Even(0.0, 0.5)
    wear_mm: AnySpread = fixed(0.0006)
    built_up_sd_mm: float = 0.0015
    warm_dia_mm: AnySpread = Even(0.0, 0.022)
    warm_share: Even = Even(0.5, 1.0)
    time_constant_s: AnySpread = Even(60.0, 240.0)
    start_warm: AnySpread = fixed(0.0)
    gauge_bias_mm: AnySpread = Bell(0.0, 0.002)
    gauge_spread_mm: AnySpread = MICROMETER_SPREAD_MM
    gauge_step_mm: float = 0.001
    misread_chance: float = 1 / 250
    misread_mm: float = 0.5
    tail_dof: float = inf
    oval_dia_mm: AnySpread = fixed(0.0)
    lobes_dia_mm: AnySpread = fixed(0.0)
    gauge_points: int = 2
    drift_mm: AnySpread = fixed(0.0)
    gib_chance: float = 0.0
    gib_sd_mm: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what no lathe and no reading can be."""
        for name in ("inside_share", "misread_chance", "gib_chance"):
            _require_share(name, getattr(self, name))
        if self.tail_dof <= _LEAST_DOF:
            msg = f"tail_dof: got {self.tail_dof:g}, must be above 2 for readings to have a standard deviation; give 3"
            raise OutOfRangeError(msg)
        if self.gauge_points not in (2, 3):
            msg = f"gauge_points: got {self.gauge_points}, must be 2 or 3"
            raise OutOfRangeError(msg)
        require_positive("fine_ratio", self.fine_ratio, unit="(ratio)")
        require_positive("force_depth_mm", self.force_depth_mm, unit="mm")

    def widened(self, factor: float) -> Envelope:
        """The same lathes and gauges, so many times as different from each other.

        Widths and standard deviations are multiplied, about their middle; where a width would reach below what can
        be (no slack, no spring) it starts there and is as wide all the same. Shares of odd things (misreads, wrong
        rings) are multiplied. The task (target, tolerance, metal to remove) stays.

        Parameters
        ----------
        factor : float
            How many times as wide; 1 changes nothing.

        Returns
        -------
        Envelope
            The wider envelope.

        Raises
        ------
        OutOfRangeError
            If the factor is not above 0.

        Examples
        --------
        >>> DEFAULT.widened(2.0).slack_mm
        Even(low=0.0, high=0.94)
        """
        require_positive("factor", factor, unit="(times)")
        spreads = {
            name: getattr(self, name).widened(factor, floor=floor, ceiling=ceiling)
            for name, (floor, ceiling) in _WIDER.items()
            if getattr(self, name) is not None
        }
        sizes = {name: factor * getattr(self, name) for name in _LARGER}
        shares = {name: min(factor * getattr(self, name), 1.0) for name in ("misread_chance", "gib_chance")}
        worn = {name: getattr(self, name).times(factor) for name in ("wear_mm", "drift_mm")}
        return replace(self, **spreads, **sizes, **shares, **worn, ring=_oftener(self.ring, factor))


_LEAST_DOF = 2.0
_WIDER = {
    "blank_dia_mm": (-inf, inf),
    "mark_mm": (SMALLEST_DRAWN_MARK_MM, inf),
    "top_mark_mm": (SMALLEST_DRAWN_MARK_MM, inf),
    "rate": (-inf, inf),
    "periodic_mm": (0.0, inf),
    "slack_mm": (0.0, inf),
    "setting_share": (0.0, inf),
    "angle_error_deg": (-inf, inf),
    "spring_share": (0.0, 0.6),
    "spring_scatter": (0.0, inf),
    "least_chip_mm": (0.0, inf),
    "rub_take": (0.0, 1.0),
    "warm_dia_mm": (0.0, inf),
    "warm_share": (0.0, 1.0),
    "time_constant_s": (20.0, inf),
    "gauge_bias_mm": (-inf, inf),
    "gauge_spread_mm": (0.0, inf),
    "oval_dia_mm": (0.0, inf),
    "lobes_dia_mm": (0.0, inf),
}
"""Spreads that `Envelope.widened` makes wider, with the bounds of what can be (own judgement)."""
_LARGER = ("touch_sd_mm", "built_up_sd_mm", "gib_sd_mm")
"""Standard deviations that it multiplies."""


def _require_share(name: str, value: float) -> None:
    """Raise `OutOfRangeError` unless the value lies between 0 and 1."""
    if not 0.0 <= value <= 1.0:
        msg = f"{name}: got {value:g}, must be a share between 0 and 1; correct it"
        raise OutOfRangeError(msg)


def _oftener(ring: AnySpread, factor: float) -> AnySpread:
    """Wrong rings on more of the lathes; the first part of the blend are the right ones."""
    if not isinstance(ring, Blend):
        return ring
    right, *wrong = ring.parts
    often = min(factor, 1.0 / (1.0 - right.share)) if right.share < 1.0 else 1.0
    more = tuple(Part(often * part.share, part.spread) for part in wrong)
    return Blend((Part(1.0 - sum(part.share for part in more), right.spread), *more))


DEFAULT = Envelope()
"""The envelope by which advice is judged, with a gauge of the micrometer class."""
TELESCOPING = replace(DEFAULT, gauge_spread_mm=TELESCOPING_SPREAD_MM)
"""The same with a telescoping gauge."""
HEAVY_TAILED = replace(DEFAULT, tail_dof=3.0)
"""Structurally wrong for a normal belief: readings by Student's t with three degrees of freedom."""
DRIFTING = replace(DEFAULT, drift_mm=Even(-0.003, 0.003))
"""Structurally wrong for a steady tip: it creeps up to 3 µm a cut, either way."""
LOOSE_GIB = replace(DEFAULT, gib_chance=0.15, gib_sd_mm=0.010)
"""Structurally wrong for a steady slide: in every seventh cut it jumps by some 10 µm and stays there."""
