"""What a sheet and a shop say of one step: the facts that a diagnosis goes by."""

from __future__ import annotations

from itertools import groupby
from math import hypot, radians, sin
from typing import TYPE_CHECKING

from handwheel.bench.diagnosis.facts import CutSort, JobFacts
from handwheel.data.chatter_factor import chatter_factor
from handwheel.domain import acts as a
from handwheel.domain.chatter import learner_of
from handwheel.domain.hole_tools import Drill, Reamer
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import BORE, OUTSIDE, Aspect
from handwheel.domain.tools import Tool, ToolKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from handwheel.domain.holding import Holding
    from handwheel.domain.part import Part
    from handwheel.domain.plan import Sheet
    from handwheel.domain.shop import Shop

_BLADES = (ToolKind.PARTING, ToolKind.GROOVING)
_EDGE_ENDS = "-edge"
_BY_QUILL = (CutSort.DRILL, CutSort.REAM)


def job_facts(sheet: Sheet, shop: Shop, step: str) -> JobFacts:
    """Facts of a step, as planned.

    Parameters
    ----------
    sheet : Sheet
        The sheet of the plan.
    shop : Shop
        The shop that it was made for.
    step : str
        Number of a step on the sheet, or its id.

    Returns
    -------
    JobFacts
        What stands on the sheet up to the end of the step; of its last cut, if it makes any.

    Raises
    ------
    KeyError
        If the sheet has no such step, or names something that the shop does not have.
    """
    groups = [(name, tuple(acts)) for name, acts in groupby(sheet.acts, key=lambda act: act.step)]
    for number, (name, _) in enumerate(groups, start=1):
        if step in (str(number), name):
            seen = _Seen(sheet.part, shop)
            for _, earlier in groups[:number]:
                seen.begin_step()
                for act in earlier:
                    seen.see(act)
            return seen.facts(name, groups[number - 1][1])
    raise KeyError(step)


class _Seen:
    """What has been set, held and cut so far, act by act."""

    def __init__(self, part: Part, shop: Shop) -> None:
        self.part, self.shop = part, shop
        self.holding: Holding | None = None
        self.tool: Tool | None = None
        self.drill: Drill | Reamer | None = None
        self.stands_out_mm = 0.0
        self.speed: a.SetSpeed | None = None
        self.feeds: dict[Handle, a.SetFeed] = {}
        self.swing: a.SwingSlide | None = None
        self.outside_dia_mm, self.bore_dia_mm = 0.0, 0.0
        self.cut: a.Cut | a.DrillHole | a.ReamHole | None = None
        self.measured: a.Measure | None = None
        self.seconds = 0.0

    def begin_step(self) -> None:
        """Forget the cuts of the last step."""
        self.cut, self.measured, self.seconds = None, None, 0.0

    def see(self, act: a.Act) -> None:
        """Take in one act."""
        match act:
            case a.LoadBar():
                self.holding, self.outside_dia_mm, self.bore_dia_mm = act.holding, act.holding.grip_dia_mm, 0.0
                self.bore_dia_mm = float(self.shop.bar(act.bar).bore_mm)
            case a.Regrip():
                self.holding = act.holding
            case a.FitTool() | a.FitDrill() | a.FitReamer():
                self._see_fitted(act)
            case a.SetSpeed():
                self.speed = act
            case a.SetFeed():
                self.feeds[act.handle] = act
            case a.SwingSlide():
                self.swing = act
            case a.Cut() | a.DrillHole() | a.ReamHole():
                self._see_cut(act)
            case a.Measure(aspect=Aspect.DIAMETER.value):
                self._see_measured(act)
            case _:
                pass

    def _see_fitted(self, act: a.FitTool | a.FitDrill | a.FitReamer) -> None:
        match act:
            case a.FitTool():
                self.tool, self.stands_out_mm = self.shop.tool(act.tool), act.stands_out_mm
            case a.FitDrill():
                self.drill = self.shop.drill(act.drill)
            case a.FitReamer():
                self.drill = self.shop.reamer(act.reamer)

    def _see_cut(self, act: a.Cut | a.DrillHole | a.ReamHole) -> None:
        self.cut = act
        self.seconds += act.seconds
        if self.drill is not None and not isinstance(act, a.Cut):
            self.bore_dia_mm = max(self.bore_dia_mm, float(self.drill.dia_mm))

    def _see_measured(self, act: a.Measure) -> None:
        self.measured = act
        if act.surface == BORE:
            self.bore_dia_mm = act.expected_mm
        elif act.surface == OUTSIDE:
            self.outside_dia_mm = act.expected_mm

    def facts(self, step: str, acts: Sequence[a.Act]) -> JobFacts:
        """Put together what is known at the end of the step."""
        holding, lathe = self.holding, self.shop.lathe
        sort = self._sort()
        most_rpm = holding.max_rpm if holding is not None else float("inf")
        toolpost = self.tool if isinstance(self.cut, a.Cut) else None
        feed = self._feed()
        return JobFacts(
            units=self.part.units,
            step=step,
            cut=sort,
            metal=self.part.material,
            edge=toolpost.edge if toolpost is not None else self._edge_of_drill(sort),
            tool=toolpost.kind if toolpost is not None else None,
            rpm=self.speed.rpm if self.speed is not None and self.cut is not None else None,
            speeds_rpm=tuple(speed.rpm for speed in lathe.speeds if speed.fastest_rpm <= most_rpm),
            cut_dia_mm=self._cut_dia_mm(sort),
            depth_mm=self.cut.depth_mm if isinstance(self.cut, a.Cut) else None,
            length_mm=self.cut.length_mm if isinstance(self.cut, a.Cut) else None,
            feed_low_mm_rev=feed.low_mm_rev if feed is not None else None,
            feed_high_mm_rev=feed.high_mm_rev if feed is not None else None,
            by_hand=feed.kind is a.FeedKind.HAND if feed is not None else None,
            feed_handle=self.cut.handle if isinstance(self.cut, a.Cut) else None,
            seconds=self.seconds or None,
            nose_radius_mm=toolpost.nose_radius_mm if toolpost is not None else None,
            entering_deg=toolpost.entering_deg if toolpost is not None else 90.0,
            edge_radius_um=toolpost.edge_radius_um if toolpost is not None else None,
            width_mm=toolpost.width_mm if toolpost is not None else None,
            bar_dia_mm=toolpost.bar_dia_mm or None if toolpost is not None else None,
            stands_out_mm=self.stands_out_mm if toolpost is not None else None,
            drill_dia_mm=float(self.drill.dia_mm) if self.drill is not None and sort in _BY_QUILL else None,
            outside_dia_mm=self.outside_dia_mm or None,
            bore_dia_mm=self.bore_dia_mm,
            free_mm=-holding.jaw_face_mm if holding is not None and holding.jaw_face_mm < 0 else None,
            band_mm=self._band_mm(),
            ra_um=self._ra_um(),
            contact_mm=self._contact_mm(sort),
            machine_n_um=lathe.tool_stiffness_n_um,
            heard=chatter_factor(self.shop, learner_of(toolpost)) if toolpost is not None else 1.0,
            slack_mm=self._slack_mm(),
            mark_dia_mm=_last_mark_mm(acts),
            slide_error_deg=self.swing.error_deg if self.swing is not None else None,
            play_mm=lathe.tailstock.play_mm,
            gauge_mm=self.shop.gauge(self.measured.gauge).uncertainty_mm if self.measured is not None else None,
            held=holding.kind if holding is not None else "",
            lobes_mm=holding.lobes_mm if holding is not None else None,
            jaws=lathe.chuck.jaws or None,
            part_outside_mm=2.0 * self.part.outside_radius_mm,
            part_bore_mm=2.0 * self.part.bore_radius_mm,
            part_width_mm=self.part.width_mm,
        )

    def _sort(self) -> CutSort:
        match self.cut:
            case None:
                return CutSort.HELD
            case a.DrillHole():
                return CutSort.DRILL
            case a.ReamHole():
                return CutSort.REAM
            case a.Cut(surface=surface) if surface.endswith(_EDGE_ENDS):
                return CutSort.EDGE
            case a.Cut(motion=motion):
                return self._by_tool(motion)

    def _by_tool(self, motion: Motion) -> CutSort:
        """Sort of a cut that makes no edge, by the tool and the way that it goes."""
        if self.tool is not None and self.tool.kind in _BLADES:
            return CutSort.PART
        if motion.across:
            return CutSort.FACE
        return CutSort.BORE if self.tool is not None and self.tool.kind is ToolKind.BORING else CutSort.TURN

    @staticmethod
    def _edge_of_drill(sort: CutSort) -> Edge | None:
        """Drills and reamers count as high speed steel: the shop file says nothing else of them."""
        return Edge.HSS if sort in _BY_QUILL else None

    def _feed(self) -> a.SetFeed | None:
        if self.cut is None:
            return None
        return self.feeds.get(self.cut.handle if isinstance(self.cut, a.Cut) else Handle.QUILL)

    def _cut_dia_mm(self, sort: CutSort) -> float | None:
        """Diameter at the tip: as measured after the last cut, as drilled, else as the speed was chosen for. [mm]"""
        if sort is CutSort.HELD:
            return self.outside_dia_mm or None
        if sort in {CutSort.TURN, CutSort.BORE} and self.measured is not None:
            return self.measured.expected_mm
        if sort in _BY_QUILL and self.drill is not None:
            return float(self.drill.dia_mm)
        return self.speed.cut_dia_mm if self.speed is not None else None

    def _band_mm(self) -> float | None:
        """Tolerance of the diameter that the cut makes; where it makes none, the closest of the part. [mm]"""
        surface = self.cut.surface if isinstance(self.cut, a.Cut) else ""
        names = (surface,) if surface else (BORE, OUTSIDE)
        found = (self.part.feature(name, Aspect.DIAMETER) for name in names)
        return min((float(feature.size.band) for feature in found if feature is not None), default=None)

    def _ra_um(self) -> float | None:
        segment = self.part.surface(self.cut.surface) if isinstance(self.cut, a.Cut) else None
        return None if segment is None else segment.finish_ra_um

    def _contact_mm(self, sort: CutSort) -> float | None:
        """Length of the slant of an edge, all of which a whole edge cuts at once. [mm]"""
        segment = self.part.surface(self.cut.surface) if isinstance(self.cut, a.Cut) else None
        if sort is not CutSort.EDGE or segment is None:
            return None
        return hypot(segment.end.z_mm - segment.start.z_mm, segment.end.radius_mm - segment.start.radius_mm)

    def _slack_mm(self) -> float:
        """Slack of the slide that sets the depth, as far as it goes across. [mm]"""
        lathe = self.shop.lathe
        fine = self.swing is not None and self.swing.angle_deg and isinstance(self.cut, a.Cut)
        if fine and self.swing is not None and self.cut is not None and self._feeds_along():
            return float(lathe.top.slack_mm) * sin(radians(float(self.swing.angle_deg)))
        return float(lathe.cross.slack_mm)

    def _feeds_along(self) -> bool:
        return isinstance(self.cut, a.Cut) and self.cut.handle is Handle.CARRIAGE


def _last_mark_mm(acts: Sequence[a.Act]) -> float | None:
    """What a mark is worth on the diameter, as the last reading of the step says that one follows. [mm]"""
    worth = [act.mark_worth_mm for act in acts if isinstance(act, a.Measure) and act.mark_worth_mm > 0]
    return worth[-1] if worth else None
