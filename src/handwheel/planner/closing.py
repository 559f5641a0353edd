"""How much each step of a bore closes when the part is pressed in: by its wall, where it is in the hole."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

from msgspec import Struct

from handwheel.data.elastic import as_cylinder
from handwheel.data.fits import CLOSING_HIGH, CLOSING_LOW
from handwheel.data.materials import Material
from handwheel.domain.exact import Fraction
from handwheel.domain.part import LEAST_LAND_MM
from handwheel.physics.lame import Cylinder, bore_closing_dia_mm, fit_pressure_n_mm2

STOUT_RATIO = 3.0
"""Outside of the housing for each unit of its hole, where nobody has said what it is: a stout one; own judgement."""
HOUSING_E_N_MM2 = 210_000.0
HOUSING_POISSON = 0.3
"""A steel housing: the stiffest usual one closes the bore most (from memory of any table of steels)."""
RIGID_E_N_MM2 = 1e12
"""Stands for a housing that does not give at all: five million times as stiff as steel. [N/mm2]"""
PERCENT = 100


class Round(Struct, frozen=True, kw_only=True):
    """A cylinder of the part with its limits once finished, and its ends along the axis, part frame. [mm]"""

    surface: str
    lower: Fraction
    upper: Fraction
    high_z_mm: float
    low_z_mm: float

    def shared_mm(self, other: Round) -> float:
        """Length that lies under (or over) another one; 0 or less if none does. [mm]"""
        return min(self.high_z_mm, other.high_z_mm) - max(self.low_z_mm, other.low_z_mm)

    @property
    def length_mm(self) -> float:
        """Length along the axis. [mm]"""
        return self.high_z_mm - self.low_z_mm


class Pressed(Struct, frozen=True, kw_only=True):
    """A surface of the outside that goes into a hole, and the limits of that hole. [mm]"""

    round: Round
    hole_lower: Fraction
    hole_upper: Fraction

    @property
    def least_mm(self) -> Fraction:
        """Least interference on the diameter. [mm]"""
        return max(Fraction(0), self.round.lower - self.hole_upper)

    @property
    def most_mm(self) -> Fraction:
        """Most interference on the diameter. [mm]"""
        return max(Fraction(0), self.round.upper - self.hole_lower)


class Closing(Struct, frozen=True, kw_only=True):
    """Least and most by which a step of the bore closes, on the diameter [mm], and what lies over it.

    ``pressed`` is empty where all of it lies under what is not in the housing; ``whole`` says that none of it does.
    ``low_share`` and ``high_share`` are the least and most of the interference that the wall hands on.
    """

    surface: str
    least_mm: Fraction
    most_mm: Fraction
    pressed: tuple[Pressed, ...] = ()
    whole: bool = True
    low_share: Fraction = CLOSING_LOW
    high_share: Fraction = CLOSING_HIGH

    @property
    def by_practice(self) -> bool:
        """Whether the wall is thin enough for the figures of practice."""
        return (self.low_share, self.high_share) == (CLOSING_LOW, CLOSING_HIGH)

    @property
    def share_words(self) -> str:
        """``"70 to 100 % of the interference, practice"``, or what thick cylinders say of a thick wall."""
        share = f"{PERCENT * self.low_share} to {PERCENT * self.high_share} % of the interference"
        if self.by_practice:
            return f"{share}, practice"
        return f"{share}, thick cylinders in a stout steel housing and in one that does not give"


def closings(bores: Sequence[Round], pressed: Sequence[Pressed], metal: Material) -> tuple[Closing, ...]:
    """How much each cylinder of the hole closes, in their order.

    Parameters
    ----------
    bores : sequence of Round
        Cylinders of the hole; edges count as part of the cylinder beside them.
    pressed : sequence of Pressed
        Cylinders of the outside that go into a hole with all their length, likewise.
    metal : Material
        Metal of the part.

    Notes
    -----
    Each step of the bore is a ring by itself under each pressed outside over it (`closing_shares`), so that a shoulder,
    which stiffens the wall beside it for about a wall's thickness, is left out: it makes the bore close less there.
    Where the outside over it is not in the housing nothing presses on it, and it does not close: if that is so of
    some of it, it closes from nothing to the most. Less than can be measured (`LEAST_LAND_MM`) does not count.
    """
    return tuple(_closing(bore, pressed, metal) for bore in bores)


def _closing(bore: Round, pressed: Sequence[Pressed], metal: Material) -> Closing:
    over = tuple(each for each in pressed if bore.shared_mm(each.round) > LEAST_LAND_MM)
    if not over:
        return Closing(surface=bore.surface, least_mm=Fraction(0), most_mm=Fraction(0), whole=False)
    shares = [closing_shares(metal, bore=bore, hole_mm=each.hole_lower) for each in over]
    whole = sum(bore.shared_mm(each.round) for each in over) >= bore.length_mm - float(LEAST_LAND_MM)
    least = min(low * each.least_mm for (low, _), each in zip(shares, over, strict=True))
    return Closing(
        surface=bore.surface,
        least_mm=least if whole else Fraction(0),
        most_mm=max(high * each.most_mm for (_, high), each in zip(shares, over, strict=True)),
        pressed=over,
        whole=whole,
        low_share=min(low for low, _ in shares),
        high_share=max(high for _, high in shares),
    )


def closing_shares(metal: Material, *, bore: Round, hole_mm: Fraction) -> tuple[Fraction, Fraction]:
    """Least and most share of the interference by which a bore closes, in whole hundredths.

    Practice says 0.7 to 1 of a thin bush in a stout housing. A thick wall hands on less: where a stout steel housing
    leaves less than 0.7 by the thick-cylinder relations that is the least, and what a housing that does not give
    leaves is the most if it is below 1.

    References
    ----------
    Practice case PC-25 for 0.7 to 1; [UGURAL] Example 8.3 for the relations.
    """
    if bore.upper >= hole_mm:  # this is no part, and is refused as such
        return CLOSING_LOW, CLOSING_HIGH
    dia = float(bore.lower + bore.upper) / 2
    stout = lame_share(metal, bore_dia_mm=dia, hole_dia_mm=float(hole_mm))
    rigid = lame_share(metal, bore_dia_mm=dia, hole_dia_mm=float(hole_mm), housing_e_n_mm2=RIGID_E_N_MM2)
    return min(CLOSING_LOW, Fraction(floor(PERCENT * stout), PERCENT)), min(
        CLOSING_HIGH, Fraction(ceil(PERCENT * rigid), PERCENT)
    )


def lame_share(
    metal: Material, *, bore_dia_mm: float, hole_dia_mm: float, housing_e_n_mm2: float = HOUSING_E_N_MM2
) -> float:
    """Share of the interference by which the bore closes, by the thick-cylinder relations in a stout housing.

    Parameters
    ----------
    metal : Material
        Metal of the part.
    bore_dia_mm, hole_dia_mm : float
        Bore of the part, and the hole that it is pressed into. [mm]
    housing_e_n_mm2 : float
        Modulus of the housing, whose outside is `STOUT_RATIO` times its hole. [N/mm2]

    References
    ----------
    [UGURAL] Example 8.3, p. 243.
    """
    bush = as_cylinder(metal, inner_dia_mm=bore_dia_mm, outer_dia_mm=hole_dia_mm)
    housing = Cylinder(
        inner_dia_mm=hole_dia_mm,
        outer_dia_mm=STOUT_RATIO * hole_dia_mm,
        e_n_mm2=housing_e_n_mm2,
        poisson=HOUSING_POISSON,
    )
    pressure = fit_pressure_n_mm2(bush, housing, interference_dia_mm=1.0)
    return bore_closing_dia_mm(bush, pressure_n_mm2=pressure)
