"""What repeated readings tell of a gauge's spread, and single ones of drills and of what a hand rubs off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import hypot, sqrt
from statistics import NormalDist, fmean

from handwheel.bench.asking.records import bias_of_mm
from handwheel.bench.learning.believing import believed
from handwheel.bench.learning.chain import Normal
from handwheel.bench.learning.pieces import Piece
from handwheel.bench.learning.priors import prior_of
from handwheel.bench.learning.scatter import Scatter, finest_mm, is_apart
from handwheel.bench.learning.worked import Worked
from handwheel.domain import acts as a
from handwheel.domain.beliefs import About, Beliefs, Quantity
from handwheel.domain.part import BORE, Aspect

LEAST_FREEDOM = 4.0
"""Fewer degrees of freedom say nothing of a spread; ours, no source."""
SIDE_95 = NormalDist().inv_cdf(0.975)
"""Spreads on either side of the middle between which 95 of 100 lie."""
FACES = {Aspect.DIAMETER.value: 2.0}
"""How much a size changes for 1 mm off its surface; 1 for what is not named here."""


def told_of_gauges(beliefs: Beliefs, found: Mapping[str, Scatter]) -> Iterator[Piece]:
    """Spread of each gauge, by all stops that were read more than once, each about its own mean."""
    for gauge, scatter in found.items():
        if scatter.freedom < LEAST_FREEDOM:
            continue
        about = About(thing=gauge)
        told = deviation_told(scatter.sum_mm2, scatter.freedom, finest=finest_mm(beliefs, gauge))
        value, spread = believed(beliefs, Quantity.GAUGE_SPREAD, about)
        yield Piece(
            quantity=Quantity.GAUGE_SPREAD,
            about=about,
            value=told.middle,
            spread=told.spread,
            before=Normal(middle=value, variance=spread**2),
            steps=scatter.steps,
            counted=int(scatter.freedom),
        )


def deviation_told(squares: float, freedom: float, *, finest: float) -> Normal:
    r"""What squared distances from means say of a standard deviation: the middle and half of where it lies.

    .. math::
        \sqrt{Q / \chi^2_{0.975}} \le \sigma \le \sqrt{Q / \chi^2_{0.025}}, \quad
        \chi^2_p \approx \nu \left(1 - \tfrac{2}{9\nu} + z_p \sqrt{\tfrac{2}{9\nu}}\right)^3

    Parameters
    ----------
    squares : float
        Sum of them, :math:`Q`.
    freedom : float
        Degrees of freedom, :math:`\nu`, 4 or more.
    finest : float
        Deviation below which nothing can be told.

    Returns
    -------
    Normal
        Its interval of 95 in 100 is that of the deviation: the middle lies above the root of the mean square, for few
        readings tell badly how large a deviation may be at most.

    References
    ----------
    Chi square of normal readings, by the cube of Wilson and Hilferty; from memory.

    Examples
    --------
    >>> told = deviation_told(0.0008, 8.0, finest=0.001)
    >>> round(told.middle, 4), round(told.spread, 4)
    (0.013, 0.0032)
    """
    ninth = 2.0 / (9.0 * freedom)
    low, high = (
        sqrt(max(squares, freedom * finest**2) / (freedom * (1.0 - ninth + z * sqrt(ninth)) ** 3))
        for z in (SIDE_95, -SIDE_95)
    )
    return Normal(middle=(low + high) / 2.0, variance=((high - low) / (2.0 * SIDE_95)) ** 2)


def told_of_drills(
    beliefs: Beliefs, worked: Sequence[Worked], found: Mapping[str, Scatter], *, metal: str
) -> Iterator[Piece]:
    """How much larger than itself a drill has cut, where the bore was measured before anything else cut it."""
    drill = fitted = ""
    for one in worked:
        drill = "" if one.lost else drill
        match one.act:
            case a.FitDrill():
                fitted = one.act.drill
            case a.DrillHole():
                drill = fitted
            case a.ReamHole():
                drill = ""
            case a.Cut() if one.act.surface == BORE:
                drill = ""
            case a.Measure() if drill and is_of(one, BORE, Aspect.DIAMETER.value) and not is_apart(one, found):
                yield _oversize(beliefs, one, found[one.gauge], drill=drill, metal=metal)
                drill = ""


def is_of(one: Worked, surface: str, aspect: str) -> bool:
    """Whether an act measured that size, and was read with one gauge."""
    act = one.act
    measured = isinstance(act, a.Measure) and (act.surface, act.aspect) == (surface, aspect)
    return measured and bool(one.readings_mm) and bool(one.gauge)


def _oversize(beliefs: Beliefs, one: Worked, scatter: Scatter, *, drill: str, metal: str) -> Piece:
    about = About(thing=drill, metal=metal)
    value, spread = believed(beliefs, Quantity.DRILL_OVERSIZE, about)
    return Piece(
        quantity=Quantity.DRILL_OVERSIZE,
        about=about,
        value=fmean(one.readings_mm) - float(beliefs.shop.drill(drill).dia_mm),
        spread=_off_mm(beliefs, one, scatter),
        before=Normal(middle=value, variance=spread**2),
        steps=(one.act.step,),
        counted=len(one.readings_mm),
    )


def told_of_rubbing(
    beliefs: Beliefs, worked: Sequence[Worked], found: Mapping[str, Scatter], *, metal: str
) -> Iterator[Piece]:
    """What a hand step took off a surface that was measured before it and after it, with nothing else between."""
    for place, one in enumerate(worked):
        act = one.act
        if not isinstance(act, a.HandStep) or act.removes_mm <= 0.0 or one.lost:
            continue
        before, after = _measured(worked[:place][::-1], act.surface), _measured(worked[place + 1 :], act.surface)
        if before is None or after is None or is_apart(before, found) or is_apart(after, found):
            continue
        aspect = before.act.aspect if isinstance(before.act, a.Measure) else ""
        if not (is_of(before, act.surface, aspect) and is_of(after, act.surface, aspect)):
            continue
        about = About(thing=act.kind.value, metal=metal)
        faces = FACES.get(aspect, 1.0)
        prior = prior_of(beliefs.shop, Quantity.POLISH_LOSS, about)
        off_mm = (_off_mm(beliefs, measured, found[measured.gauge]) for measured in (before, after))
        yield Piece(
            quantity=Quantity.POLISH_LOSS,
            about=about,
            value=abs(fmean(after.readings_mm) - fmean(before.readings_mm)) / faces,
            spread=hypot(*off_mm) / faces,
            before=Normal(middle=prior.value, variance=prior.spread**2),
            steps=(act.step,),
            counted=len(before.readings_mm) + len(after.readings_mm),
        )


def _measured(worked: Sequence[Worked], surface: str) -> Worked | None:
    """First stop on a surface, unless it is cut or rubbed before, or something is not known."""
    for one in worked:
        act = one.act
        if isinstance(act, a.Measure) and act.surface == surface:
            return one if one.readings_mm else None
        if one.lost or (isinstance(act, a.Cut | a.HandStep) and act.surface == surface):
            return None
    return None


def _off_mm(beliefs: Beliefs, one: Worked, scatter: Scatter) -> float:
    """Standard uncertainty of the mean of a stop: what scatters, and what all readings of the gauge share. [mm]"""
    return hypot(scatter.spread_mm / sqrt(len(one.readings_mm)), bias_of_mm(beliefs.shop.gauge(one.gauge)))
