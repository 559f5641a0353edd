"""What counts among cuts that keep every limit: seconds, edges used up, gentleness, by the weights of the shop."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from handwheel.data.tool_life import ToolMaterial, usual_exponent
from handwheel.domain.habits import Habits
from handwheel.domain.motion import Edge
from handwheel.physics.tool_life import CARBIDE_TABLE_LIFE_MIN, LifeLaw, law_of_one_test, share_of_life

HSS_TABLE_LIFE_MIN = 60.0
"""How long high speed steel lasts at the upper end of a table; common practice, no source (the handbook says it for
carbide: `CARBIDE_TABLE_LIFE_MIN`)."""
S_PER_MIN, S_PER_HOUR = 60.0, 3600.0
TOOL_MATERIALS = {Edge.HSS: ToolMaterial.HSS, Edge.CARBIDE: ToolMaterial.CARBIDE}
TABLE_LIVES_MIN = {Edge.HSS: HSS_TABLE_LIFE_MIN, Edge.CARBIDE: CARBIDE_TABLE_LIFE_MIN}


class Worth(Struct, frozen=True, kw_only=True):
    """Prices of a schedule in seconds, and the weight of each.

    Parameters
    ----------
    time, cost, gentle : float
        Weights. [1]
    handling_s : float
        What each pass takes beside its cutting. [s]
    edge_change_s : float
        What a fresh edge takes. [s]
    edge_price_s : float
        What an edge costs, in the time that the same money pays for. [s]
    """

    time: float
    cost: float
    gentle: float
    handling_s: float
    edge_change_s: float
    edge_price_s: float

    def seconds(self, passes: int, *, pass_s: float, edge_share: float) -> float:
        """Time of some equal passes, their handling, and the fresh edges that they need, in whole seconds. [s]

        Nobody tells less of an edge: else a spindle would be slowed down to spare a second's worth of it.
        """
        return passes * (pass_s + self.handling_s) + round(passes * edge_share * self.edge_change_s)

    def of(self, passes: int, *, pass_s: float, edge_share: float, load: float) -> float:
        """Worth of some equal passes: the less the better.

        Parameters
        ----------
        passes : int
            How many.
        pass_s : float
            Cutting time of each. [s]
        edge_share : float
            Share of an edge's life that each uses up. [1]
        load : float
            Largest share of any limit that a pass takes up; its square counts, so that a cut near its limit weighs most
            and one far from it hardly. [1]
        """
        edges = passes * edge_share
        seconds = self.seconds(passes, pass_s=pass_s, edge_share=edge_share)
        money_s = seconds + edges * self.edge_price_s
        return self.time * seconds + self.cost * money_s + self.gentle * seconds * load * load


def worth_of(habits: Habits) -> Worth:
    """What counts for this person."""
    paid = habits.hour_price > 0.0
    return Worth(
        time=habits.time_weight,
        cost=habits.cost_weight,
        gentle=habits.gentle_weight,
        handling_s=habits.handling_s,
        edge_change_s=habits.edge_change_s,
        edge_price_s=S_PER_HOUR * habits.edge_price / habits.hour_price if paid else 0.0,
    )


def counts_words(habits: Habits) -> str:
    """What is made least of, in words.

    Examples
    --------
    >>> counts_words(Habits()), counts_words(Habits(gentle_weight=1.0))
    ('least time', 'least time and load (weights 1, 1)')
    """
    weights = (("time", habits.time_weight), ("cost", habits.cost_weight), ("load", habits.gentle_weight))
    counted = [(name, weight) for name, weight in weights if weight > 0.0]
    names = " and ".join(name for name, _ in counted)
    figures = ", ".join(f"{weight:g}" for _, weight in counted)
    return f"least {names}" + (f" (weights {figures})" if len(counted) > 1 else "")


@cache
def life_law(edge: Edge, table_m_min: float) -> LifeLaw:
    """Law of an edge from the upper end of a table: it lasts 60 minutes there in high speed steel, 15 in carbide.

    Feed and depth are left out: tables are made for coarser feeds and deeper cuts than a small lathe takes, at which an
    edge lasts less long, so that the life is rather too short than too long.
    """
    exponent = usual_exponent(TOOL_MATERIALS[edge]).most
    return law_of_one_test(table_m_min, lasted_min=TABLE_LIVES_MIN[edge], n=exponent)


@cache
def life_s(edge: Edge, surface_m_min: float, table_m_min: float) -> float:
    """How long an edge lasts at a cutting speed, no longer than the law is good for. [s]"""
    law = life_law(edge, table_m_min)
    return S_PER_MIN / share_of_life(1.0, cutting_speed_m_min=surface_m_min, law=law)
