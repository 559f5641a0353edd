"""What goes wrong in parting: a low edge, a blade too far out, slack, a timid feed."""

from __future__ import annotations

from handwheel.bench.diagnosis.effect import Effect, EffectKind, absent, known
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.facts import CutSort, JobFacts
from handwheel.bench.diagnosis.loads import cutting_force_n
from handwheel.domain.said import said, said_feed, said_short
from handwheel.physics.blade import USUAL_HEIGHT_MM, Blade, sinking_mm, sinking_stiffness_n_um
from handwheel.physics.parting import blade_reach_mm, parting_time_s
from handwheel.physics.tool_height import height_angle_deg

REACH_MARGIN_MM = 2.54
"""What a blade needs beyond the wall: a tenth of an inch, practice case PC-13; common practice, no source. [mm]"""
STIFFER_THAT_MATTERS = 2.0
"""From so many times the stiffness on it is worth setting a blade back; ours, no source."""
TILT_THAT_MATTERS_DEG = 2.0
"""Rake and clearance are ground no closer than this by hand; ours, no source. [deg]"""


def times_stiffer(blade: Blade, *, reach_mm: float) -> float:
    """How many times as stiff against sinking a blade is that is set back to another reach.

    Examples
    --------
    >>> round(times_stiffer(Blade(width_mm=2.0, height_mm=10.0, reach_mm=1.25 * 25.4), reach_mm=0.35 * 25.4), 1)
    45.6
    """
    shorter = Blade(width_mm=blade.width_mm, height_mm=blade.height_mm, reach_mm=reach_mm)
    return sinking_stiffness_n_um(shorter) / sinking_stiffness_n_um(blade)


def pip_height(facts: JobFacts, evidence: Evidence) -> Effect | None:
    """Pip that a low edge leaves: twice as wide as it stands low."""
    pip, below = evidence.number("pip"), evidence.number("tip_below")
    if facts.cut is CutSort.PART and facts.bore_dia_mm > (pip or 0.0):
        bore = said(facts.bore_dia_mm, facts.units)
        return absent(f"the blade comes out into the bore of Ø {bore}: there is no middle for a pip; file off the skin")
    if below is not None:
        left = max(0.0, 2.0 * below)
        return Effect(
            kind=EffectKind.AMOUNT,
            amount=left,
            words=f"{_low(below, facts)} leaves a pip of {said(left, facts.units)}",
            uses=("tip_below",),
            relation="pip = twice the height below the centre",
            standing="computed",
        )
    if pip is None:
        return None
    return Effect(
        kind=EffectKind.FIGURE,
        words=f"a pip of {said(pip, facts.units)} would mean an edge {said(pip / 2.0, facts.units)} below the centre; "
        "check the height before believing it",
        relation="height below the centre = half the pip",
        standing="computed",
    )


def _low(below_mm: float, facts: JobFacts) -> str:
    side = "below" if below_mm >= 0 else "above"
    return f"a tip {said(abs(below_mm), facts.units)} {side} the centre"


def tip_height(facts: JobFacts, evidence: Evidence) -> Effect | None:
    """By how much a tip off the centre turns rake and clearance at the cut."""
    below, found = evidence.number("tip_below"), known(facts.cut_dia_mm)
    if below is None or found is None:
        return None
    tilt = abs(height_angle_deg(below, cut_dia_mm=found[0]))
    return Effect(
        kind=EffectKind.LIMIT,
        amount=tilt / TILT_THAT_MATTERS_DEG,
        words=f"{_low(below, facts)} turns rake and clearance by {tilt:.1f}° on Ø {said(found[0], facts.units)}",
        uses=("tip_below",),
        relation="arcsin(2 h / d)",
        standing="computed",
    )


def blade_of(facts: JobFacts) -> Blade | None:
    """The blade as it stands out, its height taken as usual."""
    found = known(facts.width_mm, facts.stands_out_mm)
    return None if found is None else Blade(width_mm=found[0], height_mm=USUAL_HEIGHT_MM, reach_mm=found[1])


def blade_sinks(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Pip that a blade leaves which bends below the centre."""
    blade, force = blade_of(facts), cutting_force_n(facts)
    if blade is None or force is None:
        return None
    sinks = sinking_mm(blade, force_n=force)
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=2.0 * sinks,
        words=f"{said(blade.reach_mm, facts.units, places=1)} out, under up to {force:.0f} N, it sinks by "
        f"{said(sinks, facts.units, places=3)}; a pip of twice that",
        uses=("stands_out", "feed"),
        relation="cantilever; height of the blade taken as usual",
        source_key="BANSAL",
        standing="computed",
    )


def needed_reach_mm(facts: JobFacts) -> float | None:
    """How far a blade must stand out to come from the outside of the work to its bore, or to its middle. [mm]"""
    found = known(facts.outside_dia_mm)
    if found is None or facts.bore_dia_mm >= found[0]:
        return None
    return blade_reach_mm(found[0], bore_dia_mm=facts.bore_dia_mm, margin_mm=REACH_MARGIN_MM)


def blade_reach(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """How much stiffer the blade would be, set out no further than it must."""
    blade, needed = blade_of(facts), needed_reach_mm(facts)
    if needed is None:
        return None
    need = f"this cut needs {said(needed, facts.units)} of blade: (outside - bore) / 2 and "
    need += f"{said_short(REACH_MARGIN_MM, facts.units)}"
    relation = "stiffness of a cantilever goes with the cube of its reach"
    if blade is None:
        return Effect(kind=EffectKind.FIGURE, words=need, uses=("stands_out",), relation=relation)
    if blade.reach_mm <= needed:
        return absent(f"{need}; it stands out {said(blade.reach_mm, facts.units, places=1)}, no more than that")
    stiffer = times_stiffer(blade, reach_mm=needed)
    return Effect(
        kind=EffectKind.LIMIT,
        amount=stiffer / STIFFER_THAT_MATTERS,
        words=f"{need}; it stands out {said(blade.reach_mm, facts.units, places=1)}, and set back it "
        f"would be {stiffer:.1f} times as stiff",
        uses=("stands_out",),
        relation=relation,
        source_key="BANSAL",
        standing="computed",
    )


def slack_bite(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """What a blade takes that is drawn in by the slack of the cross-slide."""
    found = known(facts.slack_mm, facts.feed_high_mm_rev)
    if found is None:
        return None
    slack, feed = found
    return Effect(
        kind=EffectKind.FIGURE,
        words=f"the cross-slide has {said(slack, facts.units, places=3)} of slack: drawn in by it, the blade takes "
        f"{(slack + feed) / feed:.1f} times its feed in one bite",
        relation="(slack + feed) / feed",
        source_key="SHOP_FILE",
        standing="computed",
    )


def parting_time(facts: JobFacts, evidence: Evidence) -> Effect | None:
    """How many turns and how long the cut should take, against how long it took."""
    found = known(facts.outside_dia_mm, facts.rpm, facts.feed_low_mm_rev, facts.feed_high_mm_rev)
    if found is None or facts.bore_dia_mm >= found[0]:
        return None
    outside, rpm, low, high = found
    slow, fast = (
        parting_time_s(outside, bore_dia_mm=facts.bore_dia_mm, feed_mm_rev=feed, speed_rpm=rpm) for feed in (low, high)
    )
    turns = (outside - facts.bore_dia_mm) / 2.0 / low
    band = f"{slow:.0f} s" if round(slow) == round(fast) else f"{fast:.0f} to {slow:.0f} s"
    words = f"at {rpm:.0f} rev/min and {said_feed(low, high)} it should take {turns:.0f} turns at most, {band}"
    took = evidence.number("took")
    if took is None:
        return Effect(kind=EffectKind.FIGURE, words=words, uses=("took",), relation="(D - d) / (2 f n)")
    return Effect(
        kind=EffectKind.LIMIT,
        amount=took / slow,
        words=f"{words}; it took {took:.0f} s",
        uses=("took",),
        relation="(D - d) / (2 f n)",
        standing="computed",
    )
