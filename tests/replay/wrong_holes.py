"""Mutations of what makes a hole beside drill and boring bar: the reamer and the tap."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.domain import acts as a
from tests.replay.mutation import Mutation, Writer
from tests.replay.story import Moment, Story, changed

LEAD_OFF_MM = 0.5
LONGER = 1.2


def make(story: Story) -> Iterator[Mutation]:
    """All of them."""
    writer = Writer(story)
    for moment in story.moments:
        act = moment.act
        if isinstance(act, a.FitReamer):
            unknown = changed(act, reamer="reamer-none")
            yield writer.caught("reamer of no name", moment, "the shop has none such", unknown)
            yield writer.caught("no reamer fitted", moment, "nothing stands in the tailstock to ream with")
        elif isinstance(act, a.ReamHole):
            yield from _ream(writer, moment, act)
        elif isinstance(act, a.HandStep) and act.kind is a.HandKind.TAP:
            yield from _tap(writer, moment, act)


def _ream(writer: Writer, moment: Moment, act: a.ReamHole) -> Iterator[Mutation]:
    lead = changed(act, lead_mm=act.lead_mm + LEAD_OFF_MM)
    yield writer.caught("reamer's lead printed wrong", moment, "the shop's reamer has another", lead)
    bare = changed(act, cautions=())
    yield writer.caught("reamed without a caution", moment, "nothing says that it never turns backwards", bare)
    yield writer.caught("hole not reamed", moment, "the bore is smaller than the size that is measured")
    longer = changed(act, seconds=LONGER * act.seconds)
    yield writer.harmless("reaming takes longer", moment, "the time is an estimate", longer)


def _tap(writer: Writer, moment: Moment, act: a.HandStep) -> Iterator[Mutation]:
    unknown = changed(act, tool="tap-none")
    yield writer.caught("tap of no name", moment, "the shop has none such", unknown)
    yield writer.caught("thread not cut", moment, "the drawing has a thread and nothing cuts it")
    start = a.StartSpindle(id=f"{act.id}x", step=act.step)
    stop = a.StopSpindle(id=f"{act.id}y", step=act.step)
    yield writer.caught("tapped under power", moment, "the spindle turns at a hand's work", start, act, stop)
