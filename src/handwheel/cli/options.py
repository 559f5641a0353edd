"""Options that several commands share, each said once."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, NamedTuple, ParamSpec

import click

from handwheel.domain.wording import English, UnitsShown

Given = ParamSpec("Given")

PLAIN = click.option("--plain", is_flag=True, help="No colour, even on a terminal.")

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
    """Unit and words that were asked for; nothing where the shop file has the say."""

    show: str | None = None
    words: str | None = None


def with_wording(command: Callable[Concatenate[Wanted, Given], int]) -> Callable[Given, int]:
    """Give a command the options ``--show`` and ``--words``; it gets both as one, before all else."""

    @_SHOW
    @_WORDS
    @wraps(command)
    def asked(*args: Given.args, **given: Given.kwargs) -> int:
        rest = dict(given)
        wanted = Wanted(show=_text(rest.pop("show")), words=_text(rest.pop("words")))
        return command(wanted, *args, **rest)  # type: ignore[arg-type]  # the two that were taken out are not the command's

    return asked


def _text(value: object) -> str | None:
    return value if isinstance(value, str) else None
