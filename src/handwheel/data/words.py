"""Words that differ between the English of Britain and that of America, in pairs."""

from __future__ import annotations

from msgspec import Struct

from handwheel.data.loader import load_table

_COLUMNS = ("british", "american", "also_british", "what", "standing", "source_key", "place")
_YES = "yes"


class WordPair(Struct, frozen=True, kw_only=True):
    """One thing in two kinds of English; ``also_british`` says that British texts use the American word too."""

    british: str
    american: str
    also_british: bool


def word_pairs() -> tuple[WordPair, ...]:
    """Every pair, in the order of the table.

    Common practice, no source [COMMON].

    Examples
    --------
    >>> next(pair.american for pair in word_pairs() if pair.british == "top slide")
    'compound'
    """
    return tuple(
        WordPair(british=row["british"], american=row["american"], also_british=row["also_british"] == _YES)
        for row in load_table("words.csv", _COLUMNS)
    )
