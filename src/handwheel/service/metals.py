"""The catalogue of metals for a user: find by any name, tell, compare, weigh a part."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from handwheel.data.catalogue import GRADE_ALONE, CatalogueEntry, Claim, WearRule, catalogue_entry, wear_rules
from handwheel.data.hazards import hazard_metal_named
from handwheel.data.loader import source, sources
from handwheel.data.materials import material, material_keys
from handwheel.data.metal_families import families
from handwheel.data.metal_names import metals_named, near_metals, unknown_of
from handwheel.data.unknown_metals import unknown_metals
from handwheel.domain.errors import InputError
from handwheel.report.metal_text import MOST_SIDE_BY_SIDE, compare_text, list_text, metal_text
from handwheel.report.wording import printed_in
from handwheel.service.wording import wording_without_shop

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from handwheel.data.ranges import DataRange
    from handwheel.domain.part import Part
    from handwheel.planner.weight import PartWeight

UNKNOWN_FAMILY = "not known"
LONGEST_SHOWN = 40
"""What is shown of a name that is none. [characters]"""
MOST_ASKED = 8
"""More metals of one name are counted, not told."""


def metals_text(
    names: Sequence[str],
    part_path: Path | None = None,
    *,
    width: int = 80,
    show: str | None = None,
    words: str | None = None,
) -> str:
    """Return the catalogue as text: all metals if none is named, else one with its sources, or some side by side.

    Parameters
    ----------
    names : sequence of str
        Keys, names, standard numbers. Several words may be one name.
    part_path : Path, optional
        Part to be weighed in these metals; in its own if none is named.
    width : int
        Longest line, 72 to 200. [characters]
    show : str, optional
        Unit of lengths: mm, inch or both, which it is without it.
    words : str, optional
        Whose words: british, which it is without it, or american. Titles of works stay.

    Raises
    ------
    InputError
        If a name is none, or is that of several metals; if the part cannot be read; if there is no such unit or word.
    """
    part = None if part_path is None else _read(part_path)
    titles = tuple(work.citation for work in sources().values())
    with printed_in(wording_without_shop(titles, part, show=show, words=words)):
        return _text_of(names, part, width=width)


def _text_of(names: Sequence[str], part: Part | None, *, width: int) -> str:
    if not names and part is None:
        return list_text(_by_family(), width=width)
    keys = _keys(names, part)
    entries = [catalogue_entry(key) for key in keys]
    weights = _weights(part, keys)
    if len(entries) == 1:
        return metal_text(entries[0], weights[0] if weights else None, width=width)
    return compare_text(entries, weights, width=width)


def catalogue_names() -> dict[str, str]:
    """Key of every metal of the catalogue, with its name."""
    return {key: catalogue_entry(key).name for key in (*material_keys(), *unknown_metals())}


def metals_json(names: Sequence[str], part_path: Path | None = None) -> str:
    """Return the same as JSON: all metals if none is named. Raises as `metals_text` does."""
    part = None if part_path is None else _read(part_path)
    named = names or part is not None
    keys = _keys(names, part) if named else (*material_keys(), *unknown_metals())
    entries = [catalogue_entry(key) for key in keys]
    weights = _weights(part, keys)
    said: list[Claim | WearRule] = [*(claim for entry in entries for claim in entry.claims), *wear_rules()]
    told: dict[str, Any] = {
        "note": GRADE_ALONE,
        "metals": [_entry_json(entry) for entry in entries],
        "rules": [
            {
                "rule": rule.rule,
                **_amount_json(rule.limit),
                "text": rule.text,
                "edition": rule.edition,
                **_source_json(rule),
            }
            for rule in wear_rules()
        ],
        "sources": {
            key: {"citation": source(key).citation, "edition": source(key).edition, "note": source(key).note}
            for key in sorted({each.source_key for each in said})
        },
    }
    if weights:
        told["weights"] = [_weight_json(key, weight) for key, weight in zip(keys, weights, strict=True)]
    return json.dumps(told, indent=2, ensure_ascii=True) + "\n"


# names --------------------------------------------------------------------------------------------------------------


def metal_keys(names: Sequence[str]) -> tuple[str, ...]:
    """Key of each metal that is named; several words that make up one name are one metal.

    Raises
    ------
    InputError
        With a line for each name that is none or stands for several metals, and what to write.

    Examples
    --------
    >>> metal_keys(["mild", "steel"]), metal_keys(["1.4404", "ti_gr2"])
    (('st_s235',), ('ss316l', 'ti_gr2'))
    """
    together = _meant(" ".join(names)) if len(names) > 1 else ()
    if len(together) == 1:
        return together
    if len(names) > 1 and not together and hazard_metal_named(" ".join(names)) is not None:
        raise InputError(tuple(_asked(" ".join(names), ())))
    found = [(name, _meant(name)) for name in names]
    problems = [line for name, keys in found if len(keys) != 1 for line in _asked(name, keys)]
    if problems:
        raise InputError(tuple(problems))
    return tuple(dict.fromkeys(keys[0] for _, keys in found))


def _meant(name: str) -> tuple[str, ...]:
    """Keys that a name may mean; none of a metal that is known only for its hazard, be its name a word of others."""
    hazardous = hazard_metal_named(name)
    return metals_named(name) if hazardous is None or hazardous.relatives else ()


def _keys(names: Sequence[str], part: Part | None) -> tuple[str, ...]:
    keys = metal_keys(names) if names or part is None else (part.material,)
    if len(keys) > MOST_SIDE_BY_SIDE:
        problem = f"{len(keys)} metals: no more than {MOST_SIDE_BY_SIDE} stand side by side; name fewer"
        raise InputError((problem,))
    return keys


def _asked(name: str, keys: tuple[str, ...]) -> Iterable[str]:
    """What to say of a name that is not that of one metal."""
    shown = repr(name) if len(name) <= LONGEST_SHOWN else f"{name[:LONGEST_SHOWN]!r}..."
    hazardous = hazard_metal_named(name)
    if not keys and hazardous is not None:
        yield f"metal {shown}: {hazardous.words}"
        return
    if not keys:
        near = near_metals(name)
        hint = f"did you mean {' or '.join(near)}?" if near else "handwheel metal alone lists all of them"
        yield f"metal {shown}: not in the tables; {hint}"
        return
    yield f"metal {shown}: {len(keys)} metals are called so; name one by its key:"
    yield from (f"  {key}: {material(key).name}" for key in keys[:MOST_ASKED])
    if len(keys) > MOST_ASKED:
        yield f"  and {len(keys) - MOST_ASKED} more; handwheel metal alone lists all of them"
    unknown = unknown_of(keys)
    if unknown:
        yield f"  {unknown}: if nobody knows which"


def _by_family() -> dict[str, list[CatalogueEntry]]:
    known = {family: [catalogue_entry(key) for key in keys] for family, keys in families().items()}
    return {**known, UNKNOWN_FAMILY: [catalogue_entry(key) for key in unknown_metals()]}


# the part -----------------------------------------------------------------------------------------------------------


def _read(path: Path) -> Part:
    # only a weight needs the reader of parts
    from handwheel.service.intake.part_file import read_part_file

    return read_part_file(path)


def _weights(part: Part | None, keys: Iterable[str]) -> tuple[PartWeight, ...]:
    if part is None:
        return ()
    from handwheel.planner.weight import part_weight

    return tuple(part_weight(part, material(key)) for key in keys)


# JSON ---------------------------------------------------------------------------------------------------------------


def _entry_json(entry: CatalogueEntry) -> dict[str, Any]:
    return {
        "key": entry.key,
        "name": entry.name,
        "family": entry.family,
        "designations": entry.designations,
        "condition": entry.condition,
        "may_be": list(entry.may_be),
        "tell": entry.tell,
        "claims": [
            {
                "topic": claim.topic.value,
                "item": claim.item,
                **_amount_json(claim.amount),
                "text": claim.text,
                **_source_json(claim),
            }
            for claim in entry.claims
        ],
        "not_in_tables": [topic.value for topic in entry.silent],
    }


def _amount_json(amount: DataRange | None) -> dict[str, Any]:
    if amount is None:
        return {"low": None, "high": None, "unit": None}
    return {"low": amount.low, "high": amount.high, "unit": amount.unit}


def _source_json(said: Claim | WearRule) -> dict[str, str]:
    return {"standing": said.standing.value, "source": said.source_key, "place": said.place}


def _weight_json(key: str, weight: PartWeight) -> dict[str, Any]:
    return {
        "metal": key,
        "part": weight.part,
        "part_mm3": weight.part_mm3,
        "part_g": list(weight.part_g),
        "round_dia_mm": weight.round_dia_mm,
        "round_length_mm": weight.round_length_mm,
        "round_mm3": weight.round_mm3,
        "round_g": list(weight.round_g),
        "density_g_cm3": [weight.density.least, weight.density.most],
    }
