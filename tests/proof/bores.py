"""Bores that are not bored to size: reamed ones and tapped ones, with the reamer and the tap for them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from random import Random

from handwheel.data.threads import minor_limits_mm
from handwheel.domain.hole_tools import Reamer, ReamerKind, Tap
from handwheel.domain.thread import parse_thread

REAM_STEP_MM = 0.05
"""Coarsest step of a cross-slide by which a bore lands within what a reamer may be left (TM 1-420: 0.127 to 0.254)."""
REAMED_BAND_MM = ((18.0, 0.018), (30.0, 0.021))
"""Up to which diameter, width of tolerance H7 (ISO 286-2, from memory). [mm]"""
REAMING_MM = 0.254
"""Most that a reamer is left on the diameter (TM 1-420, par. 37)."""
REAM_SPEED_SHARE = 0.5
"""Speed of a reamer as a share of that of drilling (TM 1-420, par. 37)."""
THREADS = ("M12x1.5", "M14x1.5", "M16x1.5", "M16x2", "M20x1.5", "M20x2.5", "M24x2")


class Bored(Enum):
    """How a bore comes to its size."""

    BORED = "bored"
    REAMED = "reamed"
    TAPPED = "tapped"


@dataclass(frozen=True, kw_only=True)
class Bore:
    """A bore that something else than a boring bar settles; ``past`` is the room for a lead behind the slot. [mm]"""

    by: Bored
    dia: float = 0.0
    pm: float = 0.0
    past: float = 0.0
    leg: float = 0.0
    thread: str = ""
    reamer_dia: float = 0.0


def reamed(chance: Random, *, drill_chuck_mm: float) -> Bore:
    """A bore in H7 whose limits no dial need meet."""
    dia = chance.randint(20, int(2.0 * min(drill_chuck_mm, 25.0))) / 2.0
    band = next(width for most, width in REAMED_BAND_MM if dia <= most)
    lead = round(chance.uniform(2.0, 5.0), 1)
    return Bore(by=Bored.REAMED, dia=round(dia + band / 2.0, 4), pm=band / 2.0, past=lead, reamer_dia=dia)


def tapped(chance: Random) -> Bore:
    """A threaded bore: the limits of its core, and the bevel in which the tap starts."""
    thread = parse_thread(chance.choice(THREADS))
    if thread is None:
        msg = "a thread of the list cannot be read"
        raise ValueError(msg)
    low, high = (float(limit) for limit in minor_limits_mm(thread))
    return Bore(
        by=Bored.TAPPED,
        dia=(low + high) / 2.0,
        pm=(high - low) / 2.0,
        past=round(chance.uniform(1.5, 4.0) * float(thread.pitch_mm), 1),
        leg=round(float(thread.major_mm) / 2.0 - low / 2.0 + 0.1, 2),
        thread=thread.designation,
    )


def reamers(chance: Random, bore: Bore, *, depth_mm: float) -> tuple[Reamer, ...]:
    """The reamer of a reamed bore: its hole lies within the limits, its flutes are longer than the hole."""
    if bore.by is not Bored.REAMED:
        return ()
    dia = Fraction(bore.reamer_dia).limit_denominator(10)
    low = Fraction(chance.randint(0, 6), 1000)
    return (
        Reamer(
            id="drawn-reamer",
            kind=ReamerKind.MACHINE,
            dia_mm=dia,
            hole_lower_mm=dia + low,
            hole_upper_mm=dia + low + Fraction(chance.randint(2, 11), 1000),
            flute_mm=round(depth_mm + bore.past + chance.uniform(4.0, 30.0), 1),
            lead_mm=bore.past,
            lead_dia_mm=bore.reamer_dia - chance.uniform(0.5, 1.0),
        ),
    )


def taps(chance: Random, bore: Bore, *, depth_mm: float) -> tuple[Tap, ...]:
    """The tap of a threaded bore, long enough to come through."""
    thread = parse_thread(bore.thread) if bore.thread else None
    if thread is None:
        return ()
    length = round(depth_mm + bore.past + chance.uniform(2.0, 20.0), 1)
    return (Tap(id="drawn-tap", thread=thread, lead_mm=bore.past, length_mm=length),)
