"""Why a reading is expected, when to stop, how long to wait; which effects are too small to matter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from handwheel.domain.acts import Cool, Measure
from handwheel.domain.matters import MISREAD_MM, SHARE_THAT_MATTERS
from handwheel.domain.part import Aspect
from handwheel.domain.said import said, said_short
from handwheel.physics.thermal import size_change_mm
from handwheel.report.measure_text import measure_text
from handwheel.report.numbers import duration_text, exact_text, places_for, rounded, trimmed
from handwheel.report.why.look import Look, Word

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.findings import Reason
    from handwheel.domain.part import SizedFeature


def why_measure(act: Measure, look: Look) -> Iterator[Reason]:
    """What to expect, when to stop, what a mark is worth, and which limits the finished size has."""
    lengths = look.lengths
    if act.gauge:
        lengths = replace(lengths, places=places_for(look.shop.gauge(act.gauge).step_mm))
    sized = lengths.dia if act.aspect == Aspect.DIAMETER.value else lengths.both
    uncertain = look.shop.gauge(act.gauge).uncertainty_mm if act.gauge else 0.0
    yield look.why(
        "expected reading",
        sized(act.expected_mm),
        "what the settings so far give on a lathe without spring, wear or lead error",
        *((f"gauge {act.gauge}: ± {look.lengths.micro(uncertain)}",) if uncertain else ()),
        spread=(act.expected_mm - uncertain, act.expected_mm + uncertain) if uncertain else None,
    )
    feature = _feature(act, look)
    yield look.why(
        "stop if outside",
        lengths.limits(act.stop_low_mm, act.stop_high_mm),
        "the limits of the finished size, as they must stand once it is cut"
        if act.final
        else f"no further than {said_short(MISREAD_MM, lengths.units)} from the expected reading, which would be no "
        "cut's doing, and never past what must still be left: the far limit, or what a reamer that follows needs",
        *_limit_words(feature),
        word=Word.PART_FILE if act.final else Word.PRACTICE,
    )
    if act.mark_worth_mm:
        worth = next(
            (str(piece) for line in measure_text(act, look.scene).lines for piece in line if " changes " in str(piece)),
            "",
        )
        yield look.why("worth of a step", worth, "twice the way across of one mark or step (a length: its way along)")
    yield from _advice(act, look)
    if act.final and feature is not None:
        yield look.why(
            "finished size",
            replace(lengths, places=3).limits(act.lower_mm, act.upper_mm),
            feature.size.rule,
            f"as written: {feature.size.as_written}",
            word=Word.PART_FILE,
        )
        yield from _warmth(act, look)


def _advice(act: Measure, look: Look) -> Iterator[Reason]:
    """How often to read and how long to wait before it, and where what to do by the reading comes from."""
    table = act.table
    if table is None:
        return
    yield look.why(
        "readings",
        f"{table.readings}",
        "so many that their mean is sure to a small share of the tolerance, and two at least, for one may be misread; "
        "in roughing no more than that",
        word=Word.PRACTICE,
    )
    if table.cool_s:
        yield look.why(
            "wait first",
            duration_text(table.cool_s),
            "until what the work is still too large for being warm is no more than a tenth of the tolerance",
            word=Word.PRACTICE,
        )
    if table.stood_dial is not None:
        yield look.why(
            "where the last cut stood", exact_text(table.stood_dial), "the setting of the last cut of this surface"
        )
    yield look.why(
        "what to do by the reading",
        " ".join(band.do.value for band in table.bands[:1]) if len(table.bands) == 1 else f"{len(table.bands)} rows",
        "what is believed of lathe, edge and gauge once the reading is known; no cut has more than the chance of "
        "passing the far limit that the shop allows",
        word=Word.PRACTICE,
    )


def _feature(act: Measure, look: Look) -> SizedFeature | None:
    part = look.plan.sheet.part
    return next((one for one in part.sizes if (one.surface, one.aspect.value) == (act.surface, act.aspect)), None)


def _limit_words(feature: SizedFeature | None) -> tuple[str, ...]:
    return () if feature is None else (f"as written: {feature.size.as_written}",)


def _warmth(act: Measure, look: Look) -> Iterator[Reason]:
    """How much warmer work reads larger, and from when on that matters."""
    if look.material is None:
        return
    alpha = look.material.range("alpha")
    each = size_change_mm(act.expected_mm, alpha_per_k=alpha.most * 1e-6, difference_k=1.0)
    matters_k = SHARE_THAT_MATTERS * (act.upper_mm - act.lower_mm) / each
    yield replace(
        look.why(
            "warmth",
            f"{said(each, look.lengths.units, places=5)} larger for each °C above the room",
            f"alpha D per °C; too small to matter below {rounded(matters_k, places=0)} °C, where it reaches a tenth of "
            "the tolerance",
            f"alpha at most {trimmed(alpha.most, places=2)} millionths of the size for each °C",
        ),
        source_key=alpha.source_key,
        standing=alpha.standing.value,
    )


def why_cool(act: Cool, look: Look) -> Iterator[Reason]:
    """How long to wait."""
    yield look.why(
        "wait",
        duration_text(act.seconds),
        "the habit of the shop; the hand at the work, not the clock, says when it is cold (a hot glue joint: longer)",
        f"habit {duration_text(look.shop.habits.cool_s)}",
        word=Word.PRACTICE,
    )
