"""Options that several commands share, each said once."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, NamedTuple, ParamSpec

import click

from handwheel.domain.wording import English, UnitsShown

Given = ParamSpec("Given")

_PLAIN = click.option("--plain", is_flag=True, help="No colour, even on a terminal.")

_SHOW = click.option(
    "--show",
    type=click.Choice([shown.value for shown in UnitsShown]),
    envvar="HANDWHEEL_SHOW",
    help="Unit of lengths; without it as the shop file says, or both. What is set keeps its instrument's unit.",
)
_WORDS = click.option(
    "--words",
    type=click.Choice([english.value for english in English]),
    envvar="HANDWHEEL_WORDS",
    help="Whose words; without it as the shop file says, or British. Names of yours stay.",
)


class Wanted(NamedTuple):
    """How a text is wanted: its unit and words, nothing where the shop file has the say; without colour or not."""

    show: str | None
    words: str | None
    plain: bool


def with_wishes(command: Callable[Concatenate[Wanted, Given], int]) -> Callable[Given, int]:
    """Give a command ``--show``, ``--words`` and ``--plain``; it gets all three as one, before all else."""
    return _SHOW(_WORDS(_PLAIN(_gathered(command))))


def with_wording(command: Callable[Concatenate[Wanted, Given], int]) -> Callable[Given, int]:
    """Give a command that never prints in colour ``--show`` and ``--words``, as `with_wishes` does."""
    return _SHOW(_WORDS(_gathered(command)))


def _gathered(command: Callable[Concatenate[Wanted, Given], int]) -> Callable[Given, int]:
    @wraps(command)
    def asked(*args: Given.args, **given: Given.kwargs) -> int:
        rest = dict(given)
        show, words, plain = rest.pop("show"), rest.pop("words"), rest.pop("plain", True)
        wanted = Wanted(show=_text(show), words=_text(words), plain=bool(plain))
        return command(wanted, *args, **rest)  # type: ignore[arg-type]  # what was taken out is not the command's

    return asked


def _text(value: object) -> str | None:
    return value if isinstance(value, str) else None
