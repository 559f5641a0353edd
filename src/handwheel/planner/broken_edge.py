"""The words of an edge that is broken by hand: how wide it is to be, and how the eye judges that against a rule."""

from __future__ import annotations

from handwheel.domain.part import SizedFeature, Units
from handwheel.domain.said import said
from handwheel.domain.size import MM_PER_INCH

RULE_GAP_MM = {Units.MM: 0.5, Units.INCH: float(MM_PER_INCH / 64)}
"""From one of the finest lines of a steel rule to the next: 0.5 mm or 1/64 in; common practice, no source. [mm]"""
RULE_WORDS = {Units.MM: "0.5 mm", Units.INCH: "1/64 in"}


def break_words(feature: SizedFeature, units: Units) -> str:
    """What the hand does to an edge, and how the result is judged: no gauge of a workshop tells so narrow a bevel."""
    low_mm, high_mm = (float(limit) for limit in (feature.size.cut_lower, feature.size.cut_upper))
    return (
        f"Break the {feature.surface.replace('-', ' ')} all round with a scraper or fine file, ring in the hand, "
        f"strokes away from the fingers: legs of {said(low_mm, units)} to {said(high_mm, units)}. "
        f"Judge by eye, a rule with {RULE_WORDS[units]} lines held to the face: the bright band along the edge is "
        f"{shares_of_a_gap(low_mm, high_mm, units)} of the gap between two lines, alike all round. "
        "Go slowly: a band too wide stays."
    )


def shares_of_a_gap(low_mm: float, high_mm: float, units: Units) -> str:
    """Range of a leg [mm] in gaps between the finest lines of a rule, to a tenth, for the eye tells no more.

    Examples
    --------
    >>> shares_of_a_gap(0.1, 0.3, Units.MM), shares_of_a_gap(0.1, 0.3, Units.INCH), shares_of_a_gap(0.2, 0.22, Units.MM)
    ('0.2 to 0.6', '0.3 to 0.8', 'about 0.4')
    """
    low, high = (f"{leg_mm / RULE_GAP_MM[units]:.1f}" for leg_mm in (low_mm, high_mm))
    return f"about {low}" if low == high else f"{low} to {high}"
