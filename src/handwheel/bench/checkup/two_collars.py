"""Two collars: the taper that the lathe turns, and which way headstock or tailstock is out of line."""

from __future__ import annotations

from handwheel.bench.checkup import shared
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Instruction, Outcome, Trial, asks
from handwheel.domain.errors import InputError
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle
from handwheel.domain.shop import Shop
from handwheel.physics.few_readings import Estimate
from handwheel.physics.two_collars import axis_angle_deg, tailstock_offset_mm, taper_per_length

CHUCK, TAILSTOCK = "chuck", "tailstock"
RING_MM = 10.0
"""Width of a ring by which a taper is made plain; own choice. [mm]"""
STEEP = 0.003
"""Taper on the diameter beyond which a lathe is out of line by an accident, or a reading is; own choice. [mm/mm]"""


def _matters(_: Shop) -> str:
    return (
        "The shop file has no key for taper: plans take the lathe as true. A bore or an outside that tapers has no one "
        "size to measure."
    )


def _settles(_: Shop) -> tuple[str, ...]:
    return ()


def _instructions(_: Shop) -> tuple[Instruction, ...]:
    return (
        shared.ready(
            "Choose a stout bar of a metal that cuts freely. Headstock: held by the chuck alone, standing out three "
            "times its diameter at most. Tailstock: held between chuck and centre."
        ),
        shared.act("Turn it thin between two collars, each as wide as the anvils of the micrometer."),
        shared.running(
            "Set a light cut, and turn both collars at that one setting, towards the chuck, by the carriage."
        ),
        shared.running("Take a second pass the same way, as deep: the last two cuts alike."),
        shared.stopped(
            "Let it cool. Measure the collar beside the chuck (near) and the other (far), three times each."
        ),
        shared.stopped("Measure from the middle of one collar to the middle of the other (apart)."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    return (
        shared.readings_field("near", "diameter of the collar beside the chuck"),
        shared.readings_field("far", "diameter of the other collar"),
        Field(key="apart", says="from middle to middle of the collars", low=20.0, high=1500.0),
        Field(key="held", says="what held the far end", kind=Kind.WORD, choices=(CHUCK, TAILSTOCK)),
        Field(
            key="between",
            says="with held=tailstock: from the jaws to the tip of the centre",
            low=20.0,
            high=3000.0,
            needed=False,
        ),
        shared.gauge_field(shop, GaugeUse.OUTSIDE),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    on_centre = entry.word("held") == TAILSTOCK
    if on_centre is not entry.has("between"):
        need = "is missing with held=tailstock" if on_centre else "goes with held=tailstock alone"
        msg = f"two-collars: between {need}; it is the length from the jaws to the tip of the centre"
        raise InputError((msg,))
    if on_centre and entry.one("between") < entry.one("apart"):
        msg = "two-collars: between is shorter than apart; the collars lie between jaws and centre; check both"
        raise InputError((msg,))
    if odd := shared.out_of_gauge(shop, entry, ("near", "far")):
        return asks(*odd)
    larger = shared.difference(shop, entry, ("near", "far"), weights=(-1.0, 1.0))
    apart_mm = entry.one("apart")
    near_mm, far_mm = (sum(entry.all(key)) / len(entry.all(key)) for key in ("near", "far"))
    value = taper_per_length(far_mm, near_dia_mm=near_mm, apart_mm=apart_mm)
    taper = Estimate(value=value, standard=larger.standard / apart_mm, freedom=larger.freedom)
    if abs(value) > STEEP:
        return asks(
            f"The collars differ by {shared.long(larger.value, shop.units)} over {shared.long(apart_mm, shop.units)}. "
            "Were both turned at one setting? Is one micrometer reading a whole turn of the thimble out? Measure "
            "again, "
            "with a second gauge."
        )
    said = [*_verdicts(shop, taper), *_which_way(shop, entry, taper)]
    if more := shared.readings_wanted(taper):
        said.append(more)
    return Outcome(verdicts=tuple(said), cannot_tell=_left_open(entry), measured=(_measured(taper, entry),))


def _verdicts(shop: Shop, taper: Estimate) -> list[str]:
    larger = taper.times(100.0)
    ring = abs(taper.value) * RING_MM
    on_ring = f"On a ring {RING_MM:g} mm wide that is {shared.long(ring, shop.units)} on the diameter"
    said = [
        f"Away from the chuck it is larger by {shared.give_or_take(larger, shop.units)} in each 100 mm of length.",
        f"{on_ring}." if ring >= shared.MATTERS_MM else f"{on_ring}: too small to matter.",
    ]
    if taper.low <= 0.0 <= taper.high:
        said.append("No taper at all would fit these readings too: there is nothing to set right.")
    return said


def _which_way(shop: Shop, entry: Entry, taper: Estimate) -> list[str]:
    if taper.low <= 0.0 <= taper.high:
        return []
    if entry.word("held") == TAILSTOCK:
        offset = tailstock_offset_mm(taper.value, between_mm=entry.one("between"))
        way = "towards the tool" if offset > 0 else "away from the tool"
        found = Estimate(value=abs(offset), standard=taper.standard * abs(offset / taper.value), freedom=taper.freedom)
        return [
            f"If the headstock is true, move the tailstock's centre {way} by {shared.give_or_take(found, shop.units)}."
        ]
    way = "away from the tool" if taper.value > 0 else "towards the tool"
    told = (
        f"The spindle's axis points {way} by {abs(axis_angle_deg(taper.value)):.3f}°, if nothing bent. Level the bed "
        "first: a twisted bed does the same. Leave a headstock alone until somebody has shown you."
    )
    return [told]


def _left_open(entry: Entry) -> tuple[str, ...]:
    if entry.word("held") == TAILSTOCK:
        return ("whether tailstock, headstock or bed makes the taper: try a short bar held by the chuck alone first",)
    return (
        "a bar that springs away at its free end from an axis that points away: a shorter bar and a lighter cut tell",
        "an edge that wore between the collars: turn the bar round once more with a fresh edge",
    )


def _measured(taper: Estimate, entry: Entry) -> Measured:
    """Taper as the beliefs count it, above 0 where the work is thicker towards the chuck; or the tailstock's offset."""
    readings = shared.counted(entry, "near", "far")
    if entry.word("held") == CHUCK:
        return Measured(
            quantity="taper",
            value=-taper.value,
            spread=taper.spread,
            unit="mm/mm",
            evidence=f"two collars held by the chuck alone, {readings}",
            thing=Handle.CARRIAGE.value,
        )
    arm_mm = entry.one("between")
    return Measured(
        quantity="tailstock offset",
        value=tailstock_offset_mm(taper.value, between_mm=arm_mm),
        spread=abs(tailstock_offset_mm(taper.spread, between_mm=arm_mm)),
        unit="mm",
        evidence=f"two collars between chuck and centre, {readings}",
        thing="tailstock",
    )


TRIAL = Trial(
    key="two-collars",
    title="Two collars for taper",
    gives="how much larger work comes out away from the chuck, and which way headstock or tailstock is out",
    matters=_matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
