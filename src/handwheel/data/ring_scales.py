"""Scales of finger-ring sizes: each one straight rule from a number to the inside of the ring, and back."""

from __future__ import annotations

from enum import Enum
from functools import cache
from math import ceil
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing, load_table
from handwheel.domain.errors import DataTableError, OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.size import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Mapping

PI = Fraction(31415926535897932384626433832795028842, 10**37)
"""Circumference over diameter to 37 decimals: no ring is out by more than 1e-35 mm for its rounding."""

FINGER_DIAMETER_MM = (Fraction(10), Fraction(24))
"""Inside diameters between which a ring is for a finger (practice case PC-16); common practice, no source. [mm]"""

RING_WORDS = "ring size "
"""Before the name of a size, in the words of a bore that was asked for by it."""

_TABLE = "ring_scales.csv"
_COLUMNS = (
    "key",
    "name",
    "written_as",
    "rule_word",
    "contradicts",
    "measure",
    "at_zero",
    "per_size",
    "unit",
    "labels",
    "first",
    "last",
    "step",
    "standing",
    "source_key",
    "place",
)
_UNIT_MM = {"mm": Fraction(1), "in": MM_PER_INCH}
_NONE = "none"
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class Measure(Enum):
    """What of the inside a rule speaks of; confusing the two makes every ring absurd (practice case PC-16)."""

    DIAMETER = "diameter"
    CIRCUMFERENCE = "circumference"


class Labels(Enum):
    """How a scale writes its sizes."""

    NUMBERS = "numbers"
    LETTERS = "letters"


class Girth(Struct, frozen=True, kw_only=True):
    """Inside of a ring, exact in the measure that was named; the other measure follows with `PI`. [mm]"""

    measure: Measure
    mm: Fraction

    def __post_init__(self) -> None:
        """Refuse what is no inside."""
        if self.mm <= 0:
            msg = f"{self.measure.value}: got {float(self.mm):g} mm, must be above 0; check sign and unit"
            raise OutOfRangeError(msg)

    @property
    def diameter_mm(self) -> Fraction:
        """Inside diameter. [mm]"""
        return self.mm if self.measure is Measure.DIAMETER else self.mm / PI

    @property
    def circumference_mm(self) -> Fraction:
        """Inside circumference. [mm]"""
        return self.mm if self.measure is Measure.CIRCUMFERENCE else self.mm * PI

    def in_measure(self, measure: Measure) -> Fraction:
        """Diameter or circumference. [mm]"""
        return self.diameter_mm if measure is Measure.DIAMETER else self.circumference_mm

    def is_exactly(self, other: Girth) -> bool:
        """Whether both are the same; a fraction of a diameter and one of a circumference never are, for π is none."""
        return self == other


class RingScale(Struct, frozen=True, kw_only=True):
    """A scale of ring sizes.

    Parameters
    ----------
    key : str
        Name in the table.
    name : str
        Name for people, such as ``"US/CA"``.
    written_as : tuple of str
        Words by which people name it before the size; empty for one that is told and never read.
    rule_word : str
        Tells it from another rule that is written with the same words; empty if there is none.
    contradicts : str
        Key of the scale that this one is another rule of; empty if it is the first.
    measure : Measure
        Of what the rule speaks.
    at_zero_mm, per_size_mm : Fraction
        The rule: measure = at_zero + per_size · number; the letter A is number 1. [mm]
    rule : str
        The same in words and in the units of the source.
    labels : Labels
        Numbers or letters.
    first, last, step : Fraction
        Numbers that the sources go to, and how finely sizes are told apart.
    """

    key: str
    name: str
    written_as: tuple[str, ...]
    rule_word: str
    contradicts: str
    measure: Measure
    at_zero_mm: Fraction
    per_size_mm: Fraction
    rule: str
    labels: Labels
    first: Fraction
    last: Fraction
    step: Fraction
    standing: Standing
    source_key: str
    place: str

    def __post_init__(self) -> None:
        """Refuse a scale that does not rise or whose ends are no sizes of it."""
        if not (self.per_size_mm > 0 and self.step > 0 and self.first < self.last):
            msg = f"{_TABLE}, {self.key}: a scale must rise from first to last; correct the row"
            raise DataTableError(msg)
        if (self.last - self.first) % self.step or (self.first % self.step):
            msg = f"{_TABLE}, {self.key}: first and last must be whole steps of {self.step}; correct the row"
            raise DataTableError(msg)

    @property
    def numbers(self) -> tuple[Fraction, ...]:
        """Every size from the first to the last, rising."""
        count = int((self.last - self.first) / self.step)
        return tuple(self.first + index * self.step for index in range(count + 1))

    @property
    def diameter_per_size_mm(self) -> Fraction:
        """Change of the diameter from one whole size to the next. [mm]"""
        return self.per_size_mm if self.measure is Measure.DIAMETER else self.per_size_mm / PI

    @property
    def step_words(self) -> str:
        """Its step in words, such as ``"1/4 size"`` or ``"1/2 letter"``."""
        return f"{self.step} {'letter' if self.labels is Labels.LETTERS else 'size'}"

    @property
    def title(self) -> str:
        """Name and, where there are several rules, which."""
        return f"{self.name} {self.rule_word}".strip()

    def has(self, number: Fraction) -> bool:
        """Whether the scale has that size: within its ends and on a step."""
        return self.first <= number <= self.last and number % self.step == 0

    def girth(self, number: Fraction) -> Girth:
        """Inside by the rule, also between the sizes that the scale has."""
        return Girth(measure=self.measure, mm=self.at_zero_mm + self.per_size_mm * number)

    def number_of(self, girth: Girth) -> Fraction:
        """Number that the rule gives to an inside, seldom one of its sizes."""
        return (girth.in_measure(self.measure) - self.at_zero_mm) / self.per_size_mm

    def label(self, number: Fraction) -> str:
        """Number as the scale writes it.

        Examples
        --------
        >>> ring_scale("us").label(Fraction(29, 4)), ring_scale("uk").label(Fraction(57, 2))
        ('7 1/4', 'Z+2 1/2')
        """
        whole, rest = divmod(number, 1)
        tail = f" {rest}" if rest else ""
        if self.labels is Labels.NUMBERS:
            return f"{whole}{tail}" if whole or not rest else f"{rest}"
        beyond = whole - len(_LETTERS)
        return f"Z+{beyond}{tail}" if beyond > 0 else f"{_LETTERS[whole - 1]}{tail}"


class RingSize(Struct, frozen=True, kw_only=True):
    """A size that a scale has."""

    scale: RingScale
    number: Fraction

    def __post_init__(self) -> None:
        """Refuse a number that the scale does not have."""
        if not self.scale.has(self.number):
            low, high = self.scale.label(self.scale.first), self.scale.label(self.scale.last)
            msg = f"{self.scale.title}: has sizes {low} to {high} by {self.scale.step_words}, not {self.number}"
            raise OutOfRangeError(msg)

    @property
    def girth(self) -> Girth:
        """Inside of a ring of that size, by the rule of its scale."""
        return self.scale.girth(self.number)

    @property
    def name(self) -> str:
        """Size as it can be written and read back.

        Examples
        --------
        >>> RingSize(scale=ring_scale("uk"), number=Fraction(29, 2)).name
        'UK N 1/2 1.25-rule'
        """
        words = (*self.scale.written_as[:1], self.scale.label(self.number), self.scale.rule_word)
        return " ".join(word for word in words if word)


class NearSize(Struct, frozen=True, kw_only=True):
    """The size of a scale that is nearest to an inside, and by how much it misses it."""

    size: RingSize
    asked: Girth

    @property
    def is_exact(self) -> bool:
        """Whether it is that inside and not only near it."""
        return self.size.girth.is_exactly(self.asked)

    @property
    def residual_mm(self) -> Fraction:
        """Diameter of the size less the diameter asked: positive if the size is larger. [mm]"""
        return self.size.girth.diameter_mm - self.asked.diameter_mm

    @property
    def share_of_step(self) -> Fraction:
        """The same as a share of a step of the scale, between -1/2 and 1/2."""
        scale = self.size.scale
        return (self.size.number - scale.number_of(self.asked)) / scale.step


@cache
def ring_scales() -> tuple[RingScale, ...]:
    """Every scale and every rule that contradicts one, in the order of the table.

    References
    ----------
    Rows cite their sources. The standards themselves were not opened: [BS6820] and [JIS_S4700] from memory, [ISO8653]
    in a summary (what a stick measures) and a reproduction (the sizes).
    """
    return tuple(_scale(row) for row in load_table(_TABLE, _COLUMNS))


def ring_scale(key: str) -> RingScale:
    """Scale of that key; raises `DataTableError` if there is none.

    Examples
    --------
    >>> float(ring_scale("us").girth(Fraction(7)).diameter_mm)
    17.3228
    """
    found = next((scale for scale in ring_scales() if scale.key == key), None)
    if found is None:
        msg = f"{_TABLE} has no scale {key!r}; it has {', '.join(scale.key for scale in ring_scales())}"
        raise DataTableError(msg)
    return found


def rivals(scale: RingScale) -> tuple[RingScale, ...]:
    """Other rules that sources give for the same scale."""
    first = scale.contradicts or scale.key
    family = (other for other in ring_scales() if first in (other.key, other.contradicts))
    return tuple(other for other in family if other.key != scale.key)


def nearest_size(scale: RingScale, girth: Girth) -> NearSize | None:
    """Size of a scale that is nearest to an inside; nothing if it lies more than half a step outside the scale.

    Half-way between two sizes it is the smaller: a small bore can be opened, a large one cannot be closed.

    Examples
    --------
    >>> near = nearest_size(ring_scale("uk"), ring_scale("us").girth(Fraction(4)))
    >>> near.size.name, f"{float(near.residual_mm):+.3f}", near.is_exact
    ('UK H 1/2 1.25-rule', '+0.036', False)
    """
    steps = (scale.number_of(girth) - scale.first) / scale.step
    most = (scale.last - scale.first) / scale.step
    half = Fraction(1, 2)
    if not -half <= steps <= most + half:
        return None
    step = min(max(ceil(steps - half), 0), int(most))
    return NearSize(size=RingSize(scale=scale, number=scale.first + step * scale.step), asked=girth)


def ring_size_in(as_written: str) -> RingSize | None:
    """Size that a bore was asked for by, from its words; nothing if it was no size of a scale.

    Examples
    --------
    >>> ring_size_in("ring size UK N 1/2 1.25-rule, Ø 17.308 mm (...)").number
    Fraction(29, 2)
    """
    if not as_written.startswith(RING_WORDS):
        return None
    name = as_written.removeprefix(RING_WORDS).partition(",")[0]
    return _sizes_by_name().get(name)


@cache
def _sizes_by_name() -> Mapping[str, RingSize]:
    sizes = (RingSize(scale=scale, number=number) for scale in ring_scales() for number in scale.numbers)
    return {size.name: size for size in sizes}


def is_for_a_finger(girth: Girth) -> bool:
    """Whether an inside lies within `FINGER_DIAMETER_MM`."""
    low, high = FINGER_DIAMETER_MM
    return low <= girth.diameter_mm <= high


def _scale(row: Mapping[str, str]) -> RingScale:
    scale_mm = _UNIT_MM[row["unit"]]
    at_zero, per_size = Fraction(row["at_zero"]), Fraction(row["per_size"])
    return RingScale(
        key=row["key"],
        name=row["name"],
        written_as=tuple(word for word in row["written_as"].split(";") if word != _NONE),
        rule_word="" if row["rule_word"] == _NONE else row["rule_word"],
        contradicts="" if row["contradicts"] == _NONE else row["contradicts"],
        measure=Measure(row["measure"]),
        at_zero_mm=at_zero * scale_mm,
        per_size_mm=per_size * scale_mm,
        rule=_rule(row),
        labels=Labels(row["labels"]),
        first=Fraction(row["first"]),
        last=Fraction(row["last"]),
        step=Fraction(row["step"]),
        standing=Standing(row["standing"]),
        source_key=row["source_key"],
        place=row["place"],
    )


def _rule(row: Mapping[str, str]) -> str:
    """Rule in words, such as ``"inside diameter = 0.458 in + 0.032 in x size"``."""
    what = "number of the letter (A = 1)" if row["labels"] == Labels.LETTERS.value else "size"
    unit = row["unit"]
    first = "" if Fraction(row["at_zero"]) == 0 else f"{row['at_zero']} {unit} + "
    times = f"{what} in {unit}" if row["per_size"] == "1" else f"{row['per_size']} {unit} x {what}"
    return f"inside {row['measure']} = {first}{times}"
