"""What a minute, an edge, a pass and a piece cost, and how edge life enters."""

from __future__ import annotations

from msgspec import Struct


class Economy(Struct, frozen=True, kw_only=True):
    r"""Prices of a piece.

    .. math:: C = k_0 (t_m + t_c + n\,t_h) + (k_0 t_e + k_t) \sum_i t_i / T_i

    Parameters
    ----------
    minute_cost, edge_cost : float
        :math:`k_0` [cost/min], :math:`k_t` [cost].
    load_min, pass_min, change_min : float
        Loading of a piece, travel of a pass, change of an edge: :math:`t_c, t_h, t_e`. [min]

    References
    ----------
    The classical cost of a piece, as in [GROOVER] machining economics (from memory) and the multi-pass literature.
    """

    minute_cost: float
    edge_cost: float
    change_min: float
    load_min: float = 0.0
    pass_min: float = 0.0

    @property
    def edge_charge(self) -> float:
        """What the end of an edge costs: the edge and the minutes of its change. [cost]"""
        return self.minute_cost * self.change_min + self.edge_cost

    def idle_cost(self, passes: int) -> float:
        """Cost of loading and of the travel of all passes. [cost]"""
        return self.minute_cost * (self.load_min + self.pass_min * passes)

    def cost(self, passes: int, *, cutting_min: float, edges: float) -> float:
        """Cost of a piece from its passes, its minutes of cutting and the share of edges that it uses up. [cost]"""
        return self.minute_cost * cutting_min + self.idle_cost(passes) + self.edge_charge * edges
