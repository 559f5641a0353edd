"""Notes below the drawing of a part: name, metal, number, units, edges, roughness, what runs true to what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.data.iso2768 import GENERAL_RULE
from handwheel.data.materials import material
from handwheel.domain.errors import DataTableError
from handwheel.domain.part import Part, PressedBore, Units
from handwheel.drawing.part_edges import Edge
from handwheel.drawing.size_text import exact_mm
from handwheel.drawing.words import Words

UNIT_WORDS = {Units.MM: "sizes in millimetres", Units.INCH: "sizes in inches"}


def part_notes(part: Part, groups: Sequence[Sequence[Edge]], *, words: Words, scale: float) -> tuple[str, ...]:
    """Notes of a part, its name first; ``groups`` are its edges in the order of their letters."""
    first = f"{_metal(part)}; {part.quantity} off; {UNIT_WORDS[part.units]}; scale {scale_words(scale)}"
    notes = (
        part.name,
        first,
        "drawn as it is to be turned, at the middle of the limits",
        "the front face, which looks to the tailstock, is on the right",
        *_edges(part, groups, words),
        *_general(part),
        *_true(part, words),
        *_rough(part, words),
        *_inside_corners(part),
        *_later(part, words),
        *_pressed(part, words),
    )
    return tuple(map(words.said, notes))


def scale_words(scale: float) -> str:
    """Scale as it is written.

    Examples
    --------
    >>> scale_words(2.0), scale_words(0.5)
    ('2:1', '1:2')
    """
    return f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}"


def _metal(part: Part) -> str:
    try:
        return material(part.material).name
    except DataTableError:
        return part.material


def _edges(part: Part, groups: Sequence[Sequence[Edge]], words: Words) -> Iterator[str]:
    for place, group in enumerate(groups):
        names = ", ".join(words.surface(edge.surface) for edge in group)
        yield f"{chr(ord('A') + place)}: {group[0].words(part)} ({names})"
    if not groups:
        yield "edges sharp, burrs off"


def _general(part: Part) -> Iterator[str]:
    rules = dict.fromkeys(f.size.rule for f in part.sizes if f.size.rule.startswith(GENERAL_RULE))
    for rule in rules:
        yield f"sizes given without limits: {rule}"


def _true(part: Part, words: Words) -> Iterator[str]:
    groups: dict[str, list[str]] = {}
    for segment in (*part.outer.segments, *part.inner.segments):
        if segment.truth_group is not None:
            groups.setdefault(segment.truth_group, []).append(words.surface(segment.id))
    for names in groups.values():
        yield f"must run true to each other: {', '.join(names)}"


def _rough(part: Part, words: Words) -> Iterator[str]:
    said = [
        f"{words.surface(segment.id)} Ra {segment.finish_ra_um:g} µm"
        for segment in (*part.outer.segments, *part.inner.segments)
        if segment.finish_ra_um is not None
    ]
    if part.face_ra_um is not None:
        said.append(f"faces Ra {part.face_ra_um:g} µm")
    if said:
        yield f"roughness at most: {', '.join(said)}"


def _inside_corners(part: Part) -> Iterator[str]:
    if len(part.outer_cylinders) + len(part.inner_cylinders) > 2:  # noqa: PLR2004 - a plain ring has two cylinders
        yield f"radius in inside corners up to {part.corner_radius_mm:g} mm"


def _later(part: Part, words: Words) -> Iterator[str]:
    for feature in part.sizes:
        if feature.size.later:
            done = ", then ".join(work.words for work in feature.size.later)
            low, high = exact_mm(feature.size.cut_lower), exact_mm(feature.size.cut_upper)
            yield f"{words.surface(feature.surface)}: turned to {low} to {high} mm, then {done}"


def _pressed(part: Part, words: Words) -> Iterator[str]:
    for press in part.presses:
        bore = "" if press.bore is PressedBore.AS_BORED else f"; the bore gets its size {press.bore.value}"
        low, high = exact_mm(press.mate_lower), exact_mm(press.mate_upper)
        yield f"{words.surface(press.surface)}: pressed against {low} to {high} mm{bore}"
