"""From what the readers asked to JSON Schema (draft 2020-12), with the words of the tables of keys."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache, partial
from importlib.resources import files

from handwheel.data.roughness import roughness_grades_um
from handwheel.data.unknown_metals import metal_words
from handwheel.domain.errors import InputError
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.part import Units
from handwheel.service.codec import SCHEMA_DIALECT
from handwheel.service.intake.edges import BROKEN, ROUND, SHARP
from handwheel.service.intake.finishing import ALLOWANCE, FINISH, FINISH_RA, FINISHING_CHANGE, FROM_TRIAL, LOSS
from handwheel.service.intake.owned import HOLDING_STRENGTHS
from handwheel.service.intake.part_file import part_in
from handwheel.service.intake.problems import Problems
from handwheel.service.intake.ring_bore import STICK, STICK_ENDING
from handwheel.service.intake.shop_file import shop_in
from handwheel.service.intake.sizes import BETWEEN, FIT, RING_SIZE, WAYS_BESIDE
from handwheel.service.intake.table import LONGEST_NAME, Table, by_value
from handwheel.service.intake.toml_text import parse_toml
from handwheel.service.schemas.key_words import words_of
from handwheel.service.schemas.patterns import NUMBER_SIGN, in_either_case, length_pattern, size_pattern
from handwheel.service.schemas.trace import ANY, LIST, Json, Trace, TracedTable, Trail, length_form

PART_SOURCES = (
    "every-key-plain",
    "every-key-ring",
    "every-key-stick-ring",
    "every-key-thread",
    "every-key-edges",
    "every-key-stepped",
    "every-key-finish",
    "every-key-fits",
    "every-key-step-wishes",
)
SHOP_SOURCES = ("every-key-shop", "collet-chuck-shop")
"""Files that hold every key of their kind; a test compares them with all that the readers name."""

_CHANGE: Json = {"type": "string", "pattern": rf"^\s*[-+\u2212\u2013]?\s*{NUMBER_SIGN}.*$"}
SIZE: Json = {**length_form(-1000.0, 1000.0), "pattern": size_pattern()}
"""A length, alone or with a fit or limits behind it."""
_DIAMETER_SIGN = r"([\u00d8\u00f8\u2300]|dia\.?)"
_LENGTH: Json = length_form(-10_000.0, 10_000.0)
_LIMITS: Json = {"type": "array", "items": _LENGTH, "minItems": 2, "maxItems": 2}
_ANGLE = r"45\s*(\u00b0|deg\.?|degrees?)"

_EDGE: Json = {
    "anyOf": [
        {"const": SHARP},
        {"type": "string", "pattern": rf"^\s*{NUMBER_SIGN}.*[xX\u00d7]\s*(45|{_ANGLE})\s*$"},
        {"type": "string", "pattern": rf"^\s*{_ANGLE}\s*[xX\u00d7].+$"},
        {"type": "string", "pattern": rf"^\s*{BROKEN}(\s+[0-9.,].*)?\s*$"},
        {"type": "string", "pattern": rf"^\s*({in_either_case(ROUND)}|[rR])\s*[0-9.,].*$"},
    ]
}
_METAL_TAKEN: Json = {"type": "string", "pattern": r"^\s*[-+]?\s*[0-9.,].*\s[A-Za-z].*$"}
"""An amount and words behind it, which the reader judges."""
_METAL_LOST: Json = {
    "anyOf": [_METAL_TAKEN, {"type": "string", "pattern": rf"^\s*{FROM_TRIAL}(\s+on .*)?$"}],
}
"""Such an amount, or words for that of the shop's own trials."""
_FIT_WISH: Json = {"type": "string", "pattern": r"^\s*[A-Za-z].*\s.*[0-9].*$"}
"""Words and a figure behind them, which the reader judges."""
_RING_SIZE: Json = {"type": "string", "pattern": r"^(?=.*[0-9A-Za-z]).{1,40}$"}
_DIAMETER: Json = {**SIZE, "pattern": size_pattern(f"{_DIAMETER_SIGN}?")}
"""As a length, with the sign of a diameter before it or without."""
_BETWEEN: Json = {**_LIMITS, "items": {**_LENGTH, "pattern": length_pattern(f"{_DIAMETER_SIGN}?")}}
_METAL: Json = {
    "anyOf": [
        {"enum": list(metal_words())},
        {"type": "string", "pattern": rf"^(?=.*[0-9A-Za-z]).{{1,{LONGEST_NAME}}}$"},
    ]
}
"""Keys first, so that an editor offers them; any name that means one metal is read."""
RAW_FORMS: dict[str, Json] = {
    "metal": _METAL,
    "diameter": _DIAMETER,
    "length": SIZE,
    "hole": SIZE,
    "depth": SIZE,
    "along": SIZE,
    "across": SIZE,
    "all": _EDGE,
    "front_outer": _EDGE,
    "front_inner": _EDGE,
    "back_outer": _EDGE,
    "back_inner": _EDGE,
    "thread": {"type": "string", "pattern": r"^\s*M\s*[0-9]"},
    RING_SIZE: _RING_SIZE,
    "wide_band": _CHANGE,
    "eased_bore": _CHANGE,
    "limits": _LIMITS,
    BETWEEN: _BETWEEN,
    FIT: _FIT_WISH,
    ALLOWANCE: _METAL_TAKEN,
    LOSS: _METAL_LOST,
    ROUND: SIZE,
    "uses": {"type": "array", "items": {"enum": list(by_value(GaugeUse))}, "minItems": 1},
    "diameters": {"type": "array", "items": _LENGTH, "minItems": 1},
    "points": {
        "type": "array",
        "minItems": 3,
        "items": {"type": "array", "items": _LENGTH, "minItems": 2, "maxItems": 2},
    },
}
"""Forms of keys that a reader takes apart itself, by name."""

TEXTS_TOO: dict[str, Json] = {FINISH_RA: {"enum": list(roughness_grades_um())}}
"""Forms of keys that are text as well as what is noted of them, by name."""
_DRILL_NAME: Json = {
    "type": "string",
    "pattern": rf"^\s*((#|{in_either_case('no')}\.?|{in_either_case('number')})\s*[0-9]{{1,3}}"
    rf"|({in_either_case('letter')}\s+)?[A-Za-z])\s*$",
}
TEXTS_AT: dict[str, Json] = {"shop:drill[].diameter": _DRILL_NAME}
"""Likewise, by place."""

NARROWER: dict[str, Json] = {STICK: {"pattern": rf"\{STICK_ENDING}\s*$"}}
"""What a reader asks of a text beyond its being one, by name."""

_EDGES = ("front_outer", "front_inner", "back_outer", "back_inner")
REFUSED = {"part:edges": frozenset({"limits"})}
"""Keys that a reader knows only to say why they are not for that place."""
_TAPPED: Json = {
    "if": {"required": ["thread"]},
    "then": {
        "properties": dict.fromkeys((*WAYS_BESIDE, FINISH_RA, FINISH, LOSS, ALLOWANCE, FINISHING_CHANGE), False),
    },
}
_ROUNDED: Json = {
    "if": {"required": [ROUND]},
    "then": {"properties": dict.fromkeys(("along", "across", FINISHING_CHANGE), False)},
    "else": {"required": ["along", "across"]},
}


def _one_of(*keys: str) -> Json:
    """Rule that a table has one of these keys and no second one."""
    return {"oneOf": [{"required": [key]} for key in keys]}


def _one_or_none_of(*keys: str) -> Json:
    """Rule that a table has at most one of these keys."""
    ways = [{"required": [key]} for key in keys]
    return {"oneOf": [*ways, {"not": {"anyOf": ways}}]}


def _limits_in(key: str, others: Iterable[str]) -> Json:
    """Rule that a size with a fit or limits in its text has none beside it."""
    text = {"type": "string", "not": {"pattern": length_pattern(f"{_DIAMETER_SIGN}?")}}
    return {
        "if": {"properties": {key: text}, "required": [key]},
        "then": {"properties": dict.fromkeys(others, False)},
    }


def _rules_of_limits(keys: Iterable[str]) -> list[Json]:
    """Limits stand in one way only, in every table that has several ways for them."""
    known = tuple(keys)
    ways = tuple(way for way in WAYS_OF_LIMITS if way in known)
    beside = tuple(way for way in WAYS_BESIDE if way in known)
    in_text = [_limits_in(key, beside) for key in SIZES_WITH_LIMITS if key in known and "limits" in known]
    return [_one_or_none_of(*ways), *in_text] if len(ways) > 1 else []


WAYS_OF_LIMITS = (*WAYS_BESIDE, BETWEEN, FIT)
"""Keys of which a table has one at most."""
SIZES_WITH_LIMITS = ("diameter", "length", "hole", "along", "across", ROUND)
"""Keys whose text may have limits behind the size."""

EXTRA_RULES: dict[str, list[Json]] = {
    "part:bore": [_one_of("diameter", BETWEEN, FIT, RING_SIZE, "thread"), _TAPPED],
    **{f"part:{place}": [_one_of("diameter", BETWEEN, FIT)] for place in ("outside", "outside_step[]", "bore_step[]")},
    **{
        f"part:{place}": [_one_of("length", BETWEEN)]
        for place in ("width", "outside_step[].depth", "bore_step[].depth")
    },
    **{f"part:edges.{edge}": [_ROUNDED] for edge in ("all", *_EDGES)},
    "part:edges": [{"anyOf": [{"required": ["all"]}, {"required": list(_EDGES)}]}],
    "shop:lathe": [
        _one_of("chuck", "collet_chuck"),
        {"anyOf": [{"required": [key]} for key in ("speed", "belts", "variable_speed")]},
    ],
    "shop:lathe.belts": [{"required": ["step"]}],
    "shop:lathe.collet_chuck": [{"required": ["collet"]}],
    "shop:tool[].piece[]": [{"required": ["points"]}],
    "shop:gauge[]": [{"required": ["uses"]}],
    "shop:holding[]": [
        {"if": {"properties": {"kind": {"const": kind}}, "required": ["kind"]}, "then": {"required": [key]}}
        for kind, (key, _) in HOLDING_STRENGTHS.items()
    ],
    "shop:bar[]": [
        {"if": {"properties": {"shape": {"const": "tube"}}, "required": ["shape"]}, "then": {"required": ["bore"]}}
    ],
}
"""What must stand together, where a reader finds out by itself; keyed by kind of file and place."""


def part_schema() -> Json:
    """JSON Schema (draft 2020-12) of a part file."""
    return _schema("part", part_trace(), title="Part file of handwheel", says="One ring-like part, as TOML.")


def shop_schema() -> Json:
    """JSON Schema (draft 2020-12) of a shop file."""
    return _schema(
        "shop", shop_trace(), title="Shop file of handwheel", says="One lathe and all that lies about it, as TOML."
    )


@cache
def part_trace() -> Trace:
    """What the reader of parts asks."""
    return _traced(PART_SOURCES, partial(part_in, load=beside_sources))


@cache
def shop_trace() -> Trace:
    """What the reader of shops asks."""
    return _traced(SHOP_SOURCES, shop_in)


def source_text(name: str) -> str:
    """Text of one of the files that hold every key."""
    return files(__package__).joinpath(f"{name}.toml").read_text(encoding="utf-8")


def beside_sources(named: str) -> str:
    """Text of a file that one of those names; raises `InputError` if there is none."""
    try:
        return source_text(named.removesuffix(".toml"))
    except FileNotFoundError:
        msg = f"{named}: is none of the files of the schemas; write one of their names"
        raise InputError((msg,)) from None


def trace_of(text: str, read: Callable[[Table], object], *, name: str, trace: Trace) -> object:
    """Read one text with every question noted in a trace; returns what was made of it, or raises `InputError`."""
    values = parse_toml(text, name=name)
    problems = Problems(name)
    units = Units(str(values.get("units", Units.MM.value)))
    table = TracedTable(values, problems=problems, units=units, trace=trace)
    table.choice("units", by_value(Units))
    return problems.settle(read(table))


def _traced(sources: tuple[str, ...], read: Callable[[Table], object]) -> Trace:
    trace: Trace = {}
    for source in sources:
        trace_of(source_text(source), read, name=f"{source}.toml", trace=trace)
    return trace


def _schema(kind: str, trace: Trace, *, title: str, says: str) -> Json:
    return {
        "$schema": SCHEMA_DIALECT,
        "$id": f"urn:handwheel:{kind}:1",
        "title": title,
        "description": says,
        **_object(kind, trace, ""),
    }


def _object(kind: str, trace: Trace, trail: str) -> Json:
    """Schema of the tables at one place."""
    here = trace[trail]
    refused = REFUSED.get(f"{kind}:{trail}", frozenset())
    keys = sorted(here.always_asked() - refused, key=list(here.forms).index)
    rules = [*_kind_rules(here), *_rules_of_limits(keys), *EXTRA_RULES.get(f"{kind}:{trail}", [])]
    return {
        "type": "object",
        "properties": {key: _property(kind, trace, trail, key) for key in keys},
        "required": [key for key in keys if key in here.always_needed()],
        "additionalProperties": False,
        **({"allOf": rules} if rules else {}),
    }


def _property(kind: str, trace: Trace, trail: str, key: str) -> Json:
    here = trace[trail]
    rank, noted = here.forms[key]
    path = f"{trail}.{key}" if trail else key
    form = dict(RAW_FORMS[key] if rank in {ANY, LIST} else noted)
    inner = form.pop("table", None)
    rows = form.pop("tables", None)
    unit = form.pop("unit", "")
    if inner is not None:
        form = _object(kind, trace, inner)
        if key in RAW_FORMS:  # a table of its own, or the short form
            form = {"anyOf": [RAW_FORMS[key], form]}
    if rows is not None:
        form = {"type": "array", "items": _object(kind, trace, rows)}
    form.pop("unit", None)
    form |= NARROWER.get(key, {})
    more = TEXTS_TOO.get(key) or TEXTS_AT.get(f"{kind}:{path}")
    if more is not None:
        form = {"anyOf": [form, more]}
    examples = [_plain(example) for example in here.examples.get(key, [])]
    return {
        "title": key.replace("_", " "),
        "description": _describe(kind, path, unit),
        **form,
        **({"examples": examples[:3]} if examples else {}),
    }


def _describe(kind: str, path: str, unit: str) -> str:
    words = words_of(kind, path)
    decides = f"Decides: {words.decides[:1].lower()}{words.decides[1:]}" if words.decides else ""
    return " ".join(word for word in (words.says, words.find, decides, f"[{unit}]" if unit else "") if word)


def _kind_rules(here: Trail) -> list[Json]:
    """What holds for one kind alone: keys that it does not have, keys that it must have."""
    rules = []
    for kind in here.kinds if len(here.kinds) > 1 else ():
        refused = sorted(here.always_asked() - here.always_asked(kind))
        needed = sorted(here.always_needed(kind) - here.always_needed())
        then: Json = {
            **({"properties": dict.fromkeys(refused, False)} if refused else {}),
            **({"required": needed} if needed else {}),
        }
        word = next(key for key in ("kind", "shape") if key in here.forms and kind in here.forms[key][1]["enum"])
        if then:
            rules.append({"if": {"properties": {word: {"const": kind}}, "required": [word]}, "then": then})
    return rules


def _plain(example: object) -> object:
    """Value as JSON has it."""
    return example if isinstance(example, bool | int | str) else float(str(example))
