"""How a quantity differs from lathe to lathe: even, bell-shaped, or a blend of both."""

from __future__ import annotations

from math import inf
from typing import Protocol

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError

Floats = npt.NDArray[np.float64]
"""Numbers, one a lathe."""
Flags = npt.NDArray[np.bool_]
"""Yes or no, one a lathe."""
Ints = npt.NDArray[np.int64]
"""Whole numbers, one a lathe; also the places of the lathes that act."""


class Spread(Protocol):
    """Anything that can be drawn for many lathes, and be made wider."""

    def draw(self, count: int, rng: np.random.Generator) -> Floats:
        """So many values, each lathe its own."""

    def widened(self, factor: float, *, floor: float, ceiling: float) -> Spread:
        """The same so many times as wide, kept between two bounds."""

    def times(self, factor: float) -> Spread:
        """Every value multiplied by a factor above 0."""


class Even(Struct, frozen=True):
    """Every value between two ends is as likely as another; a fixed value where they are equal.

    Examples
    --------
    >>> Even(0.02, 0.25).widened(2.0, floor=0.0, ceiling=0.6)
    Even(low=0.0, high=0.46)
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse ends in the wrong order."""
        if not self.low <= self.high:
            msg = f"even spread: low {self.low:g} is above high {self.high:g}; change them round"
            raise OutOfRangeError(msg)

    def draw(self, count: int, rng: np.random.Generator) -> Floats:
        """So many values, each lathe its own."""
        return rng.uniform(self.low, self.high, count)

    def widened(self, factor: float, *, floor: float, ceiling: float) -> Even:
        """So many times as wide about the middle; where the floor is in the way, moved up and as wide all the same."""
        middle, width = (self.low + self.high) / 2, factor * (self.high - self.low)
        low = max(middle - width / 2, min(floor, self.low))
        return Even(low, min(low + width, max(ceiling, self.high)))

    def times(self, factor: float) -> Even:
        """Every value multiplied by a factor above 0."""
        return Even(factor * self.low, factor * self.high)


class Bell(Struct, frozen=True):
    """Normal distribution; what falls outside the bounds counts as the bound."""

    mean: float
    sd: float
    least: float = -inf
    most: float = inf

    def __post_init__(self) -> None:
        """Refuse a negative spread and bounds in the wrong order."""
        if not (self.sd >= 0.0 and self.least <= self.most):
            msg = (
                f"bell spread: sd {self.sd:g}, bounds {self.least:g} to {self.most:g}; sd must be 0 or more, low first"
            )
            raise OutOfRangeError(msg)

    def draw(self, count: int, rng: np.random.Generator) -> Floats:
        """So many values, each lathe its own."""
        drawn: Floats = np.clip(rng.normal(self.mean, self.sd, count), self.least, self.most)
        return drawn

    def widened(self, factor: float, *, floor: float, ceiling: float) -> Bell:
        """So many times the standard deviation; the bounds give way as far as floor and ceiling."""
        return Bell(self.mean, factor * self.sd, min(floor, self.least), max(ceiling, self.most))

    def times(self, factor: float) -> Bell:
        """Every value multiplied by a factor above 0."""
        return Bell(factor * self.mean, factor * self.sd, factor * self.least, factor * self.most)


class Part(Struct, frozen=True):
    """One part of a blend, with the share of the lathes that have it."""

    share: float
    spread: Even | Bell


class Blend(Struct, frozen=True):
    """Some lathes have one spread, the rest another; the shares add up to 1."""

    parts: tuple[Part, ...]

    def __post_init__(self) -> None:
        """Refuse shares that do not add up."""
        whole = sum(part.share for part in self.parts)
        if abs(whole - 1.0) > _SHARES_AGREE or any(part.share < 0 for part in self.parts):
            msg = f"blend: the shares add up to {whole:g}, must be 0 or more each and 1 in all; correct them"
            raise OutOfRangeError(msg)

    def draw(self, count: int, rng: np.random.Generator) -> Floats:
        """So many values: first which part, then its value."""
        ends = np.cumsum([part.share for part in self.parts])
        which = np.minimum(np.searchsorted(ends, rng.random(count), side="right"), len(self.parts) - 1)
        values = np.stack([part.spread.draw(count, rng) for part in self.parts])
        drawn: Floats = values[which, np.arange(count)]
        return drawn

    def widened(self, factor: float, *, floor: float, ceiling: float) -> Blend:
        """Each part so many times as wide; the shares stay."""
        wider = (Part(part.share, part.spread.widened(factor, floor=floor, ceiling=ceiling)) for part in self.parts)
        return Blend(tuple(wider))

    def times(self, factor: float) -> Blend:
        """Every value multiplied by a factor above 0."""
        return Blend(tuple(Part(part.share, part.spread.times(factor)) for part in self.parts))


_SHARES_AGREE = 1e-9
"""Rounding of shares such as 1/3."""


def fixed(value: float) -> Even:
    """The same for every lathe."""
    return Even(value, value)


def one_of(*values: float) -> Blend:
    """Each of these values for as many lathes as another."""
    return Blend(tuple(Part(1.0 / len(values), fixed(value)) for value in values))
