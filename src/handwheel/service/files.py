"""Files that are either there whole or not at all, and never in place of something else that is then lost."""

from __future__ import annotations

import os
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from msgspec import Struct

from handwheel.domain.errors import HandwheelError, InputError
from handwheel.service.intake.text_file import read_bytes

LARGEST_PLAN = 50_000_000
"""More is not read: a plan of a few hundred acts has less than one million. [bytes]"""


class NotWrittenError(HandwheelError, OSError):
    """A file could not be put on the disk; what stood there before is as it was."""


class Written(Struct, frozen=True, kw_only=True):
    """A file that is on the disk, and where an earlier one of other content is kept now, if there was one."""

    path: Path
    kept: Path | None = None


def write_whole(path: Path, content: str | bytes) -> Written:
    """Write a file so that it is there whole or not at all; an earlier one of other content is kept beside it.

    Parameters
    ----------
    path : Path
        File to write; its folder is made if need be.
    content : str or bytes
        What to write; a text as UTF-8 with plain line feeds.

    Returns
    -------
    Written
        Only when the file is on the disk.

    Raises
    ------
    NotWrittenError
        If the folder cannot be made or written, or the disk is full. Nothing is changed then.
    """
    new = content.encode("utf-8") if isinstance(content, str) else content
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        earlier = path.read_bytes() if path.exists() else None
        if earlier == new:
            return Written(path=path)
        kept = None if earlier is None else _keep(path, earlier)
        _put(path, new)
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        reason = getattr(error, "strerror", None) or str(error)
        msg = f"{path}: not written ({reason}); nothing was changed; {_advice(error, path)}"
        raise NotWrittenError(msg) from error
    return Written(path=path, kept=kept)


def _advice(error: Exception, path: Path) -> str:
    """What to do about a file that could not be written."""
    if path.is_dir():
        return "a folder has that name: move it, or give another folder"
    if isinstance(error, PermissionError):
        return "give a folder in which you may write"
    return "free some space, or give another folder"


def _keep(path: Path, content: bytes) -> Path:
    """Put the earlier content beside the file, under a name that tells it apart."""
    kept = path.with_name(f"{path.stem}-{sha256(content).hexdigest()[:8]}{path.suffix}")
    if not kept.exists():
        _put(kept, content)
    return kept


def _put(path: Path, content: bytes) -> None:
    """Write beside, flush to the disk, then rename: a reader sees the old file or the new one, never a part."""
    beside = path.with_name(f".{path.name}.{os.urandom(4).hex()}.tmp")
    try:
        with beside.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except BaseException:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    flush_folder(path.parent)


def flush_folder(folder: Path) -> None:
    """Make the rename last through a power cut, where the system can (Windows flushes it by itself)."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def read_plan_text(path: Path) -> str:
    """Text of a plan file.

    Raises
    ------
    InputError
        If the file cannot be opened, is far too large, or is no UTF-8 text.
    """
    content = read_bytes(path, most=LARGEST_PLAN + 1)
    if len(content) > LARGEST_PLAN:
        problem = f"{path.name}: has more than {LARGEST_PLAN} bytes; give the plan.json that `handwheel plan` wrote"
        raise InputError((problem,))
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        problem = f"{path.name}: is no UTF-8 text; give the plan.json that `handwheel plan` wrote"
        raise InputError((problem,)) from error
