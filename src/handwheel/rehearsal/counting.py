"""Chances from counts, and how many to make: an interval for a share, and waiting for so many good ones."""

from __future__ import annotations

from math import sqrt
from statistics import NormalDist

from handwheel.domain.errors import require_positive, require_within
from handwheel.rehearsal.result import Chance, ToMake

CONFIDENCE = 0.95
"""Share of intervals that hold what they are for; a convention."""
SURE = 0.95
"""Chance of the good parts that were asked for, among those made; a convention."""
MOST_PARTS = 1000
"""Nobody makes more than this of a plan to get one that is good; own judgement."""
Z = NormalDist().inv_cdf(0.5 + CONFIDENCE / 2.0)


def chance_of(count: int, of: int) -> Chance:
    r"""A share with Wilson's interval for it.

    .. math:: \frac{\hat p + z^2/2n \pm z \sqrt{\hat p (1 - \hat p)/n + z^2/4n^2}}{1 + z^2/n}

    Parameters
    ----------
    count, of : int
        How many, of how many, n.

    Returns
    -------
    Chance
        Share and interval.

    Raises
    ------
    OutOfRangeError
        If there are none, or more than all.

    Notes
    -----
    Wilson's score interval, from memory; never empty and never outside 0 to 1, even for none or all.

    Examples
    --------
    >>> found = chance_of(95, 100)
    >>> found.value, round(found.low, 3), round(found.high, 3)
    (0.95, 0.888, 0.978)
    """
    require_positive("of", of, unit="lathes")
    require_within("count", count, low=0.0, high=of, unit="lathes")
    share, square = count / of, Z * Z / of
    middle = (share + square / 2.0) / (1.0 + square)
    half = Z * sqrt(share * (1.0 - share) / of + square / (4.0 * of)) / (1.0 + square)
    return Chance(value=share, low=max(0.0, middle - half), high=min(1.0, middle + half))


def to_make(chance: float, *, wanted: int, sure: float = SURE) -> ToMake:
    r"""How many parts to make so that so many are good.

    .. math:: P(N \le n) = \sum_{m=k}^{n} \binom{m-1}{k-1} p^k (1-p)^{m-k} \ge s

    Parameters
    ----------
    chance : float
        Chance of one part, :math:`p`; every part is taken for a fresh try.
    wanted : int
        Good parts wanted, :math:`k`.
    sure : float
        Chance of having them, :math:`s`.

    Returns
    -------
    ToMake
        Least number n, and the average :math:`k / p`.

    Raises
    ------
    OutOfRangeError
        If the chances are none, or nothing is wanted.

    Notes
    -----
    Negative binomial distribution, exact.

    Examples
    --------
    >>> to_make(0.5, wanted=1).number, to_make(0.9, wanted=10).number, to_make(0.9, wanted=9).average
    (5, 13, 10.0)
    """
    require_within("chance", chance, low=0.0, high=1.0, unit="(share)")
    require_positive("wanted", wanted, unit="parts")
    require_within("sure", sure, low=0.0, high=1.0, unit="(share)")
    average = wanted / chance if chance > 0.0 else None
    each, reached = chance**wanted, 0.0
    most = max(MOST_PARTS, 2 * wanted)
    for number in range(wanted, most + 1):
        reached += each
        if reached >= sure:
            return ToMake(wanted=wanted, sure=sure, number=number, average=average)
        each *= (1.0 - chance) * number / (number - wanted + 1)
    return ToMake(wanted=wanted, sure=sure, number=None, average=average)
