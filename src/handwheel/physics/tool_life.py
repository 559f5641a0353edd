"""How long an edge lasts: Taylor's law of cutting speed and life, with feed and depth."""

from __future__ import annotations

from math import log

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

SHORTEST_LIFE_MIN = 0.5
"""Edges that last less are not in the tests from which such laws are drawn; common practice, no source."""
LONGEST_LIFE_MIN = 600.0
"""Tests end long before that: a law that promises more promises what nobody measured; common practice, no source."""
CARBIDE_TABLE_LIFE_MIN = 15.0
"""Life for which the handbook's carbide speeds are given [MH31], Table 5a, opened."""

LOWEST_N, HIGHEST_N = 0.02, 1.0
"""Exponents seen are 0.08 for high speed steel to 0.60 for ceramic [TEACHING_PAGES]; others are a slip."""
MOST_EXPONENT = 2.0


class LifeLaw(Struct, frozen=True, kw_only=True):
    """Taylor's law for one tool material in one metal, with feed and depth where they are known.

    ``speed_at_1_min_m_min`` is the speed at which an edge lasts one minute when cutting at the ``reference`` feed and
    depth; it is a constant of the law and no speed to cut at. Exponents of 0 say that feed or depth does not matter, or
    is not known to; the law then holds at the feed and depth of its tests alone.
    """

    n: float
    speed_at_1_min_m_min: float
    feed_exponent: float = 0.0
    depth_exponent: float = 0.0
    reference_feed_mm_rev: float = 1.0
    reference_depth_mm: float = 1.0

    def __post_init__(self) -> None:
        """Refuse exponents that no tool has."""
        require_within("n", self.n, low=LOWEST_N, high=HIGHEST_N, unit="(exponent)")
        require_positive("speed_at_1_min_m_min", self.speed_at_1_min_m_min, unit="m/min")
        for name in ("feed_exponent", "depth_exponent"):
            require_within(name, getattr(self, name), low=0.0, high=MOST_EXPONENT, unit="(exponent)")
        require_positive("reference_feed_mm_rev", self.reference_feed_mm_rev, unit="mm/rev")
        require_positive("reference_depth_mm", self.reference_depth_mm, unit="mm")


def speed_for_life_m_min(
    wanted_life_min: float, *, law: LifeLaw, feed_mm_rev: float | None = None, depth_mm: float | None = None
) -> float:
    r"""Cutting speed at which an edge lasts for a given time.

    .. math:: v_c = \frac{C}{T^n\,(f/f_0)^a\,(a_p/a_{p0})^b}

    Parameters
    ----------
    wanted_life_min : float
        Life of the edge in the cut, :math:`T`. [min]
    law : LifeLaw
        Constants :math:`C`, :math:`n`, :math:`a`, :math:`b`, and the feed and depth at which :math:`C` holds.
    feed_mm_rev : float, optional
        Feed, :math:`f`; needed if the law has an exponent for it. [mm/rev]
    depth_mm : float, optional
        Depth of cut on the radius, :math:`a_p`; needed if the law has an exponent for it. [mm]

    Returns
    -------
    float
        Cutting speed :math:`v_c`. [m/min]

    Raises
    ------
    OutOfRangeError
        If the life is outside 0.5 to 600 minutes, or feed or depth is missing or not above 0.

    Notes
    -----
    A fit over the speeds that were tested. It bends at low speeds, where a built-up edge protects the tool or breaks
    it. The 20 to 50 % by which two bars of one steel differ are in no exponent.

    References
    ----------
    F. W. Taylor, as in [GROOVER] (from memory) and [SHARMA] Example 14.4, p. 566.

    Examples
    --------
    High speed steel in steel by the usual constants: 15 and 60 minutes.

    >>> law = LifeLaw(n=0.125, speed_at_1_min_m_min=70.0)
    >>> round(speed_for_life_m_min(15.0, law=law), 1), round(speed_for_life_m_min(60.0, law=law), 1)
    (49.9, 42.0)
    """
    _require_life("wanted_life_min", wanted_life_min)
    size = _size_factor(law, feed_mm_rev=feed_mm_rev, depth_mm=depth_mm)
    return law.speed_at_1_min_m_min / (float(wanted_life_min**law.n) * size)


def edge_life_min(
    cutting_speed_m_min: float, *, law: LifeLaw, feed_mm_rev: float | None = None, depth_mm: float | None = None
) -> float:
    r"""Time in the cut after which an edge is worn out.

    .. math:: T = \left(\frac{C}{v_c\,(f/f_0)^a\,(a_p/a_{p0})^b}\right)^{1/n}

    Parameters
    ----------
    cutting_speed_m_min : float
        Cutting speed, :math:`v_c`. [m/min]
    law : LifeLaw
        As of `speed_for_life_m_min`.
    feed_mm_rev : float, optional
        Feed, :math:`f`; needed if the law has an exponent for it. [mm/rev]
    depth_mm : float, optional
        Depth of cut on the radius, :math:`a_p`; needed if the law has an exponent for it. [mm]

    Returns
    -------
    float
        Life :math:`T`. [min]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, feed or depth is missing, or the life comes out shorter than 0.5 or longer than
        600 minutes: no test of edges stands behind that.

    Notes
    -----
    Edges at one speed differ by a factor of two and more ([VARDEMAN_JOBE]); a forecast without a spread hides that.
    Where records are kept, `handwheel.physics.life_fit` gives the spread too.

    References
    ----------
    As `speed_for_life_m_min`.

    Examples
    --------
    >>> law = LifeLaw(n=0.25, speed_at_1_min_m_min=500.0)
    >>> round(edge_life_min(180.0, law=law), 1)
    59.5
    """
    life = _life_unbounded(cutting_speed_m_min, law=law, feed_mm_rev=feed_mm_rev, depth_mm=depth_mm)
    _require_life("life of the edge", life)
    return life


def share_of_life(
    cut_min: float,
    *,
    cutting_speed_m_min: float,
    law: LifeLaw,
    feed_mm_rev: float | None = None,
    depth_mm: float | None = None,
) -> float:
    r"""Share of an edge's life that a cut uses up; above 1 the edge does not last through it.

    .. math:: s = t / \min(T, T_{max})

    Parameters
    ----------
    cut_min : float
        Time in the cut, :math:`t`. [min]
    cutting_speed_m_min : float
        Cutting speed. [m/min]
    law : LifeLaw
        As of `speed_for_life_m_min`.
    feed_mm_rev : float, optional
        Feed; needed if the law has an exponent for it. [mm/rev]
    depth_mm : float, optional
        Depth of cut on the radius; needed if the law has an exponent for it. [mm]

    Returns
    -------
    float
        Share :math:`s`.

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the edge would last less than 0.5 minutes.

    Notes
    -----
    Shares of cuts at different speeds add up (wear in proportion to time, a usual assumption). Where the law promises
    more than the longest life it is good for, that longest life is taken, so that the share is too large and never too
    small: a slow lathe with high speed steel is there most of the time.

    References
    ----------
    As `speed_for_life_m_min`; that shares add up is common practice [COMMON].

    Examples
    --------
    >>> law = LifeLaw(n=0.125, speed_at_1_min_m_min=70.0)
    >>> round(share_of_life(6.0, cutting_speed_m_min=42.0, law=law), 2)
    0.1
    >>> share_of_life(6.0, cutting_speed_m_min=20.0, law=law)
    0.01
    """
    require_positive("cut_min", cut_min, unit="min")
    life = _life_unbounded(cutting_speed_m_min, law=law, feed_mm_rev=feed_mm_rev, depth_mm=depth_mm)
    kept = min(life, LONGEST_LIFE_MIN)
    _require_life("life of the edge", kept)
    return cut_min / kept


def life_left_by_speed(speed_share: float, *, n: float) -> float:
    r"""Share of the life that is left when the cutting speed is multiplied by a share.

    .. math:: T_2 / T_1 = (v_1 / v_2)^{1/n}

    Parameters
    ----------
    speed_share : float
        New speed over the old one, :math:`v_2 / v_1`.
    n : float
        Taylor's exponent.

    Returns
    -------
    float
        New life over the old one.

    Raises
    ------
    OutOfRangeError
        If the share is outside 0.25 to 4, or the exponent outside 0.02 to 1.

    References
    ----------
    As in [KALPAKJIAN] Example 20.2.

    Examples
    --------
    A fifth too fast leaves 23 % of the life with high speed steel, 48 % with carbide.

    >>> round(life_left_by_speed(1.2, n=0.125), 2), round(life_left_by_speed(1.2, n=0.25), 2)
    (0.23, 0.48)
    """
    require_within("speed_share", speed_share, low=0.25, high=4.0, unit="(share)")
    require_within("n", n, low=LOWEST_N, high=HIGHEST_N, unit="(exponent)")
    return float(speed_share ** (-1.0 / n))


def law_of_two_tests(first: tuple[float, float], second: tuple[float, float]) -> LifeLaw:
    r"""Taylor's law through two tests: no spread, so a law to begin with and no more.

    .. math:: n = \frac{\ln(v_2 / v_1)}{\ln(T_1 / T_2)}, \qquad C = v_1 T_1^n

    Parameters
    ----------
    first, second : tuple of (float, float)
        Cutting speed [m/min] and life [min] of each test, at one feed and depth.

    Returns
    -------
    LifeLaw
        Law without feed and depth.

    Raises
    ------
    OutOfRangeError
        If a figure is not above 0, the speeds or the lives are alike, or the faster edge lasted longer.

    References
    ----------
    [GROOVER] tool-life example (from memory); [SHARMA] Example 14.7, p. 568.

    Examples
    --------
    >>> law = law_of_two_tests((25.0, 90.0), (35.0, 20.0))
    >>> round(law.n, 3), round(law.speed_at_1_min_m_min, 1)
    (0.224, 68.4)
    """
    (slow, long), (fast, short) = sorted((first, second))
    for speed, life in (first, second):
        require_positive("cutting speed of a test", speed, unit="m/min")
        require_positive("life of a test", life, unit="min")
    if slow == fast or long <= short:
        msg = (
            f"tests: {slow:g} m/min lasted {long:g} min and {fast:g} m/min {short:g} min; a law needs two speeds of "
            "which the faster wears the edge out sooner; test again further apart"
        )
        raise OutOfRangeError(msg)
    n = log(fast / slow) / log(long / short)
    return LifeLaw(n=n, speed_at_1_min_m_min=slow * float(long**n))


def law_of_one_test(cutting_speed_m_min: float, *, lasted_min: float, n: float) -> LifeLaw:
    r"""Taylor's law through one test of the user's own, with the exponent that tools of that kind usually have.

    .. math:: C = v\,T^n

    Parameters
    ----------
    cutting_speed_m_min : float
        Cutting speed of the test, :math:`v`. [m/min]
    lasted_min : float
        How long the edge lasted, :math:`T`. [min]
    n : float
        Exponent: set mainly by the tool's material, 0.125 for high speed steel, 0.25 for carbide.

    Returns
    -------
    LifeLaw
        Law for that metal at the feed and depth of the test.

    Raises
    ------
    OutOfRangeError
        If speed or life is not above 0, or the exponent outside 0.02 to 1.

    References
    ----------
    Taylor's law solved for its constant; exponents [GROOVER], from memory.

    Examples
    --------
    >>> round(law_of_one_test(30.0, lasted_min=20.0, n=0.125).speed_at_1_min_m_min, 1)
    43.6
    """
    require_positive("cutting_speed_m_min", cutting_speed_m_min, unit="m/min")
    _require_life("lasted_min", lasted_min)
    require_within("n", n, low=LOWEST_N, high=HIGHEST_N, unit="(exponent)")
    return LifeLaw(n=n, speed_at_1_min_m_min=cutting_speed_m_min * float(lasted_min**n))


def _life_unbounded(
    cutting_speed_m_min: float, *, law: LifeLaw, feed_mm_rev: float | None, depth_mm: float | None
) -> float:
    require_positive("cutting_speed_m_min", cutting_speed_m_min, unit="m/min")
    size = _size_factor(law, feed_mm_rev=feed_mm_rev, depth_mm=depth_mm)
    return float((law.speed_at_1_min_m_min / (cutting_speed_m_min * size)) ** (1.0 / law.n))


def _size_factor(law: LifeLaw, *, feed_mm_rev: float | None, depth_mm: float | None) -> float:
    feed = _over("feed_mm_rev", feed_mm_rev, law.reference_feed_mm_rev, law.feed_exponent, unit="mm/rev")
    return feed * _over("depth_mm", depth_mm, law.reference_depth_mm, law.depth_exponent, unit="mm")


def _over(name: str, value: float | None, reference: float, exponent: float, *, unit: str) -> float:
    if value is None:
        if exponent == 0.0:
            return 1.0
        msg = f"{name}: not given, but this law of tool life has an exponent of {exponent:g} for it; give it in {unit}"
        raise OutOfRangeError(msg)
    require_positive(name, value, unit=unit)
    return float((value / reference) ** exponent)


def _require_life(name: str, life: float) -> None:
    if not SHORTEST_LIFE_MIN <= life <= LONGEST_LIFE_MIN:
        what = "choose a slower speed" if life < SHORTEST_LIFE_MIN else "take it as lasting that long and no longer"
        span = f"{SHORTEST_LIFE_MIN:g} to {LONGEST_LIFE_MIN:g} min"
        msg = f"{name}: {life:g} min, laws of tool life are good for {span}; {what}"
        raise OutOfRangeError(msg)
