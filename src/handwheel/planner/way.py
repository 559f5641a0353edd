"""A way to do a step: holding, tool, angle, path, zeros, schedule; and what a kind of step must bring along."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import IntFlag
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.holding import Holding
from handwheel.domain.hole_tools import Drill, Reamer
from handwheel.domain.motion import Motion
from handwheel.domain.plan import Step
from handwheel.domain.remedies import Remedy
from handwheel.domain.tools import Tool
from handwheel.planner.cut_case import Schedule
from handwheel.planner.dialing import Scale
from handwheel.planner.job import Job

if TYPE_CHECKING:
    from handwheel.planner.writer import Writer


class Zero(IntFlag):
    """Zeros that the search keeps count of: along the bed (on the face), across (on the diameter)."""

    NONE = 0
    ALONG = 1
    ACROSS = 2


class Swing(Struct, frozen=True):
    """Angle of the top slide from the axis, and where its motion to the left takes the tool across."""

    angle_deg: Fraction
    leftward: Motion


PARALLEL_SWING = Swing(Fraction(0), Motion.OUT)


class Way(Struct, frozen=True, kw_only=True):
    """One way to do one step, before geometry has become masks.

    ``path`` is where the tool's reference runs at the last pass (work frame of the holding), entering and leaving
    included; its sweep must be clear of all but what the step removes. ``across`` is the scale that sets the diameter,
    ``reach_mm`` how far a blade or bar must stand out.
    ``cut_ms`` is the cutting with its handling, ``extra_ms`` the measuring and whatever else belongs to the step.
    ``shorter`` holds (step id, ms): what is saved once that step has been done.
    """

    id: str
    step: Step
    holding: Holding
    tool: Tool | None = None
    drill: Drill | None = None
    reamer: Reamer | None = None
    swing: Swing | None = None
    path: tuple[Point, ...] = ()
    after: tuple[str, ...] = ()
    never_after: tuple[str, ...] = ()
    zeros_needed: Zero = Zero.NONE
    zeros_left: Zero = Zero.NONE
    zeros_lost: Zero = Zero.NONE
    schedule: Schedule | None = None
    across: Scale | None = None
    reach_mm: float = 0.0
    cut_ms: int = 0
    extra_ms: int = 0
    shorter: tuple[tuple[str, int], ...] = ()

    @property
    def as_set(self) -> Tool | None:
        """The tool as it is clamped: a blade or bar no further out than ``reach_mm``."""
        if self.tool is None or not self.reach_mm or not self.tool.reach_mm or self.tool.silhouette:
            return self.tool
        return replace(self.tool, reach_mm=self.reach_mm)


class NoWay(Struct, frozen=True, kw_only=True):
    """Why one way to do a step does not exist, and what would change that.

    ``code`` is the stable name of the kind of trouble (`docs/refusals.md` has a section for each), ``remedy`` what
    would help in words, ``remedies`` the same as things that can be tried, each on its own. ``bears_mm`` is the depth
    of cut that the limits bear, where they do not bear the one that was asked for (else 0), ``straight_mm`` the depth
    at which bending keeps to its share of the tolerance as well. [mm]
    """

    step: str
    tried: str
    why: str
    remedy: str = ""
    code: str = ""
    remedies: tuple[Remedy, ...] = ()
    bears_mm: float = 0.0
    straight_mm: float = 0.0


class Kind(Struct, frozen=True, kw_only=True):
    """A kind of step: which steps a job has of it, in which ways each can be done, how its acts are written.

    The search, the reach and the checks of order know kinds by nothing else, so a new kind is one more of these.
    """

    name: str
    steps: Callable[[Job], Iterable[Step]]
    ways: Callable[[Job, Step, Holding], Iterable[Way | NoWay]]
    write: Callable[[Writer, Way], None]
    title: Callable[[Way], str]
