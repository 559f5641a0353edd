"""Looking up a ring size: what was asked, what the maker allows on it, and the nearest size of every scale.

What only some questions need is loaded when they are asked: a look-up answers at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.ring_scales import (
    Girth,
    Measure,
    NearSize,
    RingScale,
    is_for_a_finger,
    nearest_size,
    ring_scale,
    ring_scales,
    rivals,
)
from handwheel.domain.errors import InputError, OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import length_mm, shown
from handwheel.service.intake.ring_sizes import RingAsked, read_ring_text

if TYPE_CHECKING:
    from handwheel.data.ring_allowances import Advice
    from handwheel.domain.ring_stick import RingStick, StickReading
    from handwheel.service.intake.ring_choice import MakersChoice

WIDEST_BAND_MM = 50
"""A wider one is no finger ring; own judgement. [mm]"""


class RingQuestion(Struct, frozen=True, kw_only=True):
    """What a person asks: a size as written, and whatever else is given."""

    text: str
    wide_band: str | None = None
    eased_bore: str | None = None
    width: str | None = None
    relief: str | None = None


class OtherRule(Struct, frozen=True, kw_only=True):
    """What another rule of the same scale gives for the size that was asked."""

    scale: RingScale
    girth: Girth


class BandAdvice(Struct, frozen=True, kw_only=True):
    """What sources say of a band of some width, and the arc of an eased inside if its relief is given. [mm]"""

    width_mm: Fraction
    said: tuple[Advice, ...]
    relief_mm: Fraction | None = None
    eased_radius_mm: float | None = None


class OnStick(Struct, frozen=True, kw_only=True):
    """Where a size lies on a stick, or what a reading of the stick is worth, beside what its engraving claims."""

    stick: RingStick
    reading: StickReading
    was_read: bool

    @property
    def scale(self) -> RingScale:
        """Scale that is engraved."""
        return ring_scale(self.stick.scale_key)

    @property
    def claimed_mm(self) -> Fraction:
        """Diameter that the engraving claims there. [mm]"""
        return self.scale.girth(self.reading.number).diameter_mm

    @property
    def deviation_mm(self) -> Fraction:
        """Stick less claim, on the diameter. [mm]"""
        return self.reading.diameter_mm - self.claimed_mm

    @property
    def deviation_sizes(self) -> Fraction:
        """The same in whole sizes of its scale."""
        return self.deviation_mm / self.scale.diameter_per_size_mm

    @property
    def spread_sizes(self) -> Fraction:
        """How far a reading may be out, in whole sizes of its scale."""
        return self.reading.spread_mm / self.scale.diameter_per_size_mm


class RingAnswer(Struct, frozen=True, kw_only=True):
    """All that is known of a size that was asked.

    Parameters
    ----------
    asked : RingAsked
        What was understood.
    other_rules : tuple of OtherRule
        What sources say otherwise of the same size.
    choices : tuple of MakersChoice
        What the maker allows on it; nothing unless it was stated.
    made : Girth
        Inside to be made: that which was asked, with the choices.
    near : tuple
        Every scale that people write, with its nearest size or nothing.
    stick : OnStick or None
        The same on a measured stick.
    advice : BandAdvice or None
        What sources say of a band of the width that was given; never applied.
    """

    asked: RingAsked
    other_rules: tuple[OtherRule, ...]
    choices: tuple[MakersChoice, ...]
    made: Girth
    near: tuple[tuple[RingScale, NearSize | None], ...]
    stick: OnStick | None = None
    advice: BandAdvice | None = None

    @property
    def is_for_a_finger(self) -> bool:
        """Whether what is to be made lies within the range of fingers."""
        return is_for_a_finger(self.made)

    def is_exact(self, near: NearSize) -> bool:
        """Whether a size is just what was asked; what was read off a stick has a spread and is nothing exactly."""
        was_read = self.stick is not None and self.stick.was_read
        return near.is_exact and not was_read


def answer(question: RingQuestion, *, stick: RingStick | None = None) -> RingAnswer:
    """Answer a question about a ring size.

    With a stick, a text that names neither scale nor unit is what was read off the stick; any other is looked for on
    it.

    Raises
    ------
    InputError
        If anything can mean two things, or lies where nothing is known; the text is a question.
    """
    read = _read_off(question.text, stick) if stick is not None else None
    if read is None:
        asked = read_ring_text(question.text)
    else:
        girth = Girth(measure=Measure.DIAMETER, mm=read.reading.diameter_mm)
        asked = RingAsked(written=question.text, girth=girth)
    choices = _choices(question, asked, read)
    made = _made(asked.girth, choices)
    return RingAnswer(
        asked=asked,
        other_rules=_other_rules(asked),
        choices=choices,
        made=made,
        near=tuple((scale, nearest_size(scale, made)) for scale in ring_scales() if scale.written_as),
        stick=_find_on(stick, made) if stick is not None and read is None else read,
        advice=_advice(question),
    )


def stick_marks(stick: RingStick) -> tuple[OnStick, ...]:
    """Every mark of a stick beside what it claims."""
    return tuple(OnStick(stick=stick, reading=stick.at_number(mark.number), was_read=True) for mark in stick.marks)


def read_stick_of(path: Path) -> RingStick:
    """Read a stick file; raises `InputError` with all its problems."""
    from handwheel.service.intake.ring_stick import read_stick_file

    return read_stick_file(path)


def _read_off(text: str, stick: RingStick) -> OnStick | None:
    """What a bare reading is worth on a stick; nothing if the text names a scale or a unit."""
    from handwheel.service.intake.ring_stick import reading_on

    reading = reading_on(stick, text)
    return None if reading is None else OnStick(stick=stick, reading=reading, was_read=True)


def _find_on(stick: RingStick, made: Girth) -> OnStick:
    try:
        return OnStick(stick=stick, reading=stick.at_diameter(made.diameter_mm), was_read=False)
    except OutOfRangeError as error:
        raise InputError((str(error),)) from None


def _other_rules(asked: RingAsked) -> tuple[OtherRule, ...]:
    if asked.size is None:
        return ()
    number = asked.size.number
    others = (scale for scale in rivals(asked.size.scale) if scale.has(number))
    return tuple(OtherRule(scale=scale, girth=scale.girth(number)) for scale in others)


def _choices(question: RingQuestion, asked: RingAsked, read: OnStick | None) -> tuple[MakersChoice, ...]:
    """Read what the maker allows, if anything was stated."""
    if question.wide_band is None and question.eased_bore is None:
        return ()
    from handwheel.data.ring_allowances import RingChoice
    from handwheel.service.intake.ring_choice import read_makers_choice

    scale = read.scale if read else asked.size.scale if asked.size else None
    given = ((RingChoice.WIDE_BAND, question.wide_band), (RingChoice.EASED_BORE, question.eased_bore))
    made = []
    for choice, written in given:
        if written is not None:
            where = f"--{choice.value.replace('_', '-')}"
            text = _with_unit(written, where)
            made.append(read_makers_choice(text, choice=choice, scale=scale, unit=Units.MM, where=where))
    return tuple(made)


def _made(girth: Girth, choices: Sequence[MakersChoice]) -> Girth:
    change_mm = sum((choice.diameter_mm for choice in choices), Fraction(0))
    return Girth(measure=Measure.DIAMETER, mm=girth.diameter_mm + change_mm) if change_mm else girth


def _advice(question: RingQuestion) -> BandAdvice | None:
    """Everything said of a band of the width that was given."""
    if question.width is None:
        if question.relief is not None:
            msg = f"--relief: found {shown(question.relief)}; the arc needs the width too; add for instance --width 6mm"
            raise InputError((msg,))
        return None
    from handwheel.data.ring_allowances import RingChoice, ring_advice

    width_mm = _length(question.width, "--width", most_mm=Fraction(WIDEST_BAND_MM))
    said = tuple(advice for choice in RingChoice for advice in ring_advice(choice, width_mm))
    if question.relief is None:
        return BandAdvice(width_mm=width_mm, said=said)
    from handwheel.physics.eased_bore import eased_radius_mm

    relief_mm = _length(question.relief, "--relief", most_mm=width_mm / 2)
    radius_mm = eased_radius_mm(float(width_mm), relief_mm=float(relief_mm))
    return BandAdvice(width_mm=width_mm, said=said, relief_mm=relief_mm, eased_radius_mm=radius_mm)


def _length(written: str, where: str, *, most_mm: Fraction) -> Fraction:
    read_mm = length_mm(_with_unit(written, where), unit=Units.MM, where=where)
    if not 0 < read_mm <= most_mm:
        msg = (
            f"{where}: found {shown(written)}; allowed above 0 to {float(most_mm):g} mm; check the figure and its unit"
        )
        raise InputError((msg,))
    return read_mm


def _with_unit(written: str, where: str) -> str:
    """Refuse a bare number: no file says its unit here. Nothing at all needs none."""
    text = written.strip()
    if text[-1:].isdigit() and text.strip("+-0.,"):
        msg = f'{where}: found {shown(written)}; of which unit? Write "{text} mm" or "{text} in"'
        raise InputError((msg,))
    return text
