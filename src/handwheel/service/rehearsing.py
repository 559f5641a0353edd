"""Rehearse a plan on many virtual lathes like the shop's, as text and as JSON, on this computer's cores."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from handwheel.domain.beliefs import Beliefs
from handwheel.domain.errors import InputError, OutOfRangeError
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.rehearsal_text import USUAL_WIDTH
from handwheel.report.rehearsal_text import rehearsal_text as text_of
from handwheel.report.wording import AS_WRITTEN
from handwheel.service.believing import beliefs_path, read_learned
from handwheel.service.jobs import read_for
from handwheel.service.wording import wording_of

if TYPE_CHECKING:
    from handwheel.rehearsal.result import Rehearsal

USUAL_LATHES = 10_000
"""As `handwheel.rehearsal.rehearse.USUAL_LATHES`, without loading it; a test holds them together."""
WORTH_SHARING = 5_000
"""Fewer lathes are done before other processes have begun; own measurement."""

Said = Callable[[str], None]


def rehearse_plan(
    plan: Plan,
    beliefs: Beliefs,
    *,
    lathes: int = USUAL_LATHES,
    seed: int = 0,
    wanted: int | None = None,
    executor: Executor | None = None,
    said: Said | None = None,
) -> Rehearsal:
    """Rehearse a plan; the arguments are those of `handwheel.rehearsal.rehearse.rehearse`.

    Raises
    ------
    InputError
        If numbers make no sense, or nothing on the sheet can be rehearsed.
    """
    from handwheel.rehearsal.rehearse import rehearse

    try:
        return rehearse(plan.sheet, beliefs, lathes=lathes, seed=seed, wanted=wanted, executor=executor, said=said)
    except OutOfRangeError as error:
        raise InputError((str(error),)) from None


def rehearse_files(
    plan_path: Path,
    shop_path: Path,
    *,
    beliefs: Path | None = None,
    lathes: int = USUAL_LATHES,
    seed: int = 0,
    wanted: int | None = None,
    workers: int | None = None,
    said: Said | None = None,
) -> tuple[Plan, Shop, Rehearsal]:
    """Rehearse a plan file with what its shop's beliefs file says, on so many cores (all of this computer's).

    Raises
    ------
    InputError
        If a file cannot be understood, the shop differs from the plan's, or numbers make no sense.
    """
    plan, shop = read_for(plan_path, shop_path)
    path = beliefs_path(shop_path, beliefs)
    if beliefs is not None and not path.exists():
        raise InputError((f"{path.name}: is not there; check the name and the folder",))
    known = read_learned(shop, path)
    asked = cores() if workers is None else workers
    with local_executor(asked if lathes >= WORTH_SHARING else 1) as executor:
        made = rehearse_plan(plan, known, lathes=lathes, seed=seed, wanted=wanted, executor=executor, said=said)
    return plan, shop, made


def rehearsal_json(rehearsal: Rehearsal, plan: Plan) -> str:
    """Give a rehearsal as JSON, with the id of its plan."""
    found = {"plan": plan.id, **msgspec.to_builtins(rehearsal)}
    return msgspec.json.format(msgspec.json.encode(found), indent=2).decode() + "\n"


def worded_rehearsal(
    rehearsal: Rehearsal,
    plan: Plan,
    shop: Shop,
    *,
    width: int = USUAL_WIDTH,
    bounds: bool = False,
    show: str | None = None,
    words: str | None = None,
) -> str:
    """Print a rehearsal; ``show`` and ``words`` are those of `wording_of`."""
    wording = AS_WRITTEN if show is None and words is None else wording_of(plan, shop, show=show, words=words)
    return text_of(rehearsal, plan, shop, width=width, bounds=bounds, wording=wording)


def cores() -> int:
    """Cores that this process may use."""
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity is not None else os.cpu_count() or 1


@contextmanager
def local_executor(workers: int) -> Iterator[Executor | None]:
    """Processes on this computer; none for one worker, who works here."""
    if workers <= 1:
        yield None
        return
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor

    # started fresh: a copy of a process with threads, such as that of the progress line, may stand still for ever
    with ProcessPoolExecutor(max_workers=workers, mp_context=multiprocessing.get_context("spawn")) as executor:
        try:
            yield executor
        except BaseException:
            executor.shutdown(wait=False, cancel_futures=True)
            raise
