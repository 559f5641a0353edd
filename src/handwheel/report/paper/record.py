"""The page that keeps what came out: every size with its limits, the gauge that decides it, room for each part."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.acts import Measure
from handwheel.report.head_text import size_row
from handwheel.report.paper.spans import on_paper

if TYPE_CHECKING:
    from handwheel.domain.plan import Sheet
    from handwheel.domain.shop import Shop

MOST_PARTS = 4
"""Parts of one lot that have a column on a record page; for more the page is copied."""


class RecordRow(Struct, frozen=True, kw_only=True):
    """A size to reach: its name, limits in the first unit and in the other one, the gauge of its last measurement."""

    name: str
    limits: str
    other: str
    gauge: str


def record_rows(sheet: Sheet, shop: Shop) -> tuple[RecordRow, ...]:
    """Every size of the drawing, as it must stand when turning is done; sizes of one name and limits once."""
    finals = {(act.surface, act.aspect): act for act in sheet.acts if isinstance(act, Measure) and act.final}
    rows: dict[tuple[str, ...], str] = {}
    for feature in sheet.part.sizes:
        final = finals.get((feature.surface, feature.aspect.value))
        gauge = on_paper(shop.gauge(final.gauge).name) if final is not None and final.gauge else ""
        key = size_row(feature, sheet.part)
        rows[key] = rows.get(key) or gauge
    return tuple(
        RecordRow(name=on_paper(name), limits=limits, other=" ".join(others), gauge=gauge)
        for (name, limits, *others), gauge in rows.items()
    )


def columns_for(quantity: int) -> int:
    """How many parts have a column of their own."""
    return min(quantity, MOST_PARTS)
