"""The slice of drawn cases that every run of the tests tries, in chunks that several workers share."""

from __future__ import annotations

from tests.proof.cases import Promise, numbers

SEED = 2
CASES_A_CHUNK = 24
FEASIBLE_CHUNKS, FREE_CHUNKS = 42, 12
"""More than a thousand feasible cases, and near three hundred free ones."""


def chunk_of(promise: Promise, chunk: int) -> tuple[int, ...]:
    """Numbers of the cases of one chunk, counted from 0."""
    first, drawn = chunk * CASES_A_CHUNK, numbers(SEED, FEASIBLE_CHUNKS * CASES_A_CHUNK, promise)
    return tuple(drawn[first : first + CASES_A_CHUNK])
