"""The command ``beliefs``, and the option by which other commands are told of another beliefs file."""

from __future__ import annotations

from pathlib import Path

import click

from handwheel.cli.completion import TOML_FILE
from handwheel.cli.options import Wanted, with_wording
from handwheel.cli.terminal import show, tell_written

OK = 0

with_beliefs = click.option(
    "--beliefs",
    type=TOML_FILE,
    help="Beliefs file (TOML); without it the one beside the shop file, my-shop.beliefs.toml, if it is there.",
)


@click.command()
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) of the lathe.")
@with_beliefs
@click.option("--add", metavar="TEXT", multiple=True, help="Add a piece: 'QUANTITY: THING in METAL = VALUE +- SPREAD'.")
@click.option("--withdraw", metavar="N", type=int, multiple=True, help="Let piece N no longer count; it stays.")
@click.option("--restore", metavar="N", type=int, multiple=True, help="Let the withdrawn piece N count again.")
@click.option("--event", metavar="TEXT", multiple=True, help="Note what fades earlier evidence: 'KIND: THING'.")
@click.option("--drop-event", metavar="N", type=int, multiple=True, help="Take event N out: nothing fades by it.")
@click.option("--date", metavar="DAY", default="", help="Day of what is added, as 2026-11-30; today if not given.")
@click.option("--from", "what", metavar="TEXT", default="", help="Plan, step or check-up that a piece comes of.")
@click.option("--note", metavar="TEXT", default="", help="Remark beside what is added.")
@click.option("--json", "as_json", is_flag=True, help="Print the beliefs as JSON.")
@with_wording
def beliefs(  # noqa: PLR0913 - an argument for each option, as click hands them over
    wanted: Wanted,
    *,
    shop: Path,
    beliefs: Path | None,
    add: tuple[str, ...],
    withdraw: tuple[int, ...],
    restore: tuple[int, ...],
    event: tuple[str, ...],
    drop_event: tuple[int, ...],
    date: str,
    what: str,
    note: str,
    as_json: bool,
) -> int:
    """Show what was learned at a lathe, or change it.

    Each belief comes with its spread, what was believed beforehand, its evidence, how old that is, and what it is used
    for. QUANTITY is one of: spring share, touch error, edge wear, drill oversize, lead error, slack, taper, angle
    error, gauge bias, gauge spread, runout, time, spindle speed, polish loss. KIND is one of: edge changed, drill
    ground, gib adjusted, screw or nut changed, lathe aligned, gauge reset, holding remade. Nothing is lost: what is
    withdrawn stays in the file, and an event that is taken out fades nothing any more.
    """
    from handwheel.service import beliefs as service

    edit = service.Edit(
        add=add,
        event=event,
        withdraw=withdraw,
        restore=restore,
        drop_event=drop_event,
        date=date,
        what=what,
        note=note,
    )
    if not edit.is_any and (date or what or note):
        msg = "--date, --from and --note go with --add or --event"
        raise click.UsageError(msg)
    if edit.is_any:
        tell_written(service.edit_beliefs(shop, edit, given=beliefs))
    text = (
        service.beliefs_json(shop, given=beliefs)
        if as_json
        else service.beliefs_text(shop, given=beliefs, show=wanted.show, words=wanted.words)
    )
    show(text, plain=True)
    return OK
