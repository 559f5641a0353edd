"""The words of the sheet: one phrase for each handle, motion and surface, in letters every terminal has."""

from __future__ import annotations

import re
from collections.abc import Container

from handwheel.domain.motion import Handle, Motion, Turn

EXTRA_LETTERS = "±°×Øµ"
"""Signs beyond ASCII that the sheet may use."""

SUBSTITUTES = {
    "–": "-",
    "—": "-",
    "−": "-",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "“": '"',
    "”": '"',
    "…": "...",
    "→": "->",
    "≤": "<=",
    "≥": ">=",
    "≈": "about",
    "⌀": "Ø",
    "μ": "µ",
    "·": "*",
    "√": "sqrt ",
    "π": "pi",
    "κ": "kappa",
    "ø": "Ø",
    "ß": "ss",
    "æ": "ae",
    "Æ": "AE",
    "œ": "oe",
    "ł": "l",
    "Ł": "L",
    "đ": "d",
}

BEFORE_LIKENESS = {"<fraction>": " ", "<super>": "^"}
"""What keeps a small figure apart from the one before it: 37 and a half is not 371/2, ten squared not 102."""

HANDLE_WORDS = {
    Handle.CROSS: "cross-slide",
    Handle.TOP: "top slide",
    Handle.CARRIAGE: "carriage",
    Handle.QUILL: "quill",
}

MOTION_WORDS = {Motion.IN: "in", Motion.OUT: "out", Motion.LEFT: "left", Motion.RIGHT: "right"}

_SIDES = {"outside": "outer", "bore": "inner"}
_STEP = re.compile(r"(?P<of>outside|bore)-(?P<end>front|back)-(?P<index>\d+)(?P<shoulder>-shoulder)?")


def plain(text: str, *, kept: Container[str] = EXTRA_LETTERS) -> str:
    """Put a text into the letters of a sheet: ASCII and what is ``kept``; what has no likeness becomes ``?``.

    Control characters are left out, for they would steer a terminal.

    Examples
    --------
    >>> plain("Bush for Müller, Ø 12 – “fine” 数")
    'Bush for Muller, Ø 12 - "fine" ?'
    """
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    letters = _PLAIN_LETTERS if kept is EXTRA_LETTERS else _PlainLetters(kept)
    return " ".join(text.translate(letters).split())


class _PlainLetters(dict[int, str]):
    """Likeness of each letter by its number, worked out when it is first met."""

    def __init__(self, kept: Container[str]) -> None:
        """Begin empty; letters that are ``kept`` stay as they are."""
        super().__init__()
        self._kept = kept

    def __missing__(self, number: int) -> str:
        found = self[number] = _plain_letter(chr(number), self._kept)
        return found


_PLAIN_LETTERS = _PlainLetters(EXTRA_LETTERS)


def _plain_letter(letter: str, kept: Container[str]) -> str:
    if letter.isascii() or letter in kept:
        return letter if letter.isprintable() or letter.isspace() else ""
    if letter in SUBSTITUTES:
        return SUBSTITUTES[letter]
    import unicodedata  # noqa: PLC0415 - few texts have a letter that it must be asked about

    parted = unicodedata.normalize("NFKD", letter).replace("\N{FRACTION SLASH}", "/")
    likeness = parted.encode("ascii", "ignore").decode("ascii")
    before = BEFORE_LIKENESS.get(unicodedata.decomposition(letter).partition(" ")[0], "")
    return f"{before}{likeness}" if likeness else "" if unicodedata.combining(letter) else "?"


def surface_words(surface: str) -> str:
    """Name of a surface as it is said: ``"front outer edge"``.

    Examples
    --------
    >>> surface_words("outside-front-1"), surface_words("bore-back-2-shoulder")
    ('front outer step 1', 'shoulder of back inner step 2')
    """
    step = _STEP.fullmatch(surface)
    if step is None:
        return plain(surface.replace("-", " "))
    words = f"{step['end']} {_SIDES[step['of']]} step {step['index']}"
    return f"shoulder of {words}" if step["shoulder"] else words


def step_title(step: str) -> str:
    """Title of a step that the plan gives none: what stands between the cuts.

    Examples
    --------
    >>> step_title("load"), step_title("hold-soft-jaws"), step_title("rough-bore")
    ('Load the bar', 'Hold the ring: soft jaws', 'Rough bore')
    """
    if step.startswith("hold-"):
        return f"Hold the ring: {surface_words(step.removeprefix('hold-'))}"
    titles = {"load": "Load the bar", "inspect": "Measure the finished ring"}
    return titles.get(step, surface_words(step).capitalize())


def hand_words(turn: Turn, motions: tuple[Motion, ...]) -> str:
    """Which way the hand turns, and where the tool then goes.

    Examples
    --------
    >>> hand_words(Turn.CLOCKWISE, (Motion.IN,)), hand_words(Turn.ANTICLOCKWISE, (Motion.RIGHT, Motion.OUT))
    ('clockwise (in)', 'anticlockwise (right and out)')
    """
    return f"{turn.value} ({' and '.join(MOTION_WORDS[motion] for motion in motions)})"


def counted(number: int, thing: str) -> str:
    """Print a count and its thing.

    Examples
    --------
    >>> counted(1, "act"), counted(3, "act")
    ('1 act', '3 acts')
    """
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def zero_letter(position: int) -> str:
    """Letter for the zero that stands at this place in the order of first setting: A, B ... Z, AA, AB ...

    Examples
    --------
    >>> zero_letter(0), zero_letter(25), zero_letter(26), zero_letter(53)
    ('A', 'Z', 'AA', 'BB')
    """
    before, last = divmod(position, 26)
    letter = chr(ord("A") + last)
    return zero_letter(before - 1) + letter if before else letter
