"""Torque of a twist drill by a data handbook's power law: one constant for a whole group of metals."""

from __future__ import annotations

from enum import Enum

from handwheel.domain.errors import require_positive

FEED_EXPONENT, DIAMETER_EXPONENT = 0.75, 1.8
"""Exponents of feed and diameter [MEDH], p. 192; the form of the law from memory."""


class DrilledGroup(Enum):
    """Groups of metals that the handbook knows."""

    ALUMINIUM = "aluminium"
    BRASS = "brass"
    CAST_IRON = "cast iron"
    MILD_STEEL = "mild steel"
    TOOL_STEEL = "tool steel"

    @property
    def constant(self) -> float:
        """Constant of the law, for mm and N m [MEDH], p. 192, opened."""
        return {"aluminium": 0.11, "brass": 0.084, "cast iron": 0.07, "mild steel": 0.36, "tool steel": 0.40}[
            self.value
        ]


def group_drill_torque_nm(drill_dia_mm: float, *, feed_mm_rev: float, group: DrilledGroup) -> float:
    r"""Torque of a twist drill into the full, a third opinion beside Kienzle's and that of Shaw and Oxford.

    .. math:: M = k_D f^{0.75} d^{1.8}

    Parameters
    ----------
    drill_dia_mm : float
        Diameter of the drill, :math:`d`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    group : DrilledGroup
        What is drilled.

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If diameter or feed is not above 0.

    Notes
    -----
    The handbook says nothing of wear, point or hole; it is no ruling limit here, but tells how far opinions lie apart.

    References
    ----------
    [MEDH] p. 192: constants opened, the law from memory.

    Examples
    --------
    >>> round(group_drill_torque_nm(8.0, feed_mm_rev=0.12, group=DrilledGroup.MILD_STEEL), 1)
    3.1
    """
    require_positive("drill_dia_mm", drill_dia_mm, unit="mm")
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    return group.constant * float(feed_mm_rev**FEED_EXPONENT) * float(drill_dia_mm**DIAMETER_EXPONENT)
