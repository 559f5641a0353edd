"""What is done to a surface after turning: metal left for later work, a finish with its loss, a bare change."""

from __future__ import annotations

import re
from enum import Enum

from msgspec import Struct, field
from msgspec.structs import replace

from handwheel.data.roughness import ra_words, roughness_grades_um
from handwheel.domain.exact import Fraction
from handwheel.domain.size import LaterWork, Size
from handwheel.service.intake.lengths import unit_in
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.places import quoted
from handwheel.service.intake.table import Table

FINISHING_CHANGE, ALLOWANCE, FINISH, LOSS, FINISH_RA = "finishing_change", "allowance", "finish", "loss", "finish_ra"
AS_TURNED = "as turned"
FROM_TRIAL = "from trial"
"""A loss that is the one of the shop's own trials (`handwheel.service.intake.trials`)."""
FINISHES = {word: word for word in (AS_TURNED, "polished", "lapped", "honed", "ground", "brushed")}
"""Ways to finish a surface after turning; all but the first take metal off."""
LARGEST_CHANGE_MM = 5.0
"""More than this is no finishing. [mm]"""
FINEST_RA_UM, ROUGHEST_RA_UM = 0.01, 50.0
"""Mean roughness that may be asked for; the roughest is that of grade N12. [µm]"""
LONGEST_AMOUNT = 80
"""Longest text that is still looked at as an amount of metal. [characters]"""

_AMOUNT = Pattern(
    r"(?P<metal>.*[0-9](?:\s*[a-zµ\"']+)?)\s+"
    r"(?P<place>on (?:the )?diameter|on each side|a side|per side|on each face|on (?:the )?(?:front|back) face)",
    re.IGNORECASE,
)


class Place(Enum):
    """Where metal goes, as it is said."""

    DIAMETER = "on the diameter"
    SIDE = "on each side"
    FRONT = "on the front face"
    BACK = "on the back face"
    BOTH = "on each face"


class Places(Enum):
    """Kinds of surface that later work may take metal off, by which way their size then goes."""

    HOLE = "hole"
    SHAFT = "shaft"
    WIDTH = "width"

    @property
    def sign(self) -> int:
        """Whether the size grows (+1) or shrinks."""
        return 1 if self is Places.HOLE else -1

    @property
    def known(self) -> tuple[Place, ...]:
        """Places that can be said of it."""
        return (Place.FRONT, Place.BACK, Place.BOTH) if self is Places.WIDTH else (Place.DIAMETER, Place.SIDE)


_DOUBLED = (Place.SIDE, Place.BOTH)
"""Places that there are two of."""
_BY_WORDS = {
    **{place.value: place for place in Place},
    "on diameter": Place.DIAMETER,
    "a side": Place.SIDE,
    "per side": Place.SIDE,
    "on front face": Place.FRONT,
    "on back face": Place.BACK,
}


class Amount(Struct, frozen=True, kw_only=True):
    """Metal that later work takes, least and most, in all of its places together; as written. [mm]"""

    low: Fraction
    high: Fraction
    place: Place
    written: str

    @property
    def middle(self) -> Fraction:
        """Middle of least and most. [mm]"""
        return (self.low + self.high) / 2

    @property
    def a_side(self) -> Fraction:
        """What of the middle goes off one side of a diameter. [mm]"""
        return self.middle / 2

    def off_face(self, place: Place) -> Fraction:
        """What of the middle goes off the front face or the back face. [mm]"""
        if self.place is Place.BOTH:
            return self.middle / 2
        return self.middle if place is self.place else Fraction(0)


class Finishing(Struct, frozen=True, kw_only=True):
    """All that is done to one surface after turning. [mm]"""

    change: Fraction = field(default_factory=Fraction)
    allowance: Amount | None = None
    loss: Amount | None = None
    finish: str = AS_TURNED
    ra_words: str = ""
    sign: int = 1

    def before(self, size: Size) -> Size:
        """The size with limits that a lathe has to meet so that the finished one comes out.

        What is left as a range sets the limits for the lathe: later work decides the finished size, so its narrow
        limits need not be kept twice.
        """
        if self.loss is not None:
            said = f"{self.finish}{self.ra_words}, which takes {self.loss.written}, as the maker says"
            work = LaterWork(words=said, lower=size.lower, upper=size.upper)
            size = replace(size, finishing_change=self.sign * self.loss.middle, later=(work,))
        if self.allowance is not None:
            size = self._leaving(size, self.allowance)
        if self.change:
            size = replace(size, finishing_change=self.change)
        return size

    def _leaving(self, size: Size, left: Amount) -> Size:
        reached = (size.cut_lower, size.cut_upper)
        work = LaterWork(words=f"{left.written} left for later work", lower=reached[0], upper=reached[1])
        later = (work, *size.later)
        if left.low == left.high:
            change = size.finishing_change + self.sign * left.middle
            return replace(size, finishing_change=change, later=later)
        ends = sorted((size.lower + size.upper) / 2 - self.sign * each for each in (left.low, left.high))
        return replace(size, lower=ends[0], upper=ends[1], rule="what is left", later=later)


def losing_more(size: Size, change: Fraction, words: str) -> Size:
    """A size that work on another surface changes by so much more, and why; its own limits hold after that. [mm]

    Examples
    --------
    >>> from handwheel.domain.size import SizeKind
    >>> leg = Size(
    ...     nominal=Fraction(1),
    ...     lower=Fraction("0.8"),
    ...     upper=Fraction("1.2"),
    ...     kind=SizeKind.LENGTH,
    ...     as_written="1",
    ...     rule="example",
    ...     finishing_change=Fraction("-0.05"),
    ... )
    >>> cut = losing_more(leg, Fraction("-0.1"), "grinding the face shortens it")
    >>> float(cut.cut_target), cut.later[0].words
    (1.15, 'grinding the face shortens it, and finishing changes it by -0.05 mm')
    """
    is_bare = size.finishing_change != 0 and not size.later
    said = f"{words}, and finishing changes it by {float(size.finishing_change):+g} mm" if is_bare else words
    work = LaterWork(words=said, lower=size.lower, upper=size.upper)
    return replace(size, finishing_change=size.finishing_change + change, later=(*size.later, work))


def read_finishing(table: Table, *, places: Places | None, can_be_finished: bool) -> Finishing:
    """Read ``finishing_change``, or ``allowance`` and ``finish`` with its ``loss``, where the surface takes them."""
    if not can_be_finished:
        return Finishing()
    change = _read_change(table)
    if places is None:
        return Finishing(change=change)
    finish = table.choice(FINISH, FINISHES, default=AS_TURNED)
    allowance, loss = read_amount(table, ALLOWANCE, places=places), read_amount(table, LOSS, places=places)
    if table.has(FINISHING_CHANGE) and (table.has(ALLOWANCE) or table.has(LOSS)):
        found = " and ".join(key for key in (FINISHING_CHANGE, ALLOWANCE, LOSS) if table.has(key))
        table.fault(FINISHING_CHANGE, found=found, allowed="one way to say it", do="delete finishing_change")
    _require_loss(table, finish, loss, places=places)
    return Finishing(
        change=change,
        allowance=allowance,
        loss=loss if finish != AS_TURNED else None,
        finish=finish,
        ra_words=_polished_words(table) if finish != AS_TURNED else "",
        sign=places.sign,
    )


def read_finish_ra(table: Table) -> float | None:
    """Read the mean roughness that turning has to leave: a figure or a grade; none where a later finish makes it. [µm]

    The roughness that stands beside a finish such as polishing is that of the finish.
    """
    asked = _read_ra(table)
    later = table.choice(FINISH, FINISHES, default=AS_TURNED) != AS_TURNED
    return None if later else asked


def read_amount(table: Table, name: str, *, places: Places) -> Amount | None:
    """Read an amount of metal and where it goes; what can mean a radius or a diameter is asked back."""
    if not table.has(name):
        return None
    written = table.raw(name)
    allowed = quoted(f"0.3 {place.value}" for place in places.known)
    text = written.strip() if isinstance(written, str) and len(written) <= LONGEST_AMOUNT else ""
    parts = _AMOUNT.fullmatch(text)
    if name == LOSS and text.startswith(FROM_TRIAL):
        do = (
            "make one, measure before and after, and note what it takes off the surface: handwheel beliefs --shop SHOP "
            '--add "polish loss: polished in METAL = 0.008 +- 0.002"'
        )
        table.fault(name, allowed="that once the shop has made a trial of this finish in this metal", do=do)
        return None
    if parts is None:
        do = f'where does it go? Write {name} = "0.3 {places.known[0].value}" or another of them'
        table.fault(name, allowed=f"{allowed}; or a range such as 0.2 to 0.4", do=do)
        return None
    place = _BY_WORDS[" ".join(parts["place"].lower().split())]
    if place not in places.known:
        table.fault(name, allowed=allowed, do=f"say where on this {_NOUNS[places]} it goes")
        return None
    return _amount(table, name, parts, place=place)


_NOUNS = {Places.HOLE: "hole", Places.SHAFT: "outside", Places.WIDTH: "width"}


def _amount(table: Table, name: str, parts: re.Match[str], *, place: Place) -> Amount | None:
    ends = table.read_ends(name, parts["metal"])
    if ends is None:
        return None
    low, high = ends
    times = 2 if place in _DOUBLED else 1
    if not 0 < low <= high or high * times > LARGEST_CHANGE_MM:
        allowed = f"an amount above 0 up to {LARGEST_CHANGE_MM:g} mm in all, the smaller first"
        table.fault(name, allowed=allowed, do="check the figure and its unit; metal taken off has no sign")
        return None
    return Amount(low=low * times, high=high * times, place=place, written=f"{parts['metal']} {place.value}")


def _require_loss(table: Table, finish: str, loss: Amount | None, *, places: Places) -> None:
    """A finish takes metal off, and how much only the maker knows: no figure is assumed."""
    if finish == AS_TURNED and table.has(LOSS):
        words = quoted(word for word in FINISHES if word != AS_TURNED)
        table.fault(FINISH, allowed=f"{words} beside {LOSS}", do=f'what takes it off? Write {FINISH} = "polished"')
    if finish != AS_TURNED and not table.has(LOSS):
        do = (
            f'how much does it take off, by your own trial? Write {LOSS} = "0.01 {places.known[0].value}"; '
            "no figure is assumed"
        )
        table.fault(LOSS, allowed=f"an amount beside {FINISH} = {quoted((finish,))}", do=do)
    if loss is not None and loss.low != loss.high:
        table.fault(LOSS, allowed="one figure", do="write the middle, and give the size limits that bear the rest")


def _read_change(table: Table) -> Fraction:
    """Read by how much finishing after turning changes the size: a polished bore grows, an outside shrinks. [mm]"""
    return table.exact_mm(FINISHING_CHANGE, low=-LARGEST_CHANGE_MM, high=LARGEST_CHANGE_MM, default=Fraction(0))


def _read_ra(table: Table) -> float | None:
    """Read a mean roughness, in figures or as a grade. [µm]"""
    if not table.has(FINISH_RA):
        return None
    grades = roughness_grades_um()
    written = table.raw(FINISH_RA)
    if isinstance(written, str) and written in grades:
        return float(grades[written])
    if isinstance(written, str) and not unit_in(written):
        allowed = f"a mean roughness in µm, or a grade from {next(iter(grades))} to {list(grades)[-1]}"
        do = f'write {FINISH_RA} = 1.6 without quotes, "1.6 µm", or "N7"'
        table.fault(FINISH_RA, allowed=allowed, do=do)
        return None
    return table.number(FINISH_RA, low=FINEST_RA_UM, high=ROUGHEST_RA_UM, unit="µm")


def _polished_words(table: Table) -> str:
    asked = _read_ra(table)
    return "" if asked is None else f" to {ra_words(asked)}"
