"""What a walk says where a row does not lead on by the sheet: ways out, and which acts to leave out."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice
from typing import TYPE_CHECKING

from handwheel.bench.judge import after_reading, bench_at, decides_size
from handwheel.bench.salvage.way import Verdict, WayOut
from handwheel.bench.salvage.ways import ways_out
from handwheel.domain import acts as a
from handwheel.domain.advice import AdviceBand, Do
from handwheel.domain.errors import ImpossiblePartError, OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH
from handwheel.report.numbers import rounded
from handwheel.report.salvage_text import TITLES
from handwheel.report.situation import setting_of
from handwheel.report.steps import act_numbers
from handwheel.service.bench_questions import stop_of

if TYPE_CHECKING:
    from handwheel.bench.stops import Stop
    from handwheel.service.bench_judges import StopRead

FIRST_WAYS = 3
"""So many ways out are told in a walk; the command tells all."""
TWO_STANDARD = 2.0
"""Standard uncertainties within which a size is believed to lie, as `ways_out` asks for it [GUM]."""
ONLY_CUTS = (a.SetCollar, a.SetReadout, a.Move, a.StartSpindle, a.StopSpindle, a.Lock, a.Unlock, a.Cut, a.Retract)
"""Acts between two stops that may be left out together: after them all stands as before, but for the cut."""
STILL_CUT = "the sheet still cuts it: go on behind those cuts (go 7.3 sure)"
SIZE_PLACES = {Units.MM: 3, Units.INCH: 4}


def leave_out_words(read: StopRead) -> str:
    """Which acts to leave out where a surface is good before its last cuts; the general words where that is not plain.

    Left out are all acts up to the next stop on the surface, if they do nothing but cut it and nothing later counts
    from a zero that they set: there the spindle stands again, and the tool is clear of the work.
    """
    item, sheet = read.item, read.plan.sheet
    stop = stop_of(read.plan, read.shop, item.act.id)
    if stop is None or not stop.after.next_stop:
        return STILL_CUT
    places = {act.id: place for place, act in enumerate(sheet.acts)}
    start, end = places[item.act.id] + 1, places[stop.after.next_stop]
    between = sheet.acts[start:end]
    if not _only_cuts(between, stop.surface) or _counted_from(between, sheet.acts[end:]):
        return STILL_CUT
    numbers = act_numbers(sheet)
    first, last, then = (numbers[one.id] for one in (between[0], between[-1], sheet.acts[end]))
    return (
        f"leave out {first} to {last}: they do nothing but cut this surface; go on at {then}, which measures it "
        f"once more (go {then} sure)"
    )


def _only_cuts(acts: Sequence[a.Act], surface: str) -> bool:
    """Whether acts do nothing but cut one surface, and leave locks and spindle as they were."""
    kinds = [type(act) for act in acts]
    paired = ((a.Lock, a.Unlock), (a.StartSpindle, a.StopSpindle))
    return (
        bool(acts)
        and all(isinstance(act, ONLY_CUTS) for act in acts)
        and all(act.surface == surface for act in acts if isinstance(act, a.Cut))
        and all(kinds.count(one) == kinds.count(other) for one, other in paired)
    )


def _counted_from(acts: Sequence[a.Act], later: Sequence[a.Act]) -> bool:
    """Whether anything later counts from a zero that these acts set."""
    zeros = {act.zero for act in acts if isinstance(act, a.SetCollar | a.SetReadout)}
    settings = (setting_of(act) for act in later)
    return any(setting is not None and setting.zero in zeros for setting in settings)


def ways_words(read: StopRead, row: AdviceBand | None) -> tuple[str, ...]:
    """The first ways out of a size that is lost or stuck, and the command that tells all; nothing anywhere else."""
    stop = stop_of(read.plan, read.shop, read.item.act.id)
    if stop is None or stop.gauge is None or not _ends(stop, row):
        return ()
    bench = bench_at(stop, read.shop)
    belief = after_reading(bench, float(read.mean_mm))
    size = float(bench.approach.reading_mm(belief.left_mm))
    uncertainty = TWO_STANDARD * float(bench.approach.per_travel * belief.left_spread_mm)
    part = read.plan.sheet.part
    try:
        ways = ways_out(part, read.shop, stop.surface, stop.aspect, size, uncertainty)
    except (OutOfRangeError, ImpossiblePartError):
        return ()  # so far out that somebody has misread: the sheet's own words stand
    opened = (way for way in ways if way.verdict is not Verdict.NOT)
    told = tuple(_way_words(number, way) for number, way in enumerate(islice(opened, FIRST_WAYS), start=1))
    return (*told, _command_words(stop, read.mean_mm, part.units)) if told else ()


def _ends(stop: Stop, row: AdviceBand | None) -> bool:
    """Whether the job ends here by a row, and not because a reading before the last cuts looks wrong."""
    if row is None:
        return stop.final
    return row.do is Do.STOP_LOST or (row.do is Do.STOP_ASK and decides_size(stop))


def _way_words(number: int, way: WayOut) -> str:
    return f"way out {number}, {TITLES[way.code].lower()} ({way.verdict.value}): {way.words}"


def _command_words(stop: Stop, mean_mm: Fraction, units: Units) -> str:
    unit = MM_PER_INCH if units is Units.INCH else Fraction(1)
    size = rounded(mean_mm, places=SIZE_PLACES[units], unit=unit)
    name = f"{stop.surface} {stop.aspect.value}"
    return f'all ways out, with what they cost: handwheel rescue PLAN --shop SHOP --surface "{name}" --size {size}'
