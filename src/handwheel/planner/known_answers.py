"""What is worked out once while one part is planned: most of it is the same for every ladder, blade and remedy."""

from __future__ import annotations

from handwheel.data.materials import Material
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import Lathe
from handwheel.geometry.bites import KnownBites
from handwheel.planner.cut_case import Schedules


class KnownAnswers:
    """Schedules of cuts, and which tools bite which metal on their way; a new one begins empty."""

    def __init__(self) -> None:
        self.bites = KnownBites()
        self._schedules: dict[tuple[Lathe, Habits, str], Schedules] = {}

    def schedules(self, lathe: Lathe, habits: Habits, material: Material) -> Schedules:
        """Those of a lathe with the habits of its user and a metal."""
        return self._schedules.setdefault((lathe, habits, material.key), {})
