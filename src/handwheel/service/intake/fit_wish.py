"""A fit as a wish, such as ``"running on 12 mm shaft"``: the limits that keep it with the mate as it is told."""

from __future__ import annotations

import re

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.fits import FitCharacter, NamedFit, fit_clearance_mm, limits_to_mate_mm, named_fits
from handwheel.data.iso286 import iso286_limits
from handwheel.domain.errors import DataTableError, OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.said import said, said_range, said_short, said_short_range
from handwheel.domain.size import Size
from handwheel.service.intake.lengths import shown_in_mm
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.places import quoted
from handwheel.service.intake.sizes import (
    BETWEEN,
    FIT,
    Fit,
    Limits,
    SizeForm,
    read_fitted_size,
    refuse_beside,
    split_fit,
)
from handwheel.service.intake.table import Table

LONGEST_WISH = 100
"""Longest text that is still looked at as a wish for a fit. [characters]"""
MOST_OFF_NOMINAL_MM = 1
"""How far a mate as measured may be from the size it is called by; more is a slip of the pen; own judgement. [mm]"""
LEAST_MATE_MM, MOST_MATE_MM = Fraction(1), Fraction(250)
"""Mates between which a fit can be looked up: 250 mm is the end of the table of ISO 286. [mm]"""

_WISH = Pattern(
    r"(?:an? )?(?P<name>[a-z]+(?: [a-z]+)??)(?: fit)? (?P<how>onto|on|into|in) (?:an? |the )?(?P<mate>[^ ].*)",
    re.IGNORECASE,
)
_MATE = Pattern(
    r"(?:(?P<size>[^a-z ].*?) ?)??(?:(?P<noun>shaft|pin|rod|spindle|axle|journal|hole|bore|housing)\b ?)?"
    r"(?:(?:that )?measure[sd] (?P<measured>.+))?",
    re.IGNORECASE,
)
_HOLES = ("hole", "bore", "housing")
_ONTO = ("on", "onto")
_EXAMPLES = {
    Fit.HOLE: '"running on 12 mm shaft", "sliding on 12 g6 shaft", "running on a shaft measured 11.98 mm"',
    Fit.SHAFT: '"press into 16 mm", "push into 16 H7", "sliding in a hole measured 16.02 mm"',
}
_TABLES = {Fit.HOLE: ("a bore goes on a shaft", "outside"), Fit.SHAFT: ("an outside goes into a hole", "bore")}


class Wished(Struct, frozen=True, kw_only=True):
    """A size that a fit was asked for, and the limits of what it is pressed into or on, if it is. [mm]"""

    size: Size
    pressed_to: tuple[Fraction, Fraction] | None


class _Mate(Struct, frozen=True, kw_only=True):
    """What the part goes together with: the size it is called by, its limits, how it was told. [mm]"""

    nominal: Fraction
    limits: tuple[Fraction, Fraction]
    told: str
    assumed: str = ""


def read_fit_wish(table: Table, *, form: SizeForm) -> Wished | None:
    """Read ``fit`` in place of a diameter and its limits; what it leaves open is asked back."""
    refuse_beside(table, ("diameter", BETWEEN), beside=f"{FIT}, which says the diameter")
    parts = _read_wish(table, form=form)
    fit = None if parts is None else _read_name(table, parts["name"])
    if parts is None or fit is None:
        return None
    mate = _read_mate(table, parts, fit, form=form)
    limits = None if mate is None else _limits(table, fit, mate, form=form)
    if mate is None or limits is None:
        return None
    wish = " ".join(str(table.raw(FIT)).split())
    least, most = fit_clearance_mm(mate.nominal, fit)
    size = read_fitted_size(
        table,
        FIT,
        nominal=mate.nominal,
        as_written=f"{wish}: {_between_words(least, most, table.units)} to {mate.told} ({fit.pair}, "
        f"{fit.standing.value} of "
        f"{fit.source_key})",
        fit=fit.name,
        limits=limits,
        form=form,
    )
    is_pressed = fit.character is FitCharacter.INTERFERENCE
    if size is None:
        return None
    return Wished(size=replace(size, assumed=mate.assumed), pressed_to=mate.limits if is_pressed else None)


def _read_wish(table: Table, *, form: SizeForm) -> re.Match[str] | None:
    """Take a wish apart; one that belongs to the other surface, or to either, is asked back."""
    written = table.raw(FIT)
    is_short = isinstance(written, str) and len(written) <= LONGEST_WISH
    parts = _WISH.fullmatch(" ".join(str(written).split())) if is_short else None
    allowed = f"a fit and its mate, such as {_EXAMPLES[form.fit]}"
    if parts is None:
        table.fault(FIT, allowed=allowed, do=f"write one of these fits with what it goes on or into: {_names()}")
        return None
    is_onto = parts["how"].lower() in _ONTO
    if is_onto is not (form.fit is Fit.HOLE):
        rule, other = _TABLES[form.fit]
        does = "on a shaft by its bore" if is_onto else "into a hole by its outside"
        table.fault(FIT, allowed=allowed, do=f"{rule}; does the part go {does}? Then write it under [{other}]")
        return None
    return parts


def _read_name(table: Table, name: str) -> NamedFit | None:
    fit = named_fits().get(name.lower())
    if fit is None:
        table.fault(FIT, allowed=_names(), do="write one of these, or a class of ISO 286 beside the diameter")
    return fit


def _names() -> str:
    return quoted(named_fits())


def _read_mate(table: Table, parts: re.Match[str], fit: NamedFit, *, form: SizeForm) -> _Mate | None:
    """Read the mate: a size, a size with a class, a size as measured, or both of the first and last."""
    said = _MATE.fullmatch(parts["mate"])
    is_hole = form.fit is Fit.SHAFT
    noun = "hole" if is_hole else "shaft"
    if said is None or not (said["size"] or said["measured"]):
        table.fault(FIT, allowed=f"the size of the {noun}", do=f'write "... 12 mm {noun}" or "... measured 11.98 mm"')
        return None
    if said["noun"] and (said["noun"].lower() in _HOLES) is not is_hole:
        table.fault(FIT, allowed=f"a {noun} as its mate", do="say which of the two this part is")
        return None
    length, letters = split_fit(said["size"]) if said["size"] else (None, "")
    nominal = None if length is None else _read_size(table, length)
    if length is not None and nominal is None:
        return None
    if said["measured"]:
        return _measured(table, said["measured"], nominal, letters=letters, noun=noun)
    return None if nominal is None else _by_class(table, nominal, letters, fit=fit, is_hole=is_hole)


def _by_class(table: Table, nominal: Fraction, letters: str, *, fit: NamedFit, is_hole: bool) -> _Mate | None:
    """Mate of the class that is named; else of the class that the fit has for it, and that is then an assumption."""
    mate = _of_class(table, nominal, letters or fit.mate_class(of_hole=not is_hole), is_hole=is_hole)
    if mate is None or letters:
        return mate
    noun = "hole" if is_hole else "shaft"
    return replace(mate, assumed=f"nobody has said what the {noun} measures; the limits take it for {mate.told}")


def _measured(table: Table, written: str, nominal: Fraction | None, *, letters: str, noun: str) -> _Mate | None:
    measured = _read_size(table, written)
    if measured is None:
        return None
    if letters:
        table.fault(FIT, allowed="a class or a measured size", do=f"leave {letters} out: the {noun} is as measured")
        return None
    if nominal is not None and abs(measured - nominal) > MOST_OFF_NOMINAL_MM:
        allowed = f"within {said_short(MOST_OFF_NOMINAL_MM, table.units)} of the size it is called by"
        table.fault(
            FIT, found=f"measured {said_short(measured, table.units)}", allowed=allowed, do="check both figures"
        )
        return None
    told = f"a {noun} measured {said_short(measured, table.units)}"
    return _Mate(nominal=measured if nominal is None else nominal, limits=(measured, measured), told=told)


def _of_class(table: Table, nominal: Fraction, letters: str, *, is_hole: bool) -> _Mate | None:
    noun, case = ("hole", "capital") if is_hole else ("shaft", "small")
    if letters[0].isupper() is not is_hole:
        table.fault(FIT, found=letters, allowed=f"a class for {noun}s, in {case} letters", do="check the letter")
        return None
    try:
        limits = iso286_limits(nominal, letters)
    except (DataTableError, OutOfRangeError) as error:
        do = f"or write the {noun} as measured"
        table.fault(FIT, allowed=f"a class that the table of ISO 286 holds ({error})", do=do)
        return None
    told = f"a {noun} of {said_short_range(*limits, table.units)}, {float(nominal):g} {letters}"
    return _Mate(nominal=nominal, limits=limits, told=told)


def _read_size(table: Table, written: object) -> Fraction | None:
    size = table.read_length(FIT, written)
    if size is not None and not LEAST_MATE_MM <= size <= MOST_MATE_MM:
        allowed = f"a mate from {said_short_range(LEAST_MATE_MM, MOST_MATE_MM, table.units)}"
        table.fault(FIT, found=shown_in_mm(written, size), allowed=allowed, do="check the figure and its unit")
        return None
    return size


def _limits(table: Table, fit: NamedFit, mate: _Mate, *, form: SizeForm) -> Limits | None:
    try:
        clearance = fit_clearance_mm(mate.nominal, fit)
        lower, upper = limits_to_mate_mm(clearance, mate.limits, is_hole=form.fit is Fit.HOLE)
    except (DataTableError, OutOfRangeError) as error:
        table.fault(FIT, allowed=f"a fit that can be kept ({error})", do="or write limits beside a diameter")
        return None
    return Limits(lower=lower - mate.nominal, upper=upper - mate.nominal, rule=fit.rule)


def _between_words(least: Fraction, most: Fraction, units: Units) -> str:
    """What is left between the parts, never a minus sign to be overlooked.

    Examples
    --------
    >>> _between_words(Fraction(16, 1000), Fraction(61, 1000), Units.MM)
    'clearance 0.016 to 0.061 mm (0.0006 to 0.0024 in)'
    >>> _between_words(Fraction(-29, 1000), Fraction(0), Units.MM)
    'interference 0.000 to 0.029 mm (0.0000 to 0.0011 in)'
    >>> _between_words(Fraction(-12, 1000), Fraction(17, 1000), Units.MM)
    'from 0.012 mm (0.0005 in) interference to 0.017 mm (0.0007 in) clearance'
    """
    if least >= 0:
        return f"clearance {said_range(least, most, units, places=3)}"
    if most <= 0:
        return f"interference {said_range(-most, -least, units, places=3)}"
    return f"from {said(-least, units, places=3)} interference to {said(most, units, places=3)} clearance"
