"""Words that pictures share with the sheet: whoever asks for a picture hands them in, so that both say the same."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from handwheel.domain.motion import Handle, Motion

HANDLES = {Handle.CROSS: "cross-slide", Handle.TOP: "top slide", Handle.CARRIAGE: "carriage", Handle.QUILL: "quill"}
MOTIONS = {Motion.IN: "in", Motion.OUT: "out", Motion.LEFT: "left", Motion.RIGHT: "right"}


class StepName(Struct, frozen=True, kw_only=True):
    """Number and title of a step, as the sheet has them."""

    number: int
    title: str


class Words(Struct, frozen=True, kw_only=True):
    """How the sheet says things: a surface by its id, a length that is set by rule or eye. [mm]"""

    surface: Callable[[str], str]
    length: Callable[[float], str]
