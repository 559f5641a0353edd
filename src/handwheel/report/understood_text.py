"""What was understood of the part file, said back: each size as written, whose limits hold, what else was read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.domain.part import Aspect, Part, SizedFeature, Units
from handwheel.domain.size import SizeKind
from handwheel.report.layout import labelled
from handwheel.report.numbers import Lengths
from handwheel.report.words import plain, surface_words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

COLUMN = 13
_UNIT_WORDS = {Units.MM: "millimetres", Units.INCH: "inches"}


def understood_lines(part: Part, name_of: Callable[[SizedFeature, Part], str], *, width: int) -> Iterator[str]:
    """Say the unit of bare figures, who wears the part, and every size as written with the rule of its limits.

    Parameters
    ----------
    part : Part
        What was read.
    name_of : callable
        Name of a size on the sheet; sizes of one name are told once.
    width : int
        Columns of the sheet.
    """
    skin = "worn on the skin" if part.skin_contact else "not worn on the skin"
    yield from labelled(
        "read as", f"{_UNIT_WORDS[part.units]} where no unit is written; {skin}", width=width, column=COLUMN
    )
    told: dict[str, list[str]] = {}
    for feature in part.sizes:
        names = told.setdefault(_as_written(feature, part), [])
        if (name := name_of(feature, part)) not in names:
            names.append(name)
    for place, (said, names) in enumerate(told.items()):
        label = "" if place else "as written"
        yield from labelled(label, f"{'; '.join(names)}: {said}", width=width, column=COLUMN)
    yield from _finishing_lines(part, name_of, width=width)
    if also := "; ".join(_also_read(part)):
        yield from labelled("also read", also, width=width, column=COLUMN)


def _as_written(feature: SizedFeature, part: Part) -> str:
    size = feature.size
    meant = "" if size.kind is SizeKind.ANGLE else f", that is {Lengths(units=part.units, places=3).both(size.nominal)}"
    return f"{plain(size.as_written)}{meant}; {plain(size.rule)}"


def _also_read(part: Part) -> Iterator[str]:
    """Everything of the file that is no size."""
    segments = (*part.outer.segments, *part.inner.segments)
    groups: dict[str, list[str]] = {}
    for segment in segments:
        if segment.truth_group is not None:
            groups.setdefault(segment.truth_group, []).append(surface_words(segment.id))
    yield from (f"{', '.join(names)} true to each other" for names in groups.values())
    for segment in segments:
        if segment.finish_ra_um is not None:
            yield f"{surface_words(segment.id)} Ra {segment.finish_ra_um:g} µm"
    lengths = Lengths(units=part.units, places=3)
    if part.thread is not None:
        yield f"thread {part.thread.designation} in the bore"
    if part.pressed_into_mm is not None:
        yield f"pressed into a hole of {lengths.both(part.pressed_into_mm)}"
    if any(feature.aspect is Aspect.DEPTH for feature in part.sizes):
        yield f"inside corners of at most {lengths.both(part.corner_radius_mm)} radius"


def _finishing_lines(part: Part, name_of: Callable[[SizedFeature, Part], str], *, width: int) -> Iterator[str]:
    """Say what finishing is to do, and the limits of the finished part where they differ from those of turning."""
    lengths = Lengths(units=part.units, places=3)
    told = dict.fromkeys(
        f"{name_of(feature, part)}: finishing makes it {lengths.both(abs(size.finishing_change))} "
        f"{'larger' if size.finishing_change > 0 else 'smaller'}, then {lengths.limits(size.lower, size.upper)}"
        for feature in part.sizes
        if (size := feature.size).finishing_change and size.kind is not SizeKind.ANGLE
    )
    for place, words in enumerate(told):
        yield from labelled("" if place else "finished", words, width=width, column=COLUMN)
