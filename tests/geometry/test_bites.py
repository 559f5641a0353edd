"""What is remembered of sweeps and regions: the answers of every pair asked for, whatever was asked before."""

from __future__ import annotations

from random import Random

from handwheel.domain.contour import Point
from handwheel.domain.motion import Edge
from handwheel.domain.tools import Tool, ToolKind
from handwheel.geometry.bites import KnownBites, Sweep, places
from handwheel.geometry.region import Region, bites, rectangle, turned_round
from handwheel.geometry.sweep import swept_parts
from handwheel.geometry.tool_shapes import silhouette

TOOLS = (
    Tool(id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, entering_deg=93.0, nose_radius_mm=0.2, shank_mm=8.0),
    Tool(id="p", name="p", kind=ToolKind.PARTING, edge=Edge.HSS, width_mm=2.0, reach_mm=15.0),
    Tool(
        id="b",
        name="b",
        kind=ToolKind.BORING,
        edge=Edge.HSS,
        entering_deg=93.0,
        bar_dia_mm=6.0,
        head_mm=1.0,
        reach_mm=30.0,
    ),
)
STOCK = 60
"""Sweeps and regions that are asked about again and again."""


def drawn_sweeps(random: Random, count: int) -> list[Sweep]:
    """Sweeps of one to four places, in steps of half a millimetre, so that some touch what others bite."""
    return [
        Sweep(
            random.choice(TOOLS),
            tuple(
                Point(random.randint(-40, 10) / 2.0, random.randint(0, 40) / 2.0) for _ in range(random.randint(1, 4))
            ),
            random.choice((None, 8.0)),
        )
        for _ in range(count)
    ]


def drawn_regions(random: Random, count: int) -> list[Region]:
    """Rectangles on the same steps."""
    corners = [(random.randint(-40, 10) / 2.0, random.randint(-40, 40) / 2.0) for _ in range(count)]
    return [rectangle(z, z + random.randint(1, 9) / 2.0, x, x + random.randint(1, 9) / 2.0) for z, x in corners]


def test_what_is_remembered_is_what_is_worked_out_anew() -> None:
    """Again and again from one stock of sweeps and regions; the box round the whole sweep hides nothing."""
    random = Random(21)  # noqa: S311 - a seeded choice of cases, no secret
    sweeps, regions = drawn_sweeps(random, STOCK), drawn_regions(random, STOCK)
    known = KnownBites()
    told = set()
    for _ in range(40):
        rows, columns = random.choices(sweeps, k=12), random.choices(regions, k=15)
        asked = [random.getrandbits(len(columns)) for _ in rows]
        for sweep, mask, found in zip(rows, asked, known.bitten(rows, columns, asked), strict=True):
            for place, region in enumerate(columns):
                is_bitten = any(bites(part, region) for part in sweep.parts())
                assert found >> place & 1 == (is_bitten and mask >> place & 1)
                told.add(is_bitten)
    assert told == {True, False}


def test_a_pair_that_nobody_asked_for_is_no_and_is_worked_out_when_asked_for() -> None:
    known = KnownBites()
    sweep, struck = Sweep(TOOLS[0], (Point(0.0, 5.0), Point(-6.0, 5.0))), rectangle(-4.0, -2.0, 0.0, 6.0)
    assert known.bitten([sweep], [struck], [0]) == [0]
    assert known.bitten([sweep], [struck], [1]) == [1]
    assert known.bitten([sweep], [struck], [0]) == [0]


def test_a_hair_more_metal_is_another_region() -> None:
    """A cut along a shoulder touches it and does not bite; the same place with metal left there is bitten."""
    known = KnownBites()
    sweep = Sweep(TOOLS[1], (Point(-6.0, 10.0), Point(-6.0, 4.0)))
    beside, over = rectangle(-12.0, -6.0, 0.0, 9.0), rectangle(-12.0, -5.99, 0.0, 9.0)
    assert known.bitten([sweep], [beside, over], [0b11]) == [0b10]


def test_a_turned_sweep_is_the_sweep_of_the_work_turned_end_for_end() -> None:
    path = (Point(1.0, 9.0), Point(-3.0, 9.0))
    found = Sweep(TOOLS[0], path, 8.0).parts()
    assert [*found] == [turned_round(part, 8.0) for part in swept_parts(silhouette(TOOLS[0]), path)]
    assert Sweep(TOOLS[0], path) != Sweep(TOOLS[0], path, 8.0)


def test_nothing_asked_of_nothing_is_nothing() -> None:
    known = KnownBites()
    assert known.bitten([], [rectangle(0, 1, 0, 1)], []) == []
    sweeps = [Sweep(tool, (Point(0.0, 5.0),)) for tool in TOOLS]
    assert known.bitten(sweeps, [], [0] * len(sweeps)) == [0] * len(sweeps)


def test_the_places_of_a_mask_are_told_from_the_lowest() -> None:
    assert [*places(0)] == []
    assert [*places(0b100101)] == [0, 2, 5]
