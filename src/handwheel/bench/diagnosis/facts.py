"""What is known of the cut that something is wrong with: as planned, or as somebody has typed it."""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.motion import Edge, Handle
from handwheel.domain.part import Units
from handwheel.domain.tools import ToolKind

if TYPE_CHECKING:
    from handwheel.bench.diagnosis.evidence import Evidence


class CutSort(Enum):
    """Kinds of cut that the tables of causes tell apart."""

    TURN = "turn"
    BORE = "bore"
    FACE = "face"
    PART = "part"
    DRILL = "drill"
    REAM = "ream"
    EDGE = "edge"
    HELD = "held"
    """No cut at all: the ring is held, measured or let go."""


class JobFacts(Struct, frozen=True, kw_only=True):
    """What is known of one step of a job; ``None`` or an empty text where nobody knows. Lengths in mm.

    Parameters
    ----------
    units : Units
        Unit in which the maker thinks.
    step : str
        Id of the step.
    cut : CutSort or None
        What kind of cut it makes.
    metal : str
        Key of the metal.
    edge, tool : Edge, ToolKind or None
        What cuts.
    rpm, speeds_rpm : float, tuple of float
        Speed set, and all that the lathe has. [rev/min]
    cut_dia_mm, depth_mm, length_mm : float
        Diameter at the tip, depth on the radius (width of the chip of a blade), way along the work.
    feed_low_mm_rev, feed_high_mm_rev : float
        Feed, or the band that a hand keeps.
    by_hand, feed_handle : bool, Handle
        Whether the hand feeds, and which handle.
    seconds : float
        All cutting of the step. [s]
    nose_radius_mm, entering_deg, edge_radius_um, width_mm, bar_dia_mm, stands_out_mm : float
        The tool: see `handwheel.domain.tools.Tool`; and how far it stands out.
    drill_dia_mm : float
        Drill or reamer.
    outside_dia_mm, bore_dia_mm, free_mm : float
        The work: how large it is now, and how far it stands out of its holding.
    band_mm : float
        Tolerance of the size that this cut makes.
    ra_um : float
        How rough the surface may be. [µm]
    contact_mm : float
        Length of edge that lies on the work at once in an edge cut.
    machine_n_um, heard : float
        Stiffness between tool and work [N/µm]; limits of chatter that the shop has heard over the reckoned ones.
    slack_mm, mark_dia_mm, slide_error_deg, play_mm, gauge_mm : float
        Slack of the slide that sets the depth, across; what a mark of it is worth on the diameter; how far off the
        top slide may be set; how far the quill may wander to any side; how far the gauge may be off.
    held, lobes_mm, jaws : str, float, int
        Kind of holding, what lobes it leaves on the radius, how many jaws it has.
    part_outside_mm, part_bore_mm, part_width_mm : float
        The finished ring.
    """

    units: Units = Units.MM
    step: str = ""
    cut: CutSort | None = None
    metal: str = ""
    edge: Edge | None = None
    tool: ToolKind | None = None
    rpm: float | None = None
    speeds_rpm: tuple[float, ...] = ()
    cut_dia_mm: float | None = None
    depth_mm: float | None = None
    length_mm: float | None = None
    feed_low_mm_rev: float | None = None
    feed_high_mm_rev: float | None = None
    by_hand: bool | None = None
    feed_handle: Handle | None = None
    seconds: float | None = None
    nose_radius_mm: float | None = None
    entering_deg: float = 90.0
    edge_radius_um: float | None = None
    width_mm: float | None = None
    bar_dia_mm: float | None = None
    stands_out_mm: float | None = None
    drill_dia_mm: float | None = None
    outside_dia_mm: float | None = None
    bore_dia_mm: float = 0.0
    free_mm: float | None = None
    band_mm: float | None = None
    ra_um: float | None = None
    contact_mm: float | None = None
    machine_n_um: float | None = None
    heard: float = 1.0
    slack_mm: float | None = None
    mark_dia_mm: float | None = None
    slide_error_deg: float | None = None
    play_mm: float | None = None
    gauge_mm: float | None = None
    held: str = ""
    lobes_mm: float | None = None
    jaws: int | None = None
    part_outside_mm: float | None = None
    part_bore_mm: float | None = None
    part_width_mm: float | None = None

    @property
    def chip_width_mm(self) -> float | None:
        """Width of the chip: of a blade its own, of an edge cut all that lies on the work, else the depth. [mm]"""
        if self.cut is CutSort.PART:
            return self.width_mm
        return self.contact_mm if self.cut is CutSort.EDGE and self.contact_mm is not None else self.depth_mm

    @property
    def inside(self) -> bool:
        """Whether the cut is in a hole."""
        return self.cut in {CutSort.BORE, CutSort.DRILL, CutSort.REAM}


def as_it_was(facts: JobFacts, evidence: Evidence) -> JobFacts:
    """Facts with what somebody has typed in the place of what was planned."""
    feed = evidence.number("feed")
    return replace(
        facts,
        metal=evidence.metal or facts.metal,
        edge=evidence.edge or facts.edge,
        rpm=_typed(evidence, "rpm", facts.rpm),
        cut_dia_mm=_typed(evidence, "diameter", facts.cut_dia_mm),
        depth_mm=_typed(evidence, "depth", facts.depth_mm),
        stands_out_mm=_typed(evidence, "stands_out", facts.stands_out_mm),
        free_mm=_typed(evidence, "stick_out", facts.free_mm),
        feed_low_mm_rev=facts.feed_low_mm_rev if feed is None else feed,
        feed_high_mm_rev=facts.feed_high_mm_rev if feed is None else feed,
    )


def _typed(evidence: Evidence, key: str, planned: float | None) -> float | None:
    typed = evidence.number(key)
    return planned if typed is None else typed
