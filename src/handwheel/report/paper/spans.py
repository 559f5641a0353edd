"""Texts cut into spans: what is said in the other unit, which way the hand turns, where somebody writes."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.motion import Turn
from handwheel.report.passes import SMALL_BOX
from handwheel.report.pieces import BOX, Said
from handwheel.report.wording import turn_words, worded
from handwheel.report.words import EXTRA_LETTERS, plain

if TYPE_CHECKING:
    from collections.abc import Sequence

    from handwheel.report.pieces import Line, Piece

KEPT = frozenset(
    (
        *EXTRA_LETTERS,
        *(letter for code in (*range(0xA1, 0xAD), *range(0xAE, 0x180)) if (letter := chr(code)) not in "ĲĳŊŋŦŧſ"),
        *"–—−“”…→≤≥≈√π\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}",
    )
)
"""Letters beyond ASCII that the font of the paper has in every weight used; all others are put into plain ones.

Read off the character tables of its files.
"""

LONGEST_WORD = 22
"""A word of more letters without a hyphen may be broken: the narrowest column holds no more."""
MAY_BREAK = "\N{ZERO WIDTH SPACE}"
GAP, BREAK = "\N{EM SPACE}", "\n"
"""What parts the pieces of a line, and the lines."""

_SET_AS = {" ": "\N{NO-BREAK SPACE}", "-": "\N{MINUS SIGN}"}
_SET = re.compile(
    r"(?<=\d) (?=(?:mm|in|µm|min|s|N|W|rev/min|m/min|ft/min)\b)|(?<=[a-z]) (?=[1-9]\d{0,2}$)"
    r"|(?<![\w)/])-(?=\d)|(?<=[\dØ] )-(?= (?:[\d.]+\)|Ø\)|marks))"
)
"""What a page sets otherwise than a terminal: no line ends between a figure and its unit or before a number that
ends the text, and less is told by a minus sign, not by the shorter hyphen; but after a stroke, ``+0.00/-0.01``, for a
line might end before that sign."""
_SMALL = r"\(-?\d[\d.]*(?: to -?\d[\d.]*)? (?:mm|in)(?:/rev)?\)"
_TURN_WORDS = tuple(word for turn in Turn for word in turn_words(turn))
_TURN = rf"\b(?:{'|'.join(_TURN_WORDS)})\b"
_CUT = re.compile(rf"({_SMALL}|{_TURN}|{re.escape(BOX)}|{re.escape(SMALL_BOX)})")
_LONG = re.compile(rf"([^\s-]{{{LONGEST_WORD}}})(?=[^\s-])")
_KINDS = {BOX: "box", SMALL_BOX: "box", **dict.fromkeys(_TURN_WORDS, "turn")}


class Mark(Struct, frozen=True, kw_only=True):
    """What is not set as plain words: a weighted figure, or one of three kinds more.

    They are the other unit (``small``), a sense of turning (``turn``), and a ``box``, which has no text: it is drawn,
    and somebody writes into it. Of a weighted figure the first unit alone has the weight, whose name is the kind.
    """

    kind: str
    text: str = ""


Span = str | Mark
"""Words, or what is not set as such."""

Spans = tuple[Span, ...]


def on_paper(text: str) -> str:
    """Put a text into the letters that the paper's font has, with places to break in words that are too long.

    Examples
    --------
    >>> on_paper("Buchse für Müller, Ø 12 – 数")
    'Buchse für Müller, Ø 12 – ?'
    """
    known = _SET.sub(lambda match: _SET_AS[match[0]], plain(worded(text), kept=KEPT))
    return known if len(known) <= LONGEST_WORD else _LONG.sub(rf"\1{MAY_BREAK}", known)


def spans_of(text: str) -> Spans:
    r"""Cut a text into spans.

    Examples
    --------
    >>> [span if isinstance(span, str) else span.kind for span in spans_of("clockwise, 3.00 mm (0.1181 in) [________]")]
    ['turn', ', 3.00\xa0mm ', 'small', 'box']
    """
    parts = _CUT.split(worded(text))
    if len(parts) == 1:
        return (_with_ends(text),) if text else ()
    words_and_marks = (_mark(part) if place % 2 else _with_ends(part) for place, part in enumerate(parts))
    return tuple(span for span in words_and_marks if span not in ("", " "))


def _mark(part: str) -> Mark:
    kind = _KINDS.get(part, "small")
    return Mark(kind=kind, text="" if kind == "box" else on_paper(part) if kind == "small" else part)


def _with_ends(part: str) -> str:
    """Text in the letters of the paper, with the blanks at its ends that part it from its neighbours."""
    if not part.strip():
        return part[:1] and " "
    left = " " if part[0].isspace() else ""
    right = " " if part[-1].isspace() else ""
    return f"{left}{on_paper(part)}{right}"


def flow_of(lines: Sequence[Line]) -> Spans:
    r"""Lines of pieces as spans: gaps between the pieces, breaks between the lines, words that follow words as one.

    Examples
    --------
    >>> from handwheel.report.pieces import Weight
    >>> said = Said(weight=Weight.SIZE, before="expect ", text="3.00 mm (0.1181 in)")
    >>> [span if isinstance(span, str) else span.kind for span in flow_of([("bore", said), ("reading [________]",)])]
    ['bore\u2003expect ', 'size', 'small', '\nreading ', 'box']
    """
    flowing: list[Span] = []
    for place, line in enumerate(lines):
        for position, piece in enumerate(line):
            between = GAP if position else BREAK if place else ""
            for span in (between, *piece_spans(piece)):
                if isinstance(span, str) and flowing and isinstance(flowing[-1], str):
                    flowing[-1] += span
                elif span:
                    flowing.append(span)
    return tuple(flowing)


def piece_spans(piece: Piece) -> Spans:
    """Cut a piece into spans."""
    if not isinstance(piece, Said):
        return spans_of(piece)
    first, *rest = spans_of(piece.text)
    figure = Mark(kind=piece.weight.value, text=str(first))
    return (*spans_of(piece.before), figure, *rest, *spans_of(piece.after))
