"""What was understood of the part file, said back once: each size as written, work after turning, what else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.data.roughness import ra_words
from handwheel.domain.part import BORE, Aspect, Part, PressFit, SizedFeature, Units
from handwheel.domain.size import Size, SizeKind
from handwheel.report.layout import labelled
from handwheel.report.numbers import Lengths
from handwheel.report.words import plain, surface_words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from handwheel.domain.exact import Fraction

COLUMN = 13
_UNIT_WORDS = {Units.MM: "millimetres", Units.INCH: "inches"}


def understood_lines(part: Part, name_of: Callable[[SizedFeature, Part], str], *, width: int) -> Iterator[str]:
    """Lay out what `understood` says in so many columns."""
    for label, texts in understood(part, name_of):
        for place, text in enumerate(texts):
            yield from labelled("" if place else label, text, width=width, column=COLUMN)


def understood(part: Part, name_of: Callable[[SizedFeature, Part], str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Say the unit of bare figures, who wears the part, every size as written with the rule of its limits.

    After them what is done to each after turning, and all else that the file asks; each as a label with its texts.

    Parameters
    ----------
    part : Part
        What was read.
    name_of : callable
        Name of a size on the sheet; sizes of one name are told once.
    """
    skin = "worn on the skin" if part.skin_contact else "not worn on the skin"
    yield "read as", (f"{_UNIT_WORDS[part.units]} where no unit is written; {skin}",)
    told: dict[str, list[str]] = {}
    for feature in part.sizes:
        names = told.setdefault(_as_written(feature, part), [])
        if (name := name_of(feature, part)) not in names:
            names.append(name)
    yield "as written", tuple(f"{'; '.join(names)}: {said}" for said, names in told.items())
    for label, texts in (
        ("afterwards", _afterwards(part, name_of)),
        ("finish", _roughness(part)),
        ("pressed", (_press_words(press, part) for press in part.presses)),
        ("also read", _also_read(part)),
    ):
        yield label, tuple(dict.fromkeys(texts))


def _as_written(feature: SizedFeature, part: Part) -> str:
    size = feature.size
    meant = "" if size.kind is SizeKind.ANGLE else f", that is {Lengths(units=part.units, places=3).both(size.nominal)}"
    return f"{plain(size.as_written)}{meant}; {plain(size.rule)}"


def _afterwards(part: Part, name_of: Callable[[SizedFeature, Part], str]) -> Iterator[str]:
    """Say what is done after turning, in its order, with the limits that hold once it is."""
    lengths = Lengths(units=part.units, places=3)
    for feature in part.sizes:
        for words, limits in _works(feature.size, lengths):
            yield f"{name_of(feature, part)}: {words}; then {lengths.limits(*limits)}"


def _works(size: Size, lengths: Lengths) -> Iterator[tuple[str, tuple[Fraction, Fraction]]]:
    """Words for each piece of later work on a size, and its limits after that; a bare change is worded here."""
    yield from ((plain(work.words), (work.lower, work.upper)) for work in size.later)
    if size.finishing_change and not size.later and size.kind is not SizeKind.ANGLE:
        way = "larger" if size.finishing_change > 0 else "smaller"
        words = f"finishing makes it {lengths.both(abs(size.finishing_change))} {way}"
        yield words, (size.lower, size.upper)


def _roughness(part: Part) -> Iterator[str]:
    for segment in (*part.outer.segments, *part.inner.segments):
        if segment.finish_ra_um is not None:
            yield f"{surface_words(segment.id)} {ra_words(segment.finish_ra_um)} or finer, as turned"
    if part.face_ra_um is not None:
        yield f"both faces {ra_words(part.face_ra_um)} or finer, as turned"


def _press_words(press: PressFit, part: Part) -> str:
    """Say what a surface is pressed into, or on, and when the bore then gets its size."""
    is_hole = press.surface.startswith(BORE)
    mate = "on a shaft" if is_hole else "into a hole"
    lengths = Lengths(units=part.units, places=3)
    is_measured = press.mate_lower == press.mate_upper
    size = lengths.both(press.mate_lower) if is_measured else lengths.limits(press.mate_lower, press.mate_upper)
    when = "" if is_hole else f"; bore {press.bore.value}"
    return f"{surface_words(press.surface)}, {mate} of {size}{when}"


def _also_read(part: Part) -> Iterator[str]:
    """Everything else of the file that is no size."""
    groups: dict[str, list[str]] = {}
    for segment in (*part.outer.segments, *part.inner.segments):
        if segment.truth_group is not None:
            groups.setdefault(segment.truth_group, []).append(surface_words(segment.id))
    yield from (f"{', '.join(names)} true to each other" for names in groups.values())
    if part.thread is not None:
        yield f"thread {part.thread.designation} in the bore"
    if any(feature.aspect is Aspect.DEPTH for feature in part.sizes):
        corner = Lengths(units=part.units, places=3).both(part.corner_radius_mm)
        yield f"inside corners of at most {corner} radius"
