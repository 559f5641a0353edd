"""The command ``checkup``: trials that measure this lathe."""

from __future__ import annotations

from pathlib import Path

import click

from handwheel.cli.completion import TOML_FILE
from handwheel.cli.options import Wanted, with_wishes
from handwheel.cli.terminal import BOOK_STYLES, complain, sheet_columns, show, tell, tell_written

OK, REFUSED = 0, 1


@click.command(short_help="Measure your lathe: trials, and what they say.")
@click.argument("trial", required=False, default="")
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) of the lathe.")
@click.option("--enter", metavar="KEY=VALUE", multiple=True, help="What you read; again, or 20.02; 20.03, for repeats.")
@click.option("--write", is_flag=True, help="With --enter: change the shop file; comments stay.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@with_wishes
def checkup(wanted: Wanted, trial: str, shop: Path, enter: tuple[str, ...], *, write: bool, as_json: bool) -> int:
    """Measure your lathe: list the trials, explain one TRIAL, or judge what you read in it.

    Without TRIAL every trial is listed, with what it gives and why it matters in this shop. With TRIAL alone it says
    what to do, step by step, and what to enter. With --enter it judges the readings: value, spread, what they cannot
    tell, and what would change in the shop file; --write makes those changes. What can mean two things is asked back,
    and then nothing is changed (exit status 1).
    """
    from handwheel.service import checkup as check
    from handwheel.service import checkup_text as told

    if (enter or write) and not trial:
        msg = "--enter and --write go with a TRIAL"
        raise click.UsageError(msg)
    if write and not enter:
        msg = "--write goes with --enter: there is nothing to write yet"
        raise click.UsageError(msg)
    plain = wanted.plain or as_json
    wishes = {"show": wanted.show, "words": wanted.words}
    if enter:
        return _judge(wanted, trial, shop, enter, write=write, as_json=as_json)
    if trial:
        chosen, its_shop = check.trial_for(trial, shop)
        text = told.trial_json(chosen, its_shop) if as_json else ""
        text = text or told.trial_text(chosen, its_shop, width=sheet_columns(), **wishes)
    else:
        its_shop, rows = check.listed(shop)
        text = told.list_json(rows) if as_json else told.list_text(its_shop, rows, width=sheet_columns(), **wishes)
    show(text, plain=plain, styles=BOOK_STYLES)
    return OK


def _judge(wanted: Wanted, trial: str, shop: Path, enter: tuple[str, ...], *, write: bool, as_json: bool) -> int:
    """Judge readings, show what they say, and write what they change if that was asked."""
    from datetime import datetime

    from handwheel.service import checkup as check
    from handwheel.service import checkup_text as told

    date = datetime.now().astimezone().date().isoformat()
    found = check.judge(trial, shop, enter)
    text = told.outcome_json(found, date=date) if as_json else told.outcome_text(
        found, date=date, width=sheet_columns(), show=wanted.show, words=wanted.words
    )  # fmt: skip
    show(text, plain=wanted.plain or as_json, styles=BOOK_STYLES)
    if found.outcome.questions:
        complain(("a question stands before the result: nothing was written",) if write else ())
        return REFUSED
    if write:
        written = check.write(found, shop)
        if written is None:
            tell("the shop file has no key for that: nothing in it changes")
        else:
            tell_written(written)
    return OK
