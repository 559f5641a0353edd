"""What is fuzzed: every reader of text that people write, and what must hold of it whatever the text is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from pathlib import Path

from handwheel.domain.errors import InputError
from handwheel.domain.part import Units
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake.lengths import length_mm
from handwheel.service.intake.limits_text import read_size_text
from handwheel.service.intake.per_turn import travel_mm
from handwheel.service.intake.quantities import UNITS, read_quantity
from handwheel.service.intake.ring_limits import read_with_limits
from handwheel.service.intake.ring_sizes import read_ring_text
from handwheel.service.intake.ring_stick import read_stick
from handwheel.service.schemas.build import source_text
from tests.damage.judge import Fate, judge
from tests.damage.run import WISHES
from tests.damage.values import MustRefuseError, UnjudgedError, length
from tests.intake_files import PART

WHERE = "key"
STICK = """\
name = "stick"
units = "mm"
scale = "US"
mark_width = 0.2
reading = 0.1
uncertainty = 0.02
[[mark]]
size = "7"
at = 50
diameter = 17.35
[[mark]]
size = "8 1/2"
at = "62 mm"
diameter = 18.6
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """A reader with texts to begin with; ``fault`` says what is wrong with its answer, nothing if all is well."""

    seeds: tuple[str, ...]
    fault: Callable[[bytes], str]


def _told(read: Callable[[], object], *, start: str) -> tuple[object, str]:
    """What a reader makes of a text, and what is wrong with how it refuses."""
    try:
        return read(), ""
    except InputError as error:
        sound = error.problems and all(problem.startswith(start) for problem in error.problems)
        return None, "" if sound else f"refused without a place: {error.problems}"


def _file(folder: Path, *, is_part: bool) -> Callable[[bytes], str]:
    def fault(content: bytes) -> str:
        outcome = judge(content, folder / "fuzzed.toml", whole=None, is_part=is_part)
        return outcome.why if outcome.fate is Fate.FAULT else ""

    return fault


def _text(read: Callable[[str], object]) -> Callable[[bytes], str]:
    return lambda content: _told(lambda: read(content.decode(errors="replace")), start=f"{WHERE}: found ")[1]


def _length(content: bytes) -> str:
    text = content.decode(errors="replace")
    read, fault = _told(lambda: length_mm(text, unit=Units.MM, where=WHERE), start=f"{WHERE}: found ")
    try:
        said: Fraction | None = length(text, inch=False)
    except UnjudgedError:
        return fault
    except MustRefuseError:
        said = None
    return fault or ("" if read == said or (read is None and said is not None) else f"says {said}, read {read}")


def _size(content: bytes) -> str:
    text = content.decode(errors="replace")
    read, fault = _told(lambda: read_size_text(text, unit=Units.INCH, where=WHERE), start=f"{WHERE}: found ")
    lower, upper = getattr(read, "lower", 0), getattr(read, "upper", 0)
    return fault or ("" if lower <= upper else f"limits exchanged: {lower} and {upper}")


def _quantity(content: bytes) -> str:
    return "".join(_text(partial(read_quantity, unit=unit, where=WHERE))(content) for unit in UNITS)


def _ring_limits(content: bytes) -> str:
    text = content.decode(errors="replace")
    read, fault = _told(
        lambda: read_with_limits(
            text,
            read_size=partial(read_ring_text, where=WHERE),
            scale_of=lambda asked: asked.size.scale if asked.size else None,
            unit=Units.MM,
            where=WHERE,
        ),
        start=f"{WHERE}: found ",
    )
    lower, upper = getattr(read, "lower", None) or 0, getattr(read, "upper", None) or 0
    return fault or ("" if lower <= upper else f"limits exchanged: {lower} and {upper}")


def targets(folder: Path) -> dict[str, Target]:
    """Every target by its name; files are written to the folder."""
    lengths = ("2 1/2 in", '3-1/4"', "12,7 mm", "5 thou", "-0.1", "1/64 in", "5 mil", "2.1/2", "1½ in", "1,234.5")
    sizes = ("17.20 mm +0.03/-0", "0.677 in ± 1 thou", "17.17 to 17.23 mm", "20 0/-0.1", "1-1/64 -1/32 in", "20 +0.1")
    rings = ("US 7 1/4", "UK N 1/2", "ISO 54", "17.3 mm", "54.4 mm around", "Z+1 UK", "0.681in", "7½")
    quantities = ("300 rpm", "45°", "1 1/2 min", "1.5 kW", "60 m/min", "75 %", "1:50", "5°43'", "-5 deg 43 min 30 sec")
    travels = ("0.1 mm/rev", "4 thou per turn", "0.004 ipr", "1/8 in / rev", "30 m/min", "2 ipm", "4 mil/rev")
    ring_limits = ("US 7 +0.05/-0", "US 7 H8", "UK Z+1 ± 0.1 mm", "ISO 54 ± 0.1 mm across", "US 7 ± 1/4", "US 7 +0.1")
    return {
        "part": Target(
            seeds=(PART, *map(demo_text, DEMO_PARTS), *map(source_text, WISHES)), fault=_file(folder, is_part=True)
        ),
        "shop": Target(seeds=tuple(map(demo_text, DEMO_SHOPS)), fault=_file(folder, is_part=False)),
        "stick": Target(
            seeds=(STICK,),
            fault=lambda content: _told(
                lambda: read_stick(content.decode(errors="replace"), name=WHERE), start=f"{WHERE}: "
            )[1],
        ),
        "length": Target(seeds=lengths, fault=_length),
        "size": Target(seeds=sizes, fault=_size),
        "ring": Target(seeds=rings, fault=_text(lambda text: read_ring_text(text, where=WHERE))),
        "ring limits": Target(seeds=ring_limits, fault=_ring_limits),
        "travel": Target(seeds=travels, fault=_text(lambda text: travel_mm(text, unit=Units.MM, where=WHERE))),
        "quantity": Target(
            seeds=quantities,
            fault=_quantity,
        ),
    }
