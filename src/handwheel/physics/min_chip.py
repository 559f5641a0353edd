"""Chips thinner than the nose and the edge allow: where a tool stops cutting and rubs."""

from __future__ import annotations

from enum import Enum
from math import acos, asin, cos, degrees, radians, sin

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within
from handwheel.physics.force import chip_thickness_mm

EDGE_SHARE = 0.3
"""Least chip as a share of the edge radius: 0.2 to 0.4 in the literature, 0.3 for design [MIN_CHIP_REVIEW]."""

THIN_CHIP = 2.0
"""A mean chip must be this many times the least chip (cutting-models section 5)."""

UM_PER_MM = 1000.0


class ChipVerdict(Enum):
    """What an edge does with a chip."""

    CUTS = "cuts"
    THIN = "thin"
    RUBS = "rubs"


def is_nose_cut(depth_mm: float, *, nose_radius_mm: float, entering_angle_deg: float) -> bool:
    r"""Whether the whole cut lies on the rounded nose.

    .. math:: a_p < r_\varepsilon (1 - \cos\kappa)

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius, :math:`a_p`. [mm]
    nose_radius_mm : float
        Nose radius of the tool, :math:`r_\varepsilon`. [mm]
    entering_angle_deg : float
        Angle between the straight edge and the feed direction, :math:`\kappa`. [deg]

    Returns
    -------
    bool
        True if the straight edge does not touch the work.

    Raises
    ------
    OutOfRangeError
        If depth or radius is not above 0, or the angle not within 1 to 179 degrees.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> is_nose_cut(0.05, nose_radius_mm=0.4, entering_angle_deg=90.0)
    True
    """
    require_positive("depth_mm", depth_mm, unit="mm")
    require_positive("nose_radius_mm", nose_radius_mm, unit="mm")
    require_within("entering_angle_deg", entering_angle_deg, low=1.0, high=179.0, unit="deg")
    return depth_mm < nose_radius_mm * (1.0 - cos(radians(entering_angle_deg)))


def nose_angle_deg(depth_mm: float, *, nose_radius_mm: float) -> float:
    r"""Angle of the nose that is in the cut, from its tip to the uncut surface.

    .. math:: \kappa_s = \arccos(1 - a_p / r_\varepsilon)

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius, :math:`a_p`, at most the nose radius. [mm]
    nose_radius_mm : float
        Nose radius, :math:`r_\varepsilon`. [mm]

    Returns
    -------
    float
        Angle :math:`\kappa_s`. [deg]

    Raises
    ------
    OutOfRangeError
        If either is not above 0, or the depth above the nose radius, where the straight edge cuts.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(nose_angle_deg(0.02, nose_radius_mm=0.4), 1)
    18.2
    """
    require_positive("depth_mm", depth_mm, unit="mm")
    require_positive("nose_radius_mm", nose_radius_mm, unit="mm")
    if depth_mm > nose_radius_mm:
        msg = (
            f"depth_mm: got {depth_mm:g} mm, above the nose radius {nose_radius_mm:g} mm; "
            "use the chip thickness of the straight edge"
        )
        raise OutOfRangeError(msg)
    return degrees(acos(1.0 - depth_mm / nose_radius_mm))


def nose_max_chip_mm(depth_mm: float, *, feed_mm_rev: float, nose_radius_mm: float) -> float:
    r"""Thickest place of a chip that lies on the nose.

    .. math:: h_{max} = f \sin\kappa_s

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius, at most the nose radius. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    nose_radius_mm : float
        Nose radius. [mm]

    Returns
    -------
    float
        Greatest chip thickness :math:`h_{max}`. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the depth above the nose radius.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(nose_max_chip_mm(0.05, feed_mm_rev=0.05, nose_radius_mm=0.4), 4)
    0.0242
    """
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    return feed_mm_rev * sin(radians(nose_angle_deg(depth_mm, nose_radius_mm=nose_radius_mm)))


def nose_mean_chip_mm(depth_mm: float, *, feed_mm_rev: float, nose_radius_mm: float) -> float:
    r"""Mean thickness of a chip that lies on the nose.

    .. math:: h_m \approx a_p f / (r_\varepsilon \kappa_s + f/2)

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius, :math:`a_p`, at most the nose radius. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    nose_radius_mm : float
        Nose radius, :math:`r_\varepsilon`. [mm]

    Returns
    -------
    float
        Mean chip thickness :math:`h_m`. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the depth above the nose radius.

    Notes
    -----
    Area of the chip over the length of its edge; the half feed is the share of the tip behind the lowest point.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(nose_mean_chip_mm(0.05, feed_mm_rev=0.05, nose_radius_mm=0.4), 4)
    0.011
    """
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    arc_mm = nose_radius_mm * radians(nose_angle_deg(depth_mm, nose_radius_mm=nose_radius_mm))
    return depth_mm * feed_mm_rev / (arc_mm + feed_mm_rev / 2)


def mean_chip_mm(depth_mm: float, *, feed_mm_rev: float, nose_radius_mm: float, entering_angle_deg: float) -> float:
    r"""Mean thickness of a chip: on the rounded nose if the cut does not leave it, else of the straight edge.

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius. [mm]
    feed_mm_rev : float
        Feed. [mm/rev]
    nose_radius_mm : float
        Nose radius, 0 for none. [mm]
    entering_angle_deg : float
        Angle between the straight edge and the feed direction; above 90 degrees it is reckoned as 90. [deg]

    Returns
    -------
    float
        Mean chip thickness. [mm]

    Raises
    ------
    OutOfRangeError
        As the functions it is built of.

    References
    ----------
    `nose_mean_chip_mm` and `handwheel.physics.force.chip_thickness_mm`: geometry.

    Examples
    --------
    >>> round(mean_chip_mm(0.05, feed_mm_rev=0.05, nose_radius_mm=0.4, entering_angle_deg=95.0), 4)
    0.011
    >>> mean_chip_mm(0.5, feed_mm_rev=0.05, nose_radius_mm=0.4, entering_angle_deg=95.0)
    0.05
    """
    angle = min(entering_angle_deg, 90.0)
    if nose_radius_mm > 0 and is_nose_cut(depth_mm, nose_radius_mm=nose_radius_mm, entering_angle_deg=angle):
        return nose_mean_chip_mm(depth_mm, feed_mm_rev=feed_mm_rev, nose_radius_mm=nose_radius_mm)
    return chip_thickness_mm(feed_mm_rev, entering_angle_deg=angle)


def effective_entering_angle_deg(
    depth_mm: float, *, feed_mm_rev: float, nose_radius_mm: float, entering_angle_deg: float
) -> float:
    r"""Entering angle of the straight edge that would give the same mean chip; for the force of shallow cuts.

    .. math:: \kappa_m = \arcsin(h_m / f)

    Parameters
    ----------
    depth_mm : float
        Depth of cut on the radius. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    nose_radius_mm : float
        Nose radius. [mm]
    entering_angle_deg : float
        Angle between the straight edge and the feed direction. [deg]

    Returns
    -------
    float
        The entering angle itself where the straight edge cuts; a smaller one for a cut on the nose. [deg]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the angle not within 1 to 179 degrees.

    Notes
    -----
    Chip area stays depth times feed, so the force law sees the right area at the right thickness. At least 1 degree.

    References
    ----------
    Geometry, of this project.

    Examples
    --------
    >>> round(effective_entering_angle_deg(0.05, feed_mm_rev=0.05, nose_radius_mm=0.4, entering_angle_deg=90.0), 1)
    12.7
    """
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    if depth_mm >= nose_radius_mm or not is_nose_cut(
        depth_mm, nose_radius_mm=nose_radius_mm, entering_angle_deg=entering_angle_deg
    ):
        return entering_angle_deg
    mean_mm = nose_mean_chip_mm(depth_mm, feed_mm_rev=feed_mm_rev, nose_radius_mm=nose_radius_mm)
    return max(1.0, min(degrees(asin(min(1.0, mean_mm / feed_mm_rev))), entering_angle_deg))


def least_chip_mm(edge_radius_um: float, *, edge_share: float = EDGE_SHARE) -> float:
    r"""Thinnest chip that an edge still cuts; thinner, it rubs and hardens the skin.

    .. math:: h_{min} = k\,r_\beta

    Parameters
    ----------
    edge_radius_um : float
        Radius of the cutting edge itself, :math:`r_\beta`. [um]
    edge_share : float
        Share :math:`k`, 0.2 to 0.4 in the literature.

    Returns
    -------
    float
        Least chip thickness :math:`h_{min}`. [mm]

    Raises
    ------
    OutOfRangeError
        If the radius is not above 0 or the share not within 0.1 to 0.5.

    Notes
    -----
    A rule of thumb for all metals: the share depends on the friction between chip and edge.

    References
    ----------
    [MIN_CHIP_REVIEW], abstract opened; value 0.293 by another model from memory.

    Examples
    --------
    >>> least_chip_mm(10.0)
    0.003
    """
    require_positive("edge_radius_um", edge_radius_um, unit="um")
    require_within("edge_share", edge_share, low=0.1, high=0.5, unit="(share)")
    return edge_share * edge_radius_um / UM_PER_MM


def least_chip_by_friction_mm(edge_radius_um: float, *, friction_angle_deg: float) -> float:
    r"""Thinnest chip that an edge still cuts, from the friction between chip and edge: a second opinion.

    .. math:: h_{min} = r_\beta \left(1 - \cos\left(45^\circ - \beta/2\right)\right)

    Parameters
    ----------
    edge_radius_um : float
        Radius of the cutting edge itself, :math:`r_\beta`. [um]
    friction_angle_deg : float
        Friction angle between chip and edge, :math:`\beta`: arc tangent of the coefficient of friction. [deg]

    Returns
    -------
    float
        Least chip thickness :math:`h_{min}`. [mm]

    Raises
    ------
    OutOfRangeError
        If the radius is not above 0 or the angle not within 0 to 60 degrees.

    Notes
    -----
    Without friction it is 0.293 of the edge radius; friction makes it less, 0.13 at a coefficient of 0.6. The design
    value of `least_chip_mm`, 0.3, is on the safe side of all of it.

    References
    ----------
    Son et al. (2005), as in [MIN_CHIP_REVIEW]; from memory.

    Examples
    --------
    >>> round(least_chip_by_friction_mm(10.0, friction_angle_deg=0.0), 5)
    0.00293
    """
    require_positive("edge_radius_um", edge_radius_um, unit="um")
    require_within("friction_angle_deg", friction_angle_deg, low=0.0, high=60.0, unit="deg")
    return edge_radius_um / UM_PER_MM * (1.0 - cos(radians(45.0 - friction_angle_deg / 2.0)))


def chip_verdict(max_chip_mm: float, *, mean_chip_mm: float, least_chip_mm: float) -> ChipVerdict:
    r"""Whether an edge cuts a chip, barely cuts it, or rubs.

    .. math:: h_{max} < h_{min}: \text{rubs}; \qquad h_m < 2 h_{min}: \text{thin}

    Parameters
    ----------
    max_chip_mm : float
        Thickest place of the chip, :math:`h_{max}`. [mm]
    mean_chip_mm : float
        Mean thickness, :math:`h_m`. [mm]
    least_chip_mm : float
        Thinnest chip the edge cuts, :math:`h_{min}`. [mm]

    Returns
    -------
    ChipVerdict
        Rubs: no size can be promised. Thin: warn. Cuts: as planned.

    Raises
    ------
    OutOfRangeError
        If a thickness is not above 0, or the mean above the greatest.

    References
    ----------
    Rule of this project, common practice [COMMON].

    Examples
    --------
    >>> chip_verdict(0.0156, mean_chip_mm=0.0066, least_chip_mm=0.003)
    <ChipVerdict.CUTS: 'cuts'>
    """
    require_positive("max_chip_mm", max_chip_mm, unit="mm")
    require_within("mean_chip_mm", mean_chip_mm, low=0.0, high=max_chip_mm, unit="mm")
    require_positive("least_chip_mm", least_chip_mm, unit="mm")
    if max_chip_mm < least_chip_mm:
        return ChipVerdict.RUBS
    if mean_chip_mm < THIN_CHIP * least_chip_mm:
        return ChipVerdict.THIN
    return ChipVerdict.CUTS
