"""One function for each thing a user can do: plan, check a plan, plan the demo, print and keep a plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec
from msgspec import Struct

from handwheel.check.report import CheckReport
from handwheel.domain.errors import HandwheelError, InputError
from handwheel.domain.findings import Severity
from handwheel.domain.part import Part, Units
from handwheel.domain.plan import Plan, Sheet
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from handwheel.service.advising import advised
from handwheel.service.believing import shop_of_plan, trials_of
from handwheel.service.beside import Beside
from handwheel.service.codec import plan_from_json, plan_to_json, sheet_from_json, sheet_reader, sheet_to_json
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.files import Written, read_plan_text, write_whole
from handwheel.service.intake.part_file import read_part, read_part_file
from handwheel.service.intake.shop_file import read_shop, read_shop_file
from handwheel.service.papers_beside import PapersBeside

if TYPE_CHECKING:
    from handwheel.report.wording import Wording

PLAN_FILE = "plan.json"
SHEET_FILE = "sheet.txt"
MOST_REFUSALS = 20
"""More are counted, not told: the first ones usually cause the rest."""

FAILED_CHECK = "does not pass its own check and is not given; this is a fault of handwheel: report it"
REPLAYING = "replaying the sheet on a model of the lathe"
Said = Callable[[str], None]
"""Is told what is being done."""

Checked = tuple[Plan, Shop, CheckReport]
"""A plan, the shop it is for, and what the check of its sheet found."""


class FailedCheckError(HandwheelError, RuntimeError):
    """A plan was made whose sheet does not pass the check, so it is not given: a fault of handwheel, to be reported."""


class DemoJob(Struct, frozen=True, kw_only=True):
    """One of the demo parts planned on one of the demo lathes."""

    part: str
    lathe: str
    plan: Plan
    shop: Shop
    report: CheckReport

    @property
    def name(self) -> str:
        """Name of its folder, such as ``bush-inch-lathe``."""
        return f"{self.part}-{self.lathe}"


def plan_job(part_path: Path, shop_path: Path, *, said: Said | None = None) -> Checked:
    """Read a part and a shop, plan, and check the sheet; ``said`` is told what is being done.

    Raises
    ------
    InputError
        If a file cannot be understood; holds every problem found in it.
    NoPlanError
        If no order of cuts reaches the part with this shop.
    """
    return plan_for(*read_both(part_path, shop_path), said=said)


def read_both(part_path: Path, shop_path: Path, *, beliefs: Path | None = None) -> tuple[Part, Shop]:
    """Read a part and a shop; raises `InputError` with every problem of both files.

    What the part takes from trials is looked up in the beliefs of the shop: the file that is given, or the one beside
    the shop file.
    """
    problems: list[str] = []
    part, shop = None, None
    try:
        shop = read_shop_file(shop_path)
    except InputError as error:
        problems += error.problems
    try:
        part = read_part_file(part_path, trials=None if shop is None else trials_of(shop, shop_path, given=beliefs))
    except InputError as error:
        problems[:0] = error.problems
    if part is None or shop is None:
        raise InputError(tuple(problems))
    return part, shop


def plan_for(part: Part, shop: Shop, *, said: Said | None = None) -> Checked:
    """Plan a part in a shop, with advice tables, and check the sheet; raises `NoPlanError` if there is no plan."""
    plan = advised(make_plan(part, shop, said=said), shop)
    if said is not None:
        said(REPLAYING)
    return plan, shop, check_sheet(plan.sheet, shop)


def plan_unchecked(part: Part, shop: Shop, check: CheckBeside, *, said: Said | None = None) -> Plan:
    """Plan a part in a shop, and have its sheet checked as soon as there is one; raises `NoPlanError` if there is none.

    The advice tables are made meanwhile: they move nothing, so that the check needs none of them. Nothing of the plan
    may be given before `CheckBeside.report` has told that its sheet passes.
    """
    return advised(make_plan(part, shop, said=said, written=check.begin), shop)


def check_sheet(sheet: Sheet, shop: Shop) -> CheckReport:
    """Replay a sheet on a model of the lathe, as `handwheel.check.replay.check_sheet` does, which is loaded for it."""
    from handwheel.check import replay

    return replay.check_sheet(sheet, shop)


class CheckBeside:
    """The check of one sheet in a second process, beside what else is to be done with the plan; see `Beside`.

    The check and the printing of a sheet each need the sheet, and nothing of each other.
    """

    def __init__(self, other: Beside) -> None:
        """Take what does the work."""
        self._other = other

    def begin(self, sheet: Sheet) -> None:
        """Begin to check a sheet."""
        self._other.ask(sheet_to_json(sheet))

    def report(self) -> CheckReport:
        """Wait for the outcome."""
        return msgspec.msgpack.decode(self._other.answer(), type=CheckReport)


@contextmanager
def check_beside(shop: Shop) -> Iterator[CheckBeside]:
    """Have a second process make ready to check a sheet for a shop, while this one makes it."""

    def checked(sheet: bytes) -> bytes:
        return msgspec.msgpack.encode(check_sheet(sheet_from_json(sheet), shop))

    with Beside(checked, ready=_make_ready) as other:
        yield CheckBeside(other)


def _make_ready() -> None:
    from handwheel.check.replay import make_ready

    make_ready()
    sheet_reader()


def require_passed(plan: Plan, report: CheckReport) -> None:
    """Raise `FailedCheckError` if the check refuses the sheet of a plan."""
    if not report.ok:
        msg = f"the sheet {FAILED_CHECK}: {'; '.join(refusal_lines(report, plan.sheet))}"
        raise FailedCheckError(msg)


def check_job(plan_path: Path, shop_path: Path) -> Checked:
    """Read a plan and a shop, and replay the plan's sheet on that shop.

    Raises
    ------
    InputError
        If a file cannot be understood, or the shop differs from the plan's in something that the plan uses.
    """
    plan, shop = read_for(plan_path, shop_path)
    return plan, shop, check_sheet(plan.sheet, shop)


def read_for(plan_path: Path, shop_path: Path) -> tuple[Plan, Shop]:
    """Read a plan and the shop that it was made for, with what the plan took from beliefs.

    Raises
    ------
    InputError
        If a file cannot be understood, or the shop differs from the plan's in something that the plan uses.
    """
    plan = plan_from_json(read_plan_text(plan_path), name=plan_path.name)
    shop = read_shop_file(shop_path)
    differs = shop_differences(plan, shop)
    if differs:
        raise InputError(tuple(f"{shop_path.name}: {difference}" for difference in differs))
    return plan, shop_of_plan(plan, shop)


def shop_differences(plan: Plan, shop: Shop) -> tuple[str, ...]:
    """Say how a shop differs from the one a plan was made for, in what the plan uses; nothing if it does not.

    The plan holds a hash of what it uses, so that a difference is certain but not which; what the check then refuses
    is told as a hint.
    """
    from handwheel.planner.uses import used_of_shop, used_things

    try:
        used = used_of_shop(plan.sheet, shop)
        names = ", ".join(name for name, _ in used_things(plan.sheet, shop))
    except KeyError as error:
        missing = error.args[0]
        return (f"the plan uses {missing!r}, which this shop does not have; add it, or plan again with this shop",)
    if used == plan.uses:
        return ()
    told = refusal_lines(check_sheet(plan.sheet, shop_of_plan(plan, shop)), plan.sheet)
    return (
        f"is not as it was when the plan was made; one of these differs: {names}; plan again with this shop",
        *(f"so for instance {line}" for line in told[:MOST_REFUSALS]),
    )


def refusal_lines(report: CheckReport, sheet: Sheet) -> tuple[str, ...]:
    """What the check refuses, a line each: the number of the act on the printed sheet, code, what is wrong."""
    from handwheel.report.steps import act_numbers
    from handwheel.report.words import plain

    numbers = act_numbers(sheet)
    lines = [
        f"{f'act {numbers[refusal.act]}' if refusal.act in numbers else 'at the end'}: "
        f"{plain(refusal.text)} [{refusal.code.value}]"
        for refusal in report.refusals
    ]
    more = len(lines) - MOST_REFUSALS
    return tuple(lines) if more <= 0 else (*lines[:MOST_REFUSALS], f"and {more} more; mend the first ones first")


def told_refusals(report: CheckReport, plan: Plan, shop: Shop, wording: Wording) -> tuple[str, ...]:
    """The lines of `refusal_lines` as somebody reads them: worded as asked for, the check itself tells in mm alone."""
    from handwheel.report.wording import beside_mm, names_with_lengths

    sheet, names = plan.sheet, names_with_lengths(shop)
    return tuple(wording.of(beside_mm(line, sheet.part.units, names=names)) for line in refusal_lines(report, sheet))


def size_lines(report: CheckReport, units: Units, wording: Wording) -> tuple[str, ...]:
    """Sizes that the replayed sheet leaves, a line each, with the limits to which it was to be cut, in columns."""
    from handwheel.report.numbers import Lengths

    lengths = Lengths(units=units, places=3)
    names = [f"{size.feature.replace('-', ' ')}:" for size in report.sizes]
    values = [wording.of(lengths.both(size.value_mm)) for size in report.sizes]
    limits = [wording.of(lengths.limits(size.lower_mm, size.upper_mm)) for size in report.sizes]
    longest, widest = (max(map(len, column), default=0) for column in (names, values))
    return tuple(
        f"{name:<{longest}} {value:>{widest}}, limits {span}{'' if size.inside else ', OUTSIDE'}"
        for size, name, value, span in zip(report.sizes, names, values, limits, strict=True)
    )


def stop_lines(plan: Plan) -> tuple[str, ...]:
    """Findings that forbid to cut, a line each."""
    from handwheel.report.words import plain

    stops = [finding for finding in plan.findings if finding.severity is Severity.STOP]
    return tuple(f"STOP, do not cut: {plain(finding.problem)} {plain(finding.remedy)}" for finding in stops)


def demo_jobs(*, said: Said | None = None) -> Iterator[DemoJob]:
    """Plan every demo part on both demo lathes, from the files that ship with the program."""
    number, of = 0, len(DEMO_PARTS) * len(DEMO_SHOPS)
    for part_name in DEMO_PARTS:
        for lathe_name in DEMO_SHOPS:
            number += 1
            if said is not None:
                said(f"planning {number} of {of}: {part_name} on the {lathe_name}")
            plan, shop, report = demo_job(part_name, lathe_name)
            yield DemoJob(part=part_name, lathe=lathe_name, plan=plan, shop=shop, report=report)


def demo_job(part_name: str, lathe_name: str) -> Checked:
    """Plan one demo part on one demo lathe; raises `KeyError` for a name that is none."""
    part = read_part(demo_text(part_name), name=f"{part_name}.toml")
    shop = read_shop(demo_text(lathe_name), name=f"{lathe_name}.toml")
    return plan_for(part, shop)


def print_sheet(plan: Plan, shop: Shop, *, width: int = 80, wording: Wording | None = None) -> str:
    """Return the sheet as plain text of that width, worded as asked for, else as the shop file says."""
    from handwheel.report.text_sheet import sheet_text

    return sheet_text(plan, shop, width=width, wording=wording)


def plan_text(plan: Plan) -> str:
    """Return the plan as JSON."""
    return plan_to_json(plan)


def write_plan(plan: Plan, folder: Path) -> Written:
    """Put a plan on the disk as ``plan.json``; an earlier, different one is kept beside it.

    Raises
    ------
    NotWrittenError
        If it is not on the disk; nothing is changed then.
    """
    return write_whole(folder / PLAN_FILE, plan_to_json(plan))


def write_sheet(plan: Plan, shop: Shop, folder: Path) -> Written:
    """Put the sheet on the disk as ``sheet.txt``; raises as `write_plan` does."""
    return write_whole(folder / SHEET_FILE, print_sheet(plan, shop))


def write_planned(stored: str, folder: Path, *, papers: PapersBeside) -> Iterator[Written]:
    """Put a plan on the disk, then, if any are wanted, its papers; tells each file as soon as it is there.

    Parameters
    ----------
    stored : str
        The plan, as `plan_text` gives it.
    folder : Path
        Where the files go.
    papers : PapersBeside
        What sets the papers of the plan that was handed over to it.

    Raises
    ------
    NotWrittenError, TypesettingError
        As `write_plan` and `handwheel.service.papers.papers_of` do; what was told is on the disk all the same.
    """
    yield write_whole(folder / PLAN_FILE, stored)
    for name, content in papers.made().items():
        yield write_whole(folder / name, content)


def write_demo(jobs: Sequence[DemoJob], folder: Path) -> tuple[Written, ...]:
    """Put plans, sheets and the files they were made from on the disk; raises as `write_plan` does."""
    inputs = tuple(write_whole(folder / f"{name}.toml", demo_text(name)) for name in (*DEMO_PARTS, *DEMO_SHOPS))
    outcomes = tuple(
        written
        for job in jobs
        for written in (
            write_plan(job.plan, folder / job.name),
            write_sheet(job.plan, job.shop, folder / job.name),
        )
    )
    return inputs + outcomes
