"""What makes every reading of a stop wrong alike: flats in a bore, lobes that the gauge does not see, heat."""

from __future__ import annotations

from statistics import fmean

from handwheel.bench.asking.ability import flat_shortfalls_mm, flats_mm
from handwheel.bench.asking.records import Figure, Question, StopContext
from handwheel.bench.asking.slips import PLACES
from handwheel.domain.gauges import Gauge, GaugeKind, GaugeUse
from handwheel.domain.matters import SHARE_THAT_MATTERS
from handwheel.domain.said import said, said_range, said_short_range
from handwheel.physics.gauge_error import bore_by_caliper_mm
from handwheel.physics.lobes_seen import FEWEST_LOBES, LEAST_SEEN, three_point_swing_factor, two_point_swing_factor
from handwheel.physics.thermal import REFERENCE_TEMPERATURE_C, size_at_reference_mm, size_change_mm

ROUND_USES = (GaugeUse.OUTSIDE, GaugeUse.BORE)


def flats(stop: StopContext, usable: tuple[int, ...]) -> tuple[Question, ...]:
    """Ask about a caliper in a bore, once its flats make it read small by more than a tenth of the tolerance."""
    low_mm, high_mm = flat_shortfalls_mm(stop.gauge, stop.use, stop.expected_mm)
    if not usable or not _matters(stop, high_mm):
        return ()
    known = low_mm == high_mm
    flat_low_mm, flat_high_mm = flats_mm(stop.gauge)
    mean_mm = fmean(stop.readings[index].read_mm for index in usable)
    return (
        Question(
            code="caliper-flats",
            saw=f"{stop.gauge.name} in a bore, flats {said_short_range(flat_low_mm, flat_high_mm, stop.units)} wide"
            f"{'' if known else ' as they usually are'}: it reads this bore "
            f"{said_range(low_mm, high_mm, stop.units, places=PLACES)} small",
            perhaps="cut by these readings the bore gets that much too large",
            ask="A plug gauge, a three-point gauge, or a telescoping gauge with a micrometer reads true; or set the "
            "caliper to 0 in a ring of known bore. Take the corrected value only if you know the flats.",
            offered_mm=bore_by_caliper_mm(mean_mm, flat_mm=flat_high_mm) if known and mean_mm > flat_high_mm else None,
            figures=(Figure(name="small_low", value=low_mm), Figure(name="small_high", value=high_mm)),
        ),
    )


def lobes(stop: StopContext) -> tuple[Question, ...]:
    """Ask about lobes of the grip that the gauge in use cannot see, once their height matters."""
    if not stop.is_close or stop.use not in ROUND_USES or stop.lobes < FEWEST_LOBES:
        return ()
    if not _matters(stop, stop.lobes_mm) or sees_lobes(stop.gauge, stop.lobes):
        return ()
    smaller = "smaller" if stop.use is GaugeUse.BORE else "larger"
    height = said(stop.lobes_mm, stop.units, places=PLACES)
    return (
        Question(
            code="lobes-unseen",
            saw=f"the grip leaves {stop.lobes} lobes, {height} from valley to peak on "
            f"the radius; {stop.gauge.name} reads the same all round",
            perhaps=f"once released the work fits as if it were {height} {smaller}",
            ask=f"Measure after release, at room temperature, with {_what_sees(stop)}.",
            figures=(
                Figure(name="lobes", value=float(stop.lobes), unit="1"),
                Figure(name="height", value=stop.lobes_mm),
            ),
        ),
    )


def sees_lobes(gauge: Gauge, number: int) -> bool:
    """Whether a gauge shows that many lobes as it is turned round the part.

    Two opposite contacts see even numbers of lobes, three contacts 120° apart multiples of three; a plug or ring gauge
    feels them all.
    """
    if gauge.sort is GaugeKind.PLUG:
        return True
    factor = three_point_swing_factor if gauge.sort is GaugeKind.THREE_POINT else two_point_swing_factor
    return factor(number) > LEAST_SEEN


def heat(stop: StopContext, usable: tuple[int, ...]) -> tuple[Question, ...]:
    """Ask about warm work once heat is worth more than a tenth of the tolerance; a correction only if °C were typed."""
    if not usable:
        return ()
    mean_mm = fmean(stop.readings[index].read_mm for index in usable)
    if stop.temperature_c is not None and stop.alpha_per_k is not None and mean_mm > 0.0:
        return _typed_heat(stop, mean_mm, alpha_per_k=stop.alpha_per_k, temperature_c=stop.temperature_c)
    if not stop.is_close or not _matters(stop, stop.warm_mm):
        return ()
    return (
        Question(
            code="still-warm",
            saw=f"the work is believed to be warm: {said(stop.warm_mm, stop.units, places=PLACES)} too large now",
            perhaps="cut to size now it gets small as it cools, a bore as well as an outside",
            ask="Let it cool until it is comfortably cold to the hand, then measure again; or give its temperature "
            "with the reading.",
            figures=(Figure(name="warm", value=stop.warm_mm),),
        ),
    )


def _typed_heat(stop: StopContext, mean_mm: float, *, alpha_per_k: float, temperature_c: float) -> tuple[Question, ...]:
    growth_mm = size_change_mm(mean_mm, alpha_per_k=alpha_per_k, difference_k=temperature_c - REFERENCE_TEMPERATURE_C)
    if not _matters(stop, abs(growth_mm)):
        return ()
    cold_mm = size_at_reference_mm(mean_mm, alpha_per_k=alpha_per_k, temperature_c=temperature_c)
    which = "large" if growth_mm > 0 else "small"
    return (
        Question(
            code="warm-reading",
            saw=f"at {temperature_c:g} °C the size is {said(abs(growth_mm), stop.units, places=PLACES)} too {which}; "
            f"at {REFERENCE_TEMPERATURE_C:g} °C it would be {said(cold_mm, stop.units, places=PLACES)}",
            perhaps="more than a tenth of the tolerance, if the gauge itself is at about 20 °C",
            ask="Let it come to room temperature and measure again; or type the corrected value, if that is to count.",
            offered_mm=cold_mm,
            figures=(
                Figure(name="growth", value=growth_mm),
                Figure(name="temperature", value=temperature_c, unit="°C"),
            ),
        ),
    )


def _matters(stop: StopContext, effect_mm: float) -> bool:
    return stop.tolerance_mm is not None and effect_mm > SHARE_THAT_MATTERS * stop.tolerance_mm


def _what_sees(stop: StopContext) -> str:
    fit = "a plug gauge" if stop.use is GaugeUse.BORE else "a ring gauge"
    seen_by_three = three_point_swing_factor(stop.lobes) > LEAST_SEEN
    if not seen_by_three:
        return fit if two_point_swing_factor(stop.lobes) < LEAST_SEEN else f"{fit} or a gauge with two contacts"
    if stop.use is GaugeUse.BORE:
        return f"a three-point gauge or {fit}"
    return f"an indicator over a vee of 60° or {fit}"
