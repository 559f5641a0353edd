"""The page of all codes that the program gives, each with a line and the place where it is explained."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from handwheel.bench.asking.codes import QUESTION_CODES
from handwheel.check.report import RefusalCode
from handwheel.data.cautions import work_cautions
from handwheel.data.hazards import hazard_gates
from handwheel.domain.finding_codes import FINDING_CODES
from tests.docs.markdown import made_by, page, table

if TYPE_CHECKING:
    from pathlib import Path

NAME = "codes.md"


def pieces_of(path: Path, start: str) -> dict[str, str]:
    """Text below each heading of a page, for headings that begin so."""
    found = re.split(rf"(?m)^{start} (.+)\n", path.read_text(encoding="utf-8"))[1:]
    return dict(zip(found[::2], found[1::2], strict=True))


def meanings_of_refusals() -> dict[str, str]:
    """First sentence of what each refusal of the planner means, as its page says it."""
    from tests.docs.generated import DOCS  # noqa: PLC0415 - that module gathers this one

    made = {}
    for code, text in pieces_of(DOCS / "refusals.md", "##").items():
        (meaning,) = re.findall(r"(?s)^- \*\*Meaning\*\*: (.+?)(?=\n- \*\*)", text.strip())
        plain = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", " ".join(meaning.split()))
        made[code] = re.split(r"(?<=[a-z)])\. ", plain, maxsplit=1)[0].rstrip(".")
    return made


def meanings_of_the_check() -> dict[str, str]:
    """What each code of the check means, as its page says it."""
    from tests.docs.generated import DOCS  # noqa: PLC0415 - that module gathers this one

    text = (DOCS / "check.md").read_text(encoding="utf-8")
    return dict(re.findall(r"(?m)^\| `([a-z-]+)` \| (.+) \|$", text))


def pages() -> dict[str, str]:
    """The page by its name."""
    findings = [
        (f"[`{code}`](../findings.md#{code})", ", ".join(weight.value for weight in known.severities), known.meaning)
        for code, known in FINDING_CODES.items()
    ]
    refusals = [(f"[`{code}`](../refusals.md#{code})", says) for code, says in meanings_of_refusals().items()]
    cautions = [(f"`{code}`", known.act, known.text) for code, known in work_cautions().items()]
    questions = [(f"`{code}`", gate.have) for code, gate in hazard_gates().items()]
    readings = [
        (f"[`{code}`](../questions-at-the-lathe.md#{code})", known.counts.value, known.meaning)
        for code, known in QUESTION_CODES.items()
    ]
    check = meanings_of_the_check()
    checked = [(f"`{code.value}`", check.get(code.value, "")) for code in RefusalCode]
    return {
        NAME: page(
            "Codes",
            made_by("tests.docs.generated"),
            "Every code that the program prints or writes. A code does not change its meaning; "
            "search this page for one that you met.",
            "## Findings",
            "The plan stands, and there is something to know. At the end of the sheet; "
            "explained in [findings](../findings.md).",
            table(("code", "weight", "meaning"), findings),
            "## No plan",
            "Why there is none. Explained, with what was tried, in [refusals](../refusals.md).",
            table(("code", "meaning"), refusals),
            "## Cautions",
            "Printed before the act that they are for. When, and on whose word, stands in [safety](../safety.md).",
            table(("code", "act", "says"), cautions),
            "## Asked first",
            "Confirmed before a hazardous metal is gripped ([safety](../safety.md#what-is-asked-first)).",
            table(("code", "must be at hand"), questions),
            "## Readings at the lathe",
            "Asked before a reading counts, and whether it counts meanwhile "
            "([questions at the lathe](../questions-at-the-lathe.md)).",
            table(("code", "counts meanwhile", "meaning"), readings),
            "## The check",
            "What the replay of a sheet refuses, by `handwheel check` and before every sheet is given "
            "([the check](../check.md)).",
            table(("code", "meaning"), checked),
        )
    }
