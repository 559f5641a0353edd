"""The one door: everything to ask about the readings of a stop before they count."""

from __future__ import annotations

from handwheel.bench.asking.codes import Counts
from handwheel.bench.asking.conditions import flats, heat, lobes
from handwheel.bench.asking.records import Question, StopContext
from handwheel.bench.asking.slips import slips
from handwheel.bench.asking.together import judged, outlier


def questions(stop: StopContext) -> tuple[Question, ...]:
    """All that is to be asked about the readings of one stop, what concerns a single one first.

    Parameters
    ----------
    stop : StopContext
        Readings so far with what was expected; may be asked anew after each reading.

    Returns
    -------
    tuple of Question
        Empty if the readings may count as they are. No reading is changed: whoever reads answers, and a reading stood
        by comes back with ``confirmed``.

    Notes
    -----
    A reading that is in question by itself stays out of what is asked about all of them, until it is confirmed.

    Examples
    --------
    >>> from handwheel.bench.asking.records import TypedReading
    >>> from handwheel.domain.exact import Fraction
    >>> from handwheel.domain.gauges import Gauge, GaugeUse
    >>> micrometer = Gauge(
    ...     id="m",
    ...     name="micrometer",
    ...     uses=(GaugeUse.OUTSIDE,),
    ...     low_mm=0.0,
    ...     high_mm=25.0,
    ...     step_mm=Fraction("0.01"),
    ...     uncertainty_mm=0.005,
    ... )
    >>> stop = StopContext(
    ...     readings=(TypedReading(read_mm=22.49, typed="22,49"),),
    ...     gauge=micrometer,
    ...     use=GaugeUse.OUTSIDE,
    ...     expected_mm=22.0,
    ...     expected_sd_mm=0.02,
    ...     tolerance_mm=0.05,
    ... )
    >>> [question.code for question in questions(stop)]
    ['gauge-turn-out']
    """
    single = tuple(slips(stop, index) for index in range(len(stop.readings)))
    whole = tuple(index for index, asked in enumerate(single) if not asked)
    apart = outlier(stop, whole)
    usable = tuple(index for index in whole if index not in {question.reading for question in apart})
    of_all = (*judged(stop, usable), *flats(stop, usable), *lobes(stop), *heat(stop, usable))
    return (
        *(question for asked in single for question in asked),
        *apart,
        *(question for question in of_all if not _is_answered(stop, question)),
    )


def _is_answered(stop: StopContext, question: Question) -> bool:
    return question.counts is Counts.ONCE_CONFIRMED and question.code in stop.answered


def may_count(asked: tuple[Question, ...], *, confirmed: bool) -> bool:
    """Whether readings may count: never while one question forbids it, else if nothing is open or all is confirmed.

    Examples
    --------
    >>> may_count((), confirmed=False)
    True
    """
    if any(question.counts is Counts.NOT_YET for question in asked):
        return False
    return confirmed or not asked
