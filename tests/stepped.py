"""Stepped parts for the tests: by name, as a machinist would draw them, and at random."""

from __future__ import annotations

import random
from functools import cache

from msgspec import Struct

from handwheel.domain.part import Part
from handwheel.service.intake.part_file import read_part

EDGES = ("front_outer", "front_inner", "back_outer", "back_inner")


class Step(Struct, frozen=True, kw_only=True):
    """A step of the outside or the bore, as it is written; widths of tolerance either way. [mm]"""

    of: str
    end: str
    diameter: float
    depth: float
    diameter_pm: float = 0.05
    depth_pm: float = 0.1
    true_to: str = ""

    @property
    def text(self) -> str:
        """The step in a part file."""
        true = f'\ntrue_to = "{self.true_to}"' if self.true_to else ""
        return (
            f'[[{self.of}_step]]\nfrom = "{self.end}"\ndiameter = {self.diameter}\nplus_minus = {self.diameter_pm}\n'
            f"depth = {{ length = {self.depth}, plus_minus = {self.depth_pm} }}{true}"
        )


class Stepped(Struct, frozen=True, kw_only=True):
    """A stepped part to be planned. [mm]"""

    steps: tuple[Step, ...]
    metal: str = "cu_cw307g"
    bore: float = 20.0
    bore_pm: float = 0.05
    outside: float = 28.0
    outside_pm: float = 0.06
    width: float = 18.0
    corner: float = 0.5
    edges: tuple[str, ...] = ()
    true_to: bool = False

    @property
    def text(self) -> str:
        """The part as a part file."""
        lines = [
            'kind = "stepped-ring"\nname = "stepped"',
            f'metal = "{self.metal}"\nunits = "mm"\ncorner_radius = {self.corner}',
            f"[bore]\ndiameter = {self.bore}\nplus_minus = {self.bore_pm}",
            *(('true_to = "outside"',) if self.true_to else ()),
            f"[outside]\ndiameter = {self.outside}\nplus_minus = {self.outside_pm}",
            f"[width]\nlength = {self.width}\nplus_minus = 0.2",
            *(step.text for step in self.steps),
            "[edges]\nplus_minus = 0.2",
            *(f'{edge} = "{"0.5 x 45" if edge in self.edges else "sharp"}"' for edge in EDGES),
        ]
        return "\n".join(lines)

    @property
    def part(self) -> Part:
        """The part as the planner gets it."""
        return read_part(self.text, name="stepped")


FLANGE = Stepped(steps=(Step(of="outside", end="front", diameter=25.0, depth=12.0),), edges=("front_outer",))
"""A flanged bush: a shank to the front, a flange behind it."""
SPOOL = Stepped(
    steps=(
        Step(of="outside", end="front", diameter=25.0, depth=6.0),
        Step(of="outside", end="back", diameter=24.0, depth=5.0),
    ),
    edges=EDGES,
)
"""Stepped outside on both ends."""
BOTH = Stepped(
    outside=28.5,
    width=20.0,
    steps=(
        Step(of="outside", end="front", diameter=25.0, depth=7.0),
        Step(of="outside", end="back", diameter=26.0, depth=5.0),
        Step(of="bore", end="front", diameter=22.0, depth=5.0),
        Step(of="bore", end="back", diameter=22.0, depth=4.0),
    ),
    edges=EDGES,
)
"""Stepped on both ends, outside and inside."""
STAIRS = Stepped(
    outside=28.5,
    width=20.0,
    steps=(
        Step(of="outside", end="front", diameter=24.0, depth=5.0),
        Step(of="outside", end="front", diameter=26.0, depth=10.0),
    ),
    edges=EDGES,
)
"""Two steps on one end."""
FAR_SIDE = Stepped(steps=(Step(of="bore", end="back", diameter=23.0, depth=6.0),), edges=("back_inner",))
"""A counterbore that is drawn at the back: the other way round it is cut on the bar."""
NAMED = {"flange": FLANGE, "spool": SPOOL, "both": BOTH, "stairs": STAIRS, "far side": FAR_SIDE}


@cache
def random_part(seed: int) -> Part:
    """A random stepped part; the seed names it."""
    chance = random.Random(seed)  # noqa: S311 - draws a test case, no secret
    bore, outside = round(chance.uniform(18.8, 21.0), 2), round(chance.uniform(26.5, 28.5), 2)
    width, middle = round(chance.uniform(12.0, 20.0), 1), (bore + outside) / 2.0
    steps: list[Step] = []
    while not steps:
        for end in ("front", "back"):
            if chance.random() < 0.5:
                depth = round(chance.uniform(2.0, 0.45 * width), 2)
                steps.append(_step(chance, "outside", end, chance.uniform(middle + 1.2, outside - 1.2), depth))
                if depth < 0.3 * width and chance.random() < 0.3:
                    further = round(depth + chance.uniform(1.6, 3.0), 2)
                    dia = (steps[-1].diameter + outside) / 2.0
                    if outside - dia > 1.1:
                        steps.append(_step(chance, "outside", end, dia, further))
            if chance.random() < 0.4:
                depth = round(chance.uniform(2.0, 0.45 * width), 2)
                steps.append(_step(chance, "bore", end, chance.uniform(bore + 1.2, middle - 1.2), depth))
    return Stepped(
        steps=tuple(steps),
        bore=bore,
        outside=outside,
        width=width,
        bore_pm=chance.choice((0.03, 0.05, 0.1)),
        outside_pm=chance.choice((0.04, 0.1)),
        corner=chance.choice((0.3, 0.4, 0.5)),
        edges=tuple(edge for edge in EDGES if chance.random() < 0.5),
    ).part


def _step(chance: random.Random, of: str, end: str, diameter: float, depth: float) -> Step:
    return Step(
        of=of,
        end=end,
        diameter=round(diameter, 2),
        depth=depth,
        diameter_pm=chance.choice((0.03, 0.05, 0.1)),
        depth_pm=chance.choice((0.05, 0.1)),
    )
