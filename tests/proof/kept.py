"""Outcomes kept in a file as they come, so that a long run that was stopped goes on where it was.

One JSON object a line. A file belongs to one state of the project: after a change of it the cases are to be tried anew,
with a new file.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from pathlib import Path

import msgspec

from tests.proof.trial import Outcome

Tried = Callable[[Sequence[int]], Iterator[Outcome]]
"""Tries cases, in their order."""


def kept(path: Path) -> dict[int, Outcome]:
    """Outcomes in a file by the number of their case; a last line that was cut short is left out."""
    if not path.exists():
        return {}
    whole = [line for line in path.read_bytes().splitlines(keepends=True) if line.endswith(b"\n")]
    found = [msgspec.json.decode(line, type=Outcome) for line in whole]
    return {outcome.number: outcome for outcome in found}


def going_on(path: Path, cases: Sequence[int], tried: Tried) -> Generator[Outcome, None, None]:
    """Outcomes of all cases: those in the file, and the rest tried and put into it one by one."""
    known = kept(path)
    path.write_bytes(b"".join(_line(outcome) for outcome in known.values()))
    yield from (known[number] for number in cases if number in known)
    with path.open("ab") as file:
        for outcome in tried([number for number in cases if number not in known]):
            file.write(_line(outcome))
            file.flush()
            yield outcome


def _line(outcome: Outcome) -> bytes:
    return msgspec.json.encode(outcome) + b"\n"
