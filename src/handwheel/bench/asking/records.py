"""What is known when a reading is judged, and the question that comes of it."""

from __future__ import annotations

from enum import Enum
from math import hypot, isfinite, sqrt

from msgspec import Struct

from handwheel.bench.asking.codes import QUESTION_CODES, Counts, UnknownQuestionError
from handwheel.domain.errors import OutOfRangeError, require_positive
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.part import Units

COVERAGE_FACTOR = 2.0
"""Standard uncertainties in the half-width within which a reading is trusted, about 95 % [GUM]; from memory."""
SHARED_VARIANCE = 0.25
"""Part of a gauge's variance that all its readings share (its zero, its feel), the rest scatters; own choice."""


class Decides(Enum):
    """What hangs on the readings of a stop."""

    ROUGHING = "how much to rough"
    LAST_CUTS = "the last cuts"
    FINISHED = "whether the size is good"


class TypedReading(Struct, frozen=True, kw_only=True):
    """One reading of a size, diameter or length. [mm]

    ``typed`` is what was written, for what to ask about it. ``place`` and ``direction`` say where along the surface and
    how far round, in any words that are the same for the same. Whoever has been asked about the reading and stands by
    it makes it ``confirmed``: it is not asked about by itself again.
    """

    read_mm: float
    typed: str = ""
    place: str = ""
    direction: str = ""
    confirmed: bool = False

    def __post_init__(self) -> None:
        """Refuse what no gauge shows."""
        if not isfinite(self.read_mm) or self.read_mm < 0.0:
            msg = f"reading {self.typed or self.read_mm!r}: got {self.read_mm:g} mm, must be 0 or more; type it again"
            raise OutOfRangeError(msg)


class HandleTurn(Struct, frozen=True, kw_only=True):
    """What one turn of a handwheel changes in the reading: twice its travel on a diameter. [mm]"""

    name: str
    reading_mm: float

    def __post_init__(self) -> None:
        """Refuse a handle that moves nothing."""
        require_positive("reading_mm", self.reading_mm, unit="mm")


class StopContext(Struct, frozen=True, kw_only=True):
    """All readings of one stop, what they are of, and what was expected of them.

    Parameters
    ----------
    readings : tuple of TypedReading
        What was read so far, in order; one at least.
    gauge : Gauge
        What it was read with.
    use : GaugeUse
        What is measured.
    expected_mm, expected_sd_mm : float
        Reading that is expected, and its standard uncertainty before the gauge's own. [mm]
    tolerance_mm : float or None
        Width between the limits of the size; `None` while there are none. [mm]
    decides : Decides
        What hangs on it.
    handle_turns : tuple of HandleTurn
        Handwheels that set the size.
    units : Units
        Which unit comes first in what is asked, and which a bare number is taken in.
    alpha_per_k : float or None
        Expansion of the metal. [1/K]
    temperature_c : float or None
        Temperature of the work, if somebody typed one. [°C]
    warm_mm : float
        By how much the size is believed too large because the work is warm. [mm]
    lobes, lobes_mm : int, float
        Lobes that the grip leaves, and their height from valley to peak on the radius; 0 if none are known. [mm]
    other_gauges : tuple of Gauge
        What else lies about in the shop.
    spread_mm, bias_mm : float or None
        Standard deviation of one reading of the gauge, and standard uncertainty of what its readings share, if they are
        believed better than the gauge's uncertainty tells. [mm]
    answered : tuple of str
        Codes of questions about all readings that somebody has confirmed at this stop: they are not asked again. What
        must not count yet is asked again all the same.
    """

    readings: tuple[TypedReading, ...]
    gauge: Gauge
    use: GaugeUse
    expected_mm: float
    expected_sd_mm: float
    tolerance_mm: float | None = None
    decides: Decides = Decides.LAST_CUTS
    handle_turns: tuple[HandleTurn, ...] = ()
    units: Units = Units.MM
    alpha_per_k: float | None = None
    temperature_c: float | None = None
    warm_mm: float = 0.0
    lobes: int = 0
    lobes_mm: float = 0.0
    other_gauges: tuple[Gauge, ...] = ()
    spread_mm: float | None = None
    bias_mm: float | None = None
    answered: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a stop without a reading, and an expectation that is none."""
        if not self.readings:
            msg = "readings: got none, must be one or more; measure first"
            raise OutOfRangeError(msg)
        require_positive("expected_mm", self.expected_mm, unit="mm")
        require_positive("expected_sd_mm", self.expected_sd_mm, unit="mm")
        if self.tolerance_mm is not None:
            require_positive("tolerance_mm", self.tolerance_mm, unit="mm")

    @property
    def gauge_spread_mm(self) -> float:
        """Standard deviation of one reading of the gauge in use. [mm]"""
        return spread_of_mm(self.gauge) if self.spread_mm is None else self.spread_mm

    @property
    def gauge_bias_mm(self) -> float:
        """Standard uncertainty of what the readings of the gauge in use share. [mm]"""
        return bias_of_mm(self.gauge) if self.bias_mm is None else self.bias_mm

    @property
    def reading_sd_mm(self) -> float:
        """Standard uncertainty of one reading beside what is expected. [mm]"""
        return hypot(self.expected_sd_mm, self.gauge_spread_mm, self.gauge_bias_mm)

    @property
    def is_close(self) -> bool:
        """Whether the last cuts, or the verdict, hang on these readings and there are limits to judge by."""
        return self.tolerance_mm is not None and self.decides is not Decides.ROUGHING


class Figure(Struct, frozen=True, kw_only=True):
    """A number in a question, so that nobody has to read it out of the text; ``unit`` is mm, °C, deg or 1."""

    name: str
    value: float
    unit: str = "mm"


class Question(Struct, frozen=True, kw_only=True):
    """Something to ask before a reading counts; it changes no reading.

    Parameters
    ----------
    code : str
        One of `handwheel.bench.asking.codes.QUESTION_CODES`.
    saw, perhaps, ask : str
        What was seen, what it could be, and what to do.
    reading : int or None
        Which reading of the stop it is about, from 0; `None` if all of them.
    offered_mm : float or None
        What the reading would be if the guess is right. Somebody has to take it; it is never taken by itself. [mm]
    figures : tuple of Figure
        The numbers behind the words.
    """

    code: str
    saw: str
    perhaps: str
    ask: str
    reading: int | None = None
    offered_mm: float | None = None
    figures: tuple[Figure, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a code that nobody can look up."""
        if self.code not in QUESTION_CODES:
            msg = f"question {self.code!r}: no such code; enter it in bench/asking/codes.py, with its meaning"
            raise UnknownQuestionError(msg)

    @property
    def counts(self) -> Counts:
        """Whether the reading may count while this is open."""
        return QUESTION_CODES[self.code].counts


def spread_of_mm(gauge: Gauge) -> float:
    """Standard deviation of one reading, by the gauge's uncertainty alone. [mm]"""
    return gauge.uncertainty_mm / COVERAGE_FACTOR * sqrt(1.0 - SHARED_VARIANCE)


def bias_of_mm(gauge: Gauge) -> float:
    """Standard uncertainty of what all readings of the gauge share, by its uncertainty alone. [mm]"""
    return gauge.uncertainty_mm / COVERAGE_FACTOR * sqrt(SHARED_VARIANCE)
