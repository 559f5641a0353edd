"""Taylor's law from the user's own records of edges, with what the records leave open."""

from __future__ import annotations

from math import exp, log
from typing import TYPE_CHECKING, NamedTuple

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_positive
from handwheel.physics.linear_fit import LinearFit, linear_fit
from handwheel.physics.tool_life import MOST_EXPONENT, LifeLaw

if TYPE_CHECKING:
    from collections.abc import Sequence

SPEED, FEED, DEPTH = "speed", "feed", "depth"


class LifeRecord(Struct, frozen=True, kw_only=True):
    """One edge: how it was run, and how long.

    ``still_good`` says that it was not worn out when it was taken off or looked at last, after ``lasted_min``.
    """

    cutting_speed_m_min: float
    lasted_min: float
    feed_mm_rev: float | None = None
    depth_mm: float | None = None
    still_good: bool = False

    def __post_init__(self) -> None:
        """Refuse figures that are none."""
        require_positive("cutting_speed_m_min", self.cutting_speed_m_min, unit="m/min")
        require_positive("lasted_min", self.lasted_min, unit="min")
        if self.feed_mm_rev is not None:
            require_positive("feed_mm_rev", self.feed_mm_rev, unit="mm/rev")
        if self.depth_mm is not None:
            require_positive("depth_mm", self.depth_mm, unit="mm")


class LifeForecast(NamedTuple):
    """Life of one further edge: the middle, and the ends between which it lies at the level asked for. [min]"""

    low_min: float
    about_min: float
    high_min: float


class LifeFit(Struct, frozen=True, kw_only=True):
    """Law fitted to records, with its standard errors, its spread and where it holds.

    ``plane`` is ln T = b0 + b1 ln v + b2 ln f + b3 ln a, of which feed and depth are there only if they changed; speeds
    in m/min, feeds in mm/rev, depths in mm. ``feed_se`` and ``depth_se`` are 0 where the records do not say. ``spans``
    holds least and greatest speed, feed and depth of the records, for those that were fitted.
    """

    law: LifeLaw
    n_se: float
    speed_at_1_min_share_se: float
    feed_se: float
    depth_se: float
    plane: LinearFit
    spans: tuple[tuple[str, float, float], ...]

    def forecast(
        self,
        cutting_speed_m_min: float,
        *,
        feed_mm_rev: float | None = None,
        depth_mm: float | None = None,
        level: float = 0.95,
    ) -> LifeForecast:
        """Life of one further edge inside the records' speeds, feeds and depths; beyond them it is refused. [min]"""
        given = {SPEED: cutting_speed_m_min, FEED: feed_mm_rev, DEPTH: depth_mm}
        causes = []
        for name, least, most in self.spans:
            value = given[name]
            if value is None or not least * (1.0 - _ROUNDING) <= value <= most * (1.0 + _ROUNDING):
                got = "not given" if value is None else f"got {value:g}"
                msg = f"{name}: {got}, the records run from {least:g} to {most:g}; forecast inside them, or test there"
                raise OutOfRangeError(msg)
            causes.append(log(value))
        low, high = self.plane.interval(causes, level=level)
        return LifeForecast(exp(low), exp(self.plane.at(causes)), exp(high))


_ROUNDING = 1e-9


def fit_life_law(records: Sequence[LifeRecord]) -> LifeFit:
    r"""Taylor's law, extended by feed and depth where they changed, from records of edges.

    .. math:: \ln T = \frac{\ln C - \ln v - a \ln f - b \ln a_p}{n}

    Parameters
    ----------
    records : sequence of LifeRecord
        One an edge, of one tool material in one metal; speeds must differ.

    Returns
    -------
    LifeFit
        Law with references of 1 mm/rev and 1 mm, standard errors, forecasts with their interval.

    Raises
    ------
    OutOfRangeError
        If fewer edges wore out than there are constants and one more, the speed is the same in all records, two of
        speed, feed and depth change only together, feed or depth is written beside some edges alone, or edges did not
        last shorter at higher speeds.

    Notes
    -----
    Least squares in logarithms: it takes lives at one speed as scattering by a factor. Edges that were still good count
    as what they are (`handwheel.physics.linear_fit.linear_fit`); leaving them out would make edges seem shorter lived
    than they are, and counting them as worn would too. A feed or depth that never changed is not in the law, which then
    holds at that feed and depth alone. Standard errors of n, C, a, b by the rule of small changes.

    References
    ----------
    [VARDEMAN_JOBE] Section 4.1, Example 4 and Chapter 4, Exercise 12.

    Examples
    --------
    >>> tests = [(30.0, 55.0), (30.0, 41.0), (35.0, 15.0), (35.0, 19.0), (40.0, 5.0), (40.0, 7.5)]
    >>> edges = [LifeRecord(cutting_speed_m_min=speed, lasted_min=life) for speed, life in tests]
    >>> found = fit_life_law(edges)
    >>> round(found.law.n, 3), round(found.n_se, 3), round(found.plane.r_squared, 2)
    (0.141, 0.014, 0.96)
    >>> [round(minutes) for minutes in found.forecast(32.0)]
    [16, 31, 57]
    """
    columns = _columns(records)
    names = tuple(columns)
    plane = linear_fit(
        list(zip(*([log(value) for value in column] for column in columns.values()), strict=True)),
        [log(record.lasted_min) for record in records],
        names=names,
        is_open=[record.still_good for record in records],
    )
    slope = dict(zip(names, plane.coefficients[1:], strict=True))
    if slope[SPEED] >= 0:
        msg = (
            f"records: edges lasted no shorter at higher speeds (life goes as speed to the power {slope[SPEED]:.2g}); "
            "that is no wear by speed; look for chipped edges, mixed metals or too near speeds"
        )
        raise OutOfRangeError(msg)
    n = -1.0 / slope[SPEED]
    exponents = {name: slope.get(name, 0.0) / slope[SPEED] for name in (FEED, DEPTH)}
    for name, exponent in exponents.items():
        if not 0.0 <= exponent <= MOST_EXPONENT:
            msg = (
                f"records: edges lasted so that the exponent of {name} is {exponent:.2g}, and a law allows 0 to "
                f"{MOST_EXPONENT:g}; the records scatter too much to tell; vary {name} further, or keep it the same"
            )
            raise OutOfRangeError(msg)
    return LifeFit(
        law=LifeLaw(
            n=n,
            speed_at_1_min_m_min=exp(n * plane.coefficients[0]),
            feed_exponent=exponents[FEED],
            depth_exponent=exponents[DEPTH],
        ),
        n_se=n * n * plane.standard_errors[1],
        speed_at_1_min_share_se=_ratio_se(plane, 0),
        feed_se=_ratio_se(plane, 1 + names.index(FEED)) if FEED in names else 0.0,
        depth_se=_ratio_se(plane, 1 + names.index(DEPTH)) if DEPTH in names else 0.0,
        plane=plane,
        spans=tuple((name, min(column), max(column)) for name, column in columns.items()),
    )


def _columns(records: Sequence[LifeRecord]) -> dict[str, list[float]]:
    """Causes that the records tell of: speed always, feed and depth where they changed."""
    columns = {SPEED: [record.cutting_speed_m_min for record in records]}
    for name, values in (
        (FEED, [record.feed_mm_rev for record in records]),
        (DEPTH, [record.depth_mm for record in records]),
    ):
        known = [value for value in values if value is not None]
        if known and len(known) < len(records):
            msg = f"records: {name} is written beside {len(known)} of {len(records)} edges; write it beside all or none"
            raise OutOfRangeError(msg)
        if known and max(known) > min(known) * (1.0 + _ROUNDING):
            columns[name] = known
    return columns


def _ratio_se(plane: LinearFit, place: int) -> float:
    """Standard error of a coefficient over that of the speed: of a, b, and of ln C."""
    speed, other = plane.coefficients[1], plane.coefficients[place]
    by_other, by_speed = 1.0 / speed, -other / speed**2
    covariance = plane.covariance
    variance = (
        by_other**2 * covariance[place][place]
        + 2.0 * by_other * by_speed * covariance[place][1]
        + by_speed**2 * covariance[1][1]
    )
    return float(max(0.0, variance) ** 0.5)
