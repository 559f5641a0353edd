"""Which cautions stand before an act: in full once in a job, in short once in each later step.

A sheet full of cautions is read by nobody. So a caution is said in full where the hand first meets what it is about,
and after that in few words, at the first act of each later step that it is about; a caution without a short form is
said once. What can burn is said again in every step that cuts it; every other hazard of the metal once at the first
cut, and no more.
"""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.cautions import work_caution
from handwheel.data.materials import Caution, CautionKind

AGAIN_IN_EVERY_STEP = frozenset({CautionKind.FIRE})
"""Hazards of a metal that come back with every heap of chips (practice case PC-10: sweep them away often)."""


class Told:
    """What was said so far, and in which step last."""

    def __init__(self) -> None:
        """Begin with nothing said."""
        self._last: dict[str, str] = {}
        self._at_first_cut = ""

    def of_work(self, codes: Iterable[str], *, step: str) -> tuple[str, ...]:
        """Texts of cautions of the table that stand before an act of a step.

        Raises
        ------
        DataTableError
            If the table has no caution of a code.

        Examples
        --------
        >>> told = Told()
        >>> told.of_work(["work-hardens"], step="rough-bore") == (work_caution("work-hardens").text,)
        True
        >>> told.of_work(["work-hardens"], step="rough-bore"), told.of_work(["work-hardens"], step="bore")
        ((), ('It hardens: no dwell; to stop, draw the tool away.',))
        """
        found = (work_caution(code) for code in codes)
        return self._said(((one.code, one.text, one.short) for one in found), step=step)

    def of_metal(self, hazards: Iterable[Caution], *, step: str, first_cut: bool = False) -> tuple[str, ...]:
        """Texts of the metal's own hazards before an act of a step.

        At a ``first_cut`` of the job all of them stand, in full only if no act before has said them; at a first cut of
        a later step those that come back.
        """
        again = not first_cut or self._at_first_cut in ("", step)
        if first_cut and not self._at_first_cut:
            self._at_first_cut = step
        due = (one for one in hazards if again or one.kind in AGAIN_IN_EVERY_STEP)
        return self._said(((one.text, one.text, one.short) for one in due), step=step)

    def _said(self, cautions: Iterable[tuple[str, str, str]], *, step: str) -> tuple[str, ...]:
        """Name, text and short form of each: the form that is due, if any."""
        due = []
        for name, text, short in cautions:
            before = self._last.get(name)
            if before is None:
                due.append(text)
            elif before != step and short:
                due.append(short)
            self._last[name] = step
        return tuple(due)
