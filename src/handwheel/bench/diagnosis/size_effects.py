"""What makes a size wrong: warmth, slack, the mark, the gauge, a quill that wanders."""

from __future__ import annotations

from handwheel.bench.diagnosis.effect import Effect, EffectKind, known
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.facts import CutSort, JobFacts
from handwheel.bench.diagnosis.loads import (
    G_PER_KG,
    MM3_PER_CM3,
    PER_MICRO,
    cutting_force_n,
    metal_of,
    work_of,
)
from handwheel.data.materials import Material
from handwheel.domain.matters import SHARE_THAT_MATTERS
from handwheel.domain.said import said
from handwheel.physics.cooling import cooling_wait_s, warmth_matters
from handwheel.physics.power import power_w
from handwheel.physics.speed import S_PER_MIN, cutting_speed_m_min
from handwheel.physics.thermal import cooling_time_constant_s, size_change_mm, temperature_rise_k

MOST_HEAT_SHARE = 0.3
"""Share of the cutting power that warms the work, upper end of 0.1 to 0.3 [HEAT_NOTES] [TEXTBOOKS], from memory."""
HOTTEST_K = 100.0
"""No more than this is reckoned: oil smokes and hands stay off long before; ours, no source. [K]"""
_TO_MIN = S_PER_MIN


def growth(facts: JobFacts, evidence: Evidence) -> Effect | None:
    """Growth of the diameter by warmth: typed, or what the cuts of the step can do at most."""
    metal, found = metal_of(facts), known(facts.cut_dia_mm)
    typed = evidence.number("warmer_by")
    rise = typed if typed is not None else _rise_k(facts)
    if metal is None or found is None or rise is None:
        return None
    grown = size_change_mm(found[0], alpha_per_k=metal.range("alpha").most * PER_MICRO, difference_k=rise)
    how = "as typed" if typed is not None else "the most that the cuts of this step can do"
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=abs(grown),
        words=f"{rise:.0f} °C warmer, {how}: Ø {said(found[0], facts.units)} is larger by "
        f"{said(grown, facts.units, places=4)}{_against_tolerance(grown, facts, metal)}",
        uses=("warmer_by", "depth", "feed", "rpm"),
        relation="expansion; at most all heat of the cuts stays in what stands out of the holding",
        source_key="PYTEL" if typed is not None else "HEAT_NOTES",
        standing="opened",
    )


def _rise_k(facts: JobFacts) -> float | None:
    """Warming if the work keeps all heat that goes into it. [K]"""
    metal, work, force = metal_of(facts), work_of(facts), cutting_force_n(facts)
    if facts.cut in {CutSort.DRILL, CutSort.REAM}:
        return None
    found = known(facts.rpm, facts.cut_dia_mm, facts.seconds)
    if metal is None or work is None or force is None or found is None:
        return None
    speed = cutting_speed_m_min(found[0], cut_dia_mm=found[1])
    rise = temperature_rise_k(
        power_w(force, cutting_speed_m_min=speed),
        time_s=found[2],
        heat_share=MOST_HEAT_SHARE,
        mass_kg=_mass_kg(facts, metal),
        specific_heat_j_kg_k=metal.range("specific_heat").least,
    )
    return min(rise, HOTTEST_K)


def _mass_kg(facts: JobFacts, metal: Material) -> float:
    work = work_of(facts)
    volume = 0.0 if work is None else work.volume_mm3
    return metal.range("density").least * volume / MM3_PER_CM3 / G_PER_KG


def _against_tolerance(grown_mm: float, facts: JobFacts, metal: Material) -> str:
    """How the growth stands against a tenth of the tolerance, and how long to wait for it."""
    if facts.band_mm is None or facts.band_mm <= 0:
        return ""
    tenth = SHARE_THAT_MATTERS * facts.band_mm
    said_tenth = f"a tenth of the tolerance, {said(tenth, facts.units, places=4)}"
    if not warmth_matters(grown_mm, tolerance_mm=facts.band_mm, share=SHARE_THAT_MATTERS):
        return f"; less than {said_tenth}: too small to matter"
    work = work_of(facts)
    if work is None:
        return f"; more than {said_tenth}"
    constant = cooling_time_constant_s(
        _mass_kg(facts, metal),
        specific_heat_j_kg_k=metal.range("specific_heat").most,
        surface_mm2=work.surface_mm2,
    )
    wait_min = cooling_wait_s(grown_mm, allowed_mm=tenth, time_constant_s=constant) / _TO_MIN
    return f"; more than {said_tenth}; in still air it is gone after {wait_min:.0f} min at most"


def slack_size(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """What the slack of the slide is on the diameter, if a setting is reached from the other side."""
    found = known(facts.slack_mm)
    if found is None:
        return None
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=2.0 * found[0],
        words=f"the slack of {said(found[0], facts.units, places=3)} is "
        f"{said(2.0 * found[0], facts.units, places=3)} on the diameter",
        relation="twice the slack of the slide that sets the depth",
        source_key="SHOP_FILE",
        standing="computed",
    )


def half_mark(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """What half a mark of the handle in use is on the diameter."""
    found = known(facts.mark_dia_mm)
    if found is None:
        return None
    half = found[0] / 2.0
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=half,
        words=f"half a mark is {said(half, facts.units, places=4)} on the diameter",
        relation="half of what a mark is worth on the diameter",
        source_key="SHOP_FILE",
        standing="computed",
    )


def gauge_spread(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """By how much two readings of the gauge may differ."""
    found = known(facts.gauge_mm)
    if found is None:
        return None
    spread = 2.0 * found[0]
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=spread,
        words=f"trusted to ± {said(found[0], facts.units, places=4)}, it may differ by "
        f"{said(spread, facts.units, places=4)} from one reading to the next",
        relation="twice the half-width within which the gauge is trusted",
        source_key="SHOP_FILE",
        standing="computed",
    )


def tailstock_play(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """How much larger a hole gets by a quill that wanders."""
    found = known(facts.play_mm)
    if found is None:
        return None
    larger = 2.0 * found[0]
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=larger,
        words=f"play of {said(found[0], facts.units, places=3)} to any side makes up to "
        f"{said(larger, facts.units, places=3)} on the diameter",
        relation="twice the play of the tailstock",
        source_key="SHOP_FILE",
        standing="computed",
    )
