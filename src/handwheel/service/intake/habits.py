"""The habits of the person at the lathe, as a shop file states those that differ from the usual."""

from __future__ import annotations

from typing import Any

from msgspec.structs import fields, replace

from handwheel.domain.exact import Fraction
from handwheel.domain.habits import Habits
from handwheel.service.intake.table import Table

LONGEST_TIME_S = 36_000.0
"""Ten hours: no handling takes longer. [s]"""
LARGEST_MARGIN_MM = 100.0
"""No allowance or clearance is wider. [mm]"""
STRONGEST_PUSH_N = 20_000.0
"""No hand pushes harder through a tailstock. [N]"""
MOST_TIMES = 100.0
"""No factor or number of turns is larger."""

DEAREST = 1e6
"""No hour and no edge costs more, in any currency."""

_SECONDS, _LENGTH, _FORCE, _PRICE = "_s", "_mm", "_n", "_price"


def read_habits(table: Table | None) -> Habits:
    """Read ``[habits]``; times are seconds and end in ``_s``, lengths take the file's units or their own."""
    usual = Habits()
    if table is None:
        return usual
    read: dict[str, Any] = {
        field.name: _read_habit(table, field.name, getattr(usual, field.name)) for field in fields(Habits)
    }
    return table.make(lambda: replace(usual, **read)) or usual


def _read_habit(table: Table, field: str, usual: float | Fraction) -> float | Fraction:
    """Read one habit by the unit in its field's name."""
    if field.endswith(_SECONDS):
        return table.number(field, low=0.0, high=LONGEST_TIME_S, unit="s", default=float(usual))
    if field.endswith(_FORCE):
        return table.number(field, low=0.1, high=STRONGEST_PUSH_N, unit="N", default=float(usual))
    if field.endswith(_PRICE):
        return table.number(field, low=0.0, high=DEAREST, unit="of your currency", default=float(usual))
    if field.endswith(_LENGTH):
        return table.mm(field.removesuffix(_LENGTH), high=LARGEST_MARGIN_MM, default=float(usual))
    return type(usual)(table.exact(field, low=0.0, high=MOST_TIMES, unit="times", default=Fraction(usual)))
