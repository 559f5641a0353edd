"""The lead of a screw from ten turns: a lead is exact and a measure is not, so it says which it may be."""

from __future__ import annotations

import re

from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH
from handwheel.service.intake.lengths import length_mm

TURNS = 10
TEN_TURNS_OUT_MM = Fraction(3, 20)
"""How far a length of ten turns may be out, with a caliper over a slide; own judgement. [mm]"""
METRIC_LEADS_MM = tuple(Fraction(n, 4) for n in (2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 24, 32, 40, 48, 64, 80))
"""Leads of metric slide screws and racks that are usual; common practice, no source. [mm]"""
TURNS_PER_INCH = (1, 2, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24, 32, 40)
"""Turns for an inch that are usual; common practice, no source."""

_TEN_TURNS = re.compile(r"(?:10|ten)\s*turns?\s*[:=]?\s*(?P<length>.+)", re.IGNORECASE)


def ten_turns_mm(line: str, *, units: Units) -> Fraction | None:
    """Length of ten turns in an answer such as "10 turns 20.02 mm"; ``None`` if it is another answer. [mm]

    Raises
    ------
    InputError
        If what stands behind the turns is no length.

    Examples
    --------
    >>> ten_turns_mm("ten turns 20.02", units=Units.MM), ten_turns_mm("2 mm", units=Units.MM)
    (Fraction(1001, 50), None)
    """
    found = _TEN_TURNS.fullmatch(line.strip())
    return length_mm(found["length"], unit=units, where="ten turns") if found else None


def usual_leads(measured_mm: Fraction) -> tuple[str, ...]:
    """Usual leads that ten turns of that length may be, each as it is typed, nearest first.

    Examples
    --------
    >>> usual_leads(Fraction("20.02")), usual_leads(Fraction("12.6")), usual_leads(Fraction("23.0"))
    (('2 mm',), ('1.25 mm', '1/20 in'), ())
    """
    known = {f"{float(lead):g} mm": lead for lead in METRIC_LEADS_MM}
    known |= {f"1/{turns} in" if turns > 1 else "1 in": MM_PER_INCH / turns for turns in TURNS_PER_INCH}
    out = {words: abs(TURNS * lead - measured_mm) for words, lead in known.items()}
    return tuple(words for words in sorted(out, key=lambda word: out[word]) if out[words] <= TEN_TURNS_OUT_MM)


def winding_words(measured_mm: Fraction) -> tuple[str, ...]:
    """What to say of ten turns: the lead to type, or that none is near."""
    each = f"{float(measured_mm) / TURNS:.3f} mm a turn"
    leads = usual_leads(measured_mm)
    if not leads:
        return (f"{each}: no usual lead is near. Measure again one way; if it stays, type what one turn moves.",)
    if len(leads) == 1:
        return (f"{each}: a lead of {leads[0]}. Type {leads[0]} if that is it.",)
    return (f"{each}: may be {' or '.join(leads)}. Wind further and measure, then type one.",)
