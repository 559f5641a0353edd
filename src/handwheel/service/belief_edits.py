"""Edits of a beliefs file that touch the lines they mean and no other: add, withdraw, restore, note, take out."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from msgspec.structs import replace

from handwheel.data.priors import prior_rows
from handwheel.domain.beliefs import (
    EVENT_SUBJECT,
    HANGS_ON_METAL,
    SUBJECT_OF,
    EventKind,
    Learned,
    Noted,
    Quantity,
)
from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.service.intake.beliefs_file import EVENT, EVIDENCE, MM, WITHDRAWN, read_beliefs
from handwheel.service.intake.table import nearest_word
from handwheel.service.rewriting import NotRewrittenError

HEAD = """\
# What was learned at this lathe; `handwheel beliefs` shows what follows from it.
# Lengths are millimetres unless they say so ("0.001 in"); spread is one standard uncertainty.
"""
"""Remark at the top of a file that is begun."""
_HEADER = r"^[ \t]*\[\[[ \t]*{}[ \t]*\]\]"
_ANY_HEADER = re.compile(r"^[ \t]*\[")
_OUT = f"{WITHDRAWN} = true"
_FALSE = re.compile(rf"^(?P<key>[ \t]*{WITHDRAWN}[ \t]*=[ \t]*)false\b")
_TRUE = re.compile(rf"^(?P<key>[ \t]*{WITHDRAWN}[ \t]*=[ \t]*)true\b")
_ADDED = re.compile(r"(?P<what>[^:]+):(?P<about>.+)=(?P<value>.+?)(?:±|\+-|\+/-)(?P<spread>.+)")
_HAPPENED = re.compile(r"(?P<what>[^:]+):(?P<about>.+)")

_LINE = re.compile(r"[^\n]*\n|[^\n]+")
SHARE = "1"
"""Unit of a quantity that is a share."""
Lines = list[str]
"""Lines of a text with their ends."""
Row = list[tuple[str, float | str]]
"""Keys and values of a row that is added."""
Word = TypeVar("Word", Quantity, EventKind)


def with_evidence(text: str, said: str, *, date: str, what: str, note: str, name: str) -> str:
    """Text of a file with one more piece of evidence at its end.

    Parameters
    ----------
    text : str
        The file, as it is; empty if there is none yet.
    said : str
        The piece, as ``"spring share: boring-10 in ti_gr2 = 0.08 +- 0.01"``; ``±`` does as well. Lengths may name
        their unit, a share may be in per cent, both figures of it: ``8 % +- 1 %``.
    date, what, note : str
        Its day, the plan, step or check-up that it comes of, and a remark, which may be empty.
    name : str
        Name of the file, for messages.

    Raises
    ------
    InputError
        If it does not say a piece of evidence, or the file or the piece is faulty.
    """
    parts = _ADDED.fullmatch(said.strip())
    if parts is None:
        form = '"spring share: boring-10 in ti_gr2 = 0.08 +- 0.01"'
        raise InputError((f"--add: found {said!r}; allowed QUANTITY: THING in METAL = VALUE +- SPREAD; write {form}",))
    quantity = _word(parts["what"], Quantity, "--add")
    thing, metal = _thing_and_metal(parts["about"].strip(), quantity)
    row: Row = [("quantity", quantity.value), (SUBJECT_OF[quantity].value, thing)]
    row += [("metal", metal)] if metal else []
    value, spread = (_figure(parts[key], quantity) for key in ("value", "spread"))
    row += [("value", value), ("spread", spread), ("date", date), ("from", what)]
    row += [("note", note)] if note else []
    return _appended(text, EVIDENCE, row, name=name)


def with_noted(text: str, noted: Noted, *, name: str) -> str:
    """Text of a file with one more piece of evidence at its end, as a program has it; raises as `with_evidence`.

    Lengths are written with their unit, to a millionth of a millimetre, so that the units of the file do not matter.
    """
    piece, about, quantity = noted.evidence, noted.about, noted.quantity
    row: Row = [("quantity", quantity.value), (SUBJECT_OF[quantity].value, about.thing)]
    row += [("metal", about.metal)] if about.metal else []
    row += [("value", _written(piece.value, quantity)), ("spread", _written(piece.spread, quantity))]
    row += [("date", piece.date), ("from", piece.what)]
    row += [("note", piece.note)] if piece.note else []
    return _appended(text, EVIDENCE, row, name=name)


def _written(figure: float, quantity: Quantity) -> float | str:
    return f"{figure:.6f} mm" if prior_rows()[quantity].unit == MM else figure


def with_event(text: str, said: str, *, date: str, note: str, name: str) -> str:
    """Text of a file with one more event, said as ``"edge changed: boring-10"``; raises as `with_evidence`."""
    parts = _HAPPENED.fullmatch(said.strip())
    if parts is None:
        raise InputError((f'--event: found {said!r}; allowed KIND: THING; write "edge changed: boring-10"',))
    kind = _word(parts["what"], EventKind, "--event")
    row: Row = [("kind", kind.value), (EVENT_SUBJECT[kind].value, parts["about"].strip()), ("date", date)]
    row += [("note", note)] if note else []
    return _appended(text, EVENT, row, name=name)


def with_withdrawn(text: str, number: int, *, name: str) -> str:
    """Text of a file in which a piece of evidence no longer counts, by its place counted from 1; it stays there."""
    return _edited(text, EVIDENCE, number, _withdraw, lambda learned: _marked(learned, number, out=True), name=name)


def with_restored(text: str, number: int, *, name: str) -> str:
    """Text of a file in which a withdrawn piece of evidence counts again: what it was before it was withdrawn."""
    return _edited(text, EVIDENCE, number, _restore, lambda learned: _marked(learned, number, out=False), name=name)


def without_event(text: str, number: int, *, name: str) -> str:
    """Text of a file without one event, by its place counted from 1: what it faded is as before."""
    return _edited(text, EVENT, number, _take_out, lambda learned: _without(learned, number), name=name)


def _word(written: str, kind: type[Word], option: str) -> Word:
    """Quantity or kind of event that a person typed."""
    known = {str(one.value): one for one in kind}
    if written.strip() not in known:
        near = nearest_word(written.strip(), known)
        do = f'did you mean "{near}"?' if near else "write one of them"
        raise InputError((f"{option}: found {written.strip()!r}; allowed {', '.join(known)}; {do}",))
    return known[written.strip()]


def _thing_and_metal(written: str, quantity: Quantity) -> tuple[str, str]:
    """Id of a thing, and the metal behind the last "in" where one changes the quantity."""
    thing, sign, metal = written.rpartition(" in ")
    return (thing.strip(), metal.strip()) if sign and quantity in HANGS_ON_METAL else (written, "")


def _figure(written: str, quantity: Quantity) -> float | str:
    """Figure that a person typed: a number, a share in per cent, or text with a unit for the reader of the file."""
    said = written.strip()
    hundredths = said.removesuffix("%").strip()
    try:
        figure = Fraction(hundredths.replace(",", "."))
    except (ValueError, ZeroDivisionError):
        return said
    if hundredths == said:
        return float(figure)
    unit = prior_rows()[quantity].unit
    if unit != SHARE:
        raise InputError((f"--add: found {said!r}; {quantity.value} is in {unit}, no share; write it in {unit}",))
    return float(figure / 100)


def _appended(text: str, key: str, row: Row, *, name: str) -> str:
    """Text with one more row of a list at its end, once it reads."""
    import tomlkit

    end = _line_end(text)
    start = (text or HEAD.replace("\n", end)).rstrip("\r\n") + end + end
    lines = [f"[[{key}]]", *(f"{field} = {tomlkit.item(value).as_string()}" for field, value in row)]
    new = start + "".join(line + end for line in lines)
    before, after = read_beliefs(text, name=name), read_beliefs(new, name=name)
    if (before.noted, before.events) != (after.noted[: len(before.noted)], after.events[: len(before.events)]):
        raise _not_rewritten(name)  # an open text or list at the end of the file would swallow the row
    return new


def _edited(
    text: str,
    key: str,
    number: int,
    edit: Callable[[Lines], Lines],
    meant: Callable[[Learned], Learned],
    *,
    name: str,
) -> str:
    """Text with the lines of one row of a list edited, once it reads as what is meant."""
    learned = read_beliefs(text, name=name)
    rows = learned.noted if key == EVIDENCE else learned.events
    if not 1 <= number <= len(rows):
        allowed = f"1 to {len(rows)}" if rows else "none, for there is none"
        raise InputError((f"{name}: found no {key} no. {number}; allowed {allowed}; see `handwheel beliefs`",))
    wanted = meant(learned)
    lines = _LINE.findall(text)
    header = re.compile(_HEADER.format(key))
    starts = [place for place, line in enumerate(lines) if header.match(line)]
    if len(starts) != len(rows):
        raise _not_rewritten(name)
    start = starts[number - 1]
    end = next((at for at in range(start + 1, len(lines)) if _ANY_HEADER.match(lines[at])), len(lines))
    before, block = lines[:start], edit(lines[start:end])
    if before and not before[-1].strip() and not (block and header.match(block[0])):
        del before[-1]  # the empty line that stood above the row
    new = "".join([*before, *block, *lines[end:]])
    if read_beliefs(new, name=name) != wanted:
        raise _not_rewritten(name)
    return new


def _withdraw(block: Lines) -> Lines:
    """Row with its mark: the one that it has turned over, or one more line below its head."""
    turned = [_FALSE.sub(r"\g<key>true", line) for line in block]
    if turned != block or any(_TRUE.match(line) for line in block):
        return turned
    return [block[0], _OUT + _line_end(block[0]), *block[1:]]


def _restore(block: Lines) -> Lines:
    """Row without the line that `_withdraw` puts below its head, or with its own mark turned over."""
    if block[1:2] and block[1].rstrip("\r\n") == _OUT:
        return [block[0], *block[2:]]
    return [_TRUE.sub(r"\g<key>false", line) for line in block]


def _take_out(block: Lines) -> Lines:
    """What is left of a row that goes: remarks and empty lines behind its last key."""
    last = max(at for at, line in enumerate(block) if line.strip() and not line.lstrip().startswith("#"))
    return block[last + 1 :]


def _marked(learned: Learned, number: int, *, out: bool) -> Learned:
    rows = list(learned.noted)
    rows[number - 1] = replace(rows[number - 1], evidence=replace(rows[number - 1].evidence, withdrawn=out))
    return replace(learned, noted=tuple(rows))


def _without(learned: Learned, number: int) -> Learned:
    return replace(learned, events=learned.events[: number - 1] + learned.events[number:])


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _not_rewritten(name: str) -> NotRewrittenError:
    return NotRewrittenError(f"{name}: cannot be changed with its comments kept; edit the file by hand")
