"""One piece of what a job taught: what the data alone say of a quantity."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf

from msgspec import Struct

from handwheel.bench.learning.chain import NOTHING_KNOWN, Normal, combined
from handwheel.domain.beliefs import About, Quantity

LEAST_SHARE = 0.1
"""Share of the variance of what was known that data must take away, or they are said to tell nothing; ours, no source.
Evidence is then never less sure than three spreads of what was known."""


class Piece(Struct, frozen=True, kw_only=True):
    """What a job says of one quantity.

    ``value`` and ``spread`` are what the data alone say, ``before`` what was believed; all in the unit of the quantity.
    ``steps`` are those whose readings told, ``counted`` how many readings, times or touches it rests on.
    """

    quantity: Quantity
    about: About
    value: float
    spread: float
    before: Normal
    steps: tuple[str, ...]
    counted: int


def evidence_in(before: Normal, after: Normal) -> Normal | None:
    r"""What data alone say, where a belief before them and one after them are known.

    .. math:: 1/s_e^2 = 1/s_1^2 - 1/s_0^2, \quad y = s_e^2\,(m_1/s_1^2 - m_0/s_0^2)

    Parameters
    ----------
    before, after : Normal
        Belief before and after the data.

    Returns
    -------
    Normal or None
        The evidence; ``None`` if the data took away less than `LEAST_SHARE` of the variance.

    References
    ----------
    The product of two normal densities, `handwheel.bench.learning.chain.combined`, read backwards.

    Examples
    --------
    >>> told = evidence_in(Normal(middle=0.12, variance=0.0036), Normal(middle=0.10, variance=0.0018))
    >>> round(told.middle, 3), round(told.spread, 3)
    (0.08, 0.06)
    >>> evidence_in(Normal(middle=0.12, variance=0.0036), Normal(middle=0.12, variance=0.0035)) is None
    True
    """
    if not 0.0 < after.variance <= (1.0 - LEAST_SHARE) * before.variance:
        return None
    if before.variance == inf:
        return after
    variance = 1.0 / (1.0 / after.variance - 1.0 / before.variance)
    return Normal(
        middle=variance * (after.middle / after.variance - before.middle / before.variance), variance=variance
    )


def pooled(told: Iterable[Normal], *, each_variance: float) -> Normal:
    """What several pieces say of their common middle, about which each scatters by a variance of its own.

    Examples
    --------
    >>> both = pooled([Normal(middle=0.1, variance=0.3), Normal(middle=0.3, variance=0.3)], each_variance=0.1)
    >>> round(both.middle, 3), round(both.variance, 3)
    (0.2, 0.2)
    """
    known = NOTHING_KNOWN
    for one in told:
        known = combined(known, one.wider(each_variance))
    return known
