"""Words for hands and slides: which handle, which way it is turned, where the tool then goes."""

from __future__ import annotations

from handwheel.domain.choice import Choice


class Handle(Choice):
    """A handwheel or crank that moves something."""

    CROSS = "cross-slide"
    TOP = "top slide"
    CARRIAGE = "carriage"
    QUILL = "tailstock quill"


class Turn(Choice):
    """Sense in which the hand turns, seen by the person who turns it."""

    CLOCKWISE = "clockwise"
    ANTICLOCKWISE = "anticlockwise"

    @property
    def other(self) -> Turn:
        """The opposite sense."""
        return Turn.ANTICLOCKWISE if self is Turn.CLOCKWISE else Turn.CLOCKWISE


class Motion(Choice):
    """Where the tool goes: across the bed (in, out) or along it (left to the headstock, right)."""

    IN = "in, towards the centre line"
    OUT = "out, away from the centre line"
    LEFT = "left, towards the headstock"
    RIGHT = "right, towards the tailstock"

    @property
    def other(self) -> Motion:
        """The opposite motion."""
        return _OTHER[self]

    @property
    def across(self) -> bool:
        """Whether the motion is across the bed."""
        return self in (Motion.IN, Motion.OUT)


_OTHER = {Motion.IN: Motion.OUT, Motion.OUT: Motion.IN, Motion.LEFT: Motion.RIGHT, Motion.RIGHT: Motion.LEFT}


class Edge(Choice):
    """What the cutting edge is made of."""

    HSS = "hss"
    CARBIDE = "carbide"
