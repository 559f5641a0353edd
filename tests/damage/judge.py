"""What becomes of a damaged file: refused with a place, or read exactly as it says; anything else is a fault."""

from __future__ import annotations

import re
import time
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from enum import Enum
from pathlib import Path

from handwheel.domain.errors import InputError
from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from handwheel.service.intake.part_file import read_part_file
from handwheel.service.intake.shop_file import read_shop_file
from tests.damage.part_meaning import part_facts, part_meaning
from tests.damage.shop_meaning import same, shop_facts, shop_meaning
from tests.damage.values import MustRefuseError, UnjudgedError

LONGEST_S = 5.0
"""No file of this length takes longer to read, on a busy machine too. [s]"""
PLACE = re.compile(r"^[^:]+: (?:line [0-9]+|[a-z_]+(?:[.\[][^:]*)?: |as a whole: |and [0-9]+ problems more|found )")


class Fate(Enum):
    """What became of a file."""

    REFUSED = "refused, with a place"
    RIGHT = "read exactly as it says"
    UNJUDGED = "read; the second reader does not know a spelling in it"
    FAULT = "FAULT"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Fate of one file and, of a fault, what is wrong."""

    fate: Fate
    why: str = ""


def judge(content: bytes, path: Path, *, whole: str | None, is_part: bool) -> Outcome:
    """Read a file by the intake and by the second reader, compare; ``whole`` is what it was before, if known."""
    path.write_bytes(content)
    started = time.monotonic()
    try:
        read: Part | Shop = read_part_file(path) if is_part else read_shop_file(path)
    except InputError as error:
        return _of_refusal(error, content, whole)
    except Exception as error:  # noqa: BLE001 - any other is what is looked for
        return Outcome(fate=Fate.FAULT, why=f"{type(error).__name__}: {error}")
    if time.monotonic() - started > LONGEST_S:
        return Outcome(fate=Fate.FAULT, why="took too long")
    return _compared(content, read)


def _of_refusal(error: InputError, content: bytes, whole: str | None) -> Outcome:
    if not error.problems or not all(problem.strip() for problem in error.problems):
        return Outcome(fate=Fate.FAULT, why="refused without a word")
    for problem in error.problems:
        if not PLACE.match(problem):
            return Outcome(fate=Fate.FAULT, why=f"refused without a place: {problem}")
    if whole is not None and _says_the_same(content, whole):
        return Outcome(fate=Fate.FAULT, why=f"refused, though it says what it said before: {error}")
    return Outcome(fate=Fate.REFUSED)


def _says_the_same(content: bytes, whole: str) -> bool:
    """Whether two files parse alike; compared as texts, for in Python true equals 1."""
    return repr(parsed(content)) == repr(parsed(whole.encode()))


def parsed(content: bytes) -> dict[str, object] | None:
    """File as the standard library reads it; nothing if it is no TOML."""
    try:
        return tomllib.loads(content.decode("utf-8-sig"), parse_float=Decimal)
    except (ValueError, InvalidOperation, RecursionError):
        return None


def _compared(content: bytes, read: Part | Shop) -> Outcome:
    values = parsed(content)
    if values is None:
        return Outcome(fate=Fate.FAULT, why="read, though it is no TOML")
    try:
        wrong = _wrong_in_part(values, read) if isinstance(read, Part) else _wrong_in_shop(values, read)
    except UnjudgedError:
        return Outcome(fate=Fate.UNJUDGED)
    except MustRefuseError as error:
        return Outcome(fate=Fate.FAULT, why=f"read, though it must be refused: {error}")
    return Outcome(fate=Fate.FAULT, why="; ".join(wrong)) if wrong else Outcome(fate=Fate.RIGHT)


def _wrong_in_part(values: dict[str, object], read: Part) -> list[str]:
    said, facts = part_meaning(values), part_facts(read)
    return _differences(said, facts, lambda name: name not in facts or facts[name] != said[name]) + [
        f"{name}: read, though not said" for name in facts.keys() - said.keys()
    ]


def _wrong_in_shop(values: dict[str, object], read: Shop) -> list[str]:
    said, (facts, usual) = shop_meaning(values), shop_facts(read)
    return _differences(said, facts, lambda name: name not in facts or not same(facts[name], said[name])) + [
        f"{name}: {facts[name]}, though nothing is said" for name in facts.keys() - said.keys() - usual
    ]


def _differences(said: dict[str, object], facts: dict[str, object], differs: Callable[[str], bool]) -> list[str]:
    return [f"{name}: says {said[name]}, read {facts.get(name)}" for name in said if differs(name)]
