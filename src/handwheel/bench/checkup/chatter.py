"""Onset of chatter: which depths stayed quiet and which sang, as rows of ``[[chatter]]``."""

from __future__ import annotations

from handwheel.bench.checkup import shared
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Instruction, Outcome, RowHeard, Trial, asks
from handwheel.data.heard import belief_about
from handwheel.domain.chatter import ChatterHeard, learner_of
from handwheel.domain.errors import DataTableError, InputError, OutOfRangeError
from handwheel.domain.shop import HEARD_WITH, Shop
from handwheel.domain.tools import ToolKind
from handwheel.physics.recalibration import CERTAINTY, StiffnessBelief

USUAL_FEED_MM_REV = 0.1
"""What `ChatterHeard` takes where nobody noted the feed. [mm/rev]"""
_ENDS = 3.29
"""Width of a normal interval that holds `CERTAINTY`, in standard deviations: a normal table, from memory."""


def _matters(shop: Shop) -> str:
    heard = len(shop.chatter)
    have = f"{heard} cut{'s' if heard != 1 else ''} that somebody heard" if heard else "no cut that anybody heard"
    return f"The shop file has {have}. Without them the limit of chatter is a guess within a factor of two."


def _settles(_: Shop) -> tuple[str, ...]:
    return ("chatter",)


def _instructions(_: Shop) -> tuple[Instruction, ...]:
    return (
        shared.ready("A sharp tool and a bar as for your next job. Note stick-out and diameter of the work."),
        shared.running(
            "Take a cut at a depth that the lathe surely bears. Go deeper cut by cut, by a fifth each time."
        ),
        shared.act(
            "As soon as it sings stop the feed and draw the tool out; do not go on listening. Never try for it with a "
            "long thin bar, a blade, or work that is not held firmly."
        ),
        shared.stopped("Look at the surface: ripples are chatter even if you heard none."),
        shared.act("Enter the deepest that stayed quiet and the depth that sang; one of them will do."),
    )


def _fields(shop: Shop) -> tuple[Field, ...]:
    return (
        shared.tool_field(shop, *HEARD_WITH),
        Field(key="metal", says="what was cut, by its key", kind=Kind.METAL),
        Field(key="quiet", says="deepest cut that stayed quiet, on the radius", low=0.01, high=20.0, needed=False),
        Field(key="sang", says="depth of the cut that chattered, on the radius", low=0.01, high=20.0, needed=False),
        Field(
            key="feed",
            says="feed of the cuts, for a turn",
            low=0.005,
            high=2.0,
            needed=False,
            usual=USUAL_FEED_MM_REV,
        ),
        Field(key="stick_out", says="how far work (or boring bar, or blade) stood out", high=500.0, needed=False),
        Field(key="diameter", says="diameter of the work", high=500.0, needed=False),
    )


def _judge(shop: Shop, entry: Entry) -> Outcome:
    if not entry.has("quiet") and not entry.has("sang"):
        msg = "chatter: enter quiet, or sang, or both"
        raise InputError((msg,))
    if entry.has("quiet") and entry.has("sang") and entry.one("quiet") >= entry.one("sang"):
        msg = "chatter: quiet is as deep as sang or deeper; exchange them, or hear again with the same sharp tool"
        raise InputError((msg,))
    rows = _rows(entry)
    tool = shop.tool(entry.word("tool"))
    learner, machine = learner_of(tool), shop.lathe.tool_stiffness_n_um
    before = belief_about(shop.chatter, shop.tools, machine_n_um=machine, learner=learner)
    try:
        after = belief_about((*shop.chatter, *rows), shop.tools, machine_n_um=machine, learner=learner)
    except OutOfRangeError:
        return asks(
            "A cut of the shop file that was quiet was as heavy as one that sang, or the other way round. Was the tool "
            "sharp, the work held alike? Hear again, or take the old row out of the shop file."
        )
    except DataTableError as unknown:
        msg = f"chatter: metal: nobody knows how stiff {entry.word('metal')} is ({unknown}); hear it in another metal"
        raise InputError((msg,)) from unknown
    return _found(tool.kind, rows, before, after, entry)


def _rows(entry: Entry) -> tuple[ChatterHeard, ...]:
    return tuple(
        ChatterHeard(
            tool=entry.word("tool"),
            metal=entry.word("metal"),
            depth_mm=entry.one(key),
            chattered=key == "sang",
            feed_mm_rev=entry.one("feed", USUAL_FEED_MM_REV),
            stick_out_mm=entry.one("stick_out", 0.0),
            dia_mm=entry.one("diameter", 0.0),
        )
        for key in ("quiet", "sang")
        if entry.has(key)
    )


def _found(
    kind: ToolKind, rows: tuple[ChatterHeard, ...], before: StiffnessBelief, after: StiffnessBelief, entry: Entry
) -> Outcome:
    of = learner_of_words(kind)
    low, high = after.range_n_um
    now = (
        f"The limit of chatter in {of} is now {after.median_n_um:.2f} times the reckoned one; it was "
        f"{before.median_n_um:.2f} times."
    )
    said = [
        now,
        f"{100 * CERTAINTY:.0f} % of the belief lies between {low:.2f} and {high:.2f} times.",
    ]
    if not entry.has("sang"):
        said.append("No cut sang, so nothing bounds it from above.")
    if not entry.has("quiet"):
        said.append("No cut stayed quiet, so nothing bounds it from below.")
    return Outcome(
        verdicts=tuple(said),
        cannot_tell=(
            "chatter at other speeds: below about 40 m/min a rubbing flank keeps quiet what a faster cut lets sing",
            "a worn edge, another stick-out: they sing sooner",
        ),
        measured=(
            Measured(
                quantity="chatter factor",
                value=after.median_n_um,
                spread=(high - low) / _ENDS,
                unit="1",
                evidence=f"{len(rows)} cut{'s' if len(rows) != 1 else ''} heard in {entry.word('metal')}",
                thing=entry.word("tool"),
                metal=entry.word("metal"),
            ),
        ),
        changes=tuple(RowHeard(row=row, why="it was sung" if row.chattered else "it was quiet") for row in rows),
    )


def learner_of_words(kind: ToolKind) -> str:
    """What is cut with a kind of tool, in words."""
    if kind is ToolKind.BORING:
        return "boring"
    return "parting and grooving" if kind in (ToolKind.PARTING, ToolKind.GROOVING) else "turning"


TRIAL = Trial(
    key="chatter",
    title="Onset of chatter",
    gives="how deep this lathe cuts before it sings",
    matters=_matters,
    settles=_settles,
    instructions=_instructions,
    fields=_fields,
    judge=_judge,
)
