"""What lies about in a shop, as its file lists it: tools, drills, gauges, bars, holdings."""

from __future__ import annotations

from fractions import Fraction

from handwheel.data.materials import material_keys
from handwheel.domain.contour import Point
from handwheel.domain.motion import Edge
from handwheel.domain.shop import (
    Bar,
    Drill,
    DrillKind,
    Gauge,
    GaugeUse,
    Hand,
    HoldingMeans,
    PieceRole,
    Tool,
    ToolKind,
    ToolPiece,
)
from handwheel.domain.size import SizeKind
from handwheel.service.intake.lathe import FASTEST_RPM
from handwheel.service.intake.lengths import shown
from handwheel.service.intake.sizes import Fit, SizeForm, Tolerance, read_size
from handwheel.service.intake.table import Table, by_value, present, quoted, usual

HOLDING_KINDS = ("soft-jaws", "stub-mandrel", "flat-plate")
"""Ways of holding a finished side that the planner knows."""

_BAR = SizeForm(kind=SizeKind.DIAMETER, fit=Fit.SHAFT, low_mm=1.0, can_be_finished=False)
_SMALLEST_POLYGON = 3


def read_tool(table: Table) -> Tool | None:
    """Read one ``[[tool]]``; what its kind does not have may be left out."""
    return table.make(
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
            rake_deg=table.number("rake_deg", low=-45.0, high=60.0, unit="degrees", default=0.0),
            silhouette=present(_read_piece(piece) for piece in table.tables("piece")),
        )
    )


def read_drill(table: Table) -> Drill | None:
    """Read one ``[[drill]]``."""
    return table.make(
        lambda: Drill(
            id=table.text("id"),
            kind=table.choice("kind", by_value(DrillKind), default=DrillKind.TWIST),
            dia_mm=table.exact_mm("diameter", low=0.1, high=100.0),
            point_deg=table.number(
                "point_deg", low=30.0, high=180.0, unit="degrees", default=usual(Drill, "point_deg")
            ),
            flute_mm=table.mm("flute", low=1.0, high=1000.0, default=usual(Drill, "flute_mm")),
            dubbed=table.flag("dubbed", default=False),
        )
    )


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
        )
    )


def read_bar(table: Table) -> Bar | None:
    """Read one ``[[bar]]``: its diameter has limits like a shaft's, from a standard or as measured."""
    size = read_size(table, "diameter", form=_BAR, inherited=Tolerance())
    metals = {key: key for key in material_keys()}
    zero = Fraction(0)
    bar = table.make(
        lambda: Bar(
            id=table.text("id"),
            material=table.choice("metal", metals),
            dia_mm=size.nominal if size else zero,
            dia_lower_mm=size.lower if size else zero,
            dia_upper_mm=size.upper if size else zero,
            length_mm=table.mm("length", low=1.0),
            tolerance_rule=table.text("delivered_as"),
        )
    )
    return bar if size else None


def read_holding(table: Table) -> HoldingMeans | None:
    """Read one ``[[holding]]``."""
    smallest_mm, largest_mm = table.rising_mm("smallest", "largest")
    return table.make(
        lambda: HoldingMeans(
            id=table.text("id"),
            kind=table.choice("kind", {kind: kind for kind in HOLDING_KINDS}),
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
        )
    )


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
