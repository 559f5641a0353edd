"""Beliefs and approaches of many lathes: some of them taken out, put back, all of them as arrays."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.approach import Approach
from handwheel.bench.belief import UNKNOWNS, Belief, Unknown

Places = npt.NDArray[np.intp]
Many = npt.NDArray[np.generic]
AnyStruct = TypeVar("AnyStruct", bound=Struct)
_OTHERS = (
    "fine",
    "last_depth_mm",
    "readings",
    "spread_sum",
    "spread_freedom",
    "short_cuts",
    "left_before_mm",
    "cuts_since",
)
_UPPER = tuple((one, other) for one in UNKNOWNS for other in UNKNOWNS[one:])


def as_arrays(belief: Belief, count: int) -> Belief:
    """A belief that is the same for many lathes, as one array of each unknown."""

    def full(value: object) -> Many:
        return np.array(np.broadcast_to(np.asarray(value), count))

    upper = {pair: full(belief.covariance[pair[0]][pair[1]]) for pair in _UPPER}
    return replace(
        belief,
        mean=tuple(full(value) for value in belief.mean),
        covariance=_square(upper),
        **{name: full(getattr(belief, name)) for name in _OTHERS},
    )


def taken(belief: Belief, places: Places) -> Belief:
    """The belief about some of the lathes."""
    upper = {pair: np.asarray(belief.covariance[pair[0]][pair[1]])[places] for pair in _UPPER}
    return replace(
        belief,
        mean=tuple(np.asarray(value)[places] for value in belief.mean),
        covariance=_square(upper),
        **{name: getattr(belief, name)[places] for name in _OTHERS},
    )


def put(belief: Belief, places: Places, part: Belief) -> None:
    """Put what is believed of some of the lathes back; the arrays of ``belief`` are changed."""
    for whole, some in _pairs(belief, part):
        whole[places] = some


def some_of(record: AnyStruct, places: Places) -> AnyStruct:
    """A record of which some fields are one array for many lathes, for some of them."""
    fields = {name: getattr(record, name) for name in record.__struct_fields__}
    chosen = {
        name: some_of(value, places) if isinstance(value, Struct) else value[places]
        for name, value in fields.items()
        if isinstance(value, np.ndarray | Struct)
    }
    return replace(record, **chosen)


def step_mm(approach: Approach, belief: Belief) -> npt.NDArray[np.float64]:
    """Travel of one step of the scale in use. [mm]"""
    return np.where(belief.fine, approach.fine_step_mm, approach.step_mm)


def _square(
    upper: dict[tuple[Unknown, Unknown], npt.NDArray[np.generic]],
) -> tuple[tuple[npt.NDArray[np.generic], ...], ...]:
    """Both halves of a symmetric matrix share their arrays."""
    return tuple(tuple(upper[min(one, other), max(one, other)] for other in UNKNOWNS) for one in UNKNOWNS)


def _pairs(belief: Belief, part: Belief) -> Iterator[tuple[Many, Many]]:
    yield from zip(belief.mean, part.mean, strict=True)
    for one, other in _UPPER:
        yield np.asarray(belief.covariance[one][other]), np.asarray(part.covariance[one][other])
    for name in _OTHERS:
        yield getattr(belief, name), getattr(part, name)
