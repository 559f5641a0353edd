"""What a Python program can ask of handwheel: read a part and a shop, plan, print, check.

These names are imported from the package itself, ``from handwheel import make_plan``; nothing else is promised to stay.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

from handwheel.bench import loop
from handwheel.bench.advice import Advice, Next
from handwheel.bench.approach import Approach
from handwheel.bench.loop import Reached
from handwheel.check.replay import check_sheet
from handwheel.check.report import CheckReport
from handwheel.domain.comparing import Comparison
from handwheel.domain.errors import HandwheelError, InputError, NoPlanError
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.rehearsal.result import Rehearsal
from handwheel.report import text_sheet
from handwheel.report.paper.typesetting import Paper
from handwheel.service import explaining
from handwheel.service.believing import shop_of_plan
from handwheel.service.codec import plan_from_json, plan_to_json
from handwheel.service.comparing import compare_plans, comparison_text
from handwheel.service.files import read_plan_text
from handwheel.service.intake.part_file import read_part_file
from handwheel.service.intake.shop_file import read_shop_file
from handwheel.service.jobs import FailedCheckError, plan_for, require_passed, shop_differences
from handwheel.service.plan_view import PlanView
from handwheel.service.wording import wording_of

if TYPE_CHECKING:
    from concurrent.futures import Executor

__all__ = [
    "Advice",
    "Approach",
    "CheckReport",
    "Comparison",
    "FailedCheckError",
    "HandwheelError",
    "InputError",
    "Next",
    "NoPlanError",
    "Part",
    "Plan",
    "PlanView",
    "Reached",
    "Rehearsal",
    "Shop",
    "approach_size",
    "check_plan",
    "compare_plans",
    "comparison_text",
    "desk_pdf",
    "diagnose_text",
    "explain_text",
    "make_plan",
    "plan_json",
    "read_part",
    "read_plan",
    "read_shop",
    "rehearsal_text",
    "rehearse_plan",
    "rescue_text",
    "sheet_pdf",
    "sheet_text",
    "show_plan",
]


def approach_size(
    approach: Approach, *, start_mm: float, start_spread_mm: float, at_the_lathe: Callable[[Advice], Sequence[float]]
) -> Reached:
    """Approach one size at the lathe, with somebody who does each act that is advised and reads the gauge.

    The tip has just touched the work, and the handle in use is set to 0 there. What is believed of the lathe is
    ``approach.habit``; each reading makes it surer.

    Parameters
    ----------
    approach : Approach
        The size: limits as read, steps of the dial and depths of cut as travel of the slide. [mm]
    start_mm : float
        Size before the first cut, as read. [mm]
    start_spread_mm : float
        Its standard uncertainty. [mm]
    at_the_lathe : callable
        Is given each `Advice`: ``do`` is a `Next`, ``steps`` count from the zero into the metal. Gives the readings
        [mm] where it was to measure, else nothing.

    Returns
    -------
    Reached
        How it ended, all that was advised, and the size believed to be there.

    Raises
    ------
    InputError
        If no reading comes where one was wanted, or readings and cuts contradict each other without end.
    OutOfRangeError
        If a step, a cut or the tolerance is not above 0.

    Examples
    --------
    A bore, on a lathe that springs a tenth of each cut away:

    >>> from handwheel import Approach, Next, approach_size
    >>> bore = Approach(
    ...     inside=True,
    ...     lower_mm=18.0,
    ...     upper_mm=18.05,
    ...     target_mm=18.025,
    ...     step_mm=0.005,
    ...     least_cut_mm=0.05,
    ...     last_cut_mm=0.08,
    ...     most_cut_mm=0.4,
    ... )
    >>> size = [17.2]
    >>> def lathe(advice):
    ...     if advice.do == Next.CUT:
    ...         size[0] += 0.9 * (17.2 + 2 * bore.step_mm * advice.steps - size[0])
    ...     return [size[0]] * int(advice.readings)
    >>> reached = approach_size(bore, start_mm=17.2, start_spread_mm=0.02, at_the_lathe=lathe)
    >>> reached.do.name, round(reached.size_mm(bore), 2)
    ('GOOD', 18.02)
    """
    return loop.approach_size(approach, start_mm=start_mm, start_spread_mm=start_spread_mm, at_the_lathe=at_the_lathe)


def read_part(path: str | PathLike[str]) -> Part:
    """Read a part file (TOML).

    Parameters
    ----------
    path : str or PathLike
        The file; its ``units`` say whether a bare number is a millimetre or an inch.

    Returns
    -------
    Part
        Part whose contours stand at the cut targets. [mm]

    Raises
    ------
    InputError
        With every problem of the file: key, what was found, what is allowed, what to do.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> read_part(demo_path("bush")).material
    'cu_cw307g'
    """
    return read_part_file(Path(path))


def read_shop(path: str | PathLike[str]) -> Shop:
    """Read a shop file (TOML): the lathe and all that lies about it.

    Parameters
    ----------
    path : str or PathLike
        The file; its ``units`` say whether a bare number is a millimetre or an inch.

    Returns
    -------
    Shop
        Everything at hand; leads, marks and slack exact. [mm]

    Raises
    ------
    InputError
        With every problem of the file.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> [round(speed.rpm) for speed in read_shop(demo_path("inch-lathe")).lathe.speeds]
    [55, 95, 170, 320, 560, 1000]
    """
    return read_shop_file(Path(path))


def make_plan(part: Part, shop: Shop) -> Plan:
    """Plan a part in a shop, and replay its sheet on a model of the lathe before handing it out.

    Parameters
    ----------
    part : Part
        What `read_part` returns.
    shop : Shop
        What `read_shop` returns.

    Returns
    -------
    Plan
        Steps, sheet of acts, proof, reasons, findings. A finding of severity stop forbids to cut by it.

    Raises
    ------
    NoPlanError
        If no order of cuts reaches the part with this shop; says what would make it possible.
    FailedCheckError
        If the check refuses the sheet: then there is no plan to be trusted.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> plan = make_plan(read_part(demo_path("bush")), read_shop(demo_path("inch-lathe")))
    >>> plan.proof.proven
    True
    """
    plan, _, report = plan_for(part, shop)
    require_passed(plan, report)
    return plan


def check_plan(plan: Plan, shop: Shop) -> CheckReport:
    """Replay the sheet of a plan on a model of the lathe.

    Parameters
    ----------
    plan : Plan
        From `make_plan`, or an earlier one from `read_plan`.
    shop : Shop
        The shop it was made for, as it is now.

    Returns
    -------
    CheckReport
        ``ok``; ``refusals``, act by act; ``sizes`` that come out. [mm]

    Raises
    ------
    InputError
        If the shop differs from the plan's in something that the plan uses.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("inch-lathe"))
    >>> check_plan(make_plan(read_part(demo_path("bush")), shop), shop).ok
    True
    """
    _require_same_shop(plan, shop)
    return check_sheet(plan.sheet, shop_of_plan(plan, shop))


def sheet_text(plan: Plan, shop: Shop, *, width: int = 80, show: str | None = None, words: str | None = None) -> str:
    """Sheet of a plan as plain text, as the terminal shows it.

    Parameters
    ----------
    plan : Plan
        From `make_plan` or `read_plan`.
    shop : Shop
        The shop it was made for.
    width : int
        Longest line. [characters]
    show : str or None
        Unit of lengths, ``"mm"``, ``"inch"`` or ``"both"``; as the shop file says if it is not given. What is set
        keeps the unit of its instrument.
    words : str or None
        ``"british"`` or ``"american"``; as the shop file says if it is not given.

    Returns
    -------
    str
        Lines of the sheet; dial settings in whole marks of this lathe.

    Raises
    ------
    InputError
        If there is no such unit, or there are no such words.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("inch-lathe"))
    >>> plan = make_plan(read_part(demo_path("bush")), shop)
    >>> "DIAL" in sheet_text(plan, shop)
    True
    """
    return text_sheet.sheet_text(
        plan, shop_of_plan(plan, shop), width=width, wording=wording_of(plan, shop, show=show, words=words)
    )


def explain_text(
    plan: Plan, shop: Shop, *, of: str = "", width: int = 80, show: str | None = None, words: str | None = None
) -> str:
    """Say why the numbers of a plan are what they are.

    Parameters
    ----------
    plan : Plan
        From `make_plan` or `read_plan`.
    shop : Shop
        The shop it was made for.
    of : str
        Number or id of a step (``"6"``, ``"rough-outside"``), number of an act (``"6.20"``), or nothing: the whole job.
    width : int
        Longest line, 72 to 200. [characters]
    show : str or None
        Unit of lengths, as for `sheet_text`.
    words : str or None
        Whose words, as for `sheet_text`.

    Returns
    -------
    str
        For each act its figures, each with its rule, what went into it, source, standing, spread and what binds.

    Raises
    ------
    InputError
        If there is no such step, act or unit, or there are no such words.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("inch-lathe"))
    >>> plan = make_plan(read_part(demo_path("bush")), shop)
    >>> print(explain_text(plan, shop, of="3.8").splitlines()[1].strip())
    3.8 zero    D: quill, dial to 0, handle still
    """
    wording = wording_of(plan, shop, show=show, words=words)
    return explaining.explain_text(plan, shop_of_plan(plan, shop), of=of, width=width, wording=wording)


def diagnose_text(
    plan: Plan,
    shop: Shop,
    *,
    step: str,
    symptom: str,
    evidence: Sequence[str] = (),
    width: int = 80,
    show: str | None = None,
    words: str | None = None,
) -> str:
    """Say what to check first when something is wrong at a step, with the numbers of the job.

    Parameters
    ----------
    plan : Plan
        From `make_plan` or `read_plan`.
    shop : Shop
        The shop it was made for.
    step : str
        Number or id of the step.
    symptom : str
        What is wrong, by a key that ``handwheel diagnose --list`` shows: ``"taper"``, ``"chatter"``, ``"pip"`` ...
    evidence : sequence of str
        What was measured or answered, each as ``"key=value"``: ``"taper=0.05 mm"``, ``"edge_loaded=yes"``.
    width : int
        Longest line, 72 to 200. [characters]
    show : str or None
        Unit of lengths, as for `sheet_text`.
    words : str or None
        Whose words, as for `sheet_text`.

    Returns
    -------
    str
        Causes in the order in which to check them; last, with the reason, what is too small or was answered away.

    Raises
    ------
    InputError
        If step, symptom or evidence is not understood, or there is no such unit, or there are no such words.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("inch-lathe"))
    >>> plan = make_plan(read_part(demo_path("bush")), shop)
    >>> told = diagnose_text(plan, shop, step="bore", symptom="taper", evidence=("taper=0.05 mm", "edge_loaded=yes"))
    >>> next(line for line in told.splitlines() if line.startswith(" 1 ")).strip()
    '1  The edge loads, chips or wears along the pass. (your answer points to it)'
    """
    from handwheel.service import diagnosing

    complaint = diagnosing.Complaint(step=step, symptom=symptom, evidence=tuple(evidence))
    wording = wording_of(plan, shop, show=show, words=words)
    return diagnosing.diagnosis_text(plan, shop, complaint, width=width, wording=wording)


def rehearse_plan(
    plan: Plan,
    shop: Shop,
    *,
    lathes: int = 10_000,
    seed: int = 0,
    good: int | None = None,
    executor: Executor | None = None,
) -> Rehearsal:
    """Rehearse a plan on virtual lathes like the shop's: the chance of a good part at the first try.

    Parameters
    ----------
    plan : Plan
        From `make_plan` or `read_plan`.
    shop : Shop
        The shop it was made for.
    lathes : int
        How many virtual lathes.
    seed : int
        Settles which they are: the same seed and number give the same result.
    good : int or None
        Good parts wanted; as many as the part says if it is not given.
    executor : Executor or None
        Any `concurrent.futures` executor to share the work; without it all is done here. It changes no result.

    Returns
    -------
    Rehearsal
        ``chance``; ``sizes``; ``risk`` and ``risk_step``; ``remedies``, the most helpful first; ``to_make``;
        ``not_rehearsed``, sizes that are in no figure; ``bounds``, what the lathes were like. No promise about a lathe.

    Raises
    ------
    InputError
        If the shop differs from the plan's, a number makes no sense, or nothing on the sheet can be rehearsed.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("metric-lathe"))
    >>> told = rehearse_plan(make_plan(read_part(demo_path("band")), shop), shop, lathes=200)
    >>> told.chance.value > 0.97, [size.size for size in told.sizes]
    (True, ['bore diameter', 'outside diameter', 'back-face width'])
    """
    from handwheel.domain.beliefs import Beliefs
    from handwheel.service import rehearsing

    _require_same_shop(plan, shop)
    known = Beliefs(shop=shop_of_plan(plan, shop))
    return rehearsing.rehearse_plan(plan, known, lathes=lathes, seed=seed, wanted=good, executor=executor)


def rehearsal_text(
    rehearsal: Rehearsal, plan: Plan, shop: Shop, *, width: int = 80, show: str | None = None, words: str | None = None
) -> str:
    """Print a rehearsal as plain text, as the terminal shows it.

    Parameters
    ----------
    rehearsal : Rehearsal
        From `rehearse_plan`.
    plan : Plan
        The plan that was rehearsed.
    shop : Shop
        The shop it was made for.
    width : int
        Longest line, 72 to 200. [characters]
    show : str or None
        Unit of lengths, as for `sheet_text`.
    words : str or None
        Whose words, as for `sheet_text`.

    Returns
    -------
    str
        Lines; the chance first, then the sizes, the risk, what lowers it, how many to make, what is not in it.

    Raises
    ------
    OutOfRangeError
        If the width is outside 72 to 200 columns.
    InputError
        If there is no such unit, or there are no such words.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("metric-lathe"))
    >>> plan = make_plan(read_part(demo_path("band")), shop)
    >>> "not a promise" in " ".join(rehearsal_text(rehearse_plan(plan, shop, lathes=100), plan, shop).split())
    True
    """
    from handwheel.service import rehearsing

    own = shop_of_plan(plan, shop)
    return rehearsing.worded_rehearsal(rehearsal, plan, own, width=width, show=show, words=words)


def rescue_text(
    plan: Plan,
    shop: Shop,
    *,
    surface: str,
    size: str,
    uncertainty: str | None = None,
    width: int = 80,
    show: str | None = None,
    words: str | None = None,
) -> str:
    """Say what the part can still become when a size has missed its limits, or too little is left for a cut.

    Parameters
    ----------
    plan : Plan
        From `make_plan` or `read_plan`.
    shop : Shop
        The shop it was made for.
    surface : str
        Surface whose size it is: ``"bore"``, ``"outside"``, ``"width"`` ...
    size : str
        Size that is there, as measured, in the part's own unit if it names none.
    uncertainty : str or None
        How far off that may be to either side, about 95 %; without it as the gauge on the sheet is trusted.
    width : int
        Longest line, 72 to 200. [characters]
    show : str or None
        Unit of lengths, as for `sheet_text`.
    words : str or None
        Whose words, as for `sheet_text`.

    Returns
    -------
    str
        Ways out in the order in which to look at them; last, with the reason, what does not come out.

    Raises
    ------
    InputError
        If surface, size or uncertainty is not understood, or there is no such unit, or there are no such words.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("inch-lathe"))
    >>> plan = make_plan(read_part(demo_path("bush")), shop)
    >>> told = rescue_text(plan, shop, surface="bore", size="20.037 mm", uncertainty="0.003 mm")
    >>> next(line for line in told.splitlines() if line.startswith(" 1 ")).strip()
    '1  A coarser class (ask first)'
    """
    from handwheel.service import saving

    missed = saving.Missed(surface=surface, size=size, uncertainty=uncertainty)
    wording = wording_of(plan, shop, show=show, words=words)
    return saving.rescue_text(plan, shop, missed, width=width, wording=wording)


def sheet_pdf(
    plan: Plan,
    shop: Shop,
    *,
    paper: str = "a4",
    reasons: bool = False,
    show: str | None = None,
    words: str | None = None,
) -> bytes:
    """Sheet of a plan as a PDF to print for the lathe, in black on white.

    Parameters
    ----------
    plan : Plan
        From `make_plan` or `read_plan`.
    shop : Shop
        The shop it was made for.
    paper : str
        Size of the pages: ``"a4"`` or ``"letter"``.
    reasons : bool
        Whether the reason for each number stands at the end, in small print.
    show : str or None
        Unit of lengths, as for `sheet_text`.
    words : str or None
        Whose words, as for `sheet_text`.

    Returns
    -------
    bytes
        The PDF; the same plan gives the same bytes. It says act by act what `sheet_text` says.

    Raises
    ------
    InputError
        If there is no such paper or unit, or there are no such words.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("inch-lathe"))
    >>> sheet_pdf(make_plan(read_part(demo_path("bush")), shop), shop)[:5]
    b'%PDF-'
    """
    from handwheel.service import papers

    wording = wording_of(plan, shop, show=show, words=words)
    return papers.sheet_pdf(plan, shop_of_plan(plan, shop), paper=_paper(paper), reasons=reasons, wording=wording)


def desk_pdf(
    plan: Plan,
    shop: Shop,
    *,
    paper: str = "a4",
    show: str | None = None,
    words: str | None = None,
) -> bytes:
    """One page for the desk as a PDF: what is made, in which order and time, what it needs, what to know.

    Parameters
    ----------
    plan : Plan
        From `make_plan` or `read_plan`.
    shop : Shop
        The shop it was made for.
    paper : str
        Size of the page: ``"a4"`` or ``"letter"``.
    show : str or None
        Unit of lengths, as for `sheet_text`.
    words : str or None
        Whose words, as for `sheet_text`.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    InputError
        If there is no such paper or unit, or there are no such words.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("inch-lathe"))
    >>> desk_pdf(make_plan(read_part(demo_path("bush")), shop), shop, paper="legal")
    Traceback (most recent call last):
        ...
    handwheel.domain.errors.InputError: paper: 'legal' is not known; give one of a4, letter
    """
    from handwheel.service import papers

    wording = wording_of(plan, shop, show=show, words=words)
    return papers.desk_pdf(plan, shop_of_plan(plan, shop), paper=_paper(paper), wording=wording)


def show_plan(plan: Plan, shop: Shop, *, show: str | None = None, words: str | None = None) -> PlanView:
    """Plan as pictures and tables, for a notebook: leave it last in a cell.

    Parameters
    ----------
    plan : Plan
        From `make_plan` or `read_plan`.
    shop : Shop
        The shop it was made for.
    show : str or None
        Unit of lengths, as for `sheet_text`.
    words : str or None
        Whose words, as for `sheet_text`.

    Returns
    -------
    PlanView
        ``html``: cautions, sizes, the part as a drawing, every step as a picture, a table of the steps, findings;
        ``text``: the table alone.

    Raises
    ------
    InputError
        If the sheet cannot be followed to its end, there is no such unit, or there are no such words.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> shop = read_shop(demo_path("inch-lathe"))
    >>> shown = show_plan(make_plan(read_part(demo_path("bush")), shop), shop)
    >>> shown.html.count("<svg"), shown.text.splitlines()[0]
    (2, 'guide bush, lamp hoist')
    """
    from handwheel.service.notebook import view_of

    return view_of(plan, shop_of_plan(plan, shop), show=show, words=words)


def _require_same_shop(plan: Plan, shop: Shop) -> None:
    """Raise `InputError` if a shop differs from a plan's in something that the plan uses."""
    differs = shop_differences(plan, shop)
    if differs:
        raise InputError(tuple(f"{shop.name}: {difference}" for difference in differs))


def _paper(name: str) -> Paper:
    known = {paper.value: paper for paper in Paper}
    if name not in known:
        raise InputError((f"paper: {name!r} is not known; give one of {', '.join(known)}",))
    return known[name]


def plan_json(plan: Plan) -> str:
    """Plan as JSON text, exact numbers as ``"p/q"``; `read_plan` reads it back as the same plan.

    Parameters
    ----------
    plan : Plan
        From `make_plan`.

    Returns
    -------
    str
        What ``handwheel plan`` writes as ``plan.json``.

    Raises
    ------
    InputError
        If the text would not read back as the same plan.

    Examples
    --------
    >>> from handwheel.service.demo import demo_path
    >>> plan = make_plan(read_part(demo_path("bush")), read_shop(demo_path("inch-lathe")))
    >>> plan_json(plan).startswith("{")
    True
    """
    return plan_to_json(plan)


def read_plan(path: str | PathLike[str]) -> Plan:
    """Read a ``plan.json``.

    Parameters
    ----------
    path : str or PathLike
        The file.

    Returns
    -------
    Plan
        The same plan that was written.

    Raises
    ------
    InputError
        If it is no plan, or one of a newer version.

    Examples
    --------
    >>> read_plan("no-such-plan.json")
    Traceback (most recent call last):
        ...
    handwheel.domain.errors.InputError: no-such-plan.json: cannot be opened (No such file or directory); check the \
name and the folder
    """
    path = Path(path)
    return plan_from_json(read_plan_text(path), name=path.name)
