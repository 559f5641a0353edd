"""Whether the last cut on each surface is as fine as its finish asks, and bends no more than a reading knows."""

from __future__ import annotations

from handwheel.check.loads import Load, coarse_feed, most_feed_mm_rev
from handwheel.check.machine import LastCut, Machine
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Case, Log
from handwheel.check.surfaces import is_face
from handwheel.data.materials import Material
from handwheel.domain.part import Aspect
from handwheel.physics.diameter_error import ERROR_SHARE
from handwheel.physics.roughness import feed_for_mean_roughness_mm_rev


def check_finish(case: Case, machine: Machine, log: Log) -> None:
    """Refuse last cuts at a feed that the tables call roughing, or that leaves a surface rougher than it is asked for.

    The ideal roughness of feed and nose is judged, as the drawing asks for it; the metal's least feed rules over it.
    What a blade, a reamer, a drill or a rubbing has left has no such figure and is not judged.
    """
    if case.material is None:
        return
    for surface, last in machine.last_cuts.items():
        for load in finish_loads(case, case.material, surface, last):
            if not load.is_kept:
                log.add(last.act, load.code, f"the last cut on {surface}: {load.words}")


def check_bending(case: Case, machine: Machine, log: Log) -> None:
    """Refuse a last cut on a diameter whose bending no reading has taken in, beyond a quarter of the tolerance.

    Two equal cuts bend alike: what the first did is in its reading. What the second bends more or less than the first
    is not, and of a cut with no reading before it, or by another tool, the whole of it.
    """
    for feature in case.part.sizes:
        last = machine.last_cuts.get(feature.surface)
        if last is None or feature.aspect is not Aspect.DIAMETER:
            continue
        load = bending_load(last, float(feature.size.band))
        if not load.is_kept:
            log.add(
                last.act,
                load.code,
                f"the last cut on {feature.surface}: {load.asked:.3g} {load.unit} of diameter bend away that no "
                f"reading has taken in, and {load.allowed:.3g} {load.unit} is the {load.what}; {load.remedy}",
            )


def bending_load(last: LastCut, tolerance_mm: float) -> Load:
    """What a last cut bends away that no reading has taken in, beside a quarter of the tolerance. [mm]"""
    unread = abs(1.0 - last.read_n / last.force_n) if last.force_n > 0 else 0.0
    return Load(
        code=RefusalCode.BENDS_AWAY,
        asked=unread * last.bends_mm,
        allowed=ERROR_SHARE * tolerance_mm,
        unit="mm",
        what="quarter of the tolerance",
        remedy="take two equal last cuts with one tool and one feed, and measure between them",
    )


def finish_loads(case: Case, material: Material, surface: str, last: LastCut) -> tuple[Load, ...]:
    """What the last cut on a surface asks, and what finish and tables allow."""
    found = []
    most = most_feed_mm_rev(material, finishing=True)
    if most is not None and any(
        one.surface == surface for one in (*case.part.outer_cylinders, *case.part.inner_cylinders)
    ):
        found.append(coarse_feed(last.feed_mm_rev, most, what=f"finishing feed of the table for {material.name}"))
    segment = case.part.surface(surface)
    asked = case.part.face_ra_um if is_face(surface) else None if segment is None else segment.finish_ra_um
    if asked and last.nose_mm > 0:
        least = material.find("min_feed")
        ideal = min(feed_for_mean_roughness_mm_rev(asked, nose_radius_mm=last.nose_mm), last.nose_mm)
        found.append(
            Load(
                code=RefusalCode.ROUGHER_THAN_ASKED,
                asked=last.feed_mm_rev,
                allowed=max(0.0 if least is None else least.most, ideal),
                unit="mm/rev",
                what=f"feed at which a nose of {last.nose_mm:g} mm leaves Ra {asked:g} µm at best",
                remedy="set a finer feed, or take a tool with a larger nose",
            )
        )
    return tuple(found)
