"""The journal of a job as text: one event a line, and what a line that was broken off means."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cache
from hashlib import sha256

import msgspec
from msgspec import Struct

from handwheel.domain.errors import InputError
from handwheel.domain.events import Event, EventId, EventKind
from handwheel.service.codec import read_exactly, written_exactly

MOST_TOLD = 20
"""More problems of one journal are counted, not told."""
DIGITS = 16
"""Digits of the hash that identifies a torn line."""
KEEP_IT = "nothing was changed; mend that line, or keep the file under another name and begin anew"


class JournalText(Struct, frozen=True, kw_only=True):
    """What a journal says: its events, and what stands behind the last of them.

    ``torn`` are bytes behind the last event that are none, broken off while they were written; ``open_end`` says that
    the last event is whole but for the line feed behind it.
    """

    events: tuple[Event, ...] = ()
    torn: bytes = b""
    open_end: bool = False


def line_of(event: Event) -> bytes:
    """One event as one line of JSON."""
    return msgspec.json.encode(event, enc_hook=written_exactly) + b"\n"


def torn_words(torn: bytes) -> str:
    """What identifies a torn line in the event behind it.

    Examples
    --------
    >>> torn_words(b'{"device": "sh')
    '14 bytes, sha256 01a298f76f953994'
    """
    return f"{len(torn)} bytes, sha256 {sha256(torn).hexdigest()[:DIGITS]}"


def journal_in(content: bytes, *, name: str) -> JournalText:
    """Read a journal.

    Parameters
    ----------
    content : bytes
        The file as it is.
    name : str
        Name of the file, for errors.

    Raises
    ------
    InputError
        If a line is no event and no later one says that it was torn, an event is there twice, one corrects what is not
        there, or a time is none: every such line, by its number.
    """
    reader = _Reader(name)
    *whole, rest = content.split(b"\n")
    for number, line in enumerate(whole, start=1):
        reader.take(line, number)
    if rest:
        reader.take(rest, len(whole) + 1)
    events, strange = reader.finish()
    ended_by_feed = content.endswith(b"\n")
    torn = b"\n".join(strange) + (b"\n" if strange and ended_by_feed else b"")
    return JournalText(events=events, torn=torn, open_end=bool(content) and not ended_by_feed and not strange)


class _Reader:
    """Takes line after line; keeps the events, lines that are none with no event behind them yet, and faults."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._events: list[Event] = []
        self._known: set[EventId] = set()
        self._problems: list[str] = []
        self._strange: list[tuple[int, bytes, str]] = []

    def take(self, line: bytes, number: int) -> None:
        found = _event_in(line)
        if isinstance(found, str):
            self._strange.append((number, line, found))
            return
        if not (found.kind is EventKind.TORN and found.text == torn_words(self._run())):
            self._problems += [
                f"{self._name}: line {at}: is no event ({why}); {KEEP_IT}" for at, _, why in self._strange
            ]
        self._strange = []
        self._problems += [f"{self._name}: line {number}: {fault}; {KEEP_IT}" for fault in self._faults(found)]
        self._known.add(found.id)
        self._events.append(found)

    def finish(self) -> tuple[tuple[Event, ...], tuple[bytes, ...]]:
        """Events, and the lines behind the last of them that are none; raises `InputError` if anything is wrong."""
        if self._problems:
            more = len(self._problems) - MOST_TOLD
            told = self._problems[:MOST_TOLD] + ([f"{self._name}: and {more} more"] if more > 0 else [])
            raise InputError(tuple(told))
        return tuple(self._events), tuple(line for _, line, _ in self._strange)

    def _run(self) -> bytes:
        return b"\n".join(line for _, line, _ in self._strange)

    def _faults(self, event: Event) -> list[str]:
        faults = []
        if event.id in self._known:
            faults.append(f"event {event.counter} of {event.device!r} is there twice")
        if event.corrects is not None and event.corrects not in self._known:
            wanted = f"event {event.corrects.counter} of {event.corrects.device!r}"
            faults.append(f"corrects {wanted}, which does not stand before it")
        if event.counter < 1 or not 0 <= event.base <= len(self._events):
            faults.append(f"counter {event.counter} or base {event.base} cannot be")
        times = (event.happened_at, event.recorded_at)
        faults += [f"{time!r} is no time in UTC" for time in times if moment(time) is None]
        return faults


def _event_in(line: bytes) -> Event | str:
    """Event of a line, or why it is none."""
    try:
        return _decoder().decode(line)
    except (msgspec.MsgspecError, UnicodeDecodeError) as error:
        return str(error)


@cache
def _decoder() -> msgspec.json.Decoder[Event]:
    return msgspec.json.Decoder(Event, dec_hook=read_exactly)


def moment(written: str) -> datetime | None:
    """Read a time that an event states; nothing if it is none in UTC."""
    try:
        read = datetime.fromisoformat(written)
    except ValueError:
        return None
    return read if read.utcoffset() == timedelta(0) else None


def written_moment(moment_utc: datetime) -> str:
    """Write a time in UTC to a thousandth of a second.

    Examples
    --------
    >>> from datetime import UTC
    >>> written_moment(datetime(2026, 11, 30, 16, 3, 30, 125000, tzinfo=UTC))
    '2026-11-30T16:03:30.125Z'
    """
    return moment_utc.isoformat(timespec="milliseconds").replace("+00:00", "Z")
