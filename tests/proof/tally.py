"""Many outcomes in a few lines: shares, times, states, and every failure with its number."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from tests.proof.cases import Promise
from tests.proof.trial import Outcome, Verdict

SLOW_S = 2.0
"""A plan, or a refusal with its remedies, that takes longer is named."""
MOST_NAMED = 40
LINE = 600


def share_at(values: Sequence[float], share: float) -> float:
    """Value below which a share of all lie; of nothing, 0."""
    ranked = sorted(values)
    return ranked[min(len(ranked) - 1, int(share * len(ranked)))] if ranked else 0.0


def lines(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """The whole tally."""
    yield f"{len(outcomes)} cases"
    counted = Counter((item.promise, item.verdict) for item in outcomes)
    for promise in Promise:
        whole = sum(item.promise is promise for item in outcomes)
        for verdict in Verdict:
            if count := counted[promise, verdict]:
                yield f"  {promise.value:26} {verdict.value:46} {count:7} {100.0 * count / whole:6.2f} %"
    planned = [item for item in outcomes if item.acts]
    refused = [item for item in outcomes if not item.acts]
    for what, values in (
        ("plan, ms", [1000.0 * item.plan_s for item in planned]),
        ("check, ms", [1000.0 * item.check_s for item in planned]),
        ("simple replay, ms", [1000.0 * item.replay_s for item in planned]),
        ("refusal, ms", [1000.0 * item.plan_s for item in refused]),
        ("states visited", [float(item.states) for item in planned]),
        ("steps", [float(item.steps) for item in planned]),
        ("acts", [float(item.acts) for item in planned]),
        ("cost, min", [item.cost_ms / 60000.0 for item in planned]),
    ):
        half, most, top = share_at(values, 0.5), share_at(values, 0.99), max(values, default=0.0)
        yield f"  {what:18} median {half:9.1f}   99 % {most:9.1f}   most {top:9.1f}"
    bare = Counter(code for item in outcomes if item.verdict is Verdict.REFUSED for code in item.codes)
    yield "refused without a remedy, by trouble: " + ", ".join(f"{code} {count}" for code, count in bare.most_common())
    slow = sorted((item for item in outcomes if item.plan_s > SLOW_S), key=lambda item: -item.plan_s)
    yield f"{len(slow)} over {SLOW_S:g} s" + "".join(f"; {item.number}: {item.plan_s:.1f} s" for item in slow[:10])
    yield from failure_lines(outcomes)


def failure_lines(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """Failures, the first of them in full."""
    failed = [item for item in outcomes if item.verdict is Verdict.FAILED]
    yield f"{len(failed)} failed"
    for item in failed[:MOST_NAMED]:
        yield f"  case {item.number} ({item.promise.value}): {' '.join(item.why.split())[:LINE]}"
    if len(failed) > MOST_NAMED:
        yield "  and " + ", ".join(str(item.number) for item in failed[MOST_NAMED:])
