"""What the page on three lathes argues, in sentences whose every figure is reckoned."""

from __future__ import annotations

from handwheel.domain.motion import Edge
from handwheel.domain.wording import UnitsShown
from handwheel.physics.min_chip import THIN_CHIP
from handwheel.planner.cut_case import NoSchedule, Schedule
from handwheel.planner.cut_limits import POWER, least_chip_of, limit_name, mean_chip_mm
from handwheel.planner.feeds import SLOWEST_SHARE
from handwheel.report.wording import in_one_unit
from tests.docs.charts import (
    asked,
    case_of,
    drill_torque_nm,
    lighter_factor,
    most_torque_nm,
    quiet_mm,
)
from tests.docs.lathes import (
    BENCH,
    CARBIDE_EDGE_UM,
    EDGES,
    LATHES,
    SMALL,
    TOOLROOM,
    cut_on,
    planned,
    regulated,
    shop_of,
)
from tests.docs.three_lathes_tables import (
    FINISH,
    MS_PER_MIN,
    PART,
    ROUGH,
    ROUGH_BORE,
    STEPS,
    SWAPS,
    UM_PER_MM,
    beside_words,
    chart_cuts,
    deepest_mm,
    depths_mm,
    ideal_words,
    passes_words,
    percent,
    seconds,
    share_of,
    span,
    swapped,
    times,
    too_slow,
)


def short_answer() -> str:
    """The answer in a paragraph."""
    hss = [planned(lathe, Edge.HSS).cut(ROUGH) for lathe in LATHES]
    small = hss[0]
    by_power = deepest_mm(small) / share_of(small, POWER)
    weak = regulated_cut(ROUGH)
    return (
        f"In short: the {SMALL.short} lathe roughs this sleeve in passes of {deepest_mm(small):.2f} mm, the "
        f"{BENCH.short} lathe in passes of {deepest_mm(hss[1]):.2f} mm, the {TOOLROOM.short} lathe in passes of "
        f"{deepest_mm(hss[2]):.2f} mm (HSS). What holds all three is **chatter**, hence stiffness. Of power and "
        f"torque the small one uses {percent(share_of(small, POWER))} meanwhile; they alone would let it go "
        f"{by_power:.1f} mm deep. Torque decides elsewhere: at the blade, at the drill, and in roughing as soon as "
        f"the motor is regulated instead of belted ({deepest_mm(weak):.2f} mm). So a few tenths are right on the "
        "small lathe: because of stability first, because of torque second."
    )


def regulated_cut(step: str) -> Schedule:
    """The best cut on the small lathe with a regulated motor in place of its belts, with HSS."""
    found = planned(SMALL, Edge.HSS)
    cut = cut_on(regulated(found.shop.lathe), found, step)
    if isinstance(cut, Schedule):
        return cut
    msg = f"{step}: {cut.why}"
    raise ValueError(msg)


def stability() -> str:
    """Why stability, in figures."""
    found = planned(SMALL, Edge.HSS)
    cut, case = found.cut(ROUGH), case_of(found, ROUGH)
    stiff = swapped(Edge.HSS, SWAPS["stiffness"]).cut(ROUGH)
    strong = swapped(Edge.HSS, SWAPS["motor"]).cut(ROUGH)
    bore, own = case_of(found, ROUGH_BORE), case_of(planned(TOOLROOM, Edge.HSS), ROUGH_BORE)
    return (
        f"**Stability.** At {cut.feed.mean_mm_rev:.2g} mm/rev, the middle of its band, the small lathe chatters "
        f"from {quiet_mm(case, cut.feed.mean_mm_rev):.2f} mm on: {case.stiffness_n_um:.1f} N/µm between tool and "
        "work, and the depth goes with the stiffness. One thing taken from the toolroom lathe at a time (table "
        f"above): its motor of {TOOLROOM.short} leaves {len(strong.depth_steps)} passes of {deepest_mm(strong):.2f} "
        f"mm as they were. Its stiffness alone makes {len(stiff.depth_steps)} passes of {deepest_mm(stiff):.2f} mm "
        f"of them, and only then does the motor count: {percent(share_of(stiff, POWER))} of its power and torque. In "
        f"the bore the bar gives more than the lathe: {bore.stiffness_n_um:.1f} N/µm at its tip on the small lathe, "
        f"and no more than {own.stiffness_n_um:.1f} on the toolroom lathe, whose own stiffness is "
        f"{planned(TOOLROOM, Edge.HSS).shop.lathe.tool_stiffness_n_um:g}. That is why even there the bore is roughed "
        f"in tenths ({passes_words(planned(TOOLROOM, Edge.HSS).cut(ROUGH_BORE))})."
    )


def torque() -> str:
    """Where torque decides, in figures."""
    found = planned(SMALL, Edge.HSS)
    lathe = found.shop.lathe
    rough, part = found.cut(ROUGH), found.cut(PART)
    weak = regulated(lathe)
    limit = weak.speeds[0].torque_limit_nm or 0.0
    cut, none = regulated_cut(ROUGH), cut_on(weak, found, PART)
    drill = next(way for way in reversed(found.ways) if way.drill is not None and way.schedule is not None)
    drilled = drill.schedule
    assert drilled is not None
    no_part = in_one_unit(none.why, UnitsShown.MM) if isinstance(none, NoSchedule) else ""
    return (
        "**Torque.** With belts the whole power arrives at every speed, so that torque is plenty where the spindle "
        f"is slow: {most_torque_nm(lathe, rough.speed.rpm):.1f} N·m at {rough.speed.rpm:g} rev/min, of which "
        f"roughing asks {rough.torque_nm:.1f}. It is parting that empties it: a blade of {depths_mm(part)[0]:g} mm "
        f"asks {part.torque_nm:.1f} of {most_torque_nm(lathe, part.speed.rpm):.1f} N·m and goes down to "
        f"{part.speed.rpm:g} rev/min for them, as does the drill of Ø "
        f"{float(drill.drill.dia_mm) if drill.drill else 0:g} mm with {drilled.torque_nm:.1f} N·m at its finest "
        f"feed, at {drilled.speed.rpm:g} rev/min. A lathe of the same {SMALL.short} whose speeds come from a "
        f"regulated motor keeps the torque of its fastest speed everywhere, {limit:.1f} N·m "
        f"(`handwheel.physics.drive.spindle_torque`; full power at {max(speed.rpm for speed in lathe.speeds):g} "
        "rev/min alone is the safe guess where nobody knows better). There torque does make the passes shallow: "
        f"{len(cut.depth_steps)} of {deepest_mm(cut):.2f} mm, held by {limit_name(cut.binds)}, and parting is "
        f"refused: {no_part}. A lathe of that kind wants a back gear or a narrower blade."
    )


def carbide() -> str:
    """What carbide changes, as a list."""
    told = (
        ("No deeper passes.", _no_deeper()),
        ("Speed, where there is one.", _speed()),
        ("Power.", _power()),
        ("Where the lathe has not the speed.", _too_slow()),
        ("Edge and least chip.", _least_chip()),
        ("Finish.", _finish()),
        ("Time.", _time()),
    )
    return "\n".join(f"- **{head}** {words}" for head, words in told)


def _no_deeper() -> str:
    hss, hard = (planned(SMALL, edge).cut(ROUGH) for edge in EDGES)
    return (
        f"The limit of chatter does not know the edge: {passes_words(hss)} with HSS, {passes_words(hard)} with "
        "carbide on the small lathe. A finer feed makes it even lower, for a thin chip resists more."
    )


def _speed() -> str:
    hss, hard = (planned(SMALL, edge).cut(ROUGH) for edge in EDGES)
    tool, fed = planned(TOOLROOM, Edge.CARBIDE).cut(ROUGH), swapped(Edge.CARBIDE, SWAPS["feeds"]).cut(ROUGH)
    return (
        f"{hard.cutting_speed_m_min:.0f} m/min in place of {hss.cutting_speed_m_min:.0f} on the small lathe, "
        f"{tool.cutting_speed_m_min:.0f} on the toolroom lathe. But the small lathe is fed by hand: at "
        f"{hard.speed.rpm:g} rev/min a hand that winds as fast as it can feeds {hard.feed.high_mm_rev:.2g} mm/rev, "
        f"and the roughing takes {seconds(hard)} s in place of {seconds(hss)}. Given the feeds of the toolroom lathe "
        f"alone it would take {seconds(fed)} s."
    )


def _power() -> str:
    hss, hard = (percent(share_of(planned(TOOLROOM, edge).cut(ROUGH), POWER)) for edge in EDGES)
    return (
        f"A fast cut asks power, not torque: carbide takes {hard} of it in roughing on the toolroom lathe, HSS {hss}."
    )


def _too_slow() -> str:
    chart = next(cut for cut, step in chart_cuts(Edge.CARBIDE) if step == FINISH)
    fastest = [f"{max(speed.rpm for speed in shop_of(each, Edge.CARBIDE).lathe.speeds):g}" for each in LATHES]
    small = planned(SMALL, Edge.CARBIDE)
    slow = too_slow(small)
    next_up = "; ".join(f"{STEPS[step].lower()}, {beside_words(small, step)[0]}" for step in slow)
    return (
        f"The chart's finishing asks {span(*chart.rpm, '.0f')} rev/min at Ø {chart.dia_mm:.1f} mm; the fastest "
        f"speeds are {', '.join(fastest)}. On the small lathe {len(slow)} of the {len(STEPS)} steps above run below "
        f"{percent(SLOWEST_SHARE)} of the low end of carbide's table, where edges build up, and a faster spindle is "
        "no way out: the faster it turns, the finer a hand feeds, until the rounded edge finds no chip or the time "
        f"is no shorter ({next_up}). There a sharp HSS tool is the better one (common practice), whatever the "
        "seconds say."
    )


def _least_chip() -> str:
    hss, hard = (case_of(planned(SMALL, edge), FINISH) for edge in EDGES)
    cut = planned(SMALL, Edge.CARBIDE).cut(FINISH)
    rubs = THIN_CHIP * least_chip_of(hard)
    chip = mean_chip_mm(hard, min(depths_mm(cut)), cut.feed.low_mm_rev)
    return (
        f"An insert rounded by {CARBIDE_EDGE_UM:g} µm rubs below a mean chip of {UM_PER_MM * rubs:.1f} µm, a stoned "
        f"HSS edge below {UM_PER_MM * THIN_CHIP * least_chip_of(hss):.1f}. The last cuts of {deepest_mm(cut):.2f} mm "
        "lie on the nose of either, where chips are thin: at the fine end of the feed on the small lathe "
        f"{UM_PER_MM * chip:.1f} µm with carbide, {chip / rubs:.2f} times what it must be. A sharp, polished insert "
        "would leave room."
    )


def _finish() -> str:
    hss, hard = (ideal_words(planned(SMALL, edge).cut(FINISH)) for edge in EDGES)
    return (
        f"A rounder nose and a finer feed leave less: ideally {hard} µm with carbide on the small lathe, {hss} with "
        "HSS. What a slow carbide edge tears is not in that figure."
    )


def _time() -> str:
    hss, hard = (
        ", ".join(f"{planned(lathe, edge).account.cost_ms / MS_PER_MIN:.0f}" for lathe in LATHES) for edge in EDGES
    )
    return (
        f"The whole job takes {hss} min with HSS, {hard} with carbide: making ready and measuring are the most of it "
        "on every lathe."
    )


def chart_words() -> str:
    """What the comparison with charts says."""
    (own, _), (at_once, _), (finish, _), _ = chart_cuts(Edge.HSS)
    small = [asked(cut, planned(SMALL, Edge.HSS), step) for cut, step in chart_cuts(Edge.HSS)]
    tool = asked(at_once, planned(TOOLROOM, Edge.HSS), ROUGH)
    hard = asked(chart_cuts(Edge.CARBIDE)[0][0], planned(SMALL, Edge.CARBIDE), ROUGH)
    cut = planned(SMALL, Edge.HSS).cut(ROUGH)
    factor = lighter_factor(depth_mm=deepest_mm(cut), feed_mm_rev=cut.feed.high_mm_rev, base=own)
    drill = next(way.drill for way in reversed(planned(SMALL, Edge.HSS).ways) if way.drill is not None)
    hole = max(float(d.dia_mm) for d in planned(SMALL, Edge.HSS).made.solved.job.drills if d.dia_mm < drill.dia_mm)
    feed, rpm, needs = drill_torque_nm(drill, hole_dia_mm=hole)
    gives = most_torque_nm(planned(SMALL, Edge.HSS).shop.lathe, rpm)
    return (
        f"On the small lathe the chart's own roughing with HSS would ask {times(small[0].power)} the power, "
        f"{times(small[0].torque)} the torque that its slowest belt gives, and {times(small[0].depth)} the depth at "
        f"which it chatters; with carbide {times(hard.power)} the power. Even the {at_once.depth_mm:.2f} mm that are "
        f"to come off, taken at once, are {times(small[1].power)} the power and {times(small[1].depth)} the depth; "
        f"on the toolroom lathe {times(tool.power)} and {times(tool.depth)}. The chart is not wrong: it was made for "
        f"rigid machines, and its rows for carbide say so. Its feed of {own.feed_mm_rev:g} mm/rev would also leave a "
        f"thread: the nose of the HSS tool is {case_of(planned(SMALL, Edge.HSS), ROUGH).tool.nose_radius_mm:g} mm. "
        f"Its finishing cut ({finish.depth_mm:g} x {finish.feed_mm_rev:g} mm) is nearer, and still "
        f"{times(small[2].power)} the power and {times(small[2].depth)} the depth.\n\nA chart may also be read "
        "upwards: by its factors for light cuts [MH31] the speed for the cut that the small lathe does take "
        f"({deepest_mm(cut):.2f} x {cut.feed.high_mm_rev:.2g} mm) would be {times(factor)} that of the table. The "
        f"plan makes no use of it: speeds stay at or below the table.\n\nThe last drill of Ø {float(drill.dia_mm):g} "
        f"mm after Ø {hole:g}: the chart has {feed:g} mm/rev (from memory of [MH31]) at {rpm:.0f} rev/min or more, "
        f"which asks {needs:.0f} N·m where the small lathe gives {gives:.1f}."
    )
