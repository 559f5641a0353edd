"""Slides drawn from screws that exist: leads, marks, labels right and wrong, slack, sense of the hand."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from msgspec.structs import replace

from handwheel.domain.motion import Handle, Motion
from handwheel.domain.slides import AidKind, AngleScale, Dial, LengthAid, Reads, Slide

MM_PER_INCH = Fraction(254, 10)
SCREWS = (
    (Fraction(1), 50),
    (Fraction(1), 100),
    (Fraction(5, 4), 50),
    (Fraction(3, 2), 30),
    (Fraction(3, 2), 75),
    (Fraction(2), 80),
    (Fraction(2), 100),
    (Fraction(5, 2), 125),
    (Fraction(3), 150),
    (Fraction(4), 200),
    (MM_PER_INCH / 20, 50),
    (MM_PER_INCH / 16, 60),
    (MM_PER_INCH / 10, 100),
    (MM_PER_INCH / 8, 125),
    (MM_PER_INCH / 10, 200),
)
"""Lead [mm] and marks of screws of cross-slides and top slides; common practice, no source."""
CARRIAGE_WHEELS = ((Fraction(20), 200), (MM_PER_INCH * Fraction(7, 10), 140), (Fraction(16), 160))
QUILL_SCREWS = ((Fraction(2), 40), (Fraction(5), 100), (MM_PER_INCH / 10, 100), (MM_PER_INCH / 8, 125))
ROUND_LABELS_MM = (Fraction(1, 100), Fraction(1, 50), Fraction(1, 20), MM_PER_INCH / 1000, MM_PER_INCH / 500)
READOUT_STEPS_MM = (Fraction(1, 200), Fraction(1, 100), MM_PER_INCH / 2000)


def dial_of(chance: Random, screw: tuple[Fraction, int], *, across: bool = False) -> Dial:
    """Collar on a screw; one in four is engraved with a figure that the screw does not keep."""
    lead, marks = screw
    reads = Reads.DIAMETER if across and chance.random() < 0.3 else Reads.TRAVEL
    honest = lead / marks * (2 if reads is Reads.DIAMETER else 1)
    label = chance.choice(ROUND_LABELS_MM) if chance.random() < 0.25 else honest
    return Dial(
        lead_mm=lead,
        marks=marks,
        label_mm=label,
        reads=reads,
        settable=chance.random() < 0.8,
        halves=chance.random() < 0.15,
    )


def slack_of(chance: Random) -> Fraction:
    """Slack of a screw, new to worn. [mm]"""
    return Fraction(chance.randint(2, 40), 100)


def cross_slide(chance: Random, old: Slide) -> Slide:
    """Cross-slide with another screw, one in eight with a readout in place of the collar."""
    slide = replace(
        old,
        clockwise_moves=Motion.IN if chance.random() < 0.85 else Motion.OUT,
        slack_mm=slack_of(chance),
        dial=dial_of(chance, chance.choice(SCREWS), across=True),
        travel_mm=float(chance.randint(90, 200)),
    )
    if chance.random() < 0.125 and slide.dial is not None:
        return replace(
            slide,
            dial=None,
            readout_step_mm=chance.choice(READOUT_STEPS_MM),
            turn_mm=float(slide.dial.lead_mm),
        )
    return slide


def top_slide(chance: Random, old: Slide) -> Slide:
    """Top slide with another screw and another scale at its base."""
    along = chance.random() < 0.5
    scale = AngleScale(
        zero_along_axis=along,
        step_deg=chance.choice((Fraction(1, 2), Fraction(1), Fraction(5, 2), Fraction(5))),
        # a scale that counts from across the bed must reach 90, else the slide cannot be set parallel by it
        max_deg=chance.choice((60.0, 90.0)) if along else 90.0,
    )
    return replace(
        old,
        clockwise_moves=Motion.LEFT if chance.random() < 0.85 else Motion.RIGHT,
        slack_mm=slack_of(chance),
        dial=dial_of(chance, chance.choice(SCREWS)),
        travel_mm=float(chance.randint(55, 120)),
        angle_scale=scale,
    )


def carriage(chance: Random, old: Slide) -> Slide:
    """Carriage with a dial, or with none and an indicator and a rule; the travel of a turn is known."""
    wheel = chance.choice(CARRIAGE_WHEELS)
    slide = replace(
        old,
        clockwise_moves=Motion.RIGHT if chance.random() < 0.85 else Motion.LEFT,
        slack_mm=Fraction(chance.randint(10, 80), 100),
    )
    if chance.random() < 0.5:
        return replace(slide, dial=dial_of(chance, wheel), turn_mm=0.0)
    aids = (
        LengthAid(kind=AidKind.STOP, step_mm=Fraction(1, 50), range_mm=150.0),
        LengthAid(kind=AidKind.INDICATOR, step_mm=Fraction(1, 100), range_mm=chance.choice((10.0, 30.0, 50.0))),
        LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=300.0),
    )
    return replace(slide, dial=None, turn_mm=float(wheel[0]), aids=aids)


def quill(chance: Random, old: Slide) -> Slide:
    """Quill of the tailstock with another screw."""
    screw = chance.choice(QUILL_SCREWS)
    return replace(
        old,
        handle=Handle.QUILL,
        slack_mm=slack_of(chance),
        dial=dial_of(chance, screw),
        travel_mm=float(chance.randint(90, 140)),
    )


def travel_per_step_mm(slide: Slide) -> float:
    """Smallest travel that can be set on a slide with dial or readout. [mm]"""
    if slide.dial is not None:
        return float(slide.dial.lead_mm / slide.dial.marks) * (0.5 if slide.dial.halves else 1.0)
    return float(slide.readout_step_mm or 0)
