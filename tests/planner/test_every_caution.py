"""Every caution of the table stands before the act that it names, in full once in a job, and no other text does."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

import pytest

from handwheel.data.cautions import HEAD, cautions_by_text, head_cautions, work_cautions
from handwheel.data.loader import STANDINGS, source
from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.part import BACK_FACE
from handwheel.domain.plan import Plan
from handwheel.planner.planner import make_plan
from handwheel.report.caution_sources import TITLE
from handwheel.report.text_sheet import sheet_text
from tests.demo_plans import PAIRS, demo_plan, demo_shop, step_acts
from tests.planner.holes import made
from tests.planner.provoking import METRIC, expanded, in_metal, without_centre_drill
from tests.planner.test_ways_of_holding import plan_in
from tests.planner.test_wishes import wished
from tests.shops import part_of, shop_of


def _hand(*kinds: a.HandKind) -> Callable[[a.Act], bool]:
    return lambda act: isinstance(act, a.HandStep) and act.kind in kinds


def _is(*kinds: type[a.ActBase]) -> Callable[[a.Act], bool]:
    return lambda act: isinstance(act, kinds)


ACTS: Mapping[str, Callable[[a.Act], bool]] = {
    "saw the bar": lambda act: isinstance(act, a.HandStep) and act.text.startswith("Saw "),
    "load the bar": _is(a.LoadBar),
    "set the speed": _is(a.SetSpeed),
    "start the spindle": _is(a.StartSpindle),
    "first cut of a step": _is(a.Cut, a.DrillHole, a.ReamHole),
    "parting cut": lambda act: isinstance(act, a.Cut) and act.surface == BACK_FACE,
    "drill a hole": _is(a.DrillHole),
    "ream the hole": _is(a.ReamHole),
    "tap by hand": _hand(a.HandKind.TAP),
    "clear the chips": _hand(a.HandKind.CLEAR_CHIPS),
    "let it cool": _is(a.Cool),
    "deburr": _hand(a.HandKind.DEBURR),
    "last deburring": _hand(a.HandKind.DEBURR),
    "rub a face": _hand(a.HandKind.RUB_FACE),
    "grip the ring": _is(a.Regrip),
    "take the ring out": _hand(a.HandKind.TAKE_OUT),
}
"""What the table calls an act, and which acts those are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job whose sheet says some cautions."""

    name: str
    plan: Callable[[], Plan]
    says: tuple[str, ...]


def _job(name: str, plan: Callable[[], Plan], *says: str) -> Job:
    return Job(name=name, plan=cache(plan), says=says)


def held(kind: str) -> Callable[[], Plan]:
    """A small part whose second side is held by one kind of means."""
    return lambda: plan_in(kind, METRIC)


JOBS = (
    _job(
        "titanium band",
        lambda: demo_plan("band", METRIC),
        *("stand-clear", "work-hardens", "parting", "chips-not-by-hand", "hot-work", "burr-cuts", "jaws-light"),
    ),
    _job("bronze bush", lambda: demo_plan("bush", METRIC), "wet-rubbing"),
    _job("threaded nose", lambda: demo_plan("bush", "inch-lathe"), "threaded-nose", "isolate", "drill-grabs"),
    _job("polished bush", lambda: wished(METRIC), "emery"),
    _job("no centre drill", without_centre_drill, "drill-unled"),
    _job("reamed", lambda: made("reamed after boring", METRIC).plan, "reamer-backwards"),
    _job("tapped", lambda: made("tapped", METRIC).plan, "tap-power-off"),
    _job("hexagon", lambda: made("hexagon", METRIC).plan, "hexagon-bar"),
    _job("tube", lambda: made("tube", METRIC).plan, "tube-bar"),
    _job("overhang", lambda: made("overhang", METRIC).plan, "bar-turns-behind", "bar-first-run"),
    _job("long bar", lambda: make_plan(part_of("stainless-bush"), shop_of("short-spindle")), "bar-whips"),
    _job("pot", held("pot"), "pot-close"),
    _job("collet", held("collet"), "collet-on-nothing"),
    _job("plate", held("plate-and-tailstock"), "friction-drive", "quill-centre"),
    _job("spigot", held("step-spigot"), "spigot-creep"),
    _job("mandrel", expanded, "mandrel-draw"),
    _job("glue", held("glue-arbor"), "glue-handling", "glue-holds-cold", "glue-fumes"),
)
CASES = tuple((job, code) for job in JOBS for code in job.says)


@pytest.mark.parametrize(("job", "code"), CASES, ids=lambda value: getattr(value, "name", value))
def test_a_caution_stands_at_the_act_that_the_table_names_in_full_the_first_time(job: Job, code: str) -> None:
    caution = work_cautions()[code]
    here = [act for act in job.plan().sheet.acts if {caution.text, caution.short} & set(act.cautions)]
    assert here
    assert all(ACTS[caution.act](act) for act in here)
    first, *later = here
    assert caution.text in first.cautions
    assert not any(caution.text in act.cautions for act in later)
    assert bool(later) <= bool(caution.short)


def test_no_caution_of_the_table_is_left_without_a_job_that_says_it() -> None:
    at_acts = {code for code, caution in work_cautions().items() if caution.act != HEAD}
    assert {code for _, code in CASES} == at_acts


def test_the_head_of_every_sheet_says_those_of_the_head_and_local_rules_before_all() -> None:
    in_table = {caution.text for caution in work_cautions().values() if caution.act == HEAD}
    assert set(head_cautions()) == in_table
    said = " ".join(
        line[3:].strip() for line in sheet_text(demo_plan("bush", METRIC), demo_shop(METRIC)).splitlines()[3:9]
    )
    assert said.startswith(" ".join(head_cautions()))
    assert head_cautions()[0].startswith("Local rules")


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.name)
def test_no_act_says_what_no_table_has(job: Job) -> None:
    plan = job.plan()
    hazards = material(plan.sheet.part.material).hazards
    known = {*cautions_by_text(), *(text for hazard in hazards for text in (hazard.text, hazard.short))}
    assert {text for act in plan.sheet.acts for text in act.cautions} <= known


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_the_end_of_the_sheet_names_every_code_that_it_says_with_source_and_standing(pair: tuple[str, str]) -> None:
    plan, shop = demo_plan(*pair), demo_shop(pair[1])
    lines = sheet_text(plan, shop).splitlines()
    start = lines.index(TITLE)
    told = " ".join(" ".join(lines[start + 1 : lines.index("", start)]).split())
    said = {text for act in plan.sheet.acts for text in act.cautions} | set(head_cautions())
    for code, caution in work_cautions().items():
        assert (code in told) is bool({caution.text, caution.short} & said), code
    for group in told.split("]")[:-1]:
        key, standing = group.partition("[")[2].split(", ")
        assert source(key).key == key
        assert standing in STANDINGS
    assert ("confirm metal-fire" in told) is (pair[0] == "band")


def test_two_cautions_have_no_text_in_common() -> None:
    texts = [text for caution in work_cautions().values() for text in (caution.text, caution.short) if text]
    assert len(texts) == len(set(texts)) == len(cautions_by_text())


def test_a_short_form_is_shorter() -> None:
    assert all(len(caution.short) < len(caution.text) for caution in work_cautions().values())


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_nothing_is_said_in_full_twice_nor_twice_in_one_step(pair: tuple[str, str]) -> None:
    plan = demo_plan(*pair)
    full = {caution.text for caution in work_cautions().values()}
    full |= {hazard.text for hazard in material(plan.sheet.part.material).hazards}
    said = [text for act in plan.sheet.acts for text in act.cautions]
    assert all(said.count(text) <= 1 for text in full)
    for step in dict.fromkeys(act.step for act in plan.sheet.acts):
        in_step = [text for act in step_acts(plan, step) for text in act.cautions]
        assert len(in_step) == len(set(in_step))


def test_most_acts_say_nothing() -> None:
    """A sheet full of cautions is read by nobody: even in titanium fewer than one act in eight has one."""
    acts = demo_plan("band", METRIC).sheet.acts
    assert sum(bool(act.cautions) for act in acts) < len(acts) / 8


def test_a_hazard_that_does_not_burn_is_said_at_loading_and_at_the_first_cut_and_no_more() -> None:
    plan = in_metal("al_7075")
    (dust,) = [hazard for hazard in material("al_7075").hazards if hazard.kind.value == "dust"]
    said = [
        (type(act).__name__, text)
        for act in plan.sheet.acts
        for text in act.cautions
        if text in (dust.text, dust.short)
    ]
    assert said == [("LoadBar", dust.text), ("Cut", dust.short)]


@pytest.mark.parametrize(
    ("code", "job"),
    [
        ("threaded-nose", "titanium band"),
        ("bar-whips", "titanium band"),
        ("bar-turns-behind", "long bar"),
        ("hexagon-bar", "tube"),
        ("tube-bar", "hexagon"),
        ("drill-grabs", "titanium band"),
        ("drill-unled", "bronze bush"),
        ("emery", "bronze bush"),
        ("jaws-light", "pot"),
        ("glue-fumes", "collet"),
    ],
)
def test_a_caution_is_left_out_where_there_is_nothing_to_say(code: str, job: str) -> None:
    """A caution that stands everywhere is read nowhere."""
    caution = work_cautions()[code]
    (plan,) = [each.plan() for each in JOBS if each.name == job]
    assert not any({caution.text, caution.short} & set(act.cautions) for act in plan.sheet.acts)
