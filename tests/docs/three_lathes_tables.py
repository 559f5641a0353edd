"""Tables of the page on three lathes: steps, drills, whole plans, charts, the small lathe with another's parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.data.materials import material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.acts import FeedKind
from handwheel.domain.motion import Edge
from handwheel.domain.wording import UnitsShown
from handwheel.physics.min_chip import THIN_CHIP
from handwheel.physics.roughness import mean_roughness_um
from handwheel.planner.cut_limits import CHATTER, POWER, least_chip_of, limit_name, mean_chip_mm
from handwheel.planner.feeds import SLOWEST_SHARE
from handwheel.planner.neighbours import Beside
from handwheel.report.wording import in_one_unit
from tests.docs.charts import (
    asked,
    at_spindle_w,
    case_of,
    chart_cut,
    most_torque_nm,
    parting_cut,
)
from tests.docs.lathes import (
    EDGES,
    LATHES,
    METAL,
    OTHER_METAL,
    SMALL,
    TOOLROOM,
    planned,
    planned_with,
    refused,
    shop_of,
)
from tests.docs.markdown import table

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from handwheel.planner.cut_case import Feed, Schedule
    from tests.docs.charts import ChartCut
    from tests.docs.lathes import LatheClass, Planned

ROUGH, ROUGH_BORE, FINISH, FINISH_BORE, PART = "rough-outside", "rough-bore", "outside", "bore", "part-off"
STEPS = {
    ROUGH: "Roughing the outside",
    ROUGH_BORE: "Roughing the bore",
    FINISH: "Finishing the outside",
    FINISH_BORE: "Finishing the bore",
    PART: "Parting off",
}
SWAPS = {
    "nothing": (),
    "motor": ("motor_power_w", "drive_efficiency"),
    "speeds": ("speeds",),
    "feeds": ("feeds_along", "feeds_across"),
    "stiffness": ("tool_stiffness_n_um",),
}
"""What the small lathe is given from the toolroom lathe, one thing at a time."""
LONG_SHARE = 10.0
"""From here on a ratio is told in whole times. [1]"""
UM_PER_MM, MS_PER_S, MS_PER_MIN = 1000.0, 1000.0, 60_000.0

Everywhere = tuple[tuple["LatheClass", Edge], ...]
ALL: Everywhere = tuple((lathe, edge) for edge in EDGES for lathe in LATHES)


def edge_word(edge: Edge) -> str:
    """HSS or carbide, as the page has it."""
    return "HSS" if edge is Edge.HSS else "carbide"


HEADS = tuple(f"{lathe.short}, {edge_word(edge)}" for lathe, edge in ALL)


def span(low: float, high: float, form: str) -> str:
    """Two ends, or one if they print alike."""
    ends = f"{low:{form}}", f"{high:{form}}"
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def times(share: float) -> str:
    """How many times something is asked that there is."""
    return f"{share:.2g} ×" if share < LONG_SHARE else f"{share:.0f} ×"


def percent(share: float) -> str:
    """A share of a limit."""
    return f"{100 * share:.0f} %"


def seconds(found: Schedule) -> str:
    """Time of all passes. [s]"""
    return f"{found.total_ms / MS_PER_S:.0f}"


def share_of(found: Schedule, limit: str) -> float:
    """Share of a limit that a cut takes up; 0 if that is none of its limits."""
    return max((load.share for load in found.loads if limit_name(load.limit) == limit), default=0.0)


def deepest_mm(found: Schedule) -> float:
    """Deepest pass. [mm]"""
    return max(depths_mm(found))


def depths_mm(found: Schedule) -> tuple[float, ...]:
    """Depth of each pass; of a blade the width of its chip. [mm]"""
    case = found.case
    if case is None:
        msg = "a drill has no depth of pass"
        raise ValueError(msg)
    return (case.width_mm,) if case.width_mm else tuple(steps * case.step_mm for steps in found.depth_steps)


def feed_words(feed: Feed) -> str:
    """A feed with who winds it."""
    by = "by hand" if feed.kind is FeedKind.HAND else "by power"
    return f"{span(feed.low_mm_rev, feed.high_mm_rev, '.2g')} {by}"


def passes_words(found: Schedule) -> str:
    """How many passes, how deep."""
    depths = depths_mm(found)
    if found.case is not None and found.case.width_mm:
        return f"1, {depths[0]:g} mm wide"
    return f"{len(depths)} of {span(min(depths), max(depths), '.2f')} mm"


def speeds_words(found: Schedule) -> str:
    """Cutting speed beside that of the table."""
    case = found.case
    if case is None:
        return f"{found.cutting_speed_m_min:.0f}"
    row = cutting_speed(material(METAL), edge=case.tool.edge, cut=case.cut)
    return f"{found.cutting_speed_m_min:.0f} (table {span(row.low_m_min, row.high_m_min, '.0f')})"


def chip_words(found: Schedule) -> str:
    """Mean chip at the shallowest pass and the least feed, and where the edge begins to rub."""
    case = found.case
    if case is None or case.width_mm:
        return ""
    mean = mean_chip_mm(case, min(depths_mm(found)), found.feed.low_mm_rev)
    return f"{UM_PER_MM * mean:.0f} (rubs below {UM_PER_MM * THIN_CHIP * least_chip_of(case):.0f})"


def ideal_words(found: Schedule) -> str:
    """Ideal mean roughness of the feed and the nose."""
    case = found.case
    if case is None or not case.equal_passes:
        return ""
    return f"{mean_roughness_um(found.feed.high_mm_rev, nose_radius_mm=case.tool.nose_radius_mm):.1f}"


def held_words(found: Schedule) -> str:
    """What keeps the passes from being fewer; the last two cuts are the habit of the shop, whatever the limits bear."""
    alike = found.case is not None and bool(found.case.equal_passes)
    return f"habit, then {limit_name(found.binds)}" if alike else limit_name(found.binds)


def power_words(found: Planned, cut: Schedule) -> str:
    """Power of a cut, of what arrives."""
    return f"{cut.power_w:.0f} of {at_spindle_w(found.shop.lathe):.0f}"


def torque_words(found: Planned, cut: Schedule) -> str:
    """Torque of a cut, of what the power gives at its speed."""
    return f"{cut.torque_nm:.1f} of {most_torque_nm(found.shop.lathe, cut.speed.rpm):.1f}"


def chatter_words(cut: Schedule) -> str:
    """Share of the depth at which it chatters; nothing where the depth is the tool's width."""
    share = share_of(cut, CHATTER)
    return percent(share) if share else ""


ROWS: dict[str, Callable[[Planned, Schedule], str]] = {
    "passes": lambda _, cut: passes_words(cut),
    "speed, rev/min": lambda _, cut: f"{cut.speed.rpm:g}",
    "feed, mm/rev": lambda _, cut: feed_words(cut.feed),
    "cutting speed, m/min": lambda _, cut: speeds_words(cut),
    "force, N": lambda _, cut: f"{cut.force.ruling_n:.0f}",
    "power, W": power_words,
    "torque, N·m": torque_words,
    "share of power and torque": lambda _, cut: percent(share_of(cut, POWER)),
    "share of the depth that chatters": lambda _, cut: chatter_words(cut),
    "held by": lambda _, cut: held_words(cut),
    "mean chip, µm": lambda _, cut: chip_words(cut),
    "ideal Ra, µm": lambda _, cut: ideal_words(cut),
    "time, s": lambda _, cut: seconds(cut),
}


def step_table(step: str) -> str:
    """One step on all lathes with both edges."""
    cuts = [(planned(*place), planned(*place).cut(step)) for place in ALL]
    rows = [(name, *(row(found, cut) for found, cut in cuts)) for name, row in ROWS.items()]
    return table(("figure", *HEADS), [row for row in rows if any(row[1:])])


def drill_table() -> str:
    """The drills of each lathe, which are the same with both kinds of edges: both shops drill with HSS."""
    rows = []
    for lathe in LATHES:
        found = planned(lathe, Edge.HSS)
        for way in found.ways:
            if way.drill is None or way.schedule is None:
                continue
            cut = way.schedule
            rows.append(
                (
                    lathe.short,
                    f"Ø {float(way.drill.dia_mm):g} mm" + (", centre drill" if "centre" in way.step.id else ""),
                    f"{cut.speed.rpm:g}",
                    span(cut.feed.low_mm_rev, cut.feed.high_mm_rev, ".2g"),
                    f"{cut.cutting_speed_m_min:.0f}",
                    power_words(found, cut),
                    torque_words(found, cut),
                    percent(share_of(cut, POWER)),
                    percent(share_of(cut, "push by hand")),
                    seconds(cut),
                )
            )
    head = ("lathe", "drill", "rev/min", "feed, mm/rev by hand", "m/min", "power, W", "torque, N·m")
    return table((*head, "share of power and torque", "share of the push of a hand", "time, s"), rows)


def totals() -> str:
    """Whole plans beside each other."""
    accounts = [planned(*place).account for place in ALL]
    minutes = {
        "whole job, min": [account.cost_ms for account in accounts],
        "cutting, min": [account.cutting_ms for account in accounts],
        "measuring, min": [account.measuring_ms for account in accounts],
        "making ready, min": [account.ready_ms for account in accounts],
    }
    rows = [(name, *(f"{value / MS_PER_MIN:.1f}" for value in values)) for name, values in minutes.items()]
    for limit in (CHATTER, POWER, "push by hand"):
        loads = [next((load for load in each.loads if load.limit == limit), None) for each in accounts]
        rows.append(
            (
                f"most of {limit}",
                *("" if load is None else f"{percent(load.share)}, {load.step}" for load in loads),
            )
        )
    return table(("figure", *HEADS), rows)


def lathe_table() -> str:
    """What the three lathes differ in."""
    lathes = [shop_of(lathe, Edge.HSS).lathe for lathe in LATHES]
    along = [[feed.mm_rev for feed in lathe.feeds_along] for lathe in lathes]
    return table(
        ("figure", *(f"{each.name}, {each.short}" for each in LATHES)),
        [
            ("power that arrives at the spindle, W", *(f"{at_spindle_w(lathe):.0f}" for lathe in lathes)),
            ("stiffness between tool and work, N/µm", *(f"{lathe.tool_stiffness_n_um:g}" for lathe in lathes)),
            ("speeds, rev/min", *(", ".join(f"{speed.rpm:g}" for speed in lathe.speeds) for lathe in lathes)),
            (
                "feeds along, mm/rev",
                *(", ".join(f"{feed:g}" for feed in feeds) or "by hand alone" for feeds in along),
            ),
            ("taken from the starting file", *(f"`{each.template}`" for each in LATHES)),
        ],
    )


def chart_cuts(edge: Edge) -> tuple[tuple[ChartCut, str], ...]:
    """What the charts say for one kind of edge, each with the planned step in whose place it would stand."""
    small = planned(SMALL, edge)
    stock = case_of(small, ROUGH).total_mm
    return (
        (chart_cut(small, ROUGH, CutKind.ROUGH, name="roughing, the chart's own cut"), ROUGH),
        (chart_cut(small, ROUGH, CutKind.ROUGH, name="all of the roughing in one pass", depth_mm=stock), ROUGH),
        (chart_cut(small, FINISH, CutKind.FINISH, name="finishing, the chart's own cut"), FINISH),
        (parting_cut(small), PART),
    )


def chart_rows() -> Iterator[tuple[str, ...]]:
    """A row for each cut of the charts."""
    for edge in EDGES:
        for cut, step in chart_cuts(edge):
            ratios = [asked(cut, planned(lathe, edge), step) for lathe in LATHES]
            yield (
                f"{edge_word(edge)}, {cut.name}",
                f"{cut.depth_mm:.3g} x {cut.feed_mm_rev:g}",
                f"{span(cut.low_m_min, cut.high_m_min, '.0f')} [{cut.source_key}], {cut.standing}",
                span(*cut.rpm, ".0f"),
                f"{cut.force_n:.0f}",
                f"{cut.power_w:.0f}",
                f"{cut.torque_nm:.1f}",
                *(
                    f"{times(ratio.power)} power, {times(ratio.torque)} torque"
                    + ("" if step == PART else f", {times(ratio.depth)} depth")
                    for ratio in ratios
                ),
            )


def chart_table() -> str:
    """What the charts' cuts would need, and how many times each lathe's share that is."""
    head = ("cut", "depth x feed, mm", "m/min", "rev/min", "N", "W", "N·m")
    return table((*head, *(lathe.short for lathe in LATHES)), chart_rows())


def swapped(edge: Edge, keys: tuple[str, ...]) -> Planned:
    """The sleeve on the small lathe with something of the toolroom lathe."""
    return planned(SMALL, edge) if not keys else planned_with(SMALL, edge, keys=keys, of=TOOLROOM)


def swap_table() -> str:
    """The small lathe with one thing of the toolroom lathe at a time."""
    rows = []
    for edge in EDGES:
        for name, keys in SWAPS.items():
            found = swapped(edge, keys)
            cut = found.cut(ROUGH)
            rows.append(
                (
                    f"{edge_word(edge)}, {name}",
                    passes_words(cut),
                    feed_words(cut.feed),
                    f"{cut.speed.rpm:g}",
                    percent(share_of(cut, CHATTER)),
                    percent(share_of(cut, POWER)),
                    limit_name(cut.binds),
                    seconds(cut),
                    f"{found.account.cost_ms / MS_PER_MIN:.1f}",
                )
            )
    head = ("from the toolroom lathe", "passes", "feed, mm/rev", "rev/min", "of chatter's depth", "of power and torque")
    return table((*head, "held by", "roughing, s", "whole job, min"), rows)


def too_slow(found: Planned) -> tuple[str, ...]:
    """Steps that run so far below their table that a person would rather not."""
    return tuple(
        step
        for step in STEPS
        for case in (case_of(found, step),)
        if found.cut(step).cutting_speed_m_min
        < SLOWEST_SHARE * cutting_speed(material(METAL), edge=case.tool.edge, cut=case.cut).low_m_min
    )


def beside_words(found: Planned, step: str) -> tuple[str, ...]:
    """What stands beside a choice, as `handwheel explain` has it."""
    beside = Beside(
        found.cut(step), material=found.made.solved.job.material, lathe=found.shop.lathe, habits=found.shop.habits
    )
    return tuple(in_one_unit(words, UnitsShown.MM) for words in (*beside.speeds(), *beside.cuts()))


def beside() -> str:
    """What stands beside the choices of the small lathe."""
    found = planned(SMALL, Edge.HSS)
    rows = [(STEPS[step], words) for step in (ROUGH, ROUGH_BORE, PART) for words in beside_words(found, step)]
    return table(("small lathe, HSS", "what stands beside the choice, as `handwheel explain` tells it"), rows)


def stainless() -> str:
    """The same sleeve in stainless steel."""
    rows = [
        (
            f"{lathe.short}, {edge_word(edge)}",
            in_one_unit(refused(lathe, edge, metal=OTHER_METAL).partition(" What would help:")[0], UnitsShown.MM)
            or "there is a plan",
        )
        for lathe, edge in ALL
    ]
    return table(("lathe", f"{material(OTHER_METAL).name}"), rows)
