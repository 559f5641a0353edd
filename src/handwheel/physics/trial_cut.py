"""What a trial cut tells of a dial: how far the slide goes for a turn, against what is engraved or believed."""

from __future__ import annotations

from math import ceil, sqrt

from handwheel.domain.errors import require_positive

INCH_FOR_METRIC = 25.4 / 25.0
"""How many times as far an inch screw goes as a metric ring on it claims (1/10 in for 2.5 mm): exact."""


def figure_ratio(dia_change_mm: float, *, wound_mm: float) -> float:
    r"""Change of the diameter for each millimetre that the figures of a dial moved.

    .. math:: q = \Delta d / w

    Parameters
    ----------
    dia_change_mm : float
        How much smaller an outside or larger a bore became, :math:`\Delta d`. [mm]
    wound_mm : float
        What was wound between the two cuts, as the figures of the dial count, :math:`w`. [mm]

    Returns
    -------
    float
        Ratio :math:`q`: 1 if the figures are diameters, 2 if they are travel of the slide.

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    References
    ----------
    Geometry; practice case PC-01.

    Examples
    --------
    >>> round(figure_ratio(0.5, wound_mm=0.25), 3), round(figure_ratio(0.25, wound_mm=0.25), 3)
    (2.0, 1.0)
    """
    require_positive("dia_change_mm", dia_change_mm, unit="mm")
    require_positive("wound_mm", wound_mm, unit="mm")
    return dia_change_mm / wound_mm


def travel_ratio(dia_change_mm: float, *, travel_mm: float) -> float:
    r"""How far a slide really went for each millimetre of travel that was believed.

    .. math:: r = \Delta d / (2 s)

    Parameters
    ----------
    dia_change_mm : float
        How much the diameter changed between two cuts alike, :math:`\Delta d`. [mm]
    travel_mm : float
        Travel of the cross-slide between them, by its lead as believed, :math:`s`. [mm]

    Returns
    -------
    float
        Ratio :math:`r`; 1 if the lead is right, `INCH_FOR_METRIC` if a metric ring sits on an inch screw.

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    Notes
    -----
    What tool and work spring away falls out only between cuts of equal depth, in the same metal with the same edge.

    References
    ----------
    Geometry; practice cases PC-01 and PC-04.

    Examples
    --------
    Four turns of a screw of 1/10 in, whose ring counts 2.5 mm:

    >>> round(travel_ratio(20.32, travel_mm=10.0), 4)
    1.016
    """
    require_positive("dia_change_mm", dia_change_mm, unit="mm")
    require_positive("travel_mm", travel_mm, unit="mm")
    return dia_change_mm / (2.0 * travel_mm)


def marks_to_see(rate: float, *, setting_marks: float, factor: float) -> int:
    r"""Marks to be wound so that an error of the rate shows above the doubt of setting the dial twice.

    .. math:: n = \lceil k \sqrt{2}\, \sigma / e \rceil

    Parameters
    ----------
    rate : float
        Error that is to be seen, as a share of the travel, :math:`e`; 0.016 for a metric ring on an inch screw.
    setting_marks : float
        Standard deviation with which a mark is set, in marks, :math:`\sigma`.
    factor : float
        How many standard deviations are to stand clear, :math:`k`.

    Returns
    -------
    int
        Whole marks :math:`n`. [marks]

    Raises
    ------
    OutOfRangeError
        If one is not above 0.

    Notes
    -----
    The gauge's own doubt comes on top; with a micrometer it is small beside that of a mark.

    References
    ----------
    Sum of two equal variances, [GUM] 5.1.2; from memory.

    Examples
    --------
    >>> marks_to_see(0.008, setting_marks=0.2, factor=2.0)
    71
    """
    require_positive("rate", rate, unit="(share)")
    require_positive("setting_marks", setting_marks, unit="marks")
    require_positive("factor", factor, unit="(standard deviations)")
    return ceil(factor * sqrt(2.0) * setting_marks / rate)
