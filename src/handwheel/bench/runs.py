"""Answers of a judge to single readings, asked for as few as it takes and joined where they are alike."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from handwheel.domain.advice import Do
from handwheel.domain.exact import Fraction


class BandAct(Struct, frozen=True, kw_only=True):
    """What to do at one reading, as a judge says it: with so many marks, for so long, with so much metal left.

    ``marks`` as in `handwheel.domain.advice.AdviceBand`, ``left_mm`` as travel. [marks, s, mm]
    """

    do: Do
    marks: Fraction | None = None
    seconds: float = 0.0
    left_mm: float | None = None

    def is_like(self, other: BandAct) -> bool:
        """Whether both ask the same of the hand, whatever they believe is left."""
        return (self.do, self.marks, self.seconds) == (other.do, other.marks, other.seconds)


Judge = Callable[[float], BandAct]
"""What to do at a reading [mm]."""


class Run(Struct, frozen=True):
    """Neighbouring readings with one answer, counted in steps of the gauge; both ends belong to it."""

    first: int
    last: int
    act: BandAct


class Asked:
    """A judge that is asked for each step of the gauge once at most."""

    def __init__(self, judge: Judge, step_mm: Fraction) -> None:
        """Take the judge and the step of the gauge. [mm]"""
        self._judge = judge
        self._step_mm = step_mm
        self._known: dict[int, BandAct] = {}

    def __call__(self, place: int) -> BandAct:
        """What to do at the reading that lies so many steps above 0."""
        if place not in self._known:
            self._known[place] = self._judge(float(place * self._step_mm))
        return self._known[place]


def runs_of(asked: Callable[[int], BandAct], places: Sequence[int]) -> Iterator[Run]:
    """Neighbours with one answer, from the first to the last of some places, which rise.

    Between two places with unlike answers every change is found; where both have the same, no other is looked for.
    """
    start, last = places[0], places[-1]
    for near, far in pairwise(places):
        for edge in _edges(asked, near, far):
            yield Run(start, edge, asked(start))
            start = edge + 1
    yield Run(start, last, asked(start))


def _edges(asked: Callable[[int], BandAct], near: int, far: int) -> Iterator[int]:
    """Last place before each change of the answer between two places."""
    if asked(near).is_like(asked(far)):
        return
    if far - near == 1:
        yield near
        return
    middle = (near + far) // 2
    yield from _edges(asked, near, middle)
    yield from _edges(asked, middle, far)
