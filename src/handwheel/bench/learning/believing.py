"""Beliefs that follow from what was learned, in closed form."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from math import inf, sqrt

import msgspec
from msgspec.structs import replace

from handwheel.bench.learning.chain import NOTHING_KNOWN, Jump, Normal, combined, learned_today
from handwheel.bench.learning.priors import differences, is_in_shop, metal_group, prior_of, scatter_of, unit_of
from handwheel.data.priors import fading
from handwheel.domain.beliefs import (
    EVENT_SUBJECT,
    SUBJECT_OF,
    About,
    Belief,
    Beliefs,
    Evidence,
    Learned,
    Quantity,
)
from handwheel.domain.errors import OutOfRangeError

SURE_SPREADS = 2.0
"""So many standard uncertainties off, and a difference is taken to be real; 95 of 100, a convention."""

UNLIKELY_SPREADS = 3.0
"""So many spreads of their difference between prior and evidence, and they do not belong together; own choice."""


def believed(beliefs: Beliefs, quantity: Quantity, about: About) -> tuple[float, float]:
    """What is believed of a quantity for the next job: its middle and its standard uncertainty, in its unit.

    Parameters
    ----------
    beliefs : Beliefs
        The shop, what was learned at it, and the day.
    quantity : Quantity
        What is asked.
    about : About
        The thing, and the metal where that changes it.

    Raises
    ------
    OutOfRangeError
        If nothing was learned of it and nobody knows it beforehand either (loss by polishing).
    ShopError
        If the shop has no such thing, or no metal changes the quantity and one is named.

    Examples
    --------
    >>> from handwheel.service.demo import demo_text
    >>> from handwheel.service.intake.shop_file import read_shop
    >>> shop = read_shop(demo_text("metric-lathe"), name="metric-lathe")
    >>> value, spread = believed(Beliefs(shop=shop), Quantity.SPRING, About(thing="right-hand-hss", metal="steel_mild"))
    >>> round(value, 4), round(spread, 4)
    (0.14, 0.08)
    """
    found = belief(beliefs, quantity, about)
    if found.spread == inf:
        msg = (
            f"{quantity.value} of {about.words}: got no trial, and nobody knows it beforehand; "
            "measure it once and enter it with `handwheel beliefs --add`"
        )
        raise OutOfRangeError(msg)
    return found.value, found.spread


def belief(beliefs: Beliefs, quantity: Quantity, about: About) -> Belief:
    r"""Everything about one belief, with where it comes from.

    .. math:: \theta \sim N(m_0, \sigma_0^2 - \tau^2), \quad x = \theta + N(0, \tau^2)

    with prior and evidence about :math:`\theta`, the quantity of this thing in the long run, and :math:`x` that of the
    next job. Each like thing (`differences` = k) says of it what its own evidence says, less surely by
    :math:`k\,\delta^2`. Evidence that differs from the prior by more than `UNLIKELY_SPREADS` of their difference sets
    the prior aside: the lathe is of another class than thought.

    Parameters
    ----------
    beliefs : Beliefs
        The shop, what was learned at it, and the day.
    quantity : Quantity
        What is asked.
    about : About
        The thing, and the metal where that changes it.

    Returns
    -------
    Belief
        Of :math:`x`; its spread is infinite if nothing is known.

    Raises
    ------
    ShopError
        If the shop has no such thing, or no metal changes the quantity and one is named.
    """
    prior, scatter = prior_of(beliefs.shop, quantity, about), scatter_of(beliefs.shop, quantity, about)
    job = scatter.job**2
    before = Normal(middle=prior.value, variance=max(prior.spread**2 - job, 0.0) if prior.is_known else inf)
    seen = NOTHING_KNOWN
    own: tuple[Evidence, ...] = ()
    related, newest = 0, ""
    for other, pieces in _by_thing(beliefs.learned, quantity):
        apart = differences(beliefs.shop, quantity, about, other)
        counting = [piece for piece in pieces if not piece.withdrawn]
        own = pieces if apart == 0 else own
        if apart is None or not counting:
            continue
        alone = learned_today(
            pieces,
            tuple(_jumps(beliefs, quantity, other, prior.spread if prior.is_known else scatter.job)),
            today=beliefs.today,
            job_variance=job,
            drift_variance_year=scatter.year**2,
        )
        seen = combined(seen, alone.wider(apart * scatter.apart**2))
        related += len(counting) if apart else 0
        newest = max([newest, *(piece.date for piece in counting)])
    unlike = _is_unlike(before, seen)
    known = seen if unlike else combined(before, seen)
    return Belief(
        quantity=quantity,
        about=about,
        value=known.middle,
        spread=sqrt(known.variance + job) if known.variance < inf else inf,
        unit=unit_of(quantity),
        prior=prior,
        evidence=own,
        related=related,
        newest=newest,
        is_unlike=unlike,
    )


def _is_unlike(before: Normal, seen: Normal) -> bool:
    """Whether two beliefs cannot well be about one thing."""
    apart = before.variance + seen.variance
    return 0.0 < apart < inf and (before.middle - seen.middle) ** 2 > UNLIKELY_SPREADS**2 * apart


def has_learned(beliefs: Beliefs, quantity: Quantity, about: About) -> bool:
    """Whether any piece about just this thing counts."""
    return any(
        noted.quantity is quantity and grouped(noted.about) == grouped(about) and not noted.evidence.withdrawn
        for noted in beliefs.learned.noted
    )


def learned_beliefs(beliefs: Beliefs) -> tuple[Belief, ...]:
    """Every belief about a thing of the shop with evidence of its own, withdrawn or not, in the order of quantities."""
    asked = {(noted.quantity, grouped(noted.about)) for noted in beliefs.learned.noted}
    return tuple(
        belief(beliefs, quantity, about)
        for quantity in Quantity
        for about in sorted(about for of, about in asked if of is quantity)
        if is_in_shop(beliefs.shop, SUBJECT_OF[quantity], about.thing)
    )


def strangers(beliefs: Beliefs) -> tuple[str, ...]:
    """Things that beliefs speak of and the shop does not have (any more); what was learned of them waits."""
    named = [(SUBJECT_OF[noted.quantity], noted.about.thing) for noted in beliefs.learned.noted]
    named += [(EVENT_SUBJECT[event.kind], event.about) for event in beliefs.learned.events]
    gone = {f"{subject.value} {thing!r}" for subject, thing in named if not is_in_shop(beliefs.shop, subject, thing)}
    return tuple(sorted(gone))


def beliefs_version(learned: Learned) -> str:
    """Short hash of all that counts: the same for files that mean the same."""
    counting = Learned(
        noted=tuple(noted for noted in learned.noted if not noted.evidence.withdrawn), events=learned.events
    )
    return sha256(msgspec.json.encode(counting, order="deterministic")).hexdigest()[:16]


def _by_thing(learned: Learned, quantity: Quantity) -> Iterator[tuple[About, tuple[Evidence, ...]]]:
    """Evidence of one quantity, by thing and family of metals, in a fixed order."""
    found: dict[About, list[Evidence]] = {}
    for noted in learned.noted:
        if noted.quantity is quantity:
            found.setdefault(grouped(noted.about), []).append(noted.evidence)
    for about in sorted(found):
        yield about, tuple(found[about])


def grouped(about: About) -> About:
    """The same thing in the family of its metal, for which evidence counts together.

    Examples
    --------
    >>> grouped(About(thing="blade-2", metal="cu_cw614n")).metal
    'brass'
    """
    return replace(about, metal=metal_group(about.metal))


def _jumps(beliefs: Beliefs, quantity: Quantity, about: About, unit_spread: float) -> Iterator[Jump]:
    """Days on which what is known of a thing fades."""
    subject = SUBJECT_OF[quantity]
    for event in beliefs.learned.events:
        added = fading().get((event.kind, quantity))
        if added is not None and EVENT_SUBJECT[event.kind] is subject and event.about == about.thing:
            yield Jump(date=event.date, variance=(added * unit_spread) ** 2)


def is_sure(value: float, spread: float) -> bool:
    """Whether a value differs from nought by more than it may be off: two standard uncertainties.

    Examples
    --------
    >>> is_sure(0.004, 0.001), is_sure(-0.001, 0.001)
    (True, False)
    """
    return abs(value) > SURE_SPREADS * spread
