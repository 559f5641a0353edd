"""One size being approached: what is wanted, by which scales, with which gauge, how deep a cut may be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.bench.each import chosen
from handwheel.data.priors import prior_rows
from handwheel.domain.beliefs import Quantity
from handwheel.domain.errors import require_positive

if TYPE_CHECKING:
    from handwheel.bench.each import Each, Truth

FAR_CHANCE = 0.01
"""Chance that one cut may have of passing the far limit, beyond which no metal comes back; ours, no source: smaller
figures spoil fewer parts and leave more of them short of the limits (docs/theory/approach.md)."""
GOOD_CHANCE = 0.95
"""Chance of lying inside the limits from which on a measured part counts as good; ours, no source."""
WANTED_CHANCE = 0.98
"""Chance of a good part that a last cut should have, or it is shared in two; ours, no source."""


class Prior(Struct, frozen=True, kw_only=True):
    """What is believed of a quantity before this job has told: middle and standard uncertainty."""

    value: Each
    spread: Each


def usual(quantity: Quantity) -> Prior:
    """What is believed of a quantity at any lathe, of ``data/belief_priors.csv``.

    Examples
    --------
    >>> usual(Quantity.SPRING)
    Prior(value=0.14, spread=0.08)
    """
    row = prior_rows()[quantity]
    return Prior(value=row.middle, spread=row.spread)


class Habit(Struct, frozen=True, kw_only=True):
    """What is believed of a lathe, an edge and a gauge before this size has been approached.

    The defaults are common practice, no source: middle and spread cover what handbooks and threads tell of small
    lathes. Those of spring, rate, wear and touch are what beliefs begin with too, and stand in one table
    (``data/belief_priors.csv``). What a shop has measured takes their place (`handwheel.bench.learning`).

    Parameters
    ----------
    spring : Prior
        Share of the depth of a cut that tool and work spring away, and so do not take.
    spring_scatter : Each
        How much that share changes from one like cut to the next, as a share of it.
    rate : Prior
        Travel of the cross-slide for one mark of travel, less 1.
    fine_rate : Prior
        The same for the swung top slide, whose angle is set by a scale.
    wear : Prior
        How much further off the tip stands after each cut. [mm of travel]
    touch_mm : Each
        Standard uncertainty of a zero set by touch. [mm of travel]
    setting_share : Each
        Standard uncertainty of setting a handle to its mark, as a share of half a mark.
    ripple_mm : Each
        What a screw strays from its mean lead in the course of a turn, as a standard uncertainty. [mm of its travel]
    scatter_mm : Each
        Scatter of the cut itself, from built-up edge and the like. [mm of travel]
    warm : Prior
        How much too large the work reads just after a cut. [mm of reading]
    cool_slow_s, cool_fast_s : Each
        Longest and shortest time in which warmth falls to 1/e. [s]
    taper : Prior
        How much larger the work reads at the front than at the back of the cut. [mm of reading]
    gauge_bias_mm : Each
        Standard uncertainty of what a gauge reads too much or too little, always. [mm of reading]
    gauge_spread_mm : Each
        Standard deviation of one reading among many. [mm of reading]
    spread_known : float
        How many readings that spread is worth as knowledge, before this job's own readings tell.
    """

    spring: Prior = usual(Quantity.SPRING)
    spring_scatter: Each = 0.08
    rate: Prior = usual(Quantity.LEAD_ERROR)
    fine_rate: Prior = Prior(value=0.0, spread=0.03)
    wear: Prior = usual(Quantity.EDGE_WEAR)
    touch_mm: Each = usual(Quantity.TOUCH_ERROR).spread
    setting_share: Each = 0.3
    ripple_mm: Each = 0.003
    scatter_mm: Each = 0.0015
    warm: Prior = Prior(value=0.010, spread=0.007)
    cool_slow_s: Each = 240.0
    cool_fast_s: Each = 60.0
    taper: Prior = Prior(value=0.0, spread=0.001)
    gauge_bias_mm: Each = 0.002
    gauge_spread_mm: Each = 0.007
    spread_known: float = 8.0


class Approach(Struct, frozen=True, kw_only=True):
    """A size to be reached: limits as read, scales as travel of the slide square to the surface.

    Parameters
    ----------
    inside : Truth
        Whether readings grow as metal goes (a bore, the depth of a shoulder).
    lower_mm, upper_mm, target_mm : Each
        Limits of the finished size, and where in them to aim. [mm of reading]
    per_travel : float
        How much a reading changes for one mm of travel: 2 for a diameter, 1 for a length.
    step_mm : Each
        Travel of the smallest step that the usual handle can be set to. [mm]
    fine_step_mm : Each
        The same for the fine feed, the top slide swung; 0 where there is none. [mm]
    fine_ratio : Each
        Travel square to the surface for one mm that the swung slide's own screw travels.
    least_cut_mm : Each
        Least depth that cuts and does not rub. [mm of travel]
    last_cut_mm : Each
        Depth wanted for each of the two last cuts, which are alike. [mm of travel]
    most_cut_mm : Each
        Greatest depth of one pass. [mm of travel]
    habit : Habit
        What is believed beforehand.
    far_chance, good_chance, wanted_chance : float
        The shop's figures: chance of passing the far limit that a cut may have; chance of being inside the limits from
        which a measured part is good; chance that a last cut should have.
    most_readings : int
        Readings that one stop may take.
    """

    inside: Truth
    lower_mm: Each
    upper_mm: Each
    target_mm: Each
    step_mm: Each
    least_cut_mm: Each
    last_cut_mm: Each
    most_cut_mm: Each
    fine_step_mm: Each = 0.0
    fine_ratio: Each = 0.1
    per_travel: float = 2.0
    habit: Habit = Habit()
    far_chance: float = FAR_CHANCE
    good_chance: float = GOOD_CHANCE
    wanted_chance: float = WANTED_CHANCE
    most_readings: int = 12

    @property
    def near_mm(self) -> Each:
        """How much metal may be left, beyond the target. [mm of travel]"""
        return chosen(self.inside, self.target_mm - self.lower_mm, self.upper_mm - self.target_mm) / self.per_travel

    @property
    def far_mm(self) -> Each:
        """How much too deep a cut may go, beyond the target. [mm of travel]"""
        return chosen(self.inside, self.upper_mm - self.target_mm, self.target_mm - self.lower_mm) / self.per_travel

    @property
    def sign(self) -> Each:
        """+1 where metal left makes the reading larger (an outside, a width), -1 where smaller (a bore, a depth)."""
        return chosen(self.inside, -1.0, 1.0)

    def left_mm(self, reading_mm: Each) -> Each:
        """Metal left at a reading that is taken for true. [mm of travel]"""
        return self.sign * (reading_mm - self.target_mm) / self.per_travel

    def reading_mm(self, left_mm: Each) -> Each:
        """What a true gauge would read with so much metal left. [mm]"""
        return self.target_mm + self.sign * self.per_travel * left_mm


def require_approach(approach: Approach) -> None:
    """Refuse a size whose limits hold no target and steps that are none; for one lathe.

    Raises
    ------
    OutOfRangeError
        If the step, the least cut or the tolerance is not above 0.
    """
    require_positive("step_mm", float(approach.step_mm), unit="mm")
    require_positive("least_cut_mm", float(approach.least_cut_mm), unit="mm")
    require_positive("tolerance", float(approach.upper_mm - approach.lower_mm), unit="mm")
