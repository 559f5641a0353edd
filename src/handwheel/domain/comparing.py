"""Plans for one part side by side: what was asked of each, what it uses, costs, bears and warns of."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from handwheel.domain.findings import Finding
from handwheel.domain.plan import Plan


class Asked(Enum):
    """What an option is."""

    BEST = "best plan"
    BAR = "another bar"
    HOLDING = "another holding"
    GENTLER = "gentler"


class BarAccount(Struct, frozen=True, kw_only=True):
    """What a part costs in metal.

    Parameters
    ----------
    bar : str
        Id of the bar.
    each_mm : float
        Length of bar that each part takes, with blade and facing on both sides. [mm]
    parts : int
        Parts that the whole bar gives.
    chip_share : float
        Share of the metal taken for a part that turns to chips. [1]
    mass_g : tuple of float
        Mass of the metal taken for a part, least and greatest: the density is a range. [g]
    """

    bar: str
    each_mm: float
    parts: int
    chip_share: float
    mass_g: tuple[float, float]


class HeldAccount(Struct, frozen=True, kw_only=True):
    """How the second side is held: by what, on which surface, how true it runs, what lobes it leaves. [mm]

    ``turned`` is whether the lathe cuts there: a ring that is rubbed on a plate does not run.
    """

    holding: str
    kind: str
    name: str
    gripped_surface: str
    runout_mm: float
    lobes_mm: float
    turned: bool


class CutForce(Struct, frozen=True, kw_only=True):
    """Greatest cutting force of a step that a tool of the toolpost cuts, upper end over the sources. [N]"""

    step: str
    force_n: float


class LimitLoad(Struct, frozen=True, kw_only=True):
    """Greatest share of one limit that any step takes up, and which step that is. [1]"""

    limit: str
    share: float
    step: str


class Account(Struct, frozen=True, kw_only=True):
    """What a plan uses, costs and bears.

    ``cost_ms`` is what the search proved least (or found), the other times are those of the written sheet. [ms]
    ``tools`` are ids in the order of first use; ``cautions`` are the texts that stand before the acts, each once;
    ``edges`` those of turning, boring and parting tools that one part uses up.
    """

    bar: BarAccount
    held: tuple[HeldAccount, ...]
    tools: tuple[str, ...]
    steps: int
    acts: int
    cost_ms: int
    proven: bool
    ready_ms: int
    cutting_ms: int
    measuring_ms: int
    forces: tuple[CutForce, ...]
    loads: tuple[LimitLoad, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[str, ...]
    edges: float = 0.0

    @property
    def total_ms(self) -> int:
        """Time of the whole sheet. [ms]"""
        return self.ready_ms + self.cutting_ms + self.measuring_ms

    @property
    def hardest(self) -> CutForce | None:
        """Cut with the greatest force."""
        return max(self.forces, key=lambda cut: cut.force_n, default=None)


class Option(Struct, frozen=True, kw_only=True):
    """One plan to choose, or why there is none.

    ``demand`` is what was asked in words, ``reason`` why there is no such plan. What comes and goes is against the best
    plan: findings by code and place, cautions by text.
    """

    asked: Asked
    demand: str
    plan: Plan | None = None
    account: Account | None = None
    reason: str = ""
    findings_come: tuple[Finding, ...] = ()
    findings_go: tuple[Finding, ...] = ()
    cautions_come: tuple[str, ...] = ()
    cautions_go: tuple[str, ...] = ()


class Comparison(Struct, frozen=True, kw_only=True):
    """The best plan for a part in a shop, and others beside it, in the order in which they are numbered from 1."""

    part: str
    shop: str
    options: tuple[Option, ...]

    @property
    def best(self) -> Option:
        """The plan that ``handwheel plan`` gives."""
        return self.options[0]
