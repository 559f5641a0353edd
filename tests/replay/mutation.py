"""What a mutation is: one change to a valid sheet, with the reason why it must be caught or may pass."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.plan import Sheet
from tests.replay.judge import Verdict, verdict
from tests.replay.story import Moment, Story


class Fate(Enum):
    """What must become of a mutated sheet."""

    CAUGHT = "must be caught"
    HARMLESS = "must pass"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutation:
    """One change.

    Parameters
    ----------
    kind : str
        Sort of change.
    job : str
        Whose sheet it was made from.
    act : str
        Id of the act that was changed, left out or moved.
    why : str
        Why it must be caught, or why it does no harm.
    fate : Fate
        Which of the two.
    acts : tuple of acts
        The whole changed sheet.
    judged : bool
        Whether the reason holds only where the simple replay agrees: a change of shape that must be caught counts if
        the simple replay finds something wrong, a harmless one if it finds nothing.
    """

    kind: str
    job: str
    act: str
    why: str
    fate: Fate
    acts: tuple[a.Act, ...]
    judged: bool = False

    def sheet(self, of: Sheet) -> Sheet:
        """The changed sheet."""
        return replace(of, acts=self.acts)


Maker = Callable[[Story], Iterator[Mutation]]
"""Makes every mutation of some sorts that a sheet has room for."""


def counts(mutation: Mutation, story: Story) -> bool:
    """Whether its reason holds: always if by construction, else if the simple replay bears it out."""
    if not mutation.judged:
        return True
    said = verdict(mutation.sheet(story.job.sheet), story.shop)
    return said is (Verdict.WRONG if mutation.fate is Fate.CAUGHT else Verdict.NOTHING_FOUND)


def replaced(story: Story, moment: Moment, *acts: a.Act) -> tuple[a.Act, ...]:
    """Acts with one replaced by others; by none, to leave it out."""
    return (*story.acts[: moment.index], *acts, *story.acts[moment.index + 1 :])


def swapped(story: Story, moment: Moment) -> tuple[a.Act, ...]:
    """Acts with one and the next in each other's place."""
    i = moment.index
    return (*story.acts[:i], story.acts[i + 1], story.acts[i], *story.acts[i + 2 :])


@dataclass(frozen=True, slots=True)
class Writer:
    """Writes mutations of one story."""

    story: Story

    def caught(self, kind: str, moment: Moment, why: str, *acts: a.Act, judged: bool = False) -> Mutation:
        """A mutation that must be caught: the moment's act replaced by others."""
        return self.whole(kind, moment, why, Fate.CAUGHT, replaced(self.story, moment, *acts), judged=judged)

    def harmless(self, kind: str, moment: Moment, why: str, *acts: a.Act, judged: bool = False) -> Mutation:
        """A mutation that must pass: the moment's act replaced by others."""
        return self.whole(kind, moment, why, Fate.HARMLESS, replaced(self.story, moment, *acts), judged=judged)

    def whole(
        self, kind: str, moment: Moment, why: str, fate: Fate, acts: tuple[a.Act, ...], *, judged: bool = False
    ) -> Mutation:
        """A mutation with all its acts given."""
        return Mutation(
            kind=kind, job=self.story.job.name, act=moment.act.id, why=why, fate=fate, acts=acts, judged=judged
        )
