"""Weighing and order of causes, the facts of a step, and the tables that both go by."""

from __future__ import annotations

import pytest

from handwheel.bench.diagnosis.diagnosis import MOST_ASKED, diagnose
from handwheel.bench.diagnosis.effect import Effect, EffectKind
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.facts import CutSort, JobFacts, as_it_was
from handwheel.bench.diagnosis.job_facts import job_facts
from handwheel.bench.diagnosis.reckoning import EFFECTS
from handwheel.bench.diagnosis.weighing import EXPLAINS_SHARE, Verdict, in_order, weighed
from handwheel.data.cautions import work_cautions
from handwheel.data.diagnosis import ANY_CUT, EvidenceKind, causes, questions, rules_of, symptom, symptoms
from handwheel.domain.errors import DataTableError
from handwheel.domain.matters import SHARE_THAT_MATTERS
from handwheel.domain.motion import Edge, Handle
from tests.demo_plans import PAIRS, demo_plan, demo_shop
from tests.unit.bench.diagnosing import evidence, excluded, here, order, suspect

EDGE, ANGLE, BENDS, WARM, *_ = causes("taper")
SORTS = {sort.value for sort in CutSort}


def amount(mm: float) -> Effect:
    return Effect(kind=EffectKind.AMOUNT, amount=mm, words="so much")


def limit(share: float, *, uncertain: float = 1.0, uses: tuple[str, ...] = ()) -> Effect:
    return Effect(kind=EffectKind.LIMIT, amount=share, uncertain=uncertain, uses=uses, words="so near")


@pytest.mark.parametrize(
    ("mm", "verdict"),
    [
        (0.05, Verdict.EXPLAINS),
        (EXPLAINS_SHARE * 0.05, Verdict.EXPLAINS),
        (0.024, Verdict.PART),
        (SHARE_THAT_MATTERS * 0.05, Verdict.SMALL),
        (0.0001, Verdict.SMALL),
    ],
)
def test_an_amount_is_held_against_what_was_measured(mm: float, verdict: Verdict) -> None:
    found = weighed(BENDS, amount(mm), Evidence(), measure_mm=0.05)
    assert found.verdict is verdict
    assert found.share == pytest.approx(mm / 0.05)


def test_an_amount_without_anything_to_hold_it_against_stays_open() -> None:
    assert weighed(BENDS, amount(0.05), Evidence(), measure_mm=None).verdict is Verdict.OPEN


@pytest.mark.parametrize(
    ("effect", "typed", "verdict"),
    [
        (limit(1.0), {}, Verdict.EXPLAINS),
        (limit(0.9, uncertain=2.0), {}, Verdict.EXPLAINS),
        (limit(0.4, uncertain=3.0), {}, Verdict.PART),
        (limit(0.9), {}, Verdict.PLANNED),
        (limit(0.9, uses=("rpm",)), {"rpm": 500.0}, Verdict.KEPT),
        (limit(0.9, uses=("rpm",)), {"feed": 0.1}, Verdict.PLANNED),
    ],
)
def test_a_limit_that_is_kept_as_planned_alone_excludes_nothing(
    effect: Effect, typed: dict[str, float], verdict: Verdict
) -> None:
    found = weighed(EDGE, effect, evidence(**typed), measure_mm=None)
    assert found.verdict is verdict
    assert found.is_worth_checking is (verdict is not Verdict.KEPT)


def test_what_physics_excludes_stays_so_whatever_was_answered() -> None:
    assert weighed(BENDS, amount(0.001), evidence(free_end_proud=True), measure_mm=0.05).verdict is Verdict.SMALL


def test_an_answer_raises_or_lowers_a_cause() -> None:
    assert weighed(EDGE, None, evidence(edge_loaded=True), measure_mm=0.05).verdict is Verdict.SEEN
    assert weighed(EDGE, None, evidence(edge_fresh=True), measure_mm=0.05).verdict is Verdict.AGAINST
    both = weighed(EDGE, None, evidence(edge_fresh=True, edge_worn=True), measure_mm=0.05)
    assert both.verdict is Verdict.SEEN


def test_causes_come_by_what_they_explain_then_by_the_quicker_check_then_as_in_the_table() -> None:
    everything = tuple(
        weighed(cause, effect, Evidence(), measure_mm=0.05)
        for cause, effect in ((EDGE, None), (ANGLE, amount(0.06)), (BENDS, amount(0.06)), (WARM, amount(0.02)))
    )
    ordered = in_order(everything)
    assert BENDS.check_s < ANGLE.check_s
    assert [each.cause.key for each in ordered] == ["work-bends", "slide-angle", "warmth", "edge"]


def test_a_taper_by_a_top_slide_is_blamed_on_its_angle_and_bending_ten_times_too_small_goes_to_the_end() -> None:
    """By hand: 2 · 25.4 mm · tan 0.25° = 0.2217 mm."""
    plan, shop = demo_plan("bush", "inch-lathe"), demo_shop("inch-lathe")
    found = diagnose(job_facts(plan.sheet, shop, "outside"), "taper", evidence(taper=0.05))
    assert order(found)[0] == "slide-angle"
    effect = suspect(found, "slide-angle").effect
    assert effect is not None
    assert effect.amount == pytest.approx(0.2217, abs=1e-4)
    bends = suspect(found, "work-bends")
    assert bends.verdict is Verdict.SMALL
    assert bends.share is not None
    assert bends.share < SHARE_THAT_MATTERS
    assert found.suspects.index(bends) >= len(found.to_check)


def test_without_a_measure_the_tolerance_stands_for_it_and_that_is_told() -> None:
    plan, shop = demo_plan("bush", "inch-lathe"), demo_shop("inch-lathe")
    found = diagnose(job_facts(plan.sheet, shop, "bore"), "taper")
    assert not found.is_measured
    assert found.measure_mm == pytest.approx(0.033)
    assert found.asks[0].key == "taper"


def test_facts_of_a_step_are_those_of_the_sheet() -> None:
    """Bore of the bush on the inch lathe: figures as they stand on the sheet in docs/sheets."""
    facts = job_facts(demo_plan("bush", "inch-lathe").sheet, demo_shop("inch-lathe"), "8")
    assert facts.step == "bore"
    assert facts.cut is CutSort.BORE
    assert facts.metal == "cu_cw307g"
    assert facts.edge is Edge.HSS
    assert facts.rpm == 320.0
    assert (facts.feed_low_mm_rev, facts.feed_high_mm_rev) == (0.048, 0.08)
    assert facts.feed_handle is Handle.CARRIAGE
    assert facts.stands_out_mm == pytest.approx(27.32)
    assert facts.band_mm == pytest.approx(0.033)
    assert facts.bore_dia_mm == pytest.approx(20.0185, abs=1e-4)
    assert facts.outside_dia_mm == pytest.approx(28.448)


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_every_step_of_every_demo_plan_has_facts_and_every_symptom_met_there_a_list(pair: tuple[str, str]) -> None:
    plan, shop = demo_plan(*pair), demo_shop(pair[1])
    seen = set()
    for step in dict.fromkeys(act.step for act in plan.sheet.acts):
        facts = job_facts(plan.sheet, shop, step)
        assert facts.cut is not None
        seen.add(facts.cut)
        for sign in symptoms().values():
            if facts.cut.value in sign.cuts:
                found = diagnose(facts, sign.key)
                assert found.to_check, (step, sign.key)
                assert len(found.asks) <= MOST_ASKED
    assert {CutSort.TURN, CutSort.BORE, CutSort.DRILL, CutSort.PART, CutSort.HELD, CutSort.FACE} <= seen


def test_a_step_that_the_sheet_does_not_have_is_a_key_error() -> None:
    with pytest.raises(KeyError, match="no-such"):
        job_facts(demo_plan("bush", "inch-lathe").sheet, demo_shop("inch-lathe"), "no-such")


def test_what_was_typed_goes_before_what_was_planned() -> None:
    typed = evidence(rpm=540.0, diameter=12.7, feed=0.05, depth=0.1, stands_out=30.0, stick_out=40.0)
    facts = as_it_was(JobFacts(rpm=320.0, feed_low_mm_rev=0.1, feed_high_mm_rev=0.2), typed)
    assert (facts.rpm, facts.cut_dia_mm, facts.depth_mm) == (540.0, 12.7, 0.1)
    assert (facts.feed_low_mm_rev, facts.feed_high_mm_rev) == (0.05, 0.05)
    assert (facts.stands_out_mm, facts.free_mm) == (30.0, 40.0)


def test_a_metal_that_the_tables_lack_a_figure_of_is_told_and_weighs_nothing() -> None:
    facts = JobFacts(cut=CutSort.TURN, metal="au750", edge=Edge.HSS, rpm=300.0, cut_dia_mm=20.0)
    found = diagnose(facts, "torn-finish")
    assert here(found, "slow").startswith("not reckoned: ")
    assert suspect(found, "slow").verdict is Verdict.OPEN


def test_an_unknown_symptom_is_answered_with_those_there_are() -> None:
    with pytest.raises(DataTableError, match="choose one of taper, bellmouth"):
        diagnose(JobFacts(), "gremlins")


def test_a_cause_of_another_kind_of_cut_is_not_on_the_list() -> None:
    turned = {each.cause.key for each in diagnose(JobFacts(cut=CutSort.TURN), "taper").suspects}
    bored = {each.cause.key for each in diagnose(JobFacts(cut=CutSort.BORE), "taper").suspects}
    assert bored - turned == {"unlike-stock"}


def test_the_tables_name_only_what_there_is() -> None:
    keys = set(questions())
    for sign in symptoms().values():
        assert set(sign.cuts) <= SORTS
        assert set(sign.cautions) <= set(work_cautions())
        assert sign.cautions
        assert not sign.amount or questions()[sign.amount].kind is EvidenceKind.LENGTH
        assert causes(sign.key)
        for cause in causes(sign.key):
            assert cause.effect in {"", *EFFECTS}
            assert set(cause.cuts) <= {ANY_CUT, *sign.cuts}
            assert {key for key, _ in (*cause.raised_by, *cause.lowered_by)} <= keys
            assert cause.check_s > 0
        for rule in rules_of(sign.key):
            assert rule.only_if is None or rule.only_if[0] in {"cut", "held", "metal", *keys}


def test_every_effect_and_every_answer_is_used() -> None:
    every = [cause for key in symptoms() for cause in causes(key)]
    assert {cause.effect for cause in every} - {""} == set(EFFECTS)
    told = {key for cause in every for key, _ in (*cause.raised_by, *cause.lowered_by)}
    answers = {key for key, question in questions().items() if question.kind is EvidenceKind.YES_NO}
    assert answers == told


def test_a_sharp_edge_that_fits_excludes_a_cause_by_its_own_answer_alone() -> None:
    found = diagnose(JobFacts(cut=CutSort.TURN), "drift", evidence(one_way=True, drift=0.02))
    assert "slack" in excluded(found)
    assert symptom("drift").amount == "drift"
