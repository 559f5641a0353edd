"""Force, stiffness and heat of the cut that something is wrong with, by the relations of the physics room."""

from __future__ import annotations

from math import pi

from msgspec import Struct

from handwheel.bench.diagnosis.effect import known
from handwheel.bench.diagnosis.facts import CutSort, JobFacts
from handwheel.data.force_ratios import radial_ratio
from handwheel.data.forces import force_models
from handwheel.data.materials import Material, material
from handwheel.domain.motion import Edge
from handwheel.physics.deflection import STEEL_N_MM2
from handwheel.physics.force import Process, force_band, worn_force_band
from handwheel.physics.quiet_cut import overhang_stiffness_n_um

N_MM2_PER_GPA = 1000.0
MM3_PER_CM3 = 1000.0
G_PER_KG = 1000.0
PER_MICRO = 1e-6

_PROCESSES = {
    CutSort.BORE: Process.BORING,
    CutSort.PART: Process.PARTING,
    CutSort.DRILL: Process.DRILLING,
    CutSort.REAM: Process.DRILLING,
}


class Work(Struct, frozen=True, kw_only=True):
    """The work as a body that stands out of its holding: a bar or a tube. Lengths in mm."""

    outside_dia_mm: float
    bore_dia_mm: float
    free_mm: float

    @property
    def volume_mm3(self) -> float:
        """Volume outside the holding. [mm³]"""
        return pi / 4.0 * (self.outside_dia_mm**2 - self.bore_dia_mm**2) * self.free_mm

    @property
    def surface_mm2(self) -> float:
        """Surface that meets the air: outside, bore and one end. [mm²]"""
        sides = pi * (self.outside_dia_mm + self.bore_dia_mm) * self.free_mm
        return sides + pi / 4.0 * (self.outside_dia_mm**2 - self.bore_dia_mm**2)


def work_of(facts: JobFacts) -> Work | None:
    """The work, if its size and how far it stands out are known."""
    found = known(facts.outside_dia_mm, facts.free_mm)
    if found is None or facts.bore_dia_mm >= found[0]:
        return None
    return Work(outside_dia_mm=found[0], bore_dia_mm=facts.bore_dia_mm, free_mm=found[1])


def metal_of(facts: JobFacts) -> Material | None:
    """The metal, if anybody has named it."""
    return material(facts.metal) if facts.metal else None


def modulus_n_mm2(metal: Material) -> float:
    """Modulus of elasticity, lower end. [N/mm²]"""
    return metal.range("e_modulus").least * N_MM2_PER_GPA


def cutting_force_n(facts: JobFacts) -> float | None:
    """Cutting force of a worn edge, the largest of all opinions, at the coarse end of the feed. [N]"""
    metal, found = metal_of(facts), known(facts.chip_width_mm, facts.feed_high_mm_rev)
    if metal is None or found is None or facts.edge is None:
        return None
    return worn_force_band(
        force_models(metal),
        width_mm=found[0],
        feed_mm_rev=found[1],
        process=_PROCESSES.get(facts.cut or CutSort.TURN, Process.TURNING),
        hss=facts.edge is Edge.HSS,
        entering_angle_deg=90.0 if facts.cut is CutSort.PART else facts.entering_deg,
    ).ruling_n


def radial_force_n(facts: JobFacts) -> float | None:
    """Force that pushes tool and work apart, upper end. [N]"""
    force, found = cutting_force_n(facts), known(facts.depth_mm)
    if force is None or found is None:
        return None
    return force * radial_ratio(found[0], facts.nose_radius_mm or 0.0, facts.entering_deg).most


def specific_force_n_mm2(facts: JobFacts) -> float | None:
    """Specific force of a sharp edge at the feed, by which chatter goes. [N/mm²]"""
    metal, found = metal_of(facts), known(facts.feed_high_mm_rev)
    if metal is None or found is None:
        return None
    return force_band(force_models(metal), depth_mm=1.0, feed_mm_rev=found[0]).ruling_n / found[0]


def stiffness_n_um(facts: JobFacts) -> float | None:
    """Stiffness across the cut: the machine with the boring bar, or else with the work, in series. [N/µm]"""
    if facts.machine_n_um is None:
        return None
    bar = known(facts.stands_out_mm, facts.bar_dia_mm)
    if facts.cut is CutSort.BORE:
        if bar is None:
            return None
        return overhang_stiffness_n_um(facts.machine_n_um, length_mm=bar[0], dia_mm=bar[1], e_n_mm2=STEEL_N_MM2)
    work, metal = work_of(facts), metal_of(facts)
    if work is None or metal is None:
        return None
    return overhang_stiffness_n_um(
        facts.machine_n_um,
        length_mm=work.free_mm,
        dia_mm=work.outside_dia_mm,
        bore_dia_mm=work.bore_dia_mm,
        e_n_mm2=modulus_n_mm2(metal),
    )
