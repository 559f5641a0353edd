"""Which fields of the acts some mutations change, found by laying each mutated sheet beside its original."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import get_args

from handwheel.domain import acts as a
from handwheel.domain.holding import Holding
from tests.replay.mutation import Mutation
from tests.replay.story import story


def named(mutations: Iterable[Mutation]) -> set[str]:
    """Fields that differ, such as ``"Cut.depth_mm"``; of what an act carries also ``"Setting.marks"``."""
    found: set[str] = set()
    for mutation in mutations:
        original = story(mutation.job).acts
        if len(original) != len(mutation.acts):
            continue
        for old, new in zip(original, mutation.acts, strict=True):
            if old is not new and type(old) is type(new):
                found |= set(_differing(old, new))
    return found


def _differing(old: a.ActBase, new: a.ActBase) -> Iterator[str]:
    for name in old.__struct_fields__:
        before, after = getattr(old, name), getattr(new, name)
        if before != after:
            yield f"{type(old).__name__}.{name}"
            yield from _within(before, after)


def _within(before: object, after: object) -> Iterator[str]:
    """Fields of a setting or a holding that differ."""
    if not isinstance(before, a.Setting | Holding) or type(before) is not type(after):
        return
    for field in before.__struct_fields__:
        if getattr(before, field) != getattr(after, field):
            yield f"{type(before).__name__}.{field}"


def every_field() -> set[str]:
    """Every field of every act, and of the settings and holdings that acts carry."""
    found = {f"{kind.__name__}.{name}" for kind in get_args(a.Act) for name in kind.__struct_fields__}
    for kind in (a.Setting, Holding):
        found |= {f"{kind.__name__}.{field}" for field in kind.__struct_fields__}
    return found
