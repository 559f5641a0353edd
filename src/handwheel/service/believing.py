"""Beliefs in the service: their file beside the shop file, the shop as believed, and plans that remember it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import UNSET, Struct
from msgspec.structs import replace

from handwheel.domain.errors import InputError, OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop

if TYPE_CHECKING:
    from handwheel.domain.beliefs import Beliefs, Believed
    from handwheel.domain.part import Part
    from handwheel.service.intake.trials import Trials

TRIAL_STEP_MM = 0.001
"""A loss by trial is told in whole steps of this, and never as none. [mm]"""
SUFFIX = ".beliefs.toml"
"""What the name of a beliefs file ends in, in place of the .toml of its shop file."""


class BelievedShop(Struct, frozen=True, kw_only=True):
    """A shop as its file has it, as it is believed to be, and what that changes; nothing, if nothing was learned."""

    of_file: Shop
    shop: Shop
    believed: Believed | None = None


def beliefs_path(shop_path: Path, given: Path | None = None) -> Path:
    """Where the beliefs of a shop are kept: in the file that is given, or else beside the shop file.

    Examples
    --------
    >>> beliefs_path(Path("my-shop.toml")).name
    'my-shop.beliefs.toml'
    """
    return given or shop_path.with_name(f"{shop_path.stem}{SUFFIX}")


def today() -> str:
    """The day by this computer's clock."""
    return date.today().isoformat()  # noqa: DTZ011 - the day on the wall of the shop


def read_learned(shop: Shop, path: Path, *, day: str | None = None) -> Beliefs:
    """Read what was learned at a shop; a file that is not there has learned nothing.

    Raises
    ------
    InputError
        If the file cannot be understood, or speaks of days that have not come yet.
    """
    from handwheel.domain.beliefs import Beliefs
    from handwheel.service.intake.beliefs_file import read_beliefs
    from handwheel.service.intake.text_file import read_text_file

    if not path.exists():
        return Beliefs(shop=shop)
    learned = read_beliefs(read_text_file(path), name=path.name)
    try:
        return Beliefs(shop=shop, learned=learned, today=day or today())
    except OutOfRangeError as error:
        raise InputError((f"{path.name}: {error}",)) from None


def believed_shop(
    part: Part | None, shop: Shop, shop_path: Path, *, given: Path | None = None, day: str | None = None
) -> BelievedShop:
    """The shop as what was learned at it says it is; as its file has it if nothing was.

    Raises
    ------
    InputError
        If the beliefs file cannot be understood, or one that is named is not there.
    """
    path = beliefs_path(shop_path, given)
    if not path.exists():
        if given is not None:
            raise InputError((f"{path.name}: is not there; check the name and the folder",))
        return BelievedShop(of_file=shop, shop=shop)
    from handwheel.bench.learning.overlay import shop_with_beliefs

    laid_over, believed = shop_with_beliefs(read_learned(shop, path, day=day), part)
    return BelievedShop(of_file=shop, shop=laid_over, believed=believed)


def trials_of(shop: Shop, shop_path: Path, *, given: Path | None = None, day: str | None = None) -> Trials:
    """What finishes take off metals by the trials of a shop, in whole micrometres; asked of when a part wants it."""

    def taken_mm(finish: str, metal: str) -> Fraction | None:
        from handwheel.bench.learning.believing import believed
        from handwheel.domain.beliefs import About, Quantity

        beliefs = read_learned(shop, beliefs_path(shop_path, given), day=day)
        try:
            value, _ = believed(beliefs, Quantity.POLISH_LOSS, About(thing=finish, metal=metal))
        except OutOfRangeError:
            return None
        return Fraction(max(round(value / TRIAL_STEP_MM), 1), round(1 / TRIAL_STEP_MM))

    return taken_mm


def with_believed(plan: Plan, shop: BelievedShop) -> Plan:
    """A plan made for a shop as believed, with what it took from beliefs; it goes by the shop file of the same shop."""
    if shop.believed is None:
        return plan
    from handwheel.bench.learning.told import belief_findings, belief_reasons
    from handwheel.planner.uses import used_of_shop

    units = plan.sheet.part.units
    return replace(
        plan,
        uses=used_of_shop(plan.sheet, shop.of_file),
        believed=shop.believed,
        reasons=(*plan.reasons, *belief_reasons(shop.believed, units)),
        findings=(*plan.findings, *belief_findings(shop.believed, units)),
    )


def shop_of_plan(plan: Plan, shop: Shop) -> Shop:
    """The shop of a file as a plan took it: with the figures that it holds from beliefs, whatever was learned since."""
    if plan.believed is UNSET:
        return shop
    from handwheel.bench.learning.overlay import shop_with_changes

    return shop_with_changes(shop, plan.believed.changes)
