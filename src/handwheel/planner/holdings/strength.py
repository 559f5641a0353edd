"""What a grip carries and what it does to the ring: torque before it slips, lobes, growth."""

from __future__ import annotations

from math import floor, pi

from handwheel.data.rings import thick_ring_table
from handwheel.domain.chucks import HoldingMeans
from handwheel.physics.grip import SEGMENTS
from handwheel.physics.lame import Cylinder, outside_growth_dia_mm
from handwheel.physics.ring import RingSection, jaw_lobes_mm
from handwheel.planner.holdings.lands import Grip, Land, span_mm, wall_mm
from handwheel.planner.job import Job

THICKEST_RATIO = 0.499
"""Wall over mean radius just inside the end of the thick-ring table."""
LOBE_SHARE = 0.25
"""Lobes may take this share of a diameter's tolerance, as a radius on each side; common practice, no source."""
EVEN_WRAP_DEG = 118.0
"""How far round each of three segments of a collet, pot or expanding mandrel presses: all but its slit of 2 degrees."""
POISSON = 0.3
"""Poisson's ratio of metals, 0.28 to 0.34 in handbooks (from memory); the growth of a ring hardly depends on it."""


def ring_section(job: Job, land: Land | None = None, *, inner: bool = False) -> RingSection:
    """Section of the finished ring as far as it springs: its outside, its bore, its width; of a land, what is there.

    A land is taken as a ring by itself, with the thinnest wall along it: what hangs on it only stiffens it. A ring
    thicker than the table of thick rings reaches is stiffer than one at its end: taking that one errs upward.
    """
    bore, outside = (job.bore_radius_mm, job.outside_radius_mm) if land is None else wall_mm(job, land, inner=inner)
    thinnest = outside * (1.0 - THICKEST_RATIO / 2.0) / (1.0 + THICKEST_RATIO / 2.0)
    return RingSection(
        outside_dia_mm=2.0 * outside,
        bore_dia_mm=2.0 * max(bore, thinnest),
        width_mm=job.width_mm if land is None else span_mm(job, land, inner=inner),
    )


def least_e_n_mm2(job: Job) -> float:
    """Lowest modulus of the metal. [N/mm2]"""
    return job.material.range("e_modulus").least * 1000.0


def lobes_mm(job: Job, means: HoldingMeans, land: Land | None = None) -> float:
    """Valley-to-peak radial error that the means' grip leaves in the finished ring, upper end. [mm]

    Uses the finished wall, because springing back is the finished ring's affair, and the
    lowest modulus of the metal.
    """
    # fewer jaws leave larger lobes: a number that the table lacks takes the next smaller one
    jaws = max((count for count in thick_ring_table() if count <= job.shop.lathe.chuck.jaws), default=2)
    return pressed_lobes_mm(job, ring_section(job, land), jaws=jaws, force_n=means.force_n, wrap_deg=means.wrap_deg)


def pressed_lobes_mm(job: Job, ring: RingSection, *, jaws: int, force_n: float, wrap_deg: float) -> float:
    """Valley-to-peak radial error of a ring of the part pressed by so many jaws, each wrapped so far round. [mm]"""
    if force_n <= 0:
        return 0.0
    return jaw_lobes_mm(
        ring,
        jaws=jaws,
        force_n=force_n,
        e_n_mm2=least_e_n_mm2(job),
        thick_table=thick_ring_table(),
        half_width_deg=min(wrap_deg / 2.0, 180.0 / jaws),
    )


def tightest_band_mm(job: Job) -> float:
    """Smaller tolerance of bore and outside. [mm]"""
    return min(float(job.bore_size.band), float(job.outside_size.band))


def force_for_lobes_n(force_n: float, *, lobes_mm: float, band_mm: float) -> float:
    """Force at which lobes, which grow with it, keep their share of a tolerance; whole tens, downward. [N]"""
    return 10.0 * floor(force_n * LOBE_SHARE * band_mm / lobes_mm / 10.0)


def growth_dia_mm(job: Job, means: HoldingMeans, grip: Grip) -> float:
    """How much the outside grows on an expanding mandrel where the wall is thinnest, on the diameter. [mm]"""
    return outside_growth_dia_mm(_tube(job, grip), pressure_n_mm2=means.pressure_n_mm2)


def segment_force_n(means: HoldingMeans, grip: Grip) -> float:
    """Radial force of one segment of an expanding mandrel: its pressure over a third of the bore. [N]"""
    return means.pressure_n_mm2 * 2.0 * pi * grip.land.radius_mm * grip.length_mm / SEGMENTS


def _tube(job: Job, grip: Grip) -> Cylinder:
    return Cylinder(
        inner_dia_mm=2.0 * grip.land.radius_mm,
        outer_dia_mm=2.0 * wall_mm(job, grip.land, inner=True)[1],
        e_n_mm2=least_e_n_mm2(job),
        poisson=POISSON,
    )
