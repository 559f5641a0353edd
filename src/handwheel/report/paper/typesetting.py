"""Typesetting: a template of this folder and its content become a PDF; the content is data, never markup."""

from __future__ import annotations

from enum import Enum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import msgspec

from handwheel.domain.errors import HandwheelError

if TYPE_CHECKING:
    import typst

FOLDER = Path(__file__).resolve().parent
FAMILY = "Source Sans Pro"
"""The family that the templates name; docs/decisions/0016 says why this one."""


class Paper(Enum):
    """Size of the paper, by the name that a person gives it."""

    A4 = "a4"
    LETTER = "letter"


_TYPESETTERS_NAMES = {Paper.A4: "a4", Paper.LETTER: "us-letter"}


class Template(Enum):
    """A document: its file in this folder."""

    SHEET = "sheet.typ"
    DESK = "desk.typ"


DESK_LETTERS_PT = (9.5, 8.5)
"""Sizes of the letters of the desk's page, the largest first that goes on one. [pt]"""
SMALLEST = "smallest"
"""The size after those, in which a page is made smaller as a whole until it is one."""
TOO_LONG = "it is longer than a page in these letters"
"""What the template says then."""


class TypesettingError(HandwheelError, RuntimeError):
    """The typesetter found fault with a page. A fault of the templates, never of what stands in a part or shop file."""


class TooLongError(TypesettingError):
    """What must go on one page does not in the letters asked for."""


def typeset_desk(content: object, *, paper: Paper) -> bytes:
    """Set the page for the desk in the largest letters with which it is one; all else is as of `typeset`."""
    for letters_pt in DESK_LETTERS_PT:
        try:
            return typeset(Template.DESK, content, paper=paper, letters=str(letters_pt))
        except TooLongError:
            continue
    return typeset(Template.DESK, content, paper=paper)


def typeset(template: Template, content: object, *, paper: Paper, letters: str = SMALLEST) -> bytes:
    """Set a document; the same content gives the same bytes on every machine.

    Parameters
    ----------
    template : Template
        Which document.
    content : object
        What stands in it: frozen data of texts and numbers, handed over as JSON.
    paper : Paper
        Size of the pages.
    letters : str
        Size of the letters in points, or `SMALLEST`; of the desk's page alone.

    Raises
    ------
    TooLongError
        If the desk's page would be two in these letters.
    TypesettingError
        If the typesetter warns of anything: a page that is nearly right is not given.
    """
    data, told = _compiled(template, inputs(content, paper, letters=letters), kind="pdf")
    if any(TOO_LONG in words for words in told):
        raise TooLongError(TOO_LONG)
    if told or not isinstance(data, bytes):
        why = "; ".join(told) or "no single document came out"
        msg = f"{template.value}: {why}; no PDF was made; this is a fault of handwheel: report it"
        raise TypesettingError(msg)
    return data


def pages_as_svg(template: Template, content: object, *, paper: Paper) -> tuple[str, ...]:
    """Set a document as pictures, an SVG for each of its pages; parameters and errors are those of `typeset`."""
    pages, told = _compiled(template, inputs(content, paper), kind="svg")
    if told or not isinstance(pages, list):
        why = "; ".join(told) or "no pages came out"
        msg = f"{template.value}: {why}; no picture was made; this is a fault of handwheel: report it"
        raise TypesettingError(msg)
    return tuple(page.decode() for page in pages)


def inputs(content: object, paper: Paper, *, letters: str = SMALLEST) -> dict[str, str]:
    """What a template is given."""
    return {
        "content": msgspec.json.encode(content).decode(),
        "paper": _TYPESETTERS_NAMES[paper],
        "letters": letters,
        "too-long": TOO_LONG,
    }


def _compiled(
    template: Template, inputs: dict[str, str], *, kind: Literal["pdf", "svg"]
) -> tuple[object, tuple[str, ...]]:
    """What the typesetter makes of a template, and what it has to say about it."""
    try:
        data, warnings = compiler_of(template).compile_with_warnings(
            format=kind,
            sys_inputs=inputs,
            pdf_tags=False,
        )
    except RuntimeError as error:  # the typesetter's own kind of error is one
        return None, (str(error),)
    return data, tuple(warning.message for warning in warnings)


@cache
def compiler_of(template: Template) -> typst.Compiler:
    """A typesetter for one document: two of them work at the same time."""
    import typst  # noqa: PLC0415 - slow things are loaded by the command that needs them

    return typst.Compiler(input=str(FOLDER / template.value), root=str(FOLDER), font_paths=_fonts())


@cache
def _fonts() -> typst.Fonts:
    """Fonts that come in packages and no other: a page must not hang on the machine."""
    import font_source_sans_pro  # noqa: PLC0415 - slow things are loaded by the command that needs them
    import typst  # noqa: PLC0415 - slow to load, as the line above

    return typst.Fonts(include_system_fonts=False, font_paths=[font_source_sans_pro.font_directory])
