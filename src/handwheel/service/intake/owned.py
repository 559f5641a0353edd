"""What lies about in a shop, as its file lists it: tools, drills, gauges, bars, holdings."""

from __future__ import annotations

from handwheel.data.drills import drill_named, names_a_drill
from handwheel.domain.bars import Bar, BarShape
from handwheel.domain.chatter import ChatterHeard
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import Gauge, GaugeKind, GaugeUse
from handwheel.domain.hole_tools import Drill, DrillKind, Reamer, ReamerKind, Tap
from handwheel.domain.motion import Edge
from handwheel.domain.size import Size, SizeKind
from handwheel.domain.thread import Thread
from handwheel.domain.tools import Hand, PieceRole, Tool, ToolKind, ToolPiece
from handwheel.geometry.tool_sound import shape_trouble
from handwheel.service.intake.lengths import shown
from handwheel.service.intake.metals import read_metal
from handwheel.service.intake.places import quoted
from handwheel.service.intake.sizes import Fit, SizeForm, Tolerance, read_size
from handwheel.service.intake.speeds import FASTEST_RPM
from handwheel.service.intake.table import Table, by_value, present, usual

HOLDING_KINDS = (
    "soft-jaws",
    "pot",
    "collet",
    "stub-mandrel",
    "expanding-mandrel",
    "step-spigot",
    "plate-and-tailstock",
    "glue-arbor",
    "flat-plate",
)
"""Ways of holding a finished side that the planner knows."""
HOLDING_STRENGTHS = {
    "collet": ("force_n", "the radial force of one of three segments, such as force_n = 500"),
    "expanding-mandrel": ("pressure_n_mm2", "its pressure on the bore, such as pressure_n_mm2 = 3"),
    "step-spigot": ("force_n", "the pull of its nut, such as force_n = 1500"),
    "plate-and-tailstock": ("force_n", "the thrust that the quill keeps up, such as force_n = 600"),
}
"""What must be told of a kind, for whether the ring slips hangs on it."""
MOST_COLLETS = 400
SMALLEST_DRILL_MM = 0.1
LARGEST_FLAT_MM = 5.0
"""No flat of a caliper's inside jaws is wider; own judgement. [mm]"""

_BAR = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.SHAFT, low_mm=1.0, can_be_finished=False)
_HOLE = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.HOLE, low_mm=0.5, high_mm=100.0, can_be_finished=False)
_ANY_THREAD = Thread(major_mm=Fraction(12), pitch_mm=Fraction(1))
"""Stands in for a thread that could not be read; it goes nowhere."""
_SMALLEST_POLYGON = 3


def read_tool(table: Table) -> Tool | None:
    """Read one ``[[tool]]``; what its kind does not have may be left out, what it has must make one tool."""
    tool = table.make(
        lambda: Tool(
            id=table.text("id"),
            name=table.text("name"),
            kind=table.choice("kind", by_value(ToolKind)),
            edge=table.choice("edge", by_value(Edge)),
            hand=table.choice("hand", by_value(Hand), default=Hand.RIGHT),
            nose_radius_mm=table.mm("nose_radius", high=20.0, default=0.0),
            edge_radius_um=table.number(
                "edge_radius_um", low=0.1, high=500.0, unit="µm", default=usual(Tool, "edge_radius_um")
            ),
            entering_deg=table.number(
                "entering_deg", low=1.0, high=135.0, unit="degrees", default=usual(Tool, "entering_deg")
            ),
            width_mm=table.mm("width", high=100.0, default=0.0),
            reach_mm=table.mm("reach", high=500.0, default=0.0),
            bar_dia_mm=table.mm("bar_diameter", high=100.0, default=0.0),
            head_mm=table.mm("head", high=100.0, default=0.0),
            shank_mm=table.mm("shank", low=1.0, high=100.0, default=usual(Tool, "shank_mm")),
            hollow_radius_mm=table.mm("hollow_radius", high=20.0, default=0.0),
            rake_deg=table.number("rake_deg", low=-45.0, high=60.0, unit="degrees", default=0.0),
            silhouette=present(_read_piece(piece) for piece in table.tables("piece")),
        )
    )
    trouble = shape_trouble(tool) if tool else None
    if trouble is not None:
        table.problems.say(table.path, trouble)
    return tool


def read_chatter(table: Table) -> ChatterHeard | None:
    """Read one ``[[chatter]]``: a cut that was heard, and whether it chattered."""
    return table.make(
        lambda: ChatterHeard(
            tool=table.text("tool"),
            metal=read_metal(table, "metal"),
            depth_mm=table.mm("depth", low=0.01, high=20.0),
            chattered=table.flag("chattered"),
            feed_mm_rev=table.mm_turn("feed", low=0.005, high=2.0, default=usual(ChatterHeard, "feed_mm_rev")),
            stick_out_mm=table.mm("stick_out", high=500.0, default=0.0),
            dia_mm=table.mm("diameter", high=500.0, default=0.0),
        )
    )


def read_drill(table: Table) -> Drill | None:
    """Read one ``[[drill]]``."""
    kind = table.choice("kind", by_value(DrillKind), default=DrillKind.TWIST)
    return table.make(
        lambda: Drill(
            id=table.text("id"),
            kind=kind,
            dia_mm=_read_drill_dia_mm(table, kind),
            point_deg=table.number(
                "point_deg", low=30.0, high=180.0, unit="degrees", default=usual(Drill, "point_deg")
            ),
            flute_mm=table.mm("flute", low=1.0, high=1000.0, default=usual(Drill, "flute_mm")),
            dubbed=table.flag("dubbed", default=False),
        )
    )


def _read_drill_dia_mm(table: Table, kind: DrillKind) -> Fraction:
    """Read the diameter of a drill: a length, or the number or letter that a twist drill goes by. [mm]"""
    written = table.raw("diameter")
    if not isinstance(written, str) or not names_a_drill(written):
        return table.exact_mm("diameter", low=SMALLEST_DRILL_MM, high=100.0)
    named = drill_named(written)
    if kind is DrillKind.TWIST and named is not None:
        return named.dia_mm
    if kind is DrillKind.TWIST:
        do = "check the number; it may be written as a length too"
        table.fault("diameter", allowed="a number from 1 to 80, a letter from A to Z, or a length", do=do)
    else:
        do = 'centre drills are numbered otherwise than twist drills: write the tip itself, such as "5/64 in"'
        table.fault("diameter", allowed="a length, the diameter of the tip", do=do)
    return Fraction(SMALLEST_DRILL_MM)


def read_gauge(table: Table) -> Gauge | None:
    """Read one ``[[gauge]]``."""
    smallest_mm, largest_mm = table.rising_mm("smallest", "largest")
    return table.make(
        lambda: Gauge(
            id=table.text("id"),
            name=table.text("name"),
            uses=_read_uses(table),
            low_mm=smallest_mm,
            high_mm=largest_mm,
            step_mm=table.exact_mm("step", low=0.00001, high=10.0),
            uncertainty_mm=table.mm("uncertainty", low=0.00001, high=10.0),
            kind=table.choice("kind", by_value(GaugeKind)) if table.has("kind") else None,
            flat_mm=table.mm("flat", high=LARGEST_FLAT_MM, default=0.0),
        )
    )


def read_reamer(table: Table) -> Reamer | None:
    """Read one ``[[reamer]]``: the hole that it makes by limits as measured, or by a class such as ``"20 H7"``."""
    size = read_size(table, "hole", form=_HOLE, inherited=Tolerance())
    zero = Fraction(0)
    reamer = table.make(
        lambda: Reamer(
            id=table.text("id"),
            kind=table.choice("kind", by_value(ReamerKind), default=ReamerKind.MACHINE),
            dia_mm=size.nominal if size else Fraction(1),
            hole_lower_mm=size.lower if size else zero,
            hole_upper_mm=size.upper if size else zero,
            flute_mm=table.mm("flute", low=1.0, high=1000.0),
            lead_mm=table.mm("lead", low=0.1, high=500.0),
            lead_dia_mm=table.mm("lead_diameter", low=0.1, high=100.0),
        )
    )
    return reamer if size else None


def read_tap(table: Table) -> Tap | None:
    """Read one ``[[tap]]``."""
    from handwheel.service.intake.threads import read_thread

    thread = read_thread(table, "thread")
    tap = table.make(
        lambda: Tap(
            id=table.text("id"),
            thread=thread or _ANY_THREAD,
            lead_mm=table.mm("lead", low=0.1, high=200.0),
            length_mm=table.mm("length", low=1.0, high=500.0),
        )
    )
    return tap if thread else None


def read_bar(table: Table) -> Bar | None:
    """Read one ``[[bar]]``: its diameter has limits like a shaft's, the bore of a tube limits of its own."""
    shape = table.choice("shape", by_value(BarShape), default=BarShape.ROUND)
    size = read_size(table, "diameter", form=_BAR, inherited=Tolerance())
    bore = _read_bar_bore(table, shape)
    zero = Fraction(0)
    bar = table.make(
        lambda: Bar(
            id=table.text("id"),
            material=read_metal(table, "metal"),
            dia_mm=size.nominal if size else zero,
            dia_lower_mm=size.lower if size else zero,
            dia_upper_mm=size.upper if size else zero,
            length_mm=table.mm("length", low=1.0),
            tolerance_rule=table.text("delivered_as"),
            shape=shape if shape is not BarShape.TUBE or (size and bore) else BarShape.ROUND,
            bore_mm=bore.nominal if size and bore else zero,
            bore_lower_mm=bore.lower if size and bore else zero,
            bore_upper_mm=bore.upper if size and bore else zero,
        )
    )
    return bar if size else None


def _read_bar_bore(table: Table, shape: BarShape) -> Size | None:
    """Read the bore of a tube, a table with its diameter and its tolerance."""
    if shape is not BarShape.TUBE:
        return None
    if not table.has("bore"):
        do = "write bore = { diameter = 16, plus_minus = 0.2 }, as measured at both ends"
        table.fault("bore", allowed="the bore of the tube, with limits", do=do)
        return None
    inner = table.table("bore")
    size = read_size(inner, "diameter", form=_HOLE, inherited=Tolerance())
    inner.close()
    return size


def read_holding(table: Table) -> HoldingMeans | None:
    """Read one ``[[holding]]``; collets are a list of diameters, or rise by a step from the smallest to the largest."""
    kind = table.choice("kind", {kind: kind for kind in HOLDING_KINDS})
    sizes = _read_collets(table) if kind == "collet" else ()
    closes_mm = table.mm("closes", high=5.0) if kind == "collet" else 0.0
    if sizes and not table.has("smallest"):
        smallest_mm, largest_mm = min(sizes) - closes_mm, max(sizes)
    else:
        smallest_mm, largest_mm = table.rising_mm("smallest", "largest")
    _require_strength(table, kind)
    return table.make(
        lambda: HoldingMeans(
            id=table.text("id"),
            kind=kind,
            name=table.text("name"),
            low_dia_mm=smallest_mm,
            high_dia_mm=largest_mm,
            grip_mm=table.mm("grip", high=500.0),
            runout_mm=table.mm("runout", high=5.0),
            ready_s=table.number("ready_s", low=0.0, high=100_000.0, unit="s"),
            max_rpm=table.number("max_rpm", low=0.0, high=FASTEST_RPM, unit="rev/min"),
            force_n=table.number("force_n", low=0.0, high=100_000.0, unit="N", default=0.0),
            step_mm=table.mm("step", high=100.0, default=0.0),
            wrap_deg=table.number("wrap_deg", low=0.0, high=360.0, unit="degrees", default=0.0),
            sizes_mm=sizes,
            closes_mm=closes_mm,
            pressure_n_mm2=table.number("pressure_n_mm2", low=0.0, high=200.0, unit="N/mm²", default=0.0),
            bond_n_mm2=table.number("bond_n_mm2", low=0.0, high=100.0, unit="N/mm²", default=0.0),
            body_dia_mm=table.mm("body_diameter", high=500.0, default=0.0),
        )
    )


def _read_collets(table: Table) -> tuple[float, ...]:
    """Read the diameters of a set of collets: as a list, or every ``size_step`` from the smallest to the largest."""
    do = "write for instance diameters = [10, 12, 16], or smallest, largest and size_step"
    if table.has("diameters"):
        read = [table.read_length("diameters", length) for length in table.values("diameters", do=do)]
        found = tuple(float(length) for length in read if length is not None)
        if not found or min(found) <= 0:
            table.fault("diameters", allowed="a list of lengths above 0", do=do)
        return found
    if not table.has("size_step"):
        table.fault("diameters", allowed="a list of lengths", do=do)
        return ()
    step, low = table.exact_mm("size_step", low=0.01, high=50.0), table.exact_mm("smallest")
    count = int((table.exact_mm("largest") - low) / step)
    if not 0 <= count <= MOST_COLLETS:
        table.fault("size_step", allowed=f"at most {MOST_COLLETS} collets", do="make the step larger")
        return ()
    return tuple(float(low + i * step) for i in range(count + 1))


def _require_strength(table: Table, kind: str) -> None:
    key, words = HOLDING_STRENGTHS.get(kind, ("", ""))
    if key and not table.has(key):
        allowed = f"a number: without it nobody can tell whether the ring slips on a {kind}"
        table.fault(key, allowed=allowed, do=f"give {words}")


def _read_uses(table: Table) -> tuple[GaugeUse, ...]:
    """Read what a gauge measures: at least one of the known uses."""
    known = by_value(GaugeUse)
    do = 'write for instance uses = ["bore"]'
    words = table.values("uses", do=do)
    uses = tuple(known[word] for word in words if isinstance(word, str) and word in known)
    if not uses or len(uses) < len(words):
        table.fault("uses", found=", ".join(shown(word) for word in words), allowed=quoted(known), do=do)
    return uses


def _read_piece(table: Table) -> ToolPiece | None:
    """Read one convex piece of a measured outline, its points as pairs (along, outward) from the tip."""
    return table.make(lambda: ToolPiece(role=table.choice("role", by_value(PieceRole)), points=_read_points(table)))


def _read_points(table: Table) -> tuple[Point, ...]:
    do = "write for instance points = [[0, 0], [4, 1], [4, 8]]"
    pairs = [
        pair for pair in table.values("points", do=do) if isinstance(pair, list) and len(pair) == len(Point._fields)
    ]
    if len(pairs) < _SMALLEST_POLYGON or len(pairs) < len(table.values("points", do=do)):
        table.fault("points", allowed="three or more pairs of lengths", do=do)
    read = [[table.read_length("points", length) for length in pair] for pair in pairs]
    return tuple(Point(float(z), float(x)) for z, x in read if z is not None and x is not None)
