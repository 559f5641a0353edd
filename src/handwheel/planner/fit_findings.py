"""What happens when the finished part is pressed into a hole: its bore closes, and it must find its way in."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.elastic import as_cylinder
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.part import (
    BACK_OUTER_EDGE,
    BORE,
    FRONT_OUTER_EDGE,
    Aspect,
    Cylinder,
    PressedBore,
    PressFit,
    Units,
)
from handwheel.domain.said import said, said_range
from handwheel.physics.lame import Cylinder as ThickCylinder
from handwheel.physics.lame import fit_pressure_n_mm2, outside_growth_dia_mm
from handwheel.planner.closing import (
    HOUSING_E_N_MM2,
    HOUSING_POISSON,
    Closing,
    Pressed,
    Round,
    closings,
    lame_share,
)
from handwheel.planner.job import Job

NOT_IN = "where the outside over it is not in the hole it does not close"


def fit_findings(job: Job) -> Iterable[Finding]:
    """Findings about the fits of a part: what it is pressed into, and mates that nobody has measured."""
    for press in job.part.presses:
        yield from _of_press(job, press)
    yield from _closing_findings(job)
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
    units = job.units
    lower = job.size(press.surface, Aspect.DIAMETER).finished_limits[0]
    if press.surface.startswith(BORE):
        yield from _on_shaft(job, press, most=float(press.mate_upper - lower))
        return
    if lower <= press.mate_upper:
        yield Finding(
            code="no-interference",
            severity=Severity.WARNING,
            where=press.surface,
            problem=f"{_hole_words(press, units)} and the {press.surface} may be {said(lower, units, places=3)}: loose",
            remedy="measure the hole again; set the limits of the outside from it: hole plus interference",
            source_key="COMMON",
        )
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
    units = job.units
    shaft_mm = float(press.mate_upper)
    ring = as_cylinder(job.material, inner_dia_mm=shaft_mm, outer_dia_mm=2.0 * job.outside_radius_mm)
    shaft = ThickCylinder(inner_dia_mm=0.0, outer_dia_mm=shaft_mm, e_n_mm2=HOUSING_E_N_MM2, poisson=HOUSING_POISSON)
    pressure = fit_pressure_n_mm2(shaft, ring, interference_dia_mm=most)
    grows = outside_growth_dia_mm(ring, pressure_n_mm2=pressure)
    spoils = grows > float(job.outside_size.band)
    yield Finding(
        code="outside-grows",
        severity=Severity.WARNING if spoils else Severity.NOTE,
        where="outside",
        problem=f"pressed on a shaft of up to {said(shaft_mm, units, places=3)} with up to "
        f"{said(most, units, places=3)} of interference, the outside grows by up to {said(grows, units, places=3)} "
        f"(thick cylinders, solid steel shaft); its tolerance is {said(job.outside_size.band, units, places=3)}",
        remedy="turn the outside once the part is on its shaft, or make it smaller now by what it will grow",
        source_key="UGURAL",
    )


def _hole_words(press: PressFit, units: Units) -> str:
    measured = press.mate_lower == press.mate_upper
    verb = "measures" if measured else "may be"
    return f"the hole {verb} {said_range(press.mate_lower, press.mate_upper, units, places=3)}"


def _closing_findings(job: Job) -> Iterable[Finding]:
    """One finding for each cylinder of the hole that closes, and what of the hole does not."""
    presses = {press.surface: press for press in job.part.presses if not press.surface.startswith(BORE)}
    outer, bores = (_rounds(job, cylinders) for cylinders in (job.part.outer_cylinders, job.part.inner_cylinders))
    pressed = [
        Pressed(round=each, hole_lower=presses[each.surface].mate_lower, hole_upper=presses[each.surface].mate_upper)
        for each in outer
        if each.surface in presses
    ]
    found = closings(bores, pressed, job.material)
    free = tuple(closing.surface for closing in found if not closing.pressed)
    for closing in found:
        if closing.most_mm > 0:
            yield _closes(job, closing, presses[closing.pressed[0].round.surface].bore, free=free)


def _rounds(job: Job, cylinders: tuple[Cylinder, ...]) -> tuple[Round, ...]:
    """Cylinders with their finished limits; edges beside a face count as part of the cylinder there."""
    last = len(cylinders) - 1
    return tuple(
        Round(
            surface=each.surface,
            lower=limits[0],
            upper=limits[1],
            high_z_mm=0.0 if index == 0 else each.high_z_mm,
            low_z_mm=-job.width_mm if index == last else each.low_z_mm,
        )
        for index, each in enumerate(cylinders)
        for limits in (job.size(each.surface, Aspect.DIAMETER).finished_limits,)
    )


def _closes(job: Job, closing: Closing, when: PressedBore, *, free: tuple[str, ...]) -> Finding:
    units, over = job.units, closing.pressed[0]
    size = job.size(closing.surface, Aspect.DIAMETER)
    if when is PressedBore.AFTER and not size.later:
        when = PressedBore.AS_BORED  # nothing is left on this step
    spoiled = when is PressedBore.AS_BORED and closing.most_mm > size.band
    dia, hole = float(sum(size.finished_limits)) / 2, float(over.hole_lower)
    share = lame_share(job.material, bore_dia_mm=dia, hole_dia_mm=hole)
    stout = f"; thick cylinders in a stout steel housing say {100 * share:.0f} %" if closing.by_practice else ""
    parts = "".join(
        (
            f"; {NOT_IN}" if not closing.whole else "",
            f"; {' and '.join(free)} lies under what is not in the hole, and does not close" if free else "",
        )
    )
    return Finding(
        code="bore-closes",
        severity=Severity.WARNING if spoiled else Severity.NOTE,
        where=closing.surface,
        problem=f"pressed into a hole of {said_range(over.hole_lower, over.hole_upper, units, places=3)} with "
        f"{said_range(over.least_mm, over.most_mm, units, places=3)} of interference, the {closing.surface} closes by "
        f"about {said_range(closing.least_mm, closing.most_mm, units, places=3)} ({closing.share_words}{stout}{parts})"
        f"{_what_of_the_bore(when, spoiled=spoiled)}",
        remedy=f"{_REMEDIES[when]}. Press with the chamfered end first, square, all burrs off, oiled",
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
