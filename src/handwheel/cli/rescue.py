"""The command ``rescue``: what a part can still become when a size of it has missed its limits."""

from __future__ import annotations

from pathlib import Path

import click

from handwheel.cli.completion import PLAN_FILE, TOML_FILE
from handwheel.cli.options import Wanted, with_wishes
from handwheel.cli.terminal import BOOK_STYLES, TERMINAL_WIDTH, sheet_columns, show

OK = 0


@click.command(short_help="Say what can be saved when a size has missed its limits.")
@click.argument("plan_file", metavar="PLAN", type=PLAN_FILE)
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) that the plan was made for.")
@click.option("--surface", required=True, metavar="NAME", help="Surface whose size it is: bore, outside, width ...")
@click.option("--size", required=True, metavar="LENGTH", help="Size that is there, as measured.")
@click.option(
    "--uncertainty",
    metavar="LENGTH",
    help="How far off that may be to either side; without it as the gauge on the sheet is trusted.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
@with_wishes
def rescue(
    wanted: Wanted,
    plan_file: Path,
    shop: Path,
    surface: str,
    size: str,
    uncertainty: str | None,
    *,
    as_json: bool,
) -> int:
    """Say what can be saved when a size has missed its limits, or too little metal is left for a cut.

    PLAN is a plan.json. The ways out come in the order in which to look at them: what takes no metal first, a new part
    last. Each has what to ask first, what it needs and costs. Nothing is decided for you: limits count as kept only
    with the uncertainty to spare, and what the drawing says is for its owner to change.
    """
    from handwheel.service import saving

    text = saving.rescue_files(
        plan_file,
        shop,
        saving.Missed(surface=surface, size=size, uncertainty=uncertainty),
        as_json=as_json,
        width=TERMINAL_WIDTH if as_json else sheet_columns(),
        show=wanted.show,
        words=wanted.words,
    )
    show(text, plain=wanted.plain or as_json, styles=BOOK_STYLES)
    return OK
