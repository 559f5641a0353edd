"""Pictures that go on paper, each an SVG text; a sheet without them is whole too."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct, field


class Pictures(Struct, frozen=True, kw_only=True):
    """Pictures of a plan, as SVG texts; what is missing leaves no gap.

    Parameters
    ----------
    part : str
        Drawing of the part with its dimensions; empty if there is none.
    set_ups : Mapping
        Id of the step that makes a holding → drawing of that set-up.
    steps : Mapping
        Id of a step → half section before and after it.
    """

    part: str = ""
    set_ups: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    steps: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


NO_PICTURES = Pictures()
