"""Limits that would hold the size as it is: another class of ISO 286, a looser fit, a coarser general class."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.bench.salvage.place import FLOAT_MM, Place, Side
from handwheel.bench.salvage.way import Verdict, Way, WayOut, limits_figures
from handwheel.data.fits import NamedFit, fit_clearance_mm, fit_in_rule, named_fits
from handwheel.data.iso286 import class_in_rule, iso286_grades, iso286_letters, iso286_limits
from handwheel.data.iso2768 import GeneralClass, GeneralKind, general_class_in_rule, general_tolerance_mm
from handwheel.data.loader import Standing
from handwheel.domain.errors import DataTableError, OutOfRangeError
from handwheel.domain.exact import Fraction

OWNER = "whoever owns the drawing"
GUARDED = "the size with its uncertainty lies inside [ISO14253_1]"
Limits = tuple[Fraction, Fraction]


def tolerance_ways(place: Place) -> Iterator[WayOut]:
    """Classes, fits and general classes that hold the size; each is a question, nothing is silently widened."""
    if not place.is_judged_here:
        return
    yield from _classes(place)
    yield from _fits(place)
    yield from _general(place)


def accept_way(place: Place) -> WayOut:
    """Leave it as it is, by the word of whoever owns the drawing."""
    past = place.beyond_mm
    where = "" if place.side is Side.INSIDE else f", {place.said(past)} outside its limit"
    return WayOut(
        code=Way.ACCEPT,
        verdict=Verdict.ASK,
        words=f"{place.said(place.size_mm)} ± {place.said(place.uncertainty_mm)}{where}",
        figures=limits_figures(
            place.size_mm - place.uncertainty_mm, place.size_mm + place.uncertainty_mm, of="size as it is"
        ),
        asks=(f"does it do its work so? Ask {OWNER}, write the yes down with the size, mark the part",),
        wall_mm=place.wall_mm(place.size_mm) if place.is_diameter else None,
        relation="the size as measured",
    )


def _holds(place: Place, limits: Limits | None) -> bool:
    then = float(place.size.finishing_change)
    return limits is not None and place.is_within(float(limits[0]), float(limits[1]), then_mm=then)


# classes of ISO 286 -------------------------------------------------------------------------------------------------


def _classes(place: Place) -> Iterator[WayOut]:
    named = class_in_rule(place.size.rule)
    if named is None:
        return
    letter, grade = named
    grades = [each for each in iso286_grades() if each > grade]
    coarser = next((each for each in grades if _holds(place, _limits(place, letter, each))), None)
    if coarser is not None:
        yield _class_way(place, Way.COARSER_CLASS, f"{letter}{grade}", f"{letter}{coarser}")
    for each in (grade, *(grades if coarser is None else ())):
        others = [(gap, other) for other in iso286_letters() for gap in _gap(place, letter, grade, other, each)]
        if others:
            yield _class_way(place, Way.OTHER_CLASS, f"{letter}{grade}", f"{min(others)[1]}{each}")
            return


def _gap(place: Place, letter: str, grade: int, other: str, other_grade: int) -> Iterator[Fraction]:
    """How far the middle of another letter lies from the drawing's, if it is of the same kind and holds the size."""
    limits = _limits(place, other, other_grade)
    if other != letter and other.isupper() is letter.isupper() and limits is not None and _holds(place, limits):
        lower, upper = _limits(place, letter, grade) or limits
        yield abs(limits[0] + limits[1] - lower - upper) / 2


def _limits(place: Place, letter: str, grade: int) -> Limits | None:
    """Limits of a class at the nominal size; nothing if the standard has none."""
    try:
        return iso286_limits(place.size.nominal, f"{letter}{grade}")
    except (DataTableError, OutOfRangeError):
        return None


def _class_way(place: Place, code: Way, own: str, other: str) -> WayOut:
    lower, upper = iso286_limits(place.size.nominal, other)
    nominal = float(place.size.nominal)
    return WayOut(
        code=code,
        verdict=Verdict.ASK,
        words=f"{nominal:g} {other} holds it in place of {own}: {place.said_limits(float(lower), float(upper))}",
        figures=limits_figures(float(lower), float(upper)),
        asks=(f"may the drawing say {other}? {_looser(place, lower, upper)}; ask {OWNER}",),
        relation=f"limits of {nominal:g} {other}; {GUARDED}",
        standing=Standing.FROM_MEMORY,
        source_key="ISO286_1",
    )


def _looser(place: Place, lower: Fraction, upper: Fraction) -> str:
    """What other limits do to what goes together with the part."""
    was_lower, was_upper = place.size.lower, place.size.upper
    is_hole = place.grows
    looser = float(upper - was_upper if is_hole else was_lower - lower)
    tighter = float(was_lower - lower if is_hole else upper - was_upper)
    told = [
        f"{place.said(amount)} {word} at most"
        for amount, word in ((looser, "looser"), (tighter, "tighter"))
        if amount > 0
    ]
    return f"with its mate it may be {' or '.join(told)} than drawn" if told else "with its mate it is no worse"


# fits by name -------------------------------------------------------------------------------------------------------


def mate_of(place: Place) -> tuple[NamedFit, Limits] | None:
    """Fit that the size was asked for by, and the limits of its mate; nothing if it was asked for otherwise.

    The mate is found back from the limits: for a hole they are its greatest size and the least clearance, its least
    and the most (`handwheel.data.fits.limits_to_mate_mm`), for a shaft the like.
    """
    fit = fit_in_rule(place.size.rule)
    if fit is None:
        return None
    least, most = fit_clearance_mm(place.size.nominal, fit)
    size = place.size
    if place.grows:
        return fit, (size.upper - most, size.lower - least)
    return fit, (size.upper + least, size.lower + most)


def _fits(place: Place) -> Iterator[WayOut]:
    """Named fits that the size as it is makes with its mate, the nearest to the one that was asked for."""
    found = mate_of(place)
    if found is None:
        return
    fit, (mate_low, mate_high) = found
    low, high = clearance_now_mm(place, float(mate_low), float(mate_high))
    order = [each.pair for each in named_fits().values()]
    others = [
        each
        for each in named_fits().values()
        if each.pair != fit.pair and _covers(fit_clearance_mm(place.size.nominal, each), low, high)
    ]
    if not others:
        return
    other = min(others, key=lambda each: abs(order.index(each.pair) - order.index(fit.pair)))
    yield WayOut(
        code=Way.OTHER_FIT,
        verdict=Verdict.ASK,
        words=f"with its mate it is a {other.name} fit ({other.pair}), not {fit.name}: "
        f"{between_words(place, low, high)}",
        figures=limits_figures(low, high, of="clearance"),
        asks=(f"will a fit that {other.says} do? Ask {OWNER}", "what does the mate measure?"),
        relation=f"clearance of {other.pair}; {GUARDED}",
        standing=Standing.FROM_MEMORY,
        source_key="BS4500",
    )


def clearance_now_mm(place: Place, mate_low_mm: float, mate_high_mm: float) -> tuple[float, float]:
    """Least and most clearance of the size as it is with a mate between limits, the uncertainty in it. [mm]"""
    size = place.size_mm + float(place.size.finishing_change)
    low, high = size - place.uncertainty_mm, size + place.uncertainty_mm
    return (low - mate_high_mm, high - mate_low_mm) if place.grows else (mate_low_mm - high, mate_high_mm - low)


def between_words(place: Place, low_mm: float, high_mm: float) -> str:
    """What is left between the parts, never a minus sign to be overlooked."""
    if low_mm >= 0:
        return f"clearance {place.said_range(low_mm, high_mm)}"
    if high_mm <= 0:
        return f"interference {place.said_range(-high_mm, -low_mm)}"
    return f"from {place.said(-low_mm)} interference to {place.said(high_mm)} clearance"


def _covers(clearance: Limits, low_mm: float, high_mm: float) -> bool:
    return float(clearance[0]) <= low_mm + FLOAT_MM and high_mm <= float(clearance[1]) + FLOAT_MM


# general tolerances -------------------------------------------------------------------------------------------------


def _general(place: Place) -> Iterator[WayOut]:
    own = general_class_in_rule(place.size.rule)
    if own is None:
        return
    classes = list(GeneralClass)
    for coarser in classes[classes.index(own) + 1 :]:
        limits = _general_limits(place, coarser)
        if limits is None or not _holds(place, limits):
            continue
        half = float(limits[1] - place.size.nominal)
        yield WayOut(
            code=Way.GENERAL_CLASS,
            verdict=Verdict.ASK,
            words=f"class {coarser.value} of ISO 2768-1 holds it in place of {own.value}: "
            f"{place.said(float(place.size.nominal))} ± {place.said(half)}",
            figures=limits_figures(float(limits[0]), float(limits[1])),
            asks=(f"may this size have class {coarser.value}? The drawing says {own.value} for all; ask {OWNER}",),
            relation=f"general tolerance of class {coarser.value}; {GUARDED}",
            standing=Standing.OPENED,
            source_key="ISO2768_1",
        )
        return


def _general_limits(place: Place, general_class: GeneralClass) -> Limits | None:
    try:
        half = general_tolerance_mm(GeneralKind.LINEAR, place.size.nominal, general_class)
    except (DataTableError, OutOfRangeError):
        return None
    return place.size.nominal - half, place.size.nominal + half
