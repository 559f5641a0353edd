"""Steps drawn onto a ring: high enough for roughing and two last cuts, in a wall that bears them."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, radians, tan
from random import Random

from msgspec.structs import replace

from tests.proof.drafts import (
    BACK,
    BACK_INNER,
    BACK_OUTER,
    BORE,
    FRONT,
    FRONT_INNER,
    FRONT_OUTER,
    OUTSIDE,
    RingDraft,
    StepDraft,
)

LEAST_WALL_MM = 1.5
"""Wall that steps leave at a face between its edges."""
LEAST_LAND_MM = 1.3
"""Length of a step that is left beside edge and corner: a micrometer's anvil, and room for a tip to run out."""
MOST_DEPTH_SHARE = 0.42
"""Depth of the steps of one end as a share of the width: those of both ends never meet."""
EDGE_OF = {
    (OUTSIDE, FRONT): FRONT_OUTER,
    (BORE, FRONT): FRONT_INNER,
    (OUTSIDE, BACK): BACK_OUTER,
    (BORE, BACK): BACK_INNER,
}


@dataclass(frozen=True, kw_only=True)
class StepRules:
    """What a shop can do on steps: least height, half a tolerance's least width across and along. [mm]"""

    height: float
    across_pm: float
    along_pm: float


def step_rules(*, cut: float, step: float, floor: float, along: float, lean_deg: float, corner: float) -> StepRules:
    """Rules from depth of a last cut, step of the cross-slide, the metal's least cut, step along the bed. [mm]

    The ridge that a leaning edge leaves beside the corner is as high as the last cuts times the tangent of its lean.
    """
    ridge = (2.0 * cut + 2.0 * step) * tan(radians(lean_deg))
    return StepRules(
        height=max(2.0 * cut + 2.0 * max(step, floor) + 0.3, corner + 0.4),
        across_pm=step,
        along_pm=max(1.02 * along, 2.0 * ridge + 0.02, 0.03),
    )


def with_steps(chance: Random, draft: RingDraft, rules: StepRules, places: tuple[tuple[str, str], ...]) -> RingDraft:
    """The ring with steps at some of the places that it may have them."""
    for of, end in chance.sample(places, len(places)):
        if not draft.steps or chance.random() < 0.4:
            draft = _with_stack(chance, draft, rules, of, end)
    return draft


def _with_stack(chance: Random, draft: RingDraft, rules: StepRules, of: str, end: str) -> RingDraft:
    """The ring with one step, or two, at one place; as it was if it has no room for any."""
    room = draft.face_wall(end) - LEAST_WALL_MM - _legs_across(draft, end)
    most_depth = MOST_DEPTH_SHARE * draft.width
    legs = draft.edges.get(EDGE_OF[of, end])
    least_depth = LEAST_LAND_MM + draft.corner + (legs.along if legs is not None else 0.0)
    if room < rules.height or most_depth < least_depth:
        return draft
    sign = -1.0 if of == OUTSIDE else 1.0
    main = draft.at_face(of, end)
    height = chance.uniform(rules.height, min(room, rules.height + 2.5))
    depth = round(chance.uniform(least_depth, most_depth), 2)
    first = _step(chance, rules, of, end, main + sign * 2.0 * height, depth)
    found = [first]
    further = depth + draft.corner + LEAST_LAND_MM
    if height >= 2.0 * rules.height + 0.1 and further < most_depth and chance.random() < 0.6:
        between = main + sign * 2.0 * chance.uniform(rules.height, height - rules.height)
        found.append(_step(chance, rules, of, end, between, round(chance.uniform(further, most_depth), 2)))
    return _without_deep_edges(replace(draft, steps=(*draft.steps, *found)), of, end)


def _legs_across(draft: RingDraft, end: str) -> float:
    edges = (draft.edges.get(edge) for (_, of_end), edge in EDGE_OF.items() if of_end == end)
    return sum(legs.across for legs in edges if legs is not None)


def _step(chance: Random, rules: StepRules, of: str, end: str, dia: float, depth: float) -> StepDraft:
    return StepDraft(
        of=of,
        end=end,
        diameter=round(dia, 2),
        # two equal cuts end on every second step of the dial alone where they are few
        diameter_pm=_up(rules.across_pm * chance.uniform(1.02, 6.0)),
        depth=depth,
        depth_pm=_up(rules.along_pm * chance.uniform(1.0, 5.0)),
    )


def _without_deep_edges(draft: RingDraft, of: str, end: str) -> RingDraft:
    """The ring with that edge sharp where the side of an edge tool would meet the shoulder before the edge is cut."""
    edge = EDGE_OF[of, end]
    legs, first = draft.edges.get(edge), draft.stack(of, end)[0]
    main = draft.bore if of == BORE else draft.outside
    height = abs(first.diameter - main) / 2.0
    if legs is None or height + legs.along + 1.0 < first.depth:
        return draft
    return replace(draft, edges={name: size for name, size in draft.edges.items() if name != edge})


def _up(value_mm: float) -> float:
    return ceil(value_mm * 1e4) / 1e4
