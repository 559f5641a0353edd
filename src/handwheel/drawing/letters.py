"""How much room letters take on paper, near enough to keep texts off each other in any usual sans-serif."""

from __future__ import annotations

CAPITAL_SHARE = 0.72
"""Height of a capital as a share of the font's size; usual of sans-serif letters, no source."""
THIN, USUAL, CAPITAL, BROAD = 0.34, 0.58, 0.70, 0.92
"""Widths of letters as shares of the font's size, on the wide side of usual sans-serif letters; no source."""
_THIN_LETTERS = frozenset(" .,:;'|!()[]ijlftI/-")
_BROAD_LETTERS = frozenset("mwMW%@±×")


def font_size_mm(height_mm: float) -> float:
    """Size of a font whose capitals are so high. [mm]"""
    return height_mm / CAPITAL_SHARE


def text_width_mm(text: str, *, height_mm: float) -> float:
    """Width of one line of letters on paper, as estimated. [mm]

    Examples
    --------
    >>> round(text_width_mm("Ø 20", height_mm=2.5), 1)
    7.6
    """
    return font_size_mm(height_mm) * sum(_share(letter) for letter in text)


def _share(letter: str) -> float:
    if letter in _THIN_LETTERS:
        return THIN
    if letter in _BROAD_LETTERS:
        return BROAD
    return CAPITAL if letter.isupper() else USUAL
