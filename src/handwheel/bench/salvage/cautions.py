"""What to mind where a way out moves a hand: from the table of cautions, of the metal, and of presses and heat."""

from __future__ import annotations

from handwheel.data.cautions import work_caution
from handwheel.data.materials import CautionKind, Material

PRESSING = (
    "Press: all burrs off, the bevelled end first, square, oiled. A press can throw a part: stand out of line, guard "
    "down, glasses on."
)
"""Common practice, no source."""
HEATING = (
    "Heat evenly and watch the thermometer; tongs, dry gloves for the heat alone, nothing that burns near. Glasses on. "
    "It grips at once: have the stop ready before it goes on."
)
"""Common practice, no source."""
RUBBED_KINDS = (CautionKind.FIRE, CautionKind.DUST, CautionKind.LEAD)
"""What of a metal harms where it is rubbed to dust."""


def rubbing(metal: Material) -> tuple[str, ...]:
    """Cautions before anything is lapped or rubbed with emery: no finger with it in a bore."""
    return (stopped(), work_caution("emery").text, *_of_metal(metal))


def rubbing_flat(metal: Material) -> tuple[str, ...]:
    """Cautions before a face is rubbed on a plate."""
    return (work_caution("wet-rubbing").text, *_of_metal(metal))


def cutting(metal: Material) -> tuple[str, ...]:
    """Cautions before another cut."""
    return (stopped(), *_of_metal(metal))


def reaming() -> tuple[str, ...]:
    """Cautions before a reamer goes in."""
    return stopped(), work_caution("reamer-backwards").text


def pressing(metal: Material) -> tuple[str, ...]:
    """Cautions before something is bored out and pressed together."""
    return (*cutting(metal), PRESSING)


def shrinking(metal: Material) -> tuple[str, ...]:
    """Cautions before a warm ring goes on."""
    return (*cutting(metal), HEATING)


def stopped() -> str:
    """Caution before a gauge or a hand comes near."""
    return work_caution("hands-clear").text


def _of_metal(metal: Material) -> tuple[str, ...]:
    return tuple(each.text for each in metal.hazards if each.kind in RUBBED_KINDS)
