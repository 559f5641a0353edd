"""Speeds of the spindle by counting its turns."""

from __future__ import annotations

from math import sqrt

from handwheel.bench.checkup import shared
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Instruction, Outcome, SpeedCounted, Trial, asks
from handwheel.domain.errors import InputError
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.shop import Shop
from handwheel.physics.counting import counted_rpm, counted_standard_rpm
from handwheel.physics.few_readings import Component, Estimate, estimate, mean_of, pooled_scatter

WATCH_S = 0.15
"""Standard deviation of a time between two presses of a stop-watch by hand; own judgement. [s]"""
FASTEST_BY_EYE_RPM = 120.0
"""Two turns a second are the most that an eye counts by a mark; common practice, no source. [rev/min]"""
FAR = 0.25
"""A speed further off is another position, a miscount, or a slipping belt; PC-09 has belts out by up to 19 %."""
UNSTEADY = 3.0
"""Scatter of repeats, over what count and watch explain, from which the speed itself wanders; own choice."""
FEW_PLACES = 1
MARK, COUNTER = "mark", "counter"


def _matters(shop: Shop) -> str:
    speeds = shop.lathe.speeds
    computed = sum(1 for speed in speeds if speed.is_computed)
    unmeasured = sum(1 for speed in speeds if not speed.measured)
    reckoned = f", {computed} of them worked out from pulleys, which may be 19 % out" if computed else ""
    return (
        f"{unmeasured} of {len(speeds)} speeds were not measured{reckoned}. Every cutting speed hangs on them; a "
        "measured one overrides the rest."
    )


def _settles(shop: Shop) -> tuple[str, ...]:
    return tuple(f"lathe.speed[no. {place}].rpm" for place in range(1, len(shop.lathe.speeds) + 1))


def _instructions(_: Shop) -> tuple[Instruction, ...]:
    return (
        Instruction(
            says="Set belt or levers to the position. Chuck empty, its jaws wound in. Put a spot of paint on its rim.",
            caution=f"{shared.caution('local-rules')} {shared.caution('isolate')}",
        ),
        shared.running(
            "Start, and let the speed settle. Nobody in the plane of the chuck; do not touch it, or lean over it."
        ),
        shared.act(
            f"Up to {FASTEST_BY_EYE_RPM:g} rev/min count the spot by eye for half a minute (by=mark): start the "
            "watch as it "
            "passes and say nought. Above that use a counter or a tachometer that counts turns (by=counter)."
        ),
        shared.act("Enter turns and seconds of each of three counts."),
        shared.running("With a counter that needs no hand near it count under a usual cut too: a belt slips."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    positions = tuple(speed.position for speed in shop.lathe.speeds if not speed.full_power_rpm)
    return (
        shared.owned_field(
            shop,
            "position",
            "position, as the shop file words it",
            positions,
            lacking="speed in steps (a drive without them goes by its tachometer)",
        ),
        Field(key="turns", says="turns counted", kind=Kind.NUMBER, low=5.0, high=1e5, unit="turns", most=20),
        Field(key="seconds", says="their time", kind=Kind.NUMBER, low=2.0, high=3600.0, unit="s", most=20),
        Field(key="by", says="what counted", kind=Kind.WORD, choices=(MARK, COUNTER)),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    turns, seconds = entry.all("turns"), entry.all("seconds")
    if len(turns) != len(seconds):
        msg = f"speed: found {len(turns)} counts of turns and {len(seconds)} times; enter one of each for every count"
        raise InputError((msg,))
    speeds = [counted_rpm(n, time_s=s) for n, s in zip(turns, seconds, strict=True)]
    found = counted_estimate(turns, seconds)
    scatter, _ = pooled_scatter([speeds])
    explained = found.standard * sqrt(len(speeds))
    if scatter > UNSTEADY * explained:
        return asks(
            f"The counts differ by more than a miscount of one explains ({min(speeds):.1f} to {max(speeds):.1f} "
            "rev/min). "
            "Does the belt slip, or was one count lost? Count again."
        )
    if entry.word("by") == MARK and found.value > FASTEST_BY_EYE_RPM * (1.0 + FAR):
        return asks(
            f"{found.value:.0f} rev/min is faster than an eye counts. Was it counted, or reckoned? Use a counter."
        )
    return _against_file(shop, entry, found)


def counted_estimate(turns: tuple[float, ...], seconds: tuple[float, ...]) -> Estimate:
    """Mean of some counted speeds; each count may be one out, each time is pressed by hand. [rev/min]"""
    number = len(turns)
    speeds = [counted_rpm(n, time_s=s) for n, s in zip(turns, seconds, strict=True)]
    each = [counted_standard_rpm(n, time_s=s, watch_standard_s=WATCH_S) for n, s in zip(turns, seconds, strict=True)]
    return estimate(mean_of(speeds), [Component(standard=one / number) for one in each])


def _against_file(shop: Shop, entry: Entry, found: Estimate) -> Outcome:
    position = entry.word("position")
    believed = next(speed for speed in shop.lathe.speeds if speed.position == position)
    off = found.value / believed.rpm - 1.0
    rpm = f"{found.value:.1f} rev/min, give or take {found.half_width:.1f}"
    said = [f"{position}: {rpm}; the shop file says {believed.rpm:g}."]
    if abs(off) > FAR:
        return asks(f"{said[0]} {_other(shop, found, believed)}")
    if found.low <= believed.rpm <= found.high:
        said.append("They agree.")
    else:
        said.append(f"It turns {abs(100 * off):.1f} % {'faster' if off > 0 else 'slower'} than the file says.")
    if believed.is_computed and not believed.low_rpm <= found.value <= believed.high_rpm:
        said.append("It lies outside what the pulleys give: a pulley was changed, or the belt slips.")
    measured = Measured(
        quantity="spindle speed",
        value=found.value,
        spread=found.spread,
        unit="rev/min",
        evidence=f"counted by {entry.word('by')}, {shared.counted(entry, 'turns')}",
        thing=position,
    )
    change = SpeedCounted(
        position=position, rpm=round(found.value, FEW_PLACES), why="a measured speed overrides others"
    )
    return Outcome(
        verdicts=tuple(said),
        cannot_tell=("how far it drops under a cut: count once while cutting",),
        measured=(measured,),
        changes=(change,),
    )


def _other(shop: Shop, found: Estimate, believed: SpindleSpeed) -> str:
    """Question about a speed that is far from what is believed."""
    near = [s.position for s in shop.lathe.speeds if s is not believed and found.low <= s.fastest_rpm <= found.high]
    if near:
        return f"That is what {near[0]!r} has. Was it that position?"
    return "Is it this position? Was the count whole, the time right? Count again; if it stays, write it in by hand."


TRIAL = Trial(
    key="speed",
    title="Speed of the spindle, by counting",
    gives="what a position of belt or lever really turns",
    matters=_matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
