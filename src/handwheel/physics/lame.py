"""Rings under even pressure, by Lamé: on a mandrel, in a collet, pressed into a housing."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.errors import ImpossiblePartError, require_positive, require_within
from handwheel.physics.grip import mandrel_torque_nm


class Cylinder(Struct, frozen=True, kw_only=True):
    """Elastic ring or housing; an inner diameter of 0 is a solid shaft."""

    inner_dia_mm: float
    outer_dia_mm: float
    e_n_mm2: float
    poisson: float

    def __post_init__(self) -> None:
        """Refuse what is no cylinder or no solid."""
        require_positive("e_n_mm2", self.e_n_mm2, unit="N/mm2")
        require_within("poisson", self.poisson, low=0.0, high=0.5, unit="(ratio)")
        if not 0 <= self.inner_dia_mm < self.outer_dia_mm:
            msg = (
                f"cylinder: inner diameter {self.inner_dia_mm:g} mm must be 0 or more and below the outer one of "
                f"{self.outer_dia_mm:g} mm; check them, and that both are diameters"
            )
            raise ImpossiblePartError(msg)

    @property
    def ratio(self) -> float:
        """(a2 + c2) / (a2 - c2): hoop stress at the inner wall a unit of inner pressure."""
        a2, c2 = self.outer_dia_mm**2, self.inner_dia_mm**2
        return (a2 + c2) / (a2 - c2)


def hoop_stress_n_mm2(
    cylinder: Cylinder, *, at_dia_mm: float, inner_pressure_n_mm2: float = 0.0, outer_pressure_n_mm2: float = 0.0
) -> float:
    r"""Stress round the circle, tension positive.

    .. math:: \sigma_t = A + B/r^2

    Parameters
    ----------
    cylinder : Cylinder
        Thick ring.
    at_dia_mm : float
        Diameter at which the stress is wanted, within the wall. [mm]
    inner_pressure_n_mm2 : float
        Pressure in the bore. [N/mm2]
    outer_pressure_n_mm2 : float
        Pressure on the outside. [N/mm2]

    Returns
    -------
    float
        Hoop stress. [N/mm2]

    Raises
    ------
    OutOfRangeError
        If the diameter lies outside the wall or is 0.

    References
    ----------
    [BORESI] Example 11.1, p. 397; [UGURAL] Example 8.1, p. 239.

    Examples
    --------
    >>> wall = Cylinder(inner_dia_mm=20.0, outer_dia_mm=100.0, e_n_mm2=200e3, poisson=0.3)
    >>> round(hoop_stress_n_mm2(wall, at_dia_mm=50.0, inner_pressure_n_mm2=300.0), 1)
    62.5
    """
    even, bent = _lame_constants(cylinder, inner_pressure_n_mm2, outer_pressure_n_mm2)
    _require_in_wall(cylinder, at_dia_mm)
    return even + bent / at_dia_mm**2


def radial_stress_n_mm2(
    cylinder: Cylinder, *, at_dia_mm: float, inner_pressure_n_mm2: float = 0.0, outer_pressure_n_mm2: float = 0.0
) -> float:
    r"""Stress along the radius, tension positive.

    .. math:: \sigma_r = A - B/r^2

    Parameters
    ----------
    cylinder : Cylinder
        Thick ring.
    at_dia_mm : float
        Diameter at which the stress is wanted, within the wall. [mm]
    inner_pressure_n_mm2 : float
        Pressure in the bore. [N/mm2]
    outer_pressure_n_mm2 : float
        Pressure on the outside. [N/mm2]

    Returns
    -------
    float
        Radial stress. [N/mm2]

    Raises
    ------
    OutOfRangeError
        If the diameter lies outside the wall or is 0.

    References
    ----------
    [BORESI] Example 11.1, p. 397.

    Examples
    --------
    >>> wall = Cylinder(inner_dia_mm=20.0, outer_dia_mm=100.0, e_n_mm2=200e3, poisson=0.3)
    >>> round(radial_stress_n_mm2(wall, at_dia_mm=50.0, inner_pressure_n_mm2=300.0), 1)
    -37.5
    """
    even, bent = _lame_constants(cylinder, inner_pressure_n_mm2, outer_pressure_n_mm2)
    _require_in_wall(cylinder, at_dia_mm)
    return even - bent / at_dia_mm**2


def bore_growth_dia_mm(ring: Cylinder, *, pressure_n_mm2: float) -> float:
    r"""Growth of a bore on its diameter under pressure inside.

    .. math:: \Delta d = p\,d\,(K + \nu) / E, \qquad K = \frac{D^2 + d^2}{D^2 - d^2}

    Parameters
    ----------
    ring : Cylinder
        Ring of bore :math:`d` and outside :math:`D`.
    pressure_n_mm2 : float
        Pressure of the mandrel, :math:`p`. [N/mm2]

    Returns
    -------
    float
        Growth on the diameter. [mm]

    Raises
    ------
    OutOfRangeError
        If the pressure is not above 0.

    References
    ----------
    Lamé; [UGURAL] section of Example 8.3, p. 243, for the same relations in a shrink fit.

    Examples
    --------
    >>> ring = Cylinder(inner_dia_mm=20.0, outer_dia_mm=24.0, e_n_mm2=200e3, poisson=0.3)
    >>> round(bore_growth_dia_mm(ring, pressure_n_mm2=5.0), 5)
    0.00292
    """
    require_positive("pressure_n_mm2", pressure_n_mm2, unit="N/mm2")
    return pressure_n_mm2 * ring.inner_dia_mm * (ring.ratio + ring.poisson) / ring.e_n_mm2


def outside_growth_dia_mm(ring: Cylinder, *, pressure_n_mm2: float) -> float:
    r"""Growth of the outside on its diameter under pressure inside: what a ring turned on a mandrel loses again.

    .. math:: \Delta D = 2\,p\,d^2 D / (E\,(D^2 - d^2))

    Parameters
    ----------
    ring : Cylinder
        Ring of bore :math:`d` and outside :math:`D`.
    pressure_n_mm2 : float
        Pressure of the mandrel, :math:`p`. [N/mm2]

    Returns
    -------
    float
        Growth on the diameter. [mm]

    Raises
    ------
    OutOfRangeError
        If the pressure is not above 0.

    References
    ----------
    Lamé; [UGURAL] section of Example 8.3, p. 243, for the same relations in a shrink fit.

    Examples
    --------
    >>> ring = Cylinder(inner_dia_mm=20.0, outer_dia_mm=24.0, e_n_mm2=200e3, poisson=0.3)
    >>> round(outside_growth_dia_mm(ring, pressure_n_mm2=5.0), 6)
    0.002727
    """
    require_positive("pressure_n_mm2", pressure_n_mm2, unit="N/mm2")
    d2, outer2 = ring.inner_dia_mm**2, ring.outer_dia_mm**2
    return 2 * pressure_n_mm2 * d2 * ring.outer_dia_mm / (ring.e_n_mm2 * (outer2 - d2))


def mandrel_pressure_n_mm2(ring: Cylinder, *, interference_dia_mm: float) -> float:
    r"""Pressure that a rigid mandrel makes by being larger than the bore.

    .. math:: p = E\,\Delta / (d\,(K + \nu))

    Parameters
    ----------
    ring : Cylinder
        Ring of bore :math:`d`.
    interference_dia_mm : float
        Excess of the mandrel over the free bore, on the diameter, :math:`\Delta`. [mm]

    Returns
    -------
    float
        Pressure :math:`p`; an upper bound, since no mandrel is rigid. [N/mm2]

    Raises
    ------
    OutOfRangeError
        If the interference is not above 0.
    ImpossiblePartError
        If the ring has no bore.

    References
    ----------
    `bore_growth_dia_mm` turned round [UGURAL].

    Examples
    --------
    >>> ring = Cylinder(inner_dia_mm=20.0, outer_dia_mm=24.0, e_n_mm2=200e3, poisson=0.3)
    >>> round(mandrel_pressure_n_mm2(ring, interference_dia_mm=0.001), 2)
    1.71
    """
    require_positive("interference_dia_mm", interference_dia_mm, unit="mm")
    _require_bore(ring)
    return interference_dia_mm / bore_growth_dia_mm(ring, pressure_n_mm2=1.0)


def slip_torque_nm(ring: Cylinder, *, pressure_n_mm2: float, width_mm: float, friction: float) -> float:
    r"""Torque at which a ring turns on its mandrel.

    .. math:: M = \mu\,p\,\pi\,d^2\,b / 2000

    Parameters
    ----------
    ring : Cylinder
        Ring of bore :math:`d`.
    pressure_n_mm2 : float
        Pressure, :math:`p`. [N/mm2]
    width_mm : float
        Width of contact, :math:`b`. [mm]
    friction : float
        Coefficient of friction, :math:`\mu`.

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If pressure or width is not above 0, or the friction outside 0 to 0.8.

    References
    ----------
    Statics.

    Examples
    --------
    >>> ring = Cylinder(inner_dia_mm=20.0, outer_dia_mm=24.0, e_n_mm2=200e3, poisson=0.3)
    >>> round(slip_torque_nm(ring, pressure_n_mm2=5.0, width_mm=8.0, friction=0.15), 4)
    3.7699
    """
    require_positive("pressure_n_mm2", pressure_n_mm2, unit="N/mm2")
    require_positive("width_mm", width_mm, unit="mm")
    require_within("friction", friction, low=0.0, high=0.8, unit="(coefficient)")
    return mandrel_torque_nm(pressure_n_mm2, dia_mm=ring.inner_dia_mm, length_mm=width_mm, friction=friction)


def fit_pressure_n_mm2(inner: Cylinder, outer: Cylinder, *, interference_dia_mm: float) -> float:
    r"""Pressure between two cylinders pressed or shrunk together, which may be of different metals.

    .. math:: p = \frac{\Delta}{d}\left[\frac{K_o + \nu_o}{E_o} + \frac{K_i - \nu_i}{E_i}\right]^{-1}

    Parameters
    ----------
    inner : Cylinder
        Bush or shaft; its outside is the surface of the fit.
    outer : Cylinder
        Housing or ring; its bore is the surface of the fit.
    interference_dia_mm : float
        Excess of the inner part over the bore, on the diameter, :math:`\Delta`. [mm]

    Returns
    -------
    float
        Pressure :math:`p`. [N/mm2]

    Raises
    ------
    OutOfRangeError
        If the interference is not above 0.
    ImpossiblePartError
        If the two diameters of the fit differ by more than 1 %: then they are not one fit.

    References
    ----------
    [UGURAL] Example 8.3, p. 243; [BORESI] Example 11.3, p. 398.

    Examples
    --------
    >>> tube = Cylinder(inner_dia_mm=300.0, outer_dia_mm=400.0, e_n_mm2=200e3, poisson=0.3)
    >>> jacket = Cylinder(inner_dia_mm=400.0, outer_dia_mm=500.0, e_n_mm2=200e3, poisson=0.3)
    >>> round(fit_pressure_n_mm2(tube, jacket, interference_dia_mm=0.2), 1)
    12.3
    """
    require_positive("interference_dia_mm", interference_dia_mm, unit="mm")
    _require_bore(outer)
    if abs(inner.outer_dia_mm - outer.inner_dia_mm) > 0.01 * outer.inner_dia_mm:
        msg = (
            f"fit: outside {inner.outer_dia_mm:g} mm and bore {outer.inner_dia_mm:g} mm are not one fit; "
            "check which part goes inside"
        )
        raise ImpossiblePartError(msg)
    give = (outer.ratio + outer.poisson) / outer.e_n_mm2 + (inner.ratio - inner.poisson) / inner.e_n_mm2
    return interference_dia_mm / (outer.inner_dia_mm * give)


def bore_closing_dia_mm(bush: Cylinder, *, pressure_n_mm2: float) -> float:
    r"""How much the bore of a bush closes, on the diameter, when it is pressed in.

    .. math:: \Delta d = 2\,p\,d\,D^2 / (E\,(D^2 - d^2))

    Parameters
    ----------
    bush : Cylinder
        Bush of bore :math:`d` and outside :math:`D`.
    pressure_n_mm2 : float
        Pressure of the fit, :math:`p`, from `fit_pressure_n_mm2`. [N/mm2]

    Returns
    -------
    float
        Loss of bore on the diameter. [mm]

    Raises
    ------
    OutOfRangeError
        If the pressure is not above 0.

    References
    ----------
    Lamé, as in [UGURAL] Example 8.3, p. 243: hoop stress at the bore over the modulus.

    Examples
    --------
    >>> bush = Cylinder(inner_dia_mm=8.0, outer_dia_mm=10.0, e_n_mm2=100e3, poisson=0.34)
    >>> round(bore_closing_dia_mm(bush, pressure_n_mm2=18.0), 3)
    0.008
    """
    require_positive("pressure_n_mm2", pressure_n_mm2, unit="N/mm2")
    stress = hoop_stress_n_mm2(bush, at_dia_mm=bush.inner_dia_mm, outer_pressure_n_mm2=pressure_n_mm2)
    return -stress / bush.e_n_mm2 * bush.inner_dia_mm


def _lame_constants(cylinder: Cylinder, inner_pressure: float, outer_pressure: float) -> tuple[float, float]:
    require_within("inner_pressure_n_mm2", inner_pressure, low=0.0, high=1e5, unit="N/mm2")
    require_within("outer_pressure_n_mm2", outer_pressure, low=0.0, high=1e5, unit="N/mm2")
    c2, a2 = cylinder.inner_dia_mm**2, cylinder.outer_dia_mm**2
    even = (inner_pressure * c2 - outer_pressure * a2) / (a2 - c2)
    bent = (inner_pressure - outer_pressure) * c2 * a2 / (a2 - c2)
    return even, bent


def _require_in_wall(cylinder: Cylinder, at_dia_mm: float) -> None:
    require_positive("at_dia_mm", at_dia_mm, unit="mm")
    require_within("at_dia_mm", at_dia_mm, low=cylinder.inner_dia_mm, high=cylinder.outer_dia_mm, unit="mm")


def _require_bore(ring: Cylinder) -> None:
    if ring.inner_dia_mm == 0:
        msg = "ring: inner diameter is 0 mm, nothing can be pressed into it; give the bore"
        raise ImpossiblePartError(msg)
