"""Student's distribution: the factor by which few records widen an interval."""

from __future__ import annotations

from math import erf, exp, lgamma, log, log1p, sqrt

from handwheel.domain.errors import OutOfRangeError, require_within

_TINY = 1e-300
_CLOSE = 1e-15
_MOST_TERMS = 500
_HALVINGS = 200
_AS_GOOD_AS_NORMAL = 1e7


def student_t_factor(level: float, *, degrees_of_freedom: float) -> float:
    r"""Factor t for a two-sided interval at a level of confidence.

    .. math:: P(|t_\nu| \le t) = p

    Parameters
    ----------
    level : float
        Level :math:`p`, such as 0.95.
    degrees_of_freedom : float
        Records less fitted constants, :math:`\nu`; need not be whole. Infinity gives the normal distribution.

    Returns
    -------
    float
        Factor :math:`t`.

    Raises
    ------
    OutOfRangeError
        If the level is outside 0.01 to 0.9999, or the degrees of freedom are not above 0.

    Notes
    -----
    By the incomplete beta function as a continued fraction, solved by halving; good to eight figures.

    References
    ----------
    Any table of the distribution, as [GUM] Annex G: 2.92 at 99 % and 16 degrees of freedom.

    Examples
    --------
    >>> round(student_t_factor(0.95, degrees_of_freedom=4), 3)
    2.776
    """
    require_within("level", level, low=0.01, high=0.9999, unit="(share)")
    if not degrees_of_freedom > 0:
        msg = f"degrees_of_freedom: got {degrees_of_freedom:g}, must be above 0; there are too few records"
        raise OutOfRangeError(msg)
    low, high = 0.0, 1.0
    while _inside(high, degrees_of_freedom) < level:
        low, high = high, 2.0 * high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if middle in {low, high}:
            break
        low, high = (middle, high) if _inside(middle, degrees_of_freedom) < level else (low, middle)
    return (low + high) / 2.0


def _inside(t: float, freedom: float) -> float:
    """Chance that t lies between -t and t."""
    if freedom > _AS_GOOD_AS_NORMAL:
        return erf(t / sqrt(2.0))
    # both arguments are worked out by themselves: their difference from 1 would lose every figure at large freedom
    return 1.0 - _incomplete_beta(freedom / (freedom + t * t), t * t / (freedom + t * t), freedom / 2.0, 0.5)


def _incomplete_beta(x: float, rest: float, a: float, b: float) -> float:
    """Regularised incomplete beta function of x; ``rest`` is 1 - x."""
    if x >= 1.0 or rest <= 0.0:
        return 1.0
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log1p(-rest) + b * log(rest))
    if x < (a + 1.0) / (a + b + 2.0):
        return front * _fraction(x, a, b) / a
    return 1.0 - front * _fraction(rest, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    """Continued fraction of the incomplete beta function, by Lentz's method."""
    c, d = 1.0, 1.0 / _away_from_zero(1.0 - (a + b) * x / (a + 1.0))
    value = d
    for m in range(1, _MOST_TERMS):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0)),
        ):
            d = 1.0 / _away_from_zero(1.0 + term * d)
            c = _away_from_zero(1.0 + term / c)
            value *= c * d
        if abs(c * d - 1.0) < _CLOSE:
            break
    return value


def _away_from_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY
