"""What a gentler cut is: the quickest that takes a stated share of the force of the plan it is compared with."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from handwheel.planner.cut_case import CaseResult, CutCase, Eased, NoSchedule, Schedule

GENTLE_SHARES = (0.6, 0.7, 0.8, 0.9)
"""Shares of force and of every limit that are tried one after the other; ours, to name what "gentler" is: no source."""


class Gentler(Struct, frozen=True, kw_only=True):
    """What a plan is to be gentler than: the greatest cutting force of each step of another plan, by its id. [N]"""

    forces_n: tuple[tuple[str, float], ...]

    def force_n(self, step: str) -> float | None:
        """Force of a step in the other plan, ``None`` if that has no such step. [N]"""
        return dict(self.forces_n).get(step)


def gentler_schedule(
    case: CutCase, step: str, gentler: Gentler, schedule_of: Callable[[CutCase], CaseResult]
) -> CaseResult:
    """Quickest schedule with the least of `GENTLE_SHARES` that can be set; never more force than the other plan has.

    Both are capped by a share: the force, of what the other plan cuts that step with, and what the cut asks of every
    limit. Where no share goes (the width of a blade cannot be less), the force is at most that of the other plan.
    """
    quickest = schedule_of(case)
    if isinstance(quickest, NoSchedule):
        return quickest
    other_n = gentler.force_n(step)
    force_n = quickest.force.ruling_n if other_n is None else other_n
    for share in GENTLE_SHARES:
        eased = Eased(share=share, force_n=share * force_n, unusual=quickest.unusual)
        found = schedule_of(replace(case, eased=eased))
        if isinstance(found, Schedule):
            return found
    if quickest.force.ruling_n <= force_n:
        return quickest
    return schedule_of(replace(case, eased=Eased(share=1.0, force_n=force_n, unusual=quickest.unusual)))


def gentle_words() -> str:
    """What is asked of a gentler plan, in words."""
    least, *rest = (f"{100.0 * share:.0f}" for share in GENTLE_SHARES)
    return (
        f"each cut with at most {least} % of the force that it has in the best plan and {least} % of every limit; "
        f"{', '.join(rest)} % where that cannot be set, and never more force; drills fed at {least} % of what torque "
        "and push allow, or at their least feed; bar, blade, drills and ways of holding as in the best plan"
    )
