"""A ring out of its sizes, plain or stepped: both contours at the cut targets, and every toleranced dimension."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum

from msgspec import Struct, field

from handwheel.domain.contour import Contour, Point, Segment, rounded
from handwheel.domain.errors import ImpossiblePartError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import (
    BACK_FACE,
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    LEAST_LAND_MM,
    OUTSIDE,
    Aspect,
    PressFit,
    SizedFeature,
    shoulder_name,
    step_name,
)
from handwheel.domain.size import Size
from handwheel.domain.thread import Thread

TRUTH_GROUP = "A"
"""Name of the one truth group that a ring can have: its bore, its outside, and the steps that follow them."""


class End(Enum):
    """An end of the part."""

    FRONT = "front"
    BACK = "back"


class BrokenEdge(Struct, frozen=True, kw_only=True):
    """An edge cut to a bevel: its leg along the axis and its leg across."""

    along: Size
    across: Size


class RoundSurface(Struct, frozen=True, kw_only=True):
    """A cylinder: its diameter, the finish asked for, and to which of `BORE` and `OUTSIDE` it must run true.

    A bore may have a thread, and its diameter is then the minor one; an outside may be pressed into a hole of some
    diameter. ``allowance_side`` is what is left on one side of it for later work, ``loss_side`` what
    a finish takes there.
    """

    diameter: Size
    finish_ra_um: float | None
    true_to: str | None
    thread: Thread | None = None
    pressed_to: tuple[Fraction, Fraction] | None = None
    allowance_side: Fraction = field(default_factory=Fraction)
    loss_side: Fraction = field(default_factory=Fraction)

    @property
    def later_side(self) -> Fraction:
        """All that goes off one side of it after turning. [mm]"""
        return self.allowance_side + self.loss_side


class RingStep(Struct, frozen=True, kw_only=True):
    """A step of the outside or of the bore: its cylinder, and how far its shoulder lies from the face of its end."""

    end: End
    round: RoundSurface
    depth: Size


class RingShape(Struct, frozen=True, kw_only=True):
    """The sizes of a ring; an edge that is not in ``edges`` is left as the cuts beside it leave it.

    ``other_edges`` are then rounded, and arcs of the contours; or broken by hand, and of no length there.
    Steps of one end stand from its face inward. Inside corners may keep a radius of ``corner_radius_mm``.
    """

    bore: RoundSurface
    outside: RoundSurface
    width: Size
    edges: dict[str, BrokenEdge]
    outside_steps: tuple[RingStep, ...] = ()
    bore_steps: tuple[RingStep, ...] = ()
    corner_radius_mm: float = 0.0
    other_edges: tuple[SizedFeature, ...] = ()
    presses: tuple[PressFit, ...] = ()
    face_ra_um: float | None = None

    def __post_init__(self) -> None:
        """Refuse steps that do not rise (or fall) and deepen inward, and steps of both ends that meet."""
        for surface in (OUTSIDE, BORE):
            for end in End:
                self._require_stack(surface, end)
            self._require_room(surface)

    @property
    def outer(self) -> Contour:
        """Outside with its steps and edges, from the front face to the back face."""
        return self._contour(OUTSIDE, ends=(FRONT_OUTER_EDGE, BACK_OUTER_EDGE), towards_face=-1)

    @property
    def inner(self) -> Contour:
        """Bore with its steps and edges, from the front face to the back face; edges open it towards the faces."""
        return self._contour(BORE, ends=(FRONT_INNER_EDGE, BACK_INNER_EDGE), towards_face=1)

    @property
    def features(self) -> tuple[SizedFeature, ...]:
        """Every toleranced dimension: diameters, width, steps with their depths, both legs of each broken edge."""
        return (
            SizedFeature(surface=BORE, aspect=Aspect.DIAMETER, size=self.bore.diameter),
            SizedFeature(surface=OUTSIDE, aspect=Aspect.DIAMETER, size=self.outside.diameter),
            SizedFeature(surface=BACK_FACE, aspect=Aspect.WIDTH, size=self.width),
            *(feature for surface in (OUTSIDE, BORE) for end in End for feature in self._of_steps(surface, end)),
            *(
                SizedFeature(surface=surface, aspect=aspect, size=size)
                for surface, edge in self.edges.items()
                for aspect, size in ((Aspect.LEG_AXIAL, edge.along), (Aspect.LEG_RADIAL, edge.across))
            ),
            *self.other_edges,
        )

    def steps(self, surface: str, end: End) -> tuple[RingStep, ...]:
        """Steps of the outside or the bore at one end, from the face inward."""
        return tuple(
            step for step in (self.outside_steps if surface == OUTSIDE else self.bore_steps) if step.end is end
        )

    def _of_steps(self, surface: str, end: End) -> Iterator[SizedFeature]:
        for index, step in enumerate(self.steps(surface, end), start=1):
            name = step_name(surface, end=end.value, index=index)
            yield SizedFeature(surface=name, aspect=Aspect.DIAMETER, size=step.round.diameter)
            yield SizedFeature(surface=shoulder_name(name), aspect=Aspect.DEPTH, size=step.depth)

    def _require_stack(self, surface: str, end: End) -> None:
        """Diameters rise inward on the outside and fall in the bore, depths grow."""
        main = self.outside if surface == OUTSIDE else self.bore
        rising, word = (1, "rise") if surface == OUTSIDE else (-1, "fall")
        before = Fraction(0)
        listed = self.steps(surface, end)
        rounds = [*(step.round for step in listed), main]
        for index, (step, inward) in enumerate(zip(listed, rounds[1:], strict=True), start=1):
            name = step_name(surface, end=end.value, index=index)
            own, next_ = step.round.diameter.cut_target, inward.diameter.cut_target
            if rising * (next_ - own) <= 0:
                msg = (
                    f"surface {name!r}: Ø {float(own):g} mm is followed by Ø {float(next_):g} mm further in; "
                    f"diameters must {word} from the face inward, to that of the {surface}; check the order of the "
                    "steps and their diameters"
                )
                raise ImpossiblePartError(msg)
            self._require_height(name, abs(next_ - own) / 2)
            if step.depth.cut_target <= before:
                msg = (
                    f"surface {shoulder_name(name)!r}: its depth of {float(step.depth.cut_target):g} mm is not more "
                    f"than that of the step before it, {float(before):g} mm; both count from the {end.value} face"
                )
                raise ImpossiblePartError(msg)
            self._require_land(name, step, before, first=index == 1)
            before = step.depth.cut_target

    def _require_height(self, name: str, height: Fraction) -> None:
        """The round in the corner must leave something of the shoulder."""
        if height < Fraction(self.corner_radius_mm).limit_denominator(10**6):
            msg = (
                f"surface {name!r}: its shoulder is {float(height):g} mm high, less than the radius allowed in its "
                f"corner, {self.corner_radius_mm:g} mm; make the step higher or corner_radius smaller"
            )
            raise ImpossiblePartError(msg)

    def _require_land(self, name: str, step: RingStep, before: Fraction, *, first: bool) -> None:
        """Beside the edge at the face and the round in the corner some of the cylinder must be left."""
        edge = self._drawn_edge(edge_of(name)) if first else None
        used = Fraction(self.corner_radius_mm).limit_denominator(10**6) + (edge.along_mm if edge else 0)
        left = step.depth.cut_target - before - used
        if left < LEAST_LAND_MM:
            msg = (
                f"surface {name!r}: {float(step.depth.cut_target - before):g} mm long, of which edge and corner radius "
                f"take {float(used):g} mm; at least {float(LEAST_LAND_MM):g} mm must be left to be measured: make the "
                "step deeper, or the edge or corner_radius smaller"
            )
            raise ImpossiblePartError(msg)

    def _require_room(self, surface: str) -> None:
        """Steps from both ends must leave some of the cylinder between them."""
        deep = [max((step.depth.cut_target for step in self.steps(surface, end)), default=Fraction(0)) for end in End]
        if any(deep) and sum(deep) + LEAST_LAND_MM > self.width.cut_target:
            msg = (
                f"surface {surface!r}: its steps reach {float(deep[0]):g} mm from the front and {float(deep[1]):g} mm "
                f"from the back, and the part is {float(self.width.cut_target):g} mm wide: nothing is left of the "
                f"{surface} between them; make them shallower or the part wider"
            )
            raise ImpossiblePartError(msg)

    def _contour(self, surface: str, *, ends: tuple[str, str], towards_face: int) -> Contour:
        """Edge, steps, cylinder, steps, edge; ``towards_face`` is +1 where the radius grows from cylinder to face."""
        width = self.width.cut_target
        front, back = (self._drawn_edge(end) for end in ends)
        lands = self._lands(surface)
        begin = -front.along_mm if front else Fraction(0)
        end = (back.along_mm if back else Fraction(0)) - width
        segments: list[Segment] = []
        if front:
            face = _point(Fraction(0), lands[0].radius_mm + towards_face * front.across_mm)
            segments.append(front.segment(ends[0], face, _point(begin, lands[0].radius_mm), clockwise=towards_face > 0))
        for index, land in enumerate(lands):
            low = end if index == len(lands) - 1 else land.low_z_mm
            if begin <= low:
                msg = (
                    f"surface {land.name!r}: its edges leave nothing between them on a width of {float(width):g} mm; "
                    "make them smaller or the part wider"
                )
                raise ImpossiblePartError(msg)
            segments.append(
                Segment(
                    id=land.name,
                    start=_point(begin, land.radius_mm),
                    end=_point(low, land.radius_mm),
                    finish_ra_um=land.round.finish_ra_um,
                    truth_group=self._truth_group(land),
                )
            )
            if index < len(lands) - 1:
                segments.append(
                    Segment(
                        id=land.shoulder,
                        start=_point(low, land.radius_mm),
                        end=_point(low, lands[index + 1].radius_mm),
                    )
                )
            begin = low
        if back:
            face = _point(-width, lands[-1].radius_mm + towards_face * back.across_mm)
            segments.append(back.segment(ends[1], _point(end, lands[-1].radius_mm), face, clockwise=towards_face > 0))
        return Contour(segments=tuple(segments))

    def _drawn_edge(self, surface: str) -> _DrawnEdge | None:
        """Edge of a surface as the contours have it; ``None`` for one that is sharp or broken by hand."""
        bevel = self.edges.get(surface)
        if bevel is not None:
            return _DrawnEdge(along_mm=bevel.along.cut_target, across_mm=bevel.across.cut_target, is_round=False)
        for edge in self.other_edges:
            if edge.surface == surface and edge.aspect is Aspect.RADIUS:
                radius = edge.size.cut_target
                return _DrawnEdge(along_mm=radius, across_mm=radius, is_round=True)
        return None

    def _lands(self, surface: str) -> tuple[Land, ...]:
        """Cylinders from the front face to the back face, each with the shoulder that follows it."""
        main = self.outside if surface == OUTSIDE else self.bore
        steps = self.outside_steps if surface == OUTSIDE else self.bore_steps
        return lands_of(surface, main, steps, width=self.width.cut_target)

    def _truth_group(self, land: Land) -> str | None:
        """Whatever must run true to something, and what it must run true to, is one group."""
        rounds = (self.bore, self.outside, *(step.round for step in (*self.outside_steps, *self.bore_steps)))
        followed = any(round_.true_to == land.name for round_ in rounds)
        return TRUTH_GROUP if land.round.true_to is not None or followed else None


class _DrawnEdge(Struct, frozen=True, kw_only=True):
    """An edge at its cut targets: how far it goes along and across, and whether it is an arc. [mm]"""

    along_mm: Fraction
    across_mm: Fraction
    is_round: bool

    def segment(self, name: str, start: Point, end: Point, *, clockwise: bool) -> Segment:
        """Segment between its ends on face and cylinder, a line or an arc that bulges out of the metal."""
        if not self.is_round:
            return Segment(id=name, start=start, end=end)
        return rounded(name, start, end, clockwise=clockwise)


class Land(Struct, frozen=True, kw_only=True):
    """A cylinder of a contour, its ends along the axis (edges not counted), and the shoulder behind it (empty: none).

    All in the part frame. [mm]
    """

    name: str
    round: RoundSurface
    high_z_mm: Fraction
    low_z_mm: Fraction
    shoulder: str

    @property
    def radius_mm(self) -> Fraction:
        """Radius at the cut target. [mm]"""
        return self.round.diameter.cut_target / 2


def named_steps(surface: str, steps: tuple[RingStep, ...]) -> tuple[tuple[str, RingStep], ...]:
    """Steps of the outside or the bore under the names that they have in the part: front, then back, face inward."""
    return tuple(
        (step_name(surface, end=end.value, index=index), step)
        for end in End
        for index, step in enumerate((step for step in steps if step.end is end), start=1)
    )


def lands_of(surface: str, main: RoundSurface, steps: tuple[RingStep, ...], *, width: Fraction) -> tuple[Land, ...]:
    """Cylinders of the outside or the bore from the front face to the back face, as wide as the part is. [mm]"""
    named = named_steps(surface, steps)
    fronts = [(name, step) for name, step in named if step.end is End.FRONT]
    backs = [(name, step) for name, step in reversed(named) if step.end is End.BACK]
    # towards the back a step begins where the shoulder at its inner end stands
    ends = [
        *((name, step.round, -step.depth.cut_target, name) for name, step in fronts),
        *(
            (name, round_, deeper.depth.cut_target - width, behind)
            for (name, round_), (behind, deeper) in zip(
                [(surface, main), *((name, step.round) for name, step in backs)], backs, strict=False
            )
        ),
        (*((backs[-1][0], backs[-1][1].round) if backs else (surface, main)), -width, ""),
    ]
    highs = (Fraction(0), *(low for _, _, low, _ in ends))
    return tuple(
        Land(name=name, round=round_, high_z_mm=high, low_z_mm=low, shoulder=shoulder_name(step) if step else "")
        for high, (name, round_, low, step) in zip(highs, ends, strict=False)
    )


def edge_of(step: str) -> str:
    """Edge that stands on the first step of an end."""
    front = step.split("-")[1] == End.FRONT.value
    if step.startswith(OUTSIDE):
        return FRONT_OUTER_EDGE if front else BACK_OUTER_EDGE
    return FRONT_INNER_EDGE if front else BACK_INNER_EDGE


def _point(z_mm: Fraction, radius_mm: Fraction) -> Point:
    return Point(float(z_mm), float(radius_mm))
