"""Roughness read off a trace of a surface: Ra and Rq of ordinates, Ra of the areas of a magnified chart."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum, inf, sqrt

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

UM_PER_MM = 1000.0
LEAST_ORDINATES = 2
"""Fewest ordinates that say anything of a surface; an instrument takes hundreds."""


def from_mean_line_um(heights_um: Sequence[float]) -> tuple[float, ...]:
    r"""Ordinates of a trace from its mean line, which leaves as much above as below.

    .. math:: y_i = z_i - \bar z

    Parameters
    ----------
    heights_um : sequence of float
        Heights at even steps along the trace from any level line, :math:`z`. [um]

    Returns
    -------
    tuple of float
        Ordinates :math:`y`, um; they add up to 0.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two heights, or one is not finite.

    Notes
    -----
    For a trace that is level. A slope or a bend of the work, which instruments take out first, would count as
    roughness.

    References
    ----------
    Arithmetic.

    Examples
    --------
    >>> from_mean_line_um([1.0, 3.0, 1.0, 3.0])
    (-1.0, 1.0, -1.0, 1.0)
    """
    _require_trace("heights_um", heights_um)
    middle = fsum(heights_um) / len(heights_um)
    return tuple(height - middle for height in heights_um)


def trace_ra_um(ordinates_um: Sequence[float]) -> float:
    r"""Mean roughness Ra (once CLA, centre line average) of ordinates from the mean line.

    .. math:: R_a = \frac{1}{n} \sum |y_i|

    Parameters
    ----------
    ordinates_um : sequence of float
        Ordinates at even steps along the trace, from the mean line (`from_mean_line_um`), with sign or without,
        :math:`y`. [um]

    Returns
    -------
    float
        Mean roughness :math:`R_a`. [um]

    Raises
    ------
    OutOfRangeError
        If there are fewer than two ordinates, or one is not finite.

    References
    ----------
    [SHARMA] Example 11.2, p. 436.

    Examples
    --------
    >>> trace_ra_um([-1.0, 2.0, -1.0, 0.0])
    1.0
    """
    _require_trace("ordinates_um", ordinates_um)
    return fsum(abs(each) for each in ordinates_um) / len(ordinates_um)


def trace_rq_um(ordinates_um: Sequence[float]) -> float:
    r"""Root mean square roughness Rq of ordinates from the mean line, never below Ra.

    .. math:: R_q = \sqrt{\frac{1}{n} \sum y_i^2}

    Parameters
    ----------
    ordinates_um : sequence of float
        As of `trace_ra_um`, :math:`y`. [um]

    Returns
    -------
    float
        Roughness :math:`R_q`. [um]

    Raises
    ------
    OutOfRangeError
        If there are fewer than two ordinates, or one is not finite.

    References
    ----------
    [SHARMA] Example 11.2, p. 436.

    Examples
    --------
    >>> trace_rq_um([-1.0, 1.0, -1.0, 1.0])
    1.0
    """
    _require_trace("ordinates_um", ordinates_um)
    return sqrt(fsum(each * each for each in ordinates_um) / len(ordinates_um))


def chart_ra_um(
    areas_mm2: Sequence[float], *, height_magnification: float, length_magnification: float, length_mm: float
) -> float:
    r"""Mean roughness Ra of a magnified chart, from the areas that the trace encloses with its mean line.

    .. math:: R_a = \frac{1000 \sum A_i}{V\,H\,l}

    Parameters
    ----------
    areas_mm2 : sequence of float
        Areas on the chart above and below the mean line, none negative, :math:`A`. [mm2]
    height_magnification : float
        How many times the chart magnifies heights, :math:`V`.
    length_magnification : float
        How many times it magnifies lengths, :math:`H`.
    length_mm : float
        Length on the work over which they were taken, :math:`l`. [mm]

    Returns
    -------
    float
        Mean roughness :math:`R_a`. [um]

    Raises
    ------
    OutOfRangeError
        If there is no area or a negative one, or a magnification or the length is not above 0.

    References
    ----------
    [SHARMA] Example 11.1, p. 436.

    Examples
    --------
    >>> round(chart_ra_um([60.0, 60.0], height_magnification=1e4, length_magnification=100.0, length_mm=0.8), 3)
    0.15
    """
    if not areas_mm2:
        msg = "areas_mm2: got none, give each area between trace and mean line"
        raise OutOfRangeError(msg)
    for area in areas_mm2:
        require_within("areas_mm2", area, low=0.0, high=inf, unit="mm2")
    require_positive("height_magnification", height_magnification, unit="(times)")
    require_positive("length_magnification", length_magnification, unit="(times)")
    require_positive("length_mm", length_mm, unit="mm")
    return UM_PER_MM * fsum(areas_mm2) / (height_magnification * length_magnification * length_mm)


def _require_trace(name: str, values_um: Sequence[float]) -> None:
    if len(values_um) < LEAST_ORDINATES:
        msg = f"{name}: got {len(values_um)}, at least {LEAST_ORDINATES} are needed; read off more places"
        raise OutOfRangeError(msg)
    for value in values_um:
        require_within(name, value, low=-inf, high=inf, unit="um")
