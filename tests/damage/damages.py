"""Ways to damage a file as hands, editors, mail and disks do; each is drawn from a seeded generator."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from random import Random

Damage = Callable[[str, Random], bytes]
TWICE_EVERY = 6
"""Of so many files one is damaged twice."""
NUMBER = re.compile(r"(?<![A-Za-z_])[0-9]+(?:\.[0-9]+)?")
DECIMAL = re.compile(r"[0-9]+\.[0-9]+")
KEY = re.compile(r"(?m)^[a-z_]+(?= *=)|(?<=[{,] )[a-z_]+(?= *=)")
HEADER = re.compile(r"(?m)^\[+[a-z_.]+\]+")
VALUE = re.compile(r"(?m)(?<== )[^#\n]+")
UNIT = re.compile(r"(?<=[0-9] )(?:mm|in|thou)\b")
UNITS = ("mm", "in", "thou", "mil", "cm", "m", "µm", '\\"', "", "MM", "inch", "furlong")
OTHER_VALUES = (
    "true",
    '"x"',
    "[1, 2]",
    "{ a = 1 }",
    "1979-05-27",
    "nan",
    "-inf",
    "1e400",
    "0x1F",
    '""',
    "[]",
    "-3",
    "0",
    "1_0",
)
CURLY = {'"': "“", "'": "’", "-": "–", "x": "×", " ": "\u00a0"}  # noqa: RUF001 - as editors put them
BYTES = (
    b"\x00",
    b"\xff",
    b"\xb1",
    b"\xd8",
    b"\n",
    b"\r",
    b"\t",
    b'"',
    b"'",
    b"#",
    b"=",
    b"[",
    b"]",
    b"\xe2\x80\x8b",
    b"\xef\xbb\xbf",
)


def _at(text: str, found: re.Match[str], new: str) -> bytes:
    return (text[: found.start()] + new + text[found.end() :]).encode()


def _one(pattern: re.Pattern[str], text: str, draw: Random) -> re.Match[str]:
    return draw.choice(list(pattern.finditer(text)))


def _lines(change: Callable[[list[str], Random], None]) -> Damage:
    def damage(text: str, draw: Random) -> bytes:
        lines = text.split("\n")
        change(lines, draw)
        return "\n".join(lines).encode()

    return damage


def _delete(lines: list[str], draw: Random) -> None:
    del lines[draw.randrange(len(lines))]


def _repeat(lines: list[str], draw: Random) -> None:
    place = draw.randrange(len(lines))
    lines.insert(draw.choice((place, draw.randrange(len(lines)))), lines[place])


def _swap(lines: list[str], draw: Random) -> None:
    one, other = draw.randrange(len(lines)), draw.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]


def _join(lines: list[str], draw: Random) -> None:
    place = draw.randrange(len(lines) - 1)
    lines[place : place + 2] = [f"{lines[place]} {lines[place + 1]}"]


def _digit(text: str, draw: Random) -> bytes:
    return _at(text, _one(re.compile("[0-9]"), text, draw), draw.choice("0123456789"))


def _more_digits(text: str, draw: Random) -> bytes:
    found = _one(NUMBER, text, draw)
    return _at(
        text,
        found,
        draw.choice((found[0] + "0", "-" + found[0], found[0][:-1], "9" * 30, found[0] + ".5", "1" + found[0])),
    )


def _comma(text: str, draw: Random) -> bytes:
    found = _one(DECIMAL, text, draw)
    return _at(text, found, found[0].replace(".", ","))


def _comma_in_quotes(text: str, draw: Random) -> bytes:
    found = _one(re.compile(r"(?m)(?<== )[0-9]+\.[0-9]+"), text, draw)
    return _at(text, found, '"' + found[0].replace(".", ",") + draw.choice((' mm"', ' in"', '"', ' mil"', ' thou"')))


def _unit(text: str, draw: Random) -> bytes:
    units = list(UNIT.finditer(text))
    if units:
        return _at(text, draw.choice(units), draw.choice(UNITS))
    found = _one(re.compile(r"(?m)(?<== )[0-9.]+"), text, draw)
    return _at(text, found, f'"{found[0]} {draw.choice(UNITS)}"')


def _fraction(text: str, draw: Random) -> bytes:
    found = _one(re.compile(r"(?m)(?<== )[0-9.]+"), text, draw)
    written = draw.choice(
        ('"1/2"', '"1/2 in"', '"2-1/2 in"', '"2.1/2"', '"1/0 in"', '"1 3/2 in"', '"5 mil"', '"1,234"', '"3/4"')
    )
    return _at(text, found, written)


def _file_units(text: str, draw: Random) -> bytes:
    found = _one(re.compile(r"(?m)^units = .*$"), text, draw)
    return _at(text, found, f'units = "{draw.choice(("mm", "inch", "in", "MM", "cm", ""))}"')


def _rename(text: str, draw: Random) -> bytes:
    found = _one(KEY, text, draw)
    name, place = found[0], draw.randrange(len(found[0]))
    letter = draw.choice("abcdefghijklmnopqrstuvwxyz_")
    new = draw.choice(
        (
            name[:place] + name[place + 1 :],
            name[:place] + letter + name[place:],
            name[:place] + letter + name[place + 1 :],
            name.upper(),
        )
    )
    return _at(text, found, new)


def _header(text: str, draw: Random) -> bytes:
    found = _one(HEADER, text, draw)
    place = draw.randrange(len(found[0]))
    return _at(
        text,
        found,
        draw.choice(
            (found[0][:place] + found[0][place + 1 :], found[0][:place] + "s" + found[0][place:], f"[{found[0]}]")
        ),
    )


def _other_type(text: str, draw: Random) -> bytes:
    return _at(text, _one(VALUE, text, draw), draw.choice(OTHER_VALUES))


def _other_value(text: str, draw: Random) -> bytes:
    return _at(text, _one(VALUE, text, draw), _one(VALUE, text, draw)[0])


def _sign(text: str, draw: Random) -> bytes:
    found = _one(re.compile("[\"'x -]"), text, draw)
    return _at(text, found, draw.choice((CURLY.get(found[0], ""), "")))


def _cut(text: str, draw: Random) -> bytes:
    content = text.encode()
    return content[: draw.randrange(len(content))]


def _lose_piece(text: str, draw: Random) -> bytes:
    content = text.encode()
    start = draw.randrange(len(content))
    return content[:start] + content[start + draw.randrange(1, 40) :]


def _insert(text: str, draw: Random) -> bytes:
    content = text.encode()
    place = draw.randrange(len(content))
    return content[:place] + draw.choice(BYTES) + content[place:]


def _flip(text: str, draw: Random) -> bytes:
    content = bytearray(text.encode())
    content[draw.randrange(len(content))] ^= 1 << draw.randrange(8)
    return bytes(content)


def _encoding(text: str, draw: Random) -> bytes:
    return text.replace("#", "# Ø ±", 1).encode(
        draw.choice(("utf-16", "utf-16-le", "cp1252", "utf-8-sig", "utf-8", "utf-32"))
    )


def _line_ends(text: str, draw: Random) -> bytes:
    return text.replace("\n", draw.choice(("\r\n", "\r", "\n\r", "\n\n"))).encode()


def _remark(text: str, draw: Random) -> bytes:
    lines = text.split("\n")
    lines.insert(draw.randrange(len(lines)), draw.choice(("# 20 mm", "", "   ", "\t# x = 1")))
    return "\n".join(lines).encode()


DAMAGES: dict[str, Damage] = {
    "a line deleted": _lines(_delete),
    "a line repeated": _lines(_repeat),
    "two lines exchanged": _lines(_swap),
    "two lines joined": _lines(_join),
    "a digit changed": _digit,
    "a number lengthened, shortened, signed": _more_digits,
    "a decimal comma": _comma,
    "a decimal comma in quotes": _comma_in_quotes,
    "a unit changed": _unit,
    "a fraction or a riddle in place of a number": _fraction,
    "the units of the file": _file_units,
    "a key misspelt": _rename,
    "a header misspelt": _header,
    "a value of another type": _other_type,
    "the value of another key": _other_value,
    "a sign lost or made curly": _sign,
    "cut off": _cut,
    "a piece lost": _lose_piece,
    "bytes put in": _insert,
    "a bit flipped": _flip,
    "another encoding": _encoding,
    "other ends of lines": _line_ends,
    "a remark": _remark,
}
"""Every way by its name; `drawn` takes them in turn."""


def drawn(text: str, number: int, *, seed: int) -> tuple[str, bytes]:
    """Damage that has this number: how, and the damaged file. Every sixth file is damaged twice."""
    draw = Random(f"{seed} {number}")  # noqa: S311 - nothing secret hangs on it
    names = list(DAMAGES)
    name, content = _damaged(text, draw, names[number % len(names) :] + names)
    if number % TWICE_EVERY:
        return name, content
    try:
        other, twice = _damaged(content.decode(), draw, draw.sample(names, len(names)))
    except UnicodeDecodeError:
        return name, content
    return f"{name}, then {other}", twice


def _damaged(text: str, draw: Random, names: Sequence[str]) -> tuple[str, bytes]:
    """Damage a text in the first of these ways for which it has a place."""
    for name in names:
        try:
            return name, DAMAGES[name](text, draw)
        except (IndexError, ValueError):  # nothing there that this way could damage
            continue
    return "nothing left to damage", text.encode()
