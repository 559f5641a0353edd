"""Finger-ring sizes as people write them, read if they can mean one thing and asked back if they can mean two."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache
from numbers import Rational

from msgspec import Struct

from handwheel.data.ring_scales import (
    FINGER_DIAMETER_MM,
    Girth,
    Labels,
    Measure,
    RingScale,
    RingSize,
    is_for_a_finger,
    ring_scales,
)
from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH
from handwheel.service.intake.lengths import LONGEST_TEXT, is_moderate, length_mm, number_in, plain_signs, shown
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.where import Named

_DIAMETER_WORDS = frozenset({"across", "diameter", "dia", "ø", "⌀"})
_AROUND_WORDS = frozenset({"around", "circumference", "circ"})
_FILLERS = frozenset({"ring", "size"})
_LETTER = Pattern(r"(?P<letter>[A-Z])\s*(?P<plus>\+)?\s*(?P<rest>[0-9.,/ ]*)")
_HALVES = frozenset({"1/2", ".5", ",5", "0.5", "0,5"})
_IMPROPER = Pattern(r"\s*(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)\s*")
_HAS_UNIT = Pattern(r"[+-]?\s*[0-9.,/][0-9.,/ -]*\s*[a-zµ\"']+", re.IGNORECASE)
_BARE_NUMBER = Pattern(r"[0-9.,/][0-9.,/ ]*")
_BY_LENGTH_WORDS = 'a diameter such as "17.3 mm", or a circumference such as "54.4 mm around"'
_EXAMPLES = f'a size such as "US 7 1/4", "UK N 1/2", "ISO 54", "JP 14", "CH 14"; {_BY_LENGTH_WORDS}'


class _Question(Exception):  # noqa: N818 - not an error of its own: it carries the rest of the sentence up
    """Why a text is no size, as ``what is unclear; what to write``."""


class RingAsked(Struct, frozen=True, kw_only=True):
    """What was understood of a text: an inside, and the size that names it if one did."""

    written: str
    girth: Girth
    size: RingSize | None = None


def read_ring_text(written: object, *, where: Named = "ring size") -> RingAsked:
    """Read a ring size, a diameter or a circumference.

    Parameters
    ----------
    written : object
        Text such as ``"US 7 1/4"``, ``"uk n½"``, ``"ISO 54"``, ``"17,3 mm"`` or ``"54.4 mm around"``.
    where : str or Where
        Where it stands, for the error.

    Returns
    -------
    RingAsked
        The inside, exact in the measure that was named.

    Raises
    ------
    InputError
        If it is no size, or can mean two things; the text is a question that names what it could mean.

    Examples
    --------
    >>> float(read_ring_text("US 7,25").girth.diameter_mm)
    17.526
    >>> read_ring_text("54 mm")
    Traceback (most recent call last):
        ...
    handwheel.domain.errors.InputError: ring size: found "54 mm"; 54 mm across is no finger (10 to 24 mm); measured \
around? Then write "54 mm around" (Ø 17.189 mm)
    """
    try:
        return _read(written)
    except _Question as question:
        msg = f"{where}: found {shown(written)}; {question}"
        raise InputError((msg,)) from None


def read_number(scale: RingScale, written: str) -> Fraction:
    """Read a size of a scale that is known, such as ``"7 1/2"`` or ``"Z+1"``, also between its steps.

    Raises
    ------
    InputError
        If it is not written as that scale writes its sizes.
    """
    try:
        return _number_of(scale, " ".join(plain_signs(written).split()))
    except _Question as question:
        msg = f"{scale.title}: found {shown(written)}; {question}"
        raise InputError((msg,)) from None


def named_scales(written: str) -> tuple[tuple[RingScale, ...], str]:
    """Scales that a text names before or after a size, and what is left of it; none if it names no scale.

    Examples
    --------
    >>> [scale.key for scale in named_scales("us 7")[0]], named_scales("N½ UK")[1]
    (['us'], 'N 1/2')
    """
    text = _without_fillers(plain_signs(written))
    before, after = _scale_words()
    found = before.fullmatch(text) or after.fullmatch(text)
    if found is not None:
        named = found["scale"].upper()
        return tuple(scale for scale in ring_scales() if named in scale.written_as), found["rest"]
    return (), text


@cache
def _scale_words() -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Patterns of a text with the word for a scale before or after the size; longer words are tried first."""
    every = {word for scale in ring_scales() for word in scale.written_as}
    words = "|".join(re.escape(word) for word in sorted(every, key=len, reverse=True))
    before = rf"(?P<scale>{words})(?![A-Za-z/])[\s:]*(?P<rest>.*)"
    after = rf"(?P<rest>.*?[^A-Za-z/+])\s*(?P<scale>{words})"
    return re.compile(before, re.IGNORECASE), re.compile(after, re.IGNORECASE)


def _read(written: object) -> RingAsked:
    if not isinstance(written, str):
        raise _Question(_about_bare(f"{written}" if _is_plain_number(written) else ""))
    if len(written) > LONGEST_TEXT:
        reason = f"a size has at most {LONGEST_TEXT} characters; write the size alone"
        raise _Question(reason)
    scales, rest = named_scales(written)
    if scales:
        size = _size(scales, rest)
        return RingAsked(written=written, girth=size.girth, size=size)
    measure, length = _measured(rest)
    if _HAS_UNIT.fullmatch(length):
        return RingAsked(written=written, girth=_girth(length, measure))
    if measure is not None:
        reason = f'of which unit? Write for instance "17.3 mm across", "0.681 in across" or {_BY_LENGTH_WORDS}'
        raise _Question(reason)
    raise _Question(_about_bare(rest))


def _without_fillers(text: str) -> str:
    """Leave out words that say nothing, such as ``size``."""
    return " ".join(word for word in text.split() if word.casefold().strip(":.") not in _FILLERS)


def _size(scales: tuple[RingScale, ...], rest: str) -> RingSize:
    """Size on the scales that a word names: more than one where sources give several rules for it."""
    candidates, label = _by_rule_word(scales, rest)
    if not label:
        reason = f'which size of {candidates[0].name}? Write for instance "{_example(candidates[0])}"'
        raise _Question(reason)
    number = _number_of(candidates[0], label)
    found = tuple(RingSize(scale=scale, number=number) for scale in candidates if scale.has(number))
    if not found:
        raise _Question(_about_missing(candidates[0], number))
    if len(found) > 1:
        told = " or ".join(f'"{size.name}" ({_diameter_words(size.girth)})' for size in found)
        reason = f"sources give two rules for this letter; which did the gauge or the chart follow? Write {told}"
        raise _Question(reason)
    return found[0]


def _by_rule_word(scales: tuple[RingScale, ...], rest: str) -> tuple[tuple[RingScale, ...], str]:
    """Narrow the scales down by the word of a rule at the end, which is taken off."""
    text = rest.removesuffix(")")
    for scale in scales:
        if scale.rule_word and text.casefold().endswith(scale.rule_word.casefold()):
            return (scale,), text[: -len(scale.rule_word)].rstrip(" (")
    return scales, rest


def _number_of(scale: RingScale, label: str) -> Fraction:
    if scale.labels is Labels.LETTERS:
        return _letter(scale, label)
    if not _BARE_NUMBER.fullmatch(label):
        reason = f'sizes of {scale.name} are numbers; write for instance "{_example(scale)}"'
        raise _Question(reason)
    return _count(label)


def _count(label: str) -> Fraction:
    """Read the number of a size; ``11/4`` is more often a lost space than two and three quarters."""
    top_heavy = _IMPROPER.fullmatch(label)
    if top_heavy and int(top_heavy["top"]) >= int(top_heavy["bottom"]):
        reason = f'is there a space missing in "{label}"? Write a size such as "7 1/4" or "7.25"'
        raise _Question(reason)
    try:
        return number_in(label)
    except InputError as error:
        reason = error.problems[0].partition("; ")[2]
        raise _Question(reason) from None


def _letter(scale: RingScale, label: str) -> Fraction:
    """Read a letter with its half, or Z and what is beyond it; A is 1."""
    parts = _LETTER.fullmatch(label.upper())
    allowed = (
        f'sizes of {scale.name} are letters, half letters, or Z+1 and so on; write for instance "{_example(scale)}"'
    )
    if parts is None:
        raise _Question(allowed)
    number = Fraction(ord(parts["letter"]) - ord("A") + 1)
    rest = parts["rest"].strip()
    if parts["plus"] and parts["letter"] == "Z" and rest:
        return number + _count(rest)
    if parts["plus"] or (rest and rest not in _HALVES):
        raise _Question(allowed)
    return number + (Fraction(1, 2) if rest else 0)


def _about_missing(scale: RingScale, number: Fraction) -> str:
    """Say why a scale has no such size, and what lies beside it."""
    low, high = (_called(scale, number) for number in (scale.first, scale.last))
    if not scale.first <= number <= scale.last:
        return f"the sources give {scale.name} from {low} to {high} only; check the size, or write {_BY_LENGTH_WORDS}"
    below = number - number % scale.step
    neighbours = " or ".join(f'"{_called(scale, beside)}"' for beside in (below, below + scale.step))
    girth = scale.girth(number)
    length = f"{_mm(girth.mm)}{'' if girth.measure is Measure.DIAMETER else ' around'}"
    return f'{scale.name} goes by {scale.step_words}; write {neighbours}, or the length itself: "{length}"'


def _called(scale: RingScale, number: Fraction) -> str:
    return f"{scale.written_as[0]} {scale.label(number)}"


def _example(scale: RingScale) -> str:
    middle = scale.numbers[len(scale.numbers) // 2]
    return _called(scale, middle)


def _measured(text: str) -> tuple[Measure | None, str]:
    """Measure that a word before or after a length names, and the length without it."""
    words = re.sub(r"([Øø⌀])", r" \1 ", text).split()
    for place in (0, -1):
        word = words[place].casefold() if words else ""
        if word in _DIAMETER_WORDS | _AROUND_WORDS:
            words.pop(place)
            measure = Measure.DIAMETER if word in _DIAMETER_WORDS else Measure.CIRCUMFERENCE
            return measure, " ".join(words)
    return None, text


def _girth(text: str, measure: Measure | None) -> Girth:
    """Read a length as a diameter, unless it says around; one that is no finger's is asked about."""
    try:
        mm = length_mm(text, unit=Units.MM)
    except InputError as error:
        reason = error.problems[0].partition("; ")[2]
        raise _Question(reason) from None
    if mm <= 0:
        reason = "an inside is above 0; check the sign"
        raise _Question(reason)
    girth = Girth(measure=measure or Measure.DIAMETER, mm=mm)
    if not is_for_a_finger(girth):
        raise _Question(_about_no_finger(girth))
    return girth


def _about_no_finger(girth: Girth) -> str:
    """Say that a length is no finger's, and what it might have been meant as (practice case PC-16)."""
    low, high = (f"{float(end):g}" for end in FINGER_DIAMETER_MM)
    is_across = girth.measure is Measure.DIAMETER
    mm = _mm(girth.mm)
    told = (
        f"{mm} {'across' if is_across else 'around'} is no finger ({low} to {high} mm{'' if is_across else ' across'})"
    )
    other = Girth(measure=Measure.CIRCUMFERENCE if is_across else Measure.DIAMETER, mm=girth.mm)
    if is_for_a_finger(other):
        word = "around" if is_across else "across"
        return f'{told}; measured {word}? Then write "{mm} {word}" ({_diameter_words(other)})'
    if is_across and is_for_a_finger(Girth(measure=Measure.DIAMETER, mm=2 * girth.mm)):
        return f'{told}; is it a radius? Then write "{_mm(2 * girth.mm)}"'
    return f"{told}; check the figure and its unit. A ring that is for no finger needs no size: give its diameter"


def _about_bare(text: str) -> str:
    """Ask about a number or a letter that names no scale: everything that it could mean."""
    readings = tuple(_readings(text))
    if not readings:
        return f"this is no size that is known here; write {_EXAMPLES}"
    return f"of which scale? Write {', '.join(readings[:-1])}{' or ' if readings[1:] else ''}{readings[-1]}"


def _readings(text: str) -> list[str]:
    found = []
    for scale in ring_scales():
        if not scale.written_as:
            continue
        try:
            number = _number_of(scale, text)
        except _Question:
            continue
        if scale.has(number):
            size = RingSize(scale=scale, number=number)
            found.append(f'"{size.name}" ({_diameter_words(size.girth)})')
    return found + _lengths_meant(text)


def _lengths_meant(text: str) -> list[str]:
    """Lengths that a bare number could be, of those that are for a finger."""
    try:
        number = _count(text) if _BARE_NUMBER.fullmatch(text) else Fraction(0)
    except _Question:
        return []
    if number <= 0:
        return []
    across, around = Measure.DIAMETER, Measure.CIRCUMFERENCE
    meant = (
        (f'"{text} mm" across', Girth(measure=across, mm=number)),
        (f'"{text} in" across', Girth(measure=across, mm=number * MM_PER_INCH)),
        (f'"{text} mm around"', Girth(measure=around, mm=number)),
    )
    return [words for words, girth in meant if is_for_a_finger(girth)]


def _is_plain_number(written: object) -> bool:
    if isinstance(written, bool) or not isinstance(written, Decimal | Rational):
        return False
    return is_moderate(written)


def _mm(mm: Fraction) -> str:
    return f"{float(mm):.4f}".rstrip("0").rstrip(".") + " mm"


def _diameter_words(girth: Girth) -> str:
    return f"Ø {float(girth.diameter_mm):.3f} mm"
