"""What the shop has heard chatter, or not, does to the limit of chatter that is reckoned."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

from handwheel.data.forces import force_models
from handwheel.data.materials import material
from handwheel.domain.chatter import ChatterHeard
from handwheel.domain.findings import Reason
from handwheel.domain.said import said_short
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.deflection import (
    STEEL_N_MM2,
    cantilever_stiffness_n_mm,
    second_moment_mm4,
    series_stiffness_n_um,
)
from handwheel.physics.force import force_band
from handwheel.physics.quiet_cut import BAR_DAMPING, DIRECTION_FACTOR, TOOL_DAMPING
from handwheel.physics.recalibration import Heard, StiffnessBelief, dynamic_stiffness_n_um, recalibrated
from handwheel.physics.stability import stable_width_mm

GUESS = 2.0
"""The reckoned limit is a guess within this factor, up and down (decision 0007)."""
_N_MM2_PER_GPA = _UM_PER_MM = 1000.0


def chatter_factor(shop: Shop, *, boring: bool) -> float:
    """By how much the limit of chatter differs from the reckoned one, after all that the shop has heard.

    1 if it has heard nothing with such tools.
    """
    return _factor(shop.chatter, shop.tools, shop.lathe.tool_stiffness_n_um, boring) if shop.chatter else 1.0


def belief_about(
    heard: Sequence[ChatterHeard], tools: Sequence[Tool], *, machine_n_um: float, boring: bool
) -> StiffnessBelief:
    """What is believed of the factor between true and reckoned limit: within `GUESS`, cut off at what was heard.

    Raises
    ------
    OutOfRangeError
        If a cut that stayed quiet was as heavy, for its metal and set-up, as one that chattered.
    """
    of_id = {tool.id: tool for tool in tools}
    cuts = [row for row in heard if (of_id[row.tool].kind is ToolKind.BORING) is boring]
    prior = StiffnessBelief(low_n_um=1.0 / GUESS, high_n_um=GUESS)
    return recalibrated(prior, [_against_reckoned(row, of_id[row.tool], machine_n_um) for row in cuts])


def heard_reasons(shop: Shop) -> Iterable[Reason]:
    """Why the limits of chatter are other than usual: what was heard, and what it does to them."""
    boring_ids = {tool.id for tool in shop.tools if tool.kind is ToolKind.BORING}
    for boring in (False, True):
        rows = [row for row in shop.chatter if (row.tool in boring_ids) is boring]
        if not rows:
            continue
        belief = belief_about(shop.chatter, shop.tools, machine_n_um=shop.lathe.tool_stiffness_n_um, boring=boring)
        low, high = belief.range_n_um
        yield Reason(
            where="boring" if boring else "turning and facing",
            quantity="limit of chatter",
            value=f"{belief.median_n_um:.2f} times the reckoned one",
            relation="middle of a guess within a factor of two, cut off at what the shop has heard; another metal "
            "scales it by its force; below about 40 m/min the flank damps and the true limit is higher (not reckoned)",
            inputs=tuple(
                f"{row.tool} in {row.metal}: {'chattered' if row.chattered else 'quiet'} at "
                f"{said_short(row.depth_mm, shop.units)}"
                for row in rows
            ),
            source_key="SHOP_FILE",
            standing="as entered",
            low=low,
            high=high,
            unit="times",
        )


@cache
def _factor(heard: tuple[ChatterHeard, ...], tools: tuple[Tool, ...], machine_n_um: float, boring: bool) -> float:  # noqa: FBT001  a key of the cache
    return belief_about(heard, tools, machine_n_um=machine_n_um, boring=boring).median_n_um


def _against_reckoned(row: ChatterHeard, tool: Tool, machine_n_um: float) -> Heard:
    """A cut as a share of the limit that is reckoned for its set-up and metal."""
    boring = tool.kind is ToolKind.BORING
    sharp = force_band(force_models(material(row.metal)), depth_mm=1.0, feed_mm_rev=row.feed_mm_rev)
    reckoned = stable_width_mm(
        series_stiffness_n_um((machine_n_um, *_in_series(row, tool))),
        damping_ratio=BAR_DAMPING if boring else TOOL_DAMPING,
        kc_n_mm2=sharp.ruling_n / row.feed_mm_rev,
        direction_factor=DIRECTION_FACTOR,
    )
    one = 1.0 / dynamic_stiffness_n_um(reckoned, kc_n_mm2=1.0)  # so that the reckoned limit stands for a factor of 1
    return Heard(width_mm=row.depth_mm, kc_n_mm2=one, chattered=row.chattered)


def _in_series(row: ChatterHeard, tool: Tool) -> Iterable[float]:
    """Stiffness of the bar, or of the work where somebody noted how it stood out. [N/µm]

    A bar of which nobody did is taken as what proves least: all the way out if it chattered, stiff if it was quiet.
    """
    if tool.kind is ToolKind.BORING:
        out = row.stick_out_mm or (tool.reach_mm if row.chattered else 0.0)
        if out > 0:
            yield _cantilever_n_um(out, dia_mm=tool.bar_dia_mm, e_n_mm2=STEEL_N_MM2)
    elif row.stick_out_mm > 0 and row.dia_mm > 0:
        modulus = material(row.metal).range("e_modulus").least * _N_MM2_PER_GPA
        yield _cantilever_n_um(row.stick_out_mm, dia_mm=row.dia_mm, e_n_mm2=modulus)


def _cantilever_n_um(length_mm: float, *, dia_mm: float, e_n_mm2: float) -> float:
    moment = second_moment_mm4(dia_mm)
    return cantilever_stiffness_n_mm(length_mm, e_n_mm2=e_n_mm2, moment_mm4=moment) / _UM_PER_MM
