"""What to know before a metal is cut that nobody has named."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.materials import Material, material
from handwheel.data.unknown_metals import unknown_metals
from handwheel.domain.findings import Finding, Severity

LOWERED = (
    "nobody knows which metal of its group it is, so the plan keeps to the slowest speeds, the largest forces and the "
    "deepest least cut of all of these: {members}. For most of them it is slower than it need be, and it promises "
    "less: the metal may be another still"
)


def unknown_findings(metal: Material) -> Iterable[Finding]:
    """One finding for an unknown metal, none for a known one; a stop where it must not be cut before it has a name."""
    if not metal.is_unknown:
        return
    found = unknown_metals()[metal.key]
    names = "; ".join(material(member).name for member in found.members)
    not_yet = " Do not cut it before it has a name." if found.forbids else ""
    yield Finding(
        code="unknown-metal",
        severity=Severity.STOP if found.forbids else Severity.WARNING,
        where=metal.name,
        problem=f"{LOWERED.format(members=names)}. {found.suspicion}{not_yet}",
        remedy=f"{found.tell} Then write the metal's own name and plan again. Not to be worn on skin on trust.",
        source_key=found.source_key,
    )
