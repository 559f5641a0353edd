"""What a shop has heard chatter, or not, does to the limit of chatter that is reckoned by force and stiffness."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from handwheel.data.forces import force_models
from handwheel.data.materials import Material, material
from handwheel.domain.chatter import ChatterHeard, Learner, learner_of
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.blade import USUAL_HEIGHT_MM, Blade, blade_stable_width_mm
from handwheel.physics.deflection import STEEL_N_MM2
from handwheel.physics.force import force_band
from handwheel.physics.parting import parting_force_band
from handwheel.physics.quiet_cut import (
    BAR_DAMPING,
    DIRECTION_FACTOR,
    TOOL_DAMPING,
    overhang_stiffness_n_um,
    quiet_depth_mm,
)
from handwheel.physics.recalibration import Heard, StiffnessBelief, dynamic_stiffness_n_um, recalibrated

GUESS = 2.0
"""The reckoned limit is a guess within this factor, up and down (decision 0007)."""
_N_MM2_PER_GPA = 1000.0
_HARDLY_OUT_MM = 1.0
"""Reach of a blade that does not bend. [mm]"""


def heard_factor(shop: Shop, learner: Learner) -> float:
    """Factor of a shop that has heard something (`handwheel.data.chatter_factor.chatter_factor`)."""
    return _factor(shop.chatter, shop.tools, shop.lathe.tool_stiffness_n_um, learner)


def belief_about(
    heard: Sequence[ChatterHeard], tools: Sequence[Tool], *, machine_n_um: float, learner: Learner
) -> StiffnessBelief:
    """What is believed of the factor between true and reckoned limit: within `GUESS`, cut off at what was heard.

    Raises
    ------
    OutOfRangeError
        If a cut that stayed quiet was as heavy, for its metal and set-up, as one that chattered.
    """
    of_id = {tool.id: tool for tool in tools}
    cuts = [row for row in heard if learner_of(of_id[row.tool]) is learner]
    prior = StiffnessBelief(low_n_um=1.0 / GUESS, high_n_um=GUESS)
    return recalibrated(prior, [_against_reckoned(row, of_id[row.tool], machine_n_um) for row in cuts])


def has_heard(shop: Shop, learner: Learner) -> bool:
    """Whether the shop has heard a cut that this learns from."""
    return any(learner_of(shop.tool(row.tool)) is learner for row in shop.chatter)


def reckoned_blade_mm(
    metal: Material, *, width_mm: float, out_mm: float, machine_n_um: float, feed_mm_rev: float
) -> float:
    """Width of chip that a blade bears at any speed, as reckoned; ``out_mm`` of 0 for a blade that does not bend. [mm]

    Its height is taken as usual.
    """
    blade = Blade(width_mm=width_mm, height_mm=USUAL_HEIGHT_MM, reach_mm=out_mm or _HARDLY_OUT_MM)
    cut = parting_force_band(force_models(metal), blade_width_mm=1.0, feed_mm_rev=feed_mm_rev)
    kc = cut.ruling_n / feed_mm_rev
    return blade_stable_width_mm(blade, machine_n_um=machine_n_um, kc_n_mm2=kc, direction_factor=DIRECTION_FACTOR)


@cache
def _factor(heard: tuple[ChatterHeard, ...], tools: tuple[Tool, ...], machine_n_um: float, learner: Learner) -> float:
    return belief_about(heard, tools, machine_n_um=machine_n_um, learner=learner).median_n_um


def _against_reckoned(row: ChatterHeard, tool: Tool, machine_n_um: float) -> Heard:
    """A cut as a share of the limit that is reckoned for its set-up and metal."""
    reckoned = _reckoned_mm(row, tool, machine_n_um)
    one = 1.0 / dynamic_stiffness_n_um(reckoned, kc_n_mm2=1.0)  # so that the reckoned limit stands for a factor of 1
    return Heard(width_mm=row.depth_mm, kc_n_mm2=one, chattered=row.chattered)


def _reckoned_mm(row: ChatterHeard, tool: Tool, machine_n_um: float) -> float:
    """Limit that is reckoned for the set-up and metal of a cut that was heard. [mm]"""
    metal, learner = material(row.metal), learner_of(tool)
    if learner is Learner.PARTING:
        out = row.stick_out_mm or (tool.reach_mm if row.chattered else 0.0)
        return reckoned_blade_mm(
            metal, width_mm=tool.width_mm, out_mm=out, machine_n_um=machine_n_um, feed_mm_rev=row.feed_mm_rev
        )
    sharp = force_band(force_models(metal), depth_mm=1.0, feed_mm_rev=row.feed_mm_rev)
    return quiet_depth_mm(
        _stiffness_n_um(row, tool, machine_n_um),
        damping_ratio=BAR_DAMPING if learner is Learner.BORING else TOOL_DAMPING,
        kc_n_mm2=sharp.ruling_n / row.feed_mm_rev,
    )


def _stiffness_n_um(row: ChatterHeard, tool: Tool, machine_n_um: float) -> float:
    """Stiffness with the bar, or with the work where somebody noted how it stood out. [N/µm]

    A bar of which nobody did is taken as what proves least: all the way out if it chattered, stiff if it was quiet.
    """
    if tool.kind is ToolKind.BORING:
        out = row.stick_out_mm or (tool.reach_mm if row.chattered else 0.0)
        if out > 0:
            return overhang_stiffness_n_um(machine_n_um, length_mm=out, dia_mm=tool.bar_dia_mm, e_n_mm2=STEEL_N_MM2)
    elif row.stick_out_mm > 0 and row.dia_mm > 0:
        modulus = material(row.metal).range("e_modulus").least * _N_MM2_PER_GPA
        return overhang_stiffness_n_um(machine_n_um, length_mm=row.stick_out_mm, dia_mm=row.dia_mm, e_n_mm2=modulus)
    return machine_n_um
