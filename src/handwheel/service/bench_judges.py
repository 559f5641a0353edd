"""What judges a reading at the lathe: questions before it counts, advice once it does."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from handwheel.domain.acts import Measure
from handwheel.domain.exact import Fraction
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.steps import NumberedAct
from handwheel.report.walk_text import table_words


class Taken(Struct, frozen=True, kw_only=True):
    """One reading at an act: the size [mm], what was typed, with which gauge, whether it was asked back and stands."""

    value_mm: Fraction
    text: str
    gauge: str
    confirmed: bool = False


class StopRead(Struct, frozen=True, kw_only=True):
    """The readings at an act, one at least; ``answered`` are the codes of what was asked about them and is settled."""

    plan: Plan
    shop: Shop
    item: NumberedAct
    taken: tuple[Taken, ...]
    answered: tuple[str, ...] = ()

    @property
    def mean_mm(self) -> Fraction:
        """Mean of the readings. [mm]"""
        return sum((one.value_mm for one in self.taken), Fraction(0)) / len(self.taken)


class Raised(Struct, frozen=True, kw_only=True):
    """Something to ask: its code, its words, about which reading (from 0; none: about all of them).

    ``forbids`` says that no word settles it: another reading is needed.
    """

    code: str
    text: str
    reading: int | None = None
    forbids: bool = False

    @property
    def token(self) -> str:
        """What is written down once it is settled."""
        return self.code if self.reading is None else f"{self.code}:{self.reading}"


Questions = Callable[[StopRead], tuple[Raised, ...]]
"""What is asked about readings before they count; nothing if they count as they are."""
Advices = Callable[[StopRead], tuple[str, ...]]
"""What to do now that readings count, a sentence each; nothing where the sheet says all."""


class Judges(Struct, frozen=True, kw_only=True):
    """Who asks before a reading counts, and who advises after it."""

    questions: Questions
    advice: Advices


def nothing_asked(read: StopRead) -> tuple[Raised, ...]:
    """No question at all."""
    del read
    return ()


def table_advice(read: StopRead) -> tuple[str, ...]:
    """What the table on the sheet says of the mean of the readings, if the act carries one."""
    act = read.item.act
    if not isinstance(act, Measure) or act.table is None:
        return ()
    return (table_words(act.table, read.mean_mm, read.item.scene),)


BY_THE_SHEET = Judges(questions=nothing_asked, advice=table_advice)
"""Judges that know no more than the sheet."""


def judges_for(plan: Plan, shop: Shop) -> Judges:
    """Judges for a job."""
    del plan, shop
    return BY_THE_SHEET
