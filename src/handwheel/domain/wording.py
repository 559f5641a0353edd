"""How the words and lengths of a sheet are wanted: which English, which unit."""

from __future__ import annotations

from enum import Enum


class English(Enum):
    """Whose words: the trade in Britain and in America calls some things by other names, and spells others."""

    BRITISH = "british"
    AMERICAN = "american"


class UnitsShown(Enum):
    """Which of the two units of a length is printed; what an instrument is set to keeps the instrument's own."""

    MM = "mm"
    INCH = "inch"
    BOTH = "both"
