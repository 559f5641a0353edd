"""What every file of the repository must keep to, as functions from a text to its faults."""

from __future__ import annotations

import ast
import io
import re
import tokenize

PIN = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*==[0-9][0-9a-z.+]*( ; [a-z_]+ (<|>|<=|>=|==|!=) '[\w.]+')?")
"""One pinned package: a name, an exact version, perhaps a condition; no room for a host or a folder."""

MACHINE_PATH = re.compile(r"(?<![\w.:/])/(?:work|root|tmp|home|opt|Users)/|[A-Z]:\\Users")
"""A folder that exists on one machine only."""

COMMENT_EXCEPTION = re.compile(r"#\s*(?:noqa(?::\s*[A-Z]+\d+(?:[,\s]+[A-Z]+\d+)*)?|type:\s*ignore(?:\[[\w, -]+\])?)")
"""A comment that switches a check off for its line, up to where a reason should begin."""

SHORTEST_REASON = 10
SUMMARY_WIDTH = 110
FEWEST_WORDS_FOR_THE_JOB = 40


def unpinned_lines(constraints: str) -> list[str]:
    """Lines of a constraints file that are anything but one pinned package."""
    return [line for line in constraints.splitlines() if not PIN.fullmatch(line)]


def missing_pins(constraints: str, requirements: list[str]) -> set[str]:
    """Names among the requirements of pyproject.toml that the constraints do not pin."""
    pinned = {line.partition("==")[0] for line in constraints.splitlines()}
    return {requirement_name(requirement) for requirement in requirements} - pinned


def requirement_name(requirement: str) -> str:
    """Name of the package in a requirement such as ``coverage[toml]>=7.6``."""
    return re.split(r"[\[<>=!~; ]", requirement, maxsplit=1)[0].lower()


def machine_path_lines(text: str) -> list[int]:
    """Numbers of the lines that name a folder of one machine."""
    return [number for number, line in enumerate(text.splitlines(), start=1) if MACHINE_PATH.search(line)]


def docstring_fault(code: str) -> str | None:
    """What is wrong with the summary line of a module; nothing if it is one full sentence."""
    docstring = ast.get_docstring(ast.parse(code))
    if not docstring:
        return "has no docstring; say in one line what the module is for"
    summary, _, rest = docstring.partition("\n")
    if not summary.endswith(".") or len(summary) > SUMMARY_WIDTH:
        return f"its first line is not one sentence of at most {SUMMARY_WIDTH} letters with a full stop"
    if rest and not rest.startswith("\n"):
        return "its first line is not set off by an empty line"
    return None


def unexplained_exceptions(code: str) -> list[int]:
    """Numbers of the lines that switch a check off without saying why in the same comment."""
    tokens = tokenize.generate_tokens(io.StringIO(code).readline)
    return [token.start[0] for token in tokens if token.type == tokenize.COMMENT and lacks_reason(token.string)]


def lacks_reason(comment: str) -> bool:
    """Whether a comment switches a check off and says nothing more."""
    found = COMMENT_EXCEPTION.search(comment)
    return found is not None and len(comment[found.end() :].strip(" #-:()")) < SHORTEST_REASON


def readme_faults(readme: str, *, commands: tuple[str, ...]) -> list[str]:
    """What the top of the README lacks: the job in one paragraph, then the commands in one block."""
    title, _, body = readme.partition("\n\n")
    paragraph, _, after = body.partition("\n\n")
    faults = []
    if not title.startswith("# "):
        faults.append("does not begin with a title")
    if paragraph.startswith(("#", "`", "-", "!")) or len(paragraph.split()) < FEWEST_WORDS_FOR_THE_JOB:
        faults.append("the first block does not state the job in a paragraph")
    block = after.partition("```")[2].partition("```")[0]
    faults += [f"the first code block lacks: {command}" for command in commands if command not in block]
    return faults


def tasks_named(text: str) -> set[str]:
    """Every word that stands after ``python dev.py`` in a document."""
    return set(re.findall(r"python3? dev\.py ([a-z]+)", text))


def is_called(script: str, command: str) -> bool:
    """Whether a shell script runs exactly this command, with nothing added to it."""
    calls = (re.split(r"\s*(?:\|\||&&|;)", line, maxsplit=1)[0].strip() for line in script.splitlines())
    return command in calls
