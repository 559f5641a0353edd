"""Normal belief of a quantity that scatters from job to job, drifts, and jumps when something is done to it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf, sqrt

from msgspec import Struct

from handwheel.bench.learning.days import is_surely_later, years_between
from handwheel.domain.beliefs import Evidence


class Normal(Struct, frozen=True, kw_only=True):
    """A middle and a variance; the variance is infinite where nothing is known. Units are those of the quantity."""

    middle: float
    variance: float

    @property
    def spread(self) -> float:
        """Standard uncertainty."""
        return sqrt(self.variance)

    def wider(self, variance: float) -> Normal:
        """Less sure by a variance that is added."""
        return Normal(middle=self.middle, variance=self.variance + variance)


NOTHING_KNOWN = Normal(middle=0.0, variance=inf)


class Jump(Struct, frozen=True, kw_only=True):
    """A day on which a quantity may have changed, and by how much: a variance."""

    date: str
    variance: float


def combined(one: Normal, other: Normal) -> Normal:
    r"""What follows from two beliefs that know nothing of each other.

    .. math:: 1/v = 1/v_1 + 1/v_2, \quad m = v\,(m_1/v_1 + m_2/v_2)

    Parameters
    ----------
    one, other : Normal
        Beliefs about the same quantity.

    Returns
    -------
    Normal
        Belief after both; the surer one alone where the other knows nothing.

    References
    ----------
    Product of two normal densities; probability.

    Examples
    --------
    >>> combined(Normal(middle=0.10, variance=0.04), Normal(middle=0.20, variance=0.04))
    Normal(middle=0.15000000000000002, variance=0.02)
    """
    if one.variance == inf:
        return other
    if other.variance == inf:
        return one
    share = other.variance / (one.variance + other.variance)
    return Normal(middle=share * one.middle + (1.0 - share) * other.middle, variance=share * one.variance)


def learned_today(
    evidence: Sequence[Evidence], jumps: Sequence[Jump], *, today: str, job_variance: float, drift_variance_year: float
) -> Normal:
    r"""What evidence alone says of a quantity as it is today.

    Evidence :math:`y_i = \theta(t_i) + e_i`, with :math:`e_i` of variance :math:`s_i^2 + \tau^2`. Between two days
    :math:`\theta` wanders by a variance :math:`q\,\Delta t + \sum j`, with :math:`j` of each jump between them. The
    pieces are taken in the order of their days, each in closed form.

    Parameters
    ----------
    evidence : sequence of Evidence
        n pieces, each of a job of its own; withdrawn ones do not count.
    jumps : sequence of Jump
        Days on which the quantity may have changed.
    today : str
        Day for which is asked, not before any piece.
    job_variance : float
        :math:`\tau^2`, from job to job.
    drift_variance_year : float
        :math:`q`, added by a year.

    Returns
    -------
    Normal
        Belief of :math:`\theta` today; nothing is known if no piece counts.

    Notes
    -----
    A piece of the same day as a jump counts as before it, unless both have a time that says otherwise.

    References
    ----------
    Kalman's filter of a random walk that starts from nothing known; textbook, from memory.

    Examples
    --------
    >>> piece = Evidence(date="2026-03-01", what="check-up 1", value=0.12, spread=0.03)
    >>> sharp = Jump(date="2026-04-01", variance=0.0016)
    >>> found = learned_today([piece], [], today="2026-05-01", job_variance=0.0, drift_variance_year=0.0)
    >>> faded = learned_today([piece], [sharp], today="2026-05-01", job_variance=0.0, drift_variance_year=0.0)
    >>> round(found.spread, 3), round(faded.spread, 3)
    (0.03, 0.05)
    """
    known, last = NOTHING_KNOWN, ""
    for piece in sorted((piece for piece in evidence if not piece.withdrawn), key=lambda piece: piece.date):
        if last:
            known = known.wider(_wandered(jumps, last, piece.date, drift_variance_year))
        seen = Normal(middle=piece.value, variance=piece.spread**2 + job_variance)
        known, last = combined(known, seen), piece.date
    if not last:
        return NOTHING_KNOWN
    return known.wider(_wandered(jumps, last, "", 0.0) + drift_variance_year * years_between(last, today))


def _wandered(jumps: Iterable[Jump], since: str, until: str, drift_variance_year: float) -> float:
    """Variance that days add: those of jumps that lie between two pieces, and of drift. No end means today."""
    jumped = sum(
        jump.variance
        for jump in jumps
        if not is_surely_later(since, jump.date) and (not until or is_surely_later(until, jump.date))
    )
    return jumped + (drift_variance_year * years_between(since, until) if until else 0.0)
