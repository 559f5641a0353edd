"""How a picture looks at the lathe: from above, as who stands in front of it sees it.

The chuck is on the left, z runs to the right, and x, the distance from the axis, runs downward to the person: the tool
comes from below, "in" is away from the body and "left" is towards the headstock, as the hands move. Only the near half
of the work is cut open, for that is where the tool is.
"""

from __future__ import annotations

from handwheel.domain.contour import Point
from handwheel.drawing.model import Spot

STANDPOINT = "seen from above: chuck left, you below"
"""What every picture of the machine says."""
BY_HAND = "by hand: the flat plate with its paper is drawn on the right"
"""What a picture of work says that is not in the machine."""
IN_THE_HAND = "the face worked on last is on the right"
"""What a picture of work says of which nothing is cut."""


def seen(point: Point) -> Spot:
    """Where a place of the half section lies in the picture. [mm]

    Examples
    --------
    >>> seen(Point(-2.0, 10.0))
    Spot(x_mm=-2.0, y_mm=-10.0)
    """
    return Spot(point.z_mm, 0.0 - point.radius_mm)
