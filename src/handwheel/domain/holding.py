"""How the work is held: what is gripped, what the grip blocks, how true and how fast it may run."""

from enum import Enum

from msgspec import Struct

from handwheel.domain.contour import Point

HELD_BY_BORE = ("stub-mandrel", "expanding-mandrel", "step-spigot", "glue-arbor")
"""Kinds of holding that sit in the hole and leave the outside free."""
FACE_COVERED = ("step-spigot", "plate-and-tailstock")
"""Kinds of holding that press on the face: the outside is free, the middle of the face is not."""
FACES = "faces"
"""What is held where a ring is pressed between its two faces."""


class Side(Enum):
    """Which face looks to the tailstock: the front (while on the bar) or the back (turned round)."""

    FRONT = "front"
    BACK = "back"


class Holding(Struct, frozen=True, kw_only=True):
    """One way of holding, in the work frame of its side.

    Work frame: z = 0 is the finished face of the side that looks to the tailstock, z positive towards the
    tailstock; x is a radius. For `Side.FRONT` it is the part frame; for `Side.BACK` z_work = -(z_part + width):
    turning the part round flips z.

    Parameters
    ----------
    id : str
        ``"bar"``, or the id of the shop's means.
    kind : str
        Name of the holding model: ``"bar"``, ``"soft-jaws"``, ``"collet"``, ``"stub-mandrel"``, ``"flat-plate"`` ...
    side : Side
        Which face is reachable.
    gripped_surface : str
        Surface of the part that is held; `FACES` if it is pressed between them, ``"bar"`` or ``"none"`` if neither.
    grip_dia_mm : float
        Diameter of the gripped surface. [mm]
    jaw_face_mm : float
        z of the jaw face (or of the mandrel's shoulder) in the work frame. [mm]
    grip_length_mm : float
        Length gripped. [mm]
    blocked : tuple of polygons
        What stands in the way, as it sweeps round, for x >= 0. [mm]
    runout_mm : float
        Total indicator reading of a true surface to be expected after indicating. [mm]
    max_rpm : float
        Highest speed at which this may run. [rev/min]
    lobes_mm : float
        Valley-to-peak radial error that the grip leaves in the released ring, upper end. [mm]
    turned : bool
        Whether the lathe cuts here (false for rubbing on a plate).
    seat_dia_mm : float
        What bears against the ring from behind: inner diameter of the seat of jaws, collet or pot, outer diameter of a
        shoulder or plate; 0 if it ends half-way across the wall. [mm]
    cover_dia_mm : float
        Diameter of the washer or plate that presses on the face from the tailstock's side, 0 if there is none. [mm]
    grip_torque_nm : float
        Torque at which the ring may begin to slip, low end; 0 if nobody has reckoned it. [N m]
    growth_dia_mm : float
        How much larger the outside is while it is held, on the diameter: it loses that again when it is freed. [mm]
    """

    id: str
    kind: str
    side: Side
    gripped_surface: str
    grip_dia_mm: float
    jaw_face_mm: float
    grip_length_mm: float
    blocked: tuple[tuple[Point, ...], ...]
    runout_mm: float
    max_rpm: float
    lobes_mm: float = 0.0
    turned: bool = True
    seat_dia_mm: float = 0.0
    cover_dia_mm: float = 0.0
    grip_torque_nm: float = 0.0
    growth_dia_mm: float = 0.0

    @property
    def leaves_outside(self) -> bool:
        """Whether the ring is held so that its whole outside can be turned."""
        return self.kind in HELD_BY_BORE or self.gripped_surface == FACES


def to_work_z(z_part_mm: float, *, side: Side, width_mm: float) -> float:
    """Z in the work frame of a place given in the part frame (and, being its own inverse, back). [mm]

    Examples
    --------
    >>> to_work_z(-6.0, side=Side.BACK, width_mm=6.0)
    0.0
    >>> to_work_z(-2.0, side=Side.FRONT, width_mm=6.0)
    -2.0
    """
    return z_part_mm if side is Side.FRONT else 0.0 - (z_part_mm + width_mm)
