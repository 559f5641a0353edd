"""What the reasons for the numbers of an act go by: the machine as it stands, what each zero means."""

from __future__ import annotations

import re
from enum import Enum
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.findings import Reason
from handwheel.domain.motion import Handle
from handwheel.report.numbers import Lengths

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from handwheel.data.materials import Material
    from handwheel.domain.acts import Act
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.pieces import Line
    from handwheel.report.setting_text import Scene
    from handwheel.report.situation import Stand

TRIFLE_MM = 1e-6
"""Lengths (and what else is told with a spread) that differ by less are the same: the rounding of floats. [mm]"""


class Word(Enum):
    """On whose word a number stands, with the key of its source: [GEOMETRY], [SHOP_FILE], [PART_FILE] or [COMMON]."""

    GEOMETRY = ("GEOMETRY", "computed")
    SHOP_FILE = ("SHOP_FILE", "as entered")
    PART_FILE = ("PART_FILE", "as entered")
    PRACTICE = ("COMMON", "common practice")


class ZeroMark(Struct, frozen=True, kw_only=True):
    """A zero as an act has set it.

    ``stands_for_mm`` is the diameter or place along the axis that it means; ``others`` where the other handles stood
    at that moment, each from its own live zero.
    """

    number: str
    handle: Handle
    surface: str
    stands_for_mm: float
    others: Mapping[Handle, Stand]


class Look(Struct, frozen=True, kw_only=True):
    """One act with all that its numbers rest on.

    ``zeros`` are those set so far, by id; ``known`` says where each surface got the size it has now; ``own`` are the
    plan's reasons for the step.
    """

    number: str
    act: Act
    scene: Scene
    plan: Plan
    material: Material | None
    zeros: Mapping[str, ZeroMark]
    known: Mapping[str, str]
    own: tuple[Reason, ...]

    @property
    def shop(self) -> Shop:
        """The shop that the plan was made for."""
        return self.scene.shop

    @property
    def lengths(self) -> Lengths:
        """Prints lengths in both units, the maker's own first."""
        return self.scene.lengths

    @property
    def fine(self) -> Lengths:
        """The same with a decimal more, for ways and steps of a slide."""
        return replace(self.lengths, places=4)

    def of_step(self, quantity: str) -> Reason | None:
        """Reason of the plan for a quantity of this act's step, if it gives one."""
        return next((reason for reason in self.own if reason.quantity == quantity), None)

    def why(
        self,
        quantity: str,
        value: str,
        relation: str,
        *inputs: str,
        word: Word = Word.GEOMETRY,
        spread: tuple[float, float] | None = None,
        unit: str = "mm",
        binds: str = "",
    ) -> Reason:
        """Reason for a number of this act."""
        source_key, standing = word.value
        if spread is not None and spread[1] - spread[0] < TRIFLE_MM:
            spread = None
        return Reason(
            where=self.number,
            quantity=quantity,
            value=value,
            relation=relation,
            inputs=inputs,
            source_key=source_key,
            standing=standing,
            binds=binds,
            low=spread[0] if spread else None,
            high=spread[1] if spread else None,
            unit=unit if spread else "",
        )

    def handed_down(self, reason: Reason | None, value: str, *inputs: str) -> tuple[Reason, ...]:
        """The plan's own reason for this number, as it is printed at this act."""
        if reason is None:
            return ()
        return (replace(reason, where=self.number, value=value, inputs=(*inputs, *reason.inputs)),)


def joined(lines: Iterable[Line]) -> str:
    """Pieces of some lines in one text."""
    return "; ".join(str(piece) for line in lines for piece in line)


_NUMBER = re.compile(r"\d+(?:[./]\d+)*")


def figures_of(text: str) -> set[str]:
    """Figures of a text as they are printed.

    Examples
    --------
    >>> sorted(figures_of("3 mm (0.1181 in), 1/2 turn"))
    ['0.1181', '1/2', '3']
    """
    return set(_NUMBER.findall(text))


def has_figures(text: str) -> bool:
    """Whether a text holds a number."""
    return any(letter.isdigit() for letter in text)
