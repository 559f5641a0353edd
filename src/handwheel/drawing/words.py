"""Words that pictures share with the sheet: whoever asks for a picture hands them in, so that both say the same."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from handwheel.domain.motion import Handle, Motion, Turn


class StepName(Struct, frozen=True, kw_only=True):
    """Number and title of a step, as the sheet has them."""

    number: int
    title: str


class Words(Struct, frozen=True, kw_only=True):
    """How the sheet says things: a surface by its id, a length that is set by rule or eye [mm], a handle.

    ``hand`` says which way the hand turns and where the tool then goes, ``said`` how any other text is printed.
    """

    surface: Callable[[str], str]
    length: Callable[[float], str]
    handle: Callable[[Handle], str]
    hand: Callable[[Turn, tuple[Motion, ...]], str]
    said: Callable[[str], str]
