"""Typesetting: a template of this folder and its content become a PDF; the content is data, never markup."""

from __future__ import annotations

from enum import Enum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

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


class TypesettingError(HandwheelError, RuntimeError):
    """The typesetter found fault with a page. A fault of the templates, never of what stands in a part or shop file."""


def typeset(template: Template, content: object, *, paper: Paper) -> bytes:
    """Set a document; the same content gives the same bytes on every machine.

    Parameters
    ----------
    template : Template
        Which document.
    content : object
        What stands in it: frozen data of texts and numbers, handed over as JSON.
    paper : Paper
        Size of the pages.

    Raises
    ------
    TypesettingError
        If the typesetter warns of anything: a page that is nearly right is not given.
    """
    data, told = _compiled(template, msgspec.json.encode(content).decode(), paper)
    if told or not isinstance(data, bytes):
        why = "; ".join(told) or "no single document came out"
        msg = f"{template.value}: {why}; no PDF was made; this is a fault of handwheel: report it"
        raise TypesettingError(msg)
    return data


def _compiled(template: Template, content: str, paper: Paper) -> tuple[object, tuple[str, ...]]:
    """What the typesetter makes of a template, and what it has to say about it."""
    try:
        data, warnings = _compiler(template).compile_with_warnings(
            format="pdf",
            sys_inputs={"content": content, "paper": _TYPESETTERS_NAMES[paper]},
            pdf_tags=False,
        )
    except RuntimeError as error:  # the typesetter's own kind of error is one
        return None, (str(error),)
    return data, tuple(warning.message for warning in warnings)


@cache
def _compiler(template: Template) -> typst.Compiler:
    """A typesetter for one document: two of them work at the same time."""
    import typst  # noqa: PLC0415 - slow things are loaded by the command that needs them

    return typst.Compiler(input=str(FOLDER / template.value), root=str(FOLDER), font_paths=_fonts())


@cache
def _fonts() -> typst.Fonts:
    """Fonts that come in packages and no other: a page must not hang on the machine."""
    import font_source_sans_pro  # noqa: PLC0415 - slow things are loaded by the command that needs them
    import typst  # noqa: PLC0415 - slow to load, as the line above

    return typst.Fonts(include_system_fonts=False, font_paths=[font_source_sans_pro.font_directory])
