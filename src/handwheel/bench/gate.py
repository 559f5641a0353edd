"""Readings of a stop that are to be taken again before they count: off their fellows, or off what was expected."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.bench.each import Truth, root
from handwheel.bench.moves import expected_reading_mm, reading_variance

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    from handwheel.bench.approach import Approach
    from handwheel.bench.belief import Belief
    from handwheel.bench.each import Each

OFF = 6.0
"""Standard deviations of the gauge from which on a reading is off its fellows; ours, no source."""
UNEXPECTED = 4.0
"""Standard deviations from which on a stop is off what was expected; ours, no source."""


def is_off(readings_mm: npt.NDArray[np.float64], belief: Belief) -> npt.NDArray[np.bool_]:
    """Which readings of each stop are to be taken again; of two that differ, both.

    Parameters
    ----------
    readings_mm : array of n stops and k readings, (n, k)
        As read, ``nan`` for none. [mm]
    belief : Belief
        What is believed of the n lathes before the readings count.

    Returns
    -------
    array of bool, (n, k)
        Where to read again.
    """
    import numpy as np  # noqa: PLC0415 - whoever brings arrays has loaded it

    middle = _middle_mm(readings_mm)
    limit = OFF * np.asarray(root(belief.spread_sum / belief.spread_freedom))
    found: npt.NDArray[np.bool_] = np.abs(readings_mm - middle[:, None]) > limit[:, None]
    return found


def _middle_mm(readings_mm: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """The median of each row's readings; ``nan`` counts for none, and stands last when sorted. [mm]"""
    import numpy as np  # noqa: PLC0415 - as in `is_off`

    count = np.sum(~np.isnan(readings_mm), axis=1)
    in_order = np.sort(readings_mm, axis=1)
    row = np.arange(len(readings_mm))
    middle: npt.NDArray[np.float64] = (in_order[row, (count - 1) // 2] + in_order[row, count // 2]) / 2.0
    return middle


def is_unexpected(mean_mm: Each, belief: Belief, approach: Approach) -> Truth:
    """Whether a mean is so far from what was expected that it is to be read once more before it counts. [mm]"""
    miss = mean_mm - expected_reading_mm(belief, approach)
    return miss * miss > UNEXPECTED * UNEXPECTED * reading_variance(belief, approach)
