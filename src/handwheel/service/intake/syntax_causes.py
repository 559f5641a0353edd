"""What most often stands behind a line that is no TOML, told from the line itself; own experience, no source."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec import Struct

from handwheel.service.intake.lengths import shown
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.places import path_of, value_lines

_VALUE = r"=\s*"
_NUMBER = r"[+-]?[0-9]+(?:\.[0-9]+)?"
CURLY_QUOTES = "“”„‟‘’‚‛«»‹›″′´`"  # noqa: RUF001 - it is these that are looked for
"""Signs that word processors put in place of a straight quote. TOML knows only the straight ones."""


class Cause(Struct, frozen=True):
    """A pattern in the line, and what to do where it is found; the pattern's groups go into the words."""

    pattern: Pattern
    do: str


def _cause(pattern: str, do: str) -> Cause:
    return Cause(Pattern(pattern, re.IGNORECASE), do)


_CAUSES = (
    _cause(r"\x00", "there is a zero byte in it: the file is damaged or in another encoding; save it as UTF-8"),
    _cause(
        rf"^(?:[^\"'#]|\"[^\"]*\"|'[^']*')*?(?P<sign>[{CURLY_QUOTES}])",
        '{sign} is no quote in TOML: put the straight " before and after the text',
    ),
    _cause("\ufeff", "an invisible byte-order mark is in it: type the beginning of the line anew"),
    _cause(r"\r", 'the line ends of an old system are in it; save the file with line ends "LF" or "CRLF"'),
    _cause(r"^[^\"'#]*[\u00a0\u202f\u2007]", "a no-break space is in it: put a plain space in its place"),
    _cause(
        rf"{_VALUE}(?P<whole>[+-]?[0-9]+),(?P<part>[0-9]+)\s*(?:[,}}#]|$)",
        'a decimal comma? Write {whole}.{part}, or with its unit in quotes "{whole},{part} mm"',
    ),
    _cause(
        rf"{_VALUE}[^\"'#]*[0-9\]\"']\s*(?P<sign>;|//)",
        "{sign} ends nothing in TOML: delete it; a remark begins with #",
    ),
    _cause(
        rf"{_VALUE}(?P<value>[0-9][0-9./ -]*)\"\s*(?:[,}}#]|$)",
        'inches? Write them in words and in quotes: "{value} in"',
    ),
    _cause(
        rf"{_VALUE}(?P<value>{_NUMBER}(?:,[0-9]+)?\s*[a-zµ°±/+×-][^\",#]*?)\s*(?:[,}}#]|$)",
        'text after a number: put the whole of it in quotes, "{value}", its unit in words (mm, in)',
    ),
    _cause(rf"{_VALUE}(?P<value>[+-]?\.[0-9]+)", "a digit must stand before the point: write 0 before {value}, as 0.5"),
    _cause(rf"{_VALUE}(?P<value>[0-9]+\.)\s*(?:[,}}#]|$)", "a digit must stand behind the point: write {value}0"),
    _cause(rf"{_VALUE}[+-]?0(?P<value>[0-9]+)", "a number begins with no idle 0: write {value}"),
    _cause(rf"{_VALUE}(?P<value>true|false|yes|no|on|off)\b", "write true or false, in small letters"),
    _cause(rf"{_VALUE}(?:#|$)", "the value is missing: write it after the ="),
    _cause(rf"{_VALUE}\"[^\"]*$|{_VALUE}'[^']*$", "the quote at the end of the text is missing: close it"),
    _cause(rf"{_VALUE}(?P<value>[^\"'\s#]+)[\"']\s*$", 'the quote before the text is missing: write "{value}"'),
    _cause(rf"{_VALUE}(?P<value>[^\W\d][^\"'#]*?)\s*(?:[,}}#]|$)", 'text stands in quotes: write "{value}"'),
    _cause(r"=[^#]*\\", "a backslash in a text: write two of them, or put the text in single quotes '...'"),
    _cause(r"^\s*[A-Za-z0-9_-]+\s*:", "write = in place of the colon"),
    _cause(r"^\s*\[\[[^\]]*\]?\s*(?:#|$)", "a list of tables has two brackets on either side: [[name]]"),
    _cause(r"^\s*\[[^\[\]]*\s*(?:#|$)", "the closing bracket is missing: [name]"),
    _cause(
        r"\{[^}]*$", "a table in braces stands on one line: close it there, or write it as [table] with its keys below"
    ),
    _cause(r"^\s*(?://|;|--)", "a remark begins with #"),
    _cause(r"^[^\"'=#]*[^\x00-\x7f][^=]*=", "a key has plain letters only: write it as the demo files do"),
)
"""The first that fits is told, so the surer signs stand first."""


def likely_cause(line: str) -> str:
    """Say what is most likely wrong with a line, and what to write; empty if it shows none of the usual slips.

    Examples
    --------
    >>> likely_cause("diameter = 18,5")
    'a decimal comma? Write 18.5, or with its unit in quotes "18,5 mm"'
    >>> likely_cause("metal = ti_gr2")
    'text stands in quotes: write "ti_gr2"'
    """
    for cause in _CAUSES:
        found = cause.pattern.search(line)
        if found is not None:
            return cause.do.format(**_plain_groups(found))
    return ""


def _plain_groups(found: re.Match[str]) -> dict[str, str]:
    return {name: shown(text or "")[1:-1].strip() for name, text in found.groupdict().items()}


_TWICE = Pattern(r"Cannot (?:overwrite|declare|redefine|mutate)|Duplicate|twice")


def twice_cause(reason: str, text: str, line: int) -> str:
    """Say where the earlier of two equal keys or tables stands, if that is what the parser met; else empty."""
    if not _TWICE.search(reason):
        return ""
    rows = text.split("\n")
    full, before = _full_name(rows, line), "\n".join(rows[: line - 1])
    for place, at in value_lines(before).items():
        if ".".join(str(word) for word in place if isinstance(word, str)) == full:
            return f"{full} stands in line {at} already: delete one of the two, or give it another name"
    return "the same key or table is there twice: delete one of the two"


def _full_name(rows: Sequence[str], line: int) -> str:
    """Key or table of a line, with the table in which it stands."""
    name = rows[line - 1].partition("=")[0].strip().strip("[]").strip()
    if rows[line - 1].lstrip().startswith("["):
        return name
    headers = (row for row in reversed(rows[: line - 1]) if row.lstrip().startswith("["))
    table = next(headers, "").partition("#")[0].strip().strip("[]").strip()
    return path_of(table, name)
