"""The commands; each loads what it needs as it runs, so that all start fast."""

from __future__ import annotations

import errno
import os
import sys
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from handwheel import __version__
from handwheel.cli.beliefs import beliefs, with_beliefs
from handwheel.cli.bench import bench
from handwheel.cli.checkup import checkup
from handwheel.cli.completion import PLAN_FILE, TOML_FILE, completion, metals, steps_of_plan
from handwheel.cli.diagnose import diagnose
from handwheel.cli.draw import draw
from handwheel.cli.options import Wanted, with_wishes, with_wording
from handwheel.cli.progress import Progress
from handwheel.cli.rehearse import rehearse
from handwheel.cli.rescue import rescue
from handwheel.cli.shop import shop
from handwheel.cli.terminal import (
    BOOK_STYLES,
    COMPARISON_STYLES,
    REASON_STYLES,
    SHEET_STYLES,
    TERMINAL_WIDTH,
    columns,
    complain,
    make_output_safe,
    sheet_columns,
    show,
    show_table,
    tell,
    tell_written,
    told_columns,
)
from handwheel.domain.errors import HandwheelError, InputError, NoPlanError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from handwheel.domain.part import Part
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.service.files import Written
    from handwheel.service.jobs import CheckBeside, DemoJob

OK, REFUSED, UNUSABLE = 0, 1, 2
INTERRUPTED = 130
NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""The output has no room where it goes. Files that we write ourselves have an error of their own."""
NARROWEST = 40
"""Columns of a phone held upright."""
MOST_OPTIONS = 4
"""The best plan and three others beside it."""
PAPERS = ("a4", "letter")
TRACE = "--trace"

STATUS = """Exit status: 0 all is well; 1 there is no plan, or the check refuses it, or a finding forbids the job;
2 something given cannot be used (a file, an option, a folder), or handwheel itself is at fault."""

FAULT_OF_OURS = "this is a fault of handwheel, not yours. Please report it with your files and what `{again}` prints."

FOLDER = click.Path(file_okay=False, path_type=Path)


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog=STATUS,
)
@click.version_option(__version__, prog_name="handwheel")
@click.option(TRACE, is_flag=True, help="If handwheel itself fails, print where.")
def handwheel(*, trace: bool) -> None:
    """Plan small rings and ring-like parts for one manual lathe: every dial setting, in order.

    The sheet is help for somebody who has been shown how to use a lathe. Local rules, the makers' manuals and trained
    supervision come first.
    """
    del trace  # looked up where an exception ends, in `run`


@handwheel.command(short_help="Plan a PART: print the sheet, write plan.json.")
@click.argument("part", type=TOML_FILE)
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML): lathe, tools, bars, gauges.")
@click.option("--out", default=".", show_default=True, type=FOLDER, help="Folder for plan.json.")
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON instead of the sheet.")
@click.option("--pdf", is_flag=True, help="Write sheet.pdf for the lathe and desk.pdf for the desk too.")
@click.option("--paper", type=click.Choice(PAPERS), default=PAPERS[0], show_default=True, help="Paper of the PDFs.")
@click.option("--reasons", is_flag=True, help="With --pdf: the reason for each number too, in small print at the end.")
@click.option("--compare", is_flag=True, help="Show other plans beside the best one; write nothing.")
@click.option("--take", metavar="N", type=click.IntRange(1, MOST_OPTIONS), help="Take plan N of those --compare shows.")
@with_beliefs
@with_wishes
def plan(  # noqa: PLR0913 - an argument for each option, as click hands them over
    wanted: Wanted,
    part: Path,
    shop: Path,
    out: Path,
    *,
    as_json: bool,
    pdf: bool,
    paper: str,
    reasons: bool,
    compare: bool,
    take: int | None,
    beliefs: Path | None,
) -> int:
    """Plan a PART: print the sheet, write plan.json; with --pdf also what is to be printed.

    PART is a TOML file. The sheet is replayed on a model of the lathe first; one that does not pass is not given. An
    earlier, different plan.json in the folder is kept under another name. If there is no plan, what would make one
    possible is told, and with --json printed.

    What was learned at the lathe, in the beliefs file beside the shop file, stands in place of its figures.

    --compare shows beside the best plan (1) one on another bar (2), one that holds the ring another way (3) and one
    with gentler cuts (4), with what each costs; --take N then prints and writes that one.
    """
    from handwheel.service import jobs
    from handwheel.service.believing import believed_shop, with_believed
    from handwheel.service.papers_beside import PapersBeside
    from handwheel.service.wording import wording_of_part

    if compare and take is None:
        if pdf:
            msg = "--compare writes nothing to be printed: choose a plan with --take"
            raise click.UsageError(msg)
        _compare(part, shop, beliefs, wanted, as_json=as_json)
        return OK
    if not pdf and (reasons or _is_given("paper")):
        msg = "--paper and --reasons say how the PDFs are to be: give --pdf too"
        raise click.UsageError(msg)
    with PapersBeside(paper=paper if pdf else None, reasons=reasons) as papers:
        its_part, shop_of_file = jobs.read_both(part, shop, beliefs=beliefs)
        learned = believed_shop(its_part, shop_of_file, shop, given=beliefs)
        its_shop = learned.shop
        wording = wording_of_part(its_part, its_shop, show=wanted.show, words=wanted.words)
        with jobs.check_beside(its_shop) as check:
            with _refusal_shown(wording.of, as_json=as_json), Progress() as said:
                made = with_believed(_planned(its_part, its_shop, take, check, said), learned)
            papers.hand_over(made, its_shop, wording)
            stored = jobs.plan_text(made)
            sheet = jobs.print_sheet(made, its_shop, width=sheet_columns(), wording=wording) if not as_json else stored
            with Progress() as said:
                said(jobs.REPLAYING)
                report = check.report()
        if not report.ok:
            complain(_failed_own_check(jobs.told_refusals(report, made, its_shop, wording)))
            return REFUSED
        _write_then_show(
            lambda: jobs.write_planned(stored, out, papers=papers),
            sheet,
            plain=wanted.plain or as_json,
        )
    stops = [wording.of(line) for line in jobs.stop_lines(made)]
    complain(stops)
    return REFUSED if stops else OK


def _is_given(option: str) -> bool:
    """Whether an option was typed, not left at its default."""
    return click.get_current_context().get_parameter_source(option) is click.core.ParameterSource.COMMANDLINE


def _planned(part: Part, shop: Shop, take: int | None, check: CheckBeside, said: Progress) -> Plan:
    """Plan a part, or make the plan of that number among those that are compared; its check is begun, and not over."""
    if take is None:
        from handwheel.service.jobs import plan_unchecked

        return plan_unchecked(part, shop, check, said=said)
    from handwheel.service.comparing import take_plan

    made = take_plan(part, shop, take, said=said)
    check.begin(made.sheet)
    return made


def _compare(part: Path, shop: Path, beliefs: Path | None, wanted: Wanted, *, as_json: bool) -> None:
    """Print plans side by side, or below each other where the terminal is narrow."""
    from handwheel.service import comparing
    from handwheel.service.believing import believed_shop
    from handwheel.service.jobs import read_both
    from handwheel.service.wording import wording_of_part

    wished, shop_of_file = read_both(part, shop, beliefs=beliefs)
    its_shop = believed_shop(wished, shop_of_file, shop, given=beliefs).shop
    wording = wording_of_part(wished, its_shop, show=wanted.show, words=wanted.words)
    with _refusal_shown(wording.of, as_json=as_json), Progress() as said:
        compared = comparing.compare_plans(wished, its_shop, said=said)
    if as_json:
        show(comparing.comparison_json(compared), plain=True)
        return
    width = columns(least=NARROWEST, most=TERMINAL_WIDTH)
    text = comparing.worded_comparison(compared, width=width, wording=wording)
    show(text, plain=wanted.plain, styles=COMPARISON_STYLES, whole_from=NARROWEST)


@contextmanager
def _refusal_shown(worded: Callable[[str], str], *, as_json: bool) -> Iterator[None]:
    """Print a refusal to plan as JSON where that was asked, before it goes on to be told in words, worded as asked."""
    try:
        yield
    except NoPlanError as error:
        from handwheel.service.refusal_text import refusal_json, reworded

        if as_json:
            show(refusal_json(error.refusal), plain=True)
        raise NoPlanError(reworded(error.refusal, worded)) from None


@handwheel.command()
@click.argument("plan_file", metavar="PLAN", type=PLAN_FILE)
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) that the plan was made for.")
@with_wording
def check(wanted: Wanted, plan_file: Path, shop: Path) -> int:
    """Replay the sheet of a PLAN on a model of the lathe.

    PLAN is a plan.json. Says, act by act, what the machine would refuse, and where the cut shape leaves its limits.
    """
    from handwheel.service import jobs
    from handwheel.service.wording import wording_of

    with Progress() as said:
        said(jobs.REPLAYING)
        made, its_shop, report = jobs.check_job(plan_file, shop)
    wording = wording_of(made, its_shop, show=wanted.show, words=wanted.words)
    for line in jobs.size_lines(report, made.sheet.part.units, wording):
        show(f"{line}\n", plain=True)
    complain(jobs.told_refusals(report, made, its_shop, wording))
    if not report.ok:
        return REFUSED
    show(f"{len(made.sheet.acts)} acts replayed on {its_shop.lathe.name}: nothing refused\n", plain=True)
    return OK


@handwheel.command()
@click.argument("plan_file", metavar="PLAN", type=PLAN_FILE)
@click.argument("step", required=False, default="", shell_complete=steps_of_plan)
@click.option("--shop", required=True, type=TOML_FILE, help="Shop file (TOML) that the plan was made for.")
@click.option("--json", "as_json", is_flag=True, help="Print the reasons as JSON.")
@with_wishes
def explain(wanted: Wanted, plan_file: Path, step: str, shop: Path, *, as_json: bool) -> int:
    """Say why each number of a PLAN is what it is.

    PLAN is a plan.json. STEP is the number of a step (6) or of an act (6.20) on its sheet; without it the whole job is
    explained. Each figure comes with its rule, what went into it, whose word it is, how far it may be off, and what
    keeps it from being larger.
    """
    from handwheel.service.explaining import explain_files

    width = TERMINAL_WIDTH if as_json else sheet_columns()
    text = explain_files(plan_file, shop, of=step, as_json=as_json, width=width, show=wanted.show, words=wanted.words)
    show(text, plain=wanted.plain or as_json, styles=REASON_STYLES)
    return OK


@handwheel.command()
@click.option("--out", default="demo-out", show_default=True, type=FOLDER, help="Folder for plans and sheets.")
@with_wishes
def demo(wanted: Wanted, out: Path) -> int:
    """Plan three demo parts on two demo lathes.

    Prints the first sheet, writes all six with their plans. The part and shop files are written beside them, to be
    looked at and changed.
    """
    from handwheel.service import jobs
    from handwheel.service.wording import wording_of

    with Progress() as said:
        made = tuple(jobs.demo_jobs(said=said))
    for job in made:
        if not job.report.ok:
            worded = wording_of(job.plan, job.shop, show=wanted.show, words=wanted.words)
            complain(_failed_own_check(jobs.told_refusals(job.report, job.plan, job.shop, worded)))
    sound = tuple(job for job in made if job.report.ok)
    if sound:
        first = sound[0]
        wording = wording_of(first.plan, first.shop, show=wanted.show, words=wanted.words)
        text = jobs.print_sheet(first.plan, first.shop, width=sheet_columns(), wording=wording)
        _write_then_show(lambda: jobs.write_demo(sound, out), text, plain=wanted.plain)
    head = ("part", "lathe", "acts", "minutes", "order", "check")
    show_table(head, (_summary(job) for job in made), plain=wanted.plain)
    return OK if len(sound) == len(made) else REFUSED


@handwheel.command()
@click.argument("names", metavar="[NAME ...]", nargs=-1, shell_complete=metals)
@click.option("--part", type=TOML_FILE, help="Part file (TOML): what it weighs in these metals.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
@with_wishes
def metal(wanted: Wanted, names: tuple[str, ...], part: Path | None, *, as_json: bool) -> int:
    """Tell what is known of a metal, with the source of each claim.

    NAME is a key, a name or a standard number: ti_gr2, "mild steel", 1.4404, CW614N. Two or three are compared, what
    differs first. Without a name all metals are listed. The grade alone does not make a ring safe to wear.
    """
    from handwheel.service import metals as catalogue

    if as_json:
        show(catalogue.metals_json(names, part), plain=True)
        return OK
    text = catalogue.metals_text(names, part, width=sheet_columns(), show=wanted.show, words=wanted.words)
    show(text, plain=wanted.plain, styles=BOOK_STYLES)
    return OK


@handwheel.command(short_help="Look up a finger-ring size in every scale.")
@click.argument("text", nargs=-1)
@click.option(
    "--stick", "stick_file", type=TOML_FILE, help="Stick file (TOML): your own ring stick, measured mark by mark."
)
@click.option("--width", metavar="LENGTH", help="Width of the band: show what is said of bands that wide.")
@click.option("--relief", metavar="LENGTH", help="With --width: how far an eased inside opens at each edge.")
@click.option("--wide-band", metavar="CHOICE", help='Your allowance for a wide band, such as "+1/4 size" or "+0.2 mm".')
@click.option("--eased-bore", metavar="CHOICE", help='Your allowance for an eased bore, such as "-0.2 mm".')
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
@with_wishes
def size(
    wanted: Wanted,
    text: tuple[str, ...],
    stick_file: Path | None,
    width: str | None,
    relief: str | None,
    wide_band: str | None,
    eased_bore: str | None,
    *,
    as_json: bool,
) -> int:
    """Look up a finger-ring size: its diameter, and the nearest size of every scale with what it misses.

    TEXT is a size with its scale (US 7 1/4, UK N 1/2, ISO 54, JP 14, CH 14), a diameter (17.3 mm, 0.681in), or a
    circumference (54.4 mm around). With --stick a size without a scale is what was read off the stick, and no TEXT at
    all shows how far each mark is out. What can mean two things is asked back.
    """
    from handwheel.service import ring_size, ring_size_text

    stick = ring_size.read_stick_of(stick_file) if stick_file else None
    if stick is not None and not text:
        said = (
            ring_size_text.stick_json(stick)
            if as_json
            else ring_size_text.stick_text(stick, show=wanted.show, words=wanted.words)
        )
    else:
        question = ring_size.RingQuestion(
            text=" ".join(text), wide_band=wide_band, eased_bore=eased_bore, width=width, relief=relief
        )
        told = ring_size.answer(question, stick=stick)
        answered = partial(ring_size_text.answer_text, show=wanted.show, words=wanted.words)
        said = ring_size_text.answer_json(told) if as_json else answered(told)
    show(said, plain=wanted.plain or as_json, styles=BOOK_STYLES)
    return OK


@handwheel.command()
@click.argument("what", type=click.Choice(["plan", "part", "shop", "bench"]))
def schema(what: str) -> int:
    """Print the JSON Schema of a plan, a part file, a shop file, or the lines of bench --json.

    An editor that knows it shows what each key means and marks what does not fit as you type.
    """
    import json

    from handwheel.service.codec import plan_schema
    from handwheel.service.schemas.bench import bench_schema
    from handwheel.service.schemas.build import part_schema, shop_schema

    written = {"plan": plan_schema, "part": part_schema, "shop": shop_schema, "bench": bench_schema}[what]()
    show(json.dumps(written, indent=2, ensure_ascii=False) + "\n", plain=True)
    return OK


handwheel.add_command(bench)
handwheel.add_command(rehearse)
handwheel.add_command(shop)
handwheel.add_command(checkup)
handwheel.add_command(beliefs)
handwheel.add_command(draw)
handwheel.add_command(diagnose)
handwheel.add_command(rescue)
handwheel.add_command(completion)


def _summary(job: DemoJob) -> tuple[str, ...]:
    minutes = sum(time.setup_ms + time.cutting_ms + time.measuring_ms for time in job.plan.times) / 60_000
    return (
        job.part,
        job.lathe,
        str(len(job.plan.sheet.acts)),
        f"{minutes:.0f}",
        "proven least" if job.plan.proof.proven else "best found",
        "passed" if job.report.ok else "REFUSED",
    )


def _write_then_show(write: Callable[[], Iterable[Written]], text: str, *, plain: bool) -> None:
    """Write first, so that a closed pipe loses nothing; show in any case, so that a full disk loses nothing either."""
    failure = None
    written: list[Written] = []
    try:
        with Progress() as said:
            said("setting and writing the files")
            written.extend(write())
    except HandwheelError as error:
        failure = error
    show(text, plain=plain, styles=SHEET_STYLES)
    sys.stdout.flush()
    for file in written:
        tell_written(file)
    if failure is not None:
        raise failure


def _failed_own_check(refusals: Sequence[str]) -> tuple[str, ...]:
    first = "the sheet does not pass its own check and is not given; nothing was written"
    return (f"{first}; {FAULT_OF_OURS.format(again='handwheel plan')}", *refusals)


def run(arguments: Sequence[str]) -> int:
    """Run a command line; return the exit status, with every error told in words."""
    make_output_safe()
    try:
        status = handwheel.main(args=list(arguments), prog_name="handwheel", standalone_mode=False)
        sys.stdout.flush()
    except (Exception, KeyboardInterrupt) as error:  # noqa: BLE001 - the last resort: no traceback unasked
        return _told(error, arguments)
    return int(status or OK)


def _told(error: Exception | KeyboardInterrupt, arguments: Sequence[str]) -> int:
    """Tell of an error in words; return the exit status."""
    status = UNUSABLE
    match error:
        case click.Abort() | KeyboardInterrupt():
            tell("handwheel: stopped")
            status = INTERRUPTED
        case click.ClickException():
            error.show()
        case BrokenPipeError():
            _abandon_output()
            status = OK
        case HandwheelError():
            status = _say_wrong(error)
        case OSError() if error.errno in NO_ROOM:
            _abandon_output()
            complain(
                (f"the output could not be written whole ({error.strerror}): free some space, or send it elsewhere",)
            )
        case _:
            _say_fault(error, arguments)
    return status


def _say_fault(error: Exception, arguments: Sequence[str]) -> None:
    """Tell of an error that is ours, with its trace if that was asked for."""
    if TRACE in arguments:
        import traceback

        traceback.print_exception(error)
    again = f"handwheel {TRACE} {' '.join(argument for argument in arguments if argument != TRACE)}"
    complain((f"{type(error).__name__}: {error}: {FAULT_OF_OURS.format(again=again)}".replace("\n", " "),))


def _say_wrong(error: HandwheelError) -> int:
    """Tell an error in words; return the exit status. A refusal to plan is wrapped for a narrow terminal."""
    if not isinstance(error, NoPlanError):
        complain(error.problems if isinstance(error, InputError) else str(error).splitlines())
        return UNUSABLE
    from handwheel.service.refusal_text import refusal_lines

    first, *rest = refusal_lines(error.refusal, width=told_columns())
    complain((first,))
    for line in rest:
        tell(line)
    return REFUSED


def _abandon_output() -> None:
    """Send what is left nowhere: the reader has gone, and the interpreter would complain at its own end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def main() -> None:
    """Entry point of the program.

    Nothing is left to be done when a command has run, so the process ends at once: taking every module and object
    apart one by one would take a tenth of the time of a plan.
    """
    status = run(sys.argv[1:])
    with suppress(OSError):  # what could not be shown has been told of, or nobody is there to read it
        sys.stdout.flush()
        sys.stderr.flush()
    os._exit(status)
