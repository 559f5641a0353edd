"""Stick files: our TOML for one ring stick, each mark with the diameter that its owner measured there."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from handwheel.data.ring_scales import FINGER_DIAMETER_MM, RingScale, ring_scale, ring_scales
from handwheel.domain.errors import InputError, OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.ring_stick import RingStick, StickMark, StickReading
from handwheel.service.intake.lengths import LONGEST_TEXT, shown
from handwheel.service.intake.ring_sizes import named_scales, read_number
from handwheel.service.intake.table import Table, present
from handwheel.service.intake.text_file import read_text_file
from handwheel.service.intake.toml_text import open_table

LONGEST_STICK_MM = 1000.0
"""No ring stick is longer; own judgement. [mm]"""
MOST_UNCERTAINTY_MM = 1.0
"""A diameter that is less well known calibrates nothing; own judgement. [mm]"""
MOST_READING_MM = 5.0
"""An eye that is further out reads no stick; own judgement. [mm]"""


def read_stick_file(path: Path) -> RingStick:
    """Read a stick from a file on disk; raises `InputError` with all its problems."""
    return read_stick(read_text_file(path), name=path.name)


def read_stick(text: str, *, name: str) -> RingStick:
    """Read a ring stick from the text of a stick file; raises `InputError` with all its problems."""
    table = open_table(text, name=name)
    return table.problems.settle(_stick(table))


def reading_on(stick: RingStick, written: object) -> StickReading | None:
    """What a bare size such as ``"7 1/4"``, read off a stick, is worth; nothing if it is no size of its scale.

    Raises
    ------
    InputError
        If the size lies outside the marks that were measured.
    """
    text = f"{written}"
    scales, rest = named_scales(text)
    if scales or len(text) > LONGEST_TEXT:
        return None
    try:
        number = read_number(ring_scale(stick.scale_key), rest)
    except InputError:
        return None
    try:
        return stick.at_number(number)
    except OutOfRangeError as error:
        raise InputError((str(error),)) from None


def _stick(table: Table) -> RingStick | None:
    words = {scale.written_as[0]: scale for scale in ring_scales() if scale.written_as and not scale.contradicts}
    scale = table.choice("scale", words)
    do = "write [[mark]] for each, with double brackets, and size, at and diameter below it"
    if not table.has("mark"):
        table.fault("mark", allowed="two marks or more", do=do)
    marks = present(_mark(row, scale) for row in table.tables("mark"))
    return table.make(
        lambda: RingStick(
            name=table.text("name"),
            scale_key=scale.key,
            marks=marks,
            mark_width_mm=table.exact_mm("mark_width", high=MOST_READING_MM),
            reading_mm=table.exact_mm("reading", high=MOST_READING_MM),
            uncertainty_mm=table.exact_mm("uncertainty", low=0.0001, high=MOST_UNCERTAINTY_MM),
        )
    )


def _mark(table: Table, scale: RingScale) -> StickMark | None:
    low, high = (float(end) for end in FINGER_DIAMETER_MM)
    number = _number(table, scale)
    mark = table.make(
        lambda: StickMark(
            number=number or Fraction(0),
            at_mm=table.exact_mm("at", high=LONGEST_STICK_MM),
            diameter_mm=table.exact_mm("diameter", low=low, high=high),
        )
    )
    return mark if number is not None else None


def _number(table: Table, scale: RingScale) -> Fraction | None:
    """Read what is engraved at a mark: text, or a plain number."""
    written = table.raw("size")
    is_number = isinstance(written, int | Decimal) and not isinstance(written, bool)
    if not is_number and not isinstance(written, str):
        table.fault("size", allowed="what is engraved there", do='write for instance size = "7 1/2"')
        return None
    try:
        return read_number(scale, f"{written}")
    except InputError as error:
        reason = error.problems[0].partition("; ")[2]
        table.problems.say(table.key("size"), f"found {shown(written)}; {reason}")
        return None
