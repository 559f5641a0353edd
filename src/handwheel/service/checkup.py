"""The check-up of a lathe: trials listed for a shop, one explained, readings judged, what was found written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct

from handwheel.bench.checkup.entry import Entry
from handwheel.bench.checkup.measured import Measured
from handwheel.bench.checkup.trial import Change, KeyChange, Outcome, RowHeard, SpeedCounted, Trial
from handwheel.bench.checkup.trials import TRIALS, judged, trial_named
from handwheel.domain.chatter import ChatterHeard
from handwheel.domain.errors import InputError
from handwheel.domain.shop import Shop
from handwheel.service.checkup_entry import read_entry
from handwheel.service.files import Written, write_whole
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.intake.text_file import read_text_file
from handwheel.service.intake.toml_text import parse_toml
from handwheel.service.rewriting import rewritten
from handwheel.service.templates import confirmed, left_to_check

BELIEVED = {
    "slack": "slide",
    "lead error": "slide",
    "taper": "slide",
    "angle error": "slide",
    "runout": "holding",
    "spindle speed": "speed",
    "spring share": "tool",
    "touch error": "tool",
}
"""Quantities that a beliefs file can hold, each with its key for the thing that it is of."""
FIGURES = 6
"""Digits that evidence is written with: more than any trial warrants."""


class Listed(Struct, frozen=True, kw_only=True):
    """One trial in the list for a shop: what it gives, why it matters there, what of it nobody has checked yet.

    ``unchecked`` are lines of the shop file that still carry the mark of the template; ``has_key`` tells whether the
    shop file has a key for it at all.
    """

    trial: Trial
    matters: str
    unchecked: tuple[str, ...]
    has_key: bool


class Judged(Struct, frozen=True, kw_only=True):
    """Readings of a trial, as they were understood, with what they say."""

    trial: Trial
    shop: Shop
    entry: Entry
    outcome: Outcome


def listed(path: Path) -> tuple[Shop, tuple[Listed, ...]]:
    """Every trial, with what it means for the shop of a file.

    Raises
    ------
    InputError
        If the file will not do.
    """
    text = read_text_file(path)
    shop = read_shop(text, name=path.name)
    left = left_to_check(text)
    return shop, tuple(_listed(trial, shop, left) for trial in TRIALS.values())


def _listed(trial: Trial, shop: Shop, left: tuple[str, ...]) -> Listed:
    paths = trial.settles(shop)
    unchecked = tuple(line for line in left if line.partition(" = ")[0] in paths)
    return Listed(trial=trial, matters=trial.matters(shop), unchecked=unchecked, has_key=bool(paths))


def trial_for(key: str, path: Path) -> tuple[Trial, Shop]:
    """Trial of that key, and the shop of a file; raises `InputError`."""
    trial = trial_named(key)
    return trial, read_shop(read_text_file(path), name=path.name)


def judge(key: str, path: Path, texts: Iterable[str]) -> Judged:
    """Judge what was typed for a trial, against the shop of a file; raises `InputError` with all that is wrong."""
    trial, shop = trial_for(key, path)
    entry = read_entry(texts, fields=trial.fields(shop), where=trial.key, units=shop.units)
    return Judged(trial=trial, shop=shop, entry=entry, outcome=judged(trial, shop, entry))


def write(found: Judged, path: Path) -> Written | None:
    """Put the changes that a trial proposes into the shop file; comments stay, the earlier file is kept beside it.

    Returns
    -------
    Written or None
        ``None`` if there is nothing to change.

    Raises
    ------
    InputError
        If a change cannot be made there, or the file would no longer read; nothing is changed then.
    NotWrittenError
        If it is not on the disk.
    """
    if not found.outcome.changes:
        return None
    return write_whole(path, changed(read_text_file(path), found.outcome.changes, name=path.name))


def believe(found: Judged, path: Path, *, date: str, given: Path | None = None) -> Written | None:
    """Add what a trial measured to what was learned at the shop of a file, where beliefs know such a quantity.

    Parameters
    ----------
    found : Judged
        Readings with what they say.
    path : Path
        The shop file.
    date : str
        Day of the trial, as 2026-11-30.
    given : Path, optional
        The beliefs file, if it is not the one beside the shop file.

    Returns
    -------
    Written or None
        ``None`` if there is nothing to add.

    Raises
    ------
    InputError
        If the beliefs file will not do; nothing is changed then.
    NotWrittenError
        If it is not on the disk.
    """
    from handwheel.service.beliefs import Edit, edit_beliefs

    known = tuple(one for one in found.outcome.measured if one.quantity in BELIEVED)
    if not known:
        return None
    notes = "; ".join(dict.fromkeys(one.evidence for one in known))
    edit = Edit(add=tuple(map(_said, known)), date=date, what=f"check-up: {found.trial.key}", note=notes)
    return edit_beliefs(path, edit, given=given)


def _said(one: Measured) -> str:
    """A piece of evidence as `handwheel beliefs --add` takes it."""
    about = f"{one.thing} in {one.metal}" if one.metal else one.thing
    return f"{one.quantity}: {about} = {one.value:.{FIGURES}g} +- {one.spread:.{FIGURES}g}"


def changed(text: str, changes: Iterable[Change], *, name: str) -> str:
    """Text of a shop file with the changes of a trial made in it; it has passed the reader."""
    values = parse_toml(text, name=name)
    keys: dict[str, object] = {}
    rows: list[ChatterHeard] = []
    for change in changes:
        match change:
            case KeyChange():
                keys[change.path] = change.value
            case SpeedCounted():
                keys.update(_speed_keys(values, change, name=name))
            case RowHeard():
                rows.append(change.row)
    if keys:
        text = confirmed(rewritten(text, keys, read=read_shop, name=name), keys, name=name)
    if rows:
        text = text.rstrip("\n") + "\n" + "".join(f"\n{_row_text(row)}" for row in rows)
        read_shop(text, name=name)
    return text


def _speed_keys(values: Mapping[str, Any], change: SpeedCounted, *, name: str) -> dict[str, object]:
    """Keys that hold a measured speed, where the shop file describes the position."""
    lathe = values.get("lathe", {})
    for place, row in enumerate(lathe.get("speed", ()), start=1):
        if row.get("position") == change.position:
            path = f"lathe.speed[no. {place}]"
            return {f"{path}.rpm": change.rpm, f"{path}.measured": True}
    for place, row in enumerate(lathe.get("belts", {}).get("step", ()), start=1):
        if row.get("position") == change.position:
            return {f"lathe.belts.step[no. {place}].measured_rpm": change.rpm}
    msg = f"{name}: found no speed at {change.position!r}; a drive without steps is measured by its tachometer"
    raise InputError((msg,))


def _row_text(row: ChatterHeard) -> str:
    """One ``[[chatter]]`` as a shop file has it; what nobody noted is left out."""
    usual = ChatterHeard(tool=row.tool, metal=row.metal, depth_mm=row.depth_mm, chattered=row.chattered)
    lines = [
        "[[chatter]]",
        f'tool = "{row.tool}"',
        f'metal = "{row.metal}"',
        f'depth = "{row.depth_mm:g} mm"',
        f"chattered = {'true' if row.chattered else 'false'}",
    ]
    if row.feed_mm_rev != usual.feed_mm_rev:
        lines.append(f'feed = "{row.feed_mm_rev:g} mm"')
    if row.stick_out_mm:
        lines.append(f'stick_out = "{row.stick_out_mm:g} mm"')
    if row.dia_mm:
        lines.append(f'diameter = "{row.dia_mm:g} mm"')
    return "\n".join(lines) + "\n"


def change_lines(change: Change) -> tuple[str, ...]:
    """Lines of a change as they would stand in the shop file, or as ``key = value``."""
    match change:
        case KeyChange():
            value = f'"{change.value}"' if isinstance(change.value, str) else f"{change.value:g}"
            return (f"{change.path} = {value}",)
        case SpeedCounted():
            return (f"{change.rpm:g} rev/min, measured, at {change.position}",)
        case RowHeard():
            return tuple(_row_text(change.row).splitlines())


def evidence_lines(measured: Iterable[Measured], *, trial: str, date: str) -> tuple[str, ...]:
    """Rows of a beliefs file for what was measured, of the quantities that it knows."""
    return tuple(line for one in measured if one.quantity in BELIEVED for line in _evidence(one, trial, date))


def _evidence(one: Measured, trial: str, date: str) -> Iterator[str]:
    yield "[[evidence]]"
    yield f'quantity = "{one.quantity}"'
    yield f'{BELIEVED[one.quantity]} = "{one.thing}"'
    if one.metal:
        yield f'metal = "{one.metal}"'
    yield f"value = {one.value:.{FIGURES}g}"
    yield f"spread = {one.spread:.{FIGURES}g}"
    yield f"date = {date}"
    yield f'from = "check-up: {trial}"'
    yield f'note = "{one.evidence}"'
