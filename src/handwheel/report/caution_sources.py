"""On whose word the cautions of a sheet stand: each by its code, those of one source together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.data.cautions import cautions_by_text, head_cautions
from handwheel.data.hazards import hazard_gates
from handwheel.data.materials import material
from handwheel.domain.acts import HandKind, HandStep
from handwheel.domain.errors import DataTableError
from handwheel.report.layout import wrap

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.plan import Sheet

TITLE = " CAUTIONS, ON WHOSE WORD (local rules come first)"
INDENT = 5


def caution_source_lines(sheet: Sheet, *, width: int) -> Iterator[str]:
    """Lay out what `caution_sources` tells."""
    yield TITLE
    for text in caution_sources(sheet):
        for line in wrap(text, width=width - INDENT):
            yield " " * INDENT + line


def caution_sources(sheet: Sheet) -> tuple[str, ...]:
    """Codes of what the sheet says and asks, by source and standing, in the order of first mention."""
    groups: dict[str, dict[str, None]] = {}
    for code, word in _said(sheet):
        groups.setdefault(word, {})[code] = None
    return tuple(f"{', '.join(codes)} [{word}]" for word, codes in groups.items())


def _said(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Code, and source with standing, of every caution of the head and of the acts, and of what is to be confirmed."""
    work, metal = cautions_by_text(), _of_metal(sheet.part.material)
    texts = (*head_cautions(), *(text for act in sheet.acts for text in act.cautions))
    for text in texts:
        if text in work:
            found = work[text]
            yield found.code, f"{found.source_key}, {found.standing.value}"
        elif text in metal:
            yield metal[text]
    asked = {act.text for act in sheet.acts if isinstance(act, HandStep) and act.kind is HandKind.CONFIRM}
    for gate in hazard_gates().values():
        if gate.text in asked:
            yield f"confirm {gate.code}", f"{gate.source_key}, {gate.standing.value}"


def _of_metal(key: str) -> dict[str, tuple[str, str]]:
    """Kind, and source with standing, of each hazard of a metal by its text; none of a metal that is in no table."""
    try:
        hazards = material(key).hazards
    except DataTableError:
        return {}
    return {
        text: (f"{hazard.kind.value} of this metal", f"{hazard.source_key}, {hazard.standing.value}")
        for hazard in hazards
        for text in (hazard.text, hazard.short)
    }
