"""What happens when the finished part is pressed into a hole: its bore closes, and it must find its way in."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.domain.findings import Finding, Severity
from handwheel.domain.part import BACK_OUTER_EDGE, FRONT_OUTER_EDGE
from handwheel.physics.lame import Cylinder, bore_closing_dia_mm, fit_pressure_n_mm2
from handwheel.planner.job import Job

LOSS_LOW, LOSS_HIGH = 0.7, 1.0
"""Share of the interference by which the bore of a thin bush in a stout housing closes (practice case PC-25)."""
STOUT_RATIO = 3.0
"""Outside of the housing for each unit of its hole, where nobody has said what it is: a stout one."""
HOUSING_E_N_MM2 = 210_000.0
HOUSING_POISSON = 0.3
"""A steel housing: the stiffest usual one closes the bore most."""
USUAL_POISSON = 0.33


def fit_findings(job: Job) -> Iterable[Finding]:
    """Findings about the press fit of a part; none if it is not pressed in."""
    hole = job.part.pressed_into_mm
    if hole is None:
        return
    size = job.outside_size
    least, most = float(size.lower) - hole, float(size.upper) - hole
    if least <= 0:
        yield Finding(
            code="no-interference",
            severity=Severity.WARNING,
            where="outside",
            problem=f"the hole measures {hole:.3f} mm and the outside may be {float(size.lower):.3f} mm: loose",
            remedy="measure the hole again; set the limits of the outside from it: hole plus interference",
            source_key="COMMON",
        )
    if most > 0:
        yield _closes(job, hole, least=max(least, 0.0), most=most)
    if job.part.surface(FRONT_OUTER_EDGE) is None and job.part.surface(BACK_OUTER_EDGE) is None:
        yield Finding(
            code="no-lead-in",
            severity=Severity.WARNING,
            where="outside",
            problem="no outer edge is broken: a sharp edge shaves the hole and the part goes in askew",
            remedy="give the end that goes in first an outer edge, say 0.5 x 45; deburr it and the hole",
            source_key="COMMON",
        )


def _closes(job: Job, hole_mm: float, *, least: float, most: float) -> Finding:
    share = lame_share(job, hole_mm, interference_mm=most)
    loss = (LOSS_LOW * least, LOSS_HIGH * most)
    spoiled = loss[1] > float(job.bore_size.band)
    warn = "; a hole finished to a close fit before pressing is usually scrap after it" if spoiled else ""
    return Finding(
        code="bore-closes",
        severity=Severity.WARNING if spoiled else Severity.NOTE,
        where="bore",
        problem=f"pressed into a hole of {hole_mm:.3f} mm with {least:.3f} to {most:.3f} mm of interference, the bore "
        f"closes by about {loss[0]:.3f} to {loss[1]:.3f} mm (70 to 100 % of it, practice; thick cylinders in a stout "
        f"steel housing say {100 * share:.0f} %){warn}",
        remedy="bore or ream it to size after pressing; or make it larger now by what it will lose. Press with the "
        "chamfered end first, square, all burrs off, oiled",
        source_key="UGURAL",
    )


def lame_share(job: Job, hole_mm: float, *, interference_mm: float) -> float:
    """Share of the interference by which the bore closes, by the thick-cylinder formula in a stout steel housing."""
    poisson = job.material.find("poisson")
    bush = Cylinder(
        inner_dia_mm=2.0 * job.bore_radius_mm,
        outer_dia_mm=hole_mm,
        e_n_mm2=job.material.range("e_modulus").least * 1000.0,
        poisson=USUAL_POISSON if poisson is None else poisson.most,
    )
    housing = Cylinder(
        inner_dia_mm=hole_mm, outer_dia_mm=STOUT_RATIO * hole_mm, e_n_mm2=HOUSING_E_N_MM2, poisson=HOUSING_POISSON
    )
    pressure = fit_pressure_n_mm2(bush, housing, interference_dia_mm=interference_mm)
    return bore_closing_dia_mm(bush, pressure_n_mm2=pressure) / interference_mm
