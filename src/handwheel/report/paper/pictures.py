"""Pictures that go on paper, each an SVG text and the letters above it; a sheet without them is whole too."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct, field


class Lettering(Struct, frozen=True, kw_only=True):
    """A line of letters above a picture, in its own mm: where its base line begins, is in the middle, or ends.

    Parameters
    ----------
    x_mm, y_mm : float
        Place from the picture's left and upper edge. [mm]
    size_mm : float
        Size of the font. [mm]
    anchor : str
        Which end stands there: ``start``, ``middle`` or ``end``.
    turned_deg : float
        How far the line is turned clockwise round its place. [deg]
    """

    x_mm: float
    y_mm: float
    size_mm: float
    text: str
    anchor: str = "start"
    turned_deg: float = 0.0
    bold: bool = False


class Picture(Struct, frozen=True, kw_only=True):
    """An SVG text, how wide it is meant to be, so that its letters can be read, and how wide it was drawn. [mm]

    Letters may be given apart from it: they are set ten times as fast so, and above all of it, in a white ``halo_mm``
    on which no line runs through them. [mm]
    """

    svg: str
    width_mm: float
    drawn_mm: float = 0.0
    halo_mm: float = 0.0
    letters: tuple[Lettering, ...] = ()


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
