"""What a shop has heard chatter, or stay quiet, says of the stiffness that bears its cuts."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, hypot, inf, log, sqrt
from statistics import NormalDist

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

CERTAINTY = 0.9
"""Share of belief that lies between the two ends of a class; own choice."""
TOOL_STIFFNESS_N_UM = (5.0, 50.0)
"""Stiffness at the tool of lathes [ALTINTAS], from memory. [N/µm]"""
POST_DAMPING = (0.02, 0.05)
"""Damping ratio of toolpost and spindle [ALTINTAS], from memory."""
BAR_DAMPING = (0.01, 0.02)
"""Damping ratio of a plain steel bar, for boring bars and for blades of steel [ALTINTAS], from memory."""
DIRECTION = (0.3, 1.0)
"""Directional factor [ALTINTAS], from memory; 1 is the safe side."""
UNLIKELY = 0.01
"""Share of a class's belief below which what was heard says that it is another class; own choice."""

_STANDARD = NormalDist()
_ENDS = _STANDARD.inv_cdf((1.0 + CERTAINTY) / 2.0)
_MM_PER_UM = 1e-3


class Heard(Struct, frozen=True, kw_only=True):
    """One cut that somebody heard: its width [mm], its metal's specific force [N/mm²], and whether it chattered."""

    width_mm: float
    kc_n_mm2: float
    chattered: bool

    def __post_init__(self) -> None:
        """Refuse a cut that is none."""
        require_positive("width_mm", self.width_mm, unit="mm")
        require_positive("kc_n_mm2", self.kc_n_mm2, unit="N/mm²")

    @property
    def needs_n_um(self) -> float:
        """Dynamic stiffness at which just this cut is the limit. [N/µm]"""
        return dynamic_stiffness_n_um(self.width_mm, kc_n_mm2=self.kc_n_mm2)


class StiffnessBelief(Struct, frozen=True, kw_only=True):
    """What is believed of a dynamic stiffness S = k ζ (1 + ζ) / μ, before and after something was heard. [N/µm]

    Its logarithm is spread normally, with `CERTAINTY` between ``low_n_um`` and ``high_n_um``. What was heard cuts off
    all that is not above ``above_n_um`` and below ``below_n_um``. If less than `UNLIKELY` is left, the class was the
    wrong one: it is moved until what was heard is its middle.
    """

    low_n_um: float
    high_n_um: float
    above_n_um: float = 0.0
    below_n_um: float = inf

    def __post_init__(self) -> None:
        """Refuse ends that are none."""
        require_positive("low_n_um", self.low_n_um, unit="N/µm")
        require_positive("high_n_um", self.high_n_um, unit="N/µm")
        if not self.low_n_um < self.high_n_um:
            msg = f"low_n_um: got {self.low_n_um:g} N/µm, must be below high_n_um, {self.high_n_um:g}; give a range"
            raise OutOfRangeError(msg)
        if not 0.0 <= self.above_n_um < self.below_n_um:
            msg = (
                f"above_n_um: got {self.above_n_um:.3g} N/µm, must be below below_n_um, {self.below_n_um:.3g}: a cut "
                "that stayed quiet was as heavy as one that chattered; hear again, with the same sharp tool"
            )
            raise OutOfRangeError(msg)

    def quantile_n_um(self, share: float) -> float:
        """Stiffness below which that share of the belief lies, in closed form. [N/µm]"""
        require_within("share", share, low=1e-6, high=1.0 - 1e-6, unit="1")
        spread = log(self.high_n_um / self.low_n_um) / (2.0 * _ENDS)
        middle = log(self.low_n_um * self.high_n_um) / 2.0
        first, last = self._left(middle, spread)
        if last - first < UNLIKELY:
            middle = self._heard_middle
            first, last = self._left(middle, spread)
        found = exp(middle + spread * _STANDARD.inv_cdf(first + share * (last - first)))
        return min(max(found, self.above_n_um), self.below_n_um)

    def _left(self, middle: float, spread: float) -> tuple[float, float]:
        """Shares of a class below the two ends of what was heard."""
        return _share_below(self.above_n_um, middle, spread), _share_below(self.below_n_um, middle, spread)

    @property
    def _heard_middle(self) -> float:
        """Logarithm of the middle of what was heard."""
        if self.above_n_um > 0 and self.below_n_um < inf:
            return log(self.above_n_um * self.below_n_um) / 2.0
        return log(self.above_n_um or self.below_n_um)

    @property
    def median_n_um(self) -> float:
        """Stiffness that is as likely too high as too low. [N/µm]"""
        return self.quantile_n_um(0.5)

    @property
    def range_n_um(self) -> tuple[float, float]:
        """Ends between which `CERTAINTY` of the belief lies. [N/µm]"""
        return self.quantile_n_um((1.0 - CERTAINTY) / 2.0), self.quantile_n_um((1.0 + CERTAINTY) / 2.0)


def _share_below(stiffness_n_um: float, middle: float, spread: float) -> float:
    if stiffness_n_um <= 0.0:
        return 0.0
    return 1.0 if stiffness_n_um == inf else _STANDARD.cdf((log(stiffness_n_um) - middle) / spread)


def dynamic_stiffness_n_um(width_mm: float, *, kc_n_mm2: float) -> float:
    r"""Dynamic stiffness that a width of cut at the limit of chatter stands for.

    .. math:: S = \frac{k\,\zeta\,(1 + \zeta)}{\mu} = \frac{b_{lim} K_s}{2}

    Parameters
    ----------
    width_mm : float
        Width of cut at the limit, :math:`b_{lim}`. [mm]
    kc_n_mm2 : float
        Specific force of the metal, :math:`K_s`. [N/mm2]

    Returns
    -------
    float
        Dynamic stiffness :math:`S`. [N/µm]

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    References
    ----------
    [ALTINTAS], absolute stability limit turned round; from memory.

    Examples
    --------
    >>> round(dynamic_stiffness_n_um(0.8, kc_n_mm2=2000.0), 3)
    0.8
    """
    require_positive("width_mm", width_mm, unit="mm")
    require_positive("kc_n_mm2", kc_n_mm2, unit="N/mm²")
    return width_mm * kc_n_mm2 * _MM_PER_UM / 2.0


def limit_mm(stiffness_n_um: float, *, kc_n_mm2: float) -> float:
    r"""Width of cut at the limit of chatter for a dynamic stiffness; another metal scales it by its force.

    .. math:: b_{lim} = 2\,S / K_s

    Parameters
    ----------
    stiffness_n_um : float
        Dynamic stiffness :math:`S = k \zeta (1 + \zeta)/\mu`. [N/µm]
    kc_n_mm2 : float
        Specific force of the metal, :math:`K_s`. [N/mm2]

    Returns
    -------
    float
        Width :math:`b_{lim}`. [mm]

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    References
    ----------
    [ALTINTAS], from memory.

    Examples
    --------
    >>> limit_mm(0.8, kc_n_mm2=2000.0), limit_mm(0.8, kc_n_mm2=800.0)
    (0.8, 2.0)
    """
    require_positive("stiffness_n_um", stiffness_n_um, unit="N/µm")
    require_positive("kc_n_mm2", kc_n_mm2, unit="N/mm²")
    return 2.0 * stiffness_n_um / (_MM_PER_UM * kc_n_mm2)


def class_belief(
    *, stiffness_n_um: tuple[float, float], damping: tuple[float, float], direction: tuple[float, float] = DIRECTION
) -> StiffnessBelief:
    r"""Belief of a class of machine, bar or blade before anything was heard, from the ranges of its three parts.

    .. math:: \ln S = \ln k + \ln \zeta(1 + \zeta) - \ln \mu

    Parameters
    ----------
    stiffness_n_um : tuple of float
        Ends of the static stiffness. [N/µm]
    damping : tuple of float
        Ends of the damping ratio.
    direction : tuple of float
        Ends of the directional factor.

    Returns
    -------
    StiffnessBelief
        Its ends hold as much of the belief as the ends of the parts do of theirs.

    Raises
    ------
    OutOfRangeError
        If an end is not above 0, a range is reversed, or the damping not below 1.

    Notes
    -----
    The three are taken to know nothing of each other, so that the squares of their spreads add up.

    References
    ----------
    Ranges of lathes [ALTINTAS], from memory; the sum of spreads is probability.

    Examples
    --------
    >>> lathe = class_belief(stiffness_n_um=TOOL_STIFFNESS_N_UM, damping=POST_DAMPING)
    >>> round(lathe.low_n_um, 2), round(lathe.median_n_um, 2), round(lathe.high_n_um, 2)
    (0.24, 0.94, 3.76)
    """
    require_within("damping", damping[1], low=damping[0], high=0.99, unit="1")
    parts = (stiffness_n_um, (damping[0] * (1.0 + damping[0]), damping[1] * (1.0 + damping[1])), direction)
    for name, (low, high) in zip(("stiffness_n_um", "damping", "direction"), parts, strict=True):
        require_positive(f"low end of {name}", low, unit="")
        require_within(f"low end of {name}", low, low=0.0, high=high, unit="")
    (k_low, k_high), (z_low, z_high), (m_low, m_high) = parts
    middle = sqrt(k_low * k_high * z_low * z_high / (m_low * m_high))
    apart = hypot(log(k_high / k_low), log(z_high / z_low), log(m_high / m_low)) / 2.0
    return StiffnessBelief(low_n_um=middle * exp(-apart), high_n_um=middle * exp(apart))


def recalibrated(prior: StiffnessBelief, heard: Sequence[Heard]) -> StiffnessBelief:
    r"""Belief after some cuts were heard: a chatter bounds the stiffness from above, a quiet cut from below.

    .. math:: \max_{\text{quiet}} \frac{b K_s}{2} < S < \min_{\text{chattered}} \frac{b K_s}{2}

    Parameters
    ----------
    prior : StiffnessBelief
        What was believed before.
    heard : sequence of Heard
        n cuts on the same machine, bar or blade, set up alike; none leaves the belief as it is.

    Returns
    -------
    StiffnessBelief
        The same spread, cut off at what was heard.

    Raises
    ------
    OutOfRangeError
        If a cut that stayed quiet was as heavy as one that chattered.

    Notes
    -----
    The forces of two metals must come of the same end of their ranges; the limit of another metal then carries the
    spread of both. A cut heard below about 40 m/min was helped by process damping, and a faster one may chatter sooner.

    References
    ----------
    [ALTINTAS] for the limit, from memory; cutting a belief off is probability.

    Examples
    --------
    Chattered at 0.8 mm in steel, did not at 0.5 mm:

    >>> before = StiffnessBelief(low_n_um=0.24, high_n_um=3.76)
    >>> chattered = Heard(width_mm=0.8, kc_n_mm2=2500.0, chattered=True)
    >>> quiet = Heard(width_mm=0.5, kc_n_mm2=2500.0, chattered=False)
    >>> after = recalibrated(before, (chattered, quiet))
    >>> after.above_n_um, after.below_n_um
    (0.625, 1.0)
    >>> round(limit_mm(after.median_n_um, kc_n_mm2=2500.0), 2), round(limit_mm(after.median_n_um, kc_n_mm2=1000.0), 1)
    (0.64, 1.6)
    """
    return StiffnessBelief(
        low_n_um=prior.low_n_um,
        high_n_um=prior.high_n_um,
        above_n_um=max([prior.above_n_um, *(cut.needs_n_um for cut in heard if not cut.chattered)]),
        below_n_um=min([prior.below_n_um, *(cut.needs_n_um for cut in heard if cut.chattered)]),
    )
