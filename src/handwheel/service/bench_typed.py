"""What a person types at the lathe, in our own short words, as a command."""

from __future__ import annotations

import re

from handwheel.domain.errors import InputError
from handwheel.service.bench_asks import AskKind, open_asks
from handwheel.service.bench_commands import HOTTEST_C, Command, Do
from handwheel.service.bench_walk import Walk
from handwheel.service.intake.lengths import number_in

HELP = (
    ("Enter", "the act is done"),
    ("19.81", 'a reading: a number, or with its unit "0.7815 in", "19,81 mm"'),
    ("19.81 with GAUGE", "the same, read with another gauge (its id in the shop file)"),
    ("19.81 temp 24", "the same, with the temperature of the work in degrees Celsius"),
    ("19.81 at PLACE", "the same, with where it was read, such as: front"),
    ("yes", "a reading that was asked back is right"),
    ("anew", "it was cut again or has cooled: what was read here before counts no more"),
    ("b", "back: take the last thing back"),
    ("why", "the reason for each number of this act"),
    ("steps", "all steps, and how much of each is done"),
    ("go 7 sure", "go on at step 7, or at act 7.3"),
    ("note WORDS", "a remark for the record"),
    ("done because WORDS", "go on although a reading lies outside, for this reason"),
    ("stop WORDS", "give the job up"),
    ("times", "how long each step took"),
    ("again", "show this act again"),
    ("q", "leave; all is saved, the same command goes on"),
)
"""What can be typed, with what it does."""
SHORT = {
    "": Do.DONE,
    "done": Do.DONE,
    "b": Do.BACK,
    "back": Do.BACK,
    "yes": Do.STANDS,
    "anew": Do.ANEW,
    "q": Do.LEAVE,
    "leave": Do.LEAVE,
    "why": Do.WHY,
    "steps": Do.STEPS,
    "times": Do.TIMES,
    "again": Do.STATE,
}
NOT_KNOWN = 'found "{line}"; allowed a number, or one of the words that ? shows'
_FIGURE = re.compile(r"[-+]?[0-9.,/½¼¾⅛⅜⅝⅞\N{MINUS SIGN}].*")
_WITH, _AT, _TEMP = " with ", " at ", " temp "
_BECAUSE = "because "


def typed(line: str, walk: Walk) -> Command:
    """Read one typed line.

    Parameters
    ----------
    line : str
        What was typed, without the line feed.
    walk : Walk
        Where the walk stands: a bare number answers what is asked there.

    Raises
    ------
    InputError
        If it is nothing that is known here.
    """
    text = " ".join(line.split())
    if text.lower() in SHORT:
        return Command(do=SHORT[text.lower()])
    worded = _worded(*text.partition(" ")[::2])
    if worded is not None:
        return worded
    figure = text.removeprefix("Ø").strip()
    if not _FIGURE.fullmatch(figure):
        raise InputError((NOT_KNOWN.format(line=text[:40]),))
    asked = open_asks(walk)
    if asked and asked[0].kind is AskKind.DIAL:
        return Command(dial=figure)
    figure, _, warm = figure.partition(_TEMP)
    rest, _, place = figure.partition(_AT)
    reading, _, gauge = rest.partition(_WITH)
    temperature_c = _temperature_c(warm) if warm else None
    return Command(reading=reading, gauge=gauge.strip(), place=place.strip(), temperature_c=temperature_c)


def _temperature_c(written: str) -> float:
    """Temperature of the work. [°C]"""
    found = float(number_in(written, where="temp"))
    if found > HOTTEST_C:
        raise InputError((f"temp: found {written}; allowed 0 to {HOTTEST_C:g}, in °C; check it",))
    return found


def _worded(word: str, rest: str) -> Command | None:
    """Command of a word and what stands behind it; none if it is no such word."""
    match word.lower():
        case "done":
            return Command(do=Do.DONE, because=rest.removeprefix(_BECAUSE))
        case "stop":
            return Command(do=Do.STOP, because=rest.removeprefix(_BECAUSE))
        case "note" if rest:
            return Command(note=rest)
        case "go" if rest:
            target, _, sure = rest.partition(" ")
            return Command(go=target, sure=sure == "sure")
        case "dial" if rest:
            return Command(dial=rest)
        case _:
            return None
