"""Refusal: why there is no plan, and what would make one possible."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.remedies import Remedy


class Trouble(Struct, frozen=True, kw_only=True):
    """One thing that was tried and why it failed.

    ``code`` is the stable name of its kind (`docs/refusals.md` has a section for each), ``where`` the step, holding or
    place of the shop, ``remedy`` what would help in words, ``remedies`` whole things that would, each on its own.
    """

    code: str
    where: str
    tried: str
    why: str
    remedy: str = ""
    remedies: tuple[Remedy, ...] = ()


class Refusal(Struct, frozen=True, kw_only=True):
    """Why a part cannot be planned in a shop.

    Parameters
    ----------
    head : str
        Which part, which shop.
    troubles : tuple of Trouble
        What was tried and failed, the nearest to a plan first.
    remedies : tuple of Remedy
        Together they give a plan: the planner has made one with them. Empty if none was found.
    might_help : tuple of Remedy
        Not tried to the end; given only where ``remedies`` is empty.
    tries : int
        How many times the planner tried anew.
    hazards : tuple of str
        Dangers of the metal that has to be confirmed before it is cut: said though there is no plan, for somebody may
        cut it all the same.
    """

    head: str
    troubles: tuple[Trouble, ...]
    remedies: tuple[Remedy, ...] = ()
    might_help: tuple[Remedy, ...] = ()
    tries: int = 0
    hazards: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes of the troubles, each once, in their order."""
        return tuple(dict.fromkeys(trouble.code for trouble in self.troubles))
