"""The command ``diagnose``: from something that is wrong at the lathe to what to check first."""

from __future__ import annotations

from pathlib import Path

import click

from handwheel.cli.completion import PLAN_FILE, TOML_FILE, steps_of_plan
from handwheel.cli.options import Wanted, with_wishes
from handwheel.cli.terminal import BOOK_STYLES, TERMINAL_WIDTH, sheet_columns, show

OK = 0


@click.command(short_help="Say what to check first when something is wrong.")
@click.argument("plan_file", metavar="PLAN", required=False, type=PLAN_FILE)
@click.argument("symptom", required=False, default="")
@click.option("--shop", type=TOML_FILE, help="Shop file (TOML) that the plan was made for.")
@click.option(
    "--step",
    metavar="N|ID",
    shell_complete=steps_of_plan,
    help="Step of the sheet at which it is wrong, by its number or id.",
)
@click.option(
    "--evidence", metavar="KEY=VALUE", multiple=True, help="What was measured or answered; as often as you like."
)
@click.option("--list", "listed", is_flag=True, help="List the symptoms and what can be given as evidence.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
@with_wishes
def diagnose(
    wanted: Wanted,
    plan_file: Path | None,
    symptom: str,
    shop: Path | None,
    step: str | None,
    evidence: tuple[str, ...],
    *,
    listed: bool,
    as_json: bool,
) -> int:
    """Say what to check first when something is wrong, with the numbers of this job.

    PLAN is a plan.json; SYMPTOM one of those that --list shows: taper, chatter, torn-finish, pip ... The causes come
    in the order in which to check them: first what can explain it by this job's numbers, the quickest check before
    others; last, with the reason, what is too small or was answered away. What was typed as --evidence goes before
    what was planned: taper="0.05 mm", rpm=540, edge_loaded=yes.
    """
    from handwheel.service import diagnosing

    width = TERMINAL_WIDTH if as_json else sheet_columns()
    if listed:
        if plan_file is not None or symptom or evidence:
            msg = "--list goes alone: it shows what can be asked"
            raise click.UsageError(msg)
        text = (
            diagnosing.symptoms_json()
            if as_json
            else diagnosing.symptoms_text(width=width, show=wanted.show, words=wanted.words)
        )
        show(text, plain=wanted.plain or as_json, styles=BOOK_STYLES)
        return OK
    if plan_file is None or not symptom or shop is None or step is None:
        if symptom:
            diagnosing.require_symptom(symptom)
        msg = "give PLAN, --shop, --step and SYMPTOM; --list shows the symptoms"
        raise click.UsageError(msg)
    text = diagnosing.diagnose_files(
        plan_file,
        shop,
        diagnosing.Complaint(step=step, symptom=symptom, evidence=evidence),
        as_json=as_json,
        width=width,
        show=wanted.show,
        words=wanted.words,
    )
    show(text, plain=wanted.plain or as_json, styles=BOOK_STYLES)
    return OK
