"""What a person does with what was learned at a lathe: look at it, add to it, withdraw, restore, note an event."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import msgspec
from msgspec import Struct

from handwheel.bench.learning.believing import beliefs_version, grouped, learned_beliefs, strangers
from handwheel.bench.learning.days import day_number
from handwheel.bench.learning.overlay import Verdict, verdicts
from handwheel.bench.learning.priors import is_in_shop, require_about, things
from handwheel.bench.learning.told import amount_words
from handwheel.data.heard import belief_about, has_heard
from handwheel.domain.beliefs import EVENT_SUBJECT, Belief, Beliefs, Learned, Noted, Quantity, require_date
from handwheel.domain.chatter import Learner
from handwheel.domain.errors import HandwheelError, InputError, OutOfRangeError
from handwheel.domain.part import Units
from handwheel.domain.shop import Shop
from handwheel.service.belief_edits import (
    with_event,
    with_evidence,
    with_noted,
    with_restored,
    with_withdrawn,
    without_event,
)
from handwheel.service.believing import beliefs_path, read_learned, today
from handwheel.service.codec import written_exactly
from handwheel.service.files import Written, write_whole
from handwheel.service.intake.beliefs_file import read_beliefs
from handwheel.service.intake.shop_file import read_shop_file
from handwheel.service.intake.text_file import read_text_file
from handwheel.service.wording import wording_without_shop

BELIEFS_SCHEMA = 1
USED_FOR = {
    Quantity.SPRING: "at the bench: how much deeper to set a cut that tool and work spring away from",
    Quantity.TOUCH_ERROR: "at the bench: how far off the first zero of a tool may be",
    Quantity.EDGE_WEAR: "at the bench: by how much the next cut leaves more than this one",
    Quantity.DRILL_OVERSIZE: "the planner: drills stay so much further below the bore",
    Quantity.LEAD_ERROR: "the planner: how far a mark moves the slide; at the bench: the rest of a cut",
    Quantity.SLACK: "the planner: how far to go back before coming in again",
    Quantity.TAPER: "at the bench: where along the work to measure, and what to expect there",
    Quantity.ANGLE_ERROR: "at the bench: what a mark of the swung top slide is worth",
    Quantity.GAUGE_BIAS: "the planner: how far a reading is trusted; at the bench: what to take off it",
    Quantity.GAUGE_SPREAD: "the planner: how far a reading is trusted; at the bench: how often to read",
    Quantity.RUNOUT: "the planner: how true the second side runs",
    Quantity.TIME: "the planner: times of the steps, and by them the order",
    Quantity.SPINDLE_SPEED: "the planner: speeds that the lathe has",
    Quantity.POLISH_LOSS: 'part files: the loss "from trial" of a finish',
}
"""What each belief is for."""


class Edit(Struct, frozen=True, kw_only=True):
    """What is to be done to a beliefs file; empty and nought do nothing."""

    add: tuple[str, ...] = ()
    event: tuple[str, ...] = ()
    withdraw: tuple[int, ...] = ()
    restore: tuple[int, ...] = ()
    drop_event: tuple[int, ...] = ()
    date: str = ""
    what: str = ""
    note: str = ""

    @property
    def is_any(self) -> bool:
        """Whether there is anything to do."""
        return bool(self.add or self.event or self.withdraw or self.restore or self.drop_event)


def edit_beliefs(shop_path: Path, edit: Edit, *, given: Path | None = None) -> Written:
    """Edit what was learned at a shop; the other lines stay byte for byte, and the earlier file is kept beside it.

    Parameters
    ----------
    shop_path : Path
        The shop file.
    edit : Edit
        What is to be done. Numbers are those that `beliefs_text` shows, before any of it is done.
    given : Path, optional
        The beliefs file, if it is not the one beside the shop file; it is begun if it is not there.

    Raises
    ------
    InputError
        If an entry or the file will not do, or names what the shop does not have; nothing is changed then.
    NotWrittenError
        If it is not on the disk.
    """
    shop, path = read_shop_file(shop_path), beliefs_path(shop_path, given)
    text = read_text_file(path) if path.exists() else ""
    new = _edited(text, edit, name=path.name)
    _require_known(shop, read_beliefs(text, name=path.name), read_beliefs(new, name=path.name), name=path.name)
    return write_whole(path, new)


def note_evidence(shop_path: Path, noted: Iterable[Noted], *, given: Path | None = None) -> Written:
    """Add what a job or a check-up found to what was learned at a shop.

    Parameters
    ----------
    shop_path : Path
        The shop file.
    noted : iterable of Noted
        Pieces of evidence, in the units of their quantities; one a job for each thing, for jobs count as such.
    given : Path, optional
        The beliefs file, if it is not the one beside the shop file; it is begun if it is not there.

    Raises
    ------
    InputError
        If the file or a piece will not do, or names what the shop does not have; nothing is changed then.
    NotWrittenError
        If it is not on the disk.
    """
    shop, path = read_shop_file(shop_path), beliefs_path(shop_path, given)
    text = read_text_file(path) if path.exists() else ""
    new = text
    for each in noted:
        new = with_noted(new, each, name=path.name)
    _require_known(shop, read_beliefs(text, name=path.name), read_beliefs(new, name=path.name), name=path.name)
    return write_whole(path, new)


def _edited(text: str, edit: Edit, *, name: str) -> str:
    """Text of a beliefs file with everything done that is to be done."""
    date = edit.date or today()
    try:
        require_date("--date", date)
    except OutOfRangeError as error:
        raise InputError((str(error),)) from None
    for number in edit.withdraw:
        text = with_withdrawn(text, number, name=name)
    for number in edit.restore:
        text = with_restored(text, number, name=name)
    for number in sorted(set(edit.drop_event), reverse=True):  # from behind, so that the numbers before it hold
        text = without_event(text, number, name=name)
    for said in edit.add:
        text = with_evidence(text, said, date=date, what=edit.what or "by hand", note=edit.note, name=name)
    for said in edit.event:
        text = with_event(text, said, date=date, note=edit.note, name=name)
    return text


def _require_known(shop: Shop, before: Learned, after: Learned, *, name: str) -> None:
    """Refuse what was added about things that the shop does not have, or of days that have not come yet."""
    added = [noted for noted in after.noted if noted not in before.noted]
    happened = [event for event in after.events if event not in before.events]
    try:
        for noted in added:
            if not noted.evidence.withdrawn:
                require_about(shop, noted.quantity, noted.about)
        Beliefs(shop=shop, learned=after, today=today())
    except HandwheelError as error:
        raise InputError((f"{name}: {error}",)) from None
    for event in happened:
        subject = EVENT_SUBJECT[event.kind]
        if not is_in_shop(shop, subject, event.about):
            known = ", ".join(f"{thing!r}" for thing in things(shop, subject))
            raise InputError((f"{name}: {event.kind.value}: {event.about!r} is no {subject.value}; allowed: {known}",))


def beliefs_text(
    shop_path: Path, *, given: Path | None = None, day: str | None = None, show: str | None, words: str | None
) -> str:
    """Everything that was learned at a shop, belief by belief, with what the planner makes of it.

    Parameters
    ----------
    shop_path : Path
        The shop file.
    given : Path, optional
        The beliefs file, if it is not the one beside the shop file.
    day : str, optional
        Day for which is asked; today by the clock.
    show, words : str or None
        Unit of lengths and whose words, as the shop file says if not given.

    Raises
    ------
    InputError
        If a file cannot be understood.
    """
    beliefs = read_learned(read_shop_file(shop_path), beliefs_path(shop_path, given), day=day)
    shop = beliefs.shop
    worded = wording_without_shop(shop, show=show or shop.show.value, words=words or shop.words.value)
    lines = [worded.of(line) for line in _lines(beliefs)]
    return "".join(f"{line}\n" for line in lines)


def _lines(beliefs: Beliefs) -> list[str]:
    learned = beliefs.learned
    if not (learned.noted or learned.events):
        nothing = "Nothing was learned at this lathe yet: the shop file and common practice have the say."
        return [nothing, *_chatter_lines(beliefs.shop), *_HOW]
    said = {(verdict.quantity, verdict.about): verdict.words for verdict in verdicts(beliefs)}
    lines = [f"Beliefs {beliefs_version(learned)}, as of {beliefs.today}", ""]
    for belief in learned_beliefs(beliefs):
        lines += [*_belief_lines(beliefs, belief, said.get((belief.quantity, belief.about), "")), ""]
    if learned.events:
        lines.append("What fades earlier evidence:")
        for number, event in enumerate(learned.events, start=1):
            note = f" ({event.note})" if event.note else ""
            lines.append(f"  event no. {number}: {event.date}, {event.kind.value}, {event.about}{note}")
        lines.append("")
    lines += _chatter_lines(beliefs.shop)
    gone = strangers(beliefs)
    if gone:
        lines += [f"Not in the shop (any more), so it waits: {', '.join(gone)}.", ""]
    return [*lines, *_HOW]


UNLIKE = "; the evidence is so far from that that it alone rules: is it right?"
"""What is said of a prior that was set aside."""
_HOW = (
    "Add a piece:  --add 'spring share: TOOL in METAL = 0.08 +- 0.01' --from 'plan ...'",
    "Take it back: --withdraw N, --restore N;  --event 'edge changed: TOOL', --drop-event N",
)


def _chatter_lines(shop: Shop) -> list[str]:
    """What was heard of chatter: it stands in the shop file, and is told here so that nothing learned is missed."""
    lines = []
    for learner in Learner:
        if has_heard(shop, learner):
            heard = belief_about(shop.chatter, shop.tools, machine_n_um=shop.lathe.tool_stiffness_n_um, learner=learner)
            low, high = heard.range_n_um
            lines += [
                f"limit of chatter, {learner.value}",
                f"  {heard.median_n_um:.2f} times the reckoned one, {low:.2f} to {high:.2f}",
                "  for the planner: how wide a cut may be ([[chatter]] in the shop file)",
                "",
            ]
    return lines


def _belief_lines(beliefs: Beliefs, belief: Belief, verdict: str) -> list[str]:
    units = beliefs.shop.units
    amount, off = (amount_words(figure, belief.unit, units) for figure in (belief.value, belief.spread))
    known = belief.counting or belief.related
    lines = [
        f"{belief.quantity.value} of {belief.about.words}",
        f"  {amount}, give or take {off}" if known or belief.prior.is_known else "  not known",
        f"  {_prior_words(belief, units)}" + (UNLIKE if belief.is_unlike else ""),
        f"  {_counted(beliefs, belief)}",
        f"  for {USED_FOR[belief.quantity]}" + (f" ({verdict})" if verdict else ""),
    ]
    for number, noted in _numbered(beliefs, belief):
        piece = noted.evidence
        figure, spread = (amount_words(one, belief.unit, units) for one in (piece.value, piece.spread))
        mark = ", withdrawn" if piece.withdrawn else ""
        note = f" ({piece.note})" if piece.note else ""
        lines.append(f"  no. {number}: {piece.date}, {piece.what}: {figure}, give or take {spread}{mark}{note}")
    return lines


def _prior_words(belief: Belief, units: Units) -> str:
    prior = belief.prior
    if not prior.is_known:
        return "beforehand: nobody knows it; only trials say it"
    amount, off = (amount_words(figure, belief.unit, units) for figure in (prior.value, prior.spread))
    return f"beforehand: {amount}, give or take {off} ({prior.standing})"


def _counted(beliefs: Beliefs, belief: Belief) -> str:
    """How much evidence counts, and how old the newest of it is."""
    own = len(belief.counting)
    related = f", and {belief.related} of like things" if belief.related else ""
    if not belief.newest:
        return "no evidence counts"
    days = day_number(beliefs.today) - day_number(belief.newest)
    age = "of today" if days == 0 else f"{days} day{'s' if days > 1 else ''} old"
    return f"{own} piece{'' if own == 1 else 's'} of evidence{related}; the newest is {age}"


def _numbered(beliefs: Beliefs, belief: Belief) -> Iterator[tuple[int, Noted]]:
    """Evidence of a belief with its number in the file."""
    for number, noted in enumerate(beliefs.learned.noted, start=1):
        if noted.quantity is belief.quantity and grouped(noted.about) == grouped(belief.about):
            yield number, noted


def beliefs_json(shop_path: Path, *, given: Path | None = None, day: str | None = None) -> str:
    """What `beliefs_text` says as JSON: amounts in the unit that stands with them, shares as they are.

    Raises
    ------
    InputError
        If a file cannot be understood.
    """
    beliefs = read_learned(read_shop_file(shop_path), beliefs_path(shop_path, given), day=day)
    said = {(verdict.quantity, verdict.about): verdict for verdict in verdicts(beliefs)}
    whole = {
        "schema": BELIEFS_SCHEMA,
        "shop": beliefs.shop.name,
        "version": beliefs_version(beliefs.learned),
        "date": beliefs.today,
        "beliefs": [
            _belief_json(beliefs, belief, said.get((belief.quantity, belief.about)))
            for belief in learned_beliefs(beliefs)
        ],
        "events": [
            {"number": number, "date": event.date, "kind": event.kind, "about": event.about, "note": event.note}
            for number, event in enumerate(beliefs.learned.events, start=1)
        ],
        "not_in_shop": strangers(beliefs),
    }
    return msgspec.json.format(msgspec.json.encode(whole, enc_hook=written_exactly), indent=2).decode() + "\n"


def _belief_json(beliefs: Beliefs, belief: Belief, verdict: Verdict | None) -> dict[str, object]:
    prior = belief.prior
    known = belief.prior.is_known or bool(belief.newest)
    return {
        "quantity": belief.quantity,
        "about": belief.about,
        "value": belief.value if known else None,
        "spread": belief.spread if known else None,
        "unit": belief.unit,
        "prior": {"value": prior.value, "spread": prior.spread, "standing": prior.standing} if prior.is_known else None,
        "evidence": [
            {"number": number, **msgspec.structs.asdict(noted.evidence), "metal": noted.about.metal}
            for number, noted in _numbered(beliefs, belief)
        ],
        "counting": len(belief.counting),
        "of_like_things": belief.related,
        "newest": belief.newest,
        "used_for": USED_FOR[belief.quantity],
        "planner": verdict.words if verdict else "",
        "change": verdict.change if verdict else None,
    }
