"""Practice case PC-26: how much to leave for the finishing cut, and the two equal cuts that take it."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.errors import InputError
from handwheel.domain.part import BORE, OUTSIDE
from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from tests.demo_plans import step_acts

if TYPE_CHECKING:
    from tests.practice.conftest import Planned

THOU_MM = 0.0254


@pytest.mark.parametrize("surface", [BORE, OUTSIDE])
def test_pc_26_two_equal_cuts_with_a_measurement_between_are_one_step(planned: Planned, surface: str) -> None:
    """PC-26: the first of the two tells what the second will do; measure, cut the measured remainder (practice)."""
    acts = step_acts(planned.plan, surface)
    first, last = [act for act in acts if isinstance(act, a.Cut)]
    assert first.depth_mm == pytest.approx(last.depth_mm, abs=1e-9)
    kinds = [type(act) for act in acts[acts.index(first) : acts.index(last)]]
    assert kinds.index(a.Measure) < kinds.index(a.SetCollar) < kinds.index(a.Move)


@pytest.mark.parametrize("surface", [BORE, OUTSIDE])
def test_pc_26_nothing_else_changes_between_the_two(planned: Planned, surface: str) -> None:
    """PC-26: with the same speed and feed, so that the second cut does what the first did (practice)."""
    acts = step_acts(planned.plan, surface)
    first, last = [act for act in acts if isinstance(act, a.Cut)]
    between = acts[acts.index(first) : acts.index(last)]
    assert not [act for act in between if isinstance(act, a.SetSpeed | a.SetFeed | a.FitTool | a.SwingSlide | a.Touch)]
    assert first.feed is last.feed
    assert first.handle is last.handle


@pytest.mark.parametrize("surface", [BORE, OUTSIDE])
def test_pc_26_each_of_the_two_is_above_the_least_chip(planned: Planned, surface: str) -> None:
    """PC-26: sharp high speed steel about 0.05 mm, carbide 0.1 to 0.2 mm (practice); the metal's own floor on top."""
    least = material(planned.plan.sheet.part.material).range("min_depth").most
    for act in step_acts(planned.plan, surface):
        if isinstance(act, a.Cut):
            assert act.depth_mm >= max(0.05, least)


@pytest.mark.parametrize("surface", [BORE, OUTSIDE])
def test_pc_26_what_is_left_on_the_radius_lies_among_the_four_published_figures(planned: Planned, surface: str) -> None:
    """PC-26: as depth on the radius the four mean 0.016, 0.008, 0.010 and 0.005 to 0.015 in (computed there)."""
    *_, roughed = [act for act in step_acts(planned.plan, f"rough-{surface}") if isinstance(act, a.Measure)]
    *_, final = [act for act in step_acts(planned.plan, surface) if isinstance(act, a.Measure)]
    left_mm = abs(final.expected_mm - roughed.expected_mm) / 2.0
    assert 5 * THOU_MM <= left_mm <= 16 * THOU_MM


@pytest.mark.parametrize("surface", [BORE, OUTSIDE])
def test_pc_26_after_the_first_the_metal_is_still_there(planned: Planned, surface: str) -> None:
    """The stop band of the middle measurement never passes the finished limit: beyond it there is nothing to save."""
    middle, final = [act for act in step_acts(planned.plan, surface) if isinstance(act, a.Measure)]
    assert final.final
    assert not middle.final
    if surface == BORE:
        assert middle.expected_mm < middle.stop_high_mm <= final.lower_mm
    else:
        assert final.upper_mm <= middle.stop_low_mm < middle.expected_mm


def test_pc_26_what_polishing_takes_is_entered_from_the_makers_own_trial_and_never_assumed() -> None:
    """PC-26: "polishing comes on top and must be entered from the user's own trial"."""
    polished = 'diameter = "28 h11"\nfinish = "polished"'
    text = demo_text("bush").replace('diameter = "28 h11"', polished)
    with pytest.raises(InputError, match=r"outside.loss: found nothing; .* by your own trial\?.* no figure is assumed"):
        read_part(text, name="bush.toml")
    part = read_part(text.replace(polished, f'{polished}\nloss = "0.02 on the diameter"'), name="bush.toml")
    size = next(feature.size for feature in part.sizes if feature.surface == OUTSIDE)
    assert (size.cut_lower, size.cut_upper) == (Fraction("27.89"), Fraction("28.02"))
