"""Reads the sheet back from its PDF: runs of letters and drawn boxes, in the order of the page.

Nothing of the code that made the page is used. A box to write in counts only if it is drawn, large enough for a pencil.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

from pypdf import PageObject, PdfReader

from tests.recover import (
    BOTH,
    PASSES_LINE,
    Heading,
    Raw,
    SheetText,
    SheetTextError,
    all_shown,
    passes,
    record_of,
    set_in_force,
)

POINTS_PER_MM = 72 / 25.4
HEAD_MM = 21.0
"""What stands nearer to the upper edge belongs to the head of the page."""
FOOT = re.compile(r"step \d+ goes on: page \d+|plan \w+, made by handwheel .*")
FOOT_MM = 11.0
"""The foot of a page, if it has one: nearer to the lower edge than all else, and saying just this."""
LEFT_MM = 19.0
HAIR_MM = 0.5
DUST = 1e-6
AS_TYPED = str.maketrans({"\u200b": "", "\u00a0": " ", "\u2212": "-"})
"""What is only set otherwise on paper: places where a line may or may not end, and the longer sign of less."""
FRAME_MM = 3.0
"""A frame is drawn nearer to the margin than this."""
NUMBER = re.compile(r"\d+\.\d+")
LETTER = re.compile(r"[a-h]")
STEP = re.compile(r"STEP (\d+) of (\d+) +(.+)")
BOX = "[________]"
BOX_MM = ((15.0, 30.0), (7.0, 10.0))
"""Least and greatest width and height of a box to write in."""
NO_BLANK = re.compile(r" +(?=[,:;)]|\.(?: |$))|(?<=\w/) (?=\w)")
"""Runs of letters that belong together: before a sign, and where a line ends within a unit."""


@dataclass(frozen=True)
class Token:
    """A run of letters, or a box, with its place from the left and the upper edge. [mm]"""

    text: str
    x_mm: float
    y_mm: float
    size_pt: float = 0.0
    scale: float = 1.0

    @property
    def is_drawn(self) -> bool:
        """Whether it belongs to a picture: those are set larger or smaller than they were drawn."""
        return abs(self.scale - 1.0) > DUST

    @property
    def begins_line(self) -> bool:
        """Whether it stands at the left margin."""
        return abs(self.x_mm - LEFT_MM) < HAIR_MM


@dataclass
class Page:
    """Tokens of a page as they are found."""

    height_pt: float
    tokens: list[Token] = field(default_factory=list)
    path: list[tuple[float, float]] = field(default_factory=list)

    def letters(self, text: str, cm: list[float], _tm: list[float], _font: object, size: float) -> None:
        """Take a run of letters."""
        clean = text.translate(AS_TYPED).strip()
        if clean:
            self.tokens.append(
                Token(clean, cm[4] / POINTS_PER_MM, (self.height_pt - cm[5]) / POINTS_PER_MM, size, cm[0])
            )

    def drawing(self, operator: bytes, operands: list[Any], cm: list[float], _tm: list[float]) -> None:
        """Follow the drawing of paths; a painted rectangle as large as a box to write in is one."""
        if operator in (b"m", b"l"):
            self.path.append((float(operands[0]), float(operands[1])))
        elif operator in (b"S", b"s", b"B", b"b"):
            self._rectangle(cm)
            self.path.clear()
        elif operator in (b"f", b"F", b"f*", b"n"):
            self.path.clear()

    def _rectangle(self, cm: list[float]) -> None:
        if len(self.path) != 4:
            return
        sides = [(max(values) - min(values)) / POINTS_PER_MM for values in zip(*self.path, strict=True)]
        if all(low <= side <= high for side, (low, high) in zip(sides, BOX_MM, strict=True)):
            self.tokens.append(Token(BOX, cm[4] / POINTS_PER_MM, (self.height_pt - cm[5]) / POINTS_PER_MM, scale=cm[0]))


def page_tokens(page: PageObject) -> list[Token]:
    """Read the tokens of a page in their order, without those of its head and foot."""
    found = Page(float(page.mediabox.height))
    page.extract_text(visitor_text=found.letters, visitor_operand_before=found.drawing)
    return [token for token in found.tokens if token.y_mm > HEAD_MM and not _is_foot(token, found)]


def foot_tokens(page: PageObject) -> list[Token]:
    """Read what stands in the foot of a page: which step goes on, at the end what made the sheet."""
    found = Page(float(page.mediabox.height))
    page.extract_text(visitor_text=found.letters)
    return [token for token in found.tokens if _is_foot(token, found)]


def _is_foot(token: Token, page: Page) -> bool:
    return page.height_pt / POINTS_PER_MM - token.y_mm < FOOT_MM and FOOT.fullmatch(token.text) is not None


def head_text(page: PageObject) -> str:
    """Text of the head of a page."""
    found = Page(float(page.mediabox.height))
    page.extract_text(visitor_text=found.letters)
    return " ".join(token.text for token in found.tokens if token.y_mm <= HEAD_MM)


def pages_of(pdf: bytes) -> list[PageObject]:
    """Pages of a document."""
    return list(PdfReader(BytesIO(pdf)).pages)


def recover_paper(pdf: bytes, shown: str = BOTH) -> SheetText:
    """Read the steps of a sheet, which shows lengths in both units, or in ``"mm"`` or ``"in"`` alone."""
    tokens = [token for page in pages_of(pdf) for token in page_tokens(page) if not token.is_drawn]
    first = next(place for place, token in enumerate(tokens) if STEP.fullmatch(token.text))
    last = next(place for place, token in enumerate(tokens) if token.text == "RECORD")
    reader = Reader(tokens[first:last])
    found = SheetText()
    found.records += [record_of(raw) for raw in reader.acts(found)]
    return all_shown(found, shown)


@dataclass
class Reader:
    """Goes through the tokens of the steps."""

    tokens: list[Token]
    place: int = 0

    @property
    def next(self) -> Token | None:
        """The token that comes, if there is one."""
        return self.tokens[self.place] if self.place < len(self.tokens) else None

    def take(self) -> str:
        """Text of the token that comes."""
        self.place += 1
        return self.tokens[self.place - 1].text

    def take_until(self, ends: Callable[[Token], bool]) -> list[str]:
        """Texts up to the token that ends them, or to the end of all."""
        texts = []
        while self.next is not None and not ends(self.next):
            texts.append(self.take())
        return texts

    def acts(self, found: SheetText) -> Iterator[Raw]:
        """Gather the words of each act; tables of passes are expanded."""
        cautions: list[str] = []
        while self.next is not None:
            if STEP.fullmatch(self.next.text):
                found.headings.append(self.heading())
            elif self.next.text == "!":
                cautions = self.cautions()
            elif PASSES_LINE.fullmatch(f"  {self.next.text}"):
                yield from self.passes()
            elif is_number(self.next):
                yield self.act(cautions, begins_another)
                cautions = []
            else:
                msg = f"{self.next} belongs to no act"
                raise SheetTextError(msg)

    def act(self, cautions: list[str], ends: Callable[[Token], bool]) -> Raw:
        """Number, verb and words of an act."""
        return Raw(self.take(), self.take(), joined(self.take_until(ends)), tuple(cautions))

    def heading(self) -> Heading:
        """Head of a step, with what is in force in it."""
        match = STEP.fullmatch(self.take())
        assert match is not None
        heading = Heading(int(match[1]), int(match[2]), match[3].strip(), "")
        if self.next is not None and self.next.text.startswith("about "):
            heading.minutes = self.take().removeprefix("about ")
        label = ""
        while self.next is not None and self.next.begins_line and not begins_another(self.next):
            told = self.take()
            label = label if told == "then" else told
            set_in_force(heading, label, joined(self.take_until(lambda token: token.begins_line or token.text == "!")))
        return heading

    def cautions(self) -> list[str]:
        """Cautions of one frame: each has its own mark of exclamation."""
        told = []
        while self.next is not None and self.next.text == "!":
            self.take()
            told.append(
                joined(self.take_until(lambda token: token.text == "!" or is_number(token) or is_letter(token)))
            )
        return told

    def passes(self) -> list[Raw]:
        """Acts of repeated passes: heading, acts of a round by letters, table."""
        head = PASSES_LINE.fullmatch(f"  {self.take()}")
        assert head is not None
        legend = []
        cautions: list[str] = []
        while self.next is not None and self.next.text != "handle":
            if self.next.text == "!":
                cautions = self.cautions()
            legend.append(self.act(cautions, lambda token: token.text in ("handle", "!") or is_letter(token)))
            cautions = []
        names = self.take_until(lambda token: NUMBER.fullmatch(token.text) is not None)
        rows = []
        while self.next is not None and NUMBER.fullmatch(self.next.text) and not self.next.begins_line:
            rows.append(" " + "  ".join(self.take() for _ in range(len(names) + 1)))
        return passes(head, legend, "  ".join(names), rows)


def is_number(token: Token) -> bool:
    """Whether it is the number of an act."""
    return token.begins_line and NUMBER.fullmatch(token.text) is not None


def is_letter(token: Token) -> bool:
    """Whether it is the letter of an act of a round of passes, which stands in a frame."""
    return 0 < token.x_mm - LEFT_MM < FRAME_MM and LETTER.fullmatch(token.text) is not None


def begins_another(token: Token) -> bool:
    """Whether something begins here that is not part of an act's words."""
    return (
        token.text == "!"
        or is_number(token)
        or any(pattern.fullmatch(text) for pattern, text in ((STEP, token.text), (PASSES_LINE, f"  {token.text}")))
    )


def joined(texts: list[str]) -> str:
    """Put runs of letters together as they are said."""
    return NO_BLANK.sub("", " ".join(" ".join(texts).split()))
