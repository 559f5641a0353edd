"""How texts are worded, from the words by which somebody chooses."""

from __future__ import annotations

from enum import Enum
from typing import TypeVar

from handwheel.domain.errors import InputError
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.wording import English, UnitsShown
from handwheel.report.wording import Wording, own_names, wording_for_part

Choice = TypeVar("Choice", bound=Enum)


def wording_of(plan: Plan, shop: Shop, *, show: str | None, words: str | None) -> Wording:
    """How the papers of a plan are worded; see `wording_of_part`."""
    return wording_of_part(plan.sheet.part, shop, show=show, words=words)


def wording_of_part(part: Part, shop: Shop, *, show: str | None, words: str | None) -> Wording:
    """How what is told of a part in a shop is worded: ``mm``, ``inch`` or ``both``, ``british`` or ``american``.

    What is not said is as the shop file says.

    Raises
    ------
    InputError
        If there is no such unit, or there are no such words.
    """
    chosen, english = _chosen("show", show, UnitsShown), _chosen("words", words, English)
    return wording_for_part(part, shop, shown=chosen, english=english)


def wording_of_shop(shop: Shop, *, show: str | None, words: str | None) -> Wording:
    """How what is told of a shop is worded: as asked for, else as its file says; its own names stay.

    Raises as `wording_of` does.
    """
    chosen, english = _chosen("show", show, UnitsShown), _chosen("words", words, English)
    return Wording(
        shown=shop.show if chosen is None else chosen,
        english=shop.words if english is None else english,
        names=tuple(dict.fromkeys(own_names(shop))),
    )


def wording_without_shop(*named: object, show: str | None, words: str | None) -> Wording:
    """How texts are worded that belong to no shop; names in what is ``named`` stay. Raises as `wording_of` does."""
    return Wording(
        shown=_chosen("show", show, UnitsShown) or UnitsShown.BOTH,
        english=_chosen("words", words, English) or English.BRITISH,
        names=tuple(dict.fromkeys(name for thing in named for name in own_names(thing))),
    )


def _chosen(name: str, value: str | None, kind: type[Choice]) -> Choice | None:
    if value is None:
        return None
    try:
        return kind(value)
    except ValueError:
        known = ", ".join(str(one.value) for one in kind)
        raise InputError((f"{name}: {value!r} is not known; give one of {known}",)) from None
