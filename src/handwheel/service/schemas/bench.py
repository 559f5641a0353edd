"""The schema of the lines that go in and come out of a walk, made of their types."""

from __future__ import annotations

from typing import Any

import msgspec

from handwheel.domain.events import Event
from handwheel.service.bench_commands import Command
from handwheel.service.bench_state import Reply
from handwheel.service.codec import SCHEMA_DIALECT, fraction_schema, tidied_part

SCHEMA_ID = "urn:handwheel:bench:1"
ONE_OF = ("do", "reading", "dial", "note", "go")
"""Exactly one of them stands in a line that goes in."""
_FIGURE = {"type": ["number", "string"]}

Json = dict[str, Any]


def bench_schema() -> Json:
    """JSON Schema (draft 2020-12): a line in is a ``Command``, one out a ``Reply``, one of the journal an ``Event``."""
    refs, parts = msgspec.json.schema_components(
        (Command, Reply, Event), schema_hook=fraction_schema, ref_template="#/$defs/{name}"
    )
    defs = {name: tidied_part(part) for name, part in parts.items()}
    command = defs["Command"]
    command["properties"] |= {"reading": {**_FIGURE}, "dial": {**_FIGURE}}
    command["oneOf"] = [{"required": [name]} for name in ONE_OF]
    return {
        "$schema": SCHEMA_DIALECT,
        "$id": SCHEMA_ID,
        "title": "Lines of handwheel bench --json, and of its journal",
        "anyOf": list(refs),
        "$defs": defs,
    }
