"""Touching off: how far a touch by eye or paper misses the surface, and how alike touches are."""

from __future__ import annotations

from math import hypot, sqrt

from handwheel.bench.checkup import shared, spring
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Instruction, Outcome, Trial, asks
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.domain.tools import ToolKind
from handwheel.physics.few_readings import Component, Estimate, estimate, mean_of, pooled_scatter, rounding

FEWEST = 5
"""Touches that tell how alike they are; own choice."""
READ_TO_MARKS = 0.25
"""What of a mark a touch is read to; own judgement. [marks]"""
FAR_MM = 0.25
"""A touch further off than this touched something else, or turns were miscounted; own judgement. [mm]"""
THICKEST_PAPER_MM = 0.5
SIGMAS = 2.0
"""Standard deviations within which nearly every touch lies."""


def _matters(_: Shop) -> str:
    return (
        "The shop file has no key for it. The first zero of each tool is a touch; what it misses goes twice into the "
        "first diameter."
    )


def _settles(_: Shop) -> tuple[str, ...]:
    return ()


def _instructions(_: Shop) -> tuple[Instruction, ...]:
    return (
        shared.ready(
            "Brass, aluminium or free-cutting steel, for a pass is repeated without depth. A sharp tool; take up the "
            "slack inwards."
        ),
        shared.running("Skim the bar, light but over its whole round. Take the same pass again without further depth."),
        shared.act("Note the reading of the cross-slide (skim), to a quarter of a mark. This is where the surface is."),
        shared.act("Draw out by half a turn or more, go to a fresh place, and come in again from the same side."),
        shared.running(
            "Touch by eye: come in slowly until the first chip shows, no hand near the work. Note the reading."
        ),
        shared.stopped("Or by paper, with the spindle at rest: the strip held by one end, until it just drags."),
        shared.act(f"Do it {FEWEST} times or more. With paper enter how thick it is, by the micrometer."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    readings = (
        (
            _marks_field("skim", "reading at the skim"),
            _marks_field("touch", "reading at each touch, counted in as more", many=True),
        )
        if shop.lathe.cross.dial
        else (
            Field(key="skim", says="readout at the skim, in as more", low=-500.0, high=500.0),
            Field(key="touch", says="readout at each touch", low=-500.0, high=500.0, fewest=FEWEST, most=20),
        )
    )
    return (
        shared.tool_field(shop, ToolKind.TURNING),
        Field(key="metal", says="what was touched, by its key", kind=Kind.METAL),
        *readings,
        Field(
            key="paper",
            says="thickness of the paper, if there was one",
            high=THICKEST_PAPER_MM,
            needed=False,
            usual=0.0,
        ),
    )


def _marks_field(key: str, says: str, *, many: bool = False) -> Field:
    fewest, most = (FEWEST, 20) if many else (1, 1)
    return Field(key=key, says=says, kind=Kind.NUMBER, low=-1e4, high=1e4, unit="marks", fewest=fewest, most=most)


def _judge(shop: Shop, entry: Entry) -> Outcome:
    spring.require_soft(entry, trial=TRIAL.key)
    cross = shop.lathe.cross
    unit_mm = shared.setting_of(cross).per_unit_mm
    paper_mm = entry.one("paper", 0.0)
    errors_mm = [(each - entry.one("skim")) * unit_mm + paper_mm for each in entry.all("touch")]
    if max(map(abs, errors_mm)) > FAR_MM:
        far = shared.long(max(errors_mm, key=abs), shop.units)
        return asks(
            f"One touch was {far} off the surface. Were whole turns counted, and the paper's thickness? Try again."
        )
    return _found(shop, entry, touch_error(errors_mm, cross), pooled_scatter([errors_mm])[0])


def touch_error(errors_mm: list[float], cross: Slide) -> Estimate:
    """Mean error of a touch, above 0 too deep; both readings, at skim and at touch, are read to a step. [mm]"""
    setting = shared.setting_of(cross)
    scatter, freedom = pooled_scatter([errors_mm])
    read_mm = READ_TO_MARKS * setting.per_unit_mm if cross.dial else float(cross.readout_step_mm or 0)
    read = rounding(read_mm).standard
    return estimate(
        mean_of(errors_mm),
        (
            Component(standard=scatter / sqrt(len(errors_mm)), freedom=freedom),
            Component(standard=hypot(read, read)),
        ),
    )


def _found(shop: Shop, entry: Entry, found: Estimate, scatter_mm: float) -> Outcome:
    units = shop.units
    where = "too deep" if found.value > 0 else "short of the surface"
    size = Estimate(value=abs(found.value), standard=found.standard, freedom=found.freedom)
    worst = shared.long(2.0 * (size.value + SIGMAS * scatter_mm), units)
    first = f"The first diameter after a touch may be out by {worst}: measure it, and set the collar from the reading."
    said = [
        f"Your touch is {shared.give_or_take(size, units)} {where}, in the mean.",
        f"One touch differs from another by {shared.long(scatter_mm, units)} (standard deviation).",
        first,
    ]
    if found.low <= 0.0 <= found.high:
        said.append("No lasting error would fit these readings too.")
    return Outcome(
        verdicts=tuple(said),
        cannot_tell=(
            "how you touch on another day, with another tool, or in another light",
            "what the second pass still left on the surface, which looks like touching short",
        ),
        measured=(
            Measured(
                quantity="touch error",
                value=found.value,
                spread=found.spread,
                unit="mm",
                evidence=f"{shared.counted(entry, 'touch')} on a skimmed surface",
                thing=entry.word("tool"),
            ),
        ),
    )


TRIAL = Trial(
    key="touch",
    title="Touching off",
    gives="how far your touch misses the surface, and how alike touches are",
    matters=_matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
