"""Patterns of the texts that the readers take, in what Python and ECMAScript know alike.

There are some for lengths, for travels and for quantities. They are made of the readers' own tables of units. A
pattern may let pass what the reader refuses ("1,234 mm" is asked back, "1/0 in" is nothing); it refuses nothing that
is read, which a test tries on generated text.
"""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.service.intake.lengths import LENGTH_UNITS
from handwheel.service.intake.per_turn import INCHES_PER_TURN, PER_TURN
from handwheel.service.intake.quantities import UNITS

_FRACTIONS = "\u00bd\u00bc\u00be\u215b\u215c\u215d\u215e"
_SIGN = "[-+\u2212\u2013]?"
NUMBER_SIGN = f"[0-9.,/\u2044{_FRACTIONS}]"
"""A sign with which a number may begin."""
_NUMBER = rf"{NUMBER_SIGN}[0-9.,/\u2044{_FRACTIONS}\s\u2212\u2013-]*"
_ALIKE = {"\u00b5": "[\u00b5\u03bc]", '"': "(?:[\"\u2033\u201d]|'')", " ": r"\s+", "/": r"\s*/\s*"}
"""Signs that the readers take for another."""
_SYNTAX = frozenset(r"^$\.*+?()[]{}|")
_PRIME = "['\u2032\u2019]"
_MINUTES = rf"(?:{_PRIME}|[mM][iI][nN]\.?|[mM][iI][nN][uU][tT][eE][sS]?)"
_SECONDS = f"(?:[\"\u2033\u201d]|''|{_PRIME}{{2}}|[sS][eE][cC]\\.?|[sS][eE][cC][oO][nN][dD][sS]?)"


def in_either_case(words: str) -> str:
    r"""Pattern of words in small or capital letters, for JSON Schema has no flag for that.

    Examples
    --------
    >>> in_either_case("mm"), in_either_case("deg."), in_either_case("N m")
    ('[mM][mM]', '[dD][eE][gG]\\.', '[nN]\\s+[mM]')
    """
    return "".join(_sign(sign) for sign in words.lower())


def length_pattern(before: str = "") -> str:
    """Pattern of one length and no more, with something before it."""
    return rf"^\s*{before}\s*{_SIGN}\s*{_NUMBER}({_any_of(LENGTH_UNITS)})?\s*$"


def size_pattern(before: str = "") -> str:
    """Pattern of a length that may have a fit or limits behind it; of those the reader judges."""
    limits = r"[-+\u2212\u2013\u00b1(\u2026].*|\.\..*|[tT][oO]\s.*"
    bare = rf"({_any_of(LENGTH_UNITS)})?\s*([A-Za-z]{{1,2}}[0-9]{{1,2}}|{limits})?"
    return rf"^\s*{before}\s*{_SIGN}\s*{_NUMBER}({bare}|({_any_of(LENGTH_UNITS)})\s+[0-9].*)\s*$"


def travel_pattern() -> str:
    """Pattern of a travel in one turn."""
    behind = _any_of((*PER_TURN, INCHES_PER_TURN))
    return rf"^\s*{_SIGN}\s*{_NUMBER}({_any_of(LENGTH_UNITS)})?\s*({behind})?\s*$"


def quantity_pattern(unit: str) -> str:
    """Pattern of a number with one of the units that its key takes; empty if it takes the number alone."""
    if unit not in UNITS:
        return ""
    words = _any_of(UNITS[unit].known)
    if unit != "degrees":
        return rf"^\s*{_SIGN}\s*{_NUMBER}({words})\s*$"
    minutes = rf"(\s*[0-9.,]+\s*{_MINUTES}(\s*[0-9.,]+\s*{_SECONDS})?)?"
    return rf"^\s*{_SIGN}\s*{_NUMBER}({words}){minutes}\s*$"


def _any_of(words: Iterable[str]) -> str:
    return "|".join(in_either_case(word) for word in sorted(words, key=len, reverse=True))


def _sign(sign: str) -> str:
    if sign in _ALIKE:
        return _ALIKE[sign]
    if sign.upper() != sign and sign.isalpha():
        return f"[{sign}{sign.upper()}]"
    return f"\\{sign}" if sign in _SYNTAX else sign
