"""Cautions that stand at the acts of every job: code, act, text in full, text in short, source."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing, load_table
from handwheel.domain.errors import DataTableError

if TYPE_CHECKING:
    from collections.abc import Mapping

_COLUMNS = ("code", "act", "applies", "text", "short", "standing", "source_key", "place")
_MAY_BE_BLANK = ("short",)
HEAD = "head"
"""What stands in the column of acts for a caution that is printed at the head of every sheet."""


class WorkCaution(Struct, frozen=True, kw_only=True):
    """One caution for the hand at the lathe.

    ``act`` says before which act it stands, ``applies`` in which jobs. ``text`` is said the first time in a job,
    ``short`` at later steps; where ``short`` is empty it is said once.
    """

    code: str
    act: str
    applies: str
    text: str
    short: str
    standing: Standing
    source_key: str
    place: str


@cache
def work_cautions() -> Mapping[str, WorkCaution]:
    """Every caution by its code, in the order of the table.

    Examples
    --------
    >>> work_cautions()["threaded-nose"].applies
    'the spindle nose is threaded'
    """
    return {
        row["code"]: WorkCaution(
            code=row["code"],
            act=row["act"],
            applies=row["applies"],
            text=row["text"],
            short=row["short"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )
        for row in load_table("cautions.csv", _COLUMNS, _MAY_BE_BLANK)
    }


def work_caution(code: str) -> WorkCaution:
    """Caution of that code.

    Raises
    ------
    DataTableError
        If the table has none.
    """
    found = work_cautions().get(code)
    if found is None:
        msg = f"caution {code!r}: not in cautions.csv; choose one of {', '.join(work_cautions())}"
        raise DataTableError(msg)
    return found


HEAD_ORDER = ("local-rules", "eyes-and-clothes", "chuck-key", "hands-clear")
"""Cautions of the head in the order in which they are printed: whose word rules comes first."""


def head_cautions() -> tuple[str, ...]:
    """Texts that stand at the head of every sheet, in the order in which they are printed.

    Examples
    --------
    >>> head_cautions()[0]
    "Local rules, the makers' manuals and trained supervision come first."
    """
    return tuple(work_caution(code).text for code in HEAD_ORDER)


def cautions_by_text() -> Mapping[str, WorkCaution]:
    """Every text of the table, in full and in short, with the caution that it belongs to.

    Examples
    --------
    >>> cautions_by_text()["The bar turns behind the spindle too: fence it off."].code
    'bar-turns-behind'
    """
    return {text: found for found in work_cautions().values() for text in (found.text, found.short) if text}
