"""The kinds of step the planner knows; each module brings steps, ways and acts of one kind."""

from __future__ import annotations

from handwheel.planner.kinds import bore, drill, edge, face, groove, part, ream, shoulder, tap, turn
from handwheel.planner.way import Kind

KINDS: tuple[Kind, ...] = (
    face.KIND,
    face.BACK_KIND,
    drill.KIND,
    turn.KIND,
    bore.KIND,
    ream.KIND,
    tap.KIND,
    shoulder.KIND,
    edge.KIND,
    groove.KIND,
    part.KIND,
)
