"""Practice cases 07, 11 and 26 for the bench: a cut finer than the dial, no rubbing passes, two like last cuts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from handwheel.bench import moves
from handwheel.bench.advice import Next, advise
from handwheel.bench.approach import Approach, Habit, Prior
from handwheel.bench.belief import beginning
from handwheel.bench.loop import Reached, approach_size

if TYPE_CHECKING:
    from handwheel.bench.advice import Advice

INCH_MM = 25.4
THOU_MM = 0.0254
SPRING = 0.1
BORE = Approach(
    inside=True,
    lower_mm=INCH_MM - 0.02,
    upper_mm=INCH_MM + 0.02,
    target_mm=INCH_MM,
    step_mm=THOU_MM,
    fine_step_mm=THOU_MM / 5.24,
    fine_ratio=1 / 5.24,
    least_cut_mm=0.05,
    last_cut_mm=0.08,
    most_cut_mm=0.4,
)
STEEL_304 = replace(BORE, least_cut_mm=0.1, last_cut_mm=0.15)
"""PC-11: depths of at least 0.1 to 0.15 mm with sharp high-speed steel, practice."""


class Lathe:
    """A lathe that springs a tenth of each depth away, with a gauge that is right."""

    def __init__(self, approach: Approach, start_mm: float) -> None:
        """Put a blank in; the tip touches it."""
        self.approach = approach
        self.size_mm = self.zero_mm = start_mm
        self.depths_mm: list[float] = []
        self.sizes_mm: list[float] = [start_mm]
        self.read_at: list[int] = []

    def __call__(self, advice: Advice) -> list[float]:
        """Do what is advised."""
        if advice.do == Next.SWING:
            self.zero_mm = self.size_mm
            self.approach = replace(self.approach, step_mm=self.approach.fine_step_mm)
        if advice.do == Next.MEASURE:
            self.read_at.append(len(self.depths_mm))
        if advice.do == Next.CUT:
            tip_mm = self.zero_mm + 2.0 * float(advice.steps) * float(self.approach.step_mm)
            self.depths_mm.append((tip_mm - self.size_mm) / 2.0)
            self.size_mm += (1.0 - SPRING) * (tip_mm - self.size_mm)
            self.sizes_mm.append(self.size_mm)
        return [self.size_mm] * int(advice.readings)


def worked(approach: Approach, *, start_mm: float = INCH_MM - 1.6) -> tuple[Lathe, Reached]:
    """A bore approached to its end."""
    lathe = Lathe(approach, start_mm)
    return lathe, approach_size(approach, start_mm=start_mm, start_spread_mm=0.02, at_the_lathe=lathe)


def test_pc_07_a_step_under_half_a_mark_goes_by_fine_feed_and_never_by_part_of_a_mark() -> None:
    """A thou of the dial is 0.002 in on the diameter, the tolerance 0.0016 in wide: the top slide is swung."""
    lathe, reached = worked(BORE)
    assert reached.do is Next.GOOD
    assert BORE.lower_mm <= lathe.size_mm <= BORE.upper_mm
    assert [advice.do for advice in reached.advised].count(float(Next.SWING)) == 1
    assert all(float(advice.steps).is_integer() for advice in reached.advised)


def test_pc_07_it_stops_and_measures_with_half_a_millimetre_still_to_go() -> None:
    """The poster wound straight on and ended an eighth of an inch over: a reading comes before the last 0.4 mm."""
    lathe, _ = worked(BORE)
    first = lathe.read_at[0]
    assert INCH_MM - lathe.sizes_mm[first] >= 0.3
    assert max(lathe.sizes_mm[: first + 1]) <= INCH_MM - 0.3


def test_pc_07_a_dial_fine_enough_swings_nothing() -> None:
    lathe, reached = worked(replace(BORE, step_mm=0.0025, fine_step_mm=0.00025))
    assert float(Next.SWING) not in [advice.do for advice in reached.advised]
    assert reached.do is Next.GOOD
    assert BORE.lower_mm <= lathe.size_mm <= BORE.upper_mm


def test_pc_11_no_pass_in_304_is_thinner_than_its_least_chip() -> None:
    lathe, reached = worked(STEEL_304)
    assert reached.do is Next.GOOD
    assert min(advice.depth_mm for advice in reached.advised if advice.do == Next.CUT) >= 0.1 - 1e-9
    assert min(lathe.depths_mm) >= 0.1 * (1.0 - SPRING)


@pytest.mark.parametrize("left_mm", [0.012, 0.03, 0.05])
def test_pc_11_what_is_less_than_a_chip_is_told_and_never_rubbed_off(left_mm: float) -> None:
    """Nor is the last pass repeated without a depth: the advice is to stop, however little is left."""
    belief = moves.touched(beginning(STEEL_304, left=Prior(value=0.3, spread=0.02)), STEEL_304)
    belief = moves.cut(belief, STEEL_304, 0.3)
    reading = float(STEEL_304.reading_mm(left_mm))
    read = moves.read(moves.waited(belief, STEEL_304, 1800.0), STEEL_304, reading, count=12.0)
    assert Next(int(advise(STEEL_304, read).do)) is Next.STUCK


def test_pc_26_half_a_millimetre_left_is_cut_in_two_like_cuts_with_a_reading_between() -> None:
    """0.5 mm left on the diameter: cut 0.25 of it, measure, cut the measured remainder with the same set-up."""
    stiff = Habit(spring=Prior(value=0.0, spread=0.02))
    wide = replace(BORE, lower_mm=INCH_MM - 0.04, upper_mm=INCH_MM + 0.04, step_mm=0.01, fine_step_mm=0.0)
    wide = replace(wide, last_cut_mm=0.125, habit=stiff)
    left = Prior(value=0.5, spread=0.02)
    belief = moves.touched(beginning(wide, left=left), wide)
    belief = moves.waited(moves.cut(belief, wide, 0.25), wide, 1800.0)
    belief = moves.read(belief, wide, INCH_MM - 0.5, count=4.0)
    first = advise(wide, belief)
    assert Next(int(first.do)) is Next.CUT
    assert float(first.depth_mm) == pytest.approx(0.125, abs=0.006)
    assert not first.last
    belief = moves.cut(belief, wide, float(first.steps) * 0.01)
    assert Next(int(advise(wide, moves.waited(belief, wide, 1800.0)).do)) is Next.MEASURE
    belief = moves.read(moves.waited(belief, wide, 1800.0), wide, INCH_MM - 0.25, count=4.0)
    second = advise(wide, belief)
    assert Next(int(second.do)) is Next.CUT
    assert second.last
    assert float(second.depth_mm) == pytest.approx(0.125, abs=0.006)
