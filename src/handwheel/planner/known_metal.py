"""The nearest metal of which the tables know enough to plan with, for a part whose own metal leads nowhere."""

from __future__ import annotations

from math import log

from handwheel.data.forces import force_models
from handwheel.data.materials import Material, WorkHardening, material, material_keys
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.errors import DataTableError
from handwheel.domain.motion import Edge
from handwheel.domain.remedies import UseMetal
from handwheel.physics.force import force_band
from handwheel.planner.way import NoWay

USUAL_FEED_MM_REV = 0.1
"""Feed at which the forces of two metals are compared; common practice on small lathes, no source."""
LIGHT_CUT_MM = 0.1
"""A metal that is named as easier must bear a last cut as light as this."""
STIFF_GPA = 60.0
"""Elastic modulus that a metal named as easier has at least: aluminium's; a slender plastic part gives way."""
_HARDENING = tuple(WorkHardening)


def known_metal(key: str) -> str:
    """Key of the metal that is nearest and no worse in hardening: of the same ISO 513 group, then the like force.

    It must be known, as `is_known` says, be stiff, and bear light last cuts. The metal itself is named if no other
    qualifies.
    """
    own = material(key)
    others = [metal for metal in map(material, material_keys()) if metal.key != key]
    known = [m for m in others if is_known(m) and _bears_light_cuts(m) and _is_stiff(m)]
    milder = [m for m in known if _HARDENING.index(m.work_hardening) <= _HARDENING.index(own.work_hardening)]
    return min(milder, key=lambda metal: _apart(own, metal), default=own).key


def easy_metal(key: str) -> str:
    """Key of the metal that yields most for its stiffness: slender work of it bears the deepest cut without chatter.

    The limit of chatter grows with the modulus of the work and falls with the cutting force. The metal itself if none
    is easier.
    """
    easy = [m for m in map(material, material_keys()) if is_known(m) and _bears_light_cuts(m) and _is_stiff(m)]
    soft = [m for m in easy if m.work_hardening is WorkHardening.NONE]
    return max(soft, key=lambda metal: (_stiffness_per_force(metal), metal.key == key, metal.key)).key


def _stiffness_per_force(metal: Material) -> float:
    return metal.range("e_modulus").least / _force_n(metal)


def is_known(metal: Material) -> bool:
    """Whether the tables have feeds, stiffness, and a cutting speed of high-speed steel for every kind of cut."""
    try:
        for cut in CutKind:
            cutting_speed(metal, edge=Edge.HSS, cut=cut)
    except DataTableError:
        return False
    return all(metal.find(name) is not None for name in ("feed_rough", "feed_finish", "e_modulus"))


def use_metal(key: str) -> UseMetal:
    """The remedy of making the part of a metal of the tables."""
    return UseMetal(material=key, name=material(key).name)


def metal_trouble(metal: Material) -> NoWay | None:
    """Why nothing can be planned in a metal: without its stiffness neither chatter nor a grip can be judged."""
    if metal.find("e_modulus") is not None:
        return None
    return NoWay(
        step="metal",
        code="metal-not-known",
        tried=metal.name,
        why="the tables have no modulus of elasticity of it, so neither chatter nor what a grip does can be judged",
        remedy="another metal; or give a value of your own, with its source",
        remedies=(use_metal(known_metal(metal.key)),),
    )


def _bears_light_cuts(metal: Material) -> bool:
    least = metal.find("min_depth")
    return least is None or least.most <= LIGHT_CUT_MM


def _is_stiff(metal: Material) -> bool:
    stiffness = metal.find("e_modulus")
    return stiffness is not None and stiffness.least >= STIFF_GPA


def _apart(own: Material, other: Material) -> tuple[bool, bool, float, str]:
    """How far two metals are apart: group, whether the other hardens at all, ratio of forces, name to break ties."""
    return (
        own.iso513_group != other.iso513_group,
        other.work_hardening is not WorkHardening.NONE,
        abs(log(_force_n(other) / _force_n(own))),
        other.key,
    )


def _force_n(metal: Material) -> float:
    """Cutting force of a chip 1 mm wide at a usual feed, the largest of the sources. [N]"""
    models = force_models(metal)
    return force_band(models, feed_mm_rev=USUAL_FEED_MM_REV, depth_mm=1.0).high_n
