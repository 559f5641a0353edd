"""The finished part: its contours, its sizes, its metal, how many."""

from enum import Enum

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.choice import Choice
from handwheel.domain.contour import JOIN_TOLERANCE_MM, Contour, Point, Segment
from handwheel.domain.errors import ImpossiblePartError
from handwheel.domain.exact import Fraction
from handwheel.domain.size import Size
from handwheel.domain.thread import Thread

PART_SCHEMA = 1
USUAL_CORNER_RADIUS_MM = 0.5
"""Radius that an inside corner may keep where the drawing says nothing; common practice, no source."""
LEAST_LAND_MM = Fraction(1, 2)
"""Least length of a cylinder beside edges and corner radius: less cannot be measured; common practice, no source."""

FRONT_FACE = "front-face"
BACK_FACE = "back-face"
OUTSIDE = "outside"
BORE = "bore"
FRONT_OUTER_EDGE = "front-outer-edge"
FRONT_INNER_EDGE = "front-inner-edge"
BACK_OUTER_EDGE = "back-outer-edge"
BACK_INNER_EDGE = "back-inner-edge"


def step_name(surface: str, *, end: str, index: int) -> str:
    """Name of a step's cylinder: of `OUTSIDE` or `BORE`, at the ``"front"`` or ``"back"`` end, 1 next to the face."""
    return f"{surface}-{end}-{index}"


def shoulder_name(step: str) -> str:
    """Name of the shoulder at the inner end of a step's cylinder."""
    return f"{step}{_SHOULDER}"


def is_shoulder(surface: str) -> bool:
    """Whether a name is that of a shoulder."""
    return surface.endswith(_SHOULDER)


_SHOULDER = "-shoulder"
_ENDS = ("front", "back")


class Units(Choice):
    """Units in which the maker thinks; both are always printed, these first."""

    MM = "mm"
    INCH = "inch"


class Aspect(Choice):
    """Which dimension of a surface a size states."""

    DIAMETER = "diameter"
    WIDTH = "width"
    DEPTH = "depth"
    LEG_AXIAL = "leg along the axis"
    LEG_RADIAL = "leg across the axis"
    RADIUS = "radius"
    BROKEN = "broken by hand"


class Cylinder(Struct, frozen=True, kw_only=True):
    """A cylinder of a part's outside or hole: its surface, radius, ends along the axis (part frame). [mm]"""

    surface: str
    radius_mm: float
    high_z_mm: float
    low_z_mm: float
    inner: bool

    @property
    def length_mm(self) -> float:
        """Length along the axis, edges not counted. [mm]"""
        return self.high_z_mm - self.low_z_mm


def cylinders_of(contour: Contour, *, inner: bool) -> tuple[Cylinder, ...]:
    """Cylinders of a contour, from the front face to the back face."""
    return tuple(
        Cylinder(
            surface=segment.id,
            radius_mm=segment.start.radius_mm,
            high_z_mm=segment.start.z_mm,
            low_z_mm=segment.end.z_mm,
            inner=inner,
        )
        for segment in contour.segments
        if segment.centre is None and abs(segment.start.radius_mm - segment.end.radius_mm) <= JOIN_TOLERANCE_MM
    )


class SizedFeature(Struct, frozen=True, kw_only=True):
    """One toleranced dimension: which surface, which aspect of it, which size.

    A width is stated on `BACK_FACE` and counts from `FRONT_FACE`. The depth of a shoulder counts from the face that it
    is cut from (`shoulder_name`). An edge that is broken by hand has no segment in the contours: its size alone says
    what becomes of it.
    """

    surface: str
    aspect: Aspect
    size: Size

    @property
    def id(self) -> str:
        """Stable name, such as ``"bore diameter"``."""
        return f"{self.surface} {self.aspect.value}"


class PressedBore(Enum):
    """When the bore of a part that is pressed in gets its size, for pressing closes it."""

    BEFORE = "before pressing"
    AFTER = "after pressing"
    AS_BORED = "as bored"


class PressFit(Struct, frozen=True, kw_only=True):
    """What a surface of the finished part is pressed into (a bore: on): least and greatest diameter of that. [mm]

    ``bore`` says when the bore of a part that goes into a hole gets its size.
    """

    surface: str
    mate_lower: Fraction
    mate_upper: Fraction
    bore: PressedBore = PressedBore.AS_BORED

    def __post_init__(self) -> None:
        """Refuse limits that no hole can have."""
        if not 0 < self.mate_lower <= self.mate_upper:
            msg = (
                f"{self.surface}: pressed into or on {float(self.mate_lower):g} to {float(self.mate_upper):g} mm; "
                "give the diameter of the hole or shaft as measured, or its limits"
            )
            raise ImpossiblePartError(msg)


class Part(Struct, frozen=True, kw_only=True):
    """A ring-like part in its own frame: z = 0 is the finished front face, the part lies at z <= 0.

    ``outer`` and ``inner`` run from the front face to the back face and stand at the sizes to be turned (cut
    targets); the faces close them. ``skin_contact`` says that somebody will wear it. ``corner_radius_mm`` is the
    largest radius that may stay in an inside corner, where a step meets its shoulder. ``thread`` is cut into the bore,
    whose sizes are then those of its minor diameter; ``presses`` says what the finished part will be pressed into,
    ``face_ra_um`` how rough both faces may be. [µm]
    """

    name: str
    material: str
    outer: Contour
    inner: Contour
    sizes: tuple[SizedFeature, ...]
    quantity: int = 1
    units: Units = Units.MM
    skin_contact: bool = False
    corner_radius_mm: float = USUAL_CORNER_RADIUS_MM
    thread: Thread | None = None
    presses: tuple[PressFit, ...] = ()
    face_ra_um: float | None = None
    schema: int = PART_SCHEMA

    def __post_init__(self) -> None:
        """Refuse a wall that vanishes and contours that do not end together."""
        if self.quantity < 1:
            msg = f"part {self.name!r}: quantity {self.quantity} must be at least 1"
            raise ImpossiblePartError(msg)
        if self.corner_radius_mm < 0:
            msg = f"part {self.name!r}: corner radius {self.corner_radius_mm:g} mm must not be below 0"
            raise ImpossiblePartError(msg)
        first_outer, first_inner = self.outer.segments[0].start, self.inner.segments[0].start
        last_outer, last_inner = self.outer.segments[-1].end, self.inner.segments[-1].end
        if abs(first_outer.z_mm) > JOIN_TOLERANCE_MM or abs(first_inner.z_mm) > JOIN_TOLERANCE_MM:
            msg = f"part {self.name!r}: both contours must start on the front face, z = 0"
            raise ImpossiblePartError(msg)
        if abs(last_outer.z_mm - last_inner.z_mm) > JOIN_TOLERANCE_MM or last_outer.z_mm >= 0:
            msg = f"part {self.name!r}: both contours must end on one back face, at z below 0"
            raise ImpossiblePartError(msg)
        if first_inner.radius_mm >= first_outer.radius_mm or last_inner.radius_mm >= last_outer.radius_mm:
            msg = (
                f"part {self.name!r}: the edges meet: nothing is left of a face "
                f"(front {first_inner.radius_mm:g} to {first_outer.radius_mm:g} mm radius, "
                f"back {last_inner.radius_mm:g} to {last_outer.radius_mm:g}); make the edges smaller or check "
                "that bore and outside are diameters"
            )
            raise ImpossiblePartError(msg)
        self._require_wall()

    def _require_wall(self) -> None:
        """Refuse a step of the hole that comes through to the outside."""
        for outer in self.outer_cylinders:
            for inner in self.inner_cylinders:
                overlap = min(outer.high_z_mm, inner.high_z_mm) - max(outer.low_z_mm, inner.low_z_mm)
                if overlap > JOIN_TOLERANCE_MM and inner.radius_mm >= outer.radius_mm:
                    msg = (
                        f"part {self.name!r}: no wall is left between {inner.surface} (Ø {2 * inner.radius_mm:g} mm) "
                        f"and {outer.surface} (Ø {2 * outer.radius_mm:g} mm); check their diameters and depths"
                    )
                    raise ImpossiblePartError(msg)

    @property
    def width_mm(self) -> float:
        """Length along the axis, as it is to be cut. [mm]"""
        return -self.outer.segments[-1].end.z_mm

    @property
    def outside_radius_mm(self) -> float:
        """Largest radius of the part. [mm]"""
        return max(max(s.start.radius_mm, s.end.radius_mm) for s in self.outer.segments)

    @property
    def bore_radius_mm(self) -> float:
        """Smallest radius of the hole. [mm]"""
        return min(min(s.start.radius_mm, s.end.radius_mm) for s in self.inner.segments)

    @property
    def outer_cylinders(self) -> tuple[Cylinder, ...]:
        """Cylinders of the outside, from the front face to the back face."""
        return cylinders_of(self.outer, inner=False)

    @property
    def inner_cylinders(self) -> tuple[Cylinder, ...]:
        """Cylinders of the hole, from the front face to the back face."""
        return cylinders_of(self.inner, inner=True)

    def surface(self, name: str) -> Segment | None:
        """Segment of that name, or ``None`` (the faces have no segment)."""
        for contour in (self.outer, self.inner):
            for segment in contour.segments:
                if segment.id == name:
                    return segment
        return None

    def feature(self, surface: str, aspect: Aspect) -> SizedFeature | None:
        """Sized feature of that surface and aspect, or ``None`` if the drawing states none."""
        for feature in self.sizes:
            if feature.surface == surface and feature.aspect is aspect:
                return feature
        return None


def turned_end_for_end(part: Part) -> Part:
    """The same part drawn the other way round: what was the back is the front, in names as in places.

    Its own inverse. The width keeps its name, for it lies between the two faces either way.
    """
    return replace(
        part,
        outer=_turned_contour(part.outer, part.width_mm),
        inner=_turned_contour(part.inner, part.width_mm),
        sizes=tuple(
            feature if feature.aspect is Aspect.WIDTH else replace(feature, surface=_turned_name(feature.surface))
            for feature in part.sizes
        ),
        presses=tuple(replace(press, surface=_turned_name(press.surface)) for press in part.presses),
    )


def _turned_name(surface: str) -> str:
    front, back = _ENDS
    swapped = {front: back, back: front}
    return "-".join(swapped.get(word, word) for word in surface.split("-"))


def _turned_contour(contour: Contour, width_mm: float) -> Contour:
    def place(point: Point) -> Point:
        return Point(0.0 - (point.z_mm + width_mm), point.radius_mm)

    return Contour(
        segments=tuple(
            replace(
                segment,
                id=_turned_name(segment.id),
                start=place(segment.end),
                end=place(segment.start),
                centre=None if segment.centre is None else place(segment.centre),
            )
            for segment in reversed(contour.segments)
        )
    )
