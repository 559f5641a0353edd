"""Papers set by a second process: the same bytes, nothing where it fails, and no process left behind.

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
from handwheel.service.beside import PapersBeside, can_work_beside
from handwheel.service.jobs import demo_job
from handwheel.service.wording import wording_of

plan, shop, _ = demo_job("band", "metric-lathe")
wording = wording_of(plan, shop, show=None, words=None)
"""


def run(script: str) -> list[str]:
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
        with PapersBeside(paper="letter", reasons=True) as papers:
            process = papers.process
            papers.hand_over(plan, shop, wording)
            made = papers.made()
        print(process != 0, made is not None)
        from handwheel.report.paper.typesetting import Paper
        from handwheel.service.papers import papers_of
        print(made == papers_of(plan, shop, paper=Paper.LETTER, reasons=True, wording=wording), *sorted(made))
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            print("gone")
        """
    ) == ["True", "True", "True", "desk.pdf", "sheet.pdf", "gone"]


@needs_both
def test_of_a_second_process_that_ends_early_nothing_is_taken() -> None:
    assert run(
        """
        from signal import SIGKILL
        with PapersBeside(paper="a4", reasons=False) as papers:
            os.kill(papers.process, SIGKILL)
            os.waitid(os.P_PID, papers.process, os.WEXITED | os.WNOWAIT)
            papers.hand_over(plan, shop, wording)
            print(papers.made())
        """
    ) == ["None"]


@needs_both
def test_of_papers_that_cannot_be_set_nothing_is_taken_so_that_the_error_is_met_again() -> None:
    assert run(
        """
        from msgspec.structs import replace
        bare = replace(shop, tools=())
        with PapersBeside(paper="a4", reasons=False) as papers:
            papers.hand_over(plan, bare, wording)
            print(papers.made())
        """
    ) == ["None"]


@needs_both
def test_a_process_to_which_nothing_is_handed_over_is_not_waited_for() -> None:
    assert run(
        """
        with PapersBeside(paper="a4", reasons=False) as papers:
            print(papers.made(), papers.process != 0)
        """
    ) == ["None", "True"]


def test_no_process_is_begun_where_no_papers_are_wanted() -> None:
    assert run(
        """
        with PapersBeside(paper=None, reasons=False) as papers:
            papers.hand_over(plan, shop, wording)
            print(papers.process, papers.made())
        """
    ) == ["0", "None"]


@pytest.mark.parametrize(
    "before",
    ["import typst", "import threading; threading.Thread(target=threading.Event().wait, daemon=True).start()"],
)
def test_a_process_with_threads_is_not_copied(before: str) -> None:
    assert run(before + "\nwith PapersBeside(paper='a4', reasons=False) as papers: print(papers.process)") == ["0"]
