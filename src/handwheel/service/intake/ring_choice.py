"""What a maker allows for a wide band or an eased bore: stated with its sign, and never assumed."""

from __future__ import annotations

import re

from msgspec import Struct

from handwheel.data.ring_allowances import RingChoice
from handwheel.data.ring_scales import Labels, RingScale
from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import LONGEST_TEXT, length_mm, number_in, plain_signs, shown
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.ring_sizes import named_scales
from handwheel.service.intake.where import Named

MOST_ALLOWANCE_MM = 1
"""Largest allowance on the diameter, a little above the full size that is the most named; own judgement. [mm]"""

_SHARE = Pattern(
    r"(?P<sign>[+-]?)\s*(?P<share>[0-9.,/][0-9.,/ ]*)(?P<scale>\s[A-Za-z/ ]+?)?\s*(?P<word>size|letter)s?",
    re.IGNORECASE,
)
_ALLOWED = 'a change of the diameter with its sign, such as "+0.2 mm", "-0.2 mm" or "+1/4 size"'


class MakersChoice(Struct, frozen=True, kw_only=True):
    """An allowance that the maker chose: for what, as written, and what it does to the diameter. [mm]"""

    choice: RingChoice
    written: str
    diameter_mm: Fraction

    @property
    def words(self) -> str:
        """The choice as it is recorded.

        Examples
        --------
        >>> MakersChoice(choice=RingChoice.WIDE_BAND, written="+1/5 mm", diameter_mm=Fraction(1, 5)).words
        "wide band +1/5 mm (+0.200 mm, maker's choice; sources disagree)"
        """
        return (
            f"{self.choice.words} {self.written} ({float(self.diameter_mm):+.3f} mm, maker's choice; sources disagree)"
        )


def read_makers_choice(
    written: object, *, choice: RingChoice, scale: RingScale | None, unit: Units, where: Named
) -> MakersChoice:
    """Read an allowance.

    Parameters
    ----------
    written : object
        Text such as ``"+0.25 mm"`` or ``"-1/4 size"``; a size is one of the scale of the ring unless it names another.
    choice : RingChoice
        What it is for.
    scale : RingScale or None
        Scale in which the ring's size was stated, if it was.
    unit : Units
        Unit of a length that names none.
    where : str or Where
        Where it stands, for the error.

    Raises
    ------
    InputError
        If it is no allowance, if it does not say whether the ring becomes larger or smaller (sources disagree), or if
        it is larger than `MOST_ALLOWANCE_MM`.

    Examples
    --------
    >>> from handwheel.data.ring_scales import ring_scale
    >>> us = {"scale": ring_scale("us"), "unit": Units.MM, "where": "bore.wide_band"}
    >>> float(read_makers_choice("+1/4 size", choice=RingChoice.WIDE_BAND, **us).diameter_mm)
    0.2032
    """
    text = plain_signs(written).strip() if isinstance(written, str) else f"{written}"
    if not isinstance(written, str) or len(text) > LONGEST_TEXT:
        raise _refused(where, written, f"allowed {_ALLOWED}, in quotes")
    share = _SHARE.fullmatch(text)
    if share is not None:
        diameter_mm = _share_mm(share, scale=scale, written=written, where=where)
    else:
        diameter_mm = length_mm(text, unit=unit, where=where)
    if diameter_mm and text[:1] not in {"+", "-"}:
        ask = f'does it make the ring larger or smaller? Sources disagree, so write "+{text}" or "-{text}"'
        raise _refused(where, written, ask)
    if abs(diameter_mm) > MOST_ALLOWANCE_MM:
        told = f"that is {float(diameter_mm):+.3f} mm; allowed up to {MOST_ALLOWANCE_MM} mm"
        raise _refused(where, written, f"{told}; check the figure: it is a change of the diameter, not the size itself")
    return MakersChoice(choice=choice, written=text, diameter_mm=diameter_mm)


def _share_mm(share: re.Match[str], *, scale: RingScale | None, written: object, where: Named) -> Fraction:
    """Change of the diameter for a share of a size. [mm]"""
    named = (share["scale"] or "").strip()
    of = next(iter(named_scales(f"{named} 1")[0]), None) if named else scale
    if of is None:
        ask = f'of which scale? Write for instance "{share["sign"]}{share["share"].strip()} US size", or a length in mm'
        raise _refused(where, written, ask)
    if (share["word"].lower() == "letter") != (of.labels is Labels.LETTERS):
        amount = f"{share['sign']}{share['share'].strip()}"
        ask = f'a letter of UK/AU, or a size of a numbered scale? Write "{amount} UK letter" or "{amount} US size"'
        raise _refused(where, written, ask)
    size = number_in(share["share"].strip(), where=where) * of.diameter_per_size_mm
    return -size if share["sign"] == "-" else size


def _refused(where: Named, written: object, sentence: str) -> InputError:
    return InputError((f"{where}: found {shown(written)}; {sentence}",))
