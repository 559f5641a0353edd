"""How much room letters take on paper, near enough to keep texts off each other in any usual sans-serif."""

from __future__ import annotations

import re

_BREAKS = re.compile(r"\s+(?!(?:mm|in)\b)|(?<!\d)\s+")
"""Where a line may end: not between a figure and its unit."""
CAPITAL_SHARE = 0.72
"""Height of a capital as a share of the font's size; usual of sans-serif letters, no source."""
THIN, USUAL, CAPITAL, BROAD = 0.36, 0.62, 0.74, 0.95
"""Widths of letters as shares of the font's size, on the wide side of usual sans-serif letters; no source."""
BOLD_SHARE = 1.12
"""How much wider bold letters are; no source."""
_THIN_LETTERS = frozenset(" .,:;'|!()[]ijlftI/-")
_BROAD_LETTERS = frozenset("mwMW%@±×")


def font_size_mm(height_mm: float) -> float:
    """Size of a font whose capitals are so high. [mm]"""
    return height_mm / CAPITAL_SHARE


def text_width_mm(text: str, *, height_mm: float, bold: bool = False) -> float:
    """Width of one line of letters on paper, as estimated. [mm]

    Examples
    --------
    >>> round(text_width_mm("Ø 20", height_mm=2.5), 1)
    8.1
    """
    return font_size_mm(height_mm) * sum(_share(letter) for letter in text) * (BOLD_SHARE if bold else 1.0)


def wrapped(text: str, *, height_mm: float, width_mm: float, bold: bool = False) -> tuple[str, ...]:
    """Text in lines of at most a width on paper, broken between words; a word that is wider stands alone. [mm]

    Examples
    --------
    >>> wrapped("stands out 27.0 mm", height_mm=2.5, width_mm=27.0)
    ('stands out', '27.0 mm')
    """
    lines: list[str] = []
    for word in filter(None, _BREAKS.split(text.strip())):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(longer, height_mm=height_mm, bold=bold) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _share(letter: str) -> float:
    if letter in _THIN_LETTERS:
        return THIN
    if letter in _BROAD_LETTERS:
        return BROAD
    return CAPITAL if letter.isupper() else USUAL
