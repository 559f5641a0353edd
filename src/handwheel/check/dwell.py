"""Whether the tool is left standing in a cut that turns, in a metal whose skin hardens where an edge rubs."""

from __future__ import annotations

from handwheel.check.limits import hardens
from handwheel.check.machine import Machine
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.solids import leg_hull
from handwheel.domain import acts as a
from handwheel.domain.tools import PieceRole
from handwheel.geometry.region import distance_mm

TOUCHES_MM = 1e-3
"""An edge that is nearer to the metal than this rubs on it."""
WAITS = (
    a.SetSpeed,
    a.SetFeed,
    a.SetZero,
    a.SetCollar,
    a.SetReadout,
    a.Lock,
    a.Unlock,
    a.Cool,
    a.Measure,
    a.Indicate,
    a.HandStep,
)
"""Acts during which nothing feeds and the tool stays where it is."""


def check_dwell(scene: Scene, act: object) -> None:
    """Refuse an act that leaves the edge rubbing where a cut has just ended."""
    machine, material = scene.machine, scene.case.material
    if material is None or not isinstance(act, WAITS) or not machine.turns or machine.severed or not hardens(material):
        return
    just_before = machine.step - 1
    if just_before in machine.cut_at.values() and machine.reamed_at != just_before and _touches(machine):
        scene.refuse(
            RefusalCode.DWELLS,
            f"the tool stays in the cut that has just ended, and {material.name} turns: the edge rubs and hardens the "
            "skin; withdraw it first, or stop the spindle",
        )


def _touches(machine: Machine) -> bool:
    """Whether an edge of the tool still lies on the work; past the centre it stands clear of it."""
    if machine.fitted is None or machine.place is None or machine.work is None:
        return False
    edges = (piece for piece in machine.fitted.shape.pieces if piece.role is PieceRole.EDGE)
    return any(
        distance_mm(leg_hull(piece, machine.place, machine.place), machine.work.region) < TOUCHES_MM for piece in edges
    )
