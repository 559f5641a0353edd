"""Practice cases PC-12, 16, 24 and 25 for what can be saved when a size has missed its limits."""

from __future__ import annotations

import pytest

from handwheel.bench.salvage.little_left import strokes_to_go
from handwheel.bench.salvage.way import Verdict, Way
from handwheel.data.fits import CLOSING_HIGH, CLOSING_LOW
from handwheel.domain.part import BORE
from tests.unit.bench.salvaging import opened, ring, saved, way


def test_pc_12_emery_in_a_bore_takes_what_is_measured_between_strokes() -> None:
    """Emery takes an unmeasured amount: ten strokes, a reading, then as many as that allows, never under a finger."""
    lap = way(saved(ring('diameter = "20 H8"', metal="al_6082"), BORE, 19.990), Way.LAP)
    most = lap.figure("to come off, as read upper")
    assert most == pytest.approx(0.040)
    assert strokes_to_go(most, strokes=10, lost_mm=0.006, uncertainty_mm=0.003) == 22
    assert any("never a finger with it in a bore" in caution for caution in lap.cautions)
    assert any("read after every few strokes" in need for need in lap.needs)


def test_pc_16_sizes_of_other_scales_are_nearest_and_not_equal() -> None:
    """US 4 is 14.88 mm and UK H 1/2 14.92: a bore of 14.90 is neither."""
    band = ring(
        'ring_size = "US 4"\nplus_minus = 0.005',
        outside='diameter = "18 mm ± 0.1"',
        metal="al_6082",
        head="worn_on_skin = true",
    )
    found = way(saved(band, BORE, 14.90, 0.002), Way.NEAREST_SIZES)
    assert found.figure("US 4") == pytest.approx(14.90 - 14.8844, abs=1e-4)
    assert found.figure("UK H 1/2 1.25-rule") == pytest.approx(14.90 - 46.875 / 3.14159265, abs=1e-4)
    assert found.words.count("than that size") == len(found.figures)


def test_pc_24_a_bore_that_may_be_inside_once_cold_is_read_again_first() -> None:
    """18 mm of aluminium 30 K warm is 12 µm large: a reading that doubtful decides nothing."""
    ways = saved(ring('diameter = "18 H8"', metal="al_6082"), BORE, 18.033, 0.012)
    assert opened(ways)[0] is Way.MEASURE_AGAIN
    assert "cold" in ways[0].words


def test_pc_25_the_bore_of_a_thin_sleeve_closes_by_most_of_the_interference() -> None:
    """Practice says 0.7 to 1 of it in a stout housing; so the sleeve gets its size once it is in.

    The hand rule of the case, 0.001 in of interference from 9/16 to 1 in, lies between the least and the most.
    """
    stout = ring('diameter = "20 H8"', outside='diameter = "60 mm ± 0.1"', metal="cu_cw307g")
    sleeve = way(saved(stout, BORE, 20.04), Way.SLEEVE)
    assert sleeve.verdict is Verdict.ASK
    share = sleeve.figure("closing of the bore") / sleeve.figure("interference most")
    assert float(CLOSING_LOW) <= share <= float(CLOSING_HIGH)
    assert "once bored to size" in sleeve.words
    assert sleeve.figure("interference least") <= 0.0254 <= sleeve.figure("interference most")
