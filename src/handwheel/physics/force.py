"""Cutting force by Kienzle's law and by handbook power constants, side by side."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Protocol

from msgspec import Struct

from handwheel.domain.choice import Choice
from handwheel.domain.errors import OutOfRangeError, require_positive, require_within
from handwheel.physics.between_rows import value_between_rows

if TYPE_CHECKING:
    from collections.abc import Sequence

LEAST_CHIP_IN_RANGE_MM = 0.05
"""Below this chip thickness the fits under-predict: the rounded edge ploughs [DIETRICH], from memory."""

MOST_CHIP_IN_RANGE_MM = 2.5
"""Thickest chip of the fits [DIETRICH], from memory."""

HSS_SPEED_FACTOR = 1.2
"""High speed steel against carbide at 80 to 250 m/min [DIETRICH], quoted in a public script (opened)."""

WEAR_FACTOR = 1.3
"""Allowance for a worn edge [DIETRICH], quoted in a public script (opened)."""

WORST_WEAR_FACTOR = 1.5
"""What the allowance for a worn edge may reach [DIETRICH], quoted in a public script (opened)."""

RAKE_SHARE_PER_DEG = 0.01
"""Force falls by this share a degree of rake [DIETRICH], quoted in a public script (opened)."""

STEEP_RAKE_SHARE_PER_DEG = 0.015
"""What others take instead, among them Victor; from memory of [DIETRICH]."""

LEAST_ENTERING_DEG, MOST_ENTERING_DEG = 45.0, 95.0
"""Entering angles that the fits cover [DIETRICH], from memory; an angle beyond them is reckoned as the nearest."""

_POWER_LAW_BREAK_M_MIN = 100.0


class Process(Choice):
    """Kinds of cut that differ in force at equal chip."""

    TURNING = "turning"
    BORING = "boring"
    DRILLING = "drilling"
    PARTING = "parting"

    @property
    def factor(self) -> float:
        """Force against outside turning [DIETRICH], from memory."""
        return {"turning": 1.0, "boring": 1.2, "drilling": 1.2, "parting": 1.3}[self.value]


class ForceOpinion(Protocol):
    """What one source says of the specific force of a material; the tables of the data room have this shape.

    With ``mc`` the two ``kc`` are kc1.1. Without it they hold at feed 0.30 mm/rev, and ``feed_factors``, pairs of
    feed in mm/rev and factor in order of rising feed, carry them to other feeds.
    """

    @property
    def kc_low_n_mm2(self) -> float:
        """Lower end of the specific force. [N/mm2]"""

    @property
    def kc_high_n_mm2(self) -> float:
        """Upper end of the specific force. [N/mm2]"""

    @property
    def mc(self) -> float | None:
        """Exponent of the chip thickness, or ``None`` for a power constant."""

    @property
    def feed_factors(self) -> tuple[tuple[float, float], ...]:
        """Feed factors of a power constant; empty with ``mc``."""


class ForceFactors(Struct, frozen=True, kw_only=True):
    """Corrections by which a tabled force is multiplied; 1 leaves it as it is."""

    rake: float = 1.0
    speed: float = 1.0
    process: float = 1.0
    wear: float = 1.0

    def __post_init__(self) -> None:
        """Refuse factors that turn a force round or blow it up."""
        for name in ("rake", "speed", "process", "wear"):
            require_within(f"{name} factor", getattr(self, name), low=0.5, high=3.0, unit="(factor)")

    @property
    def product(self) -> float:
        """All corrections together."""
        return self.rake * self.speed * self.process * self.wear


class ForceEstimate(Struct, frozen=True, kw_only=True):
    """Range of a force over all opinions, with the chip it was taken at.

    ``in_range`` is false where the chip is thinner or thicker than the fits cover; a thin chip then needs more
    force than ``high_n`` says.
    """

    low_n: float
    high_n: float
    chip_thickness_mm: float
    in_range: bool

    @property
    def ruling_n(self) -> float:
        """The larger force, which rules power, clamping and deflection. [N]"""
        return self.high_n

    @property
    def spread(self) -> float:
        """How much more the largest opinion says than the smallest, as a share of the smallest: 0.25 is 25 %."""
        return self.high_n / self.low_n - 1.0


def chip_thickness_mm(feed_mm_rev: float, *, entering_angle_deg: float) -> float:
    r"""Thickness of the undeformed chip of a straight edge.

    .. math:: h = f \sin\kappa

    Parameters
    ----------
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    entering_angle_deg : float
        Angle between the edge and the feed direction, :math:`\kappa`. [deg]

    Returns
    -------
    float
        Chip thickness :math:`h`. [mm]

    Raises
    ------
    OutOfRangeError
        If the feed is not above 0, or the angle not within 1 to 179 degrees.

    Notes
    -----
    Exact geometry. The nose is left out: see `handwheel.physics.min_chip` for cuts shallower than it.

    References
    ----------
    Geometry, as in [DIETRICH].

    Examples
    --------
    >>> round(chip_thickness_mm(0.15, entering_angle_deg=95.0), 4)
    0.1494
    """
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    require_within("entering_angle_deg", entering_angle_deg, low=1.0, high=179.0, unit="deg")
    return feed_mm_rev * sin(radians(entering_angle_deg))


def chip_width_mm(depth_mm: float, *, entering_angle_deg: float) -> float:
    r"""Width of the undeformed chip of a straight edge.

    .. math:: b = a_p / \sin\kappa

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius, :math:`a_p`. [mm]
    entering_angle_deg : float
        Angle between the edge and the feed direction, :math:`\kappa`. [deg]

    Returns
    -------
    float
        Chip width :math:`b`. [mm]

    Raises
    ------
    OutOfRangeError
        If the depth is not above 0, or the angle not within 1 to 179 degrees.

    References
    ----------
    Geometry, as in [DIETRICH].

    Examples
    --------
    >>> round(chip_width_mm(1.0, entering_angle_deg=95.0), 4)
    1.0038
    """
    require_positive("depth_mm", depth_mm, unit="mm")
    require_within("entering_angle_deg", entering_angle_deg, low=1.0, high=179.0, unit="deg")
    return depth_mm / sin(radians(entering_angle_deg))


def kienzle_specific_force_n_mm2(thickness_mm: float, *, kc11_n_mm2: float, mc: float) -> float:
    r"""Force per chip area, which grows as the chip gets thinner.

    .. math:: k_c = k_{c1.1}\,h^{-m_c}

    Parameters
    ----------
    thickness_mm : float
        Chip thickness, :math:`h`. [mm]
    kc11_n_mm2 : float
        Specific force at thickness and width 1 mm, :math:`k_{c1.1}`. [N/mm2]
    mc : float
        Exponent, :math:`m_c`, 0.14 to 0.30 in the tables.

    Returns
    -------
    float
        Specific force :math:`k_c`. [N/mm2]

    Raises
    ------
    OutOfRangeError
        If thickness or kc1.1 is not above 0, or mc not within 0 to 0.9.

    Notes
    -----
    A fit, valid for h of 0.05 to 2.5 mm. Below, the result is given and under-predicts; `force_band` says so.

    References
    ----------
    [DIETRICH], from memory; constants from [VDI3323] and others, row by row in the tables.

    Examples
    --------
    >>> round(kienzle_specific_force_n_mm2(0.1494, kc11_n_mm2=1500.0, mc=0.22))
    2279
    """
    require_positive("thickness_mm", thickness_mm, unit="mm")
    require_positive("kc11_n_mm2", kc11_n_mm2, unit="N/mm2")
    require_within("mc", mc, low=0.0, high=0.9, unit="(exponent)")
    return kc11_n_mm2 * float(thickness_mm**-mc)


def kienzle_force_n(
    depth_mm: float, *, feed_mm_rev: float, entering_angle_deg: float, kc11_n_mm2: float, mc: float
) -> float:
    r"""Cutting force of a sharp tool by one Kienzle set, uncorrected.

    .. math:: F_c = k_{c1.1}\,b\,h^{1 - m_c}

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius. [mm]
    feed_mm_rev : float
        Feed. [mm/rev]
    entering_angle_deg : float
        Angle between the edge and the feed direction. [deg]
    kc11_n_mm2 : float
        Specific force at chip thickness and width 1 mm. [N/mm2]
    mc : float
        Exponent of the chip thickness.

    Returns
    -------
    float
        Force along the cutting speed, :math:`F_c`. [N]

    Raises
    ------
    OutOfRangeError
        As the functions it is built of.

    Notes
    -----
    Entering angles of 45 to 95 degrees; the nose has little effect for depths above twice its radius. With constants of
    the force along or across the feed, where a source has them, the same law gives that force.

    References
    ----------
    [DIETRICH], from memory; the same form as [GHOSH_MALLIK] Problem 4.5, p. 196.

    Examples
    --------
    >>> round(kienzle_force_n(0.5, feed_mm_rev=0.1, entering_angle_deg=90.0, kc11_n_mm2=1350.0, mc=0.21))
    109
    """
    thickness_mm = chip_thickness_mm(feed_mm_rev, entering_angle_deg=entering_angle_deg)
    width_mm = chip_width_mm(depth_mm, entering_angle_deg=entering_angle_deg)
    return kienzle_specific_force_n_mm2(thickness_mm, kc11_n_mm2=kc11_n_mm2, mc=mc) * width_mm * thickness_mm


def power_constant_force_n(
    depth_mm: float, *, feed_mm_rev: float, kc_at_h030_n_mm2: float, feed_factors: Sequence[tuple[float, float]]
) -> float:
    r"""Cutting force of a sharp tool by a handbook power constant: the second, independent opinion.

    .. math:: F_c = k_{0.30}\,C(f)\,a_p\,f

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius, :math:`a_p`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    kc_at_h030_n_mm2 : float
        Power constant as a specific force at feed 0.30 mm/rev, :math:`k_{0.30}`. [N/mm2]
    feed_factors : sequence of (float, float)
        n points, (n, 2): feed in mm/rev, rising, and factor :math:`C`.

    Returns
    -------
    float
        Force along the cutting speed, :math:`F_c`. [N]

    Raises
    ------
    OutOfRangeError
        If depth, feed or constant is not above 0, or the table of factors is empty.

    Notes
    -----
    Power of the handbook, :math:`P = K_p C Q`, divided by the speed. Between rows the factor is read on a
    straight line; outside the table the end value is kept, so a feed below 0.05 mm/rev is under-predicted.

    References
    ----------
    [MH31] machining power, Table 1b (opened) and feed factors C (from memory).

    Examples
    --------
    >>> round(power_constant_force_n(1.0, feed_mm_rev=0.15, kc_at_h030_n_mm2=2240.0, feed_factors=((0.15, 1.15),)))
    386
    """
    require_positive("depth_mm", depth_mm, unit="mm")
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    require_positive("kc_at_h030_n_mm2", kc_at_h030_n_mm2, unit="N/mm2")
    return kc_at_h030_n_mm2 * _feed_factor(feed_mm_rev, feed_factors) * depth_mm * feed_mm_rev


def rake_factor(rake_deg: float, *, reference_rake_deg: float, share_a_degree: float = RAKE_SHARE_PER_DEG) -> float:
    r"""Correction of a tabled force for the rake of the tool.

    .. math:: K_\gamma = 1 - s\,(\gamma - \gamma_0)

    Parameters
    ----------
    rake_deg : float
        Rake of the tool in use, :math:`\gamma`. [deg]
    reference_rake_deg : float
        Rake at which the table was made, :math:`\gamma_0`: 6 for steel, 2 for cast iron, 0 for aluminium. [deg]
    share_a_degree : float
        Share :math:`s`: 0.01 by one school, 0.015 by another.

    Returns
    -------
    float
        Factor :math:`K_\gamma`.

    Raises
    ------
    OutOfRangeError
        If either rake is outside -30 to 40 degrees, or the share outside 0 to 0.02.

    Notes
    -----
    A rule of thumb. Where the force matters, take the school that gives the larger one: `rake_factor_band`.

    References
    ----------
    [DIETRICH], as quoted in a public script (opened).

    Examples
    --------
    >>> rake_factor(0.0, reference_rake_deg=6.0)
    1.06
    """
    require_within("rake_deg", rake_deg, low=-30.0, high=40.0, unit="deg")
    require_within("reference_rake_deg", reference_rake_deg, low=-30.0, high=40.0, unit="deg")
    require_within("share_a_degree", share_a_degree, low=0.0, high=0.02, unit="a degree")
    return 1.0 - share_a_degree * (rake_deg - reference_rake_deg)


def rake_factor_band(rake_deg: float, *, reference_rake_deg: float) -> tuple[float, float]:
    r"""Correction of a tabled force for the rake by either school, the smaller first.

    .. math:: K_\gamma = 1 - s\,(\gamma - \gamma_0), \qquad s = 0.01,\ 0.015

    Parameters
    ----------
    rake_deg : float
        Rake of the tool in use. [deg]
    reference_rake_deg : float
        Rake at which the table was made. [deg]

    Returns
    -------
    tuple of float
        Smaller and larger factor; limits take the larger.

    Raises
    ------
    OutOfRangeError
        As `rake_factor`.

    References
    ----------
    [DIETRICH]: 1 % as quoted in a public script (opened), 1.5 % from memory.

    Examples
    --------
    >>> [round(each, 3) for each in rake_factor_band(0.0, reference_rake_deg=6.0)]
    [1.06, 1.09]
    """
    factors = [
        rake_factor(rake_deg, reference_rake_deg=reference_rake_deg, share_a_degree=share)
        for share in (RAKE_SHARE_PER_DEG, STEEP_RAKE_SHARE_PER_DEG)
    ]
    return min(factors), max(factors)


def speed_factor(cutting_speed_m_min: float) -> float:
    r"""Correction of a tabled force for a cutting speed other than 100 m/min.

    .. math:: K_v = 2.023\,v_c^{-0.153} \;(v_c < 100), \qquad K_v = 1.380\,v_c^{-0.07} \;(v_c \ge 100)

    Parameters
    ----------
    cutting_speed_m_min : float
        Cutting speed, :math:`v_c`. [m/min]

    Returns
    -------
    float
        Factor :math:`K_v`; about 1.2 at 30 m/min, where `HSS_SPEED_FACTOR` is the coarse form of it.

    Raises
    ------
    OutOfRangeError
        If the speed is outside 5 to 600 m/min.

    References
    ----------
    [DIETRICH], from memory.

    Examples
    --------
    >>> round(speed_factor(30.0), 3)
    1.202
    """
    require_within("cutting_speed_m_min", cutting_speed_m_min, low=5.0, high=600.0, unit="m/min")
    if cutting_speed_m_min < _POWER_LAW_BREAK_M_MIN:
        return float(2.023 * cutting_speed_m_min**-0.153)
    return float(1.380 * cutting_speed_m_min**-0.07)


def force_band(
    opinions: Sequence[ForceOpinion],
    *,
    depth_mm: float,
    feed_mm_rev: float,
    entering_angle_deg: float = 90.0,
    factors: ForceFactors | None = None,
) -> ForceEstimate:
    """Range of the cutting force over every opinion about a material.

    Parameters
    ----------
    opinions : sequence of ForceOpinion
        n opinions, at least one.
    depth_mm : float
        Depth of cut on the radius. [mm]
    feed_mm_rev : float
        Feed. [mm/rev]
    entering_angle_deg : float
        Angle between the edge and the feed direction. [deg]
    factors : ForceFactors, optional
        Corrections, the same for all opinions; none by default.

    Returns
    -------
    ForceEstimate
        Least and greatest force, the chip thickness, and whether the fits cover it.

    Raises
    ------
    OutOfRangeError
        If there is no opinion, or a value is outside the range of the functions it is built of.

    Notes
    -----
    The spread is the honest uncertainty; limits take the larger end.

    References
    ----------
    `kienzle_force_n` [DIETRICH] and `power_constant_force_n` [MH31].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> group = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=1500.0, mc=0.22, feed_factors=())
    >>> book = SimpleNamespace(kc_low_n_mm2=2220.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
    >>> found = force_band((group, book), depth_mm=1.0, feed_mm_rev=0.15, entering_angle_deg=95.0)
    >>> round(found.low_n), round(found.ruling_n), found.in_range
    (342, 435, True)
    """
    if not opinions:
        msg = "opinions: got none, a force needs at least one; give a kc1.1 and mc of your own with their source"
        raise OutOfRangeError(msg)
    product = (factors or ForceFactors()).product
    thickness_mm = chip_thickness_mm(feed_mm_rev, entering_angle_deg=entering_angle_deg)
    forces = [
        _opinion_force_n(opinion, kc, depth_mm=depth_mm, feed_mm_rev=feed_mm_rev, entering_angle_deg=entering_angle_deg)
        for opinion in opinions
        for kc in (opinion.kc_low_n_mm2, opinion.kc_high_n_mm2)
    ]
    return ForceEstimate(
        low_n=min(forces) * product,
        high_n=max(forces) * product,
        chip_thickness_mm=thickness_mm,
        in_range=LEAST_CHIP_IN_RANGE_MM <= thickness_mm <= MOST_CHIP_IN_RANGE_MM,
    )


def worn_force_band(
    opinions: Sequence[ForceOpinion],
    *,
    width_mm: float,
    feed_mm_rev: float,
    process: Process,
    hss: bool,
    entering_angle_deg: float = 90.0,
) -> ForceEstimate:
    """Range of the force that limits go by: a worn edge, the kind of cut, and whether it is high speed steel.

    Parameters
    ----------
    opinions : sequence of ForceOpinion
        n opinions, at least one.
    width_mm : float
        Depth of cut; width of the chip where the tool settles that (blade, edge tool; then at 90 degrees). [mm]
    feed_mm_rev : float
        Feed. [mm/rev]
    process : Process
        Kind of cut.
    hss : bool
        Whether the edge is of high speed steel.
    entering_angle_deg : float
        Angle between the edge and the feed direction; reckoned as `LEAST_ENTERING_DEG` to `MOST_ENTERING_DEG`. [deg]

    Returns
    -------
    ForceEstimate
        As `force_band`.

    Raises
    ------
    OutOfRangeError
        As `force_band`.

    Notes
    -----
    Force is in proportion to the width, so one width serves for all.

    References
    ----------
    `force_band` with `WEAR_FACTOR`, `HSS_SPEED_FACTOR` and the factor of the process [DIETRICH].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> group = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=1500.0, mc=0.22, feed_factors=())
    >>> cut = dict(width_mm=1.0, feed_mm_rev=0.15)
    >>> round(
    ...     worn_force_band((group,), process=Process.BORING, hss=True, **cut).ruling_n
    ...     / force_band((group,), depth_mm=1.0, feed_mm_rev=0.15).ruling_n,
    ...     3,
    ... )
    1.872
    """
    factors = ForceFactors(speed=HSS_SPEED_FACTOR if hss else 1.0, process=process.factor, wear=WEAR_FACTOR)
    return force_band(
        opinions,
        depth_mm=width_mm,
        feed_mm_rev=feed_mm_rev,
        entering_angle_deg=min(MOST_ENTERING_DEG, max(LEAST_ENTERING_DEG, entering_angle_deg)),
        factors=factors,
    )


def component_band_n(estimate: ForceEstimate, *, ratio_low: float, ratio_high: float) -> tuple[float, float]:
    r"""Range of the feed or the radial force from its ratio to the cutting force.

    .. math:: F_f = k_f\,F_c, \qquad F_p = k_p\,F_c

    Parameters
    ----------
    estimate : ForceEstimate
        Cutting force.
    ratio_low, ratio_high : float
        Ends of the ratio, :math:`k_f` or :math:`k_p`.

    Returns
    -------
    tuple of float
        Least and greatest force of that direction, N.

    Raises
    ------
    OutOfRangeError
        If the ratios are reversed or outside 0 to 2.

    Notes
    -----
    For a sharp edge, an entering angle near 90 degrees and a depth above twice the nose radius. A blunt edge, a
    negative rake or a cut shallower than the nose raises the radial ratio to 0.5 to 1.0 and above.

    References
    ----------
    [TEXTBOOKS], order of magnitude, from memory.

    Examples
    --------
    >>> cut = ForceEstimate(low_n=100.0, high_n=200.0, chip_thickness_mm=0.1, in_range=True)
    >>> component_band_n(cut, ratio_low=0.25, ratio_high=0.5)
    (25.0, 100.0)
    """
    require_within("ratio_high", ratio_high, low=0.0, high=2.0, unit="(ratio)")
    require_within("ratio_low", ratio_low, low=0.0, high=ratio_high, unit="(ratio)")
    return estimate.low_n * ratio_low, estimate.high_n * ratio_high


def thrust_parts_n(thrust_n: float, *, entering_angle_deg: float) -> tuple[float, float]:
    r"""Parts along and across the feed of the thrust that stands square to a straight edge.

    .. math:: F_f = F_D \sin\kappa, \qquad F_p = F_D \cos\kappa

    Parameters
    ----------
    thrust_n : float
        Force in the plane of the tool, square to the edge, :math:`F_D`. [N]
    entering_angle_deg : float
        Angle between the edge and the feed direction, :math:`\kappa`. [deg]

    Returns
    -------
    tuple of float
        Force along the feed and force across it, N; the second is what pushes work and tool apart, and turns round
        beyond 90 degrees, where it draws them together.

    Raises
    ------
    OutOfRangeError
        If the thrust is not above 0, or the angle not within 1 to 179 degrees.

    Notes
    -----
    For depths well above the nose radius. On the nose the edge turns from the feed towards the axis, and most of the
    thrust goes across whatever the angle of the straight edge: take the angle of
    `handwheel.physics.min_chip.effective_entering_angle_deg`.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> [round(each) for each in thrust_parts_n(100.0, entering_angle_deg=45.0)]
    [71, 71]
    >>> [round(each) for each in thrust_parts_n(100.0, entering_angle_deg=90.0)]
    [100, 0]
    """
    require_positive("thrust_n", thrust_n, unit="N")
    require_within("entering_angle_deg", entering_angle_deg, low=1.0, high=179.0, unit="deg")
    angle = radians(entering_angle_deg)
    return thrust_n * sin(angle), thrust_n * cos(angle)


def _opinion_force_n(
    opinion: ForceOpinion, kc_n_mm2: float, *, depth_mm: float, feed_mm_rev: float, entering_angle_deg: float
) -> float:
    if opinion.mc is None:
        return power_constant_force_n(
            depth_mm, feed_mm_rev=feed_mm_rev, kc_at_h030_n_mm2=kc_n_mm2, feed_factors=opinion.feed_factors
        )
    return kienzle_force_n(
        depth_mm, feed_mm_rev=feed_mm_rev, entering_angle_deg=entering_angle_deg, kc11_n_mm2=kc_n_mm2, mc=opinion.mc
    )


def _feed_factor(feed_mm_rev: float, feed_factors: Sequence[tuple[float, float]]) -> float:
    if not feed_factors:
        msg = "feed_factors: got none, a power constant needs its table; take it from the data tables"
        raise OutOfRangeError(msg)
    # at the ends the last figure is kept, as `power_constant_force_n` says
    kept = min(max(feed_mm_rev, feed_factors[0][0]), feed_factors[-1][0])
    return value_between_rows(kept, feed_factors, name="feed_mm_rev", unit="mm/rev")
