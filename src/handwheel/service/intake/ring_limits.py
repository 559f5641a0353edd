"""Limits behind a ring size in one text: US 7 ± 0.02 mm, US 7 +0.05/-0, US 7 H8; they lie about the diameter."""

from __future__ import annotations

import re
from collections.abc import Callable

from msgspec import Struct

from handwheel.data.ring_scales import PI, Labels, Measure, RingScale
from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import LONGEST_TEXT, length_mm, number_in, plain_signs, shown, unit_in
from handwheel.service.intake.limits_text import is_nought, split_limits
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.ring_sizes import RingAsked
from handwheel.service.intake.where import Named

_FIT = Pattern(r"(?P<size>.*\S)\s+(?P<fit>[A-Za-z]{1,2}[0-9]{1,2})")
_ABOUT = Pattern(r"(?P<rest>.*\S)\s+(?P<word>across|on the diameter|around)", re.IGNORECASE)
_AROUND = "around"
_ONE_ONLY = Pattern(r"(?P<size>.*[0-9A-Za-z])\s*(?P<sign>[+-])\s*(?P<one>[0-9.,][0-9.,/ ]*\s*[a-zµ\"']*)")
_SHARES = frozenset({"size", "sizes", "letter", "letters"})
_BEYOND_Z = Pattern(r"(?<=[zZ])\s*\+(?=\s*[0-9])")
_PLUS = "\N{CIRCLED PLUS}"
"""Stands for the plus of a size such as Z+1 while limits are looked for."""


class RingWithLimits(Struct, frozen=True, kw_only=True):
    """A ring size, and what stands behind it: a fit, limits as deviations of the diameter, or neither. [mm]"""

    asked: RingAsked
    behind: str = ""
    fit: str = ""
    lower: Fraction | None = None
    upper: Fraction | None = None


def read_with_limits(
    written: object,
    *,
    read_size: Callable[[object], RingAsked],
    scale_of: Callable[[RingAsked], RingScale | None],
    unit: Units,
    where: Named,
) -> RingWithLimits:
    """Read a ring size with the limits or the fit behind it, if there are any.

    Parameters
    ----------
    written : object
        Text such as ``"US 7"``, ``"US 7 ± 0.02 mm"``, ``"UK N H8"``, ``"ISO 54 +0.1/-0 mm across"``.
    read_size : callable
        Reader of a size alone; raises `InputError`.
    scale_of : callable
        Scale in which a size was stated, if it was.
    unit : Units
        Unit of a deviation that names none.
    where : str
        File and key, for the error.

    Raises
    ------
    InputError
        If it is no size, or can mean two things: limits of a size that is millimetres around may be meant around or
        across, and a bare quarter may be one of a size.

    Examples
    --------
    >>> from handwheel.service.intake.ring_sizes import read_ring_text
    >>> scale = lambda asked: asked.size.scale if asked.size else None
    >>> how = {"read_size": read_ring_text, "scale_of": scale, "unit": Units.MM, "where": "ring_size"}
    >>> read = read_with_limits("US 7 +0.05/-0", **how)
    >>> read.asked.size.name, float(read.lower), float(read.upper)
    ('US 7', 0.0, 0.05)
    >>> read_with_limits("UK N H8", **how).fit
    'H8'
    """
    problem = f"{where}: found {shown(written)}"
    try:
        return RingWithLimits(asked=read_size(written))
    except InputError:
        if not isinstance(written, str) or len(written) > LONGEST_TEXT:
            raise
        text = " ".join(plain_signs(written).replace("(", " ").replace(")", " ").split())
        if fit := _FIT.fullmatch(text):
            return RingWithLimits(asked=read_size(fit["size"]), behind=fit["fit"], fit=fit["fit"])
        about = _ABOUT.fullmatch(text)
        rest, word = (about["rest"], about["word"].lower()) if about else (text, "")
        split = split_limits(_BEYOND_Z.sub(_PLUS, rest))
        if split is None:
            _ask_for_the_other(rest, read_size, problem=problem)
            raise
    size, deviations = split[0].replace(_PLUS, "+"), split[1]
    asked = read_size(size)
    _require_clear(deviations, asked, scale_of(asked), word, size=size, where=where, problem=problem)
    ends = sorted(_on_diameter(length_mm(one, unit=unit, where=where), word) for one in deviations)
    return RingWithLimits(asked=asked, behind=text[len(size) :].strip(), lower=ends[0], upper=ends[1])


def _on_diameter(deviation_mm: Fraction, word: str) -> Fraction:
    """Change of the diameter for a deviation that is stated across or around. [mm]"""
    return deviation_mm / PI if word == _AROUND else deviation_mm


def _require_clear(
    deviations: tuple[str, ...],
    asked: RingAsked,
    scale: RingScale | None,
    word: str,
    *,
    size: str,
    where: Named,
    problem: str,
) -> None:
    """Ask back where a deviation may be of another unit, another measure, or a share of a size."""
    given = [one.lstrip("+- ") for one in deviations if not is_nought(one)]
    bare = [one for one in given if not unit_in(one)]
    if bare and (len(bare) < len(given) or scale is None):
        raise InputError((f'{problem}; of which unit is {bare[0]}? Write "{bare[0]} mm" or "{bare[0]} in"',))
    for share in given:
        _require_no_share(share, scale, where=where, problem=problem)
    if given and not word and _is_mm_around(asked, scale):
        question = f'limits of the diameter, or around? {size} is millimetres around: write "across" or "around" behind'
        raise InputError((f"{problem}; {question} the limits",))


def _require_no_share(deviation: str, scale: RingScale | None, *, where: Named, problem: str) -> None:
    """Ask back where a deviation is a share of a size, or may be one: without a unit and a step of its scale."""
    named = unit_in(deviation)
    if scale is None or (named and named not in _SHARES):
        return
    number = deviation.removesuffix(named).strip()
    count = number_in(number, where=where)
    share = f"{float(count * scale.diameter_per_size_mm):.3f} mm"
    kind = "letter" if scale.labels is Labels.LETTERS else "size"
    if named:
        raise InputError((f'{problem}; limits are lengths: {number} of a {kind} is "{share}"; write that',))
    if count % scale.step == 0:
        question = f"a length, or {number} of a {kind}, which is {share}? Write the one that is meant with its unit"
        raise InputError((f"{problem}; {question}",))


def _ask_for_the_other(text: str, read_size: Callable[[object], RingAsked], *, problem: str) -> None:
    """Ask where one limit stands behind a size that is read without it."""
    parts = _ONE_ONLY.fullmatch(text)
    if parts is None:
        return
    size, sign, one = parts["size"].strip(), parts["sign"], parts["one"].strip()
    try:
        read_size(size)
    except InputError:
        return
    other = "+" if sign == "-" else "-"
    question = f'what is the other limit? Write "{size} {sign}{one}/{other}0", or "{size} ± {one}"'
    raise InputError((f"{problem}; {question}",)) from None


def _is_mm_around(asked: RingAsked, scale: RingScale | None) -> bool:
    """Whether what was asked is in millimetres around: a length, or a size that rises by one of them."""
    if asked.girth.measure is not Measure.CIRCUMFERENCE:
        return False
    return scale is None or (scale.labels is Labels.NUMBERS and scale.per_size_mm == 1)
