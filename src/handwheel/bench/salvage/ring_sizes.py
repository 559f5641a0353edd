"""A finger band that has missed its size: the sizes that it is, or can still be bored to."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from handwheel.bench.asking.records import Figure
from handwheel.bench.salvage import cautions
from handwheel.bench.salvage.place import Place, Side
from handwheel.bench.salvage.way import Verdict, Way, WayOut, limits_figures
from handwheel.data.least_cuts import least_depth_mm
from handwheel.data.ring_scales import (
    Girth,
    Measure,
    NearSize,
    RingSize,
    is_for_a_finger,
    nearest_size,
    ring_scales,
    ring_size_in,
)
from handwheel.domain.exact import Fraction
from handwheel.domain.part import BORE
from handwheel.domain.size import Size

WEARER = "the one who will wear it"


class Reach(Struct, frozen=True, kw_only=True):
    """A size of the scale with the limits that the drawing's tolerance gives it, at the lathe. [mm]"""

    size: RingSize
    lower_mm: float
    upper_mm: float

    @property
    def target_mm(self) -> float:
        """Middle of the limits. [mm]"""
        return (self.lower_mm + self.upper_mm) / 2.0


def ring_ways(place: Place) -> Iterator[WayOut]:
    """Sizes of finger rings that the bore is near to; nothing if the part is no finger band."""
    if not _is_band(place):
        return
    asked = ring_size_in(place.size.as_written)
    if asked is not None:
        yield from _in_its_scale(place, asked)
    now = _girth(place, asked)
    scales = sorted(
        (scale for scale in ring_scales() if scale.written_as), key=lambda scale: asked is None or scale != asked.scale
    )
    near = [found for scale in scales if (found := nearest_size(scale, now)) is not None]
    if near:
        yield _nearest_sizes(place, near)


def _is_band(place: Place) -> bool:
    """Whether it is the bore of a ring for a finger: asked for by a ring size, or worn and as wide as a finger."""
    if place.feature.surface != BORE or not place.is_diameter or place.part.thread is not None:
        return False
    worn = place.part.skin_contact and is_for_a_finger(Girth(measure=Measure.DIAMETER, mm=_finished_mm(place)))
    return worn or ring_size_in(place.size.as_written) is not None


def _girth(place: Place, asked: RingSize | None) -> Girth:
    """Inside that the bore stands for once finished: what the maker allows on the size that was asked is taken off."""
    allowed = Fraction(0) if asked is None else place.size.nominal - asked.girth.diameter_mm
    return Girth(measure=Measure.DIAMETER, mm=_finished_mm(place) - allowed)


def _finished_mm(place: Place) -> Fraction:
    return Fraction(str(place.size_mm)) + place.size.finishing_change


def reached(size: Size, asked: RingSize, other: RingSize) -> Reach:
    """Limits that another size has at the lathe: those of the drawing, moved from one size to the other.

    What the maker allows on the size (a wide band, an eased bore) stays as it is, and so does what finishing takes.
    """
    step = other.girth.diameter_mm - asked.girth.diameter_mm
    return Reach(size=other, lower_mm=float(size.cut_lower + step), upper_mm=float(size.cut_upper + step))


def _in_its_scale(place: Place, asked: RingSize) -> Iterator[WayOut]:
    """The size that holds the bore as it is, else the next one that it can still be bored to."""
    sizes = [reached(place.size, asked, each) for each in _others(asked)]
    now = next((each for each in sizes if place.is_within(each.lower_mm, each.upper_mm)), None)
    if now is not None:
        yield _is_already(place, asked, now)
    least = 0.0 if place.side is Side.NEAR else place.size_mm
    larger = [
        each
        for each in sizes
        if each is not now
        and each.size.number > asked.number
        and each.lower_mm > least
        and _is_a_cut(*_off_mm(place, each))
    ]
    if larger:
        yield _bored_to(place, asked, larger[0])


def _others(asked: RingSize) -> list[RingSize]:
    scale = asked.scale
    return [RingSize(scale=scale, number=number) for number in scale.numbers if number != asked.number]


def _off_mm(place: Place, reach: Reach) -> tuple[float, float]:
    """Least and most that comes off a side for a size, so that it holds for sure and the edge cuts. [mm]"""
    low = reach.lower_mm + place.uncertainty_mm - place.size_mm
    high = reach.upper_mm - place.uncertainty_mm - place.size_mm
    return max(low / place.per_side, least_depth_mm(place.metal)), high / place.per_side


def _is_a_cut(low_mm: float, high_mm: float) -> bool:
    """Whether some depth is both deep enough to cut and not too deep."""
    return 0.0 < low_mm <= high_mm


def _is_already(place: Place, asked: RingSize, reach: Reach) -> WayOut:
    near = NearSize(size=reach.size, asked=_girth(place, asked))
    return WayOut(
        code=Way.RING_SIZE,
        verdict=Verdict.ASK,
        words=f"it is a {reach.size.name} as it is, in place of {asked.name}: limits "
        f"{place.said_limits(reach.lower_mm, reach.upper_mm)}; it is {_miss(place, near)}",
        figures=(*limits_figures(reach.lower_mm, reach.upper_mm), Figure(name="miss", value=_residual(near))),
        asks=(f"does {reach.size.name} fit? Ask {WEARER}, and try it on a warm hand",),
        wall_mm=place.wall_mm(place.size_mm),
        relation=f"{reach.size.scale.rule}, with the tolerance of the drawing",
        standing=reach.size.scale.standing,
        source_key=reach.size.scale.source_key,
    )


def _bored_to(place: Place, asked: RingSize, reach: Reach) -> WayOut:
    low, high = _off_mm(place, reach)
    wall = place.wall_mm(reach.upper_mm)
    fits = place.face_mm(reach.upper_mm) > 0.0
    return WayOut(
        code=Way.RING_SIZE,
        verdict=Verdict.ASK if fits else Verdict.NOT,
        words=f"bore it out to {reach.size.name}, in place of {asked.name}: "
        f"{place.said_limits(reach.lower_mm, reach.upper_mm)}; "
        + ("" if fits else "nothing of a face is left for that; ")
        + f"{place.said_range(low, high)} to come off a side",
        figures=limits_figures(reach.lower_mm, reach.upper_mm),
        asks=(f"does {reach.size.name} fit, with the wall that is left? Ask {WEARER}",) if fits else (),
        off_low_mm=low,
        off_high_mm=high,
        wall_mm=wall if fits else None,
        cautions=cautions.cutting(place.metal) if fits else (),
        relation=f"{reach.size.scale.rule}, with the tolerance of the drawing",
        standing=reach.size.scale.standing,
        source_key=reach.size.scale.source_key,
    )


def _nearest_sizes(place: Place, near: list[NearSize]) -> WayOut:
    """The nearest size of every scale, that which was asked in first: nearest, not equal (practice case PC-16)."""
    told = "; ".join(f"{each.size.name} ({_miss(place, each)})" for each in near)
    return WayOut(
        code=Way.NEAREST_SIZES,
        verdict=Verdict.ASK,
        words=f"nearest as it is, and equal only where it says so: {told}",
        figures=tuple(Figure(name=each.size.name, value=_residual(each)) for each in near),
        asks=(f"by which scale was the finger measured, and with what? Ask {WEARER}",),
        wall_mm=place.wall_mm(place.size_mm),
        relation="rule of each scale; handwheel size tells them",
        standing=near[0].size.scale.standing,
        source_key=near[0].size.scale.source_key,
    )


def _residual(near: NearSize) -> float:
    """How much larger the bore is than the size. [mm]"""
    return -float(near.residual_mm)


def _miss(place: Place, near: NearSize) -> str:
    if near.is_exact:
        return "equal"
    miss = _residual(near)
    return f"{place.said(abs(miss))} {'larger' if miss > 0 else 'smaller'} than that size"
