"""What makes a cut sing: its depth, blade or edge against what the set-up bears, speed, overhang."""

from __future__ import annotations

from handwheel.bench.diagnosis.cut_effects import listed_at_most_rpm
from handwheel.bench.diagnosis.effect import Effect, EffectKind, absent, known
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.facts import CutSort, JobFacts
from handwheel.bench.diagnosis.loads import metal_of, specific_force_n_mm2, stiffness_n_um
from handwheel.data.heard import GUESS, reckoned_blade_mm
from handwheel.domain.motion import Handle
from handwheel.domain.said import said
from handwheel.physics.quiet_cut import BAR_DAMPING, TOOL_DAMPING, quiet_depth_mm
from handwheel.physics.speed import cutting_speed_m_min
from handwheel.physics.stability import DAMPED_BELOW_M_MIN

CHAMFER_SHARE = 1.0 / 3.0
"""To what share of its speed a chamfer that ripples is slowed down: practice case PC-20, common practice [COMMON]."""
HALF_OUT = 0.5
TIMES_STIFFER_BY_HALF = HALF_OUT**-3
"""How much stiffer is what stands out half as far: the cube [BANSAL]."""


def quiet_mm(facts: JobFacts) -> float | None:
    """Width of chip that the set-up bears before it sings, by reckoning and what the shop has heard. [mm]"""
    stiffness, specific = stiffness_n_um(facts), specific_force_n_mm2(facts)
    if stiffness is None or specific is None:
        return None
    damping = BAR_DAMPING if facts.cut is CutSort.BORE else TOOL_DAMPING
    return facts.heard * quiet_depth_mm(stiffness, damping_ratio=damping, kc_n_mm2=specific)


def quiet_depth(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Depth of the cut against the depth at which it may begin to sing."""
    quiet, found = quiet_mm(facts), known(facts.depth_mm)
    if quiet is None or found is None:
        return None
    out = facts.stands_out_mm if facts.cut is CutSort.BORE else facts.free_mm
    who = "the bar" if facts.cut is CutSort.BORE else "the work"
    reach = "" if out is None else f", {who} {said(out, facts.units, places=1)} out"
    return Effect(
        kind=EffectKind.LIMIT,
        amount=found[0] / quiet,
        uncertain=GUESS,
        words=f"{said(found[0], facts.units, places=3)} deep{reach}; surely quiet up to about "
        f"{said(quiet, facts.units)}, within a factor of {GUESS:g}",
        uses=("depth", "stands_out", "stick_out", "feed"),
        relation="stability limit of one flexible mode",
        source_key="ALTINTAS",
        standing="from memory",
    )


def blade_sings(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Width of a blade against the width that its set-up bears."""
    metal = metal_of(facts)
    found = known(facts.width_mm, facts.stands_out_mm, facts.machine_n_um, facts.feed_high_mm_rev)
    if metal is None or found is None:
        return None
    width, out, machine, feed = found
    quiet = facts.heard * reckoned_blade_mm(metal, width_mm=width, out_mm=out, machine_n_um=machine, feed_mm_rev=feed)
    turning = known(facts.rpm, facts.cut_dia_mm)
    damped = turning is not None and cutting_speed_m_min(turning[0], cut_dia_mm=turning[1]) < DAMPED_BELOW_M_MIN
    return Effect(
        kind=EffectKind.FIGURE if damped else EffectKind.LIMIT,
        amount=width / quiet,
        uncertain=GUESS,
        words=f"{said(width, facts.units)} wide and {said(out, facts.units, places=1)} out; surely quiet up to about "
        f"{said(quiet, facts.units)}"
        f"{', though so slow a cut is damped and bears more' if damped else ''}",
        uses=("stands_out", "feed"),
        relation="stability limit of one flexible mode, machine and blade in series",
        source_key="ALTINTAS",
        standing="from memory",
    )


def wide_edge(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Length of edge on a chamfer against what the set-up bears."""
    if facts.feed_handle is Handle.TOP:
        return absent("the plan cuts it with the point, driven by the top slide")
    return _wide(facts, "")


def third_speed(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """A third of the speed, as the lathe has it."""
    found = known(facts.rpm)
    if found is None:
        return None
    third = found[0] * CHAMFER_SHARE
    listed = listed_at_most_rpm(facts, third)
    has = "" if listed is None else f"; the lathe has {listed:.0f} rev/min"
    words = f"a third of {found[0]:.0f} rev/min is {third:.0f}{has}"
    wide = None if facts.feed_handle is Handle.TOP else _wide(facts, f"{words}; ")
    return wide or Effect(kind=EffectKind.FIGURE, words=words, uses=("rpm",), relation="a third, practice case PC-20")


def _wide(facts: JobFacts, before: str) -> Effect | None:
    quiet, found = quiet_mm(facts), known(facts.contact_mm)
    if quiet is None or found is None:
        return None
    return Effect(
        kind=EffectKind.LIMIT,
        amount=found[0] / quiet,
        uncertain=GUESS,
        words=f"{before}{said(found[0], facts.units)} of edge lies on the work at once; surely quiet up to about "
        f"{said(quiet, facts.units)}, within a factor of {GUESS:g}",
        uses=("stick_out", "feed"),
        relation="stability limit of one flexible mode",
        source_key="ALTINTAS",
        standing="from memory",
    )


def overhang(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """How far tool and work stand out."""
    told = [
        f"{who} {said(out, facts.units, places=1)} out"
        for who, out in (("tool", facts.stands_out_mm), ("work", facts.free_mm))
        if out is not None
    ]
    if not told:
        return None
    return Effect(
        kind=EffectKind.FIGURE,
        words=f"{', '.join(told)}; half as far is {TIMES_STIFFER_BY_HALF:.0f} times as stiff",
        uses=("stands_out", "stick_out"),
        relation="stiffness of a cantilever goes with the cube of its length",
        source_key="BANSAL",
        standing="computed",
    )
