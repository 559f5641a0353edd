"""A rehearsal as plain text: the chance, the sizes, the step that carries the risk, what helps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from handwheel.domain.errors import require_within
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.rehearsal.result import Chance, Rehearsal, Remedy, SizeChance, ToMake
from handwheel.report.layout import WIDEST, wrap
from handwheel.report.steps import numbered_steps
from handwheel.report.wording import AS_WRITTEN, Wording, printed_in
from handwheel.report.words import surface_words

NARROWEST = 72
"""Columns that the table needs."""
USUAL_WIDTH = 80
SIZE_COLUMN, SHARE_COLUMN = 39, 11
MOST_TOLD = 6
"""More remedies than this are not read; the JSON has all."""
NEAR_END = 0.01
"""Shares nearer to none or to all than this are told to a hundredth of a percent."""

MEANS = (
    "This is the share of virtual lathes like yours, as far as the shop file and what was learned say. It is not a "
    "promise about your lathe. It goes by whoever follows the sheet, measures as it says, and does what the bench "
    "advises. Breakage, chatter, slipping work, bellmouth and wrong parts of the drawing are not in it."
)
LEFT = (
    "spoiled: more is gone than the far limit allows. metal left: not in the limits yet, and less than a tool takes "
    "off this metal, or the sheet has no cut for it."
)


def rehearsal_text(
    rehearsal: Rehearsal,
    plan: Plan,
    shop: Shop,
    *,
    width: int = USUAL_WIDTH,
    bounds: bool = False,
    wording: Wording = AS_WRITTEN,
) -> str:
    """Print what came of a rehearsal.

    Parameters
    ----------
    rehearsal : Rehearsal
        What `handwheel.rehearsal.rehearse` gives.
    plan : Plan
        Whose steps are named.
    shop : Shop
        The shop it was made for.
    width : int
        Longest line, 72 to 200. [characters]
    bounds : bool
        Whether to tell what the lathes were like, and whose word that is.
    wording : Wording
        Which unit, and whose words.

    Raises
    ------
    OutOfRangeError
        If the width is outside 72 to 200 columns.
    """
    require_within("width", width, low=NARROWEST, high=WIDEST, unit="columns")
    step = _step_words(plan, shop)
    with printed_in(wording):
        return "\n".join(_lines(rehearsal, step, width, bounds=bounds)) + "\n"


def _step_words(plan: Plan, shop: Shop) -> Callable[[str], str]:
    titles = {one.id: f"step {one.number}, {one.title}" for one in numbered_steps(plan, shop)}
    return lambda step: titles.get(step, step)


def _lines(told: Rehearsal, step: Callable[[str], str], width: int, *, bounds: bool) -> Iterator[str]:
    yield "=" * width
    yield from wrap(f" REHEARSAL   {told.part}, {told.shop}", width=width)
    yield "=" * width
    yield from _hung(f"a good part at the first try: {_between(told.chance)}", width)
    yield from _hung(f"{told.lathes:,} virtual lathes, seed {told.seed}. {MEANS}", width)
    yield "-" * width
    yield " SIZE".ljust(SIZE_COLUMN) + "".join(head.rjust(SHARE_COLUMN) for head in ("good", "spoiled", "metal left"))
    for size in told.sizes:
        yield _size_line(size)
    yield from _hung(LEFT, width)
    if any(size.misjudged for size in told.sizes):
        worst = max(told.sizes, key=lambda one: one.misjudged)
        yield from _hung(
            f"held for good and not: {_percent(worst.misjudged)} at most ({size_words(worst.size)})", width
        )
    yield "-" * width
    yield from _risk(told, step, width)
    yield from _making(told.to_make, width)
    if told.not_rehearsed:
        yield "-" * width
        yield " NOT REHEARSED (in no figure here)"
        yield from _not_rehearsed(told, width)
    if bounds:
        yield "-" * width
        yield " WHAT THE LATHES WERE LIKE, AND WHOSE WORD IT IS"
        for one in told.bounds:
            yield from _hung(f"{one.what}: {one.words} ({one.standing})", width)
    yield "=" * width


def _size_line(size: SizeChance) -> str:
    shares = (size.good, size.spoiled, size.left)
    cells = "".join(_percent(one.value).rjust(SHARE_COLUMN) for one in shares)
    return f" {size_words(size.size)}".ljust(SIZE_COLUMN) + cells


def size_words(size: str) -> str:
    """Words for a size, such as ``"bore, diameter"``, by its name, ``"bore diameter"``."""
    surface, _, aspect = size.partition(" ")
    return f"{surface_words(surface)}, {aspect}"


def _risk(told: Rehearsal, step: Callable[[str], str], width: int) -> Iterator[str]:
    if not told.risk:
        yield from _hung("no step carries a risk worth naming", width)
        return
    yield from _hung(f"the risk is in {step(told.risk_step)}: {size_words(told.risk)}", width)
    helping = [one for one in told.remedies if one.helps][:MOST_TOLD]
    if not helping:
        yield from _hung("nothing that was tried lowers it for sure", width)
        return
    yield from _hung("what lowers it, on the same lathes, each alone:", width)
    for one in helping:
        yield from _hung(f"{_gained(one)}  {size_words(one.size)}: {one.words}", width, hanging=4)
    idle = _idle(told.remedies)
    if idle:
        yield from _hung(f"does not help for sure: {'; '.join(idle)}", width)


def _gained(remedy: Remedy) -> str:
    return f"to {_percent(remedy.chance)} (+{100.0 * remedy.gain:.1f})"


def _idle(remedies: Sequence[Remedy]) -> tuple[str, ...]:
    return tuple(f"{one.words} ({size_words(one.size)})" for one in remedies if not one.helps)[:MOST_TOLD]


def _making(to_make: ToMake, width: int) -> Iterator[str]:
    sure = f"{100.0 * to_make.sure:.0f} of 100"
    good = f"{to_make.wanted} good one{'s' if to_make.wanted > 1 else ''}"
    if to_make.number is None or to_make.average is None:
        yield from _hung(f"for {good}: change the plan first; no sensible number of tries makes it sure", width)
        return
    yield from _hung(
        f"for {good}: have metal for {to_make.number} (enough in {sure} cases); {to_make.average:.1f} on average, each "
        "counted as a fresh try",
        width,
    )


def _not_rehearsed(told: Rehearsal, width: int) -> Iterator[str]:
    for why in dict.fromkeys(one.why for one in told.not_rehearsed):
        named = (one.size.partition(" ")[0] for one in told.not_rehearsed if one.why == why)
        sizes = ", ".join(surface_words(one) for one in dict.fromkeys(named))
        yield from _hung(f"{sizes}: {why}", width)


def _between(chance: Chance) -> str:
    return f"{_percent(chance.value)} ({_percent(chance.low)} to {_percent(chance.high)} for so many lathes)"


def _percent(share: float) -> str:
    places = 2 if 0.0 < share < NEAR_END or 1.0 - NEAR_END < share < 1.0 else 1
    return f"{100.0 * share:.{places}f} %"


def _hung(text: str, width: int, *, hanging: int = 1) -> Iterator[str]:
    first, *rest = wrap(text, width=width - hanging - 2)
    yield " " * hanging + first
    yield from (" " * (hanging + 2) + line for line in rest)
