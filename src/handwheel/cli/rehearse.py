"""The command ``rehearse``: the chance that a plan gives a good part, on virtual lathes like the shop's."""

from __future__ import annotations

from pathlib import Path

import click

from handwheel.cli.beliefs import with_beliefs
from handwheel.cli.completion import PLAN_FILE, TOML_FILE
from handwheel.cli.options import Wanted, with_wishes
from handwheel.cli.progress import Progress
from handwheel.cli.terminal import BOOK_STYLES, sheet_columns, show

OK = 0
USUAL_LATHES = 10_000


@click.command(short_help="Rehearse a PLAN on virtual lathes: the chance of a good part.")
@click.argument("plan_file", metavar="PLAN", type=PLAN_FILE)
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) that the plan was made for.")
@with_beliefs
@click.option(
    "--lathes",
    metavar="N",
    type=click.IntRange(1),
    default=USUAL_LATHES,
    show_default=True,
    help="How many virtual lathes.",
)
@click.option(
    "--seed", metavar="N", type=click.IntRange(0), default=0, show_default=True, help="Settles which lathes they are."
)
@click.option("--good", metavar="K", type=click.IntRange(1), help="Good parts wanted; else as many as the part says.")
@click.option("--workers", metavar="N", type=click.IntRange(1), help="Processes that work; else one for each core.")
@click.option("--bounds", is_flag=True, help="Tell what the virtual lathes were like, and whose word that is.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
@with_wishes
def rehearse(  # noqa: PLR0913 - an argument for each option, as click hands them over
    wanted: Wanted,
    plan_file: Path,
    shop: Path,
    beliefs: Path | None,
    *,
    lathes: int,
    seed: int,
    good: int | None,
    workers: int | None,
    bounds: bool,
    as_json: bool,
) -> int:
    """Rehearse a PLAN on virtual lathes: the chance of a good part at the first try.

    PLAN is a plan.json. Each virtual lathe has marks, leads, gauges and angles as the shop file says, and faults that
    nobody at it knows: spring, a screw that is a little off, wear, warmth, misreadings. Told are the chance of a good
    part, the step that carries the risk, what would lower it most, and how many to make. The same seed and number give
    the same result on any computer's cores. It is no promise.
    """
    from handwheel.service import rehearsing

    with Progress() as said:
        said("rehearsing")
        plan, its_shop, made = rehearsing.rehearse_files(
            plan_file, shop, beliefs=beliefs, lathes=lathes, seed=seed, wanted=good, workers=workers, said=said
        )
    if as_json:
        show(rehearsing.rehearsal_json(made, plan), plain=True)
        return OK
    text = rehearsing.worded_rehearsal(
        made, plan, its_shop, width=sheet_columns(), bounds=bounds, show=wanted.show, words=wanted.words
    )
    show(text, plain=wanted.plain, styles=BOOK_STYLES)
    return OK
