"""An object that shows itself in a notebook as pictures and tables, elsewhere as a few lines of text."""

from __future__ import annotations

from msgspec import Struct


class PlanView(Struct, frozen=True, kw_only=True):
    """A plan as HTML with pictures, and as text where there is none.

    Notebooks ask an object that stands last in a cell for ``_repr_html_``; nothing else of theirs is needed.
    """

    html: str
    text: str

    def _repr_html_(self) -> str:
        """What a notebook shows."""
        return self.html

    def __repr__(self) -> str:
        """What a plain Python prompt shows."""
        return self.text
