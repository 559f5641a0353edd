"""What the two trials of spring share: a metal that bears them, depths, how the share is said."""

from __future__ import annotations

from handwheel.bench.checkup import shared
from handwheel.bench.checkup.entry import Entry, Field, Kind
from handwheel.bench.checkup.measured import Measured
from handwheel.data.edges import EdgeCondition, edge_radius_um
from handwheel.data.materials import WorkHardening, material
from handwheel.domain.errors import InputError
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.domain.tools import ToolKind
from handwheel.physics.few_readings import Estimate
from handwheel.physics.min_chip import least_chip_mm


def matters(shop: Shop) -> str:
    """Why spring matters in a shop."""
    return (
        f"The shop file has no key for it; plans reckon with a stiffness of {shop.lathe.tool_stiffness_n_um:g} "
        "N/µm. What "
        "a cut springs away it leaves on the work, and the next cut finds it."
    )


def fields(shop: Shop) -> tuple[Field, ...]:
    """What both trials ask."""
    return (
        shared.tool_field(shop, ToolKind.TURNING),
        Field(key="metal", says="what was cut, by its key", kind=Kind.METAL),
        shared.gauge_field(shop, GaugeUse.OUTSIDE),
    )


def depth_field(shop: Shop, key: str, says: str) -> Field:
    """A depth in marks of the cross-slide, or as travel where it has no dial."""
    if shop.lathe.cross.dial:
        return Field(key=key, says=f"{says}, in marks", kind=Kind.NUMBER, low=1.0, high=1000.0, unit="marks")
    return Field(key=key, says=f"{says}, as travel of the slide", low=0.01, high=10.0)


def depth_mm(slide: Slide, entry: Entry, key: str) -> float:
    """Depth of a cut on the radius. [mm]"""
    return entry.one(key) * shared.setting_of(slide).per_unit_mm


def require_soft(entry: Entry, *, trial: str) -> None:
    """Raise `InputError` if a metal hardens where it is rubbed, as a pass without depth does.

    An unknown metal counts as the worst of those that it may be.
    """
    metal = material(entry.word("metal"))
    if metal.work_hardening is not WorkHardening.NONE:
        msg = (
            f"{trial}: metal: {metal.name} hardens where it is rubbed: never repeat a pass without depth in it; take "
            "brass, aluminium or free-cutting steel; what springs away spring-depths tells in every metal"
        )
        raise InputError((msg,))


def rubs(taken_mm: float) -> bool:
    """Whether a chip is so thin that even a keen edge may rub along instead of cutting it."""
    return taken_mm < least_chip_mm(edge_radius_um(EdgeCondition.KEEN).most)


def verdicts(found: Estimate, depth: float, shop: Shop) -> list[str]:
    """What a share means."""
    share, doubt = shared.percent(found.value), shared.percent(found.half_width)
    left = shared.long(2.0 * found.value * depth, shop.units)
    said = [
        f"{share} of a depth of cut springs away, give or take {doubt}.",
        f"A cut of {shared.long(depth, shop.units)} leaves {left} on the diameter for the next one to find.",
        "Two last cuts alike leave alike, and the dial then tells the size: plans count on that.",
    ]
    if found.low <= 0.0:
        said.append("No spring at all would fit these readings too: take deeper cuts, or measure more often.")
    if more := shared.readings_wanted(found):
        said.append(more)
    return said


LEFT_OPEN = (
    "whether tool post, slide, work or chuck gives way; it holds for this tool, this stick-out, this metal",
    "how much a worn edge would add",
)


def measured(found: Estimate, entry: Entry, how: str) -> Measured:
    """Share as it goes to what is believed."""
    return Measured(
        quantity="spring share",
        value=found.value,
        spread=found.spread,
        unit="1",
        evidence=how,
        thing=entry.word("tool"),
        metal=entry.word("metal"),
    )
