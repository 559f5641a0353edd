"""The loss of a finish that a part file takes from the shop's own trials: the amount is put in its place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeAlias

from handwheel.data.metal_names import metals_named
from handwheel.domain.exact import Fraction
from handwheel.service.intake.finishing import FINISH, FROM_TRIAL, LOSS

Trials: TypeAlias = Callable[[str, str], Fraction | None]
"""Tells the thickness that a finish takes off a metal, by the shop's trials; nothing if none was made. [mm]"""
USUAL_PLACE = " a side"
"""Where it goes if the file does not say."""


def with_trials(values: Mapping[str, object], trials: Trials) -> dict[str, object]:
    """Parsed part file in which each loss ``"from trial"`` is the amount that trials say, if there were any.

    Examples
    --------
    >>> part = {"metal": "ti_gr2", "outside": {"finish": "polished", "loss": "from trial"}}
    >>> with_trials(part, lambda finish, metal: Fraction(8, 1000))["outside"]
    {'finish': 'polished', 'loss': '0.008 mm a side'}
    """
    metal = values.get("metal")
    named = metals_named(metal) if isinstance(metal, str) else ()
    key = metal if isinstance(metal, str) and len(named) != 1 else next(iter(named), "")
    return _filled(values, lambda finish: trials(finish, key))


def _filled(values: Mapping[str, object], taken_mm: Callable[[str], Fraction | None]) -> dict[str, object]:
    filled = {key: _filled(value, taken_mm) if isinstance(value, dict) else value for key, value in values.items()}
    for key, value in values.items():
        if isinstance(value, list):
            filled[key] = [_filled(row, taken_mm) if isinstance(row, dict) else row for row in value]
    finish, loss = values.get(FINISH), values.get(LOSS)
    if isinstance(finish, str) and isinstance(loss, str) and loss.strip().startswith(FROM_TRIAL):
        amount = taken_mm(finish)
        if amount is not None:
            place = loss.strip().removeprefix(FROM_TRIAL) or USUAL_PLACE
            filled[LOSS] = f"{float(amount):g} mm{place}"
    return filled
