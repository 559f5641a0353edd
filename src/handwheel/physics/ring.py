"""A ring pressed by jaws all round: how far from round it goes."""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, radians, sin
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.errors import ImpossiblePartError, OutOfRangeError, require_positive, require_within

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

MOST_JAWS = 24
_SERIES_TERMS = 200
"""Odd terms of the series; the rest is below one part in a hundred million."""


class RingSection(Struct, frozen=True, kw_only=True):
    """Plain ring as it is gripped. Use the finished wall: springing back is the finished ring's affair."""

    outside_dia_mm: float
    bore_dia_mm: float
    width_mm: float

    def __post_init__(self) -> None:
        """Refuse sizes that cannot be one ring."""
        require_positive("bore_dia_mm", self.bore_dia_mm, unit="mm")
        require_positive("width_mm", self.width_mm, unit="mm")
        if not self.bore_dia_mm < self.outside_dia_mm:
            msg = (
                f"ring: bore {self.bore_dia_mm:g} mm is not smaller than outside diameter {self.outside_dia_mm:g} mm; "
                "check them, and that both are diameters"
            )
            raise ImpossiblePartError(msg)

    @property
    def wall_mm(self) -> float:
        """Thickness of the wall. [mm]"""
        return (self.outside_dia_mm - self.bore_dia_mm) / 2

    @property
    def mean_radius_mm(self) -> float:
        """Radius of the middle of the wall. [mm]"""
        return (self.outside_dia_mm + self.bore_dia_mm) / 4

    @property
    def wall_to_mean_radius(self) -> float:
        """Wall over mean radius: 0.1 is thin, 0.5 the thickest that the table covers."""
        return self.wall_mm / self.mean_radius_mm


class ThinRingCoefficients(Struct, frozen=True, kw_only=True):
    """Shape of a thin ring under equal radial point loads, in units of W R^3 / (E I) and, for moments, W R.

    ``toward_load`` and ``away_midway`` are amounts, inward at a load and outward midway between two.
    """

    toward_load: float
    away_midway: float
    moment_at_load: float
    moment_midway: float

    @property
    def peak_to_valley(self) -> float:
        """Form error on the radius."""
        return self.toward_load + self.away_midway


def thin_ring_coefficients(loads: int) -> ThinRingCoefficients:
    r"""Displacements and moments of a thin ring under n equal radial point loads, evenly spaced.

    .. math::
        d_B = \frac{\theta - s c}{4 s^2} + \frac{c}{2 s} - \frac{1}{2\theta}, \qquad
        d_A = \frac{s - \theta c}{4 s^2} - \frac{1}{2 s} + \frac{1}{2\theta}, \qquad \theta = \pi/n

    Parameters
    ----------
    loads : int
        Number of loads, :math:`n`, 2 to 24.

    Returns
    -------
    ThinRingCoefficients
        Amounts in units of :math:`W R^3/(E I)`, moments in units of :math:`W R`.

    Raises
    ------
    OutOfRangeError
        If the number of loads is outside 2 to 24.

    Notes
    -----
    Thin rings, bending alone; a thick ring goes further (`thick_ring_ratio`).

    References
    ----------
    [ROARK] circular rings, equally spaced loads, from memory; checked by a Fourier series and by finite elements.

    Examples
    --------
    >>> round(thin_ring_coefficients(3).peak_to_valley, 6)
    0.030195
    """
    require_within("loads", loads, low=2, high=MOST_JAWS, unit="loads")
    th = pi / loads
    s, c = sin(th), cos(th)
    return ThinRingCoefficients(
        toward_load=(th - s * c) / (4 * s**2) + c / (2 * s) - 1 / (2 * th),
        away_midway=(s - th * c) / (4 * s**2) - 1 / (2 * s) + 1 / (2 * th),
        moment_at_load=-(1 / th - c / s) / 2,
        moment_midway=(1 / s - 1 / th) / 2,
    )


def wide_jaw_coefficient(jaws: int, *, half_width_deg: float) -> float:
    r"""Form error of a thin ring when each jaw presses evenly over some width of the circle.

    .. math::
        d = 2 \sum_{m = n, 3n, 5n \ldots} \frac{n}{\pi (m^2 - 1)^2} \frac{\sin m b}{m b}

    Parameters
    ----------
    jaws : int
        Number of jaws, :math:`n`, 2 to 24.
    half_width_deg : float
        Half the angle that a jaw covers, :math:`b`; 0 for a line, 180/n for jaws that meet. [deg]

    Returns
    -------
    float
        Valley to peak on the radius, in units of :math:`W R^3/(E I)`.

    Raises
    ------
    OutOfRangeError
        If the number of jaws is outside 2 to 24, or the half width negative or above 180/n degrees.

    Notes
    -----
    Midway against the middle of a jaw. The segments of an expanding mandrel give the same with the sign reversed.

    References
    ----------
    Fourier series of an inextensible ring, of this project; [ROARK] is its limit for narrow jaws.

    Examples
    --------
    >>> round(wide_jaw_coefficient(3, half_width_deg=20.0), 6)
    0.024674
    """
    require_within("jaws", jaws, low=2, high=MOST_JAWS, unit="jaws")
    require_within("half_width_deg", half_width_deg, low=0.0, high=180.0 / jaws, unit="deg")
    if half_width_deg == 0:
        return thin_ring_coefficients(jaws).peak_to_valley
    b = radians(half_width_deg)
    waves = (jaws * (2 * term + 1) for term in range(_SERIES_TERMS))
    return 2 * sum(jaws / (pi * (m**2 - 1) ** 2) * sin(m * b) / (m * b) for m in waves)


def thick_ring_ratio(
    wall_to_mean_radius: float, *, jaws: int, table: Mapping[int, Sequence[tuple[float, float]]]
) -> float:
    """How many times further a thick ring goes out of round than the thin formula says.

    Parameters
    ----------
    wall_to_mean_radius : float
        Wall over mean radius, above 0 to the end of the table.
    jaws : int
        Number of jaws, one of those in the table.
    table : mapping of int to sequence of (float, float)
        For each number of jaws n points, (n, 2): wall over mean radius, rising, and ratio.

    Returns
    -------
    float
        Ratio, at least 1.

    Raises
    ------
    OutOfRangeError
        If the wall is not above 0 or thicker than the table covers, or the number of jaws is not in it.

    Notes
    -----
    Straight lines between the rows, from a ratio of 1 at no thickness: within 0.8 % of the series itself. With wide
    jaws the true ratio is up to 0.8 % smaller, so the figure errs on the safe side.

    References
    ----------
    [MICHELL], computed: exact plane stress, Poisson 0.3, form read at the bore.

    Examples
    --------
    >>> thick_ring_ratio(0.2, jaws=3, table={3: ((0.1, 1.0196), (0.2, 1.0745))})
    1.0745
    """
    if jaws not in table:
        known = ", ".join(str(number) for number in sorted(table))
        msg = f"jaws: got {jaws}, the table of thick rings knows {known}; take the next smaller number, it errs safe"
        raise OutOfRangeError(msg)
    require_positive("wall_to_mean_radius", wall_to_mean_radius, unit="(ratio)")
    points = ((0.0, 1.0), *table[jaws])
    for (start, low), (end, high) in pairwise(points):
        if wall_to_mean_radius <= end:
            return low + (high - low) * (wall_to_mean_radius - start) / (end - start)
    msg = (
        f"wall_to_mean_radius: got {wall_to_mean_radius:g}, the table ends at {points[-1][0]:g}; "
        "so thick a ring is no concern in jaws: judge it as a solid bar"
    )
    raise OutOfRangeError(msg)


def ring_unit_mm(ring: RingSection, *, force_n: float, e_n_mm2: float) -> float:
    r"""Length in which the distortion of a ring is measured.

    .. math:: u = W R^3 / (E I), \qquad I = b\,t^3 / 12

    Parameters
    ----------
    ring : RingSection
        Mean radius :math:`R`, wall :math:`t`, width :math:`b`.
    force_n : float
        Radial force of each jaw, :math:`W`. [N]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]

    Returns
    -------
    float
        Unit :math:`u`, to be multiplied by a coefficient. [mm]

    Raises
    ------
    OutOfRangeError
        If force or modulus is not above 0.

    References
    ----------
    [ROARK] circular rings, from memory.

    Examples
    --------
    >>> ring = RingSection(outside_dia_mm=40.0, bore_dia_mm=36.0, width_mm=10.0)
    >>> round(ring_unit_mm(ring, force_n=200.0, e_n_mm2=200e3), 4)
    1.0288
    """
    require_positive("force_n", force_n, unit="N")
    require_positive("e_n_mm2", e_n_mm2, unit="N/mm2")
    moment_mm4 = ring.width_mm * ring.wall_mm**3 / 12
    return force_n * ring.mean_radius_mm**3 / (e_n_mm2 * moment_mm4)


def jaw_lobes_mm(
    ring: RingSection,
    *,
    jaws: int,
    force_n: float,
    e_n_mm2: float,
    thick_table: Mapping[int, Sequence[tuple[float, float]]],
    half_width_deg: float = 0.0,
) -> float:
    r"""Form error that a round cut keeps once the jaws let go: valley to peak on the radius.

    .. math:: \delta = K(t/R)\,d\,u

    Parameters
    ----------
    ring : RingSection
        The finished ring.
    jaws : int
        Number of jaws or mandrel segments.
    force_n : float
        Radial force of each jaw. [N]
    e_n_mm2 : float
        Modulus of elasticity. [N/mm2]
    thick_table : mapping of int to sequence of (float, float)
        As `thick_ring_ratio` takes it.
    half_width_deg : float
        Half the angle that a jaw covers; 0 for a line, the worst case. [deg]

    Returns
    -------
    float
        Valley to peak on the radius. [mm]

    Raises
    ------
    OutOfRangeError
        As the functions it is built of.

    Notes
    -----
    Two-point gauges do not see odd lobes; with even ones the diameter varies by twice the figure. The thin-ring
    theory stood within 6 % of measured rings at a bore of 0.88 of the outside [JMSE126].

    References
    ----------
    `wide_jaw_coefficient` [ROARK], `thick_ring_ratio` [MICHELL].

    Examples
    --------
    >>> ring = RingSection(outside_dia_mm=22.0, bore_dia_mm=18.0, width_mm=6.0)
    >>> table = {3: ((0.2, 1.0745),)}
    >>> round(jaw_lobes_mm(ring, jaws=3, force_n=200.0, e_n_mm2=200e3, thick_table=table), 4)
    0.0081
    """
    ratio = thick_ring_ratio(ring.wall_to_mean_radius, jaws=jaws, table=thick_table)
    coefficient = wide_jaw_coefficient(jaws, half_width_deg=half_width_deg)
    return ratio * coefficient * ring_unit_mm(ring, force_n=force_n, e_n_mm2=e_n_mm2)


def mean_radius_change_mm(ring: RingSection, *, jaws: int, force_n: float, e_n_mm2: float) -> float:
    r"""Even part of the squeeze: how much the mean radius shrinks.

    .. math:: \Delta R = -n W R / (2 \pi E A)

    Parameters
    ----------
    ring : RingSection
        The ring, of section :math:`A` and mean radius :math:`R`.
    jaws : int
        Number of jaws, :math:`n`.
    force_n : float
        Radial force of each jaw, :math:`W`. [N]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]

    Returns
    -------
    float
        Change of the mean radius, negative. [mm]

    Raises
    ------
    OutOfRangeError
        If force or modulus is not above 0, or the number of jaws outside 2 to 24.

    References
    ----------
    [ROARK] circular rings, from memory; checked by finite elements.

    Examples
    --------
    >>> ring = RingSection(outside_dia_mm=40.0, bore_dia_mm=36.0, width_mm=10.0)
    >>> round(mean_radius_change_mm(ring, jaws=3, force_n=1000.0, e_n_mm2=200e3), 5)
    -0.00227
    """
    require_within("jaws", jaws, low=2, high=MOST_JAWS, unit="jaws")
    require_positive("force_n", force_n, unit="N")
    require_positive("e_n_mm2", e_n_mm2, unit="N/mm2")
    area_mm2 = ring.width_mm * ring.wall_mm
    return -jaws * force_n * ring.mean_radius_mm / (2 * pi * e_n_mm2 * area_mm2)
