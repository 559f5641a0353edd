"""What is asked before readings count, put to the bench with all that the sheet and the shop tell."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.bench.asking.ask import questions
from handwheel.bench.asking.codes import Counts
from handwheel.bench.asking.records import Decides, HandleTurn, Question, StopContext, TypedReading
from handwheel.bench.at_stop import approach_at, belief_at
from handwheel.bench.belief import Unknown
from handwheel.bench.stops import Stop, stops
from handwheel.domain.acts import Measure
from handwheel.domain.plan import Plan, Stage
from handwheel.domain.shop import Shop
from handwheel.report.words import HANDLE_WORDS
from handwheel.service.bench_judges import Raised, StopRead

STOP_BAND_SPREADS = 2.0
"""The band outside which a sheet says stop is taken as so many standard uncertainties wide, either way; own choice."""
SINGLE_MM = 1e-6
"""What a band is at least, as an expectation without any spread is none. [mm]"""


def asked_at_the_bench(read: StopRead) -> tuple[Raised, ...]:
    """What is asked about the readings of a measuring act; nothing where no stop of the sheet has it, or no gauge.

    Readings that were taken with another gauge than the last one are left out: each gauge is judged by itself.
    """
    act = read.item.act
    stop = stop_of(read.plan, read.shop, act.id)
    if stop is None or not isinstance(act, Measure) or not read.taken[-1].gauge:
        return ()
    gauge = read.taken[-1].gauge
    places = tuple(place for place, one in enumerate(read.taken) if one.gauge == gauge)
    context = context_of(read, stop, act, places)
    return tuple(_raised(question, places) for question in questions(context))


def _raised(question: Question, places: tuple[int, ...]) -> Raised:
    return Raised(
        code=question.code,
        text=" ".join(_sentence(part) for part in (question.saw, question.perhaps, question.ask) if part),
        reading=None if question.reading is None else places[question.reading],
        forbids=question.counts is Counts.NOT_YET,
    )


def _sentence(part: str) -> str:
    return f"{part[0].upper()}{part[1:].rstrip('.')}."


def context_of(read: StopRead, stop: Stop, act: Measure, places: tuple[int, ...]) -> StopContext:
    """Readings of one gauge at a stop, with what is known there.

    Parameters
    ----------
    read : StopRead
        All readings of the act.
    stop : Stop
        The act in its place on the sheet.
    act : Measure
        The act.
    places : tuple of int
        Which of the readings were taken with the gauge of the last one.
    """
    approach = approach_at(stop, read.shop)
    by_sheet = stop.cooled_s + (0.0 if act.table is None else act.table.cool_s)
    cooled = replace(stop, cooled_s=by_sheet if read.cooled_s is None else read.cooled_s)
    warm_mm = float(belief_at(cooled, approach).mean[Unknown.WARM]) if stop.cuts else 0.0
    gauge = read.shop.gauge(read.taken[-1].gauge)
    low, high = stop.expansion_per_k
    band_mm = max((act.stop_high_mm - act.stop_low_mm) / 2.0, SINGLE_MM)
    return StopContext(
        readings=tuple(
            TypedReading(
                read_mm=float(read.taken[place].value_mm),
                typed=read.taken[place].text,
                place=read.taken[place].place,
                confirmed=read.taken[place].confirmed,
            )
            for place in places
        ),
        gauge=gauge,
        use=stop.use,
        expected_mm=act.expected_mm,
        expected_sd_mm=band_mm / STOP_BAND_SPREADS,
        tolerance_mm=stop.upper_mm - stop.lower_mm,
        decides=decides_at(read.plan, stop),
        handle_turns=_turns(stop),
        units=read.shop.units,
        alpha_per_k=(low + high) / 2.0,
        temperature_c=next((one.temperature_c for one in reversed(read.taken) if one.temperature_c is not None), None),
        warm_mm=max(warm_mm, 0.0),
        other_gauges=tuple(one for one in read.shop.gauges if one.id != gauge.id),
        answered=tuple(token.partition(":")[0] for token in read.answered),
    )


def decides_at(plan: Plan, stop: Stop) -> Decides:
    """What hangs on a stop: the verdict where the size is finished, how much to rough in a roughing step, else cuts."""
    if stop.final:
        return Decides.FINISHED
    roughing = any(step.id == stop.step and step.stage is Stage.ROUGH for step in plan.steps)
    return Decides.ROUGHING if roughing else Decides.LAST_CUTS


def _turns(stop: Stop) -> tuple[HandleTurn, ...]:
    """What one turn of the handle that sets the depth changes in the reading."""
    scale = stop.scale
    if scale is None or not scale.marks_per_turn:
        return ()
    turn_mm = scale.travel_per_mark_mm * scale.marks_per_turn * stop.per_travel
    return (HandleTurn(name=HANDLE_WORDS[scale.handle], reading_mm=turn_mm),) if turn_mm else ()


class _Kept:
    """The stops that were read off a sheet last: every reading of a sitting asks for one of them."""

    last: tuple[Plan, Shop, dict[str, Stop]] | None = None


def stop_of(plan: Plan, shop: Shop, act: str) -> Stop | None:
    """A measuring act of a plan as a stop; nothing for any other act."""
    last = _Kept.last
    if last is None or last[0] is not plan or last[1] is not shop:
        last = _Kept.last = (plan, shop, {stop.act: stop for stop in stops(plan.sheet, shop)})
    return last[2].get(act)
