"""Pictures that go on paper, each an SVG text at its own size; a sheet without them is whole too."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct, field


class Picture(Struct, frozen=True, kw_only=True):
    """An SVG text, and how wide it is meant to be: its letters are readable at that size. [mm]"""

    svg: str
    width_mm: float


class Pictures(Struct, frozen=True, kw_only=True):
    """Pictures of a plan; what is missing leaves no gap.

    Parameters
    ----------
    part : Picture or None
        Drawing of the part with its dimensions.
    set_ups : Mapping
        Id of the step that makes a holding → drawing of that set-up.
    steps : Mapping
        Id of a step → half section before and after it.
    """

    part: Picture | None = None
    set_ups: Mapping[str, Picture] = field(default_factory=lambda: MappingProxyType({}))
    steps: Mapping[str, Picture] = field(default_factory=lambda: MappingProxyType({}))


NO_PICTURES = Pictures()
