"""What jaws lose of their grip by turning fast: centrifugal force, the grip to begin with, the speed it allows."""

from __future__ import annotations

from math import inf, pi

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

LEAST_SAFETY = 1.5
"""Least safety of a grip, for the cut and for the jaws each [VDI3106], opened in four chuck makers' extracts."""
_MM_PER_M = 1000.0
_RAD_PER_REV = 2.0 * pi
_S_PER_MIN = 60.0


class Jaws(Struct, frozen=True, kw_only=True):
    """The jaws of a chuck as they are set.

    ``jaw_mass_kg`` is that of one jaw with what is screwed to it, ``centre_radius_mm`` the radius at which its centre
    of mass lies.
    """

    count: int
    jaw_mass_kg: float
    centre_radius_mm: float

    def __post_init__(self) -> None:
        """Refuse what weighs nothing or lies on the axis."""
        require_positive("count", self.count, unit="(jaws)")
        require_positive("jaw_mass_kg", self.jaw_mass_kg, unit="kg")
        require_positive("centre_radius_mm", self.centre_radius_mm, unit="mm")

    @property
    def moment_kg_m(self) -> float:
        """Masses times radius, all jaws added up. [kg m]"""
        return self.count * self.jaw_mass_kg * self.centre_radius_mm / _MM_PER_M


def jaws_centrifugal_n(jaws: Jaws, *, speed_rpm: float) -> float:
    r"""Force by which the jaws of a chuck strive outward as they turn, all of them added up.

    .. math:: F_c = z\,m\,r\,(\pi n / 30)^2

    Parameters
    ----------
    jaws : Jaws
        Number :math:`z`, mass of each :math:`m`, radius of its centre of mass :math:`r`.
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]

    Returns
    -------
    float
        Force :math:`F_c`. [N]

    Raises
    ------
    OutOfRangeError
        If the speed is not above 0.

    References
    ----------
    Mechanics, in the form of [VDI3106].

    Examples
    --------
    >>> round(jaws_centrifugal_n(Jaws(count=3, jaw_mass_kg=0.25, centre_radius_mm=30.0), speed_rpm=1000.0))
    247
    """
    require_positive("speed_rpm", speed_rpm, unit="rev/min")
    return jaws.moment_kg_m * (_RAD_PER_REV * speed_rpm / _S_PER_MIN) ** 2


def grip_to_begin_with_n(
    needed_n: float,
    *,
    centrifugal_n: float,
    cut_safety: float = LEAST_SAFETY,
    jaw_safety: float = LEAST_SAFETY,
    outside: bool = True,
) -> float:
    r"""Grip that the jaws must have at rest, so that enough is left as they turn; all jaws added up.

    .. math:: F_0 = S_{sp}\,(S_z F_z \pm F_c)

    Parameters
    ----------
    needed_n : float
        Grip that the cut needs, without safety, :math:`F_z`. [N]
    centrifugal_n : float
        Force from `jaws_centrifugal_n`, :math:`F_c`: plus for work gripped from outside, minus from inside. [N]
    cut_safety, jaw_safety : float
        Safety for the cut :math:`S_z`, and for the grip :math:`S_{sp}`.
    outside : bool
        Whether the jaws close on the work from outside; from inside turning presses them on.

    Returns
    -------
    float
        Grip :math:`F_0`, 0 where turning alone would do. [N]

    Raises
    ------
    OutOfRangeError
        If a force is not above 0, or a safety below 1.5.

    Notes
    -----
    From inside the jaws press harder as they turn: what a thin ring bears is then asked at speed, and the grip at rest
    is what lobes it least. A scroll holds its jaws stiffly, and they may lose less than this (statics; the
    sources have no figure). The speed written on the chuck stands above every reckoning.

    References
    ----------
    [VDI3106], in a chuck maker's operating manual (extract opened).

    Examples
    --------
    >>> round(grip_to_begin_with_n(1000.0, centrifugal_n=247.0), 1)
    2620.5
    """
    require_positive("needed_n", needed_n, unit="N")
    require_positive("centrifugal_n", centrifugal_n, unit="N")
    _require_safety(cut_safety, jaw_safety)
    sign = 1.0 if outside else -1.0
    return max(0.0, jaw_safety * (cut_safety * needed_n + sign * centrifugal_n))


def fastest_gripping_rpm(
    grip_n: float,
    *,
    needed_n: float,
    jaws: Jaws,
    cut_safety: float = LEAST_SAFETY,
    jaw_safety: float = LEAST_SAFETY,
) -> float:
    r"""Fastest speed at which jaws that grip from outside still hold what the cut needs.

    .. math:: n = \frac{30}{\pi} \sqrt{\frac{F_0 / S_{sp} - S_z F_z}{z\,m\,r}}

    Parameters
    ----------
    grip_n : float
        Grip at rest, all jaws added up, :math:`F_0`. [N]
    needed_n : float
        Grip that the cut needs, without safety, :math:`F_z`. [N]
    jaws : Jaws
        As of `jaws_centrifugal_n`.
    cut_safety, jaw_safety : float
        Safety for the cut :math:`S_z`, and for the grip :math:`S_{sp}`.

    Returns
    -------
    float
        Speed :math:`n`; never above what is written on the chuck. [rev/min]

    Raises
    ------
    OutOfRangeError
        If a grip is not above 0, a safety below 1.5, or the grip too small even at rest.

    Notes
    -----
    Stricter than the extract's formula, which leaves :math:`S_{sp}` out of the root and does not give its own
    printed speed; this one is `grip_to_begin_with_n` solved for the speed.

    References
    ----------
    Mechanics, with the safeties of [VDI3106].

    Examples
    --------
    >>> three = Jaws(count=3, jaw_mass_kg=0.25, centre_radius_mm=30.0)
    >>> round(fastest_gripping_rpm(2620.12, needed_n=1000.0, jaws=three))
    1000
    """
    require_positive("grip_n", grip_n, unit="N")
    require_positive("needed_n", needed_n, unit="N")
    _require_safety(cut_safety, jaw_safety)
    left_n = grip_n / jaw_safety - cut_safety * needed_n
    if left_n <= 0:
        least_n = jaw_safety * cut_safety * needed_n
        msg = f"grip_n: got {grip_n:g} N, must be above {least_n:g} N even at rest; grip harder or cut less"
        raise OutOfRangeError(msg)
    return float((left_n / jaws.moment_kg_m) ** 0.5) * _S_PER_MIN / _RAD_PER_REV


def _require_safety(cut_safety: float, jaw_safety: float) -> None:
    require_within("cut_safety", cut_safety, low=LEAST_SAFETY, high=inf, unit="(factor)")
    require_within("jaw_safety", jaw_safety, low=LEAST_SAFETY, high=inf, unit="(factor)")
