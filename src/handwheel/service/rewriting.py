"""Change single values of a part or shop file and leave comments, order and spacing as their owner wrote them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, MutableMapping, Sequence
from enum import Enum
from typing import Any, Final, Protocol, cast

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Item, Table

from handwheel.domain.errors import HandwheelError, InputError
from handwheel.service.intake.lengths import shown
from handwheel.service.intake.toml_text import parse_toml


class Gone(Enum):
    """Marks what is to be taken out of a file."""

    REMOVED = "removed"


REMOVED: Final = Gone.REMOVED

_PATH_PIECE = re.compile(r"(?P<key>[A-Za-z0-9_-]+)(?:\[(?P<row>[^\]]+)\])?(?:\.|$)")
_PLACE = re.compile(r"(?:no\. ?)?(?P<place>[1-9][0-9]{0,3})")

Plain = MutableMapping[str, Any]
Step = tuple[str, str | None]
"""A key, and the row of its list of tables if one is meant."""


class Reader(Protocol):
    """`read_part` or `read_shop`: judges a text, raises `InputError` with all that is wrong with it."""

    def __call__(self, text: str, *, name: str) -> object:
        """Read the text of a file."""


class NotRewrittenError(HandwheelError, RuntimeError):
    """A text would not have come out as the change means; nothing was changed."""


def rewritten(text: str, changes: Mapping[str, object], *, read: Reader, name: str) -> str:
    """Text of a file with some values exchanged, added or removed, and everything else as it was.

    Parameters
    ----------
    text : str
        Part or shop file, as it is.
    changes : mapping of str to object
        Path of a value, as messages name it (``lathe.motor_power_w``, ``tool[boring-10].reach``,
        ``lathe.speed[no. 2].rpm``), and the value in its place: text, a number, true or false, a list, a table, a list
        of tables; `REMOVED` takes it out.
    read : Reader
        `read_part` or `read_shop`: the new text must pass it.
    name : str
        Name of the file, for messages.

    Returns
    -------
    str
        The new text, byte for byte the old one where nothing changes.

    Raises
    ------
    InputError
        If a path leads nowhere, or the reader refuses the new text (an unknown key, a value out of range).
    NotRewrittenError
        If the new text does not mean what the change says: a fault of ours, found before anything is written.

    Examples
    --------
    >>> from handwheel.service.demo import demo_text
    >>> from handwheel.service.intake.part_file import read_part
    >>> old = demo_text("band")
    >>> new = rewritten(old, {"edges.plus_minus": "0.2 mm"}, read=read_part, name="band.toml")
    >>> [line for line in new.splitlines() if line not in old.splitlines()]
    ['plus_minus = "0.2 mm" # holds for both legs of each edge']
    """
    steps = {path: _steps(path, name=name) for path in changes}
    meant = parse_toml(text, name=name)
    for path, value in changes.items():
        _apply(meant, steps[path], _unwrapped(value), where=f"{name}: {path}")
    new = _put(text, {path: (steps[path], value) for path, value in changes.items()}, name=name)
    if _plain_numbers(parse_toml(new, name=name)) != _plain_numbers(meant):
        msg = f"{name}: the change of {', '.join(changes)} cannot be made without touching more; edit the file by hand"
        raise NotRewrittenError(msg)
    read(new, name=name)
    return new


def written_value(written: str) -> object:
    """Value that a person typed: a number, true, false or a list as TOML has them; anything else is text.

    Examples
    --------
    >>> written_value("0.70"), written_value("true"), written_value("4 mm"), written_value("1/2 in")
    (0.7, True, '4 mm', '1/2 in')
    """
    try:
        return tomlkit.value(written.strip())
    except (TOMLKitError, ValueError):
        return written.strip()


def with_comments(text: str, comments: Mapping[str, str], *, name: str) -> str:
    """Text with other comments behind some values; an empty comment takes it away.

    Raises
    ------
    InputError
        If a path leads nowhere.
    """
    document = _document(text, name=name)
    for path, comment in comments.items():
        item = _item_at(document, path, name=name)
        item.trivia.comment = f"# {comment}" if comment else ""
        item.trivia.comment_ws = (item.trivia.comment_ws or " ") if comment else ""
    return document.as_string()


def comment_of(text: str, path: str, *, name: str) -> str:
    """Comment behind a value, without its sign; empty if there is none."""
    return _item_at(_document(text, name=name), path, name=name).trivia.comment.lstrip("# ")


def value_at(values: Mapping[str, Any], path: str) -> Any:  # noqa: ANN401 - a TOML value has any of its types
    """Value that a path leads to in a parsed file; ``None`` if it leads nowhere."""
    where: Any = values
    for key, row in _steps(path, name=path):
        where = where.get(key) if isinstance(where, Mapping) else None
        if row is not None:
            where = _row(where, row) if isinstance(where, Sequence) else None
    return where


def row_path(key: str, row: Mapping[str, Any], place: int) -> str:
    """Path of one row of a list of tables: by its id if it has one, else by its place, which counts from 1.

    Examples
    --------
    >>> row_path("tool", {"id": "boring-10"}, 2), row_path("lathe.speed", {"rpm": 70}, 1)
    ('tool[boring-10]', 'lathe.speed[no. 1]')
    """
    return f"{key}[{row['id']}]" if isinstance(row.get("id"), str) else f"{key}[no. {place}]"


def _steps(path: str, *, name: str) -> tuple[Step, ...]:
    """Keys of a path with their rows."""
    found: list[Step] = []
    place = 0
    while place < len(path):
        piece = _PATH_PIECE.match(path, place)
        if piece is None:
            break
        found.append((piece["key"], piece["row"]))
        place = piece.end()
    if not found or place < len(path) or path.endswith("."):
        told = (
            f"{name}: found the path {shown(path)}; write it as messages do: lathe.motor_power_w, tool[boring-10].reach"
        )
        raise InputError((told,))
    return tuple(found)


def _apply(values: Plain, steps: Sequence[Step], value: object, *, where: str) -> None:
    """Put a value at the end of a path."""
    *before, (key, row) = steps
    table: Any = values
    for step_key, step_row in before:
        table = _inner(table, step_key, step_row, where=where)
    if row is not None:
        _apply_to_row(table, key, row, value, where=where)
        return
    if not isinstance(table, MutableMapping):
        raise _nowhere(where, key)
    if value is REMOVED:
        if key not in table:
            raise _nowhere(where, key)
        del table[key]
    elif isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
        table[key] = _rows_like(table, value)
    elif key not in table and isinstance(table, Table):
        _add(table, key, value)
    else:
        table[key] = value


def _apply_to_row(table: Any, key: str, row: str, value: object, *, where: str) -> None:  # noqa: ANN401 - any TOML value
    """Put a table in the place of a row, or take the row out; a list without rows goes too."""
    rows = _inner(table, key, None, where=where)
    _inner(table, key, row, where=where)
    place = _place(rows, row)
    if isinstance(value, Mapping):
        rows[place] = value
    elif value is REMOVED:
        del rows[place]
        if not rows:
            del table[key]
    else:
        told = f"{where}: found {shown(_unwrapped(value))}; allowed a table; name one of its keys behind a dot"
        raise InputError((told,))


def _add(table: Table, key: str, value: object) -> None:
    """Add a key below the plain ones of its table, above the comment that opens whatever follows."""
    plain = [name for name, item in table.value.body if name is not None and not isinstance(item, Table | AoT)]
    if plain:
        table.value._insert_after(plain[-1], key, value)  # noqa: SLF001 - the library shows no other way to a place
    else:
        table[key] = value


def _rows_like(table: Plain, rows: list[dict[str, object]]) -> object:
    """List of tables as the holder of the key writes it: with double brackets in a document, plain elsewhere."""
    if not isinstance(table, Item | tomlkit.TOMLDocument):
        return rows
    made = tomlkit.aot()
    for row in rows:
        inner = tomlkit.table()
        for name, value in row.items():
            inner.add(name, value)
        made.append(inner)
    made[-1].add(tomlkit.nl())  # the empty line before what follows
    return made


def _inner(table: object, key: str, row: str | None, *, where: str) -> Any:  # noqa: ANN401 - a TOML value has any type
    """What stands at one step of a path."""
    if not isinstance(table, Mapping) or key not in table:
        raise _nowhere(where, key)
    found = table[key]
    if row is None:
        return found
    inner = _row(found, row) if isinstance(found, list) else None
    if inner is None:
        raise _nowhere(where, f"{key}[{row}]")
    return inner


def _row(rows: Sequence[Any], row: str) -> Any:  # noqa: ANN401 - a TOML value has any type
    place = _place(rows, row)
    return None if place is None else rows[place]


def _place(rows: Sequence[Any], row: str) -> Any:  # noqa: ANN401 - an index, once `_inner` has found the row
    """Where a row stands: its id first, else its place counted from 1."""
    for place, one in enumerate(rows):
        if isinstance(one, Mapping) and one.get("id") == row:
            return place
    number = _PLACE.fullmatch(row)
    place = int(number["place"]) - 1 if number else len(rows)
    return place if place < len(rows) else None


def _nowhere(where: str, key: str) -> InputError:
    return InputError((f"{where}: found no {key} there; check the path: it is written as messages name it",))


def _document(text: str, *, name: str) -> tomlkit.TOMLDocument:
    parse_toml(text, name=name)  # its words for what is no TOML are better
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        msg = f"{name}: cannot be changed with its comments kept ({error}); edit the file by hand"
        raise NotRewrittenError(msg) from error


def _put(text: str, changes: Mapping[str, tuple[tuple[Step, ...], object]], *, name: str) -> str:
    """Text with the changes made in its dress."""
    document = _document(text, name=name)
    try:
        for path, (steps, value) in changes.items():
            _apply(document, steps, value, where=f"{name}: {path}")
        return document.as_string()
    except TOMLKitError as error:
        msg = f"{name}: cannot be changed with its comments kept ({error}); edit the file by hand"
        raise NotRewrittenError(msg) from error


def _item_at(document: tomlkit.TOMLDocument, path: str, *, name: str) -> Item:
    steps = _steps(path, name=name)
    table: Any = document
    for key, row in steps[:-1]:
        table = _inner(table, key, row, where=f"{name}: {path}")
    key, row = steps[-1]
    _inner(table, key, row, where=f"{name}: {path}")
    return cast("Item", table.item(key) if row is None else _row(table[key], row))


def _unwrapped(value: object) -> object:
    """Value without the dress it was written in."""
    return value.unwrap() if isinstance(value, Item) else value


def _plain_numbers(value: Any) -> Any:  # noqa: ANN401 - walks values of any type
    if isinstance(value, Mapping):
        return {key: _plain_numbers(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain_numbers(inner) for inner in value]
    return value if isinstance(value, bool | int | str) else float(value)


def with_values(values: Iterable[str], *, name: str) -> dict[str, object]:
    """Changes out of texts such as ``lathe.motor_power_w=370``; an empty value takes the key out.

    Raises
    ------
    InputError
        If a text has no equals sign.

    Examples
    --------
    >>> with_values(["lathe.motor_power_w=370", "lathe.chuck.runout = 0.05 mm"], name="shop.toml")
    {'lathe.motor_power_w': 370, 'lathe.chuck.runout': '0.05 mm'}
    """
    found: dict[str, object] = {}
    for written in values:
        path, sign, value = written.partition("=")
        if not sign:
            told = f"{name}: found {shown(written)}; write a key and its value: lathe.motor_power_w=370"
            raise InputError((told,))
        found[path.strip()] = written_value(value) if value.strip() else REMOVED
    return found
