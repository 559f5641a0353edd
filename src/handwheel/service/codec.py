"""A plan as JSON text and back, exactly, and the schema of that text."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from functools import cache
from numbers import Rational
from typing import Any

import msgspec

from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.plan import PLAN_SCHEMA, Plan, Sheet

SCHEMA_ID = f"urn:handwheel:plan:{PLAN_SCHEMA}"
SCHEMA_DIALECT = "https://json-schema.org/draft/2020-12/schema"

FRACTION = re.compile(r"(-?[0-9]+)/([1-9][0-9]*)")
"""Exact numbers are written as two whole numbers, such as ``"75/2"`` or ``"12/1"``."""

Json = dict[str, Any]
"""An object of JSON; what is in it is checked where it is used."""


def plan_to_json(plan: Plan) -> str:
    """Write a plan as JSON: keys in the order of the types, exact numbers as ``"p/q"``, one line each.

    Raises
    ------
    InputError
        If the text would not read back as the same plan (a float that is not finite has no JSON).
    """
    encoded = msgspec.json.encode(plan, enc_hook=written_exactly)
    text = msgspec.json.format(encoded, indent=2).decode() + "\n"
    if _converted(_parsed(text, "plan"), "plan") != plan:
        problem = "plan: does not read back as it was written; do not use it, and report this"
        raise InputError((problem,))
    return text


def sheet_to_json(sheet: Sheet) -> bytes:
    """Write a sheet alone, for another process of ours to read with `sheet_from_json`."""
    return msgspec.json.encode(sheet, enc_hook=written_exactly)


def sheet_from_json(text: bytes) -> Sheet:
    """Read what `sheet_to_json` wrote; raises `msgspec.MsgspecError` if that is no sheet."""
    return sheet_reader().decode(text)


@cache
def sheet_reader() -> msgspec.json.Decoder[Sheet]:
    """What reads a sheet; made once, for it looks through the types of all that a sheet may hold."""
    return msgspec.json.Decoder(Sheet, dec_hook=read_exactly)


def plan_from_json(text: str, *, name: str = "plan.json") -> Plan:
    """Read a plan from JSON.

    Parameters
    ----------
    text : str
        What `plan_to_json` wrote.
    name : str
        Name of the file, for errors.

    Raises
    ------
    InputError
        If the text is no JSON, no plan, a plan of a newer version, or has a field that is wrong, missing or unknown;
        each problem names the field by its path.
    """
    raw = _parsed(text, name)
    _require_this_schema(raw, name)
    plan = _converted(raw, name)
    unknown = tuple(_unknown(raw, msgspec.to_builtins(plan, enc_hook=written_exactly), "$"))
    if unknown:
        raise InputError(tuple(f"{name}: {path}: no such field in a plan; take it out" for path in unknown))
    return plan


def _converted(raw: Json, name: str) -> Plan:
    try:
        return msgspec.convert(raw, Plan, dec_hook=read_exactly)
    except msgspec.ValidationError as error:
        raise InputError((_problem(name, str(error)),)) from error


def plan_schema() -> Json:
    """JSON Schema (draft 2020-12) of what `plan_to_json` writes."""
    (root,), parts = msgspec.json.schema_components((Plan,), schema_hook=fraction_schema, ref_template="#/$defs/{name}")
    tidied = {name: tidied_part(part) for name, part in parts.items()}
    tidied["Plan"]["properties"]["schema"] = {"const": PLAN_SCHEMA}
    tidied["Plan"]["required"] = [*tidied["Plan"]["required"], "schema"]
    return {
        "$schema": SCHEMA_DIALECT,
        "$id": SCHEMA_ID,
        "title": "Plan of handwheel",
        "version": PLAN_SCHEMA,
        **root,
        "$defs": tidied,
    }


def written_exactly(thing: object) -> str:
    """Write an exact number as two whole ones, ``"p/q"``; anything else has no JSON (`NotImplementedError`)."""
    if isinstance(thing, Rational):
        return f"{thing.numerator}/{thing.denominator}"
    msg = f"JSON of ours cannot hold a {type(thing).__name__}"
    raise NotImplementedError(msg)


def read_exactly(wanted: type, written: object) -> Fraction:
    """Read what `written_exactly` wrote; raises `ValueError` if that is no exact number."""
    if wanted is not Fraction:
        msg = f"a plan cannot hold a {wanted.__name__}"
        raise NotImplementedError(msg)
    match = FRACTION.fullmatch(written) if isinstance(written, str) else None
    if match is None:
        msg = f'found {written!r}; allowed: two whole numbers such as "75/2" or "12/1"'
        raise ValueError(msg)
    return Fraction(int(match[1]), int(match[2]))


def _parsed(text: str, name: str) -> Json:
    try:
        raw = msgspec.json.decode(text)
    except msgspec.DecodeError as error:
        problem = f"{name}: is not JSON ({error}); give the plan.json that `handwheel plan` wrote"
        raise InputError((problem,)) from error
    if not isinstance(raw, dict) or not {"schema", "sheet", "steps"} <= raw.keys():
        problem = f"{name}: is JSON but no plan of handwheel; give the plan.json that `handwheel plan` wrote"
        raise InputError((problem,))
    return raw


def _require_this_schema(raw: Json, name: str) -> None:
    version = raw["schema"]
    if isinstance(version, int) and not isinstance(version, bool):
        if version == PLAN_SCHEMA:
            return
        if version > PLAN_SCHEMA:
            remedy = "update handwheel, or plan again with this one"
            problem = f"{name}: $.schema: found {version}; this handwheel reads up to {PLAN_SCHEMA}; {remedy}"
            raise InputError((problem,))
    problem = f"{name}: $.schema: found {version!r}; allowed: {PLAN_SCHEMA}; plan again with this handwheel"
    raise InputError((problem,))


def _problem(name: str, message: str) -> str:
    """Put the path first, as in every other error about a file."""
    what, _, path = message.rpartition(" - at ")
    if not what:
        return f"{name}: {message}; give the file as `handwheel plan` wrote it"
    return f"{name}: {path.strip('`')}: {what}; give the file as `handwheel plan` wrote it"


def _unknown(read: object, known: object, path: str) -> Iterator[str]:
    """Paths of fields in what was read that the plan made of it does not have."""
    if isinstance(read, dict) and isinstance(known, dict):
        for key, value in read.items():
            if key in known:
                yield from _unknown(value, known[key], f"{path}.{key}")
            else:
                yield f"{path}.{key}"
    elif isinstance(read, list) and isinstance(known, list | tuple):
        for place, (one, other) in enumerate(zip(read, known, strict=True)):
            yield from _unknown(one, other, f"{path}[{place}]")


def fraction_schema(kind: type) -> Json:
    """Schema of an exact number; `NotImplementedError` for a type that JSON of ours has no form for."""
    if kind is not Fraction:
        msg = f"a plan cannot hold a {kind.__name__}"
        raise NotImplementedError(msg)
    return {"type": "string", "pattern": f"^{FRACTION.pattern}$", "description": "exact number, written p/q"}


def tidied_part(part: Json) -> Json:
    """Keep the first sentence of the docstring, and forbid fields that the reader would refuse."""
    tidy = dict(part)
    description = tidy.get("description")
    if isinstance(description, str):
        tidy["description"] = " ".join(inspect.cleandoc(description).partition("\n\n")[0].split())
    if tidy.get("type") == "object":
        tidy["additionalProperties"] = False
    return tidy
