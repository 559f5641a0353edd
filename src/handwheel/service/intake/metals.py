"""The metal of a part or a bar, by its key, by any name that means one metal, or as unknown.

Whoever names a metal that cannot be planned, or one of several, reads what is dangerous about it all the same.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.data.materials import material
from handwheel.data.unknown_metals import metal_words
from handwheel.service.intake.places import quoted
from handwheel.service.intake.table import Table

MOST_OFFERED = 7
"""Most metals that one name is answered with."""
_ALLOWED = 'a key, name or number that "handwheel metal" lists, or "unknown steel" and the like'


def read_metal(table: Table, name: str) -> str:
    """Read a metal and return its key; a name that several have is asked back with their keys."""
    written = table.raw(name)
    if not isinstance(written, str):
        do = f'write {name} = "ss304" or another of them' if written is None else "write it in quotes"
        table.fault(name, allowed=_ALLOWED, do=do)
        return _any_metal()
    if written in metal_words():
        return metal_words()[written]
    from handwheel.data.hazards import hazard_metal_named
    from handwheel.data.metal_names import metals_named

    lacking = hazard_metal_named(written)
    meant = () if lacking else metals_named(written)
    if len(meant) == 1:
        return meant[0]
    table.fault(name, allowed=_ALLOWED, do=lacking.words if lacking else _what_it_is(written, meant))
    return _any_metal()


def _what_it_is(written: str, meant: tuple[str, ...]) -> str:
    """Answer to a name that means no one metal: which it may mean, with their hazards, or the nearest names."""
    if not meant:
        return _nearest(written)
    return _which(meant) + "".join(f". Hazard{of}: {text}" for of, text in _hazards(meant))


def _hazards(keys: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Hazards of some metals, each once: of all of them (then no name goes with it), or of those that have it."""
    found: dict[str, list[str]] = {}
    for key in keys:
        for hazard in material(key).hazards:
            if hazard.gate:
                found.setdefault(hazard.text.rstrip("."), []).append(key)
    for text, having in found.items():
        yield ("" if len(having) == len(keys) else f" of {' and '.join(having)}"), text


def _which(meant: tuple[str, ...]) -> str:
    """Question back, the keys beside the names; who does not know may say so."""
    from handwheel.data.metal_names import unknown_of

    offered = ", ".join(f'"{key}" ({material(key).name})' for key in meant[:MOST_OFFERED])
    unknown = unknown_of(meant)
    known = "" if not unknown else f', or "{unknown.replace("_", " ")}" if nobody knows'
    return f"which one? Write {offered}{known}"


def _nearest(written: str) -> str:
    """Metals that are called nearly so, if there are any."""
    from difflib import get_close_matches

    from handwheel.data.metal_names import near_metals

    near = tuple(get_close_matches(written, metal_words(), n=1)) or near_metals(written)
    return f"did you mean {quoted(near)}?" if near else "handwheel metal alone lists all of them"


def _any_metal() -> str:
    """Stand-in that goes nowhere."""
    return next(iter(metal_words()))
