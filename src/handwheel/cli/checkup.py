"""The command ``checkup``: trials that measure this lathe."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from handwheel.cli.beliefs import with_beliefs
from handwheel.cli.completion import TOML_FILE
from handwheel.cli.options import Wanted, with_wishes
from handwheel.cli.terminal import BOOK_STYLES, complain, sheet_columns, show, tell, tell_written

if TYPE_CHECKING:
    from handwheel.service.checkup import Judged

OK, REFUSED = 0, 1


@click.command(short_help="Measure your lathe: trials, and what they say.")
@click.argument("trial", required=False, default="")
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) of the lathe.")
@click.option("--enter", metavar="KEY=VALUE", multiple=True, help="What you read; again, or 20.02; 20.03, for repeats.")
@click.option("--write", is_flag=True, help="With --enter: change shop file and beliefs file; comments stay.")
@with_beliefs
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@with_wishes
def checkup(
    wanted: Wanted,
    trial: str,
    shop: Path,
    enter: tuple[str, ...],
    beliefs: Path | None,
    *,
    write: bool,
    as_json: bool,
) -> int:
    """Measure your lathe: list the trials, explain one TRIAL, or judge what you read in it.

    Without TRIAL every trial is listed, with what it gives and why it matters in this shop. With TRIAL alone it says
    what to do, step by step, and what to enter. With --enter it judges the readings: value, spread, what they cannot
    tell, and what would change in shop file and beliefs file; --write makes
    those changes. What can mean two things is asked back,
    and then nothing is changed (exit status 1).
    """
    from handwheel.service import checkup as check
    from handwheel.service import checkup_text as told
    from handwheel.service.believing import today

    if (enter or write) and not trial:
        msg = "--enter and --write go with a TRIAL"
        raise click.UsageError(msg)
    if write and not enter:
        msg = "--write goes with --enter: there is nothing to write yet"
        raise click.UsageError(msg)
    plain = wanted.plain or as_json
    wishes = {"show": wanted.show, "words": wanted.words}
    if enter:
        found, day = check.judge(trial, shop, enter), today()
        text = (
            told.outcome_json(found, date=day)
            if as_json
            else told.outcome_text(found, date=day, width=sheet_columns(), **wishes)
        )
        show(text, plain=plain, styles=BOOK_STYLES)
        return _kept(found, shop, beliefs, day=day, write=write)
    if trial:
        chosen, its_shop = check.trial_for(trial, shop)
        text = told.trial_json(chosen, its_shop) if as_json else ""
        text = text or told.trial_text(chosen, its_shop, width=sheet_columns(), **wishes)
    else:
        its_shop, rows = check.listed(shop)
        text = told.list_json(rows) if as_json else told.list_text(its_shop, rows, width=sheet_columns(), **wishes)
    show(text, plain=plain, styles=BOOK_STYLES)
    return OK


def _kept(found: Judged, shop: Path, beliefs: Path | None, *, day: str, write: bool) -> int:
    """Write what a trial says into shop file and beliefs file if that was asked; nothing while it asks."""
    from handwheel.service import checkup as check

    if found.outcome.questions:
        complain(("a question stands before the result: nothing was written",) if write else ())
        return REFUSED
    if not write:
        return OK
    written = (check.believe(found, shop, date=day, given=beliefs), check.write(found, shop))
    for file in written:
        if file is not None:
            tell_written(file)
    if written == (None, None):
        tell("neither shop file nor beliefs file has a key for that: nothing changes")
    return OK
