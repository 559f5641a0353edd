"""Regenerative chatter: how wide a cut may be before the tool begins to sing, at any speed and at one speed."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from heapq import heappop, heappush
from itertools import count
from math import atan2, ceil, cos, floor, inf, pi, radians, sqrt
from typing import NamedTuple

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

MOST_USEFUL_LOBE = 10
"""Lobe number above which lobes crowd so close that only the limit for any speed counts (stability-examples
section 4: common practice, no source)."""
DAMPED_BELOW_M_MIN = 40.0
"""Below about this cutting speed the flank damps and chatter's limit is higher by an unknown amount (cutting-models
section 8, from memory, qualitative). [m/min]"""
PROVEN_GAP = 1e-6
"""Share by which a proven lower bound may stay below the limit that is returned; own choice."""
_LEAST_DAMPING, _MOST_DAMPING = 1e-4, 0.99
_MM_PER_UM = 1e-3
_LEAST_BOX = 1e-13
"""Narrowest box of frequencies, as a share of its place: below it floats tell no more."""


class Mode(Struct, frozen=True, kw_only=True):
    r"""One way in which tool or work swings.

    Parameters
    ----------
    stiffness_n_um : float
        Modal stiffness :math:`k`. [N/µm]
    damping_ratio : float
        Damping ratio :math:`\zeta`. [1]
    frequency_hz : float
        Natural frequency. [Hz]
    angle_deg : float
        Angle of the swing from the direction of chip thickness; 0 swings straight into the work. [deg]
    """

    stiffness_n_um: float
    damping_ratio: float
    frequency_hz: float
    angle_deg: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what does not swing, or swings across the chip thickness only."""
        require_positive("stiffness_n_um", self.stiffness_n_um, unit="N/µm")
        require_within("damping_ratio", self.damping_ratio, low=_LEAST_DAMPING, high=_MOST_DAMPING, unit="1")
        require_positive("frequency_hz", self.frequency_hz, unit="Hz")
        require_within("angle_deg", self.angle_deg, low=-89.9, high=89.9, unit="deg")

    @property
    def flexibility_mm_n(self) -> float:
        """How far it gives towards the chip thickness under a steady force from there, cos²θ / k. [mm/N]"""
        return cos(radians(self.angle_deg)) ** 2 * _MM_PER_UM / self.stiffness_n_um

    @property
    def softest_hz(self) -> float:
        """Frequency at which its real part is least, f √(1 + 2ζ). [Hz]"""
        return self.frequency_hz * sqrt(1.0 + 2.0 * self.damping_ratio)


class Limit(Struct, frozen=True, kw_only=True):
    """A limit of the width of cut [mm], its chatter frequency [Hz], and the proven bound that it cannot be below [mm].

    ``lobe`` is the number of whole waves left on the work in one turn, ``None`` for the limit at any speed.
    """

    width_mm: float
    chatter_hz: float
    bound_mm: float
    lobe: int | None = None


class Ruling(Enum):
    """Which of the two limits counts at a speed."""

    ANY_SPEED = "any speed"
    LOBES = "lobes"


def stable_width_mm(
    stiffness_n_um: float, *, damping_ratio: float, kc_n_mm2: float, direction_factor: float = 1.0
) -> float:
    r"""Width of cut below which regenerative chatter cannot grow, whatever the speed.

    .. math:: b_{lim} = 2\,k\,\zeta\,(1 + \zeta) / (K_s\,\mu)

    Parameters
    ----------
    stiffness_n_um : float
        Static stiffness of the flexible side, :math:`k`. [N/µm]
    damping_ratio : float
        Damping ratio, :math:`\zeta`. [1]
    kc_n_mm2 : float
        Specific cutting force at the working chip thickness, :math:`K_s`. [N/mm²]
    direction_factor : float
        Directional factor, :math:`\mu`; 1 is the safe side. With one mode at the angle :math:`\theta` it is
        :math:`\cos^2\theta` if :math:`K_s` is the force in the direction of chip thickness. [1]

    Returns
    -------
    float
        Width of cut :math:`b_{lim}`. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the damping ratio is not below 1.

    Notes
    -----
    One mode, linear. Below about 40 m/min process damping lifts the real limit (not modelled), so on a manual
    lathe the figure is on the safe side.

    References
    ----------
    [ALTINTAS] regenerative chatter, absolute stability limit; from memory of that chapter.

    Examples
    --------
    >>> round(stable_width_mm(20.0, damping_ratio=0.03, kc_n_mm2=2000.0), 2)
    0.62
    """
    require_positive("stiffness_n_um", stiffness_n_um, unit="N/µm")
    require_within("damping_ratio", damping_ratio, low=_LEAST_DAMPING, high=_MOST_DAMPING, unit="1")
    require_positive("kc_n_mm2", kc_n_mm2, unit="N/mm²")
    require_positive("direction_factor", direction_factor, unit="1")
    return 2.0 * stiffness_n_um * damping_ratio * (1.0 + damping_ratio) / (_MM_PER_UM * kc_n_mm2 * direction_factor)


def oriented_response(frequency_hz: float, modes: Sequence[Mode]) -> complex:
    r"""How far the tool moves against the chip for a swinging force of 1 N in that direction.

    .. math:: G(\omega) = \sum_i \frac{\cos^2\theta_i}{k_i\,[(1 - r_i^2) + 2 j \zeta_i r_i]}, \qquad
        r_i = \omega/\omega_{n,i}

    Parameters
    ----------
    frequency_hz : float
        Frequency of the force. [Hz]
    modes : sequence of Mode
        n modes, at least one.

    Returns
    -------
    complex
        Response :math:`G` in mm/N, its real part in step with the force.

    Raises
    ------
    OutOfRangeError
        If there is no mode, or the frequency is not above 0.

    References
    ----------
    [ALTINTAS] ch. 4, from memory.

    Examples
    --------
    >>> tool = Mode(stiffness_n_um=20.0, damping_ratio=0.03, frequency_hz=200.0)
    >>> round(abs(oriented_response(200.0, (tool,))) * 20_000.0, 2)
    16.67
    """
    require_positive("frequency_hz", frequency_hz, unit="Hz")
    _require_modes(modes)
    return sum((_term(mode, frequency_hz) for mode in modes), 0j)


def limit_at_any_speed(modes: Sequence[Mode], *, kf_n_mm2: float) -> Limit:
    r"""The least width of cut over all chatter frequencies: below it no speed chatters.

    .. math:: a_{crit} = \min_\omega \frac{-1}{2\,K_f\,\mathrm{Re}\,G(\omega)}, \qquad \mathrm{Re}\,G < 0

    Parameters
    ----------
    modes : sequence of Mode
        n modes, at least one.
    kf_n_mm2 : float
        Force for each area of chip in the direction of chip thickness, :math:`K_f`; not the tangential one. [N/mm2]

    Returns
    -------
    Limit
        The limit, its chatter frequency, and a bound within `PROVEN_GAP` below which it cannot be.

    Raises
    ------
    OutOfRangeError
        If there is no mode, or the force is not above 0.

    Notes
    -----
    No lobes, no process damping: below about 40 m/min the flank of the tool damps the swing and the real limit is
    higher by an amount that this model does not know.

    The search is exact. Below the lowest natural frequency every mode's real part is positive; above the highest
    :math:`f\sqrt{1 + 2\zeta}` every one of them rises: so the least lies between. There, where the real part of one
    mode turns is known, hence its least over a stretch; the sum of these is a lower bound, and stretches are halved
    until the best frequency found is proven to be within `PROVEN_GAP` of it.

    References
    ----------
    [ALTINTAS] ch. 4, from memory.

    Examples
    --------
    >>> tool = Mode(stiffness_n_um=226.0, damping_ratio=0.012, frequency_hz=250.0, angle_deg=30.0)
    >>> found = limit_at_any_speed((tool,), kf_n_mm2=1000.0)
    >>> round(found.width_mm, 3), round(found.chatter_hz, 1)
    (7.319, 253.0)
    """
    _require_modes(modes)
    require_positive("kf_n_mm2", kf_n_mm2, unit="N/mm²")
    best_hz = min((mode.softest_hz for mode in modes), key=lambda hz: oriented_response(hz, modes).real)
    best = oriented_response(best_hz, modes).real
    order = count()
    low, high = min(mode.frequency_hz for mode in modes), max(mode.softest_hz for mode in modes)
    boxes = [(_least_real(modes, low, high), next(order), low, high)]
    while boxes and boxes[0][0] < best * (1.0 + PROVEN_GAP):
        _, _, low, high = heappop(boxes)
        middle = (low + high) / 2.0
        real = oriented_response(middle, modes).real
        if real < best:
            best, best_hz = real, middle
        for ends in ((low, middle), (middle, high)):
            bound = _least_real(modes, *ends)
            if bound < best * (1.0 + PROVEN_GAP):
                heappush(boxes, (bound, next(order), *ends))
    best_hz = _polished_hz(modes, best_hz)
    best = oriented_response(best_hz, modes).real
    return Limit(
        width_mm=_width_mm(best, kf_n_mm2),
        chatter_hz=best_hz,
        bound_mm=_width_mm(best * (1.0 + PROVEN_GAP), kf_n_mm2),
    )


def limit_at_speed(modes: Sequence[Mode], *, kf_n_mm2: float, speed_rpm: float) -> Limit:
    r"""The least width of cut that chatters at one speed of the spindle, by its lobes.

    .. math:: \psi = \mathrm{atan2}(\mathrm{Im}\,G, \mathrm{Re}\,G), \quad \varepsilon = 3\pi + 2\psi, \quad
        \omega\,T = 2\pi k + \varepsilon, \quad T = 60/n

    Parameters
    ----------
    modes : sequence of Mode
        n modes, at least one.
    kf_n_mm2 : float
        Force for each area of chip in the direction of chip thickness, :math:`K_f`. [N/mm2]
    speed_rpm : float
        Speed of the spindle, :math:`n`. [rev/min]

    Returns
    -------
    Limit
        The limit, its chatter frequency, its lobe :math:`k`, and a bound within `PROVEN_GAP`.

    Raises
    ------
    OutOfRangeError
        If there is no mode, force or speed is not above 0, or the lobe number would exceed 1000.

    Notes
    -----
    Process damping is not in the model. Above lobe number `MOST_USEFUL_LOBE` the figure is of no use: see `ruling`.

    Every chatter frequency at the speed is looked at: over a stretch of frequencies the real and the imaginary part of
    each mode are enclosed by their turning points, hence the phase too; a stretch is dropped when no whole number of
    waves fits it or when its bound is above the best root. Beyond :math:`\omega_1 + 3\pi/T`, with :math:`\omega_1` the
    highest :math:`\omega_n\sqrt{1 + 2\zeta}`, a root has passed already and the limit only rises.

    References
    ----------
    [ALTINTAS] ch. 4, from memory.

    Examples
    --------
    >>> tool = Mode(stiffness_n_um=226.0, damping_ratio=0.012, frequency_hz=250.0, angle_deg=30.0)
    >>> found = limit_at_speed((tool,), kf_n_mm2=1000.0, speed_rpm=4000.0)
    >>> round(found.width_mm, 3), round(found.chatter_hz, 2), found.lobe
    (7.492, 252.4, 3)
    """
    _require_modes(modes)
    require_positive("kf_n_mm2", kf_n_mm2, unit="N/mm²")
    require_positive("speed_rpm", speed_rpm, unit="rev/min")
    turn_s = 60.0 / speed_rpm
    low, high = min(mode.frequency_hz for mode in modes), max(mode.softest_hz for mode in modes) + 1.5 / turn_s
    require_within("lobe number", high * turn_s, low=0.0, high=1000.0, unit="(waves in a turn)")
    best = _Root(0.0, 0.0, 0)
    order = count()
    boxes = [(_least_real(modes, low, high), next(order), low, high)]
    while boxes and boxes[0][0] < best.real * (1.0 + PROVEN_GAP):
        _, _, low, high = heappop(boxes)
        roots = [_root(modes, low, high, lobe, turn_s) for lobe in _crossed(modes, low, high, turn_s)]
        best = min((best, *roots))
        if high - low < _LEAST_BOX * high:  # waves that touch a whole number and turn back
            best = min(best, _Root(oriented_response(low, modes).real, low, round(_waves(modes, low, turn_s))))
            continue
        middle = (low + high) / 2.0
        for ends in ((low, middle), (middle, high)):
            bound = _least_real(modes, *ends)
            if bound < best.real * (1.0 + PROVEN_GAP) and _may_fit(modes, *ends, turn_s):
                heappush(boxes, (bound, next(order), *ends))
    return Limit(
        width_mm=_width_mm(best.real, kf_n_mm2),
        chatter_hz=best.hz,
        bound_mm=_width_mm(best.real * (1.0 + PROVEN_GAP), kf_n_mm2),
        lobe=best.lobe,
    )


def lobe_number(chatter_hz: float, *, speed_rpm: float) -> float:
    r"""Waves that chatter leaves on the work in one turn.

    .. math:: N = 60\,f / n

    Parameters
    ----------
    chatter_hz : float
        Frequency of the chatter, :math:`f`. [Hz]
    speed_rpm : float
        Speed of the spindle, :math:`n`. [rev/min]

    Returns
    -------
    float
        Number of waves :math:`N`.

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> lobe_number(250.0, speed_rpm=500.0)
    30.0
    """
    require_positive("chatter_hz", chatter_hz, unit="Hz")
    require_positive("speed_rpm", speed_rpm, unit="rev/min")
    return 60.0 * chatter_hz / speed_rpm


def ruling(modes: Sequence[Mode], *, speed_rpm: float) -> Ruling:
    """Which limit counts at a speed: that of its lobes, or that for any speed where lobes crowd.

    Parameters
    ----------
    modes : sequence of Mode
        n modes, at least one; the one of the lowest frequency decides, for its lobes crowd last.
    speed_rpm : float
        Speed of the spindle. [rev/min]

    Returns
    -------
    Ruling
        ``ANY_SPEED`` above lobe number `MOST_USEFUL_LOBE`, else ``LOBES``.

    Raises
    ------
    OutOfRangeError
        If there is no mode, or the speed is not above 0.

    Notes
    -----
    A manual lathe nearly always stands on the side of ``ANY_SPEED``: 500 rev/min and 200 Hz are lobe 24. No speed is
    kept well enough there to stay between two lobes. The limit for any speed is safe at every speed.

    References
    ----------
    Common practice, no source [COMMON].

    Examples
    --------
    >>> tool = Mode(stiffness_n_um=20.0, damping_ratio=0.03, frequency_hz=200.0)
    >>> ruling((tool,), speed_rpm=500.0).value, ruling((tool,), speed_rpm=4000.0).value
    ('any speed', 'lobes')
    """
    _require_modes(modes)
    lowest = min(mode.frequency_hz for mode in modes)
    return Ruling.ANY_SPEED if lobe_number(lowest, speed_rpm=speed_rpm) > MOST_USEFUL_LOBE else Ruling.LOBES


def ruling_limit(modes: Sequence[Mode], *, kf_n_mm2: float, speed_rpm: float) -> Limit:
    """The limit that counts at a speed: by its lobes where these stand apart, else the one for any speed.

    Parameters
    ----------
    modes : sequence of Mode
        n modes, at least one.
    kf_n_mm2 : float
        Force for each area of chip in the direction of chip thickness. [N/mm2]
    speed_rpm : float
        Speed of the spindle. [rev/min]

    Returns
    -------
    Limit
        With ``lobe`` set if it was reckoned at the speed, ``None`` if it holds at any.

    Raises
    ------
    OutOfRangeError
        If there is no mode, or force or speed is not above 0.

    References
    ----------
    `ruling`, `limit_at_speed` and `limit_at_any_speed` [ALTINTAS].

    Examples
    --------
    >>> tool = Mode(stiffness_n_um=20.0, damping_ratio=0.03, frequency_hz=200.0)
    >>> found = ruling_limit((tool,), kf_n_mm2=2000.0, speed_rpm=500.0)
    >>> round(found.width_mm, 2), found.lobe
    (0.62, None)
    """
    if ruling(modes, speed_rpm=speed_rpm) is Ruling.ANY_SPEED:
        return limit_at_any_speed(modes, kf_n_mm2=kf_n_mm2)
    return limit_at_speed(modes, kf_n_mm2=kf_n_mm2, speed_rpm=speed_rpm)


class _Root(NamedTuple):
    """Real part at a chatter frequency of a speed [mm/N], that frequency [Hz], and its lobe."""

    real: float
    hz: float
    lobe: int


def _require_modes(modes: Sequence[Mode]) -> None:
    if not modes:
        msg = "modes: got none, something must swing; give the softest side of tool and work"
        raise OutOfRangeError(msg)


def _width_mm(real_mm_n: float, kf_n_mm2: float) -> float:
    return -1.0 / (2.0 * kf_n_mm2 * real_mm_n) if real_mm_n < 0 else inf


def _term(mode: Mode, hz: float) -> complex:
    ratio = hz / mode.frequency_hz
    return mode.flexibility_mm_n / complex(1.0 - ratio * ratio, 2.0 * mode.damping_ratio * ratio)


def _real_range(mode: Mode, low_hz: float, high_hz: float) -> tuple[float, float]:
    """Least and greatest real part of one mode from its turning points r² = 1 ± 2ζ and the ends. [mm/N]"""
    turns = [mode.softest_hz]
    if 2.0 * mode.damping_ratio < 1.0:
        turns.append(mode.frequency_hz * sqrt(1.0 - 2.0 * mode.damping_ratio))
    at = [_term(mode, hz).real for hz in (low_hz, high_hz, *(hz for hz in turns if low_hz < hz < high_hz))]
    return min(at), max(at)


def _imaginary_range(mode: Mode, low_hz: float, high_hz: float) -> tuple[float, float]:
    """Least and greatest imaginary part of one mode; it turns where 3 r⁴ - (2 - 4ζ²) r² - 1 = 0. [mm/N]"""
    half = 1.0 - 2.0 * mode.damping_ratio**2
    turn = mode.frequency_hz * sqrt((half + sqrt(half * half + 3.0)) / 3.0)
    at = [_term(mode, hz).imag for hz in (low_hz, high_hz, *((turn,) if low_hz < turn < high_hz else ()))]
    return min(at), max(at)


def _least_real(modes: Sequence[Mode], low_hz: float, high_hz: float) -> float:
    return sum(_real_range(mode, low_hz, high_hz)[0] for mode in modes)


def _polished_hz(modes: Sequence[Mode], near_hz: float) -> float:
    """Frequency of the least real part close to the best one found, by halving the slope's change of sign. [Hz]"""
    step = near_hz * 1e-3

    def slope(hz: float) -> float:
        total = 0.0
        for mode in modes:
            ratio = hz / mode.frequency_hz
            stiff = complex(1.0 - ratio * ratio, 2.0 * mode.damping_ratio * ratio)
            grows = complex(-2.0 * ratio, 2.0 * mode.damping_ratio) / mode.frequency_hz
            total += (-mode.flexibility_mm_n * grows / (stiff * stiff)).real
        return total

    low, high = near_hz - step, near_hz + step
    if not slope(low) < 0 < slope(high):
        return near_hz
    while high - low > _LEAST_BOX * near_hz:
        middle = (low + high) / 2.0
        low, high = (middle, high) if slope(middle) < 0 else (low, middle)
    polished = (low + high) / 2.0
    return min(polished, near_hz, key=lambda hz: oriented_response(hz, modes).real)


def _waves(modes: Sequence[Mode], hz: float, turn_s: float) -> float:
    """Waves in a turn less the lag ε / 2π: a whole number where the tool can chatter."""
    response = oriented_response(hz, modes)
    return hz * turn_s - 1.5 - atan2(response.imag, response.real) / pi


def _crossed(modes: Sequence[Mode], low_hz: float, high_hz: float, turn_s: float) -> range:
    """Lobes between the waves of the two ends, each of which has a root between them."""
    first, last = sorted((_waves(modes, low_hz, turn_s), _waves(modes, high_hz, turn_s)))
    return range(max(0, ceil(first)), floor(last) + 1)


def _root(modes: Sequence[Mode], low_hz: float, high_hz: float, lobe: int, turn_s: float) -> _Root:
    """Chatter frequency of a lobe that lies between two ends, by halving."""
    rising = _waves(modes, low_hz, turn_s) <= lobe
    while high_hz - low_hz > _LEAST_BOX * high_hz:
        middle = (low_hz + high_hz) / 2.0
        if (_waves(modes, middle, turn_s) <= lobe) is rising:
            low_hz = middle
        else:
            high_hz = middle
    hz = (low_hz + high_hz) / 2.0
    real = oriented_response(hz, modes).real
    return _Root(min(real, 0.0), hz, lobe)


def _may_fit(modes: Sequence[Mode], low_hz: float, high_hz: float, turn_s: float) -> bool:
    """Whether any whole number of waves may fit a stretch, by an enclosure of the phase."""
    reals = [_real_range(mode, low_hz, high_hz) for mode in modes]
    imaginaries = [_imaginary_range(mode, low_hz, high_hz) for mode in modes]
    least, most = sum(low for low, _ in reals), sum(high for _, high in reals)
    bottom, top = sum(low for low, _ in imaginaries), sum(high for _, high in imaginaries)
    angles = [atan2(y, x) for x in (least, most) for y in (bottom, top)]
    first = low_hz * turn_s - 1.5 - max(angles) / pi
    last = high_hz * turn_s - 1.5 - min(angles) / pi
    return max(0, ceil(first - 1e-12)) <= floor(last + 1e-12)
