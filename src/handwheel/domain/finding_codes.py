"""Every code that a finding may have, with the weights that it may have and its meaning in a line.

The pages tell more: docs/findings.md has a section under each code.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from handwheel.domain.severity import Severity


class FindingCode(Struct, frozen=True, kw_only=True):
    """What a code of a finding stands for: the weights it may have, the heaviest first, and its meaning."""

    severities: tuple[Severity, ...]
    meaning: str


def _note(meaning: str) -> FindingCode:
    return FindingCode(severities=(Severity.NOTE,), meaning=meaning)


def _warning(meaning: str) -> FindingCode:
    return FindingCode(severities=(Severity.WARNING,), meaning=meaning)


def _warning_or_note(meaning: str) -> FindingCode:
    return FindingCode(severities=(Severity.WARNING, Severity.NOTE), meaning=meaning)


FINDING_CODES: Mapping[str, FindingCode] = {
    "bar-cut": _warning("the bar would whip behind the spindle, so a piece of it is sawn"),
    "bar-overhangs": _warning("a short end of the bar turns behind the spindle with nothing to hold it"),
    "bar-too-short-for-quantity": _warning("one bar of the rack does not give all the parts"),
    "beliefs-used": _note("figures of the shop file are replaced by what was learned at the lathe"),
    "blade-may-sing": _note("the shop has heard a blade chatter, and this one is wider than what follows"),
    "bore-closes": _warning_or_note("pressed into a hole, the bore gets smaller"),
    "collar-fixed": _note("a collar cannot be set to 0"),
    "dubbed-drill": _note("the metal grabs sharp lips: the drill with dubbed ones is used"),
    "edge-may-ripple": _note("the side of an edge tool is wider than what is surely quiet"),
    "engraving-differs": _warning("what is engraved beside a mark is not what the screw does"),
    "fine-feed": _warning_or_note("the swung top slide sets the size, and its angle is uncertain"),
    "finish-by-rubbing": _note("a roughness is asked of a face that is rubbed, not turned"),
    "finish-finer-than-turned": _warning("turning seldom leaves the roughness that is asked for"),
    "finish-not-met": _warning("the finest feed leaves a rougher surface than is asked for"),
    "fire-hazard": _warning("chips of this metal can burn"),
    "force-from-group": _note("the metal has no force figures of its own"),
    "full-power-assumed": _note("nobody has said from which speed on a drive without steps has its full power"),
    "health-hazard": _warning("dust or fumes of this material can harm whoever is at the lathe"),
    "interrupted-cut": _note("the corners of a hexagon bar meet the edge with blows"),
    "jaw-lobes": _note("the grip springs the ring out of round"),
    "last-cuts-bend": _note("the two last cuts bend more than a quarter of the tolerance"),
    "mate-assumed": _warning("nobody has said what the part of a fit measures"),
    "mostly-swarf": _note("more than half of the metal becomes chips"),
    "no-centre-drill": _warning("nothing leads the first drill"),
    "no-interference": _warning("the part is to be pressed in, and may come out no larger than its hole"),
    "no-lead-in": _warning("the part is to be pressed in, and no outer edge is broken"),
    "outside-grows": _warning_or_note("pressed on a shaft, the outside gets larger"),
    "ring-swells": _note("an expanding mandrel holds the ring larger than it will be"),
    "skin-contact": _warning_or_note("what the tables say of this metal on the skin"),
    "speed-worked-out": _note("speeds come from pulleys and are only about right"),
    "taper-may-slip": _warning_or_note("a drill may turn the taper that holds its chuck in the quill"),
    "turned-end-for-end": _note("the drawing's back is cut first"),
    "unknown-metal": FindingCode(
        severities=(Severity.STOP, Severity.WARNING), meaning="nobody knows which metal of its group this is"
    ),
    "work-hardens": _note("the metal hardens where an edge rubs it"),
}
"""The one list of codes: `handwheel.domain.findings.Finding` takes no other."""
