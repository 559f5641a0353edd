"""The page with one part on three lathes, every figure of it reckoned; run as a module it writes the page anew."""

from __future__ import annotations

from pathlib import Path

from handwheel.data.materials import material
from handwheel.domain.motion import Edge
from handwheel.physics.stability import DAMPED_BELOW_M_MIN
from handwheel.planner.cut_limits import CHATTER, POWER
from tests.docs.charts import (
    case_of,
)
from tests.docs.lathes import (
    BAR_MM,
    BASE,
    CARBIDE_EDGE_UM,
    CARBIDE_NOSE_MM,
    METAL,
    OTHER_METAL,
    SLEEVE,
    SMALL,
    planned,
    sheet_stem,
)
from tests.docs.markdown import made_by, page
from tests.docs.three_lathes_tables import (
    ALL,
    ROUGH,
    STEPS,
    beside,
    chart_table,
    drill_table,
    edge_word,
    lathe_table,
    percent,
    share_of,
    stainless,
    step_table,
    swap_table,
    totals,
)
from tests.docs.three_lathes_words import carbide, chart_words, short_answer, stability, torque

PATH = Path(__file__).resolve().parents[2] / "docs" / "theory" / "three-lathes.md"


def text() -> str:
    """The page as the program would write it now."""
    rough, hss = planned(SMALL, Edge.HSS).cut(ROUGH), case_of(planned(SMALL, Edge.HSS), ROUGH).tool
    damped, twice = rough.cutting_speed_m_min, 2.0 * share_of(rough, POWER) / share_of(rough, CHATTER)
    steps = [block for step, title in STEPS.items() for block in (f"### {title}", step_table(step))]
    sheets = [f"[{lathe.short}, {edge_word(edge)}](../sheets/{sheet_stem(lathe, edge)}.txt)" for lathe, edge in ALL]
    return page(
        "One part on three lathes",
        made_by("tests.docs.three_lathes"),
        "The same sleeve on a small, a bench and a toolroom lathe, with high speed steel and with carbide; beside "
        "it what a chart would have said. Every figure on this page, those within the sentences too, is reckoned "
        "by the program when the page is made, and a test compares. All six sheets pass the check.",
        short_answer(),
        "## The part and the lathes",
        f"```toml\n{SLEEVE}```",
        f"It is cut from a bar of Ø {float(BAR_MM):g} mm, {material(METAL).name}. The three shops are one shop "
        f"(slides, chuck, drills, gauges and holdings of the starting file `{BASE}`, without dubbed drills) with "
        "the drive, stiffness, speeds and feeds of three classes. Their values are invented, as those of all "
        "starting files are (common practice, no source). Carbide stands for HSS in every tool of the toolpost: "
        f"nose {CARBIDE_NOSE_MM:g} mm in place of {hss.nose_radius_mm:g}, edge rounded by {CARBIDE_EDGE_UM:g} µm in "
        f"place of {hss.edge_radius_um:g}; drills stay HSS.",
        lathe_table(),
        f"Whole sheets: {', '.join(sheets)}.",
        "## Side by side",
        "Force is the upper end of the sources, with a worn edge. The power that arrives is the same at every "
        "speed, so that a cut takes up the same share of power and of torque. The feeds of a band are for its "
        "ends: force at the coarse one, the chip at the fine one; chatter in the middle.",
        *steps,
        "### Drilling",
        "With either kind of edges the same. Power and torque are for the fine end of the feed, the shares for the "
        "coarse end, in proportion to the feed, which is on the safe side.",
        drill_table(),
        "### Altogether",
        totals(),
        "## What a chart would have said",
        "Depth and feed stand in the rows of the tables beside their speeds. What the cut would need is reckoned "
        "as for the plan: same force, same diameters, low end of the speeds. Behind each lathe: how many times its "
        "power, the torque of its slowest speed, and the depth at which that lathe chatters at that feed.",
        chart_table(),
        chart_words(),
        "## Why a few tenths on the small lathe",
        swap_table(),
        stability(),
        torque(),
        beside(),
        "## What carbide changes",
        carbide(),
        "## In stainless steel",
        f'The same file with `metal = "{OTHER_METAL}"` and such a bar. It hardens, so a pass must be at least '
        f"{material(OTHER_METAL).range('min_depth').most:g} mm deep; where chatter forbids that, there is no honest "
        "plan, and none is made. A shorter or stouter boring bar, or a stiffer lathe, is what the refusal asks for.",
        stainless(),
        "## What this does not know",
        "The limit of chatter is good within a factor of two ([decision "
        f"0007](../decisions/0007-chatter-on-a-small-lathe.md)), and below {DAMPED_BELOW_M_MIN:g} m/min, where the "
        f"small lathe roughs with HSS ({damped:.0f} m/min), the flank damps and lifts it by an unknown amount. With "
        f"twice that limit the small lathe would still be held by chatter: {percent(twice)} of its power and "
        "torque. What your own lathe does, [once heard](chatter.md#what-you-heard), takes the place of the class. "
        "The three lathes are classes, no measured machines: lathes are found from 5 to 50 N/µm ([ALTINTAS], from "
        "memory), which is wider than the three classes are apart.",
        "## Sources",
        "- [FERROUS_DATA]: the chart's speeds with their depth and feed; opened.\n- [MH31]: factors of speed by "
        "feed and depth, opened; feeds of drills, from memory.\n- [VDI3323], [DIETRICH]: cutting force; as on "
        "[force, power and torque](force-and-power.md).\n- [ALTINTAS]: limit of chatter, stiffness of classes; "
        "from memory.\n- [COMMON]: classes of lathes, noses, edge radii, shares of speed for boring and parting.",
    )


if __name__ == "__main__":
    PATH.write_text(text(), encoding="utf-8", newline="\n")
