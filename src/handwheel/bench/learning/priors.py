"""What is believed of a thing of the shop before anything was learned, and how it scatters."""

from __future__ import annotations

from collections.abc import Callable
from math import inf, isfinite

from msgspec import Struct
from msgspec.structs import fields

from handwheel.data.metal_families import family_of
from handwheel.data.priors import Counts, PriorRow, prior_rows
from handwheel.domain.beliefs import HANGS_ON_METAL, SUBJECT_OF, About, Prior, Quantity, Subject
from handwheel.domain.errors import OutOfRangeError, ShopError
from handwheel.domain.habits import Habits
from handwheel.domain.motion import Handle
from handwheel.domain.shop import Shop

CHUCK = "chuck"
"""Name by which beliefs speak of the chuck of the lathe among its holdings."""
HABIT_TIMES = tuple(
    field.name for field in fields(Habits) if field.name.endswith("_s") and not field.name.startswith("hand_pace")
)
"""Times of the habits that can be learned; a pace is a choice and not a time that passes."""


class Scatter(Struct, frozen=True, kw_only=True):
    """Standard deviations in the unit of the quantity: from job to job, between like things, a year's drift."""

    job: float
    apart: float
    year: float


def unit_of(quantity: Quantity) -> str:
    """Unit of a quantity; 1 for a share."""
    return prior_rows()[quantity].unit


def require_sensible(quantity: Quantity, value: float) -> None:
    """Raise `OutOfRangeError` if a value of a quantity must be a slip."""
    row = prior_rows()[quantity]
    if not isfinite(value) or not row.least <= value <= row.most:
        unit = "" if row.unit == "1" else f" {row.unit}"
        msg = f"{quantity.value}: got {value:g}{unit}, allowed {row.least:g} to {row.most:g}{unit}; check sign and unit"
        raise OutOfRangeError(msg)


def things(shop: Shop, subject: Subject) -> tuple[str, ...]:
    """Names of all the things of a shop of one kind; none for a way of finishing, which may be any word."""
    return _THINGS[subject](shop)


_THINGS: dict[Subject, Callable[[Shop], tuple[str, ...]]] = {
    Subject.TOOL: lambda shop: tuple(tool.id for tool in shop.tools),
    Subject.DRILL: lambda shop: tuple(drill.id for drill in shop.drills),
    Subject.SLIDE: lambda shop: tuple(shop.lathe.slide(handle).handle.value for handle in Handle),
    Subject.GAUGE: lambda shop: tuple(gauge.id for gauge in shop.gauges),
    Subject.HOLDING: lambda shop: (CHUCK, *(holding.id for holding in shop.holdings)),
    Subject.HABIT: lambda shop: tuple(key for key in HABIT_TIMES if hasattr(shop.habits, key)),
    Subject.SPEED: lambda shop: tuple(speed.position for speed in shop.lathe.speeds),
    Subject.METHOD: lambda shop: (),  # noqa: ARG005 - any word is one
}
"""Names of the things of each kind that a shop has."""


def is_in_shop(shop: Shop, subject: Subject, thing: str) -> bool:
    """Whether a shop has a thing of that name."""
    return subject is Subject.METHOD or thing in things(shop, subject)


def require_about(shop: Shop, quantity: Quantity, about: About) -> None:
    """Raise `ShopError` if a quantity cannot be about that thing of the shop, or not with that metal."""
    subject = SUBJECT_OF[quantity]
    if not is_in_shop(shop, subject, about.thing):
        known = ", ".join(f"{thing!r}" for thing in things(shop, subject))
        msg = (
            f"{quantity.value}: {about.thing!r} is no {subject.value} of shop {shop.name!r}; "
            f"allowed: {known or 'none'}; take one of them"
        )
        raise ShopError(msg)
    if about.metal and quantity not in HANGS_ON_METAL:
        msg = f"{quantity.value}: got the metal {about.metal!r}, but no metal changes it; leave the metal out"
        raise ShopError(msg)


def prior_of(shop: Shop, quantity: Quantity, about: About) -> Prior:
    """What is believed of a thing before anything was learned.

    Raises
    ------
    ShopError
        If the shop has no such thing, or no metal changes the quantity and one is named.

    Examples
    --------
    >>> from handwheel.service.demo import demo_text
    >>> from handwheel.service.intake.shop_file import read_shop
    >>> shop = read_shop(demo_text("metric-lathe"), name="metric-lathe")
    >>> before = prior_of(shop, Quantity.TIME, About(thing="measure_s"))
    >>> before.value, before.spread, before.standing
    (40.0, 10.0, 'common practice')
    """
    require_about(shop, quantity, about)
    row = prior_rows()[quantity]
    scale = _scale(shop, row, quantity, about)
    known = row.spread < inf and scale > 0.0  # a share of nothing tells nothing
    start = _shop_figure(shop, quantity, about) if row.counts is Counts.ADDED else 0.0
    return Prior(
        value=start + scale * row.middle,
        spread=scale * row.spread if known else inf,
        source_key=row.source_key,
        standing=row.standing,
        place=row.place,
    )


def scatter_of(shop: Shop, quantity: Quantity, about: About) -> Scatter:
    """How a quantity of a thing that the shop has scatters."""
    row = prior_rows()[quantity]
    scale = _scale(shop, row, quantity, about)
    return Scatter(job=scale * row.job_scatter, apart=scale * row.apart, year=scale * row.drift_year)


def differences(shop: Shop, quantity: Quantity, one: About, other: About) -> int | None:
    """In how many ways two things differ that evidence about one still says something of the other; else ``None``.

    Another tool, or drill, of the same kind is one way, a metal of another family (or none noted) a second one.
    """
    if one.thing != other.thing and not _is_alike(shop, SUBJECT_OF[quantity], one.thing, other.thing):
        return None
    return int(one.thing != other.thing) + int(metal_group(one.metal) != metal_group(other.metal))


def metal_group(metal: str) -> str:
    """Family of a metal, within which it springs and wears alike; the metal itself if it is in none."""
    return family_of(metal) or metal


def _is_alike(shop: Shop, subject: Subject, one: str, other: str) -> bool:
    if not (is_in_shop(shop, subject, one) and is_in_shop(shop, subject, other)):
        return False
    if subject is Subject.TOOL:
        return shop.tool(one).kind is shop.tool(other).kind
    return subject is Subject.DRILL and shop.drill(one).kind is shop.drill(other).kind


def _scale(shop: Shop, row: PriorRow, quantity: Quantity, about: About) -> float:
    """What the figures of a row are to be multiplied by, in the unit of the quantity."""
    return _shop_figure(shop, quantity, about) if row.counts is Counts.TIMES else 1.0


def _shop_figure(shop: Shop, quantity: Quantity, about: About) -> float:
    """What the shop file says of a thing, in the unit of the quantity."""
    match SUBJECT_OF[quantity]:
        case Subject.SLIDE:
            return float(next(shop.lathe.slide(handle) for handle in Handle if handle.value == about.thing).slack_mm)
        case Subject.GAUGE:
            return shop.gauge(about.thing).uncertainty_mm
        case Subject.HOLDING:
            chuck = about.thing == CHUCK
            return shop.lathe.chuck.runout_mm if chuck else shop.holding(about.thing).runout_mm
        case Subject.HABIT:
            return float(getattr(shop.habits, about.thing))
        case Subject.SPEED:
            return next(speed.rpm for speed in shop.lathe.speeds if speed.position == about.thing)
        case subject:
            msg = f"{quantity.value}: the shop has no figure of its own for a {subject.value}; mend belief_priors.csv"
            raise ShopError(msg)
