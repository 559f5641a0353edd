"""Turns the words of other sheets into those that the reader of sheets knows, by rules of its own."""

from __future__ import annotations

import re

BACK = {
    "counterclockwise": "anticlockwise",
    "compound": "top slide",
    "center": "centre",
    "aluminum": "aluminium",
    "millimeter": "millimetre",
    "millimeters": "millimetres",
    "gray": "grey",
    "jewelry": "jewellery",
    "sulfurized": "sulphurised",
    "toward": "towards",
    "afterward": "afterwards",
}
"""American words that stand for one British word alone."""
MERGED = {"swarf": "chips", "spanner": "wrench"}
"""British words that are told apart no more: what is compared with an American sheet has to give them up too."""


def back_to_british(text: str) -> str:
    """Put British words for American ones; each line by itself, for none of the American words is broken."""
    return _exchanged(text, BACK)


def with_words_merged(text: str) -> str:
    """Give up what an American sheet cannot tell apart."""
    return _exchanged(text, MERGED)


IN_BOTH = re.compile(r"([0-9.+/-]+(?: to [0-9.]+)?) (mm|in)(/rev)? \(([0-9.+/-]+(?: to [0-9.]+)?) (mm|in)(?:/rev)?\)")


def with_one_unit(text: str, unit: str) -> str:
    """Give up what a sheet in one unit does not say: the other one."""
    return IN_BOTH.sub(lambda it: f"{it[1] if it[2] == unit else it[4]} {unit}{it[3] or ''}", text)


def _exchanged(text: str, words: dict[str, str]) -> str:
    def other(found: re.Match[str]) -> str:
        word = words[found[0].lower()]
        return word.upper() if found[0].isupper() else word.capitalize() if found[0][0].isupper() else word

    return re.sub(rf"(?<![\w-])({'|'.join(words)})\b", other, text, flags=re.IGNORECASE)
