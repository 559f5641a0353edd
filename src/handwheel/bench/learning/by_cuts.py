"""What readings between cuts tell of spring and wear of an edge, of screws and angles, and of touches."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from math import hypot, radians, tan

from msgspec import Struct

from handwheel.bench.belief import Unknown
from handwheel.bench.learning.believing import believed
from handwheel.bench.learning.chain import NOTHING_KNOWN, Normal, combined
from handwheel.bench.learning.following import Surprise, Trait, follow, touch_told
from handwheel.bench.learning.pieces import Piece, evidence_in, pooled
from handwheel.bench.learning.priors import scatter_of
from handwheel.bench.learning.tracks import Fit, Passed, Touched, Track
from handwheel.domain.acts import SettingKind
from handwheel.domain.beliefs import About, Beliefs, Quantity
from handwheel.domain.motion import Handle

OF_EDGES = {Unknown.SPRING: Quantity.SPRING, Unknown.WEAR: Quantity.EDGE_WEAR}
"""What is learned of an edge, from which unknown of the filter."""


class ByCuts(Struct, frozen=True, kw_only=True):
    """What the tracks of a job told, and the stops that did not fit, whose tracks tell nothing."""

    pieces: tuple[Piece, ...]
    surprises: tuple[Surprise, ...]


class _Source(Struct, frozen=True, kw_only=True):
    """Which steps told of something, and by how many readings."""

    steps: tuple[str, ...]
    readings: int


def told_by_cuts(tracks: Sequence[Track], beliefs: Beliefs, *, metal: str, factors: Mapping[str, float]) -> ByCuts:
    """What the tracks of a job tell, one track after another.

    A track in which a reading did not fit tells nothing. What two tracks share (the screw, a tool) is carried on
    from one to the other by its middle and spread alone.
    """
    known: dict[Trait, Normal] = {}
    before: dict[Trait, Normal] = {}
    told: list[tuple[Track, dict[Trait, Normal]]] = []
    surprises: list[Surprise] = []
    for track in tracks:
        followed = follow(track, known, factors=factors)
        surprises += followed.surprises
        if followed.surprises:
            continue
        told.append((track, dict(known)))
        for trait, prior in followed.before.items():
            before.setdefault(trait, prior)
        known |= followed.after
    edges = _edges(before, known, metal, [track for track, _ in told])
    slides = _slides(before, known, beliefs, [track for track, _ in told], factors)
    return ByCuts(pieces=(*edges, *slides, *_touches(told, beliefs, factors)), surprises=tuple(surprises))


def _edges(
    before: Mapping[Trait, Normal], after: Mapping[Trait, Normal], metal: str, tracks: Sequence[Track]
) -> Iterator[Piece]:
    """Spring and wear, of the last edge of each tool: what an edge did that is gone says little of the next."""
    last = {
        (trait.unknown, trait.thing): max(one.turn for one in before if one.thing == trait.thing) for trait in before
    }
    for trait, prior in before.items():
        quantity = OF_EDGES.get(trait.unknown)
        if quantity is None or trait.turn != last[trait.unknown, trait.thing]:
            continue
        told = evidence_in(prior, after[trait])
        if told is not None:
            source = _source(tracks, _by_tool(trait.thing))
            yield _piece(quantity, About(thing=trait.thing, metal=metal), told, prior, source)


def _slides(
    before: Mapping[Trait, Normal],
    after: Mapping[Trait, Normal],
    beliefs: Beliefs,
    tracks: Sequence[Track],
    factors: Mapping[str, float],
) -> Iterator[Piece]:
    """Errors of screws, and of the scale that a slide was swung by; a readout has no screw to learn of."""
    fits = {Trait(unknown=Unknown.RATE, thing=fit.handle.value, turn=fit.swing): fit for fit in _fits(tracks)}
    angles: dict[str, list[Normal]] = {}
    for trait, prior in before.items():
        fit = fits.get(trait)
        told = evidence_in(prior, after[trait]) if fit is not None else None
        if fit is None or told is None or fit.scale.kind is not SettingKind.MARKS:
            continue
        factor = factors.get(trait.thing, 1.0)
        of_file = Normal(middle=(1.0 + told.middle) * factor - 1.0, variance=told.variance * factor**2)
        lead, lead_spread = believed(beliefs, Quantity.LEAD_ERROR, About(thing=trait.thing))
        if not fit.scale.is_fine:
            source = _source(tracks, _by_slide(fit.handle))
            known = Normal(middle=lead, variance=lead_spread**2)
            yield _piece(Quantity.LEAD_ERROR, About(thing=trait.thing), of_file, known, source)
            continue
        for_one_deg = radians(1.0) / tan(radians(fit.scale.angle_deg))
        spread = hypot(of_file.spread, lead_spread) / for_one_deg
        if not fit.scale.angle_by_scale:
            continue  # an angle that was checked says nothing of the slide's own scale
        angles.setdefault(trait.thing, []).append(
            Normal(middle=(of_file.middle - lead) / for_one_deg, variance=spread**2)
        )
    for thing, found in angles.items():
        source = _source(tracks, lambda one: one.scale.is_fine)
        yield from _of_many(Quantity.ANGLE_ERROR, About(thing=thing), found, beliefs, source)


def _touches(
    told: Sequence[tuple[Track, dict[Trait, Normal]]], beliefs: Beliefs, factors: Mapping[str, float]
) -> Iterator[Piece]:
    """How much too deep each tool stood at its touches, on the whole."""
    found: dict[str, list[Normal]] = {}
    for track, known in told:
        for place, move in enumerate(track.moves):
            if isinstance(move, Touched):
                found.setdefault(move.fit.tool, []).append(touch_told(track, known, place, factors=factors))
    tracks = [track for track, _ in told]
    for tool, all_of_it in found.items():
        source = _source(tracks, _by_tool(tool))
        yield from _of_many(Quantity.TOUCH_ERROR, About(thing=tool), all_of_it, beliefs, source)


def _of_many(
    quantity: Quantity, about: About, found: Iterable[Normal], beliefs: Beliefs, source: _Source
) -> Iterator[Piece]:
    """One piece out of several, each of which scatters about the thing's own middle as jobs do."""
    value, spread = believed(beliefs, quantity, about)
    prior = Normal(middle=value, variance=spread**2)
    scatter = scatter_of(beliefs.shop, quantity, about).job
    told = pooled(found, each_variance=scatter**2)
    told_enough = told != NOTHING_KNOWN and evidence_in(prior, combined(prior, told)) is not None
    if told_enough:
        yield _piece(quantity, about, told, prior, source)


def _source(tracks: Iterable[Track], is_meant: Callable[[Fit], bool]) -> _Source:
    """Steps and readings of the tracks that such a tool or scale has cut."""
    steps: dict[str, None] = {}
    count = 0
    for track in tracks:
        if any(is_meant(fit) for fit in _fits([track])):
            for read in track.reads:
                steps.setdefault(read.step)
                count += len(read.readings_mm)
    return _Source(steps=tuple(steps), readings=count)


def _by_tool(tool: str) -> Callable[[Fit], bool]:
    return lambda fit: fit.tool == tool


def _by_slide(handle: Handle) -> Callable[[Fit], bool]:
    return lambda fit: fit.handle is handle


def _fits(tracks: Iterable[Track]) -> Iterator[Fit]:
    return (move.fit for track in tracks for move in track.moves if isinstance(move, Touched | Passed))


def _piece(quantity: Quantity, about: About, told: Normal, prior: Normal, source: _Source) -> Piece:
    return Piece(
        quantity=quantity,
        about=about,
        value=told.middle,
        spread=told.spread,
        before=prior,
        steps=source.steps,
        counted=source.readings,
    )
