"""Laws of cutting as powers of speed, feed and depth, the limits made of them, and what they leave of the feed."""

from __future__ import annotations

from collections.abc import Iterable
from math import exp, isfinite, log

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_positive

Range = tuple[float, float]
"""Least and most."""
LEVEL = 1e-12
"""Exponents nearer to 0 than this are 0."""


class PowerLaw(Struct, frozen=True, kw_only=True):
    r"""A quantity that goes as powers of cutting speed, feed and depth.

    .. math:: y = c\,v^{a} f^{b} d^{g}

    Parameters
    ----------
    coefficient : float
        :math:`c`, in whatever unit the quantity has.
    speed, feed, depth : float
        Exponents of cutting speed [m/min], feed [mm/rev] and depth [mm].

    Raises
    ------
    OutOfRangeError
        If the coefficient is not above 0, or an exponent is not finite.
    """

    coefficient: float
    speed: float = 0.0
    feed: float = 0.0
    depth: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what no logarithm can hold."""
        require_positive("coefficient", self.coefficient, unit="of the law")
        for name, exponent in (("speed", self.speed), ("feed", self.feed), ("depth", self.depth)):
            if not isfinite(exponent):
                msg = f"exponent of {name}: got {exponent:g}, must be finite"
                raise OutOfRangeError(msg)

    def at(self, cut: Cut) -> float:
        """Value of the law for a cut.

        Examples
        --------
        >>> round(PowerLaw(coefficient=108.0, feed=0.75, depth=0.95).at(Cut(110.0, 0.565529, 3.0)), 2)
        200.0
        """
        v, f, d = log(cut.speed_m_min), log(cut.feed_mm_rev), log(cut.depth_mm)
        return exp(log(self.coefficient) + self.speed * v + self.feed * f + self.depth * d)


class Cut(Struct, frozen=True):
    """What is set for a pass. [m/min, mm/rev, mm]"""

    speed_m_min: float
    feed_mm_rev: float
    depth_mm: float


class Limit(Struct, frozen=True, kw_only=True):
    """A quantity that may not pass a bound: ``most`` is true for a ceiling, false for a floor."""

    name: str
    law: PowerLaw
    bound: float
    most: bool = True

    def is_broken(self, cut: Cut, *, within: float) -> bool:
        """Whether a cut passes the bound by more than a share ``within``."""
        value = self.law.at(cut)
        return (value / self.bound if self.most else self.bound / value) > 1.0 + within


def span_limits(name: str, law: PowerLaw, span: Range) -> tuple[Limit, Limit]:
    """Floor and ceiling of a quantity."""
    return Limit(name=name, law=law, bound=span[0], most=False), Limit(name=name, law=law, bound=span[1])


class Line(Struct, frozen=True):
    """A straight line in the logarithms of life and depth: ``at`` + ``life`` ln T + ``depth`` ln d."""

    at: float
    life: float = 0.0
    depth: float = 0.0


class FeedLines(Struct, frozen=True):
    """What limits leave of the logarithm of the feed once life and depth are given.

    The feed lies below every ceiling and above every floor; a gate is a limit that no feed changes: it must not be
    below 0.
    """

    ceilings: tuple[Line, ...]
    floors: tuple[Line, ...]
    gates: tuple[Line, ...]


def feed_lines(life: PowerLaw, limits: Iterable[Limit]) -> FeedLines:
    """Limits along a line of constant life, where the speed is no longer free.

    Parameters
    ----------
    life : PowerLaw
        Life of the edge; must fall with speed. [min]
    limits : iterable of Limit
        The limits of one kind of pass.

    Examples
    --------
    >>> life = PowerLaw(coefficient=6e11, speed=-5.0, feed=-1.75, depth=-0.75)
    >>> feed = PowerLaw(coefficient=1.0, feed=1.0)
    >>> [round(line.at, 3) for line in feed_lines(life, span_limits("feed", feed, (0.1, 0.9))).ceilings]
    [-0.105]
    """
    p, q, r, c = -life.speed, -life.feed, -life.depth, log(life.coefficient)
    ceilings: list[Line] = []
    floors: list[Line] = []
    gates: list[Line] = []
    for limit in limits:
        law, a = limit.law, limit.law.speed / p
        sign = 1.0 if limit.most else -1.0
        slack = sign * (log(limit.bound) - log(law.coefficient) - a * c)
        per_feed = sign * (law.feed - a * q)
        per_life, per_depth = sign * a, -sign * (law.depth - a * r)
        # per_feed ln f <= slack + per_life ln T + per_depth ln d
        if abs(per_feed) < LEVEL:
            gates.append(Line(slack, per_life, per_depth))
        else:
            line = Line(slack / per_feed, per_life / per_feed, per_depth / per_feed)
            (ceilings if per_feed > 0.0 else floors).append(line)
    return FeedLines(tuple(ceilings), tuple(floors), tuple(gates))


def ln_speed(life: PowerLaw, ln_life: float, ln_feed: float, ln_depth: float) -> float:
    """Logarithm of the speed at which an edge lasts so long. [ln m/min]"""
    return (ln_life - log(life.coefficient) - life.feed * ln_feed - life.depth * ln_depth) / life.speed


def time_line(life: PowerLaw, path: float, ceiling: Line) -> Line:
    """Logarithm of the time of a pass whose feed stands at a ceiling: path / (v f). [ln min]

    It is never less for a smaller feed, if life falls more steeply with speed than with feed.
    """
    p, per_feed = -life.speed, 1.0 - life.feed / life.speed
    return Line(
        log(path) - log(life.coefficient) / p - per_feed * ceiling.at,
        1.0 / p - per_feed * ceiling.life,
        -life.depth / p - per_feed * ceiling.depth,
    )


def require_life(life: PowerLaw) -> None:
    """Raise `OutOfRangeError` unless life falls with speed, and more steeply than with feed."""
    if not life.speed < life.feed <= 0.0:
        msg = (
            f"life: exponents {life.speed:g} of speed and {life.feed:g} of feed; life must fall with speed, and more "
            "steeply than with feed, else the slowest feed would be the quickest"
        )
        raise OutOfRangeError(msg)
