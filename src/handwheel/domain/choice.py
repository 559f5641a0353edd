"""Closed choices that are looked up often: as keys they cost no call into Python."""

from __future__ import annotations

from enum import Enum


class Choice(Enum):
    """A closed choice whose members, of which there is one each, hash by which one they are.

    `Enum` hashes the name, in Python code; a plan asks some ten thousand times.
    """

    __hash__ = object.__hash__
