"""A value with its standard uncertainty from few readings: scatter, steps of the gauge, settings of a dial."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import fsum, inf, sqrt
from statistics import NormalDist

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_within
from handwheel.physics.student_t import student_t_factor

LEVEL = 0.95
"""Level of confidence of a stated interval; own choice, the usual one."""

_NORMAL_FACTOR = NormalDist().inv_cdf((1.0 + LEVEL) / 2.0)
_STEP_SPREAD = 1.0 / sqrt(12.0)
_HALF_WIDTH_SPREAD = 1.0 / sqrt(3.0)


@lru_cache(maxsize=512)
def _factor(freedom: float) -> float:
    """Student's factor at `LEVEL`; asked several times for each outcome."""
    return student_t_factor(LEVEL, degrees_of_freedom=freedom)


class Component(Struct, frozen=True, kw_only=True):
    """One cause of doubt: its standard uncertainty in the unit of the result, and how many degrees of freedom it has.

    What is known beforehand and not from the readings has infinitely many.
    """

    standard: float
    freedom: float = inf

    def __post_init__(self) -> None:
        """Refuse a negative doubt and one without freedom."""
        require_within("standard", self.standard, low=0.0, high=1e300, unit="(unit of the result)")
        if not self.freedom > 0:
            msg = f"freedom: got {self.freedom:g}, must be above 0; one reading alone has no scatter of its own"
            raise OutOfRangeError(msg)


class Estimate(Struct, frozen=True, kw_only=True):
    """A value with its combined standard uncertainty and the effective degrees of freedom of that."""

    value: float
    standard: float
    freedom: float = inf

    @property
    def half_width(self) -> float:
        """Half of the interval that holds the truth in `LEVEL` of all trials, by Student's factor."""
        return self.standard * _factor(self.freedom) if self.standard else 0.0

    @property
    def spread(self) -> float:
        """Standard deviation of the normal belief whose interval at `LEVEL` is as wide: few readings widen it."""
        return self.half_width / _NORMAL_FACTOR

    @property
    def low(self) -> float:
        """Lower end of the interval."""
        return self.value - self.half_width

    @property
    def high(self) -> float:
        """Upper end of the interval."""
        return self.value + self.half_width

    def times(self, factor: float) -> Estimate:
        """Value and doubt in another unit, or of a multiple."""
        return Estimate(value=self.value * factor, standard=self.standard * abs(factor), freedom=self.freedom)


def estimate(value: float, components: Iterable[Component]) -> Estimate:
    r"""Value with its combined standard uncertainty.

    .. math:: u^2 = \sum u_i^2, \qquad \nu = u^4 / \sum (u_i^4 / \nu_i)

    Parameters
    ----------
    value : float
        Value found.
    components : iterable of Component
        Independent causes of doubt, each in the unit of the value.

    Returns
    -------
    Estimate
        With the effective degrees of freedom of Welch and Satterthwaite.

    Raises
    ------
    OutOfRangeError
        A `Component` cannot be made outside its range.

    References
    ----------
    [GUM] 5.1.2 and G.4.1; from memory.

    Examples
    --------
    >>> found = estimate(12.0, [Component(standard=3.0, freedom=2), Component(standard=4.0)])
    >>> found.standard, round(found.freedom, 1), round(found.half_width, 1)
    (5.0, 15.4, 10.6)
    """
    parts = [part for part in components if part.standard > 0]
    square = fsum(part.standard**2 for part in parts)
    shared = fsum(part.standard**4 / part.freedom for part in parts)
    return Estimate(value=value, standard=sqrt(square), freedom=square**2 / shared if shared else inf)


def rounding(step: float) -> Component:
    r"""Doubt of a reading that is rounded to a step of its scale.

    .. math:: u = a / \sqrt{12}

    Parameters
    ----------
    step : float
        Step :math:`a`: the truth lies anywhere within half of it to either side.

    Returns
    -------
    Component
        In the unit of the step.

    Raises
    ------
    OutOfRangeError
        If the step is negative.

    References
    ----------
    [GUM] 4.3.7 and F.2.2.1; from memory.

    Examples
    --------
    >>> round(rounding(0.01).standard, 5)
    0.00289
    """
    return Component(standard=step * _STEP_SPREAD)


def trusted_within(half_width: float) -> Component:
    r"""Doubt of a single reading that is trusted within a half-width.

    .. math:: u = U / \sqrt{3}

    Parameters
    ----------
    half_width : float
        Half-width :math:`U`; where in it the truth lies nobody knows.

    Returns
    -------
    Component
        In the unit of the half-width.

    Raises
    ------
    OutOfRangeError
        If the half-width is negative.

    References
    ----------
    [GUM] 4.3.7; from memory.

    Examples
    --------
    >>> round(trusted_within(0.005).standard, 5)
    0.00289
    """
    return Component(standard=half_width * _HALF_WIDTH_SPREAD)


def mean_of(readings: Sequence[float]) -> float:
    r"""Mean of n readings, in their unit.

    .. math:: \bar x = \frac{1}{n} \sum_i x_i

    Parameters
    ----------
    readings : sequence of float
        The readings :math:`x_i`, all in one unit.

    Returns
    -------
    float
        Mean :math:`\bar x`, in the same unit.

    Raises
    ------
    OutOfRangeError
        If there is none.

    References
    ----------
    [GUM] 4.2.1; from memory.

    Examples
    --------
    >>> mean_of((20.02, 20.03, 20.04))
    20.03
    """
    if not readings:
        msg = "readings: got none, at least 1 is needed; read once more"
        raise OutOfRangeError(msg)
    return fsum(readings) / len(readings)


def pooled_scatter(groups: Sequence[Sequence[float]]) -> tuple[float, int]:
    r"""Scatter of one reading, from groups of readings that were each taken of one thing with the same gauge.

    .. math:: s^2 = \frac{\sum_g \sum_i (x_{gi} - \bar x_g)^2}{\sum_g (n_g - 1)}

    Parameters
    ----------
    groups : sequence of sequence of float
        Readings of each thing, n_g values each.

    Returns
    -------
    tuple of float and int
        Standard deviation :math:`s`, in the unit of the readings, and its degrees of freedom; 0 and 0 if no thing was
        read twice.

    Raises
    ------
    OutOfRangeError
        If a group is empty.

    References
    ----------
    [GUM] 4.2.4 and H.3.6 use it; from memory.

    Examples
    --------
    >>> scatter, freedom = pooled_scatter([(20.02, 20.03, 20.04), (19.0, 19.0)])
    >>> round(scatter, 4), freedom
    (0.0082, 3)
    """
    freedom = sum(len(group) - 1 for group in groups)
    squares = fsum(fsum((one - mean_of(group)) ** 2 for one in group) for group in groups)
    return (sqrt(squares / freedom), freedom) if freedom > 0 else (0.0, 0)


def reading_doubt(
    groups: Sequence[Sequence[float]], *, weights: Sequence[float], step: float, half_width: float
) -> tuple[Component, ...]:
    r"""Causes of doubt of a weighted sum of means that were all read with one gauge.

    .. math:: u_s = s \sqrt{\sum_g c_g^2 / n_g}, \qquad u_a = \frac{a}{\sqrt{12}} \sqrt{\sum_g c_g^2}

    Parameters
    ----------
    groups : sequence of sequence of float
        Readings of each of m things, n_g values each, in any unit.
    weights : sequence of float
        What each mean counts in the sum, :math:`c_g`, m values; for a difference 1 and -1.
    step : float
        Step of the gauge, in the unit of the readings, :math:`a`.
    half_width : float
        Half-width within which one reading is trusted, in the unit of the readings; it speaks where no thing was read
        twice.

    Returns
    -------
    tuple of Component
        Scatter (or trust) and rounding, in the unit of the sum.

    Raises
    ------
    OutOfRangeError
        If a group is empty, or there are not as many weights as groups.

    Notes
    -----
    A lasting error of the gauge falls out where the weights add up to 0, as in all trials here; it is not counted.
    The rounding is counted in full, whatever the number of readings: a gauge may stop at the same step each time.

    References
    ----------
    [GUM] 4.2, 4.3 and 5.1; from memory.

    Examples
    --------
    >>> two = [(20.02, 20.03, 20.04), (19.0, 19.01, 18.99)]
    >>> [round(part.standard, 4) for part in reading_doubt(two, weights=(1, -1), step=0.01, half_width=0.005)]
    [0.0082, 0.0041]
    """
    if len(groups) != len(weights):
        msg = f"weights: got {len(weights)} for {len(groups)} groups of readings; give one for each"
        raise OutOfRangeError(msg)
    scatter, freedom = pooled_scatter(groups)
    weight = sqrt(fsum(each * each for each in weights))
    rounded = Component(standard=rounding(step).standard * weight)
    if not freedom:
        return Component(standard=trusted_within(half_width).standard * weight), rounded
    counted = sqrt(fsum(each * each / len(group) for each, group in zip(weights, groups, strict=True)))
    return Component(standard=scatter * counted, freedom=freedom), rounded
