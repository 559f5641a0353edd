"""What makes a shape wrong: a slide out of line, work or bar that springs, jaws that press lobes into a ring."""

from __future__ import annotations

from math import radians, tan

from handwheel.bench.diagnosis.effect import Effect, EffectKind, absent, known
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.facts import CutSort, JobFacts
from handwheel.bench.diagnosis.loads import metal_of, modulus_n_mm2, radial_force_n, stiffness_n_um, work_of
from handwheel.data.rings import thick_ring_table
from handwheel.domain.motion import Handle
from handwheel.domain.said import said
from handwheel.physics.deflection import cantilever_deflection_mm, second_moment_mm4
from handwheel.physics.diameter_error import radial_error_dia_mm
from handwheel.physics.ring import RingSection, jaw_lobes_mm

ON_THE_BAR = "bar"
SOFT_JAWS = "soft-jaws"
TYPED_CUT = ("depth", "feed", "stands_out", "stick_out")


def slide_angle(facts: JobFacts, evidence: Evidence) -> Effect | None:
    """Taper that a top slide leaves which feeds at an angle: twice the length times the tangent of its error."""
    if facts.feed_handle is not None and facts.feed_handle is not Handle.TOP:
        return absent(f"the {facts.feed_handle.value} feeds this cut")
    over = evidence.number("over") or facts.length_mm
    if over is None or facts.slide_error_deg is None:
        return None
    taper = 2.0 * over * tan(radians(facts.slide_error_deg))
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=taper,
        words=f"set by its scale to ± {facts.slide_error_deg:g}° it may taper the diameter by up to "
        f"{said(taper, facts.units, places=3)} over {said(over, facts.units, places=1)}",
        relation="2 L tan(error of the angle)",
        standing="computed",
        source_key="SHOP_FILE",
    )


def carriage_feeds(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Whether the carriage feeds at all: else the line of the bed is not in the cut."""
    if facts.feed_handle in {Handle.TOP, Handle.QUILL}:
        return absent(f"the {facts.feed_handle.value} feeds this cut, not the carriage")
    return None


def work_bends(facts: JobFacts, evidence: Evidence) -> Effect | None:
    """Taper that work leaves which bends more at its free end than where the cut ends."""
    force, work, metal = radial_force_n(facts), work_of(facts), metal_of(facts)
    over = evidence.number("over") or facts.length_mm
    if force is None or work is None or metal is None or over is None:
        return None
    beam = {
        "e_n_mm2": modulus_n_mm2(metal),
        "moment_mm4": second_moment_mm4(work.outside_dia_mm, bore_dia_mm=work.bore_dia_mm),
    }
    at_end = cantilever_deflection_mm(force, length_mm=work.free_mm, **beam)
    inner = work.free_mm - over
    further_in = cantilever_deflection_mm(force, length_mm=inner, **beam) if inner > 0 else 0.0
    taper = 2.0 * (at_end - further_in)
    comes_out = "small" if facts.inside else "large"
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=taper,
        words=f"{said(work.free_mm, facts.units, places=1)} out of its holding and pushed by up to {force:.0f} N "
        f"its end comes out {comes_out} by {said(taper, facts.units, places=4)}",
        uses=("depth", "feed", "stick_out"),
        relation="cantilever at both ends of the cut, twice on the diameter",
        source_key="BANSAL",
        standing="computed",
    )


def tool_springs(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """All that tool and work spring apart, on the diameter: what is missing at entry, or in a lighter cut."""
    force, stiffness = radial_force_n(facts), stiffness_n_um(facts)
    if force is None or stiffness is None:
        return None
    spring = radial_error_dia_mm(force, stiffness_n_um=stiffness)
    out = facts.stands_out_mm if facts.cut is CutSort.BORE else facts.free_mm
    reach = "" if out is None else f", {said(out, facts.units, places=1)} out"
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=spring,
        words=f"a push of up to {force:.0f} N on {stiffness:.1f} N/µm{reach} springs the diameter by up to "
        f"{said(spring, facts.units, places=3)}; two equal cuts spring alike",
        uses=TYPED_CUT,
        relation="2 F / k, machine and overhang in series",
        source_key="DIETRICH",
        standing="from memory",
    )


def lobes(facts: JobFacts, evidence: Evidence) -> Effect | None:
    """Lobes that jaws leave in a ring once they let go, valley to peak on the radius."""
    force = evidence.number("jaw_force")
    ring, metal = known(facts.part_outside_mm, facts.part_bore_mm, facts.part_width_mm), metal_of(facts)
    if force is None and facts.held == ON_THE_BAR:
        return absent("this step cuts it as a part of the bar: no jaw presses on the wall")
    if force is None or ring is None or metal is None or facts.jaws is None:
        return None if facts.lobes_mm is None else _lobes(facts.lobes_mm, facts, "as planned")
    section = RingSection(outside_dia_mm=ring[0], bore_dia_mm=ring[1], width_mm=ring[2])
    found = jaw_lobes_mm(
        section, jaws=facts.jaws, force_n=force, e_n_mm2=modulus_n_mm2(metal), thick_table=thick_ring_table()
    )
    return _lobes(found, facts, f"with {force:.0f} N on each of {facts.jaws} jaws, line contact")


def _lobes(lobes_mm: float, facts: JobFacts, how: str) -> Effect:
    return Effect(
        kind=EffectKind.AMOUNT,
        amount=lobes_mm,
        words=f"{how} the grip leaves up to {said(lobes_mm, facts.units, places=4)} between hill and valley, on the "
        "radius",
        uses=("jaw_force",),
        relation="thin ring under equal forces, with its thickness",
        source_key="ROARK",
        standing="from memory",
    )


def held_in_jaws(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Whether soft jaws hold the ring at all."""
    if facts.held and facts.held != SOFT_JAWS:
        return absent(f"it is held by {facts.held.replace('-', ' ')}")
    return None
