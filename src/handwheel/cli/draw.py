"""The command ``draw``: the part and every step of a plan as pictures."""

from __future__ import annotations

from pathlib import Path

import click

from handwheel.cli.completion import PLAN_FILE, TOML_FILE
from handwheel.cli.options import Wanted, with_wording
from handwheel.cli.progress import Progress
from handwheel.cli.terminal import complain, tell_written

OK, REFUSED = 0, 1
FORMATS = ("svg", "dxf", "pdf")


@click.command(short_help="Draw a PLAN: the part, set-ups and steps.")
@click.argument("plan_file", metavar="PLAN", type=PLAN_FILE)
@click.option(
    "--shop",
    required=True,
    type=TOML_FILE,
    help="Shop file (TOML) that the plan was made for.",
)
@click.option(
    "--out",
    default="drawings",
    show_default=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for the drawings.",
)
@click.option(
    "--format", "kind", type=click.Choice(FORMATS), default="svg", show_default=True, help="Kind of file to write."
)
@with_wording
def draw(wanted: Wanted, plan_file: Path, shop: Path, out: Path, kind: str) -> int:
    """Draw a PLAN: the part with its sizes, each set-up, each step with what it cuts away.

    PLAN is a plan.json. svg: part, every step by its number on the sheet, and a strip of the whole job. pdf: the same
    on A4. dxf: the part alone, in millimetres, at its own size. What is drawn is what the replay of the sheet leaves;
    a sheet that does not pass the check is not drawn.
    """
    from handwheel.service import drawings, jobs
    from handwheel.service.wording import wording_of

    with Progress() as said:
        said("replaying the sheet on a model of the lathe")
        made, its_shop, report = jobs.check_job(plan_file, shop)
    wording = wording_of(made, its_shop, show=wanted.show, words=wanted.words)
    if not report.ok:
        complain(jobs.told_refusals(report, made, its_shop, wording))
        return REFUSED
    with Progress() as said:
        said("drawing")
        written = drawings.write_drawings(made, its_shop, out, drawings.Format(kind), wording=wording)
    for file in written:
        tell_written(file)
    return OK
