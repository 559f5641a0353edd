"""What judges a reading at the lathe: questions before it counts, advice once it does."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from handwheel.bench.tables import advised
from handwheel.domain.acts import Measure
from handwheel.domain.advice import AdviceBand, Do
from handwheel.domain.exact import Fraction
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.steps import NumberedAct
from handwheel.report.walk_text import more_words, table_words


class Taken(Struct, frozen=True, kw_only=True):
    """One reading at an act: size [mm], what was typed, with which gauge, where, when, how warm [°C]; if it stands."""

    value_mm: Fraction
    text: str
    gauge: str
    place: str = ""
    at: str = ""
    temperature_c: float | None = None
    confirmed: bool = False


class StopRead(Struct, frozen=True, kw_only=True):
    """The readings at an act, one at least.

    ``answered`` are the codes of what was asked about them and is settled; ``cooled_s`` is the time from the last cut
    to the last reading, if it is known. [s]
    """

    plan: Plan
    shop: Shop
    item: NumberedAct
    taken: tuple[Taken, ...]
    answered: tuple[str, ...] = ()
    cooled_s: float | None = None

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


class Advised(Struct, frozen=True, kw_only=True):
    """What to do now that readings count.

    ``words`` say it, a sentence each; ``goes_on`` whether the walk may go on by it; ``anew`` whether what was read
    counts no more once it is done; ``row`` is the row of the stop's table, where one says it.
    """

    words: tuple[str, ...] = ()
    goes_on: bool = True
    anew: bool = False
    row: AdviceBand | None = None


NOTHING_ADVISED = Advised()
Advices = Callable[[StopRead], Advised]
"""What to do now that readings count; nothing where the sheet says all."""
GOES_ON = frozenset({Do.SET, Do.GO_ON, Do.GOOD})
ANEW = frozenset({Do.CUT_AGAIN, Do.COOL})


class Judges(Struct, frozen=True, kw_only=True):
    """Who asks before a reading counts, and who advises after it."""

    questions: Questions
    advice: Advices


def nothing_asked(read: StopRead) -> tuple[Raised, ...]:
    """No question at all."""
    del read
    return ()


def table_advice(read: StopRead) -> Advised:
    """What the table on the sheet says of the mean of the readings, if the act carries one; and what to do instead.

    Where a row ends the job the first ways out are told, where the size is good before its last cut which acts to
    leave out.
    """
    from handwheel.service.bench_ways import leave_out_words, ways_words  # it asks what this module has for a reading

    act = read.item.act
    if not isinstance(act, Measure) or act.table is None or not act.table.bands:
        return NOTHING_ADVISED
    if len(read.taken) < act.table.readings:
        return Advised(words=(more_words(len(read.taken), act.table.readings),), goes_on=False)
    row = advised(act.table, float(read.mean_mm))
    words = table_words(act.table, read.mean_mm, read.item.scene)
    if row is None:
        return Advised(words=(*words, *ways_words(read, row)), goes_on=False)
    if row.do is Do.GOOD and not act.final:
        return Advised(words=(*words, leave_out_words(read)), goes_on=False, row=row)
    return Advised(words=(*words, *ways_words(read, row)), goes_on=row.do in GOES_ON, anew=row.do in ANEW, row=row)


BY_THE_SHEET = Judges(questions=nothing_asked, advice=table_advice)
"""Judges that know no more than the sheet."""


def judges_for(plan: Plan, shop: Shop) -> Judges:
    """Judges for a job: the questions of the bench, and the tables that the sheet carries."""
    from handwheel.service.bench_questions import asked_at_the_bench

    del plan, shop
    return Judges(questions=asked_at_the_bench, advice=table_advice)
