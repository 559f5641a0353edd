"""Beliefs files: what was learned at one lathe, our TOML beside its shop file."""

from __future__ import annotations

from datetime import date, datetime

from handwheel.bench.learning.priors import require_sensible
from handwheel.data.priors import prior_rows
from handwheel.domain.beliefs import (
    EVENT_SUBJECT,
    HANGS_ON_METAL,
    SUBJECT_OF,
    About,
    Event,
    EventKind,
    Evidence,
    Learned,
    Noted,
    Quantity,
)
from handwheel.domain.part import Units
from handwheel.service.intake.metals import read_metal
from handwheel.service.intake.table import Table, by_value, present
from handwheel.service.intake.toml_text import open_table

EVIDENCE, EVENT = "evidence", "event"
"""Lists of tables of the file."""
WITHDRAWN = "withdrawn"
MM = "mm"
"""Unit of the quantities that may be written in inches too."""
LARGEST_SPREAD = 1e6
"""No standard uncertainty is larger, in any of the units."""


def read_beliefs(text: str, *, name: str) -> Learned:
    """Read what was learned from the text of a beliefs file.

    Parameters
    ----------
    text : str
        The file's content, in TOML; an empty one has learned nothing.
    name : str
        The file's name, for messages.

    Returns
    -------
    Learned
        Evidence and events in the order of the file.

    Raises
    ------
    InputError
        With every problem of the file: unknown, missing or wrong keys, days that are none, spreads that are not above
        0, values that must be slips.
    """
    table = open_table(text, name=name, units=Units.MM)
    learned = table.make(
        lambda: Learned(
            noted=present(_read_noted(row) for row in table.tables(EVIDENCE)),
            events=present(_read_event(row) for row in table.tables(EVENT)),
        )
    )
    return table.problems.settle(learned)


def _read_noted(table: Table) -> Noted | None:
    """Read one ``[[evidence]]``."""
    quantity = table.choice("quantity", by_value(Quantity))
    subject = SUBJECT_OF[quantity]
    metal = read_metal(table, "metal") if quantity in HANGS_ON_METAL and table.has("metal") else ""
    noted = table.make(
        lambda: Noted(
            quantity=quantity,
            about=About(thing=table.text(subject.value), metal=metal),
            evidence=Evidence(
                date=_read_date(table),
                what=table.text("from"),
                value=_read_value(table, quantity),
                spread=_read_figure(table, "spread", quantity, low=0.0, high=LARGEST_SPREAD),
                note=table.text("note") if table.has("note") else "",
                withdrawn=table.flag(WITHDRAWN, default=False),
            ),
        )
    )
    if noted is not None:
        table.problems.build(table.path, lambda: require_sensible(quantity, noted.evidence.value))
    return noted


def _read_event(table: Table) -> Event | None:
    """Read one ``[[event]]``."""
    kind = table.choice("kind", by_value(EventKind))
    return table.make(
        lambda: Event(
            date=_read_date(table),
            kind=kind,
            about=table.text(EVENT_SUBJECT[kind].value),
            note=table.text("note") if table.has("note") else "",
        )
    )


def _read_date(table: Table) -> str:
    """Read a day, as text or as TOML's own date; with a time if it has one."""
    written = table.raw("date")
    if isinstance(written, datetime):
        return written.strftime("%Y-%m-%dT%H:%M")
    return written.isoformat() if isinstance(written, date) else table.text("date")


def _read_value(table: Table, quantity: Quantity) -> float:
    row = prior_rows()[quantity]
    return _read_figure(table, "value", quantity, low=row.least, high=row.most)


def _read_figure(table: Table, key: str, quantity: Quantity, *, low: float, high: float) -> float:
    """Read a figure in the unit of its quantity; a length may name its own unit."""
    unit = prior_rows()[quantity].unit
    if unit == MM:
        return table.mm(key, low=low, high=high)
    said = "as a share" if unit == "1" else f"in {unit}"
    if isinstance(table.raw(key), str):
        table.fault(key, allowed=f"a number {said}", do="write it without quotes")
        return low
    return table.number(key, low=low, high=high, unit=said)
