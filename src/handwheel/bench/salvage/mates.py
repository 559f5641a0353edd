"""The mate made to suit: limits that keep the fit with the size as it is."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.bench.salvage.place import Place
from handwheel.bench.salvage.tolerances import Limits, mate_of
from handwheel.bench.salvage.way import Verdict, Way, WayOut, limits_figures
from handwheel.data.fits import NamedFit, fit_clearance_mm, limits_to_mate_mm
from handwheel.data.iso286 import class_in_rule
from handwheel.data.loader import Standing
from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.exact import Fraction

FINEST_MM = Fraction(1, 10**6)
"""A size as measured is taken to a millionth of a millimetre; no gauge is finer. [mm]"""


def mate_ways(place: Place) -> Iterator[WayOut]:
    """Make what goes together with the part to suit it, where the drawing names a fit or a class."""
    if not place.is_judged_here or not place.is_diameter:
        return
    found = mate_of(place)
    if found is not None:
        yield _mate_of_fit(place, *found)
    elif class_in_rule(place.size.rule) is not None:
        yield _mate_of_class(place)


def _as_measured(place: Place) -> tuple[Fraction, Fraction]:
    """From where to where the finished size lies, exact. [mm]"""
    size, half = (round(Fraction(value) / FINEST_MM) * FINEST_MM for value in (place.size_mm, place.uncertainty_mm))
    size += place.size.finishing_change
    return size - half, size + half


def _mate_of_fit(place: Place, fit: NamedFit, mate: Limits) -> WayOut:
    """Limits of the mate that keep the named fit."""
    mate_low, mate_high = mate
    noun = _mate_noun(place)
    try:
        clearance = fit_clearance_mm(place.size.nominal, fit)
        lower, upper = limits_to_mate_mm(clearance, _as_measured(place), is_hole=not place.grows)
    except OutOfRangeError:
        return _not_sure_enough(place)
    return WayOut(
        code=Way.MATE_TO_SUIT,
        verdict=Verdict.ASK,
        words=f"a {noun} of {place.said_limits(float(lower), float(upper))} keeps the {fit.name} fit; "
        f"the one that was reckoned with is {place.said_limits(float(mate_low), float(mate_high))}",
        figures=limits_figures(float(lower), float(upper), of="mate"),
        asks=(f"is the {noun} still to be made, or can it be changed?", "does anything else go with it?"),
        relation="limits that keep the clearance with a size as measured",
        source_key="ISO286_1",
        standing=Standing.FROM_MEMORY,
    )


def _mate_of_class(place: Place) -> WayOut:
    """How far both limits of the mate move: the same for every fit that the class may belong to.

    A mate of limits 0 to 0 has the size's own limits as its clearance, so that what keeps that clearance is the move.
    """
    size = place.size
    clearance = (size.lower, size.upper) if place.grows else (-size.upper, -size.lower)
    noun = _mate_noun(place)
    try:
        low, high = limits_to_mate_mm(clearance, _as_measured(place), is_hole=not place.grows)
    except OutOfRangeError:
        return _not_sure_enough(place)
    return WayOut(
        code=Way.MATE_TO_SUIT,
        verdict=Verdict.ASK,
        words=f"a {noun} made to suit keeps the fit: its lower limit moves {_moves(place, low)}, its upper one "
        f"{_moves(place, high)}",
        figures=limits_figures(float(low), float(high), of="mate moves"),
        asks=(
            f"is the {noun} still to be made, or can it be changed? What are its limits?",
            "does anything else go with it?",
        ),
        relation="limits that keep the clearance with a size as measured",
        source_key="ISO286_1",
        standing=Standing.FROM_MEMORY,
    )


def _not_sure_enough(place: Place) -> WayOut:
    noun = _mate_noun(place)
    return WayOut(
        code=Way.MATE_TO_SUIT,
        verdict=Verdict.NOT,
        words=f"a {noun} made to suit: the size is known to ± {place.said(place.uncertainty_mm)} only, which leaves "
        f"the {noun} no limits; measure it with a surer gauge first",
        relation="limits that keep the clearance with a size as measured",
    )


def _mate_noun(place: Place) -> str:
    return "shaft" if place.grows else "hole"


def _moves(place: Place, value_mm: Fraction) -> str:
    return f"{'up' if value_mm >= 0 else 'down'} by {place.said(abs(float(value_mm)))}"
