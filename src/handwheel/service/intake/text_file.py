"""Text out of a file on disk, or the reason why there is none."""

from __future__ import annotations

from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Callable
from pathlib import Path, PureWindowsPath
from typing import TypeAlias

from handwheel.domain.errors import InputError

LARGEST_FILE = 1_000_000
"""More is not read at all. [bytes]"""
Load: TypeAlias = Callable[[str], str]
"""Fetches the text of a file by the name that a part file gives it; raises `InputError` if there is none."""


def read_bytes(path: Path, *, most: int) -> bytes:
    """First bytes of a file, at most so many; raises `InputError` if it cannot be opened."""
    try:
        with path.open("rb") as file:
            return file.read(most)
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        reason = getattr(error, "strerror", None) or str(error)
        msg = f"{path.name}: cannot be opened ({reason}); check the name and the folder"
        raise InputError((msg,)) from None


def read_text_file(path: Path) -> str:
    """Text of a file in UTF-8, with or without a byte-order mark.

    Raises
    ------
    InputError
        If the file is missing, is none, is too large, or is not UTF-8.
    """
    content = read_bytes(path, most=LARGEST_FILE + 1)
    if len(content) > LARGEST_FILE:
        msg = f"{path.name}: found more than {LARGEST_FILE} bytes; allowed a part or shop file; check that it is one"
        raise InputError((msg,))
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        msg = (
            f"{path.name}: line {line}: found byte 0x{content[error.start]:02x}, which is not UTF-8 text"
            f"{_likely_encoding(content, error.start)}; "
            "allowed UTF-8; save the file again with the encoding UTF-8"
        )
        raise InputError((msg,)) from None


def read_beside(path: Path, named: str) -> str:
    """Text of a file that another one names: beside it or in a folder below, never elsewhere on the disk.

    Raises
    ------
    InputError
        If the name leads elsewhere, or as `read_text_file`.
    """
    way = PureWindowsPath(named)  # knows the separators and drives of both worlds
    if way.anchor or ".." in way.parts:
        msg = f"{named}: leads away from the folder of {path.name}; allowed a file in it; copy it there"
        raise InputError((msg,))
    return read_text_file(path.parent.joinpath(*way.parts))


def _likely_encoding(content: bytes, at: int) -> str:
    """Say in which encoding a file that is no UTF-8 was probably saved."""
    if content.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return " (the whole file looks like UTF-16)"
    sign = content[at : at + 1].decode("cp1252", errors="replace")
    is_sign = sign.isprintable() and sign != "\ufffd"
    return f" ({sign} in the old encoding Windows-1252, perhaps)" if is_sign else ""
