"""Shank of a tool in bending: its stress under the cutting force, and the width that it needs."""

from __future__ import annotations

from handwheel.domain.errors import require_positive


def shank_stress_n_mm2(force_n: float, *, overhang_mm: float, width_mm: float, height_mm: float) -> float:
    r"""Bending stress of a rectangular shank where it leaves its holder.

    .. math:: \sigma = 6 F l / (b h^2)

    Parameters
    ----------
    force_n : float
        Cutting force down on the tip, :math:`F`. [N]
    overhang_mm : float
        Distance of the tip from the holder, :math:`l`. [mm]
    width_mm : float
        Width of the shank, :math:`b`. [mm]
    height_mm : float
        Height of the shank, in the direction of the force, :math:`h`. [mm]

    Returns
    -------
    float
        Stress :math:`\sigma`. [N/mm2]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0.

    Notes
    -----
    Bending alone, of a beam that is long for its height; the forces along and across the feed add to it. What an
    overhang does to size and chatter asks for a stouter shank than its strength does (`handwheel.physics.deflection`).

    References
    ----------
    Theory of beams, as in [SHARMA] Example 15.8, p. 629.

    Examples
    --------
    >>> round(shank_stress_n_mm2(500.0, overhang_mm=20.0, width_mm=10.0, height_mm=10.0), 6)
    60.0
    """
    require_positive("force_n", force_n, unit="N")
    require_positive("overhang_mm", overhang_mm, unit="mm")
    require_positive("width_mm", width_mm, unit="mm")
    require_positive("height_mm", height_mm, unit="mm")
    return 6.0 * force_n * overhang_mm / (width_mm * height_mm**2)


def shank_width_mm(
    force_n: float, *, overhang_in_heights: float, height_in_widths: float, stress_n_mm2: float
) -> float:
    r"""Least width of a shank whose overhang goes with its height, as one clamps a larger tool further out.

    .. math:: b = \sqrt{\frac{6 F k_l}{\sigma k_h}}, \qquad l = k_l h, \quad h = k_h b

    Parameters
    ----------
    force_n : float
        Cutting force down on the tip, :math:`F`. [N]
    overhang_in_heights : float
        Overhang in heights of the shank, :math:`k_l`.
    height_in_widths : float
        Height in widths of the shank, :math:`k_h`: 1 for a square one.
    stress_n_mm2 : float
        Stress that is let in, :math:`\sigma`. [N/mm2]

    Returns
    -------
    float
        Width :math:`b`. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0.

    Notes
    -----
    `shank_stress_n_mm2` solved for the width.

    References
    ----------
    [SHARMA] Example 15.8, p. 629.

    Examples
    --------
    >>> round(shank_width_mm(10500.0, overhang_in_heights=1.25, height_in_widths=1.6, stress_n_mm2=250.0), 2)
    14.03
    """
    require_positive("force_n", force_n, unit="N")
    require_positive("overhang_in_heights", overhang_in_heights, unit="(ratio)")
    require_positive("height_in_widths", height_in_widths, unit="(ratio)")
    require_positive("stress_n_mm2", stress_n_mm2, unit="N/mm2")
    return float((6.0 * force_n * overhang_in_heights / (stress_n_mm2 * height_in_widths)) ** 0.5)
