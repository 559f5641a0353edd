"""What a plan says of the beliefs that it took in place of figures of the shop file."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.bench.learning.believing import SURE_SPREADS
from handwheel.bench.learning.overlay import FACTOR_STEP
from handwheel.bench.learning.priors import unit_of
from handwheel.domain.beliefs import BeliefChange, Believed, Quantity
from handwheel.domain.findings import Finding, Reason, Severity
from handwheel.domain.part import Units
from handwheel.domain.said import said_short

_BECOMES = {
    Quantity.TIME: ("time", "middle of the shop's habit and of what was timed, in whole seconds"),
    Quantity.SPINDLE_SPEED: ("spindle speed", "as counted; it overrides what a plate or pulleys promise"),
    Quantity.SLACK: ("slack", "as large as it may be: middle and two spreads, rounded up"),
    Quantity.RUNOUT: ("runout", "as large as it may be: middle and two spreads, rounded up"),
    Quantity.GAUGE_SPREAD: ("trust in a reading", "bias, and two spreads of bias and reading, rounded up"),
    Quantity.GAUGE_BIAS: ("trust in a reading", "bias, and two spreads of bias and reading, rounded up"),
    Quantity.DRILL_OVERSIZE: (
        "play of the tailstock",
        "half of what the drill that cuts largest may cut beyond what is left for any drill",
    ),
    Quantity.LEAD_ERROR: (
        "lead of the dial",
        f"lead of the shop file times one and the error, by {float(FACTOR_STEP):g}; exact from there on",
    ),
}
"""What each belief becomes in the shop, and by which relation."""


def belief_reasons(believed: Believed, units: Units) -> tuple[Reason, ...]:
    """Why figures are other than the shop file has them: what is believed, and the figure before."""
    return tuple(_reason(change, believed, units) for change in believed.changes)


def _reason(change: BeliefChange, believed: Believed, units: Units) -> Reason:
    what, relation = _BECOMES[change.quantity]
    unit = unit_of(change.quantity)
    off = SURE_SPREADS * change.spread
    middle, may_be_off = (amount_words(amount, unit, units) for amount in (change.value, change.spread))
    return Reason(
        where=change.thing,
        quantity=what,
        value=figure_words(change, float(change.now), units),
        relation=relation,
        inputs=(
            f"shop file: {figure_words(change, float(change.was), units)}",
            f"{change.quantity.value}: {middle}, give or take {may_be_off}",
            f"beliefs {believed.version} of {believed.date}",
        ),
        source_key="BELIEFS",
        standing="as learned",
        low=change.value - off,
        high=change.value + off,
        unit="of the travel" if unit == "1" else unit,
    )


def figure_words(change: BeliefChange, figure: float, units: Units) -> str:
    """Figure of the shop that a belief changes, with its unit."""
    if change.quantity is Quantity.LEAD_ERROR:
        return f"{figure:.4f} times that of the screw" if figure != 1.0 else "that of the screw"
    return amount_words(figure, unit_of(change.quantity), units)


def amount_words(amount: float, unit: str, units: Units) -> str:
    """Amount of a quantity in words: a length in both units, a share in per cent.

    Examples
    --------
    >>> amount_words(0.0254, "mm", Units.MM), amount_words(0.004, "1", Units.MM), amount_words(41.6, "s", Units.MM)
    ('0.0254 mm (0.001 in)', '0.4 %', '41.6 s')
    """
    if unit == "mm":
        return said_short(amount, units)
    return f"{100.0 * amount:.3g} %" if unit == "1" else f"{amount:.4g} {unit}"


def belief_findings(believed: Believed, units: Units) -> tuple[Finding, ...]:
    """Say on the sheet that it goes by beliefs, and which figures are other than in the shop file."""
    return (
        Finding(
            code="beliefs-used",
            severity=Severity.NOTE,
            where="load",
            problem=f"beliefs {believed.version} of {believed.date} stand in place of the shop file: "
            + "; ".join(_changes_words(believed.changes, units)),
            remedy="`handwheel beliefs` shows what each follows from, and takes it back if it is wrong",
            source_key="BELIEFS",
        ),
    )


def _changes_words(changes: Iterable[BeliefChange], units: Units) -> Iterable[str]:
    for change in changes:
        what, _ = _BECOMES[change.quantity]
        was, now = (figure_words(change, float(figure), units) for figure in (change.was, change.now))
        yield f"{what} of {change.thing} {now} (was {was})"
