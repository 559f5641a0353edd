"""Trial cut: whether the cross-slide reads radius or diameter, and how true its lead is."""

from __future__ import annotations

from math import sqrt

from msgspec import Struct

from handwheel.bench.checkup import shared
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Instruction, KeyChange, Outcome, Trial, asks
from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.shop import Shop
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Dial, Reads, Slide
from handwheel.physics.few_readings import Component, Estimate
from handwheel.physics.trial_cut import INCH_FOR_METRIC, figure_ratio, marks_to_see, travel_ratio

FEWEST_MARKS = 10
"""Marks of the quick trial; practice case PC-01."""
NEAR = 0.2
"""A ratio counts as 1 or 2 if its whole interval lies within this share of it: far from half-way; own choice."""
HALF_WAY_TO_INCH = sqrt(INCH_FOR_METRIC) - 1.0
"""Half-way, as a ratio, between a screw as believed and a metric ring on an inch screw."""
TWO_SIDES = 2.0
"""Standard deviations that stand clear at 95 %, about."""
RATE_PLACES = 9
"""Decimals of an error of the travel: what lies below is dust of binary floats."""
FINEST_INCH = 40
"""Most turns for an inch that a slide's screw is taken to have; common practice, no source."""
OUTSIDE, BORE = "outside", "bore"
CONVENTIONS = {Reads.DIAMETER: 1.0, Reads.TRAVEL: 2.0}
"""Change of the diameter for each unit that the figures moved."""
_WORDS = {Reads.DIAMETER: "diameter", Reads.TRAVEL: "radius"}
_INCH_FOR_METRIC = MM_PER_INCH / 25


class _Wound(Struct, frozen=True, kw_only=True):
    """What was wound between the two cuts, as the figures count and as the lead believes, and the doubt of it. [mm]"""

    figures_mm: float
    travel_mm: float
    standard_mm: float


def _matters(shop: Shop) -> str:
    dial = shop.lathe.cross.dial
    if dial is None:
        return "The cross-slide is set by a readout. Whether that shows radius or diameter a cut tells."
    mark = shared.long(float(dial.travel_per_mark_mm), shop.units)
    return (
        f"The shop file says that the dial reads {_WORDS[dial.reads]} and that a mark moves the slide {mark}. If "
        "that is "
        "the wrong way round each cut takes double or half. A metric ring on an inch screw is 1.6 % out."
    )


def _settles(_: Shop) -> tuple[str, ...]:
    return tuple(f"lathe.cross_slide.dial.{key}" for key in ("reads", "lead", "engraved"))


def _instructions(shop: Shop) -> tuple[Instruction, ...]:
    dial = shop.lathe.cross.dial
    far = _marks_for_lead(dial) if dial else 0
    longer = (
        f"For the lead, wind further: {far} marks or more in all, in several cuts one way, the last as deep as the one "
        "before the first reading. Enter the sum of the marks."
        if dial
        else "Enter shown=LENGTH, what the readout moved, instead of marks."
    )
    return (
        shared.ready("Grip a short stout bar of a metal that cuts freely; a sharp tool. Take up the slack inwards."),
        shared.running(f"Touch, wind in {FEWEST_MARKS} marks, take one cut. It only makes the bar true."),
        shared.stopped("Let it cool. Measure the diameter, three times over: these are before."),
        shared.running(f"Wind in {FEWEST_MARKS} marks more, the same way, never back. Take the same cut again."),
        shared.stopped("Let it cool. Measure at the same place, three times over: these are after."),
        shared.act(longer),
        shared.act("In a bore it is the same, outwards: enter surface=bore."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    has_dial = shop.lathe.cross.dial is not None
    wound = (
        Field(
            key="marks",
            says="marks wound between the two readings",
            kind=Kind.NUMBER,
            low=1.0,
            high=100_000.0,
            unit="marks",
        )
        if has_dial
        else Field(key="shown", says="what the readout moved between the two readings", low=0.001, high=200.0)
    )
    return (
        wound,
        shared.readings_field("before", "diameter after the first cut"),
        shared.readings_field("after", "diameter after the last cut"),
        shared.gauge_field(shop, GaugeUse.OUTSIDE, GaugeUse.BORE),
        Field(
            key="surface", says="which surface", kind=Kind.WORD, choices=(OUTSIDE, BORE), needed=False, usual=OUTSIDE
        ),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    is_bore = entry.word("surface", OUTSIDE) == BORE
    weights = (-1.0, 1.0) if is_bore else (1.0, -1.0)
    _require_use(shop, entry, GaugeUse.BORE if is_bore else GaugeUse.OUTSIDE)
    if odd := shared.out_of_gauge(shop, entry, ("before", "after")):
        return asks(*odd)
    wound = _wound(shop.lathe.cross, entry)
    doubt = Component(standard=2.0 * wound.standard_mm)
    change = shared.difference(shop, entry, ("before", "after"), weights=weights, beside=(doubt,))
    if change.value <= 0:
        grew, wanted = ("smaller", "larger") if is_bore else ("larger", "smaller")
        msg = f"trial-cut: the {entry.word('surface', OUTSIDE)} became {grew} or stayed; a cut makes it {wanted}"
        raise InputError((f"{msg}; exchange before and after, or check the readings",))
    return _found(shop, entry, change, wound)


def _require_use(shop: Shop, entry: Entry, use: GaugeUse) -> None:
    gauge = shop.gauge(entry.word("gauge"))
    if use not in gauge.uses:
        msg = f"trial-cut: gauge: {gauge.id} does not measure {use.value}; enter the one that was read"
        raise InputError((msg,))


def _wound(cross: Slide, entry: Entry) -> _Wound:
    setting = shared.setting_of(cross)
    if cross.dial is None:
        shown = entry.one("shown")
        return _Wound(figures_mm=shown, travel_mm=shown, standard_mm=sqrt(2.0) * setting.standard_mm)
    marks = entry.one("marks")
    return _Wound(
        figures_mm=marks * float(cross.dial.label_mm),
        travel_mm=marks * setting.per_unit_mm,
        standard_mm=sqrt(2.0) * setting.standard_mm,
    )


def convention(ratio: Estimate) -> Reads | None:
    """Whether figures are radius or diameter by their `figure_ratio`; ``None`` where it is too far from both to say."""
    for reads, expected in CONVENTIONS.items():
        if (1.0 - NEAR) * expected <= ratio.low and ratio.high <= (1.0 + NEAR) * expected:
            return reads
    return None


def _found(shop: Shop, entry: Entry, change: Estimate, wound: _Wound) -> Outcome:
    ratio = change.times(figure_ratio(change.value, wound_mm=wound.figures_mm) / change.value)
    reads = convention(ratio)
    by = shared.give_or_take(change, shop.units)
    fell = f"The diameter changed by {by}: {ratio.value:.3f} times what the figures moved"
    if reads is None:
        return asks(
            f"{fell}, give or take {ratio.half_width:.2g}. A dial of diameters gives 1, one of radius 2. Were marks or "
            "turns miscounted, slack not taken up, the engraved value of a mark misread? Take the trial again, with "
            "more marks."
        )
    said = [f"{fell}, so they are {'diameters' if reads is Reads.DIAMETER else 'radius, travel of the slide'}."]
    dial = shop.lathe.cross.dial
    if dial is None:
        return _about_readout(shop, entry, change, wound, said, reads)
    changes: list[KeyChange] = []
    if dial.reads is not reads:
        said.append(f"The shop file says {_WORDS[dial.reads]}: its plans would cut double or half.")
        changes.append(KeyChange(path=_path("reads"), value=_WORDS[reads], why="a cut told it"))
    else:
        said.append("The shop file says so too.")
    return _about_lead(shop, entry, change, wound, said, changes, reads, dial)


def _about_readout(shop: Shop, entry: Entry, change: Estimate, wound: _Wound, said: list[str], reads: Reads) -> Outcome:
    """A readout has no screw: its figures are judged as they are."""
    moved = wound.travel_mm * CONVENTIONS[reads] / 2.0
    rate = _rate(change, moved)
    said.append(f"Against what it showed the slide went {_further(rate)}.")
    return Outcome(
        verdicts=tuple(said), cannot_tell=_LEFT_OPEN, measured=(_measured(rate, shop, entry, against="the readout"),)
    )


def _rate(change: Estimate, travel_mm: float) -> Estimate:
    """Error of the travel as a share of it."""
    ratio = travel_ratio(change.value, travel_mm=travel_mm)
    relative = change.times(ratio / change.value)
    return Estimate(value=round(ratio - 1.0, RATE_PLACES), standard=relative.standard, freedom=relative.freedom)


def _about_lead(
    shop: Shop,
    entry: Entry,
    change: Estimate,
    wound: _Wound,
    said: list[str],
    changes: list[KeyChange],
    reads: Reads,
    dial: Dial,
) -> Outcome:
    lead = dial.lead_mm
    if abs(travel_ratio(change.value, travel_mm=wound.travel_mm) - 1.0) > NEAR:
        lead = dial.label_mm * dial.marks * (Fraction(1, 2) if reads is Reads.DIAMETER else 1)
        said.append(
            "Lead or marks of the shop file do not fit: it makes a mark "
            f"{shared.long(wound.travel_mm / entry.one('marks'), shop.units)} "
            f"of travel. By what is engraved the lead is {shared.long(float(lead), shop.units)}. Count the marks too."
        )
    rate = _rate(change, entry.one("marks") * float(lead / dial.marks))
    lead, words = _ring_and_screw(rate, lead, dial, shop)
    said.append(words)
    if lead != dial.lead_mm:
        changes.append(KeyChange(path=_path("lead"), value=_lead_text(lead), why="a cut told how far a turn goes"))
        rate = _rate(change, entry.one("marks") * float(lead / dial.marks))
    found = _measured(rate, shop, entry, against=f"a lead of {_lead_text(lead)}")
    return Outcome(verdicts=tuple(said), cannot_tell=_LEFT_OPEN, measured=(found,), changes=tuple(changes))


def _ring_and_screw(rate: Estimate, lead: Fraction, dial: Dial, shop: Shop) -> tuple[Fraction, str]:
    """Lead that the trial speaks for, and the words for it."""
    half = HALF_WAY_TO_INCH
    against = f"Against a lead of {shared.long(float(lead), shop.units)} the slide went {_further(rate)}"
    if half < rate.low and rate.high < 3.0 * half:
        inch = lead * _INCH_FOR_METRIC
        return inch, f"{against}: an inch screw under a metric ring, which is 1.6 %. The lead is {_lead_text(inch)}."
    if -3.0 * half < rate.low and rate.high < -half:
        metric = lead / _INCH_FOR_METRIC
        return (
            metric,
            f"{against}: a metric screw under an inch ring, which is 1.6 %. The lead is {_lead_text(metric)}.",
        )
    if -half < rate.low and rate.high < half:
        return lead, f"{against}. The screw is what the shop file says."
    if rate.low > half or rate.high < -half:
        return lead, f"{against}, which is no usual screw. Take the trial again before you believe it."
    return lead, (
        f"{against}. Whether a metric ring sits on an inch screw (1.6 %) this cannot tell: wind "
        f"{_marks_for_lead(dial)} "
        "marks or more, and measure three times."
    )


def _further(rate: Estimate) -> str:
    """How much further a slide went than was believed, in words."""
    if rate.value == 0.0:
        return f"as far, give or take {shared.percent(rate.half_width)}"
    way = f"{shared.percent(rate.value)} {'further' if rate.value > 0.0 else 'less far'}"
    return f"{way}, give or take {shared.percent(rate.half_width)}"


def _marks_for_lead(dial: Dial) -> int:
    """Marks that tell a metric ring on an inch screw, in whole turns. [marks]"""
    marks = marks_to_see(HALF_WAY_TO_INCH, setting_marks=shared.SETTING_MARKS, factor=TWO_SIDES)
    return -(-marks // dial.marks) * dial.marks


def _lead_text(lead_mm: Fraction) -> str:
    """Lead as a shop file has it, exactly: a fraction of an inch if it is a usual one, else millimetres.

    Examples
    --------
    >>> _lead_text(Fraction("2.54")), _lead_text(Fraction("1.25")), _lead_text(Fraction(5, 3))
    ('1/10 in', '1.25 mm', '1 2/3 mm')
    """
    inches = lead_mm / MM_PER_INCH
    if inches.denominator <= FINEST_INCH:
        return f"{inches} in"
    short = f"{float(lead_mm):g}"
    if Fraction(short) == lead_mm:
        return f"{short} mm"
    whole, rest = divmod(lead_mm, 1)
    return f"{whole} {rest} mm" if whole else f"{rest} mm"


def _path(key: str) -> str:
    return f"lathe.cross_slide.dial.{key}"


def _measured(rate: Estimate, shop: Shop, entry: Entry, *, against: str) -> Measured:
    readings = shared.counted(entry, "before", "after")
    return Measured(
        quantity="lead error",
        value=rate.value,
        spread=rate.spread,
        unit="1",
        evidence=f"trial cut against {against}, {readings} with {entry.word('gauge')}",
        thing=shop.lathe.cross.handle.value,
    )


_LEFT_OPEN = (
    "where along the screw an error lies: one turn may differ from the next",
    "spring of tool and work, if the two cuts were not alike",
)

TRIAL = Trial(
    key="trial-cut",
    title="Trial cut for radius or diameter, and for the lead",
    gives="what the figures of the cross-slide mean, and how far a turn really goes",
    matters=_matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
