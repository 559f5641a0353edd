"""What a rehearsal tells: chances with their uncertainty, the risky step, what would help, how many to make."""

from __future__ import annotations

from msgspec import Struct

REHEARSAL_SCHEMA = 1


class Chance(Struct, frozen=True, kw_only=True):
    """A share of the virtual lathes, with the interval in which it lies if so many more were tried (95 of 100)."""

    value: float
    low: float
    high: float


class SizeChance(Struct, frozen=True, kw_only=True):
    """What came of one size.

    Parameters
    ----------
    size, step : str
        Name of the size, such as ``"bore diameter"``; id of the step in which its last cut is made.
    good, spoiled, left : Chance
        Inside the limits; more gone than the far limit allows; metal left that no tool can cut, or that the sheet has
        no cut for.
    misjudged : float
        Share that the bench held for good and that is not.
    cuts, stops : float
        Cuts and measuring stops, on average.
    waited_s : float
        Waiting to cool, on average. [s]
    """

    size: str
    step: str
    good: Chance
    spoiled: Chance
    left: Chance
    misjudged: float
    cuts: float
    stops: float
    waited_s: float


class Remedy(Struct, frozen=True, kw_only=True):
    """Something done otherwise for one size, and what the chance of a good part is then, on the same lathes.

    ``gain`` is how much that is more, within ``gain_low`` to ``gain_high`` (95 of 100); ``code`` is stable.
    """

    code: str
    size: str
    words: str
    chance: float
    gain: float
    gain_low: float
    gain_high: float

    @property
    def helps(self) -> bool:
        """Whether it surely does more than nothing."""
        return self.gain_low > 0.0


class ToMake(Struct, frozen=True, kw_only=True):
    """How many parts to make for so many good ones; ``number`` is ``None`` where that is past all sense.

    With ``number`` made there are ``wanted`` good ones with the chance ``sure``; ``average`` is how many it takes on
    average, ``None`` where none is ever good.
    """

    wanted: int
    sure: float
    number: int | None
    average: float | None


class NotRehearsed(Struct, frozen=True, kw_only=True):
    """A size that the virtual lathe does not make, and why: it is in no chance here."""

    size: str
    why: str


class Bound(Struct, frozen=True, kw_only=True):
    """What the virtual lathes were like in one respect, and whose word that is."""

    what: str
    words: str
    standing: str


class Rehearsal(Struct, frozen=True, kw_only=True):
    """A plan rehearsed on many virtual lathes like the shop's.

    Parameters
    ----------
    part, shop : str
        Names.
    lathes, seed : int
        How many, and the seed: the same two give the same result, whoever works on it.
    chance : Chance
        Of a part of which every size rehearsed is good, at the first try.
    sizes : tuple of SizeChance
        In the order in which the sheet finishes them.
    risk : str
        Size that fails most often; empty if none did.
    risk_step : str
        Step in which its last cut is made.
    remedies : tuple of Remedy
        The most helpful first; those that do nothing too.
    to_make : ToMake
        How many to make.
    not_rehearsed : tuple of NotRehearsed
        Sizes that are in none of this.
    bounds : tuple of Bound
        What the lathes were like.
    """

    part: str
    shop: str
    lathes: int
    seed: int
    chance: Chance
    sizes: tuple[SizeChance, ...]
    risk: str
    risk_step: str
    remedies: tuple[Remedy, ...]
    to_make: ToMake
    not_rehearsed: tuple[NotRehearsed, ...]
    bounds: tuple[Bound, ...]
    schema: int = REHEARSAL_SCHEMA
