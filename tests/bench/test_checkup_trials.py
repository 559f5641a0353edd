"""What the trials of a lathe refuse, what they ask, what they say beside the number."""

from __future__ import annotations

import re
from math import nan
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from handwheel.bench.checkup.entry import MOST_READINGS, Entry, Kind, require_valid
from handwheel.bench.checkup.trial import RowHeard, SpeedCounted, Trial
from handwheel.bench.checkup.trials import TRIALS, trial_named
from handwheel.data.cautions import work_cautions
from handwheel.domain.errors import InputError, ShopError
from handwheel.domain.gauges import GaugeUse
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.templates import TEMPLATES
from tests.bench.checkups import INDICATOR, MICROMETER, entry_of, outcome_of, said, shop_of

SHOPS = Path(__file__).parents[1] / "shops"
CUT = {"marks": 200, "before": 22.0, "after": 12.0, "gauge": MICROMETER}
COLLARS: dict[str, Any] = {"near": 22.0, "far": 22.01, "apart": 80.0, "held": "chuck", "gauge": MICROMETER}
REPEAT: dict[str, Any] = {
    "tool": "right-hand",
    "metal": "cu_cw614n",
    "depth": 20,
    "before": 20.0,
    "after": 19.9,
    "gauge": MICROMETER,
}
DEPTHS: dict[str, Any] = {
    "tool": "right-hand",
    "metal": "ss304",
    "light": 5,
    "deep": 20,
    "before": 20.0,
    "after": 19.1,
    "gauge": MICROMETER,
}
RUNOUT: dict[str, Any] = {"on": "bar", "low": (-0.01, 0.0), "high": (0.03, 0.04), "gauge": INDICATOR}
ANGLE: dict[str, Any] = {"scale": 6.0, "marks": 280, "across": (0.73, 0.73), "gauge": INDICATOR}
SPEED: dict[str, Any] = {"position": "low belt, large step", "turns": 60, "seconds": 30.0, "by": "mark"}
SLACK: dict[str, Any] = {"slide": "cross_slide", "marks": (4, 4.5, 5), "gauge": INDICATOR}
CHATTER: dict[str, Any] = {"tool": "right-hand", "metal": "st_c45", "quiet": 0.5, "sang": 0.8}
TOUCH: dict[str, Any] = {"tool": "right-hand", "metal": "al_6082", "skim": 0.0, "touch": (0.25, 0.5, 0.25, 0.75, 0.5)}
GOOD = {
    "slack": SLACK,
    "runout": RUNOUT,
    "speed": SPEED,
    "angle": ANGLE,
    "trial-cut": CUT,
    "two-collars": COLLARS,
    "spring-repeat": REPEAT,
    "spring-depths": DEPTHS,
    "chatter": CHATTER,
    "touch": TOUCH,
}


def test_every_trial_is_tried_here() -> None:
    assert set(GOOD) == set(TRIALS)


@pytest.mark.parametrize("trial", GOOD)
def test_good_readings_are_judged_and_what_stays_open_is_said(trial: str) -> None:
    found = outcome_of(trial, shop_of(), **GOOD[trial])
    assert found.questions == ()
    assert found.verdicts
    assert found.cannot_tell
    assert all(one.spread > 0 and one.evidence and one.thing for one in found.measured)
    assert found.measured


@pytest.mark.parametrize(
    ("trial", "changes", "message"),
    [
        ("slack", {"marks": (4, 5)}, "found 2 readings; allowed 3 to 20"),
        ("slack", {"slide": "saddle"}, "found 'saddle'; allowed cross_slide, top_slide, carriage, quill"),
        ("slack", {"lost": (0.1, 0.1, 0.1)}, "one of them, and not both"),
        ("slack", {"slide": "carriage"}, "carriage has no dial"),
        ("slack", {"gauge": MICROMETER}, "gauge: found 'micrometer-0-25'; allowed indicator"),
        ("runout", {"low": (-0.01, 0.05)}, "high 0.04 mm is below low 0.05 mm"),
        ("runout", {"low": (-0.01,)}, "found 1 low and 2 high"),
        ("speed", {"turns": (60, 61)}, "found 2 counts of turns and 1 times"),
        ("speed", {"position": "top belt"}, "allowed low belt, large step"),
        ("angle", {"across": 8.0}, "is more than was wound"),
        ("angle", {"wound": 7.0}, "one of them, and not both"),
        ("trial-cut", {"after": 22.1}, "became larger or stayed; a cut makes it smaller"),
        ("trial-cut", {"surface": "bore", "gauge": "bore-gauge"}, "became smaller or stayed; a cut makes it larger"),
        ("trial-cut", {"surface": "bore"}, "micrometer-0-25 does not measure bore"),
        ("trial-cut", {"marks": nan}, "no finite number"),
        ("trial-cut", {"before": 900.0}, r"found 900 mm \(35.4331 in\); allowed 0 mm \(0 in\) to 500 mm"),
        ("two-collars", {"apart": 5.0}, "allowed 20 mm"),
        ("two-collars", {"held": "tailstock"}, "between is missing with held=tailstock"),
        ("two-collars", {"between": 100.0}, "goes with held=tailstock alone"),
        ("two-collars", {"held": "tailstock", "between": 50.0}, "between is shorter than apart"),
        ("spring-repeat", {"after": 20.1}, "a pass cannot add metal"),
        ("spring-repeat", {"cuts": 2}, "found 2 cuts; allowed 3 cuts to 50 cuts"),
        ("spring-repeat", {"metal": "unknown_steel"}, "never repeat a pass"),
        ("spring-depths", {"deep": 5}, "is no deeper than light"),
        ("spring-depths", {"after": 20.1}, "grew or stayed"),
        ("touch", {"metal": "ss304"}, "touch: metal: .* never repeat a pass"),
        ("touch", {"touch": (0.5, 0.5)}, "found 2 readings; allowed 5 to 20"),
        ("chatter", {"quiet": 0.9}, "quiet is as deep as sang or deeper"),
    ],
)
def test_what_contradicts_itself_is_refused_with_what_to_do(trial: str, changes: dict[str, Any], message: str) -> None:
    with pytest.raises(InputError, match=message):
        outcome_of(trial, shop_of(), **(GOOD[trial] | changes))


@pytest.mark.parametrize(
    ("trial", "changes", "question"),
    [
        ("slack", {"marks": (44, 45, 46)}, "Were whole turns counted?"),
        ("runout", {"high": (1.2, 1.3)}, "go round more than once"),
        ("speed", {"turns": 105, "by": "counter"}, "That is what 'low belt, middle step' has"),
        ("speed", {"turns": 80, "by": "counter"}, "Is it this position?"),
        ("speed", {"turns": (60, 70), "seconds": (30.0, 30.0)}, "Count again"),
        ("speed", {"position": "high belt, small step", "turns": 900}, "faster than an eye counts"),
        ("angle", {"across": 1.9}, "does not go so far"),
        ("angle", {"scale": 30.0}, "neither this nor what is left"),
        ("angle", {"marks": 25, "across": 0.625}, "counts from across the axis"),
        ("trial-cut", {"before": 30.0}, "lies outside outside micrometer"),
        ("two-collars", {"far": 22.5}, "a whole turn of the thimble"),
        ("touch", {"touch": (0.5, 0.5, 40.5, 0.5, 0.5)}, "Were whole turns counted"),
        ("spring-repeat", {"after": 19.4}, "more than half of a cut"),
        ("spring-depths", {"after": 18.9}, "Make the trial cut first"),
        ("spring-depths", {"after": 19.9}, "Is something loose?"),
    ],
)
def test_what_is_hardly_possible_is_asked_and_nothing_is_learned(
    trial: str, changes: dict[str, Any], question: str
) -> None:
    found = outcome_of(trial, shop_of(), **(GOOD[trial] | changes))
    assert question in " ".join(found.questions)
    assert (found.measured, found.changes) == ((), ())


def test_everything_that_is_wrong_is_told_at_once() -> None:
    with pytest.raises(InputError) as caught:
        outcome_of("trial-cut", shop_of(), marks=0, before=900.0, colour="red")
    assert len(caught.value.problems) == 5
    assert all(problem.startswith("trial-cut: ") for problem in caught.value.problems)


def test_a_word_for_a_figure_and_too_many_readings_are_refused() -> None:
    fields = TRIALS["trial-cut"].fields(shop_of())
    with pytest.raises(InputError, match="before: allowed a figure"):
        require_valid(fields, Entry(words={"before": "wide"}), where="trial-cut", units=shop_of().units)
    many = entry_of(**(CUT | {"before": (22.0,) * (MOST_READINGS + 1)}))
    with pytest.raises(InputError, match="found 51 readings; allowed 1 to 20; leave the others out"):
        require_valid(fields, many, where="trial-cut", units=shop_of().units)


def test_an_unknown_trial_is_told_which_there_are() -> None:
    with pytest.raises(InputError, match="found the trial 'slak'; allowed slack, runout"):
        trial_named("slak")


@pytest.mark.parametrize("path", sorted(SHOPS.glob("*.toml")), ids=lambda path: path.stem)
def test_every_awkward_shop_gets_each_trial_or_is_told_what_it_lacks(path: Path) -> None:
    shop = read_shop(path.read_text(encoding="utf-8"), name=path.name)
    for trial in TRIALS.values():
        told = ""
        try:
            assert all(each.choices for each in trial.fields(shop) if each.kind is Kind.WORD)
        except ShopError as lacking:
            told = str(lacking)
        assert not told or "which this trial needs" in told
        assert trial.instructions(shop)
        assert trial.matters(shop)


def test_a_drive_without_steps_goes_by_its_tachometer() -> None:
    shop = read_shop((SHOPS / "variable-speed.toml").read_text(encoding="utf-8"), name="variable-speed.toml")
    with pytest.raises(ShopError, match="goes by its tachometer"):
        TRIALS["speed"].fields(shop)


def test_a_shop_without_the_gauge_is_told() -> None:
    gauges = tuple(gauge for gauge in shop_of().gauges if GaugeUse.RUNOUT not in gauge.uses)
    with pytest.raises(ShopError, match="has no gauge that measures runout, which this trial needs"):
        outcome_of("slack", replace(shop_of(), gauges=gauges), **SLACK)


@pytest.mark.parametrize("template", TEMPLATES)
@pytest.mark.parametrize("trial", TRIALS.values(), ids=lambda trial: trial.key)
def test_each_trial_can_be_told_for_every_starting_shop(trial: Trial, template: str) -> None:
    shop = shop_of(template)
    assert trial.fields(shop)
    acts = trial.instructions(shop)
    assert trial.matters(shop).endswith(".")
    assert all(one.says.rstrip().endswith(".") for one in acts)
    assert len({each.key for each in trial.fields(shop)}) == len(trial.fields(shop))


@pytest.mark.parametrize("trial", TRIALS.values(), ids=lambda trial: trial.key)
def test_a_turning_spindle_and_a_hand_at_the_work_have_their_cautions(trial: Trial) -> None:
    """Spindle stopped for gauges and hands, key out, goggles; local rules and trained supervision where it begins."""
    acts = trial.instructions(shop_of())
    cautions = {code: caution.text for code, caution in work_cautions().items()}
    for one in acts:
        if re.match(r"(Measure|Let it cool\. Measure)", one.says) and "middle of one collar" not in one.says:
            assert cautions["hands-clear"] in one.caution, one.says
        if re.match(r"(Take|Touch|Start|Set a light cut|Take the same)", one.says) and "key" not in one.says:
            assert cautions["chuck-key"] in one.caution, one.says
            assert cautions["eyes-and-clothes"] in one.caution, one.says
    assert any(cautions["local-rules"] in one.caution for one in acts)


def test_the_tailstock_is_moved_by_half_of_the_taper_over_the_length_between() -> None:
    found = outcome_of("two-collars", shop_of(), **(COLLARS | {"far": 22.04, "held": "tailstock", "between": 120.0}))
    (offset,) = found.measured
    assert offset.quantity == "tailstock offset"
    assert offset.value == pytest.approx(0.03)
    assert "towards the tool by 0.030 mm" in said(found)


def test_a_taper_that_no_reading_shows_leaves_nothing_to_set_right() -> None:
    found = outcome_of("two-collars", shop_of(), **(COLLARS | {"far": 22.0}))
    assert "nothing to set right" in said(found)
    assert "too small to matter" in said(found)


def test_taper_is_told_to_the_beliefs_as_they_count_it() -> None:
    """Above 0 where the work is thicker towards the chuck."""
    (taper,) = outcome_of("two-collars", shop_of(), **(COLLARS | {"far": 22.04})).measured
    assert taper.value == pytest.approx(-0.0005)


def test_a_repeat_that_took_next_to_nothing_does_not_count_as_little_spring() -> None:
    found = outcome_of("spring-repeat", shop_of(), **(REPEAT | {"after": 19.998}))
    assert "the edge may have rubbed" in said(found)
    assert found.measured == ()


def test_more_repeats_narrow_the_spread() -> None:
    few = outcome_of("two-collars", shop_of(), **(COLLARS | {"near": (22.0, 22.01), "far": (22.03, 22.04)}))
    many = outcome_of("two-collars", shop_of(), **(COLLARS | {"near": (22.0, 22.01) * 4, "far": (22.03, 22.04) * 4}))
    assert many.measured[0].spread < few.measured[0].spread / 2.0
    assert "More readings would narrow it" in said(few)
    assert "More readings would narrow it" not in said(many)


def test_a_touch_by_paper_allows_for_the_paper() -> None:
    """Gripped by paper of 0.08 mm the tip stands 3.2 marks of 0.025 mm short of the surface."""
    (plain,) = outcome_of("touch", shop_of(), **(TOUCH | {"touch": (0.0,) * 5})).measured
    (paper,) = outcome_of("touch", shop_of(), **(TOUCH | {"touch": (-3.2,) * 5, "paper": 0.08})).measured
    assert plain.value == 0.0
    assert paper.value == pytest.approx(0.0, abs=1e-12)


def test_chatter_gives_one_row_for_each_cut_that_was_heard() -> None:
    found = outcome_of("chatter", shop_of(), **(CHATTER | {"stick_out": 40.0, "diameter": 25.0}))
    rows = [change.row for change in found.changes if isinstance(change, RowHeard)]
    assert [(row.depth_mm, row.chattered, row.stick_out_mm, row.dia_mm) for row in rows] == [
        (0.5, False, 40.0, 25.0),
        (0.8, True, 40.0, 25.0),
    ]


def test_chatter_that_contradicts_what_was_heard_before_is_asked() -> None:
    before = outcome_of("chatter", shop_of(), **CHATTER)
    shop = replace(shop_of(), chatter=tuple(change.row for change in before.changes if isinstance(change, RowHeard)))
    alone = {key: value for key, value in CHATTER.items() if key != "sang"}
    found = outcome_of("chatter", shop, **(alone | {"quiet": 1.5}))
    assert "Hear again" in said(found)
    assert found.changes == ()


def test_a_counted_speed_goes_to_its_position() -> None:
    (change,) = outcome_of("speed", shop_of(), **SPEED).changes
    assert isinstance(change, SpeedCounted)
    assert (change.position, change.rpm) == ("low belt, large step", 120.0)


def test_a_readout_is_judged_by_what_it_showed() -> None:
    shop = shop_of("toolroom")
    gauge = next(gauge.id for gauge in shop.gauges if GaugeUse.OUTSIDE in gauge.uses)
    given: dict[str, Any] = {"shown": 5.0} if shop.lathe.cross.dial is None else {"marks": 100}
    moved = 5.0 if shop.lathe.cross.dial is None else 100 * float(shop.lathe.cross.dial.travel_per_mark_mm)
    found = outcome_of("trial-cut", shop, before=(24.0,) * 3, after=(24.0 - 2.0 * moved,) * 3, gauge=gauge, **given)
    assert found.questions == ()
    assert found.measured[0].value == pytest.approx(0.0, abs=1e-6)
