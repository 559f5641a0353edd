"""The pages of all keys of part and shop files, made of their schemas and of the tables of words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from handwheel.service.schemas.build import part_schema, shop_schema
from handwheel.service.schemas.key_words import words_of
from tests.docs.markdown import made_by, page, table

if TYPE_CHECKING:
    from collections.abc import Iterator

Json = dict[str, Any]
SCHEMAS = {"part": part_schema, "shop": shop_schema}
INTRO = {
    "part": "Every key that a part file may have. What they mean together, with examples, stands in "
    "[how a part file is written](../part-file.md); how lengths, limits and fits are spelt in "
    "[how files are written](../files.md).",
    "shop": "Every key that a shop file may have. `handwheel shop FILE --ask` asks for them one by one "
    "([how to write your shop file](../shop-file.md)); how to find a value at the lathe is told in "
    "[measure your lathe](../how-to/measure-your-lathe.md).",
}
PLAIN_FORMS = {"object": "table", "boolean": "`true` or `false`", "string": "text"}
LONGEST_LIST = 14
"""Words of a longer list are not written out."""
MUST = "**must**"


def rows_of(schema: Json) -> Json | None:
    """Schema of the table that stands under a key, alone, as rows, or beside a short form; nothing if there is none."""
    for each in (schema, schema.get("items", {}), *schema.get("anyOf", [])):
        if each.get("type") == "object":
            found: Json = each
            return found
    return None


def tables(schema: Json, place: str = "") -> Iterator[tuple[str, Json]]:
    """Every table of a kind of file: its place as it is written, such as ``[[lathe.speed]]``, and its schema."""
    yield place, schema
    for key, below in schema["properties"].items():
        inner = rows_of(below)
        if inner is not None:
            mark = "[]" if below.get("type") == "array" else ""
            yield from tables(inner, f"{place}.{key}{mark}" if place else f"{key}{mark}")


def header(place: str) -> str:
    """How the table is opened in a file."""
    if not place:
        return "At the top of the file"
    plain = place.replace("[]", "")
    return f"[[{plain}]]" if place.endswith("[]") else f"[{plain}]"


def unit_of(schema: Json) -> str:
    """Unit that the description names at its end, in brackets."""
    words = str(schema.get("description", ""))
    return words.rpartition("[")[2].rstrip("]") if words.endswith("]") else ""


def quoted(values: list[object]) -> str:
    """Words that may be written, or how many there are if these are too many."""
    if len(values) > LONGEST_LIST:
        return f"one of {len(values)} words (the schema lists them)"
    return ", ".join(f'`"{value}"`' for value in values)


def one_form(schema: Json, unit: str) -> str:
    """What may be written, for a schema without alternatives."""
    kind = schema.get("type")
    words = schema.get("enum", [schema["const"]] if "const" in schema else [])
    if words:
        return quoted(words)
    if kind == "array":
        return "rows" if schema.get("items", {}).get("type") == "object" else "list"
    if isinstance(kind, str) and kind in PLAIN_FORMS:
        return PLAIN_FORMS[kind]
    if unit == "file's units":
        return "length"
    name = "whole number" if kind == "integer" else "number"
    ends = f", {schema['minimum']:g} to {schema['maximum']:g}" if "minimum" in schema else ""
    return f"{name}{f' in {unit}' if unit else ''}{ends}"


def form(schema: Json) -> str:
    """What may be written under a key."""
    unit = unit_of(schema)
    forms = [one_form(each, unit) for each in schema.get("anyOf", [schema])]
    return " or ".join(dict.fromkeys(forms))


def key_rows(kind: str, place: str, schema: Json) -> list[tuple[str, str, str]]:
    """Row for every key of a table."""
    rows = []
    for key, below in schema["properties"].items():
        words = words_of(kind, f"{place}.{key}" if place else key)
        decides = f"*Decides:* {words.decides[:1].lower()}{words.decides[1:]}" if words.decides else ""
        must = f", {MUST}" if key in schema["required"] else ""
        says = " ".join(word for word in (words.says, words.find, decides) if word)
        rows.append((f"`{key}`{must}", form(below), says))
    return sorted(rows, key=lambda row: MUST not in row[0])  # the rest stays in the order of the reader


def blocks(kind: str) -> Iterator[str]:
    """Heading and table for every table of a kind of file; tables with the same keys stand once."""
    places: dict[tuple[tuple[str, str, str], ...], list[str]] = {}
    for place, schema in tables(SCHEMAS[kind]()):
        places.setdefault(tuple(key_rows(kind, place, schema)), []).append(place)
    for rows, (first, *others) in places.items():
        yield f"## {header(first)}"
        if others:
            yield f"The same keys under {', '.join(f'`{header(place)}`' for place in others)}."
        yield table(("key", "takes", "what it is"), rows)


def pages() -> dict[str, str]:
    """The two pages by their names."""
    how = (
        f"{MUST}: a file that lacks the key is refused. A *length* is in the file's units or names its own; "
        "a table is opened by the heading as it stands here."
    )
    return {
        f"{kind}-keys.md": page(
            f"Keys of a {kind} file", made_by("tests.docs.generated"), INTRO[kind], how, *blocks(kind)
        )
        for kind in SCHEMAS
    }
