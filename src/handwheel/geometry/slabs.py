"""Regions of the plane as slabs, and what is made of several: the arithmetic behind `handwheel.geometry.region`.

A region is cut square to the axis at every corner. Between two cuts, in a slab, it is bounded by straight lines alone
that do not cross, so that what two regions share, leave or cover together is a question of order on one line: no
outlines have to be joined up, and nothing can come out that is no region. Places are plain floats; what is thinner
than `HAIR_MM` is neither metal nor gap.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from operator import itemgetter
from typing import TypeAlias

HAIR_MM = 1e-7
"""Thinner than this, metal or gap is dust of the arithmetic, far below any size that matters. [mm]"""
STRAIGHT_MM = 1e-10
"""A corner that lies off the straight line between its neighbours by less is none. [mm]"""

Span: TypeAlias = tuple[float, float, float, float]
"""What is between two lines of a slab: x of the lower one at both ends, x of the upper one at both ends. [mm]"""


Slab: TypeAlias = tuple[float, float, tuple[Span, ...]]
"""Part of a region between two places along the axis: lowest z, highest z, spans from the lowest x up. [mm]"""

Slabs: TypeAlias = tuple[Slab, ...]
"""A region: slabs from the lowest z to the highest, none without a span."""

Layer: TypeAlias = tuple[float, float, list[tuple[Span, int]]]
"""Part of the plane between two places along the axis, cut by the lines of several regions: lowest z, highest z, all
that lies in one of the regions, each span with the bits of the regions that hold it. [mm]"""

_Line: TypeAlias = tuple[float, float, float, int]
"""A line of a slab that bounds one of several regions: sum of x at both ends (lines that do not cross stand in the
order of it), x at both ends, bit of the region. [mm]"""

FIRST, SECOND = 1, 2
"""Bits of the two regions of a pair."""
_low_z, _high_z = itemgetter(0), itemgetter(1)


def from_outline(points: Sequence[tuple[float, float]]) -> Slabs:
    """Slabs of what a closed outline encloses; where it crosses itself, every second turn counts."""
    edges = []
    for start, end in zip(points, (*points[1:], points[0]), strict=True):
        if start[0] != end[0]:
            edges.append((start, end) if start[0] < end[0] else (end, start))
    found = []
    for low, high in pairwise(_apart(sorted({z for z, _ in points}))):
        middle = 0.5 * (low + high)
        lines = []
        for start, end in edges:
            if start[0] < middle < end[0]:
                lines.append(_cut_off(start, end, low, high))
        lines.sort(key=sum)
        # an odd line can be left over where a corner lies within a hair of a cut: it bounds nothing
        spans = tuple((*below, *above) for below, above in zip(lines[::2], lines[1::2], strict=False))
        if spans:
            found.append((low, high, spans))
    return tuple(found)


def from_hull(points: Iterable[tuple[float, float]]) -> Slabs:
    """Slabs of the smallest convex region round some points."""
    ordered = sorted(set(points))
    lower, upper = _chain(ordered, 1.0), _chain(ordered, -1.0)
    found: list[Slab] = []
    below = above = 0
    cuts = _apart(sorted({z for z, _ in (*lower, *upper)}))
    for low, high in pairwise(cuts):
        middle = 0.5 * (low + high)
        while lower[below + 1][0] <= middle:
            below += 1
        while upper[above + 1][0] <= middle:
            above += 1
        a0, a1 = _cut_off(lower[below], lower[below + 1], low, high)
        b0, b1 = _cut_off(upper[above], upper[above + 1], low, high)
        if b0 - a0 > HAIR_MM or b1 - a1 > HAIR_MM:
            found.append((low, high, ((a0, a1, b0, b1),)))
    return tuple(found)


def _chain(ordered: Sequence[tuple[float, float]], side: float) -> list[tuple[float, float]]:
    """Lower (side 1) or upper (side -1) border of a convex hull, from the lowest z to the highest."""
    chain: list[tuple[float, float]] = []
    for place in ordered:
        z, x = place
        while len(chain) > 1:
            z0, x0 = chain[-2]
            z1, x1 = chain[-1]
            if side * ((z1 - z0) * (x - x0) - (z - z0) * (x1 - x0)) > 0.0:
                break
            chain.pop()
        chain.append(place)
    return chain


def _cut_off(start: tuple[float, float], end: tuple[float, float], low: float, high: float) -> tuple[float, float]:
    """X of a line at both ends of a slab, its own where it ends there. [mm]"""
    z0, x0 = start
    z1, x1 = end
    if z0 >= low and z1 <= high:
        return x0, x1
    slope = (x1 - x0) / (z1 - z0)
    return x0 if z0 >= low else x0 + slope * (low - z0), x1 if z1 <= high else x0 + slope * (high - z0)


def intersection(first: Slabs, second: Slabs) -> Slabs:
    """What two regions share."""
    return joined(
        (low, high, tuple(span for span, held in found if held == FIRST | SECOND))
        for low, high, found in layers(_beside(first, second))
    )


def difference(region: Slabs, taken: Slabs) -> Slabs:
    """What of a region lies outside another one; slabs that the other does not reach stay as they are."""
    if not region or not taken:
        return region
    first, last = _reach(region, taken)
    cut = joined(
        (low, high, _touching_joined(span for span, held in found if held == FIRST))
        for low, high, found in layers((region[first:last], taken))
    )
    before, after = max(first - 1, 0), last + 1
    seams = joined((*region[before:first], *cut, *region[last:after]))
    return (*region[:before], *seams, *region[after:])


def _reach(slabs: Slabs, other: Slabs) -> tuple[int, int]:
    """Places of the first slab that another region reaches along the axis, and of the first beyond."""
    first = bisect_right(slabs, other[0][0], key=_high_z)
    return first, bisect_left(slabs, other[-1][1], lo=first, key=_low_z)


def _beside(first: Slabs, second: Slabs) -> tuple[Slabs, Slabs]:
    """Slabs of two regions that stand beside each other along the axis."""
    if not first or not second:
        return (), ()
    start, end = _reach(first, second)
    first = first[start:end]
    if not first:
        return (), ()
    start, end = _reach(second, first)
    return first, second[start:end]


def union(regions: Sequence[Slabs]) -> Slabs:
    """What lies in any of some regions."""
    return joined((low, high, _touching_joined(span for span, _ in found)) for low, high, found in layers(regions))


def share_more_than(area_mm2: float, first: Slabs, second: Slabs) -> bool:
    """Whether two regions share more than some area; the first spans that are enough settle it."""
    area = 0.0
    here = there = 0
    while here < len(first) and there < len(second):
        z0, z1, spans = first[here]
        other_z0, other_z1, others = second[there]
        low, high = max(z0, other_z0), min(z1, other_z1)
        if low < high:
            for other in others:
                beside = _part_of(other, other_z0, other_z1, low, high)
                for span in spans:
                    area += _area_of_both(low, high, _part_of(span, z0, z1, low, high), beside)
            if area > area_mm2:
                return True
        if z1 <= other_z1:
            here += 1
        if other_z1 <= z1:
            there += 1
    return False


def _part_of(span: Span, z0: float, z1: float, low: float, high: float) -> Span:
    """Part between two places of a span that goes from one place to another."""
    if z0 == low and z1 == high:
        return span
    a0, a1, b0, b1 = span
    first, last = (low - z0) / (z1 - z0), (high - z0) / (z1 - z0)
    return a0 + first * (a1 - a0), a0 + last * (a1 - a0), b0 + first * (b1 - b0), b0 + last * (b1 - b0)


def _area_of_both(low: float, high: float, one: Span, other: Span) -> float:
    """Area that two spans between the same places share. [mm²]"""
    a0, a1, b0, b1 = one
    c0, c1, d0, d1 = other
    if (b0 <= c0 and b1 <= c1) or (d0 <= a0 and d1 <= a1):
        return 0.0
    crosses = (a0 - c0) * (a1 - c1) < 0.0 or (b0 - d0) * (b1 - d1) < 0.0
    if crosses or (b0 - c0) * (b1 - c1) < 0.0 or (d0 - a0) * (d1 - a1) < 0.0:
        found = layers([((low, high, (one,)),), ((low, high, (other,)),)])
        return sum(span_area(*layer[:2], span) for layer in found for span, held in layer[2] if held == FIRST | SECOND)
    return span_area(low, high, (max(a0, c0), max(a1, c1), min(b0, d0), min(b1, d1)))


def across(slabs: Slabs) -> tuple[float, float]:
    """Lowest and highest x of a region that is not empty. [mm]"""
    least, most = float("inf"), float("-inf")
    for _, _, spans in slabs:
        a0, a1, _, _ = spans[0]
        _, _, b0, b1 = spans[-1]
        least, most = min(least, a0, a1), max(most, b0, b1)
    return least, most


def span_area(low_z: float, high_z: float, span: Span) -> float:
    """Area of one span. [mm²]"""
    return 0.5 * (high_z - low_z) * (span[2] - span[0] + span[3] - span[1])


def layers(regions: Sequence[Slabs]) -> Iterator[Layer]:
    """Cut the plane by the outlines of some regions: every span found lies wholly in or out of each of them."""
    ends = set[float]()
    for slabs in regions:
        for low, high, _ in slabs:
            ends.add(low)
            ends.add(high)
    at = [0] * len(regions)
    for low, high in pairwise(_apart(sorted(ends))):
        middle = 0.5 * (low + high)
        lines: list[_Line] = []
        for place, slabs in enumerate(regions):
            here, count = at[place], len(slabs)
            while here < count and slabs[here][1] <= middle:
                here += 1
            at[place] = here
            if here < count and slabs[here][0] < middle:
                _take_lines(slabs[here], 1 << place, low, high, lines)
        if not lines:
            continue
        lines.sort()
        if _are_in_order(lines):
            yield low, high, _spans(lines)
        else:
            yield from _uncrossed(low, high, lines)


def joined(slabs: Iterable[Slab]) -> Slabs:
    """Slabs of a region, as few as it needs: where all lines go straight on, two are one."""
    found: list[Slab] = []
    for slab in slabs:
        if not slab[2]:
            continue
        whole = _joined(found[-1], slab) if found else None
        if whole is None:
            found.append(slab)
        else:
            found[-1] = whole
    return tuple(found)


def pieces(slabs: Slabs) -> tuple[Slabs, ...]:
    """Pieces of a region that hang together over more than a point, in the order of their lowest z."""
    if all(len(spans) == 1 for _, _, spans in slabs) and all(_hang_together(a, b) for a, b in pairwise(slabs)):
        return (slabs,) if slabs else ()
    return tuple(
        joined((low, high, tuple(span for span, _ in spans)) for low, high, spans in piece)
        for piece in connected([(low, high, [(span, 0) for span in spans]) for low, high, spans in slabs])
    )


def _hang_together(first: Slab, second: Slab) -> bool:
    """Whether two slabs of one span each meet over more than a hair."""
    (_, before, _, above), (start, _, end, _) = first[2][0], second[2][0]
    return first[1] == second[0] and min(above, end) - max(before, start) > HAIR_MM


def connected(found: Sequence[Layer]) -> list[list[Layer]]:
    """Sort the spans of some layers into those that hang together and are held by the same regions."""
    owner: list[list[int]] = []
    parent: list[int] = []
    before: tuple[float, list[tuple[Span, int]], list[int]] = (float("-inf"), [], [])
    for low, high, spans in found:
        mine = []
        for span, held in spans:
            own = len(parent)
            parent.append(own)
            mine.append(own)
            if before[0] != low:
                continue
            for (other, other_held), other_own in zip(before[1], before[2], strict=True):
                if other_held == held and min(span[2], other[3]) - max(span[0], other[1]) > HAIR_MM:
                    parent[_root(parent, own)] = _root(parent, other_own)
        owner.append(mine)
        before = (high, spans, mine)
    groups: dict[int, list[Layer]] = {}
    for layer, mine in zip(found, owner, strict=True):
        for pair, own in zip(layer[2], mine, strict=True):
            group = groups.setdefault(_root(parent, own), [])
            if group and group[-1][0] == layer[0]:
                group[-1][2].append(pair)
            else:
                group.append((layer[0], layer[1], [pair]))
    return list(groups.values())


def _root(parent: list[int], one: int) -> int:
    while parent[one] != one:
        parent[one] = parent[parent[one]]
        one = parent[one]
    return one


def _take_lines(slab: Slab, bit: int, low: float, high: float, lines: list[_Line]) -> None:
    """Add the lines of a slab of the region with this bit, cut off at two cuts that both lie within it."""
    z0, z1, spans = slab
    if low - z0 <= HAIR_MM and z1 - high <= HAIR_MM:
        for a0, a1, b0, b1 in spans:
            lines.append((a0 + a1, a0, a1, bit))
            lines.append((b0 + b1, b0, b1, bit))
        return
    first, last = max(0.0, (low - z0) / (z1 - z0)), min(1.0, (high - z0) / (z1 - z0))
    for a0, a1, b0, b1 in spans:
        for x0, x1 in ((a0, a1), (b0, b1)):
            if x0 == x1:
                lines.append((x0 + x0, x0, x0, bit))
            else:
                start, end = x0 + first * (x1 - x0), x1 if last == 1.0 else x0 + last * (x1 - x0)
                lines.append((start + end, start, end, bit))


def _uncrossed(low: float, high: float, lines: list[_Line]) -> Iterator[Layer]:
    """Layers between two cuts, cut once more wherever two lines cross."""
    inside = sorted(z for z in _crossings(low, high, lines) if low + HAIR_MM < z < high - HAIR_MM)
    for start, end in pairwise(_apart([low, *inside, high])):
        first, last = (start - low) / (high - low), (end - low) / (high - low)
        parts = [(x0 + first * (x1 - x0), x0 + last * (x1 - x0), bit) for _, x0, x1, bit in lines]
        yield start, end, _spans(sorted((x0 + x1, x0, x1, bit) for x0, x1, bit in parts))


def _are_in_order(lines: Sequence[_Line]) -> bool:
    """Whether no two lines cross by more than a hair, given in the order of their middles."""
    low0 = low1 = float("-inf")
    for _, x0, x1, _ in lines:
        if x0 < low0 - HAIR_MM or x1 < low1 - HAIR_MM:
            return False
        low0, low1 = x0, x1
    return True


def _crossings(low: float, high: float, lines: Sequence[_Line]) -> Iterator[float]:
    for place, (_, x0, x1, _) in enumerate(lines):
        for _, other0, other1, _ in lines[place + 1 :]:
            before, after = other0 - x0, other1 - x1
            if (before < 0.0 < after) or (after < 0.0 < before):
                yield low + (high - low) * before / (before - after)


def _spans(lines: Sequence[_Line]) -> list[tuple[Span, int]]:
    """What lies between lines that do not cross, with the bits of the regions that hold it; hairs are left out.

    Of two lines as good as one the first is kept, so that neighbours go on without a step.
    """
    found: list[tuple[Span, int]] = []
    held = 0
    low0 = low1 = 0.0
    for _, x0, x1, bit in lines:
        is_hair = held and x0 - low0 <= HAIR_MM and x1 - low1 <= HAIR_MM
        if held and not is_hair:
            found.append(((low0, low1, max(low0, x0), max(low1, x1)), held))
        held ^= bit
        if not is_hair:
            low0, low1 = x0, x1
    return found


def _touching_joined(spans: Iterable[Span]) -> tuple[Span, ...]:
    """Spans of one slab, those with no more than a hair between them joined."""
    found: list[Span] = []
    for span in spans:
        if found and span[0] - found[-1][2] <= HAIR_MM and span[1] - found[-1][3] <= HAIR_MM:
            found[-1] = (*found[-1][:2], *span[2:])
        else:
            found.append(span)
    return tuple(found)


def _joined(first: Slab, second: Slab) -> Slab | None:
    """Two slabs as one; nothing where there is a gap between them, or a corner or step in a line."""
    low, middle, before = first
    start, high, after = second
    if middle != start or len(before) != len(after):
        return None
    share = (middle - low) / (high - low)
    for (a0, a1, b0, b1), (c0, c1, d0, d1) in zip(before, after, strict=True):
        if not (-STRAIGHT_MM < a1 - c0 < STRAIGHT_MM and -STRAIGHT_MM < b1 - d0 < STRAIGHT_MM):
            return None
        if not -STRAIGHT_MM < a0 + share * (c1 - a0) - a1 < STRAIGHT_MM:
            return None
        if not -STRAIGHT_MM < b0 + share * (d1 - b0) - b1 < STRAIGHT_MM:
            return None
    return low, high, tuple((a[0], b[1], a[2], b[3]) for a, b in zip(before, after, strict=True))


def _apart(places: Sequence[float]) -> list[float]:
    """Places in rising order, of those less than a hair apart the first alone."""
    found: list[float] = []
    for place in places:
        if not found or place - found[-1] > HAIR_MM:
            found.append(place)
    return found


def edges(slabs: Slabs) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Straight edges of a region's outline, each from start to end with the region on its left. [mm]"""
    end = float("-inf")
    beside: tuple[Span, ...] = ()
    for low, high, spans in slabs:
        if low != end:
            yield from _faces(end, [span[1::2] for span in beside], [])
            beside = ()
        yield from _faces(low, [span[1::2] for span in beside], [span[0::2] for span in spans])
        for a0, a1, b0, b1 in spans:
            yield (low, a0), (high, a1)
            yield (high, b1), (low, b0)
        end, beside = high, spans
    yield from _faces(end, [span[1::2] for span in beside], [])


def _faces(
    z: float, left: Sequence[tuple[float, ...]], right: Sequence[tuple[float, ...]]
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Edges square to the axis between what ends there and what begins there, each given as ranges of x."""
    ends = sorted([(x, 1) for pair in left for x in pair] + [(x, 2) for pair in right for x in pair], key=itemgetter(0))
    held, low = 0, 0.0
    for x, bit in ends:
        if x > low and held == 1:
            yield (z, low), (z, x)
        elif x > low and held == 2:  # noqa: PLR2004 - the bit of what begins there
            yield (z, x), (z, low)
        held, low = held ^ bit, x
