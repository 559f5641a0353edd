"""A refusal as a few lines for the terminal, and as JSON."""

from __future__ import annotations

from collections.abc import Callable
from textwrap import wrap

import msgspec
from msgspec.structs import fields, replace

from handwheel.domain.refusal import Refusal
from handwheel.domain.remedies import AddToShop, Remedy
from handwheel.service.codec import written_exactly

WIDTH = 80
INDENT = "    "
PREFIX = "handwheel: "
"""What the command line puts before the first line."""
REFUSAL_SCHEMA = 1


def refusal_lines(refusal: Refusal, *, width: int = WIDTH) -> tuple[str, ...]:
    """Lines of a refusal, none longer than ``width``: what would make it possible, then what was tried and failed."""
    room = width - len(PREFIX)
    first, *rest = refusal.lines
    return (*_wrapped(first, room), *(piece for line in rest for piece in _wrapped(line, width)))


def _wrapped(line: str, width: int) -> list[str]:
    lead = line[: len(line) - len(line.lstrip())]
    return wrap(line.strip(), width, initial_indent=lead, subsequent_indent=lead + INDENT, break_on_hyphens=False)


def reworded(refusal: Refusal, worded: Callable[[str], str]) -> Refusal:
    """The refusal with its lines in one unit, or American words, if so wanted; what a program reads is the same."""
    return replace(refusal, head=worded(refusal.head), lines=tuple(map(worded, refusal.lines)))


def refusal_json(refusal: Refusal) -> str:
    """Write a refusal as JSON: every trouble with its code, every remedy with its kind and the whole thing it names."""
    told = {
        "schema": REFUSAL_SCHEMA,
        "head": refusal.head,
        "remedies": [_remedy(remedy) for remedy in refusal.remedies],
        "might_help": [_remedy(remedy) for remedy in refusal.might_help],
        "tries": refusal.tries,
        "hazards": list(refusal.hazards),
        "troubles": [
            {
                "code": trouble.code,
                "where": trouble.where,
                "tried": trouble.tried,
                "why": trouble.why,
                "remedy": trouble.remedy,
                "remedies": [_remedy(remedy) for remedy in trouble.remedies],
            }
            for trouble in refusal.troubles
        ],
    }
    return msgspec.json.format(msgspec.json.encode(told, enc_hook=written_exactly), indent=2).decode() + "\n"


def _remedy(remedy: Remedy) -> dict[str, object]:
    """The remedy under the name of its kind; for a thing to be added, what it is."""
    what = {"thing_is": type(remedy.thing).__name__} if isinstance(remedy, AddToShop) else {}
    return {"kind": type(remedy).__name__, **what, **_fields(remedy)}


def _fields(remedy: Remedy) -> dict[str, object]:
    return {field.name: getattr(remedy, field.name) for field in fields(remedy)}
