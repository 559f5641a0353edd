"""Papers set by a second process: the same bytes, the same errors, and no process left behind.

Each case runs in a fresh interpreter, for a process that has threads or has set pages is not copied.
"""

from __future__ import annotations

import os
import subprocess
import sys
from textwrap import dedent

import pytest

BOTH = sys.platform == "linux" and len(os.sched_getaffinity(0)) > 1
needs_both = pytest.mark.skipif(not BOTH, reason="there is no second process here: Linux with two processors has one")

BEFORE = """
import os
from handwheel.service.papers_beside import PapersBeside
from handwheel.service.beside import may_copy
from handwheel.service.jobs import demo_job
from handwheel.service.wording import wording_of

plan, shop, _ = demo_job("band", "metric-lathe")
wording = wording_of(plan, shop, show=None, words=None)

def children():
    try:
        os.waitpid(-1, os.WNOHANG)
    except ChildProcessError:
        return "none-left"
    return "one-left"
"""


def run(script: str) -> list[str]:
    """Words that a script prints."""
    done = subprocess.run(
        (sys.executable, "-c", BEFORE + dedent(script)), capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    return done.stdout.split()


@needs_both
def test_a_second_process_sets_the_same_papers_and_ends_with_the_block() -> None:
    assert run(
        """
        import sys
        with PapersBeside(paper="letter", reasons=True) as papers:
            papers.hand_over(plan, shop, wording)
            made = papers.made()
        print("typst" in sys.modules, children())
        from handwheel.report.paper.typesetting import Paper
        from handwheel.service.papers import papers_of
        print(made == papers_of(plan, shop, paper=Paper.LETTER, reasons=True, wording=wording), *sorted(made))
        """
    ) == ["False", "none-left", "True", "desk.pdf", "sheet.pdf"]


@needs_both
def test_two_second_processes_do_not_hold_each_other_up() -> None:
    assert run(
        """
        from handwheel.service.jobs import check_beside
        with PapersBeside(paper="a4", reasons=False) as papers, check_beside(shop) as check:
            papers.hand_over(plan, shop, wording)
            print(*sorted(papers.made()))
            check.begin(plan.sheet)
            print(check.report().ok)
        print(children())
        """
    ) == ["desk.pdf", "sheet.pdf", "True", "none-left"]


@pytest.mark.parametrize("before", ["", pytest.param("import typst", id="without a second process")])
def test_an_error_in_setting_papers_is_raised_here(before: str) -> None:
    assert run(
        before
        + """
from handwheel.domain.errors import InputError
from msgspec.structs import replace
bare = replace(shop, tools=())
try:
    with PapersBeside(paper="a4", reasons=False) as papers:
        papers.hand_over(plan, bare, wording)
        papers.made()
except InputError as error:
    print("cannot be followed" in str(error), children())
"""
    ) == ["True", "none-left"]


@needs_both
def test_a_process_to_which_nothing_is_handed_over_is_not_waited_for() -> None:
    assert run(
        """
        with PapersBeside(paper="a4", reasons=False) as papers:
            print(children())
        print(children())
        """
    ) == ["one-left", "none-left"]


def test_nothing_is_set_where_no_papers_are_wanted() -> None:
    assert run(
        """
        with PapersBeside(paper=None, reasons=False) as papers:
            papers.hand_over(plan, shop, wording)
            print(children(), len(papers.made()))
        """
    ) == ["none-left", "0"]


@pytest.mark.parametrize(
    "before",
    ["import typst", "import threading; threading.Thread(target=threading.Event().wait, daemon=True).start()"],
)
def test_a_process_with_threads_is_not_copied(before: str) -> None:
    assert run(before + "\nprint(may_copy())") == ["False"]
