"""Metal put back: a bore opened for a sleeve that is pressed in, an outside turned down for a ring shrunk on."""

from __future__ import annotations

from math import ceil, floor

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.asking.records import Figure
from handwheel.bench.salvage import cautions
from handwheel.bench.salvage.place import FLOAT_MM, Place
from handwheel.bench.salvage.way import Verdict, Way, WayOut
from handwheel.data.elastic import as_cylinder
from handwheel.data.fits import NamedFit, fit_clearance_mm, named_fits
from handwheel.data.least_cuts import least_depth_mm
from handwheel.data.loader import Standing
from handwheel.data.materials import Material
from handwheel.domain.exact import Fraction
from handwheel.domain.part import BORE, OUTSIDE, Aspect
from handwheel.physics.lame import (
    Cylinder,
    bore_closing_dia_mm,
    fit_pressure_n_mm2,
    hoop_stress_n_mm2,
    outside_growth_dia_mm,
    radial_stress_n_mm2,
)

LEAST_WALL_MM = 1.0
"""A thinner wall is hard to turn, to hold and to press; common practice, no source. [mm]"""
JOINT_STEP_MM = 0.5
"""The joint gets a diameter in whole steps of this, for which a reamer or a plug may be had; ours, no source. [mm]"""
SLIP_MM = 0.02
"""Room that a warm ring needs to slip on before it grips; common practice, no source. [mm]"""
PER_K = 1e-6
LEAST_GRIP_SHARE = 0.5
"""Share of the most that the press fit has from which on it grips for sure; ours, no source."""
PRESS = "press"
JOINT_RELATION = "most interference of the press fit of ISO 286; thick cylinders, greatest shear"
TOOLS = {
    Way.SLEEVE: "a press, or a vice with soft jaws",
    Way.RING_ON: "an oven or a hot plate, with a thermometer",
}


class Joint(Struct, frozen=True, kw_only=True):
    """Two rings of one metal joined with interference: sizes, and what the tightest pair does. [mm, N/mm2]

    ``stress_n_mm2`` is the greatest equivalent stress by the rule of greatest shear: of the outer ring at its bore, or
    round the bore of the inner one. ``growth_mm`` and ``closing_mm`` are those of outside and bore.
    """

    inner: Cylinder
    outer: Cylinder
    least_mm: float
    most_mm: float
    pressure_n_mm2: float
    stress_n_mm2: float
    growth_mm: float
    closing_mm: float

    @property
    def dia_mm(self) -> float:
        """Diameter of the joint. [mm]"""
        return self.outer.inner_dia_mm

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Its numbers by name."""
        return (
            Figure(name="joint", value=self.dia_mm),
            Figure(name="interference least", value=self.least_mm),
            Figure(name="interference most", value=self.most_mm),
            Figure(name="inner wall", value=(self.inner.outer_dia_mm - self.inner.inner_dia_mm) / 2.0),
            Figure(name="outer wall", value=(self.outer.outer_dia_mm - self.outer.inner_dia_mm) / 2.0),
            Figure(name="pressure", value=self.pressure_n_mm2, unit="N/mm2"),
            Figure(name="stress", value=self.stress_n_mm2, unit="N/mm2"),
            Figure(name="growth of the outside", value=self.growth_mm),
            Figure(name="closing of the bore", value=self.closing_mm),
        )


def joint(metal: Material, inner: Cylinder, outer: Cylinder, *, least_mm: float, most_mm: float) -> Joint:
    """What two rings of a metal do to each other at the most interference.

    The rings are as soft as the tables allow, which moves them most; the stress is that of the stiffest, which is the
    larger in proportion.

    Raises
    ------
    OutOfRangeError, ImpossiblePartError
        As the relations it is built of: no interference, or two rings that are no fit.

    References
    ----------
    [UGURAL] Example 8.3, p. 243; [BORESI] Example 11.1, p. 397, for the stresses.
    """
    stiffness = metal.range("e_modulus")
    pressure = fit_pressure_n_mm2(inner, outer, interference_dia_mm=most_mm)
    at = outer.inner_dia_mm
    round_it = hoop_stress_n_mm2(outer, at_dia_mm=at, inner_pressure_n_mm2=pressure)
    along_radius = radial_stress_n_mm2(outer, at_dia_mm=at, inner_pressure_n_mm2=pressure)
    stresses = [round_it - along_radius]
    closing = 0.0
    if inner.inner_dia_mm > 0.0:
        stresses.append(-hoop_stress_n_mm2(inner, at_dia_mm=inner.inner_dia_mm, outer_pressure_n_mm2=pressure))
        closing = bore_closing_dia_mm(inner, pressure_n_mm2=pressure)
    return Joint(
        inner=inner,
        outer=outer,
        least_mm=least_mm,
        most_mm=most_mm,
        pressure_n_mm2=pressure,
        stress_n_mm2=max(stresses) * stiffness.most / stiffness.least,
        growth_mm=outside_growth_dia_mm(outer, pressure_n_mm2=pressure),
        closing_mm=closing,
    )


def sleeve_dia_mm(place: Place) -> float:
    """Diameter to bore out to for a sleeve: room for its least wall, and a cut that is one. [mm]"""
    least = max(place.target_mm + 2.0 * LEAST_WALL_MM, _next_cut_mm(place))
    return JOINT_STEP_MM * ceil(least / JOINT_STEP_MM - FLOAT_MM)


def ring_on_dia_mm(place: Place) -> float:
    """Diameter to turn down to for a ring that goes on, likewise. [mm]"""
    most = min(place.target_mm - 2.0 * LEAST_WALL_MM, _next_cut_mm(place))
    return JOINT_STEP_MM * floor(most / JOINT_STEP_MM + FLOAT_MM)


def _next_cut_mm(place: Place) -> float:
    """Size after the least cut that is sure to cut. [mm]"""
    off = 2.0 * least_depth_mm(place.metal) + place.uncertainty_mm
    return place.size_mm + (off if place.grows else -off)


def sleeve_way(place: Place) -> WayOut:
    """Bore out and press in a sleeve of the same metal; `NOT` with its reason where the wall does not bear it."""
    dia = sleeve_dia_mm(place)
    wall = place.wall_mm(dia)
    if wall < LEAST_WALL_MM:
        return _no_wall(place, Way.SLEEVE, f"bored out to {place.said(dia)} for a sleeve", wall)
    inner = as_cylinder(place.metal, inner_dia_mm=place.target_mm, outer_dia_mm=dia)
    outer = as_cylinder(place.metal, inner_dia_mm=dia, outer_dia_mm=place.facing_dia_mm)
    made = borne(place.metal, inner, outer)
    words = (
        f"bore it out to {dia:g} {press_fit().hole_class}, measure that, press in a sleeve "
        f"{place.said_range(made.least_mm, made.most_mm)} larger, with a wall of "
        f"{place.said((dia - place.target_mm) / 2.0)} once bored to size; the bore closes by up to "
        f"{place.said(made.closing_mm)}, the outside grows by up to "
        f"{place.said(made.growth_mm)}{_against_band(place, OUTSIDE, made.growth_mm)}"
    )
    off = (dia - place.size_mm) / 2.0
    return _judged(place, Way.SLEEVE, words, made, off, cautions.pressing(place.metal))


def ring_on_way(place: Place) -> WayOut:
    """Turn down and shrink a ring of the same metal on; `NOT` with its reason where the wall does not bear it."""
    dia = ring_on_dia_mm(place)
    wall = place.wall_mm(dia)
    if wall < LEAST_WALL_MM:
        return _no_wall(place, Way.RING_ON, f"turned down to {place.said(dia)} for a ring", wall)
    inner = as_cylinder(place.metal, inner_dia_mm=place.facing_dia_mm, outer_dia_mm=dia)
    outer = as_cylinder(place.metal, inner_dia_mm=dia, outer_dia_mm=place.target_mm)
    made = borne(place.metal, inner, outer)
    warm = slip_on_k(place, dia, made.most_mm)
    words = (
        f"turn it down to {dia:g} {press_fit().shaft_class}, measure that, shrink a ring on that is bored "
        f"{place.said_range(made.least_mm, made.most_mm)} smaller, with a wall of "
        f"{place.said((place.target_mm - dia) / 2.0)} once turned to size; {warm:.0f} K warmer than the part it slips "
        f"on with {place.said(SLIP_MM)} to spare; the bore closes by up to "
        f"{place.said(made.closing_mm)}{_against_band(place, BORE, made.closing_mm)}"
    )
    off = (place.size_mm - dia) / 2.0
    way = _judged(place, Way.RING_ON, words, made, off, cautions.shrinking(place.metal))
    return replace(way, figures=(*way.figures, Figure(name="warmer than the part", value=warm, unit="K")))


def borne(metal: Material, inner: Cylinder, outer: Cylinder) -> Joint:
    """Two rings of a metal joined with as much of the press fit as it bears, from `LEAST_GRIP_SHARE` of it on.

    Stresses rise in proportion to the interference, so what the metal bears is what the whole fit makes, turned round.
    """
    whole = most_interference_mm(outer.inner_dia_mm)
    least = LEAST_GRIP_SHARE * whole
    tightest = joint(metal, inner, outer, least_mm=least, most_mm=whole)
    bears = yield_n_mm2(metal)
    if bears is None or tightest.stress_n_mm2 <= bears:
        return tightest
    most = whole * bears / tightest.stress_n_mm2
    return joint(metal, inner, outer, least_mm=least, most_mm=max(least, most))


def slip_on_k(place: Place, dia_mm: float, interference_mm: float) -> float:
    r"""How much warmer than the part a ring must be to slip on: :math:`(\Delta + s) / (\alpha d)`. [K]

    The metal expands by the least that the tables know of it.
    """
    return (interference_mm + SLIP_MM) / (place.metal.range("alpha").least * PER_K * dia_mm)


def press_fit() -> NamedFit:
    """The press fit of the table."""
    return named_fits()[PRESS]


def most_interference_mm(dia_mm: float) -> float:
    """Most interference of the press fit at a diameter. [mm]

    Raises
    ------
    OutOfRangeError
        Beyond the tables of ISO 286.
    """
    least_clearance, _ = fit_clearance_mm(Fraction(str(dia_mm)), press_fit())
    return -float(least_clearance)


def _against_band(place: Place, surface: str, amount_mm: float) -> str:
    """What a change of another surface is held against."""
    feature = place.part.feature(surface, Aspect.DIAMETER)
    if feature is None:
        return ""
    band = float(feature.size.band)
    if amount_mm <= band / 10.0:
        return ", too small to matter"
    return f", and its tolerance is {place.said(band)}: measure it again, or finish it once they are together"


def _no_wall(place: Place, code: Way, what: str, wall_mm: float) -> WayOut:
    left = f"only {place.said(wall_mm)} of wall" if wall_mm > 0.0 else "no wall"
    return WayOut(
        code=code,
        verdict=Verdict.NOT,
        words=f"{what}, the part would have {left} left; {place.said(LEAST_WALL_MM)} is the least to press on",
        figures=(Figure(name="wall left", value=wall_mm),),
        relation="least wall of a sleeve and of what it goes into",
    )


def _judged(place: Place, code: Way, words: str, made: Joint, off_mm: float, minded: tuple[str, ...]) -> WayOut:
    """A joint held against what the metal bears."""
    asks = [f"may the part be of two pieces, and of which metal the second? It is reckoned in {place.metal.name}"]
    bears = yield_n_mm2(place.metal)
    figures = made.figures
    makes = f"the tightest makes {made.stress_n_mm2:.0f} N/mm2"
    if bears is None:
        asks.append(f"what does {place.metal.name} yield at? The tables do not say; {makes}")
    else:
        figures = (*figures, Figure(name="yield", value=bears, unit="N/mm2"))
        makes = f"{makes}, the metal yields at {bears:.0f}"
        if made.stress_n_mm2 > bears * (1.0 + FLOAT_MM):
            return WayOut(
                code=code,
                verdict=Verdict.NOT,
                words=f"{words}; {makes}: it would be stretched for good. A sliding fit with a retaining adhesive does "
                "not press; its maker says what it bears",
                figures=figures,
                relation=JOINT_RELATION,
                standing=Standing.FROM_MEMORY,
                source_key="UGURAL",
            )
        words = f"{words}; {makes}"
    return WayOut(
        code=code,
        verdict=Verdict.ASK,
        words=words,
        figures=figures,
        needs=(f"a piece for the second ring: {_piece(place, made, code)}", TOOLS[code]),
        asks=tuple(asks),
        off_low_mm=off_mm,
        off_high_mm=off_mm,
        wall_mm=place.wall_mm(made.dia_mm),
        cautions=minded,
        relation=JOINT_RELATION,
        standing=Standing.FROM_MEMORY,
        source_key="UGURAL",
    )


def _piece(place: Place, made: Joint, code: Way) -> str:
    ring = made.inner if code is Way.SLEEVE else made.outer
    return f"Ø {place.said(ring.outer_dia_mm)} outside, Ø {place.said(ring.inner_dia_mm)} inside"


def yield_n_mm2(metal: Material) -> float | None:
    """Least yield strength that the tables know of a metal; ``None`` if they know none. [N/mm2]"""
    found = metal.find("yield")
    return None if found is None else found.least
