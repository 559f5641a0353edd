"""What happens when the finished part is pressed into a hole: its bore closes, and it must find its way in."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.fits import CLOSING_HIGH, CLOSING_LOW
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.part import BACK_OUTER_EDGE, BORE, FRONT_OUTER_EDGE, Aspect, PressedBore, PressFit
from handwheel.physics.lame import Cylinder, bore_closing_dia_mm, fit_pressure_n_mm2, outside_growth_dia_mm
from handwheel.planner.job import Job

STOUT_RATIO = 3.0
"""Outside of the housing for each unit of its hole, where nobody has said what it is: a stout one."""
HOUSING_E_N_MM2 = 210_000.0
HOUSING_POISSON = 0.3
"""A steel housing: the stiffest usual one closes the bore most."""
USUAL_POISSON = 0.33


def fit_findings(job: Job) -> Iterable[Finding]:
    """Findings about the fits of a part: what it is pressed into, and mates that nobody has measured."""
    for press in job.part.presses:
        yield from _of_press(job, press)
    for feature in job.part.sizes:
        if feature.size.assumed:
            yield Finding(
                code="mate-assumed",
                severity=Severity.WARNING,
                where=feature.surface,
                problem=feature.size.assumed,
                remedy='measure it before the last cuts and write "... measured ..." in the fit, or name its class',
                source_key="BS4500",
            )


def _of_press(job: Job, press: PressFit) -> Iterable[Finding]:
    size = job.size(press.surface, Aspect.DIAMETER)
    lower, upper = size.finished_limits
    if press.surface.startswith(BORE):
        yield from _on_shaft(job, press, most=float(press.mate_upper - lower))
        return
    least, most = float(lower - press.mate_upper), float(upper - press.mate_lower)
    if least <= 0:
        yield Finding(
            code="no-interference",
            severity=Severity.WARNING,
            where=press.surface,
            problem=f"{_hole_words(press)} and the {press.surface} may be {float(lower):.3f} mm: loose",
            remedy="measure the hole again; set the limits of the outside from it: hole plus interference",
            source_key="COMMON",
        )
    if most > 0:
        yield _closes(job, press, least=max(least, 0.0), most=most)
    if job.part.surface(FRONT_OUTER_EDGE) is None and job.part.surface(BACK_OUTER_EDGE) is None:
        yield Finding(
            code="no-lead-in",
            severity=Severity.WARNING,
            where=press.surface,
            problem="no outer edge is bevelled: a sharp edge shaves the hole and the part goes in askew",
            remedy="give the end that goes in first an outer edge, say 0.5 x 45; deburr it and the hole",
            source_key="COMMON",
        )


def _on_shaft(job: Job, press: PressFit, *, most: float) -> Iterable[Finding]:
    """What a part that is pressed on a shaft does to its own outside: it grows."""
    if most <= 0:
        return
    shaft_mm = float(press.mate_upper)
    ring = _cylinder(job, inner_dia_mm=shaft_mm, outer_dia_mm=2.0 * job.outside_radius_mm)
    shaft = Cylinder(inner_dia_mm=0.0, outer_dia_mm=shaft_mm, e_n_mm2=HOUSING_E_N_MM2, poisson=HOUSING_POISSON)
    pressure = fit_pressure_n_mm2(shaft, ring, interference_dia_mm=most)
    grows = outside_growth_dia_mm(ring, pressure_n_mm2=pressure)
    spoils = grows > float(job.outside_size.band)
    yield Finding(
        code="outside-grows",
        severity=Severity.WARNING if spoils else Severity.NOTE,
        where="outside",
        problem=f"pressed on a shaft of up to {shaft_mm:.3f} mm with up to {most:.3f} mm of interference, the outside "
        f"grows by up to {grows:.3f} mm (thick cylinders, solid steel shaft); its tolerance is "
        f"{float(job.outside_size.band):.3f} mm",
        remedy="turn the outside once the part is on its shaft, or make it smaller now by what it will grow",
        source_key="UGURAL",
    )


def _cylinder(job: Job, *, inner_dia_mm: float, outer_dia_mm: float) -> Cylinder:
    """The part as a thick cylinder of its metal."""
    poisson = job.material.find("poisson")
    return Cylinder(
        inner_dia_mm=inner_dia_mm,
        outer_dia_mm=outer_dia_mm,
        e_n_mm2=job.material.range("e_modulus").least * 1000.0,
        poisson=USUAL_POISSON if poisson is None else poisson.most,
    )


def _hole_words(press: PressFit) -> str:
    low, high = float(press.mate_lower), float(press.mate_upper)
    return f"the hole measures {low:.3f} mm" if low == high else f"the hole may be {low:.3f} to {high:.3f} mm"


def _closes(job: Job, press: PressFit, *, least: float, most: float) -> Finding:
    hole_mm = float(press.mate_lower)
    share = lame_share(job, hole_mm, interference_mm=most)
    loss = (float(CLOSING_LOW) * least, float(CLOSING_HIGH) * most)
    spoiled = press.bore is PressedBore.AS_BORED and loss[1] > float(job.bore_size.band)
    into = (
        f"{hole_mm:.3f}" if press.mate_lower == press.mate_upper else f"{hole_mm:.3f} to {float(press.mate_upper):.3f}"
    )
    return Finding(
        code="bore-closes",
        severity=Severity.WARNING if spoiled else Severity.NOTE,
        where="bore",
        problem=f"pressed into a hole of {into} mm with {least:.3f} to {most:.3f} mm of interference, the bore "
        f"closes by about {loss[0]:.3f} to {loss[1]:.3f} mm (70 to 100 % of it, practice; thick cylinders in a stout "
        f"steel housing say {100 * share:.0f} %){_what_of_the_bore(press.bore, spoiled=spoiled)}",
        remedy=f"{_REMEDIES[press.bore]}. Press with the chamfered end first, square, all burrs off, oiled",
        source_key="UGURAL",
    )


_REMEDIES = {
    PressedBore.AS_BORED: "bore or ream it to size after pressing; or make it larger now by what it will lose",
    PressedBore.BEFORE: "measure the bore once it is in; a porous bronze closes otherwise",
    PressedBore.AFTER: "bore or ream it to size after pressing, by what is then left",
}


def _what_of_the_bore(when: PressedBore, *, spoiled: bool) -> str:
    match when:
        case PressedBore.AS_BORED:
            return "; a hole finished to a close fit before pressing is usually scrap after it" if spoiled else ""
        case PressedBore.BEFORE:
            return "; the sheet makes it larger by what it will lose, wherever in that range it closes"
        case PressedBore.AFTER:
            return "; that much more than the allowance is then left to bore or ream"


def lame_share(job: Job, hole_mm: float, *, interference_mm: float) -> float:
    """Share of the interference by which the bore closes, by the thick-cylinder formula in a stout steel housing."""
    bush = _cylinder(job, inner_dia_mm=2.0 * job.bore_radius_mm, outer_dia_mm=hole_mm)
    housing = Cylinder(
        inner_dia_mm=hole_mm, outer_dia_mm=STOUT_RATIO * hole_mm, e_n_mm2=HOUSING_E_N_MM2, poisson=HOUSING_POISSON
    )
    pressure = fit_pressure_n_mm2(bush, housing, interference_dia_mm=interference_mm)
    return bore_closing_dia_mm(bush, pressure_n_mm2=pressure) / interference_mm
