"""Writes a drawing as DXF (R2010) in millimetres of what is drawn, whatever the scale on paper.

One unit is 1 mm. Dimensions are real ones, arcs stay arcs, hatches are hatches. Letters, arrowheads and dashes are as
large in the file as they are on paper at the drawing's scale.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import cos, radians, sin
from typing import TYPE_CHECKING, Any

from handwheel.drawing.dimensioning import ABOVE_MM, ARROW_MM, DEVIATION_SHARE, OFF_MM, PAST_MM, plain_items
from handwheel.drawing.model import (
    Anchor,
    Arc,
    Arrow,
    Dimension,
    DimensionKind,
    DimensionText,
    Drawing,
    Hatch,
    Item,
    Leader,
    Line,
    LineKind,
    Outline,
    Path,
    Pen,
    Region,
    Shade,
    Spot,
    Text,
)
from handwheel.drawing.placing import placed

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.layout import Modelspace

VERSION = "R2010"
MILLIMETRES, METRIC = 4, 1
"""Codes of $INSUNITS and $MEASUREMENT."""
STYLE, FONT = "letters", "arial.ttf"
DIMENSION_STYLE = "sizes"
BLACK, WHITE_RGB = 7, (255, 255, 255)
"""Colour number that is black on white and white on black; true white."""
HUNDREDTHS = 100
"""Line weights count in hundredths of a millimetre."""
LAYER_WITHOUT_NAME = "drawing"
LINETYPES = {LineKind.DASHED: "HW_DASHED", LineKind.CHAIN: "HW_CHAIN", LineKind.DOUBLE_CHAIN: "HW_DOUBLE_CHAIN"}
LETTERS_ABOVE = 1
"""Code of $DIMTAD: words above the line."""
SQUARE_DEG = 90.0


def dxf_text(drawing: Drawing) -> str:
    """Return a drawing as DXF; the same drawing gives the same text, for no clock is asked."""
    from ezdxf.filemanagement import new  # noqa: PLC0415 - slow to load; only a DXF needs it

    written = io.StringIO()
    with _without_clock():
        document = new(VERSION, setup=False)
        _prepare(document, drawing)
        space = document.modelspace()
        for item in drawing.items:
            _add(space, item, drawing.scale)
        document.write(written)
    return written.getvalue()


@contextmanager
def _without_clock() -> Iterator[None]:
    """No times and no random names in the file's head."""
    from ezdxf import options  # type: ignore[attr-defined]  # noqa: PLC0415 - public, though not marked so; slow to load

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _prepare(document: Document, drawing: Drawing) -> None:
    """Units, lines, letters and dimension style of a file."""
    document.header["$INSUNITS"] = MILLIMETRES
    document.header["$MEASUREMENT"] = METRIC
    document.header["$LTSCALE"] = 1.0
    document.header.custom_vars.append("title", drawing.title)
    document.header.custom_vars.append("units", "millimetres; one unit is 1 mm of the part")
    for kind, name in LINETYPES.items():
        dashes = next(pen.dashes_mm for pen in Pen if pen.kind is kind)
        signed = [length if place % 2 == 0 else -length for place, length in enumerate(dashes)]
        in_model = [length / drawing.scale for length in (sum(dashes), *signed)]
        document.linetypes.add(name, pattern=in_model, description=kind.value)
    document.styles.add(STYLE, font=FONT)
    for layer in dict.fromkeys(item.layer or LAYER_WITHOUT_NAME for item in drawing.items):
        document.layers.add(layer, color=BLACK)
    style = document.dimstyles.add(DIMENSION_STYLE)
    style.dxf.dimtxsty = STYLE
    style.dxf.dimasz = ARROW_MM / drawing.scale
    style.dxf.dimexe, style.dxf.dimexo = PAST_MM / drawing.scale, OFF_MM / drawing.scale
    style.dxf.dimgap = ABOVE_MM / drawing.scale
    style.dxf.dimtad = LETTERS_ABOVE
    style.dxf.dimzin = 0
    style.dxf.dimtih = style.dxf.dimtoh = 0


def _add(space: Modelspace, item: Item, scale: float) -> None:
    _ADDERS[type(item)](space, item, scale)


def _look(item: Item, pen: Pen) -> dict[str, Any]:
    """Layer, weight and kind of line."""
    look: dict[str, Any] = {
        "layer": item.layer or LAYER_WITHOUT_NAME,
        "lineweight": round(pen.width_mm * HUNDREDTHS),
    }
    if pen.kind in LINETYPES:
        look["linetype"] = LINETYPES[pen.kind]
    return look


def _line(space: Modelspace, item: Line, scale: float) -> None:
    del scale
    space.add_line(item.start, item.end, dxfattribs=_look(item, item.pen))


def _arc(space: Modelspace, item: Arc, scale: float) -> None:
    del scale
    look = _look(item, item.pen)
    if item.is_circle:
        space.add_circle(item.centre, item.radius_mm, dxfattribs=look)
    else:
        space.add_arc(item.centre, item.radius_mm, item.start_deg, item.end_deg, dxfattribs=look)


def _bulges(outline: Outline) -> list[tuple[float, float, float]]:
    return [(corner.x_mm, corner.y_mm, corner.bulge) for corner in outline.corners]


def _polyline(space: Modelspace, outline: Outline, look: dict[str, Any]) -> None:
    space.add_lwpolyline(_bulges(outline), format="xyb", close=outline.closed, dxfattribs=look)


def _path(space: Modelspace, item: Path, scale: float) -> None:
    del scale
    _polyline(space, item.outline, _look(item, item.pen))


def _region(space: Modelspace, item: Region, scale: float) -> None:
    if item.fill is not None:
        hatch = space.add_hatch(color=BLACK, dxfattribs={"layer": item.layer or LAYER_WITHOUT_NAME})
        if isinstance(item.fill, Hatch):
            hatch.set_pattern_fill("HW_HATCH", color=BLACK, definition=_pattern(item.fill, scale))
        elif item.fill is Shade.WHITE:
            hatch.rgb = WHITE_RGB
        for outline in item.outlines:
            hatch.paths.add_polyline_path(_bulges(outline), is_closed=True)
    if item.pen is not None:
        for outline in item.outlines:
            _polyline(space, outline, _look(item, item.pen))


def _pattern(fill: Hatch, scale: float) -> list[list[Any]]:
    """Families of lines: angle, a place on one, the way to the next, no dashes."""
    apart = fill.spacing_mm / scale
    angles = (fill.angle_deg, fill.angle_deg + SQUARE_DEG) if fill.crossed else (fill.angle_deg,)
    return [[angle, (0.0, 0.0), (-apart * sin(radians(angle)), apart * cos(radians(angle))), []] for angle in angles]


def _text(space: Modelspace, item: Text, scale: float) -> None:
    from ezdxf.enums import TextEntityAlignment  # noqa: PLC0415 - loaded with the library, when a DXF is written

    aligned = {
        Anchor.START: TextEntityAlignment.LEFT,
        Anchor.MIDDLE: TextEntityAlignment.CENTER,
        Anchor.END: TextEntityAlignment.RIGHT,
    }
    # two percent signs begin a code of the format
    words = item.text.replace("%%", "% %")
    look = {"layer": item.layer or LAYER_WITHOUT_NAME, "style": STYLE}
    text = space.add_text(words, height=item.height_mm / scale, rotation=item.angle_deg, dxfattribs=look)
    text.set_placement(item.at, align=aligned[item.anchor])


def stacked(text: DimensionText) -> str:
    r"""Words of a dimension in the codes of the format: the figures above each other as a stack.

    Examples
    --------
    >>> print(stacked(DimensionText(main="20", upper="+0.1", lower="0")))
    20 \H0.7x;\S+0.1^ 0;
    """
    if not (text.upper or text.lower):
        return text.main
    size = "" if text.limits else f"\\H{DEVIATION_SHARE:g}x;"
    return f"{text.main} {size}\\S{text.upper}^ {text.lower};".strip()


def _dimension(space: Modelspace, item: Dimension, scale: float) -> None:
    common: dict[str, Any] = {
        "text": stacked(item.text),
        "dimstyle": DIMENSION_STYLE,
        "override": {"dimtxt": item.height_mm / scale},
        "dxfattribs": {"layer": item.layer or LAYER_WITHOUT_NAME},
    }
    if item.kind is DimensionKind.RADIUS:
        made = space.add_radius_dim(center=item.first, radius=item.measured, location=item.line_at, **common)
    elif item.kind is DimensionKind.ANGLE:
        apex = item.apex or item.first
        made = space.add_angular_dim_3p(base=item.line_at, center=apex, p1=item.first, p2=item.second, **common)
    else:
        made = space.add_linear_dim(base=item.line_at, p1=item.first, p2=item.second, angle=item.angle_deg, **common)
    made.render()
    # a reader need not work out what is measured; angles are in radians there
    is_angle = item.kind is DimensionKind.ANGLE
    made.dimension.dxf.actual_measurement = radians(item.measured) if is_angle else item.measured


def _plain(space: Modelspace, item: Leader | Arrow, scale: float) -> None:
    """Leader or bold arrow, taken to paper and back for the size of its head."""

    def there(spot: Spot) -> Spot:
        return Spot(spot.x_mm * scale, spot.y_mm * scale)

    def back(spot: Spot) -> Spot:
        return Spot(spot.x_mm / scale, spot.y_mm / scale)

    on_paper = placed(item, there, scale)
    if isinstance(on_paper, Leader | Arrow):
        for plain in plain_items(on_paper):
            _add(space, placed(plain, back, 1.0 / scale), scale)


_ADDERS: dict[type, Callable[[Modelspace, Any, float], None]] = {
    Line: _line,
    Arc: _arc,
    Path: _path,
    Region: _region,
    Text: _text,
    Dimension: _dimension,
    Leader: _plain,
    Arrow: _plain,
}
