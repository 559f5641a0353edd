"""The journal of a job as a file beside its plan: opened by one process, appended to, never changed."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from msgspec.structs import replace

from handwheel.domain.errors import InputError
from handwheel.domain.events import Event, EventKind
from handwheel.service.bench_lines import JournalText, journal_in, line_of, torn_words
from handwheel.service.files import NotWrittenError, flush_folder
from handwheel.service.intake.text_file import read_bytes

LARGEST_JOURNAL = 50_000_000
"""More is not read: a job of a thousand acts has less than one million. [bytes]"""
FIRST_PIECE = 1
LOCKED_BYTE = 1 << 40
"""On Windows the byte that is locked: far behind the end, for nobody could read a locked one. [bytes]"""
NO_LOCKS = (errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL)
"""What a disk without locks says; a change by another process is then found before the next event is written."""


def journal_path(plan_path: Path, piece: int = FIRST_PIECE) -> Path:
    """Where the journal of a plan stands, for the first piece or another one of a batch.

    Examples
    --------
    >>> journal_path(Path("bush/plan.json")).name, journal_path(Path("plan.json"), 2).name
    ('plan.bench.jsonl', 'plan.piece-2.bench.jsonl')
    """
    which = "" if piece == FIRST_PIECE else f".piece-{piece}"
    return plan_path.with_name(f"{plan_path.stem}{which}.bench.jsonl")


def read_journal(path: Path) -> JournalText:
    """Read a journal without opening it for writing; one that is not there has no events.

    Raises
    ------
    InputError
        If it cannot be read, is far too large, or is no journal.
    """
    if not path.exists():
        return JournalText()
    if not path.is_file():
        raise InputError((f"{path.name}: is no file; give the plan in another folder, or move that away",))
    content = read_bytes(path, most=LARGEST_JOURNAL + 1)
    if len(content) > LARGEST_JOURNAL:
        problem = f"{path.name}: has more than {LARGEST_JOURNAL} bytes; keep it under another name and begin anew"
        raise InputError((problem,))
    return journal_in(content, name=path.name)


class Journal:
    """A journal that this process alone appends to; used as ``with Journal(path, device="bench") as journal:``.

    An event that `append` has returned is on the disk. One that it could not write is not among the events.
    """

    def __init__(self, path: Path, *, device: str) -> None:
        """Keep where it stands, and what records."""
        self.path = path
        self.events: tuple[Event, ...] = ()
        self.torn = b""
        """Bytes behind the last event that are none; told of, and closed off when the next event is written."""
        self._device = device
        self._open_end = False
        self._size = 0
        self._in_doubt = False
        self._handle = -1

    def __enter__(self) -> Self:
        """Open, lock and read it.

        Raises
        ------
        InputError
            If another process has it open, or it is no journal.
        NotWrittenError
            If it cannot be opened for writing.
        """
        is_new = not self.path.exists()
        if not is_new and not self.path.is_file():
            raise InputError((f"{self.path.name}: is no file; give the plan in another folder, or move that away",))
        with self._told("opened"):
            flags = os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0)
            self._handle = os.open(self.path, flags, 0o666)
        try:
            _lock(self._handle, self.path)
            found = read_journal(self.path)
            self.events, self.torn, self._open_end = found.events, found.torn, found.open_end
            self._size = os.fstat(self._handle).st_size
            if is_new:
                with self._told("opened"):
                    flush_folder(self.path.parent)
        except BaseException:
            os.close(self._handle)
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close it; the lock goes with it."""
        with suppress(OSError):
            os.close(self._handle)

    def append(self, draft: Event) -> Event:
        """Write an event; it is on the disk when this returns.

        Parameters
        ----------
        draft : Event
            The event; its device, counter and base are put in here.

        Raises
        ------
        NotWrittenError
            If the disk is full, or the file was changed or moved meanwhile. What was saved stays; the event does not
            count.
        """
        self._require_ours()
        if self.torn:
            words = torn_words(self.torn)
            closing = replace(
                draft, kind=EventKind.TORN, step="", act="", value=None, text=words, gauge="", corrects=None
            )
            self._write(closing, before=b"\n")
        return self._write(draft, before=b"\n" if self._open_end else b"")

    def _write(self, draft: Event, *, before: bytes) -> Event:
        counter = 1 + max((event.counter for event in self.events if event.device == self._device), default=0)
        event = replace(draft, device=self._device, counter=counter, base=len(self.events))
        line = before + line_of(event)
        written = 0
        try:
            with self._told("saved"):
                while written < len(line):
                    written += os.write(self._handle, line[written:])
        except NotWrittenError:
            self.torn += line[:written]
            self._size += written
            raise
        self._size += len(line)
        self._in_doubt = True
        with self._told("saved"):
            os.fsync(self._handle)
        self._in_doubt = False
        self.torn, self._open_end = b"", False
        self.events = (*self.events, event)
        return event

    def _require_ours(self) -> None:
        """Refuse to write into a file that is not as this process left it."""
        problem = ""
        if self._in_doubt:
            problem = "the disk did not say that the last event is on it"
        else:
            with self._told("saved"):
                now = os.fstat(self._handle)
            if now.st_size != self._size:
                problem = "another program has changed the file"
            elif not _is_there(self.path, now):
                problem = "the file was moved or replaced"
        if problem:
            msg = (
                f"{self.path}: not saved ({problem}); what was saved stays, this does not count as done; "
                "leave, look at the file, and start again"
            )
            raise NotWrittenError(msg)

    @contextmanager
    def _told(self, what: str) -> Iterator[None]:
        """Turn an error of the disk into words."""
        try:
            yield
        except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
            reason = getattr(error, "strerror", None) or str(error)
            rest = "give a plan in a folder in which you may write"
            if what == "saved":
                rest = "what was saved stays, this does not count as done; free some space, then say it again"
            msg = f"{self.path}: not {what} ({reason}); {rest}"
            raise NotWrittenError(msg) from error


def _is_there(path: Path, opened: os.stat_result) -> bool:
    """Whether a path still leads to the file that was opened."""
    try:
        return os.path.samestat(path.stat(), opened)
    except OSError:
        return False


def _lock(handle: int, path: Path) -> None:
    """Keep every other process from writing to the file, as long as this one has it open."""
    try:
        _locker()(handle)
    except OSError as error:
        if error.errno in NO_LOCKS:
            return
        problem = f"{path.name}: another handwheel walks through this plan now; go on there, or end that one first"
        raise InputError((problem,)) from None


def _locker() -> Callable[[int], None]:
    if sys.platform == "win32":
        import msvcrt

        def lock(handle: int) -> None:
            os.lseek(handle, LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

        return lock
    import fcntl

    return lambda handle: fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
