"""Fuzz the readers, led by what they reach: ``python -m tests.fuzz.run --seconds 60``.

Texts are changed at random; one that takes the intake a way not gone before is kept and changed further. Prints, for
each reader, how many texts were tried, how many were kept, how many steps they reach, and every fault with the text
that provokes it. ``--only part`` fuzzes one reader. Ends with status 1 if there is a fault.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
import traceback
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from tests.damage.damages import BYTES, drawn
from tests.fuzz.reached import Step, steps_of
from tests.fuzz.targets import Target, targets

MOST_FAULTS = 20
LONGEST = 20_000
"""Longer texts teach nothing more. [bytes]"""
WORDS = (
    *("mm", " in", '"', " thou", " mil", "±", "+", "-", "/", " to ", "..", "1/2", "½", "0", "9", ",", ".", " "),
    *("H8", "h9", " x 45", "°", "Ø", "R", "rpm", "/min", "m/min", "%", "US ", "UK ", "Z+", "around", "size"),
    *(
        "[",
        "]",
        "[[",
        "]]",
        "{",
        "}",
        "=",
        "#",
        "\n",
        "'",
        '"""',
        "\\",
        "true",
        "nan",
        "1e9",
        "\u00a0",
        "\u2212",
        "²",
        "٣",
    ),
    *("limits = [0, 1]", "plus_minus = 1", 'thread = "M12x1.5"', 'ring_size = "US 7"', "finishing_change = 0.01"),
    *('all = "0.5 x 45"', 'shape = "tube"', "bore = { diameter = 3, plus_minus = 1 }", 'measured_by = "stick"'),
)
"""Pieces of what people write; a letter alone seldom makes one."""


@dataclass(slots=True)
class Found:
    """What fuzzing one reader came to."""

    tried: int = 0
    kept: list[bytes] = field(default_factory=list)
    steps: set[Step] = field(default_factory=set)
    faults: dict[str, bytes] = field(default_factory=dict)


def fuzz(target: Target, *, seconds: float, seed: int, tries: int | None = None) -> Found:
    """Fuzz one reader for so long, or for so many tries."""
    draw, found = Random(seed), Found()  # noqa: S311 - nothing secret hangs on it
    for text in target.seeds:
        _try(target, text.encode(), found, is_seed=True)
    ends = time.monotonic() + seconds
    while time.monotonic() < ends if tries is None else found.tried < tries:
        _try(target, _changed(draw, found.kept), found)
        if len(found.faults) >= MOST_FAULTS:
            break
    return found


def _try(target: Target, content: bytes, found: Found, *, is_seed: bool = False) -> None:
    found.tried += 1
    try:
        fault, steps = steps_of(lambda: target.fault(content))
    except Exception:  # noqa: BLE001 - any is what is looked for
        fault, steps = traceback.format_exc(limit=-2), set()
    if fault:
        found.faults.setdefault(str(fault), content)
    if steps - found.steps or is_seed:
        found.kept.append(content)
    found.steps |= steps


def _changed(draw: Random, kept: Sequence[bytes]) -> bytes:
    """Change one of the kept texts once or a few times."""
    content = draw.choice(kept)
    for _ in range(draw.choice((1, 1, 2, 4))):
        content = draw.choice((_put_word, _put_word, _cut_out, _spliced, _damaged))(draw, content, kept)
    return content[:LONGEST]


def _put_word(draw: Random, content: bytes, _: Sequence[bytes]) -> bytes:
    start = draw.randint(0, len(content))
    word = draw.choice(WORDS).encode() if draw.random() < 0.9 else draw.choice(BYTES)
    return content[:start] + word + content[start + draw.choice((0, 0, 1, 3)) :]


def _cut_out(draw: Random, content: bytes, _: Sequence[bytes]) -> bytes:
    start = draw.randint(0, len(content))
    return content[:start] + content[start + draw.randint(1, 8) :]


def _spliced(draw: Random, content: bytes, kept: Sequence[bytes]) -> bytes:
    """Put lines of another text, or a piece of it, into this one."""
    other = draw.choice(kept)
    if b"\n" in other and b"\n" in content:
        lines, more = content.split(b"\n"), other.split(b"\n")
        place, start = draw.randrange(len(lines)), draw.randrange(len(more))
        return b"\n".join((*lines[:place], *more[start : start + draw.randint(1, 3)], *lines[place:]))
    return content[: draw.randint(0, len(content))] + other[draw.randint(0, len(other)) :]


def _damaged(draw: Random, content: bytes, _: Sequence[bytes]) -> bytes:
    try:
        return drawn(content.decode(), draw.randrange(10**6), seed=draw.randrange(10**6))[1]
    except UnicodeDecodeError:
        return content


def main(arguments: Sequence[str] | None = None) -> int:
    """Fuzz every reader for its share of the time."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seconds", type=float, default=60.0)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--only")
    given = options.parse_args(arguments)
    faulty = False
    with tempfile.TemporaryDirectory() as folder:
        every = targets(Path(folder))
        chosen = {name: target for name, target in every.items() if given.only in {None, name}}
        for name, target in chosen.items():
            found = fuzz(target, seconds=given.seconds / len(chosen), seed=given.seed)
            print(f"{name:9s} {found.tried:7d} tried  {len(found.kept):5d} kept  {len(found.steps):5d} steps reached")
            for fault, content in found.faults.items():
                print(f"  FAULT {fault}\n  {content!r}")
            faulty = faulty or bool(found.faults)
    return 1 if faulty else 0


if __name__ == "__main__":
    sys.exit(main())
