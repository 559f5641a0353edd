"""One variant of a job: part, shop, bar, ladder and allowances settled, all else still open."""

from __future__ import annotations

from functools import cached_property
from math import ceil

from msgspec import Struct, field

from handwheel.data.materials import Material
from handwheel.domain.bars import Bar
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.holding import Side
from handwheel.domain.hole_tools import Drill, DrillKind, Reamer, Tap
from handwheel.domain.part import BACK_OUTER_EDGE, BORE, OUTSIDE, Aspect, Part, Units
from handwheel.domain.shop import Shop
from handwheel.domain.size import Size
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.geometry.bites import KnownBites
from handwheel.geometry.tool_shapes import silhouette
from handwheel.planner.cut_case import Schedules
from handwheel.planner.dialing import (
    PARALLEL,
    Scale,
    carriage_scale,
    cross_scale,
    rest_scale,
    steps_at_least,
    top_scale,
)
from handwheel.planner.gentler import Gentler
from handwheel.planner.ledges import Ledge, ledges_of

LENGTH_ROOM_MM = 1.0
"""What the range of a length aid has in hand beyond the places that are planned: they are rounded to whole steps.

Common practice, no source."""
BACK_MM, BACK_SHARE = 0.1, 0.5
"""How far off a carriage may come back, at most, and as a share of a depth's tolerance; common practice, no source."""
SQUARE_DEG = 90.0
"""Entering angle of a blade that is ground square."""
OVERRUN_MM = 2.0
"""How far the bore runs past the parting slot; common practice, no source."""
REAM_PAST_MM = 0.5
"""How far past the parting slot the full diameter of a reamer goes; common practice, no source."""
DRILL_BEYOND_MM = 2.0
"""How far the drill goes past the end of the bore; common practice, no source."""
TURN_OVERRUN_MM = 2.0
"""How far the outside is turned past it, so that a blade's holder clears the bar; common practice, no source."""
POINT_GAP_MM = 0.15
"""Room between the point of an edge tool and the corner it leaves, so that its flank cuts and not its point."""
DRILL_CLEAR_DIA_MM = 0.5
"""A drill stays this much below the rough bore: it cuts oversize and wanders (0.05 to 0.15 mm at 10 mm in steel,
common practice)."""


class Reaming(Struct, frozen=True, kw_only=True):
    """A bore finished by a reamer, after boring or straight after the last drill; it finds ``core_dia_mm``.

    ``allowance_mm`` is what it may be left to cut on the diameter, least and most.
    """

    reamer: Reamer
    is_bored: bool
    core_dia_mm: float
    allowance_mm: tuple[float, float]


class LastCut(Struct, frozen=True, kw_only=True):
    """Depth of each of the two equal last cuts on a surface, at least and at most: what steps of a dial make of it.

    By habit it is as little as may be, ``lighter`` ones are as deep as may be; ``unbent`` ones are lighter although the
    habit would go, for they bend less. [mm]
    """

    least_mm: float
    most_mm: float
    lighter: bool = False
    unbent: bool = False

    @property
    def usual_mm(self) -> float:
        """Depth that is aimed at. [mm]"""
        return self.most_mm if self.lighter else self.least_mm


class Job(Struct, frozen=True, kw_only=True, eq=False, dict=True):
    """All that is settled before the order is searched. Lengths in mm, part frame.

    ``back_allowance_mm`` is the metal left behind the finished back face when the ring is parted, already rounded so
    that the blade's place is a whole step; ``face_stock_mm`` likewise at the front. ``finish_cut_mm`` is the habit for
    each of the two last cuts, ``lighter_cuts`` names the surfaces whose limits do not bear it, ``fine_surfaces`` those
    whose last cuts go by the swung top slide although whole steps of the cross-slide would do, ``schedules`` is what
    jobs for the same lathe, habits and metal share, ``bites`` what all jobs for one part share, ``gentler`` what the
    cuts are to be gentler than, if so much is asked. ``stands_out_mm`` is how far tools stand out (holding, tool),
    where that is settled by other steps than the one that is looked at.
    """

    part: Part
    shop: Shop
    material: Material
    bar: Bar
    blade: Tool
    drills: tuple[Drill, ...]
    face_stock_mm: float
    back_allowance_mm: float
    finish_cut_mm: float
    lighter_cuts: tuple[tuple[str, LastCut], ...] = ()
    fine_surfaces: frozenset[str] = frozenset()
    reaming: Reaming | None = None
    sized_by_drill: bool = False
    gentler: Gentler | None = None
    stands_out_mm: tuple[tuple[tuple[str, str], float], ...] = ()
    schedules: Schedules = field(default_factory=dict)
    bites: KnownBites = field(default_factory=KnownBites)

    @property
    def units(self) -> Units:
        """Units in which the maker thinks."""
        return self.part.units

    def __eq__(self, other: object) -> bool:
        """Whether the same is settled in both; what they have worked out does not count."""
        return isinstance(other, Job) and self._settled == other._settled

    def __hash__(self) -> int:
        """Hash of what is settled."""
        return hash(self._settled)

    @property
    def _settled(self) -> tuple[object, ...]:
        return tuple(getattr(self, name) for name in self.__struct_fields__ if name not in ("schedules", "bites"))

    @cached_property
    def width_mm(self) -> float:
        """Finished width."""
        return self.part.width_mm

    @cached_property
    def bore_radius_mm(self) -> float:
        """Finished bore, as it is to be cut."""
        return self.part.bore_radius_mm

    @cached_property
    def outside_radius_mm(self) -> float:
        """Finished outside, as it is to be cut."""
        return self.part.outside_radius_mm

    @cached_property
    def ledges(self) -> tuple[Ledge, ...]:
        """Steps of the part's outside and hole, the deepest of each end first."""
        return ledges_of(self.part)

    def ledge(self, surface: str) -> Ledge | None:
        """Ledge of that cylinder or shoulder, or ``None`` if it is none."""
        return next((ledge for ledge in self.ledges if surface in (ledge.surface, ledge.shoulder)), None)

    def stack(self, side: Side, *, inner: bool) -> tuple[Ledge, ...]:
        """Ledges of one end of the outside or of the hole, the deepest first."""
        return tuple(ledge for ledge in self.ledges if ledge.side is side and ledge.inner is inner)

    def at_face(self, side: Side, *, inner: bool) -> tuple[str, float]:
        """Cylinder that meets the face of an end: its name and its finished radius."""
        stack = self.stack(side, inner=inner)
        if stack:
            return stack[-1].surface, stack[-1].radius_mm
        return (BORE, self.bore_radius_mm) if inner else (OUTSIDE, self.outside_radius_mm)

    @cached_property
    def memo(self) -> dict[object, object]:
        """What has been worked out once for this job."""
        return {}

    @cached_property
    def bar_radius_mm(self) -> float:
        """Radius that the turning bar sweeps: of a hexagon over its corners."""
        return self.bar.swept_dia_mm / 2.0

    @cached_property
    def grip_radius_mm(self) -> float:
        """Radius on which the chuck's jaws grip the bar: of a hexagon on its flats."""
        return float(self.bar.dia_mm) / 2.0

    @cached_property
    def bar_bore_radius_mm(self) -> float:
        """Radius of the hole that the bar has from the start, 0 unless it is a tube."""
        return float(self.bar.bore_mm) / 2.0

    @cached_property
    def leave_mm(self) -> float:
        """Left by habit for the two equal last cuts (a radius)."""
        return 2.0 * self.finish_cut_mm

    def last_cut(self, surface: str) -> LastCut:
        """Depth of each of the two equal last cuts on a cylinder."""
        for lighter, cut in self.lighter_cuts:
            if lighter == surface:
                return cut
        return LastCut(least_mm=self.finish_cut_mm, most_mm=1.5 * self.finish_cut_mm)

    def leaves_mm(self, surface: str) -> float:
        """Left on a cylinder for the two equal last cuts (a radius)."""
        return 2.0 * self.last_cut(surface).usual_mm

    @cached_property
    def raw_back_mm(self) -> float:
        """Z of the face that parting leaves."""
        return -(self.width_mm + self.back_allowance_mm)

    @cached_property
    def kerf_end_mm(self) -> float:
        """Z of the far side of the parting slot."""
        return self.raw_back_mm - self.blade.width_mm

    @cached_property
    def groover(self) -> Tool | None:
        """Tool that may cut the groove behind the ring: ground square, so that it leaves two corners."""
        square = [
            tool
            for tool in self.shop.tools
            if tool.kind is ToolKind.GROOVING or (tool.kind is ToolKind.PARTING and tool.entering_deg >= SQUARE_DEG)
        ]
        return min(square, key=lambda tool: (tool.kind is not ToolKind.GROOVING, tool.id), default=None)

    @cached_property
    def turn_end_mm(self) -> float:
        """Z to which the outside is turned: past the parting slot, any groove, and the flank of a far edge tool."""
        groove = self.groover.width_mm if self.groover else 0.0
        flank = max(self._far_flank_mm, self.raw_back_mm - self._far_form_left_mm(below_mm=self.bar_radius_mm))
        return self.raw_back_mm - max(self.blade.width_mm, groove, flank) - TURN_OVERRUN_MM

    def _far_form_left_mm(self, *, below_mm: float) -> float:
        """Leftmost z, nearer to the axis than a radius, of the form tools that may round the far edge on the bar."""
        if self.part.feature(BACK_OUTER_EDGE, Aspect.RADIUS) is None or self.stack(Side.BACK, inner=False):
            return self.raw_back_mm
        found = [
            tool.hollow_radius_mm - self.width_mm + min(p.z_mm for p in piece.points)
            for tool in self.shop.tools
            if tool.kind is ToolKind.FORM_OUTSIDE and tool.hand is Hand.LEFT
            for piece in silhouette(tool)
            if self.outside_radius_mm - tool.hollow_radius_mm + min(p.radius_mm for p in piece.points) < below_mm
        ]
        return min((*found, self.raw_back_mm))

    @cached_property
    def _far_flank_mm(self) -> float:
        """How far behind the ring the flank of a V-shaped tool comes at the bar's radius while it cuts the far edge."""
        legs = self.part.feature(BACK_OUTER_EDGE, Aspect.LEG_AXIAL)
        if (
            legs is None
            or self.stack(Side.BACK, inner=False)
            or not any(tool.kind is ToolKind.EDGE_OUTSIDE for tool in self.shop.tools)
        ):
            return 0.0
        deep = float(legs.size.cut_target) + self.back_allowance_mm + POINT_GAP_MM
        return self.bar_radius_mm - self.outside_radius_mm + deep + POINT_GAP_MM

    @cached_property
    def bore_end_mm(self) -> float:
        """Z to which the bore runs: past the parting slot, so that parting opens into it."""
        return self.kerf_end_mm - OVERRUN_MM - self.lead_mm

    @cached_property
    def drill_end_mm(self) -> float:
        """Z that the full diameter of the drills reaches: no boring tool, reamer or tap ever meets the bottom."""
        return self.bore_end_mm - DRILL_BEYOND_MM

    @cached_property
    def lead_mm(self) -> float:
        """Room that the lead of a reamer or tap needs beyond the parting slot."""
        reamer = 0.0 if self.reaming is None else self.reaming.reamer.lead_mm
        return max(reamer, 0.0 if self.tap is None else self.tap.lead_mm)

    @cached_property
    def ream_end_mm(self) -> float:
        """Z to which the full diameter of a reamer goes: through the parting slot."""
        return self.kerf_end_mm - REAM_PAST_MM

    @cached_property
    def tap(self) -> Tap | None:
        """Tap that cuts the thread of the bore, the one with the shortest lead; ``None`` if there is none."""
        fit = [tap for tap in self.shop.taps if tap.thread == self.part.thread]
        return min(fit, key=lambda tap: (tap.lead_mm, tap.id), default=None)

    @cached_property
    def rough_bore_mm(self) -> float:
        """Radius that roughing leaves in the bore: what the two last cuts, or a reamer, then find."""
        if self.reaming is None:
            return self.bore_radius_mm - self.leaves_mm(BORE)
        return self.reaming.core_dia_mm / 2.0

    @cached_property
    def hole_radius_mm(self) -> float:
        """Radius of the hole before it is bored, 0 if there is none."""
        drilled = (float(d.dia_mm) / 2.0 for d in self.drills if d.kind is DrillKind.TWIST)
        return max((self.bar_bore_radius_mm, *drilled))

    @cached_property
    def stick_out_mm(self) -> float:
        """Bar outside the jaws: whole millimetres that let every tool stand at the far end clear of the jaws."""
        deepest = self.turn_end_mm
        for tool in self.shop.tools:
            left = -min(p.z_mm for piece in silhouette(tool) for p in piece.points)
            if tool.kind in (ToolKind.PARTING, ToolKind.GROOVING):
                deepest = min(deepest, self.raw_back_mm - tool.width_mm - left)
            elif tool.kind is ToolKind.EDGE_OUTSIDE:
                deepest = min(deepest, self.raw_back_mm - POINT_GAP_MM - left)
        deepest = min(
            deepest, self._far_form_left_mm(below_mm=self.shop.lathe.chuck.front_radius_mm(self.grip_radius_mm))
        )
        return float(ceil(self.face_stock_mm - deepest + self.shop.habits.clearance_mm))

    @cached_property
    def jaw_face_mm(self) -> float:
        """Z of the front of the chuck's jaws."""
        return self.face_stock_mm - self.stick_out_mm

    @cached_property
    def cross(self) -> Scale | None:
        """Scale of the cross-slide."""
        return cross_scale(self.shop.lathe.cross)

    @cached_property
    def top(self) -> Scale | None:
        """Scale of the top slide while parallel."""
        return top_scale(self.shop.lathe.top, PARALLEL)

    @cached_property
    def carriage(self) -> Scale | None:
        """What tells where the carriage is, as far as it has to go."""
        return carriage_scale(self.shop.lathe.carriage, reach_mm=self.length_reach_mm)

    @cached_property
    def length_reach_mm(self) -> float:
        """How far along the bed lengths have to be told: from the raw face to the end of turning and boring. [mm]"""
        return self.face_stock_mm - min(self.turn_end_mm, self.bore_end_mm) + LENGTH_ROOM_MM

    @cached_property
    def carriage_beside_top(self) -> Scale | None:
        """What the carriage is brought back by while the top slide is parallel.

        Where the top slide feeds along, the carriage stands locked, and lengths count on its place: rather than by a
        rule it comes back to a stop or an indicator that is put against it, however far that reaches.
        """
        lathe, scale = self.shop.lathe, self.carriage
        by_hand = not lathe.feeds_along and lathe.top.dial is not None
        finds_back = scale is not None and scale.error_back_mm <= BACK_MM
        return scale if not by_hand or finds_back else rest_scale(lathe.carriage) or scale

    @cached_property
    def carriage_comes_back(self) -> bool:
        """Whether the carriage may go while the top slide counts lengths: it comes back as near as the depths ask.

        Diameters run past their ends, and other tools touch anew: there a tenth of a millimetre is near enough.
        """
        rest = self.carriage_beside_top
        depths = (float(self.size(ledge.shoulder, Aspect.DEPTH).band) for ledge in self.ledges)
        return rest is not None and rest.error_back_mm <= min((BACK_MM, *(BACK_SHARE * band for band in depths)))

    @cached_property
    def length(self) -> Scale | None:
        """What lengths are set by while the top slide is parallel: its dial, else what tells of the carriage."""
        return self.top or self.carriage

    def size(self, surface: str, aspect: Aspect) -> Size:
        """Size of a surface; raises `KeyError` if the part states none."""
        feature = self.part.feature(surface, aspect)
        if feature is None:
            raise KeyError(surface)
        return feature.size

    @cached_property
    def bore_size(self) -> Size:
        """Size of the bore."""
        return self.size(BORE, Aspect.DIAMETER)

    @cached_property
    def outside_size(self) -> Size:
        """Size of the outside."""
        return self.size(OUTSIDE, Aspect.DIAMETER)


def whole_steps_mm(length_mm: float, scale: Scale | None, *, beyond_mm: float = 0.0) -> float:
    """Least length not below one wanted such that ``beyond_mm + length`` is a whole number of steps of a scale. [mm]"""
    if scale is None:
        return length_mm
    step = scale.step_mm
    return float(
        steps_at_least(beyond_mm + length_mm, float(step)) * step - Fraction(beyond_mm).limit_denominator(10**9)
    )


def rect(z_low_mm: float, z_high_mm: float, r_low_mm: float, r_high_mm: float) -> tuple[Point, ...]:
    """Outline of a rectangle of the half section."""
    return (
        Point(z_low_mm, r_low_mm),
        Point(z_high_mm, r_low_mm),
        Point(z_high_mm, r_high_mm),
        Point(z_low_mm, r_high_mm),
    )
