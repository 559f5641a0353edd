"""What to know of a metal's dangers: to whoever cuts it, and to whoever wears the part."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.hazards import hazard_gates
from handwheel.data.materials import CautionKind, Material
from handwheel.domain.findings import Finding, Severity

TO_THE_SKIN = {
    Severity.WARNING: "have it tested before you sell or wear it, or take another metal; this is no medical advice, "
    "and the law of your country rules",
    Severity.NOTE: "nothing for this; skins differ, and this is no medical advice",
}


def hazard_findings(metal: Material) -> Iterable[Finding]:
    """One finding for each hazard that has to be confirmed before the first cut; none for most metals."""
    for caution in metal.hazards:
        if not caution.gate:
            continue
        have = hazard_gates()[caution.gate].have
        if caution.kind is CautionKind.FIRE:
            yield Finding(
                code="fire-hazard",
                severity=caution.weight,
                where=metal.name,
                problem=caution.text,
                remedy=f"have {have} at hand before the first cut; local rules come first",
                source_key=caution.source_key,
            )
        else:
            yield Finding(
                code="health-hazard",
                severity=caution.weight,
                where=metal.name,
                problem=caution.text,
                remedy=f"see to {have} before the first cut; local rules come first, and this is no medical advice",
                source_key=caution.source_key,
            )


def skin_findings(metal: Material) -> Iterable[Finding]:
    """What the tables say of a metal on the skin: a warning where there is something to do about it, else a note."""
    for caution in metal.cautions:
        if caution.kind is CautionKind.SKIN:
            yield Finding(
                code="skin-contact",
                severity=caution.weight,
                where=metal.name,
                problem=caution.text,
                remedy=TO_THE_SKIN[caution.weight],
                source_key=caution.source_key,
            )
