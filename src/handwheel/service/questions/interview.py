"""Where one stands in the questions: each answer makes a new state, whose text is a shop file that reads.

Nothing here reads a keyboard or writes a file. An answer is judged by the reader of shop files itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.errors import InputError
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import shown
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.intake.toml_text import parse_toml
from handwheel.service.questions.asked import SLIDES, Form, Question, questions_about
from handwheel.service.questions.lines import Row
from handwheel.service.questions.progress import with_progress, without_progress
from handwheel.service.questions.winding import TURNS, ten_turns_mm, winding_words
from handwheel.service.rewriting import REMOVED, comment_of, rewritten, value_at, with_comments, written_value
from handwheel.service.schemas.build import shop_trace
from handwheel.service.schemas.key_words import words_of
from handwheel.service.schemas.trace import FILES_UNITS
from handwheel.service.templates import MARK, TEMPLATES, confirmed, left_to_check, template_text

KEEP, EXPLAIN, BACK, NONE = "", "?", "back", "none"
YES, NO = frozenset({"y", "yes"}), frozenset({"n", "no"})
CENTRE_DRILL = DrillKind.CENTRE.value
"""Stays where a list of twist drills is entered."""
FIRST_TEMPLATE = next(iter(TEMPLATES))
TEMPLATE = Question(part="start", path="template", key="template")
"""The first question where there is no file yet: which starting file is nearest."""

LEAD, PER_TURN = ".dial.lead", ".per_turn"
_PATH = re.compile(r"^(?P<file>[^:]*): (?:line [0-9]+: )?(?P<path>[^:]*): (?P<rest>.*)$", re.DOTALL)


class Interview(Struct, frozen=True, kw_only=True):
    """The file as answered so far, the questions, which of them is next, and how one came here.

    ``rows`` are what was entered of a list so far; they are in the file already, in place of the rows ``before``.
    ``settled`` are the paths of what was answered, not of what was kept although it is still to be checked.
    """

    name: str
    text: str
    questions: tuple[Question, ...]
    at: int = 0
    rows: tuple[Row, ...] = ()
    before: tuple[Row, ...] = ()
    earlier: tuple[Interview, ...] = ()
    settled: frozenset[str] = frozenset()

    @property
    def question(self) -> Question | None:
        """Question that is next; ``None`` when all are answered."""
        return self.questions[self.at] if self.at < len(self.questions) else None

    @property
    def values(self) -> Mapping[str, Any]:
        """The file, parsed."""
        return parse_toml(self.text, name=self.name) if self.text else {}


Said = tuple[str, ...]


def begin(*, name: str, template: str = "") -> Interview:
    """Begin without a file: with a template, or with the question which one is nearest; `KeyError` if there is none."""
    if not template:
        return Interview(name=name, text="", questions=(TEMPLATE,))
    text = template_text(template)
    asked = questions_about(parse_toml(text, name=name), from_template=True)
    return Interview(name=name, text=text, questions=asked)


def begin_with(text: str, *, name: str, again: bool = False) -> Interview:
    """Begin with a file that is there: what is not answered stays.

    Of a draft only what is still open is asked: what was not reached, and what was kept although it is still to be
    checked; with ``again`` everything.

    Raises
    ------
    InputError
        If the file does not read.
    """
    plain, noted = without_progress(text)
    read_shop(plain, name=name)
    settled = frozenset() if again else noted
    asked = questions_about(parse_toml(plain, name=name), from_template=False)
    still_open = tuple(question for question in asked if question.path not in settled)
    return Interview(name=name, text=plain, questions=still_open, settled=settled)


def draft_text(now: Interview) -> str:
    """Text of the file as answered so far, with what was answered noted at its end."""
    return with_progress(now.text, now.settled)


def answered(now: Interview, line: str) -> tuple[Interview, Said]:
    """State after an answer, and what is to be said about it; the same state if the answer will not do.

    An empty line keeps what stands in the file, "?" explains, "back" goes back.
    """
    question, given = now.question, line.strip()
    if question is None:
        return now, ()
    if given == EXPLAIN:
        return now, explained(now)
    if given.lower() == BACK:
        return (now.earlier[-1], ()) if now.earlier else (now, ("This is the first question.",))
    if question is TEMPLATE:
        return _chosen(now, given)
    try:
        return _READ[question.form](now, question, given)
    except InputError as error:
        return now, _briefly(error)


def asks(now: Interview) -> Said:
    """Question as it is put: its words, then what may be answered where that is a closed choice."""
    question = now.question
    if question is None:
        return ()
    if question is TEMPLATE:
        listed = [(f"{place} {name}", f"  {words}") for place, (name, words) in enumerate(TEMPLATES.items(), start=1)]
        return ("Which of these is nearest to your lathe?", *(line for pair in listed for line in pair))
    if question.form is Form.HAVE:
        row = value_at(now.values, question.path)
        return (f"Have you got: {row['name']}?",)
    if question.listed is not None:
        return (question.listed.asks, f"One a line, such as: {question.listed.example}")
    says, choices, unit = words_of("shop", question.key).says, _choices(question), _unit(now, question)
    thing = _thing_not_named(now, question)
    return (*thing, f"{says} ({unit})" if unit else says, *((" / ".join(choices),) if choices else ()))


def _thing_not_named(now: Interview, question: Question) -> Said:
    """Name of the tool that a question is about, where none before it was about the same."""
    row_path, _, _ = question.path.rpartition(".")
    before = now.questions[now.at - 1].path if now.at else ""
    if "[]." not in question.key or before.startswith(row_path):
        return ()
    return (f"{value_at(now.values, row_path)['name']}:",)


def standing(now: Interview) -> str:
    """What an empty line keeps, for the brackets before the answer."""
    question = now.question
    if question is None:
        return ""
    if question is TEMPLATE:
        return FIRST_TEMPLATE
    if question.form is Form.HAVE:
        return "yes"
    value = value_at(now.values, question.path)
    if question.form is Form.LIST:
        if now.rows:
            return f"{len(now.rows)} so far, empty: done"
        return f"the {len(value)} in the file" if value else "none"
    return _typed(value)


def explained(now: Interview) -> Said:
    """How to find the answer out, and what hangs on it."""
    question = now.question
    if question is None:
        return ()
    if question is TEMPLATE:
        return ("Every value in it is only a start. What you do not answer is marked in the file, to be checked.",)
    if question.form is Form.HAVE:
        return ("No takes it out of the file: nothing is planned with it.",)
    words = words_of("shop", question.key)
    more = [words.find, f"Decides: {words.decides[:1].lower()}{words.decides[1:]}" if words.decides else ""]
    if question.path.endswith((LEAD, PER_TURN)):
        more.append('Or type "10 turns" and what you measured.')
    if question.form is Form.LIST:
        more.append('What you enter takes the place of the whole list. An empty line ends it; "none": there are none.')
    return tuple(word for word in more if word) or (words.says,)


def _chosen(now: Interview, given: str) -> tuple[Interview, Said]:
    """Take a template by name or number."""
    names = tuple(TEMPLATES)
    by_word = {name: name for name in names} | {str(place): name for place, name in enumerate(names, start=1)}
    name = by_word.get(given.lower() or FIRST_TEMPLATE)
    if name is None:
        return now, (f"Type a number from 1 to {len(names)}, or a name.",)
    return replace(begin(name=now.name, template=name), earlier=(now,)), ()


def _value(now: Interview, question: Question, given: str) -> tuple[Interview, Said]:
    if given == KEEP:
        is_settled = comment_of(now.text, question.path, name=now.name) != MARK
        return _next(now, now.text, is_settled=is_settled), _about_screw(now.text, question, name=now.name)
    value, said = _meant(now, question, given)
    if value is None:
        return now, said
    text = rewritten(now.text, {question.path: value}, read=read_shop, name=now.name)
    text = confirmed(text, (question.path,), name=now.name)
    return _next(now, text), _about_screw(text, question, name=now.name)


def _meant(now: Interview, question: Question, given: str) -> tuple[object, Said]:
    """Value that an answer means; nothing if it is asked back."""
    if isinstance(value_at(now.values, question.path), bool):
        return (given.lower() in YES, ()) if given.lower() in YES | NO else (None, ("Type yes or no.",))
    choices = _choices(question)
    if choices:
        return _one_of(choices, given.lower())
    if question.path.endswith((LEAD, PER_TURN)):
        measured = ten_turns_mm(given, units=Units(now.values["units"]))
        if measured is not None:
            is_exact = question.path.endswith(LEAD)
            return (None, winding_words(measured)) if is_exact else (f"{float(measured) / TURNS:g} mm", ())
    is_name = question.key.rpartition(".")[2] == "name"
    return given if is_name else written_value(given), ()


def _one_of(choices: tuple[str, ...], given: str) -> tuple[str | None, Said]:
    """Choice that was typed, or of which enough was typed."""
    near = [choice for choice in choices if choice.startswith(given)]
    if given in choices or len(near) == 1:
        return given if given in choices else near[0], ()
    return None, (f"Type one of: {', '.join(choices)}.",)


def _have(now: Interview, question: Question, given: str) -> tuple[Interview, Said]:
    if given.lower() in NO:
        return _next(now, rewritten(now.text, {question.path: REMOVED}, read=read_shop, name=now.name)), ()
    if given == KEEP or given.lower() in YES:
        return _next(now, now.text), ()
    return now, ("Type yes or no.",)


def _listed(now: Interview, question: Question, given: str) -> tuple[Interview, Said]:
    """Take lines of a list until an empty one; the first of them takes the place of the list in the file."""
    if given == KEEP or question.listed is None:
        is_kept = not now.rows and any(left.startswith(f"{question.path}[") for left in left_to_check(now.text))
        return _next(now, now.text, is_settled=not is_kept), ()
    old = value_at(now.values, question.path) or []
    before = now.before if now.rows else tuple(_plain(row) for row in old)
    kept = [row for row in before if row.get("kind") == CENTRE_DRILL]
    new = () if given == NONE else question.listed.read_line(given)
    rows = (*now.rows, *_apart([_filled(row, before) for row in new], (*kept, *now.rows)))
    whole = [*kept, *rows]
    if not whole and not old:
        return _next(now, now.text), ()
    text = rewritten(now.text, {question.path: whole or REMOVED}, read=read_shop, name=now.name)
    text = with_comments(text, _marks(question, rows), name=now.name)
    if given == NONE:
        return _next(now, text), ()
    return replace(now, text=text, rows=rows, before=before, earlier=(*now.earlier, now)), ()


def _apart(rows: Iterable[Row], before: Iterable[Row]) -> list[Row]:
    """Rows with ids of their own: a second one of a name gets a number."""
    taken = {row.get("id") for row in before}
    found = []
    for row in rows:
        name, number = row.get("id"), 2
        while row.get("id") is not None and row["id"] in taken:
            row["id"], number = f"{name}-{number}", number + 1
        taken.add(row.get("id"))
        found.append(row)
    return found


def _filled(row: Row, before: Iterable[Row]) -> Row:
    """Row of a drill with the flutes of the one of that diameter that was listed before, if there is one."""
    known = [old["flute"] for old in before if old.get("diameter") == row.get("diameter") and "flute" in old]
    return {**row, "flute": known[0]} if known else row


def _plain(row: Mapping[str, Any]) -> Row:
    """Row with plain numbers, as it can be written again."""
    return {key: value if isinstance(value, bool | int | str | list) else float(value) for key, value in row.items()}


def _marks(question: Question, rows: Iterable[Row]) -> dict[str, str]:
    """Marks behind what nobody typed: limits of bars, flutes of drills."""
    not_typed = {"bar": "plus_minus", "drill": "flute"}.get(question.path, "")
    return {f"{question.path}[{row['id']}].{not_typed}": MARK for row in rows if not_typed in row}


def _next(now: Interview, text: str, *, is_settled: bool = True) -> Interview:
    """State at the next question whose subject is still in the file; what was asked is open unless it is settled."""
    at = now.at + 1
    values = parse_toml(text, name=now.name)
    while at < len(now.questions) and not _is_there(values, now.questions[at]):
        at += 1
    settled = now.settled | {now.questions[now.at].path} if is_settled else now.settled
    return replace(now, text=text, at=at, rows=(), before=(), earlier=(*now.earlier, now), settled=settled)


def _is_there(values: Mapping[str, Any], question: Question) -> bool:
    return question.form is Form.LIST or value_at(values, question.path) is not None


def _form(question: Question) -> Mapping[str, Any]:
    """What the reader asks of the value: its type, range, words."""
    trail, _, key = question.key.rpartition(".")
    return shop_trace()[trail].forms[key][1]


def _choices(question: Question) -> tuple[str, ...]:
    """Words of a closed list, as the reader has them."""
    return tuple(_form(question).get("enum", ()))


def _unit(now: Interview, question: Question) -> str:
    """Unit of a bare number in answer to a question; empty if it has none."""
    unit = str(_form(question).get("unit", ""))
    return str(now.values["units"]) if unit == FILES_UNITS else unit


def _about_screw(text: str, question: Question, *, name: str) -> Said:
    """Say where engraving and screw disagree: both are kept, the screw rules."""
    if not question.path.endswith(".dial.engraved"):
        return ()
    slide = question.path.removesuffix(".dial.engraved")
    lathe = read_shop(text, name=name).lathe
    at = {"lathe.cross_slide": lathe.cross, "lathe.top_slide": lathe.top, "lathe.carriage": lathe.carriage}
    dial = at.get(slide, lathe.tailstock.quill).dial
    if dial is None or dial.engraving_agrees or slide not in SLIDES.values():
        return ()
    mark = float(dial.travel_per_mark_mm)
    claimed = f"{float(dial.label_mm):g} mm ({dial.reads.value})"
    return (
        f"Note: lead and marks make {mark:.4f} mm a mark, the engraving says {claimed}. The screw rules; check both.",
    )


def _typed(value: object) -> str:
    """Value as a person types it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value}"


def _briefly(error: InputError) -> Said:
    """Problems without the name of the file, the line and the path, which the question has said."""
    told = []
    for problem in error.problems:
        found = _PATH.match(problem)
        told.append(found["rest"] if found else problem)
    return tuple(dict.fromkeys(told)) or (shown(str(error)),)


_READ = {Form.VALUE: _value, Form.HAVE: _have, Form.LIST: _listed}
