"""Parts and shops that are feasible by construction, drawn backwards from the finished ring to the bar.

First the screws, then a ring whose limits they can land in, then what holds its second side, what makes its edges, a
boring bar that goes into the hole that the last drill leaves, a blade that goes through the wall, a bar around it all;
last the speeds, feeds, power and stiffness that the slowest, hardest of these cuts asks for. Each rule is the
generator's own and simple; `needs` has the relations. What else stands in the shop is left there by chance.
"""

from __future__ import annotations

from fractions import Fraction
from random import Random

from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.motion import Edge
from handwheel.domain.shop import Shop
from tests.proof import bores, hole, tooling
from tests.proof.bars import drawn_bar, with_chuck
from tests.proof.drafts import BORE, OUTSIDE, Drawn, RingDraft
from tests.proof.drive import driven
from tests.proof.holding import drawn_means, gripping
from tests.proof.rings import COVERED, FAR_EDGES, NotDrawnError, Wish, wish
from tests.proof.stock import base_shop, kept, with_slides

METALS = (
    "ss303",
    "ss304",
    "ss316l",
    "ss420a",
    "ss174a",
    "st11smnpb30",
    "st_s235",
    "st_c45",
    "st_42crmo4_a",
    "st_42crmo4_qt",
    "ts_o1",
    "cu_cw614n",
    "cu_cusn8",
    "cu_c93200",
    "cu_cw307g",
    "cu_etp",
    "al_6082",
    "al_7075",
    "al_2011",
    "ti_gr2",
    "ti_gr5",
    "ag925",
    "pom",
)
"""Metals of the tables with speeds for high speed steel, whose least cut leaves room for two in a thin wall."""
MOST_THROWS = 500
GAUGE_SHARE = 0.24
"""Uncertainty of a gauge as a share of the tolerance: one to four, as measuring both ways takes half of it."""


def feasible(chance: Random) -> Drawn:
    """Draw one part and a shop that can make it; throws that break a rule of the generator's own are thrown again."""
    for _ in range(MOST_THROWS):
        try:
            return _thrown(chance)
        except NotDrawnError:
            continue
    msg = f"{MOST_THROWS} throws and no ring: the generator's rules are too narrow"
    raise RuntimeError(msg)


def _thrown(chance: Random) -> Drawn:
    base, metal = base_shop(chance), material(chance.choice(METALS))
    lathe = with_slides(chance, base)
    drill_chuck = chance.choice((13.0, 16.0, 20.0, 25.0))
    habit = chance.choice((0.1, 0.125, 0.2))
    it = wish(chance, metal, lathe, habit_cut_mm=habit, drill_chuck_mm=drill_chuck)
    if not tooling.web_is_left(it):
        it = _without_far_edges(it)
    means = drawn_means(chance, it, base)
    edge = Edge.CARBIDE if chance.random() < 0.3 else Edge.HSS
    blade = tooling.blade(chance, it)
    tools = (
        tooling.turning(chance, edge, it),
        tooling.boring(chance, Edge.HSS, it, blade.width_mm),
        blade,
        *tooling.edge_tools(chance, it),
    )
    depth = it.draft.width + blade.width_mm + it.hole.past + 12.0
    drills = hole.ladder(chance, it.last_drill, metal, depth_mm=depth)
    bar = drawn_bar(chance, it, lathe)
    able = driven(
        chance,
        it,
        tools,
        drills,
        replace(lathe, tailstock=replace(lathe.tailstock, chuck_high_dia_mm=drill_chuck)),
        replace(base.habits, finish_cut_mm=habit),
        bar=bar,
    )
    slow = min(speed.rpm for speed in able.lathe.speeds)
    plates = (tooling.plate(chance, it),) if it.means in COVERED else ()
    shop = Shop(
        name=f"drawn from {base.name}",
        units=base.units,
        lathe=with_chuck(able.lathe, bar, max_rpm=max(800.0, 3.0 * slow)),
        tools=(*tools, *kept(chance, base.tools)),
        drills=(*drills, *kept(chance, base.drills, all_of_them=0.15)),
        gauges=(*_gauges(it.draft), *base.gauges),
        bars=(bar, *kept(chance, base.bars)),
        holdings=(gripping(it, means, able.second_side_nm, slow), *plates, *kept(chance, base.holdings)),
        habits=able.habits,
        reamers=(*bores.reamers(chance, it.hole, depth_mm=depth), *kept(chance, base.reamers)),
        taps=(*bores.taps(chance, it.hole, depth_mm=depth), *kept(chance, base.taps)),
    )
    return Drawn(draft=it.draft, shop=shop)


def _without_far_edges(it: Wish) -> Wish:
    """The wish with sharp edges where they must be cut on the bar and the wall has no room for that."""
    far = FAR_EDGES.get(it.means, ())
    edges = {edge: legs for edge, legs in it.draft.edges.items() if edge not in far}
    return replace(it, draft=replace(it.draft, edges=edges))


# gauges --------------------------------------------------------------------------------------------------------------


def _gauges(draft: RingDraft) -> tuple[Gauge, ...]:
    """Gauges that decide the sizes asked for, each as fine as the narrowest of them asks."""

    def gauge(name: str, use: GaugeUse, sizes_mm: tuple[float, ...], half_mm: float) -> Gauge:
        step = Fraction(int(2.0 * half_mm * 1e4 * GAUGE_SHARE) or 1, 10000)
        return Gauge(
            id=f"drawn-{name}",
            name=f"drawn {name} gauge",
            uses=(use,),
            low_mm=0.0 if use in (GaugeUse.LENGTH, GaugeUse.DEPTH) else round(0.7 * min(sizes_mm), 1),
            high_mm=round(1.5 * max(sizes_mm), 1),
            step_mm=step,
            uncertainty_mm=float(step),
        )

    bores_pm = min(draft.bore_pm, *(step.diameter_pm for step in draft.steps if step.of == BORE), draft.bore_pm)
    outsides_pm = min(draft.outside_pm, *(s.diameter_pm for s in draft.steps if s.of == OUTSIDE), draft.outside_pm)
    depths = tuple(step.depth for step in draft.steps)
    found = (
        gauge("bore", GaugeUse.BORE, draft.dias(BORE), bores_pm),
        gauge("outside", GaugeUse.OUTSIDE, draft.dias(OUTSIDE), outsides_pm),
        gauge("length", GaugeUse.LENGTH, (draft.width + 5.0,), draft.width_pm),
    )
    if not depths:
        return found
    return (*found, gauge("depth", GaugeUse.DEPTH, depths, min(step.depth_pm for step in draft.steps)))
