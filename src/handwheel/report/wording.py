"""The last thing done to a finished text: one unit of two if so wanted, American words for British ones."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from enum import Enum
from functools import cache, cached_property
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import astuple

from handwheel.data.words import word_pairs
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Turn
from handwheel.domain.part import Part, Units
from handwheel.domain.plan import Plan
from handwheel.domain.said import FEET_PER_METRE, INCH_PLACES, own_first
from handwheel.domain.shop import Shop
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.wording import English, UnitsShown
from handwheel.report.words import plain

_FIGURE = r"(?:[+-]?\d+(?:\.\d+)?|\+\d+(?:\.\d+)?/-\d+(?:\.\d+)?)"
_SPAN = rf"{_FIGURE}(?: to {_FIGURE})?"
_LENGTHS = re.compile(rf"({_SPAN}) (mm|in)(/rev)? \(({_SPAN}) (?!\2)(mm|in)(?(3)/rev)\)")
_SPEEDS = re.compile(rf"({_SPAN} m/min), ({_SPAN} ft/min)")
_MM_ALONE = re.compile(rf"(?<!in \()(?<!rev \()(?<![\w./-])({_SPAN}) (mm)(/rev)?(?![/\w²³])(?! \([\d.+-])")
"""A length or feed in metric units, with no other figure in brackets after it, nor itself the one in brackets."""
_METRES_ALONE = re.compile(rf"(?<![\w./-])({_SPAN}) m/min(?!, [0-9.]+(?: to [0-9.]+)? ft/min)")
_SINGLE = re.compile(r"[+-]?\d+(?:\.\d+)?")
FEWEST_PLACES = 2
"""A length in mm gets at least as many decimals of an inch as go with so many of a millimetre: what reads 2 is 2.00."""
_CODES = re.compile(r"\[[^\]]*\]")
"""Findings' codes with their sources, and boxes to write in: signs, not words."""


class Wording(Struct, frozen=True, kw_only=True, dict=True):
    """How finished texts are printed.

    Parameters
    ----------
    shown : UnitsShown
        Which unit of a length that is told in both is printed.
    english : English
        Whose words.
    names : tuple of str
        What people have named in their own words: never changed.
    """

    shown: UnitsShown = UnitsShown.BOTH
    english: English = English.BRITISH
    names: tuple[str, ...] = ()

    def of(self, text: str) -> str:
        """Print a text so.

        Examples
        --------
        >>> american = Wording(shown=UnitsShown.MM, english=English.AMERICAN, names=("centre drill 3",))
        >>> american.of("Top slide: 1.00 mm (0.0394 in) off the centre, with centre drill 3 [off-centre]")
        'Compound: 1.00 mm off the center, with centre drill 3 [off-centre]'
        """
        if self.shown is not UnitsShown.BOTH:
            text = in_one_unit(text, self.shown)
        if self.english is English.BRITISH:
            return text
        parts = self._kept.split(text)
        return "".join(part if place % 2 else american(part) for place, part in enumerate(parts))

    @cached_property
    def _kept(self) -> re.Pattern[str]:
        """What is never changed, as the one group of a pattern: the longest name first."""
        names = "".join(rf"|(?<!\w){re.escape(name)}(?!\w)" for name in sorted(self.names, key=len, reverse=True))
        return re.compile(f"({_CODES.pattern}{names})")


AS_WRITTEN = Wording()

_NOW: ContextVar[Wording] = ContextVar("wording", default=AS_WRITTEN)


@contextmanager
def printed_in(wording: Wording) -> Iterator[None]:
    """Print every text that is laid out meanwhile so; texts are cut into lines afterwards, so that they fit."""
    token = _NOW.set(wording)
    try:
        yield
    finally:
        _NOW.reset(token)


def worded(text: str) -> str:
    """Text as it is printed now."""
    return _NOW.get().of(text)


def units_shown() -> UnitsShown:
    """Which units are printed now."""
    return _NOW.get().shown


def in_own_order(in_mm: str, in_inch: str, units: Units) -> tuple[str, ...]:
    """What is said in both units: the maker's own first, or the one that is shown alone.

    Examples
    --------
    >>> in_own_order("mm", "inch", Units.INCH)
    ('inch', 'mm')
    """
    match units_shown():
        case UnitsShown.MM:
            return (in_mm,)
        case UnitsShown.INCH:
            return (in_inch,)
        case UnitsShown.BOTH:
            return (in_inch, in_mm) if units is Units.INCH else (in_mm, in_inch)


def in_one_unit(text: str, shown: UnitsShown) -> str:
    """Leave one unit of each length, feed and cutting speed that a text gives in both.

    Examples
    --------
    >>> in_one_unit("Ø 18.00 to 18.02 mm (0.7087 to 0.7094 in), 0.08 mm/rev (0.0031 in/rev)", UnitsShown.INCH)
    'Ø 0.7087 to 0.7094 in, 0.0031 in/rev'
    >>> in_one_unit("STOP 12.55 mm left of 0, 30 m/min, 98 ft/min", UnitsShown.INCH)
    'STOP 12.55 mm left of 0, 98 ft/min'
    """
    if shown is UnitsShown.BOTH:
        return text
    unit = "mm" if shown is UnitsShown.MM else "in"

    def one(pair: re.Match[str]) -> str:
        figure = pair[1] if pair[2] == unit else pair[4]
        return f"{figure} {unit}{pair[3] or ''}"

    return _SPEEDS.sub(r"\1" if shown is UnitsShown.MM else r"\2", _LENGTHS.sub(one, text))


def beside_mm(text: str, units: Units, *, names: tuple[str, ...] = ()) -> str:
    """Put the other unit beside every length, feed and cutting speed that a text tells in metric units alone.

    Names, such as that of a 10 mm boring bar, stay as they are.

    Examples
    --------
    >>> beside_mm("it is 18.020 mm, not 18 to 18.1 mm; feed 0.1 mm/rev", Units.INCH)
    'it is 0.7094 in (18.020 mm), not 0.7087 to 0.7126 in (18 to 18.1 mm); feed 0.0039 in/rev (0.1 mm/rev)'
    >>> beside_mm("10 mm boring bar: 21.5 m/min", Units.MM, names=("10 mm boring bar",))
    '10 mm boring bar: 21.5 m/min, 71 ft/min'
    """
    kept = re.compile("|".join(map(re.escape, sorted(names, key=len, reverse=True))) or r"(?!)")
    places = [0, *(place for name in kept.finditer(text) for place in name.span()), len(text)]
    pieces = [text[start:end] for start, end in pairwise(places)]
    return "".join(piece if number % 2 else _beside_mm(piece, units) for number, piece in enumerate(pieces))


def _beside_mm(text: str, units: Units) -> str:
    def both(found: re.Match[str]) -> str:
        per_rev = found[3] or ""
        return own_first(f"{found[1]} mm{per_rev}", f"{_in_inches(found[1])} in{per_rev}", units)

    def both_speeds(found: re.Match[str]) -> str:
        feet = _SINGLE.sub(lambda figure: f"{float(Fraction(figure[0]) * FEET_PER_METRE):.0f}", found[1])
        return f"{found[0]}, {feet} ft/min"

    return _METRES_ALONE.sub(both_speeds, _MM_ALONE.sub(both, text))


def _in_inches(span: str) -> str:
    """The same figures in inches, as many decimals of them as go with theirs."""

    def inches(figure: re.Match[str]) -> str:
        places = len(figure[0].partition(".")[2])
        finer = INCH_PLACES[min(max(places, FEWEST_PLACES), max(INCH_PLACES))]
        return f"{float(Fraction(figure[0]) / MM_PER_INCH):.{finer}f}"

    return _SINGLE.sub(inches, span)


def names_with_lengths(shop: Shop) -> tuple[str, ...]:
    """Every text of a shop that tells a length, such as the name of a 10 mm boring bar."""
    return tuple(dict.fromkeys(_texts(shop, _MM_ALONE)))


def american(text: str) -> str:
    """Put American words for British ones, keeping capitals.

    Examples
    --------
    >>> american("TOP SLIDE anticlockwise, centre-drilled; Centres stay")
    'COMPOUND counterclockwise, center-drilled; Centres stay'
    """
    return _british().sub(_american, text)


def turn_words(turn: Turn) -> tuple[str, ...]:
    """Every word that the sheet may have for a sense of turning."""
    return tuple(dict.fromkeys((turn.value, american(turn.value))))


@cache
def _british() -> re.Pattern[str]:
    words = sorted((pair.british for pair in word_pairs()), key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(words)})\b", re.IGNORECASE)


@cache
def _americans() -> dict[str, str]:
    return {pair.british: pair.american for pair in word_pairs()}


def _american(found: re.Match[str]) -> str:
    word = _americans()[found[0].lower()]
    if found[0].isupper():
        return word.upper()
    return word.capitalize() if found[0][0].isupper() else word


def wording_for(plan: Plan, shop: Shop, *, shown: UnitsShown | None = None, english: English | None = None) -> Wording:
    """Wording for the papers of a plan: as asked for, else as the shop file says."""
    return wording_for_part(plan.sheet.part, shop, shown=shown, english=english)


def wording_for_part(
    part: Part, shop: Shop, *, shown: UnitsShown | None = None, english: English | None = None
) -> Wording:
    """Wording of what is told of a part in a shop, with a plan or without: as asked for, else as the shop file says."""
    return Wording(
        shown=shop.show if shown is None else shown,
        english=shop.words if english is None else english,
        names=tuple(dict.fromkeys((*own_names(shop), *own_names(part)))),
    )


def own_names(thing: object) -> Iterator[str]:
    """Every text of a shop or part in which a word of the catalogue stands, as it is and in plain letters."""
    return _texts(thing, _british())


def _texts(thing: object, holding: re.Pattern[str]) -> Iterator[str]:
    """Every text of a thing that holds a pattern, as it is and in plain letters."""
    if isinstance(thing, str):
        if holding.search(thing):
            yield thing
            yield plain(thing)
    elif isinstance(thing, Struct):
        for value in astuple(thing):
            yield from _texts(value, holding)
    elif isinstance(thing, tuple | list) and not isinstance(thing, Enum):
        for value in thing:
            yield from _texts(value, holding)
