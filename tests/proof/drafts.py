"""A ring being drawn up: sizes and limits as they would be typed, and the part file they make."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from handwheel.service.intake.part_file import read_part

FRONT_OUTER, FRONT_INNER, BACK_OUTER, BACK_INNER = "front_outer", "front_inner", "back_outer", "back_inner"
BORE, OUTSIDE, FRONT, BACK = "bore", "outside", "front", "back"
EDGES = (FRONT_OUTER, FRONT_INNER, BACK_OUTER, BACK_INNER)


class Legs(Struct, frozen=True, kw_only=True):
    """Legs of an edge, along the axis and across it. [mm]"""

    along: float
    across: float


class StepDraft(Struct, frozen=True, kw_only=True):
    """A step of the outside or the bore, its shoulder so deep from the face of its end; ``_pm`` either way. [mm]"""

    of: str
    end: str
    diameter: float
    diameter_pm: float
    depth: float
    depth_pm: float

    @property
    def text(self) -> str:
        """The step in a part file."""
        return (
            f'[[{self.of}_step]]\nfrom = "{self.end}"\ndiameter = {self.diameter:.4f}\n'
            f"plus_minus = {self.diameter_pm:.4f}\n"
            f"depth = {{ length = {self.depth:.4f}, plus_minus = {self.depth_pm:.4f} }}"
        )


class RingDraft(Struct, frozen=True, kw_only=True):
    """Sizes of a ring; ``_pm`` is half the width of a tolerance, steps of one end from its face inward. [mm]

    ``thread`` makes the bore a tapped one: it then has the diameter and the limits of the thread's core.
    """

    metal: str
    bore: float
    bore_pm: float
    outside: float
    outside_pm: float
    width: float
    width_pm: float
    edges: Mapping[str, Legs] = field(default_factory=dict)
    edges_pm: float = 0.2
    true_to: bool = False
    bore_ra_um: float | None = None
    outside_ra_um: float | None = None
    steps: tuple[StepDraft, ...] = ()
    corner: float = 0.5
    thread: str = ""

    @property
    def wall_mm(self) -> float:
        """Thickness of the wall. [mm]"""
        return (self.outside - self.bore) / 2.0

    def stack(self, of: str, end: str) -> tuple[StepDraft, ...]:
        """Steps of the outside or the bore at one end, from its face inward."""
        return tuple(step for step in self.steps if (step.of, step.end) == (of, end))

    def depth(self, of: str, end: str) -> float:
        """How far the steps of one end reach, 0 if there are none. [mm]"""
        return max((step.depth for step in self.stack(of, end)), default=0.0)

    def at_face(self, of: str, end: str) -> float:
        """Diameter of the outside or the bore where it meets a face. [mm]"""
        stack = self.stack(of, end)
        return stack[0].diameter if stack else self.bore if of == BORE else self.outside

    def face_wall(self, end: str) -> float:
        """Wall at a face, edges not counted. [mm]"""
        return (self.at_face(OUTSIDE, end) - self.at_face(BORE, end)) / 2.0

    def back_flat(self) -> float:
        """Flat of the back face between its edges. [mm]"""
        legs = (self.edges[edge].across for edge in (BACK_OUTER, BACK_INNER) if edge in self.edges)
        return self.face_wall(BACK) - sum(legs)

    def dias(self, of: str) -> tuple[float, ...]:
        """Every diameter of the outside or the bore. [mm]"""
        return (self.bore if of == BORE else self.outside, *(step.diameter for step in self.steps if step.of == of))

    @property
    def text(self) -> str:
        """The ring as a part file."""
        lines = [
            f'kind = "{"stepped-ring" if self.steps else "plain-ring"}"',
            'name = "drawn ring"',
            f'metal = "{self.metal}"',
            'units = "mm"',
            *((f"corner_radius = {self.corner}",) if self.steps else ()),
            "[bore]",
            *(
                (f'thread = "{self.thread}"',)
                if self.thread
                else (f"diameter = {self.bore:.4f}", f"plus_minus = {self.bore_pm:.4f}")
            ),
            *(('true_to = "outside"',) if self.true_to else ()),
            *((f"finish_ra = {self.bore_ra_um}",) if self.bore_ra_um is not None else ()),
            "[outside]",
            f"diameter = {self.outside:.4f}",
            f"plus_minus = {self.outside_pm:.4f}",
            *((f"finish_ra = {self.outside_ra_um}",) if self.outside_ra_um is not None else ()),
            "[width]",
            f"length = {self.width:.4f}",
            f"plus_minus = {self.width_pm:.4f}",
            *(step.text for step in self.steps),
            "[edges]",
            f"plus_minus = {self.edges_pm:.4f}",
        ]
        for edge in EDGES:
            legs = self.edges.get(edge)
            size = '"sharp"' if legs is None else f"{{ along = {legs.along:.3f}, across = {legs.across:.3f} }}"
            lines.append(f"{edge} = {size}")
        return "\n".join(lines)

    @property
    def part(self) -> Part:
        """The ring as the planner gets it."""
        return read_part(self.text, name="drawn ring")


class Drawn(Struct, frozen=True, kw_only=True):
    """A ring and the shop that is to make it."""

    draft: RingDraft
    shop: Shop
