"""Puts drawings on pages of a PDF at their size on paper, each as its SVG, side by side where there is room."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING

from handwheel.domain.errors import HandwheelError
from handwheel.drawing.model import Drawing
from handwheel.drawing.svg import svg_text

if TYPE_CHECKING:
    import typst

FAMILY = "Source Sans Pro"
"""Letters of the drawings, from a package: a page must not hang on the fonts of the machine."""
PAGE = """
#set page(paper: "a4", margin: 15mm, footer: context align(right)[
  #text(8pt)[#counter(page).display("1 / 1", both: true)]
])
#set text(font: "{family}", size: 9pt)
#grid(columns: (1fr, 1fr), row-gutter: 6mm,
{drawings}
)
"""
ONE = """
grid.cell(colspan: {columns},
  image(bytes(sys.inputs.at("{name}")), format: "svg", width: {width:.3f}mm, alt: sys.inputs.at("{name}-alt")))
"""
HALF_MM = 88.0
"""A drawing no wider than this has another beside it. [mm]"""


class PageError(HandwheelError, RuntimeError):
    """The pages could not be set without fault."""


def pdf_bytes(drawings: Sequence[Drawing]) -> bytes:
    """Return drawings as a PDF on A4, in their order; the same drawings give the same bytes.

    Raises
    ------
    PageError
        If the typesetter finds any fault: a page that is nearly right is not given.
    """
    inputs: dict[str, str] = {}
    for place, drawing in enumerate(drawings):
        inputs[f"d{place}"] = svg_text(drawing, prefix=f"d{place}", fonts=(FAMILY,))
        inputs[f"d{place}-alt"] = f"{drawing.title}. {drawing.description}"
    cells = tuple(_cell(f"d{place}", drawing) for place, drawing in enumerate(drawings))
    source = PAGE.format(family=FAMILY, drawings=",".join(cells))
    data, warnings = _compiler().compile_with_warnings(
        input=source.encode(), format="pdf", sys_inputs=inputs, timestamp=0
    )
    if warnings or not isinstance(data, bytes):
        told = "; ".join(warning.message for warning in warnings) or "no single document came out"
        msg = f"drawings as PDF: {told}; this is a fault of the program: ask for SVG instead, and report it"
        raise PageError(msg)
    return data


def _cell(name: str, drawing: Drawing) -> str:
    columns = 1 if drawing.paper_width_mm <= HALF_MM else 2
    return ONE.format(name=name, width=drawing.paper_width_mm, columns=columns)


@cache
def _compiler() -> typst.Compiler:
    """The typesetter, with the letters that come in a package and no others."""
    import font_source_sans_pro  # noqa: PLC0415 - slow things are loaded when a PDF is made
    import typst  # noqa: PLC0415 - as above, slow to load

    fonts = typst.Fonts(include_system_fonts=False, font_paths=[font_source_sans_pro.font_directory])
    return typst.Compiler(font_paths=fonts)
