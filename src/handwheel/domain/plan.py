"""A plan: the steps, the sheet of acts, what was proven, why each number, what to know."""

from enum import Enum

from msgspec import UNSET, Struct, UnsetType

from handwheel.domain.acts import Act
from handwheel.domain.believed import Believed
from handwheel.domain.contour import Point
from handwheel.domain.findings import Finding, Proof, Reason
from handwheel.domain.part import Part

PLAN_SCHEMA = 1


class Stage(Enum):
    """Which stage of making a surface a step is."""

    ROUGH = "rough"
    FINISH = "finish"
    WHOLE = "whole"


class Zone(Struct, frozen=True, kw_only=True):
    """A region of the half section (part frame, polygon) and the surface that its removal leaves. [mm]"""

    id: str
    surface: str
    region: tuple[Point, ...]


class Step(Struct, frozen=True, kw_only=True):
    """One step: which zones it removes, at which stage, what must be done before, in which truth group.

    ``kind`` names the maker that knows it (``"face"``, ``"turn"``, ``"drill"``, ``"bore"``, ``"edge"``, ``"groove"``,
    ``"part"`` ...), so that a new kind needs no change elsewhere. ``leaves_mm`` is the allowance left on the surface,
    as a thickness. ``after`` lists step ids. An ``optional`` step only helps others (a groove that makes room).
    """

    id: str
    kind: str
    surface: str
    stage: Stage
    zones: tuple[Zone, ...]
    leaves_mm: float = 0.0
    after: tuple[str, ...] = ()
    truth_group: str | None = None
    optional: bool = False


class Sheet(Struct, frozen=True, kw_only=True):
    """The ordered acts, with the part that they must leave. Nothing else is needed to check or to do the job."""

    part: Part
    shop: str
    acts: tuple[Act, ...]


class StepTime(Struct, frozen=True, kw_only=True):
    """Estimated time of one step and of what leads up to it. [ms]"""

    step: str
    title: str
    setup_ms: int
    cutting_ms: int
    measuring_ms: int


class Plan(Struct, frozen=True, kw_only=True):
    """A whole plan. ``id`` is the hash of the part, of what is used of the shop, and of program and table versions.

    ``uses`` is the hash of what it uses of the shop file. ``believed`` is what it took from beliefs in place of that,
    if anything; then ``id`` is of the figures as believed, and ``uses`` still of those of the file.
    """

    id: str
    program: str
    uses: str
    steps: tuple[Step, ...]
    sheet: Sheet
    proof: Proof
    times: tuple[StepTime, ...]
    reasons: tuple[Reason, ...]
    findings: tuple[Finding, ...]
    parent: str = ""
    schema: int = PLAN_SCHEMA
    believed: Believed | UnsetType = UNSET
