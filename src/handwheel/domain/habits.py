"""Habits of the one who works at the lathe: times, allowances, paces."""

from msgspec import Struct

from handwheel.domain.errors import ShopError
from handwheel.domain.exact import Fraction

MOST_FAR_CHANCE = 0.2
"""A cut that spoils the part more often than this is no plan; own judgement."""


class Habits(Struct, frozen=True, kw_only=True):
    """How this person works: paces, waiting, time for each handling. Defaults are common practice, no source.

    Paces are seconds for one turn of a small crank that a hand can keep even; the carriage's wheel is about
    ``carriage_wheel_factor`` times as large, so that the same hand takes so many times longer for a turn. Times are
    seconds, allowances are thicknesses in mm; ``finish_cut_mm`` is the depth of each of the two equal last cuts,
    ``quill_push_n`` the thrust that a hand can keep up through the tailstock's wheel [N].

    Weights say what counts among cuts that keep every limit: minutes, money (which takes ``hour_price``, and
    ``edge_price`` for an edge used up, both in one currency), and being gentle with lathe and work.
    ``far_chance`` is the chance that one cut may have of passing the limit from which no metal comes back.
    ``edge_change_s`` is what it takes to put a fresh edge to work: to turn an insert, or to stone a tool and set it
    again.
    """

    hand_pace_fast_s: float = 3.0
    hand_pace_slow_s: float = 30.0
    carriage_wheel_factor: float = 2.5
    finish_cut_mm: float = 0.125
    quill_push_n: float = 2500.0
    tool_change_s: float = 60.0
    touch_s: float = 30.0
    collar_s: float = 20.0
    swing_s: float = 240.0
    regrip_s: float = 120.0
    indicate_s: float = 240.0
    measure_s: float = 40.0
    drill_change_s: float = 45.0
    speed_change_s: float = 20.0
    handling_s: float = 12.0
    cool_s: float = 300.0
    edge_change_s: float = 180.0
    face_stock_mm: float = 1.0
    back_allowance_mm: float = 0.3
    rub_allowance_mm: float = 0.05
    clearance_mm: float = 2.0
    whole_turns_back: Fraction = Fraction(1, 2)
    time_weight: float = 1.0
    cost_weight: float = 0.0
    gentle_weight: float = 0.0
    hour_price: float = 0.0
    edge_price: float = 0.0
    far_chance: float = 0.01

    def __post_init__(self) -> None:
        """Refuse weights by which nothing counts, and money without a price of an hour."""
        if self.time_weight + self.cost_weight <= 0.0:
            msg = "weights: neither time nor cost counts, so no cut is better than another; give one a weight above 0"
            raise ShopError(msg)
        if not 0.0 < self.far_chance <= MOST_FAR_CHANCE:
            msg = (
                f"far_chance: got {self.far_chance:g}, must be above 0 and at most {MOST_FAR_CHANCE:g}; 0.01 lets one "
                "cut in a hundred pass the limit from which no metal comes back"
            )
            raise ShopError(msg)
        if self.cost_weight > 0.0 and self.hour_price <= 0.0:
            msg = f"cost_weight is {self.cost_weight:g}, but an hour has no price; give hour_price"
            raise ShopError(msg)
