"""The pages of all keys of part and shop files, made of their schemas and of the tables of words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from handwheel.service.schemas.build import part_schema, shop_schema
from handwheel.service.schemas.key_words import key_table, row_for, words_of
from handwheel.service.schemas.trace import KIND_KEYS
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
    if unit.startswith("of "):
        return f"share {unit}{ends}"
    return f"{name}{f' in {unit}' if unit not in {'', 'times'} else ''}{ends}"


def alternatives(schema: Json) -> Iterator[Json]:
    """Every form that a key may have, alternatives within alternatives too."""
    if "anyOf" not in schema:
        yield schema
        return
    for each in schema["anyOf"]:
        yield from alternatives(each)


def form(schema: Json) -> str:
    """What may be written under a key."""
    unit = unit_of(schema)
    forms = [one_form(each, unit) for each in alternatives(schema)]
    return " or ".join(dict.fromkeys(forms))


def kinds_of(schema: Json) -> tuple[str, list[str]]:
    """Key whose word settles which other keys a table has, and its words; empty if there is none."""
    for word in KIND_KEYS:
        if "enum" in schema["properties"].get(word, {}):
            return word, schema["properties"][word]["enum"]
    return "", []


def by_kind(schema: Json) -> dict[str, str]:
    """Words on the keys of a table that only some of its kinds have, or that some must have."""
    word, kinds = kinds_of(schema)
    without: dict[str, set[str]] = {}
    needed: dict[str, set[str]] = {}
    for rule in schema.get("allOf", []):
        kind = rule.get("if", {}).get("properties", {}).get(word, {}).get("const")
        for key, allowed in rule.get("then", {}).get("properties", {}).items() if kind else ():
            if allowed is False:
                without.setdefault(key, set()).add(kind)
        for key in rule.get("then", {}).get("required", []) if kind else ():
            needed.setdefault(key, set()).add(kind)
    only = {key: f"*Only for:* {quoted([k for k in kinds if k not in gone])}." for key, gone in without.items()}
    must = {key: f"*Must be given for:* {quoted([k for k in kinds if k in wanted])}." for key, wanted in needed.items()}
    return {key: " ".join(said for said in (only.get(key), must.get(key)) if said) for key in {*only, *must}}


def key_rows(kind: str, place: str, schema: Json) -> list[tuple[str, str, str]]:
    """Row for every key of a table: those that must be given first, each part in the order of the words."""
    rows = []
    kinds = by_kind(schema)
    order = list(key_table(kind))
    paths = {key: f"{place}.{key}" if place else key for key in schema["properties"]}
    for key in sorted(paths, key=lambda key: (key not in schema["required"], order.index(row_for(kind, paths[key])))):
        below, words = schema["properties"][key], words_of(kind, paths[key])
        decides = f"*Decides:* {words.decides[:1].lower()}{words.decides[1:]}" if words.decides else ""
        must = f", {MUST}" if key in schema["required"] else ""
        says = " ".join(word for word in (words.says, words.find, decides, kinds.get(key)) if word)
        rows.append((f"`{key}`{must}", form(below), says))
    return rows


def words_of_rule(rule: Json) -> str:
    """Say a rule on which keys stand together; nothing if it is of another kind."""
    for word, says in (("oneOf", "Exactly one of"), ("anyOf", "At least one of")):
        ways = rule.get(word, []) if len(rule) == 1 else []
        keys = [" with ".join(f"`{key}`" for key in way["required"]) for way in ways if "required" in way]
        if keys:
            return f"{'At most one of' if len(keys) < len(ways) else says} {', '.join(keys)}."
    return ""


def rules(schema: Json) -> str:
    """Rules of a table on which keys stand together, as sentences."""
    return " ".join(dict.fromkeys(said for said in map(words_of_rule, schema.get("allOf", [])) if said))


def blocks(kind: str) -> Iterator[str]:
    """Heading and table for every table of a kind of file; tables with the same keys stand once."""
    places: dict[tuple[tuple[tuple[str, str, str], ...], str], list[str]] = {}
    for place, schema in tables(SCHEMAS[kind]()):
        places.setdefault((tuple(key_rows(kind, place, schema)), rules(schema)), []).append(place)
    for (rows, told), (first, *others) in places.items():
        yield f"## {header(first)}"
        if others:
            yield f"The same keys under {', '.join(f'`{header(place)}`' for place in others)}."
        if told:
            yield told
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
