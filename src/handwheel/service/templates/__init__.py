"""Starting files for a shop, by class of lathe: values invented, each with words on where to find the true one."""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib.resources import files
from textwrap import wrap

from handwheel.service.rewriting import comment_of, with_comments
from handwheel.service.schemas.key_words import row_for, words_of

TEMPLATES = {
    "small-metric": "small bench lathe, metric screws",
    "small-inch": "small bench lathe, inch screws",
    "mid-metric": "mid bench lathe, gears, power feed",
    "old-belt": "old lathe, flat belt, inch screws",
    "toolroom": "toolroom lathe with readouts",
}
"""Names of the templates, with what they are like in a few words (they fit a narrow screen)."""
COMMENT_WIDTH = 78
"""Longest comment line. [characters]"""

MARK = "taken from the template: check"
"""Comment behind a value that nobody has measured at this lathe yet."""
NEVER_MARKED = frozenset({"id", "name", "units", "kind", "uses", "metal", "delivered_as", "hand", "edge", "shape"})
"""Keys that say what a thing is, rather than how large; which things there are is asked apart."""

_HEADING = re.compile(r"\[(?P<many>\[?)(?P<path>[a-z_.]+)\]?\]")
_KEY = re.compile(r"(?P<key>[a-z_]+) = ")
_ID = re.compile(r"id = [\"'](?P<id>[^\"']+)")
_INTRODUCTION = """\
{head}
#
# A starting file: every value is invented. Go through it with the lathe before
# you, put your own in place of each, and plan nothing in earnest before that.
# A length may name its unit ("4 mm", "1/2 in", "5 thou"); without one it is in
# `units`. Above a value stands what it is, where to find it, and what hangs on
# it. Behind each invented value stands "{mark}"; take
# that away when you have put yours. `handwheel shop FILE` lists what is left.

"""


def template_text(name: str) -> str:
    """Text of a starting file with its comments.

    Raises
    ------
    KeyError
        If there is no template of that name (`TEMPLATES` has them all).
    """
    if name not in TEMPLATES:
        raise KeyError(name)
    bare = files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8")
    head, _, rest = bare.partition("\n")
    told = "\n".join(f"# {line}" for line in wrap(head.removeprefix("# "), COMMENT_WIDTH - 2))
    return _INTRODUCTION.format(head=told, mark=MARK) + commented(rest)


def commented(bare: str) -> str:
    r"""Shop file with words above its keys: in full where a key is new, one line where it was explained before.

    Rows of one list after its first are left as they are.

    Examples
    --------
    >>> print(commented("[lathe]\nmotor_power_w = 370\n"), end="")
    [lathe]
    # Power of the motor. On its plate: W, or kW x 1000, or hp x 746.
    # Decides: how deep and fast the lathe can cut.
    motor_power_w = 370  # taken from the template: check
    """
    lines: list[str] = []
    trail = ""
    seen: set[str] = set()
    rows: set[str] = set()
    for line in bare.splitlines():
        if heading := _HEADING.fullmatch(line):
            trail = _trail(heading["path"], lists=rows, is_row=bool(heading["many"]))
        elif (key := _KEY.match(line)) and (path := f"{trail}.{key['key']}".lstrip(".")) not in seen:
            lines += _comment(path, explained=seen)
            seen |= {path, f"row {row_for('shop', path)}"}
        lines.append(line + _mark(line))
    return "\n".join(lines) + "\n"


def _mark(line: str) -> str:
    key = _KEY.match(line)
    return f"  # {MARK}" if key and key["key"] not in NEVER_MARKED else ""


def _trail(path: str, *, lists: set[str], is_row: bool) -> str:
    """Path of a heading with ``[]`` behind its lists, as the tables of keys have it."""
    if is_row:
        lists.add(path)
    pieces = path.split(".")
    parts = [".".join(pieces[: place + 1]) for place in range(len(pieces))]
    return ".".join(f"{piece}[]" if part in lists else piece for piece, part in zip(pieces, parts, strict=True))


def _comment(path: str, *, explained: set[str]) -> list[str]:
    words = words_of("shop", path)
    if f"row {row_for('shop', path)}" in explained:
        return [f"# {words.says}"]
    decides = f"Decides: {words.decides[:1].lower()}{words.decides[1:]}" if words.decides else ""
    first = wrap(f"{words.says} {words.find}".strip(), COMMENT_WIDTH - 2, break_on_hyphens=False)
    return [f"# {line}" for line in (*first, *wrap(decides, COMMENT_WIDTH - 2))]


def confirmed(text: str, paths: Iterable[str], *, name: str) -> str:
    """Text without the mark behind the values at these paths: somebody has given them.

    Raises
    ------
    InputError
        If a path leads nowhere.
    """
    marked = {path: "" for path in paths if comment_of(text, path, name=name) == MARK}
    return with_comments(text, marked, name=name) if marked else text


def left_to_check(text: str) -> tuple[str, ...]:
    r"""Lines of a file that still carry the mark, as ``lathe.motor_power_w = 370``.

    Examples
    --------
    >>> left_to_check(commented("[[tool]]\nid = 'blade'\nreach = '14 mm'\n"))
    ("tool[blade].reach = '14 mm'",)
    """
    found = []
    place = ""
    places: dict[str, int] = {}
    for written in text.splitlines():
        line = written.strip()
        if heading := _HEADING.fullmatch(line):
            path = heading["path"]
            places[path] = places.get(path, 0) + 1
            place = f"{path}[no. {places[path]}]" if heading["many"] else path
        elif named := _ID.match(line):
            place = place.partition("[")[0] + f"[{named['id']}]"
        elif _KEY.match(line) and line.endswith(MARK):
            found.append(f"{place}.{line.rpartition('#')[0].rstrip()}".lstrip("."))
    return tuple(found)
