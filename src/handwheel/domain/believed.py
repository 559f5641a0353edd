"""What a plan took from beliefs in place of figures of the shop file."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.choice import Choice
from handwheel.domain.exact import Fraction


class Quantity(Choice):
    """What is learned; units, and what is believed beforehand, stand in ``data/belief_priors.csv``."""

    SPRING = "spring share"
    TOUCH_ERROR = "touch error"
    EDGE_WEAR = "edge wear"
    DRILL_OVERSIZE = "drill oversize"
    LEAD_ERROR = "lead error"
    SLACK = "slack"
    TAPER = "taper"
    ANGLE_ERROR = "angle error"
    GAUGE_BIAS = "gauge bias"
    GAUGE_SPREAD = "gauge spread"
    RUNOUT = "runout"
    TIME = "time"
    SPINDLE_SPEED = "spindle speed"
    POLISH_LOSS = "polish loss"


class BeliefChange(Struct, frozen=True, kw_only=True):
    """One figure of the shop that a plan takes from a belief.

    Parameters
    ----------
    quantity : Quantity
        Which belief. It settles what is changed: a time its habit, a speed its rev/min, a lead error the lead of the
        dial (by a factor), a slack the slack, a spread or bias the trust in a gauge, a runout that of the holding, an
        oversize of drills the play of the tailstock.
    thing : str
        Which one.
    was, now : Fraction
        Figure of the shop file, and the one in its place; exact. Of a lead error the factor, 1 before.
    value, spread : float
        What is believed, and its standard uncertainty, in the unit of the quantity.
    """

    quantity: Quantity
    thing: str
    was: Fraction
    now: Fraction
    value: float
    spread: float


class Believed(Struct, frozen=True, kw_only=True):
    """What a plan took from beliefs: which version of them, as of which day, and each figure that it changed.

    The plan holds the figures themselves, so that what is learned later does not touch a plan that is being worked by.
    """

    version: str
    date: str
    changes: tuple[BeliefChange, ...]
