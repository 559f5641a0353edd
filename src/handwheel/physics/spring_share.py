"""How much of a depth of cut tool and work spring away and do not take, from a few measured cuts."""

from __future__ import annotations

from handwheel.domain.errors import OutOfRangeError, require_positive

MOST_SHARE = 0.5
"""A lathe that leaves more of a cut than this is loose, and no share describes it; own choice."""
_STEPS = 60


def repeat_pass_share(taken_mm: float, *, depth_mm: float, cuts: int) -> float:
    r"""Share sprung away, from what a repeat of the last of some equal cuts takes without further depth.

    .. math:: \delta = s\,(1 - s^k)\,a

    Parameters
    ----------
    taken_mm : float
        What the repeat took off the radius, :math:`\delta`. [mm]
    depth_mm : float
        Depth of each of the equal cuts before it, as set on the slide, :math:`a`. [mm]
    cuts : int
        Number of equal cuts before the repeat, :math:`k`; the first began on metal that owed nothing.

    Returns
    -------
    float
        Share :math:`s` of the depth.

    Raises
    ------
    OutOfRangeError
        If depth or number is not above 0, or the share would be negative or above `MOST_SHARE`.

    Notes
    -----
    A cut that is asked for an amount takes 1 - s of it and leaves s. After k equal cuts s + s² + ... is left of the
    depth; the repeat takes 1 - s of that. Valid where force goes with depth and the edge still cuts; one that rubs on
    so thin a chip takes less, and the share comes out too small.

    References
    ----------
    Our own sum of a geometric series, on a spring that goes with the depth; common practice, no source.

    Examples
    --------
    >>> round(repeat_pass_share(0.0496, depth_mm=0.5, cuts=3), 4)
    0.0993
    """
    require_positive("depth_mm", depth_mm, unit="mm")
    require_positive("cuts", cuts, unit="cuts")
    wanted = taken_mm / depth_mm
    _require_share(wanted)
    share = wanted
    for _ in range(_STEPS):  # contracts: its slope k s^k / (1 - s^k) is below 1 for shares below one half
        share = wanted / (1.0 - min(share, MOST_SHARE) ** cuts)
    _require_share(share)
    return share


def two_depths_share(taken_mm: float, *, deep_mm: float, light_mm: float) -> float:
    r"""Share sprung away, from what one deep cut takes after many equal light ones.

    .. math:: \tau = (1 - s)\,a_2 + s\,a_1

    Parameters
    ----------
    taken_mm : float
        What the deep cut took off the radius, :math:`\tau`. [mm]
    deep_mm : float
        Its depth as set on the slide, :math:`a_2`. [mm]
    light_mm : float
        Depth of each light cut before it, :math:`a_1`; each of the last took just that. [mm]

    Returns
    -------
    float
        Share :math:`s` of the depth; below 0 if more was taken than was set, as doubtful readings may have it.

    Raises
    ------
    OutOfRangeError
        If a depth is not above 0, or the deep cut is no deeper than the light ones.

    Notes
    -----
    No cut here is a whisper, so that it serves in metals that harden where they are rubbed. Both depths are travel of
    the slide as it really goes: an error of the lead would look like spring.

    References
    ----------
    Our own, on a spring that goes with the depth; common practice, no source.

    Examples
    --------
    >>> round(two_depths_share(0.56, deep_mm=0.6, light_mm=0.2), 6)
    0.1
    """
    require_positive("light_mm", light_mm, unit="mm")
    if not deep_mm > light_mm:
        msg = f"deep_mm: got {deep_mm:g} mm, must be above light_mm, {light_mm:g} mm; cut deeper, or exchange them"
        raise OutOfRangeError(msg)
    return (deep_mm - taken_mm) / (deep_mm - light_mm)


def _require_share(share: float) -> None:
    if not 0.0 <= share <= MOST_SHARE:
        msg = (
            f"share sprung away: comes out as {share:.3g}, must be 0 to {MOST_SHARE:g}; check the depths and the "
            "diameters, and that nothing is loose"
        )
        raise OutOfRangeError(msg)
