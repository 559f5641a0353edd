"""What the times of the acts tell of the habits: the middle of those of one kind, breaks left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import pi, sqrt
from statistics import median

from handwheel.bench.learning.believing import believed
from handwheel.bench.learning.chain import Normal
from handwheel.bench.learning.pieces import Piece
from handwheel.bench.learning.worked import Worked
from handwheel.domain import acts as a
from handwheel.domain.beliefs import About, Beliefs, Quantity

HABIT_OF: dict[type[a.ActBase], str] = {
    a.FitTool: "tool_change_s",
    a.FitDrill: "drill_change_s",
    a.FitReamer: "drill_change_s",
    a.Touch: "touch_s",
    a.SetZero: "collar_s",
    a.SetCollar: "collar_s",
    a.SetReadout: "collar_s",
    a.SwingSlide: "swing_s",
    a.Regrip: "regrip_s",
    a.Indicate: "indicate_s",
    a.Measure: "measure_s",
    a.SetSpeed: "speed_change_s",
}
"""Which habit the time of each kind of act is one of; the time of the others is not learned."""
LEAST_TIMES = 3
"""Fewer times of a kind have no middle that a single odd one could not move; ours, no source."""
BREAK = 4.0
"""A time this often the usual one was a break, and does not count; usual is what the shop's habit says, or the middle
of this job's times of the kind, whichever is longer; ours, no source."""
NO_ACT_S = 2.0
"""A shorter time was no act, but a line typed afterwards. [s]"""
TIME_STEP_S = 1.0
"""Times are no surer than one of them is told. [s]"""
TO_DEVIATION = 1.4826
"""Standard deviation for the middle distance from the median, of normal scatter: 1/0.6745."""
MEDIAN_LOSS = sqrt(pi / 2.0)
"""How much less sure a median is than a mean, of normal scatter."""


def told_by_times(beliefs: Beliefs, worked: Sequence[Worked]) -> Iterator[Piece]:
    r"""Time of each habit, as far as there are times enough.

    .. math:: y = \mathrm{med}(t), \quad s = \sqrt{\pi/2}\;1.4826\,\mathrm{med}|t - y| / \sqrt{n}

    A time stands for its act if it is known and neither a break nor no act at all.

    References
    ----------
    Median and middle distance from it as estimates that single odd values do not move; textbook, from memory.
    """
    times: dict[str, list[float]] = {}
    steps: dict[str, dict[str, None]] = {}
    for one in worked:
        habit = HABIT_OF.get(type(one.act))
        if habit is None or one.seconds is None or one.lost or one.again or one.seconds < NO_ACT_S:
            continue
        times.setdefault(habit, []).append(one.seconds)
        steps.setdefault(habit, {}).setdefault(one.act.step)
    for habit, told in times.items():
        usual = max(float(getattr(beliefs.shop.habits, habit)), median(told))
        counted = [one for one in told if one <= BREAK * usual]
        if len(counted) < LEAST_TIMES:
            continue
        about = About(thing=habit)
        middle = median(counted)
        scatter = TO_DEVIATION * median([abs(one - middle) for one in counted])
        value, spread = believed(beliefs, Quantity.TIME, about)
        yield Piece(
            quantity=Quantity.TIME,
            about=about,
            value=middle,
            spread=MEDIAN_LOSS * max(scatter, TIME_STEP_S) / sqrt(len(counted)),
            before=Normal(middle=value, variance=spread**2),
            steps=tuple(steps[habit]),
            counted=len(counted),
        )
