"""Kinds of gauges: as the shop file says, else as name and uses tell."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.domain.gauges import KINDS_BY_USE, Gauge, GaugeKind, GaugeUse
from handwheel.service.demo import DEMO_SHOPS, demo_text
from handwheel.service.intake.shop_file import read_shop
from tests.intake_files import problems_of, spoiled

BORE, OUTSIDE, LENGTH = GaugeUse.BORE, GaugeUse.OUTSIDE, GaugeUse.LENGTH
METRIC = demo_text(DEMO_SHOPS[1])


def gauge(
    name: str,
    *uses: GaugeUse,
    kind: GaugeKind | None = None,
    step_mm: Fraction = Fraction(1, 100),
) -> Gauge:
    return Gauge(
        id="g", name=name, uses=uses, low_mm=0.0, high_mm=25.0, step_mm=step_mm, uncertainty_mm=0.005, kind=kind
    )


@pytest.mark.parametrize(
    ("name", "uses", "kind"),
    [
        ("outside micrometer, 0 to 25 mm", (OUTSIDE, LENGTH), GaugeKind.MICROMETER),
        ("depth micrometer, 0 to 25 mm", (GaugeUse.DEPTH,), GaugeKind.MICROMETER),
        ("digital micrometer", (OUTSIDE,), GaugeKind.ELECTRONIC),
        ("three-point bore gauge, 16 to 20 mm", (BORE,), GaugeKind.THREE_POINT),
        ("bore gauge with setting rings, 6 to 25 mm", (BORE,), GaugeKind.BORE_GAUGE),
        ("Telescoping bore gauges", (BORE,), GaugeKind.TELESCOPING),
        ("Dial caliper", (BORE, OUTSIDE), GaugeKind.DIAL_CALIPER),
        ("caliper", (BORE, OUTSIDE), GaugeKind.CALIPER),
        ("plug gauge 18 H7", (BORE,), GaugeKind.PLUG),
        ("dial test indicator", (GaugeUse.RUNOUT,), GaugeKind.INDICATOR),
        ("grandfather's", (BORE, OUTSIDE), GaugeKind.CALIPER),
    ],
)
def test_the_name_tells_the_kind(name: str, uses: tuple[GaugeUse, ...], kind: GaugeKind) -> None:
    assert gauge(name, *uses).sort is kind


@pytest.mark.parametrize(("use", "kind"), list(KINDS_BY_USE.items()))
def test_a_name_that_tells_nothing_leaves_it_to_the_one_use(use: GaugeUse, kind: GaugeKind) -> None:
    assert gauge("the old one", use).sort is kind


def test_what_the_shop_file_says_counts_before_the_name() -> None:
    assert gauge("caliper", BORE, kind=GaugeKind.TELESCOPING).sort is GaugeKind.TELESCOPING


@pytest.mark.parametrize(
    ("step_mm", "in_inches"),
    [
        (Fraction("0.01"), False),
        (Fraction("0.001"), False),
        (Fraction("0.05"), False),
        (Fraction("0.0254"), True),
        (Fraction("0.00254"), True),
        (Fraction("0.0127"), True),
    ],
)
def test_the_step_tells_whether_a_gauge_is_divided_in_inches(step_mm: Fraction, in_inches: bool) -> None:  # noqa: FBT001 - a row of the table above
    assert gauge("micrometer", OUTSIDE, step_mm=step_mm).in_inches is in_inches


def test_a_shop_file_names_kind_and_flat_or_leaves_them_out() -> None:
    plain = read_shop(METRIC, name="shop.toml").gauges[0]
    assert (plain.kind, plain.flat_mm) == (None, 0.0)
    line = f'id = "{plain.id}"'
    told = read_shop(spoiled(METRIC, (line, f'{line}\nkind = "dial caliper"\nflat = "0.02 in"')), name="shop.toml")
    assert told.gauges[0].kind is GaugeKind.DIAL_CALIPER
    assert told.gauges[0].flat_mm == pytest.approx(0.508)


def test_a_kind_that_is_none_is_answered_with_those_that_are() -> None:
    first = read_shop(METRIC, name="shop.toml").gauges[0]
    text = spoiled(METRIC, (f'id = "{first.id}"', f'id = "{first.id}"\nkind = "micrometre"'))
    (problem,) = problems_of(lambda: read_shop(text, name="shop.toml"))
    assert 'did you mean "micrometer"?' in problem
