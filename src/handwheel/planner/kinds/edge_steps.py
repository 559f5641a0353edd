"""Whole steps of the cross-slide for an edge: both legs go by them, and both must come within their limits."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor, radians, tan

from msgspec.structs import replace

from handwheel.domain.part import Aspect
from handwheel.domain.plan import Step
from handwheel.domain.remedies import AllowSize, FitSlide, Remedy
from handwheel.domain.said import said, said_short
from handwheel.domain.size import Size
from handwheel.domain.slides import Slide
from handwheel.planner import offers
from handwheel.planner.dialing import Scale, cross_scale
from handwheel.planner.job import Job
from handwheel.planner.kinds.legs import legs_mm
from handwheel.planner.way import NoWay

ROUND_MM = 1e-9
"""Room for the rounding of floats at a limit."""


def depth_steps(job: Job, edge: str, scale: Scale, *, angle_deg: float, far: bool) -> int | None:
    """Steps of the cross-slide that bring both legs nearest to their targets within their limits; ``None`` if none do.

    ``angle_deg`` is the angle of the cut from the axis, 45° for the side of an edge tool. A ``far`` edge is cut through
    an allowance that is no whole number of steps, so half a step either way must be allowed there.
    """
    per_step, slope = scale.radius_per_step_mm, tan(radians(angle_deg))
    across, along = job.size(edge, Aspect.LEG_RADIAL), job.size(edge, Aspect.LEG_AXIAL)
    wanted = legs_mm(job, edge)[1]
    if far:
        off = (per_step / 2.0, per_step / 2.0 / slope)
        fits = all(_room_mm(size) + ROUND_MM >= o for size, o in ((across, off[0]), (along, off[1])))
        return round(wanted / per_step) if fits else None
    low = max(float(across.cut_lower), slope * float(along.cut_lower))
    high = min(float(across.cut_upper), slope * float(along.cut_upper))
    steps = range(max(1, ceil((low - ROUND_MM) / per_step)), floor((high + ROUND_MM) / per_step) + 1)
    return min(steps, key=lambda n: (abs(n * per_step - wanted), n), default=None)


def _room_mm(size: Size) -> float:
    """How far a size may be off its target either way. [mm]"""
    return float(min(size.cut_target - size.cut_lower, size.cut_upper - size.cut_target))


def steps_trouble(job: Job, step: Step, scale: Scale, *, angle_deg: float, far: bool, tried: str) -> NoWay | None:
    """Why no whole steps of the cross-slide bring both legs of an edge within their limits, or ``None``."""
    if depth_steps(job, step.id, scale, angle_deg=angle_deg, far=far) is not None:
        return None
    per_step, slope = scale.radius_per_step_mm, tan(radians(angle_deg))
    nearest = max(1, round(legs_mm(job, step.id)[1] / per_step))
    across = nearest * per_step
    made = (
        f"{nearest} of them make the legs {said(across / slope, job.units)} along and {said(across, job.units)} across"
    )
    return NoWay(
        step=step.id,
        code="edge-leg-not-settable",
        tried=tried,
        why=f"the cross-slide is set in steps of {said_short(per_step, job.units)}, and {made}",
        remedy="finer steps at the cross-slide, or wider limits for the edge",
        remedies=(
            *_finer(job, step.id, angle_deg=angle_deg, far=far),
            *_wider(job, step, (across, across / slope), per_step if far else 0.0),
        ),
    )


def _finer(job: Job, edge: str, *, angle_deg: float, far: bool) -> Iterable[Remedy]:
    """Cross-slides that would do: with half marks, where the dial has none yet; with the coarsest readout that does."""
    cross = job.shop.lathe.cross
    if cross.dial is not None and not cross.dial.halves:
        yield from _doing((replace(cross, dial=replace(cross.dial, halves=True)),), job, edge, angle_deg, far=far)
    readouts = (offers.with_readout(cross, step_mm=float(step)) for step in offers.FINE_STEPS_MM)
    yield from _doing(readouts, job, edge, angle_deg, far=far)


def _doing(slides: Iterable[Slide | None], job: Job, edge: str, angle_deg: float, *, far: bool) -> Iterable[Remedy]:
    """The first of some cross-slides that brings both legs within their limits."""
    for slide in slides:
        scale = None if slide is None else cross_scale(slide)
        if slide is None or scale is None:
            continue
        if depth_steps(job, edge, scale, angle_deg=angle_deg, far=far) is not None:
            yield FitSlide(slide=slide)
            return


def _wider(job: Job, step: Step, made_mm: tuple[float, float], more_mm: float) -> Iterable[Remedy]:
    """Limits of the legs that what can be set keeps, for each leg that is beyond its own by now."""
    for aspect, made in zip((Aspect.LEG_RADIAL, Aspect.LEG_AXIAL), made_mm, strict=True):
        size = job.size(step.id, aspect)
        band = 2.0 * abs(made - float(size.cut_target)) + more_mm
        if band > float(size.band):
            yield AllowSize(surface=step.surface, aspect=aspect, size=offers.wider(size, band_mm=band))
