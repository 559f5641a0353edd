"""What somebody at the lathe has measured or answered."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.motion import Edge


class Evidence(Struct, frozen=True, kw_only=True):
    """Numbers and answers by their keys (`handwheel.data.diagnosis.questions`); what nobody has said is not in it.

    Lengths in mm, speeds in rev/min, differences of temperature in K, forces in N, times in s.
    """

    numbers: tuple[tuple[str, float], ...] = ()
    answers: tuple[tuple[str, bool], ...] = ()
    metal: str = ""
    edge: Edge | None = None

    def number(self, key: str) -> float | None:
        """Number typed under a key, in the unit of its kind; ``None`` if nobody has."""
        return dict(self.numbers).get(key)

    def answer(self, key: str) -> bool | None:
        """Answer given under a key; ``None`` if nobody has."""
        return dict(self.answers).get(key)

    def gives(self, key: str) -> bool:
        """Whether anything was typed under a key."""
        typed = {*dict(self.numbers), *dict(self.answers)}
        return key in typed or (key == "metal" and bool(self.metal)) or (key == "edge" and self.edge is not None)
