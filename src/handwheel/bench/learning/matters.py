"""What a piece of evidence would change: the next plan, a belief of the bench, or nothing that matters."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.learning.believing import belief
from handwheel.bench.learning.overlay import SAME, Verdict, verdicts
from handwheel.domain.beliefs import Belief, Beliefs, Noted
from handwheel.domain.believed import BeliefChange
from handwheel.domain.matters import SHARE_THAT_MATTERS


class Effect(Struct, frozen=True, kw_only=True):
    """What one piece would change.

    ``before`` and ``after`` are the beliefs without it and with it. ``was`` and ``now`` are the figures that the next
    plan takes in place of the shop's, if any; ``verdict`` says why the planner takes none; empty where the planner
    takes none of that quantity anyway.
    """

    before: Belief
    after: Belief
    was: BeliefChange | None = None
    now: BeliefChange | None = None
    verdict: str = ""

    @property
    def changes_plan(self) -> bool:
        """Whether the next plan takes another figure."""
        return (self.was and self.was.now) != (self.now and self.now.now)

    @property
    def matters(self) -> bool:
        """Whether it changes the next plan or, where the planner takes nothing of it, what the bench believes."""
        if self.changes_plan:
            return True
        return not self.verdict and _is_moved(self.before, self.after)


def effect_of(beliefs: Beliefs, noted: Noted, *, today: str) -> Effect:
    """What a piece would change, of everything that is believed now."""
    more = Beliefs(
        shop=beliefs.shop,
        learned=replace(beliefs.learned, noted=(*beliefs.learned.noted, noted)),
        today=beliefs.today or today,
    )
    was, now = _verdict(beliefs, noted), _verdict(more, noted)
    return Effect(
        before=belief(beliefs, noted.quantity, noted.about),
        after=belief(more, noted.quantity, noted.about),
        was=None if was is None else was.change,
        now=None if now is None else now.change,
        verdict="" if now is None else now.words or SAME,
    )


def _verdict(beliefs: Beliefs, noted: Noted) -> Verdict | None:
    return next(
        (
            each
            for each in verdicts(beliefs)
            if (each.quantity, each.about.thing) == (noted.quantity, noted.about.thing)
        ),
        None,
    )


def _is_moved(before: Belief, after: Belief) -> bool:
    """Whether a belief moved by more, or became surer by more, than hardly anything."""
    if not before.prior.is_known and not before.counting:
        return True
    least = SHARE_THAT_MATTERS * before.spread
    return abs(after.value - before.value) > least or before.spread - after.spread > least
