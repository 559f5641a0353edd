"""The bench's own filter run along what a job did to a diameter, with everything that its readings told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from statistics import fmean

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench import moves
from handwheel.bench.approach import Approach, Prior
from handwheel.bench.belief import Belief, Unknown, beginning, transformed
from handwheel.bench.gate import UNEXPECTED
from handwheel.bench.learning.chain import Normal
from handwheel.bench.learning.scatter import apart_mm
from handwheel.bench.learning.tracks import Counted, Fit, Heated, Lost, Passed, Read, Touched, Track, Waited

START_SPREAD_MM = 0.2
"""How far off the size of a bar or a drilled hole may be, as travel, before it was read; wide on purpose. [mm]"""
NUDGE_MM = 1e-4
"""By how much a touch is moved to see what readings would change; any amount far below a cut does. [mm]"""


class Trait(Struct, frozen=True, kw_only=True):
    """Something that stays the same through a job: the spring or wear of an edge, the rate of a scale."""

    unknown: Unknown
    thing: str
    turn: int = 0


class Miss(Struct, frozen=True, kw_only=True):
    """How far the mean of a stop lay from what was expected, and the variance with which it was. [mm, mm²]"""

    act: str
    miss_mm: float
    variance_mm2: float


class Surprise(Struct, frozen=True, kw_only=True):
    """A stop that does not fit: its readings lie apart, or far from what the job up to there lets expect. [mm]"""

    act: str
    step: str
    off_mm: float
    apart: bool


class Followed(Struct, frozen=True, kw_only=True):
    """A track followed to its end.

    ``before`` and ``after`` are what was believed of each trait of the tools and scales that cut it, ``misses`` how far
    each stop was off, ``surprises`` those that do not fit.
    """

    before: Mapping[Trait, Normal]
    after: Mapping[Trait, Normal]
    misses: tuple[Miss, ...]
    surprises: tuple[Surprise, ...]


class Supposed(Struct, frozen=True, kw_only=True):
    """A touch of which it is supposed that the tip stood just so much too deep, by its place among the moves. [mm]"""

    place: int
    error_mm: float


def follow(
    track: Track,
    known: Mapping[Trait, Normal],
    *,
    factors: Mapping[str, float],
    supposed: Supposed | None = None,
) -> Followed:
    """Follow a track by the steps of `handwheel.bench.moves`, as at the lathe.

    Parameters
    ----------
    track : Track
        What was done.
    known : mapping
        What earlier tracks of the job have told of a trait already.
    factors : mapping
        By what the plan has multiplied the lead of a slide already, by its handle.
    supposed : Supposed, optional
        A touch that is taken to be known.
    """
    run = _Run(track, known, factors)
    for place, move in enumerate(track.moves):
        match move:
            case Touched():
                run.touch(move, supposed if supposed is not None and supposed.place == place else None)
            case Counted():
                run.belief = moves.counted_from(run.belief, move.travel_mm)
            case Passed():
                run.cut(move)
            case Waited():
                run.belief = moves.waited(run.belief, run.approach, move.seconds)
            case Heated():
                warm = run.approach.habit.warm
                run.put(Unknown.WARM, Normal(middle=float(warm.value), variance=float(warm.spread) ** 2))
            case Lost():
                run.lose()
            case Read():
                run.read(move)
    run.keep()
    return Followed(before=run.before, after=run.after, misses=tuple(run.misses), surprises=tuple(run.surprises))


class _Run:
    """What is believed as the moves go by."""

    def __init__(self, track: Track, known: Mapping[Trait, Normal], factors: Mapping[str, float]) -> None:
        self.approach: Approach = next(_approaches(track))
        start = track.reads[0]
        left = Prior(
            value=float(start.approach.left_mm(fmean(start.readings_mm))) + _wound_before(track),
            spread=START_SPREAD_MM,
        )
        self.belief: Belief = beginning(self.approach, left=left)
        self.before: dict[Trait, Normal] = {}
        self.after: dict[Trait, Normal] = {}
        self.misses: list[Miss] = []
        self.surprises: list[Surprise] = []
        self._known, self._factors = known, factors
        self._now: dict[Unknown, Trait] = {}
        self._gauge = ""

    def put(self, unknown: Unknown, told: Normal) -> None:
        """An unknown is another one from here on."""
        mean, covariance = transformed(
            self.belief.mean,
            self.belief.covariance,
            changed=unknown,
            gains={},
            value=told.middle,
            added=told.variance,
        )
        self.belief = replace(self.belief, mean=mean, covariance=covariance)

    def lose(self) -> None:
        """The metal left may be any."""
        mean, covariance = transformed(
            self.belief.mean,
            self.belief.covariance,
            changed=Unknown.LEFT,
            gains={Unknown.LEFT: 1.0},
            value=self.belief.left_mm,
            added=START_SPREAD_MM**2,
        )
        self.belief = replace(self.belief, mean=mean, covariance=covariance)

    def touch(self, move: Touched, supposed: Supposed | None) -> None:
        """A zero by touch; of one that is supposed to be known, its error is taken off."""
        self._fit(move.fit, move.approach)
        self.belief = moves.touched(self.belief, move.approach, sure=supposed is not None)
        off = move.feeler_mm - (0.0 if supposed is None else supposed.error_mm)
        if off:
            mean = list(self.belief.mean)
            mean[Unknown.TIP] = mean[Unknown.TIP] + off
            self.belief = replace(self.belief, mean=tuple(mean))

    def cut(self, move: Passed) -> None:
        """A pass."""
        self._fit(move.fit, move.approach)
        self.belief = moves.cut(self.belief, move.approach, move.travel_mm)

    def read(self, move: Read) -> None:
        """Readings count, and are compared with what was expected."""
        if move.gauge != self._gauge:
            self._gauge = move.gauge
            self.put(Unknown.BIAS, Normal(middle=0.0, variance=float(move.approach.habit.gauge_bias_mm) ** 2))
        mean, count, one_mm2 = fmean(move.readings_mm), float(len(move.readings_mm)), move.spread_mm**2
        self.belief = replace(self.belief, spread_sum=one_mm2, spread_freedom=1.0)
        miss = mean - float(moves.expected_reading_mm(self.belief, move.approach))
        variance = float(moves.reading_variance(self.belief, move.approach)) - one_mm2 * (1.0 - 1.0 / count)
        self.misses.append(Miss(act=move.act, miss_mm=miss, variance_mm2=variance))
        off = apart_mm(move.readings_mm) if move.is_apart else miss
        if move.is_apart or miss * miss > UNEXPECTED**2 * variance:
            self.surprises.append(Surprise(act=move.act, step=move.step, off_mm=off, apart=move.is_apart))
        # so much of squares that the spread of one reading stays what it is
        self.belief = moves.read(self.belief, move.approach, mean, count=count, sum_mm2=one_mm2 * (count - 1.0))

    def _fit(self, fit: Fit, approach: Approach) -> None:
        """Tool and scale in use; what is believed of one that was not in use just now takes the place of the last."""
        self.approach = approach
        habit = approach.habit
        rate = Trait(unknown=Unknown.RATE, thing=fit.handle.value, turn=fit.swing)
        for trait, prior in (
            (Trait(unknown=Unknown.SPRING, thing=fit.tool, turn=fit.edge), habit.spring),
            (Trait(unknown=Unknown.WEAR, thing=fit.tool, turn=fit.edge), habit.wear),
            (rate, self._as_planned(fit, habit.rate)),
        ):
            if self._now.get(trait.unknown) == trait:
                continue
            self.keep(trait.unknown)
            told = self.after.get(trait) or self._known.get(trait)
            told = told or Normal(middle=float(prior.value), variance=float(prior.spread) ** 2)
            self.before.setdefault(trait, told)
            self._now[trait.unknown] = trait
            self.put(trait.unknown, told)

    def _as_planned(self, fit: Fit, rate: Prior) -> Prior:
        """Rate by the figures of the sheet, where the plan has taken a part of the error into the lead already."""
        factor = self._factors.get(fit.handle.value, 1.0)
        return Prior(value=(1.0 + rate.value) / factor - 1.0, spread=rate.spread / factor)

    def keep(self, unknown: Unknown | None = None) -> None:
        """Note what is believed now of the traits in use, or of one of them."""
        for one, trait in self._now.items():
            if unknown is None or one is unknown:
                variance = float(self.belief.covariance[one][one])
                self.after[trait] = Normal(middle=float(self.belief.mean[one]), variance=variance)


def _approaches(track: Track) -> Iterator[Approach]:
    return (move.approach for move in track.moves if isinstance(move, Touched | Passed | Read))


def _wound_before(track: Track) -> float:
    """Travel into the metal from the first touch to the first reading: about what came off by then. [mm]"""
    deepest = 0.0
    for move in track.moves:
        if isinstance(move, Read):
            break
        if isinstance(move, Passed):
            deepest = max(deepest, move.travel_mm)
    return deepest


def touch_told(track: Track, known: Mapping[Trait, Normal], place: int, *, factors: Mapping[str, float]) -> Normal:
    r"""What the readings of a track say of how much too deep the tip stood at one touch. [mm of travel]

    .. math:: I = \sum g_i^2 / S_i, \quad y = \sum g_i \nu_i / S_i \,/\, I

    with the misses :math:`\nu_i` and their variances :math:`S_i` where the touch is supposed to be right, and by how
    much each changes, :math:`g_i`, with what it is supposed to be off: the likelihood of a fixed input of a linear
    filter.

    References
    ----------
    Innovations of Kalman's filter are independent of each other; textbook, from memory.
    """
    right = follow(track, known, factors=factors, supposed=Supposed(place=place, error_mm=0.0))
    off = follow(track, known, factors=factors, supposed=Supposed(place=place, error_mm=NUDGE_MM))
    information = told = 0.0
    for one, other in zip(right.misses, off.misses, strict=True):
        gain = (one.miss_mm - other.miss_mm) / NUDGE_MM
        information += gain * gain / one.variance_mm2
        told += gain * one.miss_mm / one.variance_mm2
    if information <= 0.0:
        return Normal(middle=0.0, variance=float("inf"))
    return Normal(middle=told / information, variance=1.0 / information)
