"""What an act is judged in: the part and shop, the machine as it stands, and a place to write refusals."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from handwheel.check.machine import Machine
from handwheel.check.report import Refusal, RefusalCode
from handwheel.check.solids import Obstacle
from handwheel.data.materials import Material
from handwheel.domain.holding import Side
from handwheel.domain.lathe import Lathe
from handwheel.domain.motion import Handle
from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.geometry.profile import part_outline
from handwheel.geometry.region import Region, polygon, turned_round


class Log:
    """Refusals so far; remembers whether the replay lost its footing and must stop."""

    def __init__(self) -> None:
        """Begin empty."""
        self.refusals: list[Refusal] = []
        self.stopped = False

    def add(self, act: str, code: RefusalCode, text: str) -> None:
        """Write a refusal down, unless the same act has the same one already."""
        refusal = Refusal(act=act, code=code, text=text)
        if refusal not in self.refusals:
            self.refusals.append(refusal)


class Case(Struct, frozen=True, kw_only=True):
    """What stays the same through a whole check.

    ``material`` is ``None`` if the tables do not know it; ``ideal`` is the half section of the part in both frames.
    """

    part: Part
    shop: Shop
    material: Material | None
    ideal: dict[Side, Region]

    @property
    def lathe(self) -> Lathe:
        """The shop's lathe."""
        return self.shop.lathe


def case_for(part: Part, shop: Shop, material: Material | None) -> Case:
    """Case of a part and a shop."""
    front = polygon(part_outline(part))
    ideal = {Side.FRONT: front, Side.BACK: turned_round(front, part.width_mm)}
    return Case(part=part, shop=shop, material=material, ideal=ideal)


class Scene(Struct, frozen=True, kw_only=True):
    """One act's view: the case, the machine before it, whose act it is, where refusals go."""

    case: Case
    machine: Machine
    act: str
    log: Log

    def refuse(self, code: RefusalCode, text: str) -> None:
        """Write a refusal of this act down; the replay goes on."""
        self.log.add(self.act, code, text)

    def stop(self, code: RefusalCode, text: str) -> Machine:
        """Write a refusal down after which nothing can be said of the acts that follow."""
        self.refuse(code, text)
        self.log.stopped = True
        return self.machine

    def slide(self, handle: Handle) -> Slide:
        """Slide that the handle moves."""
        return self.case.lathe.slide(handle)

    def on(self, machine: Machine) -> Scene:
        """Return the same view with another machine, for an act that is judged in two goes."""
        return replace(self, machine=machine)


def obstacles(machine: Machine) -> tuple[Obstacle, ...]:
    """All that a tool must not enter without cutting: work in the machine, its far side, holding, bar stub."""
    found: list[Obstacle] = list(machine.bodies)
    if machine.work is not None and machine.in_machine:
        found += (machine.work.near, machine.work.far)
    if machine.stub is not None:
        found += (machine.stub.near, machine.stub.far)
    return tuple(found)
